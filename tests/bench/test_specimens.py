"""Several specimens pooled: the mean valve and the scatter between valves, each within its bounds as often as they say."""

from __future__ import annotations

import dataclasses
from collections import Counter

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.fit import fit_bench
from tablegen.bench.parameters import Parameter, Quantity
from tablegen.bench.random_effects import random_effects
from tablegen.bench.readings import BenchRows, FitOptions
from tests.bench.demo_data import CHARGE
from tests.bench.invented import Noise, Truth, specimens_of
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, VALVE, true_value, truth

# Standard deviations between valves: shares of Kv, kelvin, shares of the drop.
SCATTER = {
    Quantity.KV: 0.02,
    Quantity.STATIC_SUPERHEAT: 0.25,
    Quantity.OPENING_SUPERHEAT: 0.15,
    Quantity.UNBALANCE: 0.0015,
}
SIZE_OF = {"A1": "45", "A2": "45", "A3": "45", "A4": "45", "B1": "90", "B2": "90", "B3": "90"}


def specimen_truths(seed: int) -> dict[str, Truth]:
    """Valves drawn about the mean one."""
    rng, mean = np.random.default_rng(900_000 + seed), truth()
    made = {}
    for name in SIZE_OF:
        kv, static, opening, port = rng.standard_normal(4)
        made[name] = dataclasses.replace(
            mean,
            kv_m3h={size: own * np.exp(SCATTER[Quantity.KV] * kv) for size, own in mean.kv_m3h.items()},
            static_superheat_k=mean.static_superheat_k + SCATTER[Quantity.STATIC_SUPERHEAT] * static,
            opening_superheat_k=mean.opening_superheat_k + SCATTER[Quantity.OPENING_SUPERHEAT] * opening,
            unbalance=mean.unbalance + SCATTER[Quantity.UNBALANCE] * port,
        )
    return made


def rows_of(seed: int) -> BenchRows:
    return specimens_of(specimen_truths(seed), SIZE_OF, Noise(), seed, FLUID, ON_BENCH.charge, CHARGE)


NOMINAL = {
    Parameter(Quantity.KV, "45"),
    Parameter(Quantity.KV, "90"),
    Parameter(Quantity.STATIC_SUPERHEAT, CHARGE),
    Parameter(Quantity.OPENING_SUPERHEAT, CHARGE),
    Parameter(Quantity.UNBALANCE),
}


@pytest.mark.parametrize("count", [pytest.param(10, id="10"), pytest.param(100, id="100", marks=pytest.mark.slow)])
def test_scatter_and_nominal_values_lie_within_their_bounds(count):
    inside: Counter[object] = Counter()
    ratios = []
    for seed in range(count):
        found = fit_bench(rows_of(seed), VALVE, FLUIDS, FitOptions(confidence=0.95))
        estimates = {e.parameter: e for e in found.findings.estimates}
        # A characteristic by points, once in hundreds of files whose one is linear, is an estimate of all specimens.
        assert {own for own in estimates if own.quantity is not Quantity.OPENING} == NOMINAL
        for parameter in NOMINAL:
            estimate = estimates[parameter]
            inside[parameter] += abs(estimate.value - true_value(truth(), parameter)) <= estimate.half_width
        assert {own.quantity for own in found.scatter} == set(SCATTER)
        for own in found.scatter:
            inside[own.quantity] += own.low <= SCATTER[own.quantity] <= own.high
            ratios.append(own.deviation / SCATTER[own.quantity])
            assert own.specimens == 7 and own.low <= own.deviation <= own.high
    low = stats.binom.ppf(0.001, count, 0.95)
    print(dict(inside))
    assert {what: n for what, n in inside.items() if n < low} == {}
    # Nor may the bounds include the truth because they are wide: a standard deviation of five degrees of freedom.
    assert np.median(ratios) == pytest.approx(1.0, abs=0.2)


def test_equal_errors_give_the_analysis_of_variance():
    """By hand, one-way layout (any textbook): between variance less that of reading noise; chi-square bounds of both."""
    values, noise = np.array([9.0, 10.0, 12.0, 13.0, 16.0]), 1.5
    found = random_effects(values, noise**2 * np.eye(5), np.zeros(5, dtype=int), 0.95)
    variance = values.var(ddof=1)
    assert variance == pytest.approx(7.5)
    assert found.deviation == pytest.approx(np.sqrt(7.5 - 2.25), rel=1e-4)
    # Of chi-square with 4 degrees of freedom, from a table: 0.4844 and 11.143.
    assert found.high == pytest.approx(np.sqrt(4 * 7.5 / 0.4844 - 2.25), rel=1e-3)
    assert found.low == pytest.approx(np.sqrt(4 * 7.5 / 11.143 - 2.25), rel=1e-3)
    assert found.means[0] == pytest.approx(12.0) and found.errors[0] == pytest.approx(np.sqrt(7.5 / 5), rel=1e-4)


def test_two_specimens_give_wide_bounds_and_two_sizes_share_a_scatter():
    found = random_effects(np.array([1.0, 2.0]), np.zeros((2, 2)), np.zeros(2, dtype=int), 0.95)
    # Of one degree of freedom: 0.000982 and 5.024.
    assert (found.low, found.high) == (pytest.approx(np.sqrt(0.5 / 5.024), rel=1e-3), pytest.approx(22.6, rel=0.01))
    other = random_effects(np.array([1.0, 2.0, 11.0, 14.0]), np.zeros((4, 4)), np.array([0, 0, 1, 1]), 0.95)
    assert other.deviation == pytest.approx(np.sqrt((0.5 + 4.5) / 2.0), rel=1e-4)
    assert other.means == pytest.approx([1.5, 12.5]) and other.freedom == 2
    alone = random_effects(np.array([1.0, 11.0]), np.eye(2), np.array([0, 1]), 0.95)
    assert alone.freedom == 0 and np.isnan([alone.deviation, alone.low, alone.high]).all()


@pytest.mark.parametrize("scatter", [0.0, 0.5, 2.0])
def test_bounds_hold_whatever_noise_and_shared_errors_there_are(scatter):
    rng, inside, count = np.random.default_rng(3), Counter(), 400
    group = np.array([0, 0, 0, 0, 1, 1, 1])
    own = np.array([0.3, 1.0, 1.5, 0.6, 0.8, 1.2, 0.4])
    covariance = np.diag(own**2) + 0.5
    root = np.linalg.cholesky(covariance)
    for _ in range(count):
        values = np.array([5.0, 8.0])[group] + root @ rng.standard_normal(7) + scatter * rng.standard_normal(7)
        found = random_effects(values, covariance, group, 0.95)
        inside["scatter"] += found.low <= scatter <= found.high
        inside["mean"] += abs(found.means[1] - 8.0) <= stats.t.ppf(0.975, found.freedom) * found.errors[1]
    low, high = stats.binom.interval(0.999, count, 0.95)
    assert low <= inside["scatter"] <= (count if scatter == 0.0 else high)
    assert inside["mean"] >= low
