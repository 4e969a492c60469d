"""What a company states in text on a publication: its document's number, and what its region and itself are careful of."""

from __future__ import annotations

from tablegen.model.company import PrintSettings, Wholesaler
from tablegen.model.names import WORKBOOK
from tablegen.model.publications import Printed
from tablegen.wording import company as wording
from tablegen.wording import pick
from tablegen.wording.booklet import QUESTIONS
from tablegen.wording.cautions import ALSO, CAUTIONS
from tablegen.wording.message import in_clauses


def document_mark(printing: PrintSettings, printed: Printed) -> str:
    """Number and revision of a publication; nothing where the company has not given it a number."""
    number = printing.company.documents.get(printed.publication)
    return wording.DOCUMENT(number=number, revision=printing.revision) if number else ""


def whom_to_call(wholesaler: Wholesaler) -> str:
    """The wholesaler and the number to call."""
    return pick.WHOLESALER(name=wholesaler.name, telephone=wholesaler.telephone)


def workbook_footer(printing: PrintSettings, fingerprint: str) -> tuple[str, str]:
    """What stands under each page of the workbook: its number, revision and data; and the notice."""
    number = printing.company.documents.get(WORKBOOK)
    revision = wording.REVISION(revision=printing.revision)
    document = wording.DOCUMENT(number=number, revision=printing.revision) if number else revision
    return in_clauses([document, wording.DATA(fingerprint=fingerprint)]), printing.notice


def caution_texts(printing: PrintSettings, printed: Printed | None = None) -> list[str]:
    """The cautions of the region of a publication, then those that the company adds.

    Without a publication the region is that of the company.
    """
    return [text for _, text in cautions_by_keyword(printing, printed)]


def cautions_by_keyword(printing: PrintSettings, printed: Printed | None = None) -> list[tuple[str, str]]:
    """As `caution_texts`, each with its keyword."""
    general = [
        (keyword(), " ".join(text() for text in texts)) for keyword, texts in CAUTIONS[_region(printing, printed)]
    ]
    return [*general, *((ALSO(), text) for text in printing.company.cautions)]


def question_texts(printing: PrintSettings, printed: Printed | None) -> list[tuple[str, str]]:
    """Questions whether the tables apply, with answers for the region of a publication."""
    return [(question(), answer()) for question, answer in QUESTIONS[_region(printing, printed)]]


def _region(printing: PrintSettings, printed: Printed | None) -> str:
    """The region whose law is cited, without one of the publication's own that of the company."""
    return (printed.region if printed else "") or printing.company.region
