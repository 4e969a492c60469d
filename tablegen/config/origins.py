"""Where a figure of a case was written: file, line, key, and the very words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.config._applications import BY_REFRIGERANT, overlaid, overridden, own_keys
from tablegen.config.document import ConfigDocument, KeyPath, Yaml, read_document, spell, value_at
from tablegen.config.selection import override_document

# Lists of a family's file by the key that names a row.
_ROWS = {"charge": "charges", "design": "port_designs", "size": "sizes"}


@dataclass(frozen=True, slots=True)
class Origin:
    """One figure as it was written; `line` is 0 where it came from an override."""

    file: str
    line: int
    key: str
    text: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{self.key}: {self.text} ({place})"


class Origins:
    """The origins of one case: its application for one refrigerant, and its family.

    A key is a path in the application's file ("losses.lift"), or starts with what it is looked up in:
    "family:port.unbalance", "charge:NAME:setting.static_superheat", "size:NAME:kv"; "design:NAME:port.unbalance" where a
    port design states it and in the family where it does not, "loss:SIZE:kv" where the loss of a size's connections is.
    """

    def __init__(self, application: ConfigDocument, family: ConfigDocument) -> None:
        self._application, self._family = application, family

    def find(self, key: str) -> Origin | None:
        """Where a key is written; None where it is not, so that a default applies, or none is meant."""
        kind, _, rest = key.partition(":")
        if not rest:
            return _origin(self._application, _path(key))
        if kind == "family":
            return _origin(self._family, _path(rest))
        name, _, below = rest.partition(":")
        if kind == "design":
            return self._in_row("design", name, below) or _origin(self._family, _path(below))
        if kind == "loss":
            below = f"connection_loss.{below}"
            design = self._in_row("size", name, "port_design")
            of_design = self._in_row("design", design.text, below) if design else None
            return self._in_row("size", name, below) or of_design or _origin(self._family, _path(below))
        return self._in_row(kind, name, below)

    def _in_row(self, kind: str, name: str, below: str) -> Origin | None:
        """A key of a charge, port design or size by its name."""
        rows = _ROWS[kind]
        entries = self._family.value((rows,))
        names = [str(value_at(entry, (kind,))) for entry in (entries if isinstance(entries, list) else ())]
        return _origin(self._family, (rows, names.index(name), *_path(below))) if name in names else None


def origins_of(
    catalogue: Path,
    application: str,
    refrigerant: str,
    family: str,
    overrides: Sequence[str] = (),
    coil_difference: str = "",
) -> Origins:
    """The origins of a case in a catalogue that `load_with` has read with the same overrides.

    `coil_difference` is the coil temperature difference that the case gives in place of the application's; empty without.
    """
    folder = catalogue.parent
    document = _read(folder, "applications", application)
    if overrides:
        document = overridden(document, override_document(overrides))
    if coil_difference:
        balanced = "suction.box_difference"
        stated = "coil_temperature_difference" if document.value(_path(balanced)) is None else balanced
        document = overridden(document, override_document([f"{stated}={coil_difference}"], "coil_difference"))
    if key := own_keys(document).get(refrigerant):
        document = overlaid(document.without(BY_REFRIGERANT), document.part((BY_REFRIGERANT, key)))
    return Origins(document, _read(folder, "families", family))


def _read(folder: Path, kind: str, name: str) -> ConfigDocument:
    """A file of the catalogue, named as seen from it."""
    shown = f"{kind}/{name}.yaml"
    return read_document(folder / shown, shown)


def _path(key: str) -> KeyPath:
    return tuple(key.split("."))


def _origin(document: ConfigDocument, path: KeyPath) -> Origin | None:
    value = document.value(path)
    if value is None:
        return None
    place = document.place(path)
    return Origin(place.file, place.line, spell(path), _written(value))


def _written(value: Yaml) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_written(below)}" for key, below in value.items())
    if isinstance(value, list):
        return ", ".join(_written(below) for below in value)
    return str(value)
