"""Units, at the two edges only: text that a person writes to SI, and SI to a printed figure.

Every key and option expects one kind of quantity, so a unit is looked up among the units of that kind alone: this keeps
`25 F` from being farads, `3 tons` from being mass and `2 TR` from being a gas constant.  The usual units and the
spellings of the trade are in `tablegen.unit_table`; pint reads every other unit, and is imported only when one is met.  A pressure
says whether it is gauge or absolute; the site pressure is added where it is known.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen.errors import BadValue, cut, shown
from tablegen.unit_table import CV_PER_KV, KINDS, Kind, Unit
from tablegen.wording import unit_texts as wording

if TYPE_CHECKING:
    import pint

_PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_LONGEST_NUMBER = 100
_WHOLE = re.compile(r"[+-]?[0-9]{1,100}")
_NUMBER = re.compile(
    r"\s*([+\-−]?(?:[0-9]+(?:,[0-9]+)*(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*?)\s*",
    re.DOTALL,
)
# "3/4 ton", "1 1/2 tons"; other denominators are none that the trade writes.
_FRACTION = re.compile(r"\s*(?:(\d{1,3})[\s-]+)?(\d{1,2})/(2|3|4|8|16|32)(?!\d)\s*(\D.*?)?\s*", re.DOTALL | re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?")
# A unit that pint may read: names with small powers, multiplied or divided, and nothing that it would compute.
_FACTOR = r"[A-Za-z°µμΩ%Δ][A-Za-z_0-9°]*(?:\^-?[1-4])?"
_PINT_TEXT = re.compile(rf"{_FACTOR}(?:[*/]{_FACTOR})*")
_LONGEST_UNIT = 40
_TO_PINT = (
    (r"\*\*", "^"),
    ("²", "^2"),
    ("³", "^3"),
    (r"(?<=[A-Za-z])([23])(?!\w)", r"^\1"),
    (r"\s*([*/])\s*", r"\1"),
    ("·", "*"),
    ("°", "deg"),
    (r"(?i)btu(?!\w)", "Btu_it"),
)
_US_GALLON_PER_MINUTE = 0.22712470703999996
_REFERENCE = re.compile(r"(.*?)[\s_(]+(gauge|absolute|abs|g|a)\)?", re.IGNORECASE)


# Kinds whose units are taken for one another.
_TWINS = {
    "temperature": "temperature difference",
    "temperature difference": "temperature",
    "pressure": "pressure difference",
    "pressure difference": "pressure",
}


@dataclass(frozen=True, slots=True)
class PressureReading:
    """A pressure as a gauge or absolute reading [Pa]; only `absolute` gives a pressure to compute with."""

    value_pa: float
    is_gauge: bool

    def absolute(self, site_pressure_pa: float) -> float:
        """Absolute pressure [Pa], given the site's atmospheric pressure [Pa]."""
        return self.value_pa + site_pressure_pa if self.is_gauge else self.value_pa


def plain_number(text: str) -> float | None:
    """The number that a text is, in the digits 0 to 9 with a decimal point; None for any other, or one that is not finite.

    Python itself also takes underscores, the digits of every script and names such as "nan" for numbers.

    >>> plain_number("1e3"), plain_number("1_000"), plain_number("\uff11")
    (1000.0, None, None)
    """
    is_number = len(text) <= _LONGEST_NUMBER and _PLAIN_NUMBER.fullmatch(text) is not None
    return value if is_number and math.isfinite(value := float(text)) else None


def whole_number(text: str) -> int | None:
    """The whole number that a text is, in the digits 0 to 9; None for any other text.

    >>> whole_number("12"), whole_number("12.0"), whole_number("1_2")
    (12, None, None)
    """
    return int(text) if _WHOLE.fullmatch(text) else None


def unit_named(kind_name: str, text: str) -> Unit:
    """The unit of a kind that is spelled so: a usual one in any spelling of the trade, or one that pint knows.

    Raises
    ------
    BadValue
        If the kind has no such unit, or a number in it is easily mistaken.
    """
    return _unit(KINDS[kind_name], text, repr(text))


def is_unit(text: str) -> bool:
    """Whether a word is a unit of any kind of quantity, be it one that is refused."""
    return any(_lookup(name, text) is not None or _in_place_of(kind, text) for name, kind in KINDS.items())


def _unit(kind: Kind, text: str, shown: str) -> Unit:
    unit = _lookup(kind.name, text)
    if unit is None:
        raise BadValue(shown, kind.rule, _hint(kind, text))
    return unit


