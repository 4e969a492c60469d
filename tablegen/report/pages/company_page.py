"""Who publishes a booklet: the head of its cover, and the last page with how to reach the company."""

from __future__ import annotations

from reportlab.platypus import Flowable, KeepTogether, Spacer

from tablegen.model.inputs import Booklet
from tablegen.report.company_texts import document_mark
from tablegen.report.pdf import design
from tablegen.report.pdf.logo import Letterhead
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.publication import Publication
from tablegen.wording import company as wording


def letterhead(publication: Publication, lines: tuple[str, ...] = ()) -> Flowable:
    """Logo, name and tagline of the company, and further lines."""
    company = publication.catalogue.printing.company
    texts = ((company.name, "company"), (company.tagline, "body"), *((line, "body") for line in lines))
    parts = [paragraph(text, style) for text, style in texts if text]
    return Letterhead(parts, company.logo, wording.LOGO_ALT(company=company.name))


def cover_head(publication: Publication) -> Flowable:
    """Logo, name and tagline of the company; at the right number, revision, date and data of the document."""
    printing, booklet = publication.catalogue.printing, publication.booklet
    company = printing.company
    number = company.documents.get(booklet.printed.publication, "") if booklet else ""
    left = ((company.name, "cover_company"), (company.tagline, "body"))
    right = (
        (number, "document_number"),
        (wording.REVISION(revision=printing.revision), "document"),
        (printing.date.isoformat(), "document"),
        (wording.DATA(fingerprint=publication.data.fingerprint), "document"),
    )
    lines, about = ([paragraph(text, style) for text, style in own if text] for own in (left, right))
    return Letterhead(lines, company.logo, wording.LOGO_ALT(company=company.name), about)


def contact(publication: Publication, booklet: Booklet, width: float) -> list[Flowable]:
    """How to reach the company, and what to have ready; nothing where it gives neither address nor contact."""
    printing = publication.catalogue.printing
    company, fingerprint = printing.company, publication.data.fingerprint
    if not (company.address or company.contact):
        return []
    mark = document_mark(printing, booklet.printed)
    booklet_text = (
        wording.READY_BOOKLET(document=mark, fingerprint=fingerprint)
        if mark
        else wording.READY_DATA(revision=printing.revision, fingerprint=fingerprint)
    )
    ready = (
        wording.READY_VALVE(),
        wording.READY_REFRIGERANT(),
        wording.READY_LOAD(),
        wording.READY_HEADS(),
        wording.READY_SUPERHEAT(),
        booklet_text,
    )
    parts = [
        Heading(wording.CONTACT()),
        letterhead(publication, company.address),
        Spacer(1, 8),
        *([facts(list(company.contact), width, design.TABLE)] if company.contact else []),
        paragraph(wording.READY(), "caption"),
        *(paragraph(text, "step", mark="•") for text in ready),
    ]
    return [KeepTogether(parts)]
