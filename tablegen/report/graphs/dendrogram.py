"""The dendrogram of refrigerants by the spread of required Kv per kW that they would cause in one table."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scipy.cluster.hierarchy import dendrogram

from tablegen.report.graphs.axes import EDGE, GAP, Axes, Scale, Tick, below, end_of, widest
from tablegen.report.graphs.sketch import ABOVE, BACK, BELOW, LINES_APART, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.report.rounding import decimals
from tablegen.tables.suggest_groups import Suggestion
from tablegen.wording import refrigerants as wording

_TICKS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
# The axis of spreads is logarithmic and begins here; what is more similar is drawn there.
_MIN = 0.005
# What scipy counts between two leaves.
_LEAF = 10.0
# Width of the axes [pt], about; type of a title, and its distance from the axes.
_WIDTH, _TITLE, _UNDER = 190.0, design.TABLE, 6.0
_ALIKE, _APART = Pen(design.STRONG), Pen(design.THIN)


def dendrogram_figure(suggestions: Sequence[Suggestion], titles: Sequence[str], size: tuple[float, float]) -> Drawing:
    """One tree for each suggestion, side by side in a size [pt]; joins at the cut or below it carry their spread."""
    sketch = Sketch(*size)
    share = size[0] / len(suggestions)
    lines = 1 + max(title.count("\n") for title in titles)
    top = size[1] - EDGE - _UNDER - _TITLE * (ABOVE + BELOW + (lines - 1) * LINES_APART)
    trees = [dendrogram(list(found.merges), no_plot=True, labels=list(found.names)) for found in suggestions]
    scales = [Scale(_MIN, 1.25 * max(merge[2] for merge in found.merges), is_log=True) for found in suggestions]
    ticks: list[list[Tick]] = [[(t, f"{100 * t:.0f}") for t in _TICKS if t <= scale.high] for scale in scales]
    # Axes of equal width.
    left = EDGE + GAP + max(widest([(0.0, name) for name in found.names]) for found in suggestions)
    limit = share - EDGE
    right = min(end_of(left, limit, limit, scale, own) for scale, own in zip(scales, ticks, strict=True))
    for number, (tree, found, title) in enumerate(zip(trees, suggestions, titles, strict=True)):
        box = Box(number * share + left, below(), number * share + right, top)
        axes = Axes(sketch, box, scales[number], Scale(_LEAF * len(tree["ivl"]), 0.0))
        for heights, spreads in zip(tree["icoord"], tree["dcoord"], strict=True):
            pen = _ALIKE if spreads[1] <= found.cut else _APART
            axes.plot([max(spread, _MIN) for spread in spreads], heights, pen)
        _name_joins(axes, found, [int(leaf) for leaf in tree["leaves"] or ()])
        axes.upright(found.cut, Pen(design.LINE, design.ACCENT, design.DASHED), BACK)
        axes.x_axis(ticks[number], wording.SPREAD_AXIS())
        names: list[Tick] = [(5.0 + _LEAF * i, str(name)) for i, name in enumerate(tree["ivl"])]
        axes.y_axis(names, length=0.0, has_line=False)
        sketch.text(box.left, top + _UNDER, title, side="left", up="bottom", face=fonts.SEMIBOLD, size=_TITLE)
    return sketch.drawing(wording.SPREAD_AXIS())


def _name_joins(axes: Axes, found: Suggestion, leaves: list[int]) -> None:
    """The spread of each join up to the cut, left of it between its two branches, where no other branch runs."""
    spans = {leaf: (index, index) for index, leaf in enumerate(leaves)}
    for number, (first, second, spread, _) in enumerate(found.merges, start=len(leaves)):
        upper, lower = sorted((spans[int(first)], spans[int(second)]))
        spans[number] = upper[0], lower[1]
        if spread > found.cut:
            continue
        text, x = f"{decimals(100.0 * spread, 1)} %", max(float(spread), _MIN)
        left_pt = _WIDTH * math.log(x / _MIN) / math.log(axes.x.high / _MIN)
        is_left = left_pt > fonts.text_width(text, fonts.REGULAR, SIZE) + 6.0
        offset = (-4.0 if is_left else 4.0, 0.0)
        axes.note(text, (x, _LEAF * lower[0]), offset, side="right" if is_left else "left", pad=2.0)
