"""The answer about hunting: the limit, what the simulation does at each load, and what both are calculated from."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tablegen.answers.hunt import BULBS_S
from tablegen.model.coil_defaults import ASSUMED_INPUTS, CoilInput
from tablegen.report.answer import WIDE, Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import application_facts, box_facts, case_facts, changed_facts, imprint_of
from tablegen.report.formatter import percent, span
from tablegen.report.rounding import decimals
from tablegen.units import print_unit, unit_named
from tablegen.wording import hunt as wording
from tablegen.wording import terms

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tablegen.answers.hunt import Hunt, HuntLimit, HuntRun
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter
    from tablegen.report.pdf.drawing import Drawing

_LOWEST, _HIGHEST = 0.55, 0.68
_SERIES = ("load_w", "time_s", "opening", "superheat_k", "bulb_superheat_k", "wetted_share", "liquid_out_kg_s")
# A figure of the series in so many digits is enough for a plot, and a file of them is half as long.
_DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntFigure:
    """A column of curves for each load."""

    hunt: Hunt
    formatter: Formatter
    stop: float
    alt: str
    caption: str
    width: float = WIDE

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""
        return _LOWEST * width, _HIGHEST * width

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        from tablegen.report.graphs.hunt_graph import TimeColumn, TimeLevels, hunt_graph

        unit = print_unit("temperature difference", self.formatter.system)
        course = self.hunt.course
        columns = [
            TimeColumn(
                title=_panel(run, self.formatter),
                opening=100.0 * course.opening[:, number],
                superheat=course.superheat_k[:, number] / unit.scale,
                wetted=100.0 * course.wetted[:, number],
            )
            for number, run in enumerate(self.hunt.runs)
        ]
        levels = TimeLevels(
            stop=100.0 * self.stop,
            difference=self.hunt.inputs[CoilInput.DIFFERENCE].value / unit.scale,
            superheat_unit=unit.label,
        )
        return hunt_graph(course.time_s, columns, levels, (width, height))


def answer_of_hunt(
    catalogue: Catalogue,
    found: Hunt,
    formatter: Formatter,
    version: str,
    *,
    box: BoxTemperature | None = None,
    was_chosen: bool = False,
    overrides: Sequence[str] = (),
) -> Answer:
    """The answer.

    Parameters
    ----------
    version : str
        Names and versions of the programs that computed it.
    box : BoxTemperature, optional
    was_chosen : bool
        Whether nobody named the application.
    overrides : sequence of str
        Keys of the application that were given other values.
    """
    valve = catalogue.valve_name(found.family, found.size)
    panels = "; ".join(_panel(run, formatter) for run in found.runs)
    return Answer(
        key="hunt",
        heading=wording.HEADING(valve=valve, refrigerant=found.case.refrigerant),
        summary=(*_summary(found, formatter),),
        facts=(
            *case_facts(found.case.refrigerant, found.case.sst_k),
            *application_facts(found.application, was_chosen, box),
            *box_facts(found.case.sst_k, box, formatter),
            *changed_facts(overrides),
            *_facts(found, formatter),
        ),
        figures=(
            HuntFigure(
                hunt=found,
                formatter=formatter,
                stop=found.stop,
                alt=wording.FIGURE_ALT(panels=panels),
                caption=wording.CAPTION(),
            ),
        ),
        tables=(_runs(found, formatter), _bulbs(found, formatter), _inputs(found, formatter), _series(found)),
        notes=(*_notes(found, formatter),),
        imprint=imprint_of(catalogue, found.case.refrigerant, subject=wording.SUBJECT(), version=version),
        csv_key="course",
        units=formatter.system,
        passed=not (found.is_load_given and found.runs[0].swing.hunts),
    )


def _load(load_w: float, formatter: Formatter) -> str:
    return formatter.with_load_unit(formatter.load(load_w))


def _seconds(seconds: float) -> str:
    return wording.SECONDS(seconds=decimals(seconds, 0))


def _panel(run: HuntRun, formatter: Formatter) -> str:
    return (wording.PANEL_HUNTS if run.swing.hunts else wording.PANEL_STEADY)(load=_load(run.load_w, formatter))


def _summary(found: Hunt, formatter: Formatter) -> Iterator[str]:
    limit, condition = found.limit, terms.condition(found.condition.value)
    if limit.is_beyond_stop:
        yield wording.ALWAYS(condition=condition)
    else:
        load, opening = _load(limit.load_w, formatter), percent(limit.opening)
        yield wording.LIMIT(load=load, opening=opening, condition=condition)
    yield from _tables(found, formatter)
    if found.inputs[CoilInput.BULB].is_assumed:
        limits = (
            wording.WITH_BULB(seconds=_seconds(bulb_s), limit=_below(own, formatter))
            for bulb_s, own in zip(BULBS_S, found.by_bulb, strict=True)
            if own.is_beyond_stop or not math.isnan(own.load_w)
        )
        yield wording.BY_BULB(limits="; ".join(limits))
    for run in found.runs:
        load = _load(run.load_w, formatter)
        if not run.swing.hunts:
            message = wording.STILL_STEADY if run.load_w < limit.load_w else wording.STEADY
            yield message(load=load, superheat=formatter.step(run.superheat_k, 1))
            continue
        low, high = run.swing.superheat_k
        yield wording.SWINGS(
            load=load,
            low=decimals(print_unit("temperature difference", formatter.system).of(low), 1),
            high=formatter.step(high, 1),
            period=_seconds(run.swing.period_s),
            share=percent(run.swing.liquid_share),
        )
    yield from _calibrated(found, formatter)


def _below(limit: HuntLimit, formatter: Formatter) -> str:
    if limit.is_beyond_stop:
        return wording.EVERY_LOAD()
    return wording.BELOW_LOAD(load=_load(limit.load_w, formatter))


def _tables(found: Hunt, formatter: Formatter) -> Iterator[str]:
    """What the tables have for the valve, and why this answer is another."""
    own = found.tables
    limits = formatter.readable_window(own.window.minimum.load_w, own.window.maximum.load_w)
    if limits is None:
        yield wording.TABLES_EMPTY()
    else:
        yield wording.TABLES(low=limits[0], high=formatter.with_load_unit(limits[1]))
    if own.uses_loop:
        yield wording.TABLES_LOOP(margin=f"{own.rule.gain_margin:g}")
    else:
        superheat = formatter.step_span(own.min_superheat_k)
        yield wording.TABLES_STATED(opening=percent(own.min_opening), superheat=superheat)


def _calibrated(found: Hunt, formatter: Formatter) -> Iterator[str]:
    """What was observed, and the calibration that it gives."""
    own, asked = found.calibration, found.asked
    if own is None:
        return
    value = decimals(own.value, 2)
    if asked.observed_load_w is not None:
        yield wording.CALIBRATED(load=_load(asked.observed_load_w, formatter), calibration=value)
    elif asked.step is not None:
        yield wording.FROM_STEP(
            file=asked.step.name,
            sensitivity=percent(own.sensitivity),
            delay=decimals(own.delay, 2),
            calibration=value,
        )


def _facts(found: Hunt, formatter: Formatter) -> Iterator[Fact]:
    limit = found.limit
    data = (limit.opening, limit.superheat_k, limit.load_w, limit.period_s)
    keys = ("limit_opening", "limit_superheat_k", "limit_load_w", "limit_period_s")
    opening, superheat = percent(limit.opening), formatter.step(limit.superheat_k, 1)
    if limit.is_beyond_stop:
        text = wording.ALWAYS_TEXT(opening=opening)
    else:
        load, period = _load(limit.load_w, formatter), _seconds(limit.period_s)
        text = wording.LIMIT_TEXT(load=load, opening=opening, superheat=superheat, period=period)
    yield Fact(
        ("condition",), wording.CONDITION(), Value(terms.condition(found.condition.value), (found.condition.value,))
    )
    yield Fact(keys, wording.LIMIT_FACT(), Value(text, data))
    yield _table_fact(found, formatter)
    yield Fact(("delay_s",), wording.DELAY(), Value(_seconds(found.delay_s), (found.delay_s,)))
    yield Fact.exported("family", found.family)
    yield Fact.exported("size", found.size)
    yield Fact.exported("charge", found.charge)
    yield Fact.exported("calibration", math.nan if found.calibration is None else found.calibration.value)


def _table_fact(found: Hunt, formatter: Formatter) -> Fact:
    """The window that the tables have, with what its minimum comes from."""
    own, method = found.tables.window, found.tables.rule.method.value
    ends = (own.minimum.load_w, own.maximum.load_w)
    limits = formatter.readable_window(*ends)
    if limits is None:
        text = wording.NO_WINDOW(method=method)
    else:
        text = wording.TABLES_TEXT(low=limits[0], high=formatter.with_load_unit(limits[1]), method=method)
    return Fact(
        ("table_min_load_w", "table_max_load_w", "stability"), wording.TABLES_FACT(), Value(text, (*ends, method))
    )


def _bulbs(found: Hunt, formatter: Formatter) -> AnswerTable:
    """A row for each bulb: the load and the opening at which hunting begins."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("bulb_time_constant_s",), wording.TIME_CONSTANT(), figures),
        AnswerColumn(("limit_load_w",), wording.BEGINS(unit=formatter.load_label), figures),
        AnswerColumn(("limit_opening",), wording.AT_OPENING(), figures),
    )
    rows = tuple(
        (
            Value.measured(bulb_s, lambda own: decimals(own, 0)),
            Value(wording.ALWAYS_CELL(), (own.load_w,))
            if own.is_beyond_stop
            else Value.measured(own.load_w, formatter.load),
            Value.measured(own.opening, lambda own: decimals(100.0 * own, 0)),
        )
        for bulb_s, own in zip(BULBS_S, found.by_bulb, strict=True)
    )
    return AnswerTable(key="bulbs", title=wording.BULBS(), columns=columns, rows=rows)


