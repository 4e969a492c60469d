"""What the package gives for the properties that published values name.

Two properties, `p_sat_of_equation` and `effect_of_equation`, lie nearer to the critical point than property tables
go.  The tests put them to the equation of state itself; here they are left out, and no table of checks shows them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.molar_masses import molar_mass
from tablegen.verification.published_values import PublishedValue

OF_EQUATION = ("p_sat_of_equation", "effect_of_equation")
# IIR reference state: 200 kJ/kg for saturated liquid at 0 degC.
_IIR_K, _IIR_J_KG = 273.15, 200e3


class Property(NamedTuple):
    """The words for a property, and its value [SI] from a refrigerant and the figures of the condition [SI]."""

    formatter: str
    value: Callable[[Refrigerant, tuple[float, ...]], Floats]


def computed(value: PublishedValue, fluid: Refrigerant) -> float:
    """What the package gives for a published value [SI]; NaN outside the tables.

    Raises
    ------
    KeyError
        If the property is one that no table can give.
    """
    return float(PROPERTIES[value.code].value(fluid, value.at)[0])


def _one(value: float) -> Floats:
    return np.array([value])


def _bubble_pa(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    return fluid.bubble(_one(at[0])).pressure_pa


def _dew_pa(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    return fluid.dew(_one(at[0])).pressure_pa


def _zero(fluid: Refrigerant) -> Floats:
    """What to take from an enthalpy to count it from the IIR reference state [J/kg]."""
    return fluid.bubble(_one(_IIR_K)).enthalpy_j_kg - _IIR_J_KG


def _effect(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    """Saturated vapor at the first temperature less saturated liquid at the last [J/kg]."""
    return fluid.dew(_one(at[0])).enthalpy_j_kg - fluid.bubble(_one(at[-1])).enthalpy_j_kg


class _Evaporator(NamedTuple):
    """Dew temperature [K] of an evaporator, and the enthalpy of the liquid that feeds it [J/kg]."""

    dew_k: Floats
    liquid_j_kg: Floats


def _evaporator(fluid: Refrigerant, at: tuple[float, ...]) -> _Evaporator:
    """The evaporator of Table 8: the mean of its inlet and dew temperature is the first of `at`.

    Its inlet is saturated liquid after throttling from the pressure at which bubble and dew temperature have the
    second of `at` as their mean.  The inlet temperature is taken as linear in quality between bubble and dew, which
    is within 0.12 K for the blends in question.
    """
    condensing = fluid.midpoint_pressure(_one(at[1]))
    liquid = fluid.bubble(fluid.bubble_temperature(condensing)).enthalpy_j_kg
    dew_k = _one(at[0])
    # Each round leaves less than a tenth of the error of the last, for glide hardly changes with pressure.
    for _ in range(15):
        vapour = fluid.dew(dew_k)
        bubble_k = fluid.bubble_temperature(vapour.pressure_pa)
        low = fluid.bubble(bubble_k).enthalpy_j_kg
        inlet_k = bubble_k + (liquid - low) / (vapour.enthalpy_j_kg - low) * (dew_k - bubble_k)
        dew_k = at[0] + 0.5 * (dew_k - inlet_k)
    return _Evaporator(dew_k, liquid)


def _inlet_effect(fluid: Refrigerant, at: tuple[float, ...]) -> Floats:
    """Saturated vapor less saturated liquid of that cycle [J/kg]."""
    evaporator = _evaporator(fluid, at)
    return fluid.dew(evaporator.dew_k).enthalpy_j_kg - evaporator.liquid_j_kg


_MADE: dict[str, Property] = {
    "p_critical": Property("critical pressure", lambda f, at: _one(f.critical_pressure_pa)),
    "p_sat": Property("saturation pressure", _bubble_pa),
    "p_bubble": Property("bubble pressure", _bubble_pa),
    "p_dew": Property("dew pressure", _dew_pa),
    "p_mean": Property("mid-point pressure", lambda f, at: f.midpoint_pressure(_one(at[0]))),
    "rho_f": Property("density, saturated liquid", lambda f, at: f.bubble(_one(at[0])).density_kg_m3),
    "h_fg": Property("latent heat", _effect),
    "h_f": Property("enthalpy, saturated liquid", lambda f, at: f.bubble(_one(at[0])).enthalpy_j_kg - _zero(f)),
    "h_g": Property("enthalpy, saturated vapor", lambda f, at: f.dew(_one(at[0])).enthalpy_j_kg - _zero(f)),
    "h_superheated": Property(
        "enthalpy, superheated vapor", lambda f, at: f.vapour(_one(at[1]), _one(at[0])).enthalpy_j_kg - _zero(f)
    ),
    "v_superheated": Property(
        "volume, superheated vapor", lambda f, at: 1.0 / f.vapour(_one(at[1]), _one(at[0])).density_kg_m3
    ),
    "h_subcooled": Property(
        "enthalpy, subcooled liquid", lambda f, at: f.liquid(_one(at[1]), _one(at[0])).enthalpy_j_kg - _zero(f)
    ),
    "effect": Property("refrigerating effect", _effect),
    "p_mean_inlet": Property("evaporator pressure", lambda f, at: f.dew(_evaporator(f, at).dew_k).pressure_pa),
    "effect_inlet": Property("refrigerating effect, glide", _inlet_effect),
    "t_bubble": Property("bubble temperature", lambda f, at: f.bubble_temperature(_one(at[0]))),
    "t_dew": Property("dew temperature", lambda f, at: f.dew_temperature(_one(at[0]))),
    "rho_subcooled": Property(
        "density, subcooled liquid", lambda f, at: f.liquid(_one(at[1]), _one(at[0])).density_kg_m3
    ),
    "molar_mass": Property("molar mass", lambda f, at: _one(molar_mass(f.definition))),
}
PROPERTIES: Mapping[str, Property] = MappingProxyType(_MADE)
