"""Flow coefficients, F_L or exponents, opening characteristic and flow law from the rows with a mass flow."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_law import (
    LawComparison,
    Spread,
    compare_laws,
    exponent_missing,
    log_slope,
    reference_of,
    spread_of,
)
from tablegen.bench.flow_model import EXPONENTS, RECOVERY, FlowModel, FlowRows, flow_rows, points_chosen
from tablegen.bench.lack_of_fit import (
    MAX_FAR_OFF,
    CheckedFit,
    Condition,
    Misfit,
    misfits,
    outliers,
    refits,
    rows_to_fit,
)
from tablegen.bench.parameters import Parameter, Part, Quantity, Shortfall, Unusable, Why
from tablegen.bench.readings import BenchRows, FitOptions, ValveOnBench
from tablegen.bench.result import (
    ConditionKey,
    Estimate,
    Findings,
    FlowTable,
    LawVerdict,
    LinearRange,
    Reading,
)
from tablegen.bench.robust import Fit, chance, quantile
from tablegen.physics.arrays import Floats
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant

Points = tuple[tuple[float, float], ...]

# Rows that a size needs, and that are needed beyond the number of parameters.
_MIN_ROWS, _SPARE = 3, 4
# A characteristic stays linear unless the rows contradict it as surely as this, and by more than this share.
_NOT_LINEAR, _NEGLIGIBLE = 1e-3, 0.002
# Where scatter is so wide, it is the model that is wrong.
_MAX_SCATTER = 0.15
# Openings as far from stop or minimum opening as this still count for them; rated stroke is reached from here on [1].
_REACH, _RATED, _ONE_OPENING = 0.05, 0.9, 0.1
# Choked rows that F_L needs, and the widest bound that is of use, as a share of the value.
_MIN_CHOKED, _MAX_BOUND = 3, 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowFit(CheckedFit):
    """The flow part: a fit with what it was made of.

    Attributes
    ----------
    rows, spread, model, valve, options
    law : FlowLaw or None
        That the estimates are for; None where neither the rows nor the options name one, and they are valid under either.
    verdict : LawVerdict
    points : tuple or None
        The characteristic [opening, share of Kv], empty where it is linear, None where it cannot be determined.
    bend : float [1]
        How far from linear the characteristic may be, NaN where it is not taken as linear on trial.
    undecided_sizes : frozenset of str
        Sizes whose Kv depends on a law that is not decided.
    """

    rows: FlowRows
    spread: Spread
    model: FlowModel
    law: FlowLaw | None
    verdict: LawVerdict
    bend: float
    undecided_sizes: frozenset[str]
    valve: ValveOnBench
    options: FitOptions
    points: Points | None = None

    @property
    def linear(self) -> LinearRange | None:
        """Where the characteristic is linear."""
        if self.points != () or not self.valve.has_characteristic:
            return None
        used: Floats = self.rows.opening[self.fit.is_used]
        return LinearRange(float(used.min()), float(used.max()), self.bend)

    @property
    def shown(self) -> Spread:
        """Standard deviations that the rows show; of opening 0 where residuals do not widen toward small openings."""
        own, scatter = self.spread, self.fit.scatter
        return Spread(own.flow * scatter, own.opening * scatter, own.drop_pa * scatter)

    @property
    def over_stated(self) -> float:
        """Those over the stated uncertainties of the instruments [1]; NaN where nothing is stated."""
        return self.fit.scatter if self.options.flow_uncertainty is not None else float("nan")

    @property
    def scatter(self) -> float:
        """Standard deviation of mass flow about the fit, as a share."""
        return float(np.median(self.rows.spread)) * self.fit.scatter

    @property
    def off(self) -> Floats:
        """How far each mass flow is from the fit, as a share."""
        return np.asarray(np.expm1(self.fit.residuals * self.rows.spread))

    @property
    def table(self) -> FlowTable:
        """The rows beside the fit."""
        rows, model, fit = self.rows, self.model, self.fit
        residual = fit.residuals * rows.spread
        slope = log_slope(model, fit)
        # Standard deviations at a row's opening, and at its drop, the other left out.
        by_opening, by_drop = (
            fit.scatter * spread.of(slope, rows.pressure_drop_pa)
            for spread in (replace(self.spread, drop_pa=0.0), replace(self.spread, opening=0.0))
        )
        return FlowTable(
            line=rows.line,
            size=rows.size_names,
            opening=rows.opening,
            pressure_drop_pa=rows.pressure_drop_pa,
            choking=rows.choking,
            subcooling_ratio=np.exp(rows.log_subcooling),
            drop_ratio=np.exp(rows.log_drop),
            inlet_subcooling_k=rows.subcooling_k,
            refrigerant=rows.refrigerant,
            measured_kg_s=rows.flow_kg_s,
            computed_kg_s=rows.flow_kg_s * np.exp(-residual),
            residual=residual,
            opening_spread=by_opening,
            drop_spread=by_drop,
            orifice_ratio=np.exp(residual + model.correction(fit.values)),
            is_used=fit.is_used,
        )

    def bound(self, i: int) -> tuple[float, float, float]:
        """Value of a parameter, half-width of its bound and standard error, the latter as shares of the value.

        Of an exponent they are numbers as they are.
        """
        name, error = self.fit.names[i], float(np.sqrt(self.fit.covariance[i, i]))
        bound = self.widened(lambda other: other.value(name), error, self.options.confidence)
        own = float(self.fit.values[i])
        return own if name.quantity.is_exponent else float(np.exp(own)), *bound

    def estimate(self, i: int, rows: int) -> Estimate:
        """One parameter as an estimate."""
        (value, half, error), name = self.bound(i), self.fit.names[i]
        unit = 1.0 if name.quantity.is_exponent else value
        return Estimate(parameter=name, value=value, half_width=half * unit, standard_error=error * unit, rows=rows)


@dataclass(frozen=True, slots=True)
class FlowPart:
    """The rows with a mass flow and an opening: their fit, None where nothing can be determined.

    `doubt` says why their law is no measure of other rows, None where it is.
    """

    findings: Findings
    fit: FlowFit | None = None
    doubt: Unusable | None = None


def fit_flow(
    bench: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions
) -> FlowPart:
    """Flow coefficients, F_L, opening characteristic and flow law from the rows with a mass flow and an opening.

    Parameters
    ----------
    bench : BenchRows
    valve : ValveOnBench
        The family, as its file states it.
    refrigerants : mapping of str to Refrigerant
        Those of the rows, by name.
    options : FitOptions

    Returns
    -------
    FlowPart
        What the rows determine, with its bounds, and what they do not, with the reason.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.

    References
    ----------
    IEC 60534-2-1: flow of liquids, F_L and F_F (in `tablegen.physics.flow`).
    """
    rows, left_out = flow_rows(bench, valve, refrigerants)
    findings = Findings(left_out=left_out)
    asked = list(dict.fromkeys(map(str, bench.size[bench.has_flow])))
    if not asked:
        findings.refuse(Parameter(Quantity.KV), Shortfall(why=Why.NO_FLOW_ROWS))
        return FlowPart(findings)
    rows = _with_enough_rows(rows, asked, findings)
    if not len(rows):
        return FlowPart(findings)
    nodes = points_chosen(rows.opening, valve.stop, options.openings) if valve.has_characteristic else None
    unknowns = len(rows.sizes) + len(nodes or ()) + 1
    if len(rows) < unknowns + _SPARE:
        _refuse_sizes(rows, findings, Shortfall(why=Why.FEW_FLOW_ROWS, rows=len(rows), needed=unknowns))
        return FlowPart(findings)
    found = _fitted(rows, nodes, valve, options)
    if found.verdict.law is None:
        findings.refuse(Parameter(Quantity.FLOW_LAW), found.verdict.reason)
    findings.lack_of_fit.extend(found.lacks(Part.FLOW, rows.line, found.off))
    if found.far_share > MAX_FAR_OFF or found.scatter > _MAX_SCATTER:
        # The rows follow no law with one Kv a size.
        reason = Shortfall(why=Why.NO_FLOW_LAW, law=found.model.law, value=found.far_share, scatter=found.scatter)
        _refuse_sizes(rows, findings, reason)
        return FlowPart(findings, doubt=Unusable.FLOW_FOLLOWS_NO_LAW)
    found = replace(found, points=_add_findings(found, findings))
    return FlowPart(findings, found, Unusable.FLOW_LACKS_FIT if found.misfits else None)


def _with_enough_rows(rows: FlowRows, asked: Sequence[str], findings: Findings) -> FlowRows:
    """The rows of sizes that have enough of them."""
    counts = {size: int((rows.size == i).sum()) for i, size in enumerate(rows.sizes)}
    for size in asked:
        if (count := counts.get(size, 0)) < _MIN_ROWS:
            findings.refuse(Parameter(Quantity.KV, size), Shortfall(why=Why.FEW_OF_SIZE, rows=count, needed=_MIN_ROWS))
    return rows.where(np.array([counts[rows.sizes[i]] >= _MIN_ROWS for i in rows.size], dtype=bool))


def _refuse_sizes(rows: FlowRows, findings: Findings, reason: Shortfall) -> None:
    for size in rows.sizes:
        findings.refuse(Parameter(Quantity.KV, size), reason)


def _fitted(
    every_row: FlowRows,
    nodes: tuple[float, ...] | None,
    valve: ValveOnBench,
    options: FitOptions,
    takes_exponents: bool = True,
) -> FlowFit:
    rows = every_row
    reference = reference_of(rows, valve.stated.discharge if valve.stated else None)
    compared = compare_laws(rows, nodes, reference, None, takes_exponents)
    spread = spread_of(*compared.better, options)
    if spread != Spread():
        rows = replace(rows, spread=spread.of(log_slope(*compared.better), rows.pressure_drop_pa))
        compared = compare_laws(rows, nodes, reference, compared, takes_exponents)
    law = options.law or compared.verdict.law
    model, fit, bend = _characteristic(rows, law or FlowLaw.ORIFICE, nodes, reference, options.confidence)
    # Where the law is not decided, it is the better one that must describe the rows.
    better = law or compared.better[0].law
    tested = (
        (model, fit) if better is model.law else _characteristic(rows, better, nodes, reference, options.confidence)[:2]
    )
    far_off, off = fit.is_outlier, _misfits(*tested)
    if off and options.law is None and law is FlowLaw.DISCHARGE_COEFFICIENT:
        # Nearer than the others, and wrong all the same.
        return _fitted(every_row, nodes, valve, options, takes_exponents=False)
    if off:
        every = np.ones(len(rows), dtype=bool)
        model, fit = model.fitted(rows_to_fit(model.fitted(every)[1], far_off, off))
    return FlowFit(
        rows=rows,
        spread=spread,
        model=model,
        fit=fit,
        law=law,
        verdict=compared.verdict,
        bend=bend,
        undecided_sizes=_depend_on_law(rows, compared, options.confidence) if law is None else frozenset(),
        valve=valve,
        options=options,
        far_off=far_off,
        misfits=off,
        refits=refits(lambda used: model.fitted(used)[1], fit, off),
    )


def _misfits(model: FlowModel, fit: Fit) -> list[Misfit]:
    """Conditions under which rows are off the law."""
    rows = model.rows
    values = {
        Reading.INLET_SUBCOOLING: rows.subcooling_k,
        Reading.CHOKING: rows.choking,
        Reading.PRESSURE_DROP: rows.pressure_drop_pa,
        Reading.OPENING: rows.opening,
        Reading.SIZE: rows.size_names,
        Reading.REFRIGERANT: rows.refrigerant,
        Reading.LINE: rows.line,
    }
    conditions = [Condition(ConditionKey(reading), own) for reading, own in values.items()]
    every, fit_of_all = model.fitted(np.ones(len(rows), dtype=bool), fit.values)
    minimum = _NEGLIGIBLE / float(np.median(rows.spread))
    return misfits(fit_of_all, every.jacobian(fit_of_all.values), fit.is_outlier, conditions, minimum)


def _characteristic(
    rows: FlowRows, law: FlowLaw, nodes: tuple[float, ...] | None, reference: tuple[float, float], confidence: float
) -> tuple[FlowModel, Fit, float]:
    """Model and fit with a linear characteristic, or one by points if the rows contradict the linear.

    With it, how far from linear the points may be, as a share of Kv(phi); NaN where the rows allow no points.
    """
    if nodes is None:
        return *FlowModel(rows=rows, law=law, reference=reference).fitted(), float("nan")
    model, fit = FlowModel(rows=rows, law=law, nodes=nodes, reference=reference).fitted()
    _, linear = replace(model, nodes=None).fitted(fit.is_used)
    at = slice(len(rows.sizes), len(rows.sizes) + len(nodes))
    off = np.abs(fit.values[at] - np.log(nodes))
    is_comparable = len(linear.values) == len(fit.values) - len(nodes)
    if is_comparable and off.max() > _NEGLIGIBLE and chance(linear, fit) < _NOT_LINEAR:
        return model, fit, float("nan")
    bound = quantile(confidence, fit.freedom) * np.sqrt(np.diag(fit.covariance)[at])
    bend = float(np.max(off + bound))
    return *FlowModel(rows=rows, law=law, reference=reference).fitted(), bend


def _depend_on_law(rows: FlowRows, compared: LawComparison, confidence: float) -> frozenset[str]:
    """Sizes whose Kv depends on the law, which is not decided."""
    orifice, choked = compared.orifice, compared.choked
    found = set()
    for i, size in enumerate(rows.sizes):
        bound = quantile(confidence, orifice.freedom) * np.sqrt(orifice.covariance[i, i])
        if choked.names[i] in choked.undetermined or not abs(orifice.values[i] - choked.values[i]) <= bound:
            found.add(size)
    return frozenset(found)


def _add_findings(found: FlowFit, findings: Findings) -> Points | None:
    """Add what can be determined, and what cannot; the characteristic's points as in `FlowFit`."""
    for i, size in enumerate(found.rows.sizes):
        if (reason := _kv_missing(found, i)) is not None:
            findings.refuse(Parameter(Quantity.KV, size), reason)
            continue
        count = int((found.fit.is_used & (found.rows.size == i)).sum())
        findings.estimates.append(found.estimate(i, count))
    if found.law is FlowLaw.CHOKED:
        choked = int((found.fit.is_used & (found.model.correction(found.fit.values) < 0.0)).sum())
        if (reason := _recovery_missing(found, choked)) is not None:
            findings.refuse(RECOVERY, reason)
        else:
            findings.estimates.append(found.estimate(-1, choked))
    if found.law is FlowLaw.DISCHARGE_COEFFICIENT:
        _add_exponents(found, findings)
    points = _add_characteristic(found, findings) if found.valve.has_characteristic else ()
    findings.outliers.extend(outliers(found.fit, Part.FLOW, found.rows.line, found.off))
    return points


