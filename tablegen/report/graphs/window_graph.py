"""The windows of every size of a part side by side, against suction temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, GRID_PEN, Axes, Scale, Tick, below, beside
from tablegen.report.graphs.sketch import ABOVE, AXIS, BACK, LINE, MARK, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.report.rows import WindowRow
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording

# Share of a panel's step that the panel itself takes.
_PANEL = 0.84
# Type size of a panel's name and its distance from the panel, the air between neighbors, the room for the scale of
# loads, and the minimum width of a panel [pt].
_NAME, _OVER, _AIR, _AXIS, _NARROWEST = design.TABLE, 4.0, 6.0, 46.0, 32.0
_OTHERS, _OWN = Pen(design.THIN, dashes=design.DOTTED), Pen(design.STRONG)
_Limits = tuple[Floats, Floats, Floats]
# Steps of a logarithmic axis, and those where it has fewer ticks than can be read between.
_TICKS, _FINER, _FEWEST = (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0), 3


def window_multiples(rows: Sequence[WindowRow], formatter: Formatter, size: tuple[float, float]) -> list[Drawing]:
    """A panel for each size: its window against suction temperature on a log scale, the other sizes' limits dotted.

    Parameters
    ----------
    rows : sequence of WindowRow
        Group windows of one printed part. Sizes that have no room side by side go on in another drawing, in even
        shares.
    formatter : Formatter
    size : (float, float)
        Width and height of a drawing [pt].
    """
    by_size: dict[str, list[WindowRow]] = {}
    for row in rows:
        by_size.setdefault(row.size, []).append(row)
    ends = [formatter.temperature(k, 0) for k in _ends_k(rows)]
    widest = max(fonts.text_width(name, fonts.BOLD, _NAME) for name in by_size) + _AIR
    labels = (sum(fonts.text_width(text, fonts.REGULAR, SIZE) for text in ends) + _AIR) / _PANEL
    most = max(1, int((size[0] - _AXIS) / max(widest, labels, _NARROWEST)))
    share = -(-len(by_size) // -(-len(by_size) // most))
    names = list(by_size)
    parts = [{name: by_size[name] for name in names[i : i + share]} for i in range(0, len(names), share)]
    # A drawing of no window has no scale of loads.
    return [
        _drawing(part, formatter, size)
        for part in parts
        if not all(math.isnan(row.max_load_w) for own in part.values() for row in own)
    ]


def _ends_k(rows: Sequence[WindowRow]) -> tuple[float, float]:
    return min(row.sst_k for row in rows), max(row.sst_k for row in rows)


def _drawing(by_size: dict[str, list[WindowRow]], formatter: Formatter, size: tuple[float, float]) -> Drawing:
    """One set of axes carries all panels side by side: panel n begins at x = n."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    rows = [row for own in by_size.values() for row in own]
    coldest, warmest = _ends_k(rows)
    limits = [_limits(own, unit, coldest, warmest) for own in by_size.values()]
    minimum, maximum = np.concatenate([own[1] for own in limits]), np.concatenate([own[2] for own in limits])
    low, high = 0.9 * float(np.nanmin(minimum)), 1.1 * float(np.nanmax(maximum))
    ticks = [(t, without_zeros(round_half_even(t, 2))) for t in log_ticks(low, high)]
    sketch = Sketch(*size)
    top = sketch.height - EDGE - _OVER - ABOVE * _NAME
    panels = range(len(limits))
    box = Box(beside(ticks), below(), sketch.width - EDGE, top)
    axes = Axes(sketch, box, Scale(0.0, panels[-1] + _PANEL), Scale(low, high, is_log=True))
    for place, _ in ticks:
        axes.level(place, GRID_PEN, BACK)
    axes.between(*_joined(panels, limits), fill=design.TINT, layer=BACK)
    # All sizes in the first panel and the same again in the others, each panel's own under its heavy lines.
    _curves(axes, [0] * len(limits), limits, _OTHERS, AXIS, panels[1:])
    _curves(axes, panels, limits, _OWN, LINE)
    for panel, name in zip(panels, by_size, strict=True):
        axes.upright(panel, Pen(design.RULE), MARK)
        middle = float(axes.across(panel + 0.5 * _PANEL))
        sketch.text(middle, top + _OVER, name, up="baseline", face=fonts.BOLD, size=_NAME)
    axes.y_axis(ticks, wording.LOAD(unit=unit.label), has_line=False)
    sides, x_ticks = _temperatures(panels, formatter, coldest, warmest)
    axes.x_axis(x_ticks, wording.SST(unit=formatter.temperature_label), sides=sides)
    return sketch.drawing(wording.LOAD(unit=unit.label))


def _limits(own: Sequence[WindowRow], unit: Unit, coldest: float, warmest: float) -> _Limits:
    """Place within a panel, minimum and maximum load of one size; NaN where its window is empty."""
    minimum, maximum = (np.array([unit.of(v) for v in v_of]) for v_of in zip(*(row[2:4] for row in own), strict=True))
    if coldest == warmest:
        # A single suction temperature is drawn across its panel.
        return np.array([0.0, _PANEL]), np.repeat(minimum, 2), np.repeat(maximum, 2)
    return _PANEL * (np.array([row.sst_k for row in own]) - coldest) / (warmest - coldest), minimum, maximum


def _joined(panels: Sequence[int], limits: Sequence[_Limits]) -> _Limits:
    """All curves as one, with a gap after each: a few long lines are drawn far sooner than hundreds of short ones."""
    gap = np.array([np.nan])
    shifted = [(panel + x, *own) for panel, (x, *own) in zip(panels, limits, strict=True)]
    x, minimum, maximum = (np.concatenate([part for own in shifted for part in (own[k], gap)]) for k in range(3))
    return x, minimum, maximum


def _curves(
    axes: Axes, panels: Sequence[int], limits: Sequence[_Limits], pen: Pen, layer: int, repeats: Sequence[float] = ()
) -> None:
    x, minimum, maximum = _joined(panels, limits)
    axes.plot(x, maximum, pen, layer, repeats=repeats)
    axes.plot(x, minimum, replace(pen, dashes=pen.dashes or design.DASHED), layer, repeats=repeats)


def log_ticks(low: float, high: float) -> list[float]:
    """Loads at 1, 2, 5, or closer where these are few."""
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    usual, finer = (
        [t for decade in decades for t in (float(f"{step}e{decade}") for step in steps) if low <= t <= high]
        for steps in (_TICKS, _FINER)
    )
    return usual if len(usual) >= _FEWEST else finer


def _temperatures(
    panels: Sequence[int], formatter: Formatter, coldest: float, warmest: float
) -> tuple[tuple[str, ...], list[Tick]]:
    """The coldest and the warmest temperature at the foot of each panel, each on the inner side of its tick."""
    if coldest == warmest:
        return ("center",), [(panel + 0.5 * _PANEL, formatter.temperature(coldest)) for panel in panels]
    names = formatter.temperature(coldest, 0), formatter.temperature(warmest, 0)
    return ("left", "right"), [
        (panel + at, name) for panel in panels for at, name in zip((0.0, _PANEL), names, strict=True)
    ]
