"""Rows without an opening: it is inferred from flow where Kv(opening) is known, and refused where it is not."""

from __future__ import annotations

import dataclasses
from collections import defaultdict

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.fit import fit_bench
from tablegen.bench.parameters import Part, Quantity, Unusable
from tablegen.bench.readings import BenchRows, FitOptions, StatedFlow
from tablegen.bench.result import KvSource
from tablegen.physics.flow import FlowLaw
from tablegen.physics.valve import OpeningCharacteristic
from tests.bench.demo_data import CHARGE
from tests.bench.invented import QUIET, Noise, Plan, balance_plan, flow_plan, joined, readings
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, POINTS, VALVE, true_value, truth

SETTING = (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT, Quantity.UNBALANCE)
KV = truth().kv_m3h
STATED = StatedFlow(kv_m3h=KV, characteristic=OpeningCharacteristic(1.2), kv_deviation={"45": 0.01})
BY_FAMILY = dataclasses.replace(VALVE, stated=STATED)


def balance(seed, made_from=None, noise=None, plan=None):
    noise = Noise() if noise is None else noise
    return readings(
        made_from or truth(), plan or balance_plan("45"), noise, 100_000 + seed, FLUID, ON_BENCH.charge, CHARGE
    )


def flow(seed, made_from=None, noise=None):
    return readings(made_from or truth(), flow_plan(KV), Noise() if noise is None else noise, seed, FLUID)


def without_opening(rows: BenchRows, every: int = 1) -> BenchRows:
    """The same rows, with the opening of every so many of those with a bulb left out."""
    at = np.flatnonzero(np.isfinite(rows.bulb_temperature_k))[::every]
    opening = rows.opening.copy()
    opening[at] = np.nan
    return dataclasses.replace(rows, opening=opening)


def fitted(rows, valve=VALVE, **options):
    return fit_bench(rows, valve, FLUIDS, FitOptions(**options))


def estimates(found):
    return {e.parameter.quantity: e for e in found.findings.estimates if e.parameter.quantity in SETTING}


@pytest.mark.parametrize("points", [(), POINTS])
@pytest.mark.parametrize("recovery", [None, 0.85])
def test_openings_come_back_from_flow(points, recovery):
    made_from = truth(points=points, recovery=recovery)
    rows = joined(flow(1, made_from, QUIET), balance(1, made_from, QUIET))
    found = fitted(without_opening(rows, 2))
    assert found.balance is not None and len(found.inferred.line) == 18
    read = dict(zip(rows.line, rows.opening, strict=True))
    # Points at other openings than the truth has its own make a hair of difference between them.
    assert found.inferred.opening == pytest.approx([read[line] for line in found.inferred.line], abs=5e-4)
    (source,) = found.inferred.sources
    assert (source.source, source.rows, source.sizes) == (KvSource.ROWS, 18, ("45",))
    for estimate in estimates(found).values():
        assert estimate.value == pytest.approx(true_value(made_from, estimate.parameter), rel=1e-3)


def test_rows_without_an_opening_say_nothing_of_the_flow():
    rows = joined(flow(2), balance(2))
    whole = fitted(without_opening(rows))
    alone = fitted(flow(2))
    assert whole.flow is not None and alone.flow is not None and whole.flow.count == alone.flow.count
    for estimate in alone.findings.estimates:
        assert [e for e in whole.findings.estimates if e.parameter == estimate.parameter] == [estimate]


RUNS = [pytest.param(10, id="10"), pytest.param(200, id="200", marks=pytest.mark.slow)]


@pytest.mark.slow
@pytest.mark.parametrize("source", ["rows", "family"])
@pytest.mark.parametrize("count", RUNS)
def test_truth_lies_within_the_bounds_as_often_as_they_say(count, source):
    inside, half, asked = defaultdict(int), 0, 0
    for seed in range(count):
        if source == "rows":
            found = fitted(without_opening(joined(flow(seed), balance(seed)), 2))
        else:
            # The family states a Kv that is off by as much as its tolerance says.
            off = 1.0 + 0.03 * np.random.default_rng(seed).standard_normal()
            stated = StatedFlow(
                kv_m3h={"45": off * KV["45"]}, characteristic=OpeningCharacteristic(1.2), kv_deviation={"45": 0.03}
            )
            rows = without_opening(balance(seed))
            found = fitted(
                rows, dataclasses.replace(VALVE, stated=stated), flow_uncertainty=0.008, opening_uncertainty=0.003
            )
        kept = estimates(found)
        assert set(kept) == set(SETTING)
        for key, estimate in kept.items():
            away = abs(estimate.value - true_value(truth(), estimate.parameter)) / estimate.half_width
            inside[key] += away <= 1.0
            half += away <= 0.5
            asked += 1
    low, high = stats.binom.interval(0.999, count, 0.95)
    assert {key: n for key, n in inside.items() if not low <= n <= high} == {}
    # Bounds that include everything because they are wide would say nothing.
    assert half / asked < 0.9


