"""What a valve family offers: section 6 of the model page, one number at a time."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from .fluid import Fluid, OutOfRangeError
from .law import FlowLaw
from .reading import number


class Characteristic:
    """Share of Kv against share of rated stroke: linear, or monotone cubic through points.

    With `port` and `body`, the Kv of the port at rated stroke and of body and connections, the share is that of both in
    series: of the drop at one flow each takes (flow / Kv)^2.
    """

    def __init__(self, points: list[list[str]] | None, stop: float, port: float = 1.0, body: float = math.inf) -> None:
        self.stop, self.port, self.body = stop, port, body
        self._curve = None
        if points:
            self._curve = PchipInterpolator([number(a) for a, _ in points], [number(b) for _, b in points])

    def share(self, phi: float) -> float:
        """c(phi)."""
        own = phi if self._curve is None else float(self._curve(phi))
        if math.isinf(self.body):
            return own
        return in_series(own * self.port, self.body) / in_series(self.port, self.body)

    def slope(self, phi: float) -> float:
        """c'(phi)."""
        own = 1.0 if self._curve is None else float(self._curve(phi, 1))
        if math.isinf(self.body):
            return own
        kv = self.port * (phi if self._curve is None else float(self._curve(phi)))
        # Of two in series, each counts by the cube of its share.
        return own * self.port * (in_series(kv, self.body) / kv) ** 3 / in_series(self.port, self.body)

    def opening(self, share: float) -> float:
        """The opening that gives a share of Kv."""
        if self._curve is None and math.isinf(self.body):
            return share
        return float(brentq(lambda phi: self.share(phi) - share, 0.0, self.stop, xtol=1e-14, rtol=1e-14))


def in_series(first: float, second: float) -> float:
    """The Kv of two restrictions one after the other."""
    return 0.0 if first == 0.0 else (first**-2.0 + second**-2.0) ** -0.5


