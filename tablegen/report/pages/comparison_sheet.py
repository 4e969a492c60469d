"""Two releases beside each other on a page: what moved by table, the inputs that differ, the cells that moved most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import IO

from tablegen.report.pdf.fitting import fitting, height
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_table

# isort: split
# After `page`, which sets the base font first.
from reportlab.lib.units import mm
from reportlab.platypus import Flowable

_TOP = 12 * mm
_SIZE = 8.5
_SLACK = 4.0
# Shares of what the page has left that tables and inputs may take, so that there is something of everything.
_PARTS_SHARE, _INPUTS_SHARE = 0.55, 0.5
PART_HEADER = ("Table", "Windows", "Changed", "Added", "Gone", "Minimum load moved by", "Maximum load moved by")
CELL_HEADER = ("Table", "SST", "Size", "Was", "Is", "Min", "Max")


@dataclass(frozen=True, slots=True)
class ComparisonSheet:
    """A sheet as a value; every string is printed as it stands.

    `parts`, `inputs` and `cells` are rows in the order of importance; what does not fit the page is counted.
    """

    title: str
    subject: str
    about: Sequence[str]
    parts: Sequence[Sequence[str]]
    inputs: Sequence[str]
    cells_title: str
    cells: Sequence[Sequence[str]]
    notes: Sequence[str]


def print_comparison(sheet: ComparisonSheet, paper: str, notice: str, day: date, target: Path | IO[bytes]) -> int:
    """Print a sheet; return the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    document = Document(target, paper, sheet.title, date=day, notice=notice, subject=sheet.subject, top_margin=_TOP)
    width = document.frame_width
    story: list[Flowable] = [Heading(sheet.title), *_small(sheet.about)]
    notes = _small(sheet.notes)
    room = document.frame_height - height([*story, *notes], width) - _SLACK
    story += _rows(PART_HEADER, sheet.parts, "table", width, _PARTS_SHARE * room)
    room = document.frame_height - height([*story, *notes], width) - _SLACK
    if sheet.inputs:
        heading = Heading("Inputs that differ and bear on what changed", 2)
        lines = [paragraph(text, "note") for text in sheet.inputs]
        left = _INPUTS_SHARE * room - height([heading], width)
        story += [heading, *fitting(lines, _rest("input"), width, left)]
    if sheet.cells:
        story.append(Heading(sheet.cells_title, 2))
        room = document.frame_height - height([*story, *notes], width) - _SLACK
        story += _rows(CELL_HEADER, sheet.cells, "window", width, room)
    return document.build([*story, *notes])


def _small(texts: Sequence[str]) -> list[Flowable]:
    return [paragraph(text, "small") for text in texts]


def _rest(what: str) -> Callable[[int], Flowable]:
    return lambda count: paragraph(f"{count} {what}{'s' if count > 1 else ''} more in the CSV file.", "small")


def _rows(header: Sequence[str], rows: Sequence[Sequence[str]], what: str, width: float, room: float) -> list[Flowable]:
    """A table of as many rows as fit a height [pt], and how many do not."""

    def table(count: int) -> list[Flowable]:
        made: list[Flowable] = [data_table(header, rows[:count], width, numeric=range(1, len(header)), size=_SIZE)]
        return made if count == len(rows) else [*made, _rest(what)(len(rows) - count)]

    # No row is lower than its type, so that is the most to begin with.
    count = min(len(rows), int(room / _SIZE))
    while count > 0 and height(table(count), width) > room:
        count -= 1
    return table(count) if count > 0 else [_rest(what)(len(rows))] if rows else []
