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


def refrigerating_effect(h_g: Floats, h_l: Floats) -> Floats:
    """Refrigerating effect: energy balance of the evaporator.

    Parameters
    ----------
    h_g, h_l : array [J/kg]

    Returns
    -------
    array [J/kg]
    """
    return h_g - h_l


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


def capacity_flow_ratio(dh_r: Floats, h_g: Floats, h_l: Floats) -> Floats:
    """Flow over that at the rating point where the evaporator keeps its capacity: energy balance.

    Parameters
    ----------
    dh_r, h_g, h_l : array [J/kg]

    Returns
    -------
    array [1]
    """
    return dh_r / (h_g - h_l)


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


def spring_pressure(p_b0: float, p_e0: float) -> float:
    """Pressure of the spring, just open: force balance at the factory setting.

    Parameters
    ----------
    p_b0, p_e0 : float [Pa]

    Returns
    -------
    float [Pa]
    """
    return p_b0 - p_e0


def spring_gradient(p_b1: float, p_b0: float) -> float:
    """Pressure that opens the valve from just open to rated stroke.

    Parameters
    ----------
    p_b1, p_b0 : float [Pa]

    Returns
    -------
    float [Pa]
    """
    return p_b1 - p_b0


def opening(p_b: Floats, p_u: Floats, p_spring: float, u: float, dp: Floats, dp_ref: float, p_grad: float) -> Floats:
    """Opening, not bounded by the stops: force balance of the diaphragm.

    Parameters
    ----------
    p_b, p_u : array [Pa]
    p_spring : float [Pa]
    u : float [1]
    dp : array [Pa]
    dp_ref, p_grad : float [Pa]

    Returns
    -------
    array [1]

    Examples
    --------
    >>> opening(p_b=620e3, p_u=450e3, p_spring=120e3, u=0.0, dp=700e3, dp_ref=700e3, p_grad=100e3)
    0.5
    """
    return (p_b - (p_u + p_spring + u * (dp - dp_ref))) / p_grad


def min_stable_superheat(a_0: float, a_1: float, a_2: float, q: Floats) -> Floats:
    """Minimum stable superheat as it grows with the evaporator's load.

    Parameters
    ----------
    a_0, a_1, a_2 : float [K]
    q : array [1]

    Returns
    -------
    array [K]
    """
    return a_0 + a_1 * q + a_2 * q**2


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


def sizing_stroke(r_lim: float, phi_stop: float) -> float:
    """Opening that maximum loads may use at most: rated stroke and a share r_lim of the reserve up to the stop.

    Parameters
    ----------
    r_lim : float [1]
    phi_stop : float [1]

    Returns
    -------
    float [1]
    """
    return 1.0 + r_lim * (phi_stop - 1.0)


def max_opening(phi_sh: Floats, phi_size: float) -> Floats:
    """Maximum opening used: that at maximum superheat, at most what maximum loads may use.

    Parameters
    ----------
    phi_sh : array [1]
    phi_size : float [1]

    Returns
    -------
    array [1]
    """
    return minimum(phi_sh, phi_size)


def min_opening(phi_sh: Floats, phi_stable: float) -> Floats:
    """Minimum opening used: that at the minimum stable superheat, at least the minimum stable opening.

    Parameters
    ----------
    phi_sh : array [1]
    phi_stable : float [1]

    Returns
    -------
    array [1]
    """
    return maximum(phi_sh, phi_stable)


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
