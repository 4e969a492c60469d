"""What charts and labels print of a stocked valve: the numbers that it is ordered by, and where it is stored."""

from __future__ import annotations

from tablegen.model.publications import Combination
from tablegen.model.stock import StockItem
from tablegen.report.pages.back import number_text, numbers_with_charge
from tablegen.report.publications.publication import Publication


def order_numbers(publication: Publication, part: Combination, size: str) -> list[str]:
    """The part numbers of a size (key) with the charge of a table: those of its rows in the stock sheet, else of the list."""
    stocked = [item.valve for item in _rows(publication, part, size) if item.valve.number]
    if stocked:
        return list(dict.fromkeys(number_text(publication, own) for own in stocked))
    charges = dict.fromkeys((_charge(publication, part), ""))
    return [own for charge in charges for own in numbers_with_charge(publication, part.family, size, charge)]


def locations(publication: Publication, part: Combination, size: str) -> list[str]:
    """Where the stock sheet says that a size (key) is stored, with the charge of a table."""
    return list(dict.fromkeys(item.location for item in _rows(publication, part, size) if item.location))


def _rows(publication: Publication, part: Combination, size: str) -> list[StockItem]:
    """The rows of the stock sheet with a valve of which there is any."""
    stock = publication.catalogue.stock
    if stock is None:
        return []
    return [item for item in stock.items_of(part.family, size, _charge(publication, part)) if item.quantity != 0]


def _charge(publication: Publication, part: Combination) -> str:
    element = publication.power_element(part)
    return element.name if element else ""
