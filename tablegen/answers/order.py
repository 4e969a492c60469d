"""What must be written on an order for a picked valve: what its family offers, and what is left to choose."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue, Family
from tablegen.model.part_numbers import NEAR_M, PartNumber, part_number_of
from tablegen.model.stock import StockItem
from tablegen.sweep.identity import fingerprint
from tablegen.wording import offers as problems


class ChosenValve(Protocol):
    """A valve that is ordered: a size of a family, with the bulb charge that it is offered with."""

    @property
    def family(self) -> str:
        """The family's key."""

    @property
    def size(self) -> str:
        """The size's key."""

    @property
    def charge(self) -> str:
        """The bulb charge's key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRequest:
    """What a buyer states beside the case: texts are empty, figures None, where nothing is stated; capillary in m.

    `capillary_text` is the length as it was written, for messages.
    """

    connections: str = ""
    capillary_m: float | None = None
    quantity: int | None = None
    job: str = ""
    capillary_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """A valve as it is ordered, called as in print; texts are empty and figures None where there is no such thing.

    Attributes
    ----------
    charge : str
        The bulb charge (or drive) in words, with its maximum operating pressure [Pa absolute], if any, set on
        `setting_refrigerant` at `static_superheat_k` [K].
    connections, capillary_m
        As asked for, or the only ones offered; nothing where a choice is left, of `connections_offered` and
        `capillary_offered_m` [m].
    driver : str or None
        What drives an electronic valve; "" where its family does not say, None for a thermostatic one.
    part_number : str
        The part number of the first row of the stock sheet or of the catalogue's list that fits; `has_part_numbers`
        says whether there is either.
    stock
        The rows of the stock sheet with this valve and what is chosen of it, as far as some are there; None without a
        stock sheet.
    """

    maker: str
    family: str
    size: str
    charge: str
    maximum_operating_pressure_pa: float | None
    setting_refrigerant: str
    static_superheat_k: float | None
    equalizer: str
    connections: str
    connections_offered: tuple[str, ...]
    capillary_m: float | None
    capillary_offered_m: tuple[float, ...]
    driver: str | None
    quantity: int | None
    job: str
    revision: str
    date: datetime.date
    fingerprint: str
    part_number: str
    has_part_numbers: bool
    stock: tuple[StockItem, ...] | None = None


def order_line(catalogue: Catalogue, candidate: ChosenValve, asked: OrderRequest | None = None) -> OrderLine:
    """The order line of a valve; of what is offered in one way alone that way is taken, of nothing else.

    Raises
    ------
    RequestError
        If the connections or the length are not offered for the size; the message names those that are.
    """
    asked = asked or OrderRequest()
    family = catalogue.families[candidate.family]
    element = next(t for t in family.with_design_of(candidate.size).elements if t.name == candidate.charge)
    connections = family.offered.connections_of(candidate.size)
    chosen = _connections(connections, asked.connections, catalogue.valve_name(family.name, candidate.size))
    capillary = _capillary(family, asked)
    wanted = PartNumber(
        number="",
        family=family.name,
        size=candidate.size,
        charge=element.name,
        equalizer=family.offered.equalizer,
        connections=chosen,
        capillary_m=capillary,
    )
    items = catalogue.stock.items_of(family.name, candidate.size, element.name) if catalogue.stock else ()
    there = tuple(item for item in items if item.quantity != 0 and item.valve.allows(wanted))
    listed = catalogue.numbered_valves(family.name, candidate.size, element.name)
    return OrderLine(
        maker=catalogue.printing.company.name,
        family=family.display_name,
        size=family.size_name(candidate.size),
        charge=element.title,
        maximum_operating_pressure_pa=element.maximum_operating_pressure_pa,
        setting_refrigerant=element.setting_refrigerant,
        static_superheat_k=element.setting.static_superheat_k if element.setting else None,
        equalizer=family.offered.equalizer,
        connections=chosen,
        connections_offered=connections,
        capillary_m=capillary,
        capillary_offered_m=family.offered.capillary_m,
        driver=None if family.kind == "thermostatic" else family.offered.driver,
        quantity=asked.quantity,
        job=asked.job,
        revision=catalogue.printing.revision,
        date=catalogue.printing.date,
        fingerprint=fingerprint(catalogue.data_files),
        part_number=part_number_of(listed, wanted),
        has_part_numbers=bool(listed or catalogue.part_numbers),
        stock=None if catalogue.stock is None else there,
    )


def _connections(offered: Sequence[str], asked: str, valve: str) -> str:
    if asked:
        found = next((one for one in offered if one.casefold() == " ".join(asked.split()).casefold()), None)
        if found is None:
            raise RequestError(unknown(problems.CONNECTIONS_OF(valve=valve), asked, offered))
        return found
    return offered[0] if len(offered) == 1 else ""


def _capillary(family: Family, asked: OrderRequest) -> float | None:
    offered, asked_m = family.offered.capillary_m, asked.capillary_m
    if asked_m is not None:
        found = next((length for length in offered if abs(length - asked_m) < NEAR_M), None)
        if found is None:
            listed = (
                ", ".join(f"{length:.4g} m ({length / 0.3048:.4g} ft)" for length in offered) or problems.NONE_OFFERED()
            )
            text = repr(asked.capillary_text or f"{asked_m:.4g} m")
            raise RequestError(problems.CAPILLARY_NOT_OFFERED(length=text, family=family.display_name, offered=listed))
        return found
    return offered[0] if len(offered) == 1 else None
