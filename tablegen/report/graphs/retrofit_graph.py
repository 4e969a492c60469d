"""The balance graph of an existing valve, with the zones of the head in a strip below."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.balance_graph import draw_balance
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK
from tablegen.units import print_unit
from tablegen.wording import retrofit as wording
from tablegen.wording import terms

_SIZE = 8.5
_BOX = {"fc": "w", "ec": "none", "pad": 1.2}
# In the strip and above it alike: more system than valve leans one way, less than it is steady with the other.
_HATCHES = {"steady": "", "starved": "/", "flooding": "\\", "hunts": "\\", "not_working": "x"}
# Height of the strip with its figures, and of all above and below the curves [pt], about.
_STRIP, _AROUND = 28.0, 77.0
# Part of the graph's width that lies between the first and the last head [pt], about.
_PLOT_SHARE = 0.87


def retrofit_graph(
    curve: pd.DataFrame,
    zones: Sequence[Any],
    formatter: Formatter,
    site_pressure_pa: float,
    heads_pa: dict[str, float],
    size: tuple[float, float],
) -> Figure:
    """System and valve against head pressure, width and height [pt]; where the valve does not cover the load is hatched."""
    pressure, load = (
        print_unit("pressure gauge", formatter.system),
        print_unit("load", formatter.system, formatter.load_unit),
    )

    def at(value: float) -> float:
        return pressure.of(value - site_pressure_pa)

    head = np.array([at(p) for p in curve["head_pressure_pa"]])
    system, maximum, minimum = (
        np.array([load.of(w) for w in curve[c]]) for c in ("compressor_capacity_w", "valve_max_w", "valve_min_w")
    )
    low = size[1] - _AROUND
    curves = terms.LIMITS["max"](), terms.LIMITS["min"]()
    borders = [zone.from_pa for zone in zones[1:]]
    with vector.style():
        figure = Figure(layout="constrained")
        axes, strip = figure.subplots(2, 1, sharex=True, height_ratios=(low, _STRIP))
        draw_balance(axes, curve, formatter, site_pressure_pa, heads_pa, curves, borders, {"evaporator"}, low)
        label = axes.get_xlabel()
        axes.set_xlabel("")
        axes.tick_params(bottom=False, labelbottom=False)
        # The graph is low, so the name of its axis is short.
        axes.set_ylabel(wording.GRAPH_CAPACITY(unit=load.label))
        for curve_of, is_short, hatch in ((maximum, system > maximum, "/"), (minimum, system < minimum, "\\")):
            axes.fill_between(
                head,
                curve_of,
                system,
                where=is_short,
                interpolate=True,
                facecolor="none",
                edgecolor="none",
                hatch=hatch,
                lw=0.0,
                zorder=0,
            )
        for below, above in itertools.pairwise(zones):
            x = at(above.from_pa)
            y = float(np.interp(x, head, system))
            axes.plot([x, x], [0.0, y], color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
            if "not_working" not in (below.zone, above.zone):
                # There a limit meets the system.
                axes.plot([x], [y], marker="o", ms=7, mfc="w", mec=BLACK, mew=1.4)
        _strip(strip, zones, at, size[0] / (head[-1] - head[0]) * _PLOT_SHARE)
        _figures(strip, borders, formatter, site_pressure_pa, at)
        strip.set_xlabel(label)
    return figure


def _figures(axes: Any, borders: Sequence[float], formatter: Formatter, site_pressure_pa: float, at: Any) -> None:
    """The head of each border over the strip, of near ones the first alone: all are listed beside the graph."""
    low, high = axes.get_xlim()
    taken = low
    for border in borders:
        x = at(border)
        if x < taken:
            continue
        axes.text(x, 1.5, formatter.gauge(border, site_pressure_pa), ha="center", va="center", fontsize=_SIZE)
        taken = x + 0.08 * (high - low)


def _strip(axes: Any, zones: Sequence[Any], at: Any, points: float) -> None:
    """A box for each zone, named where its name fits; `points` is the width of a printed unit of pressure [pt]."""
    axes.set_ylim(0.0, 2.0)
    axes.set_yticks([])
    axes.spines[["top", "right", "left", "bottom"]].set_visible(False)
    for zone in zones:
        low, high = at(zone.from_pa), at(zone.to_pa)
        axes.add_patch(
            Rectangle((low, 0.05), high - low, 0.9, fc="none", ec=BLACK, lw=0.8, hatch=_HATCHES[zone.zone] * 2)
        )
        text = wording.ZONES[zone.zone]()
        if fonts.text_width(text, fonts.SEMIBOLD, _SIZE) + 8.0 < (high - low) * points:
            axes.text(
                0.5 * (low + high),
                0.5,
                text,
                ha="center",
                va="center",
                fontsize=_SIZE,
                fontweight="semibold",
                bbox=_BOX,
            )
