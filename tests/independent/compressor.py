"""A compressor's mass flow, but for a factor, from suction and head pressure."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from .fluid import Fluid
from .reading import number


class Compressor:
    """One of the forms of the model page, but for constant capacity, which has no flow of its own; a flow outside what the form covers is NaN."""

    def __init__(self, config: Mapping[str, Any], fluid: Fluid) -> None:
        self.config, self.fluid = config, fluid
        self.kind: str = config["kind"]
        self.min_step = number(config.get("minimum_capacity", "100 percent"))
        self.loss = number(config.get("discharge_line_loss", "0 Pa"))
        self.is_constant_capacity = self.kind == "constant_capacity"
        if self.is_constant_capacity:
            return
        self.return_superheat = number(config["return_gas_superheat"])
        if self.kind == "table":
            self.suction = [number(t) for t in config["suction"]]
            self.discharge = [number(t) for t in config["discharge"]]

    def flow(self, t_suction: float, p_head: float) -> float:
        """Mass flow, but for a factor, from the suction's dew temperature [K] and the head pressure [Pa]."""
        if self.kind == "clearance":
            return self._clearance(t_suction, p_head)
        t_discharge = self.fluid.t_dew(p_head + self.loss)
        if self.kind == "polynomial":
            return self._polynomial(t_suction, t_discharge)
        return self._table(t_suction, t_discharge)

    def suction_bounds(self) -> tuple[float, float]:
        """Suction dew temperatures [K] between which a flow can be had at all."""
        if self.kind == "clearance" or self.config.get("extrapolate") == "allowed":
            return -math.inf, math.inf
        if self.kind == "table":
            return self.suction[0], self.suction[-1]
        low, high = (number(t) for t in self.config["map"]["suction"])
        return low, high

    def _clearance(self, t_suction: float, p_head: float) -> float:
        p_suction = self.fluid.p_dew(t_suction)
        clearance, exponent = number(self.config["clearance"]), float(self.config["re_expansion_exponent"])
        ratio = (p_head + self.loss) / p_suction
        efficiency = 1.0 + clearance - clearance * ratio ** (1.0 / exponent)
        if efficiency <= 0.0:
            return math.nan
        return float(efficiency * self.fluid.gas(p_suction, t_suction + self.return_superheat)[0])

    def _polynomial(self, t_suction: float, t_discharge: float) -> float:
        if self.config.get("extrapolate", "refused") == "refused":
            bounds = self.config["map"]
            for key, t in (("suction", t_suction), ("discharge", t_discharge)):
                low, high = (number(bound) for bound in bounds[key])
                if not low - 1e-9 <= t <= high + 1e-9:
                    return math.nan
        fahrenheit = self.config["temperatures_in"] == "degF"
        s, d = (t * 1.8 - 459.67 if fahrenheit else t - 273.15 for t in (t_suction, t_discharge))
        # The order of AHRI 540.
        terms = (1.0, s, d, s * s, s * d, d * d, s**3, d * s * s, s * d * d, d**3)
        flow = sum(float(c) * term for c, term in zip(self.config["coefficients"], terms, strict=True))
        return flow if flow > 0.0 else math.nan

    def _table(self, t_suction: float, t_discharge: float) -> float:
        i, u = _cell(self.suction, t_suction)
        j, v = _cell(self.discharge, t_discharge)
        if i < 0 or j < 0:
            return math.nan
        f = self.config["flows"]
        cold = f[i][j] * (1.0 - v) + f[i][j + 1] * v
        warm = f[i + 1][j] * (1.0 - v) + f[i + 1][j + 1] * v
        return float(cold * (1.0 - u) + warm * u)


def _cell(column: list[float], value: float) -> tuple[int, float]:
    """The interval that contains a value and how far in it lies; -1 where none does."""
    for i in range(len(column) - 1):
        low, high = column[i], column[i + 1]
        if low - 1e-9 <= value <= high + 1e-9:
            return i, (value - low) / (high - low)
    return -1, math.nan
