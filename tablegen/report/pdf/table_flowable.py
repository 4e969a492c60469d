"""A table as one flowable: cells of lines set as one text object, rules, structure tags, and its parts over pages.

The library's own tables work out font, color and place again for every cell, and draw in every pass.

References
----------
ISO 32000-1, 14.8.4.3.4 table elements, 14.8.5.7 table attributes.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass

from reportlab.platypus import Flowable

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Pen, Shape, draw_shapes, line_path
from tablegen.report.pdf.paragraphs import indexed_pieces
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, Untagged, is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter

# Space for what hangs below the last line of a row with a rule under it.
_OVER_RULE = 2.5
# How far an index stands below the line, in type sizes.
_DROP = 0.22
# Rows with which a table of an answer begins at the foot of a page, and that it leaves for the next.
FEWEST_HERE, FEWEST_LEFT = 5, 3
_PLUS = re.compile(r"(\+)")
# A row: the lines of each cell.
Row = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Space [pt] at the right of a cell, over a row and under it; over the table and under it."""

    pad: float
    above: float
    below: float
    before: float
    after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TableDesign:
    """How all parts of a table are set.

    Attributes
    ----------
    widths : tuple of float
        Of the columns with the space at their right [pt].
    size, leading : float
        Of the type [pt].
    spacing : Spacing
    numeric, formulas : frozenset of int
        Columns set flush right, and columns in which an underscore begins the index of a symbol.
    is_ruled : bool
        Whether it has a header between rules; else it is a list of labels and values.
    groups : tuple of (str, int)
        Headings over so many columns each, from the second column on.
    figures : str
        The face of the columns behind the first of a ruled table.
    ruled_from : int
        The first column of those with a thin upright rule before each; 0 for none.
    """

    widths: tuple[float, ...]
    size: float
    leading: float
    spacing: Spacing
    numeric: frozenset[int] = frozenset()
    formulas: frozenset[int] = frozenset()
    is_ruled: bool = True
    groups: tuple[tuple[str, int], ...] = ()
    figures: str = fonts.REGULAR
    ruled_from: int = 0

    def height(self, row: Row, is_over_rule: bool) -> float:
        """Height of a row [pt]."""
        space = self.spacing
        below = max(space.below, _OVER_RULE) if is_over_rule else space.below
        return max(map(len, row)) * self.leading + space.above + below


