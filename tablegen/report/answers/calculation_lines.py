"""A calculation as lines: figures in SI units that fit each other, with the reader's own beside them, and equations.

Figures are in kPa, kJ/kg, kg/m3, degC, K and kW, in which every equation gives the printed result; a temperature that
is multiplied is in kelvin.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from tablegen.calculation.formula import written
from tablegen.calculation.steps import Given, Step
from tablegen.calculation.symbols import FUNCTIONS, symbol
from tablegen.report.calculation_units import FIGURES, UNIT_NAMES
from tablegen.report.formatter import NBSP
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.unit_table import Unit
from tablegen.units import unit_named
from tablegen.wording import terms
from tablegen.wording import trace as wording

if TYPE_CHECKING:
    from tablegen.calculation.steps import Calculation
    from tablegen.physics.arrays import Floats

_DEGREE_PLACES = 4
_UNITS = {**UNIT_NAMES, "load": ("kW", "kBtu/h")}
# What is printed in one unit for all readers: factor from SI, and the unit.
_FIXED = {
    "share": (1.0, ""),
    "plain": (1.0, ""),
    "acceleration": (1.0, "m/s²"),
    "specific volume": (1.0, "m³/kg"),
    "required_kv": (1000.0, "m³/h per kW"),
    symbol("Q_1").kind: (0.001, "kW per m³/h"),
    "kelvin": (1.0, "K"),
    # Of kg/h, kg/m3 and kPa; of kJ and kW.
    "flow constant": (3600.0 * 1000.0**0.5, ""),
    "energy rate": (3600.0, "kJ/h per kW"),
}
_LABELS = {"kPa_absolute": "kPa"}


class WrittenFigure(Protocol):
    """A figure as a config file has it; `line` is 0 where it came from the command line."""

    @property
    def file(self) -> str:
        """The file, as seen from the catalogue."""

    @property
    def line(self) -> int:
        """The line, counted from 1."""

    @property
    def key(self) -> str:
        """The key with its path."""


class WrittenFigures(Protocol):
    """Where the figures of a case are written."""

    def find(self, key: str) -> WrittenFigure | None:
        """Where a key is written; None where it is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A figure of the config files with its origins, or one that follows, with its equation and that in figures.

    `value` has the units of the calculation (and the reader's in brackets), `short` is number and unit of the reader
    alone.
    """

    name: str
    sign: str
    meaning: str
    value: str
    short: tuple[str, str]
    value_si: float
    equation: str = ""
    figures: str = ""
    source: str = ""
    note: str = ""
    origins: tuple[WrittenFigure, ...] = ()


class CalculationFormatter:
    """Writes a calculation for readers of one unit system ("SI" or "IP")."""

    def __init__(self, system: str) -> None:
        self.system = system

    def figure(self, name: str, value: float, is_own: bool = False) -> str:
        """A quantity with its unit, in the units of the calculation or in the reader's own."""
        kind = symbol(name).kind
        if math.isnan(value):
            return "none"
        if kind in _FIXED:
            factor, label = _FIXED[kind]
            number = without_zeros(round_half_even(value * factor, FIGURES - is_own))
        else:
            unit = _unit(kind, is_own and self.system == "IP")
            label = _LABELS.get(unit.name, unit.label)
            number = _number(kind, unit.of(value), is_own)
        return f"{number}{NBSP}{label}" if label else number

    def value(self, name: str, value: float) -> str:
        """A quantity in the units of the calculation, and in the reader's own in brackets where these differ."""
        own = self.own(name, value)
        return f"{self.figure(name, value)} ({own})" if own else self.figure(name, value)

    def own(self, name: str, value: float) -> str:
        """A quantity in the reader's own units; empty where those are the calculation's."""
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


def substituted(formula: str, operands: Mapping[str, Floats], formatter: CalculationFormatter) -> str:
    """A formula with figures in place of signs, in the units of the calculation."""
    return written(
        formula, lambda name: formatter.figure(name, float(operands[name])), " × ", " ÷ ", lambda name: FUNCTIONS[name]
    )


def _unit(kind: str, is_ip: bool) -> Unit:
    return unit_named(kind, _UNITS[kind][is_ip])


def _number(kind: str, value: float, is_own: bool) -> str:
    if kind == "temperature":
        return without_zeros(decimals(value, 2 if is_own else _DEGREE_PLACES))
    return without_zeros(round_half_even(value, FIGURES - 1 if is_own else FIGURES))


def lines_of(
    calculation: Calculation, formatter: CalculationFormatter, origins: WrittenFigures
) -> tuple[list[Line], list[Line]]:
    """The figures of the config files in a calculation, and what follows from them."""
    given, steps = [], []
    for line in calculation.lines:
        if isinstance(line, Given):
            written_in = tuple(o for key in line.keys if key != "cell" and (o := origins.find(key)) is not None)
            given.append(_line(line, formatter, written_in))
        else:
            steps.append(_line(line, formatter, ()))
    return given, steps


def _line(line: Given | Step, formatter: CalculationFormatter, origins: tuple[WrittenFigure, ...]) -> Line:
    value, own = float(line.value), symbol(line.name)
    printed = formatter.value(line.name, value)
    meaning, figures = own.meaning, ""
    if isinstance(line, Step):
        in_figures = substituted(line.formula, line.operands, formatter)
        # A figure that is only renamed needs no second line.
        figures = "" if in_figures == printed else in_figures
    elif condition := _condition_of(origins):
        meaning = wording.OF_CONDITION(meaning=meaning, condition=condition)
    return Line(
        name=line.name,
        sign=own.sign,
        meaning=meaning,
        value=printed,
        short=formatter.short(line.name, value),
        value_si=value,
        equation=equation(line.formula) if isinstance(line, Step) else "",
        figures=figures,
        source=line.source if isinstance(line, Step) else "",
        note=line.note if isinstance(line, Step) else "",
        origins=origins,
    )


def _condition_of(origins: tuple[WrittenFigure, ...]) -> str:
    """The operating condition that a figure is of, by its key; a family has a rating of its own."""
    name = origins[0].key.partition(".")[0] if origins else ""
    if name not in terms.CONDITIONS:
        return ""
    return wording.NOMINAL_RATING() if origins[0].file.startswith("families/") else terms.condition(name)


def merged(given: Sequence[Line]) -> tuple[Line, ...]:
    """The config's figures of several calculations, each once, in the order of their files."""
    seen: dict[tuple[str, float, tuple[WrittenFigure, ...]], Line] = {}
    for line in given:
        seen.setdefault((line.name, line.value_si, line.origins), line)
    return tuple(sorted(seen.values(), key=_first_place))


def _first_place(line: Line) -> tuple[str, int]:
    return (line.origins[0].file, line.origins[0].line) if line.origins else ("", 0)
