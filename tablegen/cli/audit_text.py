"""An audit as text, CSV and JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pandas as pd

from tablegen.audit.findings import Cell, Finding, Severity
from tablegen.audit.release import ReadBack
from tablegen.audit.run import Audit, Audited
from tablegen.audit.size_range import Coverage, Stretch
from tablegen.cli.audit_words import FindingFormatter
from tablegen.cli.text_table import aligned
from tablegen.dataset.dataset import csv_of
from tablegen.dataset.to_json import plain
from tablegen.report.formatter import CAUTION, NBSP
from tablegen.wording import terms

_WIDTH = 120
_COLUMNS = (
    "severity",
    "kind",
    "family",
    "group",
    "application",
    "size",
    "other_size",
    "limit",
    "refrigerant",
    "detail",
    "sst_k",
    "to_sst_k",
    "from_load_w",
    "to_load_w",
    "shift",
    "share",
    "head_pressure_pa",
)


def text_of(catalogue: Any, found: Audit, read: ReadBack | None, formatter: FindingFormatter, path: Path) -> str:
    """Coverage by table, faults, remarks, what was read back."""
    printing = catalogue.printing
    windows = sum(a.table.min_w.size for a in found.tables)
    opened = sum(int(a.table.is_open.sum()) for a in found.tables)
    lines = [
        f"{path}: {catalogue.name}, revision {printing.revision} of {printing.date.isoformat()}; {len(found.tables)} "
        f"table{'s' * (len(found.tables) > 1)}, {windows} windows ({opened} open)",
        "",
        *_coverage(found.tables, formatter),
    ]
    if read is not None:
        counted = ", ".join(f"{count} in {name}" for name, count in read.windows.items())
        lines += ["", f"Windows read back: {counted or 'none'}"]
    findings = found.findings
    for severity in Severity:
        lines += ["", *_findings([f for f in findings if f.severity is severity], severity, formatter)]
    lines += ["", printing.notice, CAUTION]
    return "\n".join(lines).replace(NBSP, " ")


def _coverage(tables: Sequence[Audited], formatter: FindingFormatter) -> list[str]:
    header = [
        "Table",
        f"Ladder, {formatter.formatter.load_label}",
        "Rows with windows",
        "With gaps",
        "Sizes at a load",
        "Minimum overlap",
    ]
    rows = [header]
    for audited in tables:
        table = audited.table
        rows.append([f"{table.family}, {table.group}, {table.application}", *formatter.coverage(audited.coverage)])
    return aligned(rows)


def _findings(findings: Sequence[Finding], severity: Severity, formatter: FindingFormatter) -> Iterator[str]:
    """Findings of one severity under their kinds."""
    places = sum(len(f.cells) for f in findings)
    if not findings:
        yield f"No {severity}s"
        return
    counted = [f"{n} {name}{'s' if n > 1 else ''}" for n, name in ((places, "place"), (len(findings), "line"))]
    yield f"{severity.capitalize()}s: {' in '.join(counted)}"
    kind = None
    for finding in findings:
        if finding.kind is not kind:
            kind = finding.kind
            yield f"{kind}: {terms.FINDINGS[kind]()}"
        yield from textwrap.wrap(
            formatter.line(finding),
            _WIDTH,
            initial_indent="  ",
            subsequent_indent="    ",
            break_on_hyphens=False,
            break_long_words=False,
        )


def csv_text(found: Audit) -> str:
    """A row for each place with a finding, faults first."""
    rows = [{**asdict(c), "severity": c.severity, "shift": c.shift} for f in found.findings for c in f.cells]
    return csv_of(pd.DataFrame(rows, columns=list(_COLUMNS))).decode("utf-8")


def record_of(catalogue: Any, found: Audit, read: ReadBack | None, formatter: FindingFormatter) -> dict[str, Any]:
    """Everything as JSON values, in SI; a figure that a kind does not have is left away."""
    return {
        "catalogue": catalogue.name,
        "revision": catalogue.printing.revision,
        "faults": found.count(Severity.FAULT),
        "remarks": found.count(Severity.REMARK),
        "findings": [
            {
                "severity": str(f.severity),
                "kind": str(f.kind),
                "text": formatter.line(f).replace(NBSP, " "),
                "places": [_place(c) for c in f.cells],
            }
            for f in found.findings
        ],
        "coverage": [
            {
                "family": a.table.family,
                "group": a.table.group,
                "application": a.table.application,
                "rows": [_row(a, row) for row in a.coverage],
            }
            for a in found.tables
        ],
        "windows_read_back": dict(read.windows) if read is not None else None,
    }


def _place(cell: Cell) -> dict[str, Any]:
    told = {**asdict(cell), "shift": cell.shift}
    return {k: v for k, v in told.items() if k not in ("kind", "is_mild") and v != "" and v == v}


def _row(audited: Audited, row: Coverage) -> dict[str, Any]:
    def stretch(own: Stretch) -> dict[str, Any]:
        sizes = audited.table.sizes
        return {"smaller": sizes[own.smaller], "larger": sizes[own.larger], "from_w": own.from_w, "to_w": own.to_w}

    told = {name: getattr(row, name) for name in ("sst_k", "min_w", "max_w", "fewest", "most")}
    stretches = {name: [stretch(s) for s in getattr(row, name)] for name in ("gaps", "overlaps")}
    return dict(plain({**told, **stretches}))
