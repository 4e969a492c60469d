"""The monotone curve and the inverses of charges, against scipy's interpolator and root finder."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize.elementwise import find_root

from tablegen.physics.bulb import AntoineCurve, BulbCharge, ChargeCurve, PointsCurve, SaturationCurve
from tablegen.physics.monotone import MonotoneCubic
from tablegen.physics.valve import OpeningCharacteristic
from tests.registry import refrigerant


def curves() -> list[tuple[np.ndarray, np.ndarray]]:
    """Points of all kinds: two alone, steep beside flat, falling."""
    random = np.random.default_rng(4)
    found = [(np.array([1.0, 3.0]), np.array([2.0, 1.0]))]
    for number in range(60):
        count = int(random.integers(2, 13))
        x = np.cumsum(random.uniform(0.01, 3.0, count)) + random.uniform(-5.0, 300.0)
        y = np.cumsum(random.uniform(0.03, 1.0, count) ** 3)
        found.append((x, y if number % 2 else -y))
    return found


def test_the_curve_is_scipys_to_the_last_digits():
    random = np.random.default_rng(5)
    for x, y in curves():
        theirs, ours = PchipInterpolator(x, y, extrapolate=False), MonotoneCubic.through(x, y)
        at = np.concatenate([x, random.uniform(x[0] - 1.0, x[-1] + 1.0, 300)])
        np.testing.assert_allclose(ours(at), theirs(at), rtol=4e-16, atol=4e-16 * float(np.abs(y).max()))


def test_the_inverse_leads_back():
    random = np.random.default_rng(6)
    for x, y in curves():
        curve = MonotoneCubic.through(x, y)
        at = np.concatenate([y, random.uniform(y.min(), y.max(), 300)])
        found = curve.inverse(at)
        assert ((found >= x[0]) & (found <= x[-1])).all()
        # No curve is steeper than three times its steepest interval, and x has a last digit too.
        steepest = 3.0 * float(np.abs(np.diff(y) / np.diff(x)).max())
        last = float(np.spacing(np.abs(x).max()) * steepest + np.spacing(np.abs(y).max()))
        np.testing.assert_allclose(curve(found), at, rtol=0.0, atol=2.0 * last)


def test_nothing_beyond_the_points():
    curve = MonotoneCubic.through(np.array([1.0, 2.0, 4.0]), np.array([10.0, 11.0, 30.0]))
    assert np.isnan(curve(np.array([0.99, 4.01, np.nan]))).all()
    assert np.isnan(curve.inverse(np.array([9.99, 30.01, np.nan]))).all()


@pytest.mark.parametrize(
    ("x", "y"),
    [
        ([1.0], [1.0]),
        ([1.0, 1.0], [1.0, 2.0]),
        ([1.0, 2.0, 3.0], [1.0, 2.0, 2.0]),
        ([2.0, 1.0], [1.0, 2.0]),
        ([1.0, 2.0, 3.0], [2.0, 1.0, 1.0]),
        ([1.0, 2.0, 3.0], [1.0, 1.5, 1.2]),
    ],
)
def test_points_that_make_no_monotone_curve_are_refused(x, y):
    with pytest.raises(ValueError) as caught:
        MonotoneCubic.through(np.array(x), np.array(y))
    assert str(caught.value) == "at least two points, ascending in x, and in y ascending or descending throughout"


def test_whole_numbers_are_figures_too():
    kinds = ((np.array([1, 2, 4], dtype=kind), np.array([3, 7, 8], dtype=kind)) for kind in (int, float))
    whole, plain = (MonotoneCubic.through(x, y) for x, y in kinds)
    at = np.array([1, 2, 3, 4])
    np.testing.assert_array_equal(whole(at), plain(at.astype(float)))
    np.testing.assert_array_equal(whole.inverse(np.array([3, 5, 8])), plain.inverse(np.array([3.0, 5.0, 8.0])))


CHARGES: dict[str, BulbCharge] = {
    "points": BulbCharge(PointsCurve((233.0, 250.0, 275.0, 300.0), (0.9e5, 1.7e5, 4.0e5, 8.5e5))),
    "antoine": BulbCharge(AntoineCurve(6.2, 900.0, 245.0, (233.15, 303.15))),
    "liquid": BulbCharge(SaturationCurve(refrigerant("R134a"))),
    "blend": BulbCharge(SaturationCurve(refrigerant("R448A"))),
    "points with a limit": BulbCharge(PointsCurve((233.0, 250.0, 275.0, 300.0), (0.9e5, 1.7e5, 4.0e5, 8.5e5)), 281.3),
    "liquid with a limit": BulbCharge(SaturationCurve(refrigerant("R134a")), 276.4),
}


@pytest.mark.parametrize("name", CHARGES)
def test_a_bulb_is_as_warm_as_a_root_finder_says(name):
    charge = CHARGES[name]
    low, high = charge.curve.range_k
    warmest = min(high, charge.limit_temperature_k + 60.0) if np.isfinite(charge.limit_temperature_k) else high
    pressure = charge.pressure(np.linspace(low + 0.01, warmest - 0.01, 97))
    ends = np.full(97, low), np.full(97, high if np.isinf(charge.limit_temperature_k) else high + 100.0)
    found = find_root(lambda t, p: charge.pressure(t) - p, ends, args=(pressure,), tolerances={"xrtol": 4e-16})
    # A few units of the last digit of a pressure; kernels of one processor and another differ in them.
    known = found.success
    assert known.sum() > 60
    np.testing.assert_allclose(charge.temperature(pressure)[known], found.x[known], rtol=0.0, atol=3e-12)


@pytest.mark.parametrize("name", CHARGES)
def test_a_bulb_outside_its_curve_has_no_temperature(name):
    charge: ChargeCurve = CHARGES[name].curve
    ends = charge.pressure(np.array(charge.range_k))
    assert np.isnan(charge.temperature(np.array([ends[0] * 0.999, ends[1] * 1.001]))).all()
    assert np.isfinite(charge.temperature(ends)).all()


@pytest.mark.parametrize("points", [(), ((0.0, 0.0), (0.3, 0.15), (1.0, 1.0), (1.4, 1.2))])
def test_the_opening_of_a_share_leads_back(points):
    characteristic = OpeningCharacteristic(1.3, points)
    opening = np.linspace(0.0, 1.3, 131)
    np.testing.assert_allclose(characteristic.opening(characteristic.share(opening)), opening, rtol=0.0, atol=2e-15)
    beyond = float(characteristic.share(np.array(1.3))) + 1e-6
    assert np.isnan(characteristic.opening(np.array([-1e-6, beyond]))).all()


def test_a_piece_is_the_curve_about_its_place():
    """The cubic at a place, taken by numpy from the lowest power up, is the curve up to the next point on either side."""
    x, y = np.array([-1.0, 0.5, 2.0, 2.5]), np.array([3.0, 2.0, -1.0, -1.5])
    curve = MonotoneCubic.through(x, y)
    for place, (left, right) in enumerate(itertools.pairwise(x)):
        start, *coefficients = curve.piece(0.5 * (left + right))
        assert start == left and coefficients[0] == y[place]
        at = np.linspace(left, right, 7)
        np.testing.assert_allclose(np.polynomial.polynomial.polyval(at - start, coefficients), curve(at), rtol=1e-13)
    # A point belongs to the piece that it begins, the last one to that which it ends.
    assert [curve.piece(own)[0] for own in x] == [-1.0, 0.5, 2.0, 2.0]


def test_curves_of_two_rows_are_read_in_their_own_shape():
    curve = MonotoneCubic.through(np.array([1.0, 2.0, 4.0]), np.array([10.0, 11.0, 30.0]))
    at = np.array([[1.0, 1.5, 3.0], [4.0, 2.0, 0.5]])
    for found in (curve(at), curve.slope(at)):
        assert found.shape == (2, 3)
    np.testing.assert_array_equal(curve(at).ravel(), curve(at.ravel()))
    np.testing.assert_allclose(curve.inverse(curve(at))[:, :2], at[:, :2], rtol=1e-14)
