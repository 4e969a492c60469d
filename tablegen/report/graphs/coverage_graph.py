"""How size ranges cover the load axis: a small strip chart for each table, loads across, suction temperatures up."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.graphs.axes import GRID_PEN, Axes, Scale, Tick
from tablegen.report.graphs.sketch import ABOVE, BACK, BELOW, MARK, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, Shape, box_path
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import audit as wording

if TYPE_CHECKING:
    from tablegen.report.formatter import Formatter

_TEXT = 8.0
# Heights [pt] of the two lines above a strip, of the axis below the lowest one, of the gap between two.
_LABELS, _AXIS, _BETWEEN = 20.0, 24.0, 5.0
_GUTTER = 9.0
# Smallest height of a strip where there are many, one that reads well, and the largest [pt].
_MIN_STRIP, _GOOD_STRIP, _MAX_STRIP = 22.0, 36.0, 80.0
# Of a figure, so that it stays on a page.
_MAX_HEIGHT = 470.0
_HAIR, _OUTER = Pen(design.HAIR), Pen(design.LINE)
# Ticks and their distance from their texts [pt].
_TICK, _GAP = 2.0, 2.0
MAX_STRIPS = 45
"""As many as fit a page, in columns of the smallest strips."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageStrip:
    """One table in the picture.

    Attributes
    ----------
    title, subtitle : tuple of str
        A line of text above the strip, and a note at its right.
    sst_k : Floats, shape (rows,) [K]
    min_w, max_w : Floats, shape (sizes, rows) [W]
    marked : collection of int
        Rows with a fault of another kind than a gap.
    is_faulty : bool
    """

    title: tuple[str, str]
    subtitle: tuple[str, str]
    sst_k: Floats
    min_w: Floats
    max_w: Floats
    marked: Collection[int] = ()
    is_faulty: bool = False


