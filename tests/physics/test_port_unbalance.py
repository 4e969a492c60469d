"""What an unbalanced port costs under floating head: one valve, its port unbalance u alone changed.

R404A at SST 25 degF, head from 135 psi gauge to 115 degF saturated liquid, 25 psi over the distributor: the
drop over the port goes from about 52 to about 194 psi.  Kv, minimum stable opening, charge and setting stay.

The sign matters, which the bare figure u d(dp)/(dp/dT) does not say:

- At one load the valve must be further open at low head than at high, so that a balanced port already
  works with less superheat in summer.  Inlet pressure that opens (u < 0) adds to that swing; inlet pressure
  that closes (u > 0) works against it, undoes it at some u, and overdoes it from there.
- The maximum load is set at low head.  Where the factory sets the valve at more than the low head's drop,
  u < 0 takes from the opening there and narrows the window in proportion; u > 0 adds to it, as far as the stop.
- Too much u > 0 opens the valve so far in winter that the evaporator floods back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import BulbCharge, ChargeCurve, PointsCurve
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.flow import FlowLaw
from tablegen.physics.operating import operating_superheat, required_kv_per_watt
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    LiquidSupply,
    Losses,
    OperatingCondition,
    SuperheatLimits,
)
from tablegen.physics.valve import FactorySetting, ForceBalance, OpeningCharacteristic, set_at_factory
from tablegen.physics.windows import Valve, Window, window
from tests.builders import system_inputs
from tests.registry import refrigerant
from tests.us_units import DELTA_F, PSI_PA, kelvin

LIMITS = SuperheatLimits(useful_k=6.5 * DELTA_F, max_k=10.0 * DELTA_F, min_k=(3.0 * DELTA_F, 0.0, 0.0))
MIN_STABLE, STOP = 0.25, 1.2
SINGLE_PORTS = (0.005, 0.01, 0.02)


# An invented cross charge for R404A, degF and psi absolute.
CROSS_F = tuple(range(-10, 90, 10))
CROSS_PSI = (43.1, 51.5, 61.4, 72.9, 86.2, 101.4, 118.7, 138.4, 160.5, 185.4)
CROSS = PointsCurve(tuple(kelvin(t) for t in CROSS_F), tuple(p * PSI_PA for p in CROSS_PSI))


@dataclass(frozen=True, slots=True)
class StraightCharge:
    """An invented charge of 1.4 psi per degF, 89 psi at 32 degF."""

    range_k: tuple[float, float] = (kelvin(-20.0), kelvin(90.0))

    def pressure(self, temperature_k: Floats) -> Floats:
        return np.asarray(89.0 * PSI_PA + 1.4 * PSI_PA / DELTA_F * (np.asarray(temperature_k) - kelvin(32.0)))

    def temperature(self, pressure_pa: Floats) -> Floats:
        return np.asarray(kelvin(32.0) + (np.asarray(pressure_pa) / PSI_PA - 89.0) / 1.4 * DELTA_F)


@dataclass(frozen=True, slots=True)
class DewCharge:
    """A straight charge with the refrigerant's own dew pressure, which the trade's figure is worked out with."""

    fluid: Refrigerant

    @property
    def range_k(self) -> tuple[float, float]:
        return self.fluid.coldest_k, self.fluid.warmest_k

    def pressure(self, temperature_k: Floats) -> Floats:
        return self.fluid.dew(temperature_k).pressure_pa

    def temperature(self, pressure_pa: Floats) -> Floats:
        return self.fluid.dew_temperature(pressure_pa)


FLOATED = Head(pressure_pa=(135.0 + 14.696) * PSI_PA)
SUMMER = Head(condensing_temperature_k=kelvin(115.0), basis=Basis.BUBBLE)


@dataclass(frozen=True, slots=True)
class Application:
    """The three states and their required Kv."""

    states: list[SolvedState]
    required_kvs: list[Floats]

    @property
    def drop_change_pa(self) -> float:
        """d(dp), high head less low head."""
        return float(self.states[2].state.pressure_drop_pa[0] - self.states[0].state.pressure_drop_pa[0])


def application(low: Head = FLOATED, winter_subcooling_f: float = 5.0, *, is_lossless: bool = False) -> Application:
    """R404A at SST 25 degF; without line loss and with simple squares where the drop is to depend on head alone."""
    summer_liquid = LiquidSupply(None, 5.0 * DELTA_F, 5.0 * DELTA_F)
    winter_liquid = LiquidSupply(None, winter_subcooling_f * DELTA_F, winter_subcooling_f * DELTA_F)
    scaling = DistributorScaling.FLOW_SQUARED if is_lossless else DistributorScaling.FLASHED_MIXTURE
    rating = Head(condensing_temperature_k=kelvin(105.0), basis=Basis.BUBBLE)
    system = system_inputs(
        (rating, LiquidSupply(kelvin(96.0))),
        (low, winter_liquid),
        (SUMMER, summer_liquid),
        suction_loss_k=2.0 * DELTA_F,
        losses=Losses(
            liquid_line_pa=0.0 if is_lossless else 5.0 * PSI_PA,
            lift_m=0.0,
            evaporator_pa=2.0 * PSI_PA,
            distributor_pa=25.0 * PSI_PA,
            distributor_scaling=scaling,
        ),
        superheat=LIMITS,
        return_superheat_k=20.0 * DELTA_F,
    )
    fluid = refrigerant("R404A")
    rated, states = solve_conditions(fluid, system, np.array([kelvin(25.0)]))
    return Application(states, [required_kv_per_watt(s, rated, fluid, FlowLaw.ORIFICE, float("nan")) for s in states])


def balance(
    unbalance: float, curve: ChargeCurve = CROSS, static_f: float = 5.0, opening_f: float = 6.0, drop_psi: float = 100.0
) -> ForceBalance:
    setting = FactorySetting(kelvin(32.0), static_f * DELTA_F, opening_f * DELTA_F, drop_psi * PSI_PA)
    return set_at_factory(curve, setting, refrigerant("R404A"), unbalance, None)


def valve(element: ForceBalance) -> Valve:
    actuator = ThermostaticActuator(
        balance=element,
        stop=STOP,
        reserve_in_limits=1.0,
        min_stable=MIN_STABLE,
        evaporating_k=(kelvin(0.0), kelvin(50.0)),
    )
    return Valve(actuator, OpeningCharacteristic(STOP), 4e6, 3e6)


def found(element: ForceBalance, system: Application) -> Window:
    return window(valve(element), system.states, system.required_kvs, LIMITS)


def ratio(made: Window) -> float:
    return float(made.max_load_w[0] / made.min_load_w[0])


def swing_k(element: ForceBalance, system: Application) -> float:
    """Superheat in summer less superheat in winter, at the load that takes 0.55 of the stroke in winter."""
    load = 0.55 / system.required_kvs[0]
    low, high = (
        float(operating_superheat(valve(element), system.states[i], system.required_kvs[i], load)[0]) for i in (0, 2)
    )
    return high - low


def test_window_changes_in_proportion_to_unbalance() -> None:
    """Max at low head by superheat, min at high head by stability:  d(max/min) = u (dp_ref - dp_low) / p_grad / phi_min

    times D_high / D_low.  So with inlet pressure that opens, the window shrinks with every step of |u|, by
    more than a tenth at 0.02; with inlet pressure that closes it widens as much.
    """
    system = application()
    low = system.states[0].state
    per_unit = (100.0 * PSI_PA - low.pressure_drop_pa[0]) / balance(0.0).gradient_pa / MIN_STABLE
    per_unit *= float(system.required_kvs[2][0] / system.required_kvs[0][0])
    balanced = ratio(found(balance(0.0), system))
    for u in (0.0, *SINGLE_PORTS, *(-u for u in SINGLE_PORTS)):
        made = found(balance(u), system)
        assert (made.max_reason[0], made.max_condition[0]) == (Reason.SUPERHEAT, OperatingCondition.LOW_HEAD)
        assert (made.min_reason[0], made.min_condition[0]) == (Reason.STABILITY, OperatingCondition.HIGH_HEAD)
        assert ratio(made) - balanced == pytest.approx(u * per_unit, abs=1e-9)
    opening = [ratio(found(balance(-u), system)) for u in (0.0, *SINGLE_PORTS)]
    assert np.all(np.diff(opening) < 0.0)
    assert opening[-1] < 0.9 * opening[0]


def test_inlet_pressure_that_closes_widens_the_window_as_far_as_the_stop() -> None:
    """Set a degree of superheat softer: at u = 0.01 and 0.02 low head is at the stop, and nothing more is won."""
    system = application()
    made = [found(balance(u, static_f=4.0, opening_f=5.0), system) for u in (0.0, *SINGLE_PORTS)]
    assert [m.max_reason[0] for m in made] == [Reason.SUPERHEAT, Reason.SUPERHEAT, Reason.STOP, Reason.STOP]
    widths = [ratio(m) for m in made]
    assert widths[0] < widths[1] < widths[2] == pytest.approx(widths[3], rel=1e-12)


def test_window_between_stop_and_stability_does_not_feel_the_port() -> None:
    """A valve set so low that neither superheat limit binds has one window whatever its port (dp_ref 133 psi)."""
    system = application()
    made = [found(balance(u, static_f=3.0, opening_f=4.0, drop_psi=133.0), system) for u in (-0.02, 0.0, 0.02)]
    assert {(m.max_reason[0], m.min_reason[0]) for m in made} == {(Reason.STOP, Reason.STABILITY)}
    assert ratio(made[0]) == pytest.approx(ratio(made[1]), rel=1e-12) == pytest.approx(ratio(made[2]), rel=1e-12)


@pytest.mark.parametrize(
    ("unbalance", "drop_psi", "condition"),
    [(-0.02, 100.0, OperatingCondition.HIGH_HEAD), (0.02, 200.0, OperatingCondition.LOW_HEAD)],
)
def test_either_sign_may_flood_back(unbalance: float, drop_psi: float, condition: OperatingCondition) -> None:
    """Where inlet pressure opens in summer, where it closes in winter: opened too far at the minimum superheat."""
    system = application()
    single, balanced = (
        found(balance(u, static_f=3.0, opening_f=4.0, drop_psi=drop_psi), system) for u in (unbalance, 0.0)
    )
    assert (single.min_reason[0], single.min_condition[0]) == (Reason.FLOODBACK, condition)
    assert ratio(single) < ratio(balanced)


@pytest.mark.parametrize("unbalance", [*SINGLE_PORTS, *(-u for u in SINGLE_PORTS)])
def test_swing_grows_in_proportion_to_unbalance(unbalance: float) -> None:
    """dSH = u d(dp) / (dp_bulb/dT), with the slope of the cross charge at 32 degF taken off its points by hand.

    Slope and bend about 30 degF:  (101.4 - 72.9) / 20 = 1.425 psi/degF, (101.4 - 2 x 86.2 + 72.9) / 100 = 0.019
    psi/degF2; at 32 degF 1.425 + 2 x 0.019 = 1.463.  The bulb is between 30 and 34.2 degF, so the slope on
    the way differs from that by no more than 2.2 x 0.019 = 0.042, 2.9 %; the monotone curve takes a harmonic
    mean for the slope at a point, 0.5 % less at most.
    """
    system = application()
    first_order = unbalance * system.drop_change_pa / PSI_PA / 1.463
    grown = (swing_k(balance(unbalance), system) - swing_k(balance(0.0), system)) / DELTA_F
    assert grown == pytest.approx(first_order, rel=0.029 + 0.005)


@pytest.mark.parametrize("unbalance", [*SINGLE_PORTS, *(-u for u in SINGLE_PORTS)])
def test_swing_is_exact_on_a_straight_charge(unbalance: float) -> None:
    """No bend, no second order: u d(dp) / 1.4 psi per degF to the last digits."""
    system = application()
    grown = swing_k(balance(unbalance, StraightCharge()), system) - swing_k(balance(0.0, StraightCharge()), system)
    assert grown == pytest.approx(unbalance * system.drop_change_pa / (1.4 * PSI_PA / DELTA_F), abs=1e-9)


def test_sign_of_the_swing() -> None:
    """Balanced: less superheat in summer. Inlet pressure that opens adds to it, one that closes overdoes it by 0.02."""
    system = application()
    swings = [swing_k(balance(u), system) for u in (-0.02, -0.01, -0.005, 0.0, 0.005, 0.01, 0.02)]
    assert np.all(np.diff(swings) > 0.0)
    assert swings[3] < 0.0 < swings[-1]
    assert abs(swings[0]) > 2.0 * abs(swings[3])


@pytest.mark.parametrize("unbalance", [*SINGLE_PORTS, *(-u for u in SINGLE_PORTS)])
def test_fixed_head_does_not_feel_the_port(unbalance: float) -> None:
    """Low head equal to the high: no swing. With liquid 15 degF colder in winter there is one, but not by the port."""
    same = application(SUMMER)
    assert swing_k(balance(unbalance), same) == pytest.approx(0.0, abs=1e-9)
    colder = application(SUMMER, 20.0, is_lossless=True)
    # Only flow through the distributor could move the drop, and the flow is that of the head.
    assert colder.drop_change_pa == pytest.approx(0.0, abs=1e-3)
    balanced = swing_k(balance(0.0, StraightCharge()), colder)
    assert abs(balanced) > 0.01
    assert swing_k(balance(unbalance, StraightCharge()), colder) == pytest.approx(balanced, abs=1e-9)


@pytest.mark.parametrize(("sst_f", "shift_f"), [(25.0, 0.71), (-20.0, 1.43)])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_one_per_cent_of_area_and_a_hundred_psi(sst_f: float, shift_f: float, sign: float) -> None:
    """Computed elsewhere, printed to 0.01 degF: R404A's own slope, so a straight charge of it, bulb at the SST."""
    te = np.array([kelvin(sst_f)])
    charge = DewCharge(refrigerant("R404A"))
    element = ForceBalance(
        charge=BulbCharge(charge),
        spring_pa=0.0,
        gradient_pa=5.0 * PSI_PA,
        unbalance=sign * 0.01,
        reference_drop_pa=100.0 * PSI_PA,
    )
    under = charge.pressure(te)
    low, high = (
        float(element.superheat(np.zeros(1), te, under, np.array([drop * PSI_PA]))[0]) for drop in (50.0, 150.0)
    )
    assert (high - low) / DELTA_F == pytest.approx(sign * shift_f, abs=0.005)
