"""Nominal capacity of a valve at a rating of its own, and the flow coefficient that it corresponds to.

References
----------
AHRI 750, "Performance Rating of Thermostatic Refrigerant Expansion Valves": capacity with vapor-free liquid
at a stated liquid temperature, evaporating temperature and pressure drop (not checked against the source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import (
    FlowLaw,
    effective_pressure_drop,
    mass_flow,
    required_flow_coefficient,
)
from tablegen.physics.refrigerants import Refrigerant


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveRating:
    """The condition of a nominal capacity.

    The liquid lies `subcooling_k` below the bubble temperature of the inlet pressure; the drop is that of the
    port alone; capacity counts to `superheat_k` above the evaporating (dew) temperature.
    """

    refrigerant: Refrigerant
    liquid_temperature_k: float
    subcooling_k: float
    evaporating_temperature_k: float
    superheat_k: float
    pressure_drop_pa: float

    def capacity(
        self, kv_m3h: Floats, law: FlowLaw, pressure_recovery: float, discharge: DischargeCoefficient | None = None
    ) -> Floats:
        """Nominal capacity [W] of flow coefficients [m3/h] under a flow law.

        NaN where a state does not exist or is outside the range of the law.
        """
        density, effect, drop = self._state(law, pressure_recovery, discharge)
        return np.asarray(mass_flow(kv_m3h, density, drop) * effect)

    def flow_coefficient(
        self, capacity_w: Floats, law: FlowLaw, pressure_recovery: float, discharge: DischargeCoefficient | None = None
    ) -> Floats:
        """Kv [m3/h] that gives nominal capacities [W] under a flow law: the inverse of `capacity`."""
        density, effect, drop = self._state(law, pressure_recovery, discharge)
        return required_flow_coefficient(capacity_w / effect, density, drop)

    def _state(
        self, law: FlowLaw, pressure_recovery: float, discharge: DischargeCoefficient | None
    ) -> tuple[Floats, Floats, Floats]:
        """Liquid density [kg/m3], refrigerating effect [J/kg] and the drop that drives the flow [Pa]."""
        liquid_k = np.asarray(self.liquid_temperature_k)
        evaporating_k = np.asarray(self.evaporating_temperature_k)
        inlet_pa = self.refrigerant.bubble(liquid_k + self.subcooling_k).pressure_pa
        liquid = self.refrigerant.liquid(liquid_k, inlet_pa)
        dew_pa = self.refrigerant.dew(evaporating_k).pressure_pa
        vapor = self.refrigerant.vapor(evaporating_k + self.superheat_k, dew_pa)
        drop = effective_pressure_drop(
            law,
            np.asarray(self.pressure_drop_pa),
            inlet_pa,
            self.refrigerant.bubble(liquid_k).pressure_pa,
            self.refrigerant.critical_pressure_pa,
            pressure_recovery,
            discharge,
        )
        return liquid.density_kg_m3, vapor.enthalpy_j_kg - liquid.enthalpy_j_kg, drop
