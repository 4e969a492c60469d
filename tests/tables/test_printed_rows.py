"""Which rows are printed: those chosen, and those without which the rule for a load between two rows would be false."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from tablegen.tables.printed_rows import is_empty, printed_rows

NAN = float("nan")
SST_K = np.array([250.0, 252.0, 254.0, 256.0, 258.0])


def shown(minimum, maximum, chosen=(250.0, 254.0, 258.0), sst_k=SST_K):
    return printed_rows(chosen, sst_k, np.atleast_2d(minimum), np.atleast_2d(maximum)).tolist()


def test_without_a_choice_every_row_is_printed():
    assert shown([1.0] * 5, [2.0] * 5, chosen=()) == [True] * 5


def test_a_row_between_two_others_covers_at_least_what_both_have_in_common():
    # Worked by hand: rising limits, each window between its neighbors'.
    assert shown([1.0, 1.1, 1.2, 1.3, 1.4], [5.0, 5.1, 5.2, 5.3, 5.4]) == [True, False, True, False, True]


@pytest.mark.parametrize(
    ("minimum", "maximum"),
    [
        ([1.0, 1.5, 1.2, 1.3, 1.4], [5.0, 5.1, 5.2, 5.3, 5.4]),  # its minimum is above both
        ([1.0, 1.1, 1.2, 1.3, 1.4], [5.0, 4.9, 5.2, 5.3, 5.4]),  # its maximum is below both
        ([1.0, NAN, 1.2, 1.3, 1.4], [5.0, NAN, 5.2, 5.3, 5.4]),  # it has no window, and both have
    ],
)
def test_a_row_that_covers_less_is_printed_too(minimum, maximum):
    assert shown(minimum, maximum) == [True, True, True, False, True]


def test_a_row_without_a_window_promises_nothing():
    # Beside the row at 254 K, which has none, nothing is read between rows.
    assert shown([1.0, 9.0, NAN, 9.0, 1.4], [5.0, 9.5, NAN, 9.5, 5.4]) == [True, False, True, False, True]


def test_windows_that_do_not_overlap_promise_nothing():
    assert shown([1.0, 3.0, 4.0, 4.0, 4.0], [2.0, 3.1, 5.0, 5.0, 5.0], chosen=(250.0, 258.0))[1] is False


def test_what_is_read_between_printed_rows_is_covered_in_every_row_between():
    # A reader's rule, tried on windows drawn at random.
    draws = np.random.default_rng(21)
    for _ in range(200):
        minimum = draws.uniform(1.0, 4.0, (3, 9))
        maximum = minimum + draws.uniform(-0.5, 4.0, (3, 9))
        minimum[maximum <= minimum] = maximum[maximum <= minimum] = NAN
        sst_k = np.arange(9.0)
        rows = printed_rows((0.0, 4.0, 8.0), sst_k, minimum, maximum)
        assert rows[[0, 4, 8]].all()
        for first, last in itertools.pairwise(np.flatnonzero(rows)):
            ends = [first, last]
            low, high = minimum[:, ends].max(axis=1), maximum[:, ends].min(axis=1)
            for size, row in itertools.product(range(3), range(first + 1, last)):
                if low[size] < high[size]:
                    assert minimum[size, row] <= low[size] and maximum[size, row] >= high[size]


def test_a_table_is_empty_by_its_printed_rows():
    maximum = np.array([[NAN, 2.0, NAN]])
    assert is_empty(maximum, np.array([True, False, True]))
    assert not is_empty(maximum, np.array([True, True, True]))
