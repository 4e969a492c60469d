"""The rows of CSV text with the lines that an editor shows them on, and the sign between its cells."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

# Of two that are in a header equally often, the first.
_SEPARATORS = (",", ";", "\t")
# Titles above the headings.
MOST_ROWS_ABOVE = 20


@dataclass(frozen=True, slots=True)
class CsvRow:
    """A row by the line that it begins on; a remark is one cell.  `wrong` says why it is no CSV."""

    line: int
    cells: list[str]
    is_remark: bool = False
    wrong: str = ""


def csv_rows(text: str, separator: str) -> Iterator[CsvRow]:
    """The rows of a text, empty ones too; a line that begins with '#' is a remark, except within a quoted cell."""
    lines = iter(io.StringIO(text, newline=""))
    number = 0
    for line in lines:
        number += 1
        if line.lstrip().startswith("#"):
            yield CsvRow(number, [line.strip().rstrip(separator)], is_remark=True)
            continue
        # The reader takes as many lines as the row has.
        reader = csv.reader(itertools.chain([line], lines), strict=True, delimiter=separator)
        try:
            cells = next(reader)
        except csv.Error as error:
            yield CsvRow(number, [], wrong=str(error))
        else:
            is_remark = bool(cells) and cells[0].startswith("#")
            yield CsvRow(number, [separator.join(filter(None, cells))] if is_remark else cells, is_remark)
        number += reader.line_num - 1


def separator_of(text: str, is_header: Callable[[Sequence[str]], bool] | None = None) -> str:
    """The sign between the cells of a text: that with which a row is the header, or that which its first row has most of.

    Remarks and titles may be above the header.
    """
    if is_header is not None:
        for separator in _SEPARATORS:
            rows = itertools.islice(csv_rows(text, separator), MOST_ROWS_ABOVE)
            if any(is_header(row.cells) for row in rows if not row.is_remark):
                return separator
    lines = (line for line in io.StringIO(text) if line.strip("".join((*_SEPARATORS, " \n"))))
    first = next((line for line in lines if not line.lstrip(' "').startswith("#")), "")
    return max(_SEPARATORS, key=first.count)


def has_decimal_comma(separator: str) -> bool:
    """Whether a comma in a number is its decimal sign: of spreadsheets only those that write semicolons say so."""
    return separator == ";"
