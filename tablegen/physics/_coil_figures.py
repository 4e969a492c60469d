"""What of a state belongs to the coil: its temperature difference, its dry end, and what it does to the loop with the valve."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics._evaporator import Evaporator
from tablegen.physics.arrays import Floats
from tablegen.physics.deviation import InstallationDeviation
from tablegen.physics.loop import CoilState, coil_loop
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.physics.system import SystemInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilFigures:
    """Fields of `State` that belong to the coil; NaN where too little of it is stated."""

    difference_k: Floats
    dry_transfer_units: Floats
    vapor_heat_ratio: Floats
    dead_time_s: Floats
    front_lag_s: Floats
    wall_lag_s: Floats
    wall_lead_s: Floats

    @classmethod
    def unknown(cls, shape: tuple[int, ...]) -> CoilFigures:
        """Of a coil of which nothing is stated."""
        none = np.full(shape, np.nan)
        return cls(
            difference_k=none,
            dry_transfer_units=none,
            vapor_heat_ratio=none,
            dead_time_s=none,
            front_lag_s=none,
            wall_lag_s=none,
            wall_lead_s=none,
        )


def coil_figures(
    refrigerant: Refrigerant,
    system: SystemInputs,
    evaporator: Evaporator,
    liquid_j_kg: Floats,
    rated: State | None,
    off: InstallationDeviation,
) -> CoilFigures:
    """Temperature difference of the coil, transfer units of its dry end, heat ratio of its vapor, delays of its dry-out."""
    te = evaporator.temperature_k
    found = CoilFigures.unknown(te.shape)
    if system.box_difference_k is None:
        return found
    rated_te = te if rated is None else rated.evaporating_temperature_k
    # The box stays where it is.
    difference = eq.coil_difference(DT=system.box_difference_k, T_er=rated_te, T_e=te)
    found = replace(found, difference_k=difference)
    if system.coil is None:
        return found
    ratio = system.coil.conductance_ratio * (1.0 + off.conductance_ratio)
    at_box = refrigerant.vapor(te + difference, evaporator.dew.pressure_pa).enthalpy_j_kg
    heat = eq.vapor_heat_ratio(h_a=at_box, h_s=evaporator.dew.enthalpy_j_kg, h_l=liquid_j_kg)
    units = eq.dry_transfer_units(r_c=ratio, a=heat)
    found = replace(found, dry_transfer_units=units, vapor_heat_ratio=heat)
    if system.circuit is None:
        return found
    here = CoilState(
        evaporating_temperature_k=te,
        evaporating_pressure_pa=evaporator.dew.pressure_pa,
        liquid_enthalpy_j_kg=liquid_j_kg,
        vapor_enthalpy_j_kg=evaporator.vapor_enthalpy_j_kg,
        difference_k=difference,
    )
    at_rating = here if rated is None else coil_state_of(rated)
    loop = coil_loop(refrigerant, system.circuit, ratio, system.superheat.useful_k, at_rating, here)
    slower = 1.0 + off.dryout_delay
    return replace(
        found,
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
        vapor_enthalpy_j_kg=state.vapor_enthalpy_j_kg,
        difference_k=state.coil_difference_k,
    )
