"""How far the readings behind a flow row may be off, against each other.

    variance of ln K = flow^2 + (opening d(ln c)/d(phi))^2 + (drop / 2 dp)^2

A flow meter is off by a share of its reading, a stroke gauge by a share of the stroke, which at a small opening is a
large share of Kv, and two pressure gauges by so much pressure, which is a large share of a small drop.  They are
stated, or found from how residuals widen towards small openings and small drops.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_model import FlowModel
from tablegen.bench.robust import Fit
from tablegen.bench.subject import FitOptions
from tablegen.physics.arrays import Floats

_STEP = 0.005
# Uncertainty that opening, or drop, brings where it brings most, over that of flow; tried one after the other.
_MOST = (0.0, 0.25, 0.5, 0.75, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0)
_STUDENT = 5.0
# Scales tried, about that of the median residual.
_LOG_SCALES = np.linspace(-1.0, 2.0, 61)


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard uncertainties of flow (share of reading), opening (share of stroke) and drop [Pa], or their ratios."""

    flow: float = 1.0
    opening: float = 0.0
    drop_pa: float = 0.0

    def of(self, slope: Floats, drop_pa: Floats) -> Floats:
        """Of ln K, where d(ln c)/d(phi) and the pressure drop [Pa] have these values."""
        return np.sqrt(self.flow**2 + (self.opening * slope) ** 2 + (0.5 * self.drop_pa / drop_pa) ** 2)


def log_slope(model: FlowModel, fit: Fit) -> Floats:
    """d(ln c)/d(phi) at the opening of every row."""
    opening = model.rows.opening
    # Never beyond the last point of the characteristic.
    up, down = np.minimum(opening + _STEP, np.max([opening.max(), 1.0])), opening - _STEP
    return np.asarray((model.log_share(fit.values, up) - model.log_share(fit.values, down)) / (up - down))


def spread_of(model: FlowModel, fit: Fit, options: FitOptions) -> Spread:
    """What is stated; else flow as the unit, and the others as the residuals of a fit without weights say."""
    if options.flow_uncertainty is not None and options.opening_uncertainty is not None:
        return Spread(options.flow_uncertainty, options.opening_uncertainty, options.drop_uncertainty_pa or 0.0)
    slope, drop = log_slope(model, fit), model.rows.pressure_drop_pa
    openings = [most / float(slope.max()) for most in _MOST]
    drops = [2.0 * most * float(drop.min()) for most in _MOST]

    def unlikelihood(spread: Spread) -> float:
        return _unlikelihood(fit.residuals, spread.of(slope, drop))

    found = Spread()
    for _ in range(2):
        found = min((replace(found, opening=tried) for tried in openings), key=unlikelihood)
        found = min((replace(found, drop_pa=tried) for tried in drops), key=unlikelihood)
    return found


def _unlikelihood(residuals: Floats, spread: Floats) -> float:
    """Minimum negative log-likelihood over the scale, under Student's t so that outliers say little."""
    standard = residuals / spread
    log_scale = np.log(np.median(np.abs(standard)) + 1e-12) + _LOG_SCALES
    tails = 0.5 * (_STUDENT + 1.0) * np.log1p((standard / np.exp(log_scale)[:, None]) ** 2 / _STUDENT)
    return float((len(standard) * log_scale + tails.sum(axis=1)).min() + np.log(spread).sum())
