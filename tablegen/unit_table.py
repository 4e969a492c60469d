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
# Units that people spell otherwise than configs do.
_SPOKEN = {"ton_refrigeration": "tons"}


@dataclass(frozen=True, slots=True, kw_only=True)
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
    def spoken(self) -> str:
        """The spelling that messages offer."""
        return _SPOKEN.get(self.name, self.name)

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


@dataclass(frozen=True, slots=True, kw_only=True)
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
        return ", ".join(unit.spoken for unit in self.units)

    @property
    def rule(self) -> str:
        """What a message says is allowed."""
        says = wording.TAKES_UNITS if len(self.units) > 1 else wording.TAKES_UNIT
        return says(quantity=wording.A_QUANTITY[self.name](), units=self.allowed())


# The scales are pint's to the last digit, which may differ from the definition by one.
_FAHRENHEIT = 0.5555555555555556
_BASES = (
    Unit(name="psi", scale=6894.7572931683635, also=("lb/in2", "lbf/in2")),
    Unit(name="bar", scale=1e5),
    Unit(name="kPa", scale=1e3),
    Unit(name="MPa", scale=1e6),
    Unit(name="mbar", scale=100.0),
)
_PRESSURES = tuple(
    Unit(
        name=f"{base.name}_{reference}",
        scale=base.scale,
        also=tuple(base.name + end for end in ends),
    )
    for reference, ends in (("gauge", ("g", "ga")), ("absolute", ("a", "abs")))
    for base in _BASES
)

