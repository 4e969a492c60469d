"""The three heads of a table on one axis of head pressure, with the saturation and the liquid temperature under each."""

from __future__ import annotations

from collections.abc import Sequence

from tablegen.report.condition_stations import ConditionAxis, Station
from tablegen.report.graphs.axes import EDGE
from tablegen.report.graphs.sketch import AXIS, LINE, MARK, SIZE, Sketch, apart
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Pen, box_path

# From one line of figures to the next; height of the bar and of the space that it takes; the circle of the rating point [pt].
_LEADING, _BAR, _AXIS, _CIRCLE = 11.5, 5.0, 15.0, 9.0
# Between neighboring stations, between the names of rows and the first station, and of the axis beyond its ends [pt].
_APART, _BESIDE, _BEYOND = 8.0, 12.0, 8.0
# Type of figures and names, as large as they have room for beside each other.
_FIGURES = (design.TABLE, design.NOTE, design.FINE)


def strip_width(axis: ConditionAxis) -> float:
    """Width [pt] in which the figures of an axis stand beside each other in their largest type."""
    return _needed(axis, _FIGURES[0])


def condition_strip(axis: ConditionAxis, width: float) -> Drawing:
    """Draw the stations of an axis where their heads are, no closer than their figures need, in a width [pt]."""
    # Row of names, of pressures, the axis, row of bubble points, row of liquid.
    sketch = Sketch(width, 2 * EDGE + 4 * _LEADING + _AXIS)
    size = next((own for own in _FIGURES if _needed(axis, own) <= width), _FIGURES[-1])
    named = min(size, SIZE)
    names_wide = max(fonts.text_width(label, fonts.SEMIBOLD, named) for label in axis.labels)
    widths = [_width(own, size) for own in axis.stations]
    left, right = names_wide + _BESIDE + 0.5 * widths[0], width - EDGE - 0.5 * widths[-1]
    middles = apart(_places(axis.stations, left, right), widths, (names_wide + _BESIDE, width - EDGE), _APART)
    top = sketch.height - EDGE
    heights = [top - _LEADING * i - 0.5 * _LEADING for i in range(2)]
    bar = top - 2 * _LEADING - 0.5 * _AXIS
    heights += [bar - 0.5 * _AXIS - _LEADING * (i + 0.5) for i in range(2)]
    for label, y in zip(axis.labels, (heights[1], *heights[2:]), strict=True):
        sketch.text(0.0, y, label, side="left", up="digits", face=fonts.SEMIBOLD, size=named)
    for own, x in zip(axis.stations, middles, strict=True):
        faces = (fonts.REGULAR, fonts.BOLD, fonts.REGULAR, fonts.BOLD)
        texts = (own.name, own.pressure, own.bubble, own.liquid)
        for text, y, face, high in zip(texts, heights, faces, (named, *[size] * 3), strict=True):
            sketch.text(x, y, text, up="digits", face=face, size=high)
    _draw_bar(sketch, middles, bar, (names_wide + _BESIDE - _BEYOND, width))
    return sketch.drawing(axis.labels[0])


def _draw_bar(sketch: Sketch, middles: Sequence[float], y: float, ends: tuple[float, float]) -> None:
    """The axis, thick between the lowest and the highest head, with a circle at the rating point."""
    low, rating, high = middles
    sketch.line([(max(ends[0], low - 4 * _BEYOND), y), (min(ends[1], high + 4 * _BEYOND), y)], Pen(design.THIN), AXIS)
    own = Box(min(low, high), y - 0.5 * _BAR, max(low, high), y + 0.5 * _BAR)
    sketch.area(box_path(own), own, fill=design.BLACK, layer=LINE)
    for x in (low, high):
        sketch.line([(x, y - _BAR), (x, y + _BAR)], Pen(design.STRONG), LINE)
    sketch.mark(rating, y, "o", _CIRCLE, Pen(design.STRONG), layer=MARK)


def _needed(axis: ConditionAxis, size: float) -> float:
    """The width that names and stations need beside each other."""
    names = max(fonts.text_width(label, fonts.SEMIBOLD, min(size, SIZE)) for label in axis.labels)
    return names + _BESIDE + sum(_width(own, size) + _APART for own in axis.stations) - _APART + EDGE


def _width(own: Station, size: float) -> float:
    figures = max(fonts.text_width(text, fonts.BOLD, size) for text in (own.pressure, own.bubble, own.liquid))
    return max(figures, fonts.text_width(own.name, fonts.REGULAR, min(size, SIZE)))


def _places(stations: Sequence[Station], left: float, right: float) -> list[float]:
    """Where the heads are between the lowest and the highest; evenly where all are the same."""
    pressures = [own.place_pa for own in stations]
    low, high = min(pressures), max(pressures)
    if high - low < 1.0:
        return [left + (right - left) * i / (len(stations) - 1) for i in range(len(stations))]
    return [left + (right - left) * (p - low) / (high - low) for p in pressures]
