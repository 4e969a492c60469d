"""A drawing as a value, in points from its lower left corner: made once, then placed on any page or written as a file.

Lines and areas are kept as operators of PDF. Texts are encoded for each document, so that they stay searchable in the
document's own faces.

References
----------
ISO 32000-1, 8.5 path construction and painting, 9.4 text objects.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from tablegen.report.pdf import fonts
from tablegen.report.pdf.design import ACCENT, BLACK, DEFAULT_ACCENT
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import number, pieces

BUTT, ROUND, PROJECTING = 0, 1, 2
# Distance of the handles of a quarter of a circle from its ends, over the radius.
_QUARTER = 0.5523


class Box(NamedTuple):
    """A rectangle [pt]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    def wider(self, by: float) -> Box:
        """The rectangle around it, so far away on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: width [pt], color, dashes and gaps in widths of the line, and its ends."""

    width: float
    color: str = BLACK
    dashes: tuple[float, ...] = ()
    cap: int = BUTT

    def lengths(self) -> list[str]:
        """Dashes and gaps [pt]."""
        return [number(part * self.width) for part in self.dashes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Lines or areas of one look.

    Attributes
    ----------
    path : str
        Operators of PDF.
    pen : Pen or None
    fill : str
        A color, or nothing.
    clips : tuple of str
        Paths inside which it is visible.
    name : str
        What it stands for, if anything has to find it.
    repeats : tuple of float
        How far to the right it is drawn again, each time [pt]: the same code again takes next to nothing in a file.
    """

    path: str
    pen: Pen | None = None
    fill: str = ""
    clips: tuple[str, ...] = ()
    name: str = ""
    repeats: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text in black, from the left end of its baseline; upright it runs up."""

    text: str
    x: float
    y: float
    face: str
    size: float
    is_upright: bool = False

    @property
    def width(self) -> float:
        """Length of the line [pt]."""
        return fonts.text_width(self.text, self.face, self.size)


@dataclass(frozen=True)
class Drawing:
    """A drawing of a size [pt], its items in the order that they are drawn in.

    Attributes
    ----------
    quantity : str
        What it shows, as its own axis says it.
    """

    width: float
    height: float
    items: tuple[Shape | Label, ...]
    quantity: str = ""

    @functools.cached_property
    def _by_accent(self) -> dict[str, list[str | Label]]:
        return {}

    def _parts(self, accent: str) -> list[str | Label]:
        """Page code and, between it, the texts that each document encodes."""
        if accent not in self._by_accent:
            self._by_accent[accent] = self._coded(accent)
        return self._by_accent[accent]

    def _coded(self, accent: str) -> list[str | Label]:
        parts: list[str | Label] = []
        for item in self.items:
            code = item if isinstance(item, Label) else _shape_code(item, accent)
            if isinstance(code, str) and parts and isinstance(parts[-1], str):
                parts[-1] = f"{parts[-1]}\n{code}"
            else:
                parts.append(code)
        return parts

    def place(self, canvas: Canvas) -> None:
        """Draw on a canvas, from its origin."""
        texts = (part if isinstance(part, str) else _label_code(canvas, part) for part in self._parts(_accent(canvas)))
        code: Any = getattr(canvas, "_code")  # noqa: B009 (private to the library)
        code.append("\n".join(("q", _fill_code(BLACK), *texts, "Q")))


def draw_shapes(canvas: Canvas, shapes: Iterable[Shape]) -> None:
    """Draw shapes on a canvas, from its origin."""
    code: Any = getattr(canvas, "_code")  # noqa: B009 (private to the library)
    # Each by itself, so that what is unmarked differs from a change of state.
    for shape in shapes:
        code += ["q", *_shape_parts(shape, _accent(canvas)), "Q"]


def _accent(canvas: object) -> str:
    """The accent of the document that a canvas draws."""
    return str(getattr(canvas, "accent", DEFAULT_ACCENT))


class DrawingFlowable(Flowable):
    """A drawing in the flow of a document.

    Parameters
    ----------
    drawing : Drawing
    alt : str
        What it shows, for readers who cannot see it; a document with structure tags needs it.

    Attributes
    ----------
    page : int
        The page that it was drawn on, from 1; 0 before.
    """

    def __init__(self, drawing: Drawing, alt: str = "") -> None:
        super().__init__()
        self.drawing, self.alt, self.page = drawing, alt, 0
        self.width, self.height = drawing.width, drawing.height
        self.hAlign = "LEFT"

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Its own size."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw at the current place of the page."""
        if is_trial(self.canv):
            return
        self.page = self.canv.getPageNumber()
        with tags(self.canv).figure(self.alt, self.width, self.height):
            self.drawing.place(self.canv)


def line_path(points: Iterable[tuple[float, float]], is_closed: bool = False) -> str:
    """The path through points."""
    (x, y), *others = points
    return "\n".join((f"{x:.2f} {y:.2f} m", *(f"{x:.2f} {y:.2f} l" for x, y in others), *(["h"] if is_closed else [])))


def box_path(box: Box) -> str:
    """The path around a box."""
    return f"{box.left:.2f} {box.bottom:.2f} {box.width:.2f} {box.height:.2f} re"


def circle_path(x: float, y: float, radius: float) -> str:
    """The path around a circle, of four curves."""
    turns = ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 0))

    def curves() -> Iterator[str]:
        yield f"{x + radius:.2f} {y:.2f} m"
        for (ax, ay), (bx, by) in itertools.pairwise(turns):
            handles = (ax + _QUARTER * bx, ay + _QUARTER * by, bx + _QUARTER * ax, by + _QUARTER * ay, bx, by)
            yield " ".join(number((x, y)[i % 2] + radius * value) for i, value in enumerate(handles)) + " c"
        yield "h"

    return "\n".join(curves())


