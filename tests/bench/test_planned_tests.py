"""A plan of further rows: measured at its conditions the bound is halved as predicted, and rows taken at random do less."""

from __future__ import annotations

import numpy as np
import pytest

from tablegen.bench.fit import BenchResult, fit_bench
from tablegen.bench.next_rows import Bound, rows_that_halve
from tablegen.bench.parameters import Parameter, Part, Quantity
from tablegen.bench.planned_tests import grid, plan_of_balance, plan_of_flow, plan_of_specimens
from tablegen.bench.readings import BenchRows, FitOptions
from tablegen.bench.result import Estimate
from tablegen.bench.robust import Problem, fit
from tests.bench.demo_data import CHARGE
from tests.bench.invented import PSI, Noise, Plan, balance_plan, flow_plan, joined, readings
from tests.bench.valves import FLUID, FLUIDS, ON_BENCH, POINTS, VALVE, truth

KV, STATIC = Parameter(Quantity.KV, "45"), Parameter(Quantity.STATIC_SUPERHEAT, CHARGE)
UNBALANCE, RECOVERY = Parameter(Quantity.UNBALANCE), Parameter(Quantity.PRESSURE_RECOVERY)
SHARE = Parameter(Quantity.OPENING, opening=0.5)
CHOKED = truth(kv_m3h={"45": 45.4e-3, "90": 88.9e-3}, recovery=0.85, points=POINTS)
TRUTHS = {KV: truth(), STATIC: truth(), UNBALANCE: truth(), RECOVERY: CHOKED, SHARE: CHOKED}


def fahrenheit(kelvin: float) -> float:
    return 1.8 * float(kelvin) - 459.67


def measured(conditions: BenchRows, times, seed: int, made_from) -> BenchRows:
    """What the bench reads at some conditions, each as often as asked."""
    at = np.repeat(np.arange(len(times)), times)
    rows = conditions
    if np.isfinite(rows.evaporator_pressure_pa).all():
        each = [
            (
                float(rows.opening[i]),
                float(rows.inlet_pressure_pa[i] / PSI),
                fahrenheit(FLUID.dew_temperature(rows.evaporator_pressure_pa[i])),
                60.0,
            )
            for i in at
        ]
        return readings(made_from, Plan([], each, "45"), Noise(), seed, FLUID, ON_BENCH.charge, CHARGE)
    settings = [
        (
            str(rows.size[i]),
            float(rows.opening[i]),
            float(rows.inlet_pressure_pa[i] / PSI),
            float(rows.outlet_pressure_pa[i] / PSI),
            fahrenheit(rows.inlet_temperature_k[i]),
        )
        for i in at
    ]
    return readings(made_from, Plan(settings), Noise(), seed, FLUID)


def fitted(rows: BenchRows) -> BenchResult:
    return fit_bench(rows, VALVE, FLUIDS, FitOptions())


def estimate(found: BenchResult, parameter: Parameter) -> Estimate:
    return next(own for own in found.findings.estimates if own.parameter == parameter)


def planned(found: BenchResult, parameter: Parameter, candidates: BenchRows):
    own = estimate(found, parameter)
    if parameter.quantity.part is Part.FLOW:
        return plan_of_flow(found.flow, own, candidates, FLUIDS)
    return plan_of_balance(found.balance, own, candidates, VALVE, 0.95)


# The ordinary run takes one parameter of each part.
RUNS = [
    *(pytest.param(own, 2, id=f"{own.quantity}-2") for own in (KV, STATIC)),
    *(pytest.param(own, 8, id=f"{own.quantity}-8", marks=pytest.mark.slow) for own in TRUTHS),
]


