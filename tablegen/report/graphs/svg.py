"""A drawing as SVG: as a file, which needs no font, with texts as outlines; or on a screen, in the ink and face of its page."""

from __future__ import annotations

import functools
import hashlib
import io
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from typing import Any

from tablegen.report.pdf import fonts
from tablegen.report.pdf.design import ACCENT, DEFAULT_ACCENT, NOTE, WHITE
from tablegen.report.pdf.drawing import Drawing, Label, Pen, Shape, written
from tablegen.report.pdf.typesetting import number

# Operators of paths in PDF and in SVG.
_OPERATORS = {"m": "M", "l": "L", "c": "C", "h": "Z"}
# Around a drawing that is a file of its own [pt]: on a page what is written at its edge has air too.
MARGIN = 6.0
# From one line under a drawing to the next [pt].
FOOT = 1.25 * NOTE
_CAPS = ("butt", "round", "square")
_WEIGHTS = {fonts.SEMIBOLD: "600", fonts.BOLD: "700"}


def svg(drawing: Drawing, title: str = "", about: str = "", accent: str = DEFAULT_ACCENT, foot: str = "") -> str:
    """A drawing with a margin as an SVG element; the same drawing gives the same text.

    `title` and `about` are for who opens the file, `accent` is the color that the design calls so, `foot` stands under
    the drawing.
    """
    below = foot_lines(drawing, foot)
    items = (*drawing.items, *below)
    # What elements refer to by name is told from that of other drawings on one page.
    key = hashlib.sha256(repr(items).encode()).hexdigest()[:8]
    definitions = _Definitions(key)
    body = [
        _label(item, definitions) if isinstance(item, Label) else _shape(item, definitions, accent) for item in items
    ]
    wide, high = (f"{length + 2.0 * MARGIN:g}" for length in (drawing.width, drawing.height + FOOT * len(below)))
    box = f"{-MARGIN:g} {-MARGIN:g} {wide} {high}"
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}pt" height="{high}pt" viewBox="{box}">',
            *([f"<title>{escape(title)}</title>"] if title else []),
            *([f"<desc>{escape(about)}</desc>"] if about else []),
            f'<rect x="{-MARGIN:g}" y="{-MARGIN:g}" width="{wide}" height="{high}" fill="#fff"/>',
            f"<defs>{''.join(definitions.elements())}</defs>",
            f'<g transform="matrix(1 0 0 -1 0 {drawing.height:g})" stroke-linejoin="round">',
            *body,
            "</g>",
            "</svg>",
        )
    )


def foot_lines(drawing: Drawing, text: str) -> list[Label]:
    """A text in lines under a drawing, below its origin."""
    lines = fonts.wrapped(fonts.check_glyphs(text), fonts.REGULAR, NOTE, drawing.width) if text else []
    return [
        Label(text=line, x=0.0, y=-FOOT * number, face=fonts.REGULAR, size=NOTE)
        for number, line in enumerate(lines, start=1)
    ]


def screen_svg(drawing: Drawing, alt: str, key: str) -> str:
    """A drawing as an SVG element of a page, as wide as there is room, readable on light and on dark paper.

    Black is the page's ink, gray and tints are shares of it, white is its paper.  A page may give the classes `paper`
    and `accent` colors of its own.  Texts keep the lengths that they have in print.

    Parameters
    ----------
    drawing : Drawing
    alt : str
        What it shows.
    key : str
        Begins the ids in it; another for each drawing of a page.
    """
    definitions = _Definitions(key)
    wide, high = (f"{length:g}" for length in (drawing.width, drawing.height))
    body = [
        _screen_label(item) if isinstance(item, Label) else _screen_shape(item, definitions) for item in drawing.items
    ]
    return "".join(
        (
            f'<svg role="img" aria-labelledby="{key}-title" viewBox="0 0 {wide} {high}" width="{wide}pt" height="{high}pt" '
            'font-family="system-ui, sans-serif" fill="currentColor">',
            f'<title id="{key}-title">{escape(alt)}</title>',
            f"<defs>{''.join(definitions.elements())}</defs>" if definitions else "",
            f'<g transform="matrix(1 0 0 -1 0 {high})" stroke-linejoin="round">',
            *body,
            "</g></svg>",
        )
    )


class _Definitions:
    """What several items use: glyphs of the faces, and paths that cut."""

    def __init__(self, key: str) -> None:
        self._key = key
        self._found: dict[tuple[str, str], str] = {}

    def __len__(self) -> int:
        return len(self._found)

    def name(self, kind: str, path: str) -> str:
        """What a path is referred to by, as a glyph or as a clip."""
        return self._found.setdefault((kind, path), f"{kind}{len(self._found)}-{self._key}")

    def elements(self) -> Iterator[str]:
        """Every element that is referred to."""
        for (kind, path), name in self._found.items():
            shape = f'<path id="{name}" d="{path}"/>' if kind == "glyph" else f'<path d="{path}"/>'
            yield shape if kind == "glyph" else f'<clipPath id="{name}">{shape}</clipPath>'


