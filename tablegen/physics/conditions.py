"""Solve an application into states: one per suction temperature, condition and side of the window.

The rating point comes first; every other state is stated on it.  With f the refrigerant flow over rated
flow (compressor flow ratio M times the capacity step where the minimum load is at stake):

    p_1 = p_h - dp_line f^2 (rho_rated / rho) - rho g lift          T_l = T_bub(p_1) - subcooling
    p_2 = p_e + dp_evap f^2 + dp_dist f^2 v_mix / v_mix,rated
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.compressor import CompressorPoint
from tablegen.physics.deviation import AS_STATED, InstallationDeviation
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import (
    GRAVITY_M_S2,
    DistributorScaling,
    Head,
    HeadCondition,
    LiquidSupply,
    OperatingCondition,
    SuctionResponse,
    SystemInputs,
)
from tablegen.wording import input_errors as wording

_LINE_ITERATIONS = 60
# How far below the rating's evaporating temperature a balance is looked for; above, the box is the bound.
_BALANCE_REACH_K = 32.0
# Largest surplus of compressor over evaporator, as a share of rated capacity, that counts as balance.
_BALANCE_TOLERANCE = 1e-9


class Side(StrEnum):
    """Which limit a state is for; both where they need no state of their own.

    With a capacity step and a range of subcooling the minimum load has two states: at the step, and at full
    flow, which may bind it where the minimum stable superheat grows with load.
    """

    BOTH = "both"
    MAX = "max"
    MIN = "min"
    MIN_FULL_FLOW = "min_full_flow"

    @property
    def serves_max(self) -> bool:
        """Whether the maximum load is judged there."""
        return self in (Side.BOTH, Side.MAX)


@dataclass(frozen=True, slots=True)
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
    liquid_bubble_pressure_pa: Floats
    inlet_pressure_pa: Floats
    outlet_pressure_pa: Floats
    pressure_drop_pa: Floats
    liquid_density_kg_m3: Floats
    liquid_enthalpy_j_kg: Floats
    vapour_enthalpy_j_kg: Floats
    mixture_volume_m3_kg: Floats
    relative_flow: Floats
    flow_ratio: Floats
    flow_share: Floats
    capacity_ratio: Floats

    def at(self, index: NDArray[Any]) -> State:
        """The states at some grid positions."""
        return State(**{f.name: getattr(self, f.name)[index] for f in fields(self)})

    @property
    def rating_effect_j_kg(self) -> Floats:
        """Refrigerating effect h_g - h_l [J/kg]."""
        return eq.refrigerating_effect(h_g=self.vapour_enthalpy_j_kg, h_l=self.liquid_enthalpy_j_kg)


@dataclass(frozen=True, slots=True)
class SolvedState:
    """A state with the condition that it belongs to, and the reason why it cannot be used (None where it can)."""

    condition: OperatingCondition
    side: Side
    response: SuctionResponse
    state: State
    reason: Names

    def at(self, index: NDArray[Any]) -> SolvedState:
        """The same at some grid positions, one of them several times if it is wanted so."""
        return replace(self, state=self.state.at(index), reason=self.reason[index])


@dataclass(frozen=True, slots=True)
class _Corner:
    """A condition with one subcooling and one share of the compressor's flow.

    Head pressure [Pa], subcooling [K] and the pressures at a stated condensing temperature [Pa, NaN without one] are
    numbers, or arrays along the states.  `off` is what the installation adds; heads and subcooling include it already.
    """

    side: Side
    head_pa: float | Floats
    at_bubble_pa: float | Floats
    at_dew_pa: float | Floats
    liquid_k: float | None
    subcooling_k: float | Floats
    step: float
    off: InstallationDeviation = AS_STATED

    @classmethod
    def of(
        cls,
        refrigerant: Refrigerant,
        head: Head,
        side: Side,
        liquid: LiquidSupply,
        step: float,
        off: InstallationDeviation,
    ) -> _Corner:
        """A corner whose liquid has no range."""
        # An array of no dimension is a number: it has no states to choose from.
        at_head, at_bubble, at_dew = (
            p if p.ndim else float(p) for p in (head.pressures(refrigerant), *head.saturation_pressures(refrigerant))
        )
        return cls(side, at_head, at_bubble, at_dew, liquid.temperature_k, liquid.min_subcooling_k, step, off)

    def at(self, index: NDArray[Any]) -> _Corner:
        """The same at some of the states."""
        head, bubble, dew, subcooling = (
            v[index] if isinstance(v, np.ndarray) else v
            for v in (self.head_pa, self.at_bubble_pa, self.at_dew_pa, self.subcooling_k)
        )
        return replace(
            self, head_pa=head, at_bubble_pa=bubble, at_dew_pa=dew, subcooling_k=subcooling, off=self.off.at(index)
        )


def evaporating_temperature(system: SystemInputs, sst_k: Floats) -> Floats:
    """T_e at the rating [K]: the SST, or the SST plus the suction loss where it is stated at the compressor."""
    return sst_k + (system.suction_loss_k if system.sst_at_compressor else 0.0)


def solve_rating(
    refrigerant: Refrigerant, system: SystemInputs, sst_k: Floats, off: InstallationDeviation = AS_STATED
) -> State:
    """The rating point along the suction grid: flow ratio and capacity ratio are 1."""
    te = evaporating_temperature(system, sst_k)
    corner = _Corner.of(refrigerant, system.rating.head, Side.BOTH, system.rating.liquid, 1.0, off)
    return _state(refrigerant, system, corner, te, None)


def solve_conditions(
    refrigerant: Refrigerant, system: SystemInputs, sst_k: Floats, off: InstallationDeviation = AS_STATED
) -> tuple[State, list[SolvedState]]:
    """The rating state, and every state of E for each suction response that the application asks for.

    `off` is what an installation adds to the application's inputs, numbers or arrays beside `sst_k`; so may the
    refrigerant deviate along it.
    """
    rated = solve_rating(refrigerant, system, sst_k, off)
    solved = []
    for response in system.responses:
        for condition in system.conditions:
            solved += solve_condition(refrigerant, system, condition, rated, response, off)
    return rated, solved


def solve_condition(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: HeadCondition,
    rated: State,
    response: SuctionResponse,
    off: InstallationDeviation = AS_STATED,
) -> list[SolvedState]:
    """One condition: a state for both sides of the window, or one for each where they differ."""
    corners = _corners(refrigerant, condition, system.capacity_step, off)
    return [_solve(refrigerant, system, condition.condition, corner, rated, response) for corner in corners]


def solve_settings(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: HeadCondition,
    heads_pa: Floats,
    rated: State,
    response: SuctionResponse,
) -> list[SolvedState]:
    """As `solve_condition`, with another head [Pa] for each state and the liquid as the condition has it."""
    unknown = replace(condition, head=Head(pressure_pa=np.nan))
    corners = _corners(refrigerant, unknown, system.capacity_step, AS_STATED)
    own = (replace(corner, head_pa=heads_pa) for corner in corners)
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
) -> SolvedState:
    """One side of the window at several heads [Pa], with the inlet subcooling [K] of each.

    `rated` has a state beside each head; `step` is the share of the compressor's flow.  What is found is called by the
    rating point, for no other condition is meant.
    """
    corner = _Corner(side, heads_pa, np.nan, np.nan, None, subcooling_k, step)
    return _solve(refrigerant, system, OperatingCondition.RATING, corner, rated, response)


def _solve(
    refrigerant: Refrigerant,
    system: SystemInputs,
    condition: OperatingCondition,
    corner: _Corner,
    rated: State,
    response: SuctionResponse,
) -> SolvedState:
    te = rated.evaporating_temperature_k
    if response is SuctionResponse.BALANCED:
        te = _balance(refrigerant, system, corner, rated)
    state = _state(refrigerant, system, corner, te, rated)
    return SolvedState(condition, corner.side, response, state, _reasons(state, rated))


def _corners(
    refrigerant: Refrigerant, condition: HeadCondition, step: float, off: InstallationDeviation
) -> list[_Corner]:
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
    corners = [_Corner.of(refrigerant, head, side, supply, flow, off) for side, supply, flow in wanted]
    if off is AS_STATED or condition.condition is OperatingCondition.RATING:
        return corners
    shift = off.low_head_pa if condition.condition is OperatingCondition.LOW_HEAD else off.high_head_pa
    return [replace(c, head_pa=c.head_pa + shift, subcooling_k=c.subcooling_k + off.subcooling_k) for c in corners]


def _state(refrigerant: Refrigerant, system: SystemInputs, corner: _Corner, te: Floats, rated: State | None) -> State:
    """States at evaporating temperatures `te`; `rated` is None for the rating point itself."""
    losses = system.losses
    dew = refrigerant.dew(te)
    head_pa = np.full_like(te, corner.head_pa)
    suction, relative = _compressor_flow(refrigerant, system, te, head_pa)
    ratio = np.ones_like(te)
    if rated is not None:
        ratio = eq.flow_ratio(m_c=relative, m_cr=rated.relative_flow) ** (1.0 + corner.off.flow_change)
    share = corner.step * ratio
    rated_density = None if rated is None else rated.liquid_density_kg_m3
    p1, tl, density, enthalpy, bubble_pa = _inlet(refrigerant, system, head_pa, corner, share, rated_density)
    bubble = refrigerant.bubble(refrigerant.bubble_temperature(dew.pressure_pa))
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
    vapour = refrigerant.vapour(te + system.superheat.useful_k, dew.pressure_pa).enthalpy_j_kg
    effect = eq.refrigerating_effect(h_g=vapour, h_l=enthalpy)
    capacity = np.ones_like(te) if rated is None else ratio * effect / rated.rating_effect_j_kg
    return State(
        evaporating_temperature_k=te,
        evaporating_pressure_pa=dew.pressure_pa,
        suction_pressure_pa=suction,
        head_pressure_pa=head_pa,
        head_bubble_temperature_k=refrigerant.bubble_temperature(head_pa),
        head_dew_temperature_k=refrigerant.dew_temperature(head_pa),
        condensing_bubble_pressure_pa=np.full_like(te, corner.at_bubble_pa),
        condensing_dew_pressure_pa=np.full_like(te, corner.at_dew_pa),
        liquid_temperature_k=tl,
        inlet_subcooling_k=refrigerant.bubble_temperature(p1) - tl,
        liquid_bubble_pressure_pa=bubble_pa,
        inlet_pressure_pa=p1,
        outlet_pressure_pa=p2,
        pressure_drop_pa=eq.pressure_drop(p_1=p1, p_2=p2),
        liquid_density_kg_m3=density,
        liquid_enthalpy_j_kg=enthalpy,
        vapour_enthalpy_j_kg=vapour,
        mixture_volume_m3_kg=volume,
        relative_flow=relative,
        flow_ratio=ratio,
        flow_share=share,
        capacity_ratio=capacity,
    )


def _compressor_flow(
    refrigerant: Refrigerant, system: SystemInputs, te: Floats, head_pa: Floats
) -> tuple[Floats, Floats]:
    """Pressure at the compressor inlet [Pa] and its mass flow to a constant factor."""
    suction_k = te - system.suction_loss_k
    suction_pa = refrigerant.dew(suction_k).pressure_pa
    discharge_pa = head_pa + system.discharge_loss_pa
    point = CompressorPoint(
        suction_k,
        refrigerant.dew_temperature(discharge_pa),
        suction_pa,
        discharge_pa,
        refrigerant.vapour(suction_k + system.return_superheat_k, suction_pa).density_kg_m3,
    )
    return suction_pa, system.compressor.relative_flow(point)


def _inlet(
    refrigerant: Refrigerant,
    system: SystemInputs,
    head_pa: Floats,
    corner: _Corner,
    share: Floats,
    rated_density: Floats | None,
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Inlet pressure, liquid temperature, density, enthalpy and bubble pressure there.

    The line's loss depends on the density at its end, so they are iterated; each round shrinks
    the error by about the loss over the head, so a dozen rounds reach the last digit.
    """
    line_pa = system.losses.liquid_line_pa + corner.off.liquid_line_pa
    p1 = head_pa - eq.line_loss(dp_line=line_pa, f=share)
    for _ in range(_LINE_ITERATIONS):
        if corner.liquid_k is None:
            tl = refrigerant.bubble_temperature(p1) - corner.subcooling_k
        else:
            tl = np.full_like(p1, corner.liquid_k)
        bubble_pa = refrigerant.bubble(tl).pressure_pa
        # Flashing liquid is reported by its pressures; its density is then that of saturated liquid.
        density, enthalpy = refrigerant.liquid(tl, np.fmax(p1, bubble_pa))
        rated_here = density if rated_density is None else rated_density
        friction_only = eq.inlet_pressure(p_h=head_pa, dp_line=line_pa, f=share, rho_r=rated_here, rho=density)
        following = friction_only - eq.lift_pressure(rho=density, g=GRAVITY_M_S2, H=system.losses.lift_m)
        converged = not np.any(np.abs(following - p1) > 1e-13 * head_pa)
        p1 = following
        if converged:
            break
    return p1, tl, density, enthalpy, bubble_pa


def _balance(refrigerant: Refrigerant, system: SystemInputs, corner: _Corner, rated: State) -> Floats:
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
        state = _state(refrigerant.at(place), system, corner.at(place), te, here)
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


def _reasons(state: State, rated: State) -> Names:
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
    own = (state.evaporating_pressure_pa, state.liquid_density_kg_m3, state.mixture_volume_m3_kg)
    for test, why in (
        (state.pressure_drop_pa <= 0.0, Reason.NO_PRESSURE_DROP),
        (state.inlet_pressure_pa <= state.liquid_bubble_pressure_pa, Reason.FLASHING),
        (~np.isfinite(np.stack(own)).all(axis=0), Reason.PROPERTY_RANGE),
        (~np.isfinite(state.evaporating_temperature_k), Reason.NO_BALANCE),
        (~np.isfinite(state.flow_ratio) & np.isfinite(state.evaporating_temperature_k), Reason.COMPRESSOR_MAP),
        (~np.isfinite(np.stack(properties)).all(axis=0), Reason.PROPERTY_RANGE),
    ):
        reason[test] = why
    return reason
