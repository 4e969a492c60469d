"""Graphs of one valve family: superheat against load, opening against head, bulb against evaporator pressure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.transforms import offset_copy

from tablegen.physics.arrays import Floats
from tablegen.physics.valve import FactorySetting
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import fonts, vector
from tablegen.report.pdf.page import BLACK, BLUE, VERMILLION
from tablegen.report.pdf.vector import LineStyle
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms

_BOX = {"fc": "w", "ec": "none", "pad": 1.0}
_SIZE = 8.5
# Room of a superheat graph inside its axes [pt], about: two abreast, and of the whole width to be read off. How far
# a label may stand from its curve, and how much air it needs.
_ROOM = {False: (165.0, 112.0), True: (430.0, 96.0)}
_AWAY, _CLEAR = (3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 25.0), 2.5
# Minor steps of superheat: a degree Fahrenheit, half a kelvin.
_FINE = {"IP": 1.0, "SI": 0.5}
_HEAD_STYLES: dict[str, LineStyle] = {
    "low_head": {"color": BLUE, "lw": 2.2},
    "high_head": {"color": VERMILLION, "lw": 2.2, "ls": (0, (5, 1.5))},
}


@dataclass(frozen=True, slots=True)
class Limits:
    """What a superheat graph draws beside its curves: window [W] and superheat limits [K]."""

    min_w: float
    max_w: float
    min_k: float
    max_k: float


def superheat_graph(curves: pd.DataFrame, limits: Limits, formatter: Formatter, is_read_off: bool = False) -> Figure:
    """Superheat against load at both heads, with the zones named by what the valve is for a load.

    With a grid where figures are to be read off it.
    """
    load, step = (
        print_unit("load", formatter.system, formatter.load_unit),
        print_unit("temperature difference", formatter.system),
    )
    minimum, maximum = load.of(limits.min_w), load.of(limits.max_w)
    floor, top = step.of(limits.min_k), step.of(limits.max_k)
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        right, high = 1.45 * maximum, 1.28 * top
        drawn: dict[str, tuple[Floats, Floats, str]] = {}
        for condition, rows in curves.groupby("condition", sort=False):
            shown = rows[rows["superheat_k"].notna()]
            x = np.array([load.of(w) for w in shown["load_w"]])
            y = np.array([step.of(k) for k in shown["superheat_k"]])
            inside = (x <= right) & (y <= high)
            ends_at_stop = len(shown) < len(rows) and inside.all()
            x, y = x[inside], y[inside]
            axes.plot(x, y, **_HEAD_STYLES[str(condition)])
            name = terms.condition(str(condition))
            drawn[str(condition)] = (x, y, wording.TO_STOP(condition=name) if ends_at_stop else name)
        room = _ROOM[is_read_off]
        scale = (room[0] / right, room[1] / high)
        _name_curves(axes, list(drawn.values()), scale, (minimum, maximum), (floor, top))
        for value, text in ((top, wording.MAXIMUM()), (floor, wording.MINIMUM_STABLE())):
            axes.axhline(value, color=BLACK, lw=1.2 if is_read_off else 0.6, ls=(0, (1, 2)), zorder=1)
            axes.annotate(
                text,
                (1.0, value),
                (3, 0),
                xycoords=("axes fraction", "data"),
                textcoords="offset points",
                ha="left",
                va="center",
                fontsize=_SIZE,
            )
        for value in (minimum, maximum):
            axes.axvline(value, color=BLACK, lw=0.8, zorder=0)
        edges = (0.0, minimum, maximum, right)
        zones = wording.TOO_LARGE(), wording.FITS(), wording.TOO_SMALL()
        for name, start, end in zip(zones, edges, edges[1:], strict=False):
            axes.annotate(
                name,
                (0.5 * (start + end), high),
                (0, -8),
                textcoords="offset points",
                ha="center",
                va="center",
                fontsize=_SIZE,
                fontweight="semibold",
                bbox=_BOX,
            )
        axes.set_xlim(0.0, right)
        axes.set_ylim(0.0, high)
        if is_read_off:
            # Fine enough to read half a degree, and lighter than any line that means something.
            axes.set_yticks(np.arange(0.0, high, _FINE[formatter.system]), minor=True)
            axes.grid(axis="y", which="both", color="#C4C4C4", lw=0.25)
            axes.set_axisbelow(True)
        axes.set_xlabel(wording.RATED_LOAD(unit=load.label))
        axes.set_ylabel(wording.SUPERHEAT_AXIS(unit=step.label))
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def _name_curves(
    axes: Axes,
    curves: list[tuple[Floats, Floats, str]],
    scale: tuple[float, float],
    upright: tuple[float, float],
    level: tuple[float, float],
) -> None:
    """Name each curve beside itself, clear of every curve and of upright and level lines, in one line or two.

    `scale` is the size of a unit of either axis [pt].
    """
    points = [(scale[0] * x, scale[1] * y) for x, y, _ in curves]
    taken: list[tuple[float, float, float, float]] = []
    for own, ((x, y), (_, _, text)) in enumerate(zip(points, curves, strict=True)):
        best: tuple[float, str, tuple[float, float, float, float]] | None = None
        for name in dict.fromkeys((text, text.replace(", ", ",\n"))):
            lines = name.split("\n")
            wide = 0.5 * max(fonts.text_width(line, fonts.REGULAR, _SIZE) for line in lines) + 1.0
            tall = 0.6 * _SIZE * len(lines)
            for at in np.linspace(x[0], x[-1], 40):
                for away in (*_AWAY, *(-away for away in _AWAY)):
                    height = float(np.interp(at, x, y)) + away + (tall if away > 0.0 else -tall)
                    label = (float(at), height, wide, tall)
                    gaps = [_gap(px, py, label) for px, py in points]
                    # Nearer its own curve than any other.
                    gaps += [gap - gaps[own] for i, gap in enumerate(gaps) if i != own]
                    gaps += [abs(at - scale[0] * line) - wide for line in upright]
                    gaps += [abs(height - scale[1] * line) - tall for line in level]
                    gaps += [max(abs(at - a) - wide - w, abs(height - h) - tall - t) for a, h, w, t in taken]
                    gaps += [at - wide, height - tall, scale[1] * level[1] - height]
                    score = min(*gaps, _CLEAR) - 0.05 * abs(away) - 0.2 * len(lines) - 0.002 * abs(at - x.mean())
                    if best is None or score > best[0] + 1e-9:
                        best = score, name, label
        if best is not None:
            _, name, label = best
            taken.append(label)
            axes.text(
                label[0] / scale[0],
                label[1] / scale[1],
                name,
                ha="center",
                va="center",
                fontsize=_SIZE,
                linespacing=1.15,
                bbox=_BOX,
            )


def _gap(x: Floats, y: Floats, label: tuple[float, float, float, float]) -> float:
    """Distance up or down from a label (middle, half its width and height) to a curve."""
    at, height, wide, tall = label
    covered = np.linspace(max(at - wide, x[0]), min(at + wide, x[-1]), 15)
    if covered[0] > covered[-1]:
        return 99.0
    return float(np.abs(np.interp(covered, x, y) - height).min()) - tall


def opening_graph(
    curve: pd.DataFrame, formatter: Formatter, site_pa: float, heads_pa: dict[str, float], kind: str
) -> Figure:
    """Opening that the example's load needs against head pressure, between the openings that a kind of valve may use."""
    pressure = print_unit("pressure gauge", formatter.system)
    head = np.array([pressure.of(p - site_pa) for p in curve["head_pressure_pa"]])
    with vector.style():
        figure = Figure(layout="constrained")
        axes = figure.add_subplot()
        names = {"opening": "", "max_opening": wording.MAXIMUM(), "min_opening": wording.MINIMUM()}
        styles: dict[str, LineStyle] = {
            "opening": {"color": VERMILLION, "lw": 2.2},
            "max_opening": {"color": BLACK, "lw": 1.2},
            "min_opening": {"color": BLACK, "lw": 1.2, "ls": (0, (1, 1.6))},
        }
        for column, name in names.items():
            values = 100.0 * curve[column].to_numpy()
            axes.plot(head, values, **styles[column])
            at = len(head) // 3
            # A falling curve is named to the right of where it is high.
            offset = (0, 8) if name else (8, 10)
            axes.annotate(
                name or wording.FOR_LOAD(),
                (head[at], values[at]),
                offset,
                textcoords="offset points",
                ha="center",
                va="center",
                fontsize=_SIZE,
                bbox=_BOX,
            )
        top = 1.18 * 100.0 * float(curve["max_opening"].max())
        for name, value in heads_pa.items():
            x = pressure.of(value - site_pa)
            axes.axvline(x, color=BLACK, lw=0.5, ls=(0, (1, 2)), zorder=0)
            side = "left" if x < head.mean() else "right"
            axes.annotate(
                name,
                (x, top),
                (4 if side == "left" else -4, -7),
                textcoords="offset points",
                ha=side,
                va="center",
                fontsize=_SIZE,
                bbox=_BOX,
            )
        axes.set_ylim(0.0, top)
        axes.set_xlabel(wording.HEAD_PRESSURE(unit=pressure.label))
        axes.set_ylabel(wording.OPENINGS[kind]())
        axes.spines[["top", "right"]].set_visible(False)
    return figure


