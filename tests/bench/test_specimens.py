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
        assert set(estimates) == NOMINAL
        for parameter, estimate in estimates.items():
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
