"""The audit of a catalogue: every check, on every printed table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from tablegen.audits.findings import Finding, FindingKind, FindingLine, Severity, grouped
from tablegen.audits.printed_table import PrintedTable, PrintUnits, tables_of
from tablegen.audits.release_checks import ReadBack
from tablegen.audits.table_checks import (
    RowCoverage,
    coverage,
    coverage_findings,
    group_findings,
    rising_findings,
    rounding_findings,
    turn_findings,
    window_findings,
)
from tablegen.audits.tightening import Variants, solve_variants, tightening_findings
from tablegen.confidence.confident_limits import scattered_in
from tablegen.dataset.compute import Tables, compute_windows
from tablegen.model.compressor_flow import FlowRatio, flow_ratios
from tablegen.model.inputs import Catalogue
from tablegen.model.liquid_supply import liquid_needs
from tablegen.model.solving import Solved
from tablegen.physics.system import Stability
from tablegen.sweep.sweep import SweepOptions, systems_of
from tablegen.tables.minimum_openings import minimum_openings
from tablegen.tables.warnings import WarningSubject, cold_liquid, warnings_of
from tablegen.verification.table import all_checks, failures, verification_frame

_WARNINGS = {
    WarningSubject.COLD_LIQUID: FindingKind.COLD_LIQUID,
    WarningSubject.HEAD_ORDER: FindingKind.HEAD_ORDER,
    WarningSubject.PORT_SWING: FindingKind.PORT_SWING,
}


@dataclass(frozen=True, slots=True)
class AuditedTable:
    """One printed table with how its size range covers the load axis, row by row from the coldest."""

    table: PrintedTable
    coverage: tuple[RowCoverage, ...]


@dataclass(frozen=True, slots=True)
class Audit:
    """What an audit found, the tables that it checked, and how many windows were read back from files of a release."""

    findings: tuple[Finding, ...]
    tables: tuple[AuditedTable, ...]
    windows_read: Mapping[str, int] | None = None
    flows: Mapping[str, tuple[FlowRatio, ...]] = field(default_factory=dict)

    @property
    def lines(self) -> list[FindingLine]:
        """Like findings as one line, faults first."""
        return grouped(self.findings)

    def count(self, severity: Severity) -> int:
        """How many findings are faults or remarks."""
        return sum(finding.severity is severity for finding in self.findings)

    def with_release(self, read: ReadBack) -> Audit:
        """The same with what was found in a release on disk."""
        return replace(self, findings=(*self.findings, *read.findings), windows_read=read.windows)


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
        Called with the refrigerant and application of each part that is computed, and again as its windows are checked.
    box_difference_k : float [K], optional
        Box less evaporating temperature at the rating point, for applications that give none, so that the balanced
        suction response can be solved.
    tables : Tables, optional
        The windows, where they were computed already.

    Returns
    -------
    Audit
        Every finding, loads [W] and temperatures [K], and how the size range of each table covers the load axis.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    computed = tables or compute_windows(catalogue, SweepOptions(advance=advance), scattered_in(catalogue))
    units = PrintUnits.of(catalogue)
    variants: dict[tuple[str, str], Variants] = {}
    for system in systems_of(catalogue):
        key = system.refrigerant.name, system.application.name
        variants[key] = solve_variants(system.families, computed.solved_by[key], box_difference_k)
        advance(f"{system.name} (2)")
    findings: list[Finding] = []
    audited = []
    for table in tables_of(catalogue, computed.group_windows):
        rows = coverage(table)
        audited.append(AuditedTable(table, tuple(rows)))
        own = [variants[member, table.application] for member in table.members]
        findings += [
            *coverage_findings(table, rows, units),
            *rising_findings(table),
            *turn_findings(table),
            *tightening_findings(table, catalogue.families[table.family], own, units),
            *window_findings(table, units),
            *rounding_findings(table, units),
            *group_findings(table, computed.windows),
        ]
    findings += [
        *_not_run(variants),
        *subcooling_findings(computed.solved_by),
        *opening_findings(catalogue, computed.solved_by),
        *_warned(catalogue, computed),
        *_failed_checks(catalogue),
    ]
    return Audit(tuple(findings), tuple(audited), flows=_flows(computed.solved_by))


def _flows(solved_by: Mapping[tuple[str, str], Solved]) -> Mapping[str, tuple[FlowRatio, ...]]:
    """What the compressor of each application pumps at low and high head, over its refrigerants."""
    members: dict[str, list[Solved]] = {}
    for (_, application), solved in solved_by.items():
        members.setdefault(application, []).append(solved)
    return {application: flow_ratios(own) for application, own in members.items()}


def opening_findings(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> Iterator[Finding]:
    """Families whose stated minimum opening counts, though their loop with the stated coil hunts there."""
    for own in minimum_openings(catalogue, solved_by):
        part = own.part
        stated = catalogue.families[part.family].elements[0].actuator.stability
        method = solved_by[own.refrigerant, part.application].system.superheat.stability.method
        if (stated or method) is Stability.LOOP or not own.loop > own.assumed:
            continue
        yield Finding(
            kind=FindingKind.HUNTS_BY_LOOP,
            family=part.family,
            group=part.group,
            application=part.application,
            refrigerant=own.refrigerant,
            sst_k=own.sst_k,
            assumed_opening=own.assumed,
            loop_opening=own.loop,
            bulb_s=own.bulb_s,
            needed_bulb_s=own.needed_bulb_s,
        )


def subcooling_findings(solved_by: Mapping[tuple[str, str], Solved]) -> Iterator[Finding]:
    """Conditions that state subcooling at the valve and so ask for more at the condenser than is usual.

    Of several refrigerants of an application the one that asks for the most; a stated liquid temperature is open about
    what it takes.
    """
    most: dict[tuple[str, str], Finding] = {}
    for (refrigerant, application), solved in solved_by.items():
        system = solved.application.systems[refrigerant]
        for need in liquid_needs([solved]):
            liquid = system.condition(need.condition).liquid
            if liquid.temperature_k is not None or liquid.is_at_condenser or not need.is_unusual:
                continue
            found = most.get((application, need.condition))
            if found is None or found.subcooling_k < need.asked_k:
                most[application, need.condition] = Finding(
                    kind=FindingKind.UNUSUAL_SUBCOOLING,
                    application=application,
                    refrigerant=refrigerant,
                    condition=need.condition,
                    subcooling_k=need.asked_k,
                )
    yield from most.values()


def _not_run(variants: Mapping[tuple[str, str], Variants]) -> Iterator[Finding]:
    """Applications in which the balanced response has nothing to start from."""
    missing = [application for (_, application), own in variants.items() if own.is_response_missing]
    for application in dict.fromkeys(missing):
        yield Finding(kind=FindingKind.RESPONSE_NOT_RUN, application=application)


def _warned(catalogue: Catalogue, tables: Tables) -> Iterator[Finding]:
    """Warnings of a build or of `check` that no check of the audit finds by itself."""
    warnings = warnings_of(catalogue, tables.windows, tables.group_windows, (), tables.solved_by)
    for warned in (*warnings, *cold_liquid(catalogue)):
        if warned.subject in _WARNINGS:
            yield Finding(
                kind=_WARNINGS[warned.subject],
                family=warned.family,
                group=warned.group,
                application=warned.application,
                refrigerant=warned.refrigerant,
                note=warned.detail,
            )


def _failed_checks(catalogue: Catalogue) -> Iterator[Finding]:
    """Checks of the verification table that fail without an explanation."""
    for text in failures(verification_frame(all_checks(catalogue.refrigerants, catalogue.records))):
        yield Finding(kind=FindingKind.FAILED_CHECK, note=text.removeprefix("verification: "))
