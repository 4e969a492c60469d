"""Tables of the page: data tables and label-value facts, whose columns share the width and whose cells of text wrap."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.column_widths import lay, min_widths, pad_within
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.paragraphs import formula_width, with_apostrophes
from tablegen.report.pdf.table_flowable import PageTable, Row, Spacing, TableDesign
from tablegen.wording import input_errors

_OPEN = Spacing(pad=design.COLUMN_PAD, above=1.5, below=2.5, before=3.0, after=8.0)
_TIGHT = Spacing(pad=design.TIGHT_PAD, above=0.0, below=0.3, before=2.0, after=3.0)
# Share of the width that a column may take before its words are broken, where columns go on in another table.
_COLUMN = 0.3
# Share of the width that labels of facts may take before they are wrapped.
_LABELS = 0.3


def _faces(figures: str) -> Callable[[int, int], str]:
    """The face of a cell by its row and column: under one row of header, behind a column of text."""
    return lambda row, column: (figures if column else fonts.REGULAR) if row else fonts.SEMIBOLD


def _check_type(size: float) -> None:
    if size < design.FINE:
        raise PublishError(input_errors.TABLE_TYPE(size=f"{design.FINE:g}"))


def data_table(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    *,
    numeric: Collection[int] = (),
    size: float = design.TABLE,
    groups: Sequence[tuple[str, int]] = (),
    formulas: Collection[int] = (),
    breaks: Collection[int] = (),
    fewest_lines: bool = False,
    is_tight: bool = False,
    figures: str = fonts.REGULAR,
) -> PageTable:
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
    fewest_lines : bool
        Where the table is too wide, choose widths with which its rows take the fewest lines, in place of all in proportion.
    is_tight : bool
        Less space between lines, and between columns where the table would be too wide.
    figures : str
        The face of the columns behind the first.

    Raises
    ------
    PublishError
        Rows of unequal length, type below 8 pt, a missing glyph, or more columns than fit (see `data_tables`).
    """
    _check_type(size)
    if any(len(row) != len(header) for row in rows):
        raise PublishError(input_errors.TABLE_CELLS(len(header)))
    every = [header, *rows]
    face = _faces(figures)
    pad = pad_within(every, face, width, size, formulas) if is_tight else design.COLUMN_PAD
    laid, widths = lay(
        every,
        face,
        lambda i, j: i > 0 and j in numeric,
        width,
        size,
        fewest_lines=fewest_lines,
        pad=pad,
        formulas=formulas,
    )
    for name, _ in groups:
        fonts.check_glyphs(name, fonts.SEMIBOLD)
    return PageTable(
        TableDesign(
            widths=tuple(widths),
            size=size,
            leading=size * (design.TIGHT_LEADING if is_tight else design.TABLE_LEADING),
            spacing=replace(_TIGHT if is_tight else _OPEN, pad=pad),
            numeric=frozenset(numeric),
            formulas=frozenset(formulas),
            groups=tuple(groups),
            figures=figures,
        ),
        laid[0][0],
        [part for parts in laid[1:] for part in parts],
        # Where each row begins on the page.
        [sum(map(len, laid[1 : i + 1])) for i in breaks],
    )


def data_tables(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    *,
    numeric: Collection[int] = (),
    size: float = design.TABLE,
    formulas: Collection[int] = (),
    breaks: Collection[int] = (),
    fewest_lines: bool = False,
    is_tight: bool = False,
    figures: str = fonts.REGULAR,
) -> list[PageTable]:
    """As `data_table`, in as many tables as its columns need; each begins with the first column.

    Raises
    ------
    PublishError
        As `data_table`.
    """
    every = [header, *rows]
    minimum = min_widths(every, _faces(figures), lambda i, j: i > 0 and j in numeric, size)
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
            fewest_lines=fewest_lines,
            is_tight=is_tight,
            figures=figures,
        )
        for block in blocks
    ]


def facts(pairs: Sequence[tuple[str, str]], width: float, size: float = design.TABLE) -> PageTable:
    """Two columns of label and value in plain text; the values wrap within the width [pt].

    Raises
    ------
    PublishError
        No pairs, type below 8 pt, a missing glyph, or no room for the values beside the labels.
    """
    return _facts(*_facts_laid(pairs, width, size), size, design.TABLE_LEADING)


def formulas(pairs: Sequence[tuple[str, str]], width: float, size: float = design.TABLE) -> PageTable:
    """As `facts`, but an underscore in a value begins the index of a symbol.

    Raises
    ------
    PublishError
        As `facts`.
    """
    label_width = _facts_laid(pairs, width, size)[1][0]
    room = width - label_width
    laid = [
        [[[label], wrapped(with_apostrophes(value), fonts.REGULAR, size, room - design.COLUMN_PAD, formula_width)]]
        for label, value in pairs
    ]
    return _facts(laid, [label_width, room], size, design.FORMULA_LEADING, {1})


def _facts(
    laid: Sequence[Sequence[Row]], widths: Sequence[float], size: float, leading: float, formulas: Collection[int] = ()
) -> PageTable:
    design = TableDesign(
        widths=tuple(widths),
        size=size,
        leading=size * leading,
        spacing=_OPEN,
        formulas=frozenset(formulas),
        is_ruled=False,
    )
    return PageTable(design, None, [part for parts in laid for part in parts])


def _facts_laid(
    pairs: Sequence[tuple[str, str]], width: float, size: float
) -> tuple[list[list[list[list[str]]]], list[float]]:
    _check_type(size)
    fits = all(fonts.text_width(label, fonts.SEMIBOLD, size) <= _LABELS * width for label, _ in pairs)
    return lay(pairs, lambda i, j: fonts.REGULAR if j else fonts.SEMIBOLD, lambda i, j: fits and j == 0, width, size)
