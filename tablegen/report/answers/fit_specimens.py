"""What a fit of several specimens says of their scatter, in its answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tablegen.report.answer import AnswerColumn, AnswerTable, ColumnStyle, Value
from tablegen.report.answers.bench_findings import capitalized, confidence_text, span_text
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import bench as bench_wording
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.bench.parameters import Quantity
    from tablegen.bench.result import Scatter
    from tablegen.model.scatter import ProductionScatter
    from tablegen.report.answers.fit import FitReport
    from tablegen.report.formatter import Formatter

SI_UNITS = {"flow coefficient": "m3/h", "temperature difference": "K", "share": "1", "number": "1"}


def printed_as(dimension: str, formatter: Formatter) -> tuple[float, str]:
    """What an SI value of a fit is multiplied with for print, and its unit."""
    if dimension == "share":
        return 100.0, "%"
    if dimension == "number":
        return 1.0, ""
    unit = print_unit(dimension, formatter.system)
    return unit.of(1.0), unit.label


def scatter_text(quantity: Quantity) -> str:
    """What scatters, as it is named within a sentence."""
    return bench_wording.SCATTERS[quantity]()


def scatter_tables(report: FitReport, formatter: Formatter) -> tuple[AnswerTable, AnswerTable]:
    """How specimens scatter; and for export the values of each."""
    result = report.result
    between = wording.BETWEEN(confidence=confidence_text(result.confidence))
    columns = (
        AnswerColumn(("quantity",), wording.PARAMETER()),
        AnswerColumn(("standard_deviation",), wording.STANDARD_DEVIATION(), ColumnStyle.FIGURES),
        AnswerColumn(("low", "high"), between, ColumnStyle.FIGURES),
        AnswerColumn(("unit",), wording.UNIT()),
        AnswerColumn(("specimens",), wording.SPECIMENS(), ColumnStyle.FIGURES),
        AnswerColumn(("stated",), wording.STATED(), ColumnStyle.FIGURES),
    )
    rows = tuple(_scatter_row(scatter, report.family.scatter, formatter) for scatter in result.scatter)
    each = [(str(e.parameter.quantity), e.parameter.of, e.value, e.standard_error, e.rows) for e in result.of_specimens]
    return (
        AnswerTable(key="scatter", columns=columns, rows=rows, title=wording.SCATTER_OF_VALVES()),
        AnswerTable.exported("specimens", ("quantity", "of", "value", "standard_error", "rows"), each),
    )


def _scatter_row(scatter: Scatter, stated: ProductionScatter, formatter: Formatter) -> tuple[Value, ...]:
    # Kv scatters by a share of itself.
    dimension = scatter.quantity.dimension
    dimension = "share" if dimension == "flow coefficient" else dimension
    factor, unit = printed_as(dimension, formatter)

    def shown(value: float) -> str:
        return round_half_even(factor * value, 2)

    own = stated_scatter(stated, scatter.quantity)
    return (
        Value(capitalized(scatter_text(scatter.quantity)), (str(scatter.quantity),)),
        Value(shown(scatter.deviation), (scatter.deviation,)),
        Value(span_text(shown(scatter.low), shown(scatter.high)), (scatter.low, scatter.high)),
        Value(unit, (SI_UNITS[dimension],)),
        Value.of(scatter.specimens),
        Value(shown(own), (own,)),
    )


def stated_scatter(stated: ProductionScatter, quantity: Quantity) -> float:
    """What a family's file states of the scatter of a quantity, in SI; 0 where it states none."""
    return {
        "kv": stated.kv,
        "static_superheat": stated.static_superheat_k,
        "opening_superheat": stated.opening_superheat_k,
        "unbalance": stated.unbalance,
        "charge_curve": stated.charge_pressure,
    }[quantity]
