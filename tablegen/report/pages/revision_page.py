"""The revision record, with the cells that print otherwise than in an earlier release."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.dataset.dataset import Changes
from tablegen.report.formatter import DASH
from tablegen.report.pages.window_pages import part_title
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.publications.publication import Part, Publication
from tablegen.report.shifts import span

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable

# Some two pages; the file of changes has them all.
MOST_CELLS = 90


@dataclass(frozen=True, slots=True)
class _Cell:
    """A printed cell that changed: where it stands, what it says, and the greater of its limits' changes."""

    part: Part
    size: str
    sst_k: float
    earlier: str
    now: str
    minimum: float
    maximum: float

    @property
    def weight(self) -> float:
        """How far the limits moved; a window that opened, closed, came or went is more than any shift."""
        return math.inf if math.isnan(self.minimum) else max(abs(self.minimum), abs(self.maximum))


def revision_record(publication: Publication, changes: Changes | None, width: float) -> list[Flowable]:
    """The record; if an earlier release is given, what this booklet prints otherwise."""
    revisions = [[r["revision"], r["date"], r["change"]] for r in publication.printing["revisions"]]
    story: list[Flowable] = [Heading("Revision record"), data_table(["Revision", "Date", "Change"], revisions, width)]
    if changes is None:
        return story
    cells = _printed_otherwise(publication, changes.cells)
    gone = int((changes.cells["change_kind"] == "gone").sum()) if len(changes.cells) else 0
    total = sum(len(publication.rows(publication.data.group_windows, part)) for part in publication.parts)
    since = f"revision {changes.revision} of {changes.date} (data {changes.fingerprint})"
    text = (
        f"Against {since}, {len(cells)} of the {total} windows printed here are new or print otherwise; {gone} windows "
        f"of that release are no longer in the data set. All differences, printed or not, stand in changes.csv."
    )
    story += [Heading("Changed cells", 2), paragraph(text)]
    return [*story, *(_tables(publication, cells, width) if cells else ())]


def _printed_otherwise(publication: Publication, cells: pd.DataFrame) -> list[_Cell]:
    """The changed cells of the parts that the booklet prints, but for those whose printed figures stay the same."""
    found = []
    for part in publication.parts:
        own = publication.rows(cells, part) if len(cells) else cells
        for _, row in own[own["change_kind"] != "gone"].iterrows() if len(own) else ():
            earlier = "" if row["change_kind"] == "added" else _window(publication, row, "earlier_")
            now = _window(publication, row, "")
            if earlier != now:
                shifts = float(row["min_load_change"]), float(row["max_load_change"])
                size = publication.size(part.family, str(row["size"]))
                found.append(_Cell(part, size, float(row["sst_k"]), earlier, now, *shifts))
    return found


def _window(publication: Publication, row: pd.Series, side: str) -> str:
    window = publication.formatter.readable_window(*(float(row[f"{side}{limit}_load_w"]) for limit in ("min", "max")))
    return DASH.join(window) if window else "none"


def _tables(publication: Publication, cells: Sequence[_Cell], width: float) -> list[Flowable]:
    """How many cells and how far by part, then the cells themselves, the farthest moved if they are too many."""
    by_part = {part: [c for c in cells if c.part == part] for part in dict.fromkeys(c.part for c in cells)}
    summary = [
        [_name(publication, part), str(len(own)), span([c.minimum for c in own]), span([c.maximum for c in own])]
        for part, own in by_part.items()
    ]
    header = ["Table", "Cells", "Minimum load moved by", "Maximum load moved by"]
    formatter = publication.formatter
    # Chosen by how far they moved, told in the order of the booklet.
    shown = sorted(sorted(range(len(cells)), key=lambda i: -cells[i].weight)[:MOST_CELLS])
    body = [
        [_name(publication, c.part), formatter.temperature(c.sst_k), c.size, c.earlier or "new", c.now]
        for c in (cells[i] for i in shown)
    ]
    rest = len(cells) - len(shown)
    lead = (
        f"Windows in {formatter.load_label}, as they were and as they are; none: no window, for a reason in the ledger."
    )
    if rest:
        lead += f" The {len(shown)} that moved farthest; {rest} more are in changes.csv."
    return [
        data_table(header, summary, width, numeric=range(1, 4), size=8.5),
        paragraph(lead, "small"),
        data_table(
            ["Table", f"SST, {formatter.temperature_label}", "Size", "Was", "Is"],
            body,
            width,
            numeric=range(1, 5),
            size=8.5,
        ),
    ]


def _name(publication: Publication, part: Part) -> str:
    return f"{part_title(publication, part)}, {publication.application(part.application)['title']}"
