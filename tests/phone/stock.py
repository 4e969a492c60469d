"""A stock sheet of the demo's valves: some counted, one not, one of which none is left."""

from __future__ import annotations

from tablegen.model.part_numbers import PartNumber
from tablegen.model.stock import Stock, StockItem

# Family, size, charge, how many, where, part number.
SHEET = (
    ("alder", "16", "cross-404-medium", 4, "A-1", ""),
    ("alder", "22", "cross-404-medium", 0, "A-2", "T-22"),
    ("alder", "32", "cross-404-medium", 12, "A-3", "T-32"),
    ("alder", "45", "cross-404-medium", 3, "A-4", ""),
    ("alder", "45", "cross-448-medium", 9, "A-5", ""),
    ("alder", "45", "cross-404-medium", 2, "C-1", ""),
    ("alder", "90", "cross-404-medium", None, "B-1", ""),
)
ON_THE_SHELF = Stock(
    file="stock.csv",
    items=tuple(
        StockItem(
            valve=PartNumber(number=number, family=family, size=size, charge=charge),
            quantity=quantity,
            location=location,
        )
        for family, size, charge, quantity, location, number in SHEET
    ),
)
CSV = "family,size,charge,quantity,location,part_number\n" + "".join(
    f"{family},{size},{charge},{'' if quantity is None else quantity},{location},{number}\n"
    for family, size, charge, quantity, location, number in SHEET
)


def without_space(text: str) -> str:
    return " ".join(text.split())
