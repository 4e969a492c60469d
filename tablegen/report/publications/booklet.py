"""The booklet: from a data set to a PDF, which contains the files of the data set if they are given."""

from __future__ import annotations

from pathlib import Path
from typing import IO

from reportlab.platypus import Flowable, PageBreak

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.model.inputs import Booklet
from tablegen.report.company_texts import document_mark
from tablegen.report.graphs.graph_files import named_drawings, write_graphs
from tablegen.report.pages import back, front
from tablegen.report.pages.application_page import application_page
from tablegen.report.pages.back_cover import back_cover
from tablegen.report.pages.confidence_page import confidence_chapter
from tablegen.report.pages.cover import cover
from tablegen.report.pages.cycle_page import cycle_page
from tablegen.report.pages.family_page import family_page
from tablegen.report.pages.how_to_read import how_to_read
from tablegen.report.pages.method_page import method
from tablegen.report.pages.pictogram_legend import pictogram_legend
from tablegen.report.pages.refrigerant_page import refrigerants
from tablegen.report.pages.selection_pages import applicability, booklets_of_series, conversion, which_table
from tablegen.report.pages.table_spreads import PageHeights, table_spreads
from tablegen.report.pages.verification_page import verification
from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.document_file import NOTHING_ATTACHED, Attachments
from tablegen.report.pdf.page import Document, Heading, contents, paragraph
from tablegen.report.pdf.page_sides import LeftPage, SparePage
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication, named
from tablegen.wording import booklet as wording
from tablegen.wording.language import language


@in_own_typeface
def print_booklet(
    data: DataSet | PrintedData,
    name: str,
    target: Path | IO[bytes],
    attached: Attachments = NOTHING_ATTACHED,
    graphs: Path | None = None,
    changes: Changes | None = None,
) -> int:
    """Print one booklet of a data set to a path or a binary file; return its number of pages.

    Every figure in it is a figure of the data set, rounded. `attached` are files that the document carries with it, `graphs` is a folder for its graphs as files, `changes` is what differs from an earlier release.

    Raises
    ------
    PublishError
        If a text does not fit its place or a glyph is missing.
    """
    printed = PrintedData.of(data)
    data = printed.data
    booklet = named(data.catalogue.booklets, name)
    publication, printing = Publication.of(printed, booklet, changes), data.catalogue.printing
    document = Document(
        target,
        booklet.printed.paper,
        printing.title,
        date=publication.date,
        notice=printing.notice,
        author=printing.company.name,
        subject=(wording.SUBJECT_FLOATING if publication.floats else wording.SUBJECT)(),
        keywords=[
            *data.catalogue.records,
            wording.KEYWORD_REVISION(revision=printing.revision),
            wording.KEYWORD_DATA(fingerprint=data.fingerprint),
        ],
        mark=document_mark(printing, booklet.printed),
        prepare=attached.embed,
        accent=printing.company.accent or DEFAULT_ACCENT,
        is_bound=True,
        # Of applications, not of families: a booklet goes through one application after the other.
        tabs=[data.catalogue.applications[name].title for name, _ in publication.applications()],
    )
    width = document.frame_width
    chapters: dict[str, list[Flowable]] = {}
    story = [
        *cover(publication, width, document.frame_height),
        paragraph(wording.CONTENTS(), "caption"),
        contents(),
        PageBreak(),
    ]
    if booklet.is_index:
        story += _leading(publication, booklet, width)
    else:
        story += _tables(publication, chapters, width, PageHeights(document.lowest_height, document.frame_height))
    story += back.left_out(publication, width)
    story += back.revision_record(publication, width)
    story += back_cover(publication, booklet, width, document.frame_height)
    # Before the build, which takes apart what is kept together.
    figures = named_drawings(chapters)
    pages = document.build(story)
    if graphs is not None:
        write_graphs(figures, graphs, publication.stamp, document.accent)
    return pages


def _leading(publication: Publication, booklet: Booklet, width: float) -> list[Flowable]:
    """What an index leads with: what the booklets are for, and which one has the tables of which family."""
    return [
        *applicability(publication, width),
        *booklets_of_series(publication, booklet, width),
    ]


def _tables(
    publication: Publication, chapters: dict[str, list[Flowable]], width: float, page: PageHeights
) -> list[Flowable]:
    """All that leads to the tables, the tables, and all that is behind them; `chapters` takes those that have graphs."""
    data = publication.data
    story: list[Flowable] = [
        *applicability(publication, width),
        *which_table(publication, width),
        *pictogram_legend(publication, width),
        *how_to_read(publication, width),
        *front.worked_examples(publication, width),
        *conversion(publication, width),
    ]
    heading: list[Flowable] = [Heading(wording.FAMILIES())]
    for family in data.catalogue.families:
        chapters[f"family-{family}"] = own = family_page(publication, family, width, heading)
        story += own
        heading = [] if own else heading
    story.append(PageBreak())
    # Before the applications, if a right page would be empty there, else behind them.
    chapters["cycle"] = cycle_page(publication, width)
    cycle = SparePage(chapters["cycle"])
    for application, parts in publication.applications():
        chapters[f"application-{application}"] = application_page(publication, application, parts, width, page.least)
        story += [LeftPage(cycle), *chapters[f"application-{application}"]]
        for spread in table_spreads(publication, parts, width, page):
            for part, drawn in spread.drawn.items():
                chapters[f"windows-{part.family}-{part.group}-{part.application}"] = list(drawn)
            # The map is opposite its table.
            story += [LeftPage(cycle)] if spread.maps else []
            story += [*spread.tables, *spread.maps]
    story.append(cycle)
    story += back.order_guide(publication, width)
    chapters["groups"] = method(publication, width)
    story += chapters["groups"]
    chapters["confidence"] = confidence_chapter(publication, width)
    story += chapters["confidence"]
    own_texts = data.catalogue.translations.get(language(), {})
    story += verification(data.verification, list(data.catalogue.records), width, own_texts)
    return [*story, *refrigerants(publication, width)]
