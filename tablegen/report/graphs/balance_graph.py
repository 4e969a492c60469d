"""The balance graph: system and valve capacity against head pressure."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from tablegen.physics.arrays import Floats
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK, VERMILLION
from tablegen.unit_table import Unit
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording

# Half a character's width over the graph's, and a label's distance from its curve over the height, about.
_CHARACTER, _LABEL_OFFSET = 0.0047, 0.055
_HEADROOM = 1.22
_OFFSET_PT = 9.0
# From the middle of a label to a curve that it does not touch, over its distance from its own.
_CLEAR = 0.7
# Axes [pt], about; the type; how far the note on a starving size may stand from what it names.
_WIDTH_PT, _HEIGHT_PT, _SIZE = 440.0, 160.0, 8.5
_ASIDE, _UP_OR_DOWN = (14.0, 30.0, 48.0), (22.0, 28.0, 34.0, 42.0, 52.0, 64.0, 78.0)
_WHITE_BOX = {"fc": "w", "ec": "none", "pad": 1.2}


def balance_graph(
    curve: pd.DataFrame, formatter: Formatter, site_pressure_pa: float, heads_pa: dict[str, float]
) -> Figure:
    """Draw one example's curves; `heads_pa` are the absolute pressures of the conditions, by printed name."""
    with vector.style():
        figure = Figure(layout="constrained")
        draw_balance(figure.add_subplot(), curve, formatter, site_pressure_pa, heads_pa)
    return figure


