"""A house's own article numbers, by what an order line says."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path

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
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise ConfigError([Mistake(shown, 0, "", "the file is larger than 5 MB; no list of articles needs that")])
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise ConfigError([Mistake(shown, 0, "", f"the file cannot be read: {error}")]) from error
    rows = csv.DictReader(io.StringIO(text), strict=True)
    mistakes = [
        Mistake(shown, 1, name or "", unknown("a column", name or "", COLUMNS))
        for name in rows.fieldnames or ()
        if name not in COLUMNS
    ]
    if "article" not in (rows.fieldnames or ()):
        mistakes.append(Mistake(shown, 1, "article", "the column is missing; it is required"))
    if mistakes:
        raise ConfigError(mistakes)
    try:
        return [{k: (v or "").strip() for k, v in row.items() if k is not None} for row in rows]
    except csv.Error as error:
        raise ConfigError([Mistake(shown, rows.line_num, "", f"the line is no CSV: {error}")]) from error


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
