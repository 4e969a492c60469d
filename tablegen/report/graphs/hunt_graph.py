"""Opening, superheat and wetted share of a coil over time: a column for each load, what is steady beside what hunts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.report.graphs.axes import EDGE, GRID_PEN, NAME, Axes, Scale, below, beside
from tablegen.report.graphs.sketch import AXIS, BACK, SIZE, Sketch
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen
from tablegen.wording import hunt as wording

_CURVE, _REFERENCE = Pen(design.LINE), Pen(design.RULE, dashes=design.DASHED)
# Between two columns and two rows; above a column its title [pt].
_COLUMNS_APART, _ROWS_APART, _TITLE = 14.0, 10.0, 15.0
# Ticks of a low panel are closer than elsewhere, so that a swing can be read off [pt].
_TICKS_APART = 13.0
# Of the highest that is shown: how high a scale goes, with room for the name of a level.
_ROOM, _ROOM_FOR_NAME = 1.06, 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeColumn:
    """One load: its title, and opening [%], superheat [printed unit] and wetted share [%] at the times [s]."""

    title: str
    opening: Floats
    superheat: Floats
    wetted: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeLevels:
    """What is drawn as a dashed line: the stop [%], and the coil's temperature difference [printed unit]."""

    stop: float
    difference: float
    superheat_unit: str


def hunt_graph(time_s: Floats, columns: Sequence[TimeColumn], levels: TimeLevels, size: tuple[float, float]) -> Drawing:
    """Draw the columns beside each other in a size [pt], each row with one scale."""
    sketch = Sketch(*size)
    top_of = [
        _ceiling(np.concatenate([own.opening for own in columns]), levels.stop),
        _ceiling(np.concatenate([own.superheat for own in columns]), levels.difference),
        100.0,
    ]
    scales = [Scale(0.0, room * top) for room, top in zip((*2 * (_ROOM_FOR_NAME,), _ROOM), top_of, strict=True)]
    names = (
        wording.OPENING_AXIS(),
        wording.SUPERHEAT_AXIS(unit=levels.superheat_unit),
        wording.WETTED_AXIS(),
    )
    foot, top = below(), size[1] - EDGE - _TITLE
    high = (top - foot - 2.0 * _ROWS_APART) / 3.0
    ticks = [scale.round_ticks(high, is_upright=True, most=6, apart=_TICKS_APART) for scale in scales]
    left = max(beside(own) for own in ticks)
    wide = (size[0] - left - 2.0 * EDGE - (len(columns) - 1) * _COLUMNS_APART) / len(columns)
    across = Scale(0.0, float(time_s[-1]))
    references = (levels.stop, wording.STOP()), (levels.difference, wording.DIFFERENCE())
    for number, column in enumerate(columns):
        start = left + number * (wide + _COLUMNS_APART)
        curves = (column.opening, column.superheat, column.wetted)
        for row, (curve, scale) in enumerate(zip(curves, scales, strict=True)):
            bottom = foot + (2 - row) * (high + _ROWS_APART)
            axes = Axes(sketch, Box(start, bottom, start + wide, bottom + high), across, scale)
            for place, _ in ticks[row]:
                axes.level(place, GRID_PEN, BACK)
            if row < len(references):
                level, name = references[row]
                axes.level(level, _REFERENCE, BACK)
                if number == 0 and level < scale.high:
                    axes.note(name, (across.high, level), (-2.0, 2.5), side="right", up="bottom")
            axes.plot(time_s, curve, _CURVE)
            if number == 0:
                axes.y_axis(ticks[row], names[row])
            else:
                axes.y_axis([])
            is_foot = row == 2
            axes.x_axis(
                across.round_ticks(wide, is_upright=False) if is_foot else [], wording.TIME_AXIS() if is_foot else ""
            )
        sketch.text(
            start,
            top + 0.5 * (_TITLE - NAME),
            column.title,
            side="left",
            up="bottom",
            face=fonts.SEMIBOLD,
            size=SIZE,
            layer=AXIS,
        )
    return sketch.drawing(wording.SUPERHEAT_AXIS(unit=levels.superheat_unit))


def _ceiling(values: Floats, level: float) -> float:
    """The highest of the values, and of a level that they come near."""
    highest = float(np.nanmax(values))
    return max(highest, level) if math.isfinite(level) and highest > 0.6 * level else highest
