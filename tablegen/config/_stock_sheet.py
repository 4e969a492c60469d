"""A stock sheet: what a wholesaler has of which valve, where and at what price."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import PurePath

from tablegen.config._skipped_rows import SkippedRows, some_rows
from tablegen.config._valve_rows import MAX_LENGTH, ValveRow, columns_in, two_valves
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.list_columns import PART_NUMBER_ALONE, STOCK_COLUMNS, words_of
from tablegen.config.sheet import beyond_headings, cell_number, cell_text, sheet_of, table_in
from tablegen.config.workbook_rows import Cell
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.part_numbers import PartNumber
from tablegen.model.stock import Stock, StockItem
from tablegen.wording import input_errors
from tablegen.wording import stock as wording
from tablegen.wording.message import OR, listed

MAX_BYTES = 5_000_000
_MAX_ROWS, _MAX_QUANTITY, _MAX_PRICE = 20_000, 1_000_000, 10_000_000
# The name of each column that is read, by the words of every heading that means it.
_NAMES = {words_of(name): column.key for column in STOCK_COLUMNS for name in (column.key, *column.headings)}
_ALONE = tuple(map(words_of, PART_NUMBER_ALONE))
# So many columns that are read make a row the headings.
_SURE = 2
_SIGN = r"[$\u20ac\u00a3]"
_CODES = (
    "USD|CAD|MXN|EUR|GBP|CHF|AUD|NZD|SEK|NOK|DKK|JPY|CNY|INR|BRL|PLN|CZK|HUF|RON|TRY|ISK|ZAR|KRW|TWD|HKD|SGD|THB|MYR|IDR|PHP|VND"
    "|AED|SAR|ILS|EGP|ARS|CLP|COP|PEN|UYU|CRC|GTQ|DOP|PAB|BOB|PYG|UAH|RSD|BGN|KZT|MAD|KES|NGN"
)
# 'price [USD]', 'Unit Price (USD)', 'Price USD'.
_PRICED = re.compile(rf"(.*?)(\s*[\[(]\s*({_CODES}|{_SIGN})\s*[\])]|[\s,_]+({_CODES}|{_SIGN}))")
_PRICE = re.compile(rf"([A-Z]{{3}}|{_SIGN})?\s*([\d.,]+)\s*([A-Z]{{3}}|{_SIGN})?")
# What a valve cost, or what follows from it, in the languages of print.
_COSTS = re.compile(
    r"\b(cost|costs|costo|costos|coste|costes|cout|couts|kosten)\b|\bmar(gin|kup|gen|ge)\b|\bmark.up\b"
    r"|\b(profit|gp|buy|buying|bought|purchase|purchases|compra|achat|ek)\b|einkauf|einstand"
)
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
    kept but those of what a valve cost. Titles may be above the headings. A row with a number of `part_numbers` need not say what valve it is; one that has
    none of them and names no family is of something else, and a note says so. What is wrong in any other row is in `wrong`
    of the result, by line.

    Raises ConfigError with every problem if no row can be used.
    """
    sheet = sheet_of(data, shown, _MAX_ROWS, wording.STOCK_SHEETS_ARE_SMALL(), _is_header, may_be_windows=True)
    (line, header), *rows = table_in(sheet, _is_header) or [(1, [])]
    titles = [cell_text(cell) for cell in header]
    columns = _columns(shown, line, titles, bool(part_numbers))
    price = _currency_in(titles[columns["price"][0]]) if "price" in columns else None
    taken = {index for index, _ in columns.values()}
    further = {index: title for index, title in enumerate(titles) if title and index not in taken}
    reader = _StockRows(
        shown=shown,
        columns={name: index for name, (index, _) in columns.items()},
        headings={name: titles[index][:MAX_LENGTH] for name, (index, _) in columns.items()},
        own={index: title for index, title in further.items() if not _is_of_costs(title)},
        width=len(titles),
        families=families,
        by_number={own.number: own for own in reversed(part_numbers)},
        has_decimal_comma=sheet.has_decimal_comma,
        currency=price[0] if price else "",
        problems=[],
    )
    skipped = SkippedRows(reader.by_number, families)
    found = [reader.item(line, row) for line, row in rows if not skipped.takes(line, reader.cells(row))]
    reader.problems += two_valves(
        shown, ((item.line, item.valve) for item in found), reader.headings.get("part_number", "")
    )
    wrong = {problem.line for problem in reader.problems}
    items = tuple(item for item in found if item.line not in wrong)
    if not rows:
        reader.problems.append(FileProblem(shown, 0, "", wording.NOTHING_LISTED()))
    elif not found:
        reader.problems.append(FileProblem(shown, 0, "", wording.NO_VALVES(rows=skipped.first)))
    if not items:
        raise ConfigError(reader.problems)
    file = PurePath(shown).name
    return Stock(
        file=file,
        items=items,
        currency=reader.currency,
        is_counted="quantity" in columns,
        own_columns=tuple(reader.own.values()),
        unread_columns=tuple(title for title in further.values() if _is_of_costs(title)),
        notes=(
            *([input_errors.WINDOWS_TEXT(file=file)] if sheet.is_windows else []),
            *skipped.notes(file),
            *reader.notes(file),
        ),
        wrong=tuple(sorted(reader.problems)),
    )


