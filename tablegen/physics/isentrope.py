"""Isentropic compression of superheated vapor, from densities and enthalpies alone.

On a line of constant entropy dh = dp / rho, so that no entropy is needed. The line gives a pressure-enthalpy diagram its
shape; no limit follows from it.
"""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant

# Steps of the secant method, after which an enthalpy is met [J/kg]; the first of them [K].
_STEPS, _MET_J_KG, _FIRST_K = 8, 0.01, 2.0
# The search begins above the dew temperature, below which there is no vapor [K].
_OVER_DEW_K = 0.1


def isentropic_enthalpies(refrigerant: Refrigerant, temperature_k: float, pressures_pa: Floats) -> Floats:
    """Enthalpy along the isentrope that begins at a temperature and the first of ascending pressures.

    Parameters
    ----------
    refrigerant : Refrigerant
    temperature_k : float [K]
        At the first pressure.
    pressures_pa : array (pressures,) [Pa]
        Close enough for steps of the midpoint rule: neighbors differ by a few percent.

    Returns
    -------
    array (pressures,) [J/kg]
        NaN from where the vapor is outside the range of the property table.
    """
    pressure, temperature = np.asarray(pressures_pa[:1], dtype=np.float64), np.array([temperature_k])
    state = refrigerant.vapor(temperature, pressure)
    found = [state.enthalpy_j_kg]
    for following in pressures_pa[1:]:
        # Half of the step, and the whole with the density of its middle.
        middle, end = np.sqrt(pressure * following), np.array([following])
        half = found[-1] + (middle - pressure) / state.density_kg_m3
        temperature = _temperature(refrigerant, half, middle, temperature)
        enthalpy = found[-1] + (end - pressure) / refrigerant.vapor(temperature, middle).density_kg_m3
        temperature, pressure = _temperature(refrigerant, enthalpy, end, temperature), end
        state = refrigerant.vapor(temperature, pressure)
        found.append(np.where(np.isnan(state.density_kg_m3), np.nan, enthalpy))
    return np.concatenate(found)


def _temperature(refrigerant: Refrigerant, enthalpy_j_kg: Floats, pressure_pa: Floats, near_k: Floats) -> Floats:
    """Temperature [K] of vapor at an enthalpy and a pressure, near another; NaN outside the table."""
    first_k = np.maximum(near_k, refrigerant.dew_temperature(pressure_pa) + _OVER_DEW_K)
    second_k = first_k + _FIRST_K
    first, second = (refrigerant.vapor(own, pressure_pa).enthalpy_j_kg - enthalpy_j_kg for own in (first_k, second_k))
    for _ in range(_STEPS):
        if not np.any(np.abs(second) > _MET_J_KG):
            break
        third_k = second_k - second * (second_k - first_k) / (second - first)
        first_k, first = second_k, second
        second_k, second = third_k, refrigerant.vapor(third_k, pressure_pa).enthalpy_j_kg - enthalpy_j_kg
    return second_k
