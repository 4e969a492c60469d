"""The equations of the loop of valve, coil and bulb, each written once, as those of `tablegen.physics.equations`.

The valve opens when the bulb warms; more flow moves the end of the wetted length toward the outlet; superheat falls, and
the bulb feels it late.  All take SI floats or arrays of one shape and return the same.

References
----------
S. M. Zivi, "Estimation of steady-state steam void-fraction by means of the principle of minimum entropy production",
J. Heat Transfer 86 (1964), 247-252 (not checked against the source).
H. Nyquist, "Regeneration theory", Bell System Technical Journal 11 (1932), 126-147 (not checked against the source).
"""

from __future__ import annotations

from numpy import arctan, log, sqrt

from tablegen.physics.arrays import Floats


def wetted_effect(h_d: Floats, h_l: Floats) -> Floats:
    """Heat that each kilogram takes up until it is dry: energy balance of the wetted length.

    Parameters
    ----------
    h_d, h_l : array [J/kg]

    Returns
    -------
    array [J/kg]
    """
    return h_d - h_l


def vapor_heat_capacity(h_v: Floats, h_d: Floats, TD: float | Floats) -> Floats:
    """Mean heat capacity of the vapor from its dew point to the box temperature.

    Parameters
    ----------
    h_v, h_d : array [J/kg]
    TD : array [K]

    Returns
    -------
    array [J/(kg K)]
    """
    return (h_v - h_d) / TD


def dryout_sensitivity(r: float | Floats, q_w: Floats, c_pv: Floats, TD: float | Floats) -> Floats:
    """How strongly superheat answers to flow by the end of the wetted length: -m dSH/dm = (TD - SH) B.

    With z = m q_w / (k TD) the wetted length and E = r k (L - z) / (m c_pv) the exponent of the dry length,
    SH = TD (1 - exp(-E)) and -m dE/dm = B + E.  B depends on no load and no length.

    Parameters
    ----------
    r : array [1]
    q_w : array [J/kg]
    c_pv : array [J/(kg K)]
    TD : array [K]

    Returns
    -------
    array [1]
    """
    return r * q_w / (c_pv * TD)


def dry_exponent(SH_u: float | Floats, TD: float | Floats) -> Floats:
    """Exponent of the dry length at a superheat: SH = TD (1 - exp(-E)).

    Parameters
    ----------
    SH_u, TD : array [K]

    Returns
    -------
    array [1]
    """
    return -log(1 - SH_u / TD)


def wetted_share(B_r: Floats, E_r: Floats) -> Floats:
    """Wetted share of the circuit: E = B (1 - share) / share.

    Parameters
    ----------
    B_r, E_r : array [1]

    Returns
    -------
    array [1]
    """
    return B_r / (B_r + E_r)


def circuit_flow(Q_c: float, dh_r: Floats) -> Floats:
    """Flow of one circuit at the rating point.

    Parameters
    ----------
    Q_c : float [W]
    dh_r : array [J/kg]

    Returns
    -------
    array [kg/s]
    """
    return Q_c / dh_r


def wetted_conductance(m_1: Floats, q_wr: Floats, zeta: Floats, L: float, TD_r: float | Floats) -> Floats:
    """Conductance per meter of wetted tube that the rating asks of the circuit.

    Parameters
    ----------
    m_1 : array [kg/s]
    q_wr : array [J/kg]
    zeta : array [1]
    L : float [m]
    TD_r : array [K]

    Returns
    -------
    array [W/(m K)]
    """
    return m_1 * q_wr / (zeta * L * TD_r)


def slip_density_ratio(rho_d: Floats, rho_b: Floats) -> Floats:
    """Density ratio with the slip of Zivi: liquid share of the section (1-x) s / (x + (1-x) s) at a quality x.

    Parameters
    ----------
    rho_d, rho_b : array [kg/m3]

    Returns
    -------
    array [1]
    """
    return (rho_d / rho_b) ** (2 / 3)


def liquid_share(k_h: float, s_Z: Floats, Y: Floats) -> Floats:
    """Mean liquid share of the section from the inlet to the end of the wetted length, where quality is 1.

    Parameters
    ----------
    k_h : float [1]
    s_Z : array [1]
    Y : array [1]
        Liquid share of the flow at the inlet by mass, 1 - x.

    Returns
    -------
    array [1]
    """
    return k_h * s_Z / Y * (-Y / (1 - s_Z) - log(1 - (1 - s_Z) * Y) / (1 - s_Z) ** 2)


