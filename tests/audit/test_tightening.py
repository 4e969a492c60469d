"""Other corners, the other suction response, temperatures between rows: findings against tables made on purpose."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tablegen.audits.findings import Finding, FindingKind, LimitKind, Severity
from tablegen.audits.printed_table import PrintUnits
from tablegen.audits.run import Audit, audit
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute_windows
from tablegen.report.answers.audit_findings import FindingWriter
from tablegen.report.formatter import Formatter
from tests.small import HARD, small_catalogue
from tests.worked import WORKED

MEDIUM = "applications/walk_in_medium.yaml"
# Liquid that is lifted high: the colder it is the denser, so that more of the head is lost on the way up.
HIGH_LIFT = [
    (MEDIUM, "lift: 0 ft", "lift: 95 ft"),
    (MEDIUM, "liquid_line: 5 psi", "liquid_line: 1 psi"),
    (MEDIUM, "distributor: 25 psi", "distributor: 0 psi"),
    (MEDIUM, "evaporator: 2 psi", "evaporator: 0 psi"),
    (MEDIUM, "  subcooling: 9 delta_degF", "  subcooling: 45 delta_degF"),
    (MEDIUM, "maximum: 40 degF", "maximum: 30 degF"),
]
LOW_HEAD = '  inlet_subcooling: 5 delta_degF\n  source: "Within'


def with_subcooling(text: str) -> tuple[str, str, str]:
    return (MEDIUM, LOW_HEAD, f'  {text}\n  source: "Within')


def audited(path: Path) -> tuple[Audit, pd.DataFrame, PrintUnits]:
    catalogue = load_catalogue(path)
    tables = compute_windows(catalogue)
    return audit(catalogue, tables=tables), tables.group_windows, PrintUnits.of(catalogue)


def at(frame: pd.DataFrame, finding: Finding, sst_k: float | None = None) -> pd.Series:
    """The window of a finding in another frame of group windows."""
    own = frame[(frame["family"] == finding.family) & (frame["size"].astype(str) == finding.size)]
    own = own[np.isclose(own["sst_k"], finding.sst_k if sst_k is None else sst_k)]
    ((_, row),) = own.iterrows()
    return row


@pytest.mark.slow
def test_the_other_end_of_a_range_of_subcooling_is_what_a_table_made_for_it_has(tmp_path):
    parts = (["hazel"], {"one": ["R404A"]}, ["walk_in_medium"])
    ranged = with_subcooling("inlet_subcooling_range: {minimum: 1 K, maximum: 10 K}")
    found, frame, units = audited(small_catalogue(tmp_path / "a", *parts, [*HIGH_LIFT, ranged], WORKED.parent))
    findings = [f for f in found.findings if f.kind is FindingKind.SUBCOOLING_CORNER]
    assert findings
    assert {f.limit for f in findings} == {LimitKind.MAXIMUM}
    colder = small_catalogue(
        tmp_path / "b", *parts, [*HIGH_LIFT, with_subcooling("inlet_subcooling: 10 K")], WORKED.parent
    )
    other = compute_windows(load_catalogue(colder)).group_windows
    for finding in findings:
        published = at(frame, finding)
        assert finding.from_load_w == published["max_load_w"]
        assert finding.to_load_w == pytest.approx(at(other, finding)["max_load_w"], rel=1e-9)
        # A fault only where a printed figure promises more.
        window = published["min_load_w"], published["max_load_w"]
        is_more = units.promise_more(LimitKind.MAXIMUM, window, finding.to_load_w)
        assert (finding.severity is Severity.FAULT) == is_more
    # Where the audit says nothing the other end is not stricter.
    named = {(f.size, round(f.sst_k, 6)) for f in findings}
    for (_, own), (_, moved) in zip(frame.iterrows(), other.iterrows(), strict=True):
        if (own["size"], round(own["sst_k"], 6)) not in named and np.isfinite(own["max_load_w"]):
            assert moved["max_load_w"] >= own["max_load_w"] * (1.0 - 2e-6)


@pytest.mark.slow
def test_the_other_suction_response_is_what_a_table_made_for_it_has(tmp_path):
    """Hard case of a table of flows: balanced as it is, constant in the other."""
    parts = (["elm"], {"one": ["R404A"]}, ["table_map"])
    found, frame, _ = audited(small_catalogue(tmp_path / "a", *parts, source=HARD))
    constant = ("applications/table_map.yaml", "response: balanced", "response: constant")
    other = compute_windows(
        load_catalogue(small_catalogue(tmp_path / "b", *parts, [constant], source=HARD))
    ).group_windows
    findings = [f for f in found.findings if f.kind is FindingKind.OTHER_RESPONSE]
    assert {(f.limit, f.response, f.severity) for f in findings} >= {(LimitKind.MINIMUM, "constant", Severity.REMARK)}
    seen = 0
    for (_, own), (_, moved) in zip(frame.iterrows(), other.iterrows(), strict=True):
        for limit in LimitKind:
            stricter = moved[limit.column] / own[limit.column] - 1.0
            matching = [f for f in findings if f.limit == limit and at(frame, f).name == own.name]
            if (stricter > 1e-6) if limit is LimitKind.MINIMUM else (stricter < -1e-6):
                (finding,) = matching
                assert finding.to_load_w == pytest.approx(moved[limit.column], rel=1e-9)
                seen += 1
            else:
                assert matching == []
    assert seen == len([f for f in findings if f.limit])


@pytest.mark.slow
def test_constant_suction_without_a_box_difference_is_named_as_not_run_and_with_one_it_is_run(tmp_path):
    # Without a box temperature nothing says what the suction would follow.
    unstated = ("applications/walk_in_medium.yaml", "coil_temperature_difference: 10 delta_degF", "")
    path = small_catalogue(tmp_path / "a", ["hazel"], {"one": ["R134a"]}, ["walk_in_medium"], [unstated], WORKED.parent)
    catalogue = load_catalogue(path)
    found = audit(catalogue)
    assert [f.application for f in found.findings if f.kind is FindingKind.RESPONSE_NOT_RUN] == ["walk_in_medium"]
    assert FindingKind.OTHER_RESPONSE not in {f.kind for f in found.findings}
    assumed = audit(catalogue, box_difference_k=10.0 / 1.8)
    assert FindingKind.RESPONSE_NOT_RUN not in {f.kind for f in assumed.findings}
    given = (
        "applications/walk_in_medium.yaml",
        "  response: constant",
        "  response: constant\n  box_difference: 10 delta_degF",
    )
    for name, edits in (("b", [unstated, given]), ("c", [])):
        own = small_catalogue(tmp_path / name, ["hazel"], {"one": ["R134a"]}, ["walk_in_medium"], edits, WORKED.parent)
        assert audit(load_catalogue(own)).findings == assumed.findings


@pytest.mark.slow
def test_a_limit_between_two_rows_is_what_a_finer_table_has(tmp_path):
    """Hard case: at an edge of the compressor's table the minimum load turns between two rows."""
    grid = "{minimum: 1 degF, maximum: 31 degF, step: 10 delta_degF}"
    two = grid.replace("minimum: 1 ", "minimum: 11 ").replace("31", "21")
    file, example = "applications/table_map.yaml", ("example_sst: 1 degF", "example_sst: 11 degF")
    coarse, fine = ([(file, grid, g), (file, *example)] for g in (two, two.replace("step: 10", "step: 2.5")))
    parts = (["elm"], {"one": ["R404A", "R134a"]}, ["table_map"])
    found, frame, _ = audited(small_catalogue(tmp_path / "a", *parts, coarse, source=HARD))
    other = compute_windows(load_catalogue(small_catalogue(tmp_path / "b", *parts, fine, source=HARD))).group_windows
    findings = [f for f in found.findings if f.kind is FindingKind.BETWEEN_ROWS and f.limit]
    assert findings
    ten = 10.0 / 1.8
    for finding in findings:
        pair = at(frame, finding), at(frame, finding, finding.sst_k + ten)
        column = finding.limit.column
        promised = max(p[column] for p in pair) if finding.limit is LimitKind.MINIMUM else min(p[column] for p in pair)
        assert finding.from_load_w == pytest.approx(promised, rel=1e-9)
        assert finding.to_load_w == pytest.approx(at(other, finding, finding.to_sst_k)[column], rel=1e-9)
        assert finding.sst_k < finding.to_sst_k < finding.sst_k + ten
        assert (finding.to_load_w > promised) if finding.limit is LimitKind.MINIMUM else (finding.to_load_w < promised)


