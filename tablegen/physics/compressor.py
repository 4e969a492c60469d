"""Compressor mass flow, of which only ratios are used: flow at a head over flow at the rating point.

References
----------
AHRI 540, "Performance Rating of Positive Displacement Refrigerant Compressors": the ten-coefficient
polynomial and its order of terms.
ASHRAE Handbook - HVAC Systems and Equipment, "Compressors": clearance volumetric efficiency (not checked
against the source; the form is in any refrigeration textbook).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from tablegen.physics import equations as eq
from tablegen.physics.arrays import Bools, Floats, snapped

_ZERO_C = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class CompressorPoint:
    """Where a compressor works: arrays of one shape.

    Dew temperatures [K] at the inlet and the outlet, absolute pressures [Pa] there, and the density
    [kg/m3] of the gas that it draws in.  The outlet includes the loss of the discharge line.
    """

    suction_dew_k: Floats
    discharge_dew_k: Floats
    suction_pressure_pa: Floats
    discharge_pressure_pa: Floats
    suction_density_kg_m3: Floats


class Compressor(Protocol):
    """A description of a compressor's mass flow, to a constant factor."""

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Mass flow in any unit, the same for every point; NaN outside what the description covers."""
        ...


@dataclass(frozen=True, slots=True)
class PolynomialCompressor:
    """The ten-coefficient mass-flow polynomial of AHRI 540.

    X = C1 + C2 S + C3 D + C4 S2 + C5 S D + C6 D2 + C7 S3 + C8 D S2 + C9 S D2 + C10 D3, S and D the
    suction and discharge dew temperatures, in degC or, where `is_fahrenheit`, in degF.
    `suction_k` and `discharge_k` bound the map [K]; None allows extrapolation.
    """

    coefficients: tuple[float, ...]
    is_fahrenheit: bool
    suction_k: tuple[float, float] | None = None
    discharge_k: tuple[float, float] | None = None

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Mass flow in the unit of the coefficients; NaN outside the map or where the polynomial is not positive."""
        s, d = (self._degrees(t) for t in (point.suction_dew_k, point.discharge_dew_k))
        flow = eq.compressor_polynomial(s, d, *self.coefficients)
        inside = (flow > 0.0) & _within(point.suction_dew_k, self.suction_k)
        inside &= _within(point.discharge_dew_k, self.discharge_k)
        return np.where(inside, flow, np.nan)

    def _degrees(self, temperature_k: Floats) -> Floats:
        celsius = temperature_k - _ZERO_C
        return 1.8 * celsius + 32.0 if self.is_fahrenheit else celsius


@dataclass(frozen=True, slots=True)
class ClearanceCompressor:
    """A reciprocating compressor by its clearance: eta_v = 1 + C - C r^(1/n), times suction density.

    `clearance` C is the clearance volume over the swept volume [1], `exponent` n that of re-expansion [1].
    """

    clearance: float
    exponent: float

    def volumetric_efficiency(self, pressure_ratio: Floats) -> Floats:
        """eta_v [1] at a pressure ratio discharge over suction [1]; NaN where nothing is pumped."""
        efficiency = eq.volumetric_efficiency(C=self.clearance, p_h=pressure_ratio, p_s=1.0, n=self.exponent)
        return np.where(efficiency > 0.0, efficiency, np.nan)

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Mass flow per swept volume [kg/m3]."""
        ratio = point.discharge_pressure_pa / point.suction_pressure_pa
        return eq.flow_per_swept_volume(eta=self.volumetric_efficiency(ratio), rho_s=point.suction_density_kg_m3)


@dataclass(frozen=True, slots=True)
class TableCompressor:
    """A table of relative mass flows over suction and discharge dew temperatures, interpolated linearly.

    `suction_k` and `discharge_k` ascend [K]; `flows[i][j]` belongs to suction i and discharge j [any unit].
    """

    suction_k: tuple[float, ...]
    discharge_k: tuple[float, ...]
    flows: tuple[tuple[float, ...], ...]

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Relative mass flow; NaN outside the table."""
        # Here, not above: it takes a third of a second to load, and most compressors are no tables.
        from scipy.interpolate import RegularGridInterpolator

        table = RegularGridInterpolator(
            (self.suction_k, self.discharge_k), np.asarray(self.flows), bounds_error=False, fill_value=np.nan
        )
        at = snapped(point.suction_dew_k, self.suction_k), snapped(point.discharge_dew_k, self.discharge_k)
        return np.asarray(table(np.stack(np.broadcast_arrays(*at), axis=-1)))


@dataclass(frozen=True, slots=True)
class ConstantCapacity:
    """A rack that holds the SST while the evaporator keeps its capacity: the flow follows from the liquid alone."""

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """One at every point: the liquid, of which a compressor does not know, changes the flow."""
        return np.ones(np.broadcast_shapes(np.shape(point.suction_dew_k), np.shape(point.discharge_dew_k)))


def _within(values: Floats, bounds: tuple[float, float] | None) -> Bools:
    if bounds is None:
        return np.ones_like(values, dtype=np.bool_)
    values = snapped(values, bounds)
    return np.asarray((values >= bounds[0]) & (values <= bounds[1]))
