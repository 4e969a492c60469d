"""The equations of the liquid between condenser or receiver and the valve, each written once, as those of `tablegen.physics.equations`.

Parameters are called by their symbols; SI floats or arrays of one shape in, and the same out.
"""

from __future__ import annotations

from tablegen.physics.arrays import Floats


def liquid_heat_capacity(h_w: Floats, h_c: Floats, dT_1: float) -> Floats:
    """Heat capacity of the liquid: difference of enthalpies over one kelvin.

    Parameters
    ----------
    h_w, h_c : array [J/kg]
    dT_1 : float [K]

    Returns
    -------
    array [J/(kg K)]
    """
    return (h_w - h_c) / dT_1


def line_heat_share(g_1: float, L_g: float, Q_g: float) -> float:
    """Heat that the liquid line takes up, as a share of the rated capacity.

    Parameters
    ----------
    g_1 : float [W/m]
    L_g : float [m]
    Q_g : float [W]

    Returns
    -------
    float [1]
    """
    return g_1 * L_g / Q_g


def line_temperature_rise(sigma: float, dh_r: Floats, f: Floats, c_l: Floats) -> Floats:
    """Rise of the liquid's temperature along the line: energy balance.

    Parameters
    ----------
    sigma : float [1]
    dh_r : array [J/kg]
    f : array [1]
    c_l : array [J/(kg K)]

    Returns
    -------
    array [K]
    """
    return sigma * dh_r / (f * c_l)


def lift_pressure(rho: Floats, g: float, H: float) -> Floats:
    """Pressure of a column of liquid: hydrostatics.

    Parameters
    ----------
    rho : array [kg/m3]
    g : float [m/s2]
    H : float [m]

    Returns
    -------
    array [Pa]
    """
    return rho * (g * H)


def line_loss(dp_line: float | Floats, f: Floats) -> Floats:
    """Loss of the liquid line at a share of rated flow and the density of the rating point.

    Parameters
    ----------
    dp_line : array [Pa]
    f : array [1]

    Returns
    -------
    array [Pa]
    """
    return dp_line * f**2


def inlet_pressure(p_h: Floats, dp_line: float | Floats, f: Floats, rho_r: Floats, rho: Floats) -> Floats:
    """Pressure at the valve inlet without lift: friction follows flow squared over density.

    Parameters
    ----------
    p_h, dp_line : array [Pa]
    f : array [1]
    rho_r, rho : array [kg/m3]

    Returns
    -------
    array [Pa]
    """
    return p_h - dp_line * f**2 * (rho_r / rho)


def inlet_density(x_1: Floats, rho_d1: Floats, rho_b1: Floats) -> Floats:
    """Density of liquid and vapor at the valve inlet.  Assumption: homogeneous, and no more vapor forms in the port.

    Parameters
    ----------
    x_1 : array [1]
    rho_d1, rho_b1 : array [kg/m3]

    Returns
    -------
    array [kg/m3]
    """
    return 1 / (x_1 / rho_d1 + (1 - x_1) / rho_b1)


def flash_shortfall(p_bl: Floats, p_1l: Floats) -> Floats:
    """How far liquid all the way would arrive below its bubble pressure.

    Parameters
    ----------
    p_bl, p_1l : array [Pa]

    Returns
    -------
    array [Pa]
    """
    return p_bl - p_1l


def flashing_fall(dp_f: Floats, r_1: Floats, r_2: Floats, r_3: Floats, r_4: Floats) -> Floats:
    """Friction of liquid alone over the part of a line in which the pressure of liquid and vapor falls.

    The pressure falls as much faster as the density is lower (homogeneous flow, constant enthalpy): the integral of the
    density over that of the liquid, along the fall below the bubble pressure.  Simpson's rule in two halves, with the
    density ratios after each quarter of the fall; up to 5 % of vapor it is within 0.1 % of the fall.

    Parameters
    ----------
    dp_f : array [Pa]
    r_1, r_2, r_3, r_4 : array [1]

    Returns
    -------
    array [Pa]
    """
    return dp_f * (1 + 4 * r_1 + 2 * r_2 + 4 * r_3 + r_4) / 12


def needed_subcooling(T_hb: Floats, T_n: Floats, dT_g: float | Floats) -> Floats:
    """Subcooling at the outlet of condenser or receiver with which the liquid just reaches the valve without vapor.

    Parameters
    ----------
    T_hb, T_n : array [K]
    dT_g : array [K]

    Returns
    -------
    array [K]
    """
    return T_hb - T_n + dT_g
