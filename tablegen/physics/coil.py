"""The evaporator coil: how long a dry end it can have at its temperature difference, and the superheat that this gives.

Two zones at constant air temperature (the box).  In the first, liquid wets the wall, and the refrigerant stays at the
evaporating temperature; in the dry end vapor warms up toward the box, with a conductance per length that is only a
share r of the wetted one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Floats

# Halving the wetted share so often leaves less than the last digit.
_BISECTIONS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Coil:
    """What is known of an application's coil.

    `conductance_ratio` is r [1]: conductance per length where the wall is dry, over that where liquid wets it.
    """

    conductance_ratio: float


def wetted_share(B: Floats, a: Floats, loss: float | Floats) -> Floats:
    """Share of the coil that is wetted where a dry end costs a share of the coil's capacity.

    With TD the temperature difference, SH the superheat and z the wetted share, capacity over that of the same coil
    wetted to its end is

        z (1 + a SH / TD) = 1 - loss        SH / TD = 1 - exp(-B (1 - z) / z)

    which has one root, for the left side rises with z.  It is found by bisection.

    Parameters
    ----------
    B : array [1]
        Transfer units of a dry end that is as long as the wetted part, see `equations.dry_transfer_units`.
    a : array [1]
        Heat that vapor takes up on its way to the box temperature, over that of evaporation.
    loss : array [1]
        Between 0 and 1.

    Returns
    -------
    array [1]
        z; NaN where an input is.
    """
    low, high = np.zeros(()), np.ones(())
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        capacity = eq.coil_capacity(z=middle, a=a, SH=eq.dry_end_superheat(TD=1.0, B=B, z=middle), TD=1.0)
        is_above = capacity > 1.0 - loss
        low, high = np.where(is_above, low, middle), np.where(is_above, middle, high)
    return np.where(np.isfinite(B) & np.isfinite(a), 0.5 * (low + high), np.nan)


def superheat_at_loss(difference_k: Floats, B: Floats, a: Floats, loss: float | Floats) -> Floats:
    """Superheat at the end of a coil that loses a share of its capacity to its dry end.

    Parameters
    ----------
    difference_k : array [K]
        Box temperature minus evaporating temperature.
    B, a, loss : array [1]
        As in `wetted_share`.

    Returns
    -------
    array [K]
    """
    return eq.dry_end_superheat(TD=difference_k, B=B, z=wetted_share(B, a, loss))
