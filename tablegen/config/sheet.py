"""Spreadsheets that people write, CSV or XLSX: rows within limits, names and units of columns, numbers in cells."""

from __future__ import annotations

import datetime
import itertools
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import PurePath
from typing import TypeAlias

from tablegen.config._input_files import csv_text, list_text
from tablegen.config.csv_rows import MOST_ROWS_ABOVE, csv_rows, has_decimal_comma, separator_of
from tablegen.config.workbook_rows import MAX_COLUMNS, Cell, Rows, workbook_rows
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.units import plain_number
from tablegen.wording import input_errors as wording
from tablegen.wording.message import listed

# Whether a row has the headings.
IsHeader: TypeAlias = Callable[[Sequence[Cell]], bool]
_MAX_SHOWN = 40
_WITH_UNIT = re.compile(r"(?s)(.*?)\s*[\[(]\s*([^\[\]()]*(?:\([^()]*\))?)\s*[\])]")


@dataclass(frozen=True, slots=True)
class SheetRows:
    """The rows of a sheet, each with the line that it begins on, and whether a comma in a number is its decimal sign.

    `remarks` are the lines of a text file that begin with '#', which are no rows; `is_windows` says that its text is in the
    Windows code page and not in UTF-8.
    """

    rows: list[tuple[int, list[Cell]]]
    has_decimal_comma: bool = False
    remarks: tuple[str, ...] = ()
    is_windows: bool = False


def sheets_of(
    data: bytes, shown: str, max_rows: int, rule: str, is_header: IsHeader | None = None
) -> dict[str, SheetRows]:
    """The sheets of a workbook by name, or the one in a CSV file, whose name is empty, as `sheet_of` reads one."""
    if PurePath(shown).suffix.lower() != ".xlsx":
        return {"": sheet_of(data, shown, max_rows, rule, is_header)}
    sheets = workbook_rows(data, shown, max_rows, rule)
    return {name: _limited(SheetRows(rows), shown, max_rows, rule) for name, rows in sheets.items()}


def sheet_of(
    data: bytes,
    shown: str,
    max_rows: int,
    rule: str,
    is_header: IsHeader | None = None,
    may_be_windows: bool = False,
) -> SheetRows:
    """The sheet in a CSV file (comma, semicolon or tab) or one sheet of a workbook; the suffix says which it is.

    The sheet is the first with a row that `is_header`, which also decides what is between the cells of a CSV file; without
    `is_header` it is the first, and the first row decides. Text is UTF-8 or UTF-16, or, if it may be, in the Windows code page.

    Raises ConfigError if it is neither CSV nor XLSX, cannot be read, or is too large, for which `rule` is the reason.
    """
    suffix = PurePath(shown).suffix.lower()
    if suffix not in (".csv", ".xlsx"):
        raise _refusal(shown, 0, wording.NOT_A_SHEET(suffix=PurePath(shown).suffix or wording.NO_SUFFIX()))
    if suffix == ".xlsx":
        has_headings = partial(_has_headings, is_header or (lambda _: True))
        sheets = workbook_rows(data, shown, max_rows, rule, has_headings)
        rows = next(reversed(sheets.values()), [])
        if len(sheets) > 1 and not has_headings(rows):
            raise _refusal(shown, 0, wording.NO_SHEET_WITH_HEADINGS(sheets=listed(list(map(repr, sheets)))))
        return _limited(SheetRows(rows), shown, max_rows, rule)
    text, is_windows = list_text(data, shown) if may_be_windows else (csv_text(data, shown), False)
    separator = separator_of(text, is_header)
    found: list[tuple[int, list[Cell]]] = []
    remarks: list[str] = []
    for row in itertools.islice(csv_rows(text, separator, is_header), max_rows + 1):
        if row.wrong:
            raise _refusal(shown, row.line, wording.NOT_CSV(reason=row.wrong))
        if row.is_remark:
            remarks += row.cells
        else:
            found.append((row.line, [*row.cells[:MAX_COLUMNS]]))
    return _limited(SheetRows(found, has_decimal_comma(separator), tuple(remarks), is_windows), shown, max_rows, rule)


