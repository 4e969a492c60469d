"""Read YAML 1.2 with the line of every key, so that a mistake can say where it stands."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.constructor import RoundTripConstructor
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.tokens import AliasToken, AnchorToken, TagToken

from tablegen.errors import ConfigError, Mistake

KeyPath: TypeAlias = tuple[str | int, ...]

LARGEST_FILE_BYTES = 2_000_000


class _Constructor(RoundTripConstructor):
    """Leaves a date as text, so that one that is no day of the calendar is told with its line."""


_Constructor.add_constructor("tag:yaml.org,2002:timestamp", lambda _, node: node.value)


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

    def mistake(self, path: KeyPath, text: str) -> Mistake:
        """A mistake at a key of this document."""
        place = self.place(path)
        return Mistake(place.file, place.line, spell(path), text)

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


def read_document(path: Path, shown: str) -> Document:
    """Read one YAML file whose top level is a mapping; `shown` is the name used in messages.

    Raises
    ------
    ConfigError
        If it cannot be read, is no YAML, repeats a key, or uses anchors, aliases or tags.
    """
    try:
        if path.stat().st_size > LARGEST_FILE_BYTES:
            raise ConfigError([Mistake(shown, 0, "", "the file is larger than 2 MB; no config file needs that")])
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ConfigError([Mistake(shown, 0, "", "the file does not exist")]) from None
    except (OSError, UnicodeDecodeError) as error:
        raise ConfigError([Mistake(shown, 0, "", f"the file cannot be read: {error}")]) from error
    return parse_document(text, shown)


# The reader is slow (10 ms a file), and a process that loads several catalogues reads the same registry again.
@functools.lru_cache(maxsize=512)
def parse_document(text: str, shown: str) -> Document:
    """Parse YAML text, as `read_document` does; a document is not to be changed by who gets it."""
    try:
        # Aliases could multiply a small file into a huge tree; configs have no need of them.
        for token in YAML(typ="rt", pure=True).scan(text):
            if isinstance(token, (AliasToken, AnchorToken, TagToken)):
                line = token.start_mark.line + 1
                raise ConfigError([Mistake(shown, line, "", "anchors (&), aliases (*) and tags (!) are not used here")])
        reader = YAML(typ="rt", pure=True)
        reader.Constructor = _Constructor
        loaded = reader.load(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 0
        problem = (error.problem or "it is not valid YAML").splitlines()[0]
        raise ConfigError([Mistake(shown, line, "", f"{problem}; the file must be YAML 1.2")]) from error
    except (YAMLError, ValueError, RecursionError) as error:
        raise ConfigError([Mistake(shown, 0, "", f"the file is not YAML 1.2: {str(error).splitlines()[0]}")]) from error
    if not isinstance(loaded, CommentedMap):
        raise ConfigError([Mistake(shown, 1, "", "the file must hold keys and values, such as 'title: ...'")])
    places: dict[KeyPath, Place] = {}
    data = _plain(loaded, (), places, shown)
    return Document(shown, data, places)


def _plain(node: Any, path: KeyPath, places: dict[KeyPath, Place], shown: str) -> Any:
    """Plain Python values of a round-trip tree; places are noted on the way."""
    if isinstance(node, CommentedMap):
        mapping = {}
        for key, value in node.items():
            name = str(key)
            places[(*path, name)] = Place(shown, node.lc.key(key)[0] + 1)
            mapping[name] = _plain(value, (*path, name), places, shown)
        return mapping
    if isinstance(node, CommentedSeq):
        for index in range(len(node)):
            places[(*path, index)] = Place(shown, node.lc.item(index)[0] + 1)
        return [_plain(value, (*path, i), places, shown) for i, value in enumerate(node)]
    if isinstance(node, bool) or node is None:
        return node
    for plain_type in (int, float, str):
        if isinstance(node, plain_type):
            return plain_type(node)
    return str(node)


def _merge(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(base)
    for key, value in over.items():
        below = merged.get(key)
        merged[key] = _merge(below, value) if isinstance(below, dict) and isinstance(value, dict) else value
    return merged
