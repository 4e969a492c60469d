"""The opening below which the loop of valve, evaporator and bulb or sensor hunts: section E, one state at a time."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from scipy.optimize import brentq

from .coil import Zones, zones
from .fluid import Fluid
from .reading import number

HUNTS_ALWAYS = math.inf


@dataclass
class Delays:
    """Dead time, lags, lead and integral time of a loop [s]."""

    dead: float
    lags: tuple[float, ...]
    lead: float = 0.0
    integral: float = math.inf

    def phase(self, w: float) -> float:
        """Phase lag [rad] at a frequency [rad/s]."""
        lag = w * self.dead + sum(math.atan(w * t) for t in self.lags) - math.atan(w * self.lead)
        return lag + (math.atan(1.0 / (w * self.integral)) if math.isfinite(self.integral) else 0.0)

    def crossing(self) -> float:
        """The smallest frequency [rad/s] at which what comes back is in phase."""
        w = 1e-7
        while self.phase(w) < math.pi:
            w *= 1.02
            if w > 1e6:
                return math.inf
        return float(brentq(lambda u: self.phase(u) - math.pi, w / 1.02, w, xtol=1e-16, rtol=1e-14))

    def gain_limit(self) -> float:
        """K_u, but for the calibration."""
        w = self.crossing()
        if math.isinf(w):
            return math.inf
        product = math.prod(math.hypot(1.0, w * t) for t in self.lags) / math.hypot(1.0, w * self.lead)
        return product / (math.hypot(1.0, 1.0 / (w * self.integral)) if math.isfinite(self.integral) else 1.0)


class CoilLoop:
    """The coil of an application, sized at the rating point of one SST."""

    def __init__(self, application: Mapping[str, Any], rating: Any, fluid: Fluid) -> None:
        coil = application["coil"]
        self.fluid = fluid
        self.ratio = number(coil["conductance_ratio"])
        self.area = math.pi * number(coil["tube_inner_diameter"]) ** 2 / 4.0
        self.wall, self.air_side = number(coil["wall_heat_capacity"]), number(coil["air_side_share"])
        self.plug = number(coil["plug_share"])
        self.holdup = float(coil.get("liquid_holdup_factor", 1.0))
        self.calibration = float(coil.get("calibration", 1.0))
        self.margin = float(application.get("stability", {}).get("gain_margin", 1.5))
        difference = number(application["coil_temperature_difference"])
        useful = number(application["superheat"]["useful"])
        rated = zones(fluid, rating.t_e, rating.h, difference)
        b = rated.dry_number(self.ratio, difference)
        wetted_share = b / (b - math.log1p(-useful / difference))
        flow = number(coil["circuit_load"]) / (rating.h_gas - rating.h)
        length = number(coil["circuit_length"])
        self.conductance = flow * rated.wetted / (wetted_share * length * difference)

    def zones(self, state: Any) -> Zones:
        """What both zones take up at a state."""
        return zones(self.fluid, state.evaporating_temperature_k, state.liquid_enthalpy_j_kg, state.coil_difference_k)

    def dry_out_delay(self, state: Any) -> float:
        """T [s]: liquid in the wetted section over the flow of liquid into it."""
        dew = self.fluid.saturated(state.evaporating_temperature_k, 1)
        bubble = self.fluid.saturated(self.fluid.t_bubble(dew.p), 0)
        latent = dew.h - bubble.h
        liquid_in = 1.0 - max((state.liquid_enthalpy_j_kg - bubble.h) / latent, 0.0)
        c = (dew.rho / bubble.rho) ** (2.0 / 3.0)
        share = self.holdup * liquid_share(c, liquid_in)
        return bubble.rho * self.area * share * latent / (self.conductance * state.coil_difference_k)

    def delays(self, state: Any) -> tuple[float, float, float, float]:
        """Dead time d, front lag t_1, wall lag t_w and wall lead t_f [s] of a state."""
        delay = self.dry_out_delay(state)
        from_air = self.conductance / self.air_side
        to_wet = self.conductance / (1.0 - self.air_side)
        to_dry = 1.0 / (1.0 / (self.ratio * self.conductance) - 1.0 / from_air)
        dry, wet = (self.wall / (from_air + inside) for inside in (to_dry, to_wet))
        return self.plug * delay, (1.0 - self.plug) * delay, dry, wet

    def gain_limit(self, state: Any, sensor: float, controller: tuple[float, float] = (0.0, math.inf)) -> float:
        """K_u of a state with a sensor's time constant, a controller's delay and integral time [s]."""
        dead, front, wall, lead = self.delays(state)
        own = Delays(dead + controller[0], (front, wall, sensor), lead, controller[1])
        return self.calibration * own.gain_limit()

    def feed_gain(self, state: Any, superheat: float) -> float:
        """K [K]: change of superheat per relative change of flow, that comes with the dry-out point."""
        difference = state.coil_difference_k
        return (difference - superheat) * self.zones(state).dry_number(self.ratio, difference)


def liquid_share(c: float, liquid_in: float) -> float:
    """Mean share of liquid in the section where quality goes from 1 - liquid_in to 1, by Zivi's slip."""
    g = 1.0 - c
    return c / liquid_in * (-liquid_in / g - math.log1p(-g * liquid_in) / (g * g))


