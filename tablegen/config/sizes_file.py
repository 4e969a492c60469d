"""Sizes and flow coefficients from a spreadsheet."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from tablegen.config.fields import NAME, size_key, size_name
from tablegen.config.sheet import sheet_rows
from tablegen.config.text_file import read_limited
from tablegen.errors import BadValue, ConfigError, Problem, near
from tablegen.units import CV_PER_KV

_COLUMNS = ("size", "kv_m3h", "cv_us_gal_min")
MOST_SIZES = 60
_MOST_BYTES, _MOST_ROWS, _RULE = 5_000_000, 1_000, "no list of sizes needs that"


def read_sizes(path: Path) -> list[tuple[str, str, float]]:
    """Key, display name and Kv [m3/h] of the sizes in a CSV or XLSX file with a header row, in ascending Kv.

    Raises
    ------
    ConfigError
        With every problem, by file and line.
    """
    shown = str(path)
    rows = sheet_rows(read_limited(path, shown, _MOST_BYTES, _RULE), shown, _MOST_ROWS, _RULE)
    header = [str(cell).strip().lower() if cell is not None else "" for cell in rows[0]] if rows else []
    flow = [name for name in header if name in _COLUMNS[1:]]
    if "size" not in header or len(flow) != 1:
        hint = "".join(near(name, _COLUMNS) for name in header if name and name not in _COLUMNS)
        has = ", ".join(header) or "nothing"
        rule = f"the first row must name 'size' and one of 'kv_m3h' and 'cv_us_gal_min', has {has}"
        raise ConfigError([Problem(shown, 1, "header", rule + hint)])
    at_size, at_flow = header.index("size"), header.index(flow[0])
    found: list[tuple[str, str, float]] = []
    lines: dict[str | float, int] = {}
    problems: list[Problem] = []
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
            problems.append(Problem(shown, line, "", str(error)))
    if not problems and not 0 < len(found) <= MOST_SIZES:
        problems.append(Problem(shown, 0, "", f"{len(found)} sizes; must have at least 1 and at most {MOST_SIZES}"))
    if problems:
        raise ConfigError(problems)
    return sorted(found, key=lambda item: item[2])


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
