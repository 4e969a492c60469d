"""Windows closed on themselves: what a load limit says is put back into the valve and must be reached there.

A window is found by going from superheat to opening to Kv to load.  Here each limit goes back: from the load
to the mass flow, through the port's equation to the opening, through the force balance to the superheat.  It
must come out at the very limit that the window names, at the operating condition that it names, and inside the limits
everywhere else.  Force balance, flow law and flow are written out a second time below, so that an error
which the package makes in both directions does not cancel.

Everything is built here, in kelvin and pascal; no config is read, so no config can break these tests.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np
import pytest

from tablegen.physics.actuators import Actuator, ElectronicActuator, ThermostaticActuator
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.bulb import AntoineCurve, ChargeCurve, PointsCurve, SaturationCurve
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.flow import FlowLaw
from tablegen.physics.operating import Zone, operating_point, operating_superheat, required_kv_per_watt
from tablegen.physics.reasons import Reason
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    LiquidSupply,
    Losses,
    OperatingCondition,
    Side,
    SuctionResponse,
    SuperheatLimits,
    SystemInputs,
)
from tablegen.physics.valve import FactorySetting, OpeningCharacteristic, set_at_factory
from tablegen.physics.windows import Valve, Window, stricter, window
from tests.builders import system_inputs
from tests.registry import refrigerant

# Kelvin of superheat, share of rated stroke.
TOLERANCE = 1e-9
# A load a last digit beyond the stop has no opening, so that the maximum load is put back a hair lower.
HAIR = 1.0 - 1e-13
STOP = 1.2
BY_POINTS = ((0.0, 0.0), (0.25, 0.10), (0.5, 0.30), (1.0, 1.0), (1.2, 1.15))
CONSTANT = SuperheatLimits(useful_k=3.6, max_k=6.0, min_k=(1.7, 0.0, 0.0))


@dataclass(frozen=True, slots=True)
class Points:
    """A cross charge by points on the hundred pascals: a pressure at 273.15 K, and how steep ln p is over 1/T."""

    at_zero_pa: float
    steepness_k: float

    def curve(self) -> ChargeCurve:
        temperature = np.arange(238.15, 308.16, 5.0)
        pressure = self.at_zero_pa * np.exp(self.steepness_k * (1.0 / 273.15 - 1.0 / temperature))
        return PointsCurve(tuple(temperature.tolist()), tuple(np.round(pressure, -2).tolist()))


@dataclass(frozen=True, slots=True)
class Antoine:
    """A cross charge by Antoine constants, degC and kPa."""

    a: float
    b: float
    c: float

    def curve(self) -> ChargeCurve:
        return AntoineCurve(self.a, self.b, self.c, (238.15, 308.15))


@dataclass(frozen=True, slots=True)
class Liquid:
    """A liquid charge of a registry fluid."""

    fluid: str

    def curve(self) -> ChargeCurve:
        return SaturationCurve(refrigerant(self.fluid))


@dataclass(frozen=True, slots=True)
class Case:
    """A valve in an application; what is not said is the first case's."""

    name: str
    # Every reason that the rows of the case must show, of max and of min, so that none is tested by nothing.
    reasons: frozenset[Reason]
    fluid: str = "R404A"
    charge: Points | Antoine | Liquid | None = field(default_factory=lambda: Points(635e3, 2180.0))
    setting: FactorySetting = field(default_factory=lambda: FactorySetting(273.15, 3.0, 3.0, 700e3))
    unbalance: float = 0.0
    mop_pa: float | None = None
    characteristic: tuple[tuple[float, float], ...] = ()
    min_stable: float = 0.25
    is_internal: bool = False
    law: FlowLaw = FlowLaw.ORIFICE
    recovery: float = float("nan")
    superheat: SuperheatLimits = CONSTANT
    capacity_step: float = 1.0
    max_subcooling_k: float = 3.0
    response: SuctionResponse = SuctionResponse.CONSTANT
    sst_at_compressor: bool = False
    low_head_pa: float = 1035e3
    distributor_pa: float = 170e3
    scaling: DistributorScaling = DistributorScaling.FLASHED_MIXTURE
    sst_k: tuple[float, float] = (263.15, 279.15)

    def application(self) -> SystemInputs:
        """Rating 105 degF saturated liquid and 96 degF at the valve; high head 115 degF."""
        floating = LiquidSupply(None, 3.0, self.max_subcooling_k)
        return system_inputs(
            (Head(condensing_temperature_k=313.7, basis=Basis.BUBBLE), LiquidSupply(temperature_k=308.7)),
            (Head(pressure_pa=self.low_head_pa), floating),
            (Head(condensing_temperature_k=319.3, basis=Basis.BUBBLE), floating),
            name=self.name,
            sst_at_compressor=self.sst_at_compressor,
            suction_loss_k=1.0,
            response=self.response,
            box_difference_k=None if self.response is SuctionResponse.CONSTANT else 5.5,
            capacity_step=self.capacity_step,
            losses=Losses(
                liquid_line_pa=30e3,
                lift_m=1.0,
                evaporator_pa=12e3,
                distributor_pa=self.distributor_pa,
                distributor_scaling=self.scaling,
            ),
            superheat=self.superheat,
            return_superheat_k=11.0,
        )

    def actuator(self) -> Actuator:
        if self.charge is None:
            return ElectronicActuator(maximum=0.85, minimum=0.12)
        fluid = refrigerant(self.fluid)
        balance = set_at_factory(self.charge.curve(), self.setting, fluid, self.unbalance, self.mop_pa)
        return ThermostaticActuator(
            balance=balance,
            stop=STOP,
            reserve_in_limits=1.0,
            min_stable=self.min_stable,
            evaporating_k=(250.0, 290.0),
            is_internally_equalized=self.is_internal,
        )

    def valve(self) -> Valve:
        characteristic = OpeningCharacteristic(1.0 if self.charge is None else STOP, self.characteristic)
        return Valve(self.actuator(), characteristic, 3.2e6, 2.2e6)