def draw_balance(
    axes: Axes,
    curve: pd.DataFrame,
    formatter: Formatter,
    site_pressure_pa: float,
    heads_pa: dict[str, float],
    names: tuple[str, str] | None = None,
    borders_pa: Sequence[float] = (),
    spare: Collection[str] = (),
    low_pt: float | None = None,
) -> None:
    """Draw one example's curves on axes; labels keep clear of the lines at `borders_pa` (absolute pressures).

    `names` are those of the valve's two curves, else of its openings.  Labels in `spare` are left out where they would lie on another curve.
    `low_pt` is the height of the axes [pt] where that is little; names of heads then stand above.
    """
    pressure, load = (
        print_unit("pressure gauge", formatter.system),
        print_unit("load", formatter.system, formatter.load_unit),
    )
    head = np.array([pressure.of(p - site_pressure_pa) for p in curve["head_pressure_pa"]])
    first = curve.iloc[0]

    def loads(column: str) -> Floats:
        return np.array([load.of(w) for w in curve[column]])

    compressor, maximum, minimum = (loads(c) for c in ("compressor_capacity_w", "valve_max_w", "valve_min_w"))
    axes.plot(head, compressor, color=VERMILLION, lw=2.4)
    evaporator = loads("evaporator_capacity_w")
    axes.plot(head, evaporator, color=BLACK, lw=0.8, ls=(0, (7, 2, 1, 2)))
    axes.plot(head, maximum, color=BLACK, lw=1.6)
    axes.plot(head, minimum, color=BLACK, lw=1.6, ls=(0, (1, 1.6)))
    top = _HEADROOM * float(np.nanmax([maximum, compressor, minimum]))
    axes.set_xlim(head[0] - 0.03 * (head[-1] - head[0]), head[-1] + 0.03 * (head[-1] - head[0]))
    axes.set_ylim(0.0, top)
    if first["smaller_size"]:
        smaller = loads("smaller_max_w")
        axes.plot(head, smaller, color=BLACK, lw=1.2, ls=(0, (5, 2)))
        _mark_crossing(axes, first, formatter, site_pressure_pa, head, compressor, pressure)
    names = names or (wording.FULLY_OPEN(), wording.MINIMUM_OPENING())
    labels = [
        (maximum, wording.SIZE_AT(size=first["size"], opening=names[0]), "normal"),
        (minimum, wording.SIZE_AT(size=first["size"], opening=names[1]), "normal"),
        (compressor, wording.SYSTEM(), "semibold"),
        (evaporator, wording.EVAPORATOR(), "normal"),
    ]
    if np.allclose(minimum, maximum, rtol=1e-3):
        # A valve that floods even at its stop.
        both = wording.BOTH_OPENINGS(maximum=names[0], minimum=names[1])
        labels[:2] = [(maximum, wording.SIZE_AT(size=first["size"], opening=both), "normal")]
    labels = [label for label in labels if np.isfinite(label[0]).any()]
    if first["smaller_size"]:
        text = wording.SIZE_AT(size=first["smaller_size"], opening=wording.FULLY_OPEN())
        labels.append((smaller, text, "normal"))
    upright = [pressure.of(value - site_pressure_pa) for value in (*heads_pa.values(), *borders_pa)]
    note: list[tuple[float, float, float]] = []
    if first["smaller_size"]:
        crossing = float(first["smaller_crossing_pa"])
        if not np.isnan(crossing):
            upright.append(pressure.of(crossing - site_pressure_pa))
        curves = [curve for curve, _, _ in labels]
        note = _shortfall(
            axes,
            head,
            smaller,
            compressor,
            str(first["smaller_size"]),
            curves,
            top,
            upright,
            _HEIGHT_PT if low_pt is None else low_pt,
        )
    _label_curves(
        axes, head, labels, top, note, upright, spare, _LABEL_OFFSET if low_pt is None else _OFFSET_PT / low_pt
    )
    for name, value in heads_pa.items():
        x = pressure.of(value - site_pressure_pa)
        axes.axvline(x, color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
        side = "left" if x < head.mean() else "right"
        text = wording.HEAD_AT(condition=name, pressure=formatter.gauge(value, site_pressure_pa))
        up = -10 if low_pt is None else 6
        axes.annotate(
            text,
            (x, top),
            (4 if side == "left" else -4, up),
            textcoords="offset points",
            ha=side,
            va="center",
            fontsize=8.5,
            bbox=_WHITE_BOX,
        )
    axes.set_xlabel(wording.HEAD_PRESSURE(unit=pressure.label))
    axes.set_ylabel(wording.CAPACITY(unit=load.label))
    axes.spines[["top", "right"]].set_visible(False)


def _shortfall(
    axes: Axes,
    head: Floats,
    smaller: Floats,
    compressor: Floats,
    size: str,
    curves: list[Floats],
    top: float,
    upright: list[float],
    height_pt: float,
) -> list[tuple[float, float, float]]:
    """Hatch what the smaller size cannot pass, and name it where no curve and no upright line runs.

    Return where the name stands: its middle and half its width.
    """
    short = compressor > smaller
    if not short.any():
        return []
    axes.fill_between(
        head, smaller, compressor, where=short, interpolate=True, facecolor="none", edgecolor="none", hatch="/", lw=0.0
    )
    span = head[-1] - head[0]
    at = int(np.flatnonzero(short)[0])
    x, middle, text = head[at] + 0.01 * span, 0.5 * (smaller[at] + compressor[at]), wording.STARVES(size=size)
    wide = fonts.text_width(text, fonts.REGULAR, _SIZE)
    per_x, per_y = 1.06 * span / _WIDTH_PT, top / height_pt
    best: tuple[float, float, float] | None = None
    for aside in _ASIDE:
        left = x + aside * per_x
        covered = np.linspace(left, left + wide * per_x, 15)
        beside = min((max(line - covered[-1], covered[0] - line) / per_x for line in upright), default=99.0)
        for up in (*_UP_OR_DOWN, *(-way for way in _UP_OR_DOWN)):
            y = middle + up * per_y
            gaps = [float(np.abs(np.interp(covered, head, curve) - y).min()) / per_y for curve in curves]
            ends = (y / per_y, 0.9 * height_pt - y / per_y)
            # A curve between the name and what it names takes the leader across itself.
            crossed = sum(
                bool((float(np.interp(left, head, c)) - y) * (middle - float(np.interp(x, head, c))) > 0.0)
                for c in curves
            )
            score = min(*gaps, *ends, beside + _SIZE, 10.0) - 0.04 * (abs(up) + aside) - 0.5 * crossed
            if best is None or score > best[0] + 1e-9:
                best = score, aside, up
    _, aside, up = best or (0.0, _ASIDE[0], _UP_OR_DOWN[2])
    axes.annotate(
        text,
        (x, middle),
        (aside, up),
        textcoords="offset points",
        fontsize=_SIZE,
        va="center",
        bbox=_WHITE_BOX,
        arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 0},
    )
    return [
        (x + (aside + 0.5 * wide) * per_x, middle + up * per_y, 0.5 * wide * per_x),
        (x + 0.5 * aside * per_x, middle + 0.5 * up * per_y, 0.5 * aside * per_x),
    ]


def _mark_crossing(
    axes: Axes, first: pd.Series, formatter: Formatter, site_pa: float, head: Floats, compressor: Floats, pressure: Unit
) -> None:
    crossing = float(first["smaller_crossing_pa"])
    if np.isnan(crossing):
        return
    x = pressure.of(crossing - site_pa)
    y = float(np.interp(x, head, compressor))
    axes.plot([x], [y], marker="o", ms=7, mfc="w", mec=BLACK, mew=1.4)
    axes.plot([x, x], [0, y], color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
    text = formatter.gauge(crossing, site_pa)
    axes.annotate(text, (x, 0), (3, 7), textcoords="offset points", fontsize=8.5, bbox=_WHITE_BOX)


def _label_curves(
    axes: Axes,
    head: Floats,
    labels: list[tuple[Floats, str, str]],
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
        axes.annotate(
            text,
            (x, float(np.interp(x, head, own))),
            (0, -9 if below else 9),
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=8.5,
            fontweight=weight,
            bbox=_WHITE_BOX,
        )
