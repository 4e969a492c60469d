"""The windows of every size of a part side by side, against suction temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from tablegen.physics.arrays import Floats
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK
from tablegen.report.pdf.vector import LineStyle
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording

# Share of a panel's step that the panel itself takes.
_PANEL = 0.84
# Type sizes of a panel's name and labels, the air between neighbours, the room for the scale of loads, and the minimum
# width of a panel [pt].
_NAME, _LABEL, _AIR, _AXIS, _NARROWEST = 9.0, 8.5, 6.0, 46.0, 32.0
_SHADE, _OTHERS = "#E4E4E4", "#9A9A9A"
_Limits = tuple[Floats, Floats, Floats]
# Steps of a logarithmic axis, and those where it has fewer ticks than can be read between.
_TICKS, _FINER, _FEWEST = (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0), 3


def window_multiples(rows: pd.DataFrame, formatter: Formatter, width: float) -> list[Figure]:
    """A panel for each size: its window against suction temperature on a log scale, the other sizes' limits in gray.

    Parameters
    ----------
    rows : DataFrame
        Group windows of one printed part.
    formatter : Formatter
    width : float
        Of a figure [pt]. Sizes that have no room side by side go on in another figure, in even shares.
    """
    sizes = list(dict.fromkeys(rows["size"].astype(str)))
    ends = [formatter.temperature(float(k), 0) for k in (rows["sst_k"].min(), rows["sst_k"].max())]
    name = max(fonts.text_width(size, fonts.BOLD, _NAME) for size in sizes) + _AIR
    labels = (sum(fonts.text_width(text, fonts.REGULAR, _LABEL) for text in ends) + _AIR) / _PANEL
    most = max(1, int((width - _AXIS) / max(name, labels, _NARROWEST)))
    count = -(-len(sizes) // most)
    share = -(-len(sizes) // count)
    parts = [rows[rows["size"].astype(str).isin(sizes[i : i + share])] for i in range(0, len(sizes), share)]
    # A figure of no window has no scale of loads.
    return [_figure(part, formatter) for part in parts if part["max_load_w"].notna().any()]


def _figure(rows: pd.DataFrame, formatter: Formatter) -> Figure:
    """One set of axes carries all panels side by side: panel n begins at x = n."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    sizes = list(dict.fromkeys(rows["size"]))
    coldest, warmest = float(rows["sst_k"].min()), float(rows["sst_k"].max())
    limits = {str(size): _limits(own, unit, coldest, warmest) for size, own in rows.groupby("size", sort=False)}
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        axes.set_yscale("log")
        panels = range(len(limits))
        others = [_shifted(panel, own) for panel in panels for i, own in enumerate(limits.values()) if i != panel]
        owns = [_shifted(panel, own) for panel, own in zip(panels, limits.values(), strict=True)]
        _curves(axes, others, {"color": _OTHERS, "lw": 0.35}, zorder=1)
        x, minimum, maximum = _joined(owns)
        axes.fill_between(x, minimum, maximum, facecolor=_SHADE, edgecolor="none", lw=0.0, zorder=0)
        _curves(axes, owns, {"color": BLACK, "lw": 1.6}, zorder=2)
        for panel, size in zip(panels, limits, strict=True):
            axes.annotate(
                size,
                (panel + 0.5 * _PANEL, 1.0),
                (0, 4),
                xycoords=("data", "axes fraction"),
                textcoords="offset points",
                ha="center",
                fontsize=_NAME,
                fontweight="bold",
            )
        axes.vlines(panels, 0.0, 1.0, color=BLACK, lw=0.8, transform=axes.get_xaxis_transform())
        low, high = rows["min_load_w"].min(), rows["max_load_w"].max()
        _scales(axes, unit.of(float(low)), unit.of(float(high)), len(sizes), formatter, (coldest, warmest))
        axes.set_ylabel(wording.LOAD(unit=unit.label))
        axes.set_xlabel(wording.SST(unit=formatter.temperature_label))
        axes.spines[["top", "right", "left"]].set_visible(False)
    return figure


def _limits(own: pd.DataFrame, unit: Unit, coldest: float, warmest: float) -> _Limits:
    """Place within a panel, minimum and maximum load of one size; NaN where its window is empty."""
    minimum, maximum = (np.array([unit.of(float(v)) for v in own[c]]) for c in ("min_load_w", "max_load_w"))
    if coldest == warmest:
        # A single suction temperature is drawn across its panel.
        return np.array([0.0, _PANEL]), np.repeat(minimum, 2), np.repeat(maximum, 2)
    return _PANEL * (own["sst_k"].to_numpy() - coldest) / (warmest - coldest), minimum, maximum


def _shifted(panel: int, limits: _Limits) -> _Limits:
    x, minimum, maximum = limits
    return panel + x, minimum, maximum


def _joined(limits: Sequence[_Limits]) -> _Limits:
    """All curves as one, with a gap after each: a few long lines are drawn far sooner than hundreds of short ones."""
    gap = np.array([np.nan])
    x, minimum, maximum = (np.concatenate([part for own in limits for part in (own[k], gap)]) for k in range(3))
    return x, minimum, maximum


def _curves(axes: Axes, limits: Sequence[_Limits], style: LineStyle, zorder: int) -> None:
    if limits:
        x, minimum, maximum = _joined(limits)
        axes.plot(x, maximum, zorder=zorder, solid_capstyle="butt", **style)
        axes.plot(x, minimum, zorder=zorder, ls=(0, (3, 1.5)), dash_capstyle="butt", **style)


def _ticks(low: float, high: float, steps: Sequence[float]) -> list[float]:
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    return [t for decade in decades for t in (float(f"{step}e{decade}") for step in steps) if low <= t <= high]


def _scales(
    axes: Axes, low: float, high: float, panels: int, formatter: Formatter, ends_k: tuple[float, float]
) -> None:
    """Loads at 1, 2, 5; the coldest and the warmest temperature at the foot of each panel."""
    low, high = 0.9 * low, 1.1 * high
    ticks = _ticks(low, high, _TICKS)
    ticks = ticks if len(ticks) >= _FEWEST else _ticks(low, high, _FINER)
    axes.set_ylim(low, high)
    axes.set_yticks(ticks, [without_zeros(round_half_even(t, 2)) for t in ticks])
    axes.set_yticks([], minor=True)
    axes.grid(axis="y", color=_OTHERS, lw=0.35)
    axes.set_axisbelow(True)
    axes.set_xlim(0.0, panels - 1 + _PANEL)
    if ends_k[0] == ends_k[1]:
        axes.set_xticks([panel + 0.5 * _PANEL for panel in range(panels)], [formatter.temperature(ends_k[0])] * panels)
        return
    names = [formatter.temperature(k, 0) for k in ends_k]
    places = [panel + share * _PANEL for panel in range(panels) for share in (0.0, 1.0)]
    axes.set_xticks(places, names * panels)
    for index, label in enumerate(axes.get_xticklabels()):
        label.set_horizontalalignment("right" if index % 2 else "left")
