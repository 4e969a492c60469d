"""What is to be ordered for a list of jobs: the quantities of equal valves added up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from tablegen.answers.order import OrderLine
from tablegen.model.inputs import Catalogue
from tablegen.model.stock import StockItem, count_of


@dataclass(frozen=True, slots=True)
class OrderedFor:
    """A valve of one job: its keys, what is written on its order, and what the job is called."""

    family: str
    size: str
    order: OrderLine
    job: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderedValve:
    """One valve of an order list.

    Attributes
    ----------
    order : OrderLine
        What is the same for all its jobs.
    quantity : int
        Of all jobs; a job that states none counts as one valve.
    jobs : tuple of str
        What the jobs are called, each once, in the order of the list.
    in_stock : int or None
        How many are in stock, whatever else takes them; None where nobody counted, or without a stock sheet.
    to_order : int
        How many are wanted and not in stock, where all valves of the list share what is there.
    """

    order: OrderLine
    quantity: int
    jobs: tuple[str, ...]
    in_stock: int | None
    to_order: int


def order_list(catalogue: Catalogue, ordered: Iterable[OrderedFor]) -> tuple[OrderedValve, ...]:
    """The valves of some jobs, each once, as the catalogue names families and sizes.

    Two are one if family, size, charge, connections, length of the capillary and part number are the same.
    """
    sizes = {
        (family.name, size.name): (i, k)
        for i, family in enumerate(catalogue.families.values())
        for k, size in enumerate(family.sizes)
    }
    places: dict[OrderLine, tuple[int, int]] = {}
    quantities: dict[OrderLine, int] = {}
    jobs: dict[OrderLine, dict[str, None]] = {}
    for own in ordered:
        valve = replace(own.order, quantity=None, job="")
        places[valve] = sizes[own.family, own.size]
        quantities[valve] = quantities.get(valve, 0) + (own.order.quantity or 1)
        jobs.setdefault(valve, {})[own.job] = None
    # Stable, so that of one size what the list names first comes first.
    ascending = sorted(places, key=lambda valve: places[valve])
    missing = _missing(quantities)
    return tuple(
        OrderedValve(
            order=own,
            quantity=quantities[own],
            jobs=tuple(jobs[own]),
            in_stock=count_of(own.stock),
            to_order=missing.get(own, 0),
        )
        for own in ascending
    )


def _missing(quantities: Mapping[OrderLine, int]) -> dict[OrderLine, int]:
    """How many of each valve are missing once the others have taken theirs.

    Two may lie in one place, such as a valve with a capillary of any length and one of 10 ft: first takes what has the
    fewest places.
    """
    left: dict[StockItem, int] = {}
    missing: dict[OrderLine, int] = {}
    for valve in sorted(quantities, key=lambda own: len(own.stock or ())):
        if valve.stock is None or count_of(valve.stock) is None:
            continue
        wanted = quantities[valve]
        for item in valve.stock:
            taken = min(wanted, left.setdefault(item, item.quantity or 0))
            left[item] -= taken
            wanted -= taken
        if wanted:
            missing[valve] = wanted
    return missing
