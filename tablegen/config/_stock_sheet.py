"""A stock sheet: what a wholesaler has of which valve, where and at what price."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import PurePath

from tablegen.config._valve_rows import MAX_LENGTH, ValveRow, columns_in
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.list_columns import STOCK_COLUMNS, words_of
from tablegen.config.sheet import cell_number, cell_text, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.part_numbers import PartNumber
from tablegen.model.stock import Stock, StockItem
from tablegen.wording import stock as wording

MAX_BYTES = 5_000_000
_MAX_ROWS, _MAX_QUANTITY, _MAX_PRICE = 20_000, 1_000_000, 10_000_000
# The name of each column that is read, by the words of every heading that means it.
_NAMES = {words_of(name): column.key for column in STOCK_COLUMNS for name in (column.key, *column.headings)}
# So many columns that are read make a row the headings.
_SURE = 2
_SIGN = r"[$\u20ac\u00a3]"
_CODES = "USD|CAD|MXN|EUR|GBP|CHF|AUD|NZD|SEK|NOK|DKK|JPY|CNY|INR|BRL"
# 'price [USD]', 'Unit Price (USD)', 'Price USD'.
_PRICED = re.compile(rf"(.*?)(\s*[\[(]\s*([^\[\]()]+)[\])]|[\s,_]+({_CODES}|{_SIGN}))")
_PRICE = re.compile(rf"([A-Z]{{3}}|{_SIGN})?\s*([\d.,]+)\s*([A-Z]{{3}}|{_SIGN})?")
# A sign says no more than that it is one of these.
_SIGNS_OF: Mapping[str, tuple[str, ...]] = {
    "$": ("USD", "CAD", "MXN", "AUD", "NZD"),
    "\u20ac": ("EUR",),
    "\u00a3": ("GBP",),
}


def read_stock(
    data: bytes, shown: str, families: Mapping[str, FamilyModel], part_numbers: Sequence[PartNumber]
) -> Stock:
    """The stock in a CSV file (comma, semicolon or tab) or on the first sheet of a workbook called `shown`.

    The columns are `part_number`, or `family` and `size`; any others of a list of part numbers, and `quantity`, `price`
    (with its currency: `price [USD]`) and `location`, each with the headings of `STOCK_COLUMNS`. All further columns are
    kept. Titles may stand above the headings. A row with a number of `part_numbers` need not say what valve it is.

    Raises ConfigError with every problem, by line.
    """
    sheet = sheet_of(data, shown, _MAX_ROWS, wording.STOCK_SHEETS_ARE_SMALL(), _is_header)
    (line, header), *rows = table_in(sheet, _is_header) or [(1, [])]
    titles = [cell_text(cell) for cell in header]
    has_numbers = part_numbers and any(_NAMES.get(words_of(title)) == "part_number" for title in titles)
    needed = ["part_number"] if has_numbers else ["family", "size"]
    columns = columns_in(shown, line, [_without_currency(title) for title in titles], _NAMES, needed)
    price = _currency_in(titles[columns["price"][0]]) if "price" in columns else None
    taken = {index for index, _ in columns.values()}
    reader = _StockRows(
        shown=shown,
        columns={name: index for name, (index, _) in columns.items()},
        headings={name: titles[index][:MAX_LENGTH] for name, (index, _) in columns.items()},
        own={index: title for index, title in enumerate(titles) if title and index not in taken},
        families=families,
        by_number={own.number: own for own in reversed(part_numbers)},
        has_decimal_comma=sheet.has_decimal_comma,
        currency=price[0] if price else "",
        problems=[],
    )
    items = tuple(reader.item(line, row) for line, row in rows)
    if not items:
        reader.problems.append(FileProblem(shown, 0, "", wording.NOTHING_LISTED()))
    reader.problems += _two_valves(shown, items, reader.headings.get("part_number", ""))
    if reader.problems:
        raise ConfigError(reader.problems)
    return Stock(
        file=PurePath(shown).name,
        items=items,
        currency=reader.currency,
        is_counted="quantity" in columns,
        own_columns=tuple(reader.own.values()),
    )


def _is_header(row: Sequence[Cell]) -> bool:
    """Whether a row names a valve's columns, or a part number and what is there."""
    plain = [_without_currency(cell_text(cell)) for cell in row]
    return len({_NAMES[words] for title in plain if (words := words_of(title)) in _NAMES}) >= _SURE


def _without_currency(title: str) -> str:
    """A heading without the currency of its prices."""
    mark = _currency_in(title)
    return title.removesuffix(mark[1]) if mark else title


def _currency_in(title: str) -> tuple[str, str] | None:
    """The currency of a heading of prices, and how it is written there; None for a heading without one."""
    match = _PRICED.fullmatch(title)
    if match is None or _NAMES.get(words_of(match[1])) != "price":
        return None
    currency = (match[3] or match[4]).strip()
    return currency, match[2]


def _two_valves(shown: str, items: Sequence[StockItem], heading: str) -> Iterator[FileProblem]:
    """Rows whose part number is that of another valve in a row above."""
    first: dict[str, StockItem] = {}
    for item in items:
        other = first.setdefault(item.valve.number, item)
        if item.valve.number and any(getattr(item.valve, key) != getattr(other.valve, key) for key in _WHICH):
            rule = wording.NUMBER_TAKEN(line=other.line, number=repr(item.valve.number))
            yield FileProblem(shown, item.line, heading, rule)


