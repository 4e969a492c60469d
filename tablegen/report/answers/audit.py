"""The answer of an audit: coverage of loads by table, faults and remarks, every finding in SI."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from tablegen.audits.findings import Finding, FindingKind, Severity
from tablegen.report.answer import WIDE, Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, Value
from tablegen.report.answers.audit_findings import FindingWriter, kind_title
from tablegen.report.formatter import DASH, percent
from tablegen.report.table_conditions import flow_text
from tablegen.wording import audit as wording
from tablegen.wording import refrigerants, terms
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.audits.findings import FindingLine
    from tablegen.audits.run import Audit, AuditedTable
    from tablegen.audits.table_checks import LoadRange, RowCoverage
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter
    from tablegen.report.graphs.coverage_graph import CoverageStrip
    from tablegen.report.pdf.drawing import Drawing

# Overlaps below this share are printed to a tenth of a percent.
_TENTHS_BELOW = 0.1
_TABLE_KEYS = ("family", "group", "application")
# What a finding has, its shift beside its loads; how mild it is shows in its severity.
_OWN = [field.name for field in fields(Finding) if field.name != "is_mild"]
_FINDING_KEYS = ("severity", *_OWN[: _OWN.index("share")], "shift", *_OWN[_OWN.index("share") :])
_RANGE_KEYS = (*_TABLE_KEYS, "sst_k", "smaller", "larger", "from_load_w", "to_load_w")


def answer_of_audit(catalogue: Catalogue, audit: Audit, formatter: Formatter) -> Answer:
    """The answer of an audit, its findings in the units of a formatter."""
    writer, lines = FindingWriter(formatter, catalogue), audit.lines
    by_severity = {severity: [line for line in lines if line.severity is severity] for severity in Severity}
    printing = catalogue.printing
    return Answer(
        key="audit",
        heading=wording.HEADING(title=printing.title),
        summary=tuple(_summary(audit, by_severity)),
        facts=tuple(_facts(catalogue, audit)),
        figures=(_figure(audit, formatter),),
        tables=(
            _coverage(audit.tables, formatter),
            AnswerTable.exported(
                "coverage_rows", _ROW_KEYS, (data for table in audit.tables for data in _row_data(table))
            ),
            _ranges("gaps", audit.tables, lambda row: row.gaps),
            _ranges("overlaps", audit.tables, lambda row: row.overlaps),
            AnswerTable.exported(
                "lines", _LINE_KEYS, ((line.severity, line.kind, *_texts(line, writer)) for line in lines)
            ),
            AnswerTable.exported("findings", _FINDING_KEYS, (_data(f) for line in lines for f in line.findings)),
            AnswerTable.exported("read_back", ("file", "windows"), (audit.windows_read or {}).items()),
        ),
        sections=tuple(_section(severity, own, writer) for severity, own in by_severity.items() if own),
        imprint=Imprint(
            notice=printing.notice,
            cautions=(refrigerants.PRESSURE_CAUTION(),),
            subject=wording.SUBJECT(),
            author=printing.company.name,
            date=printing.date,
        ),
        csv_key="findings",
        units=formatter.system,
        passed=audit.count(Severity.FAULT) == 0,
    )


def _summary(audit: Audit, by_severity: Mapping[Severity, Sequence[FindingLine]]) -> Iterator[str]:
    for severity, some, none in (
        (Severity.FAULT, wording.FAULTS, wording.NO_FAULTS),
        (Severity.REMARK, wording.REMARKS, wording.NO_REMARKS),
    ):
        count, lines = audit.count(severity), wording.LINES(len(by_severity[severity]))
        yield some(count, lines=lines) if count else none()


def _facts(catalogue: Catalogue, audit: Audit) -> Iterator[Fact]:
    printing = catalogue.printing
    name, revision, date = catalogue.name, printing.revision, printing.date
    text = wording.REVISION(catalogue=name, revision=revision, date=date.isoformat())
    yield Fact(("catalogue", "revision", "date"), wording.CATALOGUE(), Value(text, (name, revision, date)))
    windows = sum(audited.table.is_open.size for audited in audit.tables)
    is_open = sum(int(audited.table.is_open.sum()) for audited in audit.tables)
    tables = len(audit.tables)
    counted = wording.COUNTED(tables=wording.TABLE_COUNT(tables), windows=wording.WINDOW_COUNT(windows), open=is_open)
    yield Fact(("tables", "windows", "open_windows"), wording.TABLES(), Value(counted, (tables, windows, is_open)))
    for key, severity in (("faults", Severity.FAULT), ("remarks", Severity.REMARK)):
        yield Fact.exported(key, audit.count(severity))
    for name, flows in audit.flows.items():
        application = catalogue.applications[name]
        first = next(iter(application.systems.values()))
        text = flow_text(flows, first.compressor, application.sources["compressor"])
        yield Fact((), wording.COMPRESSOR_OF(application=name), Value(text))
    if audit.windows_read is not None:
        read = [
            wording.READ_FROM(windows=wording.WINDOW_COUNT(count), file=file)
            for file, count in audit.windows_read.items()
        ]
        yield Fact((), wording.READ_BACK(), Value(listed(read) or wording.NOTHING_READ()))


def _coverage(tables: Sequence[AuditedTable], formatter: Formatter) -> AnswerTable:
    """Size range, rows with gaps, sizes at a load and smallest overlap of each table."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(_TABLE_KEYS, wording.TABLE()),
        AnswerColumn(("min_load_w", "max_load_w"), wording.SIZE_RANGE(unit=formatter.load_label), figures),
        AnswerColumn(("rows_with_windows", "rows"), wording.ROWS_WITH_WINDOWS(), figures),
        AnswerColumn(("rows_with_gaps",), wording.WITH_GAPS(), figures),
        AnswerColumn(("min_sizes", "max_sizes"), wording.SIZES_AT_A_LOAD(), figures),
        AnswerColumn(("min_overlap",), wording.MIN_OVERLAP(), figures),
    )
    rows = tuple(_coverage_row(audited, formatter) for audited in tables)
    return AnswerTable(key="coverage", columns=columns, rows=rows)


