"""Rows of equal height under a header, spread over the height that a page has left, and continued on the next.

Window tables, selection maps and sheets of figures are set like this; what is in a row is theirs.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Sequence
from typing import Generic, Self, TypeVar

from reportlab.platypus import Flowable, PageBreak

from tablegen.report.pdf.drawing import Pen, Shape, draw_shapes, line_path
from tablegen.report.pdf.paragraphs import paragraph
from tablegen.report.pdf.structure import Tags, Untagged, is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter

Row = TypeVar("Row")
# A height above which no page ends: things are only measured.
_ENDLESS = 1e4
# A horizontal line: its height and its weight [pt].
Rule = tuple[float, float]


class SpreadRows(Flowable, Generic[Row]):
    """Rows of equal height, as high as the page allows.

    Parameters
    ----------
    rows : sequence
    reserve : float
        Height [pt] to leave free below, for what follows on the last page.
    continued : str
        Title above the rows that continue on another page; none if empty.

    Attributes
    ----------
    fewest : int
        Fewer rows than this are not on a page by themselves.
    worth : float
        Share of a page that is used rather than left for the next, if that would hold the whole.
    keeps_reserve : bool
        Whether what follows must be on the page of the last rows.
    """

    head: float
    tightest: float
    loosest: float
    leading: float
    height: float
    fewest = 4
    worth = 0.75
    keeps_reserve = True

    def __init__(self, rows: Sequence[Row], reserve: float, continued: str) -> None:
        super().__init__()
        self.rows, self.reserve, self.continued = rows, reserve, continued
        self.hAlign = "LEFT"
        self._whole = self

    def measure(self, width: float) -> None:
        """Set `width`, and the heights [pt]: `head`, and of a row `tightest` and `loosest`."""
        raise NotImplementedError

    def shapes(self) -> Iterable[Shape]:
        """What is painted under the texts."""
        return ()

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """Set the cells of the header."""
        raise NotImplementedError

    def set_row(self, text: Typesetter, structure: Tags, row: Row, foot: float) -> None:
        """Set the cells of a row, which begins at a height."""
        raise NotImplementedError

    @property
    def least_height(self) -> float:
        """Height [pt] with the rows as close as they go."""
        return self.head + self.tightest * len(self.rows)

    @property
    def fewest_height(self) -> float:
        """Height [pt] with as few rows as a page may have by themselves."""
        return self.head + self.tightest * self.fewest

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Spread the rows over the height [pt]; ask for more than there is if they do not fit."""
        self.measure(aW)
        free = aH - self.reserve
        # Only measured, they are as close as they go, so that headings can stay with them.
        height = self.least_height if not math.isfinite(free) or free > _ENDLESS else free
        self.leading = min(max((height - self.head) / len(self.rows), self.tightest), self.loosest)
        self.height = self.head + len(self.rows) * self.leading
        lacks = self.keeps_reserve and self.least_height > height
        return self.width, self.height + self.reserve * lacks

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """As many rows as fit here, the others on the next page under the same header.

        What fits a page of its own goes there whole.
        """
        self.measure(aW)
        frame = getattr(self, "_frame", None)
        page = frame._height if frame is not None else aH
        needed = self.least_height + self.reserve * self.keeps_reserve
        here = self.share(int((aH - self.head + 1e-6) / self.tightest))
        if here < self.fewest or (aH < self.worth * page and needed <= page):
            return []
        title = [paragraph(self.continued, "continued")] if self.continued else []
        return [self._part(slice(here), 0.0), PageBreak(), *title, self._part(slice(here, None), self.reserve)]

    def share(self, fitting: int) -> int:
        """How many of the rows that fit are set here, where all do not."""
        return min(fitting, len(self.rows) - self.fewest)

    def _part(self, rows: slice, reserve: float) -> Self:
        part = copy.copy(self)
        part.rows, part.reserve = self.rows[rows], reserve
        return part

    def draw(self) -> None:
        """Paint shapes, then set all texts in the order of reading."""
        if is_trial(self.canv):
            return
        draw_shapes(self.canv, self.shapes())
        head, text, structure = Typesetter(self.canv), Typesetter(self.canv), tags(self.canv)
        with structure.element("Table", source=self._whole) as table:
            # Marked once, on the first page.
            own = Untagged(self.canv) if table.is_continued else structure
            with own.element("TR"):
                self.set_head(head, own)
            for i, row in enumerate(self.rows):
                with structure.element("TR"):
                    self.set_row(text, structure, row, self.foot(i))
        for part in (head, text):
            part.paint()

    def foot(self, row: int) -> float:
        """Height [pt] at which a row begins."""
        return self.height - self.head - (row + 1) * self.leading

    def rules(self, rules: Iterable[Rule]) -> Iterable[Shape]:
        """Lines all across."""
        for y, weight in rules:
            yield Shape(path=line_path([(0.0, y), (self.width, y)]), pen=Pen(weight))
