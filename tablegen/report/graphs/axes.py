"""A pair of axes in a sketch: scales, ticks, names, and what is drawn by its data.

Rectangles follow from the texts around them, so that no label is cut; nothing is drawn twice to find out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Bools, Floats
from tablegen.report.graphs.sketch import ABOVE, AREA, AXIS, BACK, BELOW, LINE, MARK, SIZE, TEXT, Point, Sketch, thinned
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Pen, Shape, box_path, line_path
from tablegen.report.rounding import decimals

# Type of the names of axes; from the edge of a figure; a tick, its distance from its text, and that from a name [pt].
NAME, EDGE, TICK, GAP, NAME_GAP = design.TABLE, 3.0, 3.5, 3.5, 4.0
AXIS_PEN, FRAME_PEN = Pen(design.RULE), Pen(design.RULE, cap=PROJECTING)
# Of levels behind what is drawn.
GRID_PEN = Pen(design.THIN, dashes=design.SPARSE_DOTS)
_TALL = ABOVE + BELOW
# Steps of round ticks; steps that an axis has at most, and the length that one needs, across and up [pt].
_STEPS, _MOST, _NEEDS = (1.0, 2.0, 2.5, 5.0, 10.0), 9, (30.0, 20.0)
# Share of the range of values that a scale reaches beyond them.
_MARGIN = 0.05
# What a tick stands for and what it is called.
Tick = tuple[float, str]


@dataclass(frozen=True, slots=True)
class Scale:
    """From the low end of an axis to its high end, evenly or by powers; the low end may be the larger number."""

    low: float
    high: float
    is_log: bool = False

    def share(self, values: object) -> Floats:
        """How far along the axis values are."""
        at = np.asarray(values, dtype=np.float64)
        if self.is_log:
            powers: Floats = np.log(at / self.low)
            return powers / math.log(self.high / self.low)
        return (at - self.low) / (self.high - self.low)

    @classmethod
    def around(cls, values: Floats, margin: float = _MARGIN) -> Scale:
        """A scale with a share of its values' range beyond either end of them."""
        low, high = float(np.nanmin(values)), float(np.nanmax(values))
        room = margin * (high - low) or _MARGIN * max(abs(high), 1.0)
        return cls(low - room, high + room)

    def round_ticks(self, length: float, is_upright: bool, most: int = _MOST, apart: float | None = None) -> list[Tick]:
        """Ticks at round steps, as many as have room on a length [pt] when so far apart, with as few decimals as they need."""
        low, high = sorted((self.low, self.high))
        count = min(max(int(length / (apart or _NEEDS[is_upright])), 1), most)
        power = 10.0 ** math.floor(math.log10((high - low) / count))
        step = next(own * power for own in _STEPS if own * power >= (high - low) / count)
        hair = 1e-9 * (high - low)
        first, last = math.ceil((low - hair) / step), math.floor((high + hair) / step)
        places = next(n for n in range(12) if abs(round(step, n) - step) < 1e-9 * step)
        return [(i * step, decimals(i * step, places)) for i in range(first, last + 1)]


