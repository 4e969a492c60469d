"""What a pressure-enthalpy diagram and axes of a valve's graphs are drawn from: one refrigerant in one application."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

import pandas as pd

from tablegen.answers.case import Case, SolvedCase, solve_case
from tablegen.errors import RequestError, unknown
from tablegen.model.head_settings import FarSetting, far_settings
from tablegen.model.inputs import Application, Catalogue
from tablegen.model.names import size_of
from tablegen.model.offer import offered_families
from tablegen.model.solving import Solved, unit_window
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.equation_of_state import SinglePhase
from tablegen.physics.pressure_enthalpy_lines import DiagramLine, PressureEnthalpyLines
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.tables.curves import balance_curve, superheat_frame
from tablegen.tables.examples import Example
from tablegen.wording import diagram as wording
from tablegen.wording import input_errors, terms

# The dome begins at this share of the suction pressure; vapor is followed so far above the critical temperature [K].
_BELOW, _HOTTEST_K = 0.4, 150.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycles:
    """A refrigerant's cycles in an application at one SST [K]: the state at each operating condition, and its lines.

    `far_settings` are head pressures of the application that are meant for other refrigerants.
    """

    refrigerant: Refrigerant
    application: Application
    sst_k: float
    states: tuple[tuple[str, State], ...]
    bubble: DiagramLine
    dew: DiagramLine
    compression: DiagramLine
    far_settings: tuple[FarSetting, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveCurves:
    """A valve in a system at one load [W]: its balance at each head pressure, and its superheat at each load.

    Attributes
    ----------
    balance, superheat : DataFrame
        As `tables.curves.balance_curve` and `superheat_frame`; an electronic valve has no superheat of its own.
    window_w : tuple of float
        Its load window [W], NaN where it is empty.
    superheat_k : tuple of float
        Minimum stable superheat at no load, and maximum superheat [K].
    heads_pa : dict
        The head pressures [Pa] of the operating conditions.
    """

    family: str
    size: str
    balance: pd.DataFrame
    superheat: pd.DataFrame
    window_w: tuple[float, float]
    superheat_k: tuple[float, float]
    heads_pa: dict[str, float]
    application: Application


def cycles_of(
    catalogue: Catalogue, refrigerant: str, application: str, sst_k: float, kept_heads: Collection[str] = ()
) -> Cycles:
    """The cycles of one refrigerant in an application; `kept_heads` are conditions whose head is meant for it.

    Raises
    ------
    RequestError
        As `solve_case`; also for a group, for liquid from an intermediate receiver, or if a state cannot be computed.
    """
    solved = _solved(catalogue, Case(refrigerant, sst_k, 1.0, application)).members[0]
    own = solved.refrigerant
    if solved.system.has_receiver:
        raise RequestError(wording.NO_RECEIVER_CYCLE(application=application))
    states = _states(solved)
    for condition, index in solved.at_full_flow().items():
        state, [reason] = states[condition.value], solved.states[index].reason
        if not math.isfinite(float(state.vapor_enthalpy_j_kg[0] + state.liquid_enthalpy_j_kg[0])):
            why = terms.reason(str(reason))
            at = terms.condition(condition.value)
            raise RequestError(wording.NO_CYCLE(refrigerant=own.name, condition=at, reason=why))
    computed = [catalogue.refrigerants[name] for name in catalogue.refrigerants_in(application)]
    system, first = solved.system, states["low_head"]
    suction_pa = float(first.suction_pressure_pa[0])
    high_pa = max(float(state.head_pressure_pa[0]) for state in states.values()) + system.discharge_loss_pa
    inlet_k = float(first.evaporating_temperature_k[0]) - system.suction_loss_k + system.return_superheat_k
    lines = PressureEnthalpyLines(
        own,
        SinglePhase(own.definition).at,
        (_BELOW * suction_pa, max(high_pa, own.critical_pressure_pa)),
        own.critical_temperature_k + _HOTTEST_K,
    )
    return Cycles(
        refrigerant=own,
        application=catalogue.applications[application],
        sst_k=sst_k,
        states=tuple((condition, states[condition]) for condition in terms.CONDITIONS),
        bubble=lines.bubble(),
        dew=lines.dew(),
        compression=lines.compression(inlet_k, (suction_pa, high_pa)),
        far_settings=tuple(far_settings(catalogue.applications[application], own, computed, kept_heads)),
    )


def valve_curves(catalogue: Catalogue, case: Case, family: str, size: str) -> ValveCurves:
    """A valve's curves for a case of one refrigerant.

    Raises
    ------
    RequestError
        As `solve_case`; also for a group, if the family is not offered or has no charge for the case.
    """
    solved_case = _solved(catalogue, case)
    [own] = offered_families(catalogue, case.refrigerant, case.application, family)
    asked = size_of(own, size)
    part, solved = own.with_design_of(asked.name), solved_case.members[0]
    _, valve, unit = unit_window(part, solved)
    if valve is None:
        raise RequestError(wording.NO_CHARGE(family=own.display_name, refrigerant=case.refrigerant))
    example = Example.alone(part, asked, solved, valve, case.load_w)
    window = solved_case.windows(part, solved, unit)[asked.name]
    limits = solved.system.superheat
    is_thermostatic = isinstance(valve.actuator, ThermostaticActuator)
    return ValveCurves(
        family=own.name,
        size=asked.name,
        balance=balance_curve(example),
        superheat=superheat_frame([example]) if is_thermostatic else pd.DataFrame(),
        window_w=(
            float(window.min_load_w[0]) * asked.kv_rated_m3h,
            float(window.max_load_w[0]) * asked.kv_rated_m3h,
        ),
        superheat_k=(limits.min_k[0], solved.smallest_maximum_k(0)),
        heads_pa={own: float(state.head_pressure_pa[0]) for own, state in _states(solved).items()},
        application=catalogue.applications[case.application],
    )


def _solved(catalogue: Catalogue, case: Case) -> SolvedCase:
    """A case of one refrigerant."""
    if case.refrigerant not in catalogue.refrigerants:
        raise RequestError(unknown(input_errors.A_REFRIGERANT(), case.refrigerant, catalogue.refrigerants))
    return solve_case(catalogue, case)


def _states(solved: Solved) -> dict[str, State]:
    """The state of each operating condition at full flow."""
    return {condition.value: solved.states[index].state for condition, index in solved.at_full_flow().items()}