class Charge:
    """One bulb charge with its factory setting."""

    def __init__(self, config: Mapping[str, Any], fluids: Mapping[str, Fluid], unbalance: float) -> None:
        self.config = config
        self.name = str(config["charge"])
        self.unbalance = unbalance
        self.bounds = (-math.inf, math.inf)
        self.warmest = 335.0
        self._curve, self._slope = self._make_curve(fluids)
        self.time_constant = number(config["bulb_time_constant"]) if "bulb_time_constant" in config else math.nan
        evaporating = config["evaporating_range"]
        self.evaporating = number(evaporating["minimum"]), number(evaporating["maximum"])
        setting = config["setting"]
        t_0 = number(setting["bulb_temperature"])
        spring_fluid = fluids[setting["refrigerant"]]
        p_0 = self._curve(t_0)
        self.spring = p_0 - spring_fluid.p_dew(t_0 - number(setting["static_superheat"]))
        self.gradient = self._curve(t_0 + number(setting["opening_superheat"])) - p_0
        self.reference_drop = number(setting["pressure_drop"])
        self.t_limit, self.p_limit = math.inf, math.inf
        if "maximum_operating_pressure" in config:
            self.p_limit = number(config["maximum_operating_pressure"]) + self.spring
            self.t_limit = self._temperature_on_curve(self.p_limit)

    def _make_curve(self, fluids: Mapping[str, Fluid]) -> Any:
        if "fluid" in self.config:
            bubble = fluids[self.config["fluid"]].p_bubble
            self.warmest = min(335.0, fluids[self.config["fluid"]].t_critical - 2.0)
            return bubble, lambda t: _five_point_slope(bubble, t, 0.5)
        if "antoine" in self.config:
            constants = self.config["antoine"]
            a, b, c = (float(constants[key]) for key in "abc")
            self.bounds = number(constants["range"]["minimum"]), number(constants["range"]["maximum"])

            def antoine(t: float) -> float:
                return 1e3 * 10.0 ** (a - b / (c + t - 273.15))

            return antoine, lambda t: antoine(t) * math.log(10.0) * b / (c + t - 273.15) ** 2
        points = sorted((number(t), number(p)) for t, p in self.config["points"])
        self.bounds = points[0][0], points[-1][0]
        # ln p against 1/T, for which the abscissa must ascend.
        points.reverse()
        curve = PchipInterpolator([1.0 / t for t, _ in points], [math.log(p) for _, p in points])

        def by_points(t: float) -> float:
            return math.exp(float(curve(1.0 / t)))

        return by_points, lambda t: -by_points(t) * float(curve(1.0 / t, 1)) / t**2

    def _temperature_on_curve(self, p: float) -> float:
        low, high = self.bounds
        low, high = max(low, 200.0), min(high, self.warmest)
        return float(brentq(lambda t: math.log(self._curve(t) / p), low, high, xtol=1e-12, rtol=1e-14))

    def pressure(self, t: float) -> float:
        """Bulb pressure [Pa]; NaN beyond the curve."""
        if t > self.t_limit:
            return self.p_limit * t / self.t_limit
        if not self.bounds[0] - 1e-9 <= t <= self.bounds[1] + 1e-9:
            return math.nan
        try:
            return float(self._curve(t))
        except OutOfRangeError:
            return math.nan

    def slope(self, t: float) -> float:
        """Change of bulb pressure with temperature [Pa/K]."""
        return self.p_limit / self.t_limit if t > self.t_limit else float(self._slope(t))

    @property
    def highest(self) -> float:
        """Greatest bulb pressure that the curve gives [Pa]."""
        if math.isfinite(self.t_limit):
            return math.inf
        return float(self._curve(min(self.bounds[1], self.warmest)))

    def temperature(self, p: float) -> float:
        """Bulb temperature [K] at a bulb pressure."""
        if p > self.p_limit:
            return self.t_limit * p / self.p_limit
        return self._temperature_on_curve(p)

    def is_for(self, refrigerant: str, temperature_range: str) -> bool:
        """Whether it is fitted for a refrigerant in an application."""
        return refrigerant in self.config["refrigerants"] and temperature_range in self.config["temperature_ranges"]

    def load(self, state: Any, is_internal: bool) -> float:
        """What the bulb acts against at a state, but for the stroke [Pa]."""
        under = state.outlet_pressure_pa if is_internal else state.evaporating_pressure_pa
        return float(under + self.spring + self.unbalance * (state.pressure_drop_pa - self.reference_drop))

    def opening(self, state: Any, superheat: float, is_internal: bool) -> float:
        """phi at a superheat, before any stop."""
        bulb = self.pressure(state.evaporating_temperature_k + superheat)
        return float((bulb - self.load(state, is_internal)) / self.gradient)


# What of a size is not another part's.
_BARE = ("size", "kv", "capacity")


