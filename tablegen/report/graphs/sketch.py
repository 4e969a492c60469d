"""A drawing in the making: lines, areas, hatches, marks and texts in layers, the uppermost drawn last."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Drawing, Label, Pen, Shape, box_path, circle_path, line_path
from tablegen.wording import input_errors

# Layers, from the lowest.
BACK, AREA, AXIS, LINE, MARK, TEXT = range(6)
Point = tuple[float, float]
# A line of text over and under its baseline and the distance of lines under each other, in type sizes.
ABOVE, BELOW, LINES_APART = 0.68, 0.21, 1.17
SIZE = design.NOTE
# Angles [degree] of the families of lines that a letter stands for.
_HATCH_ANGLES = {"/": (45,), "\\": (135,), "-": (0,), "x": (45, 135)}
# Gray or thinner hatches vanish in a one-bit print.
_HATCH = Pen(design.THIN)
# Distance between lines [pt] for one letter; n equal letters set them n times as dense.
_HATCH_PITCH = 9.0
# How far a line may be off its points [pt]: a hundredth of a millimeter.
_OFF = 0.03
# Between a text and its leader [pt].
_LEADER_AIR = 2.0
_SHARES = {"left": 0.0, "center": 0.5, "right": 1.0}
# Corners of marks, in half their sizes; strokes of those that are not closed.
_CORNERS: dict[str, Sequence[Point]] = {
    "s": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    "D": ((-1.414, 0), (0, -1.414), (1.414, 0), (0, 1.414)),
    "^": ((-1, -1), (1, -1), (0, 1)),
    "v": ((-1, 1), (1, 1), (0, -1)),
    "<": ((1, -1), (1, 1), (-1, 0)),
    ">": ((-1, -1), (-1, 1), (1, 0)),
    "p": tuple((math.sin(0.4 * math.pi * i), math.cos(0.4 * math.pi * i)) for i in range(5)),
}
_STROKES: dict[str, Sequence[tuple[Point, Point]]] = {
    "x": (((-1, -1), (1, 1)), ((-1, 1), (1, -1))),
    "|": (((0, -1), (0, 1)),),
}


class Sketch:
    """What a drawing of a size [pt] is made of so far."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self._items: list[tuple[int, Shape | Label]] = []

    def drawing(self, quantity: str = "") -> Drawing:
        """The drawing, which shows a quantity."""
        ordered = sorted(self._items, key=lambda item: item[0])
        return Drawing(self.width, self.height, tuple(item for _, item in ordered), quantity)

    def shape(self, shape: Shape, layer: int) -> None:
        """Add a shape."""
        self._items.append((layer, shape))

    def line(
        self, points: Iterable[Point], pen: Pen, layer: int = LINE, clips: tuple[str, ...] = (), name: str = ""
    ) -> None:
        """Add a line through points."""
        self.shape(Shape(path=line_path(points), pen=pen, clips=clips, name=name), layer)

    def area(
        self,
        path: str,
        extent: Box,
        *,
        pen: Pen | None = None,
        fill: str = "",
        hatch: str = "",
        layer: int = AREA,
        clips: tuple[str, ...] = (),
        name: str = "",
    ) -> None:
        """Add an area; a hatch lies on its tint and under its outline.

        Raises
        ------
        PublishError
            A letter stands for no hatch.
        """
        if fill:
            self.shape(Shape(path=path, pen=None if hatch else pen, fill=fill, clips=clips, name=name), layer)
        if hatch:
            self.shape(Shape(path=_hatch_path(hatch, extent), pen=_HATCH, clips=(*clips, path), name=name), layer)
        if pen is not None and (hatch or not fill):
            self.shape(Shape(path=path, pen=pen, clips=clips, name=name), layer)

    def mark(
        self,
        x: float,
        y: float,
        kind: str,
        size: float,
        pen: Pen,
        fill: str = design.WHITE,
        layer: int = LINE,
        name: str = "",
    ) -> None:
        """Add a mark: o s D ^ v < > p closed and filled, x and | of strokes."""
        half = 0.5 * size
        if kind in _STROKES:
            ends = (line_path((x + half * dx, y + half * dy) for dx, dy in stroke) for stroke in _STROKES[kind])
            self.shape(Shape(path="\n".join(ends), pen=pen, name=name), layer)
            return
        corners = ((x + half * dx, y + half * dy) for dx, dy in _CORNERS.get(kind, ()))
        path = circle_path(x, y, half) if kind == "o" else line_path(corners, is_closed=True)
        self.shape(Shape(path=path, pen=pen, fill=fill, name=name), layer)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        side: str = "center",
        up: str = "center",
        face: str = fonts.REGULAR,
        size: float = SIZE,
        apart: float = LINES_APART,
        pad: float | None = None,
        is_upright: bool = False,
        layer: int = TEXT,
    ) -> Box:
        """Add lines of text; return their box.

        Parameters
        ----------
        x, y : float
            The point that the text is set by.
        side : str
            Which side of the text is at the point: left, center or right.
        up : str
            What of it is at the height of the point: its top, center, bottom, baseline, or the middle of its digits.
        apart : float
            Distance of lines, in type sizes.
        pad : float, optional
            How far a white box reaches beyond the text [pt]; none without it.
        is_upright : bool
            Turned to be read from the right, its bottom at the point.

        Raises
        ------
        PublishError
            The type is too small.
        MissingGlyphError
            The face cannot draw a character.
        """
        if size < design.FINE:
            raise PublishError(input_errors.FIGURE_TYPE(text=repr(text), size=f"{size:g}", least=f"{design.FINE:g}"))
        lines = text.split("\n")
        labels = [
            Label(text=fonts.check_glyphs(line, face), x=0.0, y=0.0, face=face, size=size, is_upright=is_upright)
            for line in lines
        ]
        wide, tall = max(label.width for label in labels), size * (ABOVE + BELOW + (len(lines) - 1) * apart)
        if is_upright:
            placed = replace(labels[0], x=x - BELOW * size, y=y - 0.5 * wide)
            self._items.append((layer, placed))
            return Box(x - tall, y - 0.5 * wide, x, y + 0.5 * wide)
        left = x - _SHARES[side] * wide
        foot = tall - BELOW * size
        # Digits fill the height over the baseline: so they stand on the middle of a tick.
        top = y + {"top": 0.0, "center": 0.5 * tall, "digits": 0.5 * foot, "bottom": tall, "baseline": foot}[up]
        box = Box(left, top - tall, left + wide, top)
        if pad is not None:
            self.shape(Shape(path=box_path(box.wider(pad)), fill=design.WHITE), layer)
        for i, label in enumerate(labels):
            own = left + _SHARES[side] * (wide - label.width)
            self._items.append((layer, replace(label, x=own, y=top - size * (ABOVE + i * apart))))
        return box

    def leader(self, box: Box, end: Point, pen: Pen, gap: float = 0.0, layer: int = TEXT) -> None:
        """Add a line from beside a text's box, on the way from its middle, to a point; it ends before it by a gap."""
        x, y = 0.5 * (box.left + box.right), 0.5 * (box.bottom + box.top)
        dx, dy = end[0] - x, end[1] - y
        extents = ((0.5 * box.width + _LEADER_AIR, dx), (0.5 * box.height + _LEADER_AIR, dy))
        shares = [half / abs(step) for half, step in extents if step]
        first, length = min(shares, default=1.0), math.hypot(dx, dy)
        if first * length < length - gap:
            last = 1.0 - gap / length
            self.line([(x + first * dx, y + first * dy), (x + last * dx, y + last * dy)], pen, layer)


