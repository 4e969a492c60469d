"""A selection map: load rows, suction temperature columns, in each cell the sizes that cover all of it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import pandas as pd
from reportlab.platypus import Flowable, PageBreak

from tablegen.errors import PublishError
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import fonts
from tablegen.report.pdf.page import BLACK, paragraph
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, is_trial, tags
from tablegen.report.rows import MapCell, SharedCell, rows_of
from tablegen.report.stock_coverage import BETWEEN, EITHER, load_range
from tablegen.wording import booklet_pages, input_errors, terms
from tablegen.wording.message import OR, listed


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
# Share of a page that is used rather than left for the next, which would hold the whole.
_WORTH, _FEWEST = 0.75, 4

PAGE = MapStyle(
    first=10.0,
    second=8.0,
    label=9.0,
    corner=8.5,
    head=26.0,
    label_width=84.0,
    row=15.0,
    tightest=10.4,
    heavy=1.8,
    thin=0.3,
    # Lighter than other tints, for small figures are on it.
    tint="#F2F2F2",
)


@dataclass(frozen=True, slots=True)
class MapCells:
    """A map as text: rows from the maximum load down, each with a (first, second) size a column, coldest first.

    Without a first size the second names two that cover the cell between them. A column has one temperature, or two
    that it is between.
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
    if "coverage" in cells:
        for shared in rows_of(cells[cells["coverage"].isin([BETWEEN, EITHER])], SharedCell):
            by[shared.load_above_w, shared.sst_from_k] = "", listed([shared.lower_size, shared.upper_size], OR)
    across = sorted(columns)
    rows = [((above, upto), [by[above, low] for low, _ in across]) for above, upto in sorted(loads, reverse=True)]
    covered = [i for i, (_, sizes) in enumerate(rows) if any(any(pair) for pair in sizes)]
    edges = sorted({edge for column in across for edge in column})
    called = dict(zip(edges, formatter.temperatures(edges), strict=True))
    return MapCells(
        [(load_range(*span, formatter), sizes) for span, sizes in rows[covered[0] : covered[-1] + 1]]
        if covered
        else [],
        [tuple(dict.fromkeys((called[low], called[high]))) for low, high in across],
        (booklet_pages.LOAD(unit=formatter.load_label), booklet_pages.MAP_SST(unit=formatter.temperature_label)),
    )


