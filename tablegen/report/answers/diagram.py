"""The answer to `diagram`: a chart of a refrigerant, its cycles in an application, or the graphs of a valve."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen import __version__
from tablegen.physics.property_table import CRITICAL_MARGIN_K
from tablegen.report.answer import WIDE, Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Imprint, Value
from tablegen.report.formatter import NBSP, Formatter
from tablegen.report.graphs.chart_lines import RefrigerantChart
from tablegen.report.refrigerant_text import brief_caution, cautions
from tablegen.report.rounding import decimals
from tablegen.units import print_unit
from tablegen.wording import diagram as wording
from tablegen.wording import pressure_enthalpy as graph_wording
from tablegen.wording import states as states_wording
from tablegen.wording import terms

if TYPE_CHECKING:
    from tablegen.answers.cycle import Cycles, ValveCurves
    from tablegen.model.inputs import Catalogue
    from tablegen.model.registry import RefrigerantRecord
    from tablegen.physics.pressure_enthalpy_lines import DiagramLine
    from tablegen.report.graphs.balance_graph import BalanceCurves
    from tablegen.report.graphs.pressure_enthalpy_graph import PressureEnthalpy
    from tablegen.report.pdf.drawing import Drawing
    from tablegen.report.rows import HeadState

# Heights of a figure over its width: it fills a landscape sheet, and is readable on an upright one.
_LOWEST, _HIGHEST = 0.45, 0.68
# Gauge pressures as config files have them.
_GAUGE_KEYS = {"IP": "psi_gauge", "SI": "bar_gauge"}
_LINE_KEYS = ("line", "value_si", "pressure_pa", "enthalpy_j_kg")


@dataclass(frozen=True, slots=True)
class DiagramFigure:
    """A diagram that fills its sheet, drawn when a medium asks for it."""

    alt: str
    make: Callable[[tuple[float, float]], Drawing]
    caption: str = ""
    width: float = WIDE

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""
        return _LOWEST * width, _HIGHEST * width

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        return self.make((width, height))


def zero_text(system: str) -> str:
    """What the zero of enthalpy is in a unit system."""
    return wording.US_ZERO() if system == "IP" else wording.SI_ZERO()


def answer_of_chart(
    record: RefrigerantRecord, chart: RefrigerantChart, formatter: Formatter, version: str, *, is_blank: bool
) -> Answer:
    """A chart of one refrigerant; a blank one has axes and dome."""
    name, zero = record.definition.name, zero_text(formatter.system)
    title = wording.TITLE(refrigerant=name, group=record.safety_group)

    def draw(size: tuple[float, float]) -> Drawing:
        from tablegen.report.graphs.refrigerant_chart import refrigerant_chart

        return refrigerant_chart(chart, (title, zero), formatter, size)

    alt = graph_wording.BLANK_ALT(refrigerant=name) if is_blank else wording.CHART_ALT(refrigerant=name)
    lines = [("bubble", float("nan"), chart.bubble), ("dew", float("nan"), chart.dew)]
    lines += [(line.kind, line.value_si, part) for line in chart.lines for part in line.parts]
    return Answer(
        key="diagram",
        heading=wording.CHART_HEADING(refrigerant=name),
        summary=(wording.OF_REFRIGERANT(group=record.safety_group, zero=zero),),
        facts=_exported(record, zero_j_kg=chart.zero.enthalpy_j_kg),
        figures=(DiagramFigure(alt, draw),),
        tables=(_lines_table(lines, chart.zero.enthalpy_j_kg),),
        notes=(
            # Also where nothing is drawn inside the dome: the figure is as high as what is below it leaves.
            *((wording.BLEND(),) if record.is_blend else ()),
            wording.ABOUT_TOP(margin=formatter.step(CRITICAL_MARGIN_K)),
        ),
        imprint=_imprint(record, version),
        units=formatter.system,
        is_landscape=True,
    )


def answer_of_cycles(
    catalogue: Catalogue,
    found: Cycles,
    record: RefrigerantRecord,
    formatter: Formatter,
    version: str,
    *,
    is_blank: bool,
) -> Answer:
    """The cycles of a refrigerant in an application; a blank diagram has the same axes and the dome."""
    from tablegen.physics.refrigerants import heat_zero
    from tablegen.report.graphs.pressure_enthalpy_graph import (
        PressureEnthalpy,
        alternative_text,
        pressure_enthalpy_graph,
    )
    from tablegen.report.rows import HeadState

    name, zero = record.definition.name, heat_zero(found.refrigerant, formatter.system == "IP").enthalpy_j_kg
    limits = found.application.systems[name].superheat
    cycles = [HeadState.of(condition, state, limits) for condition, state in found.states]
    diagram = PressureEnthalpy(
        bubble=found.bubble,
        dew=found.dew,
        compression=found.compression,
        cycles=cycles,
        site_pressure_pa=found.application.site_pressure_pa,
        zero_j_kg=zero,
        zero=zero_text(formatter.system),
        name=wording.TITLE(refrigerant=name, group=record.safety_group),
        is_blank=is_blank,
    )
    lines = [("bubble", float("nan"), found.bubble), ("dew", float("nan"), found.dew)]
    if not is_blank:
        lines += [("compression", float("nan"), found.compression), *_cycle_lines(cycles)]
    title = found.application.title
    at = {"application": title, "sst": formatter.degrees(found.sst_k), "group": record.safety_group}
    return Answer(
        key="diagram",
        heading=(wording.CHART_HEADING if is_blank else wording.CYCLE_HEADING)(refrigerant=name),
        summary=(wording.AT_SST(**at),),
        facts=(
            *_exported(record, zero_j_kg=zero),
            Fact.exported("application", found.application.name),
            Fact.exported("sst_k", found.sst_k),
        ),
        figures=(
            DiagramFigure(
                alternative_text(diagram, formatter, name),
                lambda size: pressure_enthalpy_graph(diagram, formatter, size),
            ),
        ),
        # A blank diagram has the table to fill in and the note too: so both figures get the same height, and one scale.
        tables=(_cycle_table(diagram, formatter), _lines_table(lines, zero)),
        notes=(*_far_settings(found, formatter), wording.ABOUT_CYCLE()),
        imprint=replace(_imprint(record, version), notice=catalogue.printing.notice),
        csv_key="lines",
        units=formatter.system,
        is_landscape=True,
    )


def _far_settings(found: Cycles, formatter: Formatter) -> Iterator[str]:
    """Settings that are meant for other refrigerants, and what this one would need."""
    site_pa = found.application.site_pressure_pa
    for own in found.far_settings:
        needed = formatter.gauge(own.needed_pa, site_pa)
        yield wording.FAR_SETTING(
            condition=terms.condition_title(own.condition.value),
            pressure=formatter.with_gauge_unit(formatter.gauge(own.pressure_pa, site_pa)),
            temperature=formatter.degrees(own.condensing_k, 0),
            refrigerant=found.refrigerant.name,
            reference_temperature=formatter.degrees(own.reference_k, 0),
            reference=own.reference,
            needed=formatter.with_gauge_unit(needed),
            key=own.condition.value,
            value=f"{needed} {_GAUGE_KEYS[formatter.system]}",
        )


def answer_of_valve(
    catalogue: Catalogue,
    found: ValveCurves,
    record: RefrigerantRecord,
    load_w: float,
    sst_k: float,
    formatter: Formatter,
    version: str,
    *,
    kind: str,
    is_blank: bool,
) -> Answer:
    """The balance of a valve and a system, or its superheat against load; blank: their axes."""
    valve, name = catalogue.valve_name(found.family, found.size), record.definition.name
    is_balance = kind == "balance"
    frame, columns = (found.balance, _BALANCE) if is_balance else (found.superheat, _SUPERHEAT)
    draw = _balance(found, formatter, is_blank) if is_balance else _superheat(found, formatter, is_blank)
    blank = wording.BLANK_BALANCE_ALT() if is_balance else wording.BLANK_SUPERHEAT_ALT()
    alt = (wording.BALANCE_ALT if is_balance else wording.SUPERHEAT_ALT)(valve=valve)
    at = {"application": found.application.title, "sst": formatter.degrees(sst_k)}
    load = formatter.with_load_unit(formatter.load(load_w))
    return Answer(
        key="diagram",
        heading=(wording.BALANCE_HEADING if is_balance else wording.SUPERHEAT_HEADING)(valve=valve, refrigerant=name),
        summary=(wording.AT_LOAD(**at, load=load),),
        facts=(
            Fact.exported("refrigerant", name),
            Fact.exported("safety_group", record.safety_group),
            Fact.exported("application", found.application.name),
            Fact.exported("sst_k", sst_k),
            Fact.exported("family", found.family),
            Fact.exported("size", found.size),
            Fact.exported("load_w", load_w),
        ),
        figures=(DiagramFigure(blank if is_blank else alt, draw),),
        tables=(AnswerTable.exported("lines", columns, frame[list(columns)].itertuples(index=False, name=None)),),
        imprint=replace(_imprint(record, version), notice=catalogue.printing.notice),
        units=formatter.system,
        is_landscape=True,
    )


_BALANCE = (
    "head_pressure_pa",
    "compressor_capacity_w",
    "evaporator_capacity_w",
    "valve_min_w",
    "valve_max_w",
    "opening",
    "superheat_k",
)
_SUPERHEAT = ("condition", "load_w", "opening", "superheat_k", "zone")


def _balance(found: ValveCurves, formatter: Formatter, is_blank: bool) -> Callable[[tuple[float, float]], Drawing]:
    def draw(size: tuple[float, float]) -> Drawing:
        from tablegen.report.graphs.balance_graph import BalanceCurves, balance_graph

        curves: BalanceCurves = BalanceCurves.of(found.balance, formatter, found.application.site_pressure_pa)
        heads = {terms.condition(own): pressure for own, pressure in found.heads_pa.items()}
        return balance_graph(curves, heads, size, is_blank=is_blank)

    return draw


def _superheat(found: ValveCurves, formatter: Formatter, is_blank: bool) -> Callable[[tuple[float, float]], Drawing]:
    def draw(size: tuple[float, float]) -> Drawing:
        from tablegen.report.graphs.family_graphs import Limits, superheat_graph

        limits = Limits(*found.window_w, *found.superheat_k)
        return superheat_graph(found.superheat, limits, formatter, size, is_read_off=True, is_blank=is_blank)

    return draw


def _cycle_lines(cycles: Sequence[HeadState]) -> Iterator[tuple[str, float, DiagramLine]]:
    """From the liquid at the head through the valve and the evaporator to the bulb."""
    from tablegen.physics.pressure_enthalpy_lines import DiagramLine

    for cycle in cycles:
        liquid, vapor = cycle.liquid_enthalpy_j_kg, cycle.vapor_enthalpy_j_kg
        stations = (
            (cycle.head_pressure_pa, liquid),
            (cycle.inlet_pressure_pa, liquid),
            (cycle.outlet_pressure_pa, liquid),
            (cycle.evaporating_pressure_pa, liquid),
            (cycle.evaporating_pressure_pa, vapor),
        )
        yield cycle.condition, cycle.head_pressure_pa, DiagramLine.through(stations)


def _lines_table(lines: Sequence[tuple[str, float, DiagramLine]], zero_j_kg: float) -> AnswerTable:
    """Every point of every line, for export; enthalpies count from the printed zero."""
    rows = (
        (name, value, float(pressure), float(enthalpy) - zero_j_kg)
        for name, value, line in lines
        for pressure, enthalpy in zip(line.pressure_pa, line.enthalpy_j_kg, strict=True)
    )
    return AnswerTable.exported("lines", _LINE_KEYS, rows)


def _cycle_table(diagram: PressureEnthalpy, formatter: Formatter) -> AnswerTable:
    """The operating conditions under each other; to be filled in where the diagram is blank."""
    enthalpy, drop = (print_unit(quantity, formatter.system) for quantity in ("enthalpy", "pressure difference"))

    def heat(value_j_kg: float) -> Value:
        return Value.measured(value_j_kg, lambda own: decimals(enthalpy.of(own), 1))

    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("condition",), wording.CONDITION()),
        AnswerColumn(("head_pressure_pa",), wording.HEAD_PRESSURE(unit=formatter.gauge_label), figures),
        AnswerColumn(("liquid_temperature_k",), wording.LIQUID(unit=formatter.temperature_label), figures),
        AnswerColumn(("pressure_drop_pa",), wording.DROP(unit=drop.label), figures),
        AnswerColumn(("liquid_enthalpy_j_kg",), wording.LIQUID_ENTHALPY(unit=enthalpy.label), figures),
        AnswerColumn(("vapor_enthalpy_j_kg",), wording.VAPOR_ENTHALPY(unit=enthalpy.label), figures),
        AnswerColumn(("effect_j_kg",), wording.EFFECT(unit=enthalpy.label), figures),
    )
    rows = tuple(
        (
            Value(terms.condition_title(cycle.condition), (cycle.condition,)),
            Value.measured(cycle.head_pressure_pa, lambda own: formatter.gauge(own, diagram.site_pressure_pa)),
            Value.measured(cycle.liquid_temperature_k, lambda own: formatter.temperature(own, 1)),
            Value.measured(cycle.inlet_pressure_pa - cycle.outlet_pressure_pa, lambda own: decimals(drop.of(own), 0)),
            heat(cycle.liquid_enthalpy_j_kg - diagram.zero_j_kg),
            heat(cycle.vapor_enthalpy_j_kg - diagram.zero_j_kg),
            heat(cycle.effect_j_kg),
        )
        for cycle in diagram.cycles
    )
    if not diagram.is_blank:
        return AnswerTable(key="cycles", columns=columns, rows=rows)
    blank = tuple(replace(column, keys=()) for column in columns)
    to_fill_in = tuple((Value(row[0].text), *(Value(NBSP) for _ in row[1:])) for row in rows)
    return AnswerTable(key="to_fill_in", columns=blank, rows=to_fill_in)


def _exported(record: RefrigerantRecord, zero_j_kg: float) -> tuple[Fact, ...]:
    return (
        Fact.exported("refrigerant", record.definition.name),
        Fact.exported("safety_group", record.safety_group),
        Fact.exported("enthalpy_zero_j_kg", zero_j_kg),
    )


def _imprint(record: RefrigerantRecord, version: str) -> Imprint:
    return Imprint(
        notice=states_wording.NOTICE(),
        cautions=cautions([record]),
        caution=brief_caution(record),
        origin=states_wording.ORIGIN(version=f"tablegen {__version__}, {version}"),
        subject=wording.CHART_HEADING(refrigerant=record.definition.name),
        keywords=(record.definition.name,),
    )
