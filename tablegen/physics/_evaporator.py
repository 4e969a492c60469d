"""What follows from the evaporating temperature alone, whatever the head: computed once for all conditions of a system."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import CompressorPoint
from tablegen.physics.refrigerants import Refrigerant, Saturated
from tablegen.physics.system import SystemInputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Evaporator:
    """Arrays along the states: temperature [K], both saturated states at its dew pressure, and what the compressor draws.

    `vapor_enthalpy_j_kg` is at the useful superheat; the suction is at the compressor inlet: dew temperature [K],
    pressure [Pa] and density [kg/m3].
    """

    temperature_k: Floats
    dew: Saturated
    bubble: Saturated
    vapor_enthalpy_j_kg: Floats
    suction_k: Floats
    suction_pa: Floats
    suction_density_kg_m3: Floats

    @classmethod
    def at(cls, refrigerant: Refrigerant, system: SystemInputs, temperature_k: Floats) -> Evaporator:
        """At evaporating temperatures [K]."""
        dew = refrigerant.dew(temperature_k)
        suction_k = temperature_k - system.suction_loss_k
        suction_pa = refrigerant.dew(suction_k).pressure_pa
        return cls(
            temperature_k=temperature_k,
            dew=dew,
            bubble=refrigerant.bubble(refrigerant.bubble_temperature(dew.pressure_pa)),
            vapor_enthalpy_j_kg=refrigerant.vapor(
                temperature_k + system.superheat.useful_k, dew.pressure_pa
            ).enthalpy_j_kg,
            suction_k=suction_k,
            suction_pa=suction_pa,
            suction_density_kg_m3=refrigerant.vapor(suction_k + system.return_superheat_k, suction_pa).density_kg_m3,
        )

    def compressor_flow(self, refrigerant: Refrigerant, system: SystemInputs, head_pa: Floats) -> Floats:
        """The compressor's mass flow at head pressures [Pa], to a constant factor."""
        discharge_pa = head_pa + system.discharge_loss_pa
        discharge_k = refrigerant.dew_temperature(discharge_pa)
        point = CompressorPoint(
            suction_dew_k=self.suction_k,
            discharge_dew_k=discharge_k,
            suction_pressure_pa=self.suction_pa,
            discharge_pressure_pa=discharge_pa,
            suction_density_kg_m3=self.suction_density_kg_m3,
        )
        return system.compressor.relative_flow(point)