def test_uncertainty_of_kv_widens_the_bounds():
    rows = without_opening(balance(3))
    widths = []
    for deviation in (0.0, 0.03):
        valve = dataclasses.replace(BY_FAMILY, stated=dataclasses.replace(STATED, kv_deviation={"45": deviation}))
        found = fitted(rows, valve)
        widths.append(estimates(found)[Quantity.OPENING_SUPERHEAT].half_width)
        (source,) = found.inferred.sources
        assert source.source is KvSource.FAMILY and source.sizes == ("45",)
        assert source.exact_sizes == (("45",) if deviation == 0.0 else ())
    # 3 percent of Kv is 3 percent of every opening, and so of the gradient.
    more = np.sqrt(widths[1] ** 2 - widths[0] ** 2)
    assert more == pytest.approx(stats.t.ppf(0.975, 33) * 0.03 * truth().opening_superheat_k, rel=0.15)


def test_error_of_the_flow_meter_weighs_the_rows():
    rows = without_opening(balance(4))
    found = fitted(rows, BY_FAMILY, flow_uncertainty=0.02, opening_uncertainty=0.003)
    assert found.balance is not None
    inferred = found.inferred
    # Linear: d(phi) = phi d(ln flow), with 1 percent of Kv beside it.
    assert len(inferred.line) and inferred.deviation == pytest.approx(inferred.opening * np.hypot(0.02, 0.01), rel=0.02)


def test_an_opening_outside_the_travel_is_reported_by_line():
    rows = without_opening(balance(5))
    flows = rows.flow_kg_s.copy()
    flows[5], flows[10] = 3.0 * flows[5], 1.07 * flows[5]
    found = fitted(dataclasses.replace(rows, flow_kg_s=flows), BY_FAMILY)
    row = next(row for row in found.findings.left_out if row.line == rows.line[5])
    assert row.why is Unusable.INFERRED_BEYOND_STOP and row.value > 1.2
    assert found.balance is not None and not {5 + 2} & set(found.inferred.line)


def test_an_opening_at_the_stop_is_not_taken_for_one_in_balance():
    plan = Plan([], [*balance_plan("45").balance, (1.19, 210.0, 25.0, 60.0)], "45")
    found = fitted(without_opening(balance(6, plan=plan)), BY_FAMILY)
    (row,) = (row for row in found.findings.left_out if row.line == 38)
    assert (row.why, row.value) == (Unusable.INFERRED_NEAR_STOP, pytest.approx(1.19, abs=0.03))


def refusals(found):
    return {row.why for row in found.findings.left_out}


def test_kv_that_is_known_from_nowhere_is_refused_by_line():
    rows = without_opening(balance(7))
    found = fitted(rows)
    assert refusals(found) == {Unusable.KV_UNKNOWN}
    assert {row.size for row in found.findings.left_out} == {"45"}
    assert [row.line for row in found.findings.left_out] == rows.line.tolist()
    assert found.balance is None and estimates(found) == {}


def test_a_kv_of_the_other_law_is_refused():
    other = truth(recovery=0.8)
    choked = readings(other, flow_plan(("90",)), Noise(), 8, FLUID)
    found = fitted(joined(choked, without_opening(balance(8, other))), BY_FAMILY)
    assert found.flow is not None and found.flow.law is FlowLaw.CHOKED
    assert refusals(found) == {Unusable.KV_OF_OTHER_LAW}


def test_flow_that_lies_off_its_law_gives_no_openings():
    rows = flow(9)
    # Warm liquid passes 8 percent more than the law would let it.
    more = np.where(rows.inlet_temperature_k > rows.inlet_temperature_k.mean(), 1.08, 1.0)
    found = fitted(
        joined(dataclasses.replace(rows, flow_kg_s=rows.flow_kg_s * more), without_opening(balance(9))), BY_FAMILY
    )
    assert found.findings.lack_of_fit
    assert refusals(found) == {Unusable.FLOW_LACKS_FIT}


def test_rows_without_an_opening_count_for_what_they_say():
    """One that gives neither an opening nor what it is inferred from is named, and changes nothing."""
    rows = joined(flow(3), balance(3))
    flow_line, bulb_line = 5, int(rows.line[-1])
    opening, mass_flow = rows.opening.copy(), rows.flow_kg_s.copy()
    opening[np.isin(rows.line, (flow_line, bulb_line))] = np.nan
    mass_flow[rows.line == bulb_line] = np.nan
    found = fitted(dataclasses.replace(rows, opening=opening, flow_kg_s=mass_flow))
    named = {(row.line, row.part, row.why) for row in found.findings.left_out}
    assert named == {
        (flow_line, Part.FLOW, Unusable.NO_OPENING),
        (bulb_line, Part.BALANCE, Unusable.NO_OPENING_NO_FLOW),
    }
    keep = ~np.isin(rows.line, (flow_line, bulb_line))
    less = BenchRows(**{own.name: getattr(rows, own.name)[keep] for own in dataclasses.fields(rows)})
    assert fitted(less).findings.estimates == found.findings.estimates
