"""What moves a limit: a bar for each source of scatter alone, the longest above, black where the window gets narrower."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tablegen.report.formatter import signed
from tablegen.report.graphs.axes import EDGE, GAP, Axes, Scale, Tick, below, widest
from tablegen.report.graphs.sketch import BACK, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.report.rows import DriverRow
from tablegen.wording import confidence as wording
from tablegen.wording import terms

# A source that moves neither limit by so much is no driver [percent].
MIN_SHOWN = 0.05
_BAR = 0.62
# Type of figures and the width of a column of them; air at a line, between the panels, and at the right end; the heads of the
# panels [pt].
_VALUE, _COLUMN, _AIR, _BETWEEN, _RIGHT, _HEAD = design.FINE, 25.0, 3.0, 12.0, 2.0, 14.0
# A panel of this width has a tick on either side of 0 [pt].
_TICKED = 120.0
_OUTLINE = Pen(design.RULE)
# Which way a limit moves where the window gets narrower.
NARROWER = {"min": 1, "max": -1}


def shown(rows: Sequence[DriverRow]) -> list[str]:
    """The drivers of a graph, the strongest first, over both limits; what all valves share below the others."""
    effects: dict[str, float] = {}
    for row in rows:
        effect = 100.0 * abs(row.load_at_high_w - row.load_at_low_w) / row.member_load_w
        if not math.isnan(effect):
            effects[row.driver] = max(effects.get(row.driver, 0.0), effect)
    order = sorted((name for name, effect in effects.items() if effect >= MIN_SHOWN), key=lambda name: -effects[name])
    shared = {row.driver for row in rows if row.is_shared}
    return [name for name in order if name not in shared] + [name for name in order if name in shared]


def driver_graph(rows: Sequence[DriverRow], size: tuple[float, float]) -> Drawing:
    """Draw the drivers of one example's limits in a size [pt], as changes of the nominal limit in percent.

    Over each panel is said on which side of the line the window gets narrower, beside it how far each bar goes; the dashed line
    is the limit at confidence.
    """
    order = shown(rows)
    shared = {row.driver for row in rows if row.is_shared}
    apart = sum(name not in shared for name in order) - 0.5
    found = [
        abs(_change(row, load))
        for row in rows
        for load in (row.load_at_low_w, row.load_at_high_w, row.data_low_load_w, row.data_high_load_w)
    ]
    reach = 1.05 * max(filter(math.isfinite, found))
    sketch = Sketch(*size)
    across, up = Scale(-reach, reach), Scale(len(order) + 0.6, -0.7)
    names: list[Tick] = [(float(i), terms.DRIVERS[driver]()) for i, driver in enumerate(order)]
    names.append((float(len(order)), wording.ALL_SOURCES()))
    left = EDGE + widest(names) + GAP
    wide = 0.5 * (size[0] - left - _BETWEEN - _RIGHT) - 2.0 * _COLUMN
    for index, limit in enumerate(terms.LIMITS):
        start = left + index * (wide + 2.0 * _COLUMN + _BETWEEN)
        axes = Axes(sketch, Box(start, below(), start + wide, size[1] - EDGE - _HEAD), across, up)
        _panel(axes, [row for row in rows if row.limit == limit], limit, order)
        # What all valves share is below the rule, and the sum of all below another.
        levels = [apart] if 0.0 < apart < len(order) - 1.0 else []
        for level in (*levels, len(order) - 0.5):
            axes.level(level, Pen(design.THIN, dashes=design.CLOSE_DOTS))
        axes.x_axis(across.round_ticks(max(wide, _TICKED), is_upright=False), wording.CHANGE_AXES[limit]())
        if index == 0:
            axes.y_axis(names, length=0.0, has_line=False)
    return sketch.drawing(wording.CHANGE_AXES[next(iter(terms.LIMITS))]())


def _change(row: DriverRow, load_w: float) -> float:
    """A limit as a change of the nominal one [percent]."""
    return 100.0 * (load_w / row.member_load_w - 1.0)


def confident_change(row: DriverRow) -> float:
    """The limit at confidence, with all sources, as a change of the nominal one [percent]."""
    return _change(row, row.data_high_load_w if row.limit == "min" else row.data_low_load_w)


def narrowing_change(row: DriverRow) -> float:
    """How far a source alone makes the window narrower [percent]; NaN where it leaves no limit."""
    changes = [_change(row, load) for load in (row.load_at_low_w, row.load_at_high_w)]
    return max(changes, key=lambda change: math.inf if math.isnan(change) else change * NARROWER[row.limit])


def _panel(axes: Axes, rows: Sequence[DriverRow], limit: str, order: Sequence[str]) -> None:
    """The bars of one limit with their ends in figures, and where it is at confidence."""
    for row in rows:
        if row.driver in order:
            _bar(axes, order.index(row.driver), row)
    for side, name in ((1, wording.NARROWER()), (-1, wording.WIDER())):
        is_right = side * NARROWER[limit] > 0
        offset = (_AIR if is_right else -_AIR, 0.5 * _HEAD)
        face = fonts.SEMIBOLD if side > 0 else fonts.REGULAR
        axes.note(name, (0.0, axes.y.high), offset, side="left" if is_right else "right", face=face, pad=0.0)
    axes.upright(0.0, Pen(design.RULE))
    confident = confident_change(rows[0])
    # Where the tail covers no load at all no limit is left.
    if not math.isnan(confident):
        axes.upright(confident, Pen(design.LINE, dashes=design.DASHED), BACK)
        _figure(axes, len(order), confident, fonts.SEMIBOLD)


def _bar(axes: Axes, height: int, row: DriverRow) -> None:
    """The bar of one source, and its ends in the columns."""
    ends = [_change(row, load) for load in (row.load_at_low_w, row.load_at_high_w)]
    heights = height - 0.5 * _BAR, height + 0.5 * _BAR
    # Of two on one side the longer is under the other.
    for value in sorted(filter(math.isfinite, ends), key=abs, reverse=True):
        fill = design.ACCENT if value * NARROWER[row.limit] > 0.0 else design.WHITE
        # Out of the graph where it empties the window.
        axes.rectangle((0.0, min(max(value, 2.0 * axes.x.low), 2.0 * axes.x.high)), heights, _OUTLINE, fill)
    for value in ends:
        if math.isfinite(value) and abs(value) >= MIN_SHOWN:
            _figure(axes, height, value)


def _figure(axes: Axes, height: int, value: float, face: str = fonts.REGULAR) -> None:
    """A change in the columns beside the panel, the first for what is below 0."""
    right = _COLUMN if value < 0.0 else 2.0 * _COLUMN
    axes.note(signed(value), (axes.x.high, height), (right, 0.0), side="right", size=_VALUE, face=face, pad=0.0)
