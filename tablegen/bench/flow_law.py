"""Which flow law the rows support, and how far the readings behind a row may be off.

The laws differ where the drop exceeds F_L^2 (p_1 - F_F p_v).  As F_L is 1 at most, rows that follow the square root well
beyond p_1 - F_F p_v are against choking whatever F_L is; rows that flatten below it are for it.  Rows that do neither
leave the question open.

    variance of ln K = flow^2 + (opening d(ln c)/d(phi))^2 + (drop / 2 dp)^2

A flow meter is off by a share of its reading, a stroke gauge by a share of the stroke, which at a small opening is a
large share of Kv, and two pressure gauges by so much pressure, which is a large share of a small drop.  They are
stated, or found from how residuals widen towards small openings and small drops.

References
----------
Schwarz, G., "Estimating the dimension of a model", Annals of Statistics 6 (1978): what one more parameter fits of mere
scatter (not checked against the source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_model import FlowModel, FlowRows
from tablegen.bench.parameters import Shortfall, Why
from tablegen.bench.readings import FitOptions
from tablegen.bench.result import LawVerdict
from tablegen.bench.robust import Fit, loss
from tablegen.physics.arrays import Floats
from tablegen.physics.flow import FlowLaw

# A hundred to one.
_EVIDENCE = math.log(100.0)
_MIN_ROWS = 4
# A row counts once the laws differ by this share of the drop.
_BEYOND = 1.05
_STEP = 0.005
# Uncertainty that opening, or drop, brings where it brings most, over that of flow; tried one after the other.
_RATIOS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0)
_STUDENT = 5.0
# Scales tried, about that of the median residual.
_LOG_SCALES = np.linspace(-1.0, 2.0, 61)


@dataclass(frozen=True, slots=True, kw_only=True)
class LawComparison:
    """The verdict, and what was fitted under either law."""

    verdict: LawVerdict
    orifice_model: FlowModel
    orifice: Fit
    choked_model: FlowModel
    choked: Fit

    @property
    def better(self) -> tuple[FlowModel, Fit]:
        """Model and fit of the law that is nearer to the rows."""
        if self.verdict.evidence > 0.0:
            return self.choked_model, self.choked
        return self.orifice_model, self.orifice


def compare_laws(rows: FlowRows, nodes: tuple[float, ...] | None, near: LawComparison | None = None) -> LawComparison:
    """Fit both laws to every row, and see which of them the rows support.

    Parameters
    ----------
    rows : FlowRows
    nodes : tuple of float or None
        Openings at which the characteristic has points [1]; None where it is linear.
    near : LawComparison, optional
        Of the same rows with other weights, to begin from.

    Returns
    -------
    LawComparison

    References
    ----------
    Schwarz (1978): the one more parameter of the choked law (not checked against the source).
    """
    every = np.ones(len(rows), dtype=bool)
    start, recovery = (None, None) if near is None else (near.choked.values, near.choked_model.recovery)
    orifice_model, orifice = FlowModel(rows, FlowLaw.ORIFICE, nodes).fitted(every)
    choked_model, choked = FlowModel(rows, FlowLaw.CHOKED, nodes, recovery).fitted(every, start)
    unit = min(orifice.scale, choked.scale)
    evidence = float(loss(orifice.residuals / unit).sum() - loss(choked.residuals / unit).sum())
    if choked_model.recovery is None:
        # What one more parameter fits of mere scatter.
        evidence -= 0.5 * math.log(len(rows))
    recovery = math.exp(choked_model.log_recovery(choked.values))
    beyond = int((rows.choking > _BEYOND * recovery**2).sum())
    below = int((rows.choking < recovery**2 / _BEYOND).sum())
    law, reason = _decided(rows, evidence, beyond, below)
    verdict = LawVerdict(
        law=law,
        reason=reason,
        orifice_scatter=_relative(orifice, rows),
        choked_scatter=_relative(choked, rows),
        evidence=evidence,
        rows_beyond=beyond,
        max_drop=float(rows.choking.max()),
    )
    return LawComparison(
        verdict=verdict, orifice_model=orifice_model, orifice=orifice, choked_model=choked_model, choked=choked
    )


def _relative(fit: Fit, rows: FlowRows) -> float:
    """Scatter of mass flow, by a loss that a few rows cannot dominate."""
    spread = float(np.median(rows.spread))
    return spread * fit.scale * math.sqrt(2.0 * float(loss(fit.residuals / fit.scale).mean()))


def _decided(rows: FlowRows, evidence: float, beyond: int, below: int) -> tuple[FlowLaw | None, Shortfall]:
    """The law and what decides; None and why nothing does."""
    if evidence > _EVIDENCE and beyond >= _MIN_ROWS:
        return FlowLaw.CHOKED, Shortfall(why=Why.FLOW_LEVELS_OFF, rows=beyond)
    past_limit = int((rows.choking > _BEYOND).sum())
    if past_limit == 0:
        maximum = int(np.argmax(rows.choking))
        reason = Shortfall(why=Why.NONE_BEYOND, line=int(rows.line[maximum]), high=float(rows.choking[maximum]))
        return None, reason
    if past_limit < _MIN_ROWS:
        return None, Shortfall(why=Why.FEW_BEYOND, rows=past_limit, needed=_MIN_ROWS)
    if below < _MIN_ROWS and evidence > -_EVIDENCE:
        return None, Shortfall(why=Why.ALL_MAY_CHOKE)
    if evidence < -_EVIDENCE:
        return FlowLaw.ORIFICE, Shortfall(why=Why.FLOW_GROWS, rows=past_limit)
    return None, Shortfall(why=Why.LAWS_ALIKE)


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard uncertainties of flow (share of reading), opening (share of stroke) and drop [Pa], or their ratios."""

    flow: float = 1.0
    opening: float = 0.0
    drop_pa: float = 0.0

    def of(self, slope: Floats, drop_pa: Floats) -> Floats:
        """Of ln K, where d(ln c)/d(phi) and the pressure drop [Pa] have these values, shape (rows,)."""
        return np.sqrt(self.flow**2 + (self.opening * slope) ** 2 + (0.5 * self.drop_pa / drop_pa) ** 2)


