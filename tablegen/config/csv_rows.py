"""The rows of CSV text with the lines that an editor shows them on, and the sign between its cells."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

# Of two that are in a header equally often, the first.
_SEPARATORS = (",", ";", "\t")
# Titles above the headings.
MOST_ROWS_ABOVE = 20
# Whether a row has the headings.
IsTextHeader: TypeAlias = Callable[[Sequence[str]], bool]


@dataclass(frozen=True, slots=True)
class CsvRow:
    """A row by the line that it begins on; a remark is one cell.  `wrong` says why it is no CSV."""

    line: int
    cells: list[str]
    is_remark: bool = False
    wrong: str = ""


def csv_rows(text: str, separator: str, is_header: IsTextHeader | None = None) -> Iterator[CsvRow]:
    """The rows of a text, empty ones too; a line that begins with '#' is a remark, except within a quoted cell.

    Where '#' is the whole first cell, and the others are the headings that `is_header` knows, it is a heading too. Below the
    headings a line of as many cells that begins with '#' and a digit is a row, such as that of order #4711.
    """
    count = 0

    def is_remark(cells: Sequence[str]) -> bool:
        first, *others = cells or [""]
        is_heading = first.strip() == "#" and is_header is not None and is_header(others)
        is_number = first[1:2].isdigit() and 1 < count <= len(cells)
        return first.startswith("#") and not is_heading and not is_number

    lines = iter(io.StringIO(text, newline=""))
    number = 0
    for line in lines:
        number += 1
        if is_remark(line.strip().split(separator)):
            yield CsvRow(number, [line.strip().rstrip(separator)], is_remark=True)
            continue
        # The reader takes as many lines as the row has.
        reader = csv.reader(itertools.chain([line], lines), strict=True, delimiter=separator)
        try:
            cells = next(reader)
        except csv.Error as error:
            yield CsvRow(number, [], wrong=str(error))
        else:
            in_quotes = is_remark(cells)
            if not count and is_header is not None and is_header(cells):
                count = len(cells)
            yield CsvRow(number, [separator.join(filter(None, cells))] if in_quotes else cells, in_quotes)
        number += reader.line_num - 1


def separator_of(text: str, is_header: IsTextHeader | None = None) -> str:
    """The sign between the cells of a text: that with which a row is the header, or that which its first row has most of.

    Remarks and titles may be above the header.
    """
    if is_header is not None:
        for separator in _SEPARATORS:
            rows = itertools.islice(csv_rows(text, separator, is_header), MOST_ROWS_ABOVE)
            if any(is_header(row.cells) for row in rows if not row.is_remark):
                return separator
    lines = (line for line in io.StringIO(text) if line.strip("".join((*_SEPARATORS, " \n"))))
    first = next((line for line in lines if not line.lstrip(' "').startswith("#")), "")
    return max(_SEPARATORS, key=first.count)


def has_decimal_comma(separator: str) -> bool:
    """Whether a comma in a number is its decimal sign: of spreadsheets only those that write semicolons say so."""
    return separator == ";"
