"""How far the readings behind a flow row may be off, against each other.

    variance of ln K = flow^2 + (opening d(ln c)/d(phi))^2

A flow meter is off by a share of its reading, a stroke gauge by a share of the stroke, which at a small opening is a
large share of Kv.  Both are stated, or the second is found from how residuals widen towards small openings.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize_scalar

from tablegen.bench.flow_model import FlowModel
from tablegen.bench.robust import Fit
from tablegen.bench.subject import FitOptions
from tablegen.physics.arrays import Floats

_STEP = 0.005
# Uncertainty of opening over that of flow, tried one after the other.
_RATIOS = (0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2, 1.6)
_STUDENT = 5.0


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard uncertainties of flow (share of reading) and opening (share of stroke), or their ratio to the first."""

    flow: float = 1.0
    opening: float = 0.0

    def of(self, slope: Floats) -> Floats:
        """Of ln K, where d(ln c)/d(phi) has a value."""
        return np.hypot(self.flow, self.opening * slope)


def log_slope(model: FlowModel, fit: Fit) -> Floats:
    """d(ln c)/d(phi) at the opening of every row."""
    opening = model.rows.opening
    # Never beyond the last point of the characteristic.
    up, down = np.minimum(opening + _STEP, np.max([opening.max(), 1.0])), opening - _STEP
    return np.asarray((model.log_share(fit.values, up) - model.log_share(fit.values, down)) / (up - down))


def spread_of(model: FlowModel, fit: Fit, options: FitOptions) -> Spread:
    """What is stated; else flow as the unit, and opening as the residuals of a fit without weights say."""
    if options.flow_uncertainty is not None and options.opening_uncertainty is not None:
        return Spread(options.flow_uncertainty, options.opening_uncertainty)
    slope = log_slope(model, fit)
    tried = [Spread(1.0, ratio) for ratio in _RATIOS]
    return min(tried, key=lambda spread: _unlikelihood(fit.residuals, spread.of(slope)))


def _unlikelihood(residuals: Floats, spread: Floats) -> float:
    """Least negative log-likelihood over the scale, under Student's t so that outliers say little."""
    standard = residuals / spread

    def at(log_scale: float) -> float:
        tail = 0.5 * (_STUDENT + 1.0) * np.log1p((standard / np.exp(log_scale)) ** 2 / _STUDENT)
        return float(len(standard) * log_scale + tail.sum())

    middle = float(np.log(np.median(np.abs(standard)) + 1e-12))
    return float(minimize_scalar(at, bounds=(middle - 2.0, middle + 3.0), method="bounded").fun) + float(
        np.log(spread).sum()
    )
