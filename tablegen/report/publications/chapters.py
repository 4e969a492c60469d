"""What the sections of a booklet that another document may have are called, and where a reader finds one of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tablegen.model.booklet_contents import CONFIDENCE, ENGINEERING
from tablegen.report.publications.publication import Publication
from tablegen.wording import assumptions, confidence, method, refrigerants, verification
from tablegen.wording import booklet as wording
from tablegen.wording.message import Message

_TITLES: Mapping[str, Message] = {
    "method": method.METHOD,
    **dict.fromkeys(CONFIDENCE, confidence.HEADING),
    "assumptions": assumptions.CHAPTER,
    "verification": verification.HEADING,
    "refrigerants": refrigerants.REFRIGERANTS,
    "left_out": wording.LEFT_OUT,
}


def chapter_titles(sections: Iterable[str]) -> list[str]:
    """The headings of some sections."""
    return [_TITLES[name]() for name in sections]


def chapter(publication: Publication, *sections: str) -> str:
    """The heading of the first of some sections that is printed, with its document if that is another; empty without one."""
    contents = publication.contents
    for name in sections:
        if name in contents.sections:
            return _TITLES[name]()
        if name in contents.separate:
            return wording.IN_DOCUMENT(chapter=_TITLES[name](), document=engineering_document(publication))
    return ""


def see(publication: Publication, *sections: str) -> str:
    """Where to find the first of some sections that is printed, to end a sentence with; empty without one."""
    found = chapter(publication, *sections)
    return f" {wording.SEE(chapter=found)}" if found else ""


def chapter_here(publication: Publication, *sections: str) -> str:
    """The heading of the first of some sections that is in the document itself; empty without one."""
    return next((_TITLES[name]() for name in sections if name in publication.contents.sections), "")


def engineering_document(publication: Publication) -> str:
    """Number and file of the document that has separate sections of a booklet."""
    assert publication.booklet is not None
    printed = publication.booklet.printed
    ending = printed.name.removeprefix(printed.publication)
    own = f"{printed.publication}-{ENGINEERING}"
    return _document(publication, own, f"{own}{ending}.pdf")


def booklet_of_chapters(publication: Publication) -> str:
    """Number and file of the booklet that a document of separate sections belongs to."""
    assert publication.booklet is not None
    printed = publication.booklet.printed
    ending = printed.name.removeprefix(printed.publication)
    own = printed.publication.removesuffix(f"-{ENGINEERING}")
    return _document(publication, own, f"{own}{ending}.pdf")


def _document(publication: Publication, name: str, file: str) -> str:
    number = publication.catalogue.printing.company.documents.get(name)
    return wording.NUMBERED_FILE(number=number, file=file) if number else file
