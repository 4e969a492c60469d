"""An order line as a section of an answer: one sentence to copy, and its parts as data."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from tablegen.answers.case import members_of
from tablegen.report.answer import Answer, Fact, Reference
from tablegen.report.answers.stock_lines import stock_data, stock_texts
from tablegen.report.printed_catalogue import full_title
from tablegen.report.refrigerant_text import by_hazard
from tablegen.wording import in_print as print_wording
from tablegen.wording import orders as wording
from tablegen.wording import pick
from tablegen.wording.message import OR, listed

if TYPE_CHECKING:
    from tablegen.answers.in_print import InPrint
    from tablegen.answers.order import OrderLine
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter


def order_section(
    catalogue: Catalogue, order: OrderLine, found: InPrint, refrigerant: str, formatter: Formatter
) -> Answer:
    """The section "To order", with the booklet that prints the window; its facts are exported, not printed."""
    capillary = math.nan if order.capillary_m is None else order.capillary_m
    caution = order_caution(catalogue, refrigerant)
    data: dict[str, Datum] = {
        "company": order.maker,
        "family": order.family,
        "size": order.size,
        "charge": order.charge,
        "maximum_operating_pressure_pa": order.maximum_operating_pressure_pa,
        "setting_refrigerant": order.setting_refrigerant,
        "static_superheat_k": order.static_superheat_k,
        "equalizer": order.equalizer,
        "connections": order.connections,
        "connections_offered": order.connections_offered,
        "capillary_m": capillary,
        "capillary_offered_m": order.capillary_offered_m,
        "driver": order.driver,
        "part_number": order.part_number,
        "quantity": order.quantity,
        "job": order.job,
        "revision": order.revision,
        "date": order.date,
        "fingerprint": order.fingerprint,
        "is_printed": not found.why_not,
        "booklet_file": found.table.file if found.table else "",
        "booklet_destination": found.table.destination if found.table else "",
        "caution": caution,
        **stock_data(order),
    }
    currency = catalogue.stock.currency if catalogue.stock else ""
    return Answer(
        key="order",
        heading=pick.TO_ORDER(),
        summary=(order_text(order, formatter, caution), *stock_texts(order, currency)),
        facts=tuple(Fact.exported(key, datum) for key, datum in data.items()),
        references=tuple(_references(catalogue, found)),
    )


def _references(catalogue: Catalogue, found: InPrint) -> Iterator[Reference]:
    """Which table prints the window, or why none does; one to look at in place of it."""
    if found.why_not:
        yield Reference(print_wording.NOT_PRINTED(reason=found.why_not))
    if found.table is not None:
        message = print_wording.SEE_TABLE if found.why_not else print_wording.PRINTED_IN
        text = message(file=found.table.file, table=full_title(catalogue, found.table.part))
        yield Reference(text, found.table.link)


def order_caution(catalogue: Catalogue, refrigerant: str) -> str:
    """The refrigerants of an order that are flammable or toxic, as a clause; "" where none is."""
    found = by_hazard(catalogue.records, members_of(catalogue, refrigerant)) if refrigerant else {}
    return "; ".join(wording.CAUTION(refrigerants=listed(names), hazard=hazard) for hazard, names in found.items())


def order_text(order: OrderLine, formatter: Formatter, caution: str = "") -> str:
    """An order line as one text, with what is still to be chosen or stated, and a caution as a clause."""
    mop, superheat = order.maximum_operating_pressure_pa, order.static_superheat_k
    clauses = [
        wording.ORDERED_VALVE(company=order.maker, family=order.family, size=order.size),
        *([caution] if caution else []),
        wording.charge_clause(
            order.charge,
            "" if mop is None else formatter.absolute(mop),
            order.setting_refrigerant,
            "" if superheat is None else formatter.step(superheat),
        ),
    ]
    if order.equalizer:
        clauses.append(wording.EQUALIZER[order.equalizer]())
    if order.connections:
        clauses.append(wording.CONNECTIONS(connections=order.connections))
    elif order.connections_offered:
        clauses.append(wording.CHOOSE_CONNECTIONS(choices=listed(order.connections_offered, OR)))
    if order.capillary_m is not None:
        clauses.append(wording.CAPILLARY(length=formatter.length(order.capillary_m)))
    elif order.capillary_offered_m:
        lengths = [formatter.length(length) for length in order.capillary_offered_m]
        clauses.append(wording.CHOOSE_CAPILLARY(choices=listed(lengths, OR)))
    if order.driver is not None:
        clauses.append(wording.DRIVER(driver=order.driver) if order.driver else wording.UNKNOWN_DRIVER())
    if order.has_part_numbers:
        clauses.append(_part_number(order))
    quantity = order.quantity
    clauses += [
        wording.NO_QUANTITY() if quantity is None else wording.QUANTITY(quantity=quantity),
        wording.JOB(job=order.job) if order.job else wording.NO_JOB(),
        wording.DATA(revision=order.revision, date=order.date.isoformat(), data=order.fingerprint),
    ]
    return "; ".join(clauses)


def _part_number(order: OrderLine) -> str:
    """The part number; one may depend on what is still to be chosen."""
    if order.part_number:
        return wording.PART_NUMBER(number=order.part_number)
    is_chosen = bool(order.connections or not order.connections_offered) and (
        order.capillary_m is not None or not order.capillary_offered_m
    )
    return wording.NO_PART_NUMBER() if is_chosen else wording.PART_NUMBER_OPEN()
