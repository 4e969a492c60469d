"""A trace as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from tablegen.cli.trace_lines import Block, Line
from tablegen.cli.trace_words import Compared, LimitText, TraceText
from tablegen.report.formatter import NBSP

_WIDTH = 110
_INDENT = 7


def text_of(formatter: TraceText, notes: Sequence[str], sources: str, notice: str, caution: str) -> str:
    """The whole: conditions, the config's figures, steps numbered through, what binds, rounding, sources, cautions."""
    lines = [
        f"{formatter.valve}, {formatter.refrigerants}; SST {formatter.sst}",
        formatter.application,
        *notes,
        formatter.cell,
    ]
    lines += ["", "From the config", *_given(formatter)]
    counted = _Counted()
    for limit in formatter.limits:
        lines += ["", *_limit(limit, formatter.load_unit, counted)]
    if formatter.obstacle:
        lines += ["", *formatter.obstacle, *counted.blocks(formatter.obstacle_blocks)]
    lines += ["", *_wrapped(sources, 0), notice, caution]
    return "\n".join(lines).replace(NBSP, " ")


class _Counted:
    """Numbers steps through; a block that stood before is pointed at."""

    def __init__(self) -> None:
        self.number = 0
        self.seen: dict[tuple[Line, ...], tuple[int, int]] = {}

    def blocks(self, blocks: Iterable[Block]) -> list[str]:
        lines: list[str] = []
        for block in blocks:
            if block.lines in self.seen:
                first, last = self.seen[block.lines]
                lines += ["", f"{block.title}: steps {first} to {last} above"]
                continue
            first = self.number + 1
            lines += ["", block.title]
            for line in block.lines:
                self.number += 1
                lines += _step(self.number, line)
            self.seen[block.lines] = first, self.number
        return lines


def _given(formatter: TraceText) -> list[str]:
    lines = []
    for line in formatter.given:
        origin = "; ".join(map(str, line.origins)) or (formatter.row if line.name == "SST" else "default")
        lines += _wrapped(f"  {line.sign} = {line.value}   {line.meaning}", 6)
        lines += _wrapped(f"      {origin}", 6)
    return lines


def _limit(limit: LimitText, unit: str, counted: _Counted) -> list[str]:
    reason = f": {limit.reason}" if limit.reason else ""
    title = f"{limit.which} load".upper()
    lines = [f"{title}, set by {limit.member} at the {limit.head}{reason}", *counted.blocks(limit.blocks)]
    which, tightest = ("maximum", "smallest") if limit.which == "maximum" else ("minimum", "largest")
    lines += ["", f"{which.capitalize()} load at each head, {unit}; the {tightest} sets the {which}"]
    lines += _compared(limit.heads)
    if len(limit.members) > 1:
        lines += ["", f"{which.capitalize()} load of each refrigerant, {unit}; the {tightest} sets the group's {which}"]
        lines += _compared(limit.members)
    return [*lines, "", *_wrapped(f"{limit.which.capitalize()} load {limit.rounding}", 0)]


def _compared(rows: Iterable[Compared]) -> list[str]:
    rows = list(rows)
    names, loads = (max(len(getattr(row, key)) for row in rows) for key in ("name", "load"))
    return [
        f"       {row.name.ljust(names)}  {row.load.rjust(loads)}{'  sets it' if row.binds else ''}" for row in rows
    ]


def _step(number: int, line: Line) -> list[str]:
    note = f"; {line.note}" if line.note else ""
    lines = _wrapped(f"{number:>4}  {line.sign} = {line.equation}   {line.meaning} [{line.source}{note}]", _INDENT)
    if line.figures:
        lines += _wrapped(f"       = {line.figures}", _INDENT + 2)
    return [*lines, f"       = {line.value}"]


def _wrapped(text: str, indent: int) -> list[str]:
    """Lines no wider than a terminal; no figure is torn from its unit, for the wrapper breaks at plain spaces."""
    return textwrap.wrap(text, _WIDTH, subsequent_indent=" " * indent, break_long_words=False, break_on_hyphens=False)