def thinned(points: Sequence[Point]) -> list[Point]:
    """A line without the points that hardly move it, for a page has thousands; both its ends stay.

    References
    ----------
    Douglas and Peucker, Cartographica 10 (1973), 112 (from memory).
    """
    kept = {0, len(points) - 1}
    waiting = [(0, len(points) - 1)]
    while waiting:
        first, last = waiting.pop()
        (x, y), (end_x, end_y) = points[first], points[last]
        wide, high = end_x - x, end_y - y
        length = math.hypot(wide, high)
        # Of a loop that ends where it begins, from its beginning.
        off = [
            abs((a - x) * high - (b - y) * wide) / length if length else math.hypot(a - x, b - y)
            for a, b in points[first + 1 : last]
        ]
        farthest = max(off, default=0.0)
        if farthest > _OFF:
            middle = first + 1 + off.index(farthest)
            kept.add(middle)
            waiting += [(first, middle), (middle, last)]
    return [points[i] for i in sorted(kept)]


def apart(places: Sequence[float], widths: Sequence[float], ends: tuple[float, float], gap: float) -> list[float]:
    """Middles of labels as near to their places as their widths allow, in the order of the places, within two ends [pt]."""
    order = sorted(range(len(places)), key=lambda i: (places[i], i))
    found = list(places)
    edge = ends[0]
    for i in order:
        found[i] = max(found[i], edge + 0.5 * widths[i])
        edge = found[i] + 0.5 * widths[i] + gap
    edge = ends[1]
    for i in reversed(order):
        found[i] = min(found[i], edge - 0.5 * widths[i])
        edge = found[i] - 0.5 * widths[i] - gap
    return found


def _hatch_path(letters: str, extent: Box) -> str:
    """Parallel lines over a box, counted from the figure's origin so that neighboring areas agree."""
    unknown = sorted(set(letters) - set(_HATCH_ANGLES))
    if unknown:
        raise PublishError(input_errors.FIGURE_HATCH(hatch=repr(letters), letters=" ".join(_HATCH_ANGLES)))
    lines = []
    for letter in sorted(set(letters)):
        pitch = _HATCH_PITCH / letters.count(letter)
        for angle in _HATCH_ANGLES[letter]:
            cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            corners = list(itertools.product((extent.left, extent.right), (extent.bottom, extent.top)))
            along, across = [x * cos + y * sin for x, y in corners], [y * cos - x * sin for x, y in corners]
            a, b = min(along), max(along)
            steps = range(math.ceil(min(across) / pitch), math.floor(max(across) / pitch) + 1)
            lines += [
                line_path([(a * cos - d * sin, a * sin + d * cos), (b * cos - d * sin, b * sin + d * cos)])
                for d in (k * pitch for k in steps)
            ]
    return "\n".join(lines)
