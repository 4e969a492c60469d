"""The areas that an SVG file fills, as operators of PDF in a square of side 1.

Only numbers and colors of the file go on: a script, a link, an image, a text or a style sheet is refused.

References
----------
SVG 1.1, 7.6 transformations, 9 basic shapes, 11.3 fill; ISO 32000-1, 8.5.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from xml.parsers import expat

from tablegen.config.path_data import Point, numbers, path_segments
from tablegen.wording import config_errors as wording

Matrix = tuple[float, float, float, float, float, float]

# The attributes of each shape that give its outline.
_OUTLINES: Mapping[str, tuple[str, ...]] = {
    "path": ("d",),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "polygon": ("points",),
}
_GROUPS, _NOTES = ("svg", "g"), ("title", "desc", "metadata", "defs")
_FRAME = ("viewBox", "width", "height", "x", "y", "version", "baseProfile", "preserveAspectRatio")
_LOOK = ("fill", "fill-rule", "transform", "style")
_WITHOUT_EFFECT = re.compile(
    r"id|class|role|color|(?:stroke|data|aria|font)-.*|xml:space|xmlns(?::.*)?|(?!xlink|xml:).+:.*"
)
# Allowed at the value that changes nothing.
_NEUTRAL = {"stroke": "none", "opacity": "1", "fill-opacity": "1", "display": "inline"}
_COLORS = {"black": "000000", "white": "ffffff"}
_COLOR = re.compile("#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})")
_TRANSFORM = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate)\s*\(([^()]*)\)\s*")
_LENGTH = re.compile(r"([0-9.]+)(?:px|pt|mm|cm|in)?")
_MAX_SHAPES, _MAX_DEPTH, _MAX_COORDINATE = 2_000, 20, 1e6
_IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class NotDrawn(ValueError):
    """What cannot be drawn of an SVG file, with its line and the element or attribute."""

    def __init__(self, line: int, key: str, text: str) -> None:
        self.line, self.key, self.text = line, key, text
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class _Look:
    """What a group passes on to its shapes."""

    matrix: Matrix = _IDENTITY
    fill: str = "000000"
    is_even_odd: bool = False


def svg_areas(text: str) -> tuple[float, float, bytes]:
    """Width and height of a drawing, and the operators that paint it with the longer of them as 1.

    Raises NotDrawn if anything in it is not among what a logo may have.
    """
    reader = _AreaReader()
    parser = reader.parser
    try:
        parser.Parse(text.encode("utf-8"), True)
    except expat.ExpatError as error:
        raise NotDrawn(error.lineno, "", wording.NOT_XML()) from None
    if not reader.code:
        raise NotDrawn(0, "", wording.LOGO_IS_EMPTY())
    return reader.width, reader.height, "\n".join(reader.code).encode("ascii")


class _AreaReader:
    """Takes one element after the other; the parser itself looks nothing up and expands nothing."""

    def __init__(self) -> None:
        self.parser = expat.ParserCreate("utf-8")
        self.parser.StartElementHandler = self._begin
        self.parser.EndElementHandler = self._end
        self.parser.StartDoctypeDeclHandler = self._refuse_declaration
        self.parser.ProcessingInstructionHandler = self._refuse_declaration
        self.width = self.height = 0.0
        self.code: list[str] = []
        # Of open groups; nothing where no shape may be.
        self._looks: list[_Look | None] = []
        self._shapes = 0

    def _refuse(self, key: str, text: str) -> NotDrawn:
        return NotDrawn(self.parser.CurrentLineNumber, key, text)

    def _refuse_declaration(self, name: str, *others: object) -> None:
        raise self._refuse(name, wording.LOGO_DECLARATION())

    def _end(self, name: str) -> None:
        self._looks.pop()

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        if len(self._looks) >= _MAX_DEPTH or self._shapes >= _MAX_SHAPES:
            raise self._refuse(name, wording.LOGO_TOO_COMPLEX(shapes=_MAX_SHAPES, depth=_MAX_DEPTH))
        if (name == "svg") != (not self._looks):
            raise self._refuse(name, wording.LOGO_ROOT())
        above = self._looks[-1] if self._looks else _Look()
        # Notes of the program that drew it, which no page shows.
        if ":" in name or name in _NOTES:
            self._looks.append(None)
            return
        if above is None or (name not in _GROUPS and name not in _OUTLINES):
            raise self._refuse(name, wording.LOGO_ELEMENT(allowed=", ".join((*_GROUPS, *_OUTLINES))))
        attributes = {key.strip(): value.strip() for key, value in (*attributes.items(), *_style(attributes))}
        self._check(name, attributes)
        look = self._look(above, attributes)
        if name == "svg":
            look = replace(look, matrix=_times(self._frame(attributes), look.matrix))
        elif name in _OUTLINES:
            self._shapes += 1
            self._paint(name, attributes, look)
        self._looks.append(look if name in _GROUPS else None)

    def _check(self, name: str, attributes: Mapping[str, str]) -> None:
        """Every attribute is drawn, or has no effect."""
        known = {*_LOOK, *_OUTLINES.get(name, ()), *(_FRAME if name == "svg" else ())}
        for key, value in attributes.items():
            neutral = _NEUTRAL.get(key)
            if neutral is not None and value != neutral:
                raise self._refuse(f"{name}.{key}", wording.LOGO_NEUTRAL(value=repr(value[:40]), allowed=neutral))
            if neutral is None and key not in known and not _WITHOUT_EFFECT.fullmatch(key):
                raise self._refuse(f"{name}.{key}", wording.LOGO_ATTRIBUTE())

    def _look(self, above: _Look, attributes: Mapping[str, str]) -> _Look:
        fill = self._fill(attributes["fill"]) if "fill" in attributes else above.fill
        rule = attributes.get("fill-rule", "evenodd" if above.is_even_odd else "nonzero")
        own = self._read("transform", attributes.get("transform", ""), _transform)
        return _Look(_times(above.matrix, own), fill, rule == "evenodd")

    def _fill(self, value: str) -> str:
        """Six digits of a color, nothing for no fill."""
        match = _COLOR.fullmatch(value)
        if value == "none" or value in _COLORS:
            return _COLORS.get(value, "")
        if match is None:
            raise self._refuse("fill", wording.LOGO_FILL(value=repr(value[:40])))
        return match[1] if len(match[1]) == 6 else "".join(2 * digit for digit in match[1])

    def _read(self, key: str, value: str, read: Callable[[str], Matrix]) -> Matrix:
        try:
            return read(value)
        except (ValueError, ArithmeticError):
            raise self._refuse(key, wording.LOGO_NUMBERS(value=repr(value[:40]))) from None

    def _frame(self, attributes: Mapping[str, str]) -> Matrix:
        """What puts the drawing into a square of side 1, upside down as PDF counts."""
        sides = [
            match[1] if (match := _LENGTH.fullmatch(attributes.get(key, ""))) else "" for key in ("width", "height")
        ]
        given = attributes.get("viewBox", "0 0 " + " ".join(sides))
        try:
            left, top, self.width, self.height = numbers(given)
        except ValueError:
            self.width = self.height = 0.0
        if not all(0.0 < side <= _MAX_COORDINATE for side in (self.width, self.height)):
            raise self._refuse("viewBox", wording.LOGO_VIEW_BOX())
        scale = 1.0 / max(self.width, self.height)
        return scale, 0.0, 0.0, -scale, -left * scale, (top + self.height) * scale

    def _paint(self, name: str, attributes: Mapping[str, str], look: _Look) -> None:
        try:
            outline = _outline(name, attributes)
            path = [_operator(kind, points, look.matrix) for kind, points in path_segments(outline)]
        except (ValueError, ArithmeticError) as error:
            key = f"{name}.{'/'.join(_OUTLINES[name])}"
            written = " ".join(attributes[own] for own in _OUTLINES[name] if own in attributes)
            # The part of it that is wrong, if the error is about one.
            part = str(error) if str(error) in written else written
            raise self._refuse(key, wording.LOGO_NUMBERS(value=repr(part[:40]))) from None
        if path and look.fill:
            color = " ".join(f"{int(look.fill[i : i + 2], 16) / 255:.4g}" for i in (0, 2, 4))
            self.code += [f"{color} rg", *path, "f*" if look.is_even_odd else "f"]


def _style(attributes: Mapping[str, str]) -> Iterable[tuple[str, str]]:
    """The declarations of a `style` as attributes, before which they come."""
    for part in attributes.get("style", "").split(";"):
        key, colon, value = part.partition(":")
        if part.strip():
            # Without a colon it is no declaration, and refused as an attribute that is not known.
            yield (key.strip(), value.strip()) if colon else (f"style {key.strip()}", "")


def _outline(name: str, attributes: Mapping[str, str]) -> str:
    """The outline of a shape as path data."""
    if name == "path":
        return attributes.get("d", "")
    if name == "polygon":
        points = numbers(attributes.get("points", ""))
        if len(points) % 2:
            raise ValueError(attributes["points"])
        return f"M{' '.join(map(repr, points))}Z" if points else ""
    given = {key: numbers(attributes[key])[0] for key in _OUTLINES[name] if attributes.get(key)}
    if name == "rect":
        x, y, width, height = (given.get(key, 0.0) for key in ("x", "y", "width", "height"))
        rx = min(given.get("rx", given.get("ry", 0.0)), width / 2)
        ry = min(given.get("ry", given.get("rx", 0.0)), height / 2)
        if min(width, height, rx, ry) < 0.0:
            raise ValueError(min(width, height, rx, ry))
        if not rx or not ry:
            return f"M{x!r} {y!r}h{width!r}v{height!r}h{-width!r}z"
        corner = f"a{rx!r} {ry!r} 0 0 1 "
        return (
            f"M{x + rx!r} {y!r}h{width - 2 * rx!r}{corner}{rx!r} {ry!r}v{height - 2 * ry!r}{corner}{-rx!r} {ry!r}"
            f"h{2 * rx - width!r}{corner}{-rx!r} {-ry!r}v{2 * ry - height!r}{corner}{rx!r} {-ry!r}z"
        )
    rx, ry = given.get("r", given.get("rx", 0.0)), given.get("r", given.get("ry", 0.0))
    half = f"a{rx!r} {ry!r} 0 0 1 "
    return f"M{given.get('cx', 0.0) - rx!r} {given.get('cy', 0.0)!r}{half}{2 * rx!r} 0{half}{-2 * rx!r} 0z"


def _transform(text: str) -> Matrix:
    """The product of a list of transformations."""
    matrix, at = _IDENTITY, 0
    while at < len(text.rstrip()):
        match = _TRANSFORM.match(text, at)
        if match is None:
            raise ValueError(text)
        matrix, at = _times(matrix, _one_transform(match[1], numbers(match[2]))), match.end()
    return matrix


def _one_transform(kind: str, values: list[float]) -> Matrix:
    if kind == "matrix":
        a, b, c, d, e, f = values
        return a, b, c, d, e, f
    if kind == "rotate":
        angle, *about = values
        x, y = about or (0.0, 0.0)
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        return cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y
    if not 1 <= len(values) <= 2:
        raise ValueError(kind)
    x, y = values[0], values[-1] if kind == "scale" or len(values) == 2 else 0.0
    return (1.0, 0.0, 0.0, 1.0, x, y) if kind == "translate" else (x, 0.0, 0.0, y, 0.0, 0.0)


def _times(outer: Matrix, inner: Matrix) -> Matrix:
    """One transformation after another."""
    a, b, c, d, e, f = outer
    (g, h), (i, j), (k, m) = inner[0:2], inner[2:4], inner[4:6]
    return a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f


def _operator(kind: str, points: Iterable[Point], matrix: Matrix) -> str:
    """A segment as PDF writes it."""
    a, b, c, d, e, f = matrix
    values = [v for x, y in points for v in (a * x + c * y + e, b * x + d * y + f)]
    if not all(abs(value) <= _MAX_COORDINATE for value in values):
        raise OverflowError(values)
    return " ".join([*(f"{value:.5f}".rstrip("0").rstrip(".") for value in values), kind])
