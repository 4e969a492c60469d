"""Window tables read back from a printed booklet, by way of an optional library."""

from __future__ import annotations

import importlib.util
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tablegen.errors import DataSetError
from tablegen.report.formatter import DASH

# What a row of a table says, by the place of the size: a window, or the letter of a reason.
Row = dict[int, str]


def can_read() -> bool:
    """Whether the library that reads pages is installed."""
    return importlib.util.find_spec("pypdfium2") is not None


def page_texts(path: Path) -> list[str]:
    """The text of each page in the order in which it is drawn, spaces made plain.

    Raises
    ------
    DataSetError
        If it cannot be read as a PDF.
    """
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(path)
    except (OSError, pypdfium2.PdfiumError) as error:
        raise DataSetError(f"{path}: cannot be read as a PDF: {error}") from error
    try:
        texts = (page.get_textpage().get_text_range() for page in document)
        return [text.replace("\r", "").replace("\N{NO-BREAK SPACE}", " ") for text in texts]
    finally:
        document.close()


def window_tables(
    texts: Sequence[str], titles: Mapping[Any, str], sizes: Mapping[Any, Sequence[str]]
) -> dict[Any, dict[str, Row]]:
    """Window tables by part: temperature as printed, and the cells below it; none for a part without a page.

    `titles` are the headings that pages of window tables begin with, those that go on from another page too, `sizes` the
    columns in their order, of which a page may have some.
    """
    found: dict[Any, dict[str, Row]] = {part: {} for part in titles}
    # Without spaces, for a word that is too long is broken anywhere.
    plain = {part: "".join(title.split()) for part, title in titles.items()}
    for text in texts:
        beginning = "".join(text.split())
        named = [part for part, title in plain.items() if beginning.startswith(title)]
        # One title may begin as another does.
        longest = max((len(plain[part]) for part in named), default=0)
        for part in (part for part in named if len(plain[part]) == longest):
            columns = _columns(text, sizes[part])
            if columns and _add(found[part], _rows(text, columns)):
                break
    return found


def _columns(text: str, sizes: Sequence[str]) -> range:
    """Which sizes stand in the header of a page, by their places; none if there is no such header."""
    lines = {" ".join(line.split()) for line in text.splitlines()}
    for count in range(len(sizes), 0, -1):
        for first in range(len(sizes) - count + 1):
            if " ".join(sizes[first : first + count]) in lines:
                return range(first, first + count)
    return range(0)


def _add(found: dict[str, Row], rows: dict[str, Row]) -> bool:
    """Whether the cells of a page are new to a part, to which they are then added."""
    if any(rows[label].keys() & found.get(label, {}).keys() for label in rows):
        return False
    for label, row in rows.items():
        found[label] = {**found.get(label, {}), **row}
    return True


def _rows(text: str, columns: range) -> dict[str, Row]:
    """Lines that begin and end with the same temperature and hold a cell for each column."""
    rows = {}
    for line in text.splitlines():
        words = line.split()
        if len(words) == len(columns) + 2 and words[0] == words[-1] and all(_is_cell(word) for word in words[1:-1]):
            rows[words[0]] = dict(zip(columns, words[1:-1], strict=True))
    return rows


def _is_cell(word: str) -> bool:
    return DASH in word or (len(word) == 1 and word.isalpha())
