"""The sections of a booklet, in the order in which it has them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from reportlab.platypus import Flowable, PageBreak, Spacer

from tablegen.model.booklet_contents import TABLES
from tablegen.model.publications import Booklet
from tablegen.report.pages import back, front
from tablegen.report.pages.application_page import application_page
from tablegen.report.pages.assumption_page import assumption_page
from tablegen.report.pages.confidence_page import confidence_chapter
from tablegen.report.pages.cycle_page import cycle_page
from tablegen.report.pages.family_page import family_page
from tablegen.report.pages.how_to_read import how_to_read
from tablegen.report.pages.method_page import method
from tablegen.report.pages.pictogram_legend import pictogram_legend
from tablegen.report.pages.refrigerant_page import refrigerants
from tablegen.report.pages.selection_pages import applicability, booklets_of_series, conversion, which_table
from tablegen.report.pages.table_spreads import PageHeights, table_spreads
from tablegen.report.pages.verification_page import verification
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.page_sides import LeftPage, SparePage, SpreadEnd, SpreadStart
from tablegen.report.publications.chapters import chapter_titles, engineering_document
from tablegen.report.publications.publication import Publication
from tablegen.wording import booklet as wording
from tablegen.wording.language import language, texts_of
from tablegen.wording.message import in_clauses, listed

# Between the contents and what is not in them [pt].
_UNDER_CONTENTS = 10.0
# Sections of an index, which leads to the booklets in place of the tables.
_OF_INDEX = ("applicability", TABLES, "left_out", "revision_record")


def under_contents(publication: Publication) -> list[Flowable]:
    """What is in another document, and which tables are not printed because they are empty."""
    texts = []
    if separate := publication.contents.separate:
        chapters = listed(chapter_titles(separate))
        texts.append(wording.SEPARATE(document=engineering_document(publication), chapters=chapters))
    if empty := publication.empty_parts:
        texts.append(wording.EMPTY_TABLES(tables=in_clauses(map(publication.full_title, empty))))
    return [Spacer(1, _UNDER_CONTENTS), *(paragraph(text, "small") for text in texts)] if texts else []


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """The sections of one booklet in a width [pt].

    `chapters` are those that have graphs, by name, once there is a story; `spare` is a chapter of one page that may fill
    a right page which would be empty before an application, if it comes behind the tables.
    """

    publication: Publication
    booklet: Booklet
    width: float
    page: PageHeights
    chapters: dict[str, list[Flowable]] = field(default_factory=dict)
    spare: list[SparePage] = field(default_factory=list)

    def story(self) -> list[Flowable]:
        """All that is between the contents and the back cover."""
        names = self.booklet.contents.sections
        if self.booklet.is_index:
            names = tuple(name for name in names if name in _OF_INDEX)
        elif "cycle" in names[names.index(TABLES) if TABLES in names else 0 :]:
            self.chapters["cycle"] = cycle_page(self.publication, self.width)
            self.spare.append(SparePage(self.chapters["cycle"]))
        return [flowable for name in names for flowable in _SECTIONS[name](self)]

    def _which_table(self) -> list[Flowable]:
        return [*which_table(self.publication, self.width), *pictogram_legend(self.publication, self.width)]

    def _families(self) -> list[Flowable]:
        story: list[Flowable] = []
        heading: list[Flowable] = [Heading(wording.FAMILIES())]
        for family in self.publication.catalogue.families:
            own = family_page(self.publication, family, self.width, heading)
            self.chapters[f"family-{family}"] = own
            story += own
            heading = [] if own else heading
        return [*story, PageBreak()]

    def _cycle(self) -> list[Flowable]:
        if self.spare:
            return [*self.spare]
        self.chapters["cycle"] = own = cycle_page(self.publication, self.width)
        return own

    def _tables(self) -> list[Flowable]:
        if self.booklet.is_index:
            return booklets_of_series(self.publication, self.booklet, self.width)
        publication, width, spare = self.publication, self.width, next(iter(self.spare), None)
        story: list[Flowable] = []
        for application, parts in publication.applications():
            opening = application_page(publication, application, parts, width, self.page.least)
            self.chapters[f"application-{application}"] = opening
            story += [LeftPage(spare), *opening]
            for spread in table_spreads(publication, parts, width, self.page):
                for part, drawn in spread.drawn.items():
                    self.chapters[f"windows-{part.family}-{part.group}-{part.application}"] = list(drawn)
                # The map is opposite its table.  No chapter comes between the tables of an application.
                if spread.maps:
                    start = SpreadStart()
                    story += [start, *spread.tables, *spread.maps, SpreadEnd(start)]
                else:
                    story += spread.tables
        return story

    def _method(self) -> list[Flowable]:
        self.chapters["groups"] = own = method(self.publication, self.width)
        return own

    def _confidence(self, has_graphs: bool = True) -> list[Flowable]:
        self.chapters["confidence"] = own = confidence_chapter(self.publication, self.width, has_graphs)
        return own

    def _verification(self) -> list[Flowable]:
        data = self.publication.data
        own_texts = data.catalogue.translations.get(texts_of(language()), {})
        return verification(data.verification, list(data.catalogue.records), self.width, own_texts)


_SECTIONS: Mapping[str, Callable[[Sections], list[Flowable]]] = {
    "applicability": lambda own: applicability(own.publication, own.width),
    "which_table": Sections._which_table,
    "how_to_read": lambda own: how_to_read(own.publication, own.width),
    "worked_examples": lambda own: front.worked_examples(own.publication, own.width),
    "conversion": lambda own: conversion(own.publication, own.width),
    "families": Sections._families,
    "tables": Sections._tables,
    "cycle": Sections._cycle,
    "order_guide": lambda own: back.order_guide(own.publication, own.width),
    "method": Sections._method,
    "confidence": Sections._confidence,
    "confidence_table": lambda own: own._confidence(has_graphs=False),
    "assumptions": lambda own: assumption_page(own.publication, own.width),
    "verification": Sections._verification,
    "refrigerants": lambda own: refrigerants(own.publication, own.width),
    "left_out": lambda own: back.left_out(own.publication, own.width),
    "revision_record": lambda own: back.revision_record(own.publication, own.width),
}
