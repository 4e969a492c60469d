"""What the workbook's first sheet looks up: printed limits of every size by application and refrigerant, in one table.

Rows of one application and refrigerant stand together, so that formulas read a few rows however many there are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.model.coil_difference import DifferenceEffect, coil_difference_of, difference_effect
from tablegen.model.inputs import Application, Family, Size
from tablegen.model.offer import charges_of, offers
from tablegen.model.stock import Stock, StockItem
from tablegen.report.publications.publication import Publication
from tablegen.units import print_unit
from tablegen.wording import workbook as wording
from tablegen.wording.language import number
from tablegen.wording.message import in_clauses

# Decimals of the suction temperatures that rows are found by.
SST_PLACES = 2
_REFUSED = {DifferenceEffect.NOTHING: 0, DifferenceEffect.MAXIMUM: 1, DifferenceEffect.ALL: 2}
Windows = Sequence[tuple[float, float] | None]
"""Minimum and maximum load of a size as printed at each suction temperature; None where it has no window."""
_Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookupRow:
    """A size for an application and a refrigerant or group.

    `family` counts the families from 1. `stock` is what the sheet says of it, `is_in_stock` also where there is no stock
    sheet.
    """

    family: int
    valve: str
    part_numbers: str
    stock: str | int
    location: str
    is_in_stock: bool
    windows: Windows


@dataclass(frozen=True, slots=True)
class LookupBlock:
    """A refrigerant or group in an application, and its sizes: by family in catalogue order, from the smallest up."""

    subject: str
    rows: tuple[LookupRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookupApplication:
    """An application in the units of the workbook: its suction temperatures and its TD, None where it states none.

    `refused_td` is which other TD its limits are not for: 0 none, 1 a smaller one, 2 any.
    """

    title: str
    sst: tuple[float, ...]
    td: float | None
    refused_td: int
    blocks: tuple[LookupBlock, ...]


@dataclass(frozen=True, slots=True)
class Lookup:
    """All of it, and the families by title."""

    applications: tuple[LookupApplication, ...]
    families: tuple[str, ...]
    has_stock: bool

    @classmethod
    def of(cls, publication: Publication) -> Lookup:
        """The printed windows of a data set, in the units of its workbook."""
        catalogue = publication.catalogue
        windows = {**_printed(publication, publication.data.windows, "refrigerant")}
        groups = [name for name in catalogue.groups if name not in catalogue.records]
        windows |= _printed(publication, publication.data.group_windows, "group", groups)
        offered, valves = offers(catalogue), _Valves(publication)
        subjects = dict(zip(*_titled([*catalogue.records, *groups], publication), strict=True))
        titles = _unique([own.title for own in catalogue.applications.values()], list(catalogue.applications))
        found = []
        for title, (name, application) in zip(titles, catalogue.applications.items(), strict=True):
            blocks = []
            for subject, shown in subjects.items():
                offer = offered[name].get(subject)
                rows = [
                    row
                    for family in (offer.families if offer else ())
                    for row in valves.rows(family, subject, name, windows.get((family, name, subject), {}))
                    if len(row.windows) == len(application.sst_k)
                ]
                if rows:
                    blocks.append(LookupBlock(shown, tuple(rows)))
            if blocks:
                found.append(_application(publication, title, application, blocks))
        families = _unique([own.display_name for own in catalogue.families.values()], list(catalogue.families))
        return cls(tuple(found), tuple(families), catalogue.stock is not None)


def sizes_by_kv(family: Family) -> list[Size]:
    """The sizes of a family from the smallest up."""
    return sorted(family.sizes, key=lambda size: size.kv_rated_m3h)


def size_value(size: str) -> str | int | float:
    """A size as a spreadsheet sorts it: a number where it reads as one and nothing of it is lost.

    >>> [size_value(size) for size in ("10", "6.3", "6.30", "1/4", "-2", "1e3", "007")]
    [10, 6.3, '6.30', '1/4', '-2', '1e3', '007']
    """
    if size.isascii() and size.isdecimal() and str(int(size)) == size:
        return int(size)
    whole, point, rest = size.partition(".")
    is_figure = point and whole.isascii() and rest.isascii() and whole.isdecimal() and rest.isdecimal()
    return float(size) if is_figure and repr(float(size)) == size else size


def _application(
    publication: Publication, title: str, application: Application, blocks: Sequence[LookupBlock]
) -> LookupApplication:
    system, td_k = publication.formatter.system, coil_difference_of(application)
    degrees, step = print_unit("temperature", system), print_unit("temperature difference", system)
    return LookupApplication(
        title=title,
        sst=tuple(round(degrees.of(kelvin), SST_PLACES) + 0.0 for kelvin in application.sst_k.tolist()),
        td=None if td_k is None else round(step.of(td_k), SST_PLACES),
        refused_td=_REFUSED[difference_effect(publication.catalogue, application.name)],
        blocks=tuple(blocks),
    )


def _printed(
    publication: Publication, frame: pd.DataFrame, column: str, names: Sequence[str] | None = None
) -> dict[_Key, dict[str, list[tuple[float, float] | None]]]:
    """By family, application and refrigerant or group, and by size: the windows along the suction temperatures."""
    found: dict[_Key, dict[str, list[tuple[float, float] | None]]] = {}
    own = frame if names is None else frame[frame[column].isin(names)]
    rows = own.sort_values("sst_k", kind="stable")
    columns = (rows[name].tolist() for name in ("family", "application", column, "size", "min_load_w", "max_load_w"))
    for family, application, subject, size, min_w, max_w in zip(*columns, strict=True):
        window = publication.formatter.readable_window(min_w, max_w)
        line = found.setdefault((family, application, subject), {}).setdefault(size, [])
        line.append(window and (number(window[0]), number(window[1])))
    return found


class _Valves:
    """The rows of families, with what is known of each valve found once."""

    def __init__(self, publication: Publication) -> None:
        self._publication, self._catalogue = publication, publication.catalogue
        self._places = {name: place for place, name in enumerate(self._catalogue.families, start=1)}
        self._known: dict[_Key, tuple[str, str | int, str, bool]] = {}

    def rows(self, family: str, subject: str, application: str, windows: Mapping[str, Windows]) -> Iterator[LookupRow]:
        """The sizes of a family for a refrigerant or group in an application."""
        own = self._catalogue.families[family]
        charges = set(charges_of(self._catalogue, family, subject, application).values())
        charge = charges.pop() if len(charges) == 1 else ""
        for size in sizes_by_kv(own):
            if size.display_name in windows:
                part_numbers, stock, location, is_in_stock = self._of(family, size.name, charge)
                yield LookupRow(
                    family=self._places[family],
                    valve=f"{own.display_name} {size.display_name}",
                    part_numbers=part_numbers,
                    stock=stock,
                    location=location,
                    is_in_stock=is_in_stock,
                    windows=windows[size.display_name],
                )

    def _of(self, *valve: str) -> tuple[str, str | int, str, bool]:
        """Part numbers, what is in stock and where, and whether there is any."""
        if valve not in self._known:
            family, size, charge = valve
            stock = self._catalogue.stock
            # As on an order line: the shelf's own come before the list.
            on_shelf = [own.valve for own in _there(stock, *valve) if own.valve.number] if stock else []
            numbers = dict.fromkeys(
                own.number
                for own in on_shelf or self._publication.part_numbers_of(family)
                if own.size in ("", size) and own.charge in ("", charge)
            )
            self._known[family, size, charge] = in_clauses(numbers), *_in_stock(stock, *valve)
        return self._known[valve]  # type: ignore[index]


def _in_stock(stock: Stock | None, family: str, size: str, charge: str) -> tuple[str | int, str, bool]:
    """How many of a valve there are, where, and whether there is any."""
    if stock is None:
        return "", "", True
    items = _there(stock, family, size, charge)
    quantity = stock.quantity_of(family, size, charge)
    places = in_clauses(dict.fromkeys(item.location for item in items if item.location))
    return wording.UNCOUNTED() if quantity is None else quantity, places, bool(items)


def _there(stock: Stock, *valve: str) -> list[StockItem]:
    """The rows of the stock sheet with a valve of which there is any."""
    return [item for item in stock.items_of(*valve) if item.quantity != 0]


def _titled(names: Sequence[str], publication: Publication) -> tuple[Sequence[str], list[str]]:
    """Refrigerants and groups as they are listed: refrigerants by name, groups by title."""
    groups = publication.catalogue.groups
    records = publication.catalogue.records
    return names, _unique([name if name in records else groups[name].title for name in names], names)


def _unique(titles: Sequence[str], names: Sequence[str]) -> list[str]:
    """Titles of which no two read the same to a spreadsheet, which minds no capitals."""
    found: dict[str, str] = {}
    for title, name in zip(titles, names, strict=True):
        own, again = title, 1
        while own.casefold() in found:
            again += 1
            own = f"{title} ({name})" if again == 2 else f"{title} ({name} {again})"
        found[own.casefold()] = own
    return list(found.values())
