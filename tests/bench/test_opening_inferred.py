"""Rows without an opening: it is inferred from flow where Kv(opening) is known, and refused where it is not."""

from __future__ import annotations

import dataclasses
from collections import defaultdict

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.fit import fit_bench
from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import FitOptions, StatedFlow
from tablegen.physics.flow import FlowLaw
from tablegen.physics.valve import OpeningCharacteristic
from tests.bench.demo_data import CHARGE
from tests.bench.invented import QUIET, Noise, Plan, balance_plan, flow_plan, joined, readings
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, POINTS, VALVE, true_value, truth

SETTING_KEYS = ("static_superheat", "opening_superheat", "unbalance")
KV = truth().kv_m3h
STATED = StatedFlow(KV, OpeningCharacteristic(1.2), 1.0, {"45": 0.01})
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


def told(rows, valve=VALVE, **options):
    return fit_bench(rows, valve, FLUIDS, FitOptions(**options))


def estimates(found):
    return {e.key: e for e in found.findings.estimates if e.key in SETTING_KEYS}


@pytest.mark.parametrize("points", [(), POINTS])
@pytest.mark.parametrize("recovery", [None, 0.85])
def test_openings_come_back_from_flow(points, recovery):
    made_from = truth(points=points, recovery=recovery)
    rows = joined(flow(1, made_from, QUIET), balance(1, made_from, QUIET))
    found = told(without_opening(rows, 2))
    assert found.balance is not None and len(found.balance.inferred) == 18
    read = dict(zip(rows.line, rows.opening, strict=True))
    # Points at other openings than the truth has its own make a hair of difference between them.
    assert [o.opening for o in found.balance.inferred] == pytest.approx(
        [read[o.line] for o in found.balance.inferred], abs=5e-4
    )
    assert any(
        note.startswith("opening inferred from flow in 18 rows: Kv of size 45 from the rows with an opening")
        for note in found.findings.notes
    )
    for key, estimate in estimates(found).items():
        assert estimate.value == pytest.approx(true_value(made_from, key, CHARGE), rel=1e-3)


def test_rows_without_an_opening_say_nothing_of_the_flow():
    rows = joined(flow(2), balance(2))
    whole = told(without_opening(rows))
    alone = told(flow(2))
    assert whole.flow is not None and alone.flow is not None and whole.flow.rows == alone.flow.rows
    for estimate in alone.findings.estimates:
        assert whole.estimate(estimate.key, estimate.of) == estimate


RUNS = [pytest.param(20, id="20"), pytest.param(200, id="200", marks=pytest.mark.slow)]


@pytest.mark.parametrize("source", ["rows", "family"])
@pytest.mark.parametrize("count", RUNS)
def test_truth_lies_within_the_bounds_as_often_as_they_say(count, source):
    inside, half, asked = defaultdict(int), 0, 0
    for seed in range(count):
        if source == "rows":
            found = told(without_opening(joined(flow(seed), balance(seed)), 2))
        else:
            # The family states a Kv that is off by as much as its tolerance says.
            off = 1.0 + 0.03 * np.random.default_rng(seed).standard_normal()
            stated = StatedFlow({"45": off * KV["45"]}, OpeningCharacteristic(1.2), 1.0, {"45": 0.03})
            rows = without_opening(balance(seed))
            found = told(
                rows, dataclasses.replace(VALVE, stated=stated), flow_uncertainty=0.008, opening_uncertainty=0.003
            )
        kept = estimates(found)
        assert set(kept) == set(SETTING_KEYS)
        for key, estimate in kept.items():
            away = abs(estimate.value - true_value(truth(), key, CHARGE)) / estimate.half_width
            inside[key] += away <= 1.0
            half += away <= 0.5
            asked += 1
    low, high = stats.binom.interval(0.999, count, 0.95)
    assert {key: n for key, n in inside.items() if not low <= n <= high} == {}
    # Bounds that hold everything because they are wide would say nothing.
    assert half / asked < 0.9


