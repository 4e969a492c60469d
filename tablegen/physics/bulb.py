"""Bulb charges: the pressure that the sealed bulb puts on the diaphragm against its temperature.

A charge is a curve (saturation of a named fluid, points, or Antoine constants) and, optionally, a maximum
operating pressure (MOP), above which the bulb contains no liquid and its gas only expands.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from tablegen.physics.arrays import Bools, Floats, snapped
from tablegen.physics.monotone import MonotoneCubic
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import input_errors as wording


class ChargeCurve(Protocol):
    """Absolute bulb pressure [Pa] over bulb temperature [K] and back, NaN outside `range_k`."""

    @property
    def range_k(self) -> tuple[float, float]:
        """The bulb temperatures that the curve covers [K]."""
        ...

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa] at bulb temperature [K]."""
        ...

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at absolute bulb pressure [Pa]: the inverse of `pressure`, where that rises."""
        ...

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K] at bulb temperature [K]."""
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
    _log_p: MonotoneCubic = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        temperature, pressure = np.asarray(self.temperature_k), np.asarray(self.pressure_pa)
        if len(temperature) < 2 or np.any(np.diff(temperature) <= 0.0) or np.any(np.diff(pressure) <= 0.0):
            raise ValueError(wording.CHARGE_POINTS())
        curve = MonotoneCubic.through((1.0 / temperature)[::-1], np.log(pressure)[::-1])
        object.__setattr__(self, "_log_p", curve)

    @property
    def logarithm(self) -> MonotoneCubic:
        """The curve itself: ln p [Pa] over 1/T [1/K]."""
        return self._log_p

    @property
    def range_k(self) -> tuple[float, float]:
        """First and last point's temperature [K]."""
        return self.temperature_k[0], self.temperature_k[-1]

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa]; NaN outside the points."""
        inside = snapped(temperature_k, self.range_k)
        return np.exp(self._log_p(1.0 / inside))

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at an absolute bulb pressure [Pa]; NaN outside the points."""
        return 1.0 / self._log_p.inverse(np.log(pressure_pa))

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K]; NaN outside the points."""
        inside = snapped(temperature_k, self.range_k)
        return -self.pressure(inside) * self._log_p.slope(1.0 / inside) / inside**2


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

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at an absolute bulb pressure [Pa]: T = B / (A - log10(p / 1 kPa)) - C, in degC."""
        found = snapped(self.b / (self.a - np.log10(pressure_pa / 1000.0)) - self.c + 273.15, self.range_k)
        return np.where((found >= self.range_k[0]) & (found <= self.range_k[1]), found, np.nan)

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K]; NaN outside the stated range."""
        per_kelvin = float(np.log(10.0)) * self.b / (self.c + np.asarray(temperature_k) - 273.15) ** 2
        return np.asarray(self.pressure(temperature_k) * per_kelvin)


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

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at an absolute bulb pressure [Pa]; NaN outside the range."""
        return self.fluid.bubble_temperature(pressure_pa)

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K]; NaN outside the range."""
        return self.fluid.bubble_pressure_slope(temperature_k)


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

    def slope(self, temperature_k: Floats) -> Floats:
        """Derivative of `pressure` [Pa/K]: that of the curve up to T_m, above it that of the gas, p(T_m) / T_m."""
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        limit_k = self.limit_temperature_k
        of_curve = self.curve.slope(np.minimum(temperature_k, limit_k))
        if np.isinf(limit_k):
            return of_curve
        of_gas = self.curve.pressure(np.asarray(limit_k)) / limit_k
        return np.where(temperature_k > limit_k, of_gas, of_curve)

    def is_above_limit(self, temperature_k: Floats) -> Bools:
        """Whether the bulb is warmer than T_m, where only gas is left in it."""
        return np.asarray(temperature_k) > self.limit_temperature_k

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at an absolute bulb pressure [Pa], up to 100 K above T_m; NaN outside the curve."""
        limit_k = self.limit_temperature_k
        if np.isinf(limit_k):
            return self.curve.temperature(pressure_pa)
        limit_pa = self.curve.pressure(np.asarray(limit_k))
        gas_k = limit_k * (pressure_pa / limit_pa)
        # No bulb gets warmer than this by far.
        gas_k = np.where(gas_k <= limit_k + 100.0, gas_k, np.nan)
        return np.where(pressure_pa > limit_pa, gas_k, self.curve.temperature(np.minimum(pressure_pa, limit_pa)))


def limit_temperature(curve: ChargeCurve, mop_pa: float, spring_pa: float) -> float:
    """Bulb temperature T_m of an MOP, where p_charge(T_m) = p_MOP + p_spring0.

    Parameters
    ----------
    curve : ChargeCurve
    mop_pa : float
        Maximum operating pressure, absolute [Pa].
    spring_pa : float
        Spring pressure, just open [Pa].

    Returns
    -------
    float
        [K]; NaN if it is not on the curve.
    """
    return float(curve.temperature(np.asarray(mop_pa + spring_pa)))
