"""Plain tables of the page: data tables and label-value facts, in plain-string cells that wrap or refuse."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Any

from tablegen.errors import PublishError
from tablegen.publish import fonts
from tablegen.publish.page import BLACK
from tablegen.publish.paragraphs import escape, subscripted
from tablegen.publish.table_tags import TableTags

# isort: split
# After `fonts`, which must set the base font first.
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Table

# Of a cell, from its row and column: its face, and whether it must stay on one line.
_Face = Callable[[int, int], str]
_Whole = Callable[[int, int], bool]

_CELL_PAD = 10.0


def _longest(text: str, face: str, size: float, words: bool) -> float:
    """Width [pt] of the longest word, or of the longest line, of a checked cell."""
    parts = fonts.check_glyphs(text, face).replace("\n", " ").split(" ") if words else text.split("\n")
    return max((fonts.text_width(part, face, size) for part in parts), default=0.0)


def _wrap(text: str, face: str, size: float, width: float) -> str:
    """Break lines at plain spaces alone, so that a no-break space holds a number to its unit."""
    lines: list[str] = []
    for paragraph_text in text.split("\n"):
        line = ""
        for word in paragraph_text.split(" "):
            longer = f"{line} {word}" if line else word
            if line and fonts.text_width(longer, face, size) > width:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return "\n".join(lines)


def _lay(
    rows: Sequence[Sequence[str]], face: _Face, whole: _Whole, width: float, size: float
) -> tuple[list[list[str]], list[float]]:
    """Wrap the cells and choose the column widths [pt]: natural if they fit, else shared above the least."""
    least, natural = [], []
    for j in range(len(rows[0])):
        column = [(row[j], face(i, j), whole(i, j)) for i, row in enumerate(rows)]
        # A hair more, so that a line just as wide as its column is not broken.
        least.append(max(_longest(t, f, size, not w) for t, f, w in column) + _CELL_PAD + 0.01)
        natural.append(max(_longest(t, f, size, False) for t, f, _ in column) + _CELL_PAD + 0.01)
    need, spare = sum(least), sum(natural) - sum(least)
    if need > width:
        widest = rows[0][max(range(len(least)), key=least.__getitem__)]
        raise PublishError(f"table needs {need:.0f} pt of {width:.0f} pt; the widest column is {widest!r}")
    share = min(1.0, (width - need) / spare) if spare > 0 else 0.0
    widths = [m + share * (n - m) for m, n in zip(least, natural, strict=True)]
    cells = [
        [_wrap(t, face(i, j), size, widths[j] - _CELL_PAD) for j, t in enumerate(row)] for i, row in enumerate(rows)
    ]
    return cells, widths


def _table(cells: Sequence[list[Any]], widths: list[float], style: list[Any], repeat: int) -> Table:
    padding: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), _CELL_PAD),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
    marks: Any = TableTags(repeat)
    return Table(
        cells, widths, style=padding + style, repeatRows=repeat, hAlign="LEFT", spaceBefore=3, spaceAfter=8,
        renderCB=marks,
    )  # fmt: skip


def _need(condition: bool, what: str) -> None:
    if not condition:
        raise PublishError(f"table needs {what}")


def _data_style(size: float) -> list[Any]:
    return [
        ("FONT", (0, 0), (-1, 0), fonts.SEMIBOLD, size, size * 1.25),
        ("FONT", (0, 1), (-1, -1), fonts.REGULAR, size, size * 1.25),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LINEABOVE", (0, 0), (-1, 0), 0.8, BLACK),
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, BLACK),
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
) -> Table:
    """Plain table: rules at head and foot only, the header repeated on every page it runs to.

    Parameters
    ----------
    header, rows : sequences of str
        Plain text. Cells of text columns and the header wrap between words.
    width : float
        Room for the table [pt]; a narrow table stays narrow.
    numeric : collection of int
        Columns (from 0) set flush right and never wrapped.
    size : float
        Type size [pt], 8 or more.

    Raises
    ------
    PublishError
        Rows of unequal length, type below 8 pt, a missing glyph, or a cell that cannot be set uncut.
    """
    _need(size >= fonts.LEAST_SIZE, f"type of {fonts.LEAST_SIZE:g} pt or more")
    _need(all(len(row) == len(header) > 0 for row in rows), f"{len(header)} cells in every row")
    cells, widths = _lay(
        [header, *rows],
        lambda i, j: fonts.REGULAR if i else fonts.SEMIBOLD,
        lambda i, j: i > 0 and j in numeric,
        width,
        size,
    )
    style: list[Any] = [("ALIGN", (j, 0), (j, -1), "RIGHT") for j in numeric]
    style += _data_style(size)
    return _table(cells, widths, style, 1)


def facts(pairs: Sequence[tuple[str, str]], width: float, size: float = 9.0) -> Table:
    """Two columns of label and value in plain text; the values wrap within the width [pt].

    Raises
    ------
    PublishError
        No pairs, type below 8 pt, a missing glyph, or no room for the values beside the labels.
    """
    return _table(*_facts_laid(pairs, width, size), _facts_style(size), 0)


def formulas(pairs: Sequence[tuple[str, str]], width: float, size: float = 9.0) -> Table:
    """As `facts`, but an underscore in a value begins the index of a symbol.

    Raises
    ------
    PublishError
        As `facts`.
    """
    _, widths = _facts_laid(pairs, width, size)
    style = ParagraphStyle("formula", fontName=fonts.REGULAR, fontSize=size, leading=size * 1.3)
    cells = [[label, Paragraph(subscripted(escape(value)), style)] for label, value in pairs]
    return _table(cells, [widths[0], width - widths[0]], _facts_style(size), 0)


def _facts_laid(pairs: Sequence[tuple[str, str]], width: float, size: float) -> tuple[list[list[str]], list[float]]:
    _need(len(pairs) > 0 and size >= fonts.LEAST_SIZE, f"a pair, and type of {fonts.LEAST_SIZE:g} pt or more")
    return _lay(pairs, lambda i, j: fonts.REGULAR if j else fonts.SEMIBOLD, lambda i, j: j == 0, width, size)


def _facts_style(size: float) -> list[Any]:
    return [
        ("FONT", (0, 0), (0, -1), fonts.SEMIBOLD, size, size * 1.25),
        ("FONT", (1, 0), (1, -1), fonts.REGULAR, size, size * 1.25),
    ]
