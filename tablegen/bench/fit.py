"""All that a bench file says of a family."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.bench.balance_fit import fit_balance
from tablegen.bench.flow_fit import fit_flow
from tablegen.bench.opening_inferred import infer_openings
from tablegen.bench.result import BenchResult, Findings
from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import FitOptions, ValveOnBench
from tablegen.physics.refrigerants import Refrigerant


def fit_bench(
    rows: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions
) -> BenchResult:
    """Fit flow and balance; `refrigerants` holds those of the rows.

    The two parts share no parameter and are fitted apart; a flow stands in for an opening that was not read, in the
    balance alone.
    """
    flow = fit_flow(rows, valve, refrigerants, options)
    found, balance = flow.findings, None
    if valve.charges:
        inferred, left_out = infer_openings(rows, valve, refrigerants, options, flow)
        balance, more = fit_balance(inferred.filled(rows), valve, options, inferred)
        more.left_out.extend(left_out)
        found = Findings(
            [*found.estimates, *more.estimates],
            [*found.not_determined, *more.not_determined],
            sorted([*found.left_out, *more.left_out], key=lambda row: (row.line, row.part)),
            sorted([*found.outliers, *more.outliers], key=lambda row: (row.line, row.part)),
            [*found.lack_of_fit, *more.lack_of_fit],
            [*found.notes, *more.notes],
        )
    return BenchResult(valve.family, options.confidence, flow.result, balance, found)
