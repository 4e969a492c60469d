"""One row of a window table as a ruler: each size as a bar on a scale of loads, close under each other."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, Axes, Scale, Tick, end_of, widest
from tablegen.report.graphs.size_range_strips import Bar, preferred_steps, rule_steps
from tablegen.report.graphs.sketch import ABOVE, BELOW, LINE, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording.language import figure

# Height of a bar and from one lane to the next; between neighbors in a lane; ticks and their distance from their texts [pt].
_BAR, _LANE, _APART, _TICK, _GAP = 11.0, 14.0, 3.0, 2.0, 2.0
# From one figure on the scale to the next.
_MOST_TICKS = 20


def size_ruler(bars: Sequence[Bar], formatter: Formatter, width: float) -> Drawing:
    """Draw the windows of some sizes in as few lanes as keep them and their names apart, as wide as asked [pt].

    Parameters
    ----------
    bars : sequence of Bar
        In the order of the sizes; at least one.
    formatter : Formatter
    width : float
    """
    unit = print_unit("load", formatter.system, formatter.load_unit)
    steps = preferred_steps(0.97 * min(unit.of(b.min_w) for b in bars), 1.03 * max(unit.of(b.max_w) for b in bars))
    ticks: list[Tick] = [(step, figure(f"{step:g}")) for step in steps[:: -(-len(steps) // _MOST_TICKS)]]
    scale, left = Scale(steps[0], steps[-1], is_log=True), EDGE + 0.5 * widest(ticks[:1])
    right = end_of(left, width - EDGE, width - EDGE, scale, ticks)
    places = [[left + float(scale.share(unit.of(w))) * (right - left) for w in (b.min_w, b.max_w)] for b in bars]
    lanes = _lanes([_with_name(bar.size, ends) for bar, ends in zip(bars, places, strict=True)])
    below = EDGE + _TICK + _GAP + (ABOVE + BELOW) * SIZE
    sketch = Sketch(width, below + _LANE * (max(lanes) + 1) + EDGE)
    box = Box(left, below, right, sketch.height - EDGE)
    axes = Axes(sketch, box, scale, Scale(0.0, 1.0))
    rule_steps(axes, steps)
    for number, (bar, (low, high), lane) in enumerate(zip(bars, places, lanes, strict=True)):
        top = box.top - _LANE * lane - 0.5 * (_LANE - _BAR)
        own = Box(low, top - _BAR, high, top)
        fill = design.TINT if number % 2 else design.WHITE
        sketch.area(box_path(own), own, pen=Pen(design.THIN), fill=fill, layer=LINE, name=bar.size)
        sketch.text(0.5 * (low + high), top - 0.5 * _BAR, bar.size, up="digits", face=fonts.BOLD, pad=0.5)
    axes.x_axis(ticks, length=_TICK, gap=_GAP, pen=Pen(design.RULE))
    return sketch.drawing(wording.LOAD(unit=unit.label))


def _with_name(name: str, ends: Sequence[float]) -> tuple[float, float]:
    """What a bar and its name on its middle take across the page [pt]."""
    low, high = ends
    half = 0.5 * fonts.text_width(name, fonts.BOLD, SIZE)
    middle = 0.5 * (low + high)
    return min(low, middle - half), max(high, middle + half)


def _lanes(extents: Sequence[tuple[float, float]]) -> list[int]:
    """For each bar the first lane in which it is apart from those that are there already."""
    found: list[int] = []
    taken: list[list[tuple[float, float]]] = []
    for low, high in extents:
        free = (i for i, own in enumerate(taken) if all(low > b + _APART or high < a - _APART for a, b in own))
        lane = next(free, len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, high))
        found.append(lane)
    return found