def charge_graph(rows: pd.DataFrame, setting: FactorySetting, formatter: Formatter) -> Figure:
    """Bulb pressure and evaporator pressure against temperature, the spring between them.

    The valve just opens where the bulb's pressure equals that of evaporator and spring: across, from the evaporator's
    temperature to the bulb's, is the static superheat.
    """
    pressure, temperature = print_unit("pressure", formatter.system), print_unit("temperature", formatter.system)
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
        right = temperature.of(setting.bulb_temperature_k)
        left = temperature.of(setting.bulb_temperature_k - setting.static_superheat_k)
        level = float(np.interp(left, at, closing))
        axes.plot([left, right], [level, level], color=BLACK, lw=2.4, solid_capstyle="butt", marker="|", ms=7, mew=1.2)
        axes.annotate(
            wording.STATIC_SUPERHEAT(),
            (right, level),
            (22, -22),
            textcoords="offset points",
            ha="left",
            va="center",
            fontsize=_SIZE,
            bbox=_BOX,
            arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkB": 1},
        )
        labels = (
            (dew, 0.80, wording.EVAPORATOR(), (8, -8), "left"),
            (closing, 0.82, wording.EVAPORATOR_AND_SPRING(), (-8, 9), "right"),
        )
        for y, place, text, offset, side in labels:
            i = int(place * (len(at) - 1))
            axes.annotate(
                text, (at[i], y[i]), offset, textcoords="offset points", ha=side, va="center", fontsize=_SIZE, bbox=_BOX
            )
        # Over both curves, with a leader to its own: the other may lie between.
        i = int(0.16 * (len(at) - 1))
        above = offset_copy(axes.transData, figure, x=-16.0, y=15.0, units="points")
        axes.annotate(
            wording.BULB(),
            (at[i], bulb[i]),
            (at[i], max(bulb[i], closing[i])),
            textcoords=above,
            ha="right",
            va="center",
            fontsize=_SIZE,
            arrowprops={"arrowstyle": "-", "lw": 0.6, "shrinkA": 0, "shrinkB": 0},
        )
        axes.set_xlabel(wording.TEMPERATURE_AXIS(unit=temperature.label))
        axes.set_ylabel(wording.PRESSURE_AXIS(unit=formatter.absolute_label))
        axes.margins(x=0.05)
        axes.spines[["top", "right"]].set_visible(False)
    return figure