@dataclass(slots=True, kw_only=True)
class _StockRows:
    """What every row is read with; what is wrong goes to `problems`, the currency of the first price to `currency`."""

    shown: str
    columns: Mapping[str, int]
    headings: Mapping[str, str]
    own: Mapping[int, str]
    families: Mapping[str, FamilyModel]
    by_number: Mapping[str, PartNumber]
    has_decimal_comma: bool
    currency: str
    problems: list[FileProblem]

    def item(self, line: int, row: Sequence[Cell]) -> StockItem:
        """One row; what is wrong in it is noted."""
        texts = [cell_text(cell) for cell in row]
        cells = {name: texts[index] for name, index in self.columns.items() if index < len(texts)}
        read = ValveRow(
            shown=self.shown,
            line=line,
            cells=cells,
            families=self.families,
            problems=self.problems,
            headings=self.headings,
        )
        own = {title: texts[index] for index, title in self.own.items() if index < len(texts) and texts[index]}
        return StockItem(
            valve=self._valve(read),
            quantity=self._quantity(read),
            price=self._price(read),
            location=self._text(read, "location", cells.get("location", "")),
            further=tuple((title, self._text(read, title, text)) for title, text in own.items()),
            line=line,
        )

    def _valve(self, read: ValveRow) -> PartNumber:
        """The valve of a row, as its part number says where the row does not."""
        before = len(self.problems)
        own = read.valve()
        listed = self.by_number.get(own.number)
        if listed is not None and len(self.problems) == before:
            stated = {name: value for name in _STATED if (value := getattr(own, name)) not in ("", None)}
            for name, value in stated.items():
                known = getattr(listed, name)
                if known not in ("", None, value):
                    read.wrong(name, wording.OTHER_VALVE(number=own.number, stated=repr(value), listed=repr(known)))
            own = replace(listed, **stated)
        if len(self.problems) > before:
            return own
        if not own.family or not own.size:
            missing = "size" if own.family else "family"
            is_unknown = own.number and listed is None and self.by_number
            rule = wording.NOT_A_PART_NUMBER(number=repr(own.number)) if is_unknown else wording.WHICH_VALVE()
            read.wrong(missing, rule)
            return own
        family = self.families[own.family]
        charges = [c.charge for c in family.charges] if isinstance(family, ThermostaticModel) else []
        if own.size not in family.size_names:
            read.wrong("size", wording.SIZE_OF_ANOTHER(size=repr(own.size), family=family.name))
        elif not own.charge and len(charges) > 1:
            read.wrong("charge", wording.WHICH_CHARGE(family=family.name, charges=", ".join(charges)))
        return own

    def _quantity(self, read: ValveRow) -> int | None:
        text = read.cells.get("quantity", "")
        if not text:
            return None
        try:
            found = cell_number(text, self.has_decimal_comma)
            if not found.is_integer() or not 0 <= found <= _MAX_QUANTITY:
                raise BadValue(repr(text[:MAX_LENGTH]), wording.QUANTITY_RULE(maximum=f"{_MAX_QUANTITY:,}"))
        except BadValue as error:
            read.wrong("quantity", str(error))
            return None
        return int(found)

    def _price(self, read: ValveRow) -> Decimal | None:
        text = read.cells.get("price", "")
        if not text:
            return None
        try:
            figure, currency = _money(text, self.has_decimal_comma)
            alike = ("", currency, *_SIGNS_OF.get(currency, ()))
            if currency and self.currency not in alike and currency not in _SIGNS_OF.get(self.currency, ()):
                raise BadValue(repr(text[:MAX_LENGTH]), wording.OTHER_CURRENCY(currency=self.currency))
            if not 0 <= figure <= _MAX_PRICE:
                raise BadValue(repr(text[:MAX_LENGTH]), wording.PRICE_RULE(maximum=f"{_MAX_PRICE:,}"))
        except BadValue as error:
            read.wrong("price", str(error))
            return None
        self.currency = self.currency or currency
        return figure

    def _text(self, read: ValveRow, column: str, text: str) -> str:
        if not text.isprintable() or len(text) > MAX_LENGTH:
            read.wrong(column[:MAX_LENGTH], str(BadValue(repr(text[:MAX_LENGTH]), wording.TEXT_RULE(most=MAX_LENGTH))))
        return text


def _money(text: str, has_decimal_comma: bool) -> tuple[Decimal, str]:
    """A price and its currency, if it is written there: `$46.00`, `1,038.50`, `USD 46`.

    Raises BadValue if it is none.
    """
    match = _PRICE.fullmatch(text)
    currency = (match[1] or match[3] or "").strip() if match else ""
    figure = match[2] if match else text
    thousands, decimal = (".", ",") if has_decimal_comma else (",", ".")
    if re.fullmatch(rf"[1-9]\d{{0,2}}(\{thousands}\d{{3}})+(\{decimal}\d*)?", figure, re.ASCII) and (
        decimal in figure or not has_decimal_comma
    ):
        figure = figure.replace(thousands, "")
    try:
        cell_number(figure, has_decimal_comma)
    except BadValue as error:
        raise BadValue(repr(text[:MAX_LENGTH]), error.rule) from None
    return Decimal(figure.replace(",", ".").replace("\N{MINUS SIGN}", "-")), currency


# What a row may state of its valve beside its number.
_STATED = ("family", "size", "charge", "equalizer", "connections", "capillary_m")
# What two rows with one number must agree in.
_WHICH = ("family", "size", "charge")
