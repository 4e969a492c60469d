"""The windows of some sizes at one suction temperature, each on a lane of its own, hatched where loads are lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, Axes, Scale, Tick, below, end_of, widest
from tablegen.report.graphs.size_range_strips import preferred_steps, rule_steps
from tablegen.report.graphs.sketch import LINE, SIZE, TEXT, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path
from tablegen.wording import revision_notice as wording
from tablegen.wording.language import figure, number

# Height of a lane and of a bar in it; beside texts in a bar; white around a text on a hatch [pt].
_LANE, _BAR, _PAD, _WHITE = 15.5, 12.5, 3.0, 1.0
_NAME = design.BODY
# From one figure on the scale to the next.
_MOST_TICKS = 20
_HATCH, _OUTLINE = "////", Pen(design.RULE)


@dataclass(frozen=True, slots=True)
class LostBar:
    """A size: its limits as printed now, if it has a window, and the ranges that it lost, in the printed unit."""

    size: str
    window: tuple[str, str] | None
    lost: Sequence[tuple[float, float]]

    @property
    def ends(self) -> tuple[float, float]:
        """The lowest and the highest load of what is drawn."""
        own = [*(number(own) for own in self.window or ()), *(load for ends in self.lost for load in ends)]
        return min(own), max(own)


def lost_range_graph(bars: Sequence[LostBar], formatter: Formatter, width: float) -> Drawing:
    """Draw bars on a scale of loads, the first on top, as wide as asked [pt]."""
    steps = preferred_steps(0.97 * min(bar.ends[0] for bar in bars), 1.03 * max(bar.ends[1] for bar in bars))
    ticks: list[Tick] = [(step, figure(f"{step:g}")) for step in steps[:: -(-len(steps) // _MOST_TICKS)]]
    scale, left, foot = Scale(steps[0], steps[-1], is_log=True), EDGE + 0.5 * widest(ticks[:1]), below()
    sketch = Sketch(width, foot + _LANE * len(bars) + EDGE)
    right = end_of(left, width - EDGE, width - EDGE, scale, ticks)
    axes = Axes(sketch, Box(left, foot, right, sketch.height - EDGE), scale, Scale(0.0, 1.0))
    rule_steps(axes, steps)
    for lane, bar in enumerate(bars):
        _draw(axes, bar, axes.box.top - _LANE * lane - 0.5 * (_LANE - _BAR))
    axes.x_axis(ticks, wording.LOAD_AXIS(unit=formatter.load_label), pen=Pen(design.RULE))
    return sketch.drawing(wording.LOAD_AXIS(unit=formatter.load_label))


def _draw(axes: Axes, bar: LostBar, top: float) -> None:
    """One bar with its name and, where they have room, its limits."""
    sketch, middle = axes.sketch, top - 0.5 * _BAR

    def box(low: float, high: float) -> Box:
        return Box(float(axes.across(low)), top - _BAR, float(axes.across(high)), top)

    for low, high in bar.lost:
        own = box(low, high)
        sketch.area(box_path(own), own, pen=_OUTLINE, fill=design.WHITE, hatch=_HATCH, layer=LINE, name=bar.size)
    if bar.window is None:
        whole = box(*bar.ends)
        sketch.text(
            0.5 * (whole.left + whole.right), middle, bar.size, up="digits", face=fonts.BOLD, size=_NAME, pad=_WHITE
        )
        return
    own = box(*map(number, bar.window))
    sketch.area(box_path(own), own, pen=_OUTLINE, fill=design.TINT_LIGHT, layer=LINE, name=bar.size)
    sketch.text(0.5 * (own.left + own.right), middle, bar.size, up="digits", face=fonts.BOLD, size=_NAME, layer=TEXT)
    name = fonts.text_width(bar.size, fonts.BOLD, _NAME)
    limits = max(fonts.text_width(limit, fonts.REGULAR, SIZE) for limit in bar.window)
    if name + 2.0 * limits + 4.0 * _PAD <= own.width:
        for x, limit, side in ((own.left + _PAD, bar.window[0], "left"), (own.right - _PAD, bar.window[1], "right")):
            sketch.text(x, middle, limit, side=side, up="digits", layer=TEXT)
