"""The fit finds a known truth within its own stated bounds as often as it says, outliers or not."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.fit import fit_bench
from tablegen.bench.parameters import Quantity
from tablegen.bench.readings import FitOptions
from tablegen.physics.flow import FlowLaw
from tests.bench.demo_data import CHARGE
from tests.bench.invented import Noise, balance_plan, changed, flow_plan, joined, readings
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, POINTS, VALVE, true_value, truth

# Rows spoilt in every repeat: a flow misread by 9 percent, a bulb that had not settled.
FLOW_LINE, BULB_LINE = 20, 70
CONFIDENCE = 0.95


def orifice_rows(seed):
    """Three sizes with a linear characteristic, and the balance of one of them."""
    made_from = truth()
    rows = joined(
        readings(made_from, flow_plan(made_from.kv_m3h), Noise(), seed, FLUID),
        readings(made_from, balance_plan("45"), Noise(), 100_000 + seed, FLUID, ON_BENCH.charge, CHARGE),
    )
    spoilt = changed(
        rows, flow_kg_s=(FLOW_LINE, lambda flow: 1.09 * flow), bulb_temperature_k=(BULB_LINE, lambda bulb: bulb + 1.0)
    )
    return made_from, spoilt, {(FLOW_LINE, "flow"), (BULB_LINE, "balance")}


def choked_rows(seed):
    """Two sizes that choke, with a characteristic by points."""
    made_from = truth(kv_m3h={"45": 45.4e-3, "90": 88.9e-3}, recovery=0.85, points=POINTS)
    rows = readings(made_from, flow_plan(made_from.kv_m3h), Noise(), seed, FLUID)
    return made_from, changed(rows, flow_kg_s=(FLOW_LINE, lambda flow: 1.09 * flow)), {(FLOW_LINE, "flow")}


KINDS = {
    FlowLaw.ORIFICE: (orifice_rows, {"kv": 3, "unbalance": 1, "static_superheat": 1, "opening_superheat": 1}),
    FlowLaw.CHOKED: (choked_rows, {"kv": 2, "pressure_recovery": 1, "opening": 4}),
}
# The ordinary run checks one law.
RUNS = [
    pytest.param(FlowLaw.ORIFICE, 20, id="orifice-20"),
    *(pytest.param(law, 200, id=f"{law}-200", marks=pytest.mark.slow) for law in KINDS),
]


@pytest.mark.parametrize(("law", "count"), RUNS)
def test_truth_lies_within_the_bounds_as_often_as_they_say(law, count):
    make, expected = KINDS[law]
    inside, half_as_wide, widths = defaultdict(int), defaultdict(int), defaultdict(list)
    extra = 0
    for seed in range(count):
        made_from, rows, spoilt = make(seed)
        found = fit_bench(rows, VALVE, FLUIDS, FitOptions(confidence=CONFIDENCE))
        assert found.flow is not None and found.flow.law is law
        outliers = {(o.line, o.part) for o in found.findings.outliers}
        assert spoilt <= outliers
        extra += len(outliers - spoilt)
        for estimate in found.findings.estimates:
            off = abs(estimate.value - true_value(made_from, estimate.parameter)) / estimate.half_width
            inside[estimate.parameter] += off <= 1.0
            half_as_wide[estimate.parameter] += off <= 0.5
            widths[estimate.parameter.quantity].append(estimate.half_width / estimate.value)
    tally = defaultdict(int)
    for parameter in inside:
        tally[parameter.quantity] += 1
    assert tally == expected
    # Of so many repeats the share within the bounds may wander this far and no farther, once in a thousand.
    low, high = stats.binom.interval(0.999, count, CONFIDENCE)
    assert {k: n for k, n in inside.items() if not low <= n <= high} == {}
    # The same count finds bounds that are half as wide as they should be.
    assert np.mean(list(half_as_wide.values())) < low
    # Bounds that include everything because they are wide would say nothing.
    assert np.mean(widths[Quantity.KV]) < 0.012
    # About one clean row in a hundred repeats and parts may be taken for an outlier by chance.
    assert extra <= stats.binom.ppf(0.9999, 2 * count, 0.03)
