"""A house's own article numbers, by what an order line says."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path

from tablegen.config.text_file import as_text, read_limited
from tablegen.desk.order import OrderLine
from tablegen.errors import ConfigError, Mistake, unknown

COLUMNS = ("article", "family", "size", "charge", "equalizer", "connections", "capillary_m")
_MOST_BYTES = 5_000_000


def read_articles(path: Path) -> list[Mapping[str, str]]:
    """Read a CSV file whose first line names its columns: `article`, and any others of `COLUMNS`.

    Raises
    ------
    ConfigError
        If the file cannot be read, or a column is missing or unknown.
    """
    shown = str(path)
    text = as_text(read_limited(path, shown, _MOST_BYTES, "no list of articles needs that"), shown, "CSV")
    rows = csv.DictReader(io.StringIO(text), strict=True)
    try:
        _check_header(shown, rows.fieldnames or ())
        return [{k: (v or "").strip() for k, v in row.items() if k is not None} for row in rows]
    except csv.Error as error:
        raise ConfigError([Mistake(shown, rows.line_num + 1, "", f"the line is no CSV: {error}")]) from error


def _check_header(shown: str, names: Sequence[str]) -> None:
    mistakes = [
        Mistake(shown, 1, name[:40], unknown("a column", name[:40], COLUMNS)) for name in names if name not in COLUMNS
    ]
    if "article" not in names:
        mistakes.append(Mistake(shown, 1, "article", "the column is missing; it is required"))
    if mistakes:
        raise ConfigError(mistakes)


def article_of(articles: Sequence[Mapping[str, str]], order: OrderLine) -> str:
    """The article of the first row that says nothing otherwise than the order; "" where none does.

    A cell that is left empty fits anything.
    """
    capillary = "" if order.capillary_m is None else f"{order.capillary_m:.6g}"
    given = {"family": order.family, "size": order.size, "charge": order.charge, "equalizer": order.equalizer,
             "connections": order.connections, "capillary_m": capillary}  # fmt: skip
    return next((row["article"] for row in articles if all(_fits(row.get(k, ""), v) for k, v in given.items())), "")


def _fits(cell: str, value: str) -> bool:
    if not cell or cell == value:
        return True
    try:
        return abs(float(cell) - float(value)) < 1e-3
    except ValueError:
        return False
