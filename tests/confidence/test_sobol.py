"""The points of scipy's generator, which is loaded here alone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import qmc

from tablegen.confidence.draws import INSTALLED, SHARED
from tablegen.confidence.sobol import scrambled_points


@pytest.mark.parametrize("seed", [0, 1, 20240229])
@pytest.mark.parametrize("dimensions", [1, 2, len(SHARED), len(INSTALLED), 16])
def test_points_are_those_of_scipy_to_the_last_bit(seed: int, dimensions: int) -> None:
    expected = qmc.Sobol(dimensions, scramble=True, rng=seed).random(4096)
    for count in (1, 2, 256, 4096):
        np.testing.assert_array_equal(scrambled_points(count, seed, dimensions), expected[:count])


def test_each_half_of_the_cube_has_half_of_the_points() -> None:
    points = scrambled_points(1024, 7, len(INSTALLED))
    assert ((points < 0.5).sum(axis=0) == 512).all()
    assert points.min() >= 0.0
    assert points.max() < 1.0
