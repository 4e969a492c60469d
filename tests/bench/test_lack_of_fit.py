"""Rows off the law on one side under one condition are lack of fit: none is set aside, and bounds say so.

The rows come from a simulator of a port with late flashing that shares no flow code with the package; the counter-test
from the same simulator with flashing in equilibrium, which is the law `choked`.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.fit import fit_bench
from tablegen.bench.lack_of_fit import ERROR_RATE
from tablegen.bench.parameters import Quantity
from tablegen.bench.readings import FitOptions, ValveOnBench
from tablegen.bench.result import ConditionKey, Reading
from tablegen.physics.flow import FlowLaw
from tests.bench.delayed_flashing import COUNT, FLUID, KV_M3H, delayed
from tests.bench.demo_data import alder_rows
from tests.bench.invented import QUIET, Noise, flow_plan, joined, readings
from tests.bench.valves import FLUID as R404A
from tests.bench.valves import FLUIDS, POINTS, VALVE, truth
from tests.registry import refrigerant
from tests.worked import worked_catalogue

PORT = ValveOnBench(family="port", stop=1.2, min_opening=0.25, law=FlowLaw.CHOKED)
RUNS = [pytest.param(10, id="10"), pytest.param(200, id="200", marks=pytest.mark.slow)]


# How fast late flashing fades with subcooling [K].
RELAXATION_K = 1.3


def fitted(rows, **options):
    return fit_bench(rows, PORT, {FLUID: refrigerant(FLUID)}, FitOptions(**options))


def spoilt(rows, lines, factors):
    flow = rows.flow_kg_s.copy()
    flow[np.isin(rows.line, lines)] *= factors
    return dataclasses.replace(rows, flow_kg_s=flow)


@pytest.mark.parametrize("count", RUNS)
def test_late_flashing_is_lack_of_fit_and_no_row_is_dropped(count):
    far_off, inside, wide, asked, named = [], 0, [], 0, 0
    for seed in range(count):
        found = fitted(delayed(seed, RELAXATION_K))
        assert found.flow is not None and found.flow.count == COUNT == found.flow.table.is_used.sum()
        assert found.findings.outliers == []
        lack = found.findings.lack_of_fit[0]
        # Warm liquid has the drops that choke most, and a file may not separate the two, or by chance name the other.
        assert lack.condition.reading in ("inlet_subcooling", "choking")
        named += ConditionKey(Reading.INLET_SUBCOOLING) in (lack.condition, *lack.also)
        assert lack.residual > 0.0 and lack.farthest > 0.05
        far_off.append(len(lack.lines))
        for size, kv in KV_M3H.items():
            estimate = found.estimate(Quantity.KV, size)
            inside += abs(estimate.value - kv) <= estimate.half_width
            wide.append(estimate.half_width / estimate.value)
            asked += 1
    assert named >= 0.9 * count
    # Good rows that a fit which trusts its law would have set aside.
    assert min(far_off) >= 3
    # What rows without late flashing give, for comparison.
    law = [fitted(delayed(seed, None)).estimate(Quantity.KV, "40") for seed in range(8)]
    assert np.mean(wide) > 1.5 * np.mean([e.half_width / e.value for e in law])
    # Kv belongs to the rows that follow the law, and the wider bounds still cover it.
    assert inside >= stats.binom.ppf(0.001, asked, 0.95)


@pytest.mark.parametrize("relaxation_k", [4.0, pytest.param(20.0, marks=pytest.mark.slow)])
def test_flashing_that_is_late_with_cold_liquid_is_noticed_too(relaxation_k):
    for seed in range(5):
        found = fitted(delayed(seed, relaxation_k, is_late_when_warm=False))
        conditions = {lack.condition.reading for lack in found.findings.lack_of_fit}
        assert conditions & {"inlet_subcooling", "choking", "pressure_drop"}
        assert found.findings.outliers == []


@pytest.mark.parametrize("count", RUNS)
def test_rows_that_follow_the_law_are_reported_no_more_often_than_stated(count):
    reported, missed, planted = 0, 0, 0
    for seed in range(count):
        rng = np.random.default_rng(700 + seed)
        lines = np.sort(rng.choice(np.arange(2, COUNT + 2), seed % 6, replace=False))
        # Every other file has its outliers on one side.
        sides = np.ones(len(lines)) if seed % 2 else rng.choice([-1.0, 1.0], len(lines))
        found = fitted(spoilt(delayed(1000 + seed, None), lines, 1.0 + 0.2 * sides))
        reported += bool(found.findings.lack_of_fit)
        missed += len(set(lines) - {o.line for o in found.findings.outliers})
        planted += len(lines)
    assert reported <= stats.binom.ppf(0.999, count, ERROR_RATE)
    assert missed <= 0.03 * planted


def test_a_row_that_is_off_the_misfit_as_well_is_set_aside():
    rows = delayed(3, RELAXATION_K)
    _, line = max((float(r.inlet_pressure_pa - r.outlet_pressure_pa), int(r.line)) for r in _each(rows))
    found = fitted(spoilt(rows, [line], 0.2))
    assert found.findings.lack_of_fit
    assert [o.line for o in found.findings.outliers] == [line]


def _each(rows):
    names = [f.name for f in dataclasses.fields(rows)]
    for i in range(len(rows.line)):
        yield dataclasses.replace(rows, **{name: getattr(rows, name)[i] for name in names})


def drifted(rows):
    """Rows taken in no order of what was set, with a flow meter that drifts."""
    mixed = np.random.default_rng(1).permutation(len(rows.line))
    rows = dataclasses.replace(rows, **{f.name: getattr(rows, f.name)[mixed] for f in dataclasses.fields(rows)})
    line = np.arange(2, len(mixed) + 2)
    return dataclasses.replace(rows, line=line, flow_kg_s=rows.flow_kg_s * np.linspace(1.0, 1.05, len(mixed)))


def other_refrigerant(rows):
    other = readings(truth(kv_m3h={"45": 1.04 * 45.4e-3}), flow_plan(("45",)), Noise(), 8, refrigerant("R448A"))
    return joined(rows, other)


@pytest.mark.parametrize(
    ("change", "options", "made_from", "condition"),
    [
        (drifted, {}, {}, Reading.LINE),
        (other_refrigerant, {}, {}, Reading.REFRIGERANT),
        # A bent characteristic, and points too few for it.
        (lambda rows: rows, {"openings": (0.5,)}, {"points": POINTS}, Reading.OPENING),
    ],
)
def test_the_condition_is_named(change, options, made_from, condition):
    rows = readings(truth(**made_from), flow_plan(("32", "45", "90")), Noise(), 5, R404A)
    fluids = {**FLUIDS, "R448A": refrigerant("R448A")}
    found = fit_bench(change(rows), VALVE, fluids, FitOptions(**options))
    lack = found.findings.lack_of_fit[0]
    assert lack.condition == ConditionKey(condition)
    assert found.findings.outliers == []


def test_readings_without_scatter_lack_no_fit():
    rows = readings(truth(), flow_plan(("32", "45", "90")), QUIET, 5, R404A)
    assert fit_bench(rows, VALVE, FLUIDS, FitOptions()).findings.lack_of_fit == []


def test_a_lone_row_far_off_is_an_outlier_whatever_its_neighbors_lean_to():
    # A drift too small to throw any row far off, and one reading misread.
    rows = drifted(readings(truth(), flow_plan(("32", "45", "90")), Noise(), 5, R404A))
    line = int(rows.line[-3])
    found = fit_bench(spoilt(rows, [line], 1.09), VALVE, FLUIDS, FitOptions())
    assert found.findings.lack_of_fit[0].condition.reading is Reading.LINE
    assert [o.line for o in found.findings.outliers] == [line]
    assert line not in found.findings.lack_of_fit[0].lines


def test_lack_of_fit_is_what_the_row_table_shows():
    """Weighted rows too: measured over computed flow of the rows named, by hand from the table of rows."""
    found = fit_bench(alder_rows(worked_catalogue()), VALVE, FLUIDS, FitOptions(law=FlowLaw.CHOKED))
    assert found.flow is not None and found.flow.rows.spread.max() > 1.2 * found.flow.rows.spread.min()
    lack = next(own for own in found.findings.lack_of_fit if own.condition.reading is Reading.CHOKING)
    table = found.flow.table
    off = (table.measured_kg_s / table.computed_kg_s - 1.0)[table.choking >= np.quantile(table.choking, 2.0 / 3.0)]
    assert len(off) == lack.rows
    assert (lack.residual, lack.farthest) == (pytest.approx(off.mean()), pytest.approx(off.max()))
