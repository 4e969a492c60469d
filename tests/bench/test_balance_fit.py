"""Balance rows: what they determine, and what they are refused for."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from scipy import stats

from tablegen.bench.balance_fit import fit_balance
from tablegen.bench.balance_model import PORT as PORT_SHARE
from tablegen.bench.balance_model import BalanceModel, balance_rows
from tablegen.bench.parameters import Parameter, Quantity, Unusable, Why
from tablegen.bench.readings import BenchRows, FitOptions
from tablegen.bench.result import ConditionKey, Reading
from tablegen.physics.bulb import BulbCharge, PointsCurve
from tests.bench.demo_data import CHARGE
from tests.bench.invented import PSI, QUIET, Noise, Plan, balance_plan, changed, joined, kelvin, readings
from tests.bench.valves import FLUID, ON_BENCH, SETTING, VALVE, charge_rows, truth

STATIC, OPENING, PORT = Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT, Quantity.UNBALANCE
TRUE = {STATIC: 3.1 / 1.8, OPENING: 4.2 / 1.8, PORT: 0.003}
CURVE = ON_BENCH.charge


def made(plan=None, noise=None, seed=5, made_from=None, charge=None, name=CHARGE):
    plan = balance_plan("45") if plan is None else plan
    noise = Noise() if noise is None else noise
    return readings(made_from or truth(), plan, noise, seed, FLUID, charge or CURVE, name)


def fitted(rows, valve=VALVE, **options):
    return fit_balance(rows, valve, FitOptions(**options))


def estimates(findings):
    return {e.parameter.quantity: e.value for e in findings.estimates}


def refused(findings):
    return {n.parameter.quantity: n.reason for n in findings.not_determined}


def test_readings_without_scatter_give_the_truth():
    result, findings = fitted(made(noise=QUIET))
    assert result is not None
    # Evaporator pressure is read to the last digit, bulb temperature by inverting the curve.
    assert estimates(findings) == pytest.approx(TRUE, rel=1e-6)
    assert findings.not_determined == [] and findings.outliers == [] and result.curves == {}


def test_bounds_are_those_of_linear_min_squares():
    # Textbook: estimate (X'X)^-1 X'y, covariance s^2 (X'X)^-1, each row divided by the slope of the charge curve.
    offs, ratios = [], []
    for seed in range(12):
        rows, _ = balance_rows(made(seed=seed), {CHARGE: CURVE}, 1.2)
        slope = (CURVE.pressure(rows.bulb_temperature_k + 0.01) - CURVE.pressure(rows.bulb_temperature_k - 0.01)) / 0.02
        drop = rows.pressure_drop_pa - np.median(rows.pressure_drop_pa)
        x = np.column_stack([np.ones(len(rows)), rows.opening, drop]) / slope[:, None]
        y = (CURVE.pressure(rows.bulb_temperature_k) - rows.under_pa) / slope
        inverse = np.linalg.inv(x.T @ x)
        plain = inverse @ x.T @ y
        error = np.sqrt(np.diag(inverse) * ((y - x @ plain) ** 2).sum() / (len(rows) - 3))
        found = BalanceModel(rows, (CHARGE,), (PORT_SHARE,)).fitted(np.ones(len(rows), dtype=bool))
        offs.append((found.values - plain) / error)
        ratios.append(np.sqrt(np.diag(found.covariance)) / error)
    assert np.abs(offs).max() < 0.8
    assert np.mean(ratios) == pytest.approx(1.0, abs=0.08)


def test_spoilt_bulb_is_named_and_pulls_ordinary_least_squares_away():
    rows = changed(made(), bulb_temperature_k=(13, lambda bulb: bulb + 1.5))
    _, findings = fitted(rows)
    (outlier,) = findings.outliers
    assert (outlier.line, outlier.part) == (13, "balance")
    assert outlier.residual == pytest.approx(1.5, abs=0.3)
    within = {e.parameter: abs(e.value - TRUE[e.parameter.quantity]) / e.half_width for e in findings.estimates}
    assert max(within.values()) < 1.5
    kept, _ = balance_rows(rows, {CHARGE: CURVE}, 1.2)
    slope = kept.slope_pa_k
    x = BalanceModel(kept, (CHARGE,), (PORT_SHARE,)).columns() / slope[:, None]
    y = (kept.bulb_pa - kept.under_pa) / slope
    plain, _, _, _ = np.linalg.lstsq(x, y, rcond=None)
    clean = np.linalg.lstsq(x[kept.line != 13], y[kept.line != 13], rcond=None)[0]
    robust = BalanceModel(kept, (CHARGE,), (PORT_SHARE,)).fitted()
    # Spring and gradient; the port hardly feels a row in the middle of the drops.
    assert (np.abs(plain - clean)[:2] > 5.0 * np.abs(robust.values - clean)[:2]).all()


def test_one_drop_gives_the_setting_at_that_drop_and_no_unbalance():
    made_from = truth(unbalance=0.05)
    plan = Plan([], [(phi, 210.0, 25.0, 60.0) for phi in (0.1, 0.3, 0.5, 0.7, 0.9, 1.1) * 4], "45")
    result, findings = fitted(made(plan, made_from=made_from))
    assert result is not None
    reason = refused(findings)[PORT]
    drop = 210.0 * PSI - float(FLUID.dew(kelvin(25.0)).pressure_pa) - 25.0 * PSI
    assert reason.why is Why.ONE_DROP
    assert (reason.low, reason.high) == pytest.approx((drop, drop), rel=0.01)
    assert result.reference_drop_pa[CHARGE] == pytest.approx(drop, rel=0.01)
    # The spring there includes the port's share of the two drops' difference as well.
    at = SETTING.bulb_temperature_k
    bulb = float(CURVE.pressure(np.array(at)))
    at_setting = bulb - float(FLUID.dew(at - TRUE[STATIC]).pressure_pa)
    spring = at_setting + 0.05 * (drop - SETTING.pressure_drop_pa)
    static = at - float(FLUID.dew_temperature(np.array(bulb - spring)))
    assert static > TRUE[STATIC] + 0.15
    assert estimates(findings)[STATIC] == pytest.approx(static, abs=0.08)


def test_one_opening_gives_the_port_alone():
    plan = Plan([], [(0.6, inlet, te, 60.0) for inlet in (150.0, 200.0, 250.0, 280.0) for te in (25.0, 15.0) * 2], "45")
    _, findings = fitted(made(plan))
    assert set(estimates(findings)) == {PORT}
    assert estimates(findings)[PORT] == pytest.approx(0.003, abs=0.002)
    for quantity in (STATIC, OPENING):
        reason = refused(findings)[quantity]
        assert reason.why is Why.BALANCE_ONE_OPENING
        assert (reason.low, reason.high) == pytest.approx((0.6, 0.6), abs=0.02)


def test_opening_and_drop_that_rise_as_one_are_named():
    # One evaporator and liquid; the inlet pressure follows the opening on a straight line.
    plan = Plan([], [(phi, 140.0 + 100.0 * phi, 25.0, 60.0) for phi in np.linspace(0.1, 1.1, 18)], "45")
    _, findings = fitted(made(plan, dataclasses.replace(QUIET, bulb_k=0.07)))
    assert estimates(findings) == {}
    reasons = refused(findings)
    assert reasons[PORT].why is Why.PORT_ONLY_WITH
    assert Parameter(Quantity.GRADIENT, CHARGE) in reasons[PORT].parameters
    assert reasons[OPENING].why is Why.ONLY_SUM


def test_no_balance_rows_give_nothing_and_name_the_test():
    rows = made()
    result, findings = fitted(dataclasses.replace(rows, bulb_temperature_k=np.full(len(rows.line), np.nan)))
    assert result is None
    reasons = refused(findings)
    assert set(reasons) == {STATIC, OPENING, PORT}
    assert {(reason.why, reason.rows) for reason in reasons.values()} == {(Why.NO_BALANCE_ROWS, 0)}


@pytest.mark.parametrize(
    ("openings", "quantity", "why", "end"),
    [
        ((0.5, 0.7, 0.9, 1.1), STATIC, Why.STATIC_TOO_OPEN, "low"),
        ((0.1, 0.3, 0.5, 0.6), OPENING, Why.OPENING_BELOW_RATED, "high"),
    ],
)
def test_ends_of_the_stroke_that_no_row_reaches_are_named(openings, quantity, why, end):
    _, findings = fitted(made(balance_plan("45", openings=openings)))
    assert set(refused(findings)) == {quantity}
    reason = refused(findings)[quantity]
    assert reason.why is why
    assert getattr(reason, end) == pytest.approx(openings[0 if end == "low" else -1], abs=0.02)
    assert len(findings.estimates) == 2


def test_setting_far_from_every_bulb_is_refused():
    cold = Plan([], [(phi, inlet, 0.0, 60.0) for phi in (0.1, 0.4, 0.7, 1.0) for inlet in (150.0, 250.0) * 3], "45")
    _, findings = fitted(made(cold))
    assert set(estimates(findings)) == {PORT}
    reason = refused(findings)[STATIC]
    assert (reason.why, reason.wanted_low) == (Why.SETTING_FAR, pytest.approx(273.15))
    assert reason.low < reason.high < 273.15 - 5.0


def test_rows_at_rest_are_left_out():
    plan = Plan([], [*balance_plan("45").balance, (1.3, 210.0, 25.0, 60.0), (-0.1, 210.0, 25.0, 60.0)], "45")
    rows = made(plan)
    # Beyond the stop and below the seat the bulb goes on, the stroke does not.
    rows = dataclasses.replace(rows, opening=np.clip(rows.opening, 0.0, 1.2))
    _, findings = fitted(rows)
    why = {row.line: row.why for row in findings.left_out}
    assert why == {38: Unusable.ON_STOP, 39: Unusable.SHUT}
    assert findings.outliers == []


def test_bulb_above_its_operating_pressure_is_left_out():
    limit = float(kelvin(31.0))
    capped = dataclasses.replace(ON_BENCH, charge=BulbCharge(CURVE.curve, limit))
    rows = made()
    warm = rows.line[rows.bulb_temperature_k > limit]
    assert 0 < len(warm) < 10
    _, findings = fitted(rows, dataclasses.replace(VALVE, charges={CHARGE: capped}))
    assert [row.line for row in findings.left_out] == warm.tolist()
    assert all(row.why is Unusable.ABOVE_MOP for row in findings.left_out)


def test_two_valves_that_are_not_set_alike_have_no_one_setting():
    other = truth(static_superheat_k=3.9 / 1.8)
    rows = joined(made(seed=1), made(balance_plan("90"), seed=2, made_from=other))
    _, findings = fitted(rows)
    reason = refused(findings)[STATIC]
    assert (reason.why, reason.sizes) == (Why.SET_DIFFERENTLY, ("45", "90"))
    assert {OPENING, PORT} <= set(estimates(findings))
    alike = joined(made(seed=1), made(balance_plan("90"), seed=2))
    _, findings = fitted(alike)
    assert refused(findings) == {}


def wrong_curve() -> BulbCharge:
    """As the family's, with a slope that is 5 percent steeper over temperature."""
    curve = CURVE.curve
    assert isinstance(curve, PointsCurve)
    at = SETTING.bulb_temperature_k
    points = zip(curve.temperature_k, curve.pressure_pa, strict=True)
    return BulbCharge(PointsCurve(curve.temperature_k, tuple(p * np.exp(0.05 * 0.03 * (t - at)) for t, p in points)))


