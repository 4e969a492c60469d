"""The answer to a list of jobs: how many have a valve, each job, and what is to be ordered."""

from __future__ import annotations

import math
import operator
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Datum, Fact, Value
from tablegen.report.answers.cases import imprint_of
from tablegen.report.answers.stock_lines import stock_data, stock_notes
from tablegen.report.formatter import DASH, ratio
from tablegen.report.job_sheets import JobSheets, reason
from tablegen.wording import input_errors
from tablegen.wording import jobs as wording

if TYPE_CHECKING:
    from tablegen.answers.answered_jobs import AnsweredJobs, JobRow
    from tablegen.answers.order_list import OrderedValve
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# More on a screen nobody reads; the files have all.
_PRINTED = 60
# What is on the sheet alone, where there is much else to show, and what of it distinguishes two lines.
_TELL_APART = ("charge", "equalizer", "connections", "capillary_m")
_FROM_SHEET = ("prices", *_TELL_APART)
_FIGURES = ("quantity", "in_stock", "to_order")
_STOCK_KEYS = ("in_stock", "to_order", "locations", "prices")
_ORDER_KEYS = ("part_number", "family", "size", "charge", "equalizer", "connections", "capillary_m", "jobs")


def answer_of_jobs(
    catalogue: Catalogue, jobs: AnsweredJobs, formatter: Formatter, source: Path | None = None
) -> Answer:
    """The answer to a list of jobs; `source` is its file, if it is on disk."""
    imprint = replace(imprint_of(catalogue, *jobs.refrigerants, has_wholesaler=True), keywords=())
    sheets = JobSheets(catalogue=catalogue, jobs=jobs, formatter=formatter, cautions=imprint.cautions, source=source)
    counts = {
        "jobs": len(jobs.rows),
        "with_valve": jobs.with_valve,
        "without_valve": jobs.without_valve,
        "not_answered": jobs.not_answered,
        "to_order": sum(own.to_order for own in jobs.ordered),
    }
    summary = [wording.WITH_VALVE(jobs.with_valve)]
    uncovered = jobs.without_valve - jobs.not_in_stock
    summary += [wording.WITHOUT_VALVE(uncovered)] if uncovered else []
    summary += [wording.NOT_IN_STOCK(jobs.not_in_stock)] if jobs.not_in_stock else []
    summary += [wording.NOT_ANSWERED(jobs.not_answered)] if jobs.not_answered else []
    own_limits = sum(row.answer.has_own_limits for row in jobs.rows)
    to_order = sum(own.to_order > 0 for own in jobs.ordered)
    summary += [wording.TO_ORDER_OF(to_order)] if to_order else []
    return Answer(
        key="jobs",
        heading=wording.HEADING(len(jobs.rows), file=jobs.file),
        summary=tuple(summary),
        facts=tuple(Fact.exported(key, count) for key, count in counts.items()),
        tables=(_job_table(catalogue, jobs, formatter), _order_table(sheets)),
        notes=(
            *((wording.OWN_DIFFERENCE(own_limits),) if own_limits else ()),
            *((wording.ONE_EACH(),) if any(row.order and row.order.quantity is None for row in jobs.rows) else ()),
            *((input_errors.WINDOWS_TEXT(file=jobs.file),) if jobs.is_windows else ()),
            *stock_notes(catalogue),
        ),
        imprint=imprint,
        csv_key="jobs",
        units=formatter.system,
        passed=not jobs.without_valve,
        problems=jobs.problems,
        sheets=sheets,
    )


