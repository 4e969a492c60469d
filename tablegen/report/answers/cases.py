"""What answers about a case of a catalogue share: application, operating conditions, imprint; several cases in one."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tablegen.answers.case import members_of
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, Fact, Imprint, Value
from tablegen.report.formatter import NBSP
from tablegen.report.liquid_text import liquid_label, liquid_needed
from tablegen.report.refrigerant_text import own_cautions
from tablegen.report.superheat_text import superheat_by_rule
from tablegen.report.table_conditions import flow_text
from tablegen.wording import booklet_pages, terms
from tablegen.wording import box_temperature as box_wording
from tablegen.wording import cases as case_wording
from tablegen.wording import offers as wording
from tablegen.wording.refrigerants import PRESSURE_CAUTION

if TYPE_CHECKING:
    from tablegen.answers.case_superheat import CaseSuperheat
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.compressor_flow import FlowRatio
    from tablegen.model.inputs import Application, Catalogue
    from tablegen.model.liquid_supply import LiquidNeed
    from tablegen.physics.system import SystemInputs
    from tablegen.report.formatter import Formatter

SUPERHEAT_KEYS = ("smallest_max_superheat_k", "largest_max_superheat_k")
BOX_KEYS = ("box_k", "coil_difference_k")
CONDITIONS = ("low_head", "rating", "high_head")


def imprint_of(
    catalogue: Catalogue,
    *refrigerants: str,
    subject: str = "",
    more_cautions: Sequence[str] = (),
    version: str = "",
    has_wholesaler: bool = False,
) -> Imprint:
    """Notice and cautions of a catalogue's answer about some refrigerants or groups; with a version also its data."""
    printing = catalogue.printing
    records = [catalogue.records[own] for name in refrigerants for own in members_of(catalogue, name)]
    origin = wording.DATA(
        title=printing.title, revision=printing.revision, date=printing.date.isoformat(), version=version
    )
    return Imprint(
        notice=printing.notice,
        cautions=(*more_cautions, *own_cautions(records), PRESSURE_CAUTION()),
        origin=origin if version else "",
        subject=subject,
        author=printing.company.name,
        keywords=refrigerants,
        date=printing.date,
        wholesaler=catalogue.wholesaler if has_wholesaler else None,
    )


def case_facts(refrigerant: str, sst_k: float) -> tuple[Fact, ...]:
    """Refrigerant and suction temperature, for export; the heading has them."""
    return Fact.exported("refrigerant", refrigerant), Fact.exported("sst_k", sst_k)


def box_facts(sst_k: float, box: BoxTemperature | None, formatter: Formatter) -> tuple[Fact, ...]:
    """Box temperature, coil temperature difference and the SST [K] that they give; nothing where no box is known."""
    if box is None:
        return ()
    values = {"box": formatter.degrees(box.box_k), "difference": formatter.step(box.coil_difference_k)}
    if box.replaced_k is not None:
        text = box_wording.LIMITS_AT_DIFFERENCE(**values, stated=formatter.step(box.replaced_k))
    else:
        text = (box_wording.DEFAULT_DIFFERENCE if box.is_default else box_wording.GIVEN_DIFFERENCE)(**values)
    return (
        Fact(BOX_KEYS, box_wording.BOX(), Value(text, (box.box_k, box.coil_difference_k))),
        Fact((), box_wording.SST(), Value(formatter.degrees(sst_k))),
        Fact.exported("box_was_given", box.is_asked),
        Fact.exported("coil_difference_was_given", not box.is_default),
    )


def superheat_facts(found: CaseSuperheat | None, formatter: Formatter) -> tuple[Fact, ...]:
    """The maximum superheat where it belongs to the coil."""
    if found is None:
        return ()
    text = superheat_by_rule(formatter, found.limits, found.maxima_k)
    known = [own for own in found.maxima_k if math.isfinite(own)]
    ends = (min(known), max(known)) if known else (math.nan, math.nan)
    return (Fact(SUPERHEAT_KEYS, box_wording.MAXIMUM_SUPERHEAT(), Value(text, ends)),)


def with_sst(table: AnswerTable, sst_k: float, box: BoxTemperature | None) -> AnswerTable:
    """A table with the SST and the box of its case in every row, for export."""
    columns = (*table.columns, AnswerColumn(("sst_k", *BOX_KEYS)))
    value = Value.exported(sst_k, *box_data(box))
    return replace(table, columns=columns, rows=tuple((*row, value) for row in table.rows))


def box_data(box: BoxTemperature | None) -> tuple[float, float]:
    """Temperature and TD [K] of a box, by `BOX_KEYS`; NaN where there is none."""
    return (math.nan, math.nan) if box is None else (box.box_k, box.coil_difference_k)


def application_facts(
    application: Application, was_chosen: bool, box: BoxTemperature | None = None
) -> tuple[Fact, ...]:
    """The application, and whether nobody named it: it is the only one for the SST, or for the box that was asked."""
    title = application.title
    if was_chosen:
        is_box = box is not None and box.is_asked
        title = (box_wording.ONLY_APPLICATION if is_box else wording.ONLY_APPLICATION)(title=title)
    return (
        Fact(("application",), wording.APPLICATION(), Value(title, (application.name,))),
        Fact.exported("application_was_chosen", was_chosen),
    )


