"""The table of units: every kind of quantity with its usual units, their scales and the spellings of the trade."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from tablegen.wording import unit_texts as wording

# Cv (US gal/min at 1 psi of water) over Kv (m3/h at 1 bar), IEC 60534-2-1.
CV_PER_KV = 1.156

# Share of a scale's offset below which a figure is a zero that went through another scale and back.
_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one kind of quantity: SI value = figure x scale + offset.

    `also` are further spellings, in any case.  `is_small` says that nobody writes thousandths of it, so that a comma
    before three digits can only stand between thousands.
    """

    name: str
    scale: float
    offset: float = 0.0
    also: tuple[str, ...] = ()
    is_small: bool = False
    printed: str = ""

    @property
    def label(self) -> str:
        """The unit as it is printed."""
        if self.name in wording.UNIT_LABELS:
            return self.printed or wording.UNIT_LABELS[self.name]()
        return self.printed or self.name.replace("delta_", "").replace("deg", "°").replace("_", " ").replace("3", "³")

    @property
    def is_gauge(self) -> bool:
        """Whether a pressure in it counts from the atmosphere."""
        return self.name.endswith("_gauge")

    def to_si(self, figure: float) -> float:
        """A figure of this unit in SI."""
        return figure * self.scale + self.offset

    def of(self, value_si: float) -> float:
        """The figure in this unit; what is left of a zero by conversion (0 degF through kelvin) is a zero."""
        shift = self.offset / self.scale
        figure = value_si * (1.0 / self.scale) - shift
        # Without an offset nothing is left, and figures may be an array.
        return 0.0 if shift and abs(figure) <= _ROUNDING * abs(shift) else figure


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its name in messages, its SI unit in pint's words, an example, and its usual units.

    Without an SI unit pint is not asked.  `refused` are patterns of units that are not read because a number in them is
    easily mistaken, each with what to write in their place.
    """

    name: str
    si: str
    example: str
    units: tuple[Unit, ...]
    refused: tuple[tuple[str, Callable[[], str]], ...] = ()

    def allowed(self) -> str:
        """The usual units, for a message."""
        return ", ".join(unit.name for unit in self.units)

    @property
    def rule(self) -> str:
        """What a message says is allowed."""
        says = wording.TAKES_UNITS if len(self.units) > 1 else wording.TAKES_UNIT
        return says(quantity=wording.A_QUANTITY[self.name](), units=self.allowed())


# The scales are pint's to the last digit, which may differ from the definition by one.
_FAHRENHEIT = 0.5555555555555556
_BASES = (
    Unit("psi", 6894.7572931683635, also=("lb/in2", "lbf/in2")),
    Unit("bar", 1e5),
    Unit("kPa", 1e3),
    Unit("MPa", 1e6),
    Unit("mbar", 100.0),
)
_PRESSURES = tuple(
    Unit(
        f"{base.name}_{reference}",
        base.scale,
        also=tuple(base.name + end for end in ends),
    )
    for reference, ends in (("gauge", ("g", "ga")), ("absolute", ("a", "abs")))
    for base in _BASES
)

_KINDS = (
    Kind(
        "temperature",
        "kelvin",
        "24 degF",
        (
            Unit("degF", _FAHRENHEIT, 255.37222222222223, also=("F", "fahrenheit")),
            Unit("degC", 1.0, 273.15, also=("C", "celsius")),
            Unit("K", 1.0, also=("kelvin",)),
        ),
    ),
    Kind(
        "temperature difference",
        "kelvin",
        "9 delta_degF",
        (
            Unit("delta_degF", _FAHRENHEIT, also=("delta F", "ΔF", "Δ°F")),
            Unit("delta_degC", 1.0, also=("delta C", "ΔC", "Δ°C")),
            Unit("K", 1.0, also=("kelvin",)),
        ),
    ),
    Kind("pressure", "pascal", "135 psi_gauge", _PRESSURES),
    Kind(
        "pressure difference",
        "pascal",
        "25 psi",
        (*_BASES, Unit("Pa", 1.0, is_small=True)),
        ((r"mpa", partial(wording.READ_TWO_WAYS, units="MPa")),),
    ),
    Kind(
        "load",
        "watt",
        "20 kBtu/h",
        (
            Unit("kW", 1e3, also=("kilowatt", "kilowatts")),
            Unit("W", 1.0, also=("watt", "watts"), is_small=True),
            Unit("kBtu/h", 293.0710701722222, also=("MBH", "mbh", "kBtuh", "kBtu/hr", "kBtu/hour")),
            Unit("Btu/h", 0.2930710701722223, also=("Btuh", "Btu/hr", "Btu/hour"), is_small=True),
            Unit(
                "ton_refrigeration",
                3516.8528420666676,
                also=("ton", "tons", "TR", "ton_of_refrigeration", "tons_of_refrigeration"),
            ),
        ),
        (
            # A thousand to the trade, a million to pint.
            (r"[Mm]{1,2}btu.*|mw", partial(wording.READ_TWO_WAYS, units="MBH, kBtu/h or kW")),
            (r".*(hp|horsepower).*", wording.MOTOR_RATING),
        ),
    ),
    Kind(
        "flow coefficient",
        "m**3/hour",
        "16 L/h",
        (
            Unit("m3/h", 1.0, also=("m3/hr", "Kv")),
            Unit("L/h", 0.0010000000000000002, also=("L/hr",)),
            # A Cv is a flow at 1 psi, a Kv one at 1 bar: the unit conversion alone is not enough.
            Unit("US_gal/min", 1.0 / CV_PER_KV, also=("gal/min", "gpm", "US gpm", "Cv")),
        ),
    ),
    Kind(
        "length",
        "meter",
        "20 ft",
        (
            Unit("m", 1.0, also=("meter", "meters")),
            Unit("mm", 0.001),
            Unit("ft", 0.30479999999999996, also=("foot", "feet")),
            Unit("in", 0.0254, also=("inch", "inches")),
        ),
    ),
    Kind("share", "", "25 percent", (Unit("percent", 0.01, also=("%",)),)),
    Kind(
        "mass flow",
        "kg/s",
        "100 lb/h",
        (
            Unit("kg/s", 1.0),
            Unit("kg/h", 0.0002777777777777778, also=("kg/hr",)),
            Unit("lb/h", 0.0001259978805555556, also=("lb/hr", "lbs/h", "lbs/hr", "lbm/h")),
        ),
        ((r"tons?/.*", partial(wording.READ_TWO_WAYS, units="lb/h or kg/h")),),
    ),
    Kind(
        "density",
        "kg/m**3",
        "1000 kg/m3",
        (Unit("kg/m3", 1.0), Unit("lb/ft3", 16.01846337396015, also=("lbm/ft3", "lb/cu ft"))),
    ),
    Kind(
        "enthalpy",
        "J/kg",
        "250 kJ/kg",
        (Unit("kJ/kg", 1e3), Unit("J/kg", 1.0, is_small=True), Unit("Btu/lb", 2326.0, also=("Btu/lbm",))),
    ),
)
KINDS: dict[str, Kind] = {kind.name: kind for kind in _KINDS}
