"""Pages that lead to the right table: whether the tables apply, which table for which system, converted capacities."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import Flowable, KeepTogether

from tablegen.model.booklet_contents import CONFIDENCE
from tablegen.model.inputs import Application
from tablegen.model.publications import Booklet, Combination
from tablegen.report.company_texts import question_texts
from tablegen.report.formatter import DASH, percent, span
from tablegen.report.pages.back import has_left_out
from tablegen.report.pages.scattered_windows import emptied_by_scatter
from tablegen.report.pdf import design
from tablegen.report.pdf.page import STYLES, Heading, paragraph
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.tables import data_table, data_tables, facts
from tablegen.report.publications.chapters import chapter_here, see
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import decimals
from tablegen.report.rows import ConversionRow, is_same_temperature, rows_of
from tablegen.wording import booklet as wording
from tablegen.wording import terms
from tablegen.wording.message import in_clauses

# Blocks of columns in one table of factors: a group's rows for an application.
_ABREAST = 2
# At a family whose table has nominal windows and few others.
_MARK = "*"
_Block = tuple[str, Sequence[ConversionRow]]


def applicability(publication: Publication, width: float) -> list[Flowable]:
    """Whether the tables are for a system."""
    booklet = publication.booklet
    questions = question_texts(publication.catalogue.printing, booklet.printed if booklet else None)
    risers = _riser_tables(publication)
    questions = [(q, f"{text} {risers}".strip() if q == wording.RISER() else text) for q, text in questions]
    return [
        Heading(wording.DO_THEY_APPLY()),
        facts(questions, width, 9.0),
    ]


def _riser_tables(publication: Publication) -> str:
    """The lift of each application with a liquid riser; empty without one."""
    lifts = []
    for name, _ in publication.applications():
        application = publication.catalogue.applications[name]
        lift_m = next(iter(application.systems.values())).losses.lift_m
        if lift_m > 0.0:
            lift = publication.formatter.length(lift_m)
            lifts.append(wording.LIFT_OF(application=application.title, lift=lift))
    return wording.RISER_TABLES(lifts=in_clauses(lifts)) if lifts else ""


def which_table(publication: Publication, width: float) -> list[Flowable]:
    """Which table is for a system."""
    if has_left_out(publication):
        note = referring(wording.WHICH_TABLE_NOTE(), chapter_here(publication, "left_out"), STYLES["body"])
    else:
        note = paragraph(wording.WHICH_TABLE_NOTE_ONLY())
    notes = _nominal_note(publication)
    return [KeepTogether([Heading(wording.WHICH_TABLE()), note, *_selector(publication, width), *notes])]


def booklets_of_series(publication: Publication, index: Booklet, width: float) -> list[Flowable]:
    """The booklet of each family that an index leads to, printed in the index's own way: its number or file, and its tables."""
    catalogue, numbers = publication.catalogue, publication.catalogue.printing.company.documents
    own = [
        other
        for other in catalogue.booklets
        if other.series == index.series and other.has_tables and other.printed.is_like(index.printed)
    ]
    body = []
    for booklet in own:
        groups = dict.fromkeys(catalogue.groups[part.group].title for part in booklet.combinations)
        applications = dict.fromkeys(catalogue.applications[part.application].title for part in booklet.combinations)
        named = f"{booklet.printed.name}.pdf"
        number = numbers.get(booklet.printed.publication)
        if number:
            named = wording.NUMBERED_FILE(number=number, file=named)
        body.append([catalogue.families[booklet.family].title, named, in_clauses(groups), in_clauses(applications)])
    header = [wording.FAMILY(), wording.BOOKLET(), wording.REFRIGERANTS(), wording.APPLICATION()]
    return [
        Heading(wording.WHICH_BOOKLET()),
        paragraph(wording.WHICH_BOOKLET_NOTE()),
        *data_tables(header, body, width, size=design.NOTE),
    ]


def _selector(publication: Publication, width: float) -> Sequence[Flowable]:
    """Applications down, refrigerant groups across, the printed families in the cells."""
    catalogue, printed = publication.catalogue, {part.group for part in publication.parts}
    groups = [name for name in catalogue.groups if name in printed]
    body = []
    for name, parts in publication.applications():
        families = {group: [_marked(publication, part) for part in parts if part.group == group] for group in groups}
        body.append([catalogue.applications[name].title, *map(", ".join, families.values())])
    header = [wording.APPLICATION(), *(catalogue.groups[name].title for name in groups)]
    return data_tables(header, body, width, size=design.NOTE)


