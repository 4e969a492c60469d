"""Sizes and flow coefficients from a spreadsheet."""

from __future__ import annotations

import csv
import io
import itertools
import math
import warnings
import zipfile
from pathlib import Path
from typing import Any

from tablegen.config.fields import NAME, size_key, size_name
from tablegen.config.text_file import as_text, read_limited
from tablegen.errors import BadValue, ConfigError, Mistake, near
from tablegen.units import CV_PER_KV

_COLUMNS = ("size", "kv_m3h", "cv_us_gal_min")
MOST_SIZES = 60
_MOST_BYTES, _MOST_ROWS, _MOST_COLUMNS = 5_000_000, 1_000, 50
# Of a workbook, which is an archive of files.
_MOST_PARTS, _MOST_UNPACKED = 1_000, 50_000_000


def read_sizes(path: Path) -> list[tuple[str, str, float]]:
    """Key, display name and Kv [m3/h] of the sizes in a CSV or XLSX file with a header row, in ascending Kv.

    Raises
    ------
    ConfigError
        With every mistake, by file and line.
    """
    rows = _rows(path)
    shown = str(path)
    header = [str(cell).strip().lower() if cell is not None else "" for cell in rows[0]] if rows else []
    flow = [name for name in header if name in _COLUMNS[1:]]
    if "size" not in header or len(flow) != 1:
        hint = "".join(near(name, _COLUMNS) for name in header if name and name not in _COLUMNS)
        has = ", ".join(header) or "nothing"
        rule = f"the first row must name 'size' and one of 'kv_m3h' and 'cv_us_gal_min', has {has}"
        raise ConfigError([Mistake(shown, 1, "header", rule + hint)])
    at_size, at_flow = header.index("size"), header.index(flow[0])
    found: list[tuple[str, str, float]] = []
    lines: dict[str | float, int] = {}
    mistakes: list[Mistake] = []
    for line, row in enumerate(rows[1:], start=2):
        if all(cell is None or str(cell).strip() == "" for cell in row):
            continue
        cells = [*row, *[None] * len(header)]
        try:
            name = _name(cells[at_size])
            key, kv = size_key(name), _flow(cells[at_flow]) / (CV_PER_KV if flow[0] != "kv_m3h" else 1.0)
            if key in lines:
                raise ValueError(f"size {name} stands twice, first in line {lines[key]}")
            if kv in lines:
                raise ValueError(f"flow coefficient {cells[at_flow]} must differ from that in line {lines[kv]}")
            lines |= {key: line, kv: line}
            found.append((key, name, kv))
        except ValueError as error:
            mistakes.append(Mistake(shown, line, "", str(error)))
    if not mistakes and not 0 < len(found) <= MOST_SIZES:
        mistakes.append(Mistake(shown, 0, "", f"{len(found)} sizes; must have at least 1 and at most {MOST_SIZES}"))
    if mistakes:
        raise ConfigError(mistakes)
    return sorted(found, key=lambda item: item[2])


def _rows(path: Path) -> list[list[Any]]:
    shown, suffix = str(path), path.suffix.lower()
    if suffix not in (".csv", ".xlsx"):
        text = f"{path.suffix or 'no suffix'} is not allowed; must be .csv or .xlsx"
        raise ConfigError([Mistake(shown, 0, "", text)])
    data = read_limited(path, shown, _MOST_BYTES, "no list of sizes needs that")
    rows = _sheet_rows(data, shown) if suffix == ".xlsx" else _csv_rows(as_text(data, shown, "CSV"), shown)
    if len(rows) > _MOST_ROWS:
        raise ConfigError([Mistake(shown, 0, "", f"more than {_MOST_ROWS} rows; no list of sizes needs that")])
    return rows


def _csv_rows(text: str, shown: str) -> list[list[Any]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        return [list(row) for row in itertools.islice(reader, _MOST_ROWS + 1)]
    except csv.Error as error:
        raise ConfigError([Mistake(shown, reader.line_num + 1, "", f"the line is no CSV: {error}")]) from error


def _sheet_rows(data: bytes, shown: str) -> list[list[Any]]:
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
                rows = sheet.iter_rows(max_row=_MOST_ROWS + 1, max_col=_MOST_COLUMNS, values_only=True)
                return [list(row) for row in rows]
    except Exception as error:
        # The library has no exception of its own for a file that is damaged.
        text = "the file cannot be read: it is no sound workbook; save it anew, or as CSV"
        raise ConfigError([Mistake(shown, 0, "", text)]) from error
    text = f"the file unpacks to more than {_MOST_UNPACKED // 1_000_000} MB; no list of sizes needs that"
    raise ConfigError([Mistake(shown, 0, "", text)])


def _name(cell: Any) -> str:
    # A spreadsheet hands a size called 45 over as 45.0.
    text = str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell if cell is not None else "")
    try:
        return text.strip() if NAME.fullmatch(text.strip()) else size_name(text)
    except BadValue as error:
        raise ValueError(f"size {error}") from None


def _flow(cell: Any) -> float:
    try:
        if isinstance(cell, bool):
            raise TypeError
        value = float(cell)
    except (TypeError, ValueError):
        raise ValueError(f"flow coefficient {cell!r} is not allowed; must be a number") from None
    if not (math.isfinite(value) and 0.0001 <= value <= 1000.0):
        raise ValueError(f"flow coefficient {cell!r} is not allowed; must be at least 0.0001 and at most 1000")
    return value