def log_slope(model: FlowModel, fit: Fit) -> Floats:
    """d(ln c)/d(phi) at the opening of every row."""
    opening = model.rows.opening
    # Never beyond the last point of the characteristic.
    up, down = np.minimum(opening + _STEP, np.max([opening.max(), 1.0])), opening - _STEP
    return np.asarray((model.log_share(fit.values, up) - model.log_share(fit.values, down)) / (up - down))


def spread_of(model: FlowModel, fit: Fit, options: FitOptions) -> Spread:
    """What is stated; else flow as the unit, and the others as the residuals of a fit without weights show."""
    if options.flow_uncertainty is not None and options.opening_uncertainty is not None:
        return Spread(options.flow_uncertainty, options.opening_uncertainty, options.drop_uncertainty_pa or 0.0)
    slope, drop = log_slope(model, fit), model.rows.pressure_drop_pa
    openings = [ratio / float(slope.max()) for ratio in _RATIOS]
    drops = [2.0 * ratio * float(drop.min()) for ratio in _RATIOS]

    def unlikelihood(spread: Spread) -> float:
        return _unlikelihood(fit.residuals, spread.of(slope, drop))

    found = Spread()
    for _ in range(2):
        found = min((replace(found, opening=tried) for tried in openings), key=unlikelihood)
        found = min((replace(found, drop_pa=tried) for tried in drops), key=unlikelihood)
    return found


def _unlikelihood(residuals: Floats, spread: Floats) -> float:
    """Minimum negative log-likelihood over the scale, under Student's t so that outliers count little."""
    standard = residuals / spread
    log_scale = np.log(np.median(np.abs(standard)) + 1e-12) + _LOG_SCALES
    tails = 0.5 * (_STUDENT + 1.0) * np.log1p((standard / np.exp(log_scale)[:, None]) ** 2 / _STUDENT)
    return float((len(standard) * log_scale + tails.sum(axis=1)).min() + np.log(spread).sum())
