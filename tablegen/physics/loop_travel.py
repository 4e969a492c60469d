"""Openings above which a valve's loop is steady at solved states, or at drawn ones: arrays in, arrays out."""

from __future__ import annotations

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.loop import HALVINGS, LOOKS, CoilDelays, Controller, bulb_ultimate, controller_ultimate
from tablegen.physics.steady_opening import (
    GainAt,
    SmallestSteady,
    gain_with_bulb,
    gain_with_controller,
    smallest_controlled,
    smallest_steady,
)
from tablegen.physics.system import StabilityRule
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic


def steady_with_bulb(
    coil: CoilDelays,
    rule: StabilityRule,
    bulb_time_constant_s: float,
    balance: ForceBalance,
    characteristic: OpeningCharacteristic,
    evaporating_temperature_k: Floats,
    under_pa: Floats,
    pressure_drop_pa: Floats,
) -> SmallestSteady:
    """The smallest steady opening of a thermostatic valve at each state.

    Parameters
    ----------
    coil : CoilDelays
    rule : StabilityRule
    bulb_time_constant_s : float [s]
    balance : ForceBalance
    characteristic : OpeningCharacteristic
    evaporating_temperature_k : array (states,) [K]
    under_pa : array (states,) [Pa]
        Pressure under the diaphragm.
    pressure_drop_pa : array (states,) [Pa]

    Returns
    -------
    SmallestSteady
        Not bounded by a stop; NaN where the coil or the charge is not known.
    """
    gain_at = gain_with_bulb(coil, balance, characteristic, evaporating_temperature_k, under_pa, pressure_drop_pa)
    return steady_at_gain(coil, rule, bulb_time_constant_s, gain_at)


def steady_at_gain(
    coil: CoilDelays,
    rule: StabilityRule,
    bulb_time_constant_s: float,
    gain_at: GainAt,
    looks: int = LOOKS,
    halvings: int = HALVINGS,
) -> SmallestSteady:
    """As `steady_with_bulb`, by the loop's gain at a superheat.

    Parameters
    ----------
    coil : CoilDelays
    rule : StabilityRule
    bulb_time_constant_s : float [s]
    gain_at : callable
    looks, halvings : int, optional
        As in `smallest_steady`.

    Returns
    -------
    SmallestSteady
    """
    ultimate = bulb_ultimate(coil, bulb_time_constant_s, rule.calibration)
    return smallest_steady(gain_at, ultimate.gain / rule.gain_margin, coil.difference_k, looks, halvings)


def steady_with_controller(
    coil: CoilDelays,
    rule: StabilityRule,
    controller: Controller,
    characteristic: OpeningCharacteristic,
    smallest: float,
    maximum: float,
) -> Floats:
    """The smallest steady opening of a controlled valve at each state.

    Parameters
    ----------
    coil : CoilDelays
    rule : StabilityRule
    controller : Controller
    characteristic : OpeningCharacteristic
    smallest, maximum : float [1]
        The openings, or duties, that control uses.

    Returns
    -------
    array (states,)
        [1]; `smallest` where it is steady throughout, infinite where it hunts at the maximum, NaN where not known.
    """
    ultimate = controller_ultimate(coil, controller, rule.calibration)
    gain_at = gain_with_controller(coil, controller, characteristic)
    return np.asarray(smallest_controlled(gain_at, ultimate.gain / rule.gain_margin, maximum, smallest))
