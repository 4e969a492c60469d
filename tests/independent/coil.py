"""The coil: its temperature difference, and the maximum superheat that it allows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from scipy.optimize import brentq

from .fluid import Fluid
from .reading import number


class Zones(NamedTuple):
    """What the two zones of a coil take up: heat of the wetted one [J/kg], specific heat of the dry one [J/(kg K)]."""

    wetted: float
    specific_heat: float

    def dry_number(self, ratio: float, difference: float) -> float:
        """B: superheat's sensitivity to the wetted length."""
        return ratio * self.wetted / (self.specific_heat * difference)


def zones(fluid: Fluid, t_e: float, liquid_enthalpy: float, difference: float) -> Zones:
    """q and c_p at an evaporating dew temperature [K] and a temperature difference to the box [K]."""
    dew = fluid.saturated(t_e, 1)
    at_box = fluid.gas(dew.p, t_e + difference)[1]
    return Zones(dew.h - liquid_enthalpy, (at_box - dew.h) / difference)


def superheat_at_loss(coil: Zones, ratio: float, difference: float, loss: float) -> float:
    """Superheat [K] at which the coil takes up `loss` less than wetted to its end."""
    b = coil.dry_number(ratio, difference)

    def superheat(dry_per_wetted: float) -> float:
        return difference * -math.expm1(-b * dry_per_wetted)

    def short(dry_per_wetted: float) -> float:
        # By the length of the dry zone over that of the wetted one, from 0 up.
        taken = 1.0 + coil.specific_heat * superheat(dry_per_wetted) / coil.wetted
        return taken / (1.0 + dry_per_wetted) - (1.0 - loss)

    high = 1.0
    while short(high) > 0.0:
        high *= 2.0
    return superheat(float(brentq(short, 0.0, high, xtol=1e-15, rtol=1e-14)))


def maximum_superheat(application: Mapping[str, Any], state: Any, fluid: Fluid) -> float:
    """SH_max [K] at a state."""
    stated = application["superheat"]
    if "maximum" in stated:
        return number(stated["maximum"])
    difference = state.coil_difference_k
    if "maximum_share" in stated:
        return number(stated["maximum_share"]) * difference
    found = zones(fluid, state.evaporating_temperature_k, state.liquid_enthalpy_j_kg, difference)
    ratio, loss = number(application["coil"]["conductance_ratio"]), number(stated["coil_capacity_loss"])
    return superheat_at_loss(found, ratio, difference, loss)
