"""Flow coefficients, F_L, opening characteristic and flow law from the rows with a mass flow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.flow_determined import FlowFit, tell
from tablegen.bench.flow_model import FlowModel, kv_name, points_chosen
from tablegen.bench.flow_rows import PART, FlowRows, flow_rows
from tablegen.bench.flow_spread import Spread, log_slope, spread_of
from tablegen.bench.lack_of_fit import Condition, Misfit, misfits, refits, rows_kept
from tablegen.bench.law import Comparison, compare_laws
from tablegen.bench.result import Findings, FlowPicture, FlowResult, NotDetermined
from tablegen.bench.robust import Fit, chance, correlation, quantile
from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import FitOptions, ValveOnBench
from tablegen.physics.arrays import Floats
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant

# Rows that a size needs, and that are needed beyond the number of parameters.
_FEWEST, _SPARE = 3, 4
# A linear characteristic is kept unless the rows speak against it as surely as this, and by more than this share.
_NOT_LINEAR, _NO_MATTER = 1e-3, 0.002
# Where so many rows are outliers, or scatter so wide, it is the model that is wrong.
_MOST_OUTLIERS, _WIDEST_SCATTER = 0.2, 0.15


@dataclass(frozen=True, slots=True)
class FlowPart:
    """The rows with a mass flow and an opening: their fit, None where nothing is told, and the characteristic's points.

    `doubt` says why their law is no measure of other rows, "" where it is.
    """

    findings: Findings
    fit: FlowFit | None = None
    points: tuple[tuple[float, float], ...] | None = None
    doubt: str = ""

    @property
    def result(self) -> FlowResult | None:
        """What is reported."""
        return None if self.fit is None else _result(self.fit, self.points)


def fit_flow(
    bench: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions
) -> FlowPart:
    """Fit the rows with a mass flow and an opening."""
    rows, left_out = flow_rows(bench, valve, refrigerants)
    findings = Findings(left_out=left_out)
    asked = list(dict.fromkeys(map(str, bench.size[bench.tells_flow])))
    if not asked:
        why, test = "no row has a mass flow and an opening", "mass flow at several drops and openings, a size at a time"
        findings.not_determined.append(NotDetermined("kv", "", "Kv", why, test))
        return FlowPart(findings)
    rows = _enough(rows, asked, findings)
    if not len(rows):
        return FlowPart(findings)
    nodes = points_chosen(rows.opening, valve.stop, options.openings) if valve.has_characteristic else None
    unknowns = len(rows.sizes) + len(nodes or ()) + 1
    if len(rows) < unknowns + _SPARE:
        why = f"{len(rows)} rows are too few for {unknowns} unknowns"
        _refuse_all(rows, findings, why, "more rows, at several drops and openings")
        return FlowPart(findings)
    found = _fitted(rows, nodes, valve, options, findings)
    residual = np.expm1(found.fit.residuals * rows.spread)
    kept = found.far_off & found.fit.is_used
    findings.lack_of_fit.extend(m.result(PART, rows.line, residual, kept) for m in found.misfits)
    doubt = "the rows with an opening lie off the flow law" if found.misfits else ""
    if _is_wrong(found, findings):
        return FlowPart(findings, doubt="the rows with an opening follow no flow law")
    return FlowPart(findings, found, tell(found, findings), doubt)


def _enough(rows: FlowRows, asked: Sequence[str], findings: Findings) -> FlowRows:
    """The rows of sizes that have enough of them."""
    counts = {size: int((rows.size == i).sum()) for i, size in enumerate(rows.sizes)}
    for size in asked:
        if (count := counts.get(size, 0)) < _FEWEST:
            why = f"{count or 'no'} row{'' if count == 1 else 's'} can be used"
            test = f"at least {_FEWEST} rows of it, near rated stroke"
            findings.not_determined.append(NotDetermined("kv", size, kv_name(size), why, test))
    return rows.where(np.array([counts[rows.sizes[i]] >= _FEWEST for i in rows.size], dtype=bool))


def _refuse_all(rows: FlowRows, findings: Findings, why: str, test: str) -> None:
    findings.not_determined.extend(NotDetermined("kv", size, kv_name(size), why, test) for size in rows.sizes)


def _fitted(
    rows: FlowRows, nodes: tuple[float, ...] | None, valve: ValveOnBench, options: FitOptions, findings: Findings
) -> FlowFit:
    compared = compare_laws(rows, nodes)
    spread = spread_of(*compared.better, options)
    if spread != Spread():
        rows = replace(rows, spread=spread.of(log_slope(*compared.better), rows.pressure_drop_pa))
        compared = compare_laws(rows, nodes, compared)
    verdict = compared.verdict
    law = options.law or verdict.law
    if verdict.law is None:
        findings.not_determined.append(NotDetermined("flow_law", "", "the flow law", verdict.why, verdict.test))
    elif verdict.law is not law:
        findings.notes.append(
            f"the rows support the law {verdict.law}, not {law}: what stands here under {law} does not describe them"
        )
    model, fit, bend = _characteristic(rows, law or FlowLaw.ORIFICE, nodes, options.confidence)
    parted = _hang_on_law(rows, compared, options.confidence) if law is None else frozenset()
    # Where the law is not decided, it is the better one that must describe the rows.
    better = law or compared.better[0].law
    tested = (model, fit) if better is model.law else _characteristic(rows, better, nodes, options.confidence)[:2]
    far_off, off = fit.is_outlier, _misfits(*tested)
    if off:
        every = np.ones(len(rows), dtype=bool)
        model, fit = model.fitted(rows_kept(model.fitted(every)[1], far_off, off))
    others = refits(lambda used: FlowModel(rows, model.law, model.nodes, model.recovery).fitted(used)[1], fit, off)
    return FlowFit(rows, spread, model, fit, law, verdict, bend, parted, valve, options, far_off, off, others)


def _misfits(model: FlowModel, fit: Fit) -> list[Misfit]:
    """Conditions under which rows lie off the law."""
    rows = model.rows
    law, shape = "the flow law", "the opening characteristic"
    size = np.array([rows.sizes[i] for i in rows.size], dtype=object)
    conditions = (
        Condition("inlet_subcooling", "inlet subcooling", "temperature difference", rows.subcooling_k, law),
        Condition("choking", "drop over p1 - F_F pv", "share", rows.choking, law),
        Condition("pressure_drop", "pressure drop", "pressure difference", rows.pressure_drop_pa, law),
        Condition("opening", "opening", "share", rows.opening, shape),
        Condition("size", "size", "", size, "its Kv, or the size noted in some of its rows"),
        Condition("refrigerant", "refrigerant", "", rows.refrigerant, "the refrigerant's data, or what was charged"),
        Condition("line", "line of the file", "count", rows.line, "the instruments: they drifted during the test"),
    )
    every, fit_of_all = model.fitted(np.ones(len(rows), dtype=bool), fit.values)
    minimum = _NO_MATTER / float(np.median(rows.spread))
    return misfits(fit_of_all, every.jacobian(fit_of_all.values), fit.is_outlier, conditions, minimum)


def _characteristic(
    rows: FlowRows, law: FlowLaw, nodes: tuple[float, ...] | None, confidence: float
) -> tuple[FlowModel, Fit, float]:
    """Model and fit with a linear characteristic, or one by points if the rows speak against the linear.

    With it, how far from linear the points may lie, as a share of Kv(phi); NaN where the rows carry no points.
    """
    if nodes is None:
        return *FlowModel(rows, law).fitted(), float("nan")
    model, fit = FlowModel(rows, law, nodes).fitted()
    _, linear = FlowModel(rows, law, None, model.recovery).fitted(fit.is_used)
    at = slice(len(rows.sizes), len(rows.sizes) + len(nodes))
    off = np.abs(fit.values[at] - np.log(nodes))
    is_comparable = len(linear.values) == len(fit.values) - len(nodes)
    if is_comparable and off.max() > _NO_MATTER and chance(linear, fit) < _NOT_LINEAR:
        return model, fit, float("nan")
    bound = quantile(confidence, fit.freedom) * np.sqrt(np.diag(fit.covariance)[at])
    bend = float(np.max(off + bound))
    return *FlowModel(rows, law).fitted(), bend


def _hang_on_law(rows: FlowRows, compared: Comparison, confidence: float) -> frozenset[str]:
    """Sizes whose Kv depends on the law, which is not decided."""
    orifice, choked = compared.orifice, compared.choked
    found = set()
    for i, size in enumerate(rows.sizes):
        bound = quantile(confidence, orifice.freedom) * np.sqrt(orifice.covariance[i, i])
        if choked.names[i] in choked.undetermined or not abs(orifice.values[i] - choked.values[i]) <= bound:
            found.add(size)
    return frozenset(found)


def _is_wrong(found: FlowFit, findings: Findings) -> bool:
    """Whether the rows follow no law with one Kv a size; nothing is told then."""
    share, scatter = float(found.far_off.mean()), found.scatter
    if share <= _MOST_OUTLIERS and scatter <= _WIDEST_SCATTER:
        return False
    why = (
        f"the rows do not follow the law {found.model.law} with one Kv a size: {100 * share:.0f} percent of them lie "
        f"off it, the rest scatter by {100 * scatter:.2g} percent"
    )
    _refuse_all(found.rows, findings, why, "a look at units, columns and sizes; then rows at steady state")
    return True


def _result(found: FlowFit, points: tuple[tuple[float, float], ...] | None) -> FlowResult:
    rows, model, fit = found.rows, found.model, found.fit
    residual = fit.residuals * rows.spread
    picture = FlowPicture(
        rows.line,
        np.array([rows.sizes[i] for i in rows.size], dtype=object),
        rows.opening,
        rows.pressure_drop_pa,
        rows.choking,
        rows.subcooling_k,
        rows.refrigerant,
        rows.flow_kg_s,
        rows.flow_kg_s * np.exp(-residual),
        residual,
        *_spreads(found),
        np.exp(residual + model.choke(fit.values)),
        fit.is_used,
    )
    is_stated = found.options.flow_uncertainty is not None
    flow, opening = found.spread.flow * fit.scatter, found.spread.opening * fit.scatter
    return FlowResult(
        found.law,
        found.verdict,
        points,
        flow,
        opening,
        found.spread.drop_pa * fit.scatter,
        fit.scatter if is_stated else float("nan"),
        int(fit.is_used.sum()),
        fit.names,
        correlation(fit),
        picture,
    )


def _spreads(found: FlowFit) -> tuple[Floats, Floats]:
    """Standard deviations of mass flow: at a row's opening, and at its drop, the other left out."""
    slope, drop = log_slope(found.model, found.fit), found.rows.pressure_drop_pa
    kinds = (replace(found.spread, drop_pa=0.0), replace(found.spread, opening=0.0))
    by_opening, by_drop = (found.fit.scatter * spread.of(slope, drop) for spread in kinds)
    return by_opening, by_drop
