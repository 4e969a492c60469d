"""Units in which the equations of the method come out as they are written: those of a reader, or SI ones that fit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tablegen.calculation.symbols import symbol
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.units import Unit, print_unit, unit_named

FIGURES = 6
# SI: pressures in kPa, as their differences; the bar of the tables would need a factor in every equation.
SPELT = {
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
_LABELS = {"psi absolute": "psia"}
# Decimals of what is subtracted, in SI and IP units: a difference then keeps figures enough.
_PLACES = {
    "temperature": (2, 2),
    "temperature difference": (2, 2),
    "pressure": (3, 4),
    "pressure difference": (3, 4),
    "enthalpy": (3, 4),
}
NO_UNIT = "\N{EN DASH}"


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
        """A figure in the units of the working as printed."""
        places = _PLACES.get(symbol(name).kind)
        text = round_half_even(figure, FIGURES) if places is None else decimals(figure, places[self.system == "IP"])
        return without_zeros(text) if is_given else text

    def label(self, name: str) -> str:
        """The unit of a quantity."""
        return self._scaled(symbol(name).kind)[1]

    def _unit(self, kind: str) -> Unit:
        if kind == "load":
            return print_unit("load", self.system, self.load_unit)
        return unit_named(kind, SPELT[kind][self.system == "IP"])

    def _scaled(self, kind: str) -> tuple[Callable[[float], float], str]:
        """The conversion of a kind, and its label."""
        if kind in SPELT or kind == "load":
            unit = self._unit(kind)
            return unit.of, _LABELS.get(unit.label, unit.label)
        factor, label = self._derived(kind)
        return lambda value: value * factor, label

    def _derived(self, kind: str) -> tuple[float, str]:
        """Factor from SI and label of what is made of other units, so that they fit in one equation."""
        kinds = "density", "pressure difference", "length", "mass flow", "enthalpy", "load"
        density, drop, length, mass, heat, load = (self._unit(k) for k in kinds)
        energy, amount = heat.label.split("/")
        one = {u: u.of(1.0) for u in (density, drop, length, mass, heat, load)}
        return {
            "share": (1.0, NO_UNIT),
            "plain": (1.0, NO_UNIT),
            "kelvin": (1.8, "°R") if self.system == "IP" else (1.0, "K"),
            "acceleration": (
                one[drop] / (one[density] * one[length]),
                f"{drop.label} per {density.label} and {length.label}",
            ),
            "specific volume": (1.0 / one[density], f"{density.label.split('/')[1]}/{amount}"),
            "required_kv": (1.0 / one[load], f"m³/h per {load.label}"),
            "load per Kv": (one[load], f"{load.label} per m³/h"),
            "flow constant": (one[mass] / (one[density] * one[drop]) ** 0.5, f"{mass.label} per m³/h"),
            "energy rate": (one[mass] * one[heat] / one[load], f"{energy}/h per {load.label}"),
        }[kind]
