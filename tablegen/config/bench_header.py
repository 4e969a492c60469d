"""What a bench file says of all its rows: the header with its columns and units, and remarks that begin with '#'."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tablegen.config.fields import ATMOSPHERE_PA, is_atmosphere, read_day
from tablegen.errors import BadValue, unknown
from tablegen.unit_table import Unit
from tablegen.units import read_pressure, to_si, unit_named
from tablegen.wording import bench as wording
from tablegen.wording import input_errors
from tablegen.wording.message import Message
from tablegen.wording.unit_texts import A_QUANTITY

STEPS = "steps"


@dataclass(frozen=True, slots=True)
class ColumnRule:
    """A column that a bench file may have: kind of quantity ("" for text, `STEPS` for a count), bounds in SI, rule."""

    kind: str
    bounds: tuple[float, float] = (float("-inf"), float("inf"))
    rule: Message | None = None


_PRESSURE = ColumnRule("pressure", (1e3, 2e7), wording.PRESSURE_RANGE)
_TEMPERATURE = ColumnRule("temperature", (173.15, 423.15), wording.TEMPERATURE_RANGE)
COLUMNS: dict[str, ColumnRule] = {
    "refrigerant": ColumnRule(""),
    "size": ColumnRule(""),
    "charge": ColumnRule(""),
    "specimen": ColumnRule(""),
    "inlet_pressure": _PRESSURE,
    "inlet_temperature": _TEMPERATURE,
    "outlet_pressure": _PRESSURE,
    "mass_flow": ColumnRule("mass flow", (1e-7, 100.0), wording.FLOW_RANGE),
    "opening": ColumnRule("share", (0.0, 3.0), wording.OPENING_RANGE),
    "steps": ColumnRule(STEPS, (0.0, 1e6), wording.STEPS_RANGE),
    "bulb_temperature": _TEMPERATURE,
    "bulb_pressure": _PRESSURE,
    "evaporator_pressure": _PRESSURE,
    "site_pressure": ColumnRule("pressure", ATMOSPHERE_PA, wording.ATMOSPHERE_RANGE),
    "note": ColumnRule(""),
}
_EXAMPLES = {"pressure": "psi_absolute", "temperature": "degF", "mass flow": "lb/h", "share": "percent"}
_HEADER_CELL = re.compile(r"([^\[\]]*?)\s*(?:\[\s*([^\[\]]*?)\s*\])?")
_MAX_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file: its index, and the unit of its numbers."""

    index: int
    unit: Unit


@dataclass(frozen=True, slots=True)
class Header:
    """The columns of a file by name, and how many cells a row has."""

    columns: dict[str, Column]
    width: int


def read_header(cells: Sequence[str]) -> tuple[Header, list[tuple[str, str]]]:
    """The header of a file; and the problems in it, as column and text."""
    problems: list[tuple[str, str]] = []
    width = max((i for i, cell in enumerate(cells, start=1) if cell), default=0)
    columns: dict[str, Column] = {}
    for index, cell in enumerate(cells[:width]):
        match = _HEADER_CELL.fullmatch(cell)
        name = re.sub(r"[\s-]+", "_", match[1].strip().lower()) if match else ""
        shown = name[:_MAX_SHOWN]
        if match is None or not name:
            value = BadValue(repr(cell[:_MAX_SHOWN]), wording.NAME_AND_UNIT())
            problems.append((wording.COLUMN(number=index + 1), str(value)))
        elif name not in COLUMNS:
            problems.append((shown, unknown(input_errors.A_COLUMN(), shown, COLUMNS)))
        elif name in columns:
            problems.append((shown, wording.COLUMN_TWICE(first=columns[name].index + 1, second=index + 1)))
        else:
            try:
                columns[name] = _column(index, name, match[2] or "")
            except BadValue as error:
                problems.append((shown, str(error)))
    return Header(columns, len(cells)), problems


