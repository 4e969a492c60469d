"""The lesson's graph of openings: what each load needs at each head, and where that meets a limit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from tablegen.report.formatter import percent
from tablegen.report.graphs.opening_against_load import OpeningLimit, OpeningLine, opening_against_load
from tablegen.report.pages.lesson_example import Lesson
from tablegen.report.pages.two_limits_page import BothLimits
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.rows import ExampleRow, LimitForces
from tablegen.units import print_unit
from tablegen.wording import lesson as wording
from tablegen.wording import terms

# Of a line.
_POINTS = 121


class HuntingHead(NamedTuple):
    """The opening [1] below which a valve hunts at one head, and the load there, rounded up."""

    opening: float
    load: str


def opening_graph(lesson: Lesson, both: BothLimits, height: float) -> DrawingFlowable:
    """Opening against load at low and at high head, and at the rating point if that sets a limit."""
    formatter = lesson.figures.formatter
    load = print_unit("load", formatter.system, formatter.load_unit)
    hunting = hunting_heads(lesson, both.low)
    is_at_rating = "rating" in (both.low.condition, both.high.condition)
    heads = [lesson.low, *([lesson.heads["rating"]] if is_at_rating else []), lesson.high]
    lines = [_line(lesson, head, hunting) for head in heads]
    limits = []
    for row, called, otherwise in (
        (both.low, {"stability": wording.MINIMUM_OPENING}, wording.LIMIT_OPENING),
        (
            both.high,
            {"stop": wording.BEYOND_STOP, "rated_stroke": wording.BEYOND_RATED_STROKE},
            wording.STARVES_OPENING,
        ),
    ):
        limits.append(
            OpeningLimit(
                opening=100.0 * row.opening,
                load=load.of(row.load_w),
                name=called.get(row.limit_reason, otherwise)(opening=percent(row.opening)),
                printed=both.loads[row.limit],
                others=tuple(
                    "" if head.condition == row.condition else load_at(lesson, row, head.condition) for head in heads
                ),
            )
        )
    alt = wording.OPENING_GRAPH_ALT(
        max_opening=percent(both.high.opening),
        min_opening=percent(both.low.opening),
        maximum=both.loads["max"],
        minimum=both.loads["min"],
        max_at=terms.at_condition(both.high.condition),
        min_at=terms.at_condition(both.low.condition),
    )
    drawing = opening_against_load(lines, (limits[0], limits[1]), load.label, (design.FIGURE_WIDTH, height))
    return DrawingFlowable(drawing, alt)


def _line(lesson: Lesson, head: ExampleRow, hunting: Mapping[str, HuntingHead]) -> OpeningLine:
    """From no load to the stop, at one head."""
    formatter, characteristic = lesson.figures.formatter, lesson.characteristic
    load = print_unit("load", formatter.system, formatter.load_unit)
    stop_share = float(characteristic.share(np.array([characteristic.stop]))[0])
    most_w = head.load_w * stop_share * head.kv_rated_m3h / head.required_kv_m3h
    loads = np.linspace(0.0, most_w, _POINTS)
    name = wording.ON_HEAD[head.condition](drop=formatter.drop(head.pressure_drop_pa, 0))
    own = hunting.get(head.condition)
    return OpeningLine(
        load=np.array([load.of(w) for w in loads.tolist()]),
        opening=100.0 * characteristic.opening(loads / most_w * stop_share),
        name=wording.HUNTS_BELOW(head=name, opening=percent(own.opening)) if own else name,
        hunts_below=100.0 * own.opening if own else None,
    )


def load_at(lesson: Lesson, row: LimitForces, condition: str) -> str:
    """The load that the opening of a limit gives at a head: as the limit itself, a minimum rounded up and a maximum down."""
    other_w = row.load_w * lesson.heads[row.condition].required_kv_m3h / lesson.heads[condition].required_kv_m3h
    return lesson.figures.formatter.window(other_w, other_w)[row.limit == "max"]


def hunting_heads(lesson: Lesson, minimum: LimitForces) -> Mapping[str, HuntingHead]:
    """Where hunting begins at each operating condition; empty where the loop does not set the minimum load."""
    if lesson.both is None or not lesson.both.is_by_loop:
        return {}
    curve, found = lesson.curve, {}
    for name, head in lesson.heads.items():
        opening = float(np.interp(head.head_pressure_pa, curve["head_pressure_pa"], curve["min_opening"]))
        opening = minimum.opening if name == minimum.condition else opening
        share = float(lesson.characteristic.share(np.array([opening]))[0])
        load_w = head.load_w * share * head.kv_rated_m3h / head.required_kv_m3h
        if math.isnan(load_w):
            return {}
        found[name] = HuntingHead(opening, lesson.figures.formatter.window(load_w, load_w)[0])
    return found
