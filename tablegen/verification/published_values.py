"""The values of refrigerants that ours are held against, as they stand in the data file of the package."""

from __future__ import annotations

import csv
import functools
from pathlib import Path
from typing import NamedTuple

from tablegen.verification.check import UNITS, SourceUnit, last_digit
from tablegen.verification.kinds import Kind

FILE = Path(__file__).resolve().parent / "published" / "refrigerant_values.csv"


class PublishedValue(NamedTuple):
    """A row of refrigerant_values.csv: figures as printed, in the unit of the source; `code` names the property."""

    refrigerant: str
    code: str
    condition: str
    value: str
    unit: str
    source: str
    kind: Kind
    provenance: str

    @property
    def source_unit(self) -> SourceUnit:
        """The unit with its way to SI."""
        return UNITS[self.unit]

    @property
    def si(self) -> float:
        """The value in SI."""
        return self.source_unit.si(float(self.value))

    @property
    def last_digit(self) -> float:
        """One unit of the last printed digit [SI]."""
        return last_digit(self.value) * self.source_unit.scale

    @property
    def at(self) -> tuple[float, ...]:
        """The temperatures and pressures of the condition [SI], in the order of the source."""
        return tuple(UNITS[unit].si(float(figure)) for figure, unit in _parts(self.condition))

    @property
    def condition_formatter(self) -> str:
        """The condition with the project's spelling of units."""
        parts = [f"{figure} {UNITS[unit].text}" for figure, unit in _parts(self.condition)]
        return ", ".join(parts) or ("nominal composition" if self.code == "molar_mass" else "critical point")


@functools.cache
def published_values() -> tuple[PublishedValue, ...]:
    """Every row of refrigerant_values.csv."""
    with FILE.open(newline="", encoding="utf-8") as stream:
        return tuple(
            PublishedValue(
                row["refrigerant"],
                row["property"],
                row["condition"],
                row["value"],
                row["unit"],
                row["source"],
                Kind(row["kind"]),
                row["provenance"],
            )
            for row in csv.DictReader(stream)
        )


def _parts(condition: str) -> list[tuple[str, str]]:
    """Figures and units; none where the condition is the critical point or the composition."""
    if condition == "-":
        return []
    return [(figure, unit) for figure, unit in (part.split() for part in condition.split("/"))]
