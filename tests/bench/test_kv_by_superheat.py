"""Kv of a size that was tested without an opening: the superheat says how far it opened, and the bounds include that."""

from __future__ import annotations

import dataclasses
from collections import Counter

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.parameters import Parameter, Quantity, Unusable
from tests.bench.invented import QUIET, Noise, balance_plan, flow_plan, joined, readings
from tests.bench.test_opening_inferred import BY_FAMILY, CHARGE, balance, fitted, without_opening
from tests.bench.valves import FLUID, ON_BENCH, POINTS, true_value, truth

RIG = Noise()


def two_rigs(seed: int, made_from=None, noise=RIG):
    """A rig with a stroke gauge and size 45; one with a flow meter, and size 90 with the same power element."""
    made_from = made_from or truth()
    stroke = balance(seed, made_from, noise)
    stroke = dataclasses.replace(stroke, flow_kg_s=np.full(len(stroke.line), np.nan))
    plan = balance_plan("90")
    capacity = readings(made_from, plan, noise, 200_000 + seed, FLUID, ON_BENCH.charge, CHARGE)
    return joined(stroke, without_opening(capacity))


def test_readings_without_scatter_give_the_truth():
    found = fitted(two_rigs(1, noise=QUIET), BY_FAMILY)
    estimate = found.estimate(Quantity.KV, "90")
    assert estimate is not None and estimate.value == pytest.approx(88.9e-3, rel=1e-4)
    assert found.by_superheat == ("90",)
    # Those rows say nothing of the setting any more.
    assert found.inferred.sources == () and len(found.balance.rows) == 36
    assert all(one.parameter != Parameter(Quantity.KV) for one in found.findings.not_determined)


def test_the_characteristic_is_that_of_the_rows_with_an_opening():
    made_from = truth(points=POINTS, recovery=0.85)
    flow = readings(made_from, flow_plan(("32", "45")), QUIET, 3, FLUID)
    found = fitted(joined(flow, two_rigs(3, made_from, QUIET)), BY_FAMILY)
    estimate = found.estimate(Quantity.KV, "90")
    assert estimate is not None and estimate.value == pytest.approx(88.9e-3, rel=3e-3)


@pytest.mark.parametrize("count", [pytest.param(12, id="12"), pytest.param(200, id="200", marks=pytest.mark.slow)])
def test_truth_lies_within_the_bounds_as_often_as_they_say(count):
    inside: Counter[Quantity] = Counter()
    wide = []
    for seed in range(count):
        found = fitted(two_rigs(seed), BY_FAMILY)
        for quantity, of in ((Quantity.KV, "90"), (Quantity.OPENING_SUPERHEAT, CHARGE)):
            estimate = found.estimate(quantity, of)
            assert estimate is not None
            off = abs(estimate.value - true_value(truth(), estimate.parameter))
            inside[quantity] += off <= estimate.half_width
            wide += [estimate.half_width / estimate.value] if quantity is Quantity.KV else []
    low, high = stats.binom.interval(0.999, count, 0.95)
    assert all(low <= n <= high for n in inside.values())
    # A stroke gauge gives about 0.4 percent.
    assert 0.005 < np.mean(wide) < 0.04


def test_without_a_balance_the_family_gives_the_openings():
    found = fitted(without_opening(balance(4)), BY_FAMILY)
    assert found.by_superheat == () and found.estimate(Quantity.KV, "45") is None
    assert len(found.inferred.line) > 25
    assert {row.why for row in found.findings.left_out} <= {
        Unusable.INFERRED_NEAR_STOP,
        Unusable.INFERRED_UNCERTAIN,
        Unusable.INFERRED_BEYOND_STOP,
    }
