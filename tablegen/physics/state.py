"""What is known of a system at one operating condition along the suction grid, and whether a valve can be sized for it."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

from numpy.typing import NDArray

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.system import OperatingCondition, Side, SuctionResponse


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
    vapor_enthalpy_j_kg: Floats
    mixture_volume_m3_kg: Floats
    relative_flow: Floats
    flow_ratio: Floats
    flow_share: Floats
    capacity_ratio: Floats
    # Of the coil, NaN where too little of it is stated: box minus evaporating temperature; B and a of `coil.wetted_share`.
    coil_difference_k: Floats
    dry_transfer_units: Floats
    vapor_heat_ratio: Floats
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
        """Refrigerating effect h_v - h_l [J/kg]."""
        return eq.refrigerating_effect(h_v=self.vapor_enthalpy_j_kg, h_l=self.liquid_enthalpy_j_kg)


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
