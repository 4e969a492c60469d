"""Refrigerants and installations that differ from what was stated; a difference may vary along the states."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Phase, Refrigerant, Saturated

D = TypeVar("D", bound="_Deviation")


class _Deviation:
    """Fields that are numbers, or arrays along the states."""

    __slots__ = ()

    def at(self: D, index: NDArray[Any]) -> D:
        """The same at some of the states."""
        own = {f.name: getattr(self, f.name) for f in fields(self)}  # type: ignore[arg-type]
        return type(self)(**{n: value[index] if isinstance(value, np.ndarray) else value for n, value in own.items()})


@dataclass(frozen=True, slots=True)
class PropertyDeviation(_Deviation):
    """True over computed value, less one [1]: of saturation pressures, liquid densities, enthalpy differences."""

    pressure: float | Floats = 0.0
    density: float | Floats = 0.0
    enthalpy: float | Floats = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallationDeviation(_Deviation):
    """What is added to the inputs of an application in one installation.

    Low and high head [Pa], inlet subcooling at both [K], losses at rated flow in liquid line and distributor [Pa].
    `flow_change` [1] is the share by which the compressor's flow changes more from the rating point to a head than its
    description says: the flow ratio M becomes M^(1 + flow_change).  `conductance_ratio` and `dryout_delay` [1] are shares by
    which these of the coil are larger.
    """

    low_head_pa: float | Floats = 0.0
    high_head_pa: float | Floats = 0.0
    subcooling_k: float | Floats = 0.0
    liquid_line_pa: float | Floats = 0.0
    distributor_pa: float | Floats = 0.0
    flow_change: float | Floats = 0.0
    conductance_ratio: float | Floats = 0.0
    dryout_delay: float | Floats = 0.0


AS_STATED = InstallationDeviation()


class DeviatingRefrigerant(Refrigerant):
    """A refrigerant with all saturation pressures, liquid densities and enthalpies off by one share each.

    Assumption: a deviation is the same share at every temperature, and vapor of the same temperature and of the same
    share of its saturation pressure is as dense for its pressure.  Enthalpies are scaled as a whole, for only their
    differences count.
    """

    def __init__(self, true: Refrigerant, deviation: PropertyDeviation) -> None:
        super().__init__(true.definition, true.table)
        self._base = true
        self.deviation = deviation
        self._p, self._rho, self._h = 1.0 + deviation.pressure, 1.0 + deviation.density, 1.0 + deviation.enthalpy
        # An array where the deviation is one, as everything that the refrigerant returns then is.
        self.critical_pressure_pa = true.critical_pressure_pa * self._p  # type: ignore[assignment]

    def at(self, index: NDArray[Any]) -> DeviatingRefrigerant:
        """The refrigerant at some of the states that its deviation varies along."""
        return DeviatingRefrigerant(self._base, self.deviation.at(index))

    def bubble(self, temperature_k: Floats) -> Saturated:
        """Saturated liquid at temperature [K]."""
        t, p, rho, h = self._base.bubble(temperature_k)
        return Saturated(t, p * self._p, rho * self._rho, h * self._h)

    def bubble_pressure_slope(self, temperature_k: Floats) -> Floats:
        """Derivative of the bubble pressure [Pa/K] at temperature [K]."""
        return self._base.bubble_pressure_slope(temperature_k) * self._p

    def dew(self, temperature_k: Floats) -> Saturated:
        """Saturated vapor at temperature [K]."""
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

    def liquid_or_bubble(self, temperature_k: Floats, pressure_pa: Floats) -> tuple[Floats, Floats, Floats]:
        """Bubble pressure [Pa]; density [kg/m3] and enthalpy [J/kg] of the liquid, or of the bubble point below it."""
        bubble_pa, rho, h = self._base.liquid_or_bubble(temperature_k, np.asarray(pressure_pa) / self._p)
        return bubble_pa * self._p, rho * self._rho, h * self._h

    def vapor(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Superheated vapor at temperature [K] and pressure [Pa]."""
        rho, h = self._base.vapor(temperature_k, np.asarray(pressure_pa) / self._p)
        return Phase(rho * self._p, h * self._h)
