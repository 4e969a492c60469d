"""The window table: temperatures down, valve sizes across, one load window a cell, set on its dash."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Box, Pen, Shape, box_path, line_path
from tablegen.report.pdf.spread_rows import SpreadRows
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, text_string
from tablegen.report.pdf.typesetting import Typesetter
from tablegen.report.window_texts import DASH, Cell, WindowTableRow, cell_text
from tablegen.wording import input_errors

_SIZE_STEP = 0.25
_NOTE_SIZE = design.FINE
# More than the largest type, so that text readers keep the two header lines apart.
_NOTE_LEADING = 11.0
_HEAD_SCALE = 1.12

# In type sizes: the minimum gap between columns and the leading between rows, tightest and loosest.
_GAP = 1.0
_BOX_GAP = 0.9
_TIGHT, _LOOSE = 1.28, 3.0
# How far the bar of a change is from its window, and its height, in type sizes: nearer to its own window than to the next,
# and lower than a row, so that bars one below the other are no rule between columns.
_BAR, _BAR_HEIGHT = 0.3, 1.1
# The largest figures of a dense table [pt].
_DENSE = design.TABLE
# Wider gaps [pt] make the eye lose the row.
_WIDEST_GAP = 40.0

_HEAD_PAD = 4.5
# How far the frame of a row is outside the table, and inside its height [pt].
_OUTSIDE, _INSIDE = 5.0, 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowTable:
    """A window table as a value; every string is printed as it is.

    `stub_label` names the row labels ("t₀, °C"); `size_notes` are small second lines under the size
    names. Rows with `rule_above` get a larger label. `box_label` names the box temperatures before the row labels, if
    the rows have any. With `is_dense` figures are small and rows as close as they go.

    Raises
    ------
    PublishError
        There is no size or row, or rows or notes do not match the sizes.
    MissingGlyphError
        A face cannot draw a character.
    """

    stub_label: str
    sizes: Sequence[str]
    size_notes: Sequence[str] | None
    rows: Sequence[WindowTableRow]
    box_label: str = ""
    is_dense: bool = False

    def __post_init__(self) -> None:
        if not self.sizes or not self.rows:
            raise PublishError(input_errors.WINDOW_TABLE_EMPTY(label=repr(self.stub_label)))
        if self.size_notes is not None and len(self.size_notes) != len(self.sizes):
            raise PublishError(input_errors.WINDOW_TABLE_NOTES(sizes=len(self.sizes), notes=len(self.size_notes)))
        for row in self.rows:
            if len(row.cells) != len(self.sizes):
                cells, sizes = len(row.cells), len(self.sizes)
                raise PublishError(input_errors.WINDOW_TABLE_CELLS(row=row.label, cells=cells, sizes=sizes))
        for text, face in _strings(self):
            fonts.check_glyphs(text, face)


def _label_face(row: WindowTableRow) -> str:
    if row.is_apart:
        return fonts.REGULAR
    return fonts.BOLD if row.rule_above else fonts.SEMIBOLD


def _strings(table: WindowTable) -> Iterator[tuple[str, str]]:
    """Every string of a table with the face that it is set in."""
    yield table.stub_label, fonts.REGULAR
    yield table.box_label, fonts.REGULAR
    yield from ((name, fonts.BOLD) for name in table.sizes)
    yield from ((note, fonts.REGULAR) for note in table.size_notes or ())
    for row in table.rows:
        yield row.label, _label_face(row)
        yield row.box, fonts.REGULAR
        for cell in row.cells:
            if isinstance(cell, str):
                yield cell, fonts.ITALIC
            else:
                yield cell[0] + DASH, fonts.REGULAR
                yield cell[1], fonts.SEMIBOLD


@dataclass(frozen=True, slots=True)
class _Column:
    """Widths of a size's column, in type sizes (`note` in points), about the middle of its dash."""

    left: float
    right: float
    head: float
    note: float

    def width(self, size: float) -> float:
        return max((self.left + self.right) * size, self.head * size, self.note)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    """Type size, widths and positions across the page [pt]; the ends of the box temperatures and of the row labels.

    `bars` are where a bar beside each column stands.
    """

    size: float
    width: float
    box: float
    stub: float
    axes: tuple[float, ...]
    middles: tuple[float, ...]
    bars: tuple[float, ...]