def _columns(shown: str, line: int, titles: Sequence[str], has_numbers: bool) -> dict[str, tuple[int, str]]:
    """Where each column is, and its heading.

    Raises ConfigError if none says which valve a row is, or as `columns_in`.
    """
    plain = [_without_currency(title) for title in titles]
    names = _NAMES
    if "part_number" not in {names.get(words_of(title)) for title in plain}:
        # What else is called so beside a number is a description.
        names = {**_NAMES, **dict.fromkeys(_ALONE, "part_number")}
    columns = columns_in(shown, line, plain, names, ())
    if {"family", "size"} <= columns.keys() or ("part_number" in columns and has_numbers):
        return columns
    if "part_number" in columns:
        text = wording.LIST_NEEDED(heading=repr(columns["part_number"][1][:MAX_LENGTH]))
    else:
        listed_of = {own.key: listed([name.replace("_", " ") for name in own.names], OR) for own in STOCK_COLUMNS}
        text = wording.WHICH_COLUMNS(
            numbers=listed_of["part_number"], families=listed_of["family"], sizes=listed_of["size"]
        )
    raise ConfigError([FileProblem(shown, line, "", text)])


def _is_header(row: Sequence[Cell]) -> bool:
    """Whether a row names a valve's columns, or a part number and what is there."""
    words = [words_of(_without_currency(cell_text(cell))) for cell in row]
    found = {_NAMES[own] for own in words if own in _NAMES}
    return len(found | ({"part_number"} if set(_ALONE) & set(words) else set())) >= _SURE


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


