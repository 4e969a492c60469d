"""The one-page picture of an audit, as the sheet that is printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tablegen.audit.findings import Finding, Kind, Severity
from tablegen.audit.run import Audit, Audited
from tablegen.cli.audit_words import FindingFormatter
from tablegen.report.formatter import DASH
from tablegen.report.graphs.coverage_graph import Strip
from tablegen.report.pages.coverage_sheet import CoverageSheet
from tablegen.wording import terms

_MOST_RANGES = 3
_READING = (
    "A strip is a table: loads across on one logarithmic scale, suction temperatures up, as the second line says. "
    "Thin lines are the minimum (dashed) and maximum loads of each size, heavy ones the ends of the size range. Darker: two "
    "and three or more sizes hold the load; the first line counts them. Hatched: no size holds the load. Crossed: no "
    "window. A triangle marks a row with another fault."
)


def sheet_of(
    catalogue: Any, found: Audit, formatter: FindingFormatter, about: Sequence[str], notes: Sequence[str]
) -> CoverageSheet:
    """The sheet of an audit."""
    findings, short = found.findings, formatter.shorter(_MOST_RANGES)
    faults = [f for f in findings if f.severity is Severity.FAULT]
    faulty = {(c.family, c.group, c.application) for f in faults for c in f.cells}
    gaps = sum(len(row.gaps) for audited in found.tables for row in audited.coverage)
    return CoverageSheet(
        title=f"Audit of {catalogue.printing.title}",
        subject="Coverage of the load axis by size ranges",
        about=about,
        strips=[_strip(audited, found, formatter, _key(audited) in faulty) for audited in found.tables],
        reading=_READING,
        alt=f"{len(found.tables)} strip charts of size ranges; {gaps} gaps in all.",
        counts=[_counted(findings, severity) for severity in Severity],
        lines=[f"{short.line(f)}." for f in faults],
        notes=notes,
    )


def _strip(audited: Audited, found: Audit, formatter: FindingFormatter, is_faulty: bool) -> Strip:
    table = audited.table
    filled = [row for row in audited.coverage if row.most]
    ends = (min(r.fewest for r in filled), max(r.most for r in filled)) if filled else (0, 0)
    own = [
        c
        for c in found.cells
        if (c.family, c.group, c.application) == _key(audited)
        and c.severity is Severity.FAULT
        and c.kind is not Kind.GAP
    ]
    rows = {float(k): i for i, k in enumerate(table.sst_k)}
    coldest, warmest = formatter.formatter.temperature(table.sst_k[0]), formatter.formatter.degrees(table.sst_k[-1])
    return Strip(
        title=(f"{table.family}, {table.group}", str(ends[0]) if ends[0] == ends[1] else DASH.join(map(str, ends))),
        subtitle=(table.application, f"{coldest} to {warmest}"),
        sst_k=table.sst_k,
        min_w=table.min_w,
        max_w=table.max_w,
        marked=sorted({rows[c.sst_k] for c in own if c.sst_k in rows}),
        is_faulty=is_faulty,
    )


def _key(audited: Audited) -> tuple[str, str, str]:
    return audited.table.family, audited.table.group, audited.table.application


def _counted(findings: Sequence[Finding], severity: Severity) -> str:
    """How many of each kind."""
    own = [f for f in findings if f.severity is severity]
    counts: dict[Kind, int] = {}
    for finding in own:
        counts[finding.kind] = counts.get(finding.kind, 0) + len(finding.cells)
    name = f"{severity.capitalize()}s"
    if not counts:
        return f"{name}: none."
    listed = "; ".join(f"{terms.FINDINGS[kind]()}: {count}" for kind, count in counts.items())
    return f"{name} ({sum(counts.values())} places): {listed}."
