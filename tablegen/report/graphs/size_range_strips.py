"""Size range strips of the classroom handout, in black, to read with a ruler."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from tablegen.report.formatter import Formatter
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK
from tablegen.units import print_unit
from tablegen.wording import handout as wording
from tablegen.wording.message import listed

_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
# ISO 3, preferred numbers.
_R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


# Bars of a strip beside which others fit in one figure, and those that a page holds.
_MANY, _MOST = 12, 36
# Heights of a strip in one figure with others, of a bar, and of what is around the bars of one by itself [pt].
_STRIP, _BAR, _AXIS = 164.0, 13.5, 48.0
# Type size of a bar's name, and the width [pt] up to which it is on its bar.
_BAR_NAME, _LONGEST = 9.5, 26.0


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


@dataclass(frozen=True, slots=True)
class StripFigure:
    """A figure of strips with its height [pt] and title."""

    figure: Figure
    height: float
    title: str


def size_range_figures(strips: Sequence[Strip], formatter: Formatter) -> list[StripFigure]:
    """The strips on one scale of loads.

    All strips are one figure where their bars are few; else each is its own, and one of too many bars several.
    """
    load = print_unit("load", formatter.system, formatter.load_unit)
    bars = [bar for strip in strips for bar in strip.bars]
    # A long name would cover its bar and the figures beside it, so it is outside, with space for the figures.
    is_beside = any(fonts.text_width(bar.size, fonts.BOLD, _BAR_NAME) > _LONGEST for bar in bars)
    low, high = min(load.of(bar.min_w) for bar in bars), max(load.of(bar.max_w) for bar in bars)
    steps = _steps((0.6 if is_beside else 0.93) * low, 1.07 * high)
    if max(len(strip.bars) for strip in strips) <= _MANY:
        figure = _size_range_figure(strips, formatter, steps, is_beside)
        return [StripFigure(figure, _STRIP * len(strips), listed([strip.title for strip in strips]))]
    return [
        StripFigure(_size_range_figure([part], formatter, steps, is_beside), _AXIS + _BAR * len(part.bars), part.title)
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


def _size_range_figure(
    strips: Sequence[Strip], formatter: Formatter, steps: Sequence[float], is_beside: bool
) -> Figure:
    """Bars on a logarithmic ruler with lines at preferred numbers, one strip for each suction temperature."""
    load = print_unit("load", formatter.system, formatter.load_unit)
    with vector.style():
        figure = Figure(layout="constrained")
        axes_of: list[Axes] = list(figure.subplots(len(strips), 1, squeeze=False)[:, 0])
        for axes, strip in zip(axes_of, strips, strict=True):
            axes.set_xscale("log")
            axes.set_xlim(steps[0], steps[-1])
            axes.set_ylim(-0.7, len(strip.bars) - 0.3)
            for step in steps:
                is_decade = abs(math.log10(step) - round(math.log10(step))) < 1e-9
                axes.axvline(step, color=BLACK, lw=0.9 if is_decade else 0.35, zorder=0)
            for y, bar in enumerate(strip.bars):
                ends, printed = (load.of(bar.min_w), load.of(bar.max_w)), formatter.window(bar.min_w, bar.max_w)
                _bar(axes, y, "" if is_beside else bar.size, ends, printed)
            every = -(-len(steps) // 24)
            axes.set_xticks(steps[::every], [f"{s:g}" for s in steps[::every]])
            axes.set_xticks([], minor=True)
            names = [bar.size for bar in strip.bars] if is_beside else []
            axes.set_yticks(range(len(names)), names, fontsize=_BAR_NAME, fontweight="bold")
            axes.tick_params(length=2, pad=2)
            axes.tick_params(axis="y", length=0)
            axes.spines[["top", "left", "right"]].set_visible(False)
            axes.set_title(strip.title, loc="left", fontweight="semibold", fontsize=10)
        axes_of[-1].set_xlabel(wording.LOAD_AXIS(unit=load.label))
    return figure


def _bar(axes: Axes, y: int, size: str, ends: tuple[float, float], printed: tuple[str, str]) -> None:
    low, high = ends
    axes.add_patch(Rectangle((low, y - 0.2), high - low, 0.4, fc="w", ec=BLACK, lw=1.2, zorder=2))
    if size:
        axes.text(
            math.sqrt(low * high),
            y,
            size,
            ha="center",
            va="center",
            fontsize=_BAR_NAME,
            fontweight="bold",
            zorder=4,
            bbox={"fc": "w", "ec": "none", "pad": 1.5},
        )
    for x, text, offset, side, weight in (
        (low, printed[0], -3, "right", "normal"),
        (high, printed[1], 3, "left", "semibold"),
    ):
        axes.annotate(
            text,
            (x, y),
            (offset, 0),
            textcoords="offset points",
            ha=side,
            va="center",
            fontsize=_SIZE,
            fontweight=weight,
            bbox=_BOX,
        )


def _steps(minimum: float, maximum: float) -> list[float]:
    """Preferred numbers from the one at or below `minimum` to the one at or above `maximum`."""
    decades = range(math.floor(math.log10(minimum)) - 1, math.ceil(math.log10(maximum)) + 2)
    # Through text: the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in decades for step in _R10]
    low, high = max(i for i, s in enumerate(steps) if s <= minimum), min(i for i, s in enumerate(steps) if s >= maximum)
    return steps[low : high + 1]
