"""The table of a wall chart, read at 1 m: loads down, suction temperatures across, in each cell the size to take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportlab.platypus import Flowable

from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Pen, Shape, box_path, draw_shapes, line_path
from tablegen.report.pdf.mixed_line import Face, Line, Piece, line_width, mixed, put_line
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, is_trial, tags
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.report.stock_coverage import StockCell, StockRow
from tablegen.wording import counter_chart as wording
from tablegen.wording import terms

# Of a line of the heads; of the legend under them; a line of limits in a cell, and its distance from the sizes [pt].
_HEAD, _LEGEND, _LIMIT_LEADING, _LIMIT_GAP = 25.0, 15.0, 11.0, 3.6
# Between the parts of a load, beside a column's line, a frame from its cell, a text from its frame above and beside [pt].
_APART, _AIR, _INSET, _IN_FRAME, _BESIDE = 6.0, 4.0, 0.6, 1.2, 1.0
# Between a first choice and what also fits, and between a figure and a word beside it.
_GAP, _WORD_GAP = 9.0, 1.5
# No row is higher than this [pt].
_HIGHEST = 64.0
_WORD, _CLOSE, _LEGEND_FACE = (
    Face(fonts.REGULAR, design.WALL_WORD),
    Face(fonts.REGULAR, design.WALL_CLOSE),
    Face(fonts.SEMIBOLD, design.WALL_CLOSE),
)
# Words in a cell to ask about, and its limits, where the column is narrow.
_WORDS = (design.WALL_WORD, design.WALL_CLOSE)
_LIMITS = (design.WALL_CLOSE, design.TABLE, design.FINE)
# What figures shrink by, where not even one column fits.
_SHRUNK = 0.94


@dataclass(frozen=True, slots=True)
class ColumnHead:
    """A line of the heads: its unit as a name, the ends of each column, and whether it is set bold."""

    name: str
    columns: Sequence[tuple[str, ...]]
    is_bold: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WallTable:
    """What a table shows: the heads, each with its columns, rows of cells, and the legend's two texts.

    `note` says how box and suction temperature hang together, where there are both, and what another unit is; a line for
    each head, and one more where there are two.
    """

    heads: Sequence[ColumnHead]
    rows: Sequence[StockRow]
    legend: tuple[str, str]
    note: Sequence[str] = ()

    def columns(self, part: slice) -> WallTable:
        """The table with some of its columns."""
        heads = [replace(head, columns=head.columns[part]) for head in self.heads]
        return replace(self, heads=heads, rows=[replace(row, cells=row.cells[part]) for row in self.rows])


@dataclass(frozen=True, slots=True)
class _AskedCell:
    """A cell to ask about, as lines: sizes, and what limits them."""

    sizes: Line
    limits: Sequence[str]
    limit_size: float

    @property
    def height(self) -> float:
        """What it takes [pt], with its frame."""
        inside = max(piece.face.cap for piece in self.sizes) + 2.0 * _IN_FRAME
        if self.limits:
            inside += _LIMIT_GAP + fonts.CAP_HEIGHT * self.limit_size + _LIMIT_LEADING * (len(self.limits) - 1)
        return inside + 2.0 * (design.WALL_FRAME + _INSET)


class StockTable(Flowable):
    """A table of a height that its page gives it, all of whose columns fit the width (`column_blocks`).

    Parameters
    ----------
    table : WallTable
    width, height : float
        Of the table [pt].

    Raises
    ------
    MissingGlyphError
        A face cannot draw a character.
    """

    def __init__(self, table: WallTable, width: float, height: float) -> None:
        super().__init__()
        self.table, self.width, self.height = table, width, height
        self.hAlign = "LEFT"
        self._fit = _Fit.best(table, width)
        self._leading = (height - top_of(table)) / len(table.rows)

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """Its own size."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint rules and frames, then set all texts in the order of reading."""
        if is_trial(self.canv):
            return
        draw_shapes(self.canv, self._shapes())
        text, structure = Typesetter(self.canv), tags(self.canv)
        self._set_legend(text, structure)
        with structure.element("Table"):
            for number, head in enumerate(self.table.heads):
                with structure.element("TR"):
                    self._set_head(text, structure, head, self.height - (number + 1) * _HEAD)
            for number, row in enumerate(self.table.rows):
                with structure.element("TR"):
                    self._set_row(text, structure, row, self._foot(number))
        text.paint()

    def _foot(self, row: int) -> float:
        return self.height - top_of(self.table) - (row + 1) * self._leading

    def _left(self, column: int) -> float:
        return self._fit.label + self._fit.step * column

    def _shapes(self) -> Iterator[Shape]:
        """Rules of three weights, lines between columns, and a frame around what is to be asked."""
        heads = self.height - _HEAD * len(self.table.heads)
        top = heads - _LEGEND
        thick = [line_path([(0.0, y), (self.width, y)]) for y in (heads, 0.0)]
        thin = [line_path([(0.0, y), (self.width, y)]) for y in map(self._foot, range(len(self.table.rows) - 1))]
        count = len(self.table.heads[0].columns)
        thin += [line_path([(x, top), (x, 0.0)]) for x in map(self._left, range(count))]
        if max(wide for head in self.table.heads for wide in _widths(head, self._fit.head)) > self._fit.step - _GAP:
            # Temperatures of neighbors would be read as one.
            thin += [line_path([(x, self.height), (x, heads)]) for x in map(self._left, range(1, count))]
        yield Shape(path="\n".join(thin), pen=Pen(design.THIN))
        yield Shape(path=line_path([(0.0, top), (self.width, top)]), pen=Pen(design.LINE))
        yield Shape(path="\n".join(thick), pen=Pen(design.WALL_FRAME))
        half = _INSET + 0.5 * design.WALL_FRAME
        frames = [
            box_path(Box(self._left(j), self._foot(i), self._left(j + 1), self._foot(i) + self._leading).wider(-half))
            for i, row in enumerate(self.table.rows)
            for j, cell in enumerate(row.cells)
            if not cell.is_covered
        ]
        if frames:
            yield Shape(path="\n".join(frames), pen=Pen(design.WALL_FRAME))

    def _set_legend(self, text: Typesetter, structure: Tags) -> None:
        """What the rows and the cells are, between the heads and the rows; how the heads hang together, in their corner."""
        base = self.height - top_of(self.table) + 0.5 * (_LEGEND - fonts.CAP_HEIGHT * design.WALL_CLOSE)
        rows, cells = self.table.legend
        with structure.marked("P", on=text):
            text.put(0.0, base, f"{rows} ", _LEGEND_FACE.name, _legend_size(self.table.legend, self.width))
        with structure.marked("P", on=text):
            text.put(self.width, base, cells, _LEGEND_FACE.name, _legend_size(self.table.legend, self.width), 1.0)
        if self.table.note:
            with structure.marked("P", on=text):
                for number, line in enumerate(self.table.note):
                    y = self.height - 12.0 - 1.3 * number * design.WALL_CLOSE
                    text.put(0.0, y, f"{line} ", fonts.REGULAR, design.WALL_CLOSE)

    def _set_head(self, text: Typesetter, structure: Tags, head: ColumnHead, foot: float) -> None:
        """The name of a line of the heads, and its temperatures."""
        face = Face(fonts.BOLD if head.is_bold else fonts.REGULAR, self._fit.head)
        base = foot + 0.5 * (_HEAD - face.cap)
        with structure.marked("TH", COLUMN, on=text):
            text.put(self._fit.label - _APART, base, head.name, fonts.BOLD, self._fit.head, 1.0)
        for number, ends in enumerate(head.columns):
            with structure.marked("TH", COLUMN, on=text):
                put_line(text, self._left(number) + 0.5 * self._fit.step, base, _ends(ends, face), 0.5, _WORD_GAP)

    def _set_row(self, text: Typesetter, structure: Tags, row: StockRow, foot: float) -> None:
        """The loads with their figures under each other, and the cells."""
        middle = foot + 0.5 * self._leading
        with structure.marked("TH", ROW, on=text):
            x = 0.0
            for piece, wide in zip(_load(row), self._fit.parts, strict=True):
                is_figure = piece.face.name == fonts.BOLD
                base = middle - 0.5 * fonts.CAP_HEIGHT * design.WALL_NEAR
                text.put(x + wide * is_figure, base, piece.text, piece.face.name, piece.face.size, float(is_figure))
                x += wide + _APART
        for number, cell in enumerate(row.cells):
            at = self._left(number) + 0.5 * self._fit.step
            with structure.marked("TD", on=text):
                if cell.is_covered:
                    self._set_covered(text, cell, at, middle)
                else:
                    self._set_asked(text, self._fit.asked(cell), at, middle)

    def _set_covered(self, text: Typesetter, cell: StockCell, at: float, middle: float) -> None:
        """The first choice large, on the middle of the cell with what also fits."""
        size = min(self._fit.size * max(1.0, self._leading / design.WALL_ROW), design.WALL_LARGEST_SIZE)
        size = max(self._fit.size, min(size, self._fit.widest_size))
        pieces = _sizes(cell, size, self._fit.second)
        left, base = at - 0.5 * _sizes_width(pieces), middle - 0.5 * fonts.CAP_HEIGHT * size
        for piece in pieces:
            text.put(left, base, piece.text, piece.face.name, piece.face.size)
            left += piece.width + _GAP

    def _set_asked(self, text: Typesetter, cell: _AskedCell, at: float, middle: float) -> None:
        """Sizes, and under them what limits them."""
        cap = max(piece.face.cap for piece in cell.sizes)
        small = fonts.CAP_HEIGHT * cell.limit_size
        gap = _LIMIT_GAP + min((self._leading - cell.height) / 3.0, _LIMIT_GAP)
        under = gap + small + _LIMIT_LEADING * (len(cell.limits) - 1) if cell.limits else 0.0
        base = middle + 0.5 * (cap + under) - cap
        put_line(text, at, base, cell.sizes, 0.5)
        for number, line in enumerate(cell.limits):
            y = base - gap - small - number * _LIMIT_LEADING
            # Its space keeps it apart for who hears the table read.
            text.put(at, y, f" {line}", fonts.REGULAR, cell.limit_size, 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """How a table fits a width [pt]: its columns, and the type of its heads and cells.

    `parts` are the widths of the parts of a load; `size` is that of first choices where rows are as low as they may be,
    `widest_size` where only the width of the columns limits it.
    """

    label: float
    parts: tuple[float, ...]
    step: float
    head: float
    size: float = design.WALL_SIZE
    widest_size: float = design.WALL_SIZE
    second: float = design.WALL_SECOND

    @property
    def inside(self) -> float:
        """Width in the frame of a cell."""
        return self.step - 2.0 * (_INSET + design.WALL_FRAME + _BESIDE)

    @property
    def is_read_from_afar(self) -> bool:
        """Whether heads and first choices are as large as they have to be for 1 m."""
        return min(self.head, self.size) >= design.WALL_NEAR

    @classmethod
    def best(cls, table: WallTable, width: float) -> _Fit:
        """The largest type for all columns."""
        loads = [_load(row) for row in table.rows]
        parts = tuple(max(line[i].width for line in loads) for i in range(len(loads[0])))
        names = max(fonts.text_width(head.name, fonts.BOLD, design.WALL_NEAR) for head in table.heads)
        note = max((_CLOSE.width(line) for line in table.note), default=-_APART) + _APART
        label = max(sum(parts) + _APART * len(parts), note + names + _APART)
        step = (width - label) / len(table.heads[0].columns)
        head = design.WALL_NEAR
        while head > design.FINE and any(wide > step - _AIR for own in table.heads for wide in _widths(own, head)):
            head = max(_SHRUNK * head, design.FINE)
        fits = cls(label=label, parts=parts, step=step, head=head)
        covered = [cell for row in table.rows for cell in row.cells if cell.is_covered]
        asked = [cell for row in table.rows for cell in row.cells if not cell.is_covered]

        def fit(size: float, second: float) -> bool:
            return all(_sizes_width(_sizes(cell, size, second)) <= step - 2.0 * _AIR for cell in covered)

        size, second = design.WALL_SIZE, design.WALL_SECOND
        while size > design.FINE and not fit(size, second):
            size = max(_SHRUNK * size, design.FINE)
            second = min(second, max(0.6 * size, design.FINE))
        widest = size
        while widest / _SHRUNK <= design.WALL_LARGEST_SIZE and fit(widest / _SHRUNK, second):
            widest /= _SHRUNK
        ask = min((max(p.face.size for p in fits.asked(cell).sizes) for cell in asked if cell.sizes), default=size)
        # Of an asked cell that is too narrow the chart needs fewer columns, as of any other.
        size = min(size, ask) if ask < design.WALL_NEAR else size
        return replace(fits, size=size, widest_size=widest, second=second)

    def asked(self, cell: StockCell) -> _AskedCell:
        """A cell to ask about in the largest type that fits its width."""
        figures = design.WALL_NEAR
        while True:
            for words in _WORDS:
                line = _question(cell, Face(fonts.BOLD, figures), Face(fonts.BOLD, min(words, figures)))
                if line_width(line) <= self.inside:
                    break
            else:
                if figures > design.FINE:
                    figures = max(_SHRUNK * figures, design.FINE)
                    continue
            break
        limits = "" if not cell.sizes else cell.limits
        size = next(
            (own for own in _LIMITS if fonts.text_width(limits, fonts.REGULAR, own) <= self.inside), _LIMITS[-1]
        )
        lines = fonts.wrapped(limits, fonts.REGULAR, size, self.inside) if limits else []
        return _AskedCell(line, lines, size)


def top_of(table: WallTable) -> float:
    """Height of the heads and the legend [pt]."""
    return _HEAD * len(table.heads) + _LEGEND


def row_heights(table: WallTable, width: float) -> tuple[float, float]:
    """The minimum and the maximum height of a row [pt]."""
    fit = _Fit.best(table, width)
    asked = (fit.asked(cell).height for row in table.rows for cell in row.cells if not cell.is_covered)
    return max(design.WALL_ROW, *asked, 0.0), max(_HIGHEST, *asked, 0.0)


def column_blocks(table: WallTable, width: float) -> list[WallTable]:
    """A table as it is if all its columns are legible from 1 m in a width [pt], else some at a time, in even shares."""
    count = len(table.heads[0].columns)
    for blocks in range(1, count + 1):
        share = -(-count // blocks)
        parts = [table.columns(slice(i, i + share)) for i in range(0, count, share)]
        if all(_Fit.best(part, width).is_read_from_afar for part in parts):
            return parts
    return parts


def _load(row: StockRow) -> list[Piece]:
    """The loads of a row: words and figures in turn."""
    line = mixed(wording.ROW, Face(fonts.BOLD, design.WALL_NEAR), _WORD, above=row.above, upto=row.upto)
    return [Piece(piece.text.strip() + " ", piece.face) for piece in line[:-1]] + [line[-1]]


def _ends(ends: tuple[str, ...], face: Face) -> Line:
    """The temperatures of a column."""
    if len(ends) == 1:
        return [Piece(ends[0], face)]
    words = Face(fonts.REGULAR, min(design.WALL_WORD, face.size))
    return mixed(terms.RANGE, face, words, low=ends[0], high=ends[1])


def _widths(head: ColumnHead, size: float) -> list[float]:
    """How wide the temperatures of each column are in a type [pt]."""
    face = Face(fonts.BOLD if head.is_bold else fonts.REGULAR, size)
    return [line_width(_ends(ends, face), _WORD_GAP) for ends in head.columns]


def _sizes(cell: StockCell, size: float, second: float) -> list[Piece]:
    """The sizes that cover a cell."""
    faces = (Face(fonts.BOLD, size), Face(fonts.REGULAR, min(second, size)))
    texts = [fonts.check_glyphs(text, face.name) for text, face in zip(cell.sizes, faces, strict=False)]
    # A space keeps them apart for who hears the table read.
    return [Piece(f" {text}" if i else text, faces[i]) for i, text in enumerate(texts)]


def _sizes_width(pieces: Sequence[Piece]) -> float:
    return line_width(pieces) + _GAP * (len(pieces) - 1)


def _question(cell: StockCell, figures: Face, words: Face) -> Line:
    """What to ask about a cell."""
    if len(cell.sizes) == 2:
        return mixed(wording.ASK_EITHER, figures, words, lower=cell.sizes[0], upper=cell.sizes[1])
    if cell.sizes:
        return mixed(wording.ASK_ONE, figures, words, size=cell.sizes[0])
    return mixed(wording.ORDER if cell.is_to_order else wording.ASK, figures, figures)


def _legend_size(legend: tuple[str, str], width: float) -> float:
    """Type of the legend: smaller where its texts would meet."""
    wide = sum(fonts.text_width(text, _LEGEND_FACE.name, 1.0) for text in legend)
    return min(design.WALL_CLOSE, max(design.FINE, (width - 2.0 * _APART) / wide))
