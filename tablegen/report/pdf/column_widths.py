"""Widths of the columns of a table, and its cells wrapped in them."""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterator, Sequence

from tablegen.errors import PublishError
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.fonts import wrapped
from tablegen.report.pdf.paragraphs import formula_width
from tablegen.wording import input_errors

# Of a cell, from its row and column: its face, and whether it must stay on one line.
Face = Callable[[int, int], str]
Whole = Callable[[int, int], bool]
Rows = Sequence[Sequence[str]]

# Room for some characters a line, in type sizes.
_NARROWEST = 4.0
# Lines of a row; a higher one goes on in another, so that it may go on on another page.
_MOST_LINES = 40
# Lines of a label that are tried before it is wrapped at every word.
_MOST_LABEL_LINES = 4
# A line just as wide as its column is not broken [pt].
_HAIR = 0.01


def lay(
    rows: Rows,
    face: Face,
    whole: Whole,
    width: float,
    size: float,
    *,
    fewest_lines: bool = False,
    pad: float = design.COLUMN_PAD,
    formulas: Collection[int] = (),
) -> tuple[list[list[list[list[str]]]], list[float]]:
    """Wrap the cells, each row as one or more of the page, and choose the column widths [pt].

    Widths are natural if they fit, else shared above the minimum; or the widest are cut where that takes fewer lines.

    Where not even the minimum fit, words are broken, those of whole cells last.
    """
    minimum = min_widths(rows, face, whole, size, pad, formulas)
    natural = min_widths(rows, face, lambda i, j: True, size, pad, formulas)
    if sum(minimum) > width:
        # Columns of whole cells keep their width as long as the others have room for some characters a line.
        is_kept = [any(whole(i, j) for i in range(len(rows))) for j in range(len(minimum))]
        narrow = [min(m, _NARROWEST * size + pad) for m in minimum]
        floors = [m if kept else n for m, n, kept in zip(minimum, narrow, is_kept, strict=True)]
        floors = floors if sum(floors) <= width else narrow
        if sum(floors) > width:
            least = f"{sum(floors):.0f}"
            raise PublishError(input_errors.TABLE_WIDTH(columns=len(minimum), need=least, width=f"{width:.0f}"))
        natural = minimum = _narrowed(minimum, floors, width)
    need, spare = sum(minimum), sum(natural) - sum(minimum)
    share = min(1.0, (width - need) / spare) if spare > 0 else 0.0
    widths = [m + share * (n - m) for m, n in zip(minimum, natural, strict=True)]

    def laid(chosen: Sequence[float]) -> list[list[list[str]]]:
        rooms = [own - pad + _HAIR for own in chosen]
        return [
            [wrapped(t, face(i, j), size, rooms[j], _measure(i, j, formulas)) for j, t in enumerate(row)]
            for i, row in enumerate(rows)
        ]

    if fewest_lines and sum(natural) > width and len(rows) > 1:
        body = min_widths(rows[1:], lambda i, j: face(i + 1, j), lambda i, j: True, size, pad, formulas)
        tried = [*_with_heads(rows[0], functools.partial(face, 0), minimum, body, width, size, pad), widths]
        widths = min(tried, key=lambda own: sum(max(map(len, row)) for row in laid(own)))
    return [list(_lower_rows(row)) for row in laid(widths)], widths


def pad_within(rows: Rows, face: Face, width: float, size: float, formulas: Collection[int] = ()) -> float:
    """Space between columns [pt]: less than usual only where the table would be too wide."""
    natural = min_widths(rows, face, lambda i, j: True, size, 0.0, formulas)
    return min(design.COLUMN_PAD, max(design.TIGHT_PAD, (width - sum(natural)) / len(natural)))


def min_widths(
    rows: Rows, face: Face, whole: Whole, size: float, pad: float = design.COLUMN_PAD, formulas: Collection[int] = ()
) -> list[float]:
    """Widths [pt] at which no word of a column, and none of its whole cells, is broken."""
    return [
        max(_longest(row[j], face(i, j), size, not whole(i, j), _measure(i, j, formulas)) for i, row in enumerate(rows))
        + pad
        + _HAIR
        for j in range(len(rows[0]))
    ]


def _measure(row: int, column: int, formulas: Collection[int]) -> fonts.Measure:
    """How a cell is measured: those of formulas below the header have indices."""
    return formula_width if row and column in formulas else fonts.text_width


def _longest(text: str, face: str, size: float, by_word: bool, measure: fonts.Measure = fonts.text_width) -> float:
    """Width [pt] of the longest word, or of the longest line, of a checked cell."""
    parts = fonts.check_glyphs(text, face).replace("\n", " ").split(" ") if by_word else text.split("\n")
    return max((measure(part, face, size) for part in parts), default=0.0)


def _narrowed(minimum: Sequence[float], floors: Sequence[float], width: float) -> list[float]:
    """Column widths [pt] that fit, the widest cut first, none below its floor where that can be."""
    if sum(minimum) <= width:
        return list(minimum)
    low, high = 0.0, max(minimum)
    for _ in range(50):
        middle = 0.5 * (low + high)
        fits = sum(max(f, min(m, middle)) for f, m in zip(floors, minimum, strict=True)) <= width
        low, high = (middle, high) if fits else (low, middle)
    return [max(f, min(m, low)) for f, m in zip(floors, minimum, strict=True)]


def _with_heads(
    labels: Sequence[str],
    face: Callable[[int], str],
    minimum: Sequence[float],
    body: Sequence[float],
    width: float,
    size: float,
    pad: float,
) -> Iterator[list[float]]:
    """Widths that fit with the widest columns cut, for labels of one line, of two and so on."""
    for lines in range(1, _MOST_LABEL_LINES + 1):
        heads = [_width_for(label, face(j), size, lines) + pad + _HAIR for j, label in enumerate(labels)]
        floors = [max(m, h) for m, h in zip(minimum, heads, strict=True)]
        if sum(floors) <= width:
            yield _narrowed([max(f, b) for f, b in zip(floors, body, strict=True)], floors, width)
    yield _narrowed([max(m, b) for m, b in zip(minimum, body, strict=True)], minimum, width)


def _width_for(text: str, face: str, size: float, lines: int) -> float:
    """Least width [pt] at which a text takes so many lines at most."""
    words = text.split(" ")
    runs = (" ".join(words[i:k]) for i in range(len(words)) for k in range(i + 1, len(words) + 1))
    widths = sorted(fonts.text_width(run, face, size) for run in runs)
    longest = _longest(text, face, size, by_word=True)
    fitting = (own for own in widths if own >= longest and len(wrapped(text, face, size, own + _HAIR)) <= lines)
    return next(fitting, widths[-1])


def _lower_rows(row: Sequence[list[str]]) -> Iterator[list[list[str]]]:
    """A row of cells as lines; one too high for a page as several rows, each of as many lines as fit one."""
    for start in range(0, max(map(len, row)), _MOST_LINES):
        yield [lines[start : start + _MOST_LINES] for lines in row]
