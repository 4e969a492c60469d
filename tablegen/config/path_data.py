"""Path data of SVG as moves, lines and cubic curves.

References
----------
SVG 1.1, 8.3 path data, F.6 elliptical arcs.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
# An operator of PDF and the points that it takes.
Segment: TypeAlias = tuple[str, tuple[Point, ...]]

_SPACE = re.compile(r"[\s,]*")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_FLAG = re.compile("[01]")
# What each command takes; an arc also has two flags.
_COUNTS = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2, "a": 7, "z": 0}
_FLAGS = (3, 4)


def path_segments(text: str) -> Iterator[Segment]:
    """The segments of path data; the first is a move.

    Raises ValueError if it is none.
    """
    pen = _Pen()
    for command, values in _commands(text):
        yield from pen.draw(command, values)


def numbers(text: str) -> list[float]:
    """Numbers with spaces or commas between them.

    Raises ValueError if there is anything else.
    """
    found, at = [], _skipped(text, 0)
    while at < len(text):
        value, at = _token(text, at, _NUMBER)
        found.append(value)
    return found


def _skipped(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match else at


def _token(text: str, at: int, pattern: re.Pattern[str]) -> tuple[float, int]:
    match = pattern.match(text, at)
    if match is None:
        raise ValueError(text[at : at + 12])
    return float(match[0]), _skipped(text, match.end())


def _commands(text: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its values; repeated values repeat the command, after a move as a line."""
    at, command = _skipped(text, 0), ""
    while at < len(text):
        if text[at].isalpha():
            command, at = text[at], _skipped(text, at + 1)
        elif command.lower() in ("", "z"):
            raise ValueError(text[at : at + 12])
        if command.lower() not in _COUNTS:
            raise ValueError(command)
        values = []
        for index in range(_COUNTS[command.lower()]):
            is_flag = command in "aA" and index in _FLAGS
            value, at = _token(text, at, _FLAG if is_flag else _NUMBER)
            values.append(value)
        yield command, values
        command = {"m": "l", "M": "L"}.get(command, command)


class _Pen:
    """Where the path is, where it began, and the handle that a smooth curve mirrors."""

    def __init__(self) -> None:
        self._at: Point = (0.0, 0.0)
        self._start: Point = (0.0, 0.0)
        self._handle: tuple[str, Point] = ("", (0.0, 0.0))
        self._has_begun = False

    def draw(self, command: str, values: list[float]) -> Iterator[Segment]:
        """The segments of one command."""
        kind = command.lower()
        if not self._has_begun and kind != "m":
            raise ValueError(command)
        self._has_begun = True
        x, y = self._at
        left, up = self._at if command.islower() else (0.0, 0.0)
        if kind == "z":
            self._at = self._start
            yield "h", ()
        elif kind == "a":
            end = (values[5] + left, values[6] + up)
            yield from _arc(self._at, values, end)
            self._at = end
        elif kind in "hv":
            self._at = (values[0] + left, y) if kind == "h" else (x, values[0] + up)
            yield "l", (self._at,)
        else:
            points = [(values[i] + left, values[i + 1] + up) for i in range(0, len(values), 2)]
            if kind in "st":
                points.insert(0, self._mirrored("cs" if kind == "s" else "qt"))
            handle, end = points[-2] if len(points) > 1 else points[-1], points[-1]
            if kind in "qt":
                points = [_between(self._at, handle, 2 / 3), _between(end, handle, 2 / 3), end]
            self._handle, self._at = (kind, handle), end
            if kind == "m":
                self._start = end
            yield {"m": "m", "l": "l"}.get(kind, "c"), tuple(points)
            return
        self._handle = ("", self._at)

    def _mirrored(self, after: str) -> Point:
        """The last handle on the other side, after a curve of the same kind."""
        kind, (hx, hy) = self._handle
        (x, y) = self._at
        return (2 * x - hx, 2 * y - hy) if kind and kind in after else (x, y)


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _arc(start: Point, values: list[float], end: Point) -> Iterator[Segment]:
    """An elliptical arc as curves of a quarter turn or less."""
    rx, ry, turn = abs(values[0]), abs(values[1]), math.radians(values[2])
    is_large, is_swept = values[3] > 0, values[4] > 0
    if start == end:
        return
    if not rx or not ry:
        yield "l", (end,)
        return
    cos, sin = math.cos(turn), math.sin(turn)
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    # In units of the radii, along the axes of the ellipse.
    u, v = (cos * dx + sin * dy) / rx, (cos * dy - sin * dx) / ry
    stretch = max(1.0, math.hypot(u, v))
    rx, ry, u, v = rx * stretch, ry * stretch, u / stretch, v / stretch
    square = u * u + v * v
    off = math.sqrt(max(0.0, 1.0 / square - 1.0)) * (-1 if is_large == is_swept else 1)
    center = (off * v, -off * u)
    first = math.atan2(v - center[1], u - center[0])
    sweep = (math.atan2(-v - center[1], -u - center[0]) - first) % (2 * math.pi)
    sweep -= 0.0 if is_swept else 2 * math.pi
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)

    def placed(a: float, b: float) -> Point:
        a, b = (a + center[0]) * rx, (b + center[1]) * ry
        return cos * a - sin * b + middle[0], sin * a + cos * b + middle[1]

    count = max(1, math.ceil(abs(sweep) / (math.pi / 2) - 1e-9))
    step = sweep / count
    handle = 4 / 3 * math.tan(step / 4)
    for i in range(count):
        a, b = first + i * step, first + (i + 1) * step
        last = placed(math.cos(b), math.sin(b))
        yield (
            "c",
            (
                placed(math.cos(a) - handle * math.sin(a), math.sin(a) + handle * math.cos(a)),
                placed(math.cos(b) + handle * math.sin(b), math.sin(b) - handle * math.cos(b)),
                end if i == count - 1 else last,
            ),
        )
