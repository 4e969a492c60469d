"""What the answer to one case shows beside its words: load windows of valves, and the first choice at each head."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.answers.valve_balance import OpenRange
from tablegen.report.formatter import Formatter, percent
from tablegen.report.graphs.axes import EDGE, Scale
from tablegen.report.graphs.bar_rows import BarRow, draw_rows, rows_height
from tablegen.report.graphs.size_range_strips import preferred_steps
from tablegen.report.graphs.sketch import LINE, MARK, SIZE, Sketch
from tablegen.report.graphs.window_graph import log_ticks
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Drawing, Pen
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.units import print_unit
from tablegen.wording import pick_pictures as wording
from tablegen.wording import terms

# Of the load's line and its text over the rows [pt], and how far the scale of loads goes on beyond the bars.
_LOAD, _OVER = 13.0, 1.08
# Ticks of a scale of loads have this room each [pt]; a scale with fewer cannot be read.
_TICK, _FEWEST_TICKS = 24.0, 2
# Between the panels of superheat and opening [pt].
_BETWEEN = 6.0
_LOAD_LINE, _HALO = Pen(design.HEAVY, design.ACCENT), Pen(design.HALO, design.WHITE)


def strip_height(count: int) -> float:
    """Height [pt] of the strip of so many windows."""
    return rows_height(count) + _LOAD


def load_window_strip(
    rows: Sequence[BarRow], load: float, load_text: str, formatter: Formatter, width: float
) -> Drawing:
    """Windows under each other on a log scale of loads, the load as a line through them; in printed units."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    ends = [load, *(row.low for row in rows), *(row.high for row in rows)]
    low, high = min(ends) / _OVER, max(ends) * _OVER
    steps = log_ticks(low, high)
    if len(steps) < _FEWEST_TICKS:
        steps = preferred_steps(low, high)
        low, high = steps[0], steps[-1]
    scale = Scale(low, high, is_log=True)
    steps = steps[:: -(-len(steps) // max(int(width / _TICK), 1))]
    ticks = [(step, without_zeros(round_half_even(step))) for step in steps]
    sketch = Sketch(width, strip_height(len(rows)))
    axes = draw_rows(sketch, rows, scale, ticks, wording.LOAD_AXIS(unit=unit.label))
    top, x = axes.box.top, float(axes.across(load))
    # White around the line, so that it is seen on black.
    for pen, layer in ((_HALO, LINE), (_LOAD_LINE, MARK)):
        sketch.line([(x, axes.box.bottom), (x, top + 1.0)], pen, layer, name="load" if layer == MARK else "")
    half = 0.5 * fonts.text_width(load_text, fonts.BOLD, SIZE)
    middle = min(max(x, EDGE + half), width - EDGE - half)
    sketch.text(middle, top + 2.0, load_text, up="bottom", face=fonts.BOLD)
    return sketch.drawing(wording.LOAD_AXIS(unit=unit.label))


def heads_height(ranges: Sequence[OpenRange]) -> float:
    """Height [pt] of `head_ranges`."""
    panel = rows_height(len(ranges))
    return 2.0 * panel + _BETWEEN if _has_superheat(ranges) else panel


def head_ranges(ranges: Sequence[OpenRange], formatter: Formatter, width: float) -> Drawing:
    """Superheat and opening of a valve at each head, each on a bar of what it may be; a drive has no superheat."""
    sketch = Sketch(width, heads_height(ranges))
    rows = [
        BarRow(
            name=terms.condition_title(own.condition),
            figures=percent(own.opening),
            low=100.0 * own.min_opening,
            high=100.0 * own.max_opening,
            mark=100.0 * own.opening,
        )
        for own in ranges
    ]
    top = max(100.0, *(row.high for row in rows))
    scale = Scale(0.0, top)
    draw_rows(sketch, rows, scale, scale.round_ticks(width, is_upright=False, most=6), wording.OPENING_AXIS())
    if _has_superheat(ranges):
        _draw_superheats(sketch, ranges, formatter, rows_height(len(ranges)) + _BETWEEN)
    return sketch.drawing(wording.OPENING_AXIS())


def _has_superheat(ranges: Sequence[OpenRange]) -> bool:
    return not any(math.isnan(own.superheat_k) for own in ranges)


def _draw_superheats(sketch: Sketch, ranges: Sequence[OpenRange], formatter: Formatter, foot: float) -> None:
    unit = print_unit("temperature difference", formatter.system)
    rows = [
        BarRow(
            name=terms.condition_title(own.condition),
            figures=formatter.step(own.superheat_k, 1),
            low=unit.of(own.min_superheat_k),
            high=unit.of(own.max_superheat_k),
            mark=unit.of(own.superheat_k),
        )
        for own in ranges
    ]
    scale = Scale(0.0, 1.1 * max(row.high for row in rows))
    ticks = scale.round_ticks(sketch.width, is_upright=False, most=6)
    draw_rows(sketch, rows, scale, ticks, wording.SUPERHEAT_AXIS(unit=unit.label), foot)
