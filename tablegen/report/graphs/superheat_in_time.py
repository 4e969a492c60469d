"""Superheat in the course of time, steady and hunting: a drawing to explain with, of no valve and without figures."""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.graphs.axes import EDGE, GAP, NAME, NAME_GAP, Axes, Scale
from tablegen.report.graphs.sketch import AREA, AXIS, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, Pen
from tablegen.wording import lesson as wording

# Between the two panels [pt]; swings across a panel, points of a curve.
_BETWEEN, _SWINGS, _POINTS = 26.0, 5.0, 241
# Superheats as shares of the axis: maximum, minimum stable, and the one that both curves are about.
_MAXIMUM, _MINIMUM, _MIDDLE = 0.80, 0.26, 0.53
# Amplitude of the steady curve at its beginning, and how fast it settles [1/swing]; that of hunting, and how fast it grows.
_FIRST, _SETTLES, _SWING, _GROWS = 0.16, 0.9, 0.40, 1.1
_CURVE, _LEVEL, _FRAME = (
    Pen(design.HEAVY, cap=PROJECTING),
    Pen(design.RULE, dashes=design.DASHED),
    Pen(design.RULE),
)
_PAD = 1.0


def superheat_in_time(size: tuple[float, float], *, is_by_loop: bool = False) -> Drawing:
    """Draw both panels in a size [pt]: at the left a valve well open, at the right one near its seat.

    Where hunting begins is not near the seat if the loop of valve, coil and bulb says so.
    """
    sketch = Sketch(*size)
    wide, high = size
    left, foot = EDGE + NAME + NAME_GAP, EDGE + NAME + GAP
    panel = 0.5 * (wide - left - EDGE - _BETWEEN)
    swings = np.linspace(0.0, _SWINGS, _POINTS)
    # From the middle: a small disturbance first.
    waves = np.sin(2.0 * np.pi * swings)
    curves = (
        (wording.STEADY_PANEL[is_by_loop](), _MIDDLE + _FIRST * np.exp(-_SETTLES * swings) * waves),
        (
            wording.HUNTING_PANEL[is_by_loop](),
            _MIDDLE + _SWING * (1.0 - (1.0 - _FIRST / _SWING) * np.exp(-_GROWS * swings)) * waves,
        ),
    )
    for number, (title, curve) in enumerate(curves):
        start = left + number * (panel + _BETWEEN)
        box = Box(start, foot, start + panel, high - EDGE - SIZE - GAP)
        _panel(Axes(sketch, box, Scale(0.0, _SWINGS), Scale(0.0, 1.0)), title, swings, curve, has_names=not number)
    middle = 0.5 * (foot + high - EDGE - SIZE - GAP)
    sketch.text(left - GAP, middle, wording.SUPERHEAT_AXIS(), size=NAME, is_upright=True, layer=AXIS)
    return sketch.drawing(wording.SKETCH_NAME())


def _panel(axes: Axes, title: str, swings: Floats, curve: Floats, has_names: bool) -> None:
    """One curve between the limits of superheat."""
    box = axes.box
    axes.rectangle((0.0, _SWINGS), (0.0, _MINIMUM), None, "", "///", name="hunts")
    axes.rectangle((0.0, _SWINGS), (_MAXIMUM, 1.0), None, "", "\\\\\\", name="starves")
    for level, text in ((_MINIMUM, wording.MINIMUM_STABLE()), (_MAXIMUM, wording.MAXIMUM_SUPERHEAT())):
        axes.level(level, _LEVEL, AREA)
        middle = 0.5 * (level + (level > _MIDDLE))
        if has_names:
            axes.note(text, (_SWINGS, middle), (-3.0, 0.0), side="right", up="digits", pad=_PAD)
    axes.plot(swings, curve, _CURVE)
    sketch = axes.sketch
    sketch.line([(box.left, box.top), (box.left, box.bottom), (box.right, box.bottom)], _FRAME)
    sketch.text(0.5 * (box.left + box.right), box.bottom - GAP, wording.TIME(), up="top", size=NAME, layer=AXIS)
    sketch.text(box.left, box.top + GAP, title, side="left", up="bottom", face=fonts.SEMIBOLD)
