"""Where the head pressure goes: a bar for each operating condition, from the evaporator's pressure to the head's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.report.graphs.axes import EDGE, Axes, Scale, Tick, below, beside
from tablegen.report.graphs.sketch import AREA, BACK, SIZE, Sketch, apart
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path
from tablegen.wording import booklet_pages as wording

# From one bar to the next, height of a bar, between figures beside each other [pt].
_STEP, _BAR, _APART = 26.0, 13.0, 4.0
# Share of the pressures that the axis has beyond them.
_MARGIN = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class PressureBar:
    """One operating condition: gauge pressures from the evaporator to the head, and the drop between each two as printed."""

    name: str
    pressures: tuple[float, float, float, float]
    drops: tuple[str, str, str]


def budget_height(count: int) -> float:
    """Height [pt] of so many bars with their axis."""
    return below() + _STEP * count + EDGE


def pressure_budget_graph(bars: Sequence[PressureBar], unit: str, width: float) -> Drawing:
    """Draw the bars under each other in a width [pt]; `unit` is that of the pressures."""
    sketch = Sketch(width, budget_height(len(bars)))
    every = [pressure for bar in bars for pressure in bar.pressures]
    scale = Scale.around(np.array(every), _MARGIN)
    names: list[Tick] = [(0.0, bar.name) for bar in bars]
    box = Box(beside(names, has_name=False), below(), width - EDGE, sketch.height - EDGE)
    axes = Axes(sketch, box, scale, Scale(-0.5, len(bars) - 0.5))
    axes.x_axis(scale.round_ticks(box.width, is_upright=False), wording.GAUGE_PRESSURE(unit=unit))
    half = 0.5 * _BAR
    for i, bar in enumerate(bars):
        middle = box.top - _STEP * (i + 1) + half + 2.0
        sketch.text(box.left - 6.0, middle, bar.name, side="right", up="digits")
        places = axes.across(bar.pressures).tolist()
        looks = (("", design.WHITE), ("", design.TINT), ("//", ""))
        for low, high, (hatch, fill) in zip(places, places[1:], looks, strict=False):
            own = Box(low, middle - half, high, middle + half)
            sketch.area(box_path(own), own, pen=Pen(design.THIN), fill=fill, hatch=hatch, layer=AREA)
        coil, valve, line = bar.drops
        sketch.text(0.5 * (places[1] + places[2]), middle, valve, up="digits", face=fonts.BOLD, pad=1.0)
        widths = [fonts.text_width(text, fonts.REGULAR, SIZE) for text in (coil, line)]
        at = [0.5 * (places[0] + places[1]), 0.5 * (places[2] + places[3])]
        for text, x in zip((coil, line), apart(at, widths, (box.left, box.right), _APART), strict=True):
            sketch.text(x, middle + half + 2.0, text, up="bottom")
    axes.upright(bars[0].pressures[0], Pen(design.HAIR), BACK)
    return sketch.drawing(wording.GAUGE_PRESSURE(unit=unit))
