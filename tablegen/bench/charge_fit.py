"""A bulb charge's curve from measured bulb temperatures and pressures.

    ln p = b0 + b1 z + b2 z^2,   z = 1000/T less its mean

as ln p of a charge is nearly straight over 1/T.  Residuals are relative deviations of pressure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.bench.result import CurvePoint, Findings, MeasuredCharge, NotDetermined, Outlier
from tablegen.bench.robust import Fit, Problem, fit, quantile
from tablegen.bench.rows import BenchRows
from tablegen.physics.arrays import Floats, snapped

PART = "charge"
_FEWEST = 6
# Bulb temperatures nearer than this are one, and a bend needs four of them.
_APART_K, _TEMPERATURES = 2.0, 4
_POINTS = 9


@dataclass(frozen=True, slots=True)
class MeasuredCurve:
    """A fitted charge curve; as a `ChargeCurve` it is NaN outside the measured range."""

    coefficients: Floats
    centre: float
    range_k: tuple[float, float]

    def pressure(self, temperature_k: Floats) -> Floats:
        """Absolute bulb pressure [Pa] at bulb temperature [K]."""
        temperature_k = snapped(temperature_k, self.range_k)
        inside = (temperature_k >= self.range_k[0]) & (temperature_k <= self.range_k[1])
        return np.where(inside, np.exp(_columns(temperature_k, self.centre) @ self.coefficients), np.nan)

    def temperature(self, pressure_pa: Floats) -> Floats:
        """Bulb temperature [K] at absolute bulb pressure [Pa]: the square equation's root that is near its line."""
        constant, slope, bend = self.coefficients
        rest = constant - np.log(pressure_pa)
        with np.errstate(invalid="ignore"):
            z = -2.0 * rest / (slope + np.copysign(np.sqrt(slope**2 - 4.0 * bend * rest), slope))
        found = snapped(1000.0 / (z + self.centre), self.range_k)
        return np.where((found >= self.range_k[0]) & (found <= self.range_k[1]), found, np.nan)

    def moved(self, step: Floats) -> MeasuredCurve:
        """The curve with other coefficients."""
        return MeasuredCurve(self.coefficients + step, self.centre, self.range_k)


def _columns(temperature_k: Floats, centre: float) -> Floats:
    z = 1000.0 / temperature_k - centre
    return np.stack([np.ones_like(z), z, z**2], axis=-1)


@dataclass(frozen=True, slots=True)
class ChargeFit:
    """A measured curve with the covariance of its coefficients."""

    curve: MeasuredCurve
    fit: Fit

    def pressures_off(self, temperature_k: Floats) -> Floats:
        """How bulb pressures [Pa] follow each coefficient, a column each; 0 outside the measured range."""
        pressure = np.nan_to_num(self.curve.pressure(temperature_k))
        return np.asarray(pressure[:, None] * _columns(temperature_k, self.curve.centre))

    def result(self, confidence: float) -> MeasuredCharge:
        """Points along the curve with their bounds."""
        wide = quantile(confidence, self.fit.freedom)
        at = np.linspace(*self.curve.range_k, _POINTS)
        gradient = _columns(at, self.curve.centre)
        relative = wide * np.sqrt(np.einsum("ij,jk,ik->i", gradient, self.fit.covariance, gradient))
        pressure = self.curve.pressure(at)
        found = zip(at, pressure, relative, strict=True)
        points = tuple(CurvePoint(float(t), float(p), float(p * r)) for t, p, r in found)
        return MeasuredCharge(points, float(relative.max()), int(self.fit.is_used.sum()))


def fit_charge(rows: BenchRows, name: str, findings: Findings) -> ChargeFit | None:
    """The curve of one charge; None where it is not measured, or its rows do not tell it."""
    own = rows.tells_charge & (rows.charge == name)
    if not own.any():
        return None
    temperature, pressure = rows.bulb_temperature_k[own], rows.bulb_pressure_pa[own]
    distinct = len(np.unique(np.floor((temperature - temperature.min()) / _APART_K)))
    if own.sum() < _FEWEST or distinct < _TEMPERATURES:
        why = f"{own.sum()} rows at {distinct} bulb temperatures are too few"
        test = f"bulb pressure at {_TEMPERATURES} or more temperatures, {_FEWEST} rows at least"
        findings.not_determined.append(NotDetermined("points", name, f"the curve of charge {name}", why, test))
        return None
    centre = float(np.mean(1000.0 / temperature))
    columns, target = _columns(temperature, centre), np.log(pressure)
    names = tuple(f"coefficient {i} of the curve of charge {name}" for i in range(3))
    start = np.linalg.lstsq(columns, target, rcond=None)[0]
    found = fit(Problem(names, lambda b: target - columns @ b, lambda b: -columns, start))
    curve = MeasuredCurve(found.values, centre, (float(temperature.min()), float(temperature.max())))
    if not (np.diff(curve.pressure(np.linspace(*curve.range_k, 50))) > 0.0).all():
        why = "the measured pressures do not rise with temperature"
        findings.not_determined.append(
            NotDetermined("points", name, f"the curve of charge {name}", why, "a look at its rows")
        )
        return None
    for line, residual, is_used in zip(rows.line[own], found.residuals, found.is_used, strict=True):
        if not is_used:
            findings.outliers.append(Outlier(int(line), PART, float(np.expm1(residual)), float(residual / found.scale)))
    return ChargeFit(curve, found)
