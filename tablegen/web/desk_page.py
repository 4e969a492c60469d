"""A page of the desk as HTML: the links to the others, its form with what an address says filled in, its answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from html import escape
from urllib.parse import urlencode

from tablegen.model.inputs import Catalogue
from tablegen.report.answer import Answer, visible
from tablegen.report.company_texts import whom_to_call
from tablegen.report.html.answer_page import fragment
from tablegen.web.form_fields import FieldChoice, FieldKind, FormField
from tablegen.web.questions import QUESTIONS, Asked, Desk, DeskQuestion, known_system
from tablegen.wording import desk as wording
from tablegen.wording.message import Message

JOBS = "jobs"
PAGES: Mapping[str, Message] = {**{name: own.title for name, own in QUESTIONS.items()}, JOBS: wording.JOBS}
# Fields that a link to another page takes along, if that has them.
_CARRIED = frozenset(
    {
        *("refrigerant", "load", "sst", "box", "coil_difference", "application", "low_head", "low_condensing"),
        *("family", "size", "overrides", "units"),
    }
)
_NEEDED = ' required aria-required="true"'


def answer_part(asked: Asked) -> str:
    """What a page shows of an answer, or what is still missing."""
    if asked.answer is None:
        return f'<p class="missing">{_text(wording.STILL_TO_ENTER(fields=", ".join(asked.missing)))}</p>'
    return problem_part(asked.answer.problems) + fragment(_without_links(asked.answer))


def _without_links(answer: Answer) -> Answer:
    """An answer whose links are text: the documents that they lead to are not at the desk."""
    references = tuple(replace(own, target="") for own in answer.references)
    return replace(answer, references=references, sections=tuple(map(_without_links, answer.sections)))


def problem_part(lines: Sequence[str]) -> str:
    """Lines about what is wrong."""
    return "".join(f'<p class="problem">{_text(line)}</p>' for line in lines)


class DeskPage:
    """The pages of a desk, with the address of every file that they load."""

    def __init__(self, desk: Desk, files: Mapping[str, str]) -> None:
        self.desk = desk
        self._files = files

    def question(self, question: DeskQuestion, values: Mapping[str, str], shown: str) -> str:
        """The page of a question; `values` fill its fields in, `shown` is its answer as HTML."""
        catalogue = self.desk.catalogue
        system = known_system(self.desk.system(catalogue, values))
        form = "".join(self._form(question, values, catalogue, system))
        return self._page(question.name, values, f"{form}{_result(shown)}", catalogue)

    def other(self, name: str, form: str) -> str:
        """A page with a form of its own, whose answer comes when it is sent."""
        return self._page(name, {}, f"{form}{_result('')}", self.desk.catalogue)

    def _page(self, name: str, values: Mapping[str, str], content: str, catalogue: Catalogue) -> str:
        title, seller = PAGES[name](), catalogue.wholesaler
        company = seller.name if seller else catalogue.printing.company.name
        texts = {
            "copy": wording.COPY(),
            "copied": wording.COPIED(),
            "not-copied": wording.NOT_COPIED(),
            "not-reached": wording.NOT_REACHED(),
        }
        said = "".join(f' data-{key}="{_text(text)}"' for key, text in texts.items())
        return (
            f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
            '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
            f"<title>{_text(wording.TITLE(page=title, company=company))}</title>\n"
            '<link rel="icon" href="data:,">\n'
            f'<link rel="stylesheet" href="{self._files["answer.css"]}">\n'
            f'<link rel="stylesheet" href="{self._files["desk.css"]}">\n'
            f'<script src="{self._files["desk.js"]}" defer></script>\n</head>\n'
            f"<body{said}>\n"
            f'<a class="skip" href="#result">{_text(wording.SKIP())}</a>\n'
            f'<header><p class="company">{_text(whom_to_call(seller) if seller else company)}</p>\n'
            f'<nav aria-label="{_text(wording.QUESTIONS())}">{"".join(_links(name, values))}</nav></header>\n'
            f"<main>\n<h1>{_text(title)}</h1>\n{content}\n</main>\n"
            '<p id="said" class="unseen" role="status"></p>\n</body>\n</html>\n'
        )

    def _form(
        self, question: DeskQuestion, values: Mapping[str, str], catalogue: Catalogue, system: str
    ) -> Iterator[str]:
        fields = [own for own in question.fields if catalogue.stock is not None or not own.of_stock]
        more = [own for own in fields if own.is_more]
        yield f'<form id="form" data-ask="/answer/{question.name}" autocomplete="off">'
        yield f"<noscript><p>{_text(wording.NO_SCRIPT())}</p></noscript>"
        for own in fields:
            if not own.is_more:
                yield from _field(own, values, catalogue, system)
        if more:
            is_open = any(values.get(own.name, "").strip() for own in more)
            yield f"<details{' open' if is_open else ''}><summary>{_text(wording.MORE())}</summary>"
            for own in more:
                yield from _field(own, values, catalogue, system)
            yield "</details>"
        yield f'<p class="buttons"><button type="button" id="print">{_text(wording.PRINT())}</button></p></form>'


def _result(shown: str) -> str:
    """The place of the answer."""
    return f'<section id="result" tabindex="-1" aria-label="{_text(wording.THE_ANSWER())}">{shown}</section>'


def _links(current: str, values: Mapping[str, str]) -> Iterator[str]:
    """A link to each page, which takes along what both ask for."""
    for name, title in PAGES.items():
        own = QUESTIONS[name].names if name in QUESTIONS else frozenset()
        carried = sorted(own & {field for base in _CARRIED for field in (base, f"{base}_unit")})
        query = urlencode({field: values[field] for field in carried if values.get(field)})
        here = ' aria-current="page"' if name == current else ""
        address = f"/{name}?{query}" if query else f"/{name}"
        yield f'<a href="{escape(address)}" data-fields="{" ".join(carried)}"{here}>{_text(title())}</a>'


def _field(own: FormField, values: Mapping[str, str], catalogue: Catalogue, system: str) -> Iterator[str]:
    text, needed = values.get(own.name, ""), _NEEDED if own.is_needed and not own.instead else ""
    named = f'id="{own.name}" name="{own.name}"'
    described = f' aria-describedby="{own.name}-hint"' if own.hint else ""
    yield f'<div class="field {own.kind.value}{" half" if own.is_half else ""}">'
    if own.kind is FieldKind.CHECK:
        yield f'<label><input type="checkbox" {named} value="yes"{" checked" if text else ""}>'
        yield f" {_text(own.label)}</label></div>"
        return
    yield f'<label for="{own.name}">{_text(own.label)}</label>'
    choices = own.choices(catalogue) if own.choices else ()
    if own.kind is FieldKind.CHOICE:
        yield f"<select {named}{needed}{described}>{''.join(_options(choices, text))}</select>"
    elif own.kind is FieldKind.LINES:
        yield f'<textarea {named} rows="2" spellcheck="false"{described}>\n{escape(text)}</textarea>'
    elif own.kind is FieldKind.QUANTITY:
        yield f'<span class="figure"><input type="text" inputmode="decimal" {named} value="{escape(text)}"{needed}>'
        units = [FieldChoice(unit.name, unit.label) for unit in own.units(catalogue, system)]
        unit_label = _text(wording.UNIT_OF(field=own.label))
        chosen = values.get(own.unit_name, "")
        yield f'<select name="{own.unit_name}" aria-label="{unit_label}">{"".join(_options(units, chosen))}</select></span>'
    else:
        listed = f' list="{own.name}-list"' if choices else ""
        mode = ' inputmode="numeric"' if own.kind is FieldKind.WHOLE else ""
        yield f'<input type="text" {named} value="{escape(text)}"{listed}{mode}{needed}{described} spellcheck="false">'
        if choices:
            yield f'<datalist id="{own.name}-list">{"".join(_suggestions(choices))}</datalist>'
    if own.hint:
        yield f'<p class="hint" id="{own.name}-hint">{_text(own.hint())}</p>'
    yield "</div>"


def _options(choices: Sequence[FieldChoice], chosen: str) -> Iterator[str]:
    """Choices; one that an address names and the catalogue does not have is among them, so that its answer says so."""
    if chosen and chosen not in {choice.value for choice in choices}:
        choices = [*choices, FieldChoice(chosen, chosen)]
    for choice in choices:
        selected = " selected" if chosen and choice.value == chosen else ""
        yield f'<option value="{escape(choice.value)}"{selected}>{_text(choice.label)}</option>'


def _suggestions(choices: Sequence[FieldChoice]) -> Iterator[str]:
    for choice in choices:
        of = f' data-family="{escape(choice.family)}"' if choice.family else ""
        yield f'<option value="{escape(choice.value)}"{of}>{_text(choice.label)}</option>'


def _text(text: str) -> str:
    return escape(visible(text))