def condition_facts(system: SystemInputs, site_pressure_pa: float, formatter: Formatter) -> tuple[Fact, ...]:
    """Low head, rating point and high head as they are stated."""
    return tuple(
        Fact((), terms.head_title(name, system.has_receiver), Value(formatter.condition(condition, site_pressure_pa)))
        for name, condition in zip(CONDITIONS, system.conditions, strict=True)
    )


def liquid_facts(needs: Sequence[LiquidNeed], formatter: Formatter, has_receiver: bool) -> tuple[Fact, ...]:
    """The subcooling needed at condenser or receiver and that assumed, with what is more than usual."""
    if not needs:
        return ()
    keys = [(f"{own.condition}_{key}", value) for own in needs for key, value in _liquid_data(own)]
    names, data = zip(*keys, strict=True)
    text = liquid_needed(needs, formatter, has_receiver)
    return (Fact(tuple(names), liquid_label(has_receiver), Value(text, tuple(data))),)


def flow_facts(flows: Sequence[FlowRatio], application: Application, system: SystemInputs) -> tuple[Fact, ...]:
    """What the compressor pumps at low and high head over its rated flow, with its source."""
    if not flows:
        return ()
    keys = tuple(f"{own.condition}_{key}_flow_ratio" for own in flows for key in ("min", "max"))
    data = tuple(value for own in flows for value in (own.least, own.most))
    text = flow_text(flows, system.compressor, application.sources["compressor"])
    return (Fact(keys, booklet_pages.COMPRESSOR(), Value(text, data)),)


def _liquid_data(own: LiquidNeed) -> tuple[tuple[str, float], tuple[str, float]]:
    return ("needed_subcooling_k", own.needed_k), ("condenser_subcooling_k", own.assumed_k)


def gauge_text(pressure_pa: float, site_pressure_pa: float, formatter: Formatter) -> str:
    """An absolute pressure as a gauge reading with its unit."""
    return f"{formatter.gauge(pressure_pa, site_pressure_pa)}{NBSP}{formatter.gauge_label}"


def changed_facts(overrides: Sequence[str]) -> tuple[Fact, ...]:
    """Keys of the application that were given other values."""
    return tuple(Fact((), wording.CHANGED(), Value(text)) for text in overrides)


def own_facts(name: str, date: datetime.date | None) -> tuple[Fact, ...]:
    """The name and the date that a case of a file has."""
    facts = []
    if name:
        facts.append(Fact(("case",), case_wording.CASE(), Value(name, (name,))))
    if date is not None:
        facts.append(Fact(("case_date",), case_wording.DATE(), Value(date.isoformat(), (date,))))
    return tuple(facts)


def answer_of_cases(
    file: str, count: int, answers: Sequence[tuple[int, int, Answer]], problems: Sequence[str]
) -> Answer:
    """The answers to the cases of a file in one document.

    Parameters
    ----------
    file : str
        Its name.
    count : int
        How many cases it has.
    answers : sequence of (int, int, Answer)
        Number, line and answer of each case that was answered; there is at least one.
    problems : sequence of str
        What is wrong with the others, a line each.
    """
    sections = tuple(
        replace(own, key=f"case_{number}", heading=_case_heading(number, line, own), imprint=None)
        for number, line, own in answers
    )
    missing = count - len(answers)
    summary = [case_wording.ANSWERED(len(answers))]
    if missing:
        summary.append(case_wording.NOT_ANSWERED_COUNT(missing))
    # What could not be recorded is a problem of a case that is answered.
    every = (*problems, *(line for own in sections for line in own.problems))
    failed = Answer(key="not_answered", heading=case_wording.NOT_ANSWERED(), summary=tuple(problems))
    return Answer(
        key="cases",
        heading=case_wording.HEADING(count, file=file),
        summary=tuple(summary),
        tables=(_every_row(answers),),
        sections=(*sections, failed) if problems else sections,
        imprint=_shared_imprint([own.imprint for _, _, own in answers if own.imprint is not None]),
        units=answers[0][2].units,
        passed=all(own.passed for own in sections),
        problems=every,
        records=tuple(file for own in sections for file in own.records),
    )


def _case_heading(number: int, line: int, answer: Answer) -> str:
    name = answer.record().get("case")
    if isinstance(name, str):
        return case_wording.NAMED(name=name, heading=answer.heading)
    return case_wording.NUMBERED(number=number, line=line, heading=answer.heading)


def _every_row(answers: Sequence[tuple[int, int, Answer]]) -> AnswerTable:
    """The rows that each answer has in a CSV file, with the number and the name of its case."""
    tables = [(number, str(own.record().get("case", "")), own.csv_table()) for number, _, own in answers]
    keys = tuple(dict.fromkeys(key for _, _, table in tables for key in table.keys))
    rows = [
        (number, name, *(record.get(key) for key in keys))
        for number, name, table in tables
        for record in table.records()
    ]
    return AnswerTable.exported("rows", ("case_number", "case_name", *keys), rows)


def _shared_imprint(imprints: Sequence[Imprint]) -> Imprint | None:
    """One imprint for all: the cautions of each, once."""
    if not imprints:
        return None
    cautions = tuple(dict.fromkeys(text for own in imprints for text in own.cautions))
    keywords = tuple(dict.fromkeys(word for own in imprints for word in own.keywords))
    return replace(imprints[0], cautions=cautions, keywords=keywords)
