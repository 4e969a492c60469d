"""Figures of the classroom handout in black: the force balance drawn, and ladder strips to read with a ruler."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from tablegen.publish import vector
from tablegen.publish.page import BLACK
from tablegen.publish.wording import Words
from tablegen.units import print_unit

_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
# ISO 3, preferred numbers.
_R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


def force_figure(is_internal: bool, unbalance: float) -> Figure:
    """A thermostatic valve in section: bulb, diaphragm, push rod, port, pin and spring, with the forces named.

    `unbalance` is port area over diaphragm area, positive where inlet pressure closes.
    """
    with vector.style():
        figure = Figure()
        axes: Any = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set_xlim(0.0, 200.0)
        axes.set_ylim(0.0, 92.0)
        axes.axis("off")
        _element(axes)
        _body(axes)
        _suction(axes, is_internal)
        _force(axes, 64.0, (77.0, 69.5), "bulb pressure:\nopens", (40.0, 74.0), "right")
        _force(axes, 60.0, (57.5, 65.5), "evaporator pressure:\ncloses", (40.0, 61.0), "right")
        _force(axes, 75.0, (16.0, 23.0), "spring:\ncloses", (96.0, 10.0), "left")
        if unbalance:
            up = (30.0, 37.5) if unbalance > 0 else (37.5, 30.0)
            acts = "closes" if unbalance > 0 else "opens"
            text = f"inlet pressure on\nthe port: {acts}\n(balanced port: little)"
            _force(axes, 61.5, up, text, (49.0, 16.0), "right")
    return figure


def _line(axes: Any, points: Sequence[tuple[float, float]], width: float = 1.2, **more: Any) -> None:
    x, y = zip(*points, strict=True)
    axes.plot(x, y, color=BLACK, lw=width, solid_joinstyle="round", solid_capstyle="round", **more)


def _text(axes: Any, x: float, y: float, text: str, side: str = "left", **more: Any) -> None:
    axes.text(x, y, text, ha=side, va="center", fontsize=_SIZE, linespacing=1.1, **more)


def _element(axes: Any) -> None:
    """Dome and diaphragm, the tube to the bulb."""
    angle = np.linspace(0.0, math.pi, 40)
    axes.plot(70.0 + 20.0 * np.cos(angle), 67.0 + 12.0 * np.sin(angle), color=BLACK, lw=1.6)
    _line(axes, [(50.0, 67.0), (50.0, 56.0), (56.0, 56.0)], 1.6)
    _line(axes, [(90.0, 67.0), (90.0, 56.0), (84.0, 56.0)], 1.6)
    _line(axes, [(50.0, 67.0), (90.0, 67.0)], 2.6)
    _line(axes, [(70.0, 79.0), (70.0, 86.0), (158.0, 86.0), (158.0, 79.0)], 1.0)
    axes.annotate("diaphragm", (88.0, 67.0), (97.0, 70.0), fontsize=_SIZE, va="center",
                  arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 0, "shrinkA": 0})  # fmt: skip


def _body(axes: Any) -> None:
    """Body, seat, push rod, pin and spring; liquid enters under the seat and leaves above it."""
    _line(axes, [(56.0, 56.0), (56.0, 34.0)])
    _line(axes, [(84.0, 56.0), (84.0, 50.0), (112.0, 50.0)])
    _line(axes, [(112.0, 43.0), (84.0, 43.0), (84.0, 5.0), (56.0, 5.0), (56.0, 27.0)])
    _line(axes, [(56.0, 34.0), (30.0, 34.0)])
    _line(axes, [(56.0, 27.0), (30.0, 27.0)])
    for left, right in ((56.0, 66.0), (74.0, 84.0)):
        axes.add_patch(Rectangle((left, 38.0), right - left, 3.0, fc=BLACK, ec=BLACK, lw=0.5))
    _line(axes, [(70.0, 67.0), (70.0, 40.0)], 2.0)
    axes.add_patch(Polygon([(64.5, 33.0), (75.5, 33.0), (70.0, 41.5)], closed=True, fc="w", ec=BLACK, lw=1.4))
    turns = [(70.0 + 4.5 * side, y) for side, y in zip((-1, 1) * 5, np.linspace(31.5, 9.5, 10), strict=True)]
    _line(axes, [(70.0, 33.0), *turns, (70.0, 8.0)], 1.2)
    _line(axes, [(62.0, 8.0), (78.0, 8.0)], 1.6)
    _line(axes, [(70.0, 8.0), (70.0, 1.5)], 2.0)
    axes.annotate("", (47.0, 30.5), (31.0, 30.5), arrowprops={"arrowstyle": "->", "lw": 1.0})
    _text(axes, 29.0, 30.5, "liquid in, p₁", "right")
    axes.annotate("", (110.0, 46.5), (94.0, 46.5), arrowprops={"arrowstyle": "->", "lw": 1.0})
    _text(axes, 115.0, 46.5, "to distributor and\nevaporator, p₂")
    axes.annotate("port and pin", (75.0, 36.0), (97.0, 32.0), fontsize=_SIZE, va="center",
                  arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 0, "shrinkA": 0})  # fmt: skip
    axes.annotate("adjusting screw", (70.0, 2.5), (97.0, 2.5), fontsize=_SIZE, va="center",
                  arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 0, "shrinkA": 0})  # fmt: skip


def _suction(axes: Any, is_internal: bool) -> None:
    """Suction line with the bulb on it, and the equalizer."""
    _line(axes, [(138.0, 72.0), (196.0, 72.0)])
    _line(axes, [(138.0, 64.0), (196.0, 64.0)])
    axes.add_patch(Rectangle((146.0, 72.6), 24.0, 6.4, fc="w", ec=BLACK, lw=1.6))
    _text(axes, 158.0, 75.8, "bulb", "center", fontweight="semibold")
    axes.annotate("", (194.0, 68.0), (178.0, 68.0), arrowprops={"arrowstyle": "->", "lw": 1.0})
    _text(axes, 140.0, 68.0, "vapour, superheated")
    _text(axes, 196.0, 58.0, "evaporator outlet", "right")
    if is_internal:
        _line(axes, [(80.0, 47.0), (80.0, 60.0)], 1.0, ls=(0, (2, 1.5)))
        _text(axes, 97.0, 58.0, "internal equalizer: p₂ under the diaphragm")
    else:
        # The rod is sealed: the diaphragm feels the equalizer alone.
        _line(axes, [(56.0, 56.0), (69.0, 56.0)])
        _line(axes, [(71.0, 56.0), (84.0, 56.0)])
        _line(axes, [(90.0, 61.0), (142.0, 61.0), (142.0, 64.0)], 1.0)
        _text(axes, 97.0, 56.6, "external equalizer")


def _force(axes: Any, x: float, span: tuple[float, float], text: str, at: tuple[float, float], side: str) -> None:
    """A bold arrow from `span[0]` to `span[1]`, its name beside the valve, and a thin leader between them."""
    start, end = span
    style = {"arrowstyle": "-|>,head_width=0.28,head_length=0.5", "lw": 2.2, "fc": BLACK, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", (x, end), (x, start), arrowprops=style)
    edge = at[0] + (1.0 if side == "right" else -1.0)
    _line(axes, [(edge, at[1]), (x, 0.5 * (start + end))], 0.5)
    _text(axes, at[0], at[1], text, side, fontweight="semibold")


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