def _add_exponents(found: FlowFit, findings: Findings) -> None:
    count = int(found.fit.is_used.sum())
    for exponent, why in zip(EXPONENTS, (Why.SUBCOOLING_ALIKE, Why.DROPS_ALIKE), strict=True):
        if (reason := exponent_missing(found.rows, found.fit, exponent, why)) is not None:
            findings.refuse(exponent, reason)
        else:
            findings.estimates.append(found.estimate(found.fit.index(exponent), count))


def _kv_missing(found: FlowFit, i: int) -> Shortfall | None:
    """Why the Kv of a size cannot be determined; None where it can."""
    fit, name = found.fit, found.fit.names[i]
    if name in fit.undetermined and RECOVERY in fit.undetermined:
        return Shortfall(why=Why.ONLY_PRODUCT)
    if found.rows.sizes[i] in found.undecided_sizes:
        return Shortfall(why=Why.LAW_UNDECIDED)
    maximum = float(found.rows.opening[fit.is_used].max())
    if maximum < _RATED:
        return Shortfall(why=Why.KV_BELOW_RATED, high=maximum)
    if name in fit.undetermined:
        return Shortfall(why=Why.KV_ONLY_WITH, parameters=tuple(other for other in fit.undetermined if other != name))
    if not (half := found.bound(i)[1]) <= _MAX_BOUND:
        return Shortfall(why=Why.KV_BOUND, value=half)
    return None


