"""Force balance, charges, characteristics and windows, each worked by hand with literal numbers."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.bulb import AntoineCurve, BulbCharge, PointsCurve
from tablegen.physics.operating import OperatingPoint, Zone, operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant, Saturated
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import OperatingCondition, Side, SuctionResponse, SuperheatLimits
from tablegen.physics.valve import (
    FactorySetting,
    ForceBalance,
    OpeningCharacteristic,
    Stem,
    set_at_factory,
    spring_at,
    spring_per_turn,
    static_superheat,
    static_superheat_with,
)
from tablegen.physics.windows import Valve, Window, window
from tests.registry import refrigerant

# Two points make ln p linear in 1/T: 200 kPa at 250 K (1/T = 4.0000e-3), 800 kPa at 300 K (3.3333e-3), four
# times as much. A quarter, half and three quarters of the way in 1/T lie 6000/23, 3000/11 and 2000/7 K, and
# there p = 200 kPa x 4^(1/4), 4^(1/2), 4^(3/4) = 282.842712, 400, 565.685425 kPa.
CURVE = PointsCurve((250.0, 300.0), (200e3, 800e3))
QUARTER_K, HALF_K, THREE_QUARTERS_K = 6000.0 / 23.0, 3000.0 / 11.0, 2000.0 / 7.0

BALANCE = ForceBalance(
    charge=BulbCharge(CURVE), spring_pa=60e3, gradient_pa=50e3, unbalance=0.01, reference_drop_pa=700e3
)


def one(value: float) -> np.ndarray:
    return np.array([value])


@pytest.mark.parametrize(
    ("bulb_k", "pressure_pa"),
    [
        (250.0, 200e3),
        (QUARTER_K, 282842.712475),
        (HALF_K, 400e3),
        (THREE_QUARTERS_K, 565685.424949),
        (300.0, 800e3),
    ],
)
def test_curve_by_hand(bulb_k: float, pressure_pa: float) -> None:
    # The literals carry twelve digits.
    assert float(CURVE.pressure(one(bulb_k))[0]) == pytest.approx(pressure_pa, rel=5e-12)


@pytest.mark.parametrize(
    ("pressure_pa", "bulb_k"),
    [(282842.712474619, QUARTER_K), (400e3, HALF_K), (565685.424949238, THREE_QUARTERS_K)],
)
def test_bulb_temperature_by_hand(pressure_pa: float, bulb_k: float) -> None:
    assert float(BulbCharge(CURVE).temperature(one(pressure_pa))[0]) == pytest.approx(bulb_k, abs=1e-9)


@pytest.mark.parametrize(
    ("kelvin", "pascal"),
    [
        ((250.0,), (2e5,)),
        ((250.0, 250.0), (2e5, 3e5)),
        ((250.0, 260.0), (2e5, 2e5)),
        ((260.0, 250.0), (2e5, 3e5)),
        ((250.0, 260.0), (3e5, 2e5)),
        ((), ()),
    ],
)
def test_points_that_are_no_charge_are_refused(kelvin: tuple[float, ...], pascal: tuple[float, ...]) -> None:
    with pytest.raises(ValueError) as caught:
        PointsCurve(kelvin, pascal)
    assert str(caught.value) == "at least two points, ascending in temperature and in pressure"


def test_points_may_lie_close() -> None:
    near = PointsCurve((250.0, 250.5), (2e5, 2e5 + 0.5))
    assert near.pressure(one(250.5)) == pytest.approx(2e5 + 0.5)


def test_antoine_constants_are_valid_in_their_range_alone() -> None:
    curve = AntoineCurve(5.993, 836.0, 240.0, (240.0, 300.0))
    assert np.isnan(curve.pressure(np.array([239.9, 300.1, 150.0, 400.0]))).all()
    assert np.isfinite(curve.pressure(np.array([240.0, 300.0]))).all()
    # log10(p / 1 kPa) = 5.993 - 836 / (240 + 0) at 0 degC: p = 10^(2.50967) kPa.
    assert curve.pressure(one(273.15)) == pytest.approx(323345.0, rel=1e-5)


def test_nothing_outside_the_curve() -> None:
    assert np.isnan(CURVE.pressure(np.array([249.9, 300.1]))).all()
    assert np.isnan(BALANCE.opening(one(300.1), one(300e3), one(700e3))).all()
    assert np.isnan(BALANCE.superheat(one(1.0), one(268.0), one(900e3), one(700e3))).all()


def test_force_balance_step_by_step() -> None:
    """Bulb 400 kPa opens; 300 under the diaphragm, 60 of spring, 0.01 x (900 - 700) = 2 of the port close.

    400 - 362 = 38 kPa are left for the gradient of 50 kPa: 0.76 of rated stroke.
    """
    opening = BALANCE.opening(one(HALF_K), one(300e3), one(900e3))
    assert float(opening[0]) == pytest.approx(0.76, rel=1e-12)
    # Back: 362 + 0.76 x 50 = 400 kPa, bulb 3000/11 = 272.727273 K, evaporating 268 K: 4.727273 K of
    # superheat.
    superheat = BALANCE.superheat(one(0.76), one(268.0), one(300e3), one(900e3))
    assert float(superheat[0]) == pytest.approx(4.7272727272727, abs=1e-9)


@pytest.mark.parametrize(
    ("drop_pa", "opening"),
    # 300 + 60 = 360 at the reference drop; 3 kPa less at 400 kPa, 5 kPa more at 1200.
    [(700e3, 0.80), (400e3, 0.86), (1200e3, 0.70)],
)
def test_inlet_pressure_closes_an_unbalanced_port(drop_pa: float, opening: float) -> None:
    assert float(BALANCE.opening(one(HALF_K), one(300e3), one(drop_pa))[0]) == pytest.approx(opening, rel=1e-12)


def test_superheat_is_the_inverse_of_opening() -> None:
    random = np.random.default_rng(1)
    te, superheat = random.uniform(252.0, 285.0, 200), random.uniform(0.1, 14.0, 200)
    under, drop = random.uniform(100e3, 500e3, 200), random.uniform(100e3, 2000e3, 200)
    opening = BALANCE.opening(te + superheat, under, drop)
    np.testing.assert_allclose(BALANCE.superheat(opening, te, under, drop), superheat, rtol=0.0, atol=1e-9)


class StraightDew(Refrigerant):
    """A refrigerant whose dew pressure is 10 kPa per kelvin above 240 K, for sums done by hand."""

    def __init__(self) -> None:
        self.name = "straight"

    def dew(self, temperature_k: Any) -> Any:
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        nan = np.full_like(temperature_k, np.nan)
        return Saturated(temperature_k, 10e3 * (temperature_k - 240.0), nan, nan)


SETTING = FactorySetting(HALF_K, 2.0, THREE_QUARTERS_K - HALF_K, 900e3)
# Dew at 272.727273 - 2 = 270.727273 K: 307.272727 kPa.  Spring 400 - 307.272727; gradient 565.685425 - 400.
SPRING_PA, GRADIENT_PA = 92727.2727273, 165685.424949


def test_factory_setting_by_hand() -> None:
    balance = set_at_factory(CURVE, SETTING, StraightDew(), 0.02, None)
    assert balance.spring_pa == pytest.approx(SPRING_PA, rel=1e-11)
    assert balance.gradient_pa == pytest.approx(GRADIENT_PA, rel=1e-11)
    assert (balance.unbalance, balance.reference_drop_pa) == (0.02, 900e3)
    assert np.isinf(balance.charge.limit_temperature_k)


def test_setting_that_needs_a_pulling_spring_is_refused() -> None:
    # Dew at 272.7 + 10 K is 427 kPa, above the bulb's 400.
    with pytest.raises(ValueError, match="must be positive"):
        set_at_factory(CURVE, FactorySetting(HALF_K, -10.0, 3.0, 900e3), StraightDew(), 0.0, None)


@pytest.mark.parametrize("superheat_k", [1.5, 2.0, 3.0])
def test_setting_is_met_on_its_refrigerant(superheat_k: float) -> None:
    fluid = refrigerant("R134a")
    setting = FactorySetting(273.15, superheat_k, 2.5, 400e3)
    balance = set_at_factory(CURVE, setting, fluid, 0.03, None)
    te = one(273.15 - superheat_k)
    under = fluid.dew(te).pressure_pa
    # Static superheat at the setting is the setting's.
    assert float(static_superheat(balance, fluid, te)[0]) == pytest.approx(superheat_k, abs=1e-9)
    # Just open at SS, rated stroke at SS + OS.
    assert float(balance.opening(te + superheat_k, under, one(400e3))[0]) == pytest.approx(0.0, abs=1e-12)
    assert float(balance.opening(te + superheat_k + 2.5, under, one(400e3))[0]) == pytest.approx(1.0, abs=1e-12)


def test_pressure_above_the_maximum_operating_pressure() -> None:
    """p = p(T_m) T / T_m above T_m: MOP 565.685425 - 92.727273 = 472.958152 kPa puts T_m at 2000/7 K.

    At 300 K that is 565.685425 x 300 x 7 / 2000 = 593.969696 kPa, not the curve's 800.
    """
    charge = set_at_factory(CURVE, SETTING, StraightDew(), 0.0, 472958.1522217).charge
    assert charge.limit_temperature_k == pytest.approx(THREE_QUARTERS_K, abs=1e-8)
    found = charge.pressure(np.array([HALF_K, THREE_QUARTERS_K, 300.0, 360.0]))
    expected = [400e3, 565685.424949, 593969.696197, 565685.424949 * 360.0 * 7.0 / 2000.0]
    np.testing.assert_allclose(found, expected, rtol=1e-10)
    np.testing.assert_array_equal(charge.is_above_limit(np.array([285.0, 286.0])), [False, True])
    np.testing.assert_allclose(charge.temperature(found[2:]), [300.0, 360.0], rtol=0.0, atol=1e-8)


def test_maximum_operating_pressure_off_the_curve_is_refused() -> None:
    with pytest.raises(ValueError, match="maximum operating pressure"):
        set_at_factory(CURVE, SETTING, StraightDew(), 0.0, 900e3)


POINTS = ((0.0, 0.0), (0.25, 0.10), (0.5, 0.30), (1.0, 1.0), (1.2, 1.15))


def test_characteristic_by_points() -> None:
    characteristic = OpeningCharacteristic(1.2, POINTS)
    opening, share = (np.array(column) for column in zip(*POINTS, strict=True))
    np.testing.assert_allclose(characteristic.share(opening), share, rtol=0.0, atol=1e-15)
    assert float(characteristic.share(np.array(1.0))) == 1.0
    grid = np.linspace(0.0, 1.2, 241)
    assert np.all(np.diff(characteristic.share(grid)) > 0.0)
    np.testing.assert_allclose(characteristic.opening(characteristic.share(grid)), grid, rtol=0.0, atol=1e-9)
    assert np.isnan(characteristic.opening(one(1.16))).all()
    assert np.isnan(characteristic.share(np.array([-0.01, 1.21]))).all()


def test_linear_characteristic() -> None:
    characteristic = OpeningCharacteristic(1.1)
    np.testing.assert_array_equal(characteristic.share(np.array([0.0, 0.4, 1.0, 1.1])), [0.0, 0.4, 1.0, 1.1])
    assert np.isnan(characteristic.share(one(1.11))).all()


# ---- windows ----

LIMITS = SuperheatLimits(useful_k=3.0, max_k=6.0, min_k=(2.0, 0.0, 0.0))


def state(condition: OperatingCondition, **given: float) -> SolvedState:
    """A state of which only what a window reads is set; the rest is 1."""
    values = {f.name: one(given.get(f.name, 1.0)) for f in fields(State)}
    return SolvedState(
        condition=condition,
        side=Side.BOTH,
        response=SuctionResponse.CONSTANT,
        state=State(**values),
        reason=np.array([None], dtype=object),
    )


def electronic(required_kvs: tuple[float, ...], allowed_pa: float = 1e9) -> Window:
    valve = Valve(ElectronicActuator(maximum=0.9, minimum=0.2), OpeningCharacteristic(1.0), 1e9, allowed_pa)
    heads = (OperatingCondition.LOW_HEAD, OperatingCondition.RATING, OperatingCondition.HIGH_HEAD)
    # What a shut valve bears is head less evaporator: 4, 8 and 12 bar here.
    solved = [
        state(e, pressure_drop_pa=p, head_pressure_pa=3e5 + p, inlet_pressure_pa=3e5 + p, evaporating_pressure_pa=3e5)
        for e, p in zip(heads, (4e5, 8e5, 12e5), strict=True)
    ]
    return window(valve, solved, [one(d) for d in required_kvs], LIMITS)


def test_window_by_hand() -> None:
    # D = 1.0, 0.8, 0.5: maximum min(0.9, 1.125, 1.8) = 0.9 at low head, minimum max(0.2, 0.25, 0.4) = 0.4 at
    # high.
    found = electronic((1.0, 0.8, 0.5))
    assert float(found.max_load_w[0]) == pytest.approx(0.9, rel=1e-15)
    assert float(found.min_load_w[0]) == pytest.approx(0.4, rel=1e-15)
    assert (found.max_condition[0], found.min_condition[0]) == (
        OperatingCondition.LOW_HEAD,
        OperatingCondition.HIGH_HEAD,
    )
    assert (found.max_reason[0], found.min_reason[0]) == (Reason.CONTROL_RESERVE, Reason.MIN_STEP)


def test_crossing_limits_empty_the_window_with_a_reason() -> None:
    # D = 5, 2, 1: maximum 0.18, minimum 0.2.
    found = electronic((5.0, 2.0, 1.0))
    assert np.isnan([found.max_load_w[0], found.min_load_w[0]]).all()
    assert not found.is_open[0]
    assert found.max_reason[0] == found.min_reason[0] == Reason.CROSSED
    assert (found.max_condition[0], found.min_condition[0]) == (
        OperatingCondition.LOW_HEAD,
        OperatingCondition.HIGH_HEAD,
    )


def test_equal_limits_are_no_window() -> None:
    # 0.9 / 4.5 = 0.2 / 1: no load lies between.
    assert electronic((4.5, 2.0, 1.0)).max_reason[0] == Reason.CROSSED


def test_too_great_a_drop_empties_the_window() -> None:
    found = electronic((1.0, 0.8, 0.5), allowed_pa=10e5)
    assert np.isnan(found.max_load_w[0])
    assert (found.max_reason[0], found.max_condition[0]) == (Reason.OVER_DIFFERENTIAL, OperatingCondition.HIGH_HEAD)


@pytest.mark.parametrize("scale", [0.011, 2.0, 37.5])
def test_windows_scale_with_kv(scale: float) -> None:
    # A port `scale` times as large is asked for 1/scale of itself per watt.
    unit, scaled = electronic((1.0, 0.8, 0.5)), electronic((1.0 / scale, 0.8 / scale, 0.5 / scale))
    np.testing.assert_allclose(scaled.max_load_w, scale * unit.max_load_w, rtol=1e-14)
    np.testing.assert_allclose(scaled.min_load_w, scale * unit.min_load_w, rtol=1e-14)


def thermostatic(under_pa: float, te_k: float, reserve: float = 1.0) -> Window:
    actuator = ThermostaticActuator(
        balance=BALANCE, stop=1.2, reserve_in_limits=reserve, min_stable=0.25, evaporating_k=(255.0, 290.0)
    )
    valve = Valve(actuator, OpeningCharacteristic(1.2), 1e9, 1e9)
    at = state(
        OperatingCondition.RATING,
        evaporating_temperature_k=te_k,
        evaporating_pressure_pa=under_pa,
        pressure_drop_pa=700e3,
    )
    return window(valve, [at], [one(0.5)], LIMITS)


def test_thermostatic_window_by_hand() -> None:
    """Bulb at T_e + 6 K = 3000/11 K gives 400 kPa; 320 + 60 close: 20 / 50 = 0.4 open; 0.4 / 0.5 = 0.8 W.

    The minimum stable opening, 0.25, is more than 2 K of superheat give: the minimum load is 0.25 / 0.5 = 0.5 W.
    """
    found = thermostatic(320e3, HALF_K - 6.0)
    assert float(found.max_load_w[0]) == pytest.approx(0.8, rel=1e-11)
    assert float(found.min_load_w[0]) == pytest.approx(0.5, rel=1e-15)
    assert (found.max_reason[0], found.min_reason[0]) == (Reason.SUPERHEAT, Reason.STABILITY)


def test_stop_bounds_the_opening() -> None:
    # 400 - 270 - 60 = 70 kPa would be 1.4 open; the stop is at 1.2: 1.2 / 0.5 = 2.4 W.
    found = thermostatic(270e3, HALF_K - 6.0)
    assert float(found.max_load_w[0]) == pytest.approx(2.4, rel=1e-12)
    assert found.max_reason[0] == Reason.STOP


@pytest.mark.parametrize(
    ("reserve", "load_w", "reason"),
    [
        # 1.4 open at maximum superheat, the stop at 1.2: rated stroke 1.0 / 0.5 = 2.0 W; half of the reserve 1.1 / 0.5.
        (0.0, 2.0, Reason.RATED_STROKE),
        (0.5, 2.2, Reason.RATED_STROKE),
        (1.0, 2.4, Reason.STOP),
    ],
)
def test_the_reserve_counts_as_far_as_it_is_stated(reserve: float, load_w: float, reason: Reason) -> None:
    found = thermostatic(270e3, HALF_K - 6.0, reserve)
    assert float(found.max_load_w[0]) == pytest.approx(load_w, rel=1e-12)
    assert found.max_reason[0] == reason
    # Where the superheat binds, the reserve is of no account: 0.8 W as above.
    assert float(thermostatic(320e3, HALF_K - 6.0, reserve).max_load_w[0]) == pytest.approx(0.8, rel=1e-11)


@pytest.mark.parametrize(
    ("under_pa", "te_k", "reason"),
    [
        (335e3, HALF_K - 6.0, Reason.STAYS_CLOSED),
        (320e3, 254.0, Reason.CHARGE_RANGE),
        (320e3, 291.0, Reason.CHARGE_RANGE),
    ],
)
def test_thermostatic_window_is_empty_with_a_reason(under_pa: float, te_k: float, reason: Reason) -> None:
    found = thermostatic(under_pa, te_k)
    assert np.isnan(found.max_load_w[0])
    assert np.isnan(found.min_load_w[0])
    assert found.max_reason[0] == reason


@pytest.mark.parametrize("allowed_pa", [12e5, 12e5 + 1.0])
def test_what_is_just_allowed_is_borne(allowed_pa: float) -> None:
    assert electronic((1.0, 0.8, 0.5), allowed_pa=allowed_pa).is_open[0]
    valve = Valve(ElectronicActuator(maximum=0.9, minimum=0.2), OpeningCharacteristic(1.0), 15e5, 1e9)
    for head, reason in ((15e5, Reason.CONTROL_RESERVE), (15e5 + 1.0, Reason.OVER_PRESSURE)):
        found = window(valve, [state(OperatingCondition.RATING, head_pressure_pa=head)], [one(0.5)], LIMITS)
        assert found.max_reason[0] == reason


@pytest.mark.parametrize(
    ("te_k", "is_within"),
    [
        (255.0, True),
        (255.0 - 1e-7, True),
        (255.0 - 1e-6, False),
        (290.0, True),
        (290.0 + 1e-7, True),
        (290.0 + 1e-6, False),
    ],
)
def test_a_charge_is_used_at_the_ends_of_its_range_to_a_last_digit(te_k: float, is_within: bool) -> None:
    """A bound written in degF and a temperature in kelvin may differ there."""
    under = float(BALANCE.charge.pressure(one(te_k + 6.0))[0]) - 80e3
    found = thermostatic(under, te_k)
    assert (found.max_reason[0] == Reason.SUPERHEAT) == is_within
    assert (found.max_reason[0] == Reason.CHARGE_RANGE) != is_within


def test_the_spring_of_a_static_superheat_and_back_by_hand() -> None:
    """At a bulb of 272.727273 K: dew at 3 K below is 297.272727 kPa, and 400 less that is 102.727273 kPa of spring."""
    fluid = StraightDew()
    assert spring_at(CURVE, SETTING, fluid, 3.0) == pytest.approx(102727.2727273, rel=1e-11)
    # The factory's own spring at its own superheat.
    assert spring_at(CURVE, SETTING, fluid, 2.0) == pytest.approx(SPRING_PA, rel=1e-11)


@pytest.mark.parametrize("superheat_k", [1.0, 4.0, 12.0])
def test_a_spring_and_a_static_superheat_are_each_other(superheat_k: float) -> None:
    fluid = refrigerant("R134a")
    setting = FactorySetting(273.15, 3.0, 2.5, 400e3)
    spring = spring_at(CURVE, setting, fluid, superheat_k)
    assert static_superheat_with(CURVE, setting, fluid, spring) == pytest.approx(superheat_k, abs=1e-9)
    # Set so at the factory it has that spring.
    alike = set_at_factory(CURVE, FactorySetting(273.15, superheat_k, 2.5, 400e3), fluid, 0.0, None)
    assert spring == pytest.approx(alike.spring_pa, rel=1e-12)


def test_a_spring_as_strong_as_the_bulb_leaves_no_static_superheat() -> None:
    fluid, setting = refrigerant("R134a"), FactorySetting(273.15, 3.0, 2.5, 400e3)
    bulb = float(CURVE.pressure(one(273.15))[0])
    for left in (0.0, -1.0, 0.5):
        assert np.isnan(static_superheat_with(CURVE, setting, fluid, bulb - left))


@pytest.mark.parametrize("turn_k", [0.5, 2.0])
def test_a_turn_adds_the_spring_of_its_superheat(turn_k: float) -> None:
    """A turn clockwise from the factory setting is as a factory setting with so much more static superheat."""
    fluid = refrigerant("R134a")
    before, after = (
        set_at_factory(CURVE, FactorySetting(273.15, own, 2.5, 400e3), fluid, 0.0, None).spring_pa
        for own in (3.0, 3.0 + turn_k)
    )
    found = spring_per_turn(FactorySetting(273.15, 3.0, 2.5, 400e3), Stem(turn_k, -3.0, 5.0), fluid)
    assert found == pytest.approx(after - before, rel=1e-9)
    assert found > 0.0


def test_a_setting_that_cannot_be_says_which_forces_it_asks_for() -> None:
    # Dew at 282.727273 K is 427.272727 kPa, 27.3 more than the bulb; 3 K more are 0.559846 of the way in 1/T, and there
    # p = 200 kPa x 4^0.559846 = 434.6 kPa.
    with pytest.raises(ValueError, match=r"-27\.3 kPa.* 34\.6 kPa") as caught:
        set_at_factory(CURVE, FactorySetting(HALF_K, -10.0, 3.0, 900e3), StraightDew(), 0.0, None)
    assert "positive" in str(caught.value)
    gradient = float(CURVE.pressure(one(HALF_K + 27.0))[0]) - 400e3
    with pytest.raises(ValueError, match=f"gradient of {gradient / 1e3:.1f} kPa"):
        set_at_factory(CURVE, FactorySetting(HALF_K, -10.0, 27.0, 900e3), StraightDew(), 0.0, None)
    with pytest.raises(ValueError, match="bulb"):
        set_at_factory(CURVE, FactorySetting(299.0, 2.0, 3.0, 900e3), StraightDew(), 0.0, None)


def test_a_valve_that_is_half_a_stroke_beyond_its_stop_has_the_slope_there() -> None:
    characteristic = OpeningCharacteristic(1.2, POINTS)
    at_stop = float(characteristic.relative_slope(one(1.2))[0])
    assert characteristic.relative_slope(np.array([1.21, 1.7])) == pytest.approx([at_stop, at_stop], rel=1e-15)
    assert OpeningCharacteristic(1.2).relative_slope(one(2.0)) == pytest.approx([1.0 / 1.2], rel=1e-15)


def duty(reasons: tuple[Reason | None, Reason | None], required: tuple[float, float], load_w: float) -> OperatingPoint:
    """A pulse-modulated valve of a maximum duty of 0.8 at one state, of its mean flow and of its open flow."""
    actuator = ElectronicActuator(maximum=0.8, minimum=0.1, max_reason=Reason.MAX_DUTY)
    valve = Valve(actuator, OpeningCharacteristic(1.0), 1e9, 1e9)
    mean, opened = (replace(state(OperatingCondition.RATING), reason=np.array([own], dtype=object)) for own in reasons)
    return operating_point(
        valve, mean, one(required[0]), one(load_w), LIMITS, (replace(opened, open_share=0.8), one(required[1]))
    )


def test_the_duty_of_a_valve_counts_with_the_losses_of_its_open_flow() -> None:
    # 0.5 W at D = 1.1 in the open flow, of which it has 0.8 of the time: 0.44; at 0.95 W 0.836, above the maximum of 0.8.
    found = duty((None, None), (1.0, 1.1), 0.5)
    assert float(found.opening[0]) == pytest.approx(0.44, rel=1e-14)
    assert found.zone[0] == Zone.STEADY
    assert duty((None, None), (1.0, 1.1), 0.95).zone[0] == Zone.STARVED
    # The minimum is judged at the mean flow: 0.095 W at D = 1.
    assert duty((None, None), (1.0, 1.1), 0.095).zone[0] == Zone.HUNTS
    # Exactly at either limit it is still steady, to the last digits.
    for load in (0.1, 0.8 / (1.1 * 0.8)):
        assert duty((None, None), (1.0, 1.1), load).zone[0] == Zone.STEADY


@pytest.mark.parametrize(
    ("reasons", "required"),
    [
        ((Reason.FLASHING, None), (1.0, 1.1)),
        ((None, Reason.FLASHING), (1.0, 1.1)),
        ((Reason.FLASHING, Reason.NO_PRESSURE_DROP), (1.0, 1.1)),
        ((None, None), (np.nan, 1.1)),
        ((None, None), (1.0, np.nan)),
    ],
)
def test_a_valve_needs_both_of_its_states(
    reasons: tuple[Reason | None, Reason | None], required: tuple[float, float]
) -> None:
    assert duty(reasons, required, 0.5).zone[0] == Zone.NOT_WORKING
