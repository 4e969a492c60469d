"""A valve that hunts, in time: the loads just above and below where hunting begins, or one that is given."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.answers.case import Case, solve_case
from tablegen.answers.pick import Candidate, candidates_of
from tablegen.answers.valve_at_state import ValveAtState, valve_at
from tablegen.errors import RequestError, unknown
from tablegen.model.coil_defaults import ASSUMED_INPUTS, CIRCUIT_FIELDS, DEFAULT_CIRCUIT, CoilInput, StatedInput
from tablegen.model.inputs import Application, Catalogue
from tablegen.model.names import size_of
from tablegen.model.offer import offered_families
from tablegen.physics.arrays import Floats
from tablegen.physics.coil_cells import CoilInTime
from tablegen.physics.loop import Circuit, CoilLoop, CoilState, Ultimate, bulb_ultimate, coil_loop
from tablegen.physics.state import State
from tablegen.physics.steady_opening import GainAt, gain_with_bulb, smallest_steady
from tablegen.physics.step_response import StepResponse, mean_delay, measured_sensitivity, simulated_step
from tablegen.physics.system import OperatingCondition, Stability, StabilityRule
from tablegen.physics.valve_in_time import Course, Loop, Swing, ValveTable, simulate, swing
from tablegen.wording import hunt as wording
from tablegen.wording import input_errors

# Loads that are shown unless one is given, over that at which hunting begins.
ABOVE, BELOW = 1.25, 0.9
# Time constants [s] of bulbs from bare on a clean pipe to badly strapped, each of which has a limit of its own.
BULBS_S = (15.0, 30.0, 60.0, 120.0)
# A simulation is as long as so many periods, in whole minutes.
_PERIODS, _MINUTE = 20.0, 60.0
# What the simulation needs of the superheat in steady operation, as shares of the temperature difference.
_DRIEST, _WETTEST = 0.98, 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedHunt:
    """What is asked beside the case.

    `difference_k` is a coil temperature difference that the case states, None where the catalogue's counts; `load_w` is
    None where the loads about the limit are wanted; `bulb_time_constant_s` None where the catalogue's counts;
    `observed_load_w` is the load at which an installed valve began to hunt, None where none was observed;
    `step` are readings after a step of opening, None without any.
    """

    condition: OperatingCondition = OperatingCondition.RATING
    difference_k: float | None = None
    load_w: float | None = None
    bulb_time_constant_s: float | None = None
    observed_load_w: float | None = None
    step: OpeningStep | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningStep:
    """A step of opening [1], before and after, and superheat [K] at times [s] from the step; arrays (readings,)."""

    name: str
    opening: tuple[float, float]
    time_s: Floats
    superheat_k: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """What an observation says of a coil: its ultimate gain over the calculated one, and so its calibration [1].

    `sensitivity` and `delay` are shares of the calculated ones, NaN where hunting itself was observed.
    """

    value: float
    sensitivity: float = math.nan
    delay: float = math.nan

    @property
    def written(self) -> str:
        """As a config file has it."""
        return f"{self.value:.3g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntLimit:
    """Where hunting begins, without a margin: opening [1], superheat [K], load [W], period [s].

    `is_beyond_stop` says that the valve hunts at every opening.
    """

    opening: float
    superheat_k: float
    load_w: float
    period_s: float
    is_beyond_stop: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TableLimits:
    """What the tables have for the valve, and what their minimum comes from.

    `rule` names the method and the gain margin of the loop; where it is constant, `min_opening` [1] and `min_superheat_k` [K],
    at no load and at rated load, are what is stated.
    """

    window: Candidate
    rule: StabilityRule
    min_opening: float
    min_superheat_k: tuple[float, float]

    @property
    def uses_loop(self) -> bool:
        """Whether the minimum comes from the loop of valve, coil and bulb."""
        return self.rule.method is Stability.LOOP


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntRun:
    """One load [W]: opening [1] and superheat [K] that it needs in steady operation, and what the valve does."""

    load_w: float
    opening: float
    superheat_k: float
    swing: Swing


@dataclass(frozen=True, slots=True, kw_only=True)
class Hunt:
    """The answer: limit, runs in the order of the columns of `course`, and what they are calculated from.

    `tables` is what the catalogue's tables have for the valve; `by_bulb` the limit with each bulb of `BULBS_S`, at the same
    condition.
    `stop` is the valve's [1], `delay_s` that of the coil's liquid [s]; `calibration` is what an observed load gives, None
    where none was observed.
    """

    case: Case
    application: Application
    family: str
    size: str
    charge: str
    condition: OperatingCondition
    limit: HuntLimit
    tables: TableLimits
    by_bulb: tuple[HuntLimit, ...]
    runs: tuple[HuntRun, ...]
    course: Course
    inputs: Mapping[CoilInput, StatedInput]
    delay_s: float
    stop: float
    is_load_given: bool
    calibration: Calibration | None
    asked: AskedHunt


def hunt(catalogue: Catalogue, case: Case, family: str, size: str, asked: AskedHunt) -> Hunt:
    """What a valve does about the load at which it begins to hunt, or at a given one; the case's load counts for nothing.

    Raises
    ------
    RequestError
        As `solve_case`; also for a group, a valve that is not thermostatic, a suction that is not constant, a condition
        that cannot be used, or a load at which the valve does not work.
    """
    if case.refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown(input_errors.A_REFRIGERANT(), case.refrigerant, catalogue.refrigerants))
    solved_case = solve_case(catalogue, case)
    [own] = offered_families(catalogue, case.refrigerant, case.application, family)
    size_asked = size_of(own, size)
    at, charge = valve_at(catalogue, solved_case.members[0], own.name, size_asked.name, asked.condition)
    inputs = _inputs(at, solved_case.application, asked)
    circuit, ratio = _circuit(inputs), inputs[CoilInput.CONDUCTANCE_RATIO].value
    coil = _coil(at, circuit, inputs)
    bulb_s = inputs[CoilInput.BULB].value
    gain_at = _gain(at, coil)
    cells = CoilInTime.of(circuit, ratio, coil, float(at.state.evaporating_temperature_k[0]))
    calibration = None
    if asked.observed_load_w is not None:
        calibration = _by_load(at, gain_at, bulb_ultimate(coil, bulb_s, 1.0), asked.observed_load_w)
    elif asked.step is not None:
        calibration = _by_step(at, coil, cells, bulb_s, asked.step)
    if calibration is not None:
        inputs = {**inputs, CoilInput.CALIBRATION: StatedInput(calibration.value, False)}

    def limit_with(bulb_s: float) -> HuntLimit:
        return _limit(at, gain_at, bulb_ultimate(coil, bulb_s, inputs[CoilInput.CALIBRATION].value), coil)

    limit = limit_with(bulb_s)
    if not math.isfinite(limit.opening):
        raise RequestError(wording.LIMIT_UNKNOWN())
    loads = (asked.load_w,) if asked.load_w is not None else _loads_about(at, limit, coil)
    openings = [_opening(at, load_w, coil) for load_w in loads]
    table = ValveTable.of(
        at.actuator.balance,
        at.characteristic,
        cells,
        float(at.actuator.under(at.state)[0]),
        float(at.state.pressure_drop_pa[0]),
        at.actuator.stop,
    )
    loop = Loop(table=table, bulb_time_constant_s=bulb_s, calibration=inputs[CoilInput.CALIBRATION].value)
    duration = math.ceil(_PERIODS * limit.period_s / _MINUTE) * _MINUTE
    course = simulate(cells, loop, np.array(openings), duration_s=duration)
    runs = tuple(
        HuntRun(load_w=load_w, opening=opening, superheat_k=at.superheat(opening), swing=swing(course, number))
        for number, (load_w, opening) in enumerate(zip(loads, openings, strict=True))
    )
    return Hunt(
        case=case,
        application=solved_case.application,
        family=own.name,
        size=size_asked.name,
        charge=charge,
        condition=asked.condition,
        limit=limit,
        tables=_tables(at, next(own for own in candidates_of(solved_case, own) if own.size == size_asked.name)),
        by_bulb=tuple(map(limit_with, BULBS_S)),
        runs=runs,
        course=course,
        inputs=inputs,
        delay_s=float(coil.delay_s[0]),
        stop=at.actuator.stop,
        is_load_given=asked.load_w is not None,
        calibration=calibration,
        asked=asked,
    )


def _tables(at: ValveAtState, window: Candidate) -> TableLimits:
    superheat = at.member.system.superheat
    method = at.actuator.stability or superheat.stability.method
    return TableLimits(
        window=window,
        rule=replace(superheat.stability, method=method),
        min_opening=at.actuator.min_stable,
        min_superheat_k=(superheat.min_k[0], sum(superheat.min_k)),
    )


def _inputs(at: ValveAtState, application: Application, asked: AskedHunt) -> dict[CoilInput, StatedInput]:
    """What the loop is calculated from: of the case, of the catalogue, else assumed."""
    system = at.member.system
    circuit = system.circuit or DEFAULT_CIRCUIT
    given_k = asked.difference_k or application.coil_temperature_difference_k or system.box_difference_k
    stated = {
        CoilInput.DIFFERENCE: given_k,
        CoilInput.CONDUCTANCE_RATIO: None if system.coil is None else system.coil.conductance_ratio,
        CoilInput.BULB: asked.bulb_time_constant_s or at.actuator.bulb_time_constant_s,
    }
    of_circuit = {name: float(getattr(circuit, field)) for name, field in CIRCUIT_FIELDS.items()}
    found = {name: _stated(name, value) for name, value in stated.items()}
    found |= {name: StatedInput(value, circuit is DEFAULT_CIRCUIT) for name, value in of_circuit.items()}
    return {**found, CoilInput.CALIBRATION: StatedInput(system.superheat.stability.calibration, False)}


def _stated(name: CoilInput, value: float | None) -> StatedInput:
    return StatedInput(ASSUMED_INPUTS[name].value, True) if value is None else StatedInput(value, False)


def _circuit(inputs: Mapping[CoilInput, StatedInput]) -> Circuit:
    return Circuit(**{field: inputs[name].value for name, field in CIRCUIT_FIELDS.items()})


def _coil(at: ValveAtState, circuit: Circuit, inputs: Mapping[CoilInput, StatedInput]) -> CoilLoop:
    """What the coil does to the loop at the state; the temperature difference is that of the rating, for SST is constant."""
    difference_k, useful_k = inputs[CoilInput.DIFFERENCE].value, at.member.system.superheat.useful_k
    if useful_k >= difference_k:
        raise RequestError(wording.USEFUL_BEYOND_DIFFERENCE())

    def coil_state(state: State) -> CoilState:
        return CoilState(
            evaporating_temperature_k=state.evaporating_temperature_k,
            evaporating_pressure_pa=state.evaporating_pressure_pa,
            liquid_enthalpy_j_kg=state.liquid_enthalpy_j_kg,
            vapor_enthalpy_j_kg=state.vapor_enthalpy_j_kg,
            difference_k=np.full_like(state.evaporating_temperature_k, difference_k),
        )

    rated, now = coil_state(at.member.rated), coil_state(at.state)
    ratio = inputs[CoilInput.CONDUCTANCE_RATIO].value
    return coil_loop(at.member.refrigerant, circuit, ratio, useful_k, rated, now)


def _gain(at: ValveAtState, coil: CoilLoop) -> GainAt:
    state = at.state
    return gain_with_bulb(
        coil,
        at.actuator.balance,
        at.characteristic,
        state.evaporating_temperature_k,
        at.actuator.under(state),
        state.pressure_drop_pa,
    )


def _limit(at: ValveAtState, gain_at: GainAt, ultimate: Ultimate, coil: CoilLoop) -> HuntLimit:
    found = smallest_steady(gain_at, ultimate.gain, coil.difference_k)
    opening = float(found.opening[0])
    is_beyond = opening > at.actuator.stop
    return HuntLimit(
        opening=opening,
        superheat_k=float(found.superheat_k[0]),
        load_w=math.nan if is_beyond else at.load_w(max(opening, 0.0)),
        period_s=float(ultimate.period_s[0]),
        is_beyond_stop=is_beyond,
    )


def _by_load(at: ValveAtState, gain_at: GainAt, ultimate: Ultimate, load_w: float) -> Calibration:
    """Gain of the loop at the load at which hunting began, over the ultimate gain of the coil as it is stated."""
    opening = at.opening(load_w)
    superheat = at.superheat(opening) if math.isfinite(opening) else math.nan
    _, gain = gain_at(np.asarray([superheat]))
    found = float(gain[0] / ultimate.gain[0])
    if not (math.isfinite(found) and found > 0.0):
        raise RequestError(wording.NOTHING_OBSERVED())
    return Calibration(value=found)


def _by_step(at: ValveAtState, coil: CoilLoop, cells: CoilInTime, bulb_s: float, step: OpeningStep) -> Calibration:
    """K_u/B of the measured coil over that of the stated one: its delays are longer as its answer is slower."""
    shares = at.characteristic.share(np.asarray(step.opening))
    ratio = float(shares[1] / shares[0])
    measured = StepResponse(time_s=step.time_s, superheat_k=step.superheat_k, flow_ratio=ratio)
    found = measured_sensitivity(measured, cells.difference_k)
    if not math.isfinite(found):
        raise RequestError(wording.NO_STEP())
    same = simulated_step(cells, measured.ends_k[0], ratio, float(step.time_s[-1]))
    delay = mean_delay(measured) / mean_delay(same)
    if not delay > 0.0:
        raise RequestError(wording.NO_STEP())
    slower = replace(
        coil,
        dead_time_s=delay * coil.dead_time_s,
        front_lag_s=delay * coil.front_lag_s,
        wall_lag_s=delay * coil.wall_lag_s,
        wall_lead_s=delay * coil.wall_lead_s,
    )
    sensitivity = found / float(coil.sensitivity[0])
    gains = [float(bulb_ultimate(own, bulb_s, 1.0).gain[0]) for own in (slower, coil)]
    return Calibration(value=gains[0] / gains[1] / sensitivity, sensitivity=sensitivity, delay=delay)


def _loads_about(at: ValveAtState, limit: HuntLimit, coil: CoilLoop) -> tuple[float, ...]:
    """A load above the limit and one below it; two below that of the stop where it hunts at every opening."""
    driest = at.opening_at(_DRIEST * float(coil.difference_k[0]))
    most = at.load_w(min(driest, at.actuator.stop))
    if limit.is_beyond_stop:
        # Clear of the stop, which holds a valve that rests against it.
        return BELOW * most, BELOW**3 * most
    least = at.load_w(max(at.opening_at(_WETTEST * float(coil.difference_k[0])), 1e-3))
    return min(ABOVE * limit.load_w, most), max(BELOW * limit.load_w, least)


def _opening(at: ValveAtState, load_w: float, coil: CoilLoop) -> float:
    """The opening that a load needs, where the coil can be in steady operation at it."""
    opening = at.opening(load_w)
    if not math.isfinite(opening):
        raise RequestError(wording.BEYOND_STOP())
    superheat, difference = at.superheat(opening), float(coil.difference_k[0])
    if not superheat <= (_DRIEST + 1e-6) * difference:
        raise RequestError(wording.STARVES())
    if superheat < (_WETTEST - 1e-6) * difference:
        raise RequestError(wording.FLOODS_BACK())
    return opening
