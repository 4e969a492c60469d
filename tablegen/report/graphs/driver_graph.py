"""What drives a limit: a bar for each source of scatter, from its low to its high end, the longest above."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine

from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK
from tablegen.report.rounding import MINUS, decimals
from tablegen.wording import confidence as wording
from tablegen.wording import terms

# A source that moves neither limit by so much is no driver [percent].
MIN_SHOWN = 0.05
_BAR = 0.62
# Width of a panel [pt], about; type sizes; air between a line and a figure [pt].
_PANEL, _VALUE, _LABEL, _AIR = 190.0, 8.0, 8.5, 3.0


def shown(rows: pd.DataFrame) -> list[str]:
    """The drivers of a graph, the strongest first, over both limits; what all valves share below the others."""
    effect = (
        ((rows["load_at_high_w"] - rows["load_at_low_w"]).abs() / rows["member_load_w"] * 100.0)
        .groupby(rows["driver"], sort=False)
        .max()
    )
    order = [str(name) for name in effect[effect >= MIN_SHOWN].sort_values(ascending=False, kind="stable").index]
    shared = set(rows.loc[rows["is_shared"], "driver"])
    return [name for name in order if name not in shared] + [name for name in order if name in shared]


def driver_graph(rows: pd.DataFrame) -> Figure:
    """Draw the drivers of one example's limits, as changes of the nominal limit in percent.

    The half of a bar that belongs to the low end of its source is hatched; the dashed line is the limit at confidence.
    """
    order = shown(rows)
    shared = set(rows.loc[rows["is_shared"], "driver"])
    apart = sum(name not in shared for name in order) - 0.5
    changes = [
        100.0 * (rows[c] / rows["member_load_w"] - 1.0)
        for c in ("load_at_low_w", "load_at_high_w", "data_low_load_w", "data_high_load_w")
    ]
    # Sources that empty the window reach out of the graph.
    found = np.concatenate([change.to_numpy() for change in changes])
    reach = 1.3 * float(np.abs(found[np.isfinite(found)]).max())
    with vector.style():
        figure = Figure(layout="constrained")
        # Apart, for the outer labels of both axes.
        engine = figure.get_layout_engine()
        if isinstance(engine, ConstrainedLayoutEngine):
            engine.set(w_pad=0.12, wspace=0.03)
        panels = figure.subplots(1, 2, sharey=True)
        for axes, limit in zip(panels, terms.LIMITS, strict=True):
            own = rows[rows["limit"] == limit].set_index("driver")
            end = "data_high_load_w" if limit == "min" else "data_low_load_w"
            confident = 100.0 * (float(own[end].iloc[0]) / float(own["member_load_w"].iloc[0]) - 1.0)
            for height, driver in enumerate(order):
                for _, row in own[own.index == driver].iterrows():
                    _bar(axes, height, row, confident, 0.5 * _PANEL / reach)
            axes.axvline(0.0, color=BLACK, lw=0.8)
            # What all valves share is below the rule.
            if 0.0 < apart < len(order) - 1.0:
                axes.axhline(apart, color=BLACK, lw=0.6, ls=":")
            # Where the tail covers no load at all no limit is left.
            if not math.isnan(confident):
                axes.axvline(confident, color=BLACK, lw=1.0, ls=(0, (4, 2)), zorder=0)
                _name_confident(axes, confident, len(order) - 0.45, reach)
            axes.set_xlim(-reach, reach)
            axes.set_ylim(len(order) + 0.1, -0.7)
            axes.set_yticks(range(len(order)), [terms.DRIVERS[driver]() for driver in order])
            axes.tick_params(axis="y", length=0)
            axes.set_xlabel(wording.CHANGE_AXES[limit]())
            axes.spines[["top", "right", "left"]].set_visible(False)
    return figure


def _name_confident(axes: Axes, confident: float, height: float, reach: float) -> None:
    """Name the dashed line, on its outer side where it fits, and clear of the middle line on the other."""
    text = wording.CONFIDENT(change=_signed(confident))
    is_outer = (reach - abs(confident)) * 0.5 * _PANEL / reach > fonts.text_width(text, fonts.REGULAR, _LABEL) + _AIR
    is_right = (confident > 0.0) == is_outer
    axes.annotate(
        text,
        (confident, height),
        (_AIR if is_right else -_AIR, 0),
        textcoords="offset points",
        ha="left" if is_right else "right",
        va="top",
        fontsize=_LABEL,
        bbox={"fc": "w", "ec": "none", "pad": 1.0},
    )


def _bar(axes: Axes, height: int, row: pd.Series, confident: float, scale: float) -> None:
    """The bar of one source with its ends in figures, which leave the line at `confident` free.

    `scale` is the width of one percent [pt].
    """
    nominal = float(row["member_load_w"])
    low, high = (100.0 * (float(row[c]) / nominal - 1.0) for c in ("load_at_low_w", "load_at_high_w"))
    axes.barh(height, low, _BAR, facecolor="w", edgecolor=BLACK, lw=0.8, hatch="//")
    axes.barh(height, high, _BAR, facecolor="#D8D8D8", edgecolor=BLACK, lw=0.8)
    for value in (low, high):
        if abs(value) < MIN_SHOWN:
            continue
        side = 1 if value > 0.0 else -1
        text, start = _signed(value), abs(value) * scale + _AIR
        line = side * confident * scale
        # Beyond the dashed line where it would run through the figure.
        if start - _AIR < line < start + fonts.text_width(text, fonts.REGULAR, _VALUE) + _AIR:
            start = line + _AIR
        axes.annotate(
            text,
            (value, height),
            (side * (start - abs(value) * scale), 0),
            textcoords="offset points",
            fontsize=_VALUE,
            ha="left" if side > 0 else "right",
            va="center",
            bbox={"fc": "w", "ec": "none", "pad": 0.8},
        )


def _signed(value: float) -> str:
    text = decimals(value, 1)
    return text if text.startswith(MINUS) or not float(text) else f"+{text}"
