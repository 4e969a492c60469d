"""The back cover: cautions under keywords, who computed what, contact with what to have ready and what to quote."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, HRFlowable, Spacer

from tablegen.model.booklet_contents import CONFIDENCE
from tablegen.model.publications import Booklet
from tablegen.report.company_texts import cautions_by_keyword, document_mark
from tablegen.report.pages.front import confidence_sentence
from tablegen.report.pages.letterheads import letterhead
from tablegen.report.pdf import design
from tablegen.report.pdf.page import Heading, paragraph
from tablegen.report.pdf.page_flow import height
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.page_sides import LeftPage
from tablegen.report.pdf.panels import Beside, Framed
from tablegen.report.pdf.paragraphs import STYLES, sized
from tablegen.report.pdf.tables import facts
from tablegen.report.publications.chapters import chapter_here
from tablegen.report.publications.publication import Publication
from tablegen.wording import back_cover as wording
from tablegen.wording.language import date_text

# Share of the width for keywords, their size over that of the text; space around a caution, in sizes of type.
_KEYWORDS, _LARGER, _SPACE = 0.21, 1.3, 0.36
# Inside the frame of the contact, above it, and what the layout may be off by [pt].
_PAD, _APART, _SLACK = 12.0, 10.0, 12.0


def back_cover(publication: Publication, booklet: Booklet, width: float, page: float) -> list[Flowable]:
    """One left page, its texts as large as the page has room for [pt]; the contact at its foot."""
    foot = [_contact(publication, booklet, width), *_last_lines(publication)]
    for size in design.BACK_COVER:
        top = list(_texts(publication, booklet, size))
        room = page - height([*top, *foot], width) - _SLACK
        if room >= _APART:
            break
    return [LeftPage(), *top, Spacer(1, max(room, _APART)), *foot]


def _texts(publication: Publication, booklet: Booklet, size: float) -> Iterator[Flowable]:
    """Cautions, and who computed what."""
    printing = publication.catalogue.printing
    accent = HexColor(printing.company.accent or design.DEFAULT_ACCENT)
    yield HRFlowable(width="100%", thickness=design.ACCENT_RULE, color=accent, spaceAfter=6)
    yield Heading(wording.TITLE())
    keyword_style = ParagraphStyle("keyword", STYLES["h2"], textColor=accent)
    for keyword, text in cautions_by_keyword(printing, booklet.printed):
        left = sized(keyword, keyword_style, _LARGER * size)
        yield Beside([left], [sized(text, STYLES["body"], size)], _KEYWORDS, _SPACE * size)
    computed = f"{wording.COMPUTED(company=printing.company.name)} {confidence_sentence(publication)}"
    left = sized(wording.WHO_COMPUTED(), STYLES["h2"], size)
    body = sized(computed, STYLES["body"], size).style
    yield Beside([left], [referring(computed, chapter_here(publication, *CONFIDENCE), body)], _KEYWORDS, _SPACE * size)


def _contact(publication: Publication, booklet: Booklet, width: float) -> Flowable:
    """Who to reach, how, what to have ready and what to quote."""
    printing, fingerprint = publication.catalogue.printing, publication.data.fingerprint
    company, mark = printing.company, document_mark(printing, booklet.printed)
    quote = (
        wording.QUOTE_DOCUMENT(document=mark, fingerprint=fingerprint)
        if mark
        else wording.QUOTE_DATA(revision=printing.revision, fingerprint=fingerprint)
    )
    reached = bool(company.address or company.contact)
    ready = [(wording.READY(), wording.READY_NEW()), (wording.READY_INSTALLED(), wording.READY_MEASURED())]
    rows = [*company.contact, *(ready if reached else ()), (wording.QUOTE(), quote)]
    head = letterhead(publication, (", ".join(company.address),))
    return Framed([head, Spacer(1, 4), facts(rows, width - 2 * _PAD, design.TABLE)], _PAD)


def _last_lines(publication: Publication) -> Iterator[Flowable]:
    """What the company disclaims, and when the booklet is looked through again."""
    company = publication.catalogue.printing.company
    yield Spacer(1, 6)
    if company.disclaimer:
        yield paragraph(company.disclaimer, "small")
    if company.next_review:
        yield paragraph(wording.NEXT_REVIEW(date=date_text(company.next_review)), "continued")
