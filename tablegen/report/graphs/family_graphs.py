"""Graphs of one valve family: superheat against load, opening against head, bulb against evaporator pressure."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.physics.arrays import Floats
from tablegen.physics.valve import FactorySetting
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.axes import GRID_PEN, Axes, Scale, below, framed
from tablegen.report.graphs.balance_graph import DOTTED
from tablegen.report.graphs.sketch import AREA, BACK, LINE, SIZE, Sketch, apart
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.units import print_unit
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms

_PAD, _BESIDE = 1.0, 3.0
# How far a label may stand from its curve [pt], and how much air it needs.
_AWAY, _CLEAR, _ALIKE = (3.0, 6.0, 9.0, 12.0, 16.0, 20.0, 25.0), 2.5, 1e-9
_LINES_APART = 1.02
# Between names of heads, and what is beside the axes of a graph of openings, about [pt].
_APART, _BESIDE_AXES = 8.0, 48.0
# Above the highest opening [pt].
_OVER = 18.0
# Minor steps of superheat: a degree Fahrenheit, half a kelvin.
_FINE, _FINE_TICK = {"IP": 1.0, "SI": 0.5}, 2.0
_HEADS = {
    "low_head": Pen(design.HEAVY, design.ACCENT, cap=PROJECTING),
    "high_head": Pen(design.HEAVY, dashes=design.DASHED),
}
_THIN = Pen(design.LINE, cap=PROJECTING)


@dataclass(frozen=True, slots=True)
class Limits:
    """What a superheat graph draws beside its curves: window [W] and superheat limits [K]."""

    min_w: float
    max_w: float
    min_k: float
    max_k: float


def superheat_graph(
    curves: pd.DataFrame,
    limits: Limits,
    formatter: Formatter,
    size: tuple[float, float],
    is_read_off: bool = False,
    is_blank: bool = False,
) -> Drawing:
    """Superheat against load at both heads in a size [pt], with the zones named by what the valve is for a load.

    With a grid where figures are to be read off it; blank it is axes with a grid, to be drawn into.
    """
    load, step = (
        print_unit("load", formatter.system, formatter.load_unit),
        print_unit("temperature difference", formatter.system),
    )
    minimum, maximum = load.of(limits.min_w), load.of(limits.max_w)
    floor, top = step.of(limits.min_k), step.of(limits.max_k)
    right, high = 1.45 * maximum, 1.28 * top
    levels = ((top, wording.MAXIMUM()), (floor, wording.MINIMUM_STABLE()))
    beside = _BESIDE + max(fonts.text_width(text, fonts.REGULAR, SIZE) for _, text in levels)
    sketch, name = Sketch(*size), wording.SUPERHEAT_AXIS(unit=step.label)
    names = wording.RATED_LOAD(unit=load.label), name
    axes = framed(sketch, Box(0.0, 0.0, *size), Scale(0.0, right), Scale(0.0, high), names, right=beside)
    if is_blank:
        axes.grid()
        return sketch.drawing(name)
    drawn: list[tuple[Floats, Floats, str]] = []
    for condition, rows in curves.groupby("condition", sort=False):
        shown = rows[rows["superheat_k"].notna()]
        x = np.array([load.of(w) for w in shown["load_w"].tolist()])
        y = np.array([step.of(k) for k in shown["superheat_k"].tolist()])
        inside = (x <= right) & (y <= high)
        ends_at_stop = len(shown) < len(rows) and inside.all()
        x, y = x[inside], y[inside]
        axes.plot(x, y, _HEADS[str(condition)])
        called = terms.condition(str(condition))
        drawn.append((x, y, wording.TO_STOP(condition=called) if ends_at_stop else called))
    _name_curves(axes, drawn, (axes.box.width / right, axes.box.height / high), (minimum, maximum), (floor, top))
    for value, text in levels:
        # Bold where a grid of dots is under it.
        axes.level(value, Pen(design.HEAVY if is_read_off else design.THIN, dashes=design.DOTTED), AREA)
        axes.note(text, (right, value), (_BESIDE, 0.0), side="left")
    for value in (minimum, maximum):
        axes.upright(value, Pen(design.RULE), BACK)
    edges = (0.0, minimum, maximum, right)
    zones = wording.TOO_LARGE(), wording.FITS(), wording.TOO_SMALL()
    for zone, start, end in zip(zones, edges, edges[1:], strict=False):
        axes.note(zone, (0.5 * (start + end), high), (0.0, -8.0), face=fonts.SEMIBOLD, pad=_PAD)
    if is_read_off:
        _fine_grid(axes, high, _FINE[formatter.system])
    return sketch.drawing(name)


def _fine_grid(axes: Axes, high: float, step: float) -> None:
    """Fine enough to read half a degree, and lighter than any line that means something."""
    for value in np.arange(0.0, high, step).tolist():
        axes.level(value, GRID_PEN, BACK)
        left, at = axes.point(0.0, value)
        axes.sketch.line([(left - _FINE_TICK, at), (left, at)], Pen(design.THIN), AREA)


# A label by its middle and half its width and height [pt].
_Label = tuple[float, float, float, float]


def _name_curves(
    axes: Axes,
    curves: list[tuple[Floats, Floats, str]],
    scale: tuple[float, float],
    upright: tuple[float, float],
    level: tuple[float, float],
) -> None:
    """Name each curve beside itself, clear of every curve and of upright and level lines, in one line or more.

    `scale` is the size of a unit of either axis [pt].
    """
    points = [(scale[0] * x, scale[1] * y) for x, y, _ in curves]
    lines = [scale[0] * line for line in upright], [scale[1] * line for line in level]
    taken: list[_Label] = []
    for own, (_, _, text) in enumerate(curves):
        in_two = text.replace(", ", ",\n")
        found: list[tuple[float, _Label, str]] = []
        for name in dict.fromkeys((text, in_two, in_two.replace(" ", "\n", 1))):
            # A third line only where fewer would touch something.
            if name in (text, in_two) or max(found)[0] < 0.0:
                found.append((*_best_place(points, own, name, lines, taken), name))
        _, label, name = max(found, key=lambda place: place[0])
        taken.append(label)
        at = axes.point(label[0] / scale[0], label[1] / scale[1])
        axes.sketch.text(*at, name, apart=_LINES_APART, pad=_PAD)


def _best_place(
    points: list[tuple[Floats, Floats]],
    own: int,
    name: str,
    lines: tuple[list[float], list[float]],
    taken: list[_Label],
) -> tuple[float, _Label]:
    """How good the best place for a curve's name is, and the label there."""
    rows = name.split("\n")
    wide = 0.5 * max(fonts.text_width(row, fonts.REGULAR, SIZE) for row in rows) + 1.0
    tall = 0.6 * SIZE * len(rows)
    x, y = points[own]
    # Places along the curve down, distances from it across.
    at, away = np.linspace(x[0], x[-1], 40)[:, None], np.array([*_AWAY, *(-away for away in _AWAY)])
    height = np.interp(at, x, y) + away + np.sign(away) * tall
    gaps = [_gap(px, py, at, height, wide) - tall for px, py in points]
    # Nearer its own curve than any other.
    gaps += [gap - gaps[own] for i, gap in enumerate(gaps) if i != own]
    gaps += [np.abs(at - line) - wide for line in lines[0]]
    gaps += [np.abs(height - line) - tall for line in lines[1]]
    gaps += [np.maximum(np.abs(at - a) - wide - w, np.abs(height - h) - tall - t) for a, h, w, t in taken]
    gaps += [at - wide, height - tall, lines[1][1] - height]
    gap = functools.reduce(np.minimum, gaps, np.full_like(height, _CLEAR))
    score = gap - 0.05 * np.abs(away) - 0.2 * len(rows) - 0.002 * np.abs(at - x.mean())
    # Of places that are as good, the first.
    place = int(np.argmax(score.ravel() >= score.max() - _ALIKE))
    return float(score.max()), (float(at[place // len(away), 0]), float(height.ravel()[place]), wide, tall)


def _gap(x: Floats, y: Floats, at: Floats, height: Floats, wide: float) -> Floats:
    """Distance up or down from labels of half a width to a curve; far where it is not above or below them."""
    left, right = np.maximum(at - wide, x[0]), np.minimum(at + wide, x[-1])
    covered = left + (right - left) * np.linspace(0.0, 1.0, 15)
    gap = np.abs(np.interp(covered, x, y)[:, None, :] - height[:, :, None]).min(axis=2)
    return np.where(left > right, 99.0, gap)


def opening_graph(
    curve: pd.DataFrame,
    formatter: Formatter,
    site_pa: float,
    heads_pa: dict[str, float],
    kind: str,
    size: tuple[float, float],
) -> Drawing:
    """Opening that the example's load needs against head pressure, in a size [pt], between those a kind may use."""
    pressure = print_unit("pressure gauge", formatter.system)
    head = np.array([pressure.of(p - site_pa) for p in curve["head_pressure_pa"].tolist()])
    # Names of heads are above the highest opening.
    room = size[1] - below()
    top = room / (room - _OVER) * 100.0 * float(curve["max_opening"].max())
    sketch, quantity = Sketch(*size), wording.OPENINGS[kind]()
    names = wording.HEAD_PRESSURE(unit=pressure.label), quantity
    wide = [fonts.text_width(name, fonts.REGULAR, SIZE) + _APART for name in heads_pa]
    # Names that have no room beside each other are above the axes, each on two lines.
    is_crowded = sum(wide) > size[0] - _BESIDE_AXES
    above = 2.2 * SIZE if is_crowded else 0.0
    axes = framed(sketch, Box(0.0, 0.0, *size), Scale.around(head), Scale(0.0, top), names, above=above)
    for column, name, pen in (
        ("opening", "", Pen(design.HEAVY, design.ACCENT, cap=PROJECTING)),
        ("max_opening", wording.MAXIMUM(), _THIN),
        ("min_opening", wording.MINIMUM(), Pen(design.LINE, dashes=design.CLOSE_DOTS)),
    ):
        values = 100.0 * curve[column].to_numpy()
        axes.plot(head, values, pen)
        # Under a falling curve there is more room at its left; it is named to the right of where it is high.
        at = len(head) // (6 if column == "min_opening" else 3)
        offset = (0.0, 7.0) if name else (8.0, 10.0)
        axes.note(name or wording.FOR_LOAD(), (float(head[at]), float(values[at])), offset, pad=_PAD)
    places = [pressure.of(value - site_pa) for value in heads_pa.values()]
    for x in places:
        axes.upright(x, DOTTED, BACK)
    if is_crowded:
        texts = [name.replace(" ", "\n", 1) for name in heads_pa]
        widths = [max(fonts.text_width(line, fonts.REGULAR, SIZE) for line in text.split("\n")) for text in texts]
        middles = apart(axes.across(places).tolist(), widths, (axes.box.left, sketch.width), _APART)
        for text, x in zip(texts, middles, strict=True):
            sketch.text(x, axes.box.top + 1.0, text, up="bottom")
        return sketch.drawing(quantity)
    for name, x in zip(heads_pa, places, strict=True):
        side = "left" if x < head.mean() else "right"
        axes.note(name, (x, top), (4 if side == "left" else -4, -7), side=side, pad=_PAD)
    return sketch.drawing(quantity)


def charge_graph(
    rows: pd.DataFrame, setting: FactorySetting, formatter: Formatter, size: tuple[float, float]
) -> Drawing:
    """Bulb pressure and evaporator pressure against temperature in a size [pt], the spring between them.

    The valve just opens where the bulb's pressure equals that of evaporator and spring: across, from the evaporator's
    temperature to the bulb's, is the static superheat.
    """
    pressure, temperature = print_unit("pressure", formatter.system), print_unit("temperature", formatter.system)
    at = np.array([temperature.of(t) for t in rows["evaporating_temperature_k"].tolist()])
    dew, spring, bulb = (
        np.array([pressure.of(p) for p in rows[column].tolist()])
        for column in ("evaporating_pressure_pa", "spring_pressure_pa", "bulb_pressure_pa")
    )
    closing = dew + spring
    sketch, name = Sketch(*size), wording.PRESSURE_AXIS(unit=formatter.absolute_label)
    names = wording.TEMPERATURE_AXIS(unit=temperature.label), name
    up = Scale.around(np.concatenate([dew, closing, bulb]))
    axes = framed(sketch, Box(0.0, 0.0, *size), Scale.around(at), up, names)
    axes.between(at, dew, closing, hatch="/")
    axes.plot(at, dew, _THIN)
    axes.plot(at, closing, Pen(design.LINE, dashes=design.DASHED))
    axes.plot(at, bulb, Pen(design.HEAVY, design.ACCENT, cap=PROJECTING))
    right = temperature.of(setting.bulb_temperature_k)
    left = temperature.of(setting.bulb_temperature_k - setting.static_superheat_k)
    level = float(np.interp(left, at, closing))
    axes.plot([left, right], [level, level], Pen(design.HEAVY))
    axes.marks([left, right], [level, level], "|", 7.0, Pen(design.LINE), layer=LINE)
    leader = Pen(design.THIN)
    axes.note(wording.STATIC_SUPERHEAT(), (right, level), (22, -22), side="left", pad=_PAD, leader=leader, gap=1.0)
    for y, place, text, offset, side in (
        (dew, 0.80, wording.EVAPORATOR(), (8.0, -8.0), "left"),
        (closing, 0.82, wording.EVAPORATOR_AND_SPRING(), (-8.0, 9.0), "right"),
    ):
        i = int(place * (len(at) - 1))
        axes.note(text, (float(at[i]), float(y[i])), offset, side=side, pad=_PAD)
    # Over both curves, with a leader to its own: the other may lie between.
    i = int(0.16 * (len(at) - 1))
    own = axes.point(float(at[i]), float(bulb[i]))
    over = axes.point(float(at[i]), float(max(bulb[i], closing[i])))
    box = sketch.text(over[0] - 16.0, over[1] + 15.0, wording.BULB(), side="right")
    sketch.leader(box, own, leader)
    return sketch.drawing(name)
