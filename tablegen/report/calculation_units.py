"""Figures of a calculation in units in which its equations come out as written: a reader's, or SI ones that fit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from tablegen.calculation.formula import calls_in, evaluate, names_in
from tablegen.calculation.symbols import symbol
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.unit_table import Unit
from tablegen.units import print_unit, unit_named
from tablegen.wording import method as wording
from tablegen.wording.language import number

FIGURES = 6
# SI: pressures in kPa, as their differences; the bar of the tables would need a factor in every equation.
UNIT_NAMES = {
    "temperature": ("degC", "degF"),
    "temperature difference": ("K", "delta_degF"),
    "pressure": ("kPa_absolute", "psi_absolute"),
    "pressure difference": ("kPa", "psi"),
    "density": ("kg/m3", "lb/ft3"),
    "enthalpy": ("kJ/kg", "Btu/lb"),
    "length": ("m", "ft"),
    "flow coefficient": ("m3/h", "m3/h"),
    "mass flow": ("kg/h", "lb/h"),
}
# Decimals of what is subtracted, in SI and IP units: a difference then keeps figures enough.
_PLACES = {
    "temperature": (2, 2),
    "temperature difference": (2, 2),
    "pressure": (3, 4),
    "pressure difference": (3, 4),
    "enthalpy": (3, 4),
}
SECONDS_PER_HOUR = 3600.0
NO_UNIT = "\N{EN DASH}"
# What a head takes from the rating point, under the sign without the index.
_OF_RATING = {"rho_r": "rho", "m_cr": "m_c", "m_xr": "m_x", "T_er": "T_e", "v_r": "v"}
# Not in units that fit the equations of the others; plain numbers fit those of plain numbers and shares alone.
_APART = ("plain", "kelvin")
_PLAIN = {"plain", "share"}
_ARITHMETIC = {"sqrt", "min", "max"}


@dataclass(frozen=True, slots=True)
class CalculationUnits:
    """Units of one system ("SI" or "IP"), with a load unit of their own if one is named."""

    system: str
    load_unit: str | None = None

    def of(self, name: str, value_si: float) -> float:
        """The figure of a quantity."""
        return self._scaled(symbol(name).kind)[0](value_si)

    def number(self, name: str, value_si: float, is_given: bool = False) -> str:
        """A quantity as printed, without its unit; one that is given needs no zeros at its end."""
        return self.printed(name, self.of(name, value_si), is_given)

    def printed(self, name: str, figure: float, is_given: bool = False) -> str:
        """A figure in the units of the calculation as printed."""
        places = _PLACES.get(symbol(name).kind)
        text = round_half_even(figure, FIGURES) if places is None else decimals(figure, places[self.system == "IP"])
        return without_zeros(text) if is_given else text

    def label(self, name: str) -> str:
        """The unit of a quantity."""
        return self._scaled(symbol(name).kind)[1]

    def of_kind(self, kind: str, value_si: float) -> float:
        """The figure of a quantity of a kind."""
        return self._scaled(kind)[0](value_si)

    def label_of_kind(self, kind: str) -> str:
        """The unit of a kind."""
        return self._scaled(kind)[1]

    def _unit(self, kind: str) -> Unit:
        if kind == "load":
            return print_unit("load", self.system, self.load_unit)
        return unit_named(kind, UNIT_NAMES[kind][self.system == "IP"])

    def _scaled(self, kind: str) -> tuple[Callable[[float], float], str]:
        """The conversion of a kind, and its label."""
        if kind in UNIT_NAMES or kind == "load":
            unit = self._unit(kind)
            return unit.of, unit.label
        if kind == "scale zero":
            absolute = 1.8 if self.system == "IP" else 1.0
            return lambda value: value + absolute * 273.15 - (32.0 if self.system == "IP" else 0.0), self.label("T_m")
        factor, label = self._derived(kind)
        return lambda value: value * factor, label

    def _derived(self, kind: str) -> tuple[float, str]:
        """Factor from SI and label of what is made of other units, so that they fit in one equation."""
        kinds = "density", "pressure difference", "length", "mass flow", "enthalpy", "load", "temperature difference"
        density, drop, length, mass, heat, load, step = (self._unit(k) for k in kinds)
        energy, amount = heat.label.split("/")
        one = {u: u.of(1.0) for u in (density, drop, length, mass, heat, load, step)}
        return {
            "share": (1.0, NO_UNIT),
            "plain": (1.0, NO_UNIT),
            "kelvin": (1.8, "°R") if self.system == "IP" else (1.0, "K"),
            "acceleration": (
                one[drop] / (one[density] * one[length]),
                wording.GRAVITY_UNIT(drop=drop.label, density=density.label, length=length.label),
            ),
            "line heat": (one[load] / one[length], f"{load.label}/{length.label}"),
            "heat capacity": (one[heat] / one[step], f"{heat.label}/{step.label}"),
            # Of the loop: energies and times of the unit of mass flow, seconds apart from it.
            "conductance": (
                one[mass] * one[heat] / (one[length] * one[step]),
                f"{energy}/(h·{length.label}·{step.label})",
            ),
            "wall heat": (
                one[mass] * one[heat] / (SECONDS_PER_HOUR * one[length] * one[step]),
                f"{energy}/({length.label}·{step.label})",
            ),
            "time scale": (SECONDS_PER_HOUR, "s/h"),
            "time": (1.0, "s"),
            "frequency": (1.0, "1/s"),
            "area": (one[length] ** 2, f"{length.label}²"),
            "pressure slope": (one[drop] / one[step], f"{drop.label}/{step.label}"),
            "controller gain": (1.0 / one[step], f"1/{step.label}"),
            "specific volume": (1.0 / one[density], f"{density.label.split('/')[1]}/{amount}"),
            "volume": (
                one[mass] / one[density],
                wording.FLOW_CONSTANT_UNIT(flow=f"{density.label.split('/')[1]}/h"),
            ),
            "required_kv": (1.0 / one[load], wording.REQUIRED_KV_UNIT(load=load.label)),
            "load_per_kv": (one[load], wording.LOAD_PER_KV_UNIT(load=load.label)),
            "flow constant": (
                one[mass] / (one[density] * one[drop]) ** 0.5,
                wording.FLOW_CONSTANT_UNIT(flow=mass.label),
            ),
            "energy rate": (
                one[mass] * one[heat] / one[load],
                wording.ENERGY_RATE_UNIT(energy=energy, load=load.label),
            ),
        }[kind]


class CalculatedLine(NamedTuple):
    """One quantity of a calculated limit: its formula, "" where it is given, and its value in SI.

    `block` is the part of the calculation that it belongs to, of the `limit` and the `refrigerant` and operating
    condition that set it.
    """

    limit: str
    refrigerant: str
    condition: str
    block: str
    symbol: str
    formula: str
    value_si: float


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of one column of calculated limits, each calculated from those that are printed above it.

    A reader with a calculator then comes to every printed figure; only properties of refrigerants and given figures are
    the computed ones, rounded. What the column lacks is its rating point's.
    """

    units: CalculationUnits
    lines: Mapping[str, CalculatedLine]
    rating: Figures | None
    _texts: dict[str, str] = field(default_factory=dict, init=False, repr=False, compare=False)

    def text(self, name: str) -> str:
        """A quantity as printed.

        Raises
        ------
        KeyError
            If neither the column nor its rating point has it.
        """
        if name in _OF_RATING and self.rating is not None:
            return self.rating.text(_OF_RATING[name])
        if name not in self.lines and self.rating is not None:
            return self.rating.text(name)
        if name not in self._texts:
            self._texts[name] = self._calculated(name, self.lines[name])
        return self._texts[name]

    def value(self, name: str) -> float:
        """The figure that is printed."""
        return number(self.text(name))

    def _calculated(self, name: str, line: CalculatedLine) -> str:
        if not line.formula:
            return self.units.number(name, line.value_si, True)
        operands = names_in(line.formula)
        kinds = {symbol(n).kind for n in (name, *operands)}
        if calls_in(line.formula) <= _ARITHMETIC and (kinds <= _PLAIN or not kinds & {*_APART}):
            values = {n: np.asarray(self.value(n)) for n in operands}
            return self.units.printed(name, float(evaluate(line.formula, values, {})))
        return self.units.number(name, line.value_si)