class Axes:
    """Axes in a box of a sketch; lines and areas are cut by the box."""

    def __init__(self, sketch: Sketch, box: Box, x: Scale, y: Scale) -> None:
        self.sketch, self.box, self.x, self.y = sketch, box, x, y
        self._clips = (box_path(box),)

    def across(self, values: object) -> Floats:
        """Places [pt] from the left edge of the sketch."""
        return self.box.left + self.x.share(values) * self.box.width

    def up(self, values: object) -> Floats:
        """Places [pt] from the lower edge of the sketch."""
        return self.box.bottom + self.y.share(values) * self.box.height

    def point(self, x: float, y: float) -> Point:
        """A place by its data."""
        return float(self.across(x)), float(self.up(y))

    def plot(
        self,
        x: object,
        y: object,
        pen: Pen,
        layer: int = LINE,
        name: str = "",
        repeats: Sequence[float] = (),
    ) -> None:
        """Draw a line, with a gap where a value is NaN; again so far to the right, in the unit of the scale."""
        across, up = np.broadcast_arrays(self.across(x), self.up(y))
        paths = [
            line_path(thinned(list(zip(across[run].tolist(), up[run].tolist(), strict=True))))
            for run in runs(np.isfinite(across + up))
            if run.stop - run.start > 1
        ]
        if paths:
            again = tuple((self.across(repeats) - self.across(0.0)).tolist()) if len(repeats) else ()
            path = "\n".join(paths)
            self.sketch.shape(Shape(path=path, pen=pen, clips=self._clips, name=name, repeats=again), layer)

    def between(
        self,
        x: Floats,
        low: Floats,
        high: Floats,
        *,
        where: Bools | None = None,
        fill: str = "",
        hatch: str = "",
        pen: Pen | None = None,
        layer: int = AREA,
        is_upright: bool = False,
    ) -> None:
        """Fill between two curves, only `where` it is true; an end of that is where the curves cross, if they do.

        `is_upright` if `x` runs up and the curves are places across.
        """
        known = np.isfinite(x + low + high)
        outlines = [
            _outline(x, low, high, run, where is not None) for run in runs(known if where is None else known & where)
        ]
        paths, extents = [], []
        for corners in outlines:
            points = [self.point(*(reversed(corner) if is_upright else corner)) for corner in corners]
            paths.append(line_path(thinned(points), is_closed=True))
            extents += points
        if paths:
            left, bottom = (min(point[i] for point in extents) for i in range(2))
            right, top = (max(point[i] for point in extents) for i in range(2))
            extent = Box(
                max(left, self.box.left),
                max(bottom, self.box.bottom),
                min(right, self.box.right),
                min(top, self.box.top),
            )
            path = "\n".join(paths)
            self.sketch.area(path, extent, pen=pen, fill=fill, hatch=hatch, layer=layer, clips=self._clips)

    def level(self, y: float, pen: Pen, layer: int = LINE) -> None:
        """A line all across."""
        at = float(self.up(y))
        self.sketch.line([(self.box.left, at), (self.box.right, at)], pen, layer, self._clips)

    def upright(self, x: float, pen: Pen, layer: int = LINE) -> None:
        """A line from the lower to the upper edge."""
        at = float(self.across(x))
        self.sketch.line([(at, self.box.bottom), (at, self.box.top)], pen, layer, self._clips)

    def grid(self) -> None:
        """Levels and upright lines at round values, to enter and to read figures at."""
        for place, _ in self.y.round_ticks(self.box.height, is_upright=True):
            self.level(place, GRID_PEN, BACK)
        for place, _ in self.x.round_ticks(self.box.width, is_upright=False):
            self.upright(place, GRID_PEN, BACK)

    def rectangle(
        self,
        ends: tuple[float, float],
        heights: tuple[float, float],
        pen: Pen | None = None,
        fill: str = "",
        hatch: str = "",
        layer: int = AREA,
        name: str = "",
    ) -> None:
        """A rectangle by its data."""
        (left, right), (bottom, top) = sorted(self.across(ends).tolist()), sorted(self.up(heights).tolist())
        box = Box(left, bottom, right, top)
        self.sketch.area(box_path(box), box, pen=pen, fill=fill, hatch=hatch, layer=layer, clips=self._clips, name=name)

    def marks(
        self, x: object, y: object, kind: str, size: float, pen: Pen, fill: str = design.WHITE, layer: int = MARK
    ) -> None:
        """A mark for each point that is known."""
        across, up = np.broadcast_arrays(self.across(x), self.up(y))
        for left, bottom in zip(across.ravel().tolist(), up.ravel().tolist(), strict=True):
            if math.isfinite(left + bottom):
                self.sketch.mark(left, bottom, kind, size, pen, fill, layer)

    def note(
        self,
        text: str,
        at: Point,
        offset: Point = (0.0, 0.0),
        *,
        side: str = "center",
        up: str = "center",
        face: str = fonts.REGULAR,
        size: float = SIZE,
        pad: float | None = None,
        leader: Pen | None = None,
        gap: float = 0.0,
        layer: int = TEXT,
    ) -> Box:
        """A text at an offset [pt] from a point, with a leader to the point if there is a pen for it."""
        x, y = self.point(*at)
        box = self.sketch.text(
            x + offset[0], y + offset[1], text, side=side, up=up, face=face, size=size, pad=pad, layer=layer
        )
        if leader is not None:
            self.sketch.leader(box.wider(pad or 0.0), (x, y), leader, gap, layer)
        return box

    def x_axis(
        self,
        ticks: Sequence[Tick],
        name: str = "",
        *,
        sides: Sequence[str] = ("center",),
        length: float = TICK,
        gap: float = GAP,
        pen: Pen = AXIS_PEN,
        size: float = SIZE,
        has_line: bool = True,
    ) -> None:
        """Ticks below the axes with their texts, which are on `sides` of them in turn, the name, and the line."""
        places, bottom = self.across([place for place, _ in ticks]).tolist(), self.box.bottom
        self._ticks([((at, bottom), (at, bottom - length)) for at in places], pen)
        for i, (at, (_, text)) in enumerate(zip(places, ticks, strict=True)):
            self.sketch.text(
                at, bottom - length - gap, text, side=sides[i % len(sides)], up="top", size=size, layer=AXIS
            )
        if name:
            under = bottom - length - gap - _TALL * size - NAME_GAP
            middle = 0.5 * (self.box.left + self.box.right)
            self.sketch.text(middle, under, name, up="top", size=NAME, layer=AXIS)
        if has_line:
            self.sketch.line([(self.box.left, bottom), (self.box.right, bottom)], FRAME_PEN, MARK)

    def y_axis(
        self,
        ticks: Sequence[Tick],
        name: str = "",
        *,
        length: float = TICK,
        gap: float = GAP,
        face: str = fonts.REGULAR,
        size: float = SIZE,
        has_line: bool = True,
    ) -> None:
        """Ticks left of the axes with their texts, the name, and the line."""
        places, left = self.up([place for place, _ in ticks]).tolist(), self.box.left
        if length:
            self._ticks([((left, at), (left - length, at)) for at in places], AXIS_PEN)
        wide = 0.0
        for at, (_, text) in zip(places, ticks, strict=True):
            box = self.sketch.text(
                left - length - gap, at, text, side="right", up="digits", face=face, size=size, layer=AXIS
            )
            wide = max(wide, box.width)
        if name:
            # A long name goes beyond the axis, in smaller type if it has to, but not out of the drawing.
            sizes = (own for own in (NAME, SIZE) if fonts.text_width(name, fonts.REGULAR, own) <= self.sketch.height)
            high = next(sizes, design.FINE)
            half = 0.5 * fonts.text_width(name, fonts.REGULAR, high)
            middle = max(min(0.5 * (self.box.bottom + self.box.top), self.sketch.height - half), half)
            self.sketch.text(
                left - length - gap - wide - NAME_GAP, middle, name, size=high, is_upright=True, layer=AXIS
            )
        if has_line:
            self.sketch.line([(left, self.box.bottom), (left, self.box.top)], FRAME_PEN, MARK)

    def _ticks(self, lines: Sequence[tuple[Point, Point]], pen: Pen) -> None:
        if lines:
            self.sketch.shape(Shape(path="\n".join(line_path(line) for line in lines), pen=pen), AXIS)