def _runs(found: Hunt, formatter: Formatter) -> AnswerTable:
    """A row for each load."""
    figures, step = ColumnStyle.FIGURES, print_unit("temperature difference", formatter.system)
    columns = (
        AnswerColumn(("load_w",), wording.LOAD(unit=formatter.load_label), figures),
        AnswerColumn(("hunts",), wording.VERDICT()),
        AnswerColumn(("min_opening", "max_opening"), wording.OPENING(), figures),
        AnswerColumn(("min_superheat_k", "max_superheat_k"), wording.SUPERHEAT(unit=step.label), figures),
        AnswerColumn(("min_wetted", "max_wetted"), wording.WETTED(), figures),
        AnswerColumn(("period_s",), wording.PERIOD(), figures),
        AnswerColumn(("liquid_share",), wording.LIQUID(), figures),
        AnswerColumn(("opening", "superheat_k")),
    )

    def between(ends: tuple[float, float], text_of: Callable[[float], str]) -> Value:
        return Value(span([text_of(own) for own in ends]), ends)

    def share(own: float) -> str:
        return decimals(100.0 * own, 0)

    rows = tuple(
        (
            Value.measured(run.load_w, formatter.load),
            Value(wording.HUNTS() if run.swing.hunts else wording.IS_STEADY(), (run.swing.hunts,)),
            between(run.swing.opening, share),
            between(run.swing.superheat_k, lambda own: decimals(step.of(own), 1)),
            between(run.swing.wetted, share),
            Value.measured(run.swing.period_s, lambda own: decimals(own, 0)),
            Value.measured(run.swing.liquid_share, share),
            Value.exported(run.opening, run.superheat_k),
        )
        for run in found.runs
    )
    return AnswerTable(key="runs", title=wording.RUNS(), columns=columns, rows=rows)


