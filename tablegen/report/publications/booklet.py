"""The booklet: from a data set to a PDF, which carries the files of the data set if they are given."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import IO

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.report.graphs.graph_files import named_figures, write_graphs
from tablegen.report.pages import back, front
from tablegen.report.pages.application_page import envelope_page
from tablegen.report.pages.confidence_page import confidence_chapter
from tablegen.report.pages.family_page import family_page
from tablegen.report.pages.method_page import method
from tablegen.report.pages.order_page import order_guide
from tablegen.report.pages.refrigerant_page import refrigerants
from tablegen.report.pages.revision_page import revision_record
from tablegen.report.pages.selection_map_page import territory_page
from tablegen.report.pages.selection_pages import applicability, restating
from tablegen.report.pages.verification_page import verification
from tablegen.report.pages.window_pages import ledger_pages
from tablegen.report.pdf.attachments import Attachments
from tablegen.report.pdf.page import Document, Heading
from tablegen.report.publications.publication import Edition

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, PageBreak


def print_booklet(
    data: DataSet,
    name: str,
    target: Path | IO[bytes],
    attached: Mapping[str, bytes] = MappingProxyType({}),
    graphs: Path | None = None,
    changes: Changes | None = None,
) -> int:
    """Print one booklet of a data set to a path or a binary file; return its number of pages.

    Every figure in it is a figure of the data set, rounded. `attached` are files by name that the document carries
    with it, `graphs` is a folder for its graphs as files, `changes` is what differs from an earlier release.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    edition, booklet = Edition.printed(data, "booklets", name)
    printing = edition.printing
    document = Document(
        target,
        edition.paper(booklet),
        printing["title"],
        date=edition.date,
        notice=printing["notice"],
        author=printing["house"],
        subject="Load windows of expansion valves" + (" under floating head pressure" if edition.floats else ""),
        keywords=[*edition.inputs["refrigerants"], f"revision {printing['revision']}", f"data {data.fingerprint}"],
        prepare=Attachments(attached, edition.date.strftime("D:%Y%m%d000000+00'00'")).embed,
    )
    width = document.frame_width
    story: list[Flowable] = [
        *front.cover(edition, width),
        *front.how_to_read(edition),
        *applicability(edition, width),
        *front.worked_examples(edition, width),
        *restating(edition, width),
        Heading("Families"),
    ]
    chapters: dict[str, list[Flowable]] = {}
    for family in edition.inputs["families"]:
        chapters[f"family-{family}"] = family_page(edition, family, width)
        story += chapters[f"family-{family}"]
    story.append(PageBreak())
    for envelope, parts in edition.envelopes():
        chapters[f"envelope-{envelope}"] = envelope_page(edition, envelope, parts, width)
        story += chapters[f"envelope-{envelope}"]
        for part in parts:
            turned = territory_page(edition, part, width)
            chapters[f"windows-{part.family}-{part.group}-{part.envelope}"] = turned
            story += [*ledger_pages(edition, part, width), *turned]
    story += order_guide(edition, width)
    chapters["groups"] = method(edition, width)
    story += chapters["groups"]
    chapters["confidence"] = confidence_chapter(edition, width)
    story += chapters["confidence"]
    story += verification(edition.data.verification, list(edition.inputs["refrigerants"]), width)
    story += refrigerants(edition, width)
    story += back.left_out(edition, width)
    story += [*back.cautions(), *revision_record(edition, changes, width)]
    # Before the build, which takes apart what is kept together.
    figures = named_figures(chapters)
    pages = document.build(story)
    if graphs is not None:
        write_graphs(figures, graphs, edition.stamp)
    return pages
