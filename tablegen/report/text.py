"""An answer as lines for a terminal, the same in a pipe."""

from __future__ import annotations

import itertools
import shutil
import sys
import textwrap
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import ColumnStyle, TableLayout, visible

if TYPE_CHECKING:
    from tablegen.report.answer import Answer, AnswerTable

WIDTH = 110
"""Columns where no terminal says how many there are."""

_NARROWEST, _WIDEST = 60, 140
_GAP = "  "
# Characters that a column of words is narrowed to before labels are folded, and before a table becomes a list.
_GOOD_COLUMN, _LEAST_COLUMN = 32, 14
_DASH = "\N{EN DASH}"
_NBSP = "\N{NO-BREAK SPACE}"


def terminal_width() -> int:
    """Columns of the terminal within what reads well; `WIDTH` where the output goes elsewhere."""
    if not sys.stdout.isatty():
        return WIDTH
    return min(max(shutil.get_terminal_size((WIDTH, 24)).columns, _NARROWEST), _WIDEST)


def to_text(answer: Answer, width: int = WIDTH) -> str:
    """The whole answer, folded to a width in characters, without a line break at its end."""
    lines = list(_answer(answer, width))
    if answer.imprint is not None:
        lines += ["", *_folded(answer.imprint.notice, width)]
        for text in (*answer.imprint.cautions, answer.imprint.origin):
            lines += _folded(text, width) if text else []
    return "\n".join(line.replace(_NBSP, " ").rstrip() for line in _single_gaps(lines))


def _answer(answer: Answer, width: int) -> Iterator[str]:
    yield from _folded(answer.heading, width)
    for sentence in answer.summary:
        yield from _folded(sentence, width)
    facts = [(visible(fact.label), visible(fact.value.text)) for fact in answer.facts if fact.label]
    if facts:
        yield ""
        yield from _facts(facts, width)
    if answer.references:
        yield ""
    for reference in answer.references:
        yield from _folded(reference.text, width)
    for number, table in enumerate(table for table in answer.tables if table.is_printed):
        if number or table.title or answer.summary or facts:
            # Else the heading of the answer is that of its one table.
            yield ""
        yield from _table(table, width)
    for section in answer.sections:
        yield ""
        yield from _answer(section, width)
    if answer.notes:
        yield ""
    for note in answer.notes:
        yield from _folded(note, width)


