"""The two parts of a fit in its answer: flow law, scatter, graphs, and every row beside the fit."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from tablegen.bench.parameters import Part, Quantity, Why
from tablegen.physics.flow import FlowLaw
from tablegen.report.answer import WIDE, Answer, AnswerTable, Fact, Value
from tablegen.report.answers.bench_findings import capitalized, parameter_text, reason_text, two_figures
from tablegen.report.formatter import percent
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.bench.balance_fit import BalanceFit
    from tablegen.bench.fit import BenchResult
    from tablegen.bench.flow_fit import FlowFit
    from tablegen.bench.result import BalanceTable, FlowTable, LackOfFit, LawVerdict
    from tablegen.bench.robust import Fit
    from tablegen.report.formatter import Formatter
    from tablegen.report.pdf.drawing import Drawing


@dataclass(frozen=True, slots=True)
class FitFigure:
    """Graphs of one part of a fit, drawn when they are asked for."""

    alt: str
    caption: str
    drawing: Callable[[tuple[float, float]], Drawing]
    width = WIDE

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""
        return 0.56 * width, 0.92 * width

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        return self.drawing((width, height))


def law_misfit(verdict: LawVerdict) -> str:
    """How far the rows are from each law."""
    return wording.MISFIT(
        orifice=two_figures(verdict.orifice_scatter),
        choked=two_figures(verdict.choked_scatter),
        discharge=two_figures(verdict.discharge_scatter),
    )


def _law_text(verdict: LawVerdict, formatter: Formatter) -> str:
    """What the rows say of the flow law, and by how much."""
    if verdict.law is None:
        return wording.UNDECIDED(misfit=law_misfit(verdict))
    is_third = verdict.law is FlowLaw.DISCHARGE_COEFFICIENT
    tens = math.floor(abs(verdict.discharge_evidence if is_third else verdict.evidence) / math.log(10.0))
    better = FlowLaw.CHOKED if verdict.evidence > 0.0 else FlowLaw.ORIFICE
    other = better if is_third else FlowLaw.ORIFICE if better is FlowLaw.CHOKED else FlowLaw.CHOKED
    laws = {"law": wording.LAWS[verdict.law](), "other": wording.LAWS[other]()}
    odds = wording.BEYOND_A_MILLION(**laws) if tens >= 6 else wording.ODDS(odds=str(10**tens), **laws)
    reason = reason_text(verdict.reason, formatter)
    return wording.SUPPORTED(law=str(verdict.law), reason=reason, misfit=law_misfit(verdict), odds=odds)


def _discharge_facts(verdict: LawVerdict, formatter: Formatter) -> Iterator[Fact]:
    """What keeps a discharge coefficient from being recommended; nothing where it is, or where the rows need none."""
    if verdict.discharge.why not in (Why.EXPONENTS_FIT, Why.EXPONENTS_NEEDLESS):
        yield Fact((), wording.DISCHARGE(), Value(capitalized(reason_text(verdict.discharge, formatter))))
    data = ("discharge", str(verdict.discharge.why)), ("discharge_scatter", verdict.discharge_scatter)
    for key, datum in (*data, ("discharge_evidence", verdict.discharge_evidence)):
        yield Fact.exported(key, datum)


def flow_section(result: BenchResult, flow: FlowFit, formatter: Formatter) -> Answer:
    """Flow law, scatter of the readings and graphs; points, rows and correlation for export."""
    verdict = flow.verdict
    shown = flow.shown
    scatter = [wording.FLOW_SCATTER(flow.count, flow=two_figures(shown.flow))]
    if shown.opening:
        scatter.append(wording.OPENING_SCATTER(opening=two_figures(shown.opening)))
    if shown.drop_pa:
        scatter.append(wording.DROP_SCATTER(drop=formatter.drop(shown.drop_pa, 1)))
    if not math.isnan(flow.over_stated):
        scatter.append(wording.OVER_STATED(ratio=f"{flow.over_stated:.2f}"))
    law_keys = ("law", "supported_law", "orifice_scatter", "choked_scatter", "evidence", "rows_beyond", "max_drop")
    law_data = (
        None if flow.law is None else str(flow.law),
        None if verdict.law is None else str(verdict.law),
        verdict.orifice_scatter,
        verdict.choked_scatter,
        verdict.evidence,
        verdict.rows_beyond,
        verdict.max_drop,
    )
    scatter_keys = ("rows", "flow_scatter", "opening_scatter", "drop_scatter_pa", "over_stated")
    scatter_data = (flow.count, shown.flow, shown.opening, shown.drop_pa, flow.over_stated)
    return Answer(
        key="flow",
        heading=wording.FLOW(),
        facts=(
            Fact(law_keys, wording.FLOW_LAW(), Value(_law_text(verdict, formatter), law_data)),
            *_discharge_facts(verdict, formatter),
            Fact(scatter_keys, wording.SCATTER(), Value("; ".join(scatter), scatter_data)),
        ),
        figures=(_flow_figure(result, flow, formatter),),
        tables=(
            AnswerTable.exported("points", ("opening", "share"), flow.points or ()),
            _rows_beside(flow.table),
            _correlation(flow.fit),
        ),
    )


def balance_section(result: BenchResult, balance: BalanceFit, formatter: Formatter) -> Answer:
    """Scatter of the force balance and graphs; settings, charge curves, inferred openings and rows for export."""
    scatter = wording.BULB_SCATTER(balance.count, scatter=formatter.step(balance.fit.scatter, 2))
    curve = [
        (charge, point.temperature_k, point.pressure_pa, point.half_width_pa)
        for charge, measured in balance.curves.items()
        for point in measured.points
    ]
    inferred = [
        column.tolist() for column in (result.inferred.line, result.inferred.opening, result.inferred.deviation)
    ]
    return Answer(
        key="balance",
        heading=wording.BALANCE(),
        facts=(Fact(("rows", "scatter_k"), wording.SCATTER(), Value(scatter, (balance.count, balance.fit.scatter))),),
        figures=(_balance_figure(result, balance, formatter),),
        tables=(
            AnswerTable.exported("settings", ("charge", "pressure_drop_pa"), balance.reference_drop_pa.items()),
            AnswerTable.exported("charge_curves", ("charge", "temperature_k", "pressure_pa", "half_width_pa"), curve),
            AnswerTable.exported(
                "inferred_openings", ("line", "opening", "standard_error"), zip(*inferred, strict=True)
            ),
            _rows_beside(balance.table),
            _correlation(balance.fit),
        ),
    )


def _flow_figure(result: BenchResult, flow: FlowFit, formatter: Formatter) -> FitFigure:
    lacks, recovery = _lacks(result, Part.FLOW), result.estimate(Quantity.PRESSURE_RECOVERY)

    def draw(size: tuple[float, float]) -> Drawing:
        from tablegen.report.graphs.fit_graphs import flow_graphs

        return flow_graphs(flow, None if recovery is None else recovery.value, lacks, formatter, size)

    caption = wording.FLOW_CAPTION(reached=percent(flow.verdict.max_drop))
    return FitFigure(wording.FLOW_ALT(), _caption(caption, lacks), draw)


def _balance_figure(result: BenchResult, balance: BalanceFit, formatter: Formatter) -> FitFigure:
    lacks = _lacks(result, Part.BALANCE)

    def draw(size: tuple[float, float]) -> Drawing:
        from tablegen.report.graphs.fit_graphs import balance_graphs

        return balance_graphs(balance, lacks, formatter, size)

    return FitFigure(wording.BALANCE_ALT(), _caption(wording.BALANCE_CAPTION(), lacks), draw)


def _lacks(result: BenchResult, part: Part) -> list[LackOfFit]:
    return [lack for lack in result.findings.lack_of_fit if lack.part is part]


def _caption(caption: str, lacks: Sequence[LackOfFit]) -> str:
    return f"{caption} {wording.BRACKET()}" if lacks else caption


def _rows_beside(table: FlowTable | BalanceTable) -> AnswerTable:
    """Every row beside the fit."""
    names = [field.name for field in fields(table)]
    columns = [getattr(table, name).tolist() for name in names]
    return AnswerTable.exported("rows", names, list(zip(*columns, strict=True)))


def _correlation(fit: Fit) -> AnswerTable:
    texts, matrix = [parameter_text(name) for name in fit.names], fit.correlation
    rows = [(a, b, float(matrix[i, j])) for i, a in enumerate(texts) for j, b in enumerate(texts)]
    return AnswerTable.exported("correlation", ("parameter", "other", "correlation"), rows)
