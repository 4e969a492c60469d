"""Connections in series with a port: the pressure that they lose, as flow coefficients.

With Kv_p the port by itself, Kv_c the body with its connections and without the port, at one flow their drops add:

    1 / Kv^2 = 1 / Kv_p^2 + 1 / Kv_c^2

It is the piping geometry factor F_P of the standard, Kv = F_P Kv_p, with Kv_c^2 = N_2 d^4 / sum(K) for connections of bore
d and loss coefficients K. As the port closes its own drop grows and the connections count for less, so that the share
of rated Kv at an opening is larger than the port's own.

References
----------
IEC 60534-2-1:2011, piping geometry factor F_P (not checked against the source; compared with an independent program).
"""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats

# The equations have arrays of any shape, so a root of something that cannot be is NaN.
sqrt = np.sqrt


def kv_with_connections(Kv_p: float | Floats, Kv_c: float | Floats) -> Floats:
    """Flow coefficient of a port in series with its connections.

    Parameters
    ----------
    Kv_p, Kv_c : array [m3/h]

    Returns
    -------
    array [m3/h]

    Examples
    --------
    >>> float(kv_with_connections(3.0, 4.0))
    2.4
    """
    return Kv_p / sqrt(1 + (Kv_p / Kv_c) ** 2)


def kv_of_port(Kv: float | Floats, Kv_c: float | Floats) -> Floats:
    """Flow coefficient of a port by itself: the inverse of `kv_with_connections`.

    Parameters
    ----------
    Kv, Kv_c : array [m3/h]

    Returns
    -------
    array [m3/h]
        NaN where the connections by themselves pass less.

    Examples
    --------
    >>> round(float(kv_of_port(2.4, 4.0)), 12)
    3.0
    """
    return Kv / sqrt(1 - (Kv / Kv_c) ** 2)


def share_with_connections(c_p: Floats, r: float) -> Floats:
    """Share of the Kv that a valve with its connections has at rated stroke.

    Parameters
    ----------
    c_p : array [1]
        Share of the port's own Kv.
    r : float [1]
        Kv of the port at rated stroke over that of the connections.

    Returns
    -------
    array [1]
    """
    return c_p * sqrt((1 + r**2) / (1 + (r * c_p) ** 2))


def share_of_port(c: Floats, r: float) -> Floats:
    """Share of the port's own Kv: the inverse of `share_with_connections`.

    Parameters
    ----------
    c : array [1]
    r : float [1]

    Returns
    -------
    array [1]
        NaN where the connections by themselves pass less.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        return c / sqrt(1 + r**2 - (r * c) ** 2)


def relative_slope_with_connections(l_p: Floats, c_p: Floats, r: float) -> Floats:
    """Relative change of a valve's Kv with its connections: the derivative of ln `share_with_connections`.

    Parameters
    ----------
    l_p : array [1]
        That of the port by itself, c_p' / c_p.
    c_p : array [1]
    r : float [1]

    Returns
    -------
    array [1]
    """
    return l_p / (1 + (r * c_p) ** 2)
