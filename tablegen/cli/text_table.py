"""Tables for a terminal."""

from __future__ import annotations

from collections.abc import Collection, Sequence


def aligned(rows: Sequence[Sequence[str]], numeric: Collection[int] = ()) -> list[str]:
    """Rows, header among them, in columns: words flush left, the `numeric` columns (from 0) flush right."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        "  ".join(
            cell.rjust(width) if i in numeric else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
