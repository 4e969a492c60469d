"""What was checked against what: values of sources beside computed ones, a line for each quantity of each source.

Published values come first and alone are counted as verification; rules of thumb, second implementations and
self-checks have tables of their own, and checks that do not pass are stated above all of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from tablegen.report.formatter import NBSP
from tablegen.report.pdf import design
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import data_table
from tablegen.report.verification_text import (
    LINE_NUMERIC,
    failure_text,
    headline,
    in_language,
    kind_caption,
    line_cells,
    line_header,
    lines,
    reason_sign,
    spelled,
    with_share,
)
from tablegen.verification.check import CheckKind, Verdict
from tablegen.wording import verification as wording
from tablegen.wording.message import in_clauses

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import CondPageBreak, Flowable

# Room for a caption and the first rows of its table [pt].
_OPENING = 110.0


def verification(
    checks: pd.DataFrame, names: Sequence[str], width: float, own_texts: Mapping[str, str]
) -> list[Flowable]:
    """The checks of a verification frame by kind; those that do not pass are stated first, and in their lines.

    `names` are the refrigerants that they could be of, `own_texts` the catalogue's texts in the language of the
    publication.  The document carries the frame.
    """
    if checks.empty:
        return []
    frame = in_language(with_share(checks), own_texts)
    provenances = [str(provenance) for provenance in dict.fromkeys(frame["provenance"])]
    sources = [s for p in provenances for s in dict.fromkeys(frame.loc[frame["provenance"] == p, "source"])]
    reasons = list(dict.fromkeys(frame["why_allowed"]))
    tables = [
        part
        for kind in CheckKind
        for part in _of_kind(frame[frame["kind"] == kind], kind, sources, reasons, names, width)
    ]
    allowed = in_clauses(wording.REASON(letter=reason_sign(i), reason=spelled(why)) for i, why in enumerate(reasons))
    return [
        Heading(wording.HEADING()),
        paragraph(headline(frame), "caption"),
        paragraph(wording.ABOUT()),
        *_not_passing(frame),
        *tables,
        *(_sources(frame, sources, provenance) for provenance in provenances),
        paragraph(wording.ALLOWED_BECAUSE(reasons=allowed.replace(" %", NBSP + "%")), "small"),
        paragraph(wording.ATTACHED()),
    ]


def _of_kind(
    rows: pd.DataFrame,
    kind: CheckKind,
    sources: Sequence[str],
    reasons: Sequence[str],
    names: Sequence[str],
    width: float,
) -> list[Flowable]:
    """The table of one kind under its name; nothing where there is no such check."""
    if rows.empty:
        return []
    body = [line_cells(own, sources, reasons, names) for own in lines(rows)]
    caption = paragraph(kind_caption(kind, len(rows)), "caption")
    # With the table as a whole it would leave half a page empty.
    caption.keepWithNext = False
    return [
        CondPageBreak(_OPENING),
        caption,
        data_table(line_header(), body, width, numeric=LINE_NUMERIC, size=design.FINE),
    ]


def _not_passing(frame: pd.DataFrame) -> list[Flowable]:
    """A sentence for each check that does not pass, unexplained failures first."""
    rows = frame[frame["verdict"] != Verdict.PASSES].sort_values(
        "verdict", key=lambda verdicts: verdicts != Verdict.FAILS, kind="stable"
    )
    return [paragraph(failure_text(row)) for _, row in rows.iterrows()]


def _sources(frame: pd.DataFrame, sources: Sequence[str], provenance: str) -> Flowable:
    """The sources whose figures came here in one way, by their numbers."""
    own = frame.loc[frame["provenance"] == provenance]
    listed = [
        wording.SOURCE_LINE(number=i, source=spelled(source))
        for i, source in enumerate(sources, start=1)
        if source in set(own["source"])
    ]
    return paragraph(wording.PROVENANCES[provenance](count=len(own), sources=in_clauses(listed)), "small")
