"""Sizes and flow coefficients from a spreadsheet."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

from tablegen.config.fields import NAME
from tablegen.errors import ConfigError, Mistake, near
from tablegen.units import CV_PER_KV

_COLUMNS = ("size", "kv_m3h", "cv_us_gal_min")
MOST_SIZES = 60


def read_sizes(path: Path) -> list[tuple[str, float]]:
    """Names and Kv [m3/h] of a CSV or XLSX file with a header row, in ascending Kv.

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
    found: list[tuple[str, float]] = []
    lines: dict[str | float, int] = {}
    mistakes: list[Mistake] = []
    for line, row in enumerate(rows[1:], start=2):
        if all(cell is None or str(cell).strip() == "" for cell in row):
            continue
        cells = [*row, *[None] * len(header)]
        try:
            name, kv = _name(cells[at_size]), _flow(cells[at_flow]) / (CV_PER_KV if flow[0] != "kv_m3h" else 1.0)
            if name in lines:
                raise ValueError(f"size {name} stands twice, first in line {lines[name]}")
            if kv in lines:
                raise ValueError(f"flow coefficient {cells[at_flow]} must differ from that in line {lines[kv]}")
            lines |= {name: line, kv: line}
            found.append((name, kv))
        except ValueError as error:
            mistakes.append(Mistake(shown, line, "", str(error)))
    if not mistakes and not 0 < len(found) <= MOST_SIZES:
        mistakes.append(Mistake(shown, 0, "", f"{len(found)} sizes; must have at least 1 and at most {MOST_SIZES}"))
    if mistakes:
        raise ConfigError(mistakes)
    return sorted(found, key=lambda item: item[1])


def _rows(path: Path) -> list[list[Any]]:
    shown = str(path)
    try:
        if path.suffix.lower() == ".xlsx":
            # Here, not above: few commands read a spreadsheet, and it takes a fifth of a second to load.
            import openpyxl

            book = openpyxl.load_workbook(path, read_only=True, data_only=True)
            try:
                return [list(row) for row in book.worksheets[0].iter_rows(values_only=True)]
            finally:
                book.close()
        if path.suffix.lower() == ".csv":
            with path.open(newline="", encoding="utf-8-sig") as handle:
                return [list(row) for row in csv.reader(handle)]
    except FileNotFoundError:
        raise ConfigError([Mistake(shown, 0, "", "the file does not exist")]) from None
    except Exception as error:
        raise ConfigError([Mistake(shown, 0, "", f"the file cannot be read: {error}")]) from error
    raise ConfigError([Mistake(shown, 0, "", f"{path.suffix or 'no suffix'} is not allowed; must be .csv or .xlsx")])


def _name(cell: Any) -> str:
    # A spreadsheet hands a size called 45 over as 45.0.
    text = str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell if cell is not None else "")
    if not NAME.fullmatch(text.strip()):
        raise ValueError(f"size {text!r} is not allowed; 1 to 40 letters, digits, '_', '-', '.', '(' or ')'")
    return text.strip()


def _flow(cell: Any) -> float:
    try:
        value = float(cell)
    except (TypeError, ValueError):
        raise ValueError(f"flow coefficient {cell!r} is not allowed; must be a number") from None
    if not (math.isfinite(value) and 0.0001 <= value <= 1000.0):
        raise ValueError(f"flow coefficient {cell!r} is not allowed; must be at least 0.0001 and at most 1000")
    return value