def table_in(sheet: SheetRows, is_header: IsHeader = lambda _: True) -> list[tuple[int, list[Cell]]]:
    """The rows that are filled, with the lines that they begin on; the first has the headings.

    Titles may be above the headings.  Where no row looks like headings the first is.
    """
    filled = list(_filled(sheet.rows))
    return filled[next((i for i, (_, row) in enumerate(filled[:MOST_ROWS_ABOVE]) if is_header(row)), 0) :]


def _filled(rows: Rows) -> Iterator[tuple[int, list[Cell]]]:
    # Most cells of a sparse sheet are None.
    return ((line, row) for line, row in rows if any(cell is not None and cell_text(cell) for cell in row))


def _has_headings(is_header: IsHeader, rows: Rows) -> bool:
    return any(is_header(row) for _, row in itertools.islice(_filled(rows), MOST_ROWS_ABOVE))


def _limited(sheet: SheetRows, shown: str, max_rows: int, rule: str) -> SheetRows:
    if len(sheet.rows) + len(sheet.remarks) > max_rows:
        raise _refusal(shown, 0, wording.TOO_MANY_ROWS(count=max_rows, rule=rule))
    return sheet


def beyond_headings(shown: str, row: Sequence[Cell], count: int) -> list[str]:
    """What a CSV row has beyond so many headings: a comma that was meant to be within a cell moves all that follows."""
    return list(filter(None, map(cell_text, row[count:]))) if shown.lower().endswith(".csv") else []


def cell_text(cell: Cell) -> str:
    """A cell as it is read on the screen: a spreadsheet hands a size called 45 over as 45.0, a date with a time."""
    if isinstance(cell, datetime.datetime) and cell.time() == datetime.time():
        cell = cell.date()
    text = str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str("" if cell is None else cell)
    return " ".join(text.split())


def cell_number(cell: Cell, has_decimal_comma: bool = False) -> float:
    """The number in a cell, which has no unit and no separator of thousands.

    Raises BadValue if it is none, or not finite.
    """
    text = cell_text(cell).replace("\N{MINUS SIGN}", "-")
    if has_decimal_comma and "." not in text:
        text = text.replace(",", ".", 1)
    number = None if isinstance(cell, bool) else plain_number(text)
    if number is None:
        rule = wording.NUMBER_WITH_POINT() if "," in text else wording.MUST_BE_NUMBER()
        raise BadValue(repr(cell_text(cell)[:_MAX_SHOWN]), rule)
    return number


def headings(cell: Cell) -> Iterator[tuple[str, str]]:
    """What a heading may mean: a name and a unit in brackets or at its end, or a name alone, which is empty text then.

    >>> list(headings("Min load [kBtu/h]"))[0], list(headings("sst_degF"))[0]
    (('min_load', 'kBtu/h'), ('sst', 'degF'))
    """
    text = cell_text(cell)
    if match := _WITH_UNIT.fullmatch(text):
        yield folded(match[1]), match[2].strip()
    elif match := re.fullmatch(r"(.*?\w)(?:,\s*|[\s_]+)([^\s_,]+(?:_[^\s_,]+)?)", text):
        name, unit = match.groups()
        yield folded(name), unit
        if "_" in unit:
            first, _, last = unit.rpartition("_")
            yield folded(f"{name}_{first}"), last
    yield folded(text), ""


def folded(name: str) -> str:
    """The name of a column without case, spaces and dashes."""
    return re.sub(r"[\s_-]+", "_", name.strip().casefold()).strip("_")


def _refusal(shown: str, line: int, text: str) -> ConfigError:
    return ConfigError([FileProblem(shown, line, "", text)])
