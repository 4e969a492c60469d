"""Operating superheat: the inverse of the force balance at a load."""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState
from tablegen.physics.windows import ThermostaticActuator, Valve


def operating_superheat(valve: Valve, item: SolvedState, demand: Floats, load_w: Floats) -> Floats:
    """Superheat [K] at which a valve of Kv 1 m3/h carries a rated capacity [W] at a state.

    `demand` is D [m3/h per W] of the state.  NaN where the state forbids it, the load is beyond the stop,
    or the valve is not thermostatic.
    """
    actuator = valve.actuator
    if not isinstance(actuator, ThermostaticActuator):
        return np.full(demand.shape, np.nan)
    opening = valve.characteristic.opening(load_w * demand)
    state = item.state
    return actuator.balance.superheat(
        opening, state.evaporating_temperature_k, actuator.under(state), state.pressure_drop_pa
    )
