"""The balance graph: system and valve capacity against head pressure."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from tablegen.publish import vector
from tablegen.publish.page import BLACK, VERMILLION
from tablegen.publish.wording import Words
from tablegen.units import print_unit

_WHITE_BOX = {"fc": "w", "ec": "none", "pad": 1.2}


def balance_graph(curve: pd.DataFrame, words: Words, site_pressure_pa: float, heads_pa: dict[str, float]) -> Figure:
    """Draw one example's curves; `heads_pa` are the absolute pressures of the conditions, by printed name."""
    pressure, load = print_unit("pressure gauge", words.system), print_unit("load", words.system, words.load_unit)
    head = np.array([pressure.of(p - site_pressure_pa) for p in curve["head_pressure_pa"]])
    first = curve.iloc[0]

    def loads(column: str) -> Any:
        return np.array([load.of(w) for w in curve[column]])

    compressor, greatest, least = (loads(c) for c in ("compressor_capacity_w", "valve_greatest_w", "valve_least_w"))
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        axes.plot(head, compressor, color=VERMILLION, lw=2.4)
        evaporator = loads("evaporator_capacity_w")
        axes.plot(head, evaporator, color=BLACK, lw=0.8, ls=(0, (7, 2, 1, 2)))
        axes.plot(head, greatest, color=BLACK, lw=1.6)
        axes.plot(head, least, color=BLACK, lw=1.6, ls=(0, (1, 1.6)))
        top = 1.22 * float(greatest.max())
        axes.set_xlim(head[0] - 0.03 * (head[-1] - head[0]), head[-1] + 0.03 * (head[-1] - head[0]))
        axes.set_ylim(0.0, top)
        if first["smaller_size"]:
            smaller = loads("smaller_greatest_w")
            axes.plot(head, smaller, color=BLACK, lw=1.2, ls=(0, (5, 2)))
            _shortfall(axes, head, smaller, compressor, str(first["smaller_size"]))
            _mark_crossing(axes, first, words, site_pressure_pa, head, compressor, pressure)
            _along(axes, head, smaller, 0.66, f"size {first['smaller_size']}, fully open", below=True)
        _along(axes, head, greatest, 0.45, f"size {first['size']}, fully open", below=False)
        _along(axes, head, least, 0.45, f"size {first['size']}, smallest steady opening", below=False)
        _along(axes, head, compressor, 0.93, "system", below=False, weight="semibold", align="right")
        _along(axes, head, evaporator, 0.80, "evaporator", below=True)
        for name, value in heads_pa.items():
            x = pressure.of(value - site_pressure_pa)
            axes.axvline(x, color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
            side = "left" if x < head.mean() else "right"
            text = f"{name} {words.gauge(value, site_pressure_pa)}"
            axes.annotate(text, (x, top), (4 if side == "left" else -4, -10), textcoords="offset points",
                          ha=side, va="center", fontsize=8.5, bbox=_WHITE_BOX)  # fmt: skip
        axes.set_xlabel(f"head pressure, {pressure.label}")
        axes.set_ylabel(f"refrigerating capacity, {load.label}")
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def _shortfall(axes: Any, head: Any, smaller: Any, compressor: Any, size: str) -> None:
    """Hatch what the smaller size cannot pass."""
    short = compressor > smaller
    if short.any():
        axes.fill_between(head, smaller, compressor, where=short, interpolate=True, facecolor="none",
                          edgecolor="none", hatch="/", lw=0.0)  # fmt: skip
        at = int(np.flatnonzero(short)[0])
        middle = 0.5 * (smaller[at] + compressor[at])
        axes.annotate(f"size {size} starves", (head[at] + 0.01 * (head[-1] - head[0]), middle), (14, 34),
                      textcoords="offset points", fontsize=8.5, va="center", bbox=_WHITE_BOX,
                      arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 0})  # fmt: skip


def _mark_crossing(
    axes: Any, first: pd.Series, words: Words, site_pa: float, head: Any, compressor: Any, pressure: Any
) -> None:
    crossing = float(first["smaller_crossing_pa"])
    if np.isnan(crossing):
        return
    x = pressure.of(crossing - site_pa)
    y = float(np.interp(x, head, compressor))
    axes.plot([x], [y], marker="o", ms=7, mfc="w", mec=BLACK, mew=1.4)
    axes.plot([x, x], [0, y], color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
    text = f"{words.gauge(crossing, site_pa)} {pressure.label.split()[0]}"
    axes.annotate(text, (x, 0), (3, 7), textcoords="offset points", fontsize=8.5,
                  bbox=_WHITE_BOX)  # fmt: skip


def _along(
    axes: Any, x: Any, y: Any, place: float, text: str, *, below: bool, weight: str = "normal", align: str = "center"
) -> None:
    """Label a line beside itself; in black, for a coloured label breaks up in 1-bit print."""
    at = x[0] + place * (x[-1] - x[0])
    axes.annotate(text, (at, float(np.interp(at, x, y))), (0, -9 if below else 9), textcoords="offset points",
                  ha=align, va="center", fontsize=8.5, fontweight=weight, bbox=_WHITE_BOX)  # fmt: skip
