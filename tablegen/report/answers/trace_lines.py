"""A trace as lines: the figures of the config files, the steps of each limit by part, and of what empties a window."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen.calculation.curve_steps import followed
from tablegen.calculation.steps import Calculation, Step
from tablegen.physics import equations as eq
from tablegen.report.answers.calculation_lines import Line, given_line, lines_of, merged, step_line
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.worked_figures import WorkedFigures
from tablegen.wording import calculation as calculation_wording
from tablegen.wording import terms
from tablegen.wording import trace as wording

if TYPE_CHECKING:
    from tablegen.answers.obstacles import Obstacle
    from tablegen.answers.trace import Trace, TracedLimit
    from tablegen.report.answers.calculation_lines import WrittenFigures
    from tablegen.report.formatter import Formatter

SIDES = ("minimum", "maximum")
# What steps take that no config file has.
CONSTANTS = ("N", "E", "g", "dT_1", "T_0", "p_crit", "k")
RATING, SETTING, HEAD, LIQUID = "rating", "setting", "head", "liquid"
VALVE, RATED_KV, SIZE = "valve", "rated_kv", "size"


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

    @property
    def load(self) -> str:
        """What the steps come to, without its unit."""
        return self.blocks[-1].lines[-1].short[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceLines:
    """A trace as lines: figures of the config files, constants, limits, and the calculation of what empties the window."""

    given: tuple[Line, ...]
    constants: tuple[Line, ...]
    limits: tuple[LimitLines, ...]
    obstacle: tuple[Block, ...]
    figures: WorkedFigures


def lines_of_trace(
    found: Trace,
    size_name: str,
    origins: Mapping[str, WrittenFigures],
    formatter: Formatter,
    sides: Iterable[str] = SIDES,
    *,
    has_curves: bool = True,
) -> TraceLines:
    """The lines of a trace; `origins` are those of each refrigerant, `sides` the limits that are wanted.

    With `has_curves` each curve of a config file is followed step by step; without it is called by its name.
    """
    own = WorkedFigures(CalculationUnits(formatter.system, formatter.load_unit))
    of_kv = _of_kv(own)

    def in_steps(parts: _Parts) -> _Parts:
        return [(part, title, followed(w)) for part, title, w in parts] if has_curves else parts

    given: list[Line] = []
    calculations: list[Calculation] = []
    limits = []
    for side, limit in zip(SIDES, (found.minimum, found.maximum), strict=True):
        if limit is not None and side in sides:
            parts = in_steps(_limit_parts(found, size_name, limit, origins[limit.limit.member]))
            calculations += [calculation for _, _, calculation in parts]
            limits.append(LimitLines(side, limit, _blocks(parts, own, origins[limit.limit.member], given)))
    obstacle: tuple[Block, ...] = ()
    if found.obstacle is not None:
        member = found.obstacle.limit.member
        parts = in_steps(_obstacle_parts(found.obstacle))
        calculations += [calculation for _, _, calculation in parts]
        obstacle = _blocks(parts, own, origins[member], given)
    constants = [line for n, v in _used(calculations) for line in (of_kv if n == "N" else [given_line(n, v, own)])]
    return TraceLines(
        given=merged(given), constants=tuple(constants), limits=tuple(limits), obstacle=obstacle, figures=own
    )


def _of_kv(figures: WorkedFigures) -> list[Line]:
    """What Kv means, and the constant of the flow equation that follows from it in the reader's units."""
    w = Calculation({})
    w.known(V=eq.CUBIC_METER_PER_HOUR, rho_0=eq.WATER_DENSITY, dp_0=eq.BAR)
    w.step("N", "V * sqrt(rho_0 / dp_0)", calculation_wording.DEFINITION)
    (step,) = (line for line in w.lines if isinstance(line, Step))
    return [*(given_line(n, float(w.values[n]), figures) for n in w.values if n != "N"), step_line(step, figures, {})]


def _used(calculations: Iterable[Calculation]) -> list[tuple[str, float]]:
    """The constants that steps take, with their values in SI, each once."""
    steps = [line for w in calculations for line in w.lines if isinstance(line, Step)]
    found = {(n, float(step.operands[n])): None for n in CONSTANTS for step in steps if n in step.operands}
    return list(found)


_Parts = list[tuple[str, str, Calculation]]


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
        (LIQUID, wording.LIQUID_UPSTREAM(), limit.liquid),
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


def _blocks(parts: _Parts, figures: WorkedFigures, origins: WrittenFigures, given: list[Line]) -> tuple[Block, ...]:
    """The steps of calculations under their titles; the figures of the config files go to `given`."""
    blocks = []
    for part, title, calculation in parts:
        # What cannot be computed any more is what the reason of an empty window says.
        own, steps = lines_of(calculation, figures, origins)
        given += own
        if steps:
            blocks.append(Block(part, title, tuple(steps)))
    return tuple(blocks)