def test_uncertainty_of_kv_widens_the_bounds():
    rows = without_opening(balance(3))
    widths = []
    for deviation in (0.0, 0.03):
        valve = dataclasses.replace(BY_FAMILY, stated=dataclasses.replace(STATED, kv_deviation={"45": deviation}))
        found = told(rows, valve)
        widths.append(estimates(found)["opening_superheat"].half_width)
        (note,) = found.findings.notes
        assert "Kv of size 45 from the family's file" in note
        assert ("no tolerance is stated for Kv of size 45" in note) is (deviation == 0.0)
    # 3 percent of Kv is 3 percent of every opening, and so of the gradient.
    more = np.sqrt(widths[1] ** 2 - widths[0] ** 2)
    assert more == pytest.approx(stats.t.ppf(0.975, 33) * 0.03 * truth().opening_superheat_k, rel=0.15)


def test_error_of_the_flow_meter_weighs_the_rows():
    rows = without_opening(balance(4))
    found = told(rows, BY_FAMILY, flow_uncertainty=0.02, opening_uncertainty=0.003)
    assert found.balance is not None
    for inferred in found.balance.inferred:
        # Linear: d(phi) = phi d(ln flow), with 1 percent of Kv beside it.
        assert inferred.standard_error == pytest.approx(inferred.opening * np.hypot(0.02, 0.01), rel=0.02)


def test_an_opening_outside_the_travel_is_reported_by_line():
    rows = without_opening(balance(5))
    flows = rows.flow_kg_s.copy()
    flows[5], flows[10] = 3.0 * flows[5], 1.07 * flows[5]
    found = told(dataclasses.replace(rows, flow_kg_s=flows), BY_FAMILY)
    why = {row.line: row.why for row in found.findings.left_out}
    assert why[int(rows.line[5])].startswith("the opening inferred from its flow lies beyond the stop of 120 percent")
    assert "percent of Kv" in why[int(rows.line[5])]
    assert found.balance is not None and not {5 + 2} & {o.line for o in found.balance.inferred}


def test_an_opening_at_the_stop_is_not_taken_for_one_in_balance():
    plan = Plan([], [*balance_plan("45").balance, (1.19, 210.0, 25.0, 60.0)], "45")
    found = told(without_opening(balance(6, plan=plan)), BY_FAMILY)
    (why,) = (row.why for row in found.findings.left_out if row.line == 38)
    assert "too near the stop of 120 percent" in why


def refusals(found):
    return {row.why for row in found.findings.left_out}


def test_kv_that_is_known_from_nowhere_is_refused_by_line():
    rows = without_opening(balance(7))
    found = told(rows)
    (why,) = refusals(found)
    assert why == (
        "it has no opening, and Kv of size 45 is not known: no row with an opening tells it, and the family states none"
    )
    assert [row.line for row in found.findings.left_out] == rows.line.tolist()
    assert found.balance is None and estimates(found) == {}


def test_a_kv_of_the_other_law_is_refused():
    other = truth(recovery=0.8)
    choked = readings(other, flow_plan(("90",)), Noise(), 8, FLUID)
    found = told(joined(choked, without_opening(balance(8, other))), BY_FAMILY)
    assert found.flow is not None and found.flow.law is FlowLaw.CHOKED
    (why,) = refusals(found)
    assert why.endswith("the family's Kv is for the law orifice, not choked")


def test_flow_that_lies_off_its_law_gives_no_openings():
    rows = flow(9)
    # Warm liquid passes 8 percent more than the law would let it.
    more = np.where(rows.inlet_temperature_k > rows.inlet_temperature_k.mean(), 1.08, 1.0)
    found = told(
        joined(dataclasses.replace(rows, flow_kg_s=rows.flow_kg_s * more), without_opening(balance(9))), BY_FAMILY
    )
    assert found.findings.lack_of_fit
    (why,) = refusals(found)
    assert "the rows with an opening lie off the flow law" in why
