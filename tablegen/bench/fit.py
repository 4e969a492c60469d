"""All that a bench file says of a family."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tablegen.bench.balance_fit import BalanceFit, fit_balance
from tablegen.bench.flow_fit import FlowFit, fit_flow
from tablegen.bench.kv_by_superheat import NONE_BY_SUPERHEAT, kv_by_superheat
from tablegen.bench.opening_inferred import infer_openings
from tablegen.bench.parameters import Parameter, Quantity
from tablegen.bench.readings import BenchRows, FitOptions, ValveOnBench
from tablegen.bench.result import NONE_INFERRED, Estimate, Findings, InferredOpenings, Scatter
from tablegen.bench.specimens import each_specimen, pooled, unlabeled
from tablegen.physics.refrigerants import Refrigerant


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchResult:
    """All that a bench file says of a family; `flow` and `balance` are None where nothing can be determined.

    `by_superheat` are the sizes whose Kv comes from rows without an opening.  Of several specimens: how they differ, the estimates of each, and the quantities of which no two can be compared.
    """

    family: str
    confidence: float
    flow: FlowFit | None
    balance: BalanceFit | None
    inferred: InferredOpenings
    findings: Findings
    by_superheat: tuple[str, ...] = ()
    scatter: tuple[Scatter, ...] = ()
    of_specimens: tuple[Estimate, ...] = ()
    lone: tuple[Quantity, ...] = ()

    def estimate(self, quantity: Quantity, of: str = "") -> Estimate | None:
        """One estimate, None where it cannot be determined."""
        wanted = Parameter(quantity, of)
        return next((e for e in self.findings.estimates if e.parameter == wanted), None)


def fit_bench(
    rows: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions
) -> BenchResult:
    """Fit the parameters of a family to the rows of a bench file.

    Flow and force balance share no parameter and are fitted apart.  A mass flow replaces an opening that was not read,
    in the force balance alone; and where a size has no row with an opening, the balance gives it to the flow.  Several specimens come to nominal values, those of the mean valve, and their scatter.

    Parameters
    ----------
    rows : BenchRows
    valve : ValveOnBench
        The family, as its file states it.
    refrigerants : mapping of str to Refrigerant
        Those of the rows, by name.
    options : FitOptions

    Returns
    -------
    BenchResult
        Every parameter with its bounds, or why the rows cannot determine it; rows that are outliers, left out, or off
        the law under one condition.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.

    References
    ----------
    Robust least squares: `tablegen.bench.robust`; lack of fit: `tablegen.bench.lack_of_fit`; flow: IEC 60534-2-1, in
    `tablegen.bench.flow_model`; force balance: `tablegen.bench.balance_model`; specimens:
    `tablegen.bench.random_effects`.
    """
    has_specimens = rows.has_specimens
    if has_specimens:
        rows, valve = each_specimen(rows, valve)
    flow = fit_flow(rows, valve, refrigerants, options)
    findings, balance, inferred, by_superheat = flow.findings, None, NONE_INFERRED, NONE_BY_SUPERHEAT
    if valve.charges:
        by_superheat = kv_by_superheat(rows, valve, refrigerants, options, flow)
        if by_superheat.estimates:
            findings = findings.with_kv(by_superheat.estimates)
            of_balance = np.where(by_superheat.is_used, np.nan, rows.evaporator_pressure_pa)
            rows = replace(rows, evaporator_pressure_pa=of_balance)
        inferred, left_out = infer_openings(rows, valve, refrigerants, options, flow)
        balance, own = fit_balance(inferred.filled(rows), valve, options, inferred)
        own.left_out.extend(left_out)
        findings = findings.joined(own)
    result = BenchResult(
        family=valve.family,
        confidence=options.confidence,
        flow=flow.fit,
        balance=balance,
        inferred=inferred,
        findings=findings,
        by_superheat=tuple(dict.fromkeys(unlabeled(e.parameter.of) for e in by_superheat.estimates)),
    )
    if not has_specimens:
        return result
    made = pooled(findings, flow.fit, balance, options.confidence)
    return replace(
        result,
        balance=made.balance,
        findings=made.findings,
        scatter=made.scatter,
        of_specimens=made.own,
        lone=made.lone,
    )
