"""A table of lost ranges: suction temperatures down, sizes across, and in the last row the size to take instead.

Where few sizes lost any, suction temperatures are across and sizes down, for that is much lower.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Shape
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import COLUMN, ROW, Tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.wording import revision_notice as wording

_HEAD, _LOW_HEAD, _TIGHTEST, _LOOSEST = 18.0, 15.0, 11.5, 15.0
# A table is turned if it is no higher than this share of what it is with sizes across.
_WORTH_TURNING = 0.6
# Rows between thin rules, and space beside a text in its column [pt].
_TOGETHER, _PAD = 4, 4.0
_FIGURES, _NAMES = (design.FINE, design.NOTE, design.TABLE), design.PART


@dataclass(frozen=True, slots=True, kw_only=True)
class LossTable:
    """What a table shows: the head of its first column, heads, rows of a label and cells, and the sizes to take instead.

    The heads are sizes, with the sizes to take instead in a last row; of a table that is turned they are suction
    temperatures, and the size to take instead is in the last column.
    """

    stub: str
    heads: Sequence[str]
    rows: Sequence[tuple[str, Sequence[str]]]
    instead: Sequence[str]
    is_turned: bool = False

    def columns(self, part: slice) -> LossTable:
        """The table with some of its sizes, and the rows in which any of them has a range."""
        rows = [(label, cells[part]) for label, cells in self.rows]
        return replace(
            self,
            heads=self.heads[part],
            rows=[row for row in rows if any(row[1])],
            instead=self.instead[part],
        )

    def turned(self, part: slice) -> LossTable:
        """Some of the rows across, and the sizes that have a range in any of them down."""
        chosen = self.rows[part]
        lines = [
            (wording.SIZE(size=size), [*(cells[i] for _, cells in chosen), self.instead[i]])
            for i, size in enumerate(self.heads)
            if any(cells[i] for _, cells in chosen)
        ]
        heads = [*(label for label, _ in chosen), wording.TAKE_INSTEAD()]
        return LossTable(stub=self.stub, heads=heads, rows=lines, instead=(), is_turned=True)

    @property
    def body(self) -> Sequence[tuple[str, Sequence[str]]]:
        """The rows with the one of the sizes to take instead, where that is a row."""
        return self.rows if self.is_turned else [*self.rows, (wording.TAKE_INSTEAD(), self.instead)]

    @property
    def stub_width(self) -> float:
        """Width of the first column [pt]."""
        texts = [(self.stub, fonts.SEMIBOLD), *((label, fonts.BOLD) for label, _ in self.body)]
        return _PAD + max(fonts.text_width(text, face, design.TABLE) for text, face in texts)

    def column_width(self, size: float) -> float:
        """Width that every column of ranges needs with figures of a type size [pt]."""
        last = -1 if self.is_turned else None
        cells = [cell for _, own in self.rows for cell in own[:last]]
        names = [*self.heads[:last], *self.instead]
        return _PAD + max(
            max(fonts.text_width(cell, fonts.REGULAR, size) for cell in cells),
            max(fonts.text_width(name, fonts.BOLD, self.head_size) for name in names),
        )

    @property
    def last_width(self) -> float:
        """Width of the column of the sizes to take instead, where that is a column [pt]."""
        texts = [self.heads[-1], *(cells[-1] for _, cells in self.rows)] if self.is_turned else []
        return max((_PAD + fonts.text_width(text, fonts.BOLD, self.head_size) for text in texts), default=0.0)

    @property
    def count(self) -> int:
        """Columns of ranges."""
        return len(self.heads) - self.is_turned

    @property
    def head_size(self) -> float:
        """Type size of the heads [pt]: sizes are larger than suction temperatures."""
        return design.TABLE if self.is_turned else _NAMES

    @property
    def head(self) -> float:
        """Height of the heads [pt]."""
        return _LOW_HEAD if self.is_turned else _HEAD

    @property
    def least_height(self) -> float:
        """Height with the rows as close as they go [pt]."""
        return self.head + _TIGHTEST * len(self.body)

    def most(self, width: float) -> int:
        """How many columns of ranges fit a width [pt]."""
        return int((width - self.stub_width - self.last_width) / self.column_width(_FIGURES[0]))


def loss_blocks(table: LossTable, width: float) -> list[LossTable]:
    """A table in blocks whose columns fit a width [pt], with sizes across, or down if that is much lower."""
    blocks = [table.columns(part) for part in _shares(len(table.heads), table.most(width))]
    turned = [table.turned(part) for part in _shares(len(table.rows), table.turned(slice(None)).most(width))]
    high, low = (sum(block.least_height for block in own) for own in (blocks, turned))
    return turned if low <= _WORTH_TURNING * high else blocks


def _shares(count: int, most: int) -> list[slice]:
    """Even shares of so many, none of more than asked."""
    share = -(-count // -(-count // max(1, most)))
    return [slice(i, i + share) for i in range(0, count, share)]


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
        super().__init__(table.body, 0.0, "")
        self.table = table
        self.spaceBefore, self.spaceAfter = 2.0, 6.0
        for text in (table.stub, *table.heads, *table.instead, *(label for label, _ in table.body)):
            fonts.check_glyphs(text, fonts.BOLD)

    def measure(self, width: float) -> None:
        """As wide as the figures need, in the largest type that fits."""
        # One that is turned is to be low.
        self.head, self.tightest = self.table.head, _TIGHTEST
        self.loosest = _TIGHTEST if self.table.is_turned else _LOOSEST
        free = (width - self.table.stub_width - self.table.last_width) / self.table.count
        self._size = next((own for own in reversed(_FIGURES) if self.table.column_width(own) <= free), _FIGURES[0])
        self._step = min(free, 1.6 * self.table.column_width(self._size))
        self.width = self.table.stub_width + self._step * self.table.count + self.table.last_width

    def shapes(self) -> Iterator[Shape]:
        """Rules at head and foot, between some rows, and above the last."""
        last = self._is_last
        inner = [(self.foot(i), design.HAIR) for i in range(_TOGETHER - 1, len(self.rows) - 1 - last, _TOGETHER)]
        yield from self.rules([(self.height, design.LINE), (self.height - self.head, design.RULE), (0.0, design.LINE)])
        yield from self.rules([*inner, *([(self.foot(len(self.rows) - 2), design.RULE)] if last else [])])

    @property
    def _is_last(self) -> bool:
        """Whether the last row of the table is on this page."""
        return not self.table.is_turned and self.rows[-1][0] == wording.TAKE_INSTEAD() and len(self.rows) > 1

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """What the first column or the heads are, and the heads."""
        base = self.height - self.head + 5.0
        with structure.marked("TH", COLUMN, on=text):
            text.put(0.0, base, self.table.stub, fonts.SEMIBOLD, design.TABLE)
        for number, name in enumerate(self.table.heads):
            with structure.marked("TH", COLUMN, on=text):
                text.put(self._middle(number), base, name, fonts.BOLD, self.table.head_size, 0.5)

    def set_row(self, text: Typesetter, structure: Tags, row: tuple[str, Sequence[str]], foot: float) -> None:
        """A suction temperature or a size with its ranges, or the sizes to take instead."""
        label, cells = row
        is_foot = label == wording.TAKE_INSTEAD()
        last = len(cells) - 1
        with structure.marked("TH", ROW, on=text):
            base = foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * design.TABLE)
            text.put(0.0, base, label, fonts.BOLD, design.TABLE)
        for number, cell in enumerate(cells):
            is_instead = is_foot or (self.table.is_turned and number == last)
            face, size = (fonts.BOLD, self.table.head_size) if is_instead else (fonts.REGULAR, self._size)
            with structure.marked("TD", on=text):
                text.put(
                    self._middle(number), foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * size), cell, face, size, 0.5
                )

    def _middle(self, column: int) -> float:
        if column == self.table.count:
            return self.width - 0.5 * self.table.last_width
        return self.table.stub_width + (column + 0.5) * self._step
