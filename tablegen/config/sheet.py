"""Spreadsheets that people write, CSV or XLSX: rows within limits, names and units of columns, numbers in cells."""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
import warnings
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import PurePath
from typing import TypeAlias

from tablegen.config._input_files import as_text
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.wording import input_errors as wording

# What a spreadsheet has in a cell: text, a number, a date, nothing.
Cell: TypeAlias = object
_MAX_COLUMNS = 50
# Titles above the headings.
_MOST_ROWS_ABOVE = 20
# Of a workbook, which is an archive of files.
_MAX_PARTS, _MAX_UNPACKED = 1_000, 50_000_000
_MAX_SHOWN = 40
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_WITH_UNIT = re.compile(r"(?s)(.*?)\s*[\[(]\s*([^\[\]()]*(?:\([^()]*\))?)\s*[\])]")


@dataclass(frozen=True, slots=True)
class SheetRows:
    """The rows of a sheet, whether a comma in a number is its decimal sign, and whether it is a text file."""

    rows: list[list[Cell]]
    has_decimal_comma: bool = False
    is_text: bool = False


def sheets_of(data: bytes, shown: str, max_rows: int, rule: str) -> dict[str, SheetRows]:
    """The sheets of a workbook by name, or the one in a CSV file, whose name is empty, as `sheet_of` reads one."""
    if PurePath(shown).suffix.lower() != ".xlsx":
        return {"": sheet_of(data, shown, max_rows, rule)}
    return {
        name: _limited(SheetRows(rows), shown, max_rows, rule)
        for name, rows in _workbook_rows(data, shown, max_rows, rule, every=True).items()
    }


def sheet_of(data: bytes, shown: str, max_rows: int, rule: str) -> SheetRows:
    """The sheet in a CSV file (comma or semicolon) or of the first sheet of a workbook; the suffix says which it is.

    Raises ConfigError if it is neither CSV nor XLSX, cannot be read, or is too large, for which `rule` is the reason.
    """
    suffix = PurePath(shown).suffix.lower()
    if suffix not in (".csv", ".xlsx"):
        raise _refusal(shown, 0, wording.NOT_A_SHEET(suffix=PurePath(shown).suffix or wording.NO_SUFFIX()))
    separator = ","
    if suffix == ".xlsx":
        (rows,) = _workbook_rows(data, shown, max_rows, rule).values()
    else:
        text = as_text(data, shown, "CSV")
        # Remarks go before the header.
        first = next((line for line in text.split("\n") if line.strip() and not line.startswith("#")), "")
        separator = ";" if first.count(";") > first.count(",") else ","
        rows = list(_csv_rows(text, separator, shown, max_rows))
    return _limited(SheetRows(rows, separator == ";", suffix == ".csv"), shown, max_rows, rule)


def table_in(sheet: SheetRows, is_header: Callable[[list[Cell]], bool]) -> list[tuple[int, list[Cell]]]:
    """The rows that are filled, with the lines that they begin on; the first has the headings.

    Titles and remarks may stand above the headings; in a text file a line that begins with '#' is a remark.  Where no row
    looks like headings the first is.
    """
    filled = [(line, row) for line, row in numbered(sheet) if any(cell_text(cell) for cell in row)]
    return filled[next((i for i, (_, row) in enumerate(filled[:_MOST_ROWS_ABOVE]) if is_header(row)), 0) :]


def numbered(sheet: SheetRows) -> Iterator[tuple[int, list[Cell]]]:
    """Rows with the lines that they begin on: a cell of a text file may have several."""
    line = 1
    for row in sheet.rows:
        if not (sheet.is_text and row and str(row[0]).startswith("#")):
            yield line, row
        line += 1 + (sum(str(cell).count("\n") for cell in row) if sheet.is_text else 0)


def _limited(sheet: SheetRows, shown: str, max_rows: int, rule: str) -> SheetRows:
    if len(sheet.rows) > max_rows:
        raise _refusal(shown, 0, wording.TOO_MANY_ROWS(count=max_rows, rule=rule))
    return sheet


def _csv_rows(text: str, separator: str, shown: str, max_rows: int) -> Iterator[list[Cell]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=separator)
    try:
        for row in itertools.islice(reader, max_rows + 1):
            yield [*row[:_MAX_COLUMNS]]
    except csv.Error as error:
        raise _refusal(shown, reader.line_num, wording.NOT_CSV(reason=str(error))) from error


def _workbook_rows(
    data: bytes, shown: str, max_rows: int, rule: str, every: bool = False
) -> dict[str, list[list[Cell]]]:
    """The first rows and columns of the first or every sheet of a workbook, whose parts are looked at before any is unpacked."""
    # Here, not above: few commands read a spreadsheet, and it takes a fifth of a second to load.
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
        if len(parts) <= _MAX_PARTS and sum(part.file_size for part in parts) <= _MAX_UNPACKED:
            with warnings.catch_warnings():
                # About what the library omits of a workbook, none of which is read here.
                warnings.simplefilter("ignore")
                book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
                return {
                    sheet.title: [
                        list(row)
                        for row in sheet.iter_rows(max_row=max_rows + 1, max_col=_MAX_COLUMNS, values_only=True)
                    ]
                    for sheet in (book.worksheets if every else book.worksheets[:1])
                }
    except Exception as error:
        # The library has no exception of its own for a file that is damaged.
        raise _refusal(shown, 0, wording.WORKBOOK_DAMAGED()) from error
    raise _refusal(shown, 0, wording.WORKBOOK_TOO_LARGE(size=f"{_MAX_UNPACKED // 1_000_000} MB", rule=rule))


def cell_text(cell: Cell) -> str:
    """A cell as it is read on the screen: a spreadsheet hands a size called 45 over as 45.0."""
    text = str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str("" if cell is None else cell)
    return " ".join(text.split())


def cell_number(cell: Cell, has_decimal_comma: bool = False) -> float:
    """The number in a cell, which has no unit and no separator of thousands.

    Raises BadValue if it is none, or not finite.
    """
    text = cell_text(cell).replace("\N{MINUS SIGN}", "-")
    if has_decimal_comma and "." not in text:
        text = text.replace(",", ".", 1)
    is_number = _NUMBER.fullmatch(text) is not None and not isinstance(cell, bool)
    if not is_number or not math.isfinite(float(text)):
        rule = wording.NUMBER_WITH_POINT() if "," in text else wording.MUST_BE_NUMBER()
        raise BadValue(repr(cell_text(cell)[:_MAX_SHOWN]), rule)
    return float(text)


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