def dryout_delay(rho_b: Floats, A: float, w_l: Floats, h_fg: Floats, k_w: Floats, TD: float | Floats) -> Floats:
    """Mean delay of the end of the wetted length after a change of flow: liquid that it contains over liquid fed.

    Parameters
    ----------
    rho_b : array [kg/m3]
    A : float [m2]
    w_l : array [1]
    h_fg : array [J/kg]
    k_w : array [W/(m K)]
    TD : array [K]

    Returns
    -------
    array [s]
    """
    return rho_b * A * w_l * h_fg / (k_w * TD)


def dead_time(b: float, t_d: Floats) -> Floats:
    """The part of the delay that moves as a plug.

    Parameters
    ----------
    b : float [1]
    t_d : array [s]

    Returns
    -------
    array [s]
    """
    return b * t_d


def front_lag(b: float, t_d: Floats) -> Floats:
    """The part of the delay that is a first-order lag.

    Parameters
    ----------
    b : float [1]
    t_d : array [s]

    Returns
    -------
    array [s]
    """
    return (1 - b) * t_d


def wall_lag(C_w: float, a: float, r: float | Floats, k_w: Floats) -> Floats:
    """Lag of tube and fins that go from their dry to their wet temperature.

    Parameters
    ----------
    C_w : float [J/(m K)]
    a : float [1]
    r : array [1]
    k_w : array [W/(m K)]

    Returns
    -------
    array [s]
    """
    return C_w * a * (1 - r) / k_w


def loop_gain(TD: float | Floats, SH: Floats, B: Floats, l_c: Floats, dp_b: Floats, p_grad: float | Floats) -> Floats:
    """Gain of the loop with a bulb: relative change of flow that comes back, without delays.

    Parameters
    ----------
    TD, SH : array [K]
    B : array [1]
    l_c : array [1]
        Relative change of Kv for each unit of opening, c'/c.
    dp_b : array [Pa/K]
        Slope of the bulb's pressure.
    p_grad : array [Pa]

    Returns
    -------
    array [1]
    """
    return (TD - SH) * B * l_c * dp_b / p_grad


def controller_gain(TD: float | Floats, SH_set: float, B: Floats, l_c: Floats, K_p: float | Floats) -> Floats:
    """Gain of the loop with a controller, without delays and without its integral action.

    Parameters
    ----------
    TD : array [K]
    SH_set : float [K]
    B : array [1]
    l_c : array [1]
        As in `loop_gain`.
    K_p : array [1/K]
        Share of travel or duty for each kelvin.

    Returns
    -------
    array [1]
    """
    return (TD - SH_set) * B * l_c * K_p


def loop_phase(w: Floats, d: Floats, t_1: Floats, t_w: Floats, t_b: float | Floats) -> Floats:
    """By how much the loop lags at a frequency.

    Parameters
    ----------
    w : array [rad/s]
    d, t_1, t_w, t_b : array [s]

    Returns
    -------
    array [rad]
    """
    return w * d + arctan(w * t_1) + arctan(w * t_w) + arctan(w * t_b)


def ultimate_gain(k_K: float, w: Floats, t_1: Floats, t_w: Floats, t_b: float | Floats) -> Floats:
    """Gain at which the loop swings on at the frequency at which it lags by half a period.

    Parameters
    ----------
    k_K : float [1]
        Calibration of one coil.
    w : array [rad/s]
    t_1, t_w, t_b : array [s]

    Returns
    -------
    array [1]
    """
    return k_K * sqrt((1 + (w * t_1) ** 2) * (1 + (w * t_w) ** 2) * (1 + (w * t_b) ** 2))


def with_integral_action(K_b: Floats, w: Floats, T_i: float) -> Floats:
    """Ultimate gain of a controller that also integrates.

    Parameters
    ----------
    K_b : array [1]
        Without integral action, at the frequency with it.
    w : array [rad/s]
    T_i : float [s]

    Returns
    -------
    array [1]
    """
    return K_b / sqrt(1 + 1 / (w * T_i) ** 2)
