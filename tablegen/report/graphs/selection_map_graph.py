"""A selection map: load rows, suction temperature columns, in each cell the sizes that cover all of it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from tablegen.errors import PublishError
from tablegen.report.formatter import DASH, Formatter
from tablegen.report.graphs.axes import runs
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import PROJECTING, Box, Pen, Shape, box_path, line_path
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import COLUMN, ROW, Tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.report.rows import MapCell, rows_of
from tablegen.units import print_unit
from tablegen.wording import booklet_pages, input_errors, terms


@dataclass(frozen=True, slots=True, kw_only=True)
class MapStyle:
    """Type sizes and measures of a map [pt].

    `row` is the maximum height of a row, `tightest` the minimum; `heavy` and `thin` are the weights of frontier and
    rules; `tint` is laid under every other size, where there is one.
    """

    first: float
    second: float
    label: float
    corner: float
    head: float
    label_width: float
    row: float
    tightest: float
    heavy: float
    thin: float
    tint: str | None = None


_AIR = 6.0
# Where in a cell the first size is centered, a share of its width; the gap to the second, in type sizes.
_MIDDLE, _GAP = 0.42, 0.25
# White around small figures on a tint [pt].
_WHITE = 0.8

PAGE = MapStyle(
    first=design.BODY,
    second=design.FINE,
    label=design.TABLE,
    corner=design.NOTE,
    head=26.0,
    label_width=84.0,
    row=15.0,
    tightest=10.4,
    heavy=design.STRONG,
    thin=design.HAIR,
    # The lighter tint, for small figures are on it.
    tint=design.TINT_LIGHT,
)


@dataclass(frozen=True, slots=True)
class MapCells:
    """A map as text: rows from the maximum load down, each with a (first, second) size a column, coldest first.

    A column has one temperature, or two that it is between.
    """

    rows: Sequence[tuple[str, Sequence[tuple[str, str]]]]
    columns: Sequence[tuple[str, ...]]
    corner: tuple[str, str]


def map_cells(cells: pd.DataFrame, formatter: Formatter) -> MapCells:
    """The cells of one map of the data set as printed, without the rows at either end that no size covers."""
    by: dict[tuple[float, float], tuple[str, str]] = {}
    loads, columns = set(), set()
    for cell in rows_of(cells, MapCell):
        loads.add((cell.load_above_w, cell.load_upto_w))
        columns.add((cell.sst_from_k, cell.sst_to_k))
        by[cell.load_above_w, cell.sst_from_k] = cell.first_size, cell.second_size
    across = sorted(columns)
    rows = [((above, upto), [by[above, low] for low, _ in across]) for above, upto in sorted(loads, reverse=True)]
    covered = [i for i, (_, sizes) in enumerate(rows) if any(any(pair) for pair in sizes)]
    edges = sorted({edge for column in across for edge in column})
    called = dict(zip(edges, formatter.temperatures(edges), strict=True))
    return MapCells(
        [(_load_range(*span, formatter), sizes) for span, sizes in rows[covered[0] : covered[-1] + 1]]
        if covered
        else [],
        [tuple(dict.fromkeys((called[low], called[high]))) for low, high in across],
        (booklet_pages.LOAD(unit=formatter.load_label), booklet_pages.MAP_SST(unit=formatter.temperature_label)),
    )


def _load_range(above_w: float, upto_w: float, formatter: Formatter) -> str:
    """A row's loads, above the one and up to the other, in the printed unit."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    return DASH.join(without_zeros(round_half_even(unit.of(watt))) for watt in (above_w, upto_w))


