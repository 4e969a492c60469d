"""A trace in words: the cell, its figures from the config, each limit step by step, rounded as printed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tablegen.answers.obstacles import Obstacle
from tablegen.answers.trace import Trace, TracedLimit
from tablegen.calculation.steps import Calculation
from tablegen.cli.calculation_words import CalculationFormatter, sign
from tablegen.cli.trace_lines import Block, Line, lines_of, merged
from tablegen.config.case_catalogue import Origins
from tablegen.physics.reasons import Reason
from tablegen.report.formatter import DASH, NARROW, Formatter
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import terms

# A temperature that goes through another scale and back differs in its last digits.
_SAME_K = 1e-6
_SIDES = {
    "both": "",
    "max": "full flow, minimum subcooling",
    "min": "minimum capacity step, maximum subcooling",
    "min_full_flow": "full flow, maximum subcooling",
}
RATING, SETTING, HEAD, VALVE, RATED_KV, SIZE = "rating", "setting", "head", "valve", "rated_kv", "size"


@dataclass(frozen=True, slots=True)
class Compared:
    """A load that one head allows or one member holds, in the printed unit; `binds` where it sets the limit."""

    name: str
    load: str
    binds: bool


@dataclass(frozen=True, slots=True)
class LimitText:
    """One limit in words: what sets it, the blocks of its working, what heads and members allow, the rounding."""

    which: str
    member: str
    head: str
    reason: str
    blocks: tuple[Block, ...]
    heads: tuple[Compared, ...]
    members: tuple[Compared, ...]
    exact: str
    printed: str
    is_printed: bool

    @property
    def rounding(self) -> str:
        """How the figure is rounded."""
        way = "down" if self.which == "maximum" else "up"
        how = "printed with" if self.is_printed else "rounded as in print to"
        return f"{self.exact}, {how} three figures, {way}, so that it never promises more: {self.printed}"


@dataclass(frozen=True, slots=True)
class TraceText:
    """A trace in words; `printed` is the cell as it stands in the table, or would if `not_printed` gave no reason."""

    valve: str
    refrigerants: str
    application: str
    sst: str
    row: str
    load_unit: str
    printed: str
    not_printed: str
    given: tuple[Line, ...]
    limits: tuple[LimitText, ...]
    obstacle: tuple[str, ...]
    obstacle_blocks: tuple[Block, ...]

    @property
    def cell(self) -> str:
        """The window, and whether a booklet prints it."""
        where = f"Computed, not printed ({self.not_printed})" if self.not_printed else "Printed"
        return f"{where}: {self.printed}"


def in_words(
    catalogue: Any, found: Trace, origins: Mapping[str, Origins], formatter: Formatter, sides: Sequence[str]
) -> TraceText:
    """A trace in words; `origins` are those of each member, `sides` which of "minimum" and "maximum" are wanted."""
    calculation = CalculationFormatter(formatter.system)
    given: list[Line] = []
    size_name = catalogue.families[found.family].size_name(found.size)
    limits = []
    for limit in (found.minimum, found.maximum):
        if limit is not None and ("maximum" if limit.is_max else "minimum") in sides:
            own = origins[limit.limit.member]
            limits.append(_limit(found, size_name, limit, own, formatter, calculation, given))
    obstacle: tuple[str, ...] = ()
    blocks: tuple[Block, ...] = ()
    if found.obstacle is not None:
        obstacle, blocks = _obstacle(found.obstacle, origins[found.obstacle.limit.member], calculation, given)
    name, application = found.case.refrigerant, catalogue.applications[found.case.application]
    is_row = bool((abs(application.sst_k - found.case.sst_k) < _SAME_K).any())
    title = catalogue.groups[name].title if name in catalogue.groups else name
    return TraceText(
        catalogue.valve_name(found.family, found.size),
        title,
        application.title,
        f"{formatter.degrees(found.case.sst_k)} (dew)",
        "a row of the table" if is_row else "between the rows of the table, computed exactly",
        formatter.load_label,
        _cell(found, formatter),
        found.not_printed,
        merged(given),
        tuple(limits),
        obstacle,
        blocks,
    )


def _cell(found: Trace, formatter: Formatter) -> str:
    window = formatter.readable_window(found.candidate.minimum.load_w, found.candidate.maximum.load_w)
    if window is not None:
        return formatter.with_load_unit(DASH.join(window))
    if found.obstacle is None:
        return f"no window: {NARROW}"
    return f"no window: {terms.reason(found.obstacle.limit.reason)}"


def _limit(
    found: Trace,
    size_name: str,
    limit: TracedLimit,
    origins: Origins,
    formatter: Formatter,
    calculation: CalculationFormatter,
    given: list[Line],
) -> LimitText:
    condition = limit.binding[0]
    head = terms.at_condition_title(condition)
    about = ", ".join(text for text in (head, _SIDES[limit.binding[2]]) if text)
    parts = [
        (RATING, "Rating point", limit.rating),
        (SETTING, "Factory setting", limit.setting),
        (HEAD, about, limit.head),
        (VALVE, "The valve there", limit.valve),
    ]
    size = limit.size
    if limit.rated_kv is not None and origins.find(f"size:{found.size}:capacity") is not None:
        parts.append((RATED_KV, "Kv that the nominal capacity stands for", limit.rated_kv))
        # Then it is no figure of the config.
        size = replace(size, lines=[line for line in size.lines if line.name != "Kv"])
    parts.append((SIZE, f"Size {size_name}", size))
    reason = limit.limit.reason
    unit = print_unit("load", formatter.system, formatter.load_unit)
    printed = formatter.window(limit.load_w, limit.load_w)[1 if limit.is_max else 0]

    def exact(load_w: float) -> str:
        return round_half_even(unit.of(load_w), 6)

    return LimitText(
        "maximum" if limit.is_max else "minimum",
        limit.limit.member,
        terms.condition(condition),
        terms.reason(reason) if reason not in (Reason.CROSSED, Reason.CONFIDENCE) else "",
        _blocks(parts, calculation, origins, given),
        tuple(Compared(_state(state, limit), exact(load), state == limit.binding) for state, load in limit.states),
        tuple(Compared(name, exact(load), name == limit.limit.member) for name, load in limit.members),
        formatter.with_load_unit(exact(limit.load_w)),
        formatter.with_load_unit(printed),
        not found.not_printed,
    )


def _blocks(
    parts: Sequence[tuple[str, str, Calculation]], formatter: CalculationFormatter, origins: Origins, given: list[Line]
) -> tuple[Block, ...]:
    """The steps of calculations under their titles; the config's figures go to `given`."""
    blocks = []
    for kind, title, part in parts:
        own, steps = lines_of(part, formatter, origins)
        given += own
        # What cannot be computed any more is what the reason of an empty cell says.
        steps = [step for step in steps if step.value != "none"]
        if steps:
            blocks.append(Block(kind, title, tuple(steps)))
    return tuple(blocks)