def thermostatic_root(loop: CoilLoop, family: Any, charge: Any, state: Any) -> tuple[float, float]:
    """Opening below which a thermostatic valve hunts, and the superheat there [K]; infinite where it always does.

    By superheat and not by opening: the balance gives the opening at a superheat without any search.
    """
    t_e, difference = state.evaporating_temperature_k, state.coil_difference_k
    most = loop.gain_limit(state, charge.time_constant)
    per_flow = loop.feed_gain(state, 0.0) / difference

    def excess(superheat: float) -> float:
        phi = charge.opening(state, superheat, family.is_internal)
        if superheat >= difference or math.isnan(phi):
            return -math.inf
        if phi <= 0.0:
            return math.inf
        valve = family.characteristic.slope(phi) / family.characteristic.share(phi)
        gain = (difference - superheat) * per_flow * valve * charge.slope(t_e + superheat) / charge.gradient
        return math.log(loop.margin * gain / most)

    bulb = charge.load(state, family.is_internal) + family.stop * charge.gradient
    if not bulb > charge.pressure(t_e):
        return HUNTS_ALWAYS, math.nan
    at_stop = charge.temperature(bulb) - t_e if bulb < charge.highest else math.inf
    high = min(at_stop, difference)
    if at_stop < difference and excess(at_stop) > 0.0:
        return HUNTS_ALWAYS, math.nan
    if excess(1e-9) <= 0.0:
        # Calm as soon as there is any superheat.
        return max(charge.opening(state, 0.0, family.is_internal), 0.0), 0.0
    found = _first_calm(excess, 0.0, high)
    return max(charge.opening(state, found, family.is_internal), 0.0), found


def electronic_root(loop: CoilLoop, family: Any, state: Any) -> float:
    """Opening or duty below which an electronic valve hunts; infinite where it does up to its maximum."""
    control = family.controller
    most = loop.gain_limit(
        state, number(control["sensor_lag"]), (number(control["delay"]), number(control["integral_time"]))
    )
    per_flow = loop.feed_gain(state, number(control["superheat"])) * number(control["gain"])
    is_proportional = control.get("schedule", "none") == "proportional"

    def excess(phi: float) -> float:
        valve = family.characteristic.slope(phi) / family.characteristic.share(phi)
        return math.log(loop.margin * per_flow * (phi if is_proportional else 1.0) * valve / most)

    if excess(family.maximum) > 0.0:
        return HUNTS_ALWAYS
    if excess(1e-12) <= 0.0:
        return 0.0
    return _first_calm(excess, 1e-12, family.maximum)


def _first_calm(excess: Callable[[float], float], low: float, high: float) -> float:
    """Where the excess of gain falls to nothing, by halves."""
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if excess(middle) > 0.0 else (low, middle)
    return high