R = Reason
NARROW = frozenset({R.SUPERHEAT, R.STABILITY})
STOPPED = frozenset({R.STOP, R.STABILITY})
BOTH = NARROW | STOPPED
FLOODED = BOTH | {R.FLOODBACK}
R134A = {
    "fluid": "R134a",
    "charge": Points(322e3, 2200.0),
    "setting": FactorySetting(273.15, 2.2, 2.5, 400e3),
    "low_head_pa": 620e3,
    "distributor_pa": 100e3,
}
R448A = {"fluid": "R448A", "charge": Points(540e3, 2230.0), "setting": FactorySetting(273.15, 3.0, 2.8, 700e3)}
R290 = {"fluid": "R290", "charge": Liquid("R290"), "setting": FactorySetting(273.15, 3.0, 2.5, 600e3)}
CASES = [
    Case("balanced port", BOTH),
    Case("slightly unbalanced", BOTH, unbalance=0.002),
    Case("inlet closes", BOTH, unbalance=0.02),
    Case("inlet opens", NARROW, unbalance=-0.02),
    Case("characteristic by points", BOTH, unbalance=0.005, characteristic=BY_POINTS),
    Case(
        "long reach", STOPPED, superheat=SuperheatLimits(useful_k=3.6, max_k=9.0, min_k=(1.0, 0.0, 0.0)), unbalance=0.01
    ),
    Case(
        "constant floodback",
        FLOODED,
        superheat=SuperheatLimits(useful_k=3.6, max_k=6.0, min_k=(3.9, 0.0, 0.0)),
        unbalance=0.005,
    ),
    Case(
        "quadratic floodback",
        FLOODED,
        superheat=SuperheatLimits(useful_k=3.6, max_k=6.0, min_k=(2.0, 0.9, 0.8)),
        unbalance=-0.01,
    ),
    Case(
        "unloaded, quadratic floodback",
        FLOODED,
        superheat=SuperheatLimits(useful_k=3.6, max_k=6.5, min_k=(2.2, 0.6, 0.8)),
        capacity_step=0.7,
        unbalance=0.01,
        characteristic=BY_POINTS,
        min_stable=0.2,
    ),
    Case("unloaded", BOTH, capacity_step=0.75, max_subcooling_k=8.0),
    Case("maximum operating pressure", NARROW | {R.MOP}, mop_pa=620e3, unbalance=0.01, sst_k=(268.15, 277.15)),
    Case("balanced suction", BOTH, response=SuctionResponse.BALANCED, unbalance=0.02),
    Case("stricter suction", NARROW, response=SuctionResponse.STRICTER, unbalance=-0.02, capacity_step=0.8),
    Case("choked", BOTH, law=FlowLaw.CHOKED, recovery=0.9, unbalance=0.01),
    Case(
        "R448A choked, unloaded",
        NARROW,
        law=FlowLaw.CHOKED,
        recovery=0.8,
        unbalance=-0.02,
        capacity_step=0.8,
        scaling=DistributorScaling.FLOW_SQUARED,
        **R448A,
    ),
    Case(
        "R448A balanced suction",
        FLOODED,
        response=SuctionResponse.BALANCED,
        characteristic=BY_POINTS,
        sst_at_compressor=True,
        superheat=SuperheatLimits(useful_k=3.6, max_k=6.0, min_k=(3.2, 0.0, 0.6)),
        **R448A,
    ),
    Case("R134a", STOPPED, unbalance=0.02, **R134A),
    Case("R134a Antoine", BOTH, unbalance=-0.02, **(R134A | {"charge": Antoine(5.993, 836.0, 240.0)})),
    Case("R134a internal equalizer", NARROW, unbalance=0.005, is_internal=True, **(R134A | {"distributor_pa": 0.0})),
    Case("R290 liquid charge", BOTH, unbalance=0.02, **R290),
    Case(
        "R290 internal equalizer, unloaded",
        BOTH,
        unbalance=-0.01,
        is_internal=True,
        distributor_pa=0.0,
        capacity_step=0.6,
        response=SuctionResponse.BALANCED,
        **R290,
    ),
    Case("electronic", frozenset({R.CONTROL_RESERVE, R.MIN_STEP}), charge=None),
    Case(
        "electronic by points, choked",
        frozenset({R.CONTROL_RESERVE, R.MIN_STEP}),
        charge=None,
        characteristic=BY_POINTS[:-1],
        law=FlowLaw.CHOKED,
        recovery=0.85,
        capacity_step=0.5,
    ),
]


