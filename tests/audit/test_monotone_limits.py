"""Limits along size and suction temperature, on planted tables."""

import numpy as np
import pytest

from tablegen.audit.findings import Kind, Severity
from tablegen.audit.monotone import size_cells, turn_cells, turns
from tablegen.audit.parts import tables_of
from tests.audit.test_size_range import planted
from tests.demo import demo_catalogue, demo_data


def test_every_limit_of_the_demo_rises_with_size():
    assert [c for t in tables_of(demo_catalogue(), demo_data().group_windows) for c in size_cells(t)] == []


def test_a_limit_that_does_not_rise_with_size_is_a_fault_at_its_place():
    minimum = [[1.0, 1.0, 1.0], [2.0, 1.0, 2.0], [3.0, 3.0, 3.0]]
    maximum = [[4.0, 4.0, 4.0], [5.0, 5.0, 7.0], [6.0, 6.0, 6.0]]
    cells = size_cells(planted(minimum, maximum))
    assert [(c.limit, c.size, c.other_size, c.sst_k, c.from_load_w, c.to_load_w) for c in cells] == [
        ("minimum", "a", "b", 261.0, 1.0, 1.0),
        ("maximum", "b", "c", 262.0, 7.0, 6.0),
    ]
    assert {c.severity for c in cells} == {Severity.FAULT}


def test_an_empty_size_is_passed_over():
    nan = np.nan
    assert size_cells(planted([[1.0], [nan], [2.0]], [[4.0], [nan], [5.0]])) == []
    (cell,) = size_cells(planted([[1.0], [nan], [2.0]], [[4.0], [nan], [4.0]]))
    assert (cell.size, cell.other_size, cell.limit) == ("a", "c", "maximum")


@pytest.mark.parametrize(
    ("series", "expected"),
    [
        ([1.0, 2.0, 3.0], []),
        ([3.0, 2.0, 1.0], []),
        ([1.0, 2.0, 1.5, 1.0], [(1, "peak")]),
        ([3.0, 2.0, 2.5, 2.0], [(1, "valley"), (2, "peak")]),
        # Level within the noise: the turn is where the fall begins.
        ([1.0, 2.0, 2.0 + 1e-8, 1.0], [(2, "peak")]),
        ([1.0, 1.0 + 1e-8, 1.0, 1.0 + 1e-8], []),
        # An empty row parts the series.
        ([1.0, 2.0, float("nan"), 1.5, 1.0], []),
    ],
)
def test_turns_of_a_series(series, expected):
    assert turns(np.array(series)) == expected


def test_turns_are_remarks_for_each_size():
    cells = turn_cells(planted([[1.0, 2.0, 1.5]] * 2, [[4.0, 5.0, 6.0]] * 2))
    assert [(c.kind, c.size, c.limit, c.detail, c.sst_k) for c in cells] == [
        (Kind.TURN, "a", "minimum", "peak", 261.0),
        (Kind.TURN, "b", "minimum", "peak", 261.0),
    ]
    assert {c.severity for c in cells} == {Severity.REMARK}


def test_a_turn_of_the_demo_is_where_its_limits_are_max():
    table = tables_of(demo_catalogue(), demo_data().group_windows)[0]
    (peak,) = {c.sst_k for c in turn_cells(table)}
    assert peak == table.sst_k[int(table.max_w[0].argmax())]
