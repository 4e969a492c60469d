"""What a bench file says of all its rows: the header with its columns and units, and remarks that begin with '#'."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tablegen.config.fields import read_day
from tablegen.errors import BadValue, unknown
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
_ATMOSPHERE_PA = (5e4, 1.1e5)
COLUMNS: dict[str, ColumnRule] = {
    "refrigerant": ColumnRule(""),
    "size": ColumnRule(""),
    "charge": ColumnRule(""),
    "inlet_pressure": _PRESSURE,
    "inlet_temperature": _TEMPERATURE,
    "outlet_pressure": _PRESSURE,
    "mass_flow": ColumnRule("mass flow", (1e-7, 100.0), wording.FLOW_RANGE),
    "opening": ColumnRule("share", (0.0, 3.0), wording.OPENING_RANGE),
    "steps": ColumnRule(STEPS, (0.0, 1e6), wording.STEPS_RANGE),
    "bulb_temperature": _TEMPERATURE,
    "bulb_pressure": _PRESSURE,
    "evaporator_pressure": _PRESSURE,
    "site_pressure": ColumnRule("pressure", _ATMOSPHERE_PA, wording.ATMOSPHERE_RANGE),
    "note": ColumnRule(""),
}
_EXAMPLES = {"pressure": "psi_absolute", "temperature": "degF", "mass flow": "lb/h", "share": "percent"}
_HEADER_CELL = re.compile(r"([^\[\]]*?)\s*(?:\[\s*([^\[\]]*?)\s*\])?")
_MAX_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file: its index, its unit, and how its numbers become SI."""

    index: int
    unit: str
    scale: float = 1.0
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
    if width == 1 and any(separator in cells[0] for separator in ";\t"):
        text = wording.SEMICOLONS() if ";" in cells[0] else wording.TABS()
        return Header({}, 1), [(input_errors.HEADER(), text)]
    for index, cell in enumerate(cells[:width]):
        match = _HEADER_CELL.fullmatch(cell)
        name = re.sub(r"[\s-]+", "_", match[1].strip().lower()) if match else ""
        shown = name[:_MAX_SHOWN]
        try:
            if match is None or not name:
                shown = wording.COLUMN(number=index + 1)
                raise BadValue(repr(cell[:_MAX_SHOWN]), wording.NAME_AND_UNIT())
            if name not in COLUMNS:
                problems.append((shown, unknown(input_errors.A_COLUMN(), shown, COLUMNS)))
            elif name in columns:
                twice = wording.COLUMN_TWICE(first=columns[name].index + 1, second=index + 1)
                problems.append((shown, twice))
            else:
                columns[name] = _column(index, name, match[2] or "")
        except BadValue as error:
            problems.append((shown, str(error)))
    return Header(columns, len(cells)), problems


def _column(index: int, name: str, unit: str) -> Column:
    kind = COLUMNS[name].kind
    if kind in ("", STEPS):
        if unit not in ("", "1"):
            raise BadValue(f"[{unit[:_MAX_SHOWN]}]", wording.NO_UNIT())
        return Column(index, "")
    if not unit:
        example = f"{name} [{_EXAMPLES[kind]}]"
        raise BadValue(repr(name), wording.UNIT_MISSING(quantity=A_QUANTITY[kind](), example=example))
    found = unit_named(kind, unit)
    column = Column(index, found.name, found.scale, found.offset)
    if name == "site_pressure" and column.is_gauge:
        raise BadValue(f"[{unit}]", wording.ATMOSPHERE_ABSOLUTE())
    return column


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

    Raises
    ------
    BadValue
        For a value that cannot be read, a key that is given twice, or one that is a near miss.
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
    return read(about, text)


def read_site_pressure(text: str) -> float:
    """An atmospheric pressure [Pa].

    Raises
    ------
    BadValue
        If it is no absolute pressure that an atmosphere can have.
    """
    reading = read_pressure(text)
    minimum, maximum = _ATMOSPHERE_PA
    if reading.is_gauge or not minimum <= reading.value_pa <= maximum:
        raise BadValue(repr(text), wording.ATMOSPHERE_ABSOLUTE())
    return reading.value_pa


def read_uncertainty(text: str) -> float:
    """A standard uncertainty as a share.

    Raises
    ------
    BadValue
        If it is no share above 0 and at most 20 percent.
    """
    value = to_si(text, "share")
    if not 0.0 < value <= 0.2:
        raise BadValue(repr(text), wording.UNCERTAINTY())
    return value


def read_drop_uncertainty(text: str) -> float:
    """A standard uncertainty of a pressure drop [Pa].

    Raises
    ------
    BadValue
        If it is no pressure difference above 0 and at most 1 bar.
    """
    value = to_si(text, "pressure difference")
    if not 0.0 < value <= 1e5:
        raise BadValue(repr(text), wording.DROP_UNCERTAINTY())
    return value


def _read_truth(text: str) -> str:
    if not 0 < len(text) <= 300 or not text.isprintable():
        raise BadValue(repr(text[:_MAX_SHOWN]), wording.TRUTH())
    return text


# The field of each remark, and how its text gets there.
_READ: dict[str, tuple[str, Callable[[About, str], About]]] = {
    "date": ("date", lambda about, text: replace(about, date=read_day(text))),
    "site_pressure": (
        "site_pressure_pa",
        lambda about, text: replace(about, site_pressure_pa=read_site_pressure(text)),
    ),
    "flow_uncertainty": (
        "flow_uncertainty",
        lambda about, text: replace(about, flow_uncertainty=read_uncertainty(text)),
    ),
    "opening_uncertainty": (
        "opening_uncertainty",
        lambda about, text: replace(about, opening_uncertainty=read_uncertainty(text)),
    ),
    "drop_uncertainty": (
        "drop_uncertainty_pa",
        lambda about, text: replace(about, drop_uncertainty_pa=read_drop_uncertainty(text)),
    ),
    "truth": ("truth", lambda about, text: replace(about, truth=_read_truth(text))),
}
