"""What a wholesaler has on the shelf: which valve, how many, where, at what price."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from tablegen.errors import FileProblem
from tablegen.model.part_numbers import PartNumber


@dataclass(frozen=True, slots=True, kw_only=True)
class StockItem:
    """A row of a stock sheet.

    `valve` names family and size by their keys, the charge where its family has several, and the part number, if it is
    known. Without a `quantity` there is some; `further` are the columns that only the wholesaler reads, by heading.
    """

    valve: PartNumber
    quantity: int | None = None
    price: Decimal | None = None
    location: str = ""
    further: tuple[tuple[str, str], ...] = ()
    line: int = 0


def count_of(items: Sequence[StockItem] | None) -> int | None:
    """How many there are in some rows of a stock sheet; None where nobody counted, or without one."""
    counts = [] if items is None else [item.quantity for item in items]
    return None if items is None or None in counts else sum(count for count in counts if count is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A stock sheet, the name of its file, and the currency that its prices are in, empty where it names none.

    `is_counted` is False if it has no column of quantities, `own_columns` are those that only the wholesaler reads, `unread_columns` those of
    costs, which nobody reads. `notes`
    say which rows are of no valve of the catalogue, `wrong` what is wrong in rows that are; neither are among the items.
    `date` is that of its quantities, if the catalogue states it. `key` is its path below the catalogue's folder; empty for one that is named beside the catalogue.
    """

    file: str
    items: tuple[StockItem, ...]
    currency: str = ""
    is_counted: bool = True
    own_columns: tuple[str, ...] = ()
    unread_columns: tuple[str, ...] = ()
    key: str = ""
    notes: tuple[str, ...] = ()
    wrong: tuple[FileProblem, ...] = ()
    date: datetime.date | None = None

    def items_of(self, family: str, size: str, charge: str) -> tuple[StockItem, ...]:
        """The rows of a valve, by the keys of family, size and power element, whether any is there or not."""
        wanted = (family, size, ("", charge))
        return tuple(
            i for i in self.items if (i.valve.family, i.valve.size) == wanted[:2] and i.valve.charge in wanted[2]
        )

    def quantity_of(self, family: str, size: str, charge: str) -> int | None:
        """How many of a valve are in stock in all places; None where there are some and nobody counted them."""
        return count_of(self.items_of(family, size, charge))

    def has(self, family: str, size: str, charge: str) -> bool:
        """Whether any of a valve is in stock."""
        return self.quantity_of(family, size, charge) != 0

    def in_print(self, family: str, valves: Collection[tuple[str, str]], with_locations: bool) -> Stock:
        """What is printed of a family's rows: which of some valves (size and charge, by keys) there are and, on labels, where.

        It changes with nothing else.
        """
        shown = {*valves, *((size, "") for size, _ in valves)}
        there = (item for item in self.items if item.valve.family == family and item.quantity != 0)
        items = (
            StockItem(valve=item.valve, location=item.location if with_locations else "")
            for item in there
            if (item.valve.size, item.valve.charge) in shown
        )
        return Stock(file="", items=tuple(dict.fromkeys(items)))

    def sizes_of(self, family: str, charge: str) -> tuple[str, ...]:
        """The sizes of a family, by key, that are in stock with a charge, in the order of the sheet."""
        found = dict.fromkeys(item.valve.size for item in self.items if item.valve.family == family)
        return tuple(size for size in found if self.has(family, size, charge))
