"""The equations of the method, each written once: the sweep computes with them and a calculation prints them.

A parameter is called by its symbol (``tablegen.calculation.symbols`` gives meaning and unit), so that the text of an
equation is read from its own return expression.  All take SI floats or arrays of one shape and return the same.

References
----------
IEC 60534-2-1:2011, flow capacity of control valves (equation numbers not checked against the source).
AHRI 540, performance rating of positive displacement refrigerant compressors.
"""

from __future__ import annotations

from numpy import exp, maximum, minimum, sqrt

from tablegen.physics.arrays import Floats

# Kv is the water, 1000 kg/m3, that passes in m3/h at 1 bar: N = sqrt(1000 / 1e5) / 3600.
WATER_DENSITY, BAR, CUBIC_METER_PER_HOUR = 1000.0, 1e5, 1.0 / 3600.0
FLOW_CONSTANT = (WATER_DENSITY / BAR) ** 0.5 / 3600.0
# N and E make one equation fit any units: in SI they are `FLOW_CONSTANT` and 1.
ENERGY_RATE = 1.0


def refrigerating_effect(h_v: Floats, h_l: Floats) -> Floats:
    """Refrigerating effect: energy balance of the evaporator.

    Parameters
    ----------
    h_v, h_l : array [J/kg]

    Returns
    -------
    array [J/kg]
    """
    return h_v - h_l


def volumetric_efficiency(C: float, p_h: Floats, p_s: float | Floats, n: float) -> Floats:
    """Clearance volumetric efficiency of a reciprocating compressor (any refrigeration textbook).

    Parameters
    ----------
    C : float [1]
    p_h, p_s : array [Pa]
    n : float [1]

    Returns
    -------
    array [1]
    """
    return 1 + C - C * (p_h / p_s) ** (1 / n)


def flow_per_swept_volume(eta: Floats, rho_s: Floats) -> Floats:
    """Mass flow of a compressor for each m3 swept.

    Parameters
    ----------
    eta : array [1]
    rho_s : array [kg/m3]

    Returns
    -------
    array [kg/m3]
    """
    return eta * rho_s


def compressor_polynomial(
    S: Floats,
    D_c: Floats,
    C1: float,
    C2: float,
    C3: float,
    C4: float,
    C5: float,
    C6: float,
    C7: float,
    C8: float,
    C9: float,
    C10: float,
) -> Floats:
    """Mass flow by the ten-coefficient polynomial.

    Parameters
    ----------
    S, D_c : array [degC or degF]
    C1, C2, C3, C4, C5, C6, C7, C8, C9, C10 : float [any unit of mass flow]

    Returns
    -------
    array [unit of the coefficients]

    References
    ----------
    AHRI 540, performance rating of positive displacement refrigerant compressors.

    Examples
    --------
    >>> compressor_polynomial(2.0, 3.0, *range(1, 11))
    698.0
    """
    return (
        C1
        + C2 * S
        + C3 * D_c
        + C4 * S**2
        + C5 * (S * D_c)
        + C6 * D_c**2
        + C7 * S**3
        + C8 * (D_c * S**2)
        + C9 * (S * D_c**2)
        + C10 * D_c**3
    )


def flow_ratio(m_c: Floats, m_cr: Floats) -> Floats:
    """Compressor flow over that at the rating point.

    Parameters
    ----------
    m_c, m_cr : array [any one unit]

    Returns
    -------
    array [1]
    """
    return m_c / m_cr


def capacity_flow_ratio(dh_r: Floats, h_v: Floats, h_l: Floats) -> Floats:
    """Flow over that at the rating point where the evaporator keeps its capacity: energy balance.

    Parameters
    ----------
    dh_r, h_v, h_l : array [J/kg]

    Returns
    -------
    array [1]
    """
    return dh_r / (h_v - h_l)


def coil_difference(DT: float | Floats, T_er: Floats, T_e: Floats) -> Floats:
    """Temperature difference of the coil: the box stays where it is at the rating point.

    Parameters
    ----------
    DT : array [K]
        That at the rating point.
    T_er, T_e : array [K]

    Returns
    -------
    array [K]
    """
    return DT + T_er - T_e


def vapor_heat_ratio(h_a: Floats, h_s: Floats, h_l: Floats) -> Floats:
    """Heat that vapor takes up on its way to the box temperature, over that which the liquid takes up to become vapor.

    Parameters
    ----------
    h_a, h_s, h_l : array [J/kg]
        Of vapor at the box temperature, of saturated vapor, of the liquid at the valve.

    Returns
    -------
    array [1]
    """
    return (h_a - h_s) / (h_s - h_l)


def dry_transfer_units(r_c: float | Floats, a: Floats) -> Floats:
    """Transfer units of a dry end that is as long as the wetted part of the coil.

    The wetted part takes in m q = k z L TD, so that the flow follows it; the dry end has m cp dT = r k (T_box - T) dx.

    Parameters
    ----------
    r_c, a : array [1]

    Returns
    -------
    array [1]
    """
    return r_c / a


def dry_end_superheat(TD: float | Floats, B: Floats, z: Floats) -> Floats:
    """Superheat at the end of a coil of which a share is wetted.

    Parameters
    ----------
    TD : array [K]
    B, z : array [1]

    Returns
    -------
    array [K]
    """
    return TD * (1 - exp(-B * (1 - z) / z))


