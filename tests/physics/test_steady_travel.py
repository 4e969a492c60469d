"""Openings from the loop with the coil at many states at once, against roots that scipy finds one by one."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from scipy.optimize import brentq

from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator, Travel, coil_delays
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import BulbCharge
from tablegen.physics.loop import CoilDelays, Controller
from tablegen.physics.loop_travel import steady_at_gain, steady_with_controller
from tablegen.physics.reasons import Reason
from tablegen.physics.state import State
from tablegen.physics.steady_opening import gain_with_bulb
from tablegen.physics.system import Stability, StabilityRule, SuperheatLimits
from tablegen.physics.valve import OpeningCharacteristic
from tests.physics.loop_cases import PSI, STOP, LoopCase

CASES = (LoopCase(), LoopCase(td=15.0), LoopCase(length_m=6.0), LoopCase(ratio=0.5))
BALANCE = LoopCase().balance()
BULB_S = 30.0
RULE = StabilityRule(method=Stability.LOOP, gain_margin=1.3, calibration=2.0)
LIMITS = SuperheatLimits(useful_k=3.0, max_k=9.0, min_k=(2.0, 0.0, 0.0), stability=RULE)
LINEAR = OpeningCharacteristic(STOP)
CURVED = OpeningCharacteristic(STOP, ((0.0, 0.0), (0.25, 0.1), (0.5, 0.3), (1.0, 1.0), (1.2, 1.15)))
CONTROLLER = Controller(gain_per_k=0.02, integral_time_s=60.0, sensor_lag_s=12.0, delay_s=2.0, superheat_k=3.0)


def state(cases: tuple[LoopCase, ...] = CASES, **given: Floats) -> State:
    """Cases side by side; what the loop does not read is 1, the outlet of the valve 1 bar above the evaporator."""
    coils = [case.coil() for case in cases]
    own = {
        "evaporating_temperature_k": np.concatenate([case.te for case in cases]),
        "evaporating_pressure_pa": np.concatenate([case.under_pa for case in cases]),
        "pressure_drop_pa": np.array([case.drop_psi * PSI for case in cases]),
        "coil_difference_k": np.concatenate([case.now.difference_k for case in cases]),
        "dry_transfer_units": np.concatenate([coil.sensitivity for coil in coils]),
    }
    for name in ("dead_time_s", "front_lag_s", "wall_lag_s", "wall_lead_s"):
        own[name] = np.concatenate([getattr(coil, name) for coil in coils])
    own["outlet_pressure_pa"] = own["evaporating_pressure_pa"] + 1e5
    own |= given
    return State(**{f.name: own.get(f.name, np.ones(len(cases))) for f in fields(State)})


def one(coil: CoilDelays, row: int) -> dict[str, float]:
    return {f.name: float(getattr(coil, f.name)[row]) for f in fields(CoilDelays)}


def ultimate(dead: float, lags: tuple[float, ...], lead: float, per_integral: float = 0.0) -> float:
    """The gain at which a loop swings on: magnitude where the phase of its complex transfer function is half a period."""

    def shape(w: float) -> complex:
        s = 1j * w
        return (1.0 + s * lead) * (1.0 + per_integral / s) / np.prod([1.0 + s * lag for lag in lags])

    def missed(w: float) -> float:
        # The angle of each factor by itself, so that none wraps.
        turned = sum(np.angle(1.0 + 1j * w * lag) for lag in lags) - np.angle(1.0 + 1j * w * lead)
        return float(w * dead + turned - np.angle(1.0 + per_integral / (1j * w)) - np.pi)

    return 1.0 / abs(shape(brentq(missed, 1e-3, 10.0, xtol=1e-14, rtol=1e-14)))


def smallest(at: State, row: int, under_pa: float, characteristic: OpeningCharacteristic) -> tuple[float, float]:
    """Opening and superheat where the gain, taken by difference, is what the margin allows."""
    coil = one(coil_delays(at), row)
    lags = coil["front_lag_s"], coil["wall_lag_s"], BULB_S
    allowed = RULE.calibration * ultimate(coil["dead_time_s"], lags, coil["wall_lead_s"]) / RULE.gain_margin
    te, drop = (float(own[row]) for own in (at.evaporating_temperature_k, at.pressure_drop_pa))

    def opening(superheat: float) -> float:
        return float(BALANCE.opening(np.array([te + superheat]), np.array([under_pa]), np.array([drop]))[0])

    def excess(superheat: float) -> float:
        step = 1e-5
        more, less = (np.log(characteristic.share(np.array([opening(superheat + d)]))[0]) for d in (step, -step))
        slope = float(more - less) / (2.0 * step)
        return (coil["difference_k"] - superheat) * coil["sensitivity"] * slope - allowed

    just_open = brentq(opening, 0.0, coil["difference_k"])
    full = min(coil["difference_k"], brentq(lambda sh: opening(sh) - STOP, 0.0, 12.0)) - 1e-3
    found = brentq(excess, just_open + 0.05, full, xtol=1e-12)
    return opening(found), found


def thermostatic(**stated: object) -> ThermostaticActuator:
    own = ThermostaticActuator(
        balance=BALANCE,
        stop=STOP,
        min_stable=0.3,
        evaporating_k=(250.0, 290.0),
        smallest_controlled=0.05,
        bulb_time_constant_s=BULB_S,
    )
    return replace(own, **stated)


def travel(actuator: ThermostaticActuator, at: State, limits: SuperheatLimits = LIMITS) -> tuple[Travel, Travel]:
    """What its limits alone give, and what the loop makes of it."""
    found = actuator.travel(at, limits, np.ones(len(at.flow_ratio)))
    return found, actuator.steady_travel(at, limits, found, LINEAR)


@pytest.mark.parametrize("characteristic", [LINEAR, CURVED])
@pytest.mark.parametrize("is_internal", [False, True])
def test_the_smallest_opening_is_where_the_gain_is_what_the_margin_allows(
    characteristic: OpeningCharacteristic, is_internal: bool
):
    at = state()
    # An internal equalizer feels the outlet of the valve: there lower, so that it opens at the same superheats.
    at = replace(at, outlet_pressure_pa=at.evaporating_pressure_pa - 5e3)
    under = at.outlet_pressure_pa if is_internal else at.evaporating_pressure_pa
    found = thermostatic(is_internally_equalized=is_internal).steady(at, LIMITS, characteristic)
    for row in range(len(CASES)):
        opening, superheat = smallest(at, row, float(under[row]), characteristic)
        assert float(found.opening[row]) == pytest.approx(opening, rel=1e-6)
        assert float(found.superheat_k[row]) == pytest.approx(superheat, rel=1e-6)


def test_few_looks_and_halvings_are_those_that_are_asked_for():
    """With four looks and one halving a superheat is a multiple of an eighth of the TD, at most that much too large."""
    at = state()
    under, coil = at.evaporating_pressure_pa, coil_delays(at)
    gain_at = gain_with_bulb(coil, BALANCE, LINEAR, at.evaporating_temperature_k, under, at.pressure_drop_pa)
    fine = steady_at_gain(coil, RULE, BULB_S, gain_at).superheat_k / at.coil_difference_k
    coarse = steady_at_gain(coil, RULE, BULB_S, gain_at, 4, 1).superheat_k / at.coil_difference_k
    np.testing.assert_allclose(coarse, np.ceil(8.0 * fine) / 8.0, rtol=1e-12)


def test_the_minimum_opening_is_that_of_the_loop_and_the_rest_is_as_before():
    at, actuator = state(), thermostatic()
    before, found = travel(actuator, at)
    np.testing.assert_array_equal(found.minimum, actuator.steady(at, LIMITS, LINEAR).opening)
    assert list(found.min_reason) == [Reason.HUNTS] * 4
    assert list(found.empty) == [None] * 4
    assert found.maximum is before.maximum and found.max_reason is before.max_reason


def test_what_port_and_seat_control_bounds_the_minimum():
    at = state()
    roots = thermostatic().steady(at, LIMITS, LINEAR).opening
    # Between the second least and the third of the roots.
    least = float(np.sort(roots)[1:3].mean())
    _, found = travel(thermostatic(smallest_controlled=least), at)
    np.testing.assert_array_equal(found.minimum, np.maximum(roots, least))
    assert list(found.min_reason) == [Reason.HUNTS if own > least else Reason.STABILITY for own in roots]
    assert set(found.min_reason) == {Reason.HUNTS, Reason.STABILITY}


def test_a_valve_that_hunts_at_every_opening_has_no_window():
    at = state()
    roots = thermostatic().steady(at, LIMITS, LINEAR).opening
    stop = float(np.sort(roots)[1:3].mean())
    _, found = travel(thermostatic(stop=stop), at)
    assert list(found.empty) == [Reason.ALWAYS_HUNTS if own > stop else None for own in roots]
    # So it does where the maximum superheat opens it no further than the loop asks for.
    superheats = thermostatic().steady(at, LIMITS, LINEAR).superheat_k
    between = float(np.sort(superheats)[1:3].mean())
    _, found = travel(thermostatic(), at, replace(LIMITS, max_k=between))
    assert list(found.empty) == [Reason.ALWAYS_HUNTS if own > between else None for own in superheats]
    # A valve that the maximum superheat does not open stays closed, whatever the loop says.
    calm = replace(LIMITS, max_k=0.1, stability=replace(RULE, calibration=1e4))
    _, found = travel(thermostatic(), at, calm)
    assert list(found.empty) == [Reason.STAYS_CLOSED] * 4


def test_above_its_maximum_operating_pressure_and_off_its_charge_it_says_so():
    at = state()
    limit_k = float(at.evaporating_temperature_k[0]) - 1.0
    shut = replace(BALANCE, charge=BulbCharge(BALANCE.charge.curve, limit_k))
    _, found = travel(thermostatic(balance=shut), at)
    assert list(found.empty) == [Reason.ABOVE_MOP] * 4
    # The charge's range goes first; a coil of which nothing is known leaves nothing known.
    _, found = travel(thermostatic(balance=shut, evaporating_k=(280.0, 290.0)), at)
    assert list(found.empty) == [Reason.CHARGE_RANGE] * 4
    unknown = replace(at, dead_time_s=np.array([at.dead_time_s[0], np.nan, at.dead_time_s[2], at.dead_time_s[3]]))
    _, found = travel(thermostatic(), unknown)
    assert list(found.empty) == [None, Reason.CHARGE_RANGE, None, None]
    # Beyond the charge's points the opening at the maximum superheat is not known, that of the loop is.
    _, found = travel(thermostatic(), at, replace(LIMITS, max_k=40.0))
    assert list(found.empty) == [Reason.CHARGE_RANGE] * 4


def test_a_loop_that_is_steady_down_to_no_superheat_floods_back_below():
    # Less pressure under the diaphragm: the valve is open at no superheat.
    at = state()
    at = replace(at, evaporating_pressure_pa=at.evaporating_pressure_pa - 30e3)
    calm = replace(LIMITS, stability=replace(RULE, calibration=1e3))
    opened = BALANCE.opening(at.evaporating_temperature_k, at.evaporating_pressure_pa, at.pressure_drop_pa)
    assert (opened > 0.05).all()
    _, found = travel(thermostatic(), at, calm)
    np.testing.assert_allclose(found.minimum, opened, rtol=1e-12)
    assert list(found.min_reason) == [Reason.FLOODBACK] * 4
    # Where port and seat do not control it, that is the bound.
    _, found = travel(thermostatic(smallest_controlled=1.0), at, calm)
    assert list(found.min_reason) == [Reason.STABILITY] * 4


def test_a_loop_that_never_lags_by_half_a_period_is_steady_wherever_its_valve_is_open():
    """Without dead time, and with a lead that outdoes three lags, no gain makes it swing on."""
    at = state()
    at = replace(at, dead_time_s=np.zeros(4), wall_lead_s=0.9 * at.wall_lag_s, front_lag_s=0.5 * at.front_lag_s)
    _, found = travel(thermostatic(), at)
    assert list(found.empty) == [None] * 4
    np.testing.assert_array_equal(found.minimum, np.full(4, 0.05))
    assert list(found.min_reason) == [Reason.STABILITY] * 4


def test_a_controlled_valve_on_a_linear_port_is_explicit_at_each_state():
    """phi_min = GM (TD - SH_set) B K_p / K_u, at the ultimate gain with integral action."""
    at = state()
    explicit = []
    for row in range(len(CASES)):
        coil = one(coil_delays(at), row)
        lags = coil["front_lag_s"], coil["wall_lag_s"], CONTROLLER.sensor_lag_s
        dead, per_integral = coil["dead_time_s"] + CONTROLLER.delay_s, 1.0 / CONTROLLER.integral_time_s
        gain = ultimate(dead, lags, coil["wall_lead_s"], per_integral)
        asked = (coil["difference_k"] - CONTROLLER.superheat_k) * coil["sensitivity"] * CONTROLLER.gain_per_k
        explicit.append(RULE.gain_margin * asked / (RULE.calibration * gain))
    found = steady_with_controller(coil_delays(at), RULE, CONTROLLER, LINEAR, 0.001, 1.0)
    np.testing.assert_allclose(found, explicit, rtol=1e-9)
    # Between the second least and the third of them: the minimum of the drive, or its maximum.
    between = float(np.sort(explicit)[1:3].mean())
    drive = ElectronicActuator(maximum=1.0, minimum=between, controller=CONTROLLER)
    before = drive.travel(at, LIMITS, np.ones(4))
    steady = drive.steady_travel(at, LIMITS, before, LINEAR)
    np.testing.assert_allclose(steady.minimum, np.maximum(explicit, between), rtol=1e-9)
    assert list(steady.min_reason) == [Reason.HUNTS if own > between else Reason.MIN_STEP for own in explicit]
    assert list(steady.empty) == list(before.empty) == [None] * 4
    assert steady.maximum is before.maximum
    drive = replace(drive, minimum=0.001, maximum=between)
    before = drive.travel(at, LIMITS, np.ones(4))
    steady = drive.steady_travel(at, LIMITS, before, LINEAR)
    assert list(steady.empty) == [Reason.ALWAYS_HUNTS if own > between else None for own in explicit]
    np.testing.assert_allclose(steady.minimum, np.minimum(explicit, between), rtol=1e-9)
    # What was found before is not altered.
    assert list(before.empty) == [None] * 4
    unknown = replace(at, dead_time_s=np.full(4, np.nan))
    assert list(drive.steady_travel(unknown, LIMITS, before, LINEAR).empty) == [Reason.ALWAYS_HUNTS] * 4


def test_the_delays_of_a_state_are_those_of_its_coil():
    at = state()
    for case, row in zip(CASES, range(4), strict=True):
        coil = case.coil()
        for name in ("sensitivity", "dead_time_s", "front_lag_s", "wall_lag_s", "wall_lead_s"):
            assert one(coil_delays(at), row)[name] == float(getattr(coil, name)[0])
        assert one(coil_delays(at), row)["difference_k"] == float(case.now.difference_k[0])
    # Rows of a coil are taken in any order and number.
    coil = CASES[1].coil()
    assert float(coil.at(np.array([0, 0])).delay_s[1]) == float(coil.delay_s[0])
    for own in fields(coil):
        assert getattr(coil.at(np.array([0, 0])), own.name).shape == (2,)
