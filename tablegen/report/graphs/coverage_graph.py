"""How size ranges cover the load axis: a small strip chart for each table, loads across, suction temperatures up."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from tablegen.physics.arrays import Floats
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK, TINT_DARK, TINT_LIGHT, VERMILLION
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import audit as wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from tablegen.report.formatter import Formatter

_TEXT = 8.0
# Heights [pt] of the two lines above a strip, of the axis below the lowest one, of the gap between two.
_LABELS, _AXIS, _BETWEEN = 20.0, 24.0, 5.0
_GUTTER = 9.0
# Smallest height of a strip where there are many, one that reads well, and the largest [pt].
_MIN_STRIP, _GOOD_STRIP, _MAX_STRIP = 22.0, 36.0, 80.0
# Of a figure, so that it stays on a page.
_MAX_HEIGHT = 470.0
_DECADE_LINE = "#9A9A9A"
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


def coverage_figure(strips: Sequence[CoverageStrip], formatter: Formatter, width: float, height: float) -> Figure:
    """All strips in a size [pt] on one log scale of loads; gaps are hatched, rows without a window crossed out."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    low, high = (unit.of(float(v)) for v in _ends(strips))
    columns = _columns(len(strips))
    rows = -(-len(strips) // columns)
    step_x = (width + _GUTTER) / columns
    step_y = (height - _AXIS) / rows
    with vector.style():
        figure = Figure(figsize=(width / 72.0, height / 72.0), dpi=72.0)
        for place, strip in enumerate(strips):
            left, top = (place % columns) * step_x, height - (place // columns) * step_y
            tall = step_y - _LABELS - _BETWEEN
            box = left / width, (top - _LABELS - tall) / height, (step_x - _GUTTER) / width, tall / height
            axes = figure.add_axes(box)
            _strip(axes, strip, unit)
            # The lowest of its column carries the scale.
            _scale(axes, 0.93 * low, 1.07 * high, place + columns >= len(strips), unit.label)
            _labels(axes, strip, step_x - _GUTTER)
    return figure


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
        for apart, tint in ((1, TINT_LIGHT), (2, TINT_DARK)):
            for i in range(sizes - apart):
                _fill(axes, y, minimum[i + apart], maximum[i], tint)
        for i in range(sizes - 1):
            _fill(axes, y, maximum[i], minimum[i + 1])
    for i in range(sizes):
        axes.plot(minimum[i], y, color=BLACK, lw=0.35, ls=(0, (2, 1)), dash_capstyle="butt")
        axes.plot(maximum[i], y, color=BLACK, lw=0.35)
    axes.plot(minimum[0], y, color=BLACK, lw=1.1)
    axes.plot(maximum[-1], y, color=BLACK, lw=1.1)
    for row in np.flatnonzero(np.isnan(strip.min_w).all(axis=0)):
        axes.axhspan(row - 0.5, row + 0.5, facecolor="none", edgecolor=BLACK, lw=0.0, hatch="xxx")
    for place in strip.marked:
        axes.plot(
            [1.0],
            [place],
            marker="<",
            ms=4.0,
            mfc=VERMILLION,
            mec=BLACK,
            mew=0.4,
            clip_on=False,
            transform=axes.get_yaxis_transform(),
        )
    axes.set_ylim(-0.5, rows - 0.5)


def _fill(axes: Axes, y: Floats, left: Floats, right: Floats, tint: str | None = None) -> None:
    """The area from one edge to another where the second lies right of the first: in a tint, or hatched as a gap."""
    where = right > left
    if not where.any():
        return
    if tint is None:
        axes.fill_betweenx(y, left, right, where=where, facecolor="none", edgecolor=VERMILLION, lw=0.5, hatch="////")
    else:
        axes.fill_betweenx(y, left, right, where=where, facecolor=tint, edgecolor="none", lw=0.0)


def _scale(axes: Axes, low: float, high: float, is_lowest: bool, label: str) -> None:
    axes.set_xscale("log")
    axes.set_xlim(low, high)
    decades = range(math.ceil(math.log10(low)), math.floor(math.log10(high)) + 1)
    ticks = [float(f"1e{decade}") for decade in decades]
    names = [without_zeros(round_half_even(tick, 2)) for tick in ticks]
    axes.set_xticks(ticks, names if is_lowest else [""] * len(ticks), fontsize=_TEXT)
    axes.set_xticks([], minor=True)
    axes.set_yticks([])
    axes.tick_params(length=2.0, width=0.5, pad=2.0)
    axes.grid(axis="x", color=_DECADE_LINE, lw=0.35)
    axes.set_axisbelow(True)
    for spine in axes.spines.values():
        spine.set_linewidth(0.35)
    if is_lowest:
        axes.set_xlabel(wording.LOAD_AXIS(unit=label), fontsize=_TEXT, labelpad=1.0)


def _labels(axes: Axes, strip: CoverageStrip, width: float) -> None:
    """Two lines above a strip, each with its note at the right."""
    for (text, note), face, weight, up in (
        (strip.title, fonts.SEMIBOLD, "semibold", 11.5),
        (strip.subtitle, fonts.REGULAR, "normal", 2.5),
    ):
        space = width - fonts.text_width(f"  {note}", fonts.REGULAR, _TEXT)
        for shown, x, side, heavy in ((_cut(text, face, space), 0.0, "left", weight), (note, 1.0, "right", "normal")):
            axes.annotate(
                shown,
                (x, 1.0),
                (0, up),
                xycoords="axes fraction",
                textcoords="offset points",
                ha=side,
                fontsize=_TEXT,
                fontweight=heavy,
            )


def _cut(text: str, face: str, width: float) -> str:
    """A text short enough for its line."""
    if fonts.text_width(text, face, _TEXT) <= width:
        return text
    while text and fonts.text_width(f"{text}…", face, _TEXT) > width:
        text = text[:-1]
    return f"{text}…"
