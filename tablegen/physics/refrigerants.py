"""Refrigerant states, from a property table."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.property_table import BUBBLE, DEW, PropertyTable

# ln p changes by about this much for each 1/K of reciprocal temperature, whatever the refrigerant.
_CLAUSIUS_CLAPEYRON_K = 2400.0
_MIDPOINT_ROUNDS = 24


class Saturated(NamedTuple):
    """Saturated states, arrays of one shape: temperature [K], pressure [Pa], density [kg/m3], enthalpy [J/kg]."""

    temperature_k: Floats
    pressure_pa: Floats
    density_kg_m3: Floats
    enthalpy_j_kg: Floats


class Phase(NamedTuple):
    """Single-phase states, arrays of one shape: density [kg/m3], enthalpy [J/kg]."""

    density_kg_m3: Floats
    enthalpy_j_kg: Floats


class Refrigerant:
    """States of one refrigerant; every method takes and returns float64 arrays of one shape.

    A state outside the range of the table is NaN, for the caller to give a reason.
    """

    def __init__(self, definition: RefrigerantDefinition, table: PropertyTable) -> None:
        self.definition = definition
        self.name = definition.name
        self.table = table
        self.critical_temperature_k = table.range.critical_temperature_k
        self.critical_pressure_pa = table.range.critical_pressure_pa
        self.coldest_k = table.range.coldest_k
        self.warmest_k = table.range.warmest_k

    def at(self, index: NDArray[Any]) -> Refrigerant:
        """The refrigerant at some of several states: itself, unless its properties vary along them."""
        return self

    def bubble(self, temperature_k: Floats) -> Saturated:
        """Saturated liquid (bubble point) at temperature [K]."""
        return self._saturated(BUBBLE, temperature_k)

    def bubble_pressure_slope(self, temperature_k: Floats) -> Floats:
        """Derivative of the bubble pressure [Pa/K] at temperature [K]."""
        return self.table.saturation_slope(BUBBLE, np.asarray(temperature_k, dtype=np.float64))

    def dew(self, temperature_k: Floats) -> Saturated:
        """Saturated vapor (dew point) at temperature [K]."""
        return self._saturated(DEW, temperature_k)

    def bubble_entropy(self, temperature_k: Floats) -> Floats:
        """Entropy of saturated liquid [J/(kg K)] at temperature [K], with a zero of its own."""
        return self.table.saturated_entropy(BUBBLE, np.asarray(temperature_k, dtype=np.float64))

    def dew_entropy(self, temperature_k: Floats) -> Floats:
        """Entropy of saturated vapor [J/(kg K)] at temperature [K], with the zero of `bubble_entropy`."""
        return self.table.saturated_entropy(DEW, np.asarray(temperature_k, dtype=np.float64))

    def bubble_temperature(self, pressure_pa: Floats) -> Floats:
        """Bubble temperature [K] at absolute pressure [Pa]."""
        return self.table.saturation_temperature(BUBBLE, np.asarray(pressure_pa, dtype=np.float64))

    def dew_temperature(self, pressure_pa: Floats) -> Floats:
        """Dew temperature [K] at absolute pressure [Pa]."""
        return self.table.saturation_temperature(DEW, np.asarray(pressure_pa, dtype=np.float64))

    def midpoint_pressure(self, temperature_k: Floats) -> Floats:
        """Absolute pressure [Pa] at which the mean of dew and bubble temperature is the given one [K].

        Each round leaves about a fifth of the error, since ln p is nearly a straight line over 1/T.
        """
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        pressure = np.sqrt(self.bubble(temperature_k).pressure_pa * self.dew(temperature_k).pressure_pa)
        for _ in range(_MIDPOINT_ROUNDS):
            mean = 0.5 * (self.bubble_temperature(pressure) + self.dew_temperature(pressure))
            pressure = pressure * np.exp(_CLAUSIUS_CLAPEYRON_K * (1.0 / mean - 1.0 / temperature_k))
        return pressure

    def liquid(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Compressed liquid at temperature [K] and pressure [Pa]; NaN below the bubble pressure."""
        temperature_k, pressure_pa = np.asarray(temperature_k, np.float64), np.asarray(pressure_pa, np.float64)
        return Phase(*self.table.compressed(temperature_k, pressure_pa))

    def liquid_or_bubble(self, temperature_k: Floats, pressure_pa: Floats) -> tuple[Floats, Floats, Floats]:
        """Bubble pressure [Pa] at temperature [K]; density [kg/m3] and enthalpy [J/kg] of the liquid at pressure [Pa].

        Where the pressure is below the bubble pressure, the liquid is that of the bubble point.
        """
        return self.table.compressed_or_bubble(temperature_k, pressure_pa)

    def vapor(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Superheated vapor at temperature [K] and pressure [Pa]; NaN below the dew temperature."""
        temperature_k, pressure_pa = np.asarray(temperature_k, np.float64), np.asarray(pressure_pa, np.float64)
        return Phase(*self.table.superheated(temperature_k, pressure_pa))

    def _saturated(self, side: int, temperature_k: Floats) -> Saturated:
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        return Saturated(temperature_k, *self.table.saturated(side, temperature_k))


class SaturationTable(NamedTuple):
    """Saturation along a range of temperatures; arrays of one shape, NaN where the refrigerant has no state.

    Attributes
    ----------
    temperature_k : array [K]
    bubble_pressure_pa, dew_pressure_pa : array [Pa], absolute
        Pressure of saturated liquid and of saturated vapor at the temperature.
    glide_k : array [K]
        Dew temperature at the bubble pressure, less the temperature.
    liquid_density_kg_m3, vapor_density_kg_m3 : array [kg/m3]
        Of saturated liquid and of saturated vapor at the temperature.
    latent_heat_j_kg : array [J/kg]
        From saturated liquid to saturated vapor at the bubble pressure.
    """

    temperature_k: Floats
    bubble_pressure_pa: Floats
    dew_pressure_pa: Floats
    glide_k: Floats
    liquid_density_kg_m3: Floats
    vapor_density_kg_m3: Floats
    latent_heat_j_kg: Floats


class HeatContent(NamedTuple):
    """Enthalpy [J/kg] and entropy [J/(kg K)] of saturated liquid and vapor; arrays of one shape, NaN without a state."""

    liquid_enthalpy_j_kg: Floats
    vapor_enthalpy_j_kg: Floats
    liquid_entropy_j_kg_k: Floats
    vapor_entropy_j_kg_k: Floats


# Saturated liquid at 0 degC has 200 kJ/kg and 1 kJ/(kg K); in US units it has 0 at -40 degF.
REFERENCE_K, _ENTHALPY, _ENTROPY = 273.15, 200_000.0, 1_000.0
US_REFERENCE_K = 233.15


class HeatZero(NamedTuple):
    """The enthalpy [J/kg] and the entropy [J/(kg K)] of a property table that are printed as zero."""

    enthalpy_j_kg: float
    entropy_j_kg_k: float


def heat_zero(refrigerant: Refrigerant, is_us: bool = False) -> HeatZero:
    """From where enthalpy and entropy are counted, in SI units or in US units.

    Parameters
    ----------
    refrigerant : Refrigerant
    is_us : bool
        From saturated liquid at -40 degF instead of the reference state of the International Institute of Refrigeration.

    Returns
    -------
    HeatZero
        Enthalpy [J/kg] and entropy [J/(kg K)].
    """
    at = np.array([US_REFERENCE_K if is_us else REFERENCE_K])
    enthalpy, entropy = float(refrigerant.bubble(at).enthalpy_j_kg[0]), float(refrigerant.bubble_entropy(at)[0])
    return HeatZero(enthalpy, entropy) if is_us else HeatZero(enthalpy - _ENTHALPY, entropy - _ENTROPY)


def heat_content(refrigerant: Refrigerant, temperature_k: Floats) -> HeatContent:
    """Enthalpy and entropy at saturation, counted from the reference state of the International Institute of Refrigeration.

    Parameters
    ----------
    refrigerant : Refrigerant
    temperature_k : array (temperatures,)
        [K].

    Returns
    -------
    HeatContent
        Arrays (temperatures,) with h = 200 kJ/kg and s = 1 kJ/(kg K) for saturated liquid (bubble point) at 0 degC; NaN
        where the refrigerant has no state.

    References
    ----------
    Common practice of tables in SI units; tables in US units count from saturated liquid at -40 degF.
    """
    zero = heat_zero(refrigerant)
    return HeatContent(
        refrigerant.bubble(temperature_k).enthalpy_j_kg - zero.enthalpy_j_kg,
        refrigerant.dew(temperature_k).enthalpy_j_kg - zero.enthalpy_j_kg,
        refrigerant.bubble_entropy(temperature_k) - zero.entropy_j_kg_k,
        refrigerant.dew_entropy(temperature_k) - zero.entropy_j_kg_k,
    )


def saturation_table(refrigerant: Refrigerant, temperature_k: Floats) -> SaturationTable:
    """Saturation along a range of temperatures.

    Parameters
    ----------
    refrigerant : Refrigerant
    temperature_k : array (temperatures,)
        [K].

    Returns
    -------
    SaturationTable
        Arrays (temperatures,) in SI; NaN where the refrigerant has no state.
    """
    bubble, dew = refrigerant.bubble(temperature_k), refrigerant.dew(temperature_k)
    dew_k = refrigerant.dew_temperature(bubble.pressure_pa)
    return SaturationTable(
        bubble.temperature_k,
        bubble.pressure_pa,
        dew.pressure_pa,
        # A single component has none; the way to the temperature and back leaves the last digit.
        np.where(np.abs(dew_k - bubble.temperature_k) < 1e-9, 0.0, dew_k - bubble.temperature_k),
        bubble.density_kg_m3,
        dew.density_kg_m3,
        refrigerant.dew(dew_k).enthalpy_j_kg - bubble.enthalpy_j_kg,
    )
