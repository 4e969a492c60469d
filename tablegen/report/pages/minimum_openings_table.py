"""The stated minimum opening of each table beside that of the loop with the coil."""

from __future__ import annotations

from reportlab.platypus import Flowable

from tablegen.report.formatter import percent
from tablegen.report.minimum_opening_texts import bulb_text, opening, seconds
from tablegen.report.pdf import design
from tablegen.report.pdf.page import paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import MinimumOpeningRow, rows_of
from tablegen.wording import minimum_openings as wording


def minimum_openings_table(publication: Publication, width: float) -> list[Flowable]:
    """A caption, a paragraph and a row for each table of the booklet; nothing where no application states a whole coil."""
    frame = publication.data.minimum_openings
    body = [
        [
            publication.full_title(part),
            opening(row.assumed_opening),
            opening(row.loop_opening),
            publication.formatter.step(row.loop_superheat_k),
            percent(round(row.loop_superheat_share, 2)),
            seconds(row.loop_period_s),
            bulb_text(row.bulb_time_s, row.needed_bulb_time_s),
        ]
        for part in publication.parts
        for row in rows_of(publication.rows(frame, part), MinimumOpeningRow)
    ]
    if not body:
        return []
    header = [
        wording.TABLE(),
        wording.STATED(),
        wording.LOOP(),
        wording.SUPERHEAT(),
        wording.SHARE_OF_TD(),
        wording.PERIOD(),
        wording.BULB(),
    ]
    return [
        paragraph(wording.CAPTION(), "caption"),
        data_table(header, body, width, numeric=range(1, 6), size=design.NOTE, fewest_lines=True),
        paragraph(wording.ABOUT(), "small"),
    ]
