"""The lines of a calculation: what is given, and what follows by which equation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from tablegen.calculation.formula import evaluate, names_in
from tablegen.calculation.symbols import symbol
from tablegen.physics.arrays import Floats
from tablegen.wording.message import Message

if TYPE_CHECKING:
    from tablegen.calculation.curve_steps import CurvePiece


@dataclass(frozen=True, slots=True)
class Given:
    """A figure of the config, SI; `keys` are where it may be written, of which those that are there count."""

    name: str
    value: Floats
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A figure that follows: `operands` are the quantities of its formula, all SI, arrays of one shape or scalars.

    `source` names the equation or where it is published; `note` says what the formula does not.
    """

    name: str
    formula: str
    operands: Mapping[str, Floats]
    value: Floats
    source: str
    note: str = ""


class Curve(Protocol):
    """A function of formulas that is a curve of a config file."""

    def at(self, arguments: tuple[str, ...], values: tuple[float, ...]) -> CurvePiece | None:
        """The curve at one place, by the formulas of its arguments and their values; None where it is a property."""


@dataclass(slots=True)
class Calculation:
    """Lines in order, and the value of every quantity so far; a calculation may go on from the values of another.

    `curves` are those of the functions that a config file has points of.
    """

    functions: dict[str, Callable[..., Any]]
    values: dict[str, Floats] = field(default_factory=dict)
    lines: list[Given | Step] = field(default_factory=list)
    curves: dict[str, Curve] = field(default_factory=dict)

    def given(self, name: str, value: float | Floats, *keys: str) -> None:
        """Take a figure of the config."""
        symbol(name)
        self.values[name] = np.asarray(value, dtype=np.float64)
        self.lines.append(Given(name, self.values[name], keys))

    def known(self, **values: float | Floats) -> None:
        """Take figures from elsewhere in the calculation, without a line."""
        for name, value in values.items():
            symbol(name)
            self.values[name] = np.asarray(value, dtype=np.float64)

    def step(self, name: str, formula: str, source: Message, note: str = "") -> None:
        """Compute a figure."""
        self.follows(name, formula, source(), note)

    def follows(self, name: str, formula: str, source: str, note: str = "") -> None:
        """Compute a figure; the source is a text."""
        symbol(name)
        operands = {n: self.values[n] for n in names_in(formula)}
        self.values[name] = evaluate(formula, operands, self.functions)
        self.lines.append(
            Step(name=name, formula=formula, operands=operands, value=self.values[name], source=source, note=note)
        )

    def onwards(self, **functions: Callable[..., Any]) -> Calculation:
        """A calculation that goes on from here, with lines of its own."""
        return Calculation({**self.functions, **functions}, dict(self.values), curves=dict(self.curves))

    def at(self, index: int) -> Calculation:
        """The same for one place of the arrays."""
        return Calculation(
            self.functions,
            {n: _at(v, index) for n, v in self.values.items()},
            [
                replace(line, value=_at(line.value, index))
                if isinstance(line, Given)
                else replace(
                    line, value=_at(line.value, index), operands={n: _at(v, index) for n, v in line.operands.items()}
                )
                for line in self.lines
            ],
            self.curves,
        )


def _at(value: Floats, index: int) -> Floats:
    return np.asarray(value if value.ndim == 0 else value[index])
