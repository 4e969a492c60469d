"""Config documents: plain data with the place of every key, so that a problem can say where it stands."""

from __future__ import annotations

import functools
import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tablegen.config.parsed import KeyPath, Parsed, cache_parsed, read_cached
from tablegen.config.text_file import as_text, read_limited
from tablegen.errors import ConfigError, Problem

LARGEST_FILE_BYTES = 300_000


class NotUsable(ValueError):
    """Text that is no config, at a line (0 where that is not known)."""

    def __init__(self, line: int, text: str) -> None:
        self.line, self.text = line, text
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a key stands."""

    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Document:
    """Plain data of one config file, and the place of every key and list item in it."""

    file: str
    data: dict[str, Any]
    places: dict[KeyPath, Place] = field(default_factory=dict)

    def place(self, path: KeyPath) -> Place:
        """The place of a key; of the nearest key above it where it is not written."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place(self.file, 1))

    def problem(self, path: KeyPath, text: str) -> Problem:
        """A problem at a key of this document."""
        place = self.place(path)
        return Problem(place.file, place.line, spell(path), text)

    def part(self, path: KeyPath) -> Document:
        """The mapping at a key as a document of its own, places kept."""
        data: Any = self.data
        for key in path:
            data = data[key]
        depth = len(path)
        places = {p[depth:]: place for p, place in self.places.items() if p[:depth] == path}
        return Document(self.file, data, places)

    def without(self, key: str) -> Document:
        """The document less one of its top keys."""
        data = {k: v for k, v in self.data.items() if k != key}
        return Document(self.file, data, {p: place for p, place in self.places.items() if p[:1] != (key,)})

    def overlaid(self, other: Document) -> Document:
        """This document with the values of another put over it, key by key, each keeping its own place."""
        return Document(self.file, _merge(self.data, other.data), {**self.places, **other.places})


def spell(path: KeyPath) -> str:
    """A key path as a person writes it: ``charges[0].setting.refrigerant``."""
    text = ""
    for key in path:
        text += f"[{key}]" if isinstance(key, int) else f".{key}" if text else str(key)
    return text


def read_file(path: Path, shown: str) -> bytes:
    """The bytes of a config file; `shown` is the name used in messages.

    Raises
    ------
    ConfigError
        If it cannot be read, or is too large for one.
    """
    return read_limited(path, shown, LARGEST_FILE_BYTES, "no config file needs that", is_regular=True)


def document_of(content: bytes, shown: str) -> Document:
    """The document in a file's bytes: a YAML 1.2 mapping.

    Raises
    ------
    ConfigError
        If it is no UTF-8, no YAML, repeats a key, or uses anchors, aliases or tags.
    """
    try:
        return _document(_of_bytes(content), shown)
    except UnicodeError:
        # Which says where the text ends.
        as_text(content, shown, "YAML")
        raise
    except NotUsable as error:
        raise ConfigError([Problem(shown, error.line, "", error.text)]) from error


def parse_document(text: str, shown: str) -> Document:
    """The document in a text, as `document_of` reads it from bytes."""
    try:
        return _document(_of_text(text), shown)
    except NotUsable as error:
        raise ConfigError([Problem(shown, error.line, "", error.text)]) from error


def _document(parsed: Parsed, shown: str) -> Document:
    return Document(shown, parsed.data, {path: Place(shown, line) for path, line in parsed.lines.items()})


# A process that loads several catalogues reads the same registry again.
@functools.lru_cache(maxsize=512)
def _of_bytes(content: bytes) -> Parsed:
    cached = read_cached(content)
    if cached is not None:
        return cached
    parsed = _of_text(io.TextIOWrapper(io.BytesIO(content), encoding="utf-8").read())
    cache_parsed(content, parsed)
    return parsed


@functools.lru_cache(maxsize=512)
def _of_text(text: str) -> Parsed:
    # Here, not above: what was cached is read without it.
    from tablegen.config.yaml_text import parse

    return parse(text)


def _merge(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(base)
    for key, value in over.items():
        below = merged.get(key)
        merged[key] = _merge(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return merged
