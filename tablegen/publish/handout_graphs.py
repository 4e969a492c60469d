"""Ladder strips of the classroom handout, in black, to read with a ruler."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from tablegen.publish import vector
from tablegen.publish.page import BLACK
from tablegen.publish.wording import Words
from tablegen.units import print_unit

_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
# ISO 3, preferred numbers.
_R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


@dataclass(frozen=True, slots=True)
class Strip:
    """One ladder strip: its suction temperature as printed, and size, least and greatest load [W] of each bar."""

    title: str
    bars: Sequence[tuple[str, float, float]]


def ladder_strips(strips: Sequence[Strip], words: Words) -> Figure:
    """Bars on a logarithmic ruler with lines at preferred numbers, one strip for each suction temperature."""
    load = print_unit("load", words.system, words.load_unit)
    ends = [load.of(v) for strip in strips for _, least, greatest in strip.bars for v in (least, greatest)]
    steps = _steps(0.93 * min(ends), 1.07 * max(ends))
    with vector.style():
        figure = Figure(layout="constrained")
        axes_of: Any = figure.subplots(len(strips), 1, squeeze=False)[:, 0]
        for axes, strip in zip(axes_of, strips, strict=True):
            axes.set_xscale("log")
            axes.set_xlim(steps[0], steps[-1])
            axes.set_ylim(-0.7, len(strip.bars) - 0.3)
            for step in steps:
                is_decade = abs(math.log10(step) - round(math.log10(step))) < 1e-9
                axes.axvline(step, color=BLACK, lw=0.9 if is_decade else 0.35, zorder=0)
            for y, (size, least, greatest) in enumerate(strip.bars):
                _bar(axes, y, size, (load.of(least), load.of(greatest)), words.window(least, greatest))
            every = 1 if len(steps) <= 24 else 2
            axes.set_xticks(steps[::every], [f"{s:g}" for s in steps[::every]])
            axes.set_xticks([], minor=True)
            axes.set_yticks([])
            axes.tick_params(length=2, pad=2)
            axes.spines[["top", "left", "right"]].set_visible(False)
            axes.set_title(strip.title, loc="left", fontweight="semibold", fontsize=10)
        axes_of[-1].set_xlabel(f"load at the rating point, {load.label}")
    return figure


def _bar(axes: Any, y: int, size: str, ends: tuple[float, float], printed: tuple[str, str]) -> None:
    low, high = ends
    axes.add_patch(Rectangle((low, y - 0.2), high - low, 0.4, fc="w", ec=BLACK, lw=1.2, zorder=2))
    axes.text(math.sqrt(low * high), y, size, ha="center", va="center", fontsize=9.5, fontweight="bold", zorder=4,
              bbox={"fc": "w", "ec": "none", "pad": 1.5})  # fmt: skip
    for x, text, offset, side, weight in ((low, printed[0], -3, "right", "normal"),
                                          (high, printed[1], 3, "left", "semibold")):  # fmt: skip
        axes.annotate(text, (x, y), (offset, 0), textcoords="offset points", ha=side, va="center", fontsize=_SIZE,
                      fontweight=weight, bbox=_BOX)  # fmt: skip


def _steps(least: float, greatest: float) -> list[float]:
    """Preferred numbers from the one at or below `least` to the one at or above `greatest`."""
    decades = range(math.floor(math.log10(least)) - 1, math.ceil(math.log10(greatest)) + 2)
    # Through text: the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in decades for step in _R10]
    low, high = max(i for i, s in enumerate(steps) if s <= least), min(i for i, s in enumerate(steps) if s >= greatest)
    return steps[low : high + 1]
