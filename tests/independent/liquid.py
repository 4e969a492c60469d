"""Liquid from the condenser or receiver to the port: temperature rise, friction, lift, vapor at the inlet."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from scipy.optimize import brentq

from .fluid import Fluid, OutOfRangeError, Saturated
from .reading import G_STANDARD, number


@dataclass
class Supply:
    """Liquid at a condition: a stated temperature at the valve, or subcooling counted at the valve or at the condenser."""

    temperature: float = math.nan
    subcooling: float = math.nan
    at_condenser: bool = False


@dataclass
class Liquid:
    """What reaches the port."""

    p: float
    t: float
    bubble_p: float
    # Of the liquid, and of what enters the port.
    rho: float
    inlet_rho: float
    h: float
    quality: float = 0.0
    rise: float = 0.0
    is_refused: bool = False


def supplies(stated: Mapping[str, Any]) -> list[Supply]:
    """Supply that the max limit takes, and the one that the min limit takes where they differ."""
    if "liquid_temperature" in stated:
        return [Supply(number(stated["liquid_temperature"]))]
    if "subcooling" in stated:
        return [Supply(number(stated["condensing_temperature"]) - number(stated["subcooling"]))]
    for key, at_condenser in (("inlet_subcooling", False), ("condenser_subcooling", True)):
        if key in stated:
            return [Supply(subcooling=number(stated[key]), at_condenser=at_condenser)]
        if f"{key}_range" in stated:
            both = stated[f"{key}_range"]
            ends = [number(both["minimum"]), number(both["maximum"])]
            return [Supply(math.nan, end, at_condenser) for end in (ends if ends[0] < ends[1] else ends[:1])]
    raise KeyError("no liquid stated")


class LiquidLine:
    """The liquid line of an application."""

    def __init__(self, application: Mapping[str, Any], fluid: Fluid) -> None:
        self.fluid = fluid
        losses, liquid = application["losses"], application.get("liquid", {})
        self.loss, self.lift = number(losses["liquid_line"]), number(losses["lift"])
        self.most_vapor = number(liquid.get("inlet_vapor", "0 percent"))
        gain = liquid.get("heat_gain")
        self.gain_share = 0.0
        if gain:
            self.gain_share = number(gain["per_length"]) * number(gain["length"]) / number(gain["capacity"])
        # Filled at the rating point: density of the liquid, and h_g - h_l.
        self.rated_rho = self.rated_effect = math.nan

    def rise(self, p_head: float, t: float, mean_share: float) -> float:
        """Temperature rise along the line [K] at a mean flow over the rated one."""
        if self.gain_share == 0.0:
            return 0.0
        p = max(p_head, self.fluid.p_bubble(t))
        specific_heat = self.fluid.liquid(p, t)[1] - self.fluid.liquid(p, t - 1.0)[1]
        return self.gain_share * self.rated_effect / (mean_share * specific_heat)

    def rated(self, p_head: float, supply: Supply) -> Liquid:
        """The rating point, where friction is stated."""
        return self._settle(p_head, supply, 1.0, 0.0, lambda rho: 1.0)

    def solve(self, p_head: float, supply: Supply, share: float, mean_share: float) -> Liquid:
        """What reaches the port at a flow over the rated one, and a mean flow that carries the heat gain away."""
        rise = 0.0
        if supply.at_condenser:
            rise = self.rise(p_head, self.fluid.t_bubble(p_head) - supply.subcooling, mean_share)
        found = self._settle(p_head, supply, share, rise, lambda rho: self.rated_rho / rho)
        if not supply.at_condenser:
            rise = self.rise(p_head, found.t, mean_share)
        found.rise = rise
        if found.p < found.bubble_p and self.most_vapor > 0.0:
            return self._with_vapor(p_head, supply, share, rise, found)
        if found.p <= found.bubble_p and self.most_vapor == 0.0:
            found.is_refused = True
            found.quality, found.inlet_rho = self._mixture(found.p, found.h)
        return found

    def _mixture(self, p: float, h: float) -> tuple[float, float]:
        """Vapor by mass in what has an enthalpy at a pressure, and the density of it all."""
        fluid = self.fluid
        bubble, dew = fluid.saturated(fluid.t_bubble(p), 0), fluid.saturated(fluid.t_dew(p), 1)
        x = max((h - bubble.h) / (dew.h - bubble.h), 0.0)
        return x, 1.0 / (x / dew.rho + (1.0 - x) / bubble.rho)

    def _temperature(self, p_head: float, supply: Supply, p: float, rise: float) -> float:
        if math.isfinite(supply.temperature):
            return supply.temperature
        if supply.at_condenser:
            return self.fluid.t_bubble(p_head) - supply.subcooling + rise
        return self.fluid.t_bubble(p) - supply.subcooling

    def _settle(self, p_head: float, supply: Supply, share: float, rise: float, ratio: Any) -> Liquid:
        """Pressure, temperature and density of liquid at the end of the line, together."""

        def at(p: float) -> Liquid:
            t = self._temperature(p_head, supply, p, rise)
            bubble_p = self.fluid.p_bubble(t)
            rho, h = self.fluid.liquid(max(p, bubble_p), t)
            return Liquid(p, t, bubble_p, rho, rho, h)

        friction = self.loss * share**2
        found = at(p_head - friction)
        for _ in range(60):
            p = p_head - friction * ratio(found.rho) - found.rho * G_STANDARD * self.lift
            if abs(p - found.p) < 1e-10 * p_head:
                return found
            found = at(p)
        raise OutOfRangeError("the liquid line does not settle")

    def _with_vapor(self, p_head: float, supply: Supply, share: float, rise: float, start: Liquid) -> Liquid:
        """What reaches the port where liquid reaches its bubble pressure before: friction grows with the vapor on the way."""
        t, liquid = start.t, self.fluid.saturated(start.t, 0)
        friction = self.loss * share**2 * self.rated_rho / liquid.rho
        column = liquid.rho
        for _ in range(200):
            # What is missing to the bubble pressure at the port, if it were liquid all the way.
            missing = liquid.p - (p_head - friction - column * G_STANDARD * self.lift)
            fall = self._fall(liquid, missing)
            if math.isnan(fall):
                break
            x, rho = self._mixture(liquid.p - fall, liquid.h)
            found = Liquid(liquid.p - fall, t, liquid.p, liquid.rho, rho, liquid.h, x, rise, x > self.most_vapor)
            # A column that climbs is liquid, the harsh side; one that descends is what reaches the port.
            if self.lift >= 0.0 or abs(rho - column) < 1e-12 * rho:
                return found
            column = rho
        return Liquid(math.nan, t, liquid.p, liquid.rho, math.nan, liquid.h, math.nan, rise, is_refused=True)

    def _fall(self, liquid: Saturated, missing: float) -> float:
        """How far the pressure falls below the bubble point [Pa] over a line that takes `missing` from liquid."""

        def short(fall: float) -> float:
            rho = [1.0] + [self._mixture(liquid.p - 0.25 * k * fall, liquid.h)[1] / liquid.rho for k in (1, 2, 3, 4)]
            return missing - fall * (rho[0] + 4.0 * rho[1] + 2.0 * rho[2] + 4.0 * rho[3] + rho[4]) / 12.0

        if missing <= 0.0:
            return 0.0
        low = high = missing
        while short(high) > 0.0:
            low, high = high, 1.05 * high
            if high > 0.8 * liquid.p:
                return math.nan
        return float(brentq(short, low, high, xtol=1e-6, rtol=1e-14)) if high > low else low

    def needed_subcooling(self, p_head: float, share: float, rise: float) -> float:
        """Subcooling at the condenser [K] with which liquid just reaches the port without vapor."""
        fluid = self.fluid

        def error(p: float) -> float:
            rho = fluid.saturated(fluid.t_bubble(p), 0).rho
            return p_head - self.loss * share**2 * self.rated_rho / rho - rho * G_STANDARD * self.lift - p

        try:
            p = p_head
            for _ in range(60):
                change = error(p)
                p += change
                if abs(change) < 1e-10 * p_head:
                    return fluid.t_bubble(p_head) - fluid.t_bubble(p) + rise
        except OutOfRangeError:
            pass
        return math.nan
