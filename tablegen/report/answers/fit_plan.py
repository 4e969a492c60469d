"""The tests that would halve a bound, in the answer of a fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tablegen.bench.parameters import Part
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.bench_findings import parameter_text
from tablegen.report.answers.fit_specimens import printed_as
from tablegen.report.formatter import NBSP, percent
from tablegen.report.rounding import round_half_even
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.bench.planned_tests import PlannedTests
    from tablegen.bench.readings import BenchRows
    from tablegen.report.formatter import Formatter

_NUMBERS = (
    "inlet_pressure_pa",
    "inlet_temperature_k",
    "outlet_pressure_pa",
    "opening",
    "evaporator_pressure_pa",
    "bulb_temperature_k",
)


def plan_section(plan: PlannedTests, formatter: Formatter) -> Answer:
    """What to measure how often, and the bound before and after."""
    parameter = parameter_text(plan.estimate.parameter)
    factor, unit = printed_as(plan.estimate.parameter.quantity.dimension, formatter)
    before, after = (f"{round_half_even(factor * half, 2)}{NBSP}{unit}" for half in (plan.before, plan.after))
    says = wording.PLAN_SUMMARY if plan.is_enough else wording.PLAN_NOT_ENOUGH
    says = wording.PLAN_SPECIMENS if plan.specimens else says
    keys = ("refrigerant", "size", "charge", *_NUMBERS)
    columns = (
        AnswerColumn(("times",), wording.TIMES(), ColumnStyle.FIGURES),
        AnswerColumn((), wording.CONDITION()),
        *(AnswerColumn((key,)) for key in keys),
    )
    rows = []
    for i, times in enumerate(plan.times):
        data = [getattr(plan.rows, key)[i] for key in keys]
        exported = [Value.exported(float(d) if key in _NUMBERS else str(d)) for key, d in zip(keys, data, strict=True)]
        rows.append((Value.of(times), Value(_condition(plan, i, formatter)), *exported))
    return Answer(
        key="plan",
        heading=wording.PLAN(parameter=parameter),
        summary=(says(plan.specimens or sum(plan.times), parameter=parameter, before=before, after=after),),
        facts=(
            Fact.exported("quantity", str(plan.estimate.parameter.quantity)),
            Fact.exported("of", plan.estimate.parameter.of),
            Fact.exported("before", plan.before),
            Fact.exported("after", plan.after),
            Fact.exported("specimens", plan.specimens),
        ),
        tables=(AnswerTable(key="planned", columns=columns, rows=tuple(rows)),),
        notes=() if plan.specimens else (wording.PLAN_NOTE(),),
    )


def _condition(plan: PlannedTests, i: int, formatter: Formatter) -> str:
    """The condition of one planned row."""
    rows: BenchRows = plan.rows
    inlet, outlet = (formatter.absolute(float(p[i])) for p in (rows.inlet_pressure_pa, rows.outlet_pressure_pa))
    opening, refrigerant, size = percent(float(rows.opening[i])), str(rows.refrigerant[i]), str(rows.size[i])
    if plan.estimate.parameter.quantity.part is Part.FLOW:
        liquid = formatter.degrees(float(rows.inlet_temperature_k[i]), 1)
        return wording.CONDITION_OF_FLOW(
            refrigerant=refrigerant, size=size, opening=opening, inlet=inlet, liquid=liquid, outlet=outlet
        )
    return wording.CONDITION_OF_BALANCE(
        refrigerant=refrigerant,
        size=size,
        charge=str(rows.charge[i]),
        opening=opening,
        inlet=inlet,
        outlet=outlet,
        evaporator=formatter.absolute(float(rows.evaporator_pressure_pa[i])),
        bulb=formatter.degrees(float(rows.bulb_temperature_k[i]), 1),
    )
