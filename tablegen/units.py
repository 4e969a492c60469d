"""Units, at the two edges only: text read from a config to SI, and SI to a printed figure.

A config value is split into number and unit, and the unit is matched against a closed list for the kind of
quantity that its key expects; pint supplied the scale and offset of each (`unit_lines.py`).  The
closed list is what keeps `25 F` from being farads, `3 ton` from being mass and `2 TR` from being a gas
constant, and a temperature from standing where a difference belongs.  Gauge pressure is never a pint
unit: it is a number of pascals with a flag, to which the site pressure is added where that is known.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass

from tablegen.errors import BadValue
from tablegen.unit_lines import LINES

# Cv (US gal/min at 1 psi of water) over Kv (m3/h at 1 bar), IEC 60534-2-1.
CV_PER_KV = 1.156

# Share of a scale's offset below which a figure is a zero that went through another scale and back.
_ROUNDING = 1e-12

_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$")
# What follows the whole part of a number with a decimal comma.
_COMMA = re.compile(r",\d")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its name for messages, its SI unit in pint's words, and the spellings that it takes."""

    name: str
    si: str
    spellings: dict[str, str]

    def allowed(self) -> str:
        """The allowed unit spellings, for a message."""
        return ", ".join(self.spellings)

    def to_si(self, number: float, spelling: str) -> float:
        """A number of one of the units in SI."""
        scale, offset = LINES[self.spellings[spelling], self.si]
        return number * scale + offset


def _plain(*names: str) -> dict[str, str]:
    return {name: name for name in names}


_PRESSURES = {f"{unit}_{ref}": unit for ref in ("gauge", "absolute") for unit in ("psi", "bar", "kPa", "MPa")}
_KELVIN_STEPS = {"delta_degF": "delta_degF", "delta_degC": "delta_degC", "K": "kelvin"}

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("temperature", "kelvin", {"degF": "degF", "degC": "degC", "K": "kelvin"}),
        Kind("temperature difference", "kelvin", _KELVIN_STEPS),
        Kind("pressure", "pascal", _PRESSURES),
        Kind("pressure difference", "pascal", _plain("psi", "bar", "kPa", "Pa")),
        Kind(
            "load",
            "watt",
            {
                "kW": "kW",
                "W": "W",
                "kBtu/h": "kBtu_it/hour",
                "Btu/h": "Btu_it/hour",
                "ton_refrigeration": "ton_refrigeration",
            },
        ),
        Kind(
            "flow coefficient",
            "m**3/hour",
            {
                "m3/h": "m**3/hour",
                "L/h": "liter/hour",
                "US_gal/min": "US_gal/min",
            },
        ),
        Kind("length", "meter", {"m": "meter", "mm": "mm", "ft": "foot", "in": "inch"}),
        Kind("share", "dimensionless", {"percent": "percent"}),
        Kind("mass flow", "kg/s", {"kg/s": "kg/s", "kg/h": "kg/hour", "lb/h": "lb/hour"}),
        Kind("density", "kg/m**3", {"kg/m3": "kg/m**3", "lb/ft3": "lb/foot**3"}),
        Kind("enthalpy", "J/kg", {"kJ/kg": "kJ/kg", "J/kg": "J/kg", "Btu/lb": "Btu_it/lb"}),
    )
}


@dataclass(frozen=True, slots=True)
class PressureReading:
    """A pressure as a gauge or absolute reading [Pa]; only `absolute` gives a pressure to compute with."""

    value_pa: float
    is_gauge: bool

    def absolute(self, site_pressure_pa: float) -> float:
        """Absolute pressure [Pa], given the site's atmospheric pressure [Pa]."""
        return self.value_pa + site_pressure_pa if self.is_gauge else self.value_pa


