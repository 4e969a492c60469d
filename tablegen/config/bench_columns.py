"""The columns of a bench file, and its header."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.errors import BadValue, unknown
from tablegen.units import unit_named


@dataclass(frozen=True, slots=True)
class Known:
    """A column that a bench file may have: kind of quantity ("" for text, "steps" for a count), bounds in SI, rule."""

    kind: str
    bounds: tuple[float, float] = (float("-inf"), float("inf"))
    rule: str = ""


def _pressure() -> Known:
    return Known("pressure", (1e3, 2e7), "it must be at least 0.01 and at most 200 bar absolute (0.15 to 2900 psi)")


def _temperature() -> Known:
    return Known("temperature", (173.15, 423.15), "it must be at least -100 and at most 150 degC (-148 to 302 degF)")


COLUMNS: dict[str, Known] = {
    "refrigerant": Known(""),
    "size": Known(""),
    "charge": Known(""),
    "inlet_pressure": _pressure(),
    "inlet_temperature": _temperature(),
    "outlet_pressure": _pressure(),
    "mass_flow": Known(
        "mass flow", (1e-7, 100.0), "it must be above 0 and at most 100 kg/s; leave it empty where there was no flow"
    ),
    "opening": Known("share", (0.0, 3.0), "it must be at least 0 and at most 300 percent of rated stroke"),
    "steps": Known("steps", (0.0, 1e6), "steps are a count from 0 up"),
    "bulb_temperature": _temperature(),
    "bulb_pressure": _pressure(),
    "evaporator_pressure": _pressure(),
    "site_pressure": Known("pressure", (5e4, 1.1e5), "an atmosphere is between 50 and 110 kPa (7.3 to 16 psi)"),
    "note": Known(""),
}
_HEADER_CELL = re.compile(r"([^\[\]]*?)\s*(?:\[\s*([^\[\]]*?)\s*\])?")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file: where it stands, its unit, and how its numbers become SI."""

    index: int
    unit: str
    factor: float = 1.0
    offset: float = 0.0

    @property
    def is_gauge(self) -> bool:
        """Whether the atmosphere is still to be added."""
        return self.unit.endswith("_gauge")


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a file by name, and how many cells a row has."""

    columns: dict[str, Column]
    width: int


def read_header(cells: Sequence[str]) -> tuple[Header, list[tuple[str, str]]]:
    """The header of a file; and the problems in it, as column and text."""
    problems: list[tuple[str, str]] = []
    width = len(cells)
    while width and not cells[width - 1]:
        width -= 1
    columns: dict[str, Column] = {}
    if width == 1 and any(mark in cells[0] for mark in ";\t"):
        mark = "semicolons" if ";" in cells[0] else "tabs"
        return Header({}, 1), [("header", f"cells are set apart by {mark}; save the file with commas")]
    for index, cell in enumerate(cells[:width]):
        match = _HEADER_CELL.fullmatch(cell)
        name = re.sub(r"[\s-]+", "_", match[1].strip().lower()) if match else ""
        if match is None or not name:
            problems.append((f"column {index + 1}", f"{cell[:40]!r} is not allowed; a column is called 'name [unit]'"))
            continue
        if name not in COLUMNS:
            problems.append((name[:40], unknown("a column", name[:40], COLUMNS)))
            continue
        if name in columns:
            first = columns[name].index + 1
            problems.append((name, f"the column stands twice, as column {first} and column {index + 1}"))
            continue
        try:
            columns[name] = _column(index, name, match[2] or "")
        except BadValue as error:
            problems.append((name, str(error)))
    return Header(columns, len(cells)), problems


def _column(index: int, name: str, unit: str) -> Column:
    kind = COLUMNS[name].kind
    if kind in ("", "steps"):
        if unit not in ("", "1"):
            raise BadValue(f"[{unit[:40]}]", "this column has no unit")
        return Column(index, "")
    if not unit:
        raise BadValue(repr(name), f"a {kind} needs its unit in the header, as '{name} [{_EXAMPLES[kind]}]'")
    found = unit_named(kind, unit)
    column = Column(index, found.name, found.scale, found.offset)
    if name == "site_pressure" and column.is_gauge:
        raise BadValue(f"[{unit}]", "an atmospheric pressure is absolute")
    return column


_EXAMPLES = {"pressure": "psi_absolute", "temperature": "degF", "mass flow": "lb/h", "share": "percent"}
