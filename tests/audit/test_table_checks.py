"""What printed tables show by themselves: size ranges against a scan of loads, planted tables, the demo."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

import numpy as np
import pandas as pd
import pytest

from tablegen.audits.findings import FAULTS, Finding, FindingKind, LimitKind, Severity, Turn, grouped
from tablegen.audits.printed_table import PrintedTable, PrintUnits, tables_of
from tablegen.audits.table_checks import (
    coverage,
    coverage_findings,
    group_findings,
    rising_findings,
    rounding_findings,
    turn_findings,
    turns,
    window_findings,
)
from tablegen.model.publications import Combination
from tablegen.report.answers.audit_findings import FindingWriter
from tablegen.report.formatter import DASH, Formatter
from tablegen.sweep.groups import NARROW_SHARE
from tests.demo import demo_catalogue, demo_data

UNITS = PrintUnits((Formatter("SI"), Formatter("IP")))
PART = Combination("alder", "R404A-R507A", "walk_in_medium")
STEPS = 20_000


def rows_without(*sizes: str) -> pd.DataFrame:
    frame = demo_data().group_windows
    own = frame[(frame["family"] == PART.family) & (frame["group"] == PART.group)]
    return own[(own["application"] == PART.application) & ~own["size"].isin(sizes)]


def table_of(rows: pd.DataFrame) -> PrintedTable:
    catalogue = dataclasses.replace(demo_catalogue(), combinations=(PART,))
    (table,) = tables_of(catalogue, rows)
    return table


def planted(minimum: list[list[float]], maximum: list[list[float]]) -> PrintedTable:
    """Sizes down, rows across [W]; the rest does not matter."""
    low, high = np.array(minimum), np.array(maximum)
    names = np.full(low.shape, "", dtype=object)
    return PrintedTable(
        family="f",
        group="g",
        application="e",
        members=("R",),
        sizes=tuple("abcdefg"[: low.shape[0]]),
        kv_rated_m3h=np.arange(1.0, low.shape[0] + 1),
        sst_k=260.0 + np.arange(low.shape[1]),
        min_w=low,
        max_w=high,
        max_reason=names,
        min_member=names,
        max_member=names,
        confident_reason=names,
    )


def scanned(rows: pd.DataFrame) -> tuple[list[tuple[float, float]], set[int], float]:
    """Ranges of loads between the ends of the size range that no window covers, counts where one does, the scan's step."""
    loads = np.geomspace(rows["min_load_w"].min(), rows["max_load_w"].max(), STEPS)
    counts = np.zeros(STEPS, dtype=int)
    for minimum, maximum in zip(rows["min_load_w"], rows["max_load_w"], strict=True):
        counts += (loads >= minimum) & (loads <= maximum)
    gaps, start = [], None
    for load, count in zip(loads, counts, strict=True):
        if count == 0 and start is None:
            start = load
        elif count and start is not None:
            gaps.append((start, load))
            start = None
    return gaps, set(counts[counts > 0].tolist()), loads[1] / loads[0] - 1.0


@pytest.mark.parametrize("missing", [(), ("45", "63"), ("22", "90", "125")])
def test_gaps_are_those_that_a_scan_of_loads_finds(missing):
    rows = rows_without(*missing)
    table = table_of(rows)
    found_any = 0
    for row, covered in enumerate(coverage(table)):
        gaps, counts, step = scanned(rows[np.isclose(rows["sst_k"], table.sst_k[row])])
        assert len(gaps) == len(covered.gaps)
        for (start, end), gap in zip(gaps, covered.gaps, strict=True):
            assert start == pytest.approx(gap.from_w, rel=2 * step)
            assert end == pytest.approx(gap.to_w, rel=2 * step)
        assert covered.min_sizes in counts
        # The scan may step over a sliver that many sizes share.
        assert max(counts) <= covered.max_sizes
        found_any += len(gaps)
    assert (found_any > 0) == (len(missing) > 0)


