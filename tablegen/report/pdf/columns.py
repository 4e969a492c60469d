"""Columns of figures that fill the width and the height they are given, their first column repeated at the right."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Shape
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import COLUMN, ROW, Tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording import input_errors

_TIGHTEST, _LOOSEST = 9.4, 15.0
_SIZE_OF_LEADING = 0.83
_HEAD_LEADING = 10.5
_HEAD_PAD = 4.0
# A row, and whether it has a rule above.
_FiguresRow = tuple[Sequence[str], bool]


class ColumnsError(PublishError):
    """Columns are wider than the paper."""


class Columns(SpreadRows[_FiguresRow]):
    """Rows of figures under a header (name over unit), flush right, on as many pages as they need.

    Names of two words stand on two lines where the columns do not fit the width otherwise.

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
        There is no row, a row does not match the header, or a glyph is missing.
    ColumnsError
        The columns do not fit the width.
    """

    fewest = 5
    worth = 0.0

    def __init__(
        self,
        header: Sequence[tuple[str, str]],
        rows: Sequence[Sequence[str]],
        rules: Collection[int],
        reserve: float = 0.0,
    ) -> None:
        super().__init__([(row, i in rules) for i, row in enumerate(rows)], reserve, "")
        if not rows or any(len(row) != len(header) for row in rows):
            raise PublishError(input_errors.TABLE_CELLS(len(header)))
        self.header = list(header)
        self.spaceBefore, self.spaceAfter = 4.0, 8.0
        for text in (*(t for pair in header for t in pair), *(cell for row in rows for cell in row)):
            fonts.check_glyphs(text, fonts.BOLD)

    def measure(self, width: float) -> None:
        """All of the width."""
        self._names: list[tuple[str, ...]] = [(name,) for name, _ in self.header]
        if _spare(self._widths(design.FINE), width) < 0.0:
            self._names = [tuple(name.split(" ", 1)) for name, _ in self.header]
        self.width, self.head = width, (max(map(len, self._names)) + 1) * _HEAD_LEADING + _HEAD_PAD
        self.tightest, self.loosest = _TIGHTEST, _LOOSEST

    def share(self, fitting: int) -> int:
        """Even shares, so that the last page is not a remnant."""
        pages = max(2, -(-len(self.rows) // max(fitting, 1)))
        here = min(fitting, -(-len(self.rows) // pages))
        return here if here < len(self.rows) else 0

    def shapes(self) -> Iterator[Shape]:
        """The rules, the columns' places with them."""
        self._size = min(design.LARGEST_FIGURES, max(_SIZE_OF_LEADING * self.leading, design.FINE))
        self._edges = self._right_edges(self._size)
        top = self.height - self.head
        above = [(top - i * self.leading, design.HAIR) for i, (_, has_rule) in enumerate(self.rows) if i and has_rule]
        yield from self.rules([(self.height, design.RULE), (top, design.HEAD_RULE), (0.0, design.RULE), *above])

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """Name over unit, down to the figures."""
        heads = [*zip(self._names, self.header, strict=True), (self._names[0], self.header[0])]
        unit_base = self.height - self.head + _HEAD_PAD
        for j, (edge, (name, (_, unit))) in enumerate(zip(self._edges, heads, strict=True)):
            # The last column repeats the first.
            with structure.marked("TH", COLUMN, on=text) if j < len(self.header) else structure.artifact(text):
                for above, part in enumerate(reversed(name), start=1):
                    base = unit_base + above * _HEAD_LEADING
                    text.put(edge, base, part, fonts.SEMIBOLD, design.NOTE, 1.0)
                text.put(edge, unit_base, unit, fonts.REGULAR, design.NOTE, 1.0)

    def set_row(self, text: Typesetter, structure: Tags, row: _FiguresRow, foot: float) -> None:
        """Figures, on the middle of their line, so that no rule touches one."""
        cells, has_rule = row
        base = foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * self._size)
        label = fonts.BOLD if has_rule else fonts.SEMIBOLD
        with structure.marked("TH", ROW, on=text):
            text.put(self._edges[0], base, cells[0], label, self._size, 1.0)
        for edge, cell in zip(self._edges[1:], cells[1:], strict=False):
            with structure.marked("TD", on=text):
                text.put(edge, base, cell, fonts.REGULAR, self._size, 1.0)
        with structure.artifact(text):
            text.put(self._edges[-1], base, cells[0], label, self._size, 1.0)

    def _right_edges(self, size: float) -> list[float]:
        """Right edges of the columns, the first one repeated at the end; what is left over is shared evenly."""
        widths = self._widths(size)
        spare = _spare(widths, self.width)
        if spare < 0.0:
            raise ColumnsError(input_errors.COLUMNS_WIDTH(need=_length(self.width - spare), width=_length(self.width)))
        gap = design.COLUMN_PAD + spare / (len(widths) - 1)
        edges, x = [], 0.0
        for width in widths:
            edges.append(x + width)
            x += width + gap
        return edges

    def _widths(self, size: float) -> list[float]:
        """What each column needs, the first one repeated at the end [pt]."""
        natural = [
            max(
                *(fonts.text_width(part, fonts.SEMIBOLD, design.NOTE) for part in name),
                fonts.text_width(unit, fonts.REGULAR, design.NOTE),
                *(fonts.text_width(cells[j], fonts.BOLD, size) for cells, _ in self.rows),
            )
            for j, (name, (_, unit)) in enumerate(zip(self._names, self.header, strict=True))
        ]
        return [*natural, natural[0]]


def _spare(widths: Sequence[float], width: float) -> float:
    """What is left of a width beside columns and the least space between them [pt]."""
    return width - sum(widths) - design.COLUMN_PAD * (len(widths) - 1)


def _length(points: float) -> str:
    """A length in inches and centimeters."""
    inches = points / 72.0
    return input_errors.INCHES(inches=f"{inches:.1f}", centimeters=f"{2.54 * inches:.1f}")