def coil_capacity(z: Floats, a: Floats, SH: Floats, TD: float | Floats) -> Floats:
    """Capacity of a coil of which a share is wetted, over that of the same coil wetted to its end.

    Parameters
    ----------
    z, a : array [1]
    SH, TD : array [K]

    Returns
    -------
    array [1]
    """
    return z * (1 + a * SH / TD)


def vapor_quality(h_l: Floats, h_b: Floats, h_d: Floats) -> Floats:
    """Quality downstream of the port: throttling; liquid colder than the bubble point does not flash.

    Parameters
    ----------
    h_l, h_b, h_d : array [J/kg]

    Returns
    -------
    array [1]
    """
    return maximum((h_l - h_b) / (h_d - h_b), 0)


def mixture_volume(x: Floats, rho_d: Floats, rho_b: Floats) -> Floats:
    """Specific volume of the flashed mixture.  Assumption: homogeneous.

    Parameters
    ----------
    x : array [1]
    rho_d, rho_b : array [kg/m3]

    Returns
    -------
    array [m3/kg]
    """
    return x / rho_d + (1 - x) / rho_b


def outlet_pressure(p_e: Floats, f: Floats, dp_evap: float, dp_dist: float | Floats, v: Floats, v_r: Floats) -> Floats:
    """Pressure at the port outlet: losses follow flow squared, the distributor's also the flashed volume.

    Parameters
    ----------
    p_e : array [Pa]
    f : array [1]
    dp_evap : float [Pa]
    dp_dist : array [Pa]
    v, v_r : array [m3/kg]

    Returns
    -------
    array [Pa]
    """
    return p_e + f**2 * (dp_evap + dp_dist * (v / v_r))


def pressure_drop(p_1: Floats, p_2: Floats) -> Floats:
    """Pressure drop left for the port.

    Parameters
    ----------
    p_1, p_2 : array [Pa]

    Returns
    -------
    array [Pa]
    """
    return p_1 - p_2


def critical_pressure_ratio_factor(p_v: Floats, p_crit: float | Floats) -> Floats:
    """Liquid critical pressure ratio factor F_F.

    Parameters
    ----------
    p_v, p_crit : array [Pa]

    Returns
    -------
    array [1]

    References
    ----------
    IEC 60534-2-1:2011, eq. (4) (equation number not checked against the source).

    Examples
    --------
    The worked example of the standard, water of 90 degC:

    >>> round(float(critical_pressure_ratio_factor(p_v=70.1e3, p_crit=22120e3)), 5)
    0.94424
    """
    return 0.96 - 0.28 * sqrt(p_v / p_crit)


def choked_pressure_drop(F_L: float | Floats, p_1: Floats, F_F: Floats, p_v: Floats) -> Floats:
    """Pressure drop at which the flow chokes.

    Parameters
    ----------
    F_L : array [1]
    p_1 : array [Pa]
    F_F : array [1]
    p_v : array [Pa]

    Returns
    -------
    array [Pa]

    References
    ----------
    IEC 60534-2-1:2011, eq. (3) (equation number not checked against the source).
    """
    return F_L**2 * (p_1 - F_F * p_v)


def effective_pressure_drop(dp: Floats, dp_ch: Floats) -> Floats:
    """Pressure drop that drives the flow under the choked law.

    Parameters
    ----------
    dp, dp_ch : array [Pa]

    Returns
    -------
    array [Pa]
    """
    return minimum(dp, dp_ch)


def required_kv(E: float, f: Floats, N: float, dh_r: Floats, rho: Floats, dp: Floats) -> Floats:
    """Kv required per unit of rated capacity: the flow equation solved for Kv.

    For print: the sweep takes the same equation by `tablegen.physics.flow`, which also bounds the drop.

    Parameters
    ----------
    E : float [1 in SI]
    f : array [1]
    N : float [kg/s for each m3/h, at density 1 and drop 1]
    dh_r : array [J/kg]
    rho : array [kg/m3]
    dp : array [Pa]

    Returns
    -------
    array [m3/h per W]

    References
    ----------
    IEC 60534-2-1:2011, eq. (1) (equation number not checked against the source).
    """
    return E * f / (N * dh_r * sqrt(rho * dp))


def flow_share(k: float, M: Floats, d: float) -> Floats:
    """Refrigerant flow through the valve while it is open, over rated flow.

    Parameters
    ----------
    k : float
        Share of the compressor's flow, its capacity step [1].
    M : array [1]
        Compressor flow over rated flow.
    d : float
        Share of time in which the flow passes: 1, or the maximum duty of a pulse-modulated valve.

    Returns
    -------
    array [1]
    """
    return k * M / d


def load_per_kv(c: Floats, D: Floats) -> Floats:
    """Load for each m3/h of rated Kv: share of Kv used over required Kv per unit of load.

    Parameters
    ----------
    c : array [1]
    D : array [m3/h per W]

    Returns
    -------
    array [W for each m3/h]
    """
    return c / D


def load(Kv: float | Floats, Q_1: Floats) -> Floats:
    """Load of a size at the rating point.

    Parameters
    ----------
    Kv : array [m3/h]
    Q_1 : array [W for each m3/h]

    Returns
    -------
    array [W]
    """
    return Kv * Q_1