def figure_heights(strips: int) -> tuple[float, float]:
    """Smallest and largest useful height [pt] of a figure of so many strips."""
    rows = -(-strips // _columns(strips))
    lowest, good, highest = (
        rows * (_LABELS + strip + _BETWEEN) + _AXIS for strip in (_MIN_STRIP, _GOOD_STRIP, _MAX_STRIP)
    )
    return max(lowest, min(good, _MAX_HEIGHT)), max(lowest, min(highest, _MAX_HEIGHT))


def _columns(strips: int) -> int:
    """How many strips are beside each other."""
    return min(strips, 3) if strips <= 12 else 4 if strips <= 36 else 5


def coverage_drawing(strips: Sequence[CoverageStrip], formatter: Formatter, width: float, height: float) -> Drawing:
    """All strips in a size [pt] on one log scale of loads; gaps are hatched, rows without a window crossed out."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    low, high = (unit.of(float(v)) for v in _ends(strips))
    columns = _columns(len(strips))
    rows = -(-len(strips) // columns)
    step_x = (width + _GUTTER) / columns
    step_y = (height - _AXIS) / rows
    sketch, loads = Sketch(width, height), Scale(0.93 * low, 1.07 * high, is_log=True)
    for place, strip in enumerate(strips):
        left, top = (place % columns) * step_x, height - (place // columns) * step_y - _LABELS
        box = Box(left, top - step_y + _LABELS + _BETWEEN, left + step_x - _GUTTER, top)
        axes = Axes(sketch, box, loads, Scale(-0.5, strip.sst_k.size - 0.5))
        _strip(axes, strip, unit)
        # The lowest of its column carries the scale.
        _scale(axes, unit.label if place + columns >= len(strips) else "")
        _labels(axes, strip)
    return sketch.drawing(wording.LOAD_AXIS(unit=unit.label))


def _ends(strips: Sequence[CoverageStrip]) -> tuple[float, float]:
    """Minimum and maximum load of all [W]; a decade where no window is open."""
    loads = np.concatenate([np.concatenate([s.min_w.ravel(), s.max_w.ravel()]) for s in strips])
    known = loads[np.isfinite(loads)]
    return (float(known.min()), float(known.max())) if known.size else (1e3, 1e4)


def _strip(axes: Axes, strip: CoverageStrip, unit: Unit) -> None:
    """Each row as a step of the height of its distance to the next."""
    rows = strip.sst_k.size
    minimum, maximum = (np.repeat(loads / unit.scale, 2, axis=1) for loads in (strip.min_w, strip.max_w))
    y = np.stack([np.arange(rows) - 0.5, np.arange(rows) + 0.5], axis=1).ravel()
    sizes = minimum.shape[0]
    with np.errstate(invalid="ignore"):
        # One size nearly everywhere; what two and what three cover is darker.
        for apart, tint in ((1, design.TINT_LIGHT), (2, design.TINT)):
            for i in range(sizes - apart):
                _fill(axes, y, minimum[i + apart], maximum[i], tint)
        for i in range(sizes - 1):
            _fill(axes, y, maximum[i], minimum[i + 1])
    for i in range(sizes):
        axes.plot(minimum[i], y, Pen(design.HAIR, dashes=design.DASHED))
        axes.plot(maximum[i], y, _HAIR)
    axes.plot(minimum[0], y, _OUTER)
    axes.plot(maximum[-1], y, _OUTER)
    for row in np.flatnonzero(np.isnan(strip.min_w).all(axis=0)).tolist():
        axes.rectangle((axes.x.low, axes.x.high), (row - 0.5, row + 0.5), hatch="xxx")
    for place in strip.marked:
        axes.sketch.mark(axes.box.right, float(axes.up(place)), "<", 4.0, Pen(design.HAIR), design.ACCENT, MARK)


def _fill(axes: Axes, y: Floats, left: Floats, right: Floats, tint: str | None = None) -> None:
    """The area from one edge to another where the second lies right of the first: in a tint, or hatched as a gap."""
    where = right > left
    if tint is None:
        pen = Pen(design.THIN, design.ACCENT)
        axes.between(y, left, right, where=where, pen=pen, hatch="////", is_upright=True)
    else:
        axes.between(y, left, right, where=where, fill=tint, is_upright=True)


def _scale(axes: Axes, label: str) -> None:
    """Lines at decades, which the unit's `label` names below, if there is one, and the frame."""
    low, high = axes.x.low, axes.x.high
    decades = range(math.ceil(math.log10(low)), math.floor(math.log10(high)) + 1)
    places = [float(f"1e{decade}") for decade in decades]
    ticks: list[Tick] = [(place, without_zeros(round_half_even(place, 2)) if label else "") for place in places]
    for place in places:
        axes.upright(place, GRID_PEN, BACK)
    axes.x_axis(ticks, length=_TICK, gap=_GAP, pen=Pen(design.THIN), size=_TEXT, has_line=False)
    axes.sketch.shape(Shape(path=box_path(axes.box), pen=_HAIR), MARK)
    if label:
        under = axes.box.bottom - _TICK - _GAP - _TEXT * (ABOVE + BELOW) - 1.0
        middle = 0.5 * (axes.box.left + axes.box.right)
        axes.sketch.text(middle, under, wording.LOAD_AXIS(unit=label), up="top", size=_TEXT)


def _labels(axes: Axes, strip: CoverageStrip) -> None:
    """Two lines above a strip, each with its note at the right."""
    box = axes.box
    for (text, note), face, up in ((strip.title, fonts.SEMIBOLD, 11.5), (strip.subtitle, fonts.REGULAR, 2.5)):
        space = box.width - fonts.text_width(f"  {note}", fonts.REGULAR, _TEXT)
        for shown, x, side, own in (
            (_cut(text, face, space), box.left, "left", face),
            (note, box.right, "right", fonts.REGULAR),
        ):
            axes.sketch.text(x, box.top + up, shown, side=side, up="baseline", face=own, size=_TEXT)


def _cut(text: str, face: str, width: float) -> str:
    """A text short enough for its line."""
    if fonts.text_width(text, face, _TEXT) <= width:
        return text
    while text and fonts.text_width(f"{text}…", face, _TEXT) > width:
        text = text[:-1]
    return f"{text}…"
