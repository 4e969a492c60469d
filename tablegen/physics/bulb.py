"""Bulb charges: the pressure that the sealed bulb puts on the diaphragm against its temperature.

A charge is a curve (saturation of a named fluid, points, or Antoine constants) and, optionally, a maximum
operating pressure (MOP), above which the last liquid in the bulb is gone and its gas only expands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize.elementwise import find_root

from tablegen.physics.arrays import Bools, Floats, snapped
from tablegen.physics.refrigerants import Refrigerant


class ChargeCurve(Protocol):
    """Absolute bulb pressure [Pa] over bulb temperature [K], NaN outside `range_k`."""

    @property
    def range_k(self) -> tuple[float, float]:
        """The bulb temperatures that the curve covers [K]."""
        ...

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa] at bulb temperature [K]."""
        ...


@dataclass(frozen=True, slots=True)
class PointsCurve:
    """A cross or adsorption charge by points [K] and [Pa], monotone (PCHIP) in ln p against 1/T.

    Raises
    ------
    ValueError
        For fewer than two points, or points that do not ascend in both temperature and pressure.
    """

    temperature_k: tuple[float, ...]
    pressure_pa: tuple[float, ...]
    _log_p: PchipInterpolator = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        temperature, pressure = np.asarray(self.temperature_k), np.asarray(self.pressure_pa)
        if len(temperature) < 2 or np.any(np.diff(temperature) <= 0.0) or np.any(np.diff(pressure) <= 0.0):
            raise ValueError("at least two points, ascending in temperature and in pressure")
        inverse = 1.0 / temperature
        curve = PchipInterpolator(inverse[::-1], np.log(pressure)[::-1], extrapolate=False)
        object.__setattr__(self, "_log_p", curve)

    @property
    def range_k(self) -> tuple[float, float]:
        """First and last point's temperature [K]."""
        return self.temperature_k[0], self.temperature_k[-1]

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa]; NaN outside the points."""
        inside = snapped(temperature_k, self.range_k)
        return np.exp(np.asarray(self._log_p(1.0 / inside), dtype=np.float64))


@dataclass(frozen=True, slots=True)
class AntoineCurve:
    """A cross charge by Antoine constants: log10(p / 1 kPa) = A - B / (C + T), T in degC."""

    a: float
    b: float
    c: float
    range_k: tuple[float, float]

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa]; NaN outside the stated range."""
        temperature_k = snapped(temperature_k, self.range_k)
        pressure = 1000.0 * 10.0 ** (self.a - self.b / (self.c + temperature_k - 273.15))
        return np.where((temperature_k >= self.range_k[0]) & (temperature_k <= self.range_k[1]), pressure, np.nan)


@dataclass(frozen=True, slots=True)
class SaturationCurve:
    """A liquid charge: the bubble-point curve of a named fluid.

    Assumption: a bulb with a liquid charge is nearly full of liquid, so a blend in it lies at its bubble point.
    """

    fluid: Refrigerant

    @property
    def range_k(self) -> tuple[float, float]:
        """Where the fluid's saturation can be computed [K]."""
        return self.fluid.coldest_k, self.fluid.warmest_k

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa]; NaN outside the range."""
        return self.fluid.bubble(temperature_k).pressure_pa


@dataclass(frozen=True, slots=True)
class BulbCharge:
    """A charge curve, capped above `limit_temperature_k` where the charge has an MOP (infinite where it has none)."""

    curve: ChargeCurve
    limit_temperature_k: float = np.inf

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa]: the curve up to T_m, above it p(T_m) T / T_m."""
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        liquid = self.curve.pressure(np.minimum(temperature_k, self.limit_temperature_k))
        if np.isinf(self.limit_temperature_k):
            return liquid
        return liquid * np.maximum(temperature_k / self.limit_temperature_k, 1.0)

    def is_above_limit(self, temperature_k: Floats) -> Bools:
        """Whether the bulb is warmer than T_m, where only gas is left in it."""
        return np.asarray(temperature_k) > self.limit_temperature_k

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at an absolute bulb pressure [Pa]; NaN outside the curve."""
        low, high = self.curve.range_k
        if np.isfinite(self.limit_temperature_k):
            # Gas keeps expanding above T_m; 100 K over it is beyond any bulb.
            high = self.limit_temperature_k + 100.0
        return solve(lambda t, p: self.pressure(t) - p, low, high, pressure_pa)


def limit_temperature(curve: ChargeCurve, mop_pa: float, spring_pa: float) -> float:
    """T_m [K], where p_charge(T_m) = p_MOP + p_spring0 (all absolute [Pa]); NaN if not on the curve."""
    low, high = curve.range_k
    return float(solve(lambda t, p: curve.pressure(t) - p, low, high, np.asarray(mop_pa + spring_pa)))


def solve(function: Callable[..., Floats], low: float | Floats, high: float | Floats, *args: Floats) -> Floats:
    """The root of a monotone function of x and `args` in [low, high], elementwise; NaN where there is none."""
    bracket = np.broadcast_arrays(
        np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64), *(np.asarray(a) for a in args)
    )
    with np.errstate(invalid="ignore"):
        found = find_root(function, (bracket[0], bracket[1]), args=tuple(bracket[2:]), tolerances={"xrtol": 4e-16})
    return np.where(found.success, found.x, np.nan)
