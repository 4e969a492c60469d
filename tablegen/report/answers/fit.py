"""The answer of a fit of bench data: parameters with bounds, what cannot be determined, rows off the fit, graphs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.bench.parameters import Part, Quantity
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.report.answer import BLANK, Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, Value
from tablegen.report.answers.bench_findings import (
    capitalized,
    condition_text,
    confidence_text,
    lack_remarks,
    lack_text,
    lines_text,
    missing_test,
    off_the_fit,
    parameter_text,
    reason_text,
    residual_text,
    result_notes,
    suspect_text,
    unusable_text,
)
from tablegen.report.answers.fit_parts import balance_section, flow_section
from tablegen.report.answers.fit_plan import plan_section
from tablegen.report.answers.fit_specimens import SI_UNITS, printed_as, scatter_tables, scatter_text
from tablegen.report.formatter import percent
from tablegen.report.refrigerant_text import own_cautions
from tablegen.report.rounding import MINUS, decimals, with_bound
from tablegen.wording import bench as bench_wording
from tablegen.wording import fit as wording
from tablegen.wording import refrigerants
from tablegen.wording.message import listed

if TYPE_CHECKING:
    import datetime

    from tablegen.bench.fit import BenchResult
    from tablegen.bench.parameters import Parameter
    from tablegen.bench.planned_tests import PlannedTests
    from tablegen.bench.result import Estimate, LackOfFit, Outlier
    from tablegen.model.company import PrintSettings
    from tablegen.model.inputs import Family
    from tablegen.model.registry import RefrigerantRecord
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter


@dataclass(frozen=True, slots=True, kw_only=True)
class FitReport:
    """A fit with what is known of its readings.

    Attributes
    ----------
    result : BenchResult
    family : Family
        As its file states it.
    file : str
        That file, as messages name it.
    source : str
        Where the readings come from.
    date : date or None
        Of the test.
    specimens : int
        Valves that the rows name, 0 where they name none.
    truth : str
        What invented readings were made from, "" for real ones.
    rows : int
        Rows of the bench file.
    refrigerants : tuple of str
        Of the rows.
    records : tuple of RefrigerantRecord
        What is known of them.
    fragment_notes : tuple of str
        What a fragment of the family's file leaves out, and why.
    planned : PlannedTests or None
        Tests that halve the bound of one parameter.
    """

    result: BenchResult
    family: Family
    file: str
    source: str
    date: datetime.date | None
    truth: str
    rows: int
    specimens: int
    refrigerants: tuple[str, ...]
    records: tuple[RefrigerantRecord, ...]
    fragment_notes: tuple[str, ...] = ()
    planned: PlannedTests | None = None


def answer_of_fit(report: FitReport, formatter: Formatter, printing: PrintSettings) -> Answer:
    """The answer of a fit."""
    result = report.result
    count = len(result.findings.estimates)
    sections = []
    if report.planned is not None:
        sections.append(plan_section(report.planned, formatter))
    if result.flow is not None:
        sections.append(flow_section(result, result.flow, formatter))
    if result.balance is not None:
        sections.append(balance_section(result, result.balance, formatter))
    return Answer(
        key="fit",
        heading=wording.HEADING(title=report.family.title),
        summary=(wording.FITTED(count) if count else wording.NONE_FITTED(), *off_the_fit(result.findings)),
        facts=tuple(_facts(report)),
        tables=(
            _parameters(report, formatter),
            *(scatter_tables(report, formatter) if report.specimens else ()),
            _not_determined(result, formatter),
            _lacks(result, formatter),
            _outliers(result, formatter),
            _left_out(report),
        ),
        sections=tuple(sections),
        notes=tuple(_notes(report, formatter)),
        imprint=Imprint(
            notice=printing.notice,
            cautions=(refrigerants.PRESSURE_CAUTION(), *own_cautions(report.records)),
            author=printing.company.name,
            subject=wording.SUBJECT(),
            date=report.date,
        ),
        units=formatter.system,
        passed=count > 0,
    )


def _facts(report: FitReport) -> Iterator[Fact]:
    readings = wording.READINGS_OF(report.rows, source=report.source, refrigerants=", ".join(report.refrigerants))
    if report.specimens:
        readings = wording.WITH_SPECIMENS(report.specimens, readings=readings)
    yield Fact(
        ("source", "rows", "refrigerants"),
        wording.READINGS(),
        Value(readings, (report.source, report.rows, report.refrigerants)),
    )
    data: dict[str, Datum] = {
        "family": report.family.name,
        "file": report.file,
        "date": report.date,
        "truth": report.truth,
        "specimens": report.specimens,
        "confidence": report.result.confidence,
    }
    yield from (Fact.exported(key, datum) for key, datum in data.items())


def _parameters(report: FitReport, formatter: Formatter) -> AnswerTable:
    """A row for each estimate, with what the family's file states now."""
    bound = wording.BOUND(confidence=confidence_text(report.result.confidence))
    columns = (
        AnswerColumn(("quantity", "of", "opening"), wording.PARAMETER()),
        AnswerColumn(("value",), wording.VALUE(), ColumnStyle.FIGURES),
        AnswerColumn(("half_width",), bound, ColumnStyle.FIGURES),
        AnswerColumn(("unit",), wording.UNIT()),
        AnswerColumn(("rows",), wording.ROWS(), ColumnStyle.FIGURES),
        AnswerColumn(("stated",), wording.STATED(), ColumnStyle.FIGURES),
        AnswerColumn(("standard_error",)),
    )
    rows = tuple(_parameter_row(estimate, report.family, formatter) for estimate in report.result.findings.estimates)
    return AnswerTable(key="parameters", columns=columns, rows=rows)


