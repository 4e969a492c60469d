"""Two releases beside each other on a page: what moved by table, the inputs that differ, the cells that moved most."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import IO

from tablegen.publish.page import Document, Heading, paragraph
from tablegen.publish.tables import data_table

# isort: split
# After `page`, which sets the base font first.
from reportlab.lib.units import mm
from reportlab.platypus import Flowable

_TOP = 12 * mm
_SIZE = 8.5
PART_HEADER = ("Table", "Windows", "Changed", "Added", "Gone", "Least load moved by", "Greatest load moved by")
CELL_HEADER = ("Table", "SST", "Size", "Was", "Is", "Least", "Greatest")


@dataclass(frozen=True, slots=True)
class ComparisonSheet:
    """A sheet as a value; every string is printed as it stands.

    `parts`, `inputs` and `cells` are rows in the order of importance; where they do not fit a page their last ones
    are left out and counted.
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
    """Print a sheet on one page, or on more where its tables alone need them; return the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    # Few of each are enough for a page; which of them fit is found by setting it.
    most = (len(sheet.parts), len(sheet.inputs), min(len(sheet.cells), 40))
    while True:
        aside = io.BytesIO()
        pages = _set(sheet, most, paper, notice, day, aside)
        fewer = _fewer(most)
        if pages == 1 or fewer == most:
            break
        most = fewer
    if isinstance(target, Path):
        target.write_bytes(aside.getvalue())
    else:
        target.write(aside.getvalue())
    return pages


def _fewer(most: tuple[int, int, int]) -> tuple[int, int, int]:
    """Fewer cells first, then fewer inputs, then fewer tables."""
    parts, inputs, cells = most
    if cells > 10:
        return parts, inputs, max(cells - 5, 10)
    if inputs > 8:
        return parts, max(inputs * 2 // 3, 8), cells
    return max(parts * 2 // 3, 8) if parts > 8 else parts, inputs, cells


def _set(
    sheet: ComparisonSheet, most: tuple[int, int, int], paper: str, notice: str, day: date, target: IO[bytes]
) -> int:
    document = Document(target, paper, sheet.title, date=day, notice=notice, subject=sheet.subject, top_margin=_TOP)
    width = document.frame_width
    parts, inputs, cells = most
    story: list[Flowable] = [Heading(sheet.title), *(paragraph(text, "small") for text in sheet.about)]
    if sheet.parts:
        story.append(data_table(PART_HEADER, sheet.parts[:parts], width, numeric=range(1, 7), size=_SIZE))
        story += _rest(len(sheet.parts) - parts, "table")
    if sheet.inputs:
        story.append(Heading("Inputs that differ and bear on what changed", 2))
        story += [paragraph(text, "note") for text in sheet.inputs[:inputs]]
        story += _rest(len(sheet.inputs) - inputs, "input")
    if sheet.cells:
        story += [Heading(sheet.cells_title, 2)]
        story.append(data_table(CELL_HEADER, sheet.cells[:cells], width, numeric=range(1, 7), size=_SIZE))
        story += _rest(len(sheet.cells) - cells, "window")
    return document.build([*story, *(paragraph(text, "small") for text in sheet.notes)])


def _rest(count: int, what: str) -> list[Flowable]:
    return [paragraph(f"{count} {what}{'s' if count > 1 else ''} more in the CSV file.", "small")] if count > 0 else []
