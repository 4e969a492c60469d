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

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import equations as eq
from tablegen.physics._corner import Corner, Inlet, reach_inlet
from tablegen.physics._evaporator import Evaporator
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.deviation import AS_STATED, InstallationDeviation
from tablegen.physics.loop import CoilState, coil_loop
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import (
    DistributorScaling,
    Head,
    HeadCondition,
    OperatingCondition,
    Side,
    SuctionResponse,
    SystemInputs,
)
from tablegen.wording import input_errors as wording

# How far below the rating's evaporating temperature a balance is looked for; above, the box is the bound.
_BALANCE_REACH_K = 32.0
# Largest surplus of compressor over evaporator, as a share of rated capacity, that counts as balance.
_BALANCE_TOLERANCE = 1e-9
# The liquid's enthalpy hardly depends on the flow that it sets: a few rounds settle both.
_CAPACITY_ROUNDS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """States along the suction grid at one condition; float arrays of one shape, names as in the data set."""

    evaporating_temperature_k: Floats
    evaporating_pressure_pa: Floats
    suction_pressure_pa: Floats
    head_pressure_pa: Floats
    head_bubble_temperature_k: Floats
    head_dew_temperature_k: Floats
    condensing_bubble_pressure_pa: Floats
    condensing_dew_pressure_pa: Floats
    liquid_temperature_k: Floats
    inlet_subcooling_k: Floats
    condenser_subcooling_k: Floats
    needed_subcooling_k: Floats
    inlet_quality: Floats
    liquid_bubble_pressure_pa: Floats
    inlet_pressure_pa: Floats
    outlet_pressure_pa: Floats
    pressure_drop_pa: Floats
    liquid_density_kg_m3: Floats
    inlet_density_kg_m3: Floats
    liquid_enthalpy_j_kg: Floats
    vapour_enthalpy_j_kg: Floats
    mixture_volume_m3_kg: Floats
    relative_flow: Floats
    flow_ratio: Floats
    flow_share: Floats
    capacity_ratio: Floats
    # Of the coil, NaN where too little of it is stated: box minus evaporating temperature; B and a of `coil.wetted_share`.
    coil_difference_k: Floats
    dry_transfer_units: Floats
    vapour_heat_ratio: Floats
    # Of the coil in the loop with the valve, NaN where too little of it is stated.
    dead_time_s: Floats
    front_lag_s: Floats
    wall_lag_s: Floats
    wall_lead_s: Floats

    def at(self, index: NDArray[Any]) -> State:
        """The states at some grid positions."""
        return State(**{f.name: getattr(self, f.name)[index] for f in fields(self)})

    @property
    def rating_effect_j_kg(self) -> Floats:
        """Refrigerating effect h_g - h_l [J/kg]."""
        return eq.refrigerating_effect(h_g=self.vapour_enthalpy_j_kg, h_l=self.liquid_enthalpy_j_kg)


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedState:
    """A state with the condition that it belongs to, and the reason why it cannot be used (None where it can).

    `open_share` is 1, or the share of time [1] in which a pulse-modulated valve passes the state's flow.
    """

    condition: OperatingCondition
    side: Side
    response: SuctionResponse
    state: State
    reason: Names
    open_share: float = 1.0

    def at(self, index: NDArray[Any]) -> SolvedState:
        """The same at some grid positions, one of them several times if it is wanted so."""
        return replace(self, state=self.state.at(index), reason=self.reason[index])


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
        Arrays (states,), labelled with the rating point.
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
        Arrays (..., states), labelled with the rating point.
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
    return _state(refrigerant, system, corner, evaporator, None)


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
        te, evaporator = _balance(refrigerant, system, mean, rated), None
    evaporator = evaporator or Evaporator.at(refrigerant, system, te)
    state = _state(refrigerant, system, mean, evaporator, rated)
    if corner.open_share != 1.0:
        state = _state(refrigerant, system, corner, evaporator, rated, flow_ratio=state.flow_ratio)
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