def _coverage_row(audited: AuditedTable, formatter: Formatter) -> tuple[Value, ...]:
    rows = [row for row in audited.coverage if row.max_sizes]
    low, high = min((row.min_w for row in rows), default=math.nan), max((row.max_w for row in rows), default=math.nan)
    total, gaps = len(audited.coverage), sum(bool(row.gaps) for row in rows)
    overlap = min((own.to_w / own.from_w - 1.0 for row in rows for own in row.overlaps), default=math.nan)
    family, group, application = audited.table.key
    return (
        Value(wording.TABLE_NAME(family=family, group=group, application=application), audited.table.key),
        Value(DASH.join(formatter.window(low, high)) if rows else wording.NO_RANGE(), (low, high)),
        Value(wording.ROWS_OF(rows=len(rows), total=total), (len(rows), total)),
        Value.of(gaps),
        Value(_sizes_text(audited), _sizes_at_a_load(audited)),
        Value.measured(overlap, lambda share: percent(share, 0 if share >= _TENTHS_BELOW else 1)),
    )


def _sizes_at_a_load(audited: AuditedTable) -> tuple[int, int]:
    """The smallest and largest number of sizes that cover one load, over all rows."""
    rows = [row for row in audited.coverage if row.max_sizes]
    return min((row.min_sizes for row in rows), default=0), max((row.max_sizes for row in rows), default=0)


def _sizes_text(audited: AuditedTable) -> str:
    low, high = _sizes_at_a_load(audited)
    return str(low) if low == high else f"{low}{DASH}{high}"


_ROW_KEYS = (*_TABLE_KEYS, "sst_k", "min_load_w", "max_load_w", "min_sizes", "max_sizes")
_LINE_KEYS = ("severity", "kind", "where", "text", "count")


def _row_data(audited: AuditedTable) -> Iterator[tuple[Datum, ...]]:
    for row in audited.coverage:
        yield (*audited.table.key, row.sst_k, row.min_w, row.max_w, row.min_sizes, row.max_sizes)


def _ranges(
    key: str, tables: Sequence[AuditedTable], ranges_of: Callable[[RowCoverage], Sequence[LoadRange]]
) -> AnswerTable:
    """Gaps or overlaps of all tables, for export."""
    data = (
        (*a.table.key, row.sst_k, a.table.sizes[own.smaller], a.table.sizes[own.larger], own.from_w, own.to_w)
        for a in tables
        for row in a.coverage
        for own in ranges_of(row)
    )
    return AnswerTable.exported(key, _RANGE_KEYS, data)