def _marked(publication: Publication, part: Combination) -> str:
    """The family of a table, with a mark where scatter empties most of its windows."""
    family = publication.catalogue.families[part.family].display_name
    return f"{family}{_MARK}" if _is_nominal_only(publication, part) else family


def _is_nominal_only(publication: Publication, part: Combination) -> bool:
    """Whether a table prints nominal limits of which scatter empties half of the windows or more."""
    confidence = publication.catalogue.confidence
    if confidence is None or confidence.is_printed:
        return False
    opened, lost = emptied_by_scatter(publication, part)
    return 0 < opened <= 2 * lost


def _nominal_note(publication: Publication) -> list[Flowable]:
    """What the mark at a family means; nothing where no family has it."""
    confidence = publication.catalogue.confidence
    if confidence is None or not any(_is_nominal_only(publication, part) for part in publication.parts):
        return []
    level = percent(confidence.level)
    text = wording.NOMINAL_WINDOWS_ONLY(mark=_MARK, level=level, see=see(publication, *CONFIDENCE))
    return [referring(text, chapter_here(publication, *CONFIDENCE), STYLES["small"])]


def conversion(publication: Publication, width: float) -> list[Flowable]:
    """Factor tables, for the first application of each temperature range that a group is printed for."""
    rows = rows_of(publication.data.conversion, ConversionRow)
    if not rows:
        return []
    blocks = [block for group in publication.catalogue.groups for block in _blocks(publication, rows, group)]
    tables = [blocks[i : i + _ABREAST] for i in range(0, len(blocks), _ABREAST)]
    return [
        Heading(wording.CONVERSION()),
        referring(
            wording.CONVERSION_NOTE(see=see(publication, "refrigerants")),
            chapter_here(publication, "refrigerants"),
            STYLES["body"],
        ),
        *(KeepTogether(_factors(publication, pair, width)) for pair in tables),
    ]


def _blocks(publication: Publication, rows: Sequence[ConversionRow], group: str) -> list[_Block]:
    """The factors of a group for the first application of each temperature range that it is printed for."""
    first: dict[str, _Block] = {}
    members = set(publication.members(group))
    for name, parts in publication.applications():
        own = [row for row in rows if row.application == name and row.refrigerant in members]
        if own and any(part.group == group for part in parts):
            first.setdefault(publication.catalogue.applications[name].temperature_range, (group, own))
    return list(first.values())


def _factors(publication: Publication, blocks: Sequence[_Block], width: float) -> list[Flowable]:
    """One table: condensing temperatures down, the subcoolings of each block across."""
    formatter, catalogue = publication.formatter, publication.catalogue
    groups = list(dict.fromkeys(catalogue.groups[group].title for group, _ in blocks))
    header, about = [wording.CONDENSING(unit=formatter.temperature_label)], []
    columns: list[list[ConversionRow]] = []
    for group, own in blocks:
        application = catalogue.applications[own[0].application]
        about.append(wording.FACTORS_AT(application=application.title, sst=formatter.degrees(own[0].sst_k)))
        name = _range_of(application) if len(groups) == 1 else catalogue.groups[group].title
        for subcooling in sorted({row.subcooling_k for row in own}):
            header.append(wording.SUBCOOLED(name=name, subcooling=formatter.step(subcooling)))
            columns.append([row for row in own if row.subcooling_k == subcooling])
    body = [
        [formatter.temperature(condensing), *(_factor(own, condensing) for own in columns)]
        for condensing in sorted({row.condensing_temperature_k for _, own in blocks for row in own})
    ]
    title = wording.FACTORS(
        groups=in_clauses(groups),
        applications=in_clauses(dict.fromkeys(about)),
        basis=terms.BASES_EXPLAINED[blocks[0][1][0].basis](),
    )
    return [paragraph(title, "caption"), data_table(header, body, width, numeric=range(len(header)), size=design.NOTE)]


def _range_of(application: Application) -> str:
    """The temperature range of an application, shorter in a head than its title; its title where the range has no word."""
    if application.temperature_range not in terms.TEMPERATURE_RANGES:
        return application.title
    text = terms.TEMPERATURE_RANGES[application.temperature_range]()
    return text[:1].upper() + text[1:]


def _factor(rows: Sequence[ConversionRow], condensing_k: float) -> str:
    """Smallest to largest factor of the members at a condensing temperature; a dash where a member has none."""
    factors = [row.capacity_factor for row in rows if is_same_temperature(row.condensing_temperature_k, condensing_k)]
    if not factors or not all(map(math.isfinite, factors)):
        return DASH
    return span([decimals(factor, 2) for factor in factors])
