"""The dendrogram of refrigerants by the spread of port demand that they would cause in one table."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.figure import Figure
from scipy.cluster.hierarchy import dendrogram

from tablegen.publish import vector
from tablegen.publish.page import BLACK, VERMILLION
from tablegen.publish.rounding import decimals

_TICKS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
# The axis of spreads is logarithmic and begins here; what is more alike is drawn there.
_LEAST = 0.005
# What scipy counts between two leaves.
_LEAF = 10.0
_WHITE_BOX = {"fc": "w", "ec": "none", "pad": 0.6}


def dendrogram_figure(suggestions: list[dict[str, Any]], titles: list[str]) -> Figure:
    """One tree for each suggestion, side by side; joins at the cut or below it carry their spread."""
    with vector.style():
        figure = Figure(layout="constrained")
        for axes, found, title in zip(
            np.atleast_1d(figure.subplots(1, len(suggestions))), suggestions, titles, strict=True
        ):
            _tree(axes, found, title)
    return figure


def _tree(axes: Any, found: dict[str, Any], title: str) -> None:
    merges = np.array(found["merges"], dtype=np.float64)
    tree = dendrogram(merges, no_plot=True, labels=found["names"])
    cut, top = float(found["cut"]), 1.25 * float(merges[:, 2].max())
    axes.set_xscale("log")
    for places, spreads in zip(tree["icoord"], tree["dcoord"], strict=True):
        drawn = np.maximum(spreads, _LEAST)
        is_within = spreads[1] <= cut
        axes.plot(drawn, places, color=BLACK, lw=1.6 if is_within else 0.7, solid_capstyle="butt")
        if is_within:
            text, place = f"{decimals(100.0 * spreads[1], 1)} %", 0.5 * (places[1] + places[2])
            axes.annotate(text, (drawn[1], place), (4, 0), textcoords="offset points", ha="left", va="center",
                          fontsize=8.5, bbox=_WHITE_BOX)  # fmt: skip
    axes.axvline(cut, color=VERMILLION, lw=1.0, ls=(0, (4, 2)), zorder=0)
    axes.set_yticks([5.0 + _LEAF * i for i in range(len(tree["ivl"]))], tree["ivl"])
    ticks = [t for t in _TICKS if t <= top]
    axes.set_xticks(ticks, [f"{100 * t:.0f}" for t in ticks])
    axes.minorticks_off()
    axes.set_xlim(_LEAST, top)
    axes.set_ylim(_LEAF * len(tree["ivl"]), 0.0)
    axes.set_xlabel("spread of port demand, %")
    axes.set_title(title, loc="left", fontweight="semibold")
    axes.tick_params(axis="y", length=0)
    axes.spines[["top", "right", "left"]].set_visible(False)
