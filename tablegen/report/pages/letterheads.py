"""Who publishes a booklet: the heads of its cover and of its last page."""

from __future__ import annotations

from reportlab.platypus import Flowable

from tablegen.report.pdf.logo import Letterhead
from tablegen.report.pdf.page import paragraph
from tablegen.report.publications.publication import Publication
from tablegen.wording import company as wording
from tablegen.wording.language import date_text


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
        (date_text(printing.date), "document"),
        (wording.DATA(fingerprint=publication.data.fingerprint), "document"),
    )
    lines, about = ([paragraph(text, style) for text, style in own if text] for own in (left, right))
    return Letterhead(lines, company.logo, wording.LOGO_ALT(company=company.name), about)
