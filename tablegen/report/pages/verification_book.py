"""The verification book: every check with both values and what is allowed, by kind, on pages of its own."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import IO

import pandas as pd

from tablegen.report.pages.measured_flow_page import measured_flow_page
from tablegen.report.pages.verification_page import CHECK_NUMERIC, check_cells, check_header, spelt, verification
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.verification.measured_flows import Parity
from tablegen.wording import terms
from tablegen.wording import verification_page as wording

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak


def print_book(
    frame: pd.DataFrame,
    refrigerants: Sequence[str],
    title: str,
    paper: str,
    notice: str,
    day: datetime.date | None,
    target: Path | IO[bytes],
    parities: Sequence[Parity] = (),
) -> int:
    """Print a verification frame: what the booklet prints of it, flow laws compared with correlations, every check.

    Returns the number of pages.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    subject = wording.BOOK_SUBJECT()
    document = Document(target, paper, title, date=day, notice=notice, subject=subject)
    width = document.frame_width
    story: list[Flowable] = [*verification(frame, refrigerants, width, is_attached=False)]
    if parities:
        story += [PageBreak(), *measured_flow_page(parities, width)]
    story += [PageBreak(), Heading(wording.EVERY_CHECK())]
    for _, rows in frame.groupby(["kind", "quantity", "source"], sort=False):
        first = rows.iloc[0]
        caption = wording.CHECKS_CAPTION(
            kind=wording.KINDS[first["kind"]](),
            quantity=first["quantity"],
            source=spelt(first["source"]),
            provenance=terms.PROVENANCES[first["provenance"]](),
        )
        story.append(paragraph(caption, "caption"))
        cells = [check_cells(row) for _, row in rows.iterrows()]
        story.append(data_table(check_header(), cells, width, numeric=CHECK_NUMERIC, size=8.0))
    return document.build(story)