def _recovery_missing(found: FlowFit, choked: int) -> Shortfall | None:
    """Why F_L cannot be determined from so many choked rows; None where it can."""
    if found.model.recovery is not None or not choked:
        return Shortfall(why=Why.NO_CHOKING, high=found.verdict.max_drop)
    if RECOVERY in found.fit.undetermined:
        return Shortfall(why=Why.ONLY_PRODUCT)
    if not (half := found.bound(-1)[1]) <= _MAX_BOUND or choked < _MIN_CHOKED:
        return Shortfall(why=Why.RECOVERY_BOUND, value=half, rows=choked)
    return None


def _add_characteristic(found: FlowFit, findings: Findings) -> Points | None:
    """The points, none for a linear characteristic; None where it cannot be determined."""
    points = found.model.points(found.fit.values)
    missing = _unreached(found)
    if missing is None and points:
        undetermined = tuple(name for name in found.fit.undetermined if name != RECOVERY)
        if undetermined:
            missing = Shortfall(why=Why.SHARES_OPEN, parameters=undetermined)
        elif any(b[1] <= a[1] for a, b in itertools.pairwise(points)):
            missing = Shortfall(why=Why.NOT_ASCENDING)
    if missing is not None:
        findings.refuse(Parameter(Quantity.OPENING), missing)
        return None
    used, nodes = found.rows.opening[found.fit.is_used], found.model.nodes or ()
    openings = np.array([0.0, 1.0, *nodes])
    closest = openings[np.abs(used[:, None] - openings).argmin(axis=1)]
    for i, node in enumerate(nodes, start=len(found.rows.sizes)):
        findings.estimates.append(found.estimate(i, int((closest == node).sum())))
    return points


def _unreached(found: FlowFit) -> Shortfall | None:
    """What part of the travel no row covers; None where all of it is covered."""
    used, valve = found.rows.opening[found.fit.is_used], found.valve
    low, high = float(used.min()), float(used.max())
    if high - low < _ONE_OPENING:
        return Shortfall(
            why=Why.FLOW_ONE_OPENING, low=low, high=high, wanted_low=valve.min_opening, wanted_high=valve.stop
        )
    if low > valve.min_opening + _REACH:
        return Shortfall(why=Why.TRAVEL_LOW, low=low, wanted_low=valve.min_opening)
    if high < valve.stop - _REACH:
        return Shortfall(why=Why.TRAVEL_HIGH, high=high, wanted_high=valve.stop)
    return None
