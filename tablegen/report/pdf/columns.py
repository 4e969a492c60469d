"""Columns of figures that fill the width and the height they are given, their first column repeated at the right."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from reportlab.platypus import Flowable, PageBreak

from tablegen.errors import PublishError
from tablegen.report.pdf import fonts
from tablegen.report.pdf.page import BLACK
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, Untagged, tags
from tablegen.wording import input_errors

_TIGHTEST, _LOOSEST = 9.4, 15.0
_LARGEST_SIZE, _SIZE_OF_LEADING = 10.5, 0.83
_HEAD_SIZE, _HEAD_LEADING = 8.5, 10.5
_HEAD_PAD = 4.0
_GAP = 10.0
# Fewer rows than this do not end a page.
_FEWEST = 5


class Columns(Flowable):
    """Rows of figures under a header of two lines (name and unit), flush right, on as many pages as they need.

    Parameters
    ----------
    header : sequence of (str, str)
        Name and unit of each column.
    rows : sequence of sequences of str
    rules : collection of int
        Rows (from 0) with a rule above, their first column bold.
    reserve : float
        Height [pt] to leave free below, for what follows on the last page.

    Raises
    ------
    PublishError
        There is no row, a row does not match the header, a glyph is missing, or the columns do not fit the width.
    """

    def __init__(
        self,
        header: Sequence[tuple[str, str]],
        rows: Sequence[Sequence[str]],
        rules: Collection[int],
        reserve: float = 0.0,
    ) -> None:
        super().__init__()
        if not rows or any(len(row) != len(header) for row in rows):
            raise PublishError(input_errors.TABLE_CELLS(len(header)))
        self.header, self.rows, self.rules, self.reserve = list(header), [list(r) for r in rows], set(rules), reserve
        self.spaceBefore, self.spaceAfter = 4.0, 8.0
        for text in (*(t for pair in header for t in pair), *(cell for row in rows for cell in row)):
            fonts.check_glyphs(text, fonts.BOLD)
        self._leading = _TIGHTEST
        self._whole = self

    @property
    def _head(self) -> float:
        return 2 * _HEAD_LEADING + _HEAD_PAD

    @property
    def least_height(self) -> float:
        """Height [pt] with the rows as close as they go, on one page."""
        return self._head + _TIGHTEST * len(self.rows)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Spread the rows over the height that is left; ask for the minimum if that is more."""
        self.width = aW
        free = aH - self.reserve - self._head
        self._leading = min(max(free / len(self.rows), _TIGHTEST), _LOOSEST)
        if aH < self.least_height + self.reserve:
            # As tight as it goes, and with the reserve, so that the notes stay with the last rows.
            return aW, self.least_height + self.reserve
        return aW, self._head + self._leading * len(self.rows)

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """As many rows as fit here, the rest on the next page under the same header."""
        fitting = int((aH - self._head) / _TIGHTEST)
        # Even shares, so that the last page is not a remnant.
        pages = max(2, -(-len(self.rows) // max(fitting, 1)))
        here = min(fitting, -(-len(self.rows) // pages))
        if here < _FEWEST or len(self.rows) - here < 1:
            return []
        first = Columns(self.header, self.rows[:here], {i for i in self.rules if i < here})
        rest = Columns(self.header, self.rows[here:], {i - here for i in self.rules if i > here}, self.reserve)
        first._whole = rest._whole = self._whole
        return [first, PageBreak(), rest]

    def draw(self) -> None:
        """Set header, rules and rows."""
        canvas = self.canv
        size = min(_LARGEST_SIZE, max(_SIZE_OF_LEADING * self._leading, fonts.MIN_SIZE))
        edges = self._edges(size)
        top = self._head + self._leading * len(self.rows)
        canvas.setStrokeColor(BLACK)
        structure = tags(canvas)
        with structure.element("Table", source=self._whole) as table:
            self._rule(top, 0.8)
            # Marked once, on the first page.
            self._draw_head(Untagged(canvas) if table.is_continued else structure, edges, top)
            self._rule(top - self._head, 0.5)
            for i in range(len(self.rows)):
                y = top - self._head - (i + 1) * self._leading
                if i in self.rules and i:
                    self._rule(y + self._leading, 0.35)
                # On the middle of its line, so that no rule touches a figure.
                self._draw_row(structure, edges, i, y + 0.5 * (self._leading - fonts.CAP_HEIGHT * size), size)
        self._rule(0.0, 0.8)

    def _draw_head(self, structure: Tags, edges: Sequence[float], top: float) -> None:
        """Name over unit."""
        canvas = self.canv
        with structure.element("TR"):
            names = [*self.header, self.header[0]]
            for edge, (name, unit), own in zip(edges, names, self._structures(structure), strict=True):
                with own.marked("TH", COLUMN):
                    canvas.setFont(fonts.SEMIBOLD, _HEAD_SIZE)
                    canvas.drawRightString(edge, top - _HEAD_LEADING, name)
                    canvas.setFont(fonts.REGULAR, _HEAD_SIZE)
                    canvas.drawRightString(edge, top - 2 * _HEAD_LEADING, unit)

    def _draw_row(self, structure: Tags, edges: Sequence[float], i: int, base: float, size: float) -> None:
        canvas = self.canv
        row = self.rows[i]
        with structure.element("TR"):
            for j, (edge, cell, own) in enumerate(zip(edges, [*row, row[0]], self._structures(structure), strict=True)):
                is_label = j in (0, len(row))
                face = fonts.BOLD if is_label and i in self.rules else fonts.SEMIBOLD if is_label else fonts.REGULAR
                with own.marked("TD") if j else own.marked("TH", ROW):
                    canvas.setFont(face, size)
                    canvas.drawRightString(edge, base, cell)

    def _structures(self, structure: Tags) -> list[Tags]:
        """Where each column is marked: the last repeats the first and is not."""
        return [structure] * len(self.header) + [Untagged(self.canv)]

    def _rule(self, y: float, weight: float) -> None:
        self.canv.setLineWidth(weight)
        self.canv.line(0, y, self.width, y)

    def _edges(self, size: float) -> list[float]:
        """Right edges of the columns, the first one repeated at the end; what is left over is shared evenly."""
        natural = [
            max(
                fonts.text_width(name, fonts.SEMIBOLD, _HEAD_SIZE),
                fonts.text_width(unit, fonts.REGULAR, _HEAD_SIZE),
                *(fonts.text_width(row[j], fonts.BOLD, size) for row in self.rows),
            )
            for j, (name, unit) in enumerate(self.header)
        ]
        widths = [*natural, natural[0]]
        spare = self.width - sum(widths)
        if spare < _GAP * (len(widths) - 1):
            need = f"{sum(widths) + _GAP * (len(widths) - 1):.0f}"
            raise PublishError(input_errors.COLUMNS_WIDTH(need=need, width=f"{self.width:.0f}"))
        gap = spare / (len(widths) - 1)
        edges, x = [], 0.0
        for width in widths:
            edges.append(x + width)
            x += width + gap
        return edges