@dataclass(frozen=True, slots=True)
class Solution:
    """A case solved: valve, rating, states, their required Kv, the window."""

    case: Case
    valve: Valve
    rated: State
    states: tuple[SolvedState, ...]
    required_kvs: tuple[Floats, ...]
    window: Window

    @property
    def thermostatic(self) -> ThermostaticActuator:
        assert isinstance(self.valve.actuator, ThermostaticActuator)
        return self.valve.actuator


@cache
def solution(case: Case) -> Solution:
    fluid, application, valve = refrigerant(case.fluid), case.application(), case.valve()
    sst = np.linspace(*case.sst_k, 17)
    rated, states = solve_conditions(fluid, application, sst)
    required_kvs = [required_kv_per_watt(s, rated, fluid, case.law, case.recovery) for s in states]
    windows = []
    for response in application.responses:
        chosen = [i for i, s in enumerate(states) if s.response is response]
        windows.append(window(valve, [states[i] for i in chosen], [required_kvs[i] for i in chosen], case.superheat))
    found = windows[0] if len(windows) == 1 else stricter(*windows)
    return Solution(case, valve, rated, tuple(states), tuple(required_kvs), found)


def opening(solved: Solution, item: SolvedState, load_w: Floats) -> Floats:
    """Opening at a load, without the package's required Kv: flow asked of the port, its equation, its Kv.

    NaN beyond the stop.
    """
    case, s = solved.case, item.state
    flow = load_w / (solved.rated.vapor_enthalpy_j_kg - solved.rated.liquid_enthalpy_j_kg) * s.flow_share
    drop = s.inlet_pressure_pa - s.outlet_pressure_pa
    if case.law is FlowLaw.CHOKED:
        p_v = s.liquid_bubble_pressure_pa
        factor = 0.96 - 0.28 * np.sqrt(p_v / refrigerant(case.fluid).critical_pressure_pa)
        drop = np.minimum(drop, case.recovery**2 * (s.inlet_pressure_pa - factor * p_v))
    # m = (Kv/3600) sqrt(1000 rho dp/1e5), and 1000/1e5 = 1/100.
    return solved.valve.characteristic.opening(3600.0 * flow / np.sqrt(s.liquid_density_kg_m3 * drop / 100.0))


def superheats(solved: Solution, load_w: Floats) -> Iterator[tuple[SolvedState, Floats, Floats]]:
    """Per state: the state, the opening and the operating superheat at a load per m3/h of rated Kv."""
    for item, required_kv in zip(solved.states, solved.required_kvs, strict=True):
        yield item, opening(solved, item, load_w), operating_superheat(solved.valve, item, required_kv, load_w)


def min_superheat(case: Case, item: SolvedState) -> Floats:
    """SH_mss at the evaporator's load in a state, over the rated one: s Q(e)/Q."""
    step = 1.0 if item.side is Side.MAX else case.capacity_step
    a, b, c = case.superheat.min_k
    q = step * item.state.capacity_ratio
    return a + b * q + c * q * q


THERMOSTATIC = [c for c in CASES if c.charge is not None]
ELECTRONIC = [c for c in CASES if c.charge is None]