def runs(where: Bools) -> Iterator[slice]:
    """Stretches of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]]).astype(np.int8)))
    for first, last in edges.reshape(-1, 2).tolist():
        yield slice(first, last)


def _outline(x: Floats, low: Floats, high: Floats, run: slice, to_crossing: bool) -> list[Point]:
    """Corners of the area between two curves, along the lower one and back."""
    along, lower, upper = (list(map(float, curve[run])) for curve in (x, low, high))
    ends = ((run.start, run.start - 1, 0), (run.stop - 1, run.stop, len(along))) if to_crossing else ()
    added = 0
    for inner, outer, place in ends:
        if not 0 <= outer < len(x):
            continue
        gap, beyond = float(high[inner] - low[inner]), float(high[outer] - low[outer])
        if math.isfinite(beyond) and gap * beyond < 0.0:
            share = gap / (gap - beyond)
            for values, curve in ((along, x), (lower, low), (upper, high)):
                values.insert(place + added, float(curve[inner] + share * (curve[outer] - curve[inner])))
            added += 1
    return [*zip(along, lower, strict=True), *zip(reversed(along), reversed(upper), strict=True)]


def widest(ticks: Sequence[Tick], face: str = fonts.REGULAR, size: float = SIZE) -> float:
    """Width [pt] of the widest text of ticks."""
    return max((fonts.text_width(text, face, size) for _, text in ticks), default=0.0)


def below(has_name: bool = True) -> float:
    """Height [pt] that an axis takes with its texts."""
    return EDGE + TICK + GAP + _TALL * SIZE + (NAME_GAP + _TALL * NAME) * has_name


def beside(ticks: Sequence[Tick], has_name: bool = True) -> float:
    """Width [pt] that an upright axis takes with its texts."""
    return EDGE + TICK + GAP + widest(ticks) + (NAME_GAP + _TALL * NAME) * has_name


def end_of(left: float, limit: float, end: float, x: Scale, ticks: Sequence[Tick]) -> float:
    """Where axes from `left` [pt] end: at `end`, or sooner if the text of their last tick would pass a limit."""
    place, text = ticks[-1]
    room = limit - 0.5 * fonts.text_width(text, fonts.REGULAR, SIZE) - left
    return min(end, left + room / float(x.share(place)))


def framed(
    sketch: Sketch,
    outer: Box,
    x: Scale,
    y: Scale,
    names: tuple[str, str],
    *,
    ticks: Sequence[Tick] = (),
    above: float = 0.0,
    right: float = 0.0,
) -> Axes:
    """Axes with named axes in a part of a sketch, with round ticks or with some that both have.

    `above` and `right` are kept free beside the axes [pt].
    """
    bottom, top = outer.bottom + below(), outer.top - EDGE - above
    y_ticks = ticks or y.round_ticks(top - bottom, is_upright=True)
    left, end = outer.left + beside(y_ticks), outer.right - EDGE - right
    x_ticks = ticks or x.round_ticks(end - left, is_upright=False)
    axes = Axes(sketch, Box(left, bottom, end_of(left, outer.right - EDGE, end, x, x_ticks), top), x, y)
    axes.x_axis(x_ticks, names[0])
    axes.y_axis(y_ticks, names[1])
    return axes
