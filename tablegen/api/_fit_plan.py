"""The parameter that a plan of tests is for, and the plan."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.api._inputs import refused
from tablegen.bench.parameters import Part
from tablegen.bench.planned_tests import PlannedTests, grid, plan_of_balance, plan_of_flow, plan_of_specimens
from tablegen.config.bench_file import read_bench
from tablegen.errors import RequestError, unknown
from tablegen.report.answers.bench_findings import condition_text, parameter_text, short_percent
from tablegen.report.formatter import NBSP
from tablegen.wording import fit as wording
from tablegen.wording.message import listed

if TYPE_CHECKING:
    from tablegen.bench.fit import BenchResult
    from tablegen.bench.result import Estimate
    from tablegen.config.bench_family import BenchFamily
    from tablegen.config.bench_file import BenchFile
    from tablegen.physics.refrigerants import Refrigerant


def planned_tests(
    name: str,
    result: BenchResult,
    file: BenchFile,
    bench: BenchFamily,
    refrigerants: Mapping[str, Refrigerant],
    conditions: str | Path | None,
    site_pressure_pa: float | None,
) -> PlannedTests:
    """The tests that would halve the bound of the parameter of a name.

    Raises
    ------
    RequestError
        If the rows do not determine such a parameter, or are off the law.
    ConfigError
        If the file of conditions cannot be used.
    """
    estimate = _named(name, result.findings.estimates)
    quantity, parameter = estimate.parameter.quantity, parameter_text(estimate.parameter)
    if lacks := [lack for lack in result.findings.lack_of_fit if lack.part is quantity.part]:
        off = listed([condition_text(lack.condition) for lack in lacks])
        raise RequestError(wording.PLAN_OFF_LAW(parameter=parameter, conditions=off))
    scatter = next((own for own in result.scatter if own.quantity is quantity), None)
    if scatter is not None:
        own = [e for e in result.of_specimens if e.parameter.quantity is quantity]
        return plan_of_specimens(estimate, own, scatter.freedom, result.confidence)
    is_flow = quantity.part is Part.FLOW
    if is_flow and (result.flow is None or estimate.parameter not in result.flow.fit.names):
        raise RequestError(wording.PLAN_WITHOUT_OPENING(parameter=parameter))
    if conditions is None:
        # The force balance was fitted with the inferred openings, the flow without them.
        candidates = grid(file.rows if is_flow else result.inferred.filled(file.rows), quantity.part)
    else:
        expected = bench.expected(refrigerants, None, has_readings=False)
        candidates = read_bench(Path(conditions), expected, site_pressure_pa or file.about.site_pressure_pa).rows
    found = None
    if is_flow and result.flow is not None:
        found = plan_of_flow(result.flow, estimate, candidates, refrigerants)
    elif result.balance is not None:
        found = plan_of_balance(result.balance, estimate, candidates, bench.valve, result.confidence)
    if found is None:
        raise RequestError(wording.NO_CONDITIONS(parameter=parameter))
    return found


def _named(name: str, estimates: list[Estimate]) -> Estimate:
    """The estimate that a name means; the quantity alone is enough where there is one."""
    known: dict[str, Estimate] = {}
    for estimate in estimates:
        parameter = estimate.parameter
        of = parameter.of if parameter.opening is None else short_percent(parameter.opening).replace(NBSP, " ")
        known[f"{parameter.quantity} {of}".strip()] = estimate
    asked = " ".join(name.replace(":", " ").split())
    alike = [own for key, own in known.items() if key == asked or key.partition(" ")[0] == asked]
    if len(alike) != 1:
        raise refused("plan", unknown(wording.A_PARAMETER(), name, known))
    return alike[0]