def _half_dash() -> float:
    return fonts.text_width(DASH, fonts.REGULAR, 1.0) / 2


def _measure(table: WindowTable, index: int) -> _Column:
    """Measure one size's column; a mark is centered where the dash of a window is."""
    left = right = 0.0
    for row in table.rows:
        cell = row.cells[index]
        if isinstance(cell, str):
            half = fonts.text_width(cell, fonts.ITALIC, 1.0) / 2
            left, right = max(left, half), max(right, half)
        else:
            left = max(left, fonts.text_width(cell[0], fonts.REGULAR, 1.0) + _half_dash())
            right = max(right, fonts.text_width(cell[1], fonts.SEMIBOLD, 1.0) + _half_dash())
    head = fonts.text_width(table.sizes[index], fonts.BOLD, _HEAD_SCALE)
    note = fonts.text_width(table.size_notes[index], fonts.REGULAR, _NOTE_SIZE) if table.size_notes else 0.0
    return _Column(left, right, head, note)


def _label_size(row: WindowTableRow, size: float) -> float:
    return size * (_HEAD_SCALE if row.rule_above else 1.0)


def _stub_width(table: WindowTable, size: float) -> float:
    labels = max(fonts.text_width(row.label, _label_face(row), _label_size(row, size)) for row in table.rows)
    return max(labels, _head_width(table, table.stub_label, size))


def _box_width(table: WindowTable, size: float) -> float:
    """Width of the box temperatures with the gap to the row labels; 0 without them."""
    if not table.box_label:
        return 0.0
    labels = max(fonts.text_width(row.box, fonts.REGULAR, size) for row in table.rows)
    return max(labels, _head_width(table, table.box_label, size)) + _BOX_GAP * size


def _head_width(table: WindowTable, label: str, size: float) -> float:
    return max(fonts.text_width(part, fonts.REGULAR, size) for part in _head_lines(table, label))


def _head_lines(table: WindowTable, label: str) -> list[str]:
    """What a column of temperatures is called, on two lines where the header has two: its unit under its name."""
    name, comma, unit = label.rpartition(", ")
    return [name, unit] if comma and table.size_notes else [label]


def _type_size(table: WindowTable, columns: Sequence[_Column], width: float) -> float | None:
    """The largest type in which the columns fit a width [pt]; None where even the smallest is too large."""
    size = _DENSE if table.is_dense else design.LARGEST_FIGURES
    while size >= design.FINE:
        need = _fixed_width(table, columns, size)
        if width - need >= (len(columns) + 1) * _GAP * size:
            return size
        size -= _SIZE_STEP
    return None


def _fixed_width(table: WindowTable, columns: Sequence[_Column], size: float) -> float:
    """Width [pt] without the gaps between columns."""
    labels = _box_width(table, size) + 2 * _stub_width(table, size)
    return labels + sum(column.width(size) for column in columns)


def _arrange(table: WindowTable, width: float) -> _Layout:
    """Choose the largest type that fits the width, and share what is left over between the columns."""
    columns = [_measure(table, i) for i in range(len(table.sizes))]
    size = _type_size(table, columns, width)
    if size is None:
        raise PublishError(_too_wide(table, width))
    box, stub = _box_width(table, size), _stub_width(table, size)
    gap = min((width - _fixed_width(table, columns, size)) / (len(columns) + 1), _WIDEST_GAP)
    axes, middles, x = [], [], box + stub
    for column in columns:
        middle = x + gap + column.width(size) / 2
        axes.append(middle + (column.left - column.right) / 2 * size)
        middles.append(middle)
        x = middle + column.width(size) / 2
    return _Layout(
        size=size,
        width=x + gap + stub,
        box=box - _BOX_GAP * size,
        stub=box + stub,
        axes=tuple(axes),
        middles=tuple(middles),
        bars=tuple(axis - (own.left + _BAR) * size for axis, own in zip(axes, columns, strict=True)),
    )