def in_blocks(cells: MapCells, style: MapStyle, width: float) -> list[MapCells]:
    """A map as it is if its columns fit a width [pt], else some of them at a time, in even shares."""
    need = max(_column_width(first, second, style) for _, row in cells.rows for first, second in row)
    lines = [line for column in cells.columns for line in _two_lines(column)]
    need = max(need, _AIR + max(fonts.text_width(line, fonts.BOLD, design.FINE) for line in lines)) + 0.01
    count = len(cells.columns)
    blocks = -(-count // max(1, int((width - style.label_width) / need)))
    share = -(-count // blocks)
    parts = [slice(i, i + share) for i in range(0, count, share)]
    return [
        replace(cells, columns=cells.columns[part], rows=[(label, row[part]) for label, row in cells.rows])
        for part in parts
    ]


def _column_width(first: str, second: str, style: MapStyle) -> float:
    """Width [pt] that a cell needs; see `SelectionMap.set_row`."""
    half = 0.5 * fonts.text_width(first, fonts.BOLD, style.first)
    beside = fonts.text_width(second, fonts.REGULAR, style.second)
    return max((half + 1.0) / _MIDDLE, (half + _GAP * style.first + 1.0 + beside) / (1.0 - _MIDDLE))


def _fitting(lines: Sequence[str], style: MapStyle, step: float) -> float:
    """Type size [pt] of column labels with air between neighbors."""
    return min(style.label, (step - _AIR) / max(fonts.text_width(line, fonts.BOLD, 1.0) for line in lines))


def _one_line(column: tuple[str, ...]) -> tuple[str, ...]:
    return column if len(column) == 1 else (terms.RANGE(low=column[0], high=column[1]),)


def _two_lines(column: tuple[str, ...]) -> tuple[str, ...]:
    """A column's label, its second temperature under the first."""
    return column if len(column) == 1 else (booklet_pages.MAP_FROM(low=column[0]), column[1])


_MapRow = tuple[str, Sequence[tuple[str, str]]]


class SelectionMap(SpreadRows[_MapRow]):
    """Rows of sizes with a heavy frontier wherever the first choice changes.

    Parameters
    ----------
    cells : MapCells
    style : MapStyle
    reserve : float
        Height [pt] to leave free below, so that the rows spread over what is left.
    continued : str
        Title above the rows that continue on another page.

    Raises
    ------
    PublishError
        There is no row, a glyph is missing, or (when it is drawn) a name does not fit its cell (`in_blocks`).
    """

    keeps_reserve = False

    def __init__(
        self, cells: MapCells, style: MapStyle = PAGE, reserve: float = 0.0, continued: str = "Continued"
    ) -> None:
        super().__init__(cells.rows, reserve, continued)
        if not cells.rows:
            raise PublishError(input_errors.MAP_EMPTY())
        self.cells, self.style = cells, style
        self.spaceBefore, self.spaceAfter = 4.0, 6.0
        texts = (t for label, row in cells.rows for t in (label, *itertools.chain(*row)))
        for text in (*itertools.chain(*cells.columns), *cells.corner, *texts):
            fonts.check_glyphs(text, fonts.BOLD)

    def measure(self, width: float) -> None:
        """All of the width, in even columns."""
        style = self.style
        self.width, self.head, self.tightest, self.loosest = width, style.head, style.tightest, style.row
        self._step = (width - style.label_width) / len(self.cells.columns)
        self._right = style.label_width - 0.8 * style.label

    def _left(self, column: int) -> float:
        return self.style.label_width + self._step * column

    def shapes(self) -> Iterator[Shape]:
        """Tints with white under small figures, thin rules, and the frontier."""
        style, top = self.style, self.height - self.head
        if style.tint is not None:
            yield from self._tints(style.tint)
        thin = [self._line(0.0, y, self.width, y) for y in (top - i * self.leading for i in range(1, len(self.rows)))]
        frame = [self._line(0.0, y, self.width, y) for y in (top, 0.0)]
        for lines, weight in ((thin, style.thin), ([*frame, *self._frontier()], style.heavy)):
            if lines:
                yield Shape(path="\n".join(lines), pen=Pen(weight, cap=PROJECTING))

    def _tints(self, tint: str) -> Iterator[Shape]:
        """A tint under every other size, so that a selection map is seen as one, and white under small figures.

        In 1-bit print a tint is dots, which would run through figures as small as these.
        """
        order = list(dict.fromkeys(first for _, row in self.rows for first, _ in row if first))
        tinted, white = [], []
        for i, (_, row) in enumerate(self.rows):
            for j, (first, second) in enumerate(row):
                if not first or not order.index(first) % 2:
                    continue
                left, foot = self._left(j), self.foot(i)
                if not j or row[j - 1][0] != first:
                    # Over all cells of the size from here on.
                    wide = self._step * sum(1 for _ in itertools.takewhile(first.__eq__, (own for own, _ in row[j:])))
                    tinted.append(box_path(Box(left, foot, left + wide, foot + self.leading)))
                if second:
                    start, middle, size = (
                        self._beside(first, left),
                        self._base(foot, self.style.first),
                        self.style.second,
                    )
                    end = start + fonts.text_width(second, fonts.REGULAR, size)
                    white.append(box_path(Box(start, middle, end, middle + fonts.CAP_HEIGHT * size).wider(_WHITE)))
        for paths, color in ((tinted, tint), (white, design.WHITE)):
            if paths:
                yield Shape(path="\n".join(paths), fill=color)

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """The corner with its two names, and the suction temperatures."""
        style, foot = self.style, self.height - self.head
        with structure.marked("TH", COLUMN, on=text):
            for name, up in zip(self.cells.corner, (0.7, 1.9), strict=True):
                text.put(self._right, foot + up * style.corner, name, fonts.SEMIBOLD, style.corner, 1.0)
        parts = [_one_line(column) for column in self.cells.columns]
        size = _fitting(list(itertools.chain(*parts)), style, self._step)
        if size < design.FINE:
            parts = [_two_lines(column) for column in self.cells.columns]
            size = _fitting(list(itertools.chain(*parts)), style, self._step)
        for j, lines in enumerate(parts):
            with structure.marked("TH", COLUMN, on=text):
                for i, line in enumerate(reversed(lines)):
                    base = foot + (0.8 if len(lines) == 1 else 0.4) * style.label + i * 1.15 * size
                    text.put(self._left(j) + 0.5 * self._step, base, line, fonts.BOLD, size, 0.5)

    def set_row(self, text: Typesetter, structure: Tags, row: _MapRow, foot: float) -> None:
        """The load, and in each cell the first size large, the second small."""
        style, (label, cells) = self.style, row
        with structure.marked("TH", ROW, on=text):
            text.put(self._right, self._base(foot, style.label), label, fonts.BOLD, style.label, 1.0)
        for j, (first, second) in enumerate(cells):
            left = self._left(j)
            with structure.marked("TD", on=text):
                if first:
                    self._check(first, second)
                    base = self._base(foot, style.first)
                    text.put(left + _MIDDLE * self._step, base, first, fonts.BOLD, style.first, 0.5)
                    # Its space keeps it apart for who hears the table read.
                    before = self._beside(first, left) - fonts.text_width(" ", fonts.REGULAR, style.second)
                    text.put(before, base, f" {second}" if second else "", fonts.REGULAR, style.second)

    def _base(self, foot: float, size: float) -> float:
        """Baseline of figures on the middle of a row."""
        return foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * size)

    def _beside(self, first: str, left: float) -> float:
        """Where the second size of a cell begins."""
        half = 0.5 * fonts.text_width(first, fonts.BOLD, self.style.first)
        return left + _MIDDLE * self._step + half + _GAP * self.style.first

    def _check(self, first: str, second: str) -> None:
        if _column_width(first, second, self.style) > self._step:
            name = max(first, second, key=len)
            raise PublishError(input_errors.MAP_SIZE(size=repr(name), columns=len(self.cells.columns)))

    def _frontier(self) -> Iterator[str]:
        """Heavy strokes between cells whose first choice differs, each as long as it runs straight."""
        first = np.array([[pair[0] for pair in row] for _, row in self.rows])
        tall, wide = first.shape
        for j in range(1, wide):
            for run in runs(first[:, j - 1] != first[:, j]):
                left = self._left(j)
                yield self._line(left, self.foot(run.stop - 1), left, self.foot(run.start) + self.leading)
        for i in range(1, tall):
            for run in runs(first[i - 1] != first[i]):
                top = self.foot(i) + self.leading
                yield self._line(self._left(run.start), top, self._left(run.stop), top)

    @staticmethod
    def _line(x1: float, y1: float, x2: float, y2: float) -> str:
        return line_path([(x1, y1), (x2, y2)])
