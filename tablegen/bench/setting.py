"""A fitted spring and gradient as a family states them: superheats at the bulb temperature of the setting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.bench.subject import ChargeOnBench
from tablegen.physics.arrays import Floats
from tablegen.physics.bulb import BulbCharge


@dataclass(frozen=True, slots=True)
class Setting:
    """One charge's setting, and how far its drop lies from where the fit counts the port's share [Pa]."""

    on_bench: ChargeOnBench
    drop_from_middle_pa: float

    def static_superheat(self, curve: BulbCharge, spring_pa: float, gradient_pa: float, unbalance: float) -> float:
        """Static superheat [K] on the setting refrigerant: p_dew(T_b0 - SS) = p_bulb(T_b0) - p_spring0."""
        at = self.on_bench.setting.bulb_temperature_k
        under = curve.pressure(np.asarray(at)) - (spring_pa + unbalance * self.drop_from_middle_pa)
        return at - float(self.on_bench.refrigerant.dew_temperature(_positive(under)))

    def opening_superheat(self, curve: BulbCharge, spring_pa: float, gradient_pa: float, unbalance: float) -> float:
        """Opening superheat [K]: p_bulb(T_b0 + OS) = p_bulb(T_b0) + p_grad."""
        at = self.on_bench.setting.bulb_temperature_k
        opened = curve.pressure(np.asarray(at)) + gradient_pa
        return float(curve.temperature(_positive(opened))) - at


def _positive(pressure_pa: Floats) -> Floats:
    """A pressure that can be one [Pa], else NaN."""
    return np.where(pressure_pa > 0.0, pressure_pa, np.nan)