def _parameter_row(estimate: Estimate, family: Family, formatter: Formatter) -> tuple[Value, ...]:
    parameter, dimension = estimate.parameter, estimate.parameter.quantity.dimension
    factor, unit = printed_as(dimension, formatter)
    value, bound = with_bound(factor * estimate.value, factor * estimate.half_width)
    stated = stated_value(family, parameter)
    # As many decimals as the value.
    places = len(value.partition(".")[2])
    return (
        Value(capitalized(parameter_text(parameter)), _keys(parameter)),
        Value(value, (estimate.value,)),
        Value(bound, (estimate.half_width,)),
        Value(unit, (SI_UNITS[dimension],)),
        Value.of(estimate.rows),
        Value(BLANK if math.isnan(stated) else decimals(factor * stated, places), (stated,)),
        Value.exported(estimate.standard_error),
    )


def _keys(parameter: Parameter) -> tuple[Datum, ...]:
    return str(parameter.quantity), parameter.of, math.nan if parameter.opening is None else parameter.opening


def stated_value(family: Family, parameter: Parameter) -> float:
    """What a family's file states of a parameter, in SI; NaN where it states no such thing."""
    quantity = parameter.quantity
    if quantity is Quantity.KV:
        return next(size.kv_rated_m3h for size in family.sizes if size.display_name == parameter.of)
    if quantity is Quantity.PRESSURE_RECOVERY:
        return family.pressure_recovery
    if quantity.is_exponent:
        return math.nan if family.discharge is None else float(getattr(family.discharge, quantity))
    if parameter.opening is not None:
        return float(family.characteristic.share(np.asarray(parameter.opening)))
    if quantity is Quantity.UNBALANCE:
        actuators = [element.actuator for element in family.elements]
        return next((a.balance.unbalance for a in actuators if isinstance(a, ThermostaticActuator)), math.nan)
    setting = next(element.setting for element in family.elements if element.name == parameter.of)
    if setting is None:
        return math.nan
    is_static = quantity is Quantity.STATIC_SUPERHEAT
    return setting.static_superheat_k if is_static else setting.opening_superheat_k


def _not_determined(result: BenchResult, formatter: Formatter) -> AnswerTable:
    columns = (
        AnswerColumn(("quantity", "of", "opening"), wording.PARAMETER()),
        AnswerColumn(("reason",), wording.REASON()),
        AnswerColumn(("missing_test",), wording.MISSING()),
        AnswerColumn(("reason_key",)),
    )
    rows = tuple(
        (
            Value(capitalized(parameter_text(n.parameter)), _keys(n.parameter)),
            Value.of(reason_text(n.reason, formatter)),
            Value.of(missing_test(n.reason, formatter)),
            Value.exported(str(n.reason.why)),
        )
        for n in result.findings.not_determined
    )
    return AnswerTable(key="not_determined", columns=columns, rows=rows, title=wording.NOT_DETERMINED())


