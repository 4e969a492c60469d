"""A refrigerant whose true properties lie off the computed ones by some shares."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Phase, Refrigerant, Saturated


@dataclass(frozen=True, slots=True)
class PropertyDeviation:
    """True over computed value, less one [1]: of saturation pressures, liquid densities, enthalpy differences."""

    pressure: float = 0.0
    density: float = 0.0
    enthalpy: float = 0.0


class DeviatingRefrigerant(Refrigerant):
    """A refrigerant with all saturation pressures, liquid densities and enthalpies off by one share each.

    Assumption: a deviation is the same share at every temperature, and vapour of the same temperature and of the same
    share of its saturation pressure is as dense for its pressure.  Enthalpies are scaled as a whole, for only their
    differences count.
    """

    def __init__(self, true: Refrigerant, deviation: PropertyDeviation) -> None:
        super().__init__(true.definition, true.table)
        self._base = true
        self.deviation = deviation
        self._p, self._rho, self._h = 1.0 + deviation.pressure, 1.0 + deviation.density, 1.0 + deviation.enthalpy
        self.critical_pressure_pa = true.critical_pressure_pa * self._p

    def bubble(self, temperature_k: Floats) -> Saturated:
        """Saturated liquid at temperature [K]."""
        t, p, rho, h = self._base.bubble(temperature_k)
        return Saturated(t, p * self._p, rho * self._rho, h * self._h)

    def dew(self, temperature_k: Floats) -> Saturated:
        """Saturated vapour at temperature [K]."""
        t, p, rho, h = self._base.dew(temperature_k)
        return Saturated(t, p * self._p, rho * self._p, h * self._h)

    def bubble_temperature(self, pressure_pa: Floats) -> Floats:
        """Bubble temperature [K] at absolute pressure [Pa]."""
        return self._base.bubble_temperature(np.asarray(pressure_pa) / self._p)

    def dew_temperature(self, pressure_pa: Floats) -> Floats:
        """Dew temperature [K] at absolute pressure [Pa]."""
        return self._base.dew_temperature(np.asarray(pressure_pa) / self._p)

    def liquid(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Compressed liquid at temperature [K] and pressure [Pa]."""
        rho, h = self._base.liquid(temperature_k, np.asarray(pressure_pa) / self._p)
        return Phase(rho * self._rho, h * self._h)

    def vapour(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Superheated vapour at temperature [K] and pressure [Pa]."""
        rho, h = self._base.vapour(temperature_k, np.asarray(pressure_pa) / self._p)
        return Phase(rho * self._p, h * self._h)