def _state(
    refrigerant: Refrigerant,
    system: SystemInputs,
    corner: Corner,
    evaporator: Evaporator,
    rated: State | None,
    with_needed: bool = True,
    flow_ratio: Floats | None = None,
) -> State:
    """States at an evaporator; `rated` is None for the rating point itself, `with_needed` as in `reach_inlet`.

    `flow_ratio` is M [1] where it is known, for the open flow that follows from it.
    """
    losses, te, dew, bubble = system.losses, evaporator.temperature_k, evaporator.dew, evaporator.bubble
    head_pa = np.full_like(te, corner.head_pa)
    relative = evaporator.compressor_flow(refrigerant, system, head_pa)
    ratio = np.ones_like(te)
    if rated is not None:
        ratio = eq.flow_ratio(m_c=relative, m_cr=rated.relative_flow) ** (1.0 + corner.off.flow_change)
    of_rated = None if rated is None else (rated.liquid_density_kg_m3, rated.rating_effect_j_kg)

    def reach(ratio: Floats) -> Inlet:
        # Of draws nobody asks how much subcooling they need.
        needed = with_needed and corner.off is AS_STATED
        flow = np.asarray(eq.flow_share(k=corner.step, M=ratio, d=corner.open_share))
        return reach_inlet(
            refrigerant, system, head_pa, corner, flow, evaporator.vapour_enthalpy_j_kg, of_rated, needed
        )

    if flow_ratio is not None:
        ratio = flow_ratio
    inlet = reach(ratio)
    if rated is not None and system.keeps_capacity and flow_ratio is None:
        ratio, inlet = _kept_capacity(rated, evaporator, inlet, reach)
    share = np.asarray(eq.flow_share(k=corner.step, M=ratio, d=corner.open_share))
    p1, tl, enthalpy = inlet.pressure_pa, inlet.liquid_k, inlet.enthalpy_j_kg
    # Liquid colder than the outlet's bubble point does not flash: no vapour, not a negative quality.
    quality = eq.vapor_quality(h_l=enthalpy, h_b=bubble.enthalpy_j_kg, h_d=dew.enthalpy_j_kg)
    volume = eq.mixture_volume(x=quality, rho_d=dew.density_kg_m3, rho_b=bubble.density_kg_m3)
    follows_volume = rated is not None and losses.distributor_scaling is DistributorScaling.FLASHED_MIXTURE
    distributor_pa = losses.distributor_pa + corner.off.distributor_pa
    p2 = eq.outlet_pressure(
        p_e=dew.pressure_pa,
        f=share,
        dp_evap=losses.evaporator_pa,
        dp_dist=distributor_pa,
        v=volume if follows_volume else np.ones_like(te),
        v_r=rated.mixture_volume_m3_kg if rated is not None and follows_volume else np.ones_like(te),
    )
    effect = eq.refrigerating_effect(h_g=evaporator.vapour_enthalpy_j_kg, h_l=enthalpy)
    capacity = np.ones_like(te)
    if rated is not None and not system.keeps_capacity:
        capacity = ratio * effect / rated.rating_effect_j_kg
    coil = _coil_state(refrigerant, system, evaporator, enthalpy, rated, corner.off)
    return State(
        evaporating_temperature_k=te,
        evaporating_pressure_pa=dew.pressure_pa,
        suction_pressure_pa=evaporator.suction_pa,
        head_pressure_pa=head_pa,
        head_bubble_temperature_k=refrigerant.bubble_temperature(head_pa),
        head_dew_temperature_k=refrigerant.dew_temperature(head_pa),
        condensing_bubble_pressure_pa=np.full_like(te, corner.at_bubble_pa),
        condensing_dew_pressure_pa=np.full_like(te, corner.at_dew_pa),
        liquid_temperature_k=tl,
        inlet_subcooling_k=refrigerant.bubble_temperature(p1) - tl,
        condenser_subcooling_k=inlet.condenser_subcooling_k,
        needed_subcooling_k=inlet.needed_subcooling_k,
        inlet_quality=inlet.quality,
        liquid_bubble_pressure_pa=inlet.bubble_pa,
        inlet_pressure_pa=p1,
        outlet_pressure_pa=p2,
        pressure_drop_pa=eq.pressure_drop(p_1=p1, p_2=p2),
        liquid_density_kg_m3=inlet.liquid_density_kg_m3,
        inlet_density_kg_m3=inlet.density_kg_m3,
        liquid_enthalpy_j_kg=enthalpy,
        vapour_enthalpy_j_kg=evaporator.vapour_enthalpy_j_kg,
        mixture_volume_m3_kg=volume,
        relative_flow=relative,
        flow_ratio=ratio,
        flow_share=share,
        capacity_ratio=capacity,
        coil_difference_k=coil.difference_k,
        dry_transfer_units=coil.dry_transfer_units,
        vapour_heat_ratio=coil.vapour_heat_ratio,
        dead_time_s=coil.dead_time_s,
        front_lag_s=coil.front_lag_s,
        wall_lag_s=coil.wall_lag_s,
        wall_lead_s=coil.wall_lead_s,
    )


def _kept_capacity(
    rated: State, evaporator: Evaporator, inlet: Inlet, reach: Callable[[Floats], Inlet]
) -> tuple[Floats, Inlet]:
    """Flow over rated flow with which the evaporator keeps its capacity, and the liquid at that flow."""
    ratio = np.ones_like(inlet.pressure_pa)
    for _ in range(_CAPACITY_ROUNDS):
        following = np.asarray(
            eq.capacity_flow_ratio(
                dh_r=rated.rating_effect_j_kg, h_g=evaporator.vapour_enthalpy_j_kg, h_l=inlet.enthalpy_j_kg
            )
        )
        is_open = np.any(np.abs(following - ratio) > 1e-14)
        ratio = following
        if not is_open:
            break
        inlet = reach(ratio)
    return ratio, inlet


@dataclass(frozen=True, slots=True)
class _CoilFigures:
    """Fields of `State` that belong to the coil; NaN where too little of it is stated."""

    difference_k: Floats
    dry_transfer_units: Floats
    vapour_heat_ratio: Floats
    dead_time_s: Floats
    front_lag_s: Floats
    wall_lag_s: Floats
    wall_lead_s: Floats


