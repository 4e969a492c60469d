"""What an answer says of the stock: a column beside the valves that fit, and where the first choice is stored."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from tablegen.report.answer import AnswerColumn, ColumnStyle, Value
from tablegen.wording import stock as wording
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.answers.order import OrderLine
    from tablegen.answers.pick import Candidate
    from tablegen.errors import FileProblem
    from tablegen.model.inputs import Catalogue
    from tablegen.model.stock import Stock, StockItem
    from tablegen.report.answer import Datum

# So many rows are named in a note.
_NAMED = 3


def stock_columns(stock: Stock | None) -> tuple[AnswerColumn, ...]:
    """The column "In stock"; none without a stock sheet."""
    return () if stock is None else (AnswerColumn(("in_stock",), wording.IN_STOCK(), ColumnStyle.FIGURES),)


def stock_notes(catalogue: Catalogue) -> tuple[str, ...]:
    """How many rows of the stock sheet and of the list of part numbers an answer leaves out, for something is wrong in them."""
    stock, numbers = catalogue.stock, catalogue.wrong_part_numbers
    return (
        *(_left_out(stock.file, stock.wrong) if stock is not None else ()),
        *(_left_out(PurePath(numbers[0].file).name, numbers) if numbers else ()),
    )


def _left_out(file: str, wrong: Sequence[FileProblem]) -> Iterator[str]:
    lines = sorted({problem.line for problem in wrong})
    if lines:
        rows = listed([wording.ROW(line=line) for line in lines[:_NAMED]] + [wording.OTHERS()] * (len(lines) > _NAMED))
        yield wording.LEFT_OUT(len(lines), file=file, rows=rows)


def stock_values(stock: Stock | None, candidate: Candidate) -> tuple[Value, ...]:
    """How many of a valve are in stock, "yes" where nobody counted; nothing without a stock sheet."""
    if stock is None:
        return ()
    there = stock.quantity_of(candidate.family, candidate.size, candidate.charge)
    if there is None:
        return (Value(wording.YES(), (True,)),)
    return (Value(wording.COUNT(count=there) if there else wording.NO(), (there,)),)


def stock_texts(order: OrderLine, currency: str) -> Iterator[str]:
    """Where the ordered valve is stored."""
    if order.stock is None:
        return
    if not order.stock:
        yield wording.NOT_ON_THE_SHELF()
        return
    yield wording.ON_THE_SHELF(items="; ".join(item_text(item, currency) for item in order.stock))


def item_text(item: StockItem, currency: str) -> str:
    """One row of the stock sheet in words."""
    counted = "quantity" if item.quantity is not None else "uncounted"
    texts = {
        "part_number": item.valve.number,
        counted: "" if item.quantity is None else str(item.quantity),
        "location": item.location,
        "price": "" if item.price is None else price_text(item, currency),
    }
    clauses = [
        wording.ITEM[key](**({"text": text} if key != "uncounted" else {}))
        for key, text in texts.items()
        if text or key == "uncounted"
    ]
    return ", ".join((*clauses, *(f"{title} {text}" for title, text in item.further)))


def price_text(item: StockItem, currency: str) -> str:
    """A price with its currency, to the hundredth at least."""
    price = item.price
    assert price is not None
    figure = f"{price:,f}" if -int(price.as_tuple().exponent) >= 2 else f"{price:,.2f}"
    # A sign stands in front, a code behind.
    return f"{figure} {currency}".strip() if currency.isalnum() or not currency else f"{currency}{figure}"


def stock_data(order: OrderLine) -> dict[str, Datum]:
    """The same as data; nothing without a stock sheet."""
    if order.stock is None:
        return {}
    counts = [item.quantity for item in order.stock]
    return {
        "in_stock": bool(order.stock),
        "stock_quantity": None if None in counts else sum(count for count in counts if count is not None),
        "stock_locations": tuple(item.location for item in order.stock if item.location),
        "stock_prices": tuple(str(item.price) for item in order.stock if item.price is not None),
    }
