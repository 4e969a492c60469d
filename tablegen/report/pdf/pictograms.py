"""Pictograms of our own: what an application is about, in marks that cannot be confused, in black alone, at 10 pt or at 100 pt.

Each is drawn on a grid of 24 units. A pictogram is placed in a drawing (`pictogram_shapes`), on a canvas
(`draw_pictogram`) or in the flow of a page (`PictogramFlowable`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import ROUND, Box, Pen, Shape, draw_shapes
from tablegen.report.pdf.structure import is_trial, tags
from tablegen.report.pdf.typesetting import number
from tablegen.wording import pictograms as wording
from tablegen.wording.message import Message, listed

_GRID = 24.0


@dataclass(frozen=True, slots=True)
class _Part:
    """Operators of PDF on the grid, and the width of their line there; an area without one."""

    path: str
    line: float = 0.0


_THICK, _THIN = 2.4, 1.2
# What a head pressure moves between.
_LIMITS = _Part("2 21.5 m 22 21.5 l 2 2.5 m 22 2.5 l", _THIN)
# An arm of a crystal with its two branches, then the others, each turned by a sixth of a circle.
_CRYSTAL = (
    "12 12 m 12 22 l 8.6 21 m 12 17.6 l 15.4 21 l "
    "12 12 m 20.66 17 l 18.09 19.44 m 16.85 14.8 l 21.49 13.56 l "
    "12 12 m 20.66 7 l 21.49 10.44 m 16.85 9.2 l 18.09 4.56 l "
    "12 12 m 12 2 l 15.4 3 m 12 6.4 l 8.6 3 l "
    "12 12 m 3.34 7 l 5.91 4.56 m 7.15 9.2 l 2.51 10.44 l "
    "12 12 m 3.34 17 l 2.51 13.56 m 7.15 14.8 l 5.91 19.44 l"
)
_DROP = "12 22.5 m 11 19.5 5 13.6 5 8.8 c 5 4.8 8.1 1.5 12 1.5 c 15.9 1.5 19 4.8 19 8.8 c 19 13.6 13 19.5 12 22.5 c h"


class Pictogram(Enum):
    """What a pictogram stands for."""

    COOLER = "cooler"
    FREEZER = "freezer"
    FLOATING_HEAD = "floating head"
    FIXED_HEAD = "fixed head"
    LIQUID_RISER = "liquid riser"
    LONG_LINE = "long line"

    @property
    def title(self) -> str:
        """In words, for readers who cannot see it and beside it in a legend."""
        return _TITLES[self]()


_TITLES: dict[Pictogram, Message] = {
    Pictogram.COOLER: wording.COOLER,
    Pictogram.FREEZER: wording.FREEZER,
    Pictogram.FLOATING_HEAD: wording.FLOATING_HEAD,
    Pictogram.FIXED_HEAD: wording.FIXED_HEAD,
    Pictogram.LIQUID_RISER: wording.LIQUID_RISER,
    Pictogram.LONG_LINE: wording.LONG_LINE,
}
_PARTS: dict[Pictogram, tuple[_Part, ...]] = {
    Pictogram.COOLER: (_Part(_DROP),),
    Pictogram.FREEZER: (_Part(_CRYSTAL, 1.5),),
    # Low in winter, high in summer; always high.
    Pictogram.FLOATING_HEAD: (_LIMITS, _Part("2 17.5 m 8 17.5 8 6.5 12 6.5 c 16 6.5 16 17.5 22 17.5 c", _THICK)),
    Pictogram.FIXED_HEAD: (_LIMITS, _Part("2 16 m 22 16 l", _THICK)),
    # A pipe that climbs; a pipe that takes the long way. Their arrows are the flow.
    Pictogram.LIQUID_RISER: (
        _Part("2.5 3 m 14 3 l 14 14 l", _THICK),
        _Part("14 23 m 8 13 l 20 13 l h"),
    ),
    Pictogram.LONG_LINE: (
        _Part("2.5 21 m 17.5 21 l 19.6 21 21.3 19.3 21.3 17.2 c 21.3 15.1 19.6 13.4 17.5 13.4 c 6.3 13.4 l", _THICK),
        _Part("6.3 13.4 m 4.3 13.4 2.6 11.7 2.6 9.7 c 2.6 7.7 4.3 6 6.3 6 c 14 6 l", _THICK),
        _Part("23 6 m 13.5 11.2 l 13.5 0.8 l h"),
    ),
}


def pictogram_shapes(pictogram: Pictogram, box: Box, ink: str = design.BLACK) -> Iterator[Shape]:
    """A pictogram in the largest square at the middle of a box; on a black band its ink is white.

    Parameters
    ----------
    pictogram : Pictogram
    box : Box
    ink : str
        A color of the design.
    """
    side = min(box.width, box.height)
    unit = side / _GRID
    left, bottom = 0.5 * (box.left + box.right - side), 0.5 * (box.bottom + box.top - side)
    for part in _PARTS[pictogram]:
        path = _placed(part.path, unit, left, bottom)
        if part.line:
            yield Shape(path=path, pen=Pen(part.line * unit, ink, cap=ROUND), name=pictogram.value)
        else:
            yield Shape(path=path, fill=ink, name=pictogram.value)


def _placed(path: str, unit: float, left: float, bottom: float) -> str:
    """Operators of the grid on the page, x and y in turn."""
    placed: list[str] = []
    is_x = True
    for word in path.split():
        if word.isalpha():
            placed.append(word)
        else:
            placed.append(number((left if is_x else bottom) + float(word) * unit))
            is_x = not is_x
    return " ".join(placed)


def draw_pictogram(canvas: Canvas, pictogram: Pictogram, box: Box, ink: str = design.BLACK) -> None:
    """Draw a pictogram on a canvas, beside words that say the same."""
    draw_shapes(canvas, pictogram_shapes(pictogram, box, ink))


class PictogramFlowable(Flowable):
    """Pictograms beside each other in the flow of a document.

    Parameters
    ----------
    pictograms : tuple of Pictogram
        At least one.
    side : float
        Of each [pt].
    """

    def __init__(self, pictograms: tuple[Pictogram, ...], side: float = design.PICTOGRAM) -> None:
        super().__init__()
        self.pictograms, self.side = pictograms, side
        self._step = side * (1.0 + design.PICTOGRAM_GAP)
        self.width, self.height = self._step * (len(pictograms) - 1) + side, side
        self.hAlign = "LEFT"

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Its own size."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw them as one figure, named in words."""
        if is_trial(self.canv):
            return
        alt = wording.ALT(meanings=listed([pictogram.title for pictogram in self.pictograms]))
        with tags(self.canv).figure(alt, self.width, self.height):
            for place, pictogram in enumerate(self.pictograms):
                left = place * self._step
                draw_pictogram(self.canv, pictogram, Box(left, 0.0, left + self.side, self.side))