@dataclass(slots=True, kw_only=True)
class _StockRows:
    """What every row is read with; what is wrong goes to `problems`, the currency of the first price to `currency`."""

    shown: str
    columns: Mapping[str, int]
    headings: Mapping[str, str]
    own: Mapping[int, str]
    width: int
    families: Mapping[str, FamilyModel]
    by_number: Mapping[str, PartNumber]
    has_decimal_comma: bool
    currency: str
    problems: list[FileProblem]
    negative: list[int] = field(default_factory=list)
    long: list[int] = field(default_factory=list)

    def cells(self, row: Sequence[Cell]) -> dict[str, str]:
        """The texts of a row in the columns that are read."""
        return {name: cell_text(row[index]) for name, index in self.columns.items() if index < len(row)}

    def notes(self, file: str) -> Iterator[str]:
        """What was read otherwise than it is written."""
        if self.negative:
            rows = some_rows([wording.ROW(line=line) for line in self.negative])
            yield wording.NEGATIVE(len(self.negative), file=file, rows=rows)
        if self.long:
            rows = some_rows([wording.ROW(line=line) for line in self.long])
            yield wording.LONG_TEXT(len(self.long), file=file, most=MAX_LENGTH, rows=rows)
        if "price" in self.columns and not self.currency:
            yield wording.NO_CURRENCY(file=file, heading=repr(f"{self.headings['price']} [USD]"))

    def item(self, line: int, row: Sequence[Cell]) -> StockItem:
        """One row; what is wrong in it is noted."""
        cells, texts = self.cells(row), [cell_text(cell) for cell in row]
        own = {title: texts[index] for index, title in self.own.items() if index < len(texts) and texts[index]}
        read = ValveRow(
            shown=self.shown,
            line=line,
            cells=cells,
            families=self.families,
            problems=self.problems,
            headings=self.headings,
        )
        if more := beyond_headings(self.shown, row, self.width):
            read.wrong("", str(BadValue(repr(more[0][:MAX_LENGTH]), wording.MORE_CELLS(count=self.width))))
        return StockItem(
            valve=self._valve(read),
            quantity=self._quantity(read),
            price=self._price(read),
            location=self._text(read, "location", read.cells.get("location", "")),
            further=tuple((title, self._text(read, title, text)) for title, text in own.items()),
            line=line,
        )

    def _valve(self, read: ValveRow) -> PartNumber:
        """The valve of a row, as its part number says where the row does not."""
        before = len(self.problems)
        own = read.valve()
        in_list = self.by_number.get(own.number)
        if in_list is not None and len(self.problems) == before:
            stated = {name: value for name in _STATED if (value := getattr(own, name)) not in ("", None)}
            for name, value in stated.items():
                known = getattr(in_list, name)
                if known not in ("", None, value):
                    read.wrong(name, wording.OTHER_VALVE(number=own.number, stated=repr(value), listed=repr(known)))
            own = replace(in_list, **stated)
        if len(self.problems) > before:
            return own
        if not own.family or not own.size:
            missing = "size" if own.family else "family"
            is_unknown = own.number and in_list is None and self.by_number
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
            found = cell_number(_without_thousands(text, self.has_decimal_comma), self.has_decimal_comma)
            if not found.is_integer() or abs(found) > _MAX_QUANTITY:
                raise BadValue(repr(text[:MAX_LENGTH]), wording.QUANTITY_RULE(maximum=f"{_MAX_QUANTITY:,}"))
        except BadValue as error:
            read.wrong("quantity", str(error))
            return None
        if found < 0:
            # More was sold than had been counted.
            self.negative.append(read.line)
        return max(int(found), 0)

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
        # A code says which of the currencies of a sign it is.
        if not self.currency or currency in _SIGNS_OF.get(self.currency, ()):
            self.currency = currency
        return figure

    def _text(self, read: ValveRow, column: str, text: str) -> str:
        """A text that is only shown; a long one is shortened, with a note."""
        if not text.isprintable():
            read.wrong(column[:MAX_LENGTH], str(BadValue(repr(text[:MAX_LENGTH]), wording.TEXT_RULE())))
        if len(text) <= MAX_LENGTH:
            return text
        self.long.append(read.line)
        return f"{text[: MAX_LENGTH - 1].rstrip()}\N{HORIZONTAL ELLIPSIS}"


def _is_of_costs(title: str) -> bool:
    """Whether a heading is of what a valve cost, which no customer may read."""
    words = re.sub(r"[\W_]+|(?<=[a-z])(?=[A-Z])", " ", title)
    letters = unicodedata.normalize("NFKD", words.casefold())
    return _COSTS.search("".join(c for c in letters if not unicodedata.combining(c))) is not None


def _money(text: str, has_decimal_comma: bool) -> tuple[Decimal, str]:
    """A price and its currency, if it is written there: `$46.00`, `1,038.50`, `USD 46`.

    Raises BadValue if it is none.
    """
    match = _PRICE.fullmatch(text)
    currency = (match[1] or match[3] or "").strip() if match else ""
    try:
        figure = _without_thousands(match[2] if match else text, has_decimal_comma)
        cell_number(figure, has_decimal_comma)
    except BadValue as error:
        raise BadValue(repr(text[:MAX_LENGTH]), error.rule) from None
    return Decimal(figure.replace(",", ".").replace("\N{MINUS SIGN}", "-")), currency


def _without_thousands(figure: str, has_decimal_comma: bool) -> str:
    """A figure without the sign between its thousands.

    Raises BadValue where that sign may as well be a decimal sign.
    """
    thousands, decimal = (".", ",") if has_decimal_comma else (",", ".")
    is_grouped = re.fullmatch(rf"-?[1-9]\d{{0,2}}(\{thousands}\d{{3}})+(\{decimal}\d*)?", figure, re.ASCII)
    if is_grouped and has_decimal_comma and figure.count(".") == 1 and decimal not in figure:
        raise BadValue(
            repr(figure), wording.POINT_OF_WHAT(thousand=figure.replace(".", ""), decimal=figure.replace(".", ","))
        )
    return figure.replace(thousands, "") if is_grouped else figure


# What a row may state of its valve beside its number.
_STATED = ("family", "size", "charge", "equalizer", "connections", "capillary_m")
