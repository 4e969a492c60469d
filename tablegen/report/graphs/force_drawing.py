"""The force balance of a thermostatic valve as a drawing: diaphragm, rod, port, pin, spring, bulb and equalizer.

The rod pushes the pin down, off its seat.  So liquid that enters below the port presses the pin shut, and liquid that
enters above the port presses it open; a balanced port has a piston of the port's area on which inlet pressure presses
the other way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.report.formatter import percent
from tablegen.report.graphs.axes import Axes, Scale
from tablegen.report.graphs.sketch import AREA, MARK, TEXT, Point, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import ROUND, Box, Drawing, Pen, Shape, line_path
from tablegen.wording import handout as wording

# What the drawing is as wide and as high as, in its own measure.
WIDE, HIGH = 200.0, 92.0
_LINES_APART = 0.98
# Net unbalanced port area over diaphragm area up to which the drawing shows a balanced port; a single port has 1 to
# 3 % (common practice).
_BALANCED_UP_TO = 0.005
# Heights of the drawing: upper and lower chamber with their pipes, seat, wall under the diaphragm.
_SEAT, _WALL = (38.0, 41.0), 56.0
_UPPER, _LOWER = (43.0, 49.0), (27.0, 33.0)
_LEFT, _RIGHT = 56.0, 84.0
# The suction line: its vapor flows to the right.
_LINE, _BULB, _TAP = (124.0, 198.0), (150.0, 172.0), 186.0
# Half the width of the port, and of a piston on which inlet pressure pushes almost as hard.
_PORT, _LESS = 4.0, 3.3
_LEADER = Pen(design.THIN)
# Shaft and head of a force's arrow, and of one that shows where something flows [pt]: length, half the width.
_FORCE, _FORCE_HEAD, _FLOW, _FLOW_HEAD = Pen(design.HEAVY), (7.8, 4.4), Pen(design.LINE), (3.6, 1.8)
# Between what an arrow of flow is beside and itself [pt].
_FLOW_AIR = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Force:
    """One force: a vertical arrow at `x` from `start` to `end`, and its label beside the valve.

    The leader of the label ends on the arrow at the height `named_at`; `name` is that of the arrow in the drawing.
    """

    x: float
    start: float
    end: float
    label: str
    label_at: tuple[float, float]
    side: str
    named_at: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class PortDrawing:
    """How a port of an unbalance is drawn; `unbalance` is positive where inlet pressure closes."""

    unbalance: float

    @property
    def enters_below(self) -> bool:
        """Whether liquid enters below the port, on the pin's side, where its pressure closes."""
        return self.unbalance >= 0.0

    @property
    def is_balanced(self) -> bool:
        """Whether a balance piston is drawn."""
        return abs(self.unbalance) <= _BALANCED_UP_TO

    @property
    def forces(self) -> tuple[Force, ...]:
        """Inlet pressure on the pin and, of a balanced port, on the piston."""
        below = self.enters_below
        # Leaders reach their arrows past the black parts, in which they would vanish.
        start, end, label_y, named_at = (26.0, 33.0, 21.0, 28.0) if below else (47.0, 40.0, 38.5, 47.0)
        pin = Force(
            x=63.5 if below else 67.6,
            start=start,
            end=end,
            label=wording.ON_PIN[below](),
            label_at=(44.0, label_y),
            side="right",
            named_at=named_at,
            name="inlet pressure",
        )
        if not self.is_balanced:
            return (pin,)
        start, end, label_y, named_at = (29.0, 22.0, 28.5, 26.5) if below else (42.0, 49.0, 42.0, 44.0)
        piston = Force(
            x=71.9,
            start=start,
            end=end,
            label=wording.ON_PISTON[not below, not self.unbalance](),
            label_at=(97.0, label_y),
            side="left",
            named_at=named_at,
            name="inlet pressure",
        )
        return pin, piston

    @property
    def sentence(self) -> str:
        """What inlet pressure does, in words."""
        if not self.unbalance:
            return wording.BALANCED()
        message = wording.ALMOST_BALANCED if self.is_balanced else wording.UNBALANCED
        return message[self.enters_below](share=percent(abs(self.unbalance), 1))


def force_drawing(is_internal: bool, unbalance: float, width: float) -> Drawing:
    """A thermostatic valve in section: bulb, diaphragm, push rod, port, pin and spring, with the forces named.

    Parameters
    ----------
    is_internal : bool
        Whether the pressure under the diaphragm is that of the valve's outlet.
    unbalance : float
        Net unbalanced port area over diaphragm area [1], positive where inlet pressure closes.
    width : float
        Of the drawing [pt].
    """
    port = PortDrawing(unbalance)
    sketch = Sketch(width, width * HIGH / WIDE)
    axes = Axes(sketch, Box(0.0, 0.0, sketch.width, sketch.height), Scale(0.0, WIDE), Scale(0.0, HIGH))
    _element(axes)
    _body(axes, port)
    _pin_and_spring(axes, port)
    _suction(axes)
    _equalizer(axes, port, is_internal)
    for force in (*_diaphragm_forces(), *port.forces):
        _force(axes, force)
    return sketch.drawing(wording.FORCES())