def test_another_charge_than_the_family_states_is_noticed():
    # Made with one charge, fitted with the other; settings at the same bulb temperature stay within a hair.
    rows = made(balance_plan("45", inlets=(150.0, 180.0, 210.0, 240.0, 270.0)), charge=wrong_curve())
    _, findings = fitted(rows)
    (lack,) = findings.lack_of_fit
    assert (lack.part, lack.condition) == ("balance", ConditionKey(Reading.BULB_TEMPERATURE))
    # Bounds cover what the wrong curve does to the setting.
    assert {e for e in findings.estimates if abs(e.value - TRUE[e.parameter.quantity]) > e.half_width} == set()
    result, findings = fitted(joined(rows, charge_rows(1, wrong_curve())))
    assert findings.lack_of_fit == []
    assert result is not None and result.curves[CHARGE].rows == 24
    assert result.curves[CHARGE].points[0].temperature_k == pytest.approx(float(kelvin(-5.0)), abs=0.5)
    assert estimates(findings)[STATIC] == pytest.approx(TRUE[STATIC], abs=0.12)


def test_measured_charge_is_given_by_points_with_bounds():
    result, _ = fitted(joined(made(), charge_rows(2)))
    assert result is not None
    measured = result.curves[CHARGE]
    points = measured.points
    assert len(points) >= 5 and measured.rows == 24
    assert measured.widest == pytest.approx(max(p.half_width_pa / p.pressure_pa for p in points))
    for point in points:
        true = float(CURVE.pressure(np.array(point.temperature_k)))
        assert abs(point.pressure_pa - true) < 2.5 * point.half_width_pa + 0.002 * true
        assert 0.0 < point.half_width_pa < 0.01 * true