def _state(state: tuple[str, str, str], limit: TracedLimit) -> str:
    """A state in words, with as much as tells it from the others."""
    condition, response, side = state
    about = [_SIDES[side]] if len({s for (_, _, s), _ in limit.states}) > 1 and _SIDES[side] else []
    about += [f"suction {response}"] if len({r for (_, r, _), _ in limit.states}) > 1 else []
    return f"{terms.condition(condition)} ({', '.join(about)})" if about else terms.condition(condition)


def _obstacle(
    obstacle: Obstacle, origins: Origins, formatter: CalculationFormatter, given: list[Line]
) -> tuple[tuple[str, ...], tuple[Block, ...]]:
    """Why a cell is empty, with the working that shows it."""
    limit = obstacle.limit
    at = f" {terms.at_condition(limit.condition)}" if limit.condition in terms.CONDITIONS else ""
    at_title = terms.at_condition_title(limit.condition) if at else ""
    lines = [f"{limit.member}{at}: {terms.reason(limit.reason)}"]
    titles = {RATING: "Rating point", SETTING: "Factory setting", HEAD: at_title}
    parts = [(kind, title or titles[kind], part) for kind, title, part in obstacle.calculations]
    blocks = _blocks(parts, formatter, origins, given)
    if obstacle.compared:
        values = obstacle.calculations[-1][2].values
        first, *other = (f"{sign(name)} = {formatter.value(name, float(values[name]))}" for name in obstacle.compared)
        lines.append(f"{first} is not above {other[0] if other else 0}")
    return tuple(lines), blocks
