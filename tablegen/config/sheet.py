"""Rows of a table that people keep: a CSV file, or the first sheet of a workbook."""

from __future__ import annotations

import csv
import io
import itertools
import warnings
import zipfile
from pathlib import PurePath
from typing import Any

from tablegen.config.text_file import as_text
from tablegen.errors import ConfigError, Problem

_MOST_COLUMNS = 50
# Of a workbook, which is an archive of files.
_MOST_PARTS, _MOST_UNPACKED = 1_000, 50_000_000


def sheet_rows(data: bytes, shown: str, most_rows: int, rule: str) -> list[list[Any]]:
    """The rows of a table; its name `shown` says by its suffix what it is.

    A CSV file has commas, or semicolons where its first line has more of these.

    Raises
    ------
    ConfigError
        If it is neither CSV nor XLSX, cannot be read, or is too large, for which `rule` is the reason.
    """
    suffix = PurePath(shown).suffix.lower()
    if suffix not in (".csv", ".xlsx"):
        text = f"{PurePath(shown).suffix or 'no suffix'} is not allowed; must be .csv or .xlsx"
        raise ConfigError([Problem(shown, 0, "", text)])
    if suffix == ".xlsx":
        rows = _workbook_rows(data, shown, most_rows, rule)
    else:
        rows = _csv_rows(as_text(data, shown, "CSV"), shown, most_rows)
    if len(rows) > most_rows:
        raise ConfigError([Problem(shown, 0, "", f"more than {most_rows} rows; {rule}")])
    return rows


def _csv_rows(text: str, shown: str, most_rows: int) -> list[list[Any]]:
    first = text.partition("\n")[0]
    sign = ";" if first.count(";") > first.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=sign)
    try:
        return [list(row) for row in itertools.islice(reader, most_rows + 1)]
    except csv.Error as error:
        raise ConfigError([Problem(shown, reader.line_num + 1, "", f"the line is no CSV: {error}")]) from error


def _workbook_rows(data: bytes, shown: str, most_rows: int, rule: str) -> list[list[Any]]:
    """The first rows and columns of the first sheet of a workbook, whose parts are looked at before any is unpacked."""
    # Here, not above: few commands read a spreadsheet, and it takes a fifth of a second to load.
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
        if len(parts) <= _MOST_PARTS and sum(part.file_size for part in parts) <= _MOST_UNPACKED:
            with warnings.catch_warnings():
                # About what the library leaves out of a workbook, none of which is read here.
                warnings.simplefilter("ignore")
                book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
                sheet = book.worksheets[0]
                rows = sheet.iter_rows(max_row=most_rows + 1, max_col=_MOST_COLUMNS, values_only=True)
                return [list(row) for row in rows]
    except Exception as error:
        # The library has no exception of its own for a file that is damaged.
        text = "the file cannot be read: it is no sound workbook; save it anew, or as CSV"
        raise ConfigError([Problem(shown, 0, "", text)]) from error
    text = f"the file unpacks to more than {_MOST_UNPACKED // 1_000_000} MB; {rule}"
    raise ConfigError([Problem(shown, 0, "", text)])
