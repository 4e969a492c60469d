"""Property tables: Chebyshev series instead of an equation of state, and their evaluation.

A table covers three regions of one composition, in coordinates in which the properties are smooth:

- saturation, bubble and dew, over sqrt(T_c - T), which takes out the square-root bend toward the
  critical point;
- compressed liquid, over the same and the position of the pressure between the bubble pressure and the top;
- superheated vapor, over sqrt(T_c - T_dew) and ln(1 + superheat / L), L a share of T_c - T_dew.

Against the equation of state itself the largest relative error is below 1e-6 within `CRITICAL_MARGIN_K`
of the critical point, and below 2e-8 where valves work (tests/physics/test_property_table.py).

References
----------
L. N. Trefethen, "Approximation Theory and Approximation Practice", SIAM (2013), chapters 2 to 4
(not checked against the source): interpolation in Chebyshev points of the first kind.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.polynomial import chebyshev

from tablegen.physics.arrays import Floats, bounded

# Raised whenever a table of an older layout must not be read any more.
LAYOUT = 4
# Saturation within this of the critical point is not used: the solver loses its footing there.
CRITICAL_MARGIN_K = 3.0
# Superheated vapor is tabulated for dew temperatures up to this far below the critical one.
VAPOR_MARGIN_K = 10.0
COLDEST_K = 205.0
MAX_SUPERHEAT_K = 70.0
# Compressed liquid is tabulated up to this multiple of the bubble pressure at the warmest temperature.
TOP_PRESSURE_SHARE = 1.15
SATURATION_ORDER = 40
LIQUID_ORDER = (40, 16)
VAPOR_ORDER = (32, 16)
_SUPERHEAT_SHARE = 0.3
# A state that misses the edge of its region by rounding alone is taken as lying on it.
_EDGE = 1e-9
# Points of the coarse table that starts the search for a saturation temperature.
_COARSE = 200
BUBBLE, DEW = 0, 1
# From so many points on it is worth while to look for equal ones.
_MANY = 64


def nodes(order: int) -> Floats:
    """Chebyshev points of the first kind.

    Parameters
    ----------
    order : int

    Returns
    -------
    array (order,)
        Ascending, on (-1, 1) [1].
    """
    return np.ascontiguousarray(np.cos(np.pi * (np.arange(order) + 0.5) / order)[::-1])


def basis(coordinate: Floats, order: int) -> Floats:
    """Chebyshev polynomials T_0 to T_(order-1), T_n(x) = cos(n arccos x).

    Parameters
    ----------
    coordinate : array
        On (-1, 1) [1].
    order : int

    Returns
    -------
    array (..., order)
        The polynomials on a new last axis [1].
    """
    degrees = np.arange(order, dtype=np.float64)
    if coordinate.size < _MANY:
        return np.asarray(np.cos(np.arccos(bounded(coordinate, -1.0, 1.0))[..., None] * degrees))
    # States that are solved with one thing off at a time, and valves drawn again, have most of their points in common.
    distinct, place = np.unique(coordinate, return_inverse=True)
    polynomials = np.cos(np.arccos(bounded(distinct, -1.0, 1.0))[:, None] * degrees)
    return np.asarray(polynomials[place.reshape(coordinate.shape)])


def series(values: Floats) -> Floats:
    """Chebyshev coefficients of the polynomial through values at the nodes.

    Parameters
    ----------
    values : array (..., order)
        In any one unit.

    Returns
    -------
    array (..., order)
        In the same unit.
    """
    order = values.shape[-1]
    # Discrete orthogonality of the polynomials over their own nodes.
    weights = basis(nodes(order), order) * (2.0 / order)
    weights[:, 0] *= 0.5
    return np.asarray(values @ weights)


def surface(values: Floats) -> Floats:
    """Chebyshev coefficients of the surface through values at a grid of nodes.

    Parameters
    ----------
    values : array (..., m, n)
        In any one unit.

    Returns
    -------
    array (..., m, n)
        In the same unit.
    """
    # Laid out as it is when it comes from disk: a product with a view of other strides may differ in the last bit.
    return np.ascontiguousarray(np.swapaxes(series(np.swapaxes(series(values), -1, -2)), -1, -2))


@dataclass(frozen=True, slots=True)
class Range:
    """Where a table is valid: critical temperature [K] and pressure [Pa], coldest and warmest saturation [K]."""

    critical_temperature_k: float
    critical_pressure_pa: float
    coldest_k: float

    @property
    def warmest_k(self) -> float:
        """The warmest saturation temperature [K]."""
        return self.critical_temperature_k - CRITICAL_MARGIN_K

    def coordinate(self, temperature_k: Floats, margin_k: float = CRITICAL_MARGIN_K) -> Floats:
        """A temperature [K] on (-1, 1), hot to cold, linear in sqrt(T_c - T); NaN outside the range."""
        near, far = self._ends(margin_k)
        distance = self.critical_temperature_k - temperature_k
        is_inside = (distance >= margin_k - _EDGE) & (temperature_k >= self.coldest_k - _EDGE)
        root = np.sqrt(np.where(is_inside, distance, np.nan))
        return np.asarray(2.0 * (root - near) / (far - near) - 1.0)

    def temperature(self, coordinate: Floats, margin_k: float = CRITICAL_MARGIN_K) -> Floats:
        """The temperature [K] at a coordinate."""
        near, far = self._ends(margin_k)
        return np.asarray(self.critical_temperature_k - (near + 0.5 * (far - near) * (coordinate + 1.0)) ** 2)

    def slope(self, temperature_k: Floats) -> Floats:
        """d(coordinate)/dT [1/K] of the saturation range."""
        near, far = self._ends(CRITICAL_MARGIN_K)
        return np.asarray(-1.0 / ((far - near) * np.sqrt(self.critical_temperature_k - temperature_k)))

    def _ends(self, margin_k: float) -> tuple[float, float]:
        return float(np.sqrt(margin_k)), float(np.sqrt(self.critical_temperature_k - self.coldest_k))


def superheat_coordinate(range_: Range, dew_k: Floats, superheat_k: Floats) -> Floats:
    """A superheat over a dew temperature as a coordinate.

    Parameters
    ----------
    range_ : Range
    dew_k : array
        Dew temperature [K].
    superheat_k : array
        [K].

    Returns
    -------
    array
        On (-1, 1) [1]; NaN outside 0 to MAX_SUPERHEAT_K.
    """
    scale = _SUPERHEAT_SHARE * (range_.critical_temperature_k - dew_k)
    is_inside = (superheat_k >= -_EDGE) & (superheat_k <= MAX_SUPERHEAT_K + _EDGE)
    inside = np.where(is_inside, superheat_k, np.nan)
    return np.asarray(2.0 * np.log1p(inside / scale) / np.log1p(MAX_SUPERHEAT_K / scale) - 1.0)


def superheat_at(range_: Range, dew_k: Floats, coordinate: Floats) -> Floats:
    """The superheat at a coordinate: the inverse of `superheat_coordinate`.

    Parameters
    ----------
    range_ : Range
    dew_k : array
        Dew temperature [K].
    coordinate : array
        On (-1, 1) [1].

    Returns
    -------
    array
        [K].
    """
    scale = _SUPERHEAT_SHARE * (range_.critical_temperature_k - dew_k)
    return np.asarray(scale * np.expm1(0.5 * (coordinate + 1.0) * np.log1p(MAX_SUPERHEAT_K / scale)))


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyTable:
    """Coefficients of one composition.

    Attributes
    ----------
    range : Range
    saturation : array (2, 3, SATURATION_ORDER)
        Bubble and dew; ln of pressure [Pa], ln of density [kg/m3], enthalpy [J/kg].
    entropy : array (2, SATURATION_ORDER)
        Bubble and dew; entropy [J/(kg K)].
    liquid, vapor : array (2, m, n)
        ln of density [kg/m3], enthalpy [J/kg].
    """

    range: Range
    saturation: Floats
    entropy: Floats
    liquid: Floats
    vapor: Floats
    _coarse: Floats = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # For either side ln p, 1/T and d(1/T)/d(ln p), ascending in ln p: where the search for a temperature starts.
        temperature = self.range.temperature(np.linspace(1.0, -1.0, _COARSE))
        polynomials = basis(self.range.coordinate(temperature), SATURATION_ORDER)
        coarse = np.empty((2, 3, _COARSE))
        for side in (BUBBLE, DEW):
            derivative = np.append(chebyshev.chebder(self.saturation[side, 0]), 0.0)
            per_kelvin = (polynomials @ derivative) * self.range.slope(temperature)
            slope = -1.0 / (temperature**2 * per_kelvin)
            coarse[side] = polynomials @ self.saturation[side, 0], 1.0 / temperature, slope
        object.__setattr__(self, "_coarse", coarse)

    def saturated(self, side: int, temperature_k: Floats) -> tuple[Floats, Floats, Floats]:
        """Pressure [Pa], density [kg/m3] and enthalpy [J/kg] at a temperature [K]; NaN out of range."""
        polynomials = basis(self.range.coordinate(temperature_k), SATURATION_ORDER)
        found = polynomials @ self.saturation[side].T
        return np.exp(found[..., 0]), np.exp(found[..., 1]), found[..., 2]

    def saturation_slope(self, side: int, temperature_k: Floats) -> Floats:
        """Derivative of the saturation pressure [Pa/K] at a temperature [K]; NaN out of range."""
        derivative = np.append(chebyshev.chebder(self.saturation[side, 0]), 0.0)
        per_kelvin = basis(self.range.coordinate(temperature_k), SATURATION_ORDER) @ derivative
        return np.asarray(self.saturated(side, temperature_k)[0] * per_kelvin * self.range.slope(temperature_k))

    def saturated_entropy(self, side: int, temperature_k: Floats) -> Floats:
        """Entropy [J/(kg K)] at a temperature [K]; NaN out of range."""
        return np.asarray(basis(self.range.coordinate(temperature_k), SATURATION_ORDER) @ self.entropy[side])

    def saturation_temperature(self, side: int, pressure_pa: Floats) -> Floats:
        """Temperature [K] at which the saturation pressure is the given one [Pa]; NaN out of range.

        A cubic through two neighbors of a coarse table with their slopes, then one Newton step on the exact ln p,
        which squares the cubic's error.
        """
        log_p, reciprocal, slope = self._coarse[side]
        is_inside = (pressure_pa >= np.exp(log_p[0]) * (1 - _EDGE)) & (pressure_pa <= np.exp(log_p[-1]) * (1 + _EDGE))
        wanted = bounded(np.log(np.where(is_inside, pressure_pa, np.nan)), log_p[0], log_p[-1])
        left = np.minimum(np.maximum(np.searchsorted(log_p, wanted) - 1, 0), _COARSE - 2)
        step = log_p[left + 1] - log_p[left]
        t = (wanted - log_p[left]) / step
        rise = reciprocal[left + 1] - reciprocal[left]
        first, last = step * slope[left] - rise, rise - step * slope[left + 1]
        guess = reciprocal[left] + t * rise + t * (1.0 - t) * (first * (1.0 - t) + last * t)
        x = self.range.coordinate(bounded(1.0 / guess, self.range.coldest_k, self.range.warmest_k))
        missed = wanted - basis(x, SATURATION_ORDER) @ self.saturation[side, 0]
        between = slope[left] + t * (slope[left + 1] - slope[left])
        found = 1.0 / (guess + missed * between)
        return np.asarray(bounded(found, self.range.coldest_k, self.range.warmest_k))

    def compressed(self, temperature_k: Floats, pressure_pa: Floats) -> tuple[Floats, Floats]:
        """Density [kg/m3] and enthalpy [J/kg] of liquid at T [K] and p [Pa]; NaN out of range or below bubble."""
        return self._compressed(basis(self.range.coordinate(temperature_k), SATURATION_ORDER), pressure_pa)

    def compressed_or_bubble(self, temperature_k: Floats, pressure_pa: Floats) -> tuple[Floats, Floats, Floats]:
        """Bubble pressure [Pa] at T [K], and density [kg/m3] and enthalpy [J/kg] at p [Pa], or at bubble if it is above."""
        polynomials = basis(self.range.coordinate(temperature_k), SATURATION_ORDER)
        bubble_pa = np.exp((polynomials @ self.saturation[BUBBLE].T)[..., 0])
        return bubble_pa, *self._compressed(polynomials, np.fmax(pressure_pa, bubble_pa))

    def superheated(self, temperature_k: Floats, pressure_pa: Floats) -> tuple[Floats, Floats]:
        """Density [kg/m3] and enthalpy [J/kg] of vapor at T [K] and p [Pa]; NaN out of range or below dew."""
        dew_k = self.saturation_temperature(DEW, pressure_pa)
        polynomials = basis(self.range.coordinate(dew_k, VAPOR_MARGIN_K), VAPOR_ORDER[0])
        superheat = superheat_coordinate(self.range, dew_k, temperature_k - dew_k)
        return self._surface(self.vapor, polynomials, superheat)

    @property
    def top_pressure_pa(self) -> float:
        """The maximum pressure of the liquid table [Pa]."""
        return top_pressure(self.range, self.saturation)

    def _compressed(self, polynomials: Floats, pressure_pa: Floats) -> tuple[Floats, Floats]:
        """As `compressed`, from the polynomials over the temperature, of which both tables have as many."""
        bubble = np.exp(polynomials @ self.saturation[BUBBLE, 0])
        place = (pressure_pa - bubble) / (self.top_pressure_pa - bubble)
        is_inside = (place >= -_EDGE) & (place <= 1.0 + _EDGE)
        return self._surface(self.liquid, polynomials, 2.0 * np.where(is_inside, place, np.nan) - 1.0)

    @staticmethod
    def _surface(coefficients: Floats, over_x: Floats, y: Floats) -> tuple[Floats, Floats]:
        *rows, points = y.shape or (1,)
        # Each row by itself, so that a state does not depend on the other rows, to the last bit.
        over_x = np.broadcast_to(over_x, (*y.shape, over_x.shape[-1])).reshape(*rows, 1, points, -1)
        over_y = basis(y, coefficients.shape[2]).reshape(*rows, points, -1)
        log_rho, enthalpy = np.einsum("...knj,...nj->k...n", over_x @ coefficients, over_y).reshape(2, *y.shape)
        return np.exp(log_rho), enthalpy


def top_pressure(range_: Range, saturation: Floats) -> float:
    """The maximum pressure of the liquid table.

    Parameters
    ----------
    range_ : Range
    saturation : array (2, 3, SATURATION_ORDER)
        As in `PropertyTable` [SI].

    Returns
    -------
    float
        [Pa].
    """
    warmest = basis(range_.coordinate(np.asarray(range_.warmest_k)), SATURATION_ORDER) @ saturation[BUBBLE, 0]
    return TOP_PRESSURE_SHARE * float(np.exp(warmest))