def _inputs(found: Hunt, formatter: Formatter) -> AnswerTable:
    """What coil and bulb are calculated with; what the catalogue does not state is named as an assumption."""
    columns = (
        AnswerColumn(("input",), wording.INPUT()),
        AnswerColumn(("value_si",), wording.VALUE(), ColumnStyle.FIGURES),
        AnswerColumn(("is_assumed",), wording.SOURCE()),
    )
    rows = tuple(
        (
            Value(wording.INPUT_NAMES[name.value](), (name.value,)),
            Value(_value(name, own.value, formatter), (own.value,)),
            Value(_source(name, formatter) if own.is_assumed else wording.STATED(), (own.is_assumed,)),
        )
        for name, own in found.inputs.items()
        if name not in (CoilInput.CALIBRATION, CoilInput.HOLDUP) or own.value != 1.0
    )
    return AnswerTable(key="inputs", title=wording.INPUTS(), columns=columns, rows=rows)


def _source(name: CoilInput, formatter: Formatter) -> str:
    """What an assumed input rests on."""
    own = ASSUMED_INPUTS[name]
    low, high = (_value(name, value, formatter) for value in (own.low, own.high))
    return wording.ASSUMED(low=low, high=high, source=wording.ASSUMED_SOURCES[name.value]())


def _value(name: CoilInput, value: float, formatter: Formatter) -> str:
    """A value with its unit."""
    if name is CoilInput.DIFFERENCE:
        return formatter.step(value)
    if name is CoilInput.LOAD:
        return _load(value, formatter)
    if name is CoilInput.LENGTH:
        return formatter.length(value)
    if name is CoilInput.DIAMETER:
        if formatter.system == "IP":
            return wording.INCHES(figure=decimals(value / 0.0254, 2))
        return wording.MILLIMETERS(figure=decimals(1000.0 * value, 1))
    if name is CoilInput.WALL:
        if formatter.system == "IP":
            return wording.HEAT_CAPACITY_IP(figure=decimals(unit_named("wall heat", "Btu/(ft degF)").of(value), 4))
        return wording.HEAT_CAPACITY(figure=decimals(value, 0))
    if name is CoilInput.BULB:
        return _seconds(value)
    if name in (CoilInput.CALIBRATION, CoilInput.HOLDUP):
        return decimals(value, 2)
    return percent(value)


def _series(found: Hunt) -> AnswerTable:
    """Every figure of the simulation, for export."""
    course = found.course

    def rounded(value: float) -> float:
        return float(f"{value:.{_DIGITS}g}")

    series = (course.opening, course.superheat_k, course.bulb_superheat_k, course.wetted, course.carried_kg_s)
    rows = (
        (run.load_w, float(course.time_s[row]), *(rounded(float(own[row, number])) for own in series))
        for number, run in enumerate(found.runs)
        for row in range(len(course.time_s))
    )
    return AnswerTable.exported("course", _SERIES, rows)


def _notes(found: Hunt, formatter: Formatter) -> Iterator[str]:
    yield wording.TO_DO()
    if not found.tables.uses_loop:
        yield wording.USE_LOOP()
    yield wording.PLAIN_WORDS()
    yield wording.ABOUT()
    yield wording.PERIOD_IS(length=formatter.length(found.inputs[CoilInput.LENGTH].value))
    yield wording.NOT_MODELED()
    if found.calibration is not None:
        yield wording.CALIBRATION_USE(calibration=found.calibration.written)
