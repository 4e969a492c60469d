"""The audit of a catalogue: every check, on every printed table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from tablegen.audit.findings import Cell, Finding, Kind, Severity, grouped
from tablegen.audit.monotone import size_cells, turn_cells
from tablegen.audit.parts import PartTable, tables_of
from tablegen.audit.prints import Prints
from tablegen.audit.scans import Scans, look
from tablegen.audit.size_range import Coverage, coverage, size_range_cells
from tablegen.audit.tightening import tightening_cells
from tablegen.audit.windows import group_cells, rounding_cells, window_cells
from tablegen.confidence.confident_limits import scattered_in
from tablegen.dataset.compute import Tables, compute_windows
from tablegen.model.inputs import Catalogue
from tablegen.sweep.sweep import SweepOptions, systems_of
from tablegen.tables.warnings import WarningSubject, warnings_of
from tablegen.verification.table import all_checks, failures, verification_frame

_SUBJECTS = {WarningSubject.HEAD_ORDER: Kind.HEAD_ORDER, WarningSubject.PORT_SWING: Kind.PORT_SWING}


@dataclass(frozen=True, slots=True)
class Audited:
    """One printed table with how its size range covers the load axis, row by row from the coldest."""

    table: PartTable
    coverage: tuple[Coverage, ...]


@dataclass(frozen=True, slots=True)
class Audit:
    """What an audit found, cell by cell, and the tables that it looked at."""

    cells: tuple[Cell, ...]
    tables: tuple[Audited, ...]

    @property
    def findings(self) -> list[Finding]:
        """Like cells as one line, faults first."""
        return grouped(self.cells)

    def count(self, severity: Severity) -> int:
        """How many cells are faults or remarks."""
        return sum(cell.severity is severity for cell in self.cells)


def audit(
    catalogue: Catalogue,
    advance: Callable[[str], None] = lambda _: None,
    box_difference_k: float | None = None,
    tables: Tables | None = None,
) -> Audit:
    """Audit a catalogue.

    Parameters
    ----------
    catalogue : Catalogue
    advance : callable, optional
        Told the refrigerant and application of each part that is computed, and once more as its windows are looked at.
    box_difference_k : float, optional
        Box less evaporating temperature at the rating [K], for applications that give none, so that the balanced response
        can be run.
    tables : Tables, optional
        The windows, where they were computed already.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    computed = tables or compute_windows(catalogue, SweepOptions(advance=advance), scattered_in(catalogue))
    prints = Prints.of(catalogue)
    scans: dict[tuple[str, str], Scans] = {}
    for system in systems_of(catalogue):
        place = system.refrigerant.name, system.application.name
        scans[place] = look(system.families, computed.solved_by[place], box_difference_k)
        advance(f"{system.name}, again")
    cells: list[Cell] = []
    audited = []
    for table in tables_of(catalogue, computed.group_windows):
        rows = coverage(table)
        audited.append(Audited(table, tuple(rows)))
        cells += [
            *size_range_cells(table, rows, prints),
            *size_cells(table),
            *turn_cells(table),
            *tightening_cells(table, [scans[m, table.application] for m in table.members], prints),
            *window_cells(table, prints),
            *rounding_cells(table, prints),
            *group_cells(table, computed.windows),
        ]
    cells += [*_not_run(scans), *_warned(catalogue, computed), *_checks(catalogue)]
    return Audit(tuple(cells), tuple(audited))


def _not_run(scans: Mapping[tuple[str, str], Scans]) -> Iterable[Cell]:
    """Applications in which the balanced response has nothing to start from."""
    for application in dict.fromkeys(application for (_, application), own in scans.items() if own.is_response_missing):
        yield Cell(Kind.RESPONSE_NOT_RUN, application=application)


def _warned(catalogue: Catalogue, tables: Tables) -> Iterable[Cell]:
    """Warnings of a build that no check of the audit finds by itself."""
    for warned in warnings_of(catalogue, tables.windows, tables.group_windows, (), tables.solved_by):
        if warned.subject in _SUBJECTS:
            yield Cell(
                _SUBJECTS[warned.subject],
                warned.family,
                warned.group,
                warned.application,
                refrigerant=warned.refrigerant,
                detail=warned.detail,
            )


def _checks(catalogue: Catalogue) -> Iterable[Cell]:
    """Checks of the verification table that fail without an explanation."""
    for text in failures(verification_frame(all_checks(catalogue.refrigerants, catalogue.records))):
        yield Cell(Kind.FAILED_CHECK, detail=text.removeprefix("verification: "))
