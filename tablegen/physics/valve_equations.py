"""The equations of a valve's opening, each written once, as those of `tablegen.physics.equations`.

Parameters are called by their symbols; SI floats or arrays of one shape in, and the same out.
"""

from __future__ import annotations

from numpy import maximum, minimum

from tablegen.physics.arrays import Floats


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
