"""A calculation as lines in the reader's units: each quantity with its figure, its equation, and that in figures."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from tablegen.calculation.formula import written
from tablegen.calculation.steps import Given, Step
from tablegen.calculation.symbols import FUNCTIONS, symbol
from tablegen.wording import terms
from tablegen.wording import trace as wording

if TYPE_CHECKING:
    from tablegen.calculation.steps import Calculation
    from tablegen.report.worked_figures import WorkedFigures

_ZERO_C = 273.15


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

    @property
    def text(self) -> str:
        """The figure as it is written."""


class WrittenFigures(Protocol):
    """Where the figures of a case are written."""

    def find(self, key: str) -> WrittenFigure | None:
        """Where a key is written; None where it is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A figure of the config files with its origins, or one that follows, with its equation and that in figures.

    `value` is the figure with its unit, `short` the two apart.
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


def sign(name: str) -> str:
    """The sign of a quantity."""
    return symbol(name).sign


def equation(formula: str) -> str:
    """A formula in signs."""
    return written(formula, sign, " ", "/", lambda name: FUNCTIONS[name])


def lines_of(
    calculation: Calculation, figures: WorkedFigures, origins: WrittenFigures
) -> tuple[list[Line], list[Line]]:
    """The figures of the config files in a calculation, and what follows from them as far as it can be computed."""
    given, steps = [], []
    for line in calculation.lines:
        if isinstance(line, Given):
            written_in = tuple(o for key in line.keys if key != "cell" and (o := origins.find(key)) is not None)
            given.append(given_line(line.name, float(line.value), figures, written_in))
        elif math.isfinite(line.value):
            steps.append(step_line(line, figures, calculation.functions))
    return given, steps


def given_line(name: str, value_si: float, figures: WorkedFigures, origins: tuple[WrittenFigure, ...] = ()) -> Line:
    """A figure that nothing above it gives."""
    own = symbol(name)
    text = wording.NONE() if math.isnan(value_si) else figures.figure(name, value_si)
    condition = _condition_of(origins)
    return Line(
        name=name,
        sign=own.sign,
        meaning=wording.OF_CONDITION(meaning=own.meaning, condition=condition) if condition else own.meaning,
        value=figures.with_unit(own.kind, text),
        short=(text, figures.label(own.kind)),
        value_si=value_si,
        origins=origins,
    )


def step_line(step: Step, figures: WorkedFigures, functions: Mapping[str, Callable[..., Any]]) -> Line:
    """A figure that follows from others."""
    own, value_si = symbol(step.name), float(step.value)
    formula = _in_degrees(step.formula, figures, functions)
    found = figures.step(step.name, formula, step.operands, value_si, functions)
    value = figures.with_unit(own.kind, found.text)
    return Line(
        name=step.name,
        sign=own.sign,
        meaning=own.meaning,
        value=value,
        short=(found.text, figures.label(own.kind)),
        value_si=value_si,
        equation=equation(formula),
        # A figure that is only renamed needs no second line.
        figures=" = ".join(stage for stage in found.stages if stage != value),
        source=step.source,
        note=step.note,
    )


def _in_degrees(formula: str, figures: WorkedFigures, functions: Mapping[str, Callable[..., Any]]) -> str:
    """A temperature in the degrees of a polynomial, from the reader's."""
    if not formula.startswith("degrees("):
        return formula
    temperature = formula.removeprefix("degrees(").removesuffix(")")
    is_fahrenheit = bool(functions["degrees"](_ZERO_C) > 0.0)
    if is_fahrenheit == (figures.units.system == "IP"):
        return temperature
    return f"1.8 * {temperature} + 32" if is_fahrenheit else f"({temperature} - 32) / 1.8"


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
