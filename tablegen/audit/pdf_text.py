"""Window ledgers read back from a printed booklet, by way of an optional library."""

from __future__ import annotations

import importlib.util
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tablegen.errors import DataSetError
from tablegen.publish.wording import DASH

# What a row of a ledger says for each size: a window, or the letter of a reason.
Row = tuple[str, ...]


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


def ledgers(
    texts: Sequence[str], titles: Mapping[Any, str], sizes: Mapping[Any, Sequence[str]]
) -> dict[Any, dict[str, Row]]:
    """Ledgers by part: temperature as printed, and a cell for each size.

    `titles` are the headings that pages of ledgers begin with, `sizes` the columns in their order. A part without a
    page, or whose page has other columns, is left out.
    """
    found: dict[Any, dict[str, Row]] = {}
    plain = [" ".join(text.split()) for text in texts]
    for part, title in titles.items():
        header = " ".join(sizes[part])
        for text, words in zip(texts, plain, strict=True):
            if words.startswith(title) and header in (" ".join(line.split()) for line in text.splitlines()):
                found[part] = _rows(text, len(sizes[part]))
                break
    return found


def _rows(text: str, columns: int) -> dict[str, Row]:
    """Lines that begin and end with the same temperature and hold a cell for each column."""
    rows = {}
    for line in text.splitlines():
        words = line.split()
        if len(words) == columns + 2 and words[0] == words[-1] and all(_is_cell(word) for word in words[1:-1]):
            rows[words[0]] = tuple(words[1:-1])
    return rows


def _is_cell(word: str) -> bool:
    return DASH in word or (len(word) == 1 and word.isalpha())
