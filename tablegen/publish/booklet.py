"""The booklet: from a data set to a PDF."""

from __future__ import annotations

from pathlib import Path
from typing import IO

from tablegen.catalogue.dataset import DataSet
from tablegen.publish import back, front
from tablegen.publish.edition import PAPER_NAMES, Edition
from tablegen.publish.envelope_page import envelope_page
from tablegen.publish.family_page import family_page
from tablegen.publish.ledger_page import ledger_pages
from tablegen.publish.page import Document, Heading
from tablegen.publish.refrigerant_page import refrigerants

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak


def print_booklet(data: DataSet, target: Path | IO[bytes]) -> int:
    """Print the booklet of a data set to a path or a binary file; return its number of pages.

    Every figure in it is a figure of the data set, rounded.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    edition = Edition.of(data)
    printing = edition.printing
    document = Document(
        target,
        PAPER_NAMES[printing["paper"]],
        printing["title"],
        date=edition.date,
        notice=printing["notice"],
        author=printing["house"],
        subject="Load windows of expansion valves under floating head pressure",
        keywords=[*edition.inputs["refrigerants"], f"revision {printing['revision']}", f"data {data.fingerprint}"],
    )
    width = document.frame_width
    story: list[Flowable] = [
        *front.cover(edition, width),
        *front.how_to_read(edition),
        *front.worked_example(edition, width),
        PageBreak(),
    ]
    story.append(Heading("Families"))
    for family in edition.inputs["families"]:
        story += family_page(edition, family, width)
    for name, parts in edition.envelopes():
        story += envelope_page(edition, name, parts, width)
        for part in parts:
            story += ledger_pages(edition, part, width)
    story += back.method(edition, width)
    story += refrigerants(edition, width)
    story += back.left_out(edition, width)
    story += back.cautions_and_revisions(edition, width)
    return document.build(story)
