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
from tests.bench.invented import Noise, Truth, balance_plan, joined, readings, specimens_of
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, VALVE, charge_rows, true_value, truth

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


@pytest.mark.slow
@pytest.mark.parametrize("count", [pytest.param(6, id="6"), pytest.param(100, id="100", marks=pytest.mark.slow)])
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


@pytest.mark.parametrize("scatter", [0.5, *(pytest.param(own, marks=pytest.mark.slow) for own in (0.0, 2.0))])
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


class Fuller:
    """A charge whose pressure is higher by a share at every temperature."""

    def __init__(self, share: float) -> None:
        self.factor = 1.0 + share

    def pressure(self, temperature_k):
        return self.factor * ON_BENCH.charge.pressure(temperature_k)

    def temperature(self, pressure_pa):
        return ON_BENCH.charge.temperature(pressure_pa / self.factor)


def of_specimen(rows: BenchRows, name: str) -> BenchRows:
    return dataclasses.replace(rows, specimen=np.full(len(rows.line), name, dtype=object))


@pytest.mark.slow
def test_charges_of_several_specimens_give_the_mean_curve_and_its_scatter():
    inside: Counter[str] = Counter()
    count, sigma = 4, 0.005
    for seed in range(count):
        parts = []
        for i, share in enumerate(sigma * np.random.default_rng(seed).standard_normal(6)):
            own, number = Fuller(share), 100 * seed + i
            balance = readings(truth(), balance_plan("45"), Noise(), number, FLUID, own, CHARGE)
            parts += [of_specimen(balance, f"E{i}"), of_specimen(charge_rows(number, own), f"E{i}")]
        found = fit_bench(joined(*parts), VALVE, FLUIDS, FitOptions())
        scatter = {own.quantity: own for own in found.scatter}
        of_charge = scatter[Quantity.CHARGE_CURVE]
        assert of_charge.specimens == 6
        inside["scatter"] += of_charge.low <= sigma <= of_charge.high
        assert found.balance is not None
        measured = found.balance.curves[CHARGE]
        middle = measured.points[len(measured.points) // 2]
        true = float(ON_BENCH.charge.pressure(np.asarray(middle.temperature_k)))
        inside["curve"] += abs(middle.pressure_pa - true) <= middle.half_width_pa
        # Each valve was set on its own charge: what its curve is off by is no scatter of the setting.
        estimate = found.estimate(Quantity.STATIC_SUPERHEAT, CHARGE)
        assert estimate is not None
        inside["static superheat"] += abs(estimate.value - truth().static_superheat_k) <= estimate.half_width
        assert scatter[Quantity.STATIC_SUPERHEAT].low < 0.05
    assert {what: n for what, n in inside.items() if n < stats.binom.ppf(0.001, count, 0.95)} == {}


def test_one_specimen_of_each_size_says_nothing_of_scatter_in_kv():
    truths = specimen_truths(5)
    two = {"A1": truths["A1"], "B1": truths["B1"]}
    rows = specimens_of(two, SIZE_OF, Noise(), 5, FLUID, ON_BENCH.charge, CHARGE)
    found = fit_bench(rows, VALVE, FLUIDS, FitOptions())
    assert found.lone == (Quantity.KV,)
    assert {own.quantity: own.freedom for own in found.scatter} == {
        Quantity.UNBALANCE: 1,
        Quantity.STATIC_SUPERHEAT: 1,
        Quantity.OPENING_SUPERHEAT: 1,
    }
    # Its own value, with the bound of its own rows.
    estimate = found.estimate(Quantity.KV, "45")
    assert estimate is not None
    assert abs(estimate.value - two["A1"].kv_m3h["45"]) < 2.0 * estimate.half_width < 0.001


def test_specimens_without_an_opening_are_fitted_by_their_own_kv():
    """Half of the balance rows of each valve have no stroke: its own Kv stands for it, not the mean."""
    rows = rows_of(6)
    at = np.flatnonzero(np.isfinite(rows.bulb_temperature_k))[::2]
    opening = rows.opening.copy()
    opening[at] = np.nan
    found = fit_bench(dataclasses.replace(rows, opening=opening), VALVE, FLUIDS, FitOptions())
    (source,) = found.inferred.sources
    assert source.rows > 100 and len(source.sizes) == 7
    whole = {own.quantity: own.deviation for own in fit_bench(rows, VALVE, FLUIDS, FitOptions()).scatter}
    assert {own.quantity: own.deviation for own in found.scatter} == pytest.approx(whole, rel=0.25)


def test_what_one_specimen_lacks_is_named_with_it():
    rows = rows_of(7)
    is_lost = (rows.specimen == "A2") & (rows.opening < 0.95) & np.isfinite(rows.bulb_temperature_k)
    kept = BenchRows(**{own.name: getattr(rows, own.name)[~is_lost] for own in dataclasses.fields(rows)})
    found = fit_bench(kept, VALVE, FLUIDS, FitOptions())
    missing = {one.parameter.of for one in found.findings.not_determined}
    assert missing == {f"{CHARGE}\N{NO-BREAK SPACE}(A2)"}
    scatter = {own.quantity: own.specimens for own in found.scatter}
    assert scatter[Quantity.STATIC_SUPERHEAT] == 6 and scatter[Quantity.KV] == 7