def _hint(unit: str, kind: Kind) -> str:
    named = {
        "temperature": {
            "F": "degF",
            "C": "degC",
            "°F": "degF",
            "°C": "degC",
            "delta_degF": "degF",
            "delta_degC": "degC",
        },
        "temperature difference": {
            "degF": "delta_degF",
            "degC": "delta_degC",
            "F": "delta_degF",
            "C": "delta_degC",
            "R": "delta_degF",
        },
        "pressure": {
            "psi": "psi_gauge or psi_absolute",
            "bar": "bar_gauge or bar_absolute",
            "psig": "psi_gauge",
            "psia": "psi_absolute",
            "barg": "bar_gauge",
            "bara": "bar_absolute",
            "kPa": "kPa_gauge or kPa_absolute",
        },
        "load": {
            "TR": "ton_refrigeration",
            "ton": "ton_refrigeration",
            "tons": "ton_refrigeration",
            "BTUH": "Btu/h",
            "MBH": "kBtu/h",
        },
        "share": {"%": "percent"},
        "flow coefficient": {"Kv": "m3/h", "Cv": "US_gal/min", "gpm": "US_gal/min"},
    }.get(kind.name, {})
    if unit in named:
        return f"did you mean {named[unit]}?"
    folded = {spelling.lower(): spelling for spelling in kind.spellings}
    near = difflib.get_close_matches(unit.lower(), folded, n=1, cutoff=0.6)
    return f"did you mean {folded[near[0]]}?" if near else ""


def with_comma(text: str) -> BadValue:
    """What is wrong with a quantity whose number has a comma; three figures behind it may be thousands, so no guess."""
    rule = "a decimal comma is not read, nor one between thousands; a number has a decimal point"
    is_plain = re.search(r",\d{3}(?!\d)", text) is None and text.count(",") == 1
    return BadValue(repr(text), rule, f"write {text.replace(',', '.')!r} if that is meant" if is_plain else "")


def split(text: object, kind: Kind) -> tuple[float, str]:
    """Split a config value into its number and one of the kind's unit spellings.

    Raises
    ------
    BadValue
        For a bare number, a value that is no text, or a unit that the kind does not take.
    """
    rule = f"a {kind.name} takes one of the units {kind.allowed()}"
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise BadValue(text, rule)
    match = _NUMBER.match(str(text))
    if match is None:
        example = f"write a number, a space and a unit, as in '9 {next(iter(kind.spellings))}'"
        raise BadValue(repr(text), rule, example)
    number, unit = float(match[1]), match[2]
    if _COMMA.match(unit):
        raise with_comma(str(text))
    if not math.isfinite(number):
        raise BadValue(repr(text), "the number must be finite")
    if not unit:
        bare = str(text).strip()
        # Kv stands in m3/h and in L/h: a guess would be 1000 times too large.
        guess = f"write '{bare} {next(iter(kind.spellings))}' if that is meant"
        raise BadValue(bare, f"it has no unit; {rule}", "" if kind.name == "flow coefficient" else guess)
    if unit not in kind.spellings:
        raise BadValue(repr(str(text)), rule, _hint(unit, kind))
    return number, unit


def to_si(text: object, kind_name: str) -> float:
    """Read a config value of the named kind into its SI number (a flow coefficient into Kv [m3/h]).

    Raises
    ------
    BadValue
        As `split`, and for a temperature below absolute zero.
    """
    kind = KINDS[kind_name]
    number, unit = split(text, kind)
    value = kind.to_si(number, unit)
    if kind_name == "temperature" and value <= 0.0:
        raise BadValue(repr(text), "a temperature must be above absolute zero")
    if kind_name == "flow coefficient" and unit == "US_gal/min":
        # A Cv is a flow at 1 psi, a Kv one at 1 bar: the unit conversion alone is not enough.
        return number / CV_PER_KV
    return value


def column_scale(kind_name: str, spelling: str) -> tuple[float, float]:
    """Factor and offset by which the numbers of a column become SI: value = number x factor + offset.

    Whether a pressure is gauge or absolute is left to the caller.

    Raises
    ------
    BadValue
        If the kind does not take the spelling.
    """
    kind = KINDS[kind_name]
    if spelling not in kind.spellings:
        raise BadValue(repr(spelling), f"a {kind.name} takes one of the units {kind.allowed()}", _hint(spelling, kind))
    return LINES[kind.spellings[spelling], kind.si]


