"""The published values of refrigerants, as they stand in the data files of the package."""

from __future__ import annotations

import csv
import functools
from pathlib import Path
from typing import NamedTuple

from tablegen.catalogue.verification.check import UNITS, SourceUnit, last_digit

FOLDER = Path(__file__).resolve().parent.parent / "published"
NOT_PUBLISHED = "computed elsewhere, not published"
FROM_MEMORY = "from memory"
READ = "read in a stored public text"


class PublishedValue(NamedTuple):
    """A row of refrigerant_values.csv: figures as printed, in the unit of the source; `code` names the property."""

    refrigerant: str
    code: str
    condition: str
    value: str
    unit: str
    source: str
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
    def condition_words(self) -> str:
        """The condition with the project's spelling of units."""
        parts = [f"{figure} {UNITS[unit].text}" for figure, unit in _parts(self.condition)]
        return ", ".join(parts) or "critical point"


class Composition(NamedTuple):
    """A row of compositions.csv: components and their printed mass percents, in order."""

    refrigerant: str
    components: tuple[str, ...]
    mass_percent: tuple[str, ...]
    source: str
    provenance: str


@functools.cache
def published_values() -> tuple[PublishedValue, ...]:
    """Every row of refrigerant_values.csv."""
    columns = ("refrigerant", "property", "condition", "value", "unit", "source", "provenance")
    return tuple(PublishedValue(*(row[c] for c in columns)) for row in _rows("refrigerant_values.csv"))


@functools.cache
def compositions() -> tuple[Composition, ...]:
    """Every row of compositions.csv."""
    return tuple(
        Composition(
            row["refrigerant"], tuple(row["components"].split("/")), tuple(row["mass_percent"].split("/")),
            row["source"], row["provenance"],
        )
        for row in _rows("compositions.csv")
    )  # fmt: skip


def _rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def _parts(condition: str) -> list[tuple[str, str]]:
    """Figures and units; none where the condition is the critical point."""
    if condition == "-":
        return []
    return [(figure, unit) for figure, unit in (part.split() for part in condition.split("/"))]