def _section(severity: Severity, lines: Sequence[FindingLine], writer: FindingWriter) -> Answer:
    """Faults or remarks, a table for each kind."""
    tables = tuple(
        _kind_table(kind, list(own), writer) for kind, own in itertools.groupby(lines, key=lambda line: line.kind)
    )
    return Answer(key=f"{severity}s", heading=wording.SEVERITIES[severity](), tables=tables)


def _kind_table(kind: FindingKind, lines: Sequence[FindingLine], writer: FindingWriter) -> AnswerTable:
    """Where a kind was found, and what, without columns that are empty."""
    rows = [
        (Value(where), Value(text), Value(str(count)))
        for where, text, count in (_texts(line, writer) for line in lines)
    ]
    columns = (
        AnswerColumn((), wording.WHERE()),
        AnswerColumn((), wording.FOUND()),
        AnswerColumn((), wording.COUNT(), ColumnStyle.FIGURES),
    )
    used = [i for i in range(len(columns)) if any(row[i].text for row in rows)]
    return AnswerTable(
        key=kind.value,
        title=kind_title(kind),
        columns=tuple(columns[i] for i in used),
        rows=tuple(tuple(row[i] for i in used) for row in rows),
    )


def _texts(line: FindingLine, writer: FindingWriter) -> tuple[str, str, int]:
    return writer.where(line), writer.text(line), len(line.findings)


def _data(finding: Finding) -> tuple[Datum, ...]:
    """A figure, or a name where there is one."""
    own = (getattr(finding, key) for key in _FINDING_KEYS)
    return tuple(value if isinstance(value, float) else str(value or "") or None for value in own)


@dataclass(frozen=True, slots=True)
class CoverageFigure:
    """Strips of coverage, drawn when they are asked for."""

    strips: Sequence[CoverageStrip]
    formatter: Formatter
    alt: str
    caption: str
    width = WIDE

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height [pt]; the width has no part in it."""
        from tablegen.report.graphs.coverage_graph import figure_heights

        return figure_heights(len(self.strips))

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        from tablegen.report.graphs.coverage_graph import coverage_drawing

        return coverage_drawing(self.strips, self.formatter, width, height)


def _figure(audit: Audit, formatter: Formatter) -> CoverageFigure:
    """Of tables that do not all fit, those with faults are drawn first."""
    from tablegen.report.graphs.coverage_graph import MAX_STRIPS

    strips = [_strip(audited, audit.findings, formatter) for audited in audit.tables]
    chosen = sorted(sorted(range(len(strips)), key=lambda i: not strips[i].is_faulty)[:MAX_STRIPS])
    left_out = len(strips) - len(chosen)
    caption = wording.CAPTION()
    gaps = sum(len(row.gaps) for audited in audit.tables for row in audited.coverage)
    return CoverageFigure(
        [strips[i] for i in chosen],
        formatter,
        alt=wording.ALT(len(chosen), gaps=gaps),
        caption=f"{caption} {wording.NOT_DRAWN(left_out)}" if left_out else caption,
    )


def _strip(audited: AuditedTable, findings: Sequence[Finding], formatter: Formatter) -> CoverageStrip:
    from tablegen.report.graphs.coverage_graph import CoverageStrip

    table = audited.table
    faults = [
        finding
        for finding in findings
        if (finding.family, finding.group, finding.application) == table.key and finding.severity is Severity.FAULT
    ]
    rows = {float(kelvin): i for i, kelvin in enumerate(table.sst_k)}
    marked = {rows[f.sst_k] for f in faults if f.kind is not FindingKind.GAP and f.sst_k in rows}
    coldest, warmest = formatter.temperature(float(table.sst_k[0])), formatter.degrees(float(table.sst_k[-1]))
    return CoverageStrip(
        title=(f"{table.family}, {table.group}", _sizes_text(audited)),
        subtitle=(table.application, terms.RANGE(low=coldest, high=warmest)),
        sst_k=table.sst_k,
        min_w=table.min_w,
        max_w=table.max_w,
        marked=sorted(marked),
        is_faulty=bool(faults),
    )
