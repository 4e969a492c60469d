"""A list of jobs with its answers, and the order list of all of them: a workbook, or two CSV files.

The list keeps its own columns; the answers follow them.  Texts come from files that others wrote: a spreadsheet must never
take one for a formula.
"""

from __future__ import annotations

import csv
import datetime
import functools
import io
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from tablegen.files import replace_file
from tablegen.model.stock import count_of
from tablegen.report.answer_files import order_file
from tablegen.report.answers.orders import order_caution, order_text
from tablegen.report.formatter import NBSP, ratio
from tablegen.report.json_export import safe_text
from tablegen.report.sheet_tables import SheetTable, sheet_table, workbook_of
from tablegen.report.xlsx import MONEY, TOP, Value
from tablegen.units import print_unit
from tablegen.wording import command_line
from tablegen.wording import jobs as wording
from tablegen.wording import stock as stock_wording
from tablegen.wording.language import number
from tablegen.wording.message import OR, listed

if TYPE_CHECKING:
    from tablegen.answers.answered_jobs import AnsweredJobs, JobRow
    from tablegen.answers.order_list import OrderedValve
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# The most that columns are wide [characters]: of a charge on one line, of one that is wrapped, and of an order line, which
# is copied from its cell.
_CHARGE, _WRAPPED_CHARGE, _LINE = 70, 28, 20
# The width of a column of sums.
_TOTAL = 12.0
_Cell = TypeVar("_Cell")
# More names of jobs than these in one cell nobody reads.
_MOST_NAMES = 50
# A whole number above it is no figure but a name, and would lose digits.
_EXACT = 2**53
_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]+)?")
# A figure with its unit is no formula, whatever its sign: it has neither a function nor a reference.
_QUANTITY = re.compile(r"[+-]?[0-9]+([.,][0-9]+)* ?[A-Za-z_/°%]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSheets:
    """The sheets of an answered list, with cautions on one of their own, where nothing takes them for jobs.

    `source` is the list's own file, which nothing is written over.
    """

    catalogue: Catalogue
    jobs: AnsweredJobs
    formatter: Formatter
    cautions: tuple[str, ...] = ()
    source: Path | None = None

    def workbook(self) -> bytes:
        """Both sheets and the cautions as a workbook; the same jobs, the same bytes."""
        return workbook_of(
            self.catalogue, (self.job_table(with_numbers=True), self._with_totals(self.order_table())), self.cautions
        )

    def csv_files(self) -> tuple[bytes, bytes]:
        """The list and the order list as CSV, with the separator and the decimal sign of the list that was read."""
        return self._csv(self.job_table()), self._csv(self._with_totals(self.order_table()))

    def write(self, target: Path) -> tuple[str, ...]:
        """Write the workbook, or both CSV files: the order list beside the list; a line about each.

        Raises
        ------
        OutputError
            If a file cannot be written; the message says which one was.
        """
        if target.suffix.lower() == ".xlsx":
            content = self.workbook()
            with replace_file(target) as stage:
                stage.write_bytes(content)
            return (command_line.WRITTEN(file=str(target)),)
        beside, (jobs, order) = order_file(target), self.csv_files()
        # Neither takes its place before both are written.
        replaced: list[Path] = []
        with replace_file(target, replaced) as stage, replace_file(beside, replaced) as other:
            stage.write_bytes(jobs)
            other.write_bytes(order)
        return (
            command_line.ROWS(len(self.jobs.rows), file=str(target)),
            command_line.ROWS(len(self.jobs.ordered), file=str(beside)),
        )

    def job_table(self, with_numbers: bool = False) -> SheetTable:
        """The list with its answers; with the figures of a CSV file as numbers, or as they are written."""
        jobs = self.jobs
        load, degrees = self._unit("load"), self._unit("temperature")
        answered = (
            # What is read first stands beside the list.
            wording.VALVE(),
            wording.SIZE(),
            wording.PART_NUMBER(),
            *((wording.IN_STOCK(),) if self.catalogue.stock else ()),
            wording.REASON(),
            wording.MARGIN(),
            *(wording.WITH_UNIT(name=limit(), unit=load) for limit in wording.LIMITS.values()),
            wording.CHARGE(),
            *(wording.WITH_UNIT(name=name(), unit=degrees) for name in (wording.SST, wording.BOX)),
            wording.ORDER_LINE(),
            wording.APPLICATION(),
        )
        figures = set(jobs.figures) if with_numbers else set()
        # Of a list that has been answered before, the new answers take the place of the old ones.
        is_again = jobs.headings[-len(answered) :] == answered
        kept = len(jobs.headings) - (len(answered) if is_again else 0)
        rows = [
            (*(self._own(cell, i in figures) for i, cell in enumerate(row.cells[:kept])), *self._answer(row))
            for row in jobs.rows
        ]
        headings = (*jobs.headings[:kept], *answered)
        # What is beside the charge is long, or in the list already: it is read on the screen.
        charge = kept + answered.index(wording.CHARGE())
        return sheet_table(
            wording.JOBS(),
            headings,
            rows,
            widest={wording.CHARGE(): _CHARGE, wording.ORDER_LINE(): _LINE},
            styles=tuple(0 if heading in (wording.CHARGE(), wording.ORDER_LINE()) else TOP for heading in headings),
            printed=charge,
        )

    def order_table(self) -> SheetTable:
        """What is to be ordered for all jobs."""
        price = self._price()
        headings = (
            wording.QUANTITY(),
            *((wording.IN_STOCK(), wording.TO_ORDER(), wording.LOCATION(), price) if self.catalogue.stock else ()),
            wording.PART_NUMBER(),
            wording.FAMILY(),
            wording.SIZE(),
            wording.CHARGE(),
            wording.EQUALIZER(),
            wording.CONNECTIONS(),
            wording.WITH_UNIT(name=wording.CAPILLARY(), unit=self._unit("length")),
            wording.FOR_JOBS(),
        )
        return sheet_table(
            wording.ORDER_LIST(),
            headings,
            [tuple(self._ordered(own)) for own in self.jobs.ordered],
            widest={wording.CHARGE(): _WRAPPED_CHARGE},
            styles=tuple(TOP | (MONEY if heading == price else 0) for heading in headings),
        )

    def _with_totals(self, table: SheetTable) -> SheetTable:
        """The order list with what each line costs, and their sum; as it is if a line has no price, or more than one."""
        ordered = self.jobs.ordered
        totals = [own.quantity * prices[0] for own in ordered if len(prices := _prices(own)) == 1]
        if not ordered or len(totals) < len(ordered):
            return table
        at = table.headings.index(self._price()) + 1
        sums: list[Value] = [wording.SUM(), *[None] * (len(table.headings) - 1)]
        return replace(
            table,
            headings=_inserted(table.headings, at, self._in_currency(wording.LINE_TOTAL())),
            widths=_inserted(table.widths, at, _TOTAL),
            styles=_inserted(table.styles, at, TOP | MONEY),
            rows=[_inserted(row, at, float(total)) for row, total in zip(table.rows, totals, strict=True)],
            sums=_inserted(tuple(sums), at, float(sum(totals))),
        )

    def _price(self) -> str:
        return self._in_currency(wording.PRICE())

    def _in_currency(self, name: str) -> str:
        stock = self.catalogue.stock
        return wording.WITH_UNIT(name=name, unit=stock.currency) if stock and stock.currency else name

    def _unit(self, quantity: str) -> str:
        # As a config spells it, so that a list that is read again is understood.
        return print_unit(quantity, self.formatter.system, self.formatter.load_unit).name

    def _own(self, cell: object, is_figure: bool) -> Value:
        """A cell of the list; a figure of a CSV file becomes a number."""
        value = _plain(cell)
        if is_figure and isinstance(value, str):
            text = value.strip().replace(",", "." if self.jobs.has_decimal_comma else ",")
            return float(text) if _NUMBER.fullmatch(text) else value
        return value

    def _answer(self, row: JobRow) -> Iterator[Value]:
        answer, order, formatter = row.answer, row.order, self.formatter
        yield from (order.family, order.size, order.part_number) if order else ("", "", "")
        if self.catalogue.stock is not None:
            yield _count(count_of(order.stock)) if order else ""
        yield reason(self.catalogue, row, formatter)
        if order is None:
            yield from (None, None, None, "")
        else:
            yield number(ratio(answer.margin))
            yield from map(number, formatter.window(answer.min_load_w, answer.max_load_w))
            yield order.charge
        for kelvin in (answer.sst_k, answer.box_k):
            yield None if math.isnan(kelvin) else _degrees(formatter.system, kelvin)
        # What follows is never empty beside an order line, which would else run over the page.
        yield order_text(order, formatter, order_caution(self.catalogue, row.refrigerant)) if order else ""
        yield answer.application

    def _ordered(self, own: OrderedValve) -> Iterator[Value]:
        order = own.order
        yield own.quantity
        if order.stock is not None:
            yield from (_count(own.in_stock), own.to_order or None)
            yield ", ".join(dict.fromkeys(item.location for item in order.stock if item.location))
            prices = _prices(own)
            yield float(prices[0]) if len(prices) == 1 else "; ".join(map(str, prices))
        yield from (order.part_number, order.family, order.size, order.charge, order.equalizer)
        length = print_unit("length", self.formatter.system)
        yield order.connections or _choice(order.connections_offered)
        if order.capillary_m is None:
            yield _choice([f"{length.of(offered):.4g}" for offered in order.capillary_offered_m])
        else:
            yield float(f"{length.of(order.capillary_m):.4g}")
        more = len(own.jobs) - _MOST_NAMES
        names = ", ".join(own.jobs[:_MOST_NAMES])
        yield wording.AND_MORE(more, names=names) if more > 0 else names

    def _csv(self, table: SheetTable) -> bytes:
        has_comma = self.jobs.has_decimal_comma
        target = io.StringIO()
        writer = csv.writer(target, lineterminator="\r\n", delimiter=";" if has_comma else ",")
        writer.writerow(map(safe_text, table.headings))
        writer.writerows([_csv_cell(value, has_comma) for value in row] for row in table.rows)
        # With a mark of its encoding, without which a spreadsheet takes it for another.
        return target.getvalue().encode("utf-8-sig")


def _inserted(row: tuple[_Cell, ...], at: int, cell: _Cell) -> tuple[_Cell, ...]:
    return (*row[:at], cell, *row[at:])


def _prices(own: OrderedValve) -> list[Decimal]:
    """What one of an ordered valve costs, more than one figure where the places of the stock sheet say so."""
    return sorted({item.price for item in own.order.stock or () if item.price is not None})


def reason(catalogue: Catalogue, row: JobRow, formatter: Formatter) -> str:
    """Why a job has no valve; the size that comes nearest, if one has a window."""
    near, other = row.answer.nearest, row.answer.not_in_stock
    if other is not None:
        named = catalogue.valve_name(other.family, other.size)
        return f"{row.answer.reason} {stock_wording.NEXT(valve=named, margin=ratio(other.margin))}"
    if near is None:
        return row.answer.reason
    minimum, maximum = formatter.window(near.min_load_w, near.max_load_w)
    valve = catalogue.valve_name(near.family, near.size)
    return wording.NEAREST(valve=valve, minimum=minimum, maximum=maximum, unit=formatter.load_label)


def _count(there: int | None) -> Value:
    """How many are in stock; "yes" where nobody counted."""
    return stock_wording.YES() if there is None else there


def _choice(offered: Sequence[str]) -> str:
    return wording.CHOOSE(choices=listed(offered, OR)) if offered else ""


@functools.cache
def _degrees(system: str, kelvin: float) -> float:
    return round(print_unit("temperature", system).of(kelvin), 2) + 0.0


def _plain(cell: object) -> Value:
    """A cell of the list as a workbook's: a number or a text."""
    if cell is None or isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return str(cell).upper()
    if isinstance(cell, (int, float)) and abs(cell) <= _EXACT:
        return float(cell)
    if isinstance(cell, datetime.datetime) and cell.time() == datetime.time():
        return cell.date().isoformat()
    return str(cell)


def _csv_cell(value: Value, has_decimal_comma: bool) -> str:
    if isinstance(value, (int, float)):
        text = f"{value:.12g}"
        return text.replace(".", ",") if has_decimal_comma else text
    text = str(value or "").replace(NBSP, " ")
    return text if _QUANTITY.fullmatch(text) else safe_text(text)
