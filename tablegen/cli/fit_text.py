"""A fit in words and figures for a terminal, and as a record of plain values."""

from __future__ import annotations

import datetime
import textwrap
from typing import Any

from tablegen.bench.result import BenchResult
from tablegen.cli.text_table import aligned
from tablegen.config.bench_family import BenchFamily
from tablegen.config.bench_file import BenchFile
from tablegen.config.family_model import ThermostaticModel
from tablegen.report.fit_words import (
    PRINTED_LIMIT,
    estimate_cells,
    estimate_header,
    lack_of_fit_lines,
    law_text,
    left_out_lines,
    not_told_cells,
    notes,
    outlier_lines,
    scatter_lines,
)
from tablegen.report.formatter import CAUTION, NBSP, Formatter

_PLAIN_LIMIT = "p1 - F_F pv"


def source_of(name: str, date: datetime.date | None) -> str:
    """Where readings come from."""
    shown = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    return f"{shown}, test of {date.isoformat()}" if date else f"{shown}, undated"


def as_record(
    result: BenchResult,
    bench: BenchFamily,
    file: BenchFile,
    date: datetime.date | None,
    source: str,
    fragment_notes: list[str],
) -> dict[str, Any]:
    """The whole answer as JSON values in SI, with what the family states now beside each estimate."""
    from tablegen.dataset.to_json import plain

    record: dict[str, Any] = plain(result)
    for entry, estimate in zip(record["findings"]["estimates"], result.findings.estimates, strict=True):
        entry["stated"] = plain(_stated(bench, estimate.key, estimate.of))
    return {
        "family": result.family,
        "name": bench.family.display_name,
        "title": bench.family.title,
        "file": bench.document.file,
        "source": source,
        "date": plain(date),
        "truth": file.about.truth,
        "rows_read": len(file.rows.line),
        "refrigerants": sorted({str(name) for name in file.rows.refrigerant if name}),
        "fragment_notes": fragment_notes,
        **{key: value for key, value in record.items() if key not in ("kind", "family")},
    }


def _stated(bench: BenchFamily, key: str, of: str) -> float | None:
    """What the family states now, in SI; None where it states no such thing."""
    import numpy as np

    family = bench.family
    if key == "kv":
        return next(size.kv_rated_m3h for size in family.sizes if size.display_name == of)
    if key == "pressure_recovery":
        return family.pressure_recovery
    if key == "opening":
        return float(family.characteristic.share(np.asarray(float(of.split()[0]) / 100.0)))
    if key == "unbalance":
        return bench.model.port.unbalance if isinstance(bench.model, ThermostaticModel) else None
    setting = bench.valve.charges[of].setting
    return setting.static_superheat_k if key == "static_superheat" else setting.opening_superheat_k


def text(record: dict[str, Any], units: str, notice: str) -> str:
    """The answer: parameters with bounds, law, what is not told, rows that stand out, what to beware of."""
    formatter = Formatter(units)
    flow = record["flow"]
    lines = [f"{record['title']}: fit of {record['source']}, {record['rows_read']} rows", ""]
    lines += _table([estimate_header(record["confidence"]), *estimate_cells(record, formatter)])
    if flow is not None:
        lines += ["", f"Flow law {law_text(flow)}"]
    lines += [f"{what}: {how}" for what, how in scatter_lines(record, formatter)]
    if told := not_told_cells(record):
        lines += ["", "Not told:"]
        lines += [f"  {what}: {why}. Missing: {test}" for what, why, test in told]
    for title, found in (
        ("Lack of fit:", lack_of_fit_lines(record, formatter)),
        ("Outliers, set aside:", outlier_lines(record, formatter)),
        ("Left out:", left_out_lines(record)),
    ):
        if found:
            lines += ["", title, *(f"  {line}" for line in found)]
    lines += ["", *notes(record)]
    lines += [f"Fragment: {note}" for note in record["fragment_notes"]]
    return _plain("\n".join(part for line in [*lines, "", notice, CAUTION] for part in _folded(line)))


def _plain(text: str) -> str:
    return text.replace(PRINTED_LIMIT, _PLAIN_LIMIT).replace(NBSP, " ")


def _folded(line: str) -> list[str]:
    indent = "    " if line.startswith("  ") else "  "
    return textwrap.wrap(line, 118, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False) or [""]


def _table(rows: list[list[str]]) -> list[str]:
    """Words flush left, figures flush right."""
    if len(rows) == 1:
        return ["Nothing is told."]
    return aligned(rows, numeric=(1, 2, 4, 5))


def remarks(record: dict[str, Any], units: str) -> list[str]:
    """What stands above a fragment: where its values come from, how it is used, and what it leaves as it is."""
    findings = record["findings"]
    sizes = [e["of"] for e in findings["estimates"] if e["key"] == "kv"]
    lines = [
        f"Family {record['name']}, fitted to {record['source']}: {record['rows_read']} rows; two-sided bounds at "
        f"{100 * record['confidence']:.6g} percent.",
        f"Each key takes the place of the same key in {record['file']}; under 'charges', each charge that of its name.",
    ]
    if sizes:
        lines.append(f"Kv are measured of the sizes {', '.join(sizes)}; other sizes stand as they were.")
    lines += [f"Lack of fit: {_plain(line)}." for line in lack_of_fit_lines(record, Formatter(units))]
    lines += [f"Not told: {n['formatter']}: {n['why']}." for n in findings["not_determined"]]
    for e in findings["estimates"]:
        if e["key"] == "opening":
            value, bound = 100 * e["value"], 100 * e["half_width"]
            lines.append(f"{e['formatter']}: {value:.4g} percent, plus or minus {bound:.2g} percent ({e['rows']} rows)")
    lines += [f"Note: {note}" for note in record["fragment_notes"]]
    return [" ".join(line.split()) for line in lines]