def in_blocks(cells: MapCells, style: MapStyle, width: float) -> list[MapCells]:
    """A map as it is if its columns fit a width [pt], else some of them at a time, in even shares."""
    need = max(_column_width(first, second, style) for _, row in cells.rows for first, second in row)
    lines = [line for column in cells.columns for line in _two_lines(column)]
    need = max(need, _AIR + max(fonts.text_width(line, fonts.BOLD, fonts.MIN_SIZE) for line in lines)) + 0.01
    count = len(cells.columns)
    blocks = -(-count // max(1, int((width - style.label_width) / need)))
    share = -(-count // blocks)
    parts = [slice(i, i + share) for i in range(0, count, share)]
    return [
        replace(cells, columns=cells.columns[part], rows=[(label, row[part]) for label, row in cells.rows])
        for part in parts
    ]


def _column_width(first: str, second: str, style: MapStyle) -> float:
    """Width [pt] that a cell needs; see `SelectionMap._cell`."""
    if not first:
        return fonts.text_width(second, fonts.REGULAR, style.second) + 2.0
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


class SelectionMap(Flowable):
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

    def __init__(
        self, cells: MapCells, style: MapStyle = PAGE, reserve: float = 0.0, continued: str = "Continued"
    ) -> None:
        super().__init__()
        self.continued = continued
        if not cells.rows:
            raise PublishError(input_errors.MAP_EMPTY())
        self.cells, self.style, self.reserve = cells, style, reserve
        self.spaceBefore, self.spaceAfter = 4.0, 6.0
        texts = (t for label, row in cells.rows for t in (label, *itertools.chain(*row)))
        for text in (*itertools.chain(*cells.columns), *cells.corner, *texts):
            fonts.check_glyphs(text, fonts.BOLD)
        self._row = style.row

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame; the rows as high as the page and the style allow."""
        free = aH - self.reserve - self.style.head
        self._row = min(max(free / len(self.cells.rows), self.style.tightest), self.style.row)
        self.width, self.height = aW, self.style.head + self._row * len(self.cells.rows)
        return aW, self.height

    def split(self, aW: float, aH: float) -> list[Flowable]:
        """As many rows as fit here, the others on the next page; a map that fits a page of its own goes there whole."""
        frame = getattr(self, "_frame", None)
        page = frame._height if frame is not None else aH
        style, rows = self.style, self.cells.rows
        if aH < _WORTH * page and style.head + len(rows) * style.tightest <= page:
            return []
        # A few rows at least for the next page, which would look lost with one.
        here = min(int((aH - style.head) / style.tightest), max(len(rows) - _FEWEST, 1))
        if here < 1:
            return []
        first, rest = (replace(self.cells, rows=part) for part in (rows[:here], rows[here:]))
        return [
            SelectionMap(first, style, 0.0, self.continued),
            PageBreak(),
            paragraph(self.continued, "continued"),
            SelectionMap(rest, style, self.reserve, self.continued),
        ]

    def draw(self) -> None:
        """Set labels, sizes, thin rules and the frontier."""
        if is_trial(self.canv):
            return
        canvas = self.canv
        style, foot = self.style, self.height - self.style.head
        step = (self.width - style.label_width) / len(self.cells.columns)
        edges = [style.label_width + step * j for j in range(len(self.cells.columns) + 1)]
        right = style.label_width - 0.8 * style.label
        if style.tint is not None:
            self._shade(edges, style.tint)
        canvas.setStrokeColor(BLACK)
        structure = tags(canvas)
        with structure.element("Table"):
            self._draw_head(structure, edges, step, right)
            for i, (label, row) in enumerate(self.cells.rows):
                base = foot - self._row * (i + 1)
                self._line(0, base + self._row, self.width, base + self._row, style.heavy if i == 0 else style.thin)
                with structure.element("TR"):
                    with structure.marked("TH", ROW):
                        canvas.setFont(fonts.BOLD, style.label)
                        canvas.drawRightString(right, base + 0.5 * (self._row - fonts.CAP_HEIGHT * style.label), label)
                    for (first, second), left in zip(row, edges, strict=False):
                        with structure.marked("TD"):
                            self._cell(first, second, left, base, step)
        self._line(0, 0, self.width, 0, style.heavy)
        self._frontier(edges)

    def _draw_head(self, structure: Tags, edges: list[float], step: float, right: float) -> None:
        canvas = self.canv
        style, foot = self.style, self.height - self.style.head
        with structure.element("TR"):
            with structure.marked("TH", COLUMN):
                canvas.setFont(fonts.SEMIBOLD, style.corner)
                canvas.drawRightString(right, foot + 0.7 * style.corner, self.cells.corner[0])
                canvas.drawRightString(right, foot + 1.9 * style.corner, self.cells.corner[1])
            parts = [_one_line(column) for column in self.cells.columns]
            size = _fitting(list(itertools.chain(*parts)), style, step)
            if size < fonts.MIN_SIZE:
                parts = [_two_lines(column) for column in self.cells.columns]
                size = _fitting(list(itertools.chain(*parts)), style, step)
            for lines, left in zip(parts, edges, strict=False):
                with structure.marked("TH", COLUMN):
                    canvas.setFont(fonts.BOLD, size)
                    for i, line in enumerate(reversed(lines)):
                        base = foot + (0.8 if len(lines) == 1 else 0.4) * style.label + i * 1.15 * size
                        canvas.drawCentredString(left + step / 2, base, line)

    def _cell(self, first: str, second: str, left: float, base: float, step: float) -> None:
        canvas = self.canv
        style = self.style
        if not first:
            # Two sizes that cover the cell between them, if any.
            canvas.setFont(fonts.REGULAR, style.second)
            low = base + 0.5 * (self._row - fonts.CAP_HEIGHT * style.second)
            canvas.drawCentredString(left + 0.5 * step, low, second)
            return
        middle = base + 0.5 * (self._row - fonts.CAP_HEIGHT * style.first)
        half = 0.5 * fonts.text_width(first, fonts.BOLD, style.first)
        gap = _GAP * style.first
        beside = (1.0 - _MIDDLE) * step - half - gap - 1.0
        if half > _MIDDLE * step - 1.0 or fonts.text_width(second, fonts.REGULAR, style.second) > beside:
            name = max(first, second, key=len)
            raise PublishError(input_errors.MAP_SIZE(size=repr(name), columns=len(self.cells.columns)))
        canvas.setFont(fonts.BOLD, style.first)
        canvas.drawCentredString(left + _MIDDLE * step, middle, first)
        if second:
            canvas.setFont(fonts.REGULAR, style.second)
            start = left + _MIDDLE * step + half + gap
            if style.tint is not None:
                # In 1-bit print a tint is dots, which would run through figures as small as these.
                canvas.setFillColor("white")
                width = fonts.text_width(second, fonts.REGULAR, style.second)
                canvas.rect(start - 0.8, middle - 0.8, width + 1.6, fonts.CAP_HEIGHT * style.second + 1.6, 0, 1)
                canvas.setFillColor(BLACK)
            canvas.drawString(start, middle, second)

    def _shade(self, edges: list[float], tint: str) -> None:
        """Lay a tint under every other size, so that a selection map is seen as one."""
        canvas = self.canv
        order = list(dict.fromkeys(first for _, row in self.cells.rows for first, _ in row if first))
        canvas.saveState()
        canvas.setFillColor(tint)
        for i, (_, row) in enumerate(self.cells.rows):
            base = self.height - self.style.head - self._row * (i + 1)
            for left, right, (first, _) in zip(edges, edges[1:], row, strict=False):
                if first and order.index(first) % 2:
                    canvas.rect(left, base, right - left, self._row, stroke=0, fill=1)
        canvas.restoreState()

    def _frontier(self, edges: list[float]) -> None:
        """Heavy strokes between cells whose first choice differs."""
        rows = self.cells.rows
        for i, (_, row) in enumerate(rows):
            top = self.height - self.style.head - self._row * i
            for j, (first, _) in enumerate(row):
                if j and row[j - 1][0] != first:
                    self._line(edges[j], top, edges[j], top - self._row, self.style.heavy)
                if i and rows[i - 1][1][j][0] != first:
                    self._line(edges[j], top, edges[j + 1], top, self.style.heavy)

    def _line(self, x1: float, y1: float, x2: float, y2: float, weight: float) -> None:
        canvas = self.canv
        canvas.setLineWidth(weight)
        canvas.setLineCap(2)
        canvas.line(x1, y1, x2, y2)
