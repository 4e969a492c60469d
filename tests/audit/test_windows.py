"""Empty and narrow windows, group losses, rounding: against the frames that they are told of."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from tablegen.audit.findings import FAULTS, Cell, Kind, Severity, grouped
from tablegen.audit.parts import PartTable, tables_of
from tablegen.audit.prints import Prints
from tablegen.audit.windows import group_cells, rounding_cells, window_cells
from tablegen.report.formatter import Formatter
from tablegen.sweep.groups import NARROW_SHARE
from tests.audit.test_size_range import planted
from tests.demo import demo_catalogue, demo_data

PRINTS = Prints.of(demo_catalogue())


def tables() -> list[PartTable]:
    return tables_of(demo_catalogue(), demo_data().group_windows)


def of_kind(kind: Kind, cells: list[Cell]) -> list[Cell]:
    return [c for c in cells if c.kind is kind]


def test_every_empty_window_of_the_demo_is_a_remark_with_its_reason():
    frame = demo_data().group_windows
    empty = frame[frame["max_load_w"].isna()]
    cells = of_kind(Kind.EMPTY, [c for t in tables() for c in window_cells(t, PRINTS)])
    assert len(cells) == len(empty) > 0
    told = sorted((c.family, c.group, c.application, c.size, round(c.sst_k, 6), c.detail) for c in cells)
    columns = ["family", "group", "application", "size", "sst_k", "max_reason"]
    assert told == sorted((*row[:4], round(row[4], 6), row[5]) for row in empty[columns].to_numpy().tolist())
    assert {c.severity for c in cells} == {Severity.REMARK}


def test_a_load_that_is_covered_nominally_and_by_none_at_confidence_is_a_fault():
    """All rows of Rowan under floating head pressure."""
    cells = of_kind(Kind.EMPTY_AT_CONFIDENCE, [c for t in tables() for c in window_cells(t, PRINTS)])
    frame = demo_data().group_windows
    lost = frame[frame["nominal_max_load_w"].notna() & frame["confident_max_load_w"].isna()]
    assert len(cells) == len(lost)
    rowan = [c for c in cells if (c.family, c.application) == ("rowan", "walk_in_medium")]
    floated = frame[(frame["family"] == "rowan") & (frame["application"] == "walk_in_medium")]
    assert len(rowan) == floated["nominal_max_load_w"].notna().sum() > 180
    assert {c.severity for c in cells} == {Severity.FAULT}


@pytest.mark.parametrize("is_printed", [False, True])
def test_that_fault_is_the_same_whichever_of_the_two_the_table_prints(is_printed):
    nan, why = [[np.nan, 1.0]], np.array([["confidence", ""]], dtype=object)
    table = dataclasses.replace(
        planted(nan if is_printed else [[1.0, 1.0]], [[np.nan, 2.0]] if is_printed else [[2.0, 2.0]]),
        confident_reason=why,
    )
    assert [(c.kind, c.sst_k) for c in window_cells(table, PRINTS)] == [(Kind.EMPTY_AT_CONFIDENCE, 260.0)]


def test_an_empty_window_without_a_reason_of_the_list_is_a_fault():
    table = planted([[np.nan, 1.0]], [[np.nan, 2.0]])
    (cell,) = [c for c in window_cells(table, PRINTS) if c.sst_k == 260.0]
    assert (cell.kind, cell.severity) == (Kind.UNEXPLAINED, Severity.FAULT)


def test_a_table_of_nothing_is_one_fault_beside_its_empty_windows():
    reasons = np.full((2, 3), "above_mop", dtype=object)
    nan = [[np.nan] * 3] * 2
    cells = window_cells(dataclasses.replace(planted(nan, nan), max_reason=reasons), PRINTS)
    assert [c.kind for c in cells] == [Kind.EMPTY] * 6 + [Kind.ALL_EMPTY]
    assert of_kind(Kind.ALL_EMPTY, [c for t in tables() for c in window_cells(t, PRINTS)]) == []


def test_windows_are_narrow_below_a_ratio_of_one_fifth():
    cells = window_cells(planted([[1000.0], [1000.0]], [[1199.0], [1201.0]]), PRINTS)
    assert [(c.kind, c.size) for c in cells] == [(Kind.NARROW, "a")]


def test_an_open_window_that_no_print_can_show_is_told_with_its_unit():
    # 1.0041 kW up is 1.01, 1.0099 kW down is 1.00; in kBtu/h 3.43 and 3.44 remain.
    cells = of_kind(Kind.NOT_PRINTED, window_cells(planted([[1004.1]], [[1009.9]]), PRINTS))
    assert [c.detail for c in cells] == ["kW"]


def test_prints_are_those_of_the_booklets_and_the_workbook_each_once():
    assert [(w.system, w.load_label) for w in PRINTS.formatter] == [("IP", "kBtu/h"), ("SI", "kW")]


def test_group_losses_go_as_far_down_as_the_manifest_says():
    shares = {(g.family, g.group, g.application): g.min_width_share for g in demo_data().summary.groups}
    told = 0
    for table in tables():
        cells = group_cells(table, demo_data().windows)
        share = shares[table.family, table.group, table.application]
        if len(table.members) > 1 and share < NARROW_SHARE:
            assert min(c.share for c in cells) == pytest.approx(share, rel=1e-9)
            assert {c.refrigerant for c in cells} | {c.detail for c in cells} <= set(table.members)
            told += 1
        else:
            assert cells == []
    assert told > 5


def test_no_printed_figure_of_the_demo_promises_more_than_computed():
    assert [c for t in tables() for c in rounding_cells(t, PRINTS)] == []


def test_a_figure_that_is_rounded_the_wrong_way_is_an_overpromise(monkeypatch):
    """A print whose minimum loads are rounded down promises loads that no valve was computed for."""
    monkeypatch.setattr(
        Formatter, "window", lambda self, minimum, maximum: (f"{minimum / 1e3:.1f}", f"{maximum / 1e3:.2f}")
    )
    cells = rounding_cells(planted([[1040.0]], [[2000.0]]), Prints((Formatter("SI"),)))
    assert [(c.kind, c.limit, c.from_load_w, c.to_load_w) for c in cells] == [
        (Kind.OVERPROMISE, "minimum", pytest.approx(1000.0), 1040.0)
    ]


def test_like_cells_make_one_line_faults_first():
    cells = [
        Cell(Kind.EMPTY, "f", "g", "e", size=s, sst_k=t, detail="above_mop") for s in "abc" for t in (1.0, 2.0)
    ] + [Cell(Kind.EMPTY, "f", "g", "e", size="a", sst_k=3.0, detail="crossed"), Cell(Kind.ALL_EMPTY, "f", "g", "e")]
    found = grouped(cells)
    assert [(f.kind, f.severity, len(f.cells)) for f in found] == [
        (Kind.ALL_EMPTY, Severity.FAULT, 1),
        (Kind.EMPTY, Severity.REMARK, 6),
        (Kind.EMPTY, Severity.REMARK, 1),
    ]
    assert found[1].sizes == ("a", "b", "c")


def test_a_mild_cell_of_a_fault_is_a_remark():
    assert {Cell(kind).severity for kind in FAULTS} == {Severity.FAULT}
    assert {Cell(kind, is_mild=True).severity for kind in FAULTS} == {Severity.REMARK}
    assert {Cell(kind).severity for kind in set(Kind) - FAULTS} == {Severity.REMARK}
