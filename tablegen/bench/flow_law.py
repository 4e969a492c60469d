"""Which flow law the rows support, and how far the readings behind a row may be off.

The laws differ where the drop exceeds F_L^2 (p_1 - F_F p_v).  As F_L is 1 at most, rows that follow the square root well
beyond p_1 - F_F p_v are against choking whatever F_L is; rows that flatten below it are for it.  Rows that do neither
leave the question open.

A discharge coefficient that follows subcooling and drop has two exponents more than the square root, and may always be
nearer to the rows; it is taken where rows vary both enough, fit both exponents closely, and are a hundred times as
likely under it, each exponent charged as one more parameter.

    variance of ln K = flow^2 + (opening d(ln c)/d(phi))^2 + (drop / 2 dp)^2

A flow meter is off by a share of its reading, a stroke gauge by a share of the stroke, which at a small opening is a
large share of Kv, and two pressure gauges by so much pressure, which is a large share of a small drop.  They are
stated, or found from how residuals widen toward small openings and small drops.

References
----------
Schwarz, G., "Estimating the dimension of a model", Annals of Statistics 6 (1978): what one more parameter fits of mere
scatter (not checked against the source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_model import EXPONENTS, FlowModel, FlowRows
from tablegen.bench.parameters import Parameter, Quantity, Shortfall, Why
from tablegen.bench.readings import FitOptions
from tablegen.bench.result import LawVerdict
from tablegen.bench.robust import Fit, loss, quantile
from tablegen.physics.arrays import Floats
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw

# A hundred to one.
_EVIDENCE = math.log(100.0)
_MIN_ROWS = 4
# A row counts once the laws differ by this share of the drop.
_BEYOND = 1.05
_STEP = 0.005
# Readings at the ends of the rows that say nothing of their span, and the ratio of its ends that exponents need.
_TAIL, _SUBCOOLING_RATIO, _DROP_RATIO = 0.05, 2.0, 1.5
# The widest bound of an exponent that is of use, 5 % of flow over a ratio of e, and the confidence that it is of.
_MAX_EXPONENT_BOUND, _CONFIDENCE = 0.05, 0.95
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
    discharge_model: FlowModel
    discharge: Fit

    @property
    def better(self) -> tuple[FlowModel, Fit]:
        """Model and fit of the law that is nearer to the rows; of exponents where the rows support them."""
        if self.verdict.law is FlowLaw.DISCHARGE_COEFFICIENT:
            return self.discharge_model, self.discharge
        if self.verdict.evidence > 0.0:
            return self.choked_model, self.choked
        return self.orifice_model, self.orifice


def compare_laws(
    rows: FlowRows,
    nodes: tuple[float, ...] | None,
    reference: tuple[float, float],
    near: LawComparison | None = None,
    takes_exponents: bool = True,
) -> LawComparison:
    """Fit the laws to every row, and see which of them the rows support.

    Parameters
    ----------
    rows : FlowRows
    nodes : tuple of float or None
        Openings at which the characteristic has points [1]; None where it is linear.
    reference : tuple of float
        ln s_ref and ln y_ref of the discharge coefficient.
    near : LawComparison, optional
        Of the same rows with other weights, to begin from.
    takes_exponents : bool, optional
        False where rows that support a discharge coefficient were found to be off it under some condition.

    Returns
    -------
    LawComparison

    References
    ----------
    Schwarz (1978): the further parameters of a law (not checked against the source).
    """
    every = np.ones(len(rows), dtype=bool)
    start, recovery = (None, None) if near is None else (near.choked.values, near.choked_model.recovery)
    orifice_model, orifice = FlowModel(rows=rows, law=FlowLaw.ORIFICE, nodes=nodes).fitted(every)
    choked_model, choked = FlowModel(rows=rows, law=FlowLaw.CHOKED, nodes=nodes, recovery=recovery).fitted(every, start)
    discharge_model, discharge = FlowModel(
        rows=rows, law=FlowLaw.DISCHARGE_COEFFICIENT, nodes=nodes, reference=reference
    ).fitted(every)
    unit = min(orifice.scale, choked.scale)
    evidence = float(loss(orifice.residuals / unit).sum() - loss(choked.residuals / unit).sum())
    if choked_model.recovery is None:
        # What one more parameter fits of mere scatter.
        evidence -= 0.5 * math.log(len(rows))
    unit = min(unit, discharge.scale)
    nearer = min(float(loss(own.residuals / unit).sum()) for own in (orifice, choked))
    discharge_evidence = nearer - float(loss(discharge.residuals / unit).sum())
    # Against the choked law, which has F_L, by one parameter; against the other by two.
    discharge_evidence -= (1.0 if evidence <= 0.0 else 0.5) * math.log(len(rows))
    why_discharge = exponents_missing(rows, discharge)
    if why_discharge is None:
        is_better = discharge_evidence > _EVIDENCE
        found = Why.EXPONENTS_FIT if takes_exponents else Why.EXPONENTS_LACK_FIT
        why_discharge = Shortfall(why=found if is_better else Why.EXPONENTS_NEEDLESS)
    recovery = math.exp(choked_model.log_recovery(choked.values))
    beyond = int((rows.choking > _BEYOND * recovery**2).sum())
    below = int((rows.choking < recovery**2 / _BEYOND).sum())
    law, reason = _decided(rows, evidence, beyond, below)
    if why_discharge.why is Why.EXPONENTS_FIT:
        law, reason = FlowLaw.DISCHARGE_COEFFICIENT, why_discharge
    verdict = LawVerdict(
        law=law,
        reason=reason,
        orifice_scatter=_relative(orifice, rows),
        choked_scatter=_relative(choked, rows),
        discharge_scatter=_relative(discharge, rows),
        evidence=evidence,
        discharge_evidence=discharge_evidence,
        discharge=why_discharge,
        rows_beyond=beyond,
        max_drop=float(rows.choking.max()),
    )
    return LawComparison(
        verdict=verdict,
        orifice_model=orifice_model,
        orifice=orifice,
        choked_model=choked_model,
        choked=choked,
        discharge_model=discharge_model,
        discharge=discharge,
    )


def reference_of(rows: FlowRows, stated: DischargeCoefficient | None) -> tuple[float, float]:
    """ln s_ref and ln y_ref: the family's own, so that Kv of other sizes stay; else in the middle of the rows, rounded."""
    if stated is not None:
        return math.log(stated.reference_subcooling), math.log(stated.reference_drop)
    middle = (float(np.exp(np.median(own))) for own in (rows.log_subcooling, rows.log_drop))
    s, y = (math.log(float(f"{value:.2g}")) for value in middle)
    return s, y


