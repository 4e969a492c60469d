"""A table of lost ranges: suction temperatures down, sizes across, and in the last row the size to take instead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Shape
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import COLUMN, ROW, Tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording import revision_notice as wording

_HEAD, _TIGHTEST, _LOOSEST = 18.0, 11.5, 15.0
# Rows between thin rules, and space beside a text in its column [pt].
_TOGETHER, _PAD = 4, 4.0
_FIGURES, _NAMES = (design.FINE, design.NOTE, design.TABLE), design.PART


@dataclass(frozen=True, slots=True)
class LossTable:
    """What a table shows: the head of its first column, sizes, rows of a label and cells, and the sizes to take instead."""

    stub: str
    sizes: Sequence[str]
    rows: Sequence[tuple[str, Sequence[str]]]
    instead: Sequence[str]

    def columns(self, part: slice) -> LossTable:
        """The table with some of its sizes, and the rows in which any of them has a range."""
        rows = [(label, cells[part]) for label, cells in self.rows]
        return replace(
            self,
            sizes=self.sizes[part],
            rows=[row for row in rows if any(row[1])],
            instead=self.instead[part],
        )

    @property
    def stub_width(self) -> float:
        """Width of the first column [pt]."""
        texts = [(self.stub, fonts.SEMIBOLD), (wording.TAKE_INSTEAD(), fonts.BOLD)]
        texts += [(label, fonts.BOLD) for label, _ in self.rows]
        return _PAD + max(fonts.text_width(text, face, design.TABLE) for text, face in texts)

    def column_width(self, size: float) -> float:
        """Width that every size needs with figures of a type size [pt]."""
        cells = [cell for _, own in self.rows for cell in own]
        names = [*self.sizes, *self.instead]
        return _PAD + max(
            max(fonts.text_width(cell, fonts.REGULAR, size) for cell in cells),
            max(fonts.text_width(name, fonts.BOLD, _NAMES) for name in names),
        )


def loss_blocks(table: LossTable, width: float) -> list[LossTable]:
    """A table as it is if its columns fit a width [pt], else some sizes at a time, in even shares."""
    most = max(1, int((width - table.stub_width) / table.column_width(_FIGURES[0])))
    blocks = -(-len(table.sizes) // most)
    share = -(-len(table.sizes) // blocks)
    return [table.columns(slice(i, i + share)) for i in range(0, len(table.sizes), share)]


class LossTableFlowable(SpreadRows[tuple[str, Sequence[str]]]):
    """A table whose columns fit the page (`loss_blocks`).

    Parameters
    ----------
    table : LossTable

    Raises
    ------
    MissingGlyphError
        A face cannot draw a character.
    """

    def __init__(self, table: LossTable) -> None:
        super().__init__([*table.rows, (wording.TAKE_INSTEAD(), table.instead)], 0.0, "")
        self.table = table
        self.spaceBefore, self.spaceAfter = 2.0, 6.0
        for text in (table.stub, *table.sizes, *table.instead, *(label for label, _ in table.rows)):
            fonts.check_glyphs(text, fonts.BOLD)

    def measure(self, width: float) -> None:
        """As wide as the figures need, in the largest type that fits."""
        self.head, self.tightest, self.loosest = _HEAD, _TIGHTEST, _LOOSEST
        free = (width - self.table.stub_width) / len(self.table.sizes)
        self._size = next((own for own in reversed(_FIGURES) if self.table.column_width(own) <= free), _FIGURES[0])
        self._step = min(free, 1.6 * self.table.column_width(self._size))
        self.width = self.table.stub_width + self._step * len(self.table.sizes)

    def shapes(self) -> Iterator[Shape]:
        """Rules at head and foot, between some rows, and above the last."""
        last = self._is_last
        inner = [(self.foot(i), design.HAIR) for i in range(_TOGETHER - 1, len(self.rows) - 1 - last, _TOGETHER)]
        yield from self.rules([(self.height, design.LINE), (self.height - self.head, design.RULE), (0.0, design.LINE)])
        yield from self.rules([*inner, *([(self.foot(len(self.rows) - 2), design.RULE)] if last else [])])

    @property
    def _is_last(self) -> bool:
        """Whether the last row of the table is on this page."""
        return self.rows[-1][0] == wording.TAKE_INSTEAD() and len(self.rows) > 1

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """What the first column is, and the sizes."""
        base = self.height - self.head + 5.0
        with structure.marked("TH", COLUMN, on=text):
            text.put(0.0, base, self.table.stub, fonts.SEMIBOLD, design.TABLE)
        for number, size in enumerate(self.table.sizes):
            with structure.marked("TH", COLUMN, on=text):
                text.put(self._middle(number), base, size, fonts.BOLD, _NAMES, 0.5)

    def set_row(self, text: Typesetter, structure: Tags, row: tuple[str, Sequence[str]], foot: float) -> None:
        """A suction temperature with its ranges, or the sizes to take instead."""
        label, cells = row
        is_foot = label == wording.TAKE_INSTEAD()
        face, size = (fonts.BOLD, _NAMES) if is_foot else (fonts.REGULAR, self._size)
        with structure.marked("TH", ROW, on=text):
            base = foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * design.TABLE)
            text.put(0.0, base, label, fonts.BOLD, design.TABLE)
        for number, cell in enumerate(cells):
            with structure.marked("TD", on=text):
                text.put(
                    self._middle(number), foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * size), cell, face, size, 0.5
                )

    def _middle(self, column: int) -> float:
        return self.table.stub_width + (column + 0.5) * self._step
