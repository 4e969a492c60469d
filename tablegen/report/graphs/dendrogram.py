"""The dendrogram of refrigerants by the spread of required Kv per kW that they would cause in one table."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from scipy.cluster.hierarchy import dendrogram

from tablegen.physics.arrays import Floats
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK, VERMILLION
from tablegen.report.rounding import decimals
from tablegen.tables.suggest_groups import Suggestion
from tablegen.wording import refrigerants as wording

_TICKS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
# The axis of spreads is logarithmic and begins here; what is more similar is drawn there.
_MIN = 0.005
# What scipy counts between two leaves.
_LEAF = 10.0
# Width of the axes [pt], about.
_WIDTH, _SIZE = 190.0, 8.5
_WHITE_BOX = {"fc": "w", "ec": "none", "pad": 0.6}


def dendrogram_figure(suggestions: Sequence[Suggestion], titles: Sequence[str]) -> Figure:
    """One tree for each suggestion, side by side; joins at the cut or below it carry their spread."""
    with vector.style():
        figure = Figure(layout="constrained")
        for axes, found, title in zip(
            np.atleast_1d(figure.subplots(1, len(suggestions))), suggestions, titles, strict=True
        ):
            _tree(axes, found, title)
    return figure


def _tree(axes: Axes, found: Suggestion, title: str) -> None:
    merges = np.array(found.merges, dtype=np.float64)
    tree = dendrogram(merges, no_plot=True, labels=list(found.names))
    cut, top = found.cut, 1.25 * float(merges[:, 2].max())
    axes.set_xscale("log")
    for heights, spreads in zip(tree["icoord"], tree["dcoord"], strict=True):
        drawn = np.maximum(spreads, _MIN)
        axes.plot(drawn, heights, color=BLACK, lw=1.6 if spreads[1] <= cut else 0.7, solid_capstyle="butt")
    _name_joins(axes, merges, list(tree["leaves"] or ()), cut, top)
    axes.axvline(cut, color=VERMILLION, lw=1.0, ls=(0, (4, 2)), zorder=0)
    axes.set_yticks([5.0 + _LEAF * i for i in range(len(tree["ivl"]))], tree["ivl"])
    ticks = [t for t in _TICKS if t <= top]
    axes.set_xticks(ticks, [f"{100 * t:.0f}" for t in ticks])
    axes.minorticks_off()
    axes.set_xlim(_MIN, top)
    axes.set_ylim(_LEAF * len(tree["ivl"]), 0.0)
    axes.set_xlabel(wording.SPREAD_AXIS())
    axes.set_title(title, loc="left", fontweight="semibold")
    axes.tick_params(axis="y", length=0)
    axes.spines[["top", "right", "left"]].set_visible(False)


def _name_joins(axes: Axes, merges: Floats, leaves: list[int], cut: float, top: float) -> None:
    """The spread of each join up to the cut, left of it between its two branches, where no other branch runs."""
    spans = {leaf: (index, index) for index, leaf in enumerate(leaves)}
    for number, (first, second, spread, _) in enumerate(merges, start=len(leaves)):
        upper, lower = sorted((spans[int(first)], spans[int(second)]))
        spans[number] = upper[0], lower[1]
        if spread > cut:
            continue
        text, x = f"{decimals(100.0 * spread, 1)} %", max(float(spread), _MIN)
        left_pt = _WIDTH * math.log(x / _MIN) / math.log(top / _MIN)
        is_left = left_pt > fonts.text_width(text, fonts.REGULAR, _SIZE) + 6.0
        axes.annotate(
            text,
            (x, _LEAF * lower[0]),
            (-4 if is_left else 4, 0),
            textcoords="offset points",
            ha="right" if is_left else "left",
            va="center",
            fontsize=_SIZE,
            bbox=_WHITE_BOX,
        )
