"""Required Kv: the flow coefficient that a system needs from its valve, per watt of rated capacity."""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState, State
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant


def effective_drop(state: State, refrigerant: Refrigerant, law: FlowLaw, pressure_recovery: float) -> Floats:
    """Pressure drop that drives the flow at each state [Pa]."""
    return effective_pressure_drop(
        law,
        state.pressure_drop_pa,
        state.inlet_pressure_pa,
        state.liquid_bubble_pressure_pa,
        refrigerant.critical_pressure_pa,
        pressure_recovery,
    )


def required_kv_per_kw(
    solved: SolvedState, rated: State, refrigerant: Refrigerant, law: FlowLaw, pressure_recovery: float
) -> Floats:
    """D [m3/h per W]: Kv required per watt of rated capacity; NaN where the state has a reason.

    It depends on no size: with m_rated = Q / (h_g - h_l,rated) and m = f m_rated, Kv is linear in Q.
    """
    state = solved.state
    flow = state.flow_share / rated.rating_effect_j_kg
    drop = effective_drop(state, refrigerant, law, pressure_recovery)
    required_kv = required_flow_coefficient(flow, state.liquid_density_kg_m3, drop)
    return np.where(solved.reason == None, required_kv, np.nan)  # noqa: E711 - elementwise over an object array