def _path(code: str) -> str:
    """Operators of PDF, one a line, as the data of an SVG path."""

    def parts() -> Iterable[str]:
        for line in code.splitlines():  # none of a path without a point
            *numbers, operator = line.split()
            if operator == "re":
                left, bottom, wide, high = numbers
                yield f"M{left} {bottom}h{wide}v{high}h{number(-float(wide))}Z"
            else:
                yield _OPERATORS[operator] + " ".join(numbers)

    return "".join(parts())


def _shape(shape: Shape, definitions: _Definitions, accent: str) -> str:
    look = [f'fill="{written(shape.fill, accent) or "none"}"']
    look += [f'stroke="{written(shape.pen.color, accent)}"', *_line(shape.pen)] if shape.pen is not None else []
    return _element(shape, look, definitions)


def _line(pen: Pen) -> list[str]:
    look = [f'stroke-width="{pen.width:g}"', f'stroke-linecap="{_CAPS[pen.cap]}"']
    return look + ([f'stroke-dasharray="{" ".join(pen.lengths())}"'] if pen.dashes else [])


def _element(shape: Shape, look: Sequence[str], definitions: _Definitions) -> str:
    """The paths of a shape of some look, cut."""
    text = f'<path d="{_path(shape.path)}" {" ".join(look)}/>'
    text += "".join(f'<g transform="translate({number(right)} 0)">{text}</g>' for right in shape.repeats)
    for clip in shape.clips:
        text = f'<g clip-path="url(#{definitions.name("clip", _path(clip))})">{text}</g>'
    return text


def _screen_shape(shape: Shape, definitions: _Definitions) -> str:
    look = _ink("fill", shape.fill) if shape.fill else ['fill="none"']
    look += [*_ink("stroke", shape.pen.color), *_line(shape.pen)] if shape.pen is not None else []
    classes = [own for own, color in (("paper", WHITE), ("accent", ACCENT)) if shape.fill == color]
    if shape.pen is not None and shape.pen.color == ACCENT and not shape.fill:
        classes = ["accent-line"]
    look += [f'class="{classes[0]}"'] if classes else []
    look += [f'data-part="{escape(shape.name)}"'] if shape.name else []
    return _element(shape, look, definitions)


def _ink(use: str, color: str) -> list[str]:
    """A color as the page's paper, or as its ink or a share of it."""
    if color == WHITE:
        return [f'{use}="Canvas"']
    share = 1.0 if color == ACCENT else 1.0 - int(color[1:3], 16) / 255.0
    return [f'{use}="currentColor"', *([f'{use}-opacity="{share:.2g}"'] if share < 1.0 else [])]


def _screen_label(label: Label) -> str:
    """A text in the face of its page, as long as in the face of print."""
    turn = "0 1 1 0" if label.is_upright else "1 0 0 -1"
    weight = f' font-weight="{_WEIGHTS[label.face]}"' if label.face in _WEIGHTS else ""
    return (
        f'<text transform="matrix({turn} {label.x:.2f} {label.y:.2f})" font-size="{label.size:g}" '
        f'textLength="{label.width:.1f}" lengthAdjust="spacingAndGlyphs"{weight}>{escape(label.text)}</text>'
    )


def _label(label: Label, definitions: _Definitions) -> str:
    """The glyphs of a text, in type sizes from the beginning of its line."""
    scale, x, glyphs = label.size / _units(label.face), 0, []
    for sign in label.text:
        path, advance = _glyph(label.face, sign)
        if path:
            glyphs.append(f'<use href="#{definitions.name("glyph", path)}" x="{x}"/>')
        x += advance
    turn = (0.0, scale, -scale, 0.0) if label.is_upright else (scale, 0.0, 0.0, scale)
    matrix = " ".join(f"{value:g}" for value in (*turn, round(label.x, 2), round(label.y, 2)))
    return f'<g transform="matrix({matrix})">{"".join(glyphs)}</g>'


def _units(face: str) -> int:
    key, _ = fonts.face_file(face)
    return int(_font(face, key)["head"].unitsPerEm)


def _glyph(face: str, sign: str) -> tuple[str, int]:
    """The outline of a sign and the advance to the next, in units of the face that has the name now."""
    return _outline(face, fonts.face_file(face)[0], sign)


@functools.cache
def _font(face: str, key: str) -> Any:
    # Needed only here.
    from fontTools.ttLib import TTFont

    return TTFont(io.BytesIO(fonts.face_file(face)[1]))


@functools.cache
def _outline(face: str, key: str, sign: str) -> tuple[str, int]:
    from fontTools.pens.svgPathPen import SVGPathPen

    font = _font(face, key)
    glyphs = font.getGlyphSet()
    glyph = glyphs[font.getBestCmap()[ord(sign)]]
    pen: Any = SVGPathPen(glyphs)
    glyph.draw(pen)
    return str(pen.getCommands()), int(glyph.width)