class Family:
    """One valve family, or the part of it whose sizes differ in Kv alone."""

    def __init__(self, config: Mapping[str, Any], fluids: Mapping[str, Fluid]) -> None:
        self.config = config
        self.name = str(config["family"])
        self.is_electronic = config["kind"] != "thermostatic"
        self.drive, self.maximum = "", 1.0
        self.law = FlowLaw(config)
        # A gauge pressure: the site is added where it is known.
        self.working_pressure_gauge = number(config["working_pressure"], 0.0)
        self.allowed_differential = number(config["allowed_differential"])
        self.sizes = [(str(size["size"]), self._kv(size, fluids)) for size in config["sizes"]]
        if self.is_electronic:
            self.drive = {"stepper": "stepper", "pulse_modulated": "pulse"}[config["kind"]]
            if config["kind"] == "stepper":
                self.maximum = 1.0 - number(config["control_reserve"])
                self.minimum = float(config["minimum_steps"]) / float(config["full_steps"])
                self.reasons = "control_reserve", "min_step"
            else:
                self.maximum, self.minimum = number(config["maximum_duty"]), number(config["minimum_duty"])
                self.reasons = "max_duty", "min_duty"
            self.controller = config.get("controller")
            self.characteristic = Characteristic(config.get("characteristic"), 1.0)
            self.charges: list[Charge] = []
            self._with_loss(config.get("loss"))
            return
        opening = config["opening"]
        self.stop, self.stable = number(opening["stop"]), number(opening["minimum_stable"])
        self.seat = number(opening.get("smallest_controlled", "5 percent"))
        reserve = number(opening.get("reserve_in_limits", "0 percent"))
        self.widest = 1.0 + reserve * (self.stop - 1.0)
        self.widest_reason = "stop" if reserve == 1.0 else "rated_stroke"
        self.characteristic = Characteristic(opening.get("points"), self.stop)
        self.is_internal = config["equalizer"] == "internal"
        unbalance = number(config["port"]["unbalance"])
        self.charges = [Charge(charge, fluids, unbalance) for charge in config["charges"]]
        self._with_loss(config.get("loss"))

    def _kv(self, size: Mapping[str, Any], fluids: Mapping[str, Fluid]) -> float:
        """Kv as given, or from the capacity at the family's rating."""
        if "kv" in size:
            return number(size["kv"])
        rating = self.config["rating"]
        fluid = fluids[rating["refrigerant"]]
        t_l, t_e = number(rating["liquid_temperature"]), number(rating["evaporating_temperature"])
        p_1 = fluid.p_bubble(t_l + number(rating["subcooling"]))
        rho, h_l = fluid.liquid(p_1, t_l)
        h_g = fluid.gas(fluid.p_dew(t_e), t_e + number(rating["useful_superheat"]))[1]
        p_2 = p_1 - number(rating["pressure_drop"])
        drop = self.law.effective(p_1, p_2, fluid.p_bubble(t_l), fluid.p_critical)
        return 3600.0 * number(size["capacity"]) / (h_g - h_l) / math.sqrt(1000.0 * rho * drop / 1e5)

    def parts(self, fluids: Mapping[str, Fluid]) -> list[Family]:
        """A family for each size that has data of its own, and one for those that have none, in order of first size."""
        found: dict[str, list[Any]] = {}
        for size in self.config["sizes"]:
            own = "port_design" in size or "connection_loss" in size or "connection_loss" in self.config
            found.setdefault(str(size["size"]) if own else "", []).append(size)
        if list(found) == [""]:
            return [self]
        designs = {design["design"]: design for design in self.config.get("port_designs", ())}
        made = []
        for sizes in found.values():
            first = sizes[0]
            design = {k: v for k, v in designs.get(first.get("port_design"), {}).items() if k != "design"}
            loss = {k: first[k] for k in ("connection_loss",) if k in first}
            config = {**self.config, **design, **loss, "sizes": [{k: s[k] for k in s if k in _BARE} for s in sizes]}
            config["loss"] = config.pop("connection_loss", None)
            made.append(Family(config, fluids))
        return made

    def _with_loss(self, loss: Mapping[str, Any] | None) -> None:
        """Put the connections in series with the port."""
        if loss is None:
            return
        [(name, kv)], body = self.sizes, number(loss["kv"])
        port = kv if loss["size_kv"] == "without_connections" else (kv**-2.0 - body**-2.0) ** -0.5
        self.sizes = [(name, in_series(port, body))]
        # A pulse-modulated port is open wholly or not at all, so its mean flow follows the duty whatever is in series.
        if self.config["kind"] == "pulse_modulated":
            return
        self.characteristic.port, self.characteristic.body = port, body

    def charge(self, refrigerant: str, application: str) -> Charge | None:
        """The first charge that is for the case."""
        return next((c for c in self.charges if c.is_for(refrigerant, application)), None)


def _five_point_slope(curve: Callable[[float], float], t: float, h: float) -> float:
    """The slope of a smooth curve, to h^4."""
    far, near = curve(t + 2.0 * h) - curve(t - 2.0 * h), curve(t + h) - curve(t - h)
    return (8.0 * near - far) / (12.0 * h)
