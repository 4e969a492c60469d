"""A trace as lines: the figures of the config files, the steps of each limit by part, and of what empties a window."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen.report.answers.calculation_lines import CalculationFormatter, Line, lines_of, merged
from tablegen.wording import terms
from tablegen.wording import trace as wording

if TYPE_CHECKING:
    from tablegen.answers.obstacles import Obstacle
    from tablegen.answers.trace import Trace, TracedLimit
    from tablegen.calculation.steps import Calculation
    from tablegen.report.answers.calculation_lines import WrittenFigures
    from tablegen.report.formatter import Formatter

SIDES = ("minimum", "maximum")
RATING, SETTING, HEAD, VALVE, RATED_KV, SIZE = "rating", "setting", "head", "valve", "rated_kv", "size"


@dataclass(frozen=True, slots=True)
class Block:
    """Steps under a title; `part` says which part of a calculation they are."""

    part: str
    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class LimitLines:
    """One limit ("minimum" or "maximum") and the blocks of its calculation."""

    side: str
    limit: TracedLimit
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class TraceLines:
    """A trace as lines: figures of the config files, limits, and the calculation of what empties the window."""

    given: tuple[Line, ...]
    limits: tuple[LimitLines, ...]
    obstacle: tuple[Block, ...]


def lines_of_trace(
    found: Trace,
    size_name: str,
    origins: Mapping[str, WrittenFigures],
    formatter: Formatter,
    sides: Iterable[str] = SIDES,
) -> TraceLines:
    """The lines of a trace; `origins` are those of each refrigerant, `sides` the limits that are wanted."""
    own = CalculationFormatter(formatter.system)
    given: list[Line] = []
    limits = []
    for side, limit in zip(SIDES, (found.minimum, found.maximum), strict=True):
        if limit is not None and side in sides:
            parts = _limit_parts(found, size_name, limit, origins[limit.limit.member])
            limits.append(LimitLines(side, limit, _blocks(parts, own, origins[limit.limit.member], given)))
    obstacle: tuple[Block, ...] = ()
    if found.obstacle is not None:
        member = found.obstacle.limit.member
        obstacle = _blocks(_obstacle_parts(found.obstacle), own, origins[member], given)
    return TraceLines(merged(given), tuple(limits), obstacle)


_Parts = list[tuple[str, str, "Calculation"]]


def _limit_parts(found: Trace, size_name: str, limit: TracedLimit, origins: WrittenFigures) -> _Parts:
    """Part, title and calculation of everything that leads to a limit."""
    condition, _, side = limit.binding
    head = terms.at_condition_title(condition)
    if side in wording.STATES:
        head = wording.AT_STATE(condition=head, state=wording.STATES[side]())
    parts = [
        (RATING, wording.RATING_POINT(), limit.rating),
        (SETTING, wording.FACTORY_SETTING(), limit.setting),
        (HEAD, head, limit.head),
        (VALVE, wording.VALVE(), limit.valve),
    ]
    size = limit.size
    if limit.rated_kv is not None and origins.find(f"size:{found.size}:capacity") is not None:
        parts.append((RATED_KV, wording.RATED_KV(), limit.rated_kv))
        # Then it is no figure of the config.
        size = replace(size, lines=[line for line in size.lines if line.name != "Kv"])
    return [*parts, (SIZE, wording.SIZE(size=size_name), size)]


def _obstacle_parts(obstacle: Obstacle) -> _Parts:
    condition = obstacle.limit.condition
    head = terms.at_condition_title(condition) if condition in terms.CONDITIONS else ""
    titles = {part: title() for part, title in wording.OBSTACLE_PARTS.items()} | {HEAD: head}
    return [(part, titles[part], calculation) for part, calculation in obstacle.calculations]


def _blocks(
    parts: _Parts, formatter: CalculationFormatter, origins: WrittenFigures, given: list[Line]
) -> tuple[Block, ...]:
    """The steps of calculations under their titles; the figures of the config files go to `given`."""
    blocks = []
    for part, title, calculation in parts:
        own, steps = lines_of(calculation, formatter, origins)
        given += own
        # What cannot be computed any more is what the reason of an empty window says.
        steps = [step for step in steps if not math.isnan(step.value_si)]
        if steps:
            blocks.append(Block(part, title, tuple(steps)))
    return tuple(blocks)
