"""A liquid line in which liquid flashes: its friction follows the density of each point along it."""

from __future__ import annotations

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics import liquid_equations as lineq
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import GRAVITY_M_S2

# Newton's method from below doubles its digits each round; where a column becomes lighter as it falls it is slower.
_ROUNDS = 200


def mixture(refrigerant: Refrigerant, pressure_pa: Floats, enthalpy_j_kg: Floats) -> tuple[Floats, Floats]:
    """Vapor by mass [1] and density [kg/m3] of liquid that has flashed at constant enthalpy to a pressure; arrays of one shape."""
    bubble = refrigerant.bubble(refrigerant.bubble_temperature(pressure_pa))
    dew = refrigerant.dew(refrigerant.dew_temperature(pressure_pa))
    quality = eq.vapor_quality(h_l=enthalpy_j_kg, h_b=bubble.enthalpy_j_kg, h_d=dew.enthalpy_j_kg)
    return quality, lineq.inlet_density(x_1=quality, rho_d1=dew.density_kg_m3, rho_b1=bubble.density_kg_m3)


def flashing_inlet(
    refrigerant: Refrigerant,
    liquid_pa: Floats,
    bubble_pa: Floats,
    density: Floats,
    enthalpy: Floats,
    lift_m: float,
) -> Floats:
    """Inlet pressure, where liquid alone would arrive below its bubble pressure: with friction of liquid and vapor.

    Downstream of the point where the liquid reaches its bubble pressure the pressure falls as much faster as the density is
    lower.  All of that fall is taken as friction at the end of the line, while a column that climbs stays liquid: the harsh
    side of both.  A column that descends weighs what reaches the valve.

    Parameters
    ----------
    refrigerant : Refrigerant
    liquid_pa : array [Pa]
        Inlet pressure of liquid all the way.
    bubble_pa : array [Pa]
        Bubble pressure of the liquid.
    density, enthalpy : array [kg/m3], [J/kg]
        Of the liquid: where it flashes, at its bubble point.
    lift_m : float [m]

    Returns
    -------
    array [Pa]
        `liquid_pa` where that does not flash; NaN where no pressure carries the flow.
    """
    flashes = liquid_pa < bubble_pa
    if not flashes.any():
        return liquid_pa
    shortfall = np.where(flashes, lineq.flash_shortfall(p_bl=bubble_pa, p_1l=liquid_pa), 0.0)
    fall, is_open = shortfall, flashes
    for _ in range(_ROUNDS):
        r_1, r_2, r_3, r_4 = (
            mixture(refrigerant, bubble_pa - share * fall, enthalpy)[1] / density for share in (0.25, 0.5, 0.75, 1.0)
        )
        passed = lineq.flashing_fall(dp_f=fall, r_1=r_1, r_2=r_2, r_3=r_3, r_4=r_4)
        wanted = shortfall
        if lift_m < 0.0:
            wanted = wanted + lineq.lift_pressure(rho=density - r_4 * density, g=GRAVITY_M_S2, H=-lift_m)
        # Of a volume that grows in proportion to the fall this is the slope of what passed; it never leads past the root.
        slope = lineq.flashing_fall(dp_f=np.ones_like(fall), r_1=r_1**2, r_2=r_2**2, r_3=r_3**2, r_4=r_4**2)
        following = np.where(is_open, fall + (wanted - passed) / slope, fall)
        # A fall out of the refrigerant's range is NaN, and stays so.
        is_open = is_open & (np.abs(following - fall) > 1e-13 * bubble_pa)
        fall = following
        if not is_open.any():
            break
    fall = np.where(is_open, np.nan, fall)
    return np.where(flashes, bubble_pa - fall, liquid_pa)
