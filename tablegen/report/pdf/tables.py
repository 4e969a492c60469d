"""Tables of the page: data tables and label-value facts, whose cells of text wrap, with their structure tags.

References
----------
ISO 32000-1, 14.8.4.3.4 table elements, 14.8.5.7 table attributes.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Mapping, Sequence
from contextlib import AbstractContextManager
from types import MappingProxyType
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Table

from tablegen.errors import PublishError
from tablegen.report.pdf import fonts
from tablegen.report.pdf.column_widths import PAD, lay, min_widths, pad_within
from tablegen.report.pdf.page import BLACK
from tablegen.report.pdf.paragraphs import escape, subscripted
from tablegen.report.pdf.structure import COLUMN, ROW, Tags, Untagged, tags
from tablegen.wording import input_errors

# Height of a line in type sizes.
_LEADING, _TIGHT_LEADING = 1.25, 1.08
# Share of the width that a column may take before its words are broken, where columns go on in another table.
_COLUMN = 0.3
# Share of the width that labels of facts may take before they are wrapped.
_LABELS = 0.3


class TableTags:
    """Marks the rows and cells of a table as the library draws them; the parts of a table over pages share one.

    A header that is repeated on a later page is not marked again.

    Parameters
    ----------
    header : int
        Rows of column headers. The first cell of every other row names the row.
    spans : dict
        Over how many columns a cell of the first row reaches, by its column.
    """

    def __init__(self, header: int, spans: Mapping[int, int] = MappingProxyType({})) -> None:
        self._header, self._spans = header, spans
        self._is_continued = False
        self._open: list[AbstractContextManager[object]] = []

    def __call__(self, table: Any, event: str, *args: Any) -> None:
        """Open or close what an event of the table begins or ends."""
        if event == "startTable":
            part = tags(table.canv).element("Table", source=self)
            self._open.append(part)
            self._is_continued = part.__enter__().is_continued
        elif event in ("startRow", "startCell"):
            # The header is marked once, on the first page.
            is_repeated = self._is_continued and args[0] < self._header
            structure = Untagged(table.canv) if is_repeated else tags(table.canv)
            row_or_cell = structure.element("TR") if event == "startRow" else self._cell(structure, *args[:2])
            self._open.append(row_or_cell)
            row_or_cell.__enter__()
        elif event in ("endTable", "endRow", "endCell"):
            self._open.pop().__exit__(None, None, None)

    def _cell(self, structure: Tags, row: int, column: int) -> AbstractContextManager[object]:
        if row == 0 and column in self._spans:
            return structure.marked("TH", f"/A<</O/Table/Scope/Column/ColSpan {self._spans[column]}>>")
        role, scope = ("TH", COLUMN) if row < self._header else ("TD", "") if column else ("TH", ROW)
        return structure.marked(role, scope)


def _table(
    cells: Sequence[list[Any]],
    widths: list[float],
    style: list[Any],
    repeat: int,
    spans: Mapping[int, int] = MappingProxyType({}),
    is_tight: bool = False,
    pad: float = PAD,
) -> Table:
    padding: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), pad),
        ("TOPPADDING", (0, 0), (-1, -1), 0.0 if is_tight else 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.3 if is_tight else 2.5),
    ]
    marks: Any = TableTags(repeat, spans)
    return Table(
        cells,
        widths,
        style=padding + style,
        repeatRows=repeat,
        hAlign="LEFT",
        spaceBefore=2 if is_tight else 3,
        spaceAfter=3 if is_tight else 8,
        renderCB=marks,
    )


def _face(row: int, column: int) -> str:
    """Face of a cell under one row of header."""
    return fonts.REGULAR if row else fonts.SEMIBOLD


def _check_type(size: float) -> None:
    if size < fonts.MIN_SIZE:
        raise PublishError(input_errors.TABLE_TYPE(size=f"{fonts.MIN_SIZE:g}"))


def _data_style(size: float, head: int, leading: float) -> list[Any]:
    """Rules and faces under so many rows of header."""
    return [
        ("FONT", (0, 0), (-1, head - 1), fonts.SEMIBOLD, size, leading),
        ("FONT", (0, head), (-1, -1), fonts.REGULAR, size, leading),
        ("VALIGN", (0, 0), (-1, head - 1), "BOTTOM"),
        ("LINEABOVE", (0, 0), (-1, 0), 0.8, BLACK),
        ("LINEBELOW", (0, head - 1), (-1, head - 1), 0.5, BLACK),
        ("LINEBELOW", (0, -1), (-1, -1), 0.8, BLACK),
        ("LINEBELOW", (0, "splitlast"), (-1, "splitlast"), 0.8, BLACK),
    ]


def data_table(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    *,
    numeric: Collection[int] = (),
    size: float = 9.0,
    groups: Sequence[tuple[str, int]] = (),
    formulas: Collection[int] = (),
    breaks: Collection[int] = (),
    cuts_widest: bool = False,
    is_tight: bool = False,
) -> Table:
    """Plain table: rules at head and foot only, the header repeated on every page it runs to.

    Parameters
    ----------
    header, rows : sequences of str
        Plain text. Cells of text columns and the header wrap between words, and within a word that is too long.
    width : float
        Room for the table [pt]; a narrow table stays narrow.
    numeric : collection of int
        Columns (from 0) set flush right and wrapped last of all.
    size : float
        Type size [pt], 8 or more.
    groups : sequence of (str, int)
        Headings over so many columns each, from the second column on, apart by thin upright rules.
    formulas : collection of int
        Columns in which an underscore begins the index of a symbol.
    breaks : collection of int
        Rows (from 0) with a thin rule above.
    cuts_widest : bool
        Where the table is too wide, cut the widest columns alone, in place of all in proportion.
    is_tight : bool
        Less space between lines, and between columns where the table would be too wide.

    Raises
    ------
    PublishError
        Rows of unequal length, type below 8 pt, a missing glyph, or more columns than fit (see `data_tables`).
    """
    _check_type(size)
    if any(len(row) != len(header) for row in rows):
        raise PublishError(input_errors.TABLE_CELLS(len(header)))
    every = [header, *rows]
    pad = pad_within(every, _face, width, size, formulas) if is_tight else PAD
    laid, widths = lay(
        every,
        _face,
        lambda i, j: i > 0 and j in numeric,
        width,
        size,
        cuts_widest=cuts_widest,
        pad=pad,
        formulas=formulas,
    )
    head = 2 if groups else 1
    leading = size * (_TIGHT_LEADING if is_tight else _LEADING)
    cells = _with_formulas(laid, formulas, size, leading)
    style: list[Any] = [("ALIGN", (j, 0), (j, -1), "RIGHT") for j in numeric]
    style += _data_style(size, head, leading)
    # Where each row begins on the page.
    starts = [head - 1 + count for count in itertools.accumulate(map(len, laid))]
    style += [("LINEABOVE", (0, starts[i]), (-1, starts[i]), 0.35, BLACK) for i in breaks if i]
    # Indices of symbols below the line must not touch a rule.
    style += [("BOTTOMPADDING", (0, i), (-1, i), 2.5) for i in (head - 1, -1, *(starts[i] - 1 for i in breaks if i))]
    spans, over, start = {}, [""] * len(header), 1
    for name, count in groups:
        spans[start], over[start] = count, fonts.check_glyphs(name, fonts.SEMIBOLD)
        style += [
            ("SPAN", (start, 0), (start + count - 1, 0)),
            ("ALIGN", (start, 0), (start, 0), "CENTER"),
            ("LINEBEFORE", (start, 0), (start, -1), 0.3, BLACK),
        ]
        start += count
    return _table([over, *cells] if groups else cells, widths, style, head, spans, is_tight, pad)


def _with_formulas(
    laid: Sequence[Sequence[list[str]]], formulas: Collection[int], size: float, leading: float
) -> list[list[Any]]:
    """The rows of a page, cells of formulas below the header as paragraphs."""
    style = ParagraphStyle("formula", fontName=fonts.REGULAR, fontSize=size, leading=leading)
    return [
        [
            Paragraph(subscripted(escape(text)).replace("\n", "<br/>"), style) if i and j in formulas else text
            for j, text in enumerate(part)
        ]
        for i, parts in enumerate(laid)
        for part in parts
    ]


def data_tables(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    *,
    numeric: Collection[int] = (),
    size: float = 9.0,
    formulas: Collection[int] = (),
    breaks: Collection[int] = (),
    cuts_widest: bool = False,
    is_tight: bool = False,
) -> list[Table]:
    """As `data_table`, in as many tables as its columns need; each begins with the first column.

    Raises
    ------
    PublishError
        As `data_table`.
    """
    every = [header, *rows]
    minimum = min_widths(every, _face, lambda i, j: i > 0 and j in numeric, size)
    # A column of text may be narrower than its longest word.
    minimum = [min(m, _COLUMN * width) for m in minimum]
    # Even shares, so that the last table is not a remnant.
    for count in range(1, len(header)):
        share = -(-(len(header) - 1) // count)
        blocks = [range(i, min(i + share, len(header))) for i in range(1, len(header), share)]
        if all(minimum[0] + sum(minimum[j] for j in block) <= width for block in blocks):
            break
    else:
        blocks = [range(j, j + 1) for j in range(1, len(header))] or [range(0)]
    return [
        data_table(
            [header[0], *(header[j] for j in block)],
            [[row[0], *(row[j] for j in block)] for row in rows],
            width,
            numeric=[k for k, j in enumerate([0, *block]) if j in numeric],
            size=size,
            formulas=[k for k, j in enumerate([0, *block]) if j in formulas],
            breaks=breaks,
            cuts_widest=cuts_widest,
            is_tight=is_tight,
        )
        for block in blocks
    ]


def facts(pairs: Sequence[tuple[str, str]], width: float, size: float = 9.0) -> Table:
    """Two columns of label and value in plain text; the values wrap within the width [pt].

    Raises
    ------
    PublishError
        No pairs, type below 8 pt, a missing glyph, or no room for the values beside the labels.
    """
    laid, widths = _facts_laid(pairs, width, size)
    return _table([part for parts in laid for part in parts], widths, _facts_style(size), 0)


def formulas(pairs: Sequence[tuple[str, str]], width: float, size: float = 9.0) -> Table:
    """As `facts`, but an underscore in a value begins the index of a symbol.

    Raises
    ------
    PublishError
        As `facts`.
    """
    widths = _facts_laid(pairs, width, size)[1]
    style = ParagraphStyle("formula", fontName=fonts.REGULAR, fontSize=size, leading=size * 1.3)
    cells = [[label, Paragraph(subscripted(escape(value)), style)] for label, value in pairs]
    return _table(cells, [widths[0], width - widths[0]], _facts_style(size), 0)


def _facts_laid(
    pairs: Sequence[tuple[str, str]], width: float, size: float
) -> tuple[list[list[list[str]]], list[float]]:
    _check_type(size)
    fits = all(fonts.text_width(label, fonts.SEMIBOLD, size) <= _LABELS * width for label, _ in pairs)
    return lay(pairs, lambda i, j: fonts.REGULAR if j else fonts.SEMIBOLD, lambda i, j: fits and j == 0, width, size)


def _facts_style(size: float) -> list[Any]:
    return [
        ("FONT", (0, 0), (0, -1), fonts.SEMIBOLD, size, size * 1.25),
        ("FONT", (1, 0), (1, -1), fonts.REGULAR, size, size * 1.25),
    ]