@pytest.mark.slow
@pytest.mark.parametrize(("parameter", "count"), RUNS)
def test_planned_rows_halve_the_bound_as_predicted_and_random_ones_do_not(parameter, count):
    made_from, ratios, at_random = TRUTHS[parameter], [], []
    for seed in range(count):
        rows = joined(
            readings(made_from, flow_plan(made_from.kv_m3h), Noise(), seed, FLUID),
            readings(made_from, balance_plan("45"), Noise(), 100 + seed, FLUID, ON_BENCH.charge, CHARGE),
        )
        found = fitted(rows)
        candidates = grid(rows, parameter.quantity.part)
        plan = planned(found, parameter, candidates)
        own = estimate(found, parameter)
        assert plan.is_enough and plan.before == pytest.approx(own.half_width, rel=1e-6)
        assert plan.after <= 0.5 * plan.before
        after = fitted(joined(rows, measured(plan.rows, plan.times, 200 + seed, made_from)))
        ratios.append(estimate(after, parameter).half_width / plan.after)
        rng = np.random.default_rng(seed)
        drop = candidates.inlet_pressure_pa - candidates.outlet_pressure_pa
        usable = np.flatnonzero((drop > 10.0 * PSI) & (candidates.opening < 1.15))
        chosen = rng.choice(usable, sum(plan.times))
        times = np.bincount(chosen, minlength=len(candidates.line))
        other = fitted(joined(rows, measured(candidates, times, 300 + seed, made_from)))
        at_random.append(estimate(other, parameter).half_width / plan.after)
    assert np.mean(ratios) == pytest.approx(1.0, abs=0.2)
    assert np.mean(at_random) > 1.1 * np.mean(ratios)


def test_a_slope_is_measured_at_the_ends():
    """c-optimal for the slope of a line (any textbook): half of the rows at either end, none between."""
    x = np.linspace(-1.0, 1.0, 20)
    rows = np.column_stack([np.ones(20), x])
    y = rows @ [1.0, 2.0] + 0.1 * np.random.default_rng(1).standard_normal(20)
    names = Parameter(Quantity.SPRING), Parameter(Quantity.GRADIENT)
    found = fit(Problem(names, lambda v: y - rows @ v, lambda v: -rows, np.zeros(2)), np.ones(20, dtype=bool))
    bound = Bound(fit=found, jacobian=-rows, gradient=np.array([0.0, 1.0]), other_variance=0.0, confidence=0.95)
    candidates = np.column_stack([np.ones(5), np.linspace(-1.0, 1.0, 5)])
    design = rows_that_halve(bound, -candidates)
    counts = np.bincount(design.rows, minlength=5)
    assert counts[1:4].sum() == 0 and abs(int(counts[0]) - int(counts[4])) <= 1
    # Sum of squares of x: 20 rows have 7.37, and each end adds 1.  By hand: after 20 more, Student's t of 38 over that of
    # 18 is 2.024/2.101, and 2.024/2.101 sqrt(7.37/27.37) = 0.4999.
    assert (x**2).sum() == pytest.approx(7.37, abs=0.01)
    assert counts.sum() == 20


def test_what_no_row_takes_away_is_no_part_of_the_plan():
    x = np.column_stack([np.ones(20), np.linspace(-1.0, 1.0, 20)])
    y = 0.1 * np.random.default_rng(2).standard_normal(20)
    names = Parameter(Quantity.SPRING), Parameter(Quantity.GRADIENT)
    found = fit(Problem(names, lambda v: y - x @ v, lambda v: -x, np.zeros(2)), np.ones(20, dtype=bool))
    gradient = np.array([0.0, 1.0])
    bound = Bound(fit=found, jacobian=-x, gradient=gradient, other_variance=found.covariance[1, 1], confidence=0.95)
    design = rows_that_halve(bound, -x)
    assert design.after > 0.5 * design.before and len(design.rows) == 200


def test_a_mean_of_specimens_asks_for_specimens():
    """By hand: of 4 valves the bound is t(3) s / 2 = 1.591 s; of 10 it is t(9) s / sqrt(10) = 0.715 s, of 9 0.769 s."""
    own = [
        Estimate(
            parameter=Parameter(Quantity.KV, f"45\N{NO-BREAK SPACE}({i})"),
            value=1.0,
            half_width=0.1,
            standard_error=0.01,
            rows=9,
        )
        for i in range(4)
    ]
    mean = Estimate(parameter=KV, value=1.0, half_width=1.591, standard_error=0.5, rows=36)
    plan = plan_of_specimens(mean, own, 3, 0.95)
    assert (plan.specimens, plan.is_enough) == (5, True)
    assert plan.after == pytest.approx(0.769, abs=0.002)
