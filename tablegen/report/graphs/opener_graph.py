"""An application in one picture: head, liquid, pressure left for the valve, and the balance, over one head pressure axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.report.graphs.axes import EDGE, GRID_PEN, Axes, Scale, widest
from tablegen.report.graphs.balance_graph import BalanceCurves, draw_balance
from tablegen.report.graphs.sketch import AXIS, BACK, LINE, MARK, SIZE, Sketch, apart
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen, box_path, line_path
from tablegen.report.pdf.fonts import wrapped
from tablegen.wording import booklet_pages as wording

# Column of names at the left, and between it and the axes with the figures of loads [pt].
_NAMES, _BESIDE = 82.0, 8.0
# Heights from the top: names and figures of heads, the bar of heads, the liquid, the pressure, between both graphs; at the foot.
_HEADS, _BAR, _LIQUID, _PRESSURE, _BETWEEN, _FOOT = 28.0, 30.0, 46.0, 100.0, 16.0, 8.0
# The bar, the circle of the rating point, ticks of the liquid, lines of a name [pt].
_THICK, _CIRCLE, _TICK, _LEADING = 6.0, 10.0, 5.0, 11.0
_APART, _PAD, _OVER = 8.0, 1.5, 7.0
# Of the highest pressure drop, what the scale has above it for its figures.
_HEADROOM = 1.4
_LARGE = design.PART
_UPRIGHT, _RATING = Pen(design.THIN), Pen(design.RULE, dashes=design.DASHED)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenerStation:
    """One operating condition: its name, its head [Pa] and what is left for the valve in printed units, figures as printed."""

    name: str
    head_pa: float
    pressure: str
    bubble: str
    liquid: str
    drop: str
    drop_value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenerNames:
    """What the four parts are called, each with a line under its name; the head with one for its temperature too."""

    head: tuple[str, str]
    bubble: str
    liquid: tuple[str, str]
    drop: tuple[str, str]
    balance: tuple[str, str]


def opener_graph(
    stations: Sequence[OpenerStation], curves: BalanceCurves, names: OpenerNames, size: tuple[float, float]
) -> Drawing:
    """Draw the stations low head, rating point, high head, and the curves between them, in a size [pt]."""
    sketch = Sketch(*size)
    heads = [curves.at(own.head_pa) for own in stations]
    low, high = min(*heads, float(curves.head[0])), max(*heads, float(curves.head[-1]))
    across, loads = Scale(low, high), Scale(0.0, curves.top)
    top = sketch.height - EDGE
    bar = top - _HEADS - _THICK
    bubble = bar - _CIRCLE
    liquid = top - _HEADS - _BAR - 0.5 * _LIQUID
    foot_of_drop = top - _HEADS - _BAR - _LIQUID - _PRESSURE
    lower = Box(0.0, EDGE + _FOOT, 0.0, foot_of_drop - _BETWEEN)
    ticks = loads.round_ticks(lower.height, is_upright=True)
    left = _NAMES + _BESIDE + widest(ticks)
    right = sketch.width - EDGE - 2.0
    balance = Axes(sketch, Box(left, lower.bottom, right, lower.top), across, loads)
    most = _HEADROOM * max((own.drop_value for own in stations if math.isfinite(own.drop_value)), default=1.0)
    drop = Axes(sketch, Box(left, foot_of_drop, right, foot_of_drop + _PRESSURE), across, Scale(0.0, most))
    places = balance.across(heads).tolist()
    _draw_uprights(sketch, places, lower.bottom, bar)
    _draw_heads(sketch, stations, places, (left, right), (top, bar, bubble))
    _draw_liquid(sketch, stations, places, (left, right), liquid)
    _draw_drop(drop, stations, heads)
    borders = [own.head_pa for own in stations]
    balance.y_axis(ticks, length=0.0, gap=_BESIDE * 0.5, has_line=False)
    for value, _ in ticks:
        balance.level(value, GRID_PEN, BACK)
    balance.level(0.0, Pen(design.RULE, cap=PROJECTING), AXIS)
    draw_balance(balance, curves, {}, borders_pa=borders, low_pt=balance.box.height)
    sketch.text(0.0, bubble, names.bubble, side="left", up="top")
    for (name, under), y in (
        (names.head, bar + 1.2 * _LEADING),
        (names.liquid, liquid + 0.5 * _LEADING),
        (names.drop, foot_of_drop + 0.62 * _PRESSURE),
        (names.balance, lower.top - _LEADING),
    ):
        sketch.text(0.0, y, name, side="left", up="digits", face=fonts.BOLD, size=design.BODY)
        lines = wrapped(under, fonts.REGULAR, SIZE, _NAMES)
        sketch.text(0.0, y - 0.7 * _LEADING, "\n".join(lines), side="left", up="top")
    return sketch.drawing(wording.CAPACITY(unit=curves.load.label))


def _draw_uprights(sketch: Sketch, places: Sequence[float], foot: float, top: float) -> None:
    """Through all parts, the rating point's dashed."""
    for x, pen in zip(places, (_UPRIGHT, _RATING, _UPRIGHT), strict=True):
        sketch.line([(x, foot), (x, top)], pen, BACK)


