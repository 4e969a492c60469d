"""Solve an application into states: one per suction temperature, condition and side of the window.

The rating point comes first; every other state is stated on it.  With f the refrigerant flow over rated
flow (compressor flow ratio M times the capacity step where the minimum load is at stake):

    p_1 = p_h - dp_line f^2 (rho_rated / rho_1) - rho g lift        T_l = T_bub(p_1) - subcooling, at the inlet, or
                                                                    T_l = T_bub(p_h) - subcooling + dT_g, at the condenser
    p_2 = p_e + dp_evap f^2 + dp_dist f^2 v_mix / v_mix,rated

A pulse-modulated valve passes no flow while it is shut, so while it is open it passes more than the mean: at its maximum
duty d_max the open flow f = M / d_max.  Its maximum load is judged at states with this flow, at the evaporator of the mean
flow and with the heat that the liquid takes up at mean flow: it is that of the whole cycle.  Its minimum load is judged at
mean flow, for at the open flow it would have to stay open longer, so the minimum load would be smaller: the safe side.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tablegen.physics._corner import Corner
from tablegen.physics._evaporator import Evaporator
from tablegen.physics._state_at import balance, state_at
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.deviation import AS_STATED, InstallationDeviation
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import Head, HeadCondition, OperatingCondition, Side, SuctionResponse, SystemInputs


def solve_rating(
    refrigerant: Refrigerant, system: SystemInputs, sst_k: Floats, off: InstallationDeviation = AS_STATED
) -> State:
    """The rating point along the suction grid: flow ratio and capacity ratio are 1.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    sst_k : array (suction temperatures,) [K]
        Saturated suction temperature, dew.
    off : InstallationDeviation, optional
        What an installation adds to the inputs; numbers, or arrays along `sst_k`.

    Returns
    -------
    State
        Arrays (suction temperatures,); NaN where a property is out of range.
    """
    return _rating(refrigerant, system, Evaporator.at(refrigerant, system, _evaporating(system, sst_k)), off)


def solve_conditions(
    refrigerant: Refrigerant, system: SystemInputs, sst_k: Floats, off: InstallationDeviation = AS_STATED
) -> tuple[State, list[SolvedState]]:
    """The rating point, and every operating condition for each suction response that the application asks for.

    Parameters
    ----------
    refrigerant : Refrigerant
        Its properties may deviate along `sst_k`.
    system : SystemInputs
    sst_k : array (suction temperatures,) [K]
    off : InstallationDeviation, optional
        As in `solve_rating`.

    Returns
    -------
    State
        The rating point.
    list of SolvedState
        One for each response, operating condition and side of the window.
    """
    evaporator = Evaporator.at(refrigerant, system, _evaporating(system, sst_k))
    rated = _rating(refrigerant, system, evaporator, off)
    solved = [
        _solve(refrigerant, system, condition.condition, corner, rated, response, evaporator)
        for response in system.responses
        for condition in system.conditions
        for corner in _corners(refrigerant, condition, system.capacity_step, off)
    ]
    return rated, solved


def solve_open(
    refrigerant: Refrigerant,
    system: SystemInputs,
    sst_k: Floats,
    rated: State,
    open_share: float,
    off: InstallationDeviation = AS_STATED,
) -> list[SolvedState]:
    """The states at which the maximum load of a pulse-modulated valve is judged: those of `solve_conditions` at the open flow.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    sst_k : array (suction temperatures,) [K]
    rated : State
        The rating point that `solve_conditions` gives.
    open_share : float
        Maximum duty: share of time in which the valve is open [1].
    off : InstallationDeviation, optional
        As in `solve_rating`.

    Returns
    -------
    list of SolvedState
        One for each response and operating condition, all of side max.
    """
    evaporator = Evaporator.at(refrigerant, system, _evaporating(system, sst_k))
    return [
        _solve(refrigerant, system, condition.condition, corner, rated, response, evaporator)
        for response in system.responses
        for condition in system.conditions
        for corner in _opened(_corners(refrigerant, condition, system.capacity_step, off), open_share)
    ]


def solve_condition(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: HeadCondition,
    rated: State,
    response: SuctionResponse,
    off: InstallationDeviation = AS_STATED,
) -> list[SolvedState]:
    """One operating condition: a state for both sides of the window, or one for each where they differ.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    condition : HeadCondition
    rated : State
        The rating point, arrays (states,).
    response : SuctionResponse
    off : InstallationDeviation, optional
        As in `solve_rating`.

    Returns
    -------
    list of SolvedState
        Arrays (states,).
    """
    corners = _corners(refrigerant, condition, system.capacity_step, off)
    return [_solve(refrigerant, system, condition.condition, corner, rated, response) for corner in corners]


def solve_settings(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: HeadCondition,
    heads_pa: Floats,
    rated: State,
    response: SuctionResponse,
    open_share: float = 1.0,
) -> list[SolvedState]:
    """As `solve_condition`, with another head pressure for each state and the liquid as the condition has it.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    condition : HeadCondition
    heads_pa : array (states,) [Pa]
        Used in place of the condition's own head.
    rated : State
    response : SuctionResponse
    open_share : float, optional
        Below 1: the states at the open flow alone, as `solve_open` has them [1].

    Returns
    -------
    list of SolvedState
        Arrays (states,).
    """
    unknown = replace(condition, head=Head(pressure_pa=np.nan))
    corners = _corners(refrigerant, unknown, system.capacity_step, AS_STATED)
    own = (replace(corner, head_pa=heads_pa) for corner in _opened(corners, open_share))
    return [_solve(refrigerant, system, condition.condition, corner, rated, response) for corner in own]


def solve_along(
    refrigerant: Refrigerant,
    system: SystemInputs,
    heads_pa: Floats,
    subcooling_k: Floats,
    side: Side,
    step: float,
    rated: State,
    response: SuctionResponse,
    is_at_condenser: bool = False,
    open_share: float = 1.0,
) -> SolvedState:
    """One side of the window at several head pressures, with the subcooling of each.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    heads_pa : array (states,) [Pa]
    subcooling_k : array (states,) [K]
        At the valve inlet, or at the outlet of condenser or receiver where `is_at_condenser`.
    side : Side
    step : float [1]
        Share of the compressor's flow.
    rated : State
        The rating point of each state.
    response : SuctionResponse
    is_at_condenser : bool, optional
    open_share : float, optional
        Share of time in which a pulse-modulated valve passes the flow [1].

    Returns
    -------
    SolvedState
        Arrays (states,), labeled with the rating point.
    """
    corner = Corner(
        side=side,
        head_pa=heads_pa,
        at_bubble_pa=np.nan,
        at_dew_pa=np.nan,
        liquid_k=None,
        subcooling_k=subcooling_k,
        step=step,
        is_at_condenser=is_at_condenser,
        open_share=open_share,
    )
    return _solve(refrigerant, system, OperatingCondition.RATING, corner, rated, response)


def solve_liquids(
    refrigerant: Refrigerant, system: SystemInputs, heads_pa: Floats, liquid_k: Floats, rated: State
) -> SolvedState:
    """Full flow at several head pressures, the temperature of the liquid at the inlet given with each; constant SST.

    Parameters
    ----------
    refrigerant : Refrigerant
    system : SystemInputs
    heads_pa : array (..., states) [Pa]
        Each row is solved by itself.
    liquid_k : array (..., states) [K]
    rated : State
        The rating point of each state.

    Returns
    -------
    SolvedState
        Arrays (..., states), labeled with the rating point.
    """
    corner = Corner(
        side=Side.BOTH,
        head_pa=heads_pa,
        at_bubble_pa=np.nan,
        at_dew_pa=np.nan,
        liquid_k=liquid_k,
        subcooling_k=0.0,
        step=1.0,
    )
    return _solve(refrigerant, system, OperatingCondition.RATING, corner, rated, SuctionResponse.CONSTANT)


def _evaporating(system: SystemInputs, sst_k: Floats) -> Floats:
    return sst_k + (system.suction_loss_k if system.sst_at_compressor else 0.0)


def _rating(
    refrigerant: Refrigerant, system: SystemInputs, evaporator: Evaporator, off: InstallationDeviation
) -> State:
    corner = Corner.of(refrigerant, system.rating.head, Side.BOTH, system.rating.liquid, 1.0, off)
    return state_at(refrigerant, system, corner, evaporator, None)


def _solve(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: OperatingCondition,
    corner: Corner,
    rated: State,
    response: SuctionResponse,
    evaporator: Evaporator | None = None,
) -> SolvedState:
    """A corner on its rating point, whose evaporator may be known already."""
    te = rated.evaporating_temperature_k
    # Compressor and evaporator take the mean flow of a pulse-modulated valve.
    mean = replace(corner, open_share=1.0)
    if response is SuctionResponse.BALANCED:
        te, evaporator = balance(refrigerant, system, mean, rated), None
    evaporator = evaporator or Evaporator.at(refrigerant, system, te)
    state = state_at(refrigerant, system, mean, evaporator, rated)
    if corner.open_share != 1.0:
        state = state_at(refrigerant, system, corner, evaporator, rated, flow_ratio=state.flow_ratio)
    return SolvedState(
        condition=condition,
        side=corner.side,
        response=response,
        state=state,
        reason=_reasons(state, rated, system),
        open_share=corner.open_share,
    )


def _corners(
    refrigerant: Refrigerant, condition: HeadCondition, step: float, off: InstallationDeviation
) -> list[Corner]:
    """The maximum load is judged at the minimum subcooling and full flow, the minimum load at the other corner."""
    head, liquid = condition.head, condition.liquid
    most = replace(liquid, max_subcooling_k=liquid.min_subcooling_k)
    minimum = replace(liquid, min_subcooling_k=liquid.max_subcooling_k)
    if not liquid.is_range and step == 1.0:
        wanted = [(Side.BOTH, liquid, 1.0)]
    else:
        wanted = [(Side.MAX, most, 1.0), (Side.MIN, minimum, step)]
    if liquid.is_range and step < 1.0:
        wanted.append((Side.MIN_FULL_FLOW, minimum, 1.0))
    corners = [Corner.of(refrigerant, head, side, supply, flow, off) for side, supply, flow in wanted]
    if off is AS_STATED or condition.condition is OperatingCondition.RATING:
        return corners
    shift = off.low_head_pa if condition.condition is OperatingCondition.LOW_HEAD else off.high_head_pa
    return [replace(c, head_pa=c.head_pa + shift, subcooling_k=c.subcooling_k + off.subcooling_k) for c in corners]


def _opened(corners: list[Corner], open_share: float) -> list[Corner]:
    """All corners, or below an open share of 1 those of the maximum load at the open flow."""
    if open_share == 1.0:
        return corners
    return [replace(c, side=Side.MAX, open_share=open_share) for c in corners if c.side.serves_max]


def _reasons(state: State, rated: State, system: SystemInputs) -> Names:
    """Why a state cannot be used, the most basic reason first; None where it can."""
    reason = np.full(state.flow_ratio.shape, None, dtype=object)
    properties = (
        state.head_bubble_temperature_k,
        state.head_dew_temperature_k,
        rated.evaporating_pressure_pa,
        rated.liquid_density_kg_m3,
        rated.vapor_enthalpy_j_kg,
        rated.mixture_volume_m3_kg,
    )
    most = system.feed.inlet_vapor
    flashes = (
        ~(state.inlet_quality <= most) if most > 0.0 else state.inlet_pressure_pa <= state.liquid_bubble_pressure_pa
    )
    own = (state.evaporating_pressure_pa, state.liquid_density_kg_m3, state.mixture_volume_m3_kg)
    for test, why in (
        (state.pressure_drop_pa <= 0.0, Reason.NO_PRESSURE_DROP),
        (flashes, Reason.FLASHING),
        (~np.isfinite(np.stack(own)).all(axis=0), Reason.PROPERTY_RANGE),
        (~np.isfinite(state.evaporating_temperature_k), Reason.NO_BALANCE),
        (~np.isfinite(state.flow_ratio) & np.isfinite(state.evaporating_temperature_k), Reason.COMPRESSOR_MAP),
        (~np.isfinite(np.stack(properties)).all(axis=0), Reason.PROPERTY_RANGE),
    ):
        reason[test] = why
    return reason
