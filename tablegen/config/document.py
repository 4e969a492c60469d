"""Config documents: simple data with the place of every key, so that an error can name file, line and key.

Reading YAML takes ten milliseconds a file, so what was read is cached as JSON, by the hash of the file's bytes.
"""

from __future__ import annotations

import functools
import hashlib
import importlib.metadata
import io
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias, TypeVar

from tablegen.cache import Cache, default_folder
from tablegen.config._input_files import as_text, read_limited, shown_name
from tablegen.errors import ConfigError, FileProblem
from tablegen.wording import command_line
from tablegen.wording import input_errors as wording

KeyPath: TypeAlias = tuple[str | int, ...]
# What a YAML file may contain: numbers, texts, truth values, lists and mappings of them.
Yaml: TypeAlias = "bool | int | float | str | list[Yaml] | dict[str, Yaml] | None"

T = TypeVar("T")
MAX_FILE_BYTES = 300_000
# Raised whenever what is cached, or how a file is read, changes.
LAYOUT = 2


@dataclass(frozen=True, slots=True)
class Parsed:
    """Data of one file, and the line of every key and list item; not to be changed by who gets it."""

    data: dict[str, Yaml]
    lines: dict[KeyPath, int]


class NotUsable(ValueError):
    """Text that is no config, at a line (0 where that is not known)."""

    def __init__(self, line: int, text: str) -> None:
        self.line, self.text = line, text
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Place:
    """File and line of a key."""

    file: str
    line: int


@dataclass(frozen=True, slots=True)
class ConfigDocument:
    """The data of one config file, and the place of every key and list item in it."""

    file: str
    data: dict[str, Yaml]
    places: dict[KeyPath, Place] = field(default_factory=dict)

    def value(self, path: KeyPath) -> Yaml:
        """The value at a key; None where there is none."""
        return value_at(self.data, path)

    def mapping(self, *path: str | int) -> dict[str, Yaml]:
        """The mapping at a key; an empty one where there is none."""
        return as_mapping(self.value(path))

    def place(self, path: KeyPath) -> Place:
        """The place of a key; of the nearest key above it where it is not written."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place(self.file, 1))

    def problem(self, path: KeyPath, text: str) -> FileProblem:
        """A problem at a key of this document."""
        place = self.place(path)
        return FileProblem(place.file, place.line, spell(path), text)

    def part(self, path: KeyPath) -> ConfigDocument:
        """The mapping at a key as a document of its own, with the same places."""
        depth = len(path)
        places = {p[depth:]: place for p, place in self.places.items() if p[:depth] == path}
        return ConfigDocument(self.file, self.mapping(*path), places)

    def without(self, *keys: str) -> ConfigDocument:
        """The document without some of its top keys."""
        data = {k: v for k, v in self.data.items() if k not in keys}
        places = {p: place for p, place in self.places.items() if not p or p[0] not in keys}
        return ConfigDocument(self.file, data, places)


def value_at(data: Yaml, path: KeyPath) -> Yaml:
    """The value at a key of some data; None where there is none."""
    for key in path:
        if isinstance(data, dict) and isinstance(key, str):
            data = data.get(key)
        elif isinstance(data, list) and isinstance(key, int) and key < len(data):
            data = data[key]
        else:
            return None
    return data


def as_mapping(value: Yaml) -> dict[str, Yaml]:
    """A mapping; an empty one in place of anything else."""
    return value if isinstance(value, dict) else {}


def mappings(value: Yaml) -> list[dict[str, Yaml]]:
    """The mappings in a list; none where there is no list."""
    return [entry for entry in value if isinstance(entry, dict)] if isinstance(value, list) else []


def spell(path: KeyPath) -> str:
    """A key path as a person writes it: ``charges[0].setting.refrigerant``."""
    text = ""
    for key in path:
        text += f"[{key}]" if isinstance(key, int) else f".{key}" if text else str(key)
    return text


def read_document(path: Path, shown: str = "") -> ConfigDocument:
    """The document in a config file; `shown` is the file's name in messages, the path without it.

    Raises ConfigError as `read_file` and `document_of`.
    """
    shown = shown or shown_name(path)
    return document_of(read_file(path, shown), shown)


def read_file(path: Path, shown: str) -> bytes:
    """The bytes of a config file; ConfigError if it cannot be read, or is too large for one."""
    return read_limited(path, shown, MAX_FILE_BYTES, wording.CONFIGS_ARE_SMALL())


def document_of(content: bytes, shown: str) -> ConfigDocument:
    """The document in a file's bytes: a YAML 1.2 mapping.

    Raises ConfigError if it is no UTF-8, no YAML, repeats a key, or uses anchors, aliases or tags.
    """
    try:
        return _document(_of_bytes, content, shown)
    except UnicodeError:
        # Which says where the text ends.
        as_text(content, shown, "YAML")
        raise


def parse_document(text: str, shown: str) -> ConfigDocument:
    """The document in a text, as `document_of` reads it from bytes."""
    return _document(_of_text, text, shown)


def _document(read: Callable[[T], Parsed], source: T, shown: str) -> ConfigDocument:
    try:
        parsed = read(source)
    except NotUsable as error:
        raise ConfigError([FileProblem(shown, error.line, "", error.text)]) from error
    return ConfigDocument(shown, parsed.data, {path: Place(shown, line) for path, line in parsed.lines.items()})


# A process that loads several catalogues reads the same registry again.
@functools.lru_cache(maxsize=512)
def _of_bytes(content: bytes) -> Parsed:
    cached = _read_cached(content)
    if cached is not None:
        return cached
    parsed = _of_text(io.TextIOWrapper(io.BytesIO(content), encoding="utf-8").read())
    _write_cached(content, parsed)
    return parsed


@functools.lru_cache(maxsize=512)
def _of_text(text: str) -> Parsed:
    # Here, not above: what was cached is read without it.
    from tablegen.config.yaml_text import parse

    return parse(text)


def _read_cached(content: bytes) -> Parsed | None:
    """What was cached of a file with these bytes; None if nothing was, or nothing that can be used."""
    body = _cache(default_folder()).read(_key(content))
    if body is None:
        return None
    cached = json.loads(body)
    return Parsed(cached["data"], {tuple(path): line for path, line in cached["lines"]})


def _write_cached(content: bytes, parsed: Parsed) -> None:
    """Cache what was read of a file with these bytes."""
    cached = {"data": parsed.data, "lines": [[list(path), line] for path, line in parsed.lines.items()]}
    body = json.dumps(cached, separators=(",", ":")).encode("ascii")
    # NaN, or halves of a sign written apart, do not come back from JSON as they were.
    if json.loads(body) == cached:
        _cache(default_folder()).write(_key(content), body)


@functools.cache
def _cache(folder: Path) -> Cache:
    return Cache(folder / "configs", command_line.CONFIGS_NOT_CACHED)


@functools.cache
def _version() -> str:
    return importlib.metadata.version("ruamel.yaml")


def _key(content: bytes) -> str:
    return f"layout {LAYOUT}, ruamel.yaml {_version()}, {hashlib.sha256(content).hexdigest()}"
