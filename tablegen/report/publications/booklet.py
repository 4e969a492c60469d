"""The booklet: from a data set to a PDF, which contains the files of the data set if they are given."""

from __future__ import annotations

from pathlib import Path
from typing import IO

from reportlab.platypus import PageBreak

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.report.company_texts import document_mark
from tablegen.report.graphs.graph_files import named_drawings, write_graphs
from tablegen.report.pages.back_cover import back_cover
from tablegen.report.pages.cover import cover
from tablegen.report.pages.table_spreads import PageHeights
from tablegen.report.pdf.design import DEFAULT_ACCENT
from tablegen.report.pdf.document_file import NOTHING_ATTACHED, Attachments
from tablegen.report.pdf.page import Document, contents, paragraph
from tablegen.report.publications.booklet_sections import Sections, under_contents
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication, named
from tablegen.wording import booklet as wording


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
        publication.document_title,
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
        tabs=[data.catalogue.applications[name].title for name, _ in publication.applications()]
        if booklet.contents.has_tables
        else (),
    )
    width = document.frame_width
    heights = PageHeights(document.lowest_height, document.frame_height)
    sections = Sections(publication=publication, booklet=booklet, width=width, page=heights)
    story = [
        *cover(publication, width, document.frame_height),
        paragraph(wording.CONTENTS(), "caption"),
        contents(),
        *under_contents(publication),
        PageBreak(),
        *sections.story(),
        *back_cover(publication, booklet, width, document.frame_height),
    ]
    # Before the build, which takes apart what is kept together.
    figures = named_drawings(sections.chapters)
    pages = document.build(story)
    if graphs is not None:
        write_graphs(figures, graphs, publication.stamp, document.accent, booklet.printed.graph_kinds)
    return pages