class PageTable(Flowable):
    """Rows of lines of text in one design.

    Parameters
    ----------
    design : TableDesign
    header : Row or None
        Repeated over the rows of every page; None for a list of labels and values.
    rows : sequence of Row
    breaks : collection of int
        Rows (from 0) with a thin rule above.
    whole : PageTable or None
        What this is a part of: in the structure of the document they are one.

    Attributes
    ----------
    keeps_rows : bool
        Whether some rows at least are on either page, where that can be.
    """

    keeps_rows = False

    def __init__(
        self,
        design: TableDesign,
        header: Row | None,
        rows: Sequence[Row],
        breaks: Iterable[int] = (),
        whole: PageTable | None = None,
    ) -> None:
        super().__init__()
        self.design, self.header, self.rows, self.breaks = design, header, rows, frozenset(breaks)
        self.hAlign, self.spaceBefore, self.spaceAfter = "LEFT", design.spacing.before, design.spacing.after
        self.whole: PageTable = whole or self
        # Left edges of the columns, and the right edge of the last.
        self._edges = [0.0, *itertools.accumulate(design.widths)]
        self.width = self._edges[-1]
        above = [design.leading + design.spacing.above + design.spacing.below] if design.groups else []
        self._head = [*above, design.height(header, is_over_rule=True)] if header is not None else []
        # Of the rows; the last of a ruled table has a rule under it wherever it stands.
        self._heights = [design.height(row, is_over_rule=i + 1 in self.breaks) for i, row in enumerate(rows)]
        if design.is_ruled and rows:
            self._heights[-1] = design.height(rows[-1], is_over_rule=True)
        self.height = sum(self._head) + sum(self._heights)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Its own size."""
        return self.width, self.height

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """As many rows as fit, the others under the same header; nothing if not one fits."""
        here = self.fitting(aH)
        if self.keeps_rows and here < len(self.rows):
            enough = min(here, len(self.rows) - FEWEST_LEFT)
            is_at_top = getattr(getattr(self, "_frame", None), "_atTop", True)
            # What begins a page goes on it, however few rows are left then.
            here = max(enough, 1) if is_at_top else enough if enough >= FEWEST_HERE else 0
        if not 0 < here < len(self.rows):
            return [self] if here else []
        return [self._part(0, here), self._part(here, len(self.rows))]

    def fitting(self, room: float) -> int:
        """How many rows fit a height [pt]."""
        free, extra = (
            room - sum(self._head) + 1e-6,
            max(0.0, _OVER_RULE - self.design.spacing.below) * self.design.is_ruled,
        )
        ends = itertools.accumulate(self._heights)
        return sum(end + extra * (i + 1 < len(self.rows)) <= free for i, end in enumerate(ends))

    @property
    def least_height(self) -> float:
        """Height [pt] of the header and the rows with which the table may begin."""
        is_long = len(self.rows) >= FEWEST_HERE + FEWEST_LEFT
        return self._part(0, FEWEST_HERE).height if is_long else self.height

    def _part(self, start: int, stop: int) -> PageTable:
        breaks = [i - start for i in self.breaks if start < i < stop]
        part = PageTable(self.design, self.header, self.rows[start:stop], breaks, self.whole)
        part.keeps_rows = self.keeps_rows
        return part

    def draw(self) -> None:
        """Paint the rules, then set all texts in the order of reading."""
        if is_trial(self.canv):
            return
        if self.design.is_ruled:
            draw_shapes(self.canv, self._rules())
        head, text, structure = Typesetter(self.canv), Typesetter(self.canv), tags(self.canv)
        with structure.element("Table", source=self.whole) as table:
            # Marked once, on the first page.
            self._set_head(head, Untagged(self.canv) if table.is_continued else structure)
            top = self.height - sum(self._head)
            for row, height in zip(self.rows, self._heights, strict=True):
                with structure.element("TR"):
                    for j, lines in enumerate(row):
                        with structure.marked("TD" if j else "TH", "" if j else ROW, on=text):
                            face = self._face(j)
                            self._set_cell(text, j, lines, top - self.design.spacing.above, face)
                top -= height
        for part in (head, text):
            part.paint()

    def _set_head(self, text: Typesetter, structure: Tags) -> None:
        """The header: its lines stand on the line below, the headings over several columns on their middle."""
        design, top, edges = self.design, self.height, self._edges
        if self.header is None:
            return
        if design.groups:
            with structure.element("TR"):
                with structure.marked("TH", COLUMN, on=text):
                    pass
                start = 1
                for name, count in design.groups:
                    middle = 0.5 * (edges[start] + edges[start + count] - design.spacing.pad)
                    with _spanning(structure, count, text):
                        text.put(
                            middle, top - design.spacing.above - design.size, name, fonts.SEMIBOLD, design.size, 0.5
                        )
                    start += count
            top -= self._head[0]
        foot = top - self._head[-1] + max(design.spacing.below, _OVER_RULE)
        with structure.element("TR"):
            for j, lines in enumerate(self.header):
                with structure.marked("TH", COLUMN, on=text):
                    self._set_cell(text, j, lines, foot + len(lines) * design.leading, fonts.SEMIBOLD)

    def _face(self, column: int) -> str:
        """The face of a column's cells."""
        if self.design.is_ruled:
            return self.design.figures if column else fonts.REGULAR
        return fonts.REGULAR if column else fonts.SEMIBOLD

    def _set_cell(self, text: Typesetter, column: int, lines: Sequence[str], top: float, face: str) -> None:
        design, edges = self.design, self._edges
        is_flush_right = column in design.numeric
        x = edges[column + 1] - design.spacing.pad if is_flush_right else edges[column]
        y = top - design.size
        for line in lines:
            if column in design.formulas and face == fonts.REGULAR:
                _set_formula(text, x, y, line, face, design.size)
            else:
                text.put(x, y, line, face, design.size, 1.0 if is_flush_right else 0.0)
            y -= design.leading

    def _rules(self) -> Iterator[Shape]:
        """Lines above the header, under it, above rows that begin a block, under all, and between groups of columns."""
        head, edges = self.height - sum(self._head), self._edges
        feet = [head - below for below in (0.0, *itertools.accumulate(self._heights))]
        by_weight = {
            design.RULE: [self.height, 0.0],
            design.HEAD_RULE: [head],
            design.HAIR: [feet[i] for i in sorted(self.breaks) if 0 < i < len(self.rows)],
        }
        for weight, heights in by_weight.items():
            if heights:
                paths = (line_path([(0.0, y), (self.width, y)]) for y in heights)
                yield Shape(path="\n".join(paths), pen=Pen(weight))
        *starts, _ = itertools.accumulate((count for _, count in self.design.groups), initial=1)
        if self.design.ruled_from:
            starts += range(self.design.ruled_from, len(self.design.widths))
        for start in starts:
            yield Shape(path=line_path([(edges[start], 0.0), (edges[start], self.height)]), pen=Pen(design.GROUP_RULE))


def _spanning(structure: Tags, columns: int, text: Typesetter) -> AbstractContextManager[None]:
    return structure.marked("TH", f"/A<</O/Table/Scope/Column/ColSpan {columns}>>", on=text)


def _set_formula(text: Typesetter, x: float, y: float, line: str, face: str, size: float) -> None:
    """A line in which indices of symbols are small and low."""
    for piece, is_index in indexed_pieces(line):
        own = design.INDEX if is_index else size
        # A thin plus of this size is read as a minus in print of 1 bit.
        for part in _PLUS.split(piece):
            own_face = fonts.BOLD if part == "+" else fonts.SEMIBOLD if is_index else face
            text.put(x, y - _DROP * size * is_index, part, own_face, own)
            x += fonts.text_width(part, own_face, own)