def _diaphragm_forces() -> tuple[Force, ...]:
    """Bulb pressure, evaporator pressure and spring."""
    bulb, evaporator, spring = wording.BULB_OPENS(), wording.EVAPORATOR_CLOSES(), wording.SPRING_CLOSES()
    return (
        Force(x=64.0, start=77.0, end=69.5, label=bulb, label_at=(40.0, 74.0), side="right", named_at=73.25),
        Force(x=60.0, start=57.5, end=65.5, label=evaporator, label_at=(40.0, 61.0), side="right", named_at=61.5),
        Force(x=77.0, start=9.5, end=16.5, label=spring, label_at=(97.0, 10.4), side="left", named_at=13.0),
    )


def _line(
    axes: Axes, points: Sequence[Point], width: float = design.LINE, is_dashed: bool = False, name: str = ""
) -> None:
    x, y = zip(*points, strict=True)
    axes.plot(x, y, Pen(width, dashes=design.DASHED) if is_dashed else Pen(width, cap=ROUND), name=name)


def _text(axes: Axes, x: float, y: float, text: str, side: str = "left", face: str = fonts.REGULAR) -> None:
    axes.sketch.text(*axes.point(x, y), text, side=side, face=face, apart=_LINES_APART)


def _black(axes: Axes, ends: Point, heights: Point, name: str = "") -> None:
    """A part that is cut through."""
    axes.rectangle(ends, heights, Pen(design.THIN), design.BLACK, name=name)


def _white(axes: Axes, ends: Point, heights: Point, width: float, layer: int, name: str) -> None:
    """A part that is seen."""
    axes.rectangle(ends, heights, Pen(width), design.WHITE, layer=layer, name=name)


def _flow(axes: Axes, start: float, end: float, y: float, name: str) -> None:
    """An arrow to the right, its head open."""
    (left, at), (right, _) = axes.point(start, y), axes.point(end, y)
    left, right, (long, half) = left + _FLOW_AIR, right - _FLOW_AIR, _FLOW_HEAD
    head = line_path([(right - long, at + half), (right, at), (right - long, at - half)])
    axes.sketch.shape(Shape(path=f"{line_path([(left, at), (right, at)])}\n{head}", pen=_FLOW, name=name), TEXT)


def _called(axes: Axes, text: str, point: Point, at: Point) -> None:
    box = axes.sketch.text(*axes.point(*at), text, side="left")
    axes.sketch.leader(box, axes.point(*point), _LEADER)


def _element(axes: Axes) -> None:
    """Dome and diaphragm, the tube to the bulb."""
    angle = np.linspace(0.0, math.pi, 40)
    axes.plot(70.0 + 20.0 * np.cos(angle), 67.0 + 12.0 * np.sin(angle), Pen(design.STRONG))
    _line(axes, [(50.0, 67.0), (50.0, _WALL), (_LEFT, _WALL)], design.STRONG)
    _line(axes, [(90.0, 67.0), (90.0, _WALL), (_RIGHT, _WALL)], design.STRONG)
    _line(axes, [(50.0, 67.0), (90.0, 67.0)], design.HEAVY)
    middle = sum(_BULB) / 2.0
    _line(axes, [(70.0, 79.0), (70.0, 86.0), (middle, 86.0), (middle, 79.0)], design.LINE)
    _called(axes, wording.DIAPHRAGM(), (88.0, 67.0), (97.0, 70.0))


def _body(axes: Axes, port: PortDrawing) -> None:
    """Walls and seat, the liquid's pipe on the left and the outlet's on the right."""
    inlet, outlet = (_LOWER, _UPPER) if port.enters_below else (_UPPER, _LOWER)
    for wall, far, (low, high) in ((_LEFT, 30.0, inlet), (_RIGHT, 112.0, outlet)):
        _line(axes, [(wall, _WALL), (wall, high), (far, high)])
        _line(axes, [(far, low), (wall, low), (wall, 5.0)])
    _line(axes, [(_LEFT, 5.0), (_RIGHT, 5.0)])
    for left, right in ((_LEFT, 70.0 - _PORT), (70.0 + _PORT, _RIGHT)):
        _black(axes, (left, right), _SEAT)
    into, out = sum(inlet) / 2.0, sum(outlet) / 2.0
    _flow(axes, 31.0, 49.0, into, "liquid")
    _text(axes, 29.0, into, wording.LIQUID_IN(), "right")
    _flow(axes, 94.0, 110.0, out, "outlet")
    _text(axes, 115.0, out, wording.OUTLET())


