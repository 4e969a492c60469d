"""The smallest opening at which the loop of valve, coil and bulb, or of valve, coil and controller, is steady: its gain and the root."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from tablegen.physics import loop_equations as leq
from tablegen.physics.arrays import Floats
from tablegen.physics.loop import HALVINGS, LOOKS, CoilDelays, Controller
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic

# Opening and gain of the loop at superheats [K].
GainAt: TypeAlias = Callable[[Floats], tuple[Floats, Floats]]


def gain_with_bulb(
    coil: CoilDelays,
    balance: ForceBalance,
    characteristic: OpeningCharacteristic,
    evaporating_temperature_k: Floats,
    under_pa: Floats,
    pressure_drop_pa: Floats,
) -> GainAt:
    """The loop of a thermostatic valve: its opening and gain at a superheat.

    Parameters
    ----------
    coil : CoilDelays
    balance : ForceBalance
    characteristic : OpeningCharacteristic
    evaporating_temperature_k : array [K]
    under_pa : array [Pa]
        Pressure under the diaphragm.
    pressure_drop_pa : array [Pa]

    Returns
    -------
    callable
    """

    def gain_at(superheat_k: Floats) -> tuple[Floats, Floats]:
        bulb_k = evaporating_temperature_k + superheat_k
        opening = balance.opening(bulb_k, under_pa, pressure_drop_pa)
        gain = leq.loop_gain(
            TD=coil.difference_k,
            SH=superheat_k,
            B=coil.sensitivity,
            l_c=characteristic.relative_slope(opening),
            dp_b=balance.charge.slope(bulb_k),
            p_grad=balance.gradient_pa,
        )
        return opening, gain

    return gain_at


def gain_with_controller(
    coil: CoilDelays, controller: Controller, characteristic: OpeningCharacteristic
) -> Callable[[Floats], Floats]:
    """The loop of a controlled valve: its gain at an opening, without integral action.

    Parameters
    ----------
    coil : CoilDelays
    controller : Controller
    characteristic : OpeningCharacteristic

    Returns
    -------
    callable
        From openings [1] to gains [1].
    """

    def gain_at(opening: Floats) -> Floats:
        proportional = controller.gain_per_k * opening if controller.is_scheduled else controller.gain_per_k
        return leq.controller_gain(
            TD=coil.difference_k,
            SH_set=controller.superheat_k,
            B=coil.sensitivity,
            l_c=characteristic.relative_slope(opening),
            K_p=proportional,
        )

    return gain_at


@dataclass(frozen=True, slots=True)
class SmallestSteady:
    """The smallest opening [1] above which the loop is steady, and the superheat there [K]; NaN where not known."""

    opening: Floats
    superheat_k: Floats


def smallest_steady(
    gain_at: GainAt, allowed_gain: Floats, difference_k: Floats, looks: int = LOOKS, halvings: int = HALVINGS
) -> SmallestSteady:
    """The smallest opening above which the loop keeps its margin, found over superheat, in which all is explicit.

    Opening rises with superheat by the force balance.  At a superheat of zero the coil floods back, which counts as
    hunting; at the TD no superheat is left to lose, and the loop is steady.

    Parameters
    ----------
    gain_at : callable
        Opening [1] and gain of the loop [1] at superheats [K].
    allowed_gain : array [1]
        Ultimate gain over the gain margin.
    difference_k : array [K]
        TD.
    looks, halvings : int, optional
        Superheats looked at, and bisections between two of them.

    Returns
    -------
    SmallestSteady
        Not bounded by a stop.
    """
    difference = np.asarray(difference_k, dtype=np.float64)

    def hunts(superheat: Floats) -> NDArray[np.bool_]:
        opening, gain = gain_at(superheat)
        with np.errstate(invalid="ignore"):
            return (opening <= 0.0) | (gain > allowed_gain)

    shares = np.linspace(0.0, 1.0, looks + 1)
    hunting = np.stack([hunts(share * difference) for share in shares])
    # From the top, the first superheat at which it hunts; the lowest is zero, where the coil floods back.
    last = np.where(hunting.any(axis=0), looks - np.argmax(hunting[::-1], axis=0), 0)
    low, high = shares[last] * difference, shares[np.minimum(last + 1, looks)] * difference
    is_none = ~hunting.any(axis=0)
    low, high = np.where(is_none, 0.0, low), np.where(is_none, 0.0, high)
    for _ in range(halvings):
        middle = 0.5 * (low + high)
        below = hunts(middle)
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    opening, gain = gain_at(high)
    # A valve that is shut has no gain: of one that no superheat opens, as above an MOP, that is known.
    known = np.isfinite(opening) & ~np.isnan(allowed_gain) & (~np.isnan(gain) | (opening <= 0.0))
    return SmallestSteady(np.where(known, opening, np.nan), np.where(known, high, np.nan))


def smallest_controlled(
    gain_at: Callable[[Floats], Floats], allowed_gain: Floats, maximum: float, smallest: float
) -> Floats:
    """The smallest opening of a controlled valve above which the loop keeps its margin.

    Parameters
    ----------
    gain_at : callable
        Gain of the loop [1] at openings [1].
    allowed_gain : array [1]
        Ultimate gain over the gain margin.
    maximum, smallest : float [1]
        The openings that control uses.

    Returns
    -------
    array [1]
        `smallest` where it is steady throughout; infinite where it hunts at the maximum; NaN where not known.
    """
    allowed = np.asarray(allowed_gain, dtype=np.float64)

    def hunts(opening: Floats) -> NDArray[np.bool_]:
        with np.errstate(invalid="ignore"):
            return np.asarray(gain_at(opening) > allowed)

    openings = np.linspace(smallest, maximum, LOOKS + 1)
    hunting = np.stack([hunts(np.full(allowed.shape, opening)) for opening in openings])
    last = LOOKS - np.argmax(hunting[::-1], axis=0)
    low, high = openings[last], openings[np.minimum(last + 1, LOOKS)]
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        below = hunts(middle)
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    found = np.where(hunting[-1], np.inf, np.where(hunting.any(axis=0), high, smallest))
    return np.where(np.isnan(allowed) | np.isnan(gain_at(np.full(allowed.shape, maximum))), np.nan, found)