def test_a_missing_size_is_a_fault_named_as_the_load_range_that_is_printed_beside_it():
    rows = rows_without("45", "63")
    table = table_of(rows)
    findings = list(coverage_findings(table, coverage(table), PrintUnits.of(demo_catalogue())))
    (line,) = [line for line in grouped(findings) if line.kind is FindingKind.GAP]
    assert line.severity is Severity.FAULT
    assert len(line.findings) == table.sst_k.size
    assert {(f.size, f.other_size) for f in line.findings} == {("32", "90")}
    formatter = Formatter("IP")
    writer = FindingWriter(formatter, demo_catalogue())
    widest = line.widest
    at = rows[np.isclose(rows["sst_k"], widest.sst_k)].set_index("size")
    limits = ["min_load_w", "max_load_w"]
    smaller, larger = (formatter.window(*map(float, at.loc[size, limits])) for size in ("32", "90"))
    covered = f"no size covers {smaller[1]}{DASH}{larger[0]} (between 32 and 90), in kBtu/h"
    assert writer.text(line) == f"at SST {formatter.degrees(widest.sst_k)} {covered}"
    rows_named = f"SST {formatter.temperature(table.sst_k[0])} to {formatter.degrees(table.sst_k[-1])}"
    assert writer.where(line) == f"alder, R404A-R507A, walk_in_medium, sizes 32 to 90, {rows_named}"


def test_sizes_are_put_in_the_order_of_their_flow_coefficient():
    rows = rows_without("45")
    turned = table_of(rows.iloc[::-1])
    assert turned.sizes == table_of(rows).sizes
    assert coverage(turned) == coverage(table_of(rows))


def test_a_wide_window_below_hides_a_narrow_one_inside_it():
    table = planted([[1000.0], [1200.0], [5000.0]], [[4000.0], [1500.0], [9000.0]])
    (covered,) = coverage(table)
    assert [(g.smaller, g.larger, g.from_w, g.to_w) for g in covered.gaps] == [(0, 2, 4000.0, 5000.0)]
    assert (covered.min_sizes, covered.max_sizes) == (1, 2)


def test_rows_without_a_window_have_no_size_range():
    (covered,) = coverage(planted([[np.nan], [np.nan]], [[np.nan], [np.nan]]))
    assert (covered.max_sizes, covered.gaps) == (0, ())
    assert np.isnan(covered.min_w)


def kinds(table: PrintedTable) -> list[FindingKind]:
    return [f.kind for f in coverage_findings(table, coverage(table), UNITS)]


def test_windows_that_meet_as_computed_but_not_as_printed():
    # 10.04 kW down is 10.0, 10.02 up is 10.1.
    assert kinds(planted([[5000.0], [10020.0]], [[10040.0], [20000.0]])) == [
        FindingKind.ROUNDING_GAP,
        FindingKind.THIN_OVERLAP,
    ]
    # 10.20 and 10.10 are printed as they are.
    assert kinds(planted([[5000.0], [10100.0]], [[10200.0], [20000.0]])) == [FindingKind.THIN_OVERLAP]


def test_an_overlap_is_thin_below_five_percent():
    assert kinds(planted([[5000.0], [10000.0]], [[10400.0], [20000.0]])) == [FindingKind.THIN_OVERLAP]
    assert kinds(planted([[5000.0], [10000.0]], [[10600.0], [20000.0]])) == []


def test_windows_that_touch_leave_no_gap():
    assert FindingKind.GAP not in kinds(planted([[5000.0], [10000.0]], [[10000.0], [20000.0]]))


def test_every_limit_of_the_demo_rises_with_size():
    assert [f for t in tables_of(demo_catalogue(), demo_data().group_windows) for f in rising_findings(t)] == []


def test_a_limit_that_does_not_rise_with_size_is_a_fault_where_it_is():
    minimum = [[1.0, 1.0, 1.0], [2.0, 1.0, 2.0], [3.0, 3.0, 3.0]]
    maximum = [[4.0, 4.0, 4.0], [5.0, 5.0, 7.0], [6.0, 6.0, 6.0]]
    findings = list(rising_findings(planted(minimum, maximum)))
    assert [(f.limit, f.size, f.other_size, f.sst_k, f.from_load_w, f.to_load_w) for f in findings] == [
        ("minimum", "a", "b", 261.0, 1.0, 1.0),
        ("maximum", "b", "c", 262.0, 7.0, 6.0),
    ]
    assert {f.severity for f in findings} == {Severity.FAULT}


def test_an_empty_size_is_passed_over():
    nan = np.nan
    assert list(rising_findings(planted([[1.0], [nan], [2.0]], [[4.0], [nan], [5.0]]))) == []
    (finding,) = rising_findings(planted([[1.0], [nan], [2.0]], [[4.0], [nan], [4.0]]))
    assert (finding.size, finding.other_size, finding.limit) == ("a", "c", "maximum")