def _column(index: int, name: str, unit: str) -> Column:
    kind = COLUMNS[name].kind
    if kind in ("", STEPS):
        if unit not in ("", "1"):
            raise BadValue(f"[{unit[:_MAX_SHOWN]}]", wording.NO_UNIT())
        return Column(index, Unit(name="", scale=1.0))
    if not unit:
        example = f"{name} [{_EXAMPLES[kind]}]"
        raise BadValue(repr(name), wording.UNIT_MISSING(quantity=A_QUANTITY[kind](), example=example))
    found = unit_named(kind, unit)
    if name == "site_pressure" and found.is_gauge:
        raise BadValue(f"[{unit}]", wording.ATMOSPHERE_ABSOLUTE())
    return Column(index, found)


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Date of the test, atmosphere [Pa], and what the instruments are good for, each None where it is not stated.

    Uncertainties are standard ones (one standard deviation): of mass flow as a share of the reading, of opening as
    a share of rated stroke, of the pressure drop [Pa].  `truth` says what invented readings were made from, in words.
    """

    date: datetime.date | None = None
    site_pressure_pa: float | None = None
    flow_uncertainty: float | None = None
    opening_uncertainty: float | None = None
    drop_uncertainty_pa: float | None = None
    truth: str | None = None


def read_remark(line: str, about: About) -> About:
    """What is known after one more remark; one that is not of the form 'key: value' with a key of ours adds nothing.

    Raises BadValue for a value that cannot be read, a key that is given twice, or one that is a near miss.
    """
    match = re.fullmatch(r"[#\s]*([A-Za-z][A-Za-z_ ]*?)\s*:\s*(.*?)\s*", line)
    if match is None:
        return about
    key, text = match[1].lower().replace(" ", "_"), match[2]
    if key not in _READ:
        if alike := difflib.get_close_matches(key, _READ, n=1, cutoff=0.8):
            hint = input_errors.DID_YOU_MEAN(name=alike[0])
            raise BadValue(repr(match[1]), wording.REMARK_KEYS(keys=", ".join(_READ)), hint)
        return about
    name, read = _READ[key]
    if getattr(about, name) is not None:
        raise BadValue(repr(text), wording.GIVEN_TWICE(key=key))
    return replace(about, **{name: read(text)})


def read_site_pressure(text: str) -> float:
    """An atmospheric pressure [Pa]; BadValue for one that is not absolute, or that an atmosphere cannot have."""
    reading = read_pressure(text)
    if not is_atmosphere(reading):
        raise BadValue(repr(text), wording.ATMOSPHERE_ABSOLUTE())
    return reading.value_pa


def read_uncertainty(text: str) -> float:
    """A standard uncertainty as a share; BadValue for one that is not above 0 and at most 20 percent."""
    return _above_zero(text, "share", 0.2, wording.UNCERTAINTY)


def read_drop_uncertainty(text: str) -> float:
    """A standard uncertainty of a pressure drop [Pa]; BadValue for one that is not above 0 and at most 1 bar."""
    return _above_zero(text, "pressure difference", 1e5, wording.DROP_UNCERTAINTY)


def _above_zero(text: str, kind: str, maximum: float, rule: Message) -> float:
    value = to_si(text, kind)
    if not 0.0 < value <= maximum:
        raise BadValue(repr(text), rule())
    return value


def _read_truth(text: str) -> str:
    if not 0 < len(text) <= 300 or not text.isprintable():
        raise BadValue(repr(text[:_MAX_SHOWN]), wording.TRUTH())
    return text


# The field of each remark, and what reads its text.
_READ: dict[str, tuple[str, Callable[[str], Any]]] = {
    "date": ("date", read_day),
    "site_pressure": ("site_pressure_pa", read_site_pressure),
    "flow_uncertainty": ("flow_uncertainty", read_uncertainty),
    "opening_uncertainty": ("opening_uncertainty", read_uncertainty),
    "drop_uncertainty": ("drop_uncertainty_pa", read_drop_uncertainty),
    "truth": ("truth", _read_truth),
}