def named(cases: list[Case]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("case", cases, ids=[c.name for c in cases])


def closest(found: Window, conditions: Names, errors: list[tuple[OperatingCondition, Floats]]) -> Floats:
    """Per open row the minimum error among the states of the operating condition that set the limit.

    An operating condition may have a state for either limit and either response; the window names the operating condition only.
    """
    kept = np.stack([np.where(conditions == condition, error, np.inf) for condition, error in errors])
    return np.nanmin(kept, axis=0)[found.is_open]


def is_too_little(case: Case, item: SolvedState, phi: Floats, superheat: Floats) -> Bools:
    """Less open than is stable, or less superheat than keeps liquid out of the suction line."""
    slack = TOLERANCE
    return (phi < case.min_stable - slack) | (superheat < min_superheat(case, item) - slack)


def is_too_much(case: Case, phi: Floats, superheat: Floats) -> Bools:
    """Beyond the stop, where there is no opening, or more superheat than the application allows."""
    return np.isnan(phi) | (phi > STOP + TOLERANCE) | ~(superheat <= case.superheat.max_k + TOLERANCE)


@named(CASES)
def test_the_case_shows_what_it_is_for(case: Case) -> None:
    """Enough open rows, and every reason that the case was built to reach."""
    found = solution(case).window
    assert found.is_open.sum() >= 8
    assert {*found.max_reason[found.is_open], *found.min_reason[found.is_open]} == case.reasons


@named(THERMOSTATIC)
def test_forces_balance_at_the_operating_superheat(case: Case) -> None:
    """The pressures on the diaphragm cancel, written out anew, at either limit and between."""
    solved = solution(case)
    found, balance = solved.window, solved.thermostatic.balance
    for load in (found.min_load_w, np.sqrt(found.min_load_w * found.max_load_w), found.max_load_w * HAIR):
        for item, phi, superheat in superheats(solved, load):
            s = item.state
            up = balance.charge.pressure(s.evaporating_temperature_k + superheat)
            under = s.outlet_pressure_pa if case.is_internal else s.evaporating_pressure_pa
            drop = s.inlet_pressure_pa - s.outlet_pressure_pa
            port = case.unbalance * (drop - case.setting.pressure_drop_pa)
            rest = up - under - balance.spring_pa - port - phi * balance.gradient_pa
            # A nanokelvin of superheat is some 2e-5 Pa.
            assert np.abs(rest[found.is_open]).max() < 2e-5


@named([c for c in CASES if c.response is not SuctionResponse.CONSTANT])
def test_balanced_suction_balances(case: Case) -> None:
    """The evaporator, its conductance and its box constant, takes up what the compressor draws."""
    solved = solution(case)
    te_rated = solved.rated.evaporating_temperature_k
    for item in solved.states:
        if item.response is SuctionResponse.BALANCED:
            step = 1.0 if item.side is not Side.MIN else case.capacity_step
            evaporator = (5.5 + te_rated - item.state.evaporating_temperature_k) / 5.5
            np.testing.assert_allclose(step * item.state.capacity_ratio, evaporator, rtol=0.0, atol=TOLERANCE)


@named(THERMOSTATIC)
def test_max_load_comes_back_to_its_limit(case: Case) -> None:
    """At the operating condition that set it: the stop, or else the maximum superheat, as the reason says."""
    solved = solution(case)
    found = solved.window
    errors = [
        (
            item.condition,
            np.where(found.max_reason == Reason.STOP, np.abs(phi - STOP), np.abs(superheat - case.superheat.max_k)),
        )
        for item, phi, superheat in superheats(solved, found.max_load_w * HAIR)
        if item.side.serves_max
    ]
    assert closest(found, found.max_condition, errors).max() < TOLERANCE


@named(THERMOSTATIC)
def test_min_load_comes_back_to_its_limit(case: Case) -> None:
    """At the operating condition that set it: the minimum stable opening, or the minimum stable superheat at that load."""
    solved = solution(case)
    found = solved.window
    errors = [
        (
            item.condition,
            np.where(
                found.min_reason == Reason.STABILITY,
                np.abs(phi - case.min_stable),
                np.abs(superheat - min_superheat(case, item)),
            ),
        )
        for item, phi, superheat in superheats(solved, found.min_load_w)
    ]
    assert closest(found, found.min_condition, errors).max() < TOLERANCE


@named(THERMOSTATIC)
def test_every_load_of_the_window_is_covered_at_every_condition(case: Case) -> None:
    """Superheat between its limits, opening between its own, at all operating conditions, not only where they were set.

    Unloaded states bind the minimum load only.
    """
    solved = solution(case)
    found = solved.window
    for share in (0.0, 0.3, 0.7, 1.0):
        load = found.min_load_w ** (1.0 - share) * (found.max_load_w * HAIR) ** share
        for item, phi, superheat in superheats(solved, load):
            assert not is_too_little(case, item, phi, superheat)[found.is_open].any()
            if item.side.serves_max:
                assert not is_too_much(case, phi, superheat)[found.is_open].any()


@named(THERMOSTATIC)
def test_a_hundredth_beyond_the_window_fails_where_it_was_set(case: Case) -> None:
    """One per cent above the maximum load and below the minimum break a limit at the very operating condition named."""
    solved = solution(case)
    found = solved.window
    above = np.zeros_like(found.is_open)
    below = np.zeros_like(found.is_open)
    for item, phi, superheat in superheats(solved, found.max_load_w * 1.01):
        if item.side.serves_max:
            above |= (found.max_condition == item.condition) & is_too_much(case, phi, superheat)
    for item, phi, superheat in superheats(solved, found.min_load_w * 0.99):
        below |= (found.min_condition == item.condition) & is_too_little(case, item, phi, superheat)
    assert above[found.is_open].all()
    assert below[found.is_open].all()


@named(ELECTRONIC)
def test_electronic_drive_comes_back_to_its_openings(case: Case) -> None:
    """It has no superheat of its own; its opening is the maximum at the maximum load, the minimum at the minimum."""
    solved = solution(case)
    found = solved.window
    maximum, minimum = [], []
    for item, phi, superheat in superheats(solved, found.max_load_w):
        assert np.isnan(superheat).all()
        if item.side.serves_max:
            assert (phi <= 0.85 + TOLERANCE).all()
            maximum.append((item.condition, np.abs(phi - 0.85)))
    for item, phi, _ in superheats(solved, found.min_load_w):
        assert (phi >= 0.12 - TOLERANCE).all()
        minimum.append((item.condition, np.abs(phi - 0.12)))
    assert closest(found, found.max_condition, maximum).max() < TOLERANCE
    assert closest(found, found.min_condition, minimum).max() < TOLERANCE


def test_every_limit_is_reached_by_some_case() -> None:
    """Nothing above is vacuous: all seven reasons, and every operating condition that can set a limit."""
    assert frozenset().union(*(c.reasons for c in CASES)) == {
        R.STOP,
        R.SUPERHEAT,
        R.MOP,
        R.STABILITY,
        R.FLOODBACK,
        R.CONTROL_RESERVE,
        R.MIN_STEP,
    }
    minimum = {e for c in CASES for e in solution(c).window.min_condition[solution(c).window.is_open]}
    assert minimum == set(OperatingCondition)


@named(THERMOSTATIC)
def test_zones_are_what_opening_and_superheat_say(case: Case) -> None:
    """From far below the window to far above it, at every state, those of a compressor's step among them."""
    solved = solution(case)
    found = solved.window
    for factor in (0.6, 0.9, 0.999, 1.001):
        for load in (found.min_load_w * factor, found.max_load_w / factor):
            pairs = zip(superheats(solved, load), solved.required_kvs, strict=True)
            for (item, phi, superheat), required_kv in pairs:
                point = operating_point(solved.valve, item, required_kv, load, case.superheat)
                np.testing.assert_array_equal(point.opening, solved.valve.characteristic.opening(load * required_kv))
                np.testing.assert_array_equal(point.superheat_k, superheat)
                starved = is_too_much(case, phi, superheat)
                little = is_too_little(case, item, phi, superheat)
                known = found.is_open
                assert (point.zone[known & starved] == Zone.STARVED).all()
                low = known & little & ~starved
                assert np.isin(point.zone[low].astype(str), [Zone.HUNTS, Zone.FLOODING]).all()
                assert (point.zone[known & ~starved & ~little] == Zone.STEADY).all()
                # Less open than the minimum stable opening, with superheat to spare, is no floodback.
                dry = low & (superheat > min_superheat(case, item) + 2.0)
                assert (point.zone[dry] == Zone.HUNTS).all() or case.superheat.min_k != (1.7, 0.0, 0.0)


def test_a_state_without_a_solution_does_not_work() -> None:
    solved = solution(CASES[0])
    item, required_kv = solved.states[0], solved.required_kvs[0]
    load = np.sqrt(solved.window.min_load_w * solved.window.max_load_w)
    reason = item.reason.copy()
    reason[2] = Reason.FLASHING
    lost = np.where(np.arange(len(required_kv)) == 3, np.nan, required_kv)
    point = operating_point(solved.valve, replace(item, reason=reason), lost, load, CASES[0].superheat)
    assert [i for i, zone in enumerate(point.zone) if zone is Zone.NOT_WORKING] == [2, 3]