def _shape_code(shape: Shape, accent: str) -> str:
    """A shape as page code that leaves everything as it was."""
    return "\n".join(("q", *_shape_parts(shape, accent), "Q"))


def _shape_parts(shape: Shape, accent: str) -> list[str]:
    """What sets up a shape, and what paints it."""
    pen, code = shape.pen, [f"{clip}\nW n" for clip in shape.clips]
    if shape.fill:
        code.append(_fill_code(shape.fill, accent))
    if pen is not None:
        # Joints are round.
        code += [f"{number(pen.width)} w", f"{pen.cap} J", "1 j", _stroke_code(pen.color, accent)]
        if pen.dashes:
            code.append(f"[{' '.join(pen.lengths())}] 0 d")
    painted = f"{shape.path}\n{'B' if shape.fill and pen else 'f' if shape.fill else 'S'}"
    return [*code, painted, *(f"q\n1 0 0 1 {number(right)} 0 cm\n{painted}\nQ" for right in shape.repeats)]


def _label_code(canvas: Canvas, label: Label) -> str:
    matrix = "0 1 -1 0" if label.is_upright else "1 0 0 1"
    shown = " ".join(f"{name} {number(label.size)} Tf {text}" for name, text in pieces(canvas, label.text, label.face))
    return " ".join(("BT", matrix, number(label.x), number(label.y), "Tm", shown, "ET"))


def written(color: str, accent: str = DEFAULT_ACCENT) -> str:
    """A color of the design as `#RRGGBB`; the accent is that of the document."""
    return accent if color == ACCENT else color


@functools.cache
def _rgb(color: str) -> str:
    """A color `#RRGGBB` as the three numbers of PDF, from 0 to 1."""
    return " ".join(f"{int(color[i : i + 2], 16) / 255.0:.4f}".rstrip("0").rstrip(".") for i in (1, 3, 5))


def _fill_code(color: str, accent: str = DEFAULT_ACCENT) -> str:
    """The operator that fills in a color from here on."""
    return f"{_rgb(written(color, accent))} rg"


def _stroke_code(color: str, accent: str = DEFAULT_ACCENT) -> str:
    """The operator that strokes in a color from here on."""
    return f"{_rgb(written(color, accent))} RG"