@pytest.mark.slow
def test_a_finding_between_heads_is_written_with_head_size_and_both_figures(tmp_path):
    edits = [
        ("families/rowan.yaml", "unbalance: -2 percent", "unbalance: 8 percent"),
        (MEDIUM, "distributor: 25 psi", "distributor: 50 psi"),
    ]
    path = small_catalogue(tmp_path / "a", ["rowan"], {"one": ["R404A"]}, ["walk_in_medium"], edits, WORKED.parent)
    catalogue = load_catalogue(path)
    found = audit(catalogue)
    faults = [
        line for line in found.lines if line.kind is FindingKind.BETWEEN_HEADS and line.severity is Severity.FAULT
    ]
    (line,) = faults
    finding = line.widest
    formatter = Formatter("IP")
    writer = FindingWriter(formatter, catalogue)
    text = writer.text(line)
    gauge = formatter.gauge(finding.head_pressure_pa, catalogue.applications["walk_in_medium"].site_pressure_pa)
    assert writer.where(line).startswith("rowan, one, walk_in_medium, sizes ")
    at_head = f"at {gauge}\N{NO-BREAK SPACE}psig, between the operating conditions, the minimum load with R404A"
    assert text.startswith(f"{at_head} is stricter by up to")
    was, now = (formatter.window(w, w)[0] for w in (finding.from_load_w, finding.to_load_w))
    assert was != now
    assert f"the table has {was}\N{NO-BREAK SPACE}kBtu/h, and {now}\N{NO-BREAK SPACE}kBtu/h is computed there" in text
