"""The one rule for the ends of a range: a last digit is forgiven, no more."""

from __future__ import annotations

import numpy as np
import pytest

from tablegen.physics.arrays import bounded, snapped


def test_a_value_within_a_hair_of_an_end_is_the_end() -> None:
    # A thousand-millionth of the upper end, to either side, at either end; what lies between is left.
    found = snapped(
        [250.0 - 2e-7, 250.0 + 2e-7, 250.0 - 5e-7, 260.0, 300.0 + 2.9e-7, 300.0 - 2.9e-7, 300.0 + 5e-7],
        (250.0, 280.0, 300.0),
    )
    np.testing.assert_array_equal(found, [250.0, 250.0, 250.0 - 5e-7, 260.0, 300.0, 300.0, 300.0 + 5e-7])


def test_an_end_inside_is_no_end() -> None:
    np.testing.assert_array_equal(snapped([280.0 + 1e-7], (250.0, 280.0, 300.0)), [280.0 + 1e-7])


def test_the_last_end_may_be_below_zero() -> None:
    np.testing.assert_array_equal(snapped([-3.0 + 1e-9, -3.0 + 1e-8], (-9.0, -3.0)), [-3.0, -3.0 + 1e-8])


def test_figures_become_floats() -> None:
    assert snapped(5, (0, 10)).dtype == np.float64


@pytest.mark.parametrize(("value", "found"), [(0.1, 0.2), (0.5, 0.5), (0.95, 0.9), (np.nan, np.nan)])
def test_bounded_is_clipping(value: float, found: float) -> None:
    np.testing.assert_array_equal(bounded(np.array([value]), 0.2, 0.9), [found])
