"""The balance graph: system and valve capacity against head pressure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from tablegen.publish import vector
from tablegen.publish.page import BLACK, VERMILLION
from tablegen.publish.wording import Words
from tablegen.units import print_unit

# Half a character's width over the graph's, and a label's distance from its curve over the height, about.
_CHARACTER, _LABEL_OFFSET = 0.0047, 0.055
_HEADROOM = 1.22
_OFFSET_PT = 9.0
# From the middle of a label to a curve that it does not touch, over its distance from its own.
_CLEAR = 0.7
_WHITE_BOX = {"fc": "w", "ec": "none", "pad": 1.2}


def balance_graph(curve: pd.DataFrame, words: Words, site_pressure_pa: float, heads_pa: dict[str, float]) -> Figure:
    """Draw one example's curves; `heads_pa` are the absolute pressures of the conditions, by printed name."""
    with vector.style():
        figure = Figure(layout="constrained")
        draw_balance(figure.add_subplot(), curve, words, site_pressure_pa, heads_pa)
    return figure


def draw_balance(
    axes: Any,
    curve: pd.DataFrame,
    words: Words,
    site_pressure_pa: float,
    heads_pa: dict[str, float],
    names: tuple[str, str] = ("fully open", "smallest steady opening"),
    borders_pa: Sequence[float] = (),
    spare: Collection[str] = (),
    low_pt: float | None = None,
) -> None:
    """Draw one example's curves on axes; labels keep clear of the lines at `borders_pa` (absolute pressures).

    `names` are those of the valve's two curves.  Labels in `spare` are left out where they would lie on another curve.
    `low_pt` is the height of the axes [pt] where that is little; names of heads then stand above.
    """
    pressure, load = print_unit("pressure gauge", words.system), print_unit("load", words.system, words.load_unit)
    head = np.array([pressure.of(p - site_pressure_pa) for p in curve["head_pressure_pa"]])
    first = curve.iloc[0]

    def loads(column: str) -> Any:
        return np.array([load.of(w) for w in curve[column]])

    compressor, greatest, least = (loads(c) for c in ("compressor_capacity_w", "valve_greatest_w", "valve_least_w"))
    axes.plot(head, compressor, color=VERMILLION, lw=2.4)
    evaporator = loads("evaporator_capacity_w")
    axes.plot(head, evaporator, color=BLACK, lw=0.8, ls=(0, (7, 2, 1, 2)))
    axes.plot(head, greatest, color=BLACK, lw=1.6)
    axes.plot(head, least, color=BLACK, lw=1.6, ls=(0, (1, 1.6)))
    top = _HEADROOM * float(np.nanmax([greatest, compressor, least]))
    axes.set_xlim(head[0] - 0.03 * (head[-1] - head[0]), head[-1] + 0.03 * (head[-1] - head[0]))
    axes.set_ylim(0.0, top)
    if first["smaller_size"]:
        smaller = loads("smaller_greatest_w")
        axes.plot(head, smaller, color=BLACK, lw=1.2, ls=(0, (5, 2)))
        _shortfall(axes, head, smaller, compressor, str(first["smaller_size"]), [greatest, least], top)
        _mark_crossing(axes, first, words, site_pressure_pa, head, compressor, pressure)
    labels = [
        (greatest, f"size {first['size']}, {names[0]}", "normal"),
        (least, f"size {first['size']}, {names[1]}", "normal"),
        (compressor, "system", "semibold"),
        (evaporator, "evaporator", "normal"),
    ]
    if np.allclose(least, greatest, rtol=1e-3):
        # A valve that floods even at its stop.
        labels[:2] = [(greatest, f"size {first['size']}, {' = '.join(names)}", "normal")]
    labels = [label for label in labels if np.isfinite(label[0]).any()]
    if first["smaller_size"]:
        labels.append((smaller, f"size {first['smaller_size']}, fully open", "normal"))
    # The note on the starving size stands up here, where there is one.
    span, start = head[-1] - head[0], float(compressor[0])
    note = [
        (head[0] + 0.12 * span, start + 0.16 * top, 0.13 * span),
        (head[0] + 0.05 * span, start + 0.07 * top, 0.05 * span),
    ]
    upright = [pressure.of(value - site_pressure_pa) for value in (*heads_pa.values(), *borders_pa)]
    _label_curves(axes, head, labels, top, note if first["smaller_size"] else [], upright, spare,
                  _LABEL_OFFSET if low_pt is None else _OFFSET_PT / low_pt)  # fmt: skip
    for name, value in heads_pa.items():
        x = pressure.of(value - site_pressure_pa)
        axes.axvline(x, color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
        side = "left" if x < head.mean() else "right"
        text = f"{name} {words.gauge(value, site_pressure_pa)}"
        up = -10 if low_pt is None else 6
        axes.annotate(text, (x, top), (4 if side == "left" else -4, up), textcoords="offset points",
                      ha=side, va="center", fontsize=8.5, bbox=_WHITE_BOX)  # fmt: skip
    axes.set_xlabel(f"head pressure, {pressure.label}")
    axes.set_ylabel(f"refrigerating capacity, {load.label}")
    axes.spines[["top", "right"]].set_visible(False)


def _shortfall(
    axes: Any, head: Any, smaller: Any, compressor: Any, size: str, others: list[Any], top: float
) -> None:
    """Hatch what the smaller size cannot pass, and name it above, or below where another curve runs there."""
    short = compressor > smaller
    if short.any():
        axes.fill_between(head, smaller, compressor, where=short, interpolate=True, facecolor="none",
                          edgecolor="none", hatch="/", lw=0.0)  # fmt: skip
        at = int(np.flatnonzero(short)[0])
        middle = 0.5 * (smaller[at] + compressor[at])
        beside = (head >= head[at]) & (head <= head[at] + 0.25 * (head[-1] - head[0]))
        nearness = {side: min(float(np.abs(c[beside] - middle - side * 0.22 * top).min()) for c in others)
                    for side in (1, -1)}  # fmt: skip
        side = 1 if nearness[1] > 0.05 * top or nearness[1] >= nearness[-1] else -1
        axes.annotate(f"size {size} starves", (head[at] + 0.01 * (head[-1] - head[0]), middle),
                      (14, 34 * side),
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
    text = words.gauge(crossing, site_pa)
    axes.annotate(text, (x, 0), (3, 7), textcoords="offset points", fontsize=8.5,
                  bbox=_WHITE_BOX)  # fmt: skip


def _label_curves(
    axes: Any,
    head: Any,
    labels: list[tuple[Any, str, str]],
    top: float,
    taken: list[tuple[float, float, float]],
    upright: list[float],
    spare: Collection[str],
    share: float,
) -> None:
    """Label each curve beside itself, where it is farthest from the others, from labels set before and upright lines.

    A label stands as far from its curve as `share` of the height.  In black, for a colored label breaks up in 1-bit
    print.
    """
    span, offset = head[-1] - head[0], share * top
    curves = [curve for curve, _, _ in labels]
    taken = list(taken)
    for own, text, weight in labels:
        half = _CHARACTER * len(text) * span
        best: tuple[float, float, float, bool] | None = None
        for place in np.linspace(0.06, 0.94, 45):
            x = head[0] + place * span
            if x - half < head[0] or x + half > head[-1] or any(abs(x - line) < half for line in upright):
                continue
            covered = np.linspace(x - half, x + half, 9)
            for below in (False, True):
                y = float(np.interp(x, head, own)) + (-offset if below else offset)
                gaps = [float(np.abs(np.interp(covered, head, c) - y).min()) for c in curves if c is not own]
                gaps += [abs(y - b) if abs(x - a) < half + w else top for a, b, w in taken]
                gaps.append(2.0 * float(np.abs(np.interp(covered, head, own) - y).min()))
                gaps += [y, 0.90 * top - y]
                # The middle of the graph reads best among places that are as free.
                score = min(*gaps, max(0.12, 2.0 * share) * top) - 0.01 * top * abs(place - 0.5)
                if best is None or score > best[0]:
                    best = score, x, y, below
        if best is None or (text in spare and best[0] < _CLEAR * offset):
            continue
        _, x, y, below = best
        taken.append((x, y, half))
        axes.annotate(text, (x, float(np.interp(x, head, own))), (0, -9 if below else 9), textcoords="offset points",
                      ha="center", va="center", fontsize=8.5, fontweight=weight, bbox=_WHITE_BOX)  # fmt: skip
