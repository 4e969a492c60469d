"""Checks of compositions: the mass percents of the registry against the designation tables."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.catalogue.registry import RefrigerantRecord
from tablegen.catalogue.verification.check import UNITS, Check
from tablegen.catalogue.verification.published_values import Composition, compositions

_EXACT = 1e-11


def composition_checks(records: Mapping[str, RefrigerantRecord]) -> list[Check]:
    """One check for each component of each blend; a single component says nothing."""
    return [
        check
        for row in compositions()
        if row.refrigerant in records and len(row.components) > 1
        for check in _of_one(row, records[row.refrigerant])
    ]


def _of_one(row: Composition, record: RefrigerantRecord) -> list[Check]:
    definition = record.definition
    ours = dict(zip(definition.components, definition.mass_fractions, strict=True))
    theirs = dict(zip(row.components, row.mass_percent, strict=True))
    # A component of ours that the source does not know is as wrong as one that is missing.
    theirs |= {name: "0" for name in ours if name not in theirs}
    return [
        Check("compositions", row.refrigerant, "mass share", name, row.source, row.provenance,
              percent, UNITS["percent"], ours.get(name, 0.0), _EXACT, "nominal compositions are exact")
        for name, percent in theirs.items()
    ]  # fmt: skip
