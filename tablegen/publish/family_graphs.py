"""Graphs of one valve family: superheat against load, opening against head, bulb against evaporator pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from tablegen.publish import vector
from tablegen.publish.page import BLACK, BLUE, VERMILLION
from tablegen.publish.wording import Words
from tablegen.units import print_unit

_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
_SIZE = 8.5
# Minor steps of superheat: a degree Fahrenheit, half a kelvin.
_FINE = {"IP": 1.0, "SI": 0.5}
_HEADS = {"low_head": "low head", "high_head": "high head"}
_HEAD_STYLES: dict[str, dict[str, Any]] = {
    "low_head": {"color": BLUE, "lw": 2.2},
    "high_head": {"color": VERMILLION, "lw": 2.2, "ls": (0, (5, 1.5))},
}


@dataclass(frozen=True, slots=True)
class Limits:
    """What a superheat graph draws beside its curves: window [W] and superheat limits [K]."""

    least_w: float
    greatest_w: float
    least_k: float
    greatest_k: float


def superheat_graph(curves: pd.DataFrame, limits: Limits, words: Words, is_read_off: bool = False) -> Figure:
    """Superheat against load at both heads, with the zones named by what the valve is for a load.

    With a grid where figures are to be read off it.
    """
    load, step = print_unit("load", words.system, words.load_unit), print_unit("temperature difference", words.system)
    least, greatest = load.of(limits.least_w), load.of(limits.greatest_w)
    floor, top = step.of(limits.least_k), step.of(limits.greatest_k)
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        right, high = 1.45 * greatest, 1.28 * top
        for extreme, rows in curves.groupby("extreme", sort=False):
            shown = rows[rows["superheat_k"].notna()]
            x = np.array([load.of(w) for w in shown["load_w"]])
            y = np.array([step.of(k) for k in shown["superheat_k"]])
            inside = (x <= right) & (y <= high)
            ends_at_stop = len(shown) < len(rows) and inside.all()
            x, y = x[inside], y[inside]
            axes.plot(x, y, **_HEAD_STYLES[str(extreme)])
            above = str(extreme) == "low_head"
            if ends_at_stop:
                axes.annotate(f"{_HEADS[str(extreme)]},\nto the stop", (x[-1], y[-1]), (5, 0), ha="left", va="center",
                              textcoords="offset points", fontsize=_SIZE, bbox=_BOX)  # fmt: skip
            else:
                # On the outer side of its curve, so that the two labels never meet.
                at = int(np.searchsorted(x, 0.55 * (x[0] + x[-1])))
                # Not on the line of the least stable superheat.
                is_near = 0.0 < y[at] - floor < 0.14 * high
                axes.annotate(_HEADS[str(extreme)], (x[at], y[at]), (0, 10 if above or is_near else -10), ha="center",
                              va="center", textcoords="offset points", fontsize=_SIZE, bbox=_BOX)  # fmt: skip
        for value, text in ((top, "greatest"), (floor, "least stable")):
            axes.axhline(value, color=BLACK, lw=1.2 if is_read_off else 0.6, ls=(0, (1, 2)), zorder=1)
            axes.annotate(text, (1.0, value), (3, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
                          ha="left", va="center", fontsize=_SIZE)  # fmt: skip
        for value in (least, greatest):
            axes.axvline(value, color=BLACK, lw=0.8, zorder=0)
        edges = (0.0, least, greatest, right)
        for name, start, end in zip(("too large", "holds", "too small"), edges, edges[1:], strict=False):
            axes.annotate(name, (0.5 * (start + end), high), (0, -8), textcoords="offset points", ha="center",
                          va="center", fontsize=_SIZE, fontweight="semibold", bbox=_BOX)  # fmt: skip
        axes.set_xlim(0.0, right)
        axes.set_ylim(0.0, high)
        if is_read_off:
            # Fine enough to read half a degree, and lighter than any line that means something.
            axes.set_yticks(np.arange(0.0, high, _FINE[words.system]), minor=True)
            axes.grid(axis="y", which="both", color="#C4C4C4", lw=0.25)
            axes.set_axisbelow(True)
        axes.set_xlabel(f"load at the rating point, {load.label}")
        axes.set_ylabel(f"superheat, {step.label}")
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def opening_graph(curve: pd.DataFrame, words: Words, site_pa: float, heads_pa: dict[str, float], what: str) -> Figure:
    """Opening that the example's load asks for against head pressure, between the openings that the valve may use."""
    pressure = print_unit("pressure gauge", words.system)
    head = np.array([pressure.of(p - site_pa) for p in curve["head_pressure_pa"]])
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        names = {"opening": "", "greatest_opening": "greatest", "least_opening": "least"}
        styles: dict[str, dict[str, Any]] = {
            "opening": {"color": VERMILLION, "lw": 2.2},
            "greatest_opening": {"color": BLACK, "lw": 1.2},
            "least_opening": {"color": BLACK, "lw": 1.2, "ls": (0, (1, 1.6))},
        }
        for column, name in names.items():
            values = 100.0 * curve[column].to_numpy()
            axes.plot(head, values, **styles[column])
            at = len(head) // 3
            axes.annotate(name or "for the load", (head[at], values[at]), (0, 8), textcoords="offset points",
                          ha="center", va="center", fontsize=_SIZE, bbox=_BOX)  # fmt: skip
        top = 1.18 * 100.0 * float(curve["greatest_opening"].max())
        for name, value in heads_pa.items():
            x = pressure.of(value - site_pa)
            axes.axvline(x, color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
            side = "left" if x < head.mean() else "right"
            axes.annotate(name, (x, top), (4 if side == "left" else -4, -7), textcoords="offset points", ha=side,
                          va="center", fontsize=_SIZE, bbox=_BOX)  # fmt: skip
        axes.set_ylim(0.0, top)
        axes.set_xlabel(f"head pressure, {pressure.label}")
        axes.set_ylabel(f"{what}, %")
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def charge_graph(rows: pd.DataFrame, setting: dict[str, float], words: Words) -> Figure:
    """Bulb pressure and evaporator pressure against temperature, the spring between them.

    The valve just opens where the bulb's curve stands above evaporator and spring by nothing: read across
    from the evaporator's temperature to the bulb's, the way is the static superheat.
    """
    pressure, temperature = print_unit("pressure", words.system), print_unit("temperature", words.system)
    at = np.array([temperature.of(t) for t in rows["evaporating_temperature_k"]])
    dew = np.array([pressure.of(p) for p in rows["evaporating_pressure_pa"]])
    closing = np.array([pressure.of(p) for p in rows["evaporating_pressure_pa"] + rows["spring_pressure_pa"]])
    bulb = np.array([pressure.of(p) for p in rows["bulb_pressure_pa"]])
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        axes.fill_between(at, dew, closing, facecolor="none", edgecolor=BLACK, hatch="/", lw=0.0)
        axes.plot(at, dew, color=BLACK, lw=1.2)
        axes.plot(at, closing, color=BLACK, lw=1.2, ls=(0, (5, 2)))
        axes.plot(at, bulb, color=BLUE, lw=2.2)
        right = temperature.of(setting["bulb_temperature_k"])
        left = temperature.of(setting["bulb_temperature_k"] - setting["static_superheat_k"])
        level = float(np.interp(left, at, closing))
        axes.plot([left, right], [level, level], color=BLACK, lw=2.4, solid_capstyle="butt", marker="|", ms=7, mew=1.2)
        axes.annotate("static superheat", (right, level), (22, -22), textcoords="offset points", ha="left",
                      va="center", fontsize=_SIZE, bbox=_BOX,
                      arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 1})  # fmt: skip
        labels = (
            (dew, 0.80, "evaporator", (8, -8), "left"),
            (bulb, 0.04, "bulb", (2, 12), "left"),
            (closing, 0.82, "evaporator and spring", (-8, 9), "right"),
        )
        for y, place, text, offset, side in labels:
            i = int(place * (len(at) - 1))
            axes.annotate(text, (at[i], y[i]), offset, textcoords="offset points", ha=side, va="center",
                          fontsize=_SIZE, bbox=_BOX)  # fmt: skip
        axes.set_xlabel(f"temperature (dew point, bulb), {temperature.label}")
        label = f"{pressure.label} absolute" if words.system == "SI" else pressure.label
        axes.set_ylabel(f"pressure, {label}")
        axes.margins(x=0.05)
        axes.spines[["top", "right"]].set_visible(False)
    return figure
