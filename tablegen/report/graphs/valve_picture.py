"""A thermostatic valve at work: how far its pin is open, and the pressures that are in balance as bars on one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.report.graphs.axes import Axes, Scale
from tablegen.report.graphs.sketch import AREA, LINE, MARK, SIZE, TEXT, Point, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import ROUND, Box, Drawing, Pen, Shape, box_path, circle_path, line_path
from tablegen.wording import two_limits as wording

# Width and height of the picture in its own measure, and of its title.
WIDE, HIGH = 240.0, 258.0
_TITLE = 22.0
# Middle of the valve; half of the dome, of the body and of the port.
_MIDDLE, _DOME, _BODY, _PORT = 94.0, 44.0, 20.0, 7.0
# Heights: diaphragm, wall under it, seat, pipes above and below the seat, floor.
_DIAPHRAGM, _WALL, _SEAT, _ABOVE, _BELOW, _FLOOR = 156.0, 134.0, (95.0, 98.5), (103.0, 115.0), (78.0, 90.0), 34.0
# Suction line, bulb, where the equalizer is connected, and the evaporator.
_SUCTION, _BULB, _TAP, _COIL = (206.0, 216.0), (130.0, 168.0), 40.0, (208.0, 226.0)
# Where the equalizer enters the lower chamber.
_CONNECTED = 142.0
# How far the pin sinks and the diaphragm bends at the stop; half the width and the height of the pin.
_SINKS, _BENDS, _PIN, _PIN_HIGH = 13.0, 8.0, 9.0, 13.0
# Bars: their left ends, width, foot, and the height of the highest.
_BARS, _BAR, _FOOT, _HIGHEST = (146.0, 184.0), 24.0, 24.0, 44.0
_WALLS, _PIPE, _COIL_PEN, _HEAVY = Pen(design.STRONG), Pen(design.LINE), Pen(design.HEAVY, cap=ROUND), Pen(design.HEAVY)
_ARROW = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveState:
    """One valve as it is printed: texts of its figures; `share` [1] is its opening over that at the stop.

    `bars` are the pressures of bulb, evaporator and spring in one unit, for the heights of bars.
    """

    title: str
    at: str
    bulb: str
    liquid: str
    lines: Sequence[tuple[str, bool]]
    share: float
    bars: tuple[float, float, float]
    figures: tuple[str, str, str]
    unit: str
    largest: float
    is_internal: bool
    enters_below: bool


def valve_picture(state: ValveState, width: float) -> Drawing:
    """Draw a valve in a frame of a width [pt]; two beside each other have one scale of bars if `largest` is the same."""
    sketch = Sketch(width, width * HIGH / WIDE)
    axes = Axes(sketch, Box(0.0, 0.0, sketch.width, sketch.height), Scale(0.0, WIDE), Scale(0.0, HIGH))
    frame = Box(0.0, 0.0, sketch.width, sketch.height).wider(-0.5 * design.RULE)
    sketch.shape(Shape(path=box_path(frame), pen=Pen(design.RULE)), LINE)
    _line(axes, [(0.0, HIGH - _TITLE), (WIDE, HIGH - _TITLE)], Pen(design.RULE))
    _text(axes, 8.0, HIGH - 0.5 * _TITLE, state.title, face=fonts.BOLD, size=design.PART)
    _text(axes, WIDE - 8.0, HIGH - 0.5 * _TITLE, state.at, "right", fonts.SEMIBOLD, design.BODY)
    _circuit(axes, state)
    _element(axes, state)
    _body(axes, state)
    _bars(axes, state)
    for number, (text, is_bold) in enumerate(reversed(state.lines)):
        _text(axes, 8.0, 9.0 + 11.5 * number, text, face=fonts.BOLD if is_bold else fonts.REGULAR)
    return sketch.drawing(state.title)


def _line(axes: Axes, points: Sequence[Point], pen: Pen = _PIPE) -> None:
    x, y = zip(*points, strict=True)
    axes.plot(x, y, pen)


def _text(
    axes: Axes, x: float, y: float, text: str, side: str = "left", face: str = fonts.REGULAR, size: float = SIZE
) -> None:
    axes.sketch.text(*axes.point(x, y), text, side=side, face=face, size=size, up="digits")


def _arrow(axes: Axes, start: Point, end: Point) -> None:
    """A straight arrow with a full head."""
    (x, y), (to_x, to_y) = axes.point(*start), axes.point(*end)
    length = math.hypot(to_x - x, to_y - y)
    dx, dy = (to_x - x) / length, (to_y - y) / length
    base = to_x - 1.6 * _ARROW * dx, to_y - 1.6 * _ARROW * dy
    axes.sketch.line([(x, y), base], Pen(design.LINE), MARK)
    head = [
        (base[0] - _ARROW * dy, base[1] + _ARROW * dx),
        (base[0] + _ARROW * dy, base[1] - _ARROW * dx),
        (to_x, to_y),
    ]
    axes.sketch.shape(Shape(path=line_path(head, is_closed=True), fill=design.BLACK), MARK)


def _circuit(axes: Axes, state: ValveState) -> None:
    """Suction line with bulb, evaporator, and the equalizer."""
    low, high = _SUCTION
    for y in _SUCTION:
        _line(axes, [(8.0, y), (_COIL[0] - 6.0, y)])
    middle = 0.5 * (low + high)
    _arrow(axes, (196.0, middle), (178.0, middle))
    _arrow(axes, (34.0, middle), (14.0, middle))
    _text(axes, 8.0, high + 7.0, wording.TO_COMPRESSOR())
    axes.rectangle(_BULB, (high, high + 8.0), Pen(design.LINE), design.TINT, layer=AREA, name="bulb")
    _text(axes, _BULB[1] + 4.0, high + 5.0, state.bulb, face=fonts.SEMIBOLD)
    _line(axes, [(_BULB[0], high + 4.0), (_BULB[0] - 8.0, high + 4.0), (_BULB[0] - 8.0, 192.0), (_MIDDLE, 192.0)])
    _line(axes, [(_MIDDLE, 192.0), (_MIDDLE, _DIAPHRAGM + 16.0)])
    out = _ABOVE if state.enters_below else _BELOW
    turns = 9
    zigzag = [(_COIL[(i + 1) % 2], y) for i, y in enumerate(np.linspace(middle, 0.5 * sum(out), turns))]
    _line(axes, [(_COIL[0] - 6.0, middle), *zigzag[1:-1], (_COIL[0] - 6.0, 0.5 * sum(out))], _COIL_PEN)
    _text(axes, _COIL[0] - 9.0, 160.0, wording.EVAPORATOR(), "right")
    if state.is_internal:
        return
    _line(axes, [(_TAP, low), (_TAP, _CONNECTED), (_MIDDLE - _DOME, _CONNECTED)])
    axes.sketch.shape(Shape(path=circle_path(*axes.point(_TAP, low), 2.0), fill=design.BLACK), MARK)
    _text(axes, _TAP + 4.0, 186.0, wording.EQUALIZER())


def _element(axes: Axes, state: ValveState) -> None:
    """Dome, diaphragm and lower chamber, with arrows of the pressures on it."""
    angle = np.linspace(0.0, math.pi, 40)
    axes.plot(_MIDDLE + _DOME * np.cos(angle), _DIAPHRAGM + 16.0 * np.sin(angle), _WALLS)
    bend = _BENDS * state.share
    across = np.linspace(-1.0, 1.0, 41)
    axes.plot(_MIDDLE + _DOME * across, _DIAPHRAGM - bend * np.cos(0.5 * math.pi * across), _HEAVY)
    for side in (-1.0, 1.0):
        wall = _MIDDLE + side * _DOME
        _line(axes, [(wall, _DIAPHRAGM), (wall, _WALL), (_MIDDLE + side * _BODY, _WALL)], _WALLS)
        _arrow(axes, (_MIDDLE + side * 20.0, _DIAPHRAGM + 12.0), (_MIDDLE + side * 20.0, _DIAPHRAGM + 1.0))
        _arrow(axes, (_MIDDLE + side * 32.0, _WALL + 3.0), (_MIDDLE + side * 32.0, _DIAPHRAGM - bend - 1.0))


def _body(axes: Axes, state: ValveState) -> None:
    """Walls, seat, pin and spring, liquid on the left and what leaves on the right."""
    inlet, outlet = (_BELOW, _ABOVE) if state.enters_below else (_ABOVE, _BELOW)
    left, right = _MIDDLE - _BODY, _MIDDLE + _BODY
    for wall, far, (low, high) in ((left, 8.0, inlet), (right, _COIL[0] - 6.0, outlet)):
        _line(axes, [(wall, _WALL), (wall, high), (far, high)])
        _line(axes, [(far, low), (wall, low), (wall, _FLOOR)])
    _line(axes, [(left, _FLOOR), (right, _FLOOR)])
    for ends in ((left, _MIDDLE - _PORT), (_MIDDLE + _PORT, right)):
        axes.rectangle(ends, _SEAT, Pen(design.THIN), design.BLACK, layer=MARK)
    _arrow(axes, (16.0, 0.5 * sum(inlet)), (44.0, 0.5 * sum(inlet)))
    _arrow(axes, (right + 14.0, 0.5 * sum(outlet)), (right + 42.0, 0.5 * sum(outlet)))
    _text(axes, 8.0, inlet[0] - 8.0, state.liquid)
    tip = _SEAT[1] + 2.0 - _SINKS * state.share
    foot = tip - _PIN_HIGH
    _line(axes, [(_MIDDLE, _DIAPHRAGM - _BENDS * state.share), (_MIDDLE, tip)], _WALLS)
    corners = [axes.point(*corner) for corner in ((_MIDDLE - _PIN, foot), (_MIDDLE + _PIN, foot), (_MIDDLE, tip))]
    axes.sketch.shape(
        Shape(path=line_path(corners, is_closed=True), pen=Pen(design.LINE), fill=design.ACCENT, name="pin"), MARK
    )
    turns = 8
    coils = [(_MIDDLE + 8.0 * (-1.0) ** i, y) for i, y in enumerate(np.linspace(foot - 2.0, _FLOOR + 3.0, turns))]
    _line(axes, [(_MIDDLE, foot), *coils, (_MIDDLE, _FLOOR)])


def _bars(axes: Axes, state: ValveState) -> None:
    """Bulb against evaporator and spring, both bars equally high."""
    bulb, evaporator, spring = (_HIGHEST * value / state.largest for value in state.bars)
    first, second = _BARS
    _text(axes, first, _FOOT + _HIGHEST + 10.0, wording.FORCES(unit=state.unit), face=fonts.SEMIBOLD)
    pen = Pen(design.RULE)
    axes.rectangle((first, first + _BAR), (_FOOT, _FOOT + bulb), pen, design.TINT, name="bulb pressure")
    axes.rectangle((second, second + _BAR), (_FOOT, _FOOT + evaporator), pen, design.WHITE, name="evaporator pressure")
    axes.rectangle(
        (second, second + _BAR),
        (_FOOT + evaporator, _FOOT + evaporator + spring),
        pen,
        design.WHITE,
        "///",
        name="spring",
    )
    _arrow(axes, (first - 5.0, _FOOT + bulb), (first - 5.0, _FOOT + 0.4 * bulb))
    _arrow(axes, (second - 5.0, _FOOT + 0.4 * bulb), (second - 5.0, _FOOT + bulb))
    for x, y, text in (
        (first + 0.5 * _BAR, _FOOT + 0.5 * bulb, state.figures[0]),
        (second + 0.5 * _BAR, _FOOT + 0.5 * evaporator, state.figures[1]),
    ):
        axes.sketch.text(*axes.point(x, y), text, face=fonts.BOLD, up="digits", pad=0.5, layer=TEXT)
    middle = _FOOT + evaporator + 0.5 * spring
    _text(axes, second + _BAR + 3.0, middle + 4.5, state.figures[2], face=fonts.BOLD)
    _text(axes, second + _BAR + 3.0, middle - 4.5, wording.SPRING())
    for x, text in ((first, wording.OPENS()), (second, wording.CLOSES())):
        axes.sketch.text(*axes.point(x + 0.5 * _BAR, _FOOT - 3.0), text, up="top", apart=1.05)
