"""A step in figures: what is printed of its quantities comes to what is printed as its result.

Each result is calculated from the figures that are printed above it, so that a reader with a calculator comes to the
same digits. Properties of a refrigerant and figures of a curve are looked up, at the figures printed as well.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from tablegen.calculation.formula import calls_in, evaluate, names_in, replaced, written
from tablegen.calculation.symbols import FUNCTION_KINDS, FUNCTIONS, symbol
from tablegen.physics.arrays import Floats
from tablegen.report.calculation_units import FIGURES, NO_UNIT, CalculationUnits
from tablegen.report.formatter import NBSP
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.wording.language import number

# Decimals of a temperature in SI and IP units: a property looked up there has its printed digits.
_DEGREE_PLACES = (5, 4)
# Constants are known to any digit; one more, so that what is calculated from them has all of its own.
_CONSTANT_FIGURES = 7
_CONSTANTS = {"N", "E", "V", "rho_0", "dp_0", "g", "T_0"}
_DEGREES = {"temperature", "kelvin"}
# Of a load, which is the one of the tables: two more than these print, or as many as the steps agree on.
_LOAD_FIGURES = (5, 4)
# Share of a figure by which binary noise may put it off.
_NOISE = 1e-10
_LABELS = {NO_UNIT: "", "kPa absolute": "kPa"}
_ARITHMETIC = {"sqrt", "min", "max", "exp", "log"}


class _Quantity(NamedTuple):
    """A quantity in a formula: its kind, its value in SI, and its figure as printed."""

    kind: str
    value_si: float
    text: str


class WorkedStep(NamedTuple):
    """The formula in figures, each stage after the one before it, and the figure of the result as printed."""

    stages: tuple[str, ...]
    text: str


@dataclass(slots=True)
class WorkedFigures:
    """The figures of a calculation for readers of one unit system, in order."""

    units: CalculationUnits
    # Of a value, by kind: a quantity that is only renamed keeps its digits.
    _texts: dict[tuple[str, float], str] = field(default_factory=dict)
    # Of a name: another way through the same equations may differ in the last digits.
    _last: dict[str, tuple[float, str]] = field(default_factory=dict)

    def label(self, kind: str) -> str:
        """The unit of a kind; empty where it has none."""
        label = self.units.label_of_kind(kind)
        return _LABELS.get(label, label)

    def figure(self, name: str, value_si: float) -> str:
        """A quantity that is given, looked up or known, without its unit."""
        last, text = self._last.get(name, (math.nan, ""))
        if abs(last - value_si) > _NOISE * abs(value_si) or not text:
            text = self._known(symbol(name).kind, value_si, _CONSTANT_FIGURES if name in _CONSTANTS else FIGURES)
            self._last[name] = value_si, text
        return text

    def with_unit(self, kind: str, text: str) -> str:
        """A printed figure with the unit of its kind."""
        return f"{text}{NBSP}{label}" if (label := self.label(kind)) else text

    def step(
        self, name: str, formula: str, operands: Mapping[str, Floats], value: float, functions: Mapping[str, Any]
    ) -> WorkedStep:
        """A step in figures; a formula is in units of the reader.

        Parameters
        ----------
        name, formula : str
            The quantity that follows, and from what.
        operands : mapping
            Each quantity of the formula in SI.
        value : float
            The result in SI.
        functions : mapping
            Functions of the formula, of arguments in SI.
        """
        known = {n: self._quantity(n, float(operands[n])) for n in names_in(formula)}
        stages = [self._written(formula, known)]
        while calls_in(formula) - _ARITHMETIC:
            formula = self._with_arguments(formula, known)
            stages.append(self._written(formula, known))
            if isinstance(ast.parse(formula, mode="eval").body, ast.Call) and formula.count("(") == 1:
                break
            formula = self._looked_up(formula, known, functions)
            stages.append(self._written(formula, known))
        kind = symbol(name).kind
        if calls_in(formula) - _ARITHMETIC:
            text = self._known(kind, value)
        else:
            text = self._calculated(kind, value, formula, known)
        self._texts[kind, value] = text
        self._last[name] = value, text
        return WorkedStep(tuple(dict.fromkeys(stages)), text)

    def _quantity(self, name: str, value_si: float) -> _Quantity:
        return _Quantity(symbol(name).kind, value_si, self.figure(name, value_si))

    def _written(self, formula: str, known: Mapping[str, _Quantity]) -> str:
        return written(
            formula,
            lambda n: self.with_unit(known[n].kind, known[n].text),
            " × ",
            " ÷ ",
            lambda n: FUNCTIONS[n],
        )

    def _with_arguments(self, formula: str, known: dict[str, _Quantity]) -> str:
        """The formula with each argument of a look-up as one figure."""

        def whole(node: ast.expr) -> str | None:
            if not isinstance(node, ast.Call) or _name(node) in _ARITHMETIC:
                return None
            for place, argument in enumerate(node.args):
                if not isinstance(argument, ast.Name):
                    node.args[place] = ast.Name(self._summed_up(ast.unparse(argument), known), ast.Load())
            return None

        return replaced(formula, whole)

    def _summed_up(self, formula: str, known: dict[str, _Quantity]) -> str:
        """The name of a quantity that an argument comes to."""
        kind = known[names_in(formula)[0]].kind
        value = float(evaluate(formula, {n: np.asarray(known[n].value_si) for n in names_in(formula)}, {}))
        return _added(known, _Quantity(kind, value, self._calculated(kind, value, formula, known)))

    def _looked_up(self, formula: str, known: dict[str, _Quantity], functions: Mapping[str, Callable[..., Any]]) -> str:
        """The formula with the figure of each look-up in its place."""

        def figure(node: ast.expr) -> str | None:
            if not isinstance(node, ast.Call) or _name(node) in _ARITHMETIC:
                return None
            own = ast.unparse(node)
            value = float(evaluate(own, {n: np.asarray(known[n].value_si) for n in names_in(own)}, functions))
            kind = FUNCTION_KINDS[_name(node)]
            return _added(known, _Quantity(kind, value, self._known(kind, value)))

        return replaced(formula, figure)

    def _calculated(self, kind: str, value_si: float, formula: str, known: Mapping[str, _Quantity]) -> str:
        """What the printed figures of a formula come to, as printed."""
        figures = {n: np.asarray(number(known[n].text)) for n in names_in(formula)}
        found = float(evaluate(formula, figures, {}))
        if math.isnan(found):
            return self._known(kind, value_si)
        before = self._texts.get((kind, value_si))
        if before is not None and abs(number(before) - found) <= _NOISE * abs(found):
            return before
        if kind != "load":
            return self._printed(kind, found, FIGURES)
        exact = self.units.of_kind(kind, value_si)
        for count in _LOAD_FIGURES:
            text = round_half_even(exact, count)
            if round_half_even(found, count) == text:
                return text
        return self._printed(kind, found, FIGURES)

    def _known(self, kind: str, value_si: float, figures: int = FIGURES) -> str:
        key = kind, value_si
        if key not in self._texts:
            self._texts[key] = self._printed(kind, self.units.of_kind(kind, value_si), figures)
        return self._texts[key]

    def _printed(self, kind: str, figure: float, figures: int) -> str:
        """A figure in the reader's unit; zeros at its end say that it is rounded."""
        text = (
            decimals(figure, _DEGREE_PLACES[self.units.system == "IP"])
            if kind in _DEGREES
            else round_half_even(figure, figures)
        )
        is_exact = abs(number(text) - figure) <= _NOISE * abs(figure)
        return without_zeros(text) if is_exact else text


def _name(node: ast.Call) -> str:
    assert isinstance(node.func, ast.Name)
    return node.func.id


def _added(known: dict[str, _Quantity], quantity: _Quantity) -> str:
    name = f"_{len(known)}"
    known[name] = quantity
    return name
