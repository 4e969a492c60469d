"""Figures and equations of a working as text: SI units that fit each other, and the reader's own beside them.

The working is written in kPa, kJ/kg, kg/m3, degC, K and kW, in which every equation of it comes out as printed; a
temperature that is multiplied stands in kelvin.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from tablegen.calculation.formula import written
from tablegen.calculation.symbols import FUNCTIONS, symbol
from tablegen.report.calculation_units import FIGURES, SPELT
from tablegen.report.formatter import NBSP
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.units import Unit, unit_named

_DEGREE_PLACES = 4
_UNITS = {**SPELT, "load": ("kW", "kBtu/h")}
# What is printed in one unit for all readers: factor from SI, and the unit.
_FIXED = {
    "share": (1.0, ""),
    "plain": (1.0, ""),
    "acceleration": (1.0, "m/s²"),
    "specific volume": (1.0, "m³/kg"),
    "required_kv": (1000.0, "m³/h per kW"),
    "load_per_kv": (0.001, "kW per m³/h"),
    "kelvin": (1.0, "K"),
    # Of kg/h, kg/m3 and kPa; of kJ and kW.
    "flow constant": (3600.0 * 1000.0**0.5, ""),
    "energy rate": (3600.0, "kJ/h per kW"),
}
_LABELS = {"kPa absolute": "kPa", "psi absolute": "psia"}


class CalculationFormatter:
    """Writes a working for readers of one unit system ("SI" or "IP")."""

    def __init__(self, system: str) -> None:
        self.system = system

    def figure(self, name: str, value: float, is_own: bool = False) -> str:
        """A quantity with its unit, in the units of the working or in the reader's own."""
        kind = symbol(name).kind
        if math.isnan(value):
            return "none"
        if kind in _FIXED:
            factor, label = _FIXED[kind]
            number = without_zeros(round_half_even(value * factor, FIGURES - is_own))
        else:
            unit = _unit(kind, is_own and self.system == "IP")
            label = _LABELS.get(unit.label, unit.label)
            number = _number(kind, unit.of(value), is_own)
        return f"{number}{NBSP}{label}" if label else number

    def value(self, name: str, value: float) -> str:
        """A quantity in the units of the working, and in the reader's own in brackets where these differ."""
        own = self.own(name, value)
        return f"{self.figure(name, value)} ({own})" if own else self.figure(name, value)

    def own(self, name: str, value: float) -> str:
        """A quantity in the reader's own units; empty where those are the working's."""
        if self.system == "SI" or symbol(name).kind in _FIXED or math.isnan(value):
            return ""
        return "" if symbol(name).kind == "flow coefficient" else self.figure(name, value, is_own=True)

    def short(self, name: str, value: float) -> tuple[str, str]:
        """A quantity in the reader's own units, for a sheet: number and unit."""
        number, _, unit = self.figure(name, value, is_own=True).partition(NBSP)
        return number, unit


def sign(name: str) -> str:
    """The sign of a quantity."""
    return symbol(name).sign


def equation(formula: str) -> str:
    """A formula in signs."""
    return written(formula, sign, " ", "/", lambda name: FUNCTIONS[name])


def substituted(formula: str, operands: Mapping[str, Any], formatter: CalculationFormatter) -> str:
    """A formula with figures in place of signs, in the units of the working."""
    return written(
        formula, lambda name: formatter.figure(name, float(operands[name])), " × ", " ÷ ", lambda name: FUNCTIONS[name]
    )


def _unit(kind: str, is_ip: bool) -> Unit:
    return unit_named(kind, _UNITS[kind][is_ip])


def _number(kind: str, value: float, is_own: bool) -> str:
    if kind == "temperature":
        return without_zeros(decimals(value, 2 if is_own else _DEGREE_PLACES))
    return without_zeros(round_half_even(value, FIGURES - 1 if is_own else FIGURES))