def _too_wide(table: WindowTable, width: float) -> str:
    cells = [(cell_text(c), row.label, i) for row in table.rows for i, c in enumerate(row.cells)]
    text, label, index = max(cells, key=lambda c: fonts.text_width(c[0], fonts.SEMIBOLD, 1.0))
    return input_errors.WINDOW_TABLE_WIDTH(
        sizes=len(table.sizes),
        width=f"{width:.0f}",
        size=f"{design.FINE:g}",
        cell=repr(text),
        row=label,
        name=table.sizes[index],
    )


def in_blocks(table: WindowTable, width: float) -> list[WindowTable]:
    """A table as it is if it fits a width [pt], else some of its sizes at a time, in even shares."""
    columns = [_measure(table, i) for i in range(len(table.sizes))]
    for share in range(len(columns), 0, -1):
        count = -(-len(columns) // share)
        even = -(-len(columns) // count)
        places = [range(i, min(i + even, len(columns))) for i in range(0, len(columns), even)]
        if all(_type_size(table, [columns[i] for i in part], width) is not None for part in places):
            break
    return [_of_sizes(table, part) for part in places]


def _of_sizes(table: WindowTable, places: range) -> WindowTable:
    rows = [
        replace(row, cells=[row.cells[i] for i in places], changed=tuple(row.changed[i] for i in places if row.changed))
        for row in table.rows
    ]
    notes = [table.size_notes[i] for i in places] if table.size_notes is not None else None
    return replace(table, sizes=[table.sizes[i] for i in places], size_notes=notes, rows=rows)


def window_tables(
    labels: Sequence[str], cells: Sequence[Sequence[str]], names: int, rules: Collection[int], width: float
) -> list[WindowTableFlowable]:
    """The flowables of a table that is given as texts, some sizes at a time where all are too wide.

    Parameters
    ----------
    labels : sequence of str
        What the row labels are, and with two names the box temperatures; each size with its note after the first space.
    cells : sequence of sequences of str
        The label of each row, and its box temperature; a window with its dash, or a mark.
    names : int
        How many cells name the row.
    rules : collection of int
        Rows (from 0) with a rule above.
    """
    named = [label.partition(" ") for label in labels[names:]]
    rows = [
        WindowTableRow(
            label=row[0],
            box="".join(row[1:names]),
            cells=[_window(text) for text in row[names:]],
            rule_above=number in rules,
        )
        for number, row in enumerate(cells)
    ]
    notes = [note for _, _, note in named]
    table = WindowTable(
        stub_label=labels[0],
        sizes=[name for name, _, _ in named],
        size_notes=notes if any(notes) else None,
        rows=rows,
        box_label="".join(labels[1:names]),
    )
    return [WindowTableFlowable(block) for block in in_blocks(table, width)]


def _window(text: str) -> Cell:
    minimum, dash, maximum = text.partition(DASH)
    return (minimum, maximum) if dash else text


class WindowTableFlowable(SpreadRows[WindowTableRow]):
    """A table in the flow of a document; its rows fill the height, or continue on the next page.

    Parameters
    ----------
    table : WindowTable
        What is printed; type and columns follow from the whole of it on every page.
    reserve : float
        Height [pt] of the page to leave free under the table, for its notes.
    continued : str
        Title above the rows that continue on another page.

    Raises
    ------
    PublishError
        When it is set: not even 8 pt type fits the width (`in_blocks`).
    """

    def __init__(self, table: WindowTable, reserve: float = 0.0, continued: str = "Continued") -> None:
        super().__init__(table.rows, reserve, continued)
        self.table = table
        self.spaceAfter = 4.0

    def measure(self, width: float) -> None:
        """Choose type size and columns for the width."""
        self._layout = layout = _arrange(self.table, width)
        self.width = layout.width
        self.head = 2 * _HEAD_PAD + layout.size * _HEAD_SCALE + (_NOTE_LEADING if self.table.size_notes else 0.0)
        self.tightest = _TIGHT * layout.size
        self.loosest = self.tightest if self.table.is_dense else _LOOSE * layout.size

    def shapes(self) -> Iterator[Shape]:
        """The rules: around, under the header, and above rows that have one."""
        top = self.height - self.head
        above = [
            (top - i * self.leading, design.RULE if row.is_apart else design.HAIR)
            for i, row in enumerate(self.rows)
            if i and (row.rule_above or row.is_apart)
        ]
        yield from self.rules([(self.height, design.RULE), (top, design.HEAD_RULE), (0.0, design.RULE), *above])
        for i, row in enumerate(self.rows):
            if row.is_framed:
                foot = self.foot(i)
                box = Box(-_OUTSIDE, foot, self.width + _OUTSIDE, foot + self.leading).wider(-_INSIDE)
                yield Shape(path=box_path(box), pen=Pen(design.LINE))
            half, middle = 0.5 * _BAR_HEIGHT * self._layout.size, self.foot(i) + 0.5 * self.leading
            for x, said in zip(self._layout.bars, row.changed, strict=False):
                if said:
                    path = line_path([(x, middle - half), (x, middle + half)])
                    yield Shape(path=path, pen=Pen(design.STRONG), name=said)

    def set_head(self, text: Typesetter, structure: Tags) -> None:
        """Names of sizes with their notes; the label of the rows at both ends."""
        layout, table = self._layout, self.table
        size = layout.size * _HEAD_SCALE
        base = self.height - _HEAD_PAD - fonts.CAP_HEIGHT * size - 1
        foot = base - (_NOTE_LEADING if table.size_notes else 0.0)
        label, box = (
            list(zip(reversed(_head_lines(table, name)), (foot, base), strict=False))
            for name in (table.stub_label, table.box_label)
        )
        # The order of the header's cells is not the order in which its two lines are set.
        beside = structure.add("TH", COLUMN) if table.box_label else None
        corner, *columns = (structure.add("TH", COLUMN) for _ in (table.stub_label, *table.sizes))
        for x, name, column in zip(layout.middles, table.sizes, columns, strict=True):
            with structure.mark(column, text):
                text.put(x, base, name, fonts.BOLD, size, 0.5)
        for cell, lines, end in ((beside, box, layout.box), (corner, label, layout.stub)):
            if cell is None:
                continue
            for part, y in lines:
                with structure.mark(cell, text):
                    text.put(end, y, part, fonts.REGULAR, layout.size, 1.0)
            # The unit is set first but stands below its name.
            cell.kids.reverse()
        for x, note, column in zip(layout.middles, table.size_notes or (), columns, strict=False):
            with structure.mark(column, text):
                text.put(x, foot, note, fonts.REGULAR, _NOTE_SIZE, 0.5)
        with structure.artifact(text):
            for part, y in label:
                text.put(layout.width, y, part, fonts.REGULAR, layout.size, 1.0)

    def set_row(self, text: Typesetter, structure: Tags, row: WindowTableRow, foot: float) -> None:
        """The box temperature, the label at both ends, and each window about its dash."""
        layout, label_size = self._layout, _label_size(row, self._layout.size)
        label_y = foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * label_size)
        half, y = _half_dash() * layout.size, foot + 0.5 * (self.leading - fonts.CAP_HEIGHT * layout.size)
        if self.table.box_label:
            with structure.marked("TD", on=text):
                text.put(layout.box, y, row.box, fonts.REGULAR, layout.size, 1.0)
        with structure.marked("TH", ROW, on=text):
            text.put(layout.stub, label_y, row.label, _label_face(row), label_size, 1.0)
        said = row.changed or [""] * len(row.cells)
        for axis, cell, spoken in zip(layout.axes, row.cells, said, strict=True):
            with structure.marked("TD", f"/ActualText{text_string(spoken)}" if spoken else "", on=text):
                if isinstance(cell, str):
                    text.put(axis, y, cell, fonts.ITALIC, layout.size, 0.5)
                else:
                    text.put(axis + half, y, cell[0] + DASH, fonts.REGULAR, layout.size, 1.0)
                    text.put(axis + half, y, cell[1], fonts.SEMIBOLD, layout.size)
        with structure.artifact(text):
            text.put(layout.width, label_y, row.label, _label_face(row), label_size, 1.0)