def _draw_heads(
    sketch: Sketch,
    stations: Sequence[OpenerStation],
    places: Sequence[float],
    ends: tuple[float, float],
    heights: tuple[float, float, float],
) -> None:
    """Names and pressures over a bar from low to high head, the condensing temperatures under it."""
    top, bar, bubble = heights
    widths = [
        max(fonts.text_width(own.name, fonts.REGULAR, SIZE), fonts.text_width(own.pressure, fonts.BOLD, _LARGE))
        for own in stations
    ]
    for own, x in zip(stations, apart(places, widths, ends, _APART), strict=True):
        sketch.text(x, top, own.name, up="top")
        sketch.text(x, top - _LEADING, own.pressure, up="top", face=fonts.BOLD, size=_LARGE)
        sketch.text(x, bubble, own.bubble, up="top", pad=_PAD)
    own_box = Box(min(places[0], places[2]), bar - 0.5 * _THICK, max(places[0], places[2]), bar + 0.5 * _THICK)
    sketch.area(box_path(own_box), own_box, fill=design.BLACK, layer=LINE)
    sketch.mark(places[1], bar, "o", _CIRCLE, Pen(design.STRONG), layer=MARK)


def _draw_liquid(
    sketch: Sketch,
    stations: Sequence[OpenerStation],
    places: Sequence[float],
    ends: tuple[float, float],
    y: float,
) -> None:
    """The liquid temperature of each station under a line."""
    sketch.line([(places[0], y), (places[2], y)], Pen(design.STRONG), LINE)
    widths = [fonts.text_width(own.liquid, fonts.BOLD, _LARGE) for own in stations]
    for x in places:
        sketch.line([(x, y - _TICK), (x, y + _TICK)], Pen(design.STRONG), LINE)
    for own, x in zip(stations, apart(places, widths, ends, _APART), strict=True):
        sketch.text(x, y - _TICK - 3.0, own.liquid, up="top", face=fonts.BOLD, size=_LARGE, pad=_PAD)


def _draw_drop(axes: Axes, stations: Sequence[OpenerStation], heads: Sequence[float]) -> None:
    """Straight between the stations, for it is computed there alone."""
    known = sorted((x, own.drop_value) for x, own in zip(heads, stations, strict=True) if math.isfinite(own.drop_value))
    if len(known) > 1:
        corners = [(known[0][0], 0.0), *known, (known[-1][0], 0.0)]
        path = line_path([axes.point(*corner) for corner in corners], is_closed=True)
        axes.sketch.area(path, axes.box, pen=Pen(design.LINE), fill=design.TINT_LIGHT, layer=BACK)
        axes.plot([x for x, _ in known], [y for _, y in known], Pen(design.STRONG, cap=PROJECTING))
    widths = [fonts.text_width(own.drop, fonts.BOLD, _LARGE) for own in stations]
    places = axes.across(heads).tolist()
    middles = apart(places, widths, (axes.box.left + 3.0, axes.box.right - 2.0), _APART)
    for own, x in zip(stations, middles, strict=True):
        height = own.drop_value if math.isfinite(own.drop_value) else 0.0
        y = float(axes.up(height)) + _OVER
        axes.sketch.text(x, y, own.drop, up="bottom", face=fonts.BOLD, size=_LARGE, pad=_PAD)
