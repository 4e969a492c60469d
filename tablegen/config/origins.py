"""Where a figure of a case was written: file, line, key, and the very words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tablegen.config.overlay import overridden
from tablegen.config.overrides import override_document
from tablegen.config.parsed import KeyPath
from tablegen.config.source import Document, document_of, read_file, spell


@dataclass(frozen=True, slots=True)
class Origin:
    """One figure as it was written; `line` is 0 where it came from the command line."""

    file: str
    line: int
    key: str
    text: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{self.key}: {self.text} ({place})"


class Origins:
    """The origins of one case: its application as it holds for one refrigerant, and its family.

    A key is a path in the application's file ("losses.lift"), or starts with what it is looked up in:
    "family:port.unbalance", "charge:NAME:setting.static_superheat", "size:NAME:kv".
    """

    def __init__(self, application: Document, family: Document) -> None:
        self._application, self._family = application, family

    def find(self, key: str) -> Origin | None:
        """Where a key is written; None where it is not, so that a default holds, or none is meant."""
        kind, _, rest = key.partition(":")
        if not rest:
            return _origin(self._application, _path(key))
        if kind == "family":
            return _origin(self._family, _path(rest))
        name, _, below = rest.partition(":")
        rows, own = ("charges", "charge") if kind == "charge" else ("sizes", "size")
        found = [i for i, row in enumerate(self._family.data.get(rows, [])) if str(row.get(own)) == name]
        return _origin(self._family, (rows, found[0], *_path(below))) if found else None


def origins_of(
    catalogue: Path, application: str, refrigerant: str, family: str, overrides: Sequence[str] = ()
) -> Origins:
    """The origins of a case in a catalogue that `load_with` has read with the same overrides."""
    folder = catalogue.parent
    document = _read(folder, "applications", application)
    if overrides:
        document = overridden(document, override_document(overrides))
    special = document.data.get("by_refrigerant", {})
    if refrigerant in special:
        document = document.without("by_refrigerant").overlaid(document.part(("by_refrigerant", refrigerant)))
    return Origins(document, _read(folder, "families", family))


def _read(folder: Path, kind: str, name: str) -> Document:
    """A file of the catalogue, called as seen from it."""
    shown = f"{kind}/{name}.yaml"
    return document_of(read_file(folder / shown, shown), shown)


def _path(key: str) -> KeyPath:
    return tuple(key.split("."))


def _origin(document: Document, path: KeyPath) -> Origin | None:
    value: Any = document.data
    for key in path:
        if isinstance(key, str) and not (isinstance(value, dict) and key in value):
            return None
        value = value[key]
    place = document.place(path)
    return Origin(place.file, place.line, spell(path), _written(value))


def _written(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_written(below)}" for key, below in value.items())
    if isinstance(value, list):
        return ", ".join(_written(below) for below in value)
    return str(value)