def test_bounds_include_what_a_measured_charge_adds():
    inside, widths, alone = 0, [], []
    count = 24
    for seed in range(count):
        rows = made(seed=seed)
        _, findings = fitted(joined(rows, charge_rows(1000 + seed, noise=0.25)))
        found = next(e for e in findings.estimates if e.parameter.quantity is STATIC)
        inside += abs(found.value - TRUE[STATIC]) <= found.half_width
        widths.append(found.half_width)
        if seed < 4:
            alone.append(next(e for e in fitted(rows)[1].estimates if e.parameter.quantity is STATIC).half_width)
    low, high = stats.binom.interval(0.999, count, 0.95)
    assert low <= inside <= high
    assert np.mean(widths) > 1.5 * np.mean(alone)


def test_few_bulb_pressures_make_no_curve():
    few = charge_rows(3)
    few = BenchRows(**{f.name: getattr(few, f.name)[::6] for f in dataclasses.fields(few)})
    result, findings = fitted(joined(made(), few))
    assert result is not None and result.curves == {}
    reason = refused(findings)[Quantity.CHARGE_CURVE]
    assert (reason.why, reason.rows, reason.temperatures) == (Why.FEW_TEMPERATURES, 4, 4)


def test_two_charges_share_one_port():
    second = "second"
    other = truth(static_superheat_k=5.0 / 1.8)
    valve = dataclasses.replace(VALVE, charges={CHARGE: ON_BENCH, second: ON_BENCH})
    rows = joined(made(seed=1), made(seed=2, made_from=other, name=second))
    result, findings = fitted(rows, valve)
    assert result is not None and result.count == 72
    found = {e.parameter: e.value for e in findings.estimates}
    assert found[Parameter(STATIC, CHARGE)] == pytest.approx(3.1 / 1.8, abs=0.08)
    assert found[Parameter(STATIC, second)] == pytest.approx(5.0 / 1.8, abs=0.08)
    assert found[Parameter(PORT)] == pytest.approx(0.003, abs=0.0015)