def _job_table(catalogue: Catalogue, jobs: AnsweredJobs, formatter: Formatter) -> AnswerTable:
    columns = (
        AnswerColumn(("line",), wording.LINE(), ColumnStyle.FIGURES),
        AnswerColumn(("job",), wording.JOB()),
        AnswerColumn(("refrigerant",), wording.REFRIGERANT()),
        AnswerColumn(("application",)),
        AnswerColumn(("sst_k",), wording.WITH_UNIT(name=wording.SST_ALONE(), unit=formatter.temperature_label)),
        AnswerColumn(("box_k", "coil_difference_k")),
        AnswerColumn(("load_w",), wording.WITH_UNIT(name=wording.LOAD(), unit=formatter.load_label)),
        AnswerColumn(("family", "size", "charge"), wording.VALVE()),
        AnswerColumn(("min_load_w", "max_load_w"), wording.WITH_UNIT(name=wording.WINDOW(), unit=formatter.load_label)),
        AnswerColumn(("margin",), wording.MARGIN(), ColumnStyle.FIGURES),
        AnswerColumn(("part_number",), wording.PART_NUMBER()),
        AnswerColumn(("quantity",)),
        AnswerColumn(("reason",), wording.REASON()),
    )
    more = len(jobs.rows) - _PRINTED
    return AnswerTable(
        key="jobs",
        title=wording.JOBS(),
        columns=columns,
        rows=tuple(tuple(_values(catalogue, row, formatter)) for row in jobs.rows),
        printed_rows=_PRINTED if more > 0 else None,
        more=wording.MORE_JOBS(more) if more > 0 else "",
    )


def _values(catalogue: Catalogue, row: JobRow, formatter: Formatter) -> Iterator[Value]:
    answer, order = row.answer, row.order
    yield Value.of(row.line)
    yield Value.of(row.job)
    yield Value.of(row.refrigerant)
    yield Value.exported(answer.application)
    yield Value.measured(answer.sst_k, formatter.temperature)
    yield Value.exported(answer.box_k, answer.coil_difference_k)
    yield Value.measured(row.load_w, formatter.load)
    if order is None:
        yield Value.exported("", "", "")
        yield Value.exported(math.nan, math.nan)
        yield Value.exported(math.nan)
    else:
        valve = catalogue.valve_name(answer.family, answer.size)
        limits = answer.min_load_w, answer.max_load_w
        yield Value(valve, (answer.family, answer.size, answer.charge))
        yield Value(DASH.join(formatter.window(*limits)), limits)
        yield Value.measured(answer.margin, ratio)
    yield Value.of(order.part_number if order else "")
    yield Value.exported(order.quantity if order else None)
    yield Value.of(reason(catalogue, row, formatter))


def _order_table(sheets: JobSheets) -> AnswerTable:
    """The order list as its sheet has it, with lengths in SI beside."""
    table, ordered = sheets.order_table(), sheets.jobs.ordered
    unprinted = set(_FROM_SHEET) - _needed(ordered) if sheets.catalogue.stock else ()
    keys = ("quantity", *(_STOCK_KEYS if sheets.catalogue.stock else ()), *_ORDER_KEYS)
    columns = [
        AnswerColumn(
            (key,), "" if key in unprinted else label, ColumnStyle.FIGURES if key in _FIGURES else ColumnStyle.WORDS
        )
        for key, label in zip(keys, table.headings, strict=True)
    ]
    rows = []
    for own, cells in zip(ordered, table.rows, strict=True):
        order = own.order
        data: tuple[Datum, ...] = (
            own.quantity,
            *_stock(own),
            *(order.part_number, order.family, order.size, order.charge, order.equalizer),
            *(order.connections, order.capillary_m, own.jobs),
        )
        texts = (f"{cell:.12g}" if isinstance(cell, float | int) else str(cell or "") for cell in cells)
        rows.append(tuple(Value(text, (datum,)) for text, datum in zip(texts, data, strict=True)))
    return AnswerTable(key="order_list", title=wording.ORDER_LIST(), columns=tuple(columns), rows=tuple(rows))


def _needed(ordered: Sequence[OrderedValve]) -> set[str]:
    """The columns without which a line does not say which valve it is: the charge without a part number, and what differs."""
    orders = [own.order for own in ordered]
    needed = set() if all(order.part_number for order in orders) else {"charge"}
    for key in _TELL_APART:
        shown = operator.attrgetter("part_number", "family", "size", *needed)
        if len({(shown(order), getattr(order, key)) for order in orders}) > len(set(map(shown, orders))):
            needed.add(key)
    return needed


def _stock(own: OrderedValve) -> tuple[Datum, ...]:
    data = stock_data(own.order)
    return (own.in_stock, own.to_order, data["stock_locations"], data["stock_prices"]) if data else ()