def read_pressure(text: object) -> PressureReading:
    """Read a pressure that says whether it is gauge or absolute.

    Raises
    ------
    BadValue
        As `split`, and for an absolute pressure that is not positive.
    """
    kind = KINDS["pressure"]
    number, unit = split(text, kind)
    value = kind.to_si(number, unit)
    is_gauge = unit.endswith("_gauge")
    if not is_gauge and value <= 0.0:
        raise BadValue(repr(text), "an absolute pressure must be positive")
    return PressureReading(value, is_gauge)


@dataclass(frozen=True, slots=True)
class PrintUnit:
    """A printed unit: value = SI x scale + offset, and the words that stand beside it."""

    pint_unit: str
    label: str
    si: str

    def of(self, value_si: float) -> float:
        """The figure in this unit; what is left of a zero by conversion (0 degF through kelvin) is a zero."""
        scale, offset = LINES[self.si, self.pint_unit]
        figure = value_si * scale + offset
        # Without an offset nothing is left, and figures may be an array.
        return 0.0 if offset and abs(figure) <= _ROUNDING * abs(offset) else figure


PRINT_UNITS: dict[str, dict[str, PrintUnit]] = {
    "SI": {
        "temperature": PrintUnit("degC", "°C", "kelvin"),
        "temperature difference": PrintUnit("delta_degC", "K", "kelvin"),
        "load": PrintUnit("kW", "kW", "watt"),
        "pressure": PrintUnit("bar", "bar", "pascal"),
        "pressure gauge": PrintUnit("bar", "bar gauge", "pascal"),
        "density": PrintUnit("kg/m**3", "kg/m³", "kg/m**3"),
        "enthalpy": PrintUnit("kJ/kg", "kJ/kg", "J/kg"),
        "length": PrintUnit("m", "m", "m"),
        "flow coefficient": PrintUnit("m**3/hour", "m³/h", "m**3/hour"),
        "mass flow": PrintUnit("kg/hour", "kg/h", "kg/s"),
    },
    "IP": {
        "temperature": PrintUnit("degF", "°F", "kelvin"),
        "temperature difference": PrintUnit("delta_degF", "°F", "kelvin"),
        "load": PrintUnit("kBtu_it/hour", "kBtu/h", "watt"),
        "pressure": PrintUnit("psi", "psia", "pascal"),
        "pressure gauge": PrintUnit("psi", "psi gauge", "pascal"),
        "density": PrintUnit("lb/foot**3", "lb/ft³", "kg/m**3"),
        "enthalpy": PrintUnit("Btu_it/lb", "Btu/lb", "J/kg"),
        "length": PrintUnit("foot", "ft", "m"),
        "flow coefficient": PrintUnit("m**3/hour", "m³/h", "m**3/hour"),
        "mass flow": PrintUnit("lb/hour", "lb/h", "kg/s"),
    },
}
PRESSURE_DIFFERENCE = {
    "SI": PrintUnit("kPa", "kPa", "pascal"),
    "IP": PrintUnit("psi", "psi", "pascal"),
}
LOAD_UNITS = {
    "kW": PrintUnit("kW", "kW", "watt"),
    "kBtu/h": PrintUnit("kBtu_it/hour", "kBtu/h", "watt"),
    "ton_refrigeration": PrintUnit("ton_refrigeration", "tons of refrigeration", "watt"),
}


def unit_named(kind_name: str, spelling: str) -> PrintUnit:
    """The unit of a kind that is spelt as in a config ("psi_gauge", "kg/m3"); a reference is left to the caller.

    Raises
    ------
    BadValue
        If the kind does not take the spelling.
    """
    kind = KINDS[kind_name]
    if spelling not in kind.spellings:
        raise BadValue(repr(spelling), f"must be one of {kind.allowed()}", _hint(spelling, kind))
    label = spelling.replace("delta_", "").replace("deg", "°").replace("_", " ").replace("3", "³")
    return PrintUnit(kind.spellings[spelling], label, kind.si)


def print_unit(quantity: str, system: str, load: str | None = None) -> PrintUnit:
    """The unit in which a quantity is printed in a unit system ("SI" or "IP"); `load` overrides the load unit."""
    if quantity == "pressure difference":
        return PRESSURE_DIFFERENCE[system]
    if quantity == "load" and load is not None:
        return LOAD_UNITS[load]
    return PRINT_UNITS[system][quantity]
