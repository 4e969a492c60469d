"""Where every text of a PDF's page is: what overlaps, is set twice or runs out of its box on the paper.

Read from the printed page, so that it applies to whatever drew the text: tables, paragraphs, graphs.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import hypot, inf
from typing import Any

import pypdfium2  # type: ignore[import-untyped]
import pypdfium2.raw as pdfium  # type: ignore[import-untyped]

from tablegen.report.pdf.fonts import CAP_HEIGHT

# The outer strip of a page that printers cut or cannot reach [pt].
EDGE = 5.0 * 72.0 / 25.4
# Round letters reach over their line by less than this [pt].
TOUCH = 0.3
# In type sizes: a character goes on with the text before it if it begins this near to that one's end.
_BACK, _AHEAD, _BESIDE = 0.03, 0.4, 0.02


@dataclass
class Box:
    """A rectangle on the page [pt], empty until it is grown."""

    left: float = inf
    bottom: float = inf
    right: float = -inf
    top: float = -inf

    def grow(self, left: float, bottom: float, right: float, top: float) -> None:
        self.left, self.bottom = min(self.left, left), min(self.bottom, bottom)
        self.right, self.top = max(self.right, right), max(self.top, top)

    def overlaps(self, other: Box) -> bool:
        """Whether both share more than a touch in both directions."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.top, other.top) - max(self.bottom, other.bottom)
        return wide > TOUCH and high > TOUCH

    def __str__(self) -> str:
        return f"({self.left:.1f} {self.bottom:.1f} {self.right:.1f} {self.top:.1f})"


@dataclass
class Run:
    """Characters that follow each other on one baseline, and the box of their ink.

    The box reaches from the baseline to the height of capitals at least, and no further than ink does: lines of
    usual leading stay apart, and a row of dots or minus signs still has a height.
    """

    along: tuple[float, float]
    text: str = ""
    box: Box = field(default_factory=Box)
    end: tuple[float, float] = (0.0, 0.0)

    def __str__(self) -> str:
        return f"{self.text.strip()!r} {self.box}"


def problems(pdf: bytes) -> list[str]:
    """What is wrong with the texts of a document, a line each, with its page (from 1)."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    try:
        for number, page in enumerate(document, 1):
            reader = page.get_textpage()
            runs = [run for run in _runs(reader) if run.text.strip()]
            found += [f"page {number}: {what}" for what in _overlaps(runs)]
            found += [f"page {number}: {what}" for what in _outside(runs, *page.get_size())]
            found += [f"page {number}: {what}" for what in _doubles(page, reader)]
            reader.close()
            page.close()
    finally:
        document.close()
    return found


def runs_of_page(pdf: bytes, number: int) -> list[Run]:
    """The runs of one page (from 1)."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [run for run in _runs(document[number - 1].get_textpage()) if run.text.strip()]
    finally:
        document.close()


def _runs(reader: Any) -> Iterator[Run]:
    """Group a page's characters in the order that they are drawn in."""
    run: Run | None = None
    x, y, matrix, loose = ctypes.c_double(), ctypes.c_double(), pdfium.FS_MATRIX(), pdfium.FS_RECTF()
    for i in range(reader.count_chars()):
        if pdfium.FPDFText_IsGenerated(reader, i) == 1:
            continue
        pdfium.FPDFText_GetCharOrigin(reader, i, x, y)
        pdfium.FPDFText_GetMatrix(reader, i, matrix)
        kind = pdfium.FPDFText_GetFontSize(reader, i)
        size = kind * hypot(matrix.c, matrix.d)
        scale = hypot(matrix.a, matrix.b)
        along = (matrix.a / scale, matrix.b / scale)
        if run is None or not _goes_on(run, (x.value, y.value), along, size):
            if run is not None:
                yield run
            run = Run(along)
        pdfium.FPDFText_GetLooseCharBox(reader, i, loose)
        is_upright = abs(along[0]) > abs(along[1])
        # The far side of the character's advance, along its own direction.
        if is_upright:
            advance = max((loose.left - x.value) * along[0], (loose.right - x.value) * along[0])
        else:
            advance = max((loose.bottom - y.value) * along[1], (loose.top - y.value) * along[1])
        run.end = (x.value + advance * along[0], y.value + advance * along[1])
        letter = chr(pdfium.FPDFText_GetUnicode(reader, i))
        run.text += letter
        if letter.isspace():
            continue
        ink = reader.get_charbox(i)
        run.box.grow(*ink)
        # Up to the height of capitals, across the direction of the text.
        if is_upright:
            top = y.value + CAP_HEIGHT * kind * matrix.d
            run.box.grow(ink[0], min(y.value, top), ink[2], max(y.value, top))
        else:
            top = x.value + CAP_HEIGHT * kind * matrix.c
            run.box.grow(min(x.value, top), ink[1], max(x.value, top), ink[3])
    if run is not None:
        yield run


def _goes_on(run: Run, origin: tuple[float, float], along: tuple[float, float], size: float) -> bool:
    step = (origin[0] - run.end[0], origin[1] - run.end[1])
    ahead = step[0] * along[0] + step[1] * along[1]
    beside = step[1] * along[0] - step[0] * along[1]
    is_parallel = hypot(along[0] - run.along[0], along[1] - run.along[1]) < 1e-3
    return is_parallel and -_BACK * size <= ahead <= _AHEAD * size and abs(beside) <= _BESIDE * size


def _overlaps(runs: list[Run]) -> Iterator[str]:
    ordered = sorted(runs, key=lambda run: run.box.left)
    for i, first in enumerate(ordered):
        for second in ordered[i + 1 :]:
            if second.box.left > first.box.right:
                break
            if first.box.overlaps(second.box):
                yield f"{first} overlaps {second}"


def _outside(runs: list[Run], width: float, height: float) -> Iterator[str]:
    for run in runs:
        box = run.box
        sides = {
            "left": box.left < EDGE,
            "foot": box.bottom < EDGE,
            "right": box.right > width - EDGE,
            "head": box.top > height - EDGE,
        }
        beyond = [side for side, is_out in sides.items() if is_out]
        if beyond:
            yield f"{run} leaves the page's room at the {' and '.join(beyond)}"


def _doubles(page: Any, reader: Any) -> Iterator[str]:
    """Texts drawn over their like, whose characters the reader leaves out of the page's text."""
    for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
        left, bottom, right, top = item.get_bounds()
        # Two bytes are the end of a text without characters.
        if right - left > TOUCH and top - bottom > TOUCH and pdfium.FPDFTextObj_GetText(item, reader, None, 0) <= 2:
            yield f"the text in {Box(left, bottom, right, top)} is drawn over its like"
