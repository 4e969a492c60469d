"""Windows over several states, worked by hand: open flow, what forbids a valve, and what says how its minimum is found."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.physics import loop_equations as leq
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.bulb import BulbCharge
from tablegen.physics.reasons import Reason
from tablegen.physics.state import SolvedState
from tablegen.physics.system import OperatingCondition, Side, Stability, StabilityRule
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.physics.windows import Valve, limits, load_share, reason_under_law, window
from tests.physics import test_steady_travel as loops
from tests.physics.loop_cases import LoopCase
from tests.physics.test_valve import BALANCE, HALF_K, LIMITS, THREE_QUARTERS_K, one, state

DUTY = Valve(
    ElectronicActuator(maximum=0.8, minimum=0.1, max_reason=Reason.MAX_DUTY), OpeningCharacteristic(1.0), 1e9, 1e9
)
LOW, HIGH = OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD


def opened(item: SolvedState, share: float = 0.8) -> SolvedState:
    return replace(item, side=Side.MAX, open_share=share)


def test_the_maximum_of_a_duty_is_judged_at_the_open_flow_and_the_minimum_at_the_mean_flow() -> None:
    """While open it is wholly open: 1 / 1.25 and 1 / 2 W at its open flow; 0.1 / 0.5 and 0.1 / 1 W at its mean flow."""
    states = [state(LOW), state(HIGH), opened(state(LOW)), opened(state(HIGH))]
    found = window(DUTY, states, [one(own) for own in (1.0, 0.5, 2.0, 1.25)], LIMITS)
    assert (float(found.max_load_w[0]), float(found.min_load_w[0])) == pytest.approx((0.5, 0.2), rel=1e-14)
    assert (found.max_condition[0], found.min_condition[0]) == (LOW, HIGH)
    assert (found.max_reason[0], found.min_reason[0]) == (Reason.MAX_DUTY, Reason.MIN_STEP)
    # A state for the minimum load alone bounds no maximum, at whatever flow.
    only = replace(state(LOW), side=Side.MIN)
    again = window(DUTY, [*states, only], [one(own) for own in (1.0, 0.5, 2.0, 1.25, 9.0)], LIMITS)
    assert float(again.max_load_w[0]) == pytest.approx(0.5, rel=1e-14)


def test_a_duty_needs_its_open_flow_and_no_other() -> None:
    with pytest.raises(ValueError, match="open flow"):
        limits(DUTY, [state(LOW)], [one(1.0)], LIMITS)
    with pytest.raises(ValueError, match="open"):
        limits(DUTY, [opened(state(LOW)), opened(state(HIGH), 0.7)], [one(1.0)] * 2, LIMITS)
    # Minimum loads alone need none.
    found = limits(DUTY, [replace(state(LOW), side=Side.MIN)], [one(0.5)], LIMITS)
    assert float(found.min_load_w[0]) == pytest.approx(0.2, rel=1e-14)


def test_the_load_of_the_evaporator_is_that_of_the_mean_flow() -> None:
    """Capacity 1.1 of the rated one, 0.6 of the flow; open for 0.8 of the time it passes 1/0.8 of that."""
    at = {"capacity_ratio": 1.1, "flow_ratio": 1.2, "flow_share": 0.72}
    mean = state(LOW, **at)
    assert float(load_share(mean)[0]) == pytest.approx(0.66, rel=1e-14)
    at_open = opened(state(LOW, **(at | {"flow_share": 0.9})))
    assert float(load_share(at_open)[0]) == pytest.approx(0.66, rel=1e-14)


def test_the_first_state_that_forbids_a_valve_is_named() -> None:
    valve = Valve(ElectronicActuator(maximum=0.9, minimum=0.2), OpeningCharacteristic(1.0), 15e5, 1e9)
    fine = state(OperatingCondition.RATING)
    hot = state(HIGH, head_pressure_pa=16e5)
    flashing = replace(state(LOW), reason=np.array([Reason.FLASHING], dtype=object))
    for states, expected in (
        ([fine, hot, flashing], (Reason.OVER_PRESSURE, HIGH)),
        ([flashing, fine, hot], (Reason.FLASHING, LOW)),
        # Of one state the reason of the state itself is the most basic.
        ([replace(hot, reason=flashing.reason)], (Reason.FLASHING, HIGH)),
    ):
        found = window(valve, states, [one(1.0)] * len(states), LIMITS)
        assert (found.max_reason[0], found.max_condition[0]) == expected
        assert (found.min_reason[0], found.min_condition[0]) == expected
        assert np.isnan(found.max_load_w[0]) and np.isnan(found.min_load_w[0])


def test_a_state_outside_the_flow_law_has_that_reason_unless_it_has_another() -> None:
    both = replace(state(LOW), reason=np.array([None, None, Reason.FLASHING, Reason.FLASHING], dtype=object))
    found = reason_under_law(both, np.array([1.0, np.nan, 1.0, np.nan]))
    assert list(found) == [None, Reason.FLOW_LAW_RANGE, Reason.FLASHING, Reason.FLASHING]


def test_what_a_family_says_of_its_minimum_goes_before_what_the_application_says() -> None:
    def by_loop(family: Stability | None, application: Stability) -> bool:
        actuator = ElectronicActuator(maximum=0.9, minimum=0.2, stability=family)
        valve = Valve(actuator, OpeningCharacteristic(1.0), 1e9, 1e9)
        return valve.is_by_loop(replace(LIMITS, stability=StabilityRule(method=application)))

    loop, constant = Stability.LOOP, Stability.CONSTANT
    assert by_loop(None, loop) and by_loop(loop, constant) and by_loop(loop, loop)
    assert not by_loop(None, constant) and not by_loop(constant, loop) and not by_loop(constant, constant)


def test_a_valve_by_the_loop_has_the_openings_of_the_loop() -> None:
    at, actuator = loops.state(), loops.thermostatic()
    valve = Valve(actuator, loops.CURVED, 1e9, 1e9)
    load = np.ones(len(at.flow_ratio))
    found = valve.travel(at, loops.LIMITS, load)
    np.testing.assert_array_equal(found.minimum, actuator.steady(at, loops.LIMITS, loops.CURVED).opening)
    plain = valve.travel(at, replace(loops.LIMITS, stability=StabilityRule()), load)
    np.testing.assert_array_equal(plain.minimum, actuator.travel(at, loops.LIMITS, load).minimum)
    assert (plain.minimum != found.minimum).all()


@pytest.mark.parametrize(
    ("limit_k", "under_pa", "reason"),
    [
        # Above 2000/7 K gas alone: at 292 K, 6 K above 286, 565.7 x 292 / 285.71 = 578.1 kPa; 520 and 60 of spring close.
        (THREE_QUARTERS_K, 520e3, Reason.ABOVE_MOP),
        (THREE_QUARTERS_K, 500e3, Reason.MOP),
        # With an MOP above that the curve is what opens it: 662 kPa.
        (295.0, 590e3, Reason.SUPERHEAT),
        (295.0, 640e3, Reason.STAYS_CLOSED),
    ],
)
def test_above_its_maximum_operating_pressure_a_valve_opens_less(
    limit_k: float, under_pa: float, reason: Reason
) -> None:
    actuator = ThermostaticActuator(
        balance=replace(BALANCE, charge=BulbCharge(BALANCE.charge.curve, limit_k)),
        stop=1.2,
        min_stable=0.1,
        evaporating_k=(255.0, 290.0),
    )
    at = state(LOW, evaporating_temperature_k=286.0, evaporating_pressure_pa=under_pa, pressure_drop_pa=700e3).state
    found = actuator.travel(at, LIMITS, one(1.0))
    if reason in (Reason.ABOVE_MOP, Reason.STAYS_CLOSED):
        assert found.empty[0] == reason
    else:
        assert found.empty[0] is None and found.max_reason[0] == reason


@pytest.mark.parametrize("max_k", [6.0, 40.0])
def test_a_bulb_beyond_either_end_of_its_curve_is_out_of_its_range(max_k: float) -> None:
    """At 294.5 K 6 K of superheat are 300.5 K, above the last point; 2 K below the first one are none of its bulb's."""
    actuator = ThermostaticActuator(balance=BALANCE, stop=1.2, min_stable=0.1, evaporating_k=(200.0, 320.0))
    te = 294.5 if max_k == 6.0 else HALF_K - 6.0
    at = state(LOW, evaporating_temperature_k=te, evaporating_pressure_pa=300e3, pressure_drop_pa=700e3).state
    assert actuator.travel(at, replace(LIMITS, max_k=max_k), one(1.0)).empty[0] == Reason.CHARGE_RANGE
    cold = state(LOW, evaporating_temperature_k=247.0, evaporating_pressure_pa=100e3, pressure_drop_pa=700e3).state
    assert actuator.travel(cold, LIMITS, one(1.0)).empty[0] == Reason.CHARGE_RANGE


def test_lag_and_lead_of_a_wall_by_hand() -> None:
    """120 J/(m K) on 6 W/(m K), three quarters of the resistance on the air side: 15 s x (1 - 0.4 x 0.75), 15 s x 0.25."""
    assert leq.wall_lag(N_t=1.0, C_w=120.0, a_w=0.75, r_c=0.4, k_w=6.0) == pytest.approx(10.5, rel=1e-15)
    assert leq.wall_lead(N_t=1.0, C_w=120.0, a_w=0.75, k_w=6.0) == pytest.approx(3.75, rel=1e-15)
    assert leq.wall_lag(N_t=1000.0, C_w=0.12, a_w=0.75, r_c=0.4, k_w=6.0) == pytest.approx(10.5, rel=1e-15)


def test_a_coil_without_a_difference_is_no_coil_but_no_error() -> None:
    """A search for a balance may come to the box's own temperature."""
    assert np.isposinf(LoopCase(present_td=0.0).coil().delay_s).all()