@functools.cache
def _lookup(kind_name: str, text: str) -> Unit | None:
    kind, usual = KINDS[kind_name], _usual(kind_name)
    if unit := usual.get(text) or usual.get(_folded(text)):
        return unit
    if not kind.si or _in_place_of(kind, text):
        return None
    if kind_name != "pressure":
        # What is usual for another kind is none of this one, without asking pint.
        is_other = any(_folded(text) in _usual(other) for other in KINDS)
        return None if is_other else _read_by_pint(kind, text)
    match = _REFERENCE.fullmatch(text)
    base = _lookup("pressure difference", match[1]) if match else None
    if match is None or base is None:
        return None
    reference = "gauge" if match[2].lower().startswith("g") else "absolute"
    return usual.get(f"{base.name}_{reference}") or Unit(name=f"{base.name}_{reference}", scale=base.scale)


@functools.cache
def _usual(kind_name: str) -> dict[str, Unit]:
    """The usual units of a kind by every spelling, as it is and folded."""
    found: dict[str, Unit] = {}
    for unit in KINDS[kind_name].units:
        for spelling in (unit.name, *unit.also):
            found[spelling] = found[_folded(spelling)] = unit
    return found


def _folded(text: str) -> str:
    """A spelling without case, spaces and marks; a large M at the front is kept, for it may be a million."""
    plain = re.sub(r"\((\w+)\)$", r"\1", re.sub(r"[\s_.°]", "", text.casefold()))
    plain = plain.replace("²", "2").replace("³", "3")
    plain = re.sub("deg(?=[a-z]$)", "", plain)
    return "M" + plain[1:] if text.startswith("M") else plain


def _in_place_of(kind: Kind, text: str) -> str:
    """What to write in place of a unit that is refused; empty for any other."""
    return next((says() for pattern, says in kind.refused if re.fullmatch(pattern, _folded(text))), "")


def _hint(kind: Kind, text: str) -> str:
    if instead := _in_place_of(kind, text):
        return instead
    twin = _lookup(_TWINS[kind.name], text) if kind.name in _TWINS else None
    if twin is not None:
        base = twin.name.removeprefix("delta_").removesuffix("_gauge").removesuffix("_absolute")
        if kind.name == "pressure":
            return wording.GAUGE_OR_ABSOLUTE(gauge=f"{base}_gauge", absolute=f"{base}_absolute")
        return wording.DID_YOU_MEAN(name=f"delta_{base}" if kind.name == "temperature difference" else base)
    folded = {unit.name.lower(): unit.spoken for unit in kind.units}
    # Half of a unit, such as the k of kW and kBtu/h, is like several.
    near = difflib.get_close_matches(text.lower(), folded, n=1, cutoff=0.6) if len(text) > 1 else []
    return wording.DID_YOU_MEAN(name=folded[near[0]]) if near else ""


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=False)


def _read_by_pint(kind: Kind, text: str) -> Unit | None:
    """A unit that only pint knows, None if it is none of this kind."""
    plain = text.strip()
    for pattern, ours in _TO_PINT:
        plain = re.sub(pattern, ours, plain)
    if len(plain) > _LONGEST_UNIT or not _PINT_TEXT.fullmatch(plain):
        return None
    import pint

    registry = _registry()
    try:
        units = registry.parse_units(plain)
        if not registry.is_compatible_with(units, kind.si):
            return None
        zero, one, two = (registry.Quantity(figure, units).to(kind.si).magnitude for figure in (0.0, 1.0, 2.0))
        if one <= zero or not math.isclose(two - one, one - zero, rel_tol=1e-9):
            return None
        # Far from zero, so that the offset costs the scale no digits.
        scale = (registry.Quantity(1e6, units).to(kind.si).magnitude - zero) / 1e6 if zero else one
    except (pint.PintError, ArithmeticError, ValueError, TypeError):
        return None
    names = [name for name, _ in registry.Quantity(1.0, units).unit_items()]
    is_difference = any(name.startswith("delta_") for name in names)
    if (kind.name == "temperature" and is_difference) or (kind.name == "temperature difference" and zero):
        return None
    if kind.name == "flow coefficient":
        return _coefficient_unit(text, scale, names)
    return Unit(name=text, scale=scale, offset=zero)


def _coefficient_unit(text: str, scale: float, names: list[str]) -> Unit | None:
    """A unit of flow as one of Kv [m3/h]: gallons flow at 1 psi, liters and cubic meters at 1 bar."""
    if any(name.endswith("gallon") for name in names):
        return Unit(name=text, scale=scale / _US_GALLON_PER_MINUTE / CV_PER_KV)
    return Unit(name=text, scale=scale) if any(name.endswith(("liter", "meter")) for name in names) else None