_KINDS = (
    Kind(
        name="temperature",
        si="kelvin",
        example="24 degF",
        units=(
            Unit(name="degF", scale=_FAHRENHEIT, offset=255.37222222222223, also=("F", "fahrenheit")),
            Unit(name="degC", scale=1.0, offset=273.15, also=("C", "celsius")),
            Unit(name="K", scale=1.0, also=("kelvin",)),
        ),
    ),
    Kind(
        name="temperature difference",
        si="kelvin",
        example="9 delta_degF",
        units=(
            Unit(name="delta_degF", scale=_FAHRENHEIT, also=("delta F", "ΔF", "Δ°F")),
            Unit(name="delta_degC", scale=1.0, also=("delta C", "ΔC", "Δ°C")),
            Unit(name="K", scale=1.0, also=("kelvin",)),
        ),
    ),
    Kind(name="pressure", si="pascal", example="135 psi_gauge", units=_PRESSURES),
    Kind(
        name="pressure difference",
        si="pascal",
        example="25 psi",
        units=(*_BASES, Unit(name="Pa", scale=1.0, is_small=True)),
        refused=((r"mpa", partial(wording.READ_TWO_WAYS, units="MPa")),),
    ),
    Kind(
        name="load",
        si="watt",
        example="20 kBtu/h",
        units=(
            Unit(name="kW", scale=1e3, also=("kilowatt", "kilowatts")),
            Unit(name="W", scale=1.0, also=("watt", "watts"), is_small=True),
            Unit(name="kBtu/h", scale=293.0710701722222, also=("MBH", "mbh", "kBtuh", "kBtu/hr", "kBtu/hour", "MBTUH")),
            Unit(name="Btu/h", scale=0.2930710701722223, also=("Btuh", "Btu/hr", "Btu/hour", "Btu"), is_small=True),
            Unit(
                name="ton_refrigeration",
                scale=3516.8528420666676,
                also=("ton", "tons", "TR", "ton_of_refrigeration", "tons_of_refrigeration"),
            ),
        ),
        refused=(
            # A thousand to the trade, a million to pint.
            (r"[Mm]{1,2}btu.*|mw", partial(wording.READ_TWO_WAYS, units="MBH, kBtu/h or kW")),
            (r".*(hp|horsepower).*", wording.MOTOR_RATING),
        ),
    ),
    Kind(
        name="flow coefficient",
        si="m**3/hour",
        example="16 L/h",
        units=(
            Unit(name="m3/h", scale=1.0, also=("m3/hr", "Kv")),
            Unit(name="L/h", scale=0.0010000000000000002, also=("L/hr",)),
            # A Cv is a flow at 1 psi, a Kv one at 1 bar: the unit conversion alone is not enough.
            Unit(name="US_gal/min", scale=1.0 / CV_PER_KV, also=("gal/min", "gpm", "US gpm", "Cv")),
        ),
    ),
    Kind(
        name="length",
        si="meter",
        example="20 ft",
        units=(
            Unit(name="m", scale=1.0, also=("meter", "meters")),
            Unit(name="mm", scale=0.001),
            Unit(name="ft", scale=0.30479999999999996, also=("foot", "feet")),
            Unit(name="in", scale=0.0254, also=("inch", "inches")),
        ),
    ),
    Kind(
        name="line heat",
        si="watt/meter",
        example="5 W/m",
        units=(
            Unit(name="W/m", scale=1.0),
            Unit(name="Btu/h/ft", scale=0.9615193934091573, also=("Btu/(h ft)", "Btu/hr/ft", "Btuh/ft")),
        ),
    ),
    Kind(
        name="time",
        si="second",
        example="30 s",
        units=(Unit(name="s", scale=1.0, also=("sec", "second", "seconds"), is_small=True),),
    ),
    Kind(
        name="wall heat",
        si="joule/(meter*kelvin)",
        example="120 J/(m K)",
        units=(
            Unit(name="J/(m K)", scale=1.0, also=("J/m/K", "J/(m·K)"), is_small=True),
            Unit(name="kJ/(m K)", scale=1e3, also=("kJ/m/K", "kJ/(m·K)")),
            Unit(name="Btu/(ft degF)", scale=6230.644798937009, also=("Btu/ft/F", "Btu/(ft F)", "Btu/(ft·°F)")),
        ),
    ),
    Kind(
        name="controller gain",
        si="1/kelvin",
        example="3 percent/K",
        units=(
            Unit(name="percent/K", scale=0.01, also=("%/K",)),
            Unit(name="percent/delta_degF", scale=0.018, also=("%/delta_degF", "percent/delta F", "%/delta F")),
        ),
    ),
    Kind(name="share", si="", example="25 percent", units=(Unit(name="percent", scale=0.01, also=("%",)),)),
    Kind(
        name="mass flow",
        si="kg/s",
        example="100 lb/h",
        units=(
            Unit(name="kg/s", scale=1.0),
            Unit(name="kg/h", scale=0.0002777777777777778, also=("kg/hr",)),
            Unit(name="lb/h", scale=0.0001259978805555556, also=("lb/hr", "lbs/h", "lbs/hr", "lbm/h")),
        ),
        refused=((r"tons?/.*", partial(wording.READ_TWO_WAYS, units="lb/h or kg/h")),),
    ),
    Kind(
        name="density",
        si="kg/m**3",
        example="1000 kg/m3",
        units=(
            Unit(name="kg/m3", scale=1.0),
            Unit(name="lb/ft3", scale=16.01846337396015, also=("lbm/ft3", "lb/cu ft")),
        ),
    ),
    Kind(
        name="enthalpy",
        si="J/kg",
        example="250 kJ/kg",
        units=(
            Unit(name="kJ/kg", scale=1e3),
            Unit(name="J/kg", scale=1.0, is_small=True),
            Unit(name="Btu/lb", scale=2326.0, also=("Btu/lbm",)),
        ),
    ),
    Kind(
        name="entropy",
        si="J/(kg*kelvin)",
        example="1.2 kJ/(kg K)",
        units=(
            Unit(name="kJ/(kg K)", scale=1e3, also=("kJ/kg/K", "kJ/kgK", "kJ/(kg·K)")),
            Unit(name="Btu/(lb degF)", scale=4186.8, also=("Btu/lb/F", "Btu/lbF", "Btu/(lb F)", "Btu/(lb·°F)")),
        ),
    ),
)
KINDS: dict[str, Kind] = {kind.name: kind for kind in _KINDS}
