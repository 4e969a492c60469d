"""The figures of one column of worked limits, each worked out from those that are printed above it.

A reader with a calculator then comes to every printed figure; only properties of refrigerants and given figures are
the computed ones, rounded.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tablegen.calculation.formula import calls_in, evaluate, names_in
from tablegen.calculation.symbols import symbol
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.rounding import MINUS

# What a head takes from the rating point, under the sign without the index.
_OF_RATING = {"rho_r": "rho", "m_cr": "m_c", "m_xr": "m_x", "T_er": "T_e", "v_r": "v"}
# Not in units that fit the equations of the others.
_APART = ("plain", "kelvin")
_ARITHMETIC = {"sqrt", "min", "max"}


@dataclass(frozen=True, slots=True)
class Figures:
    """Lines of a column by quantity; what it lacks is its rating point's."""

    units: CalculationUnits
    lines: Mapping[str, Any]
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
            self._texts[name] = self._worked(name, self.lines[name])
        return self._texts[name]

    def value(self, name: str) -> float:
        """The figure that is printed."""
        return float(self.text(name).replace(MINUS, "-"))

    def _worked(self, name: str, line: Any) -> str:
        if not line.formula:
            return self.units.number(name, line.value_si, True)
        operands = names_in(line.formula)
        if calls_in(line.formula) <= _ARITHMETIC and not any(symbol(n).kind in _APART for n in (name, *operands)):
            values = {n: np.asarray(self.value(n)) for n in operands}
            return self.units.printed(name, float(evaluate(line.formula, values, {})))
        return self.units.number(name, line.value_si)