def _number(text: str, kind: Kind) -> tuple[float, str]:
    """The number of a quantity, and what is written behind it.

    Raises
    ------
    BadValue
        If no number stands in front, or one with a comma that may be a decimal one.
    """
    if fraction := _FRACTION.fullmatch(text):
        whole, above, below, unit = fraction.groups()
        return int(whole or 0) + int(above) / int(below), unit or ""
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise BadValue(repr(text), kind.rule, wording.NUMBER_AND_UNIT(example=kind.example))
    number, unit = match[1].replace("\N{MINUS SIGN}", "-"), match[2]
    if "," in number:
        if not _THOUSANDS.fullmatch(number):
            raise with_comma(text)
        if number.count(",") == 1 and "." not in number:
            found = _lookup(kind.name, unit)
            if found is None or not found.is_small:
                raise with_comma(text)
    return float(number.replace(",", "")), unit


def with_comma(text: str) -> BadValue:
    """What is wrong with a quantity whose number has a comma; three figures behind it may be thousands, so no guess."""
    is_plain = re.search(r",\d{3}(?!\d)", text) is None and text.count(",") == 1
    return BadValue(repr(text), wording.COMMA(), wording.IF_MEANT(text=cut(text.replace(",", "."))) if is_plain else "")


def split(text: object, kind_name: str) -> tuple[float, Unit]:
    """Split a quantity as a person writes it into its number and its unit.

    Raises
    ------
    BadValue
        For a bare number, a value that is no text, or a unit that the kind does not take.
    """
    kind = KINDS[kind_name]
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise BadValue(shown(text), kind.rule)
    number, unit = _number(str(text), kind)
    if not math.isfinite(number):
        raise BadValue(repr(text), wording.NOT_FINITE())
    if not unit:
        bare = str(text).strip()
        hint = wording.EXAMPLE(example=kind.example)
        if kind.name == "share":
            # A number up to 1 is more likely a fraction.
            hint = wording.IF_MEANT(text=f"{number if number > 1.0 else 100.0 * number:.10g} percent")
        raise BadValue(bare, wording.NO_UNIT(rule=kind.rule), hint)
    return number, _unit(kind, unit, repr(str(text)))


def to_si(text: object, kind_name: str) -> float:
    """Read a quantity of the named kind into its SI number (a flow coefficient into Kv [m3/h]).

    Raises
    ------
    BadValue
        As `split`, and for a temperature below absolute zero.
    """
    number, unit = split(text, kind_name)
    value = unit.to_si(number)
    if kind_name == "temperature" and value <= 0.0:
        raise BadValue(repr(text), wording.ABSOLUTE_ZERO())
    return value


def read_pressure(text: object) -> PressureReading:
    """Read a pressure that says whether it is gauge or absolute.

    Raises
    ------
    BadValue
        As `split`, and for an absolute pressure that is not positive.
    """
    number, unit = split(text, "pressure")
    value = unit.to_si(number)
    if not unit.is_gauge and value <= 0.0:
        raise BadValue(repr(text), wording.ABSOLUTE_PRESSURE())
    return PressureReading(value, unit.is_gauge)


# What is printed in each unit system; pressure is absolute unless the quantity says otherwise.
SYSTEMS: dict[str, dict[str, Unit]] = {
    system: {quantity: unit_named(quantity.removesuffix(" gauge"), spelling) for quantity, spelling in units.items()}
    for system, units in {
        "SI": {
            "temperature": "degC",
            "temperature difference": "K",
            "load": "kW",
            "pressure": "bar_absolute",
            "pressure gauge": "bar_gauge",
            "pressure difference": "kPa",
            "density": "kg/m3",
            "enthalpy": "kJ/kg",
            "entropy": "kJ/(kg K)",
            "length": "m",
            "flow coefficient": "m3/h",
            "mass flow": "kg/h",
        },
        "IP": {
            "temperature": "degF",
            "temperature difference": "delta_degF",
            "load": "kBtu/h",
            "pressure": "psi_absolute",
            "pressure gauge": "psi_gauge",
            "pressure difference": "psi",
            "density": "lb/ft3",
            "enthalpy": "Btu/lb",
            "entropy": "Btu/(lb degF)",
            "length": "ft",
            "flow coefficient": "m3/h",
            "mass flow": "lb/h",
        },
    }.items()
}
SYSTEMS["SI"]["pressure"] = replace(SYSTEMS["SI"]["pressure"], printed="bar")


def print_unit(quantity: str, system: str, load: str | None = None) -> Unit:
    """The unit in which a quantity is printed in a unit system ("SI" or "IP"); `load` overrides the load unit."""
    if quantity == "load" and load is not None:
        return unit_named("load", load)
    return SYSTEMS[system][quantity]