@pytest.mark.parametrize(
    ("series", "expected"),
    [
        ([1.0, 2.0, 3.0], []),
        ([3.0, 2.0, 1.0], []),
        ([1.0, 2.0, 1.5, 1.0], [(1, Turn.PEAK)]),
        ([3.0, 2.0, 2.5, 2.0], [(1, Turn.VALLEY), (2, Turn.PEAK)]),
        # Level within the noise: the turn is where the fall begins.
        ([1.0, 2.0, 2.0 + 1e-8, 1.0], [(2, Turn.PEAK)]),
        ([1.0, 1.0 + 1e-8, 1.0, 1.0 + 1e-8], []),
        # An empty row divides the series.
        ([1.0, 2.0, float("nan"), 1.5, 1.0], []),
    ],
)
def test_turns_of_a_series(series, expected):
    assert turns(np.array(series)) == expected


def test_turns_are_remarks_for_each_size():
    findings = list(turn_findings(planted([[1.0, 2.0, 1.5]] * 2, [[4.0, 5.0, 6.0]] * 2)))
    assert [(f.kind, f.size, f.limit, f.turn, f.sst_k) for f in findings] == [
        (FindingKind.TURN, "a", LimitKind.MINIMUM, Turn.PEAK, 261.0),
        (FindingKind.TURN, "b", LimitKind.MINIMUM, Turn.PEAK, 261.0),
    ]
    assert {f.severity for f in findings} == {Severity.REMARK}


def test_a_turn_of_the_demo_is_where_its_limits_are_max():
    table = tables_of(demo_catalogue(), demo_data().group_windows)[0]
    (peak,) = {f.sst_k for f in turn_findings(table)}
    assert peak == table.sst_k[int(table.max_w[0].argmax())]


def tables() -> list[PrintedTable]:
    return tables_of(demo_catalogue(), demo_data().group_windows)


def of_kind(kind: FindingKind, findings: Iterable[Finding]) -> list[Finding]:
    return [f for f in findings if f.kind is kind]


def test_every_empty_window_of_the_demo_is_a_remark_with_its_reason():
    frame = demo_data().group_windows
    empty = frame[frame["max_load_w"].isna()]
    findings = of_kind(FindingKind.EMPTY, [f for t in tables() for f in window_findings(t, UNITS)])
    assert len(findings) == len(empty) > 0
    found = sorted((f.family, f.group, f.application, f.size, round(f.sst_k, 6), f.reason) for f in findings)
    columns = ["family", "group", "application", "size", "sst_k", "max_reason"]
    assert found == sorted((*row[:4], round(row[4], 6), row[5]) for row in empty[columns].to_numpy().tolist())
    assert {f.severity for f in findings} == {Severity.REMARK}


def test_a_load_that_is_covered_nominally_and_by_none_at_confidence_is_a_fault():
    """All rows of Rowan under floating head pressure."""
    findings = of_kind(FindingKind.EMPTY_AT_CONFIDENCE, [f for t in tables() for f in window_findings(t, UNITS)])
    frame = demo_data().group_windows
    lost = frame[frame["nominal_max_load_w"].notna() & frame["confident_max_load_w"].isna()]
    assert len(findings) == len(lost)
    rowan = [f for f in findings if (f.family, f.application) == ("rowan", "walk_in_medium")]
    floating = frame[(frame["family"] == "rowan") & (frame["application"] == "walk_in_medium")]
    assert len(rowan) == floating["nominal_max_load_w"].notna().sum() > 0
    assert {f.severity for f in findings} == {Severity.FAULT}


@pytest.mark.parametrize("is_printed", [False, True])
def test_that_fault_is_the_same_whichever_of_the_two_the_table_prints(is_printed):
    nan, why = [[np.nan, 1.0]], np.array([["confidence", ""]], dtype=object)
    table = dataclasses.replace(
        planted(nan if is_printed else [[1.0, 1.0]], [[np.nan, 2.0]] if is_printed else [[2.0, 2.0]]),
        confident_reason=why,
    )
    assert [(f.kind, f.sst_k) for f in window_findings(table, UNITS)] == [(FindingKind.EMPTY_AT_CONFIDENCE, 260.0)]


def test_an_empty_window_without_a_reason_of_the_list_is_a_fault():
    table = planted([[np.nan, 1.0]], [[np.nan, 2.0]])
    (finding,) = [f for f in window_findings(table, UNITS) if f.sst_k == 260.0]
    assert (finding.kind, finding.severity) == (FindingKind.UNEXPLAINED, Severity.FAULT)


