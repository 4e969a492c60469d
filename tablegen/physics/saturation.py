"""The pressure-temperature table of one refrigerant."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant


class SaturationTable(NamedTuple):
    """Saturation along a range of temperatures; arrays of one shape, NaN where the refrigerant has no state.

    Attributes
    ----------
    temperature_k : array [K]
    bubble_pressure_pa, dew_pressure_pa : array [Pa], absolute
        Pressure of saturated liquid and of saturated vapor at the temperature.
    glide_k : array [K]
        Dew temperature at the bubble pressure, less the temperature.
    liquid_density_kg_m3, vapour_density_kg_m3 : array [kg/m3]
        Of saturated liquid and of saturated vapor at the temperature.
    latent_heat_j_kg : array [J/kg]
        From saturated liquid to saturated vapor at the bubble pressure.
    """

    temperature_k: Floats
    bubble_pressure_pa: Floats
    dew_pressure_pa: Floats
    glide_k: Floats
    liquid_density_kg_m3: Floats
    vapour_density_kg_m3: Floats
    latent_heat_j_kg: Floats


def saturation_table(refrigerant: Refrigerant, temperature_k: Floats) -> SaturationTable:
    """The table at temperatures [K]."""
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
