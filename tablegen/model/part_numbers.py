"""The numbers that valves are ordered by, and which of them a valve has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

# Lengths that were written in another unit are rounded: 10 ft and 3.05 m are one.
NEAR_M = 5e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class PartNumber:
    """A part number of a list, and its valve, by keys; what is empty or None is not specified."""

    number: str
    family: str = ""
    size: str = ""
    charge: str = ""
    equalizer: str = ""
    connections: str = ""
    capillary_m: float | None = None

    def texts(self) -> tuple[str, ...]:
        """Its valve, without the length of a capillary."""
        return self.family, self.size, self.charge, self.equalizer, self.connections

    def is_other_valve(self, other: PartNumber) -> bool:
        """Whether its valve is another one by family, size or charge, as far as both are specified."""
        pairs = ((self.family, other.family), (self.size, other.size), (self.charge, other.charge))
        return any(own and theirs and own != theirs for own, theirs in pairs)

    def allows(self, wanted: PartNumber) -> bool:
        """Whether it may turn out to be a valve of which something is still to be chosen: nothing contradicts."""
        texts = zip(self.texts(), wanted.texts(), strict=True)
        lengths = (self.capillary_m, wanted.capillary_m)
        return all(not own or not asked or own == asked for own, asked in texts) and (
            None in lengths or abs(lengths[0] - lengths[1]) < NEAR_M  # type: ignore[operator]
        )


def valve_numbered(part_numbers: Sequence[PartNumber], text: str) -> PartNumber | None:
    """The valve of a part number, in any case; None where there is none, or it leaves family or size open."""
    wanted = text.strip().casefold()
    return next((own for own in part_numbers if own.number.casefold() == wanted and own.family and own.size), None)


def part_number_of(part_numbers: Sequence[PartNumber], wanted: PartNumber) -> str:
    """The number of the first part number that says nothing else than what is wanted; "" where none does.

    A part number that leaves something open fits any; one that names what is not chosen yet fits nothing.
    """
    for part_number in part_numbers:
        texts = zip(part_number.texts(), wanted.texts(), strict=True)
        is_length = part_number.capillary_m is None or (
            wanted.capillary_m is not None and abs(part_number.capillary_m - wanted.capillary_m) < NEAR_M
        )
        if is_length and all(not own or own == asked for own, asked in texts):
            return part_number.number
    return ""
