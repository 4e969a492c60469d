"""The answer about an existing valve in words and figures, for a terminal."""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Sequence

from tablegen.report.formatter import CAUTION, NBSP
from tablegen.report.pages.retrofit_table import comparison
from tablegen.report.retrofit_words import RetrofitFormatter

_LINE, _CELL = 118, 46


def text(told: RetrofitFormatter, notice: str) -> str:
    """Valve and systems, the verdict, before and after, the zones of the head, what would hold, what to beware of."""
    before, after = told.answer.before, told.answer.after
    lines = [told.fitted(), *_system("Now", told.system(after))]
    if before is not None:
        lines += _system("Before", told.system(before))
    lines += ["", told.verdict(after, told.valve)]
    lines += [] if before is None else [told.verdict(before, "As it was, it")]
    lines += ["", *_table(told), ""]
    lines += [f"{heads}: {what}" for heads, what in told.zones(after)]
    lines += [f"({told.meanings()})"] if told.meanings() else []
    lines += ["", *told.changes(), *told.warnings(), *told.advice(), "", notice, *told.cautions(), CAUTION]
    return "\n".join(_folded(lines)).replace(NBSP, " ")


def _system(label: str, lines: Sequence[str]) -> list[str]:
    return [f"{label}: {lines[0]}", *(f"  {line}" for line in lines[1:])]


def _table(told: RetrofitFormatter) -> list[str]:
    """The comparison in columns, long cells folded."""
    header, rows = comparison(told)
    first = max(len(row[0]) for row in rows)
    lines = []
    for row in [header, *rows]:
        cells = [[row[0]], *(textwrap.wrap(cell, _CELL, break_on_hyphens=False) or [""] for cell in row[1:])]
        for parts in itertools.zip_longest(*cells, fillvalue=""):
            widths = [first, *[_CELL] * (len(parts) - 1)]
            lines.append("  ".join(p.ljust(w) for p, w in zip(parts, widths, strict=True)).rstrip())
    return lines


def _folded(lines: Sequence[str]) -> list[str]:
    """Sentences folded to the width of a terminal; lines of the table are narrower."""
    folded = []
    for line in lines:
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        parts = textwrap.wrap(line, _LINE, subsequent_indent=indent, break_on_hyphens=False)
        folded += parts if len(line) > _LINE else [line]
    return folded