def exponents_missing(rows: FlowRows, discharge: Fit) -> Shortfall | None:
    """Why the exponents cannot be determined; None where they can."""
    for exponent, why in zip(EXPONENTS, (Why.SUBCOOLING_ALIKE, Why.DROPS_ALIKE), strict=True):
        if (missing := exponent_missing(rows, discharge, exponent, why)) is not None:
            return missing
    return None


def exponent_missing(rows: FlowRows, discharge: Fit, exponent: Parameter, why: Why) -> Shortfall | None:
    """Why one of the exponents cannot be determined; `why` is for readings that are too much alike."""
    is_subcooling = exponent.quantity is Quantity.SUBCOOLING_EXPONENT
    own = (rows.log_subcooling if is_subcooling else rows.log_drop)[discharge.is_used]
    low, high = (float(value) for value in np.quantile(own, [_TAIL, 1.0 - _TAIL]))
    wanted = _SUBCOOLING_RATIO if is_subcooling else _DROP_RATIO
    if high - low < math.log(wanted):
        ratio = math.exp(high - low)
        return Shortfall(why=why, low=math.exp(low), high=math.exp(high), value=ratio, wanted_high=wanted)
    at = discharge.index(exponent)
    half = quantile(_CONFIDENCE, discharge.freedom) * math.sqrt(discharge.covariance[at, at])
    if not half <= _MAX_EXPONENT_BOUND:
        return Shortfall(why=Why.EXPONENT_BOUND, value=half)
    bounds = (-1.0, 1.0) if is_subcooling else (-0.5, 0.0)
    value = float(discharge.values[at])
    if not bounds[0] <= value <= bounds[1]:
        return Shortfall(why=Why.EXPONENT_BEYOND, value=value, low=bounds[0], high=bounds[1])
    return None


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