def test_a_table_of_nothing_is_one_fault_beside_its_empty_windows():
    reasons = np.full((2, 3), "above_mop", dtype=object)
    nan = [[np.nan] * 3] * 2
    findings = list(window_findings(dataclasses.replace(planted(nan, nan), max_reason=reasons), UNITS))
    assert [f.kind for f in findings] == [FindingKind.EMPTY] * 6 + [FindingKind.ALL_EMPTY]
    assert of_kind(FindingKind.ALL_EMPTY, [f for t in tables() for f in window_findings(t, UNITS)]) == []


def test_windows_are_narrow_below_a_ratio_of_one_fifth():
    findings = list(window_findings(planted([[1000.0], [1000.0]], [[1199.0], [1201.0]]), UNITS))
    assert [(f.kind, f.size) for f in findings] == [(FindingKind.NARROW, "a")]


def test_an_open_window_that_no_print_can_show_is_found_with_its_unit():
    # 1.0041 kW up is 1.01, 1.0099 kW down is 1.00; in kBtu/h 3.43 and 3.44 remain.
    findings = of_kind(FindingKind.NOT_PRINTED, window_findings(planted([[1004.1]], [[1009.9]]), UNITS))
    assert [f.load_unit for f in findings] == ["kW"]


def test_prints_are_those_of_the_booklets_and_the_workbook_each_once():
    assert [(w.system, w.load_label) for w in PrintUnits.of(demo_catalogue()).formatters] == [
        ("IP", "kBtu/h"),
        ("SI", "kW"),
    ]


def test_group_losses_go_as_far_down_as_the_manifest_says():
    shares = {(g.family, g.group, g.application): g.min_width_share for g in demo_data().summary.groups}
    seen = 0
    for table in tables():
        findings = list(group_findings(table, demo_data().windows))
        share = shares[table.family, table.group, table.application]
        if len(table.members) > 1 and share < NARROW_SHARE:
            assert min(f.share for f in findings) == pytest.approx(share, rel=1e-9)
            assert {f.refrigerant for f in findings} | {f.max_refrigerant for f in findings} <= set(table.members)
            seen += 1
        else:
            assert findings == []
    assert seen > 5


def test_no_printed_figure_of_the_demo_promises_more_than_computed():
    assert [f for t in tables() for f in rounding_findings(t, UNITS)] == []


def test_a_figure_that_is_rounded_the_wrong_way_is_an_overpromise(monkeypatch):
    """A print whose minimum loads are rounded down promises loads that no valve was computed for."""
    monkeypatch.setattr(
        Formatter, "window", lambda self, minimum, maximum: (f"{minimum / 1e3:.1f}", f"{maximum / 1e3:.2f}")
    )
    findings = list(rounding_findings(planted([[1040.0]], [[2000.0]]), PrintUnits((Formatter("SI"),))))
    assert [(f.kind, f.limit, f.from_load_w, f.to_load_w) for f in findings] == [
        (FindingKind.OVERPROMISE, "minimum", pytest.approx(1000.0), 1040.0)
    ]


def test_like_findings_make_one_line_faults_first():
    findings = [
        Finding(kind=FindingKind.EMPTY, family="f", group="g", application="e", size=s, sst_k=t, reason="above_mop")
        for s in "abc"
        for t in (1.0, 2.0)
    ] + [
        Finding(kind=FindingKind.EMPTY, family="f", group="g", application="e", size="a", sst_k=3.0, reason="crossed"),
        Finding(kind=FindingKind.ALL_EMPTY, family="f", group="g", application="e"),
    ]
    found = grouped(findings)
    assert [(f.kind, f.severity, len(f.findings)) for f in found] == [
        (FindingKind.ALL_EMPTY, Severity.FAULT, 1),
        (FindingKind.EMPTY, Severity.REMARK, 6),
        (FindingKind.EMPTY, Severity.REMARK, 1),
    ]
    assert found[1].sizes == ("a", "b", "c")


def test_a_mild_finding_of_a_fault_is_a_remark():
    assert {Finding(kind=kind).severity for kind in FAULTS} == {Severity.FAULT}
    assert {Finding(kind=kind, is_mild=True).severity for kind in FAULTS} == {Severity.REMARK}
    assert {Finding(kind=kind).severity for kind in set(FindingKind) - FAULTS} == {Severity.REMARK}
