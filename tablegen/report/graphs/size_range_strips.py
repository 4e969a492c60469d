"""Size range strips of the classroom handout, in black, to read with a ruler."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import EDGE, NAME, NAME_GAP, Axes, Scale, Tick, end_of, widest
from tablegen.report.graphs.sketch import ABOVE, BACK, BELOW, LINE, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.units import print_unit
from tablegen.wording import handout as wording
from tablegen.wording.language import figure
from tablegen.wording.message import listed

_PAD, _NAME_PAD = 1.0, 1.5
# ISO 3, preferred numbers.
_R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


# Bars of a strip beside which others fit in one figure, and those that a page holds.
_MANY, _MOST = 12, 36
# Heights of a strip in one figure with others, of a bar, and of what is around the bars of one by itself [pt].
_STRIP, _BAR, _AXIS = 164.0, 13.5, 48.0
# Type size of a bar's name, and the width [pt] up to which it is on its bar.
_BAR_NAME, _LONGEST = 9.5, 26.0
# Ticks and their distance from their texts; type of a title, and its distance from its strip [pt].
_TICK, _GAP, _TITLE, _UNDER = 2.0, 2.0, 10.0, 6.0
# From one figure on the axis to the next.
_MOST_TICKS = 24


@dataclass(frozen=True, slots=True)
class Bar:
    """A size with its minimum and maximum load [W]."""

    size: str
    min_w: float
    max_w: float


@dataclass(frozen=True, slots=True)
class Strip:
    """One size range strip: its suction temperature as printed, and its bars."""

    title: str
    bars: Sequence[Bar]


def size_range_drawings(strips: Sequence[Strip], formatter: Formatter, width: float) -> list[tuple[str, Drawing]]:
    """The strips on one scale of loads, in drawings of a width [pt], each with what it is called.

    All strips are one figure where their bars are few; else each is its own, and one of too many bars several.
    """
    load = print_unit("load", formatter.system, formatter.load_unit)
    bars = [bar for strip in strips for bar in strip.bars]
    # A long name would cover its bar and the figures beside it, so it is outside, with space for the figures.
    is_beside = any(fonts.text_width(bar.size, fonts.BOLD, _BAR_NAME) > _LONGEST for bar in bars)
    low, high = min(load.of(bar.min_w) for bar in bars), max(load.of(bar.max_w) for bar in bars)
    steps = preferred_steps((0.6 if is_beside else 0.93) * low, 1.07 * high)
    if max(len(strip.bars) for strip in strips) <= _MANY:
        called = listed([strip.title for strip in strips])
        return [(called, _drawing(strips, formatter, steps, is_beside, (width, _STRIP * len(strips))))]
    return [
        (part.title, _drawing([part], formatter, steps, is_beside, (width, _AXIS + _BAR * len(part.bars))))
        for strip in strips
        for part in _parts(strip)
    ]


def _parts(strip: Strip) -> list[Strip]:
    """A strip with so many bars as a page holds, in even shares."""
    count = -(-len(strip.bars) // _MOST)
    share = -(-len(strip.bars) // count)
    if count == 1:
        return [strip]
    bars = [strip.bars[i : i + share] for i in range(0, len(strip.bars), share)]
    return [Strip(wording.STRIP_PART(title=strip.title, first=own[0].size, last=own[-1].size), own) for own in bars]


def _drawing(
    strips: Sequence[Strip],
    formatter: Formatter,
    steps: Sequence[float],
    is_beside: bool,
    size: tuple[float, float],
) -> Drawing:
    """Bars on a logarithmic ruler with lines at preferred numbers, one strip for each suction temperature."""
    load = print_unit("load", formatter.system, formatter.load_unit)
    sketch, scale = Sketch(*size), Scale(steps[0], steps[-1], is_log=True)
    ticks: list[Tick] = [(step, figure(f"{step:g}")) for step in steps[:: -(-len(steps) // _MOST_TICKS)]]
    names: list[list[Tick]] = [[(y, bar.size) for y, bar in enumerate(strip.bars) if is_beside] for strip in strips]
    left = EDGE + 0.5 * widest(ticks[:1])
    if is_beside:
        left = EDGE + _TICK + max(widest(own, fonts.BOLD, _BAR_NAME) for own in names)
    right = end_of(left, size[0] - EDGE, size[0] - EDGE, scale, ticks)
    # Of a strip: title above, ticks below; the lowest has the name of the axis too.
    above = EDGE + _UNDER + (ABOVE + BELOW) * _TITLE
    below = EDGE + _TICK + _GAP + (ABOVE + BELOW) * SIZE
    name = NAME_GAP + (ABOVE + BELOW) * NAME
    tall = (size[1] - name) / len(strips)
    for number, (strip, own) in enumerate(zip(strips, names, strict=True)):
        top = size[1] - number * tall - above
        box = Box(left, top + above - tall + below, right, top)
        axes = Axes(sketch, box, scale, Scale(-0.7, len(strip.bars) - 0.3))
        rule_steps(axes, steps)
        for y, bar in enumerate(strip.bars):
            ends, printed = (load.of(bar.min_w), load.of(bar.max_w)), formatter.window(bar.min_w, bar.max_w)
            _bar(axes, y, "" if is_beside else bar.size, ends, printed)
        axis = wording.LOAD_AXIS(unit=load.label) if number == len(strips) - 1 else ""
        axes.x_axis(ticks, axis, length=_TICK, gap=_GAP)
        if own:
            axes.y_axis(own, length=0.0, gap=_TICK, face=fonts.BOLD, size=_BAR_NAME, has_line=False)
        sketch.text(left, top + _UNDER, strip.title, side="left", up="bottom", face=fonts.SEMIBOLD, size=_TITLE)
    return sketch.drawing(wording.LOAD_AXIS(unit=load.label))


def _bar(axes: Axes, y: int, size: str, ends: tuple[float, float], printed: tuple[str, str]) -> None:
    low, high = ends
    axes.rectangle(ends, (y - 0.2, y + 0.2), Pen(design.LINE), design.WHITE, layer=LINE)
    if size:
        axes.note(size, (math.sqrt(low * high), y), face=fonts.BOLD, size=_BAR_NAME, pad=_NAME_PAD)
    axes.note(printed[0], (low, y), (-3.0, 0.0), side="right", pad=_PAD)
    axes.note(printed[1], (high, y), (3.0, 0.0), side="left", face=fonts.SEMIBOLD, pad=_PAD)


def rule_steps(axes: Axes, steps: Sequence[float]) -> None:
    """A line at each step of a scale of loads, heavier at decades."""
    for step in steps:
        is_decade = abs(math.log10(step) - round(math.log10(step))) < 1e-9
        axes.upright(step, Pen(design.RULE if is_decade else design.HAIR), BACK)


def preferred_steps(minimum: float, maximum: float) -> list[float]:
    """Preferred numbers from the one at or below `minimum` to the one at or above `maximum`."""
    decades = range(math.floor(math.log10(minimum)) - 1, math.ceil(math.log10(maximum)) + 2)
    # Through text: the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in decades for step in _R10]
    low, high = max(i for i, s in enumerate(steps) if s <= minimum), min(i for i, s in enumerate(steps) if s >= maximum)
    return steps[low : high + 1]
