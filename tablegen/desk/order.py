"""What must be written on an order for a picked valve, from what its family offers."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.catalogue.inputs import Catalogue
from tablegen.desk.pick import Candidate
from tablegen.errors import RequestError, unknown

# Lengths that were written in another unit differ in the last figures.
_NEAR_M = 1e-6


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A valve as it is ordered; texts are empty and figures None where the family has no such thing.

    `charge` is the bulb charge (or drive) in words, set on `setting_refrigerant` at `static_superheat_k` [K];
    `capillary_m` is the length of the bulb's capillary [m].
    """

    family: str
    size: str
    charge: str
    setting_refrigerant: str
    static_superheat_k: float | None
    equalizer: str
    connections: str
    capillary_m: float | None


def order_line(
    catalogue: Catalogue, candidate: Candidate, connections: str | None = None, capillary_m: float | None = None
) -> OrderLine:
    """The order line of a valve; what is not asked for is the first that the family offers.

    Raises
    ------
    RequestError
        If the connections or the length are not offered for the size; the message names those that are.
    """
    family = catalogue.families[candidate.family]
    trim = next(t for t in family.trims if t.name == candidate.charge)
    choices = family.offered.connections_of(candidate.size)
    if connections is not None and connections not in choices:
        what = f"the connections of {catalogue.valve_name(family.name, candidate.size)}"
        raise RequestError(unknown(what, connections, choices))
    lengths = family.offered.capillary_m
    if capillary_m is not None and not any(abs(length - capillary_m) < _NEAR_M for length in lengths):
        offered = ", ".join(f"{length:.4g} m ({length / 0.3048:.4g} ft)" for length in lengths) or "none"
        raise RequestError(
            f"a capillary of {capillary_m:.4g} m is not offered for {family.display_name}; it is offered with {offered}"
        )
    return OrderLine(
        family=family.display_name,
        size=family.size_name(candidate.size),
        charge=trim.title,
        setting_refrigerant=trim.setting_refrigerant,
        static_superheat_k=trim.setting.static_superheat_k if trim.setting else None,
        equalizer=family.offered.equalizer,
        connections=connections or (choices[0] if choices else ""),
        capillary_m=capillary_m if capillary_m is not None else lengths[0] if lengths else None,
    )
