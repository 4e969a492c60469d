"""A trace as blocks of lines, the same for text, sheet and JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tablegen.calculation.steps import Calculation, Given, Step
from tablegen.calculation.symbols import symbol
from tablegen.cli.calculation_words import CalculationFormatter, equation, sign, substituted
from tablegen.config.case_catalogue import Origin, Origins
from tablegen.wording import terms


@dataclass(frozen=True, slots=True)
class Line:
    """One line: a figure of the config with its origins, or one that follows, with its equation and that in figures.

    `value` has the units of the working (and the reader's in brackets), `short` is number and unit of the reader alone.
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
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """Lines under a title; `kind` says which part of a working they are."""

    kind: str
    title: str
    lines: tuple[Line, ...]


def lines_of(
    calculation: Calculation, formatter: CalculationFormatter, origins: Origins
) -> tuple[list[Line], list[Line]]:
    """The config's figures of a working, and what follows from them."""
    given, steps = [], []
    for line in calculation.lines:
        value = float(line.value)
        own = (
            line.name,
            sign(line.name),
            symbol(line.name).meaning,
            formatter.value(line.name, value),
            formatter.short(line.name, value),
            value,
        )
        if isinstance(line, Given):
            written = _origins(line, origins)
            about = f"{own[2]}, {_of_head(written)}" if _of_head(written) else own[2]
            given.append(Line(own[0], own[1], about, *own[3:], origins=written))
        else:
            steps.append(_step(line, own, formatter))
    return given, steps


def _step(line: Step, own: tuple[str, str, str, str, tuple[str, str], float], formatter: CalculationFormatter) -> Line:
    written = equation(line.formula)
    figures = substituted(line.formula, line.operands, formatter)
    # A figure that is only renamed needs no second line.
    return Line(*own, written, "" if figures == own[3] else figures, line.source, line.note)


def _origins(line: Given, origins: Origins) -> tuple[Origin, ...]:
    found = (origins.find(key) for key in line.keys if key != "cell")
    return tuple(origin for origin in found if origin is not None)


def _of_head(written: tuple[Origin, ...]) -> str:
    """The head that a figure is of, by its key; a family has a rating of its own."""
    condition = written[0].key.partition(".")[0] if written else ""
    head = terms.condition(condition) if condition in terms.CONDITIONS else ""
    return "nominal rating" if head and written[0].file.startswith("families/") else head


def merged(given: list[Line]) -> tuple[Line, ...]:
    """The config's figures of several calculations, each once, in the order of their files."""
    seen: dict[tuple[Any, ...], Line] = {}
    for line in given:
        seen.setdefault((line.name, line.value_si, line.origins), line)
    return tuple(sorted(seen.values(), key=_place))


def _place(line: Line) -> tuple[str, int]:
    return (line.origins[0].file, line.origins[0].line) if line.origins else ("", 0)
