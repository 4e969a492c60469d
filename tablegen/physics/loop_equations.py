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

# Seconds for each unit of time of a mass flow: in SI one.
TIME_SCALE = 1.0


def dry_exponent(SH_u: float | Floats, DT: float | Floats) -> Floats:
    """Exponent of the dry end at a superheat: SH = TD (1 - exp(-exponent)).

    Parameters
    ----------
    SH_u, DT : array [K]

    Returns
    -------
    array [1]
    """
    return -log(1 - SH_u / DT)


def rated_wetted_share(B_r: Floats, E_d: Floats) -> Floats:
    """Wetted share of the circuit at the rating: the exponent of the dry end is B (1 - share) / share.

    Parameters
    ----------
    B_r, E_d : array [1]

    Returns
    -------
    array [1]
    """
    return B_r / (B_r + E_d)


def circuit_flow(E: float, Q_c: float, dh_r: Floats) -> Floats:
    """Flow of one circuit at the rating point.

    Parameters
    ----------
    E : float [1 in SI]
    Q_c : float [W]
    dh_r : array [J/kg]

    Returns
    -------
    array [kg/s]
    """
    return E * Q_c / dh_r


def wetted_conductance(m_1: Floats, dh_w: Floats, zeta: Floats, L_c: float, DT: float | Floats) -> Floats:
    """Conductance per length of wetted tube that the rating asks of the circuit.

    Parameters
    ----------
    m_1 : array [kg/s]
    dh_w : array [J/kg]
        From the liquid at the valve to saturated vapor.
    zeta : array [1]
    L_c : float [m]
    DT : array [K]

    Returns
    -------
    array [W/(m K)]
    """
    return m_1 * dh_w / (zeta * L_c * DT)


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


def liquid_share(k_h: float, s_Z: Floats, x: Floats) -> Floats:
    """Mean liquid share of the section from the inlet to the end of the wetted length, where quality is 1.

    Parameters
    ----------
    k_h : float [1]
    s_Z : array [1]
    x : array [1]
        Quality at the inlet of the circuit.

    Returns
    -------
    array [1]
    """
    return k_h * s_Z / (1 - x) * (-(1 - x) / (1 - s_Z) - log(1 - (1 - s_Z) * (1 - x)) / (1 - s_Z) ** 2)


def dryout_delay(
    N_t: float, rho_b: Floats, A_i: float, w_l: Floats, h_fg: Floats, k_w: Floats, TD: float | Floats
) -> Floats:
    """Mean delay of the end of the wetted length after a change of flow: liquid that it contains over liquid fed.

    Parameters
    ----------
    N_t : float [1 in SI]
    rho_b : array [kg/m3]
    A_i : float [m2]
    w_l : array [1]
    h_fg : array [J/kg]
    k_w : array [W/(m K)]
    TD : array [K]

    Returns
    -------
    array [s]
    """
    return N_t * rho_b * A_i * w_l * h_fg / (k_w * TD)


def dead_time(b_p: float, t_d: Floats) -> Floats:
    """The part of the delay that moves as a plug.

    Parameters
    ----------
    b_p : float [1]
    t_d : array [s]

    Returns
    -------
    array [s]
    """
    return b_p * t_d


def front_lag(b_p: float, t_d: Floats) -> Floats:
    """The part of the delay that is a first-order lag.

    Parameters
    ----------
    b_p : float [1]
    t_d : array [s]

    Returns
    -------
    array [s]
    """
    return (1 - b_p) * t_d


def wall_lag(N_t: float, C_w: float, a_w: float, r_c: float | Floats, k_w: Floats) -> Floats:
    """Lag of tube and fins at the end of the liquid, that of a dry wall: C_w over k/a from the air and k/(1/r - a) inside.

    A wall that gets wet is as hot as a dry one, (1 - r a) TD above evaporation, and cools to (1 - a) TD: of the heat that
    more liquid asks for it gives up a share at once, `wall_lead` over this lag, and the rest comes with this lag.  A wall that
    dries is as cold as a wet one, and vapor takes up the same share at once and the rest with the same lag: a small swing to
    both sides has (1 + s t_f)/(1 + s t_w).

    Parameters
    ----------
    N_t : float [1 in SI]
    C_w : float [J/(m K)]
    a_w : float [1]
    r_c : array [1]
    k_w : array [W/(m K)]

    Returns
    -------
    array [s]
    """
    return N_t * C_w * a_w * (1 - r_c * a_w) / k_w


def wall_lead(N_t: float, C_w: float, a_w: float, k_w: Floats) -> Floats:
    """Lead of tube and fins, the time constant of a wet wall: C_w over k/a from the air and k/(1 - a) inside.

    Parameters
    ----------
    N_t : float [1 in SI]
    C_w : float [J/(m K)]
    a_w : float [1]
    k_w : array [W/(m K)]

    Returns
    -------
    array [s]
        Shorter than `wall_lag`: the share of the answer that comes at once is (1 - a)/(1 - r a).
    """
    return N_t * C_w * a_w * (1 - a_w) / k_w


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


def loop_phase(
    w_u: Floats,
    d_0: float | Floats,
    t_1: float | Floats,
    t_w: float | Floats,
    t_f: float | Floats,
    t_b: float | Floats,
) -> Floats:
    """By how much the loop lags at a frequency.

    Parameters
    ----------
    w_u : array [rad/s]
    d_0, t_1, t_w, t_f, t_b : array [s]

    Returns
    -------
    array [rad]
    """
    return w_u * d_0 + arctan(w_u * t_1) + arctan(w_u * t_w) - arctan(w_u * t_f) + arctan(w_u * t_b)


def ultimate_gain(
    k_K: float,
    w_u: Floats,
    t_1: float | Floats,
    t_w: float | Floats,
    t_f: float | Floats,
    t_b: float | Floats,
) -> Floats:
    """Gain at which the loop swings on, at the frequency at which it lags by half a period.

    Parameters
    ----------
    k_K : float [1]
        Calibration of one coil.
    w_u : array [rad/s]
    t_1, t_w, t_f, t_b : array [s]

    Returns
    -------
    array [1]
    """
    return k_K * sqrt((1 + (w_u * t_1) ** 2) * (1 + (w_u * t_w) ** 2) / (1 + (w_u * t_f) ** 2) * (1 + (w_u * t_b) ** 2))


def with_integral_action(K_b: Floats, w_u: Floats, T_i: float) -> Floats:
    """Ultimate gain of a controller that also integrates.

    Parameters
    ----------
    K_b : array [1]
        Without integral action, at the frequency with it.
    w_u : array [rad/s]
    T_i : float [s]

    Returns
    -------
    array [1]
    """
    return K_b / sqrt(1 + 1 / (w_u * T_i) ** 2)
