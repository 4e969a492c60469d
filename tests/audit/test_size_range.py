"""Gaps, overlaps and counts of size ranges, against a plain scan of loads."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

from tablegen.audit.findings import Kind, Severity, grouped
from tablegen.audit.parts import PartTable, tables_of
from tablegen.audit.prints import Prints
from tablegen.audit.size_range import coverage, size_range_cells
from tablegen.cli.audit_words import FindingFormatter
from tablegen.model.inputs import Combination
from tablegen.report.formatter import DASH, Formatter
from tests.demo import demo_catalogue, demo_data

PART = Combination("alder", "R404A-R507A", "walk_in_medium")
STEPS = 20_000


def rows_without(*sizes: str) -> pd.DataFrame:
    frame = demo_data().group_windows
    own = frame[(frame["family"] == PART.family) & (frame["group"] == PART.group)]
    return own[(own["application"] == PART.application) & ~own["size"].isin(sizes)]


def table_of(rows: pd.DataFrame) -> PartTable:
    catalogue = dataclasses.replace(demo_catalogue(), combinations=(PART,))
    (table,) = tables_of(catalogue, rows)
    return table


def planted(minimum: list[list[float]], maximum: list[list[float]]) -> PartTable:
    """Sizes down, rows across [W]; the rest is of no account."""
    low, high = np.array(minimum), np.array(maximum)
    names = np.full(low.shape, "", dtype=object)
    sizes = tuple("abcdefg"[: low.shape[0]])
    sst = 260.0 + np.arange(low.shape[1])
    return PartTable("f", "g", "e", ("R",), sizes, np.arange(1.0, low.shape[0] + 1), sst, low, high, *([names] * 5))


def scanned(rows: pd.DataFrame) -> tuple[list[tuple[float, float]], set[int], float]:
    """Ranges of loads between the ends of the size range that no window holds, counts where one does, the scan's step."""
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


@pytest.mark.parametrize("missing", [(), ("45",), ("45", "63"), ("22", "90", "125")])
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
        assert covered.fewest in counts
        # The scan may step over a sliver that many sizes share.
        assert max(counts) <= covered.most
        found_any += len(gaps)
    assert (found_any > 0) == (len(missing) > 0)


def test_a_missing_size_is_a_fault_named_as_the_load_range_that_is_printed_beside_it():
    rows = rows_without("45", "63")
    table = table_of(rows)
    cells = size_range_cells(table, coverage(table), Prints.of(demo_catalogue()))
    (finding,) = [f for f in grouped(cells) if f.kind is Kind.GAP]
    assert finding.severity is Severity.FAULT
    assert len(finding.cells) == table.sst_k.size
    assert {(c.size, c.other_size) for c in finding.cells} == {("32", "90")}
    formatter = Formatter("IP")
    text = FindingFormatter(formatter, demo_catalogue()).line(finding)
    widest = finding.widest
    at = rows[np.isclose(rows["sst_k"], widest.sst_k)].set_index("size")
    limits = ["min_load_w", "max_load_w"]
    smaller, larger = (formatter.window(*map(float, at.loc[size, limits])) for size in ("32", "90"))
    assert f"{smaller[1]}{DASH}{larger[0]} (between 32 and 90), in kBtu/h" in text
    assert f"SST {formatter.temperature(table.sst_k[0])} to {formatter.degrees(table.sst_k[-1])}" in text
    assert f"({table.sst_k.size} places)" in text


def test_sizes_are_put_in_the_order_of_their_flow_coefficient():
    rows = rows_without("45")
    turned = table_of(rows.iloc[::-1])
    assert turned.sizes == table_of(rows).sizes
    assert coverage(turned) == coverage(table_of(rows))


def test_a_wide_window_below_hides_a_narrow_one_inside_it():
    table = planted([[1000.0], [1200.0], [5000.0]], [[4000.0], [1500.0], [9000.0]])
    (covered,) = coverage(table)
    assert [(g.smaller, g.larger, g.from_w, g.to_w) for g in covered.gaps] == [(0, 2, 4000.0, 5000.0)]
    assert (covered.fewest, covered.most) == (1, 2)


def test_rows_without_a_window_have_no_size_range():
    (covered,) = coverage(planted([[np.nan], [np.nan]], [[np.nan], [np.nan]]))
    assert (covered.most, covered.gaps) == (0, ())
    assert np.isnan(covered.min_w)


PRINTS = Prints((Formatter("SI"), Formatter("IP")))


def kinds(table: PartTable) -> list[Kind]:
    return [c.kind for c in size_range_cells(table, coverage(table), PRINTS)]


def test_windows_that_meet_as_computed_but_not_as_printed():
    # 10.04 kW down is 10.0, 10.02 up is 10.1.
    assert kinds(planted([[5000.0], [10020.0]], [[10040.0], [20000.0]])) == [Kind.ROUNDING_GAP, Kind.THIN_OVERLAP]
    # 10.20 and 10.10 are printed as they are.
    assert kinds(planted([[5000.0], [10100.0]], [[10200.0], [20000.0]])) == [Kind.THIN_OVERLAP]


def test_an_overlap_is_thin_below_five_percent():
    assert kinds(planted([[5000.0], [10000.0]], [[10400.0], [20000.0]])) == [Kind.THIN_OVERLAP]
    assert kinds(planted([[5000.0], [10000.0]], [[10600.0], [20000.0]])) == []


def test_windows_that_touch_leave_no_gap():
    assert Kind.GAP not in kinds(planted([[5000.0], [10000.0]], [[10000.0], [20000.0]]))
