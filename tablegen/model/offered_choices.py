"""What a family or a part is approved for, and what may be chosen when a valve of a family is ordered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from tablegen.wording import offers as wording


@dataclass(frozen=True, slots=True)
class Approval:
    """What a family may be used with: refrigerants by name, and every refrigerant of some safety groups."""

    refrigerants: tuple[str, ...] = ()
    safety_groups: tuple[str, ...] = ()

    def why_not(self, refrigerant: str, safety_group: str) -> str:
        """Why a refrigerant must not be used, as a sentence; empty where it may."""
        if refrigerant in self.refrigerants or safety_group in self.safety_groups:
            return ""
        approved = list(self.refrigerants)
        if self.safety_groups:
            approved.append(wording.SAFETY_GROUPS(len(self.safety_groups), groups=", ".join(self.safety_groups)))
        return wording.NOT_APPROVED(refrigerant=refrigerant, safety_group=safety_group, approved=", ".join(approved))


class ConnectionChoices(NamedTuple):
    """Connections that some sizes (none named: all) are offered with; a manifest has the two lists."""

    sizes: tuple[str, ...]
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Offered:
    """What may be chosen when a family is ordered.

    `capillary_m` are the lengths [m] of a bulb's capillary; `equalizer` is empty for a family without one, `driver`
    where nothing is said of what drives it.
    """

    connections: tuple[ConnectionChoices, ...] = ()
    capillary_m: tuple[float, ...] = ()
    equalizer: str = ""
    driver: str = ""

    def connections_of(self, size: str) -> tuple[str, ...]:
        """The connections that a size is offered with, in the order of the config."""
        found = (choices for sizes, choices in self.connections if not sizes or size in sizes)
        return tuple(choice for choices in found for choice in choices)