def _pin_and_spring(axes: Axes, port: PortDrawing) -> None:
    """Rod, pin, spring and screw; of a balanced port the piston, whose other side is vented to the outlet."""
    _line(axes, [(70.0, 67.0), (70.0, 40.0)], design.HEAVY)
    corners = [axes.point(*corner) for corner in ((62.0, 33.0), (78.0, 33.0), (70.0, 41.5))]
    axes.sketch.shape(Shape(path=line_path(corners, is_closed=True), pen=Pen(design.STRONG), fill=design.WHITE), MARK)
    top, turns = 33.0, 10
    if port.is_balanced:
        low, high = (18.0, 22.0) if port.enters_below else (49.0, 53.0)
        half = _LESS if port.unbalance else _PORT
        for left, right in ((_LEFT, 70.0 - half - 0.6), (70.0 + half + 0.6, _RIGHT)):
            _black(axes, (left, right), (low + 1.0, high - 1.0))
        _white(axes, (70.0 - half, 70.0 + half), (low, high), design.STRONG, MARK, "piston")
        if port.enters_below:
            _line(axes, [(70.0, 33.0), (70.0, high)], design.HEAVY)
            top, turns = low, 6
        start, end = (13.5, _UPPER[0]) if port.enters_below else (54.2, _LOWER[1])
        _line(axes, [(_RIGHT, start), (88.0, start), (88.0, end)], design.LINE, is_dashed=True)
        name = (97.0, 17.2 if port.enters_below else 48.0)
        # To its lower edge, past the black guide.
        _called(axes, wording.PISTON(), (70.0 + half, low + 0.3), name)
    zigzag = zip((-1, 1) * (turns // 2), np.linspace(top - 1.5, 9.5, turns), strict=True)
    _line(axes, [(70.0, top), *((70.0 + 4.5 * side, y) for side, y in zigzag), (70.0, 8.0)], design.LINE)
    _line(axes, [(62.0, 8.0), (78.0, 8.0)], design.STRONG)
    _line(axes, [(70.0, 8.0), (70.0, 1.5)], design.HEAVY)
    _called(axes, wording.PORT_AND_PIN(), (75.5, 36.0), (97.0, 36.5))
    _called(axes, wording.ADJUSTING_STEM(), (70.0, 2.5), (97.0, 2.5))


def _suction(axes: Axes) -> None:
    """Suction line with the bulb on it."""
    _line(axes, [(_LINE[0], 72.0), (_LINE[1], 72.0)])
    _line(axes, [(_LINE[0], 64.0), (_LINE[1], 64.0)])
    _white(axes, _BULB, (72.6, 79.0), design.STRONG, AREA, "bulb")
    _text(axes, sum(_BULB) / 2.0, 75.8, wording.BULB(), "center", fonts.SEMIBOLD)
    _text(axes, _LINE[0] + 2.0, 68.0, wording.VAPOR())
    _flow(axes, 164.0, 184.0, 68.0, "suction")
    # Above the line that they name: the equalizer runs below it.
    _text(axes, _LINE[0] - 0.5, 75.4, wording.EVAPORATOR_OUTLET())
    _text(axes, _LINE[1] + 1.5, 75.4, wording.TO_COMPRESSOR(), "right")


def _equalizer(axes: Axes, port: PortDrawing, is_internal: bool) -> None:
    """What sets the pressure under the diaphragm: the suction line downstream of the bulb, or the outlet."""
    is_open = is_internal and port.enters_below
    if not is_open:
        # The rod is sealed: only the equalizer acts on the diaphragm.
        _line(axes, [(_LEFT, _WALL), (_RIGHT, _WALL)])
        _black(axes, (66.6, 73.4), (_WALL - 1.5, _WALL + 1.5), "rod seal")
        _called(axes, wording.ROD_SEAL(), (73.4, _WALL - 0.7), (97.0, 53.5))
    if not is_internal:
        _line(axes, [(90.0, 61.0), (_TAP, 61.0), (_TAP, 64.0)], design.LINE, name="equalizer")
        _text(axes, 95.0, 57.5, wording.EXTERNAL_EQUALIZER())
        return
    way = [(80.0, 46.0), (80.0, 60.0)] if is_open else [(92.0, 33.0), (92.0, 61.0), (90.0, 61.0)]
    _line(axes, way, design.LINE, is_dashed=True, name="equalizer")
    _text(axes, 97.0, 61.0, wording.INTERNAL_EQUALIZER())
    _text(axes, 97.0, 57.0, wording.OUTLET_PRESSURE())


def _force(axes: Axes, force: Force) -> None:
    """A bold arrow, its name beside the valve, and a thin leader between them."""
    (x, start), (_, end) = axes.point(force.x, force.start), axes.point(force.x, force.end)
    long, half = _FORCE_HEAD
    base = end - math.copysign(long, end - start)
    axes.sketch.line([(x, start), (x, base)], _FORCE, MARK, name=force.name)
    head = line_path([(x - half, base), (x + half, base), (x, end)], is_closed=True)
    axes.sketch.shape(Shape(path=head, fill=design.BLACK), MARK)
    at, y = force.label_at
    _line(axes, [(at + (1.0 if force.side == "right" else -1.0), y), (force.x, force.named_at)], design.THIN)
    _text(axes, at, y, force.label, force.side, fonts.SEMIBOLD)