def _facts(facts: Sequence[tuple[str, str]], width: int) -> Iterator[str]:
    """Labels and values in two columns; a label longer than a third of the width has a line of its own."""
    labels = [len(label) for label, _ in facts if len(label) <= width // 3]
    indent = " " * (max(labels, default=0) + len(_GAP))
    for label, value in facts:
        is_short = len(label) < len(indent)
        if not is_short:
            yield from _folded(label, width)
        first = label.ljust(len(indent)) if is_short else indent
        yield from _wrapped(value, width, first, indent)


def _table(table: AnswerTable, width: int) -> Iterator[str]:
    if table.title:
        yield from _folded(table.title, width)
    labels, styles = [visible(label) for label in table.labels()], table.styles()
    rows = [[visible(text) for text in row] for row in table.cells()]
    if table.layout is TableLayout.ENTRIES:
        yield from _entries(rows, width)
    elif table.layout is TableLayout.WINDOWS:
        yield from _windows(labels, styles, rows, table.names, table.breaks, width)
    else:
        yield from _grid(labels, styles, rows, table.breaks, width)
    if table.more:
        yield from _folded(table.more, width)


def _grid(
    labels: list[str], styles: Sequence[ColumnStyle], rows: list[list[str]], breaks: Sequence[int], width: int
) -> Iterator[str]:
    """Cells under their labels; long cells are folded, and what is still too wide becomes a list."""
    widths = _column_widths(labels, styles, rows, width)
    if not widths:
        yield from _listed(labels, rows, width)
        return
    right = {i for i, style in enumerate(styles) if style is ColumnStyle.FIGURES}
    yield from _row(labels, widths, right, is_header=True)
    for number, row in enumerate(rows):
        if number in breaks and number:
            yield ""
        yield from _row(row, widths, right)


def _windows(
    labels: list[str],
    styles: Sequence[ColumnStyle],
    rows: list[list[str]],
    names: int,
    breaks: Sequence[int],
    width: int,
) -> Iterator[str]:
    """Windows with their dashes under each other; some sizes at a time, each with the names, where all are too wide."""
    lined_up = [list(row) for row in zip(*map(_on_dash, zip(*rows, strict=True)), strict=True)]
    count = len(labels) - names
    shares = (-(-count // blocks) for blocks in range(1, count + 1))
    step = next((n for n in shares if _fits(labels, styles, lined_up, names, n, width)), 1)
    for own in _blocks(len(labels), names, step):
        if own[names] > names:
            yield ""
        cells = [[row[i] for i in own] for row in lined_up]
        yield from _grid([labels[i] for i in own], [styles[i] for i in own], cells, breaks, width)


def _blocks(columns: int, names: int, step: int) -> Iterator[list[int]]:
    """Every so many columns, with those that name the rows."""
    return ([*range(names), *range(start, min(start + step, columns))] for start in range(names, columns, step))


def _fits(
    labels: Sequence[str],
    styles: Sequence[ColumnStyle],
    rows: Sequence[Sequence[str]],
    names: int,
    step: int,
    width: int,
) -> bool:
    """Whether a width has space for every so many columns beside those that name the rows."""
    return all(
        _column_widths([labels[i] for i in p], [styles[i] for i in p], [[row[i] for i in p] for row in rows], width)
        for p in _blocks(len(labels), names, step)
    )


def _on_dash(cells: Sequence[str]) -> list[str]:
    """Cells with as many characters after the dash."""
    widest = max((len(after) for _, dash, after in (cell.partition(_DASH) for cell in cells) if dash), default=0)
    return [
        f"{before}{dash}{after.ljust(widest, _NBSP)}" if dash else cell
        for cell in cells
        for before, dash, after in [cell.partition(_DASH)]
    ]


def _column_widths(
    labels: Sequence[str], styles: Sequence[ColumnStyle], rows: Sequence[Sequence[str]], width: int
) -> list[int]:
    """Widths in which the table fits with the widest cells of words folded, and the labels if need be; else none."""
    room = width - len(_GAP) * (len(labels) - 1)
    body = [max((len(row[i]) for row in rows), default=0) for i in range(len(labels))]
    longest_words = [max(map(len, label.split(" "))) for label in labels]
    for least, heads in (
        (_GOOD_COLUMN, list(map(len, labels))),
        (_GOOD_COLUMN, longest_words),
        (_LEAST_COLUMN, longest_words),
    ):
        widths = [max(head, cells) for head, cells in zip(heads, body, strict=True)]
        floors = [
            w if style is ColumnStyle.FIGURES else min(w, max(least, head))
            for w, head, style in zip(widths, heads, styles, strict=True)
        ]
        if sum(floors) <= room:
            return _shared(_narrowed(widths, floors, room), labels, room)
    return []


def _narrowed(widths: Sequence[int], floors: Sequence[int], room: int) -> list[int]:
    """Widths whose sum is no more than the room, the widest cut first, none below its floor."""
    found = list(widths)
    while sum(found) > room:
        widest = max((i for i in range(len(found)) if found[i] > floors[i]), key=lambda i: found[i])
        found[widest] -= 1
    return found


def _shared(widths: Sequence[int], labels: Sequence[str], room: int) -> list[int]:
    """Widths with what is left of the room given to the labels that are folded to most lines."""
    found = list(widths)
    for _ in range(room - sum(found)):
        lines = [len(_words(label, width)) for label, width in zip(labels, found, strict=True)]
        most = max(range(len(lines)), key=lambda i: lines[i])
        if lines[most] == 1:
            break
        found[most] += 1
    return found


def _row(cells: Sequence[str], widths: Sequence[int], right: set[int], is_header: bool = False) -> Iterator[str]:
    """A row as as many lines as its highest cell has; labels stand at the foot of theirs."""
    folded = [_words(cell, width) for cell, width in zip(cells, widths, strict=True)]
    height = max(map(len, folded))
    if is_header:
        folded = [[""] * (height - len(lines)) + lines for lines in folded]
    for parts in itertools.zip_longest(*folded, fillvalue=""):
        yield _line(parts, widths, right)


def _line(cells: Sequence[str], widths: Sequence[int], right: set[int]) -> str:
    set_cells = (
        cell.rjust(w) if i in right else cell.ljust(w) for i, (cell, w) in enumerate(zip(cells, widths, strict=True))
    )
    return _GAP.join(set_cells).rstrip()


def _listed(labels: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    """Each row as lines of label and value, an empty line between two rows."""
    for number, row in enumerate(rows):
        if number:
            yield ""
        yield from _facts([(label, cell) for label, cell in zip(labels, row, strict=True) if cell], width)


def _entries(rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    """Each row as an entry: the first two cells on a line, a line for every other cell, indented."""
    indent = " " * (max(len(row[0]) for row in rows) + len(_GAP))
    for row in rows:
        first = row[0].rjust(len(indent) - len(_GAP)) + _GAP
        yield from _wrapped(row[1], width, first, indent + _GAP)
        for cell in row[2:]:
            if cell:
                yield from _wrapped(cell, width, indent, indent + _GAP)


def _folded(text: str, width: int) -> list[str]:
    return _wrapped(visible(text), width, "", _GAP)


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    """Lines of a width; a figure stays with its unit, for only plain spaces are broken."""
    lines = textwrap.wrap(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return lines or [first.rstrip()]


def _words(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_on_hyphens=False) or [""]


def _single_gaps(lines: Sequence[str]) -> list[str]:
    """Lines with no more than one empty line between two."""
    return [line for line, above in zip(lines, ["", *lines], strict=False) if line or above]
