"""The state of a system at an evaporator, with inlet, outlet and coil; the evaporator that balances a compressor."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics._coil_figures import coil_figures
from tablegen.physics._corner import Corner, Inlet, reach_inlet
from tablegen.physics._evaporator import Evaporator
from tablegen.physics.arrays import Floats
from tablegen.physics.deviation import AS_STATED
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.physics.system import DistributorScaling, SystemInputs
from tablegen.wording import input_errors as wording

# How far below the rating's evaporating temperature a balance is looked for; above, the box is the bound.
_BALANCE_REACH_K = 32.0
# Largest surplus of compressor over evaporator, as a share of rated capacity, that counts as balance.
_BALANCE_TOLERANCE = 1e-9
# The liquid's enthalpy hardly depends on the flow that it sets: a few rounds settle both.
_CAPACITY_ROUNDS = 40


def state_at(
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
        return reach_inlet(refrigerant, system, head_pa, corner, flow, evaporator.vapor_enthalpy_j_kg, of_rated, needed)

    if flow_ratio is not None:
        ratio = flow_ratio
    inlet = reach(ratio)
    if rated is not None and system.keeps_capacity and flow_ratio is None:
        ratio, inlet = _kept_capacity(rated, evaporator, inlet, reach)
    share = np.asarray(eq.flow_share(k=corner.step, M=ratio, d=corner.open_share))
    p1, tl, enthalpy = inlet.pressure_pa, inlet.liquid_k, inlet.enthalpy_j_kg
    # Liquid colder than the outlet's bubble point does not flash: no vapor, not a negative quality.
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
    effect = eq.refrigerating_effect(h_v=evaporator.vapor_enthalpy_j_kg, h_l=enthalpy)
    capacity = np.ones_like(te)
    if rated is not None and not system.keeps_capacity:
        capacity = ratio * effect / rated.rating_effect_j_kg
    coil = coil_figures(refrigerant, system, evaporator, enthalpy, rated, corner.off)
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
        vapor_enthalpy_j_kg=evaporator.vapor_enthalpy_j_kg,
        mixture_volume_m3_kg=volume,
        relative_flow=relative,
        flow_ratio=ratio,
        flow_share=share,
        capacity_ratio=capacity,
        coil_difference_k=coil.difference_k,
        dry_transfer_units=coil.dry_transfer_units,
        vapor_heat_ratio=coil.vapor_heat_ratio,
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
                dh_r=rated.rating_effect_j_kg, h_v=evaporator.vapor_enthalpy_j_kg, h_l=inlet.enthalpy_j_kg
            )
        )
        is_open = np.any(np.abs(following - ratio) > 1e-14)
        ratio = following
        if not is_open:
            break
        inlet = reach(ratio)
    return ratio, inlet


def balance(refrigerant: Refrigerant, system: SystemInputs, corner: Corner, rated: State) -> Floats:
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
        state = state_at(own, system, corner.at(place), Evaporator.at(own, system, te), here, with_needed=False)
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
