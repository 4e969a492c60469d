"""Flow rows: what they determine, and what they are refused for."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from fluids.control_valve import size_control_valve_l

from tablegen.bench.flow_fit import fit_flow
from tablegen.bench.parameters import Parameter, Quantity, Shortfall, Unusable, Why
from tablegen.bench.readings import FitOptions
from tablegen.bench.result import Findings
from tablegen.physics.flow import FlowLaw
from tests.bench.invented import PSI, QUIET, Noise, Plan, changed, flow_plan, joined, kelvin, readings
from tests.bench.valves import FLUID, FLUIDS, POINTS, VALVE, truth

KV, RECOVERY, LAW, OPENING = (
    Quantity.KV,
    Quantity.PRESSURE_RECOVERY,
    Quantity.FLOW_LAW,
    Quantity.OPENING,
)
SIZES = ("45", "90")
CHOKED = truth(recovery=0.85)


def fitted(rows, valve=VALVE, **options):
    part = fit_flow(rows, valve, FLUIDS, FitOptions(**options))
    return part.fit, part.findings


def estimates(findings: Findings) -> dict[tuple[Quantity, str], float]:
    return {(e.parameter.quantity, e.parameter.of): e.value for e in findings.estimates}


def refused(findings: Findings) -> dict[tuple[Quantity, str], Shortfall]:
    return {(n.parameter.quantity, n.parameter.of): n.reason for n in findings.not_determined}


def made(plan, made_from=None, noise=None, seed=5):
    return readings(made_from or truth(), plan, Noise() if noise is None else noise, seed, FLUID)


@pytest.mark.parametrize("recovery", [None, 0.85])
@pytest.mark.parametrize("points", [(), POINTS])
def test_readings_without_scatter_give_the_truth(recovery, points):
    result, findings = fitted(made(flow_plan(SIZES), truth(recovery=recovery, points=points), QUIET))
    assert result is not None
    assert result.law is (FlowLaw.ORIFICE if recovery is None else FlowLaw.CHOKED)
    found = estimates(findings)
    assert found[KV, "45"] == pytest.approx(45.4e-3, rel=1e-6)
    assert found[KV, "90"] == pytest.approx(88.9e-3, rel=1e-6)
    if recovery is not None:
        assert found[RECOVERY, ""] == pytest.approx(recovery, rel=1e-6)
    assert np.allclose(result.points or (), points, atol=1e-6)
    assert findings.not_determined == [] and findings.outliers == []


@pytest.mark.parametrize(("p2_psi", "is_choked"), [(200.0, False), (80.0, True)])
def test_kv_is_that_of_the_standard_as_another_library_computes_it(p2_psi, is_choked):
    liquid, p1, p2 = kelvin(70.0), 250.0 * PSI, p2_psi * PSI
    state, bubble = FLUID.liquid(liquid, np.array(p1)), float(FLUID.bubble(liquid).pressure_pa)
    plan = Plan([("45", 1.0, 250.0, p2_psi, 70.0), *flow_plan(["45"]).rows])
    rows = made(plan, CHOKED, QUIET)
    density, flow = float(state.density_kg_m3), float(rows.flow_kg_s[0])
    theirs = size_control_valve_l(
        rho=density,
        Psat=bubble,
        Pc=FLUID.critical_pressure_pa,
        mu=1.5e-4,
        P1=p1,
        P2=p2,
        Q=flow / density,
        FL=0.85,
        D1=0.015,
        D2=0.015,
        d=0.015,
        Fd=1.0,
        full_output=True,
    )
    assert bool(theirs["choked"]) is is_choked
    _, findings = fitted(rows)
    # The standard counts density from 999.103 kg/m3, we from 1000; and it adds a factor for the pipe's reducers,
    # which at so small a Kv in so wide a pipe is within 1e-4.
    assert estimates(findings)[KV, "45"] == pytest.approx(theirs["Kv"] * np.sqrt(0.999103), rel=3e-4)


def test_outliers_are_the_spoilt_rows():
    rows = changed(made(flow_plan(SIZES)), flow_kg_s=(9, lambda m: 1.12 * m))
    rows = changed(rows, flow_kg_s=(30, lambda m: 0.9 * m))
    _, findings = fitted(rows)
    assert [(o.line, np.sign(o.residual)) for o in findings.outliers] == [(9, 1.0), (30, -1.0)]
    assert findings.outliers[0].residual == pytest.approx(0.12, abs=0.03)


def test_law_is_not_decided_by_drops_that_never_reach_choking():
    result, findings = fitted(made(flow_plan(SIZES, drops=(10.0, 20.0, 35.0, 55.0))))
    assert result is not None and result.law is None and result.verdict.law is None
    reason = refused(findings)[LAW, ""]
    assert reason == result.verdict.reason and reason.why is Why.NONE_BEYOND
    assert reason.high == result.verdict.max_drop < 1.0
    assert reason.line in result.table.line
    # Without choking both laws are one, and Kv is known whichever is right.
    assert estimates(findings)[KV, "45"] == pytest.approx(45.4e-3, rel=0.01)


def test_a_choked_valve_shows_its_law_before_the_drop_reaches_the_limit_for_all():
    low = truth(recovery=0.6)
    result, findings = fitted(made(flow_plan(SIZES, drops=(15.0, 30.0, 55.0, 70.0)), low))
    assert result is not None and result.law is FlowLaw.CHOKED and result.verdict.max_drop < 1.0
    assert estimates(findings)[RECOVERY, ""] == pytest.approx(0.6, abs=0.01)


def test_choked_rows_alone_give_only_a_product():
    rows = made(flow_plan(SIZES, drops=(150.0, 170.0, 190.0, 200.0)), CHOKED)
    _, findings = fitted(rows)
    assert (RECOVERY, "") not in estimates(findings)
    stated, findings = fitted(rows, law=FlowLaw.CHOKED)
    assert stated is not None
    reasons = refused(findings)
    assert reasons[KV, "45"].why is reasons[RECOVERY, ""].why is Why.ONLY_PRODUCT
    assert estimates(findings) == {}


def test_one_drop_gives_no_law_and_no_kv_until_the_law_is_stated():
    plan = flow_plan(SIZES, drops=(170.0, 170.0))
    plan = Plan([row for row in plan.rows if row[4] == 70.0] * 2)
    _, findings = fitted(made(plan))
    reasons = refused(findings)
    assert reasons[LAW, ""].why is Why.ALL_MAY_CHOKE
    assert reasons[KV, "45"].why is Why.LAW_UNDECIDED
    assert not any(key is KV for key, _ in estimates(findings))
    _, findings = fitted(made(plan), law=FlowLaw.ORIFICE)
    assert estimates(findings)[KV, "45"] == pytest.approx(45.4e-3, rel=0.01)
    assert (LAW, "") in refused(findings)


def test_a_stated_law_that_the_rows_contradict_is_reported():
    result, findings = fitted(made(flow_plan(SIZES), CHOKED), law=FlowLaw.ORIFICE)
    if result is None:
        assert {(r.why, r.law) for r in refused(findings).values()} == {(Why.NO_FLOW_LAW, FlowLaw.ORIFICE)}
    else:
        assert (result.verdict.law, result.law) == (FlowLaw.CHOKED, FlowLaw.ORIFICE)


def test_one_opening_gives_kv_at_rated_stroke_and_no_characteristic():
    result, findings = fitted(made(flow_plan(SIZES, openings=(1.0,) * 3)))
    assert result is not None and result.points is None
    assert estimates(findings)[KV, "90"] == pytest.approx(88.9e-3, rel=0.01)
    reason = refused(findings)[OPENING, ""]
    assert (reason.why, reason.wanted_low, reason.wanted_high) == (Why.FLOW_ONE_OPENING, 0.25, 1.2)


def test_one_opening_that_is_not_rated_stroke_gives_no_kv():
    _, findings = fitted(made(flow_plan(SIZES, openings=(0.5,) * 3)))
    reason = refused(findings)[KV, "45"]
    assert (reason.why, reason.high) == (Why.KV_BELOW_RATED, pytest.approx(0.5, abs=0.02))
    assert estimates(findings) == {}


@pytest.mark.parametrize(
    ("openings", "missing"),
    [((0.5, 0.75, 1.0, 1.2), (Why.TRAVEL_LOW, 0.25)), ((0.25, 0.5, 1.0), (Why.TRAVEL_HIGH, 1.2))],
)
def test_travel_that_no_row_reaches_is_named(openings, missing):
    result, findings = fitted(made(flow_plan(SIZES, openings=openings)))
    assert result is not None and result.points is None
    reason = refused(findings)[OPENING, ""]
    assert missing in ((reason.why, reason.wanted_low), (reason.why, reason.wanted_high))
    assert (KV, "45") in estimates(findings)


def test_points_without_rated_stroke_give_no_kv():
    bent = truth(points=POINTS)
    plan = flow_plan(SIZES, openings=(0.25, 0.4, 0.55, 0.7))
    valve = dataclasses.replace(VALVE, stop=1.0)
    _, findings = fitted(made(plan, bent), valve)
    assert (KV, "45") in refused(findings)
    assert not any(key is KV for key, _ in estimates(findings))


def test_openings_of_the_points_can_be_chosen():
    result, findings = fitted(made(flow_plan(SIZES), truth(points=POINTS)), openings=(0.25, 0.5, 0.75, 1.2))
    assert result is not None
    assert [point[0] for point in result.points or ()] == [0.0, 0.25, 0.5, 0.75, 1.0, 1.2]
    half = next(e for e in findings.estimates if e.parameter == Parameter(OPENING, opening=0.5))
    assert half.value == pytest.approx(0.38, abs=0.006)


def test_a_sweep_gets_a_point_at_every_quarter():
    rng = np.random.default_rng(3)
    sweep = [
        ("45", float(phi), 250.0, 250.0 - float(drop), 70.0)
        for phi, drop in zip(np.linspace(0.2, 1.19, 60), rng.uniform(20.0, 180.0, 60), strict=True)
    ]
    result, _ = fitted(made(Plan(sweep), truth(points=POINTS)))
    assert result is not None
    assert [point[0] for point in result.points or ()] == [0.0, 0.25, 0.5, 0.75, 1.0, 1.2]


def test_a_size_with_too_few_rows_is_refused_and_the_others_are_fitted():
    few = Plan([row for row in flow_plan(("90",)).rows if row[1] == 1.0][:2])
    rows = joined(made(flow_plan(("45",))), made(few, seed=6))
    _, findings = fitted(rows)
    assert repr(refused(findings)[KV, "90"]) == repr(Shortfall(why=Why.FEW_OF_SIZE, rows=2, needed=3))
    assert (KV, "45") in estimates(findings)


def test_rows_that_cannot_be_used_are_left_out_by_their_lines():
    rows = made(flow_plan(SIZES))
    rows = changed(rows, inlet_temperature_k=(4, lambda t: t + 30.0), outlet_pressure_pa=(7, lambda p: p + 300.0 * PSI))
    rows = changed(rows, opening=(11, lambda phi: 0.0 * phi))
    _, findings = fitted(rows)
    assert {row.line: row.why for row in findings.left_out} == {
        4: Unusable.FLASHES,
        7: Unusable.NO_DROP,
        11: Unusable.NEARLY_SHUT,
    }
    assert not {o.line for o in findings.outliers} & {4, 7, 11}


def test_rows_that_follow_no_law_give_nothing():
    rows = made(flow_plan(SIZES))
    shuffled = np.random.default_rng(1).permutation(rows.flow_kg_s)
    result, findings = fitted(dataclasses.replace(rows, flow_kg_s=shuffled))
    assert result is None and findings.estimates == []
    assert refused(findings)[KV, "45"].why is Why.NO_FLOW_LAW


def test_few_rows_give_nothing():
    result, findings = fitted(made(Plan(flow_plan(("45",)).rows[:6])))
    assert result is None
    assert refused(findings)[KV, "45"].why is Why.FEW_FLOW_ROWS


def test_no_mass_flow_gives_nothing():
    rows = made(flow_plan(SIZES))
    result, findings = fitted(dataclasses.replace(rows, flow_kg_s=np.full(len(rows.line), np.nan)))
    assert result is None
    assert repr(refused(findings)[KV, ""]) == repr(Shortfall(why=Why.NO_FLOW_ROWS))


@pytest.mark.slow
def test_the_stated_error_of_instruments_is_compared_with_the_rows():
    noise = Noise()
    ratios = []
    for seed in range(6):
        rows = made(flow_plan(("32", "45", "90")), noise=noise, seed=seed)
        result, _ = fitted(rows, flow_uncertainty=noise.flow, opening_uncertainty=noise.opening)
        assert result is not None
        ratios.append(result.over_stated)
        assert result.shown.opening / result.shown.flow == pytest.approx(noise.opening / noise.flow)
    # Pressures and temperatures are not exact either, and make it a little more than 1.
    assert 0.95 < np.mean(ratios) < 1.25
    careless, _ = fitted(rows, flow_uncertainty=0.5 * noise.flow, opening_uncertainty=0.5 * noise.opening)
    assert careless is not None
    assert careless.over_stated == pytest.approx(2.0 * ratios[-1], rel=1e-6)
