"""A stock sheet: what a wholesaler has of which valve, where and at what price."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import PurePath

from tablegen.config._valve_rows import MAX_LENGTH, VALVE_COLUMNS, ValveRow, check_header
from tablegen.config.family_model import FamilyModel, ThermostaticModel
from tablegen.config.sheet import Cell, cell_number, cell_text, folded, headings, sheet_of
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.part_numbers import PartNumber
from tablegen.model.stock import Stock, StockItem
from tablegen.wording import stock as wording

MAX_BYTES = 5_000_000
_MAX_ROWS, _MAX_QUANTITY, _MAX_PRICE = 20_000, 1_000_000, 10_000_000
_OWN = ("quantity", "price", "location")
_COLUMNS = (*VALVE_COLUMNS, *_OWN)


def read_stock(
    data: bytes, shown: str, families: Mapping[str, FamilyModel], part_numbers: Sequence[PartNumber]
) -> Stock:
    """The stock in a CSV file (comma or semicolon) or on the first sheet of a workbook called `shown`.

    The first row names the columns: `part_number`, or `family` and `size`; any others of a list of part numbers, and
    `quantity`, `price` (with its currency: `price [USD]`) and `location`. All further columns are kept. A row with a
    number of `part_numbers` need not say what valve it is.

    Raises ConfigError with every problem, by line.
    """
    sheet = sheet_of(data, shown, _MAX_ROWS, wording.STOCK_SHEETS_ARE_SMALL())
    titles = [cell_text(cell) for cell in sheet.rows[0]] if sheet.rows else []
    prices = [unit for title in titles for name, unit in headings(title) if name == "price"]
    names = ["price" if any(name == "price" for name, _ in headings(title)) else folded(title) for title in titles]
    needed = ["part_number"] if part_numbers and "part_number" in names else ["family", "size"]
    check_header(shown, names, _COLUMNS, needed)
    reader = _StockRows(
        shown=shown,
        titles=titles,
        names=names,
        families=families,
        by_number={own.number: own for own in reversed(part_numbers)},
        has_decimal_comma=sheet.has_decimal_comma,
        problems=[],
    )
    rows = [(line, row) for line, row in enumerate(sheet.rows[1:], start=2) if any(cell_text(cell) for cell in row)]
    items = tuple(reader.item(line, row) for line, row in rows)
    if not items:
        reader.problems.append(FileProblem(shown, 0, "", wording.NOTHING_LISTED()))
    if reader.problems:
        raise ConfigError(reader.problems)
    return Stock(file=PurePath(shown).name, items=items, currency=next((unit for unit in prices if unit), ""))


@dataclass(frozen=True, slots=True, kw_only=True)
class _StockRows:
    """What every row is read with; what is wrong goes to `problems`."""

    shown: str
    titles: Sequence[str]
    names: Sequence[str]
    families: Mapping[str, FamilyModel]
    by_number: Mapping[str, PartNumber]
    has_decimal_comma: bool
    problems: list[FileProblem]

    def item(self, line: int, row: Sequence[Cell]) -> StockItem:
        """One row; what is wrong in it is noted."""
        cells = dict(zip(self.names, (cell_text(cell) for cell in row), strict=False))
        read = ValveRow(shown=self.shown, line=line, cells=cells, families=self.families, problems=self.problems)
        return StockItem(
            valve=self._valve(read),
            quantity=self._quantity(read),
            price=self._price(read),
            location=self._text(read, "location", cells.get("location", "")),
            further=tuple(
                (title, self._text(read, title, cell_text(cell)))
                for title, name, cell in zip(self.titles, self.names, row, strict=False)
                if title and name not in _COLUMNS and cell_text(cell)
            ),
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
            if not 0 <= cell_number(text, self.has_decimal_comma) <= _MAX_PRICE:
                raise BadValue(repr(text[:MAX_LENGTH]), wording.PRICE_RULE(maximum=f"{_MAX_PRICE:,}"))
        except BadValue as error:
            read.wrong("price", str(error))
            return None
        return Decimal(text.replace(",", ".") if self.has_decimal_comma else text)

    def _text(self, read: ValveRow, column: str, text: str) -> str:
        if not text.isprintable() or len(text) > MAX_LENGTH:
            read.wrong(column[:MAX_LENGTH], str(BadValue(repr(text[:MAX_LENGTH]), wording.TEXT_RULE(most=MAX_LENGTH))))
        return text


# What a row may state of its valve beside its number.
_STATED = ("family", "size", "charge", "equalizer", "connections", "capillary_m")
