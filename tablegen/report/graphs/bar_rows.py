"""Bars under each other on one scale, each with its name and its figure above it: windows of valves, ranges at heads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.graphs.axes import EDGE, GRID_PEN, Axes, Scale, Tick, below, end_of, widest
from tablegen.report.graphs.sketch import ABOVE, BACK, BELOW, LINE, MARK, SIZE, TEXT, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Pen, box_path

# Of a row: its text, its bar, and what is below it; of a mark [pt].
_TEXT, _BAR, _APART, _MARK = (ABOVE + BELOW) * SIZE + 2.0, 8.0, 5.0, 8.0
ROW = _TEXT + _BAR + _APART
# Between a name and the figure of its row, and the white around a text [pt].
_GAP, _PAD = 6.0, 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class BarRow:
    """A bar from `low` to `high` in the unit of the scale; `name` is at its left, `figures` at its right.

    `mark` is NaN where nothing is marked on it.  A solid bar is black, a filled one tinted, any other white.
    """

    name: str
    figures: str
    low: float
    high: float
    mark: float = math.nan
    is_solid: bool = False
    is_filled: bool = True
    is_dashed: bool = False


def rows_height(count: int) -> float:
    """Height [pt] of so many rows with their axis."""
    return below() + ROW * count + EDGE


def draw_rows(
    sketch: Sketch, rows: Sequence[BarRow], scale: Scale, ticks: Sequence[Tick], axis: str, foot: float = 0.0
) -> Axes:
    """Draw rows with their axis, the first at the top, from a height in a sketch [pt]; return their axes."""
    left = EDGE + 0.5 * widest(ticks[:1])
    right = end_of(left, sketch.width - EDGE, sketch.width - EDGE, scale, ticks)
    bottom = foot + below()
    axes = Axes(sketch, Box(left, bottom, right, bottom + ROW * len(rows)), scale, Scale(0.0, 1.0))
    for place, _ in ticks:
        axes.upright(place, GRID_PEN, BACK)
    for number, row in enumerate(rows):
        _draw_row(axes, row, axes.box.top - ROW * number)
    axes.x_axis(ticks, axis)
    return axes


def _draw_row(axes: Axes, row: BarRow, top: float) -> None:
    sketch, box = axes.sketch, axes.box
    low, high = axes.across([row.low, row.high]).tolist()
    own = Box(low, top - _TEXT - _BAR, high, top - _TEXT)
    pen = Pen(design.RULE, dashes=design.DASHED if row.is_dashed else ())
    fill = design.BLACK if row.is_solid else design.TINT if row.is_filled else design.WHITE
    sketch.area(box_path(own), own, pen=pen, fill=fill, layer=LINE, name=row.name)
    if math.isfinite(row.mark):
        x, y = float(axes.across(row.mark)), own.bottom + 0.5 * _BAR
        sketch.mark(x, y, "D", _MARK, Pen(design.THIN), design.ACCENT, MARK, f"{row.name}: {row.figures}")
    foot = own.top + 2.0
    face = fonts.SEMIBOLD if row.is_solid else fonts.REGULAR
    wide = fonts.text_width(row.figures, fonts.REGULAR, SIZE)
    name = _cut(row.name, face, box.width - wide - _GAP)
    sketch.text(box.left, foot, name, side="left", up="bottom", face=face, pad=_PAD, layer=TEXT)
    sketch.text(box.right, foot, row.figures, side="right", up="bottom", pad=_PAD, layer=TEXT)


def _cut(name: str, face: str, width: float) -> str:
    """A name, without its end where that has no room; the text of the answer has it whole."""
    while len(name) > 1 and fonts.text_width(name, face, SIZE) > width:
        name = name.rstrip("\N{HORIZONTAL ELLIPSIS}")[:-1].rstrip() + "\N{HORIZONTAL ELLIPSIS}"
    return name