def _coil_state(
    refrigerant: Refrigerant,
    system: SystemInputs,
    evaporator: Evaporator,
    liquid_j_kg: Floats,
    rated: State | None,
    off: InstallationDeviation,
) -> _CoilFigures:
    """Temperature difference of the coil, transfer units of its dry end, heat ratio of its vapor, delays of its dry-out."""
    te = evaporator.temperature_k
    none = np.full_like(te, np.nan)
    if system.box_difference_k is None:
        return _CoilFigures(*(none,) * 7)
    rated_te = te if rated is None else rated.evaporating_temperature_k
    # The box stays where it is.
    difference = eq.coil_difference(DT=system.box_difference_k, T_er=rated_te, T_e=te)
    if system.coil is None:
        return _CoilFigures(difference, *(none,) * 6)
    ratio = system.coil.conductance_ratio * (1.0 + off.conductance_ratio)
    at_box = refrigerant.vapour(te + difference, evaporator.dew.pressure_pa).enthalpy_j_kg
    heat = eq.vapor_heat_ratio(h_a=at_box, h_s=evaporator.dew.enthalpy_j_kg, h_l=liquid_j_kg)
    units = eq.dry_transfer_units(r_c=ratio, a=heat)
    if system.circuit is None:
        return _CoilFigures(difference, units, heat, *(none,) * 4)
    here = CoilState(
        evaporating_temperature_k=te,
        evaporating_pressure_pa=evaporator.dew.pressure_pa,
        liquid_enthalpy_j_kg=liquid_j_kg,
        vapour_enthalpy_j_kg=evaporator.vapour_enthalpy_j_kg,
        difference_k=difference,
    )
    at_rating = here if rated is None else coil_state_of(rated)
    loop = coil_loop(refrigerant, system.circuit, ratio, system.superheat.useful_k, at_rating, here)
    slower = 1.0 + off.dryout_delay
    return _CoilFigures(
        difference_k=difference,
        dry_transfer_units=units,
        vapour_heat_ratio=heat,
        dead_time_s=loop.dead_time_s * slower,
        front_lag_s=loop.front_lag_s * slower,
        wall_lag_s=loop.wall_lag_s,
        wall_lead_s=loop.wall_lead_s,
    )


def coil_state_of(state: State) -> CoilState:
    """What of a state bears on the coil.

    Parameters
    ----------
    state : State

    Returns
    -------
    CoilState
        Arrays of the state's shape, in SI.
    """
    return CoilState(
        evaporating_temperature_k=state.evaporating_temperature_k,
        evaporating_pressure_pa=state.evaporating_pressure_pa,
        liquid_enthalpy_j_kg=state.liquid_enthalpy_j_kg,
        vapour_enthalpy_j_kg=state.vapour_enthalpy_j_kg,
        difference_k=state.coil_difference_k,
    )


def _balance(refrigerant: Refrigerant, system: SystemInputs, corner: Corner, rated: State) -> Floats:
    """T_e [K] at which evaporator and compressor agree at constant box temperature and conductance; NaN if none.

    Constant conductance: Q / (T_box - T_e) is the rated one.
    """
    # Imported here: most applications have a constant SST, and scipy takes half a second to load.
    from scipy.optimize.elementwise import find_root

    rated_te = rated.evaporating_temperature_k
    difference = system.box_difference_k
    if difference is None:
        raise ValueError(wording.BALANCE_NEEDS_DIFFERENCE())

    def surplus(te: Floats, index: Floats) -> Floats:
        place = index.astype(np.int64)
        here = rated.at(place)
        own = refrigerant.at(place)
        state = _state(own, system, corner.at(place), Evaporator.at(own, system, te), here, with_needed=False)
        evaporator = (difference + here.evaporating_temperature_k - te) / difference
        value = corner.step * state.capacity_ratio - evaporator
        # Off the compressor's map the sign stays, so that a root on the map stays bracketed.
        return np.where(np.isnan(value), np.sign(te - here.evaporating_temperature_k), value)

    found = np.full_like(rated_te, np.nan)
    solvable = np.flatnonzero(np.isfinite(rated.relative_flow) & np.isfinite(rated_te))
    if solvable.size:
        start = rated_te[solvable]
        bracket = start - _BALANCE_REACH_K, start + difference
        root = find_root(surplus, bracket, args=(solvable.astype(np.float64),), tolerances={"xrtol": 1e-15})
        # At the edge of a map the bracket closes on a jump, which is no root.
        is_root = root.success & (np.abs(root.f_x) < _BALANCE_TOLERANCE)
        found[solvable] = np.where(is_root, root.x, np.nan)
    return found


def _reasons(state: State, rated: State, system: SystemInputs) -> Names:
    """Why a state cannot be used, the most basic reason first; None where it can."""
    reason = np.full(state.flow_ratio.shape, None, dtype=object)
    properties = (
        state.head_bubble_temperature_k,
        state.head_dew_temperature_k,
        rated.evaporating_pressure_pa,
        rated.liquid_density_kg_m3,
        rated.vapour_enthalpy_j_kg,
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
