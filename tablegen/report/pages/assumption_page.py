"""What the tables assume, with the weight of each assumption on the limits: of each temperature range one table."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from tablegen.model.publications import Combination
from tablegen.report.assumption_texts import change_text, source_of, step_text
from tablegen.report.formatter import percent
from tablegen.report.pdf import design
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table, facts
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import AssumptionRow, rows_of
from tablegen.wording import assumptions as wording
from tablegen.wording.message import in_clauses

# What moves a limit less for its step is named in one sentence [1].
_LEAST = 0.01
# Height [pt] for a caption and the first rows of its table.
_OPENING = 130.0


def assumption_page(publication: Publication, width: float) -> list[Flowable]:
    """The chapter; empty where no table of the booklet has its assumptions in the data set."""
    frame = publication.data.assumptions
    found = {
        part: rows for part in publication.parts if (rows := rows_of(publication.rows(frame, part), AssumptionRow))
    }
    if not found:
        return []
    is_empty = any(math.isinf(_weight(row)) for rows in found.values() for row in rows)
    notes = [wording.ABOUT_EMPTY(none=wording.NO_WINDOW())] if is_empty else []
    story: list[Flowable] = [Heading(wording.CHAPTER()), paragraph(" ".join([wording.ABOUT(), *notes]))]
    for part, rows in found.items():
        story += _of_table(publication, part, rows, width)
    return story


def _of_table(
    publication: Publication, part: Combination, rows: Sequence[AssumptionRow], width: float
) -> list[Flowable]:
    formatter, catalogue = publication.formatter, publication.catalogue
    caption = wording.CAPTION(
        table=publication.full_title(part),
        # Sizes of printed rows have their names in print.
        size=f"{catalogue.families[part.family].display_name} {rows[0].size}",
        sst=formatter.degrees(rows[0].sst_k),
    )
    header = [wording.ASSUMPTION(), wording.STEP(), wording.MINIMUM(), wording.MAXIMUM(), wording.STATED_IN()]
    strong = [row for row in rows if _weight(row) >= _LEAST]
    body = [
        [
            wording.NAMES[row.assumption](),
            step_text(row.measure, row.step, formatter),
            change_text(row.min_at_step_down, row.min_at_step_up),
            change_text(row.max_at_step_down, row.max_at_step_up),
            wording.ORIGINS[row.origin](),
        ]
        for row in strong
    ]
    weak = [wording.NAMES[row.assumption]() for row in rows if _weight(row) < _LEAST]
    member = publication.members(part.group)[0]
    sources = [
        (wording.ORIGINS[origin](), source_of(catalogue, part, member, origin))
        for origin in dict.fromkeys(row.origin for row in rows)
    ]
    head = paragraph(caption, "caption")
    # With the table as a whole it would leave half a page empty.
    head.keepWithNext = False
    return [
        CondPageBreak(_OPENING),
        head,
        data_table(header, body, width, numeric=range(1, 4), size=design.NOTE, fewest_lines=True),
        *([paragraph(wording.LESS(percent=percent(_LEAST), names=in_clauses(weak)), "small")] if weak else []),
        KeepTogether([paragraph(wording.SOURCES(), "caption"), facts(sources, width, design.NOTE)]),
    ]


def _weight(row: AssumptionRow) -> float:
    changes = row.min_at_step_down, row.min_at_step_up, row.max_at_step_down, row.max_at_step_up
    return max(abs(own) for own in changes if not math.isnan(own))