def _lacks(result: BenchResult, formatter: Formatter) -> AnswerTable:
    columns = (
        AnswerColumn((), wording.WHICH()),
        AnswerColumn(("suspect",), wording.SUSPECT()),
        *(AnswerColumn((key,)) for key in ("part", "condition", "charge", "group", "low", "high", "rows")),
        *(AnswerColumn((key,)) for key in ("mean_residual", "max_residual", "lines", "chance", "error_rate", "also")),
    )
    rows = tuple(_lack_row(lack, formatter) for lack in result.findings.lack_of_fit)
    return AnswerTable(key="lack_of_fit", columns=columns, rows=rows, title=wording.LACK_OF_FIT())


def _lack_row(lack: LackOfFit, formatter: Formatter) -> tuple[Value, ...]:
    data: tuple[Datum, ...] = (
        str(lack.part),
        str(lack.condition.reading),
        lack.condition.charge,
        str(lack.group),
        lack.low,
        lack.high,
        lack.rows,
        lack.residual,
        lack.farthest,
        lack.lines,
        lack.chance,
        lack.error_rate,
        tuple(condition_text(key) for key in lack.also),
    )
    sentences = " ".join([f"{lack_text(lack, formatter)}.", *lack_remarks(lack)])
    return Value(sentences), Value.of(suspect_text(lack)), *(Value.exported(datum) for datum in data)


def _outliers(result: BenchResult, formatter: Formatter) -> AnswerTable:
    columns = (
        AnswerColumn(("line",), wording.LINE(), ColumnStyle.FIGURES),
        AnswerColumn(("part",), wording.OFF()),
        AnswerColumn(("residual",), wording.OFF_BY(), ColumnStyle.FIGURES),
        AnswerColumn(("deviations",), wording.DEVIATIONS(), ColumnStyle.FIGURES),
    )
    rows = tuple(_outlier_row(outlier, formatter) for outlier in result.findings.outliers)
    return AnswerTable(key="outliers", columns=columns, rows=rows, title=wording.OUTLIERS())


def _outlier_row(outlier: Outlier, formatter: Formatter) -> tuple[Value, ...]:
    sign = "+" if outlier.residual > 0.0 else MINUS
    return (
        Value.of(outlier.line),
        Value(bench_wording.OUTLIERS[outlier.part](), (str(outlier.part),)),
        Value(f"{sign}{residual_text(outlier.part, abs(outlier.residual), formatter)}", (outlier.residual,)),
        Value(f"{abs(outlier.deviations):.0f}", (outlier.deviations,)),
    )


def _left_out(report: FitReport) -> AnswerTable:
    """Rows left out, those with one reason together."""
    result = report.result
    law = None if result.flow is None else result.flow.law
    together: dict[tuple[Part, str, str], list[int]] = {}
    for row in result.findings.left_out:
        key = row.part, unusable_text(row, report.family, law), str(row.why)
        together.setdefault(key, []).append(row.line)
    columns = (
        AnswerColumn(("lines",), wording.LINES()),
        AnswerColumn(("part",), wording.PART()),
        AnswerColumn(("reason",), wording.REASON()),
        AnswerColumn(("reason_key",)),
    )
    rows = tuple(
        (
            Value(lines_text(lines), (tuple(lines),)),
            Value(bench_wording.PARTS[part](), (str(part),)),
            Value.of(text),
            Value.exported(why),
        )
        for (part, text, why), lines in together.items()
    )
    return AnswerTable(key="left_out", columns=columns, rows=rows, title=wording.LEFT_OUT())


def _notes(report: FitReport, formatter: Formatter) -> Iterator[str]:
    """What was noticed, what the bounds do not cover, what invented readings were made from."""
    result = report.result
    yield from result_notes(result, formatter)
    if result.findings.lack_of_fit:
        yield wording.READ_LACK(rate=percent(result.findings.lack_of_fit[0].error_rate))
    if report.specimens:
        yield wording.BOUNDS_OF_SPECIMENS(confidence=confidence_text(result.confidence))
        if result.lone:
            yield wording.LONE_SPECIMENS(quantities=listed([scatter_text(quantity) for quantity in result.lone]))
    else:
        yield wording.BOUNDS(confidence=confidence_text(result.confidence))
    yield wording.LIQUID()
    if report.truth:
        yield wording.TRUTH(truth=report.truth)
    yield wording.STATED_IS()
    yield from (wording.OF_FRAGMENT(note=note) for note in report.fragment_notes)
