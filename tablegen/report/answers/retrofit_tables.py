"""The tables about an existing valve: both systems beside each other, ranges of head pressure, other sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tablegen.report.answer import BLANK, AnswerColumn, AnswerTable, ColumnStyle, Value
from tablegen.report.answers.cases import CONDITIONS, gauge_text
from tablegen.report.answers.pick import HEAD_KEYS, LIMIT_KEYS, head_data, limit_data
from tablegen.report.answers.stock_lines import stock_columns, stock_values
from tablegen.report.formatter import DASH, percent, ratio
from tablegen.report.liquid_text import liquid_label, liquid_needed
from tablegen.wording import offers, terms
from tablegen.wording import retrofit as wording

if TYPE_CHECKING:
    from tablegen.answers.existing_valve import ValveOperation
    from tablegen.answers.pick import Candidate, Limit
    from tablegen.answers.retrofit import Retrofit
    from tablegen.answers.zones import HeadZone
    from tablegen.model.inputs import Family
    from tablegen.model.stock import Stock
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter

_MOST_SIZES = 3
_MISSED = {"too_small": wording.ABOVE_MAXIMUM, "too_large": wording.BELOW_MINIMUM}
_SYSTEM_KEYS = (
    *("system", "refrigerant", "safety_group", "application", "temperature_range", "suction_response"),
    *("capacity_step", "confidence", "site_pressure_pa", "load_w", "moved_heads", "distributor_pa"),
    *("dew_pressure_pa", "static_superheat_k", "max_superheat_k", "covers", "min_covered_w", "max_covered_w"),
    *("verdict", "position", "margin", *LIMIT_KEYS, *HEAD_KEYS, *(f"{c}_passed" for c in CONDITIONS)),
)


@dataclass(frozen=True, slots=True)
class RetrofitSystem:
    """One of both systems: "old" or "new", its name in a heading, what the valve does in it, keys of other values."""

    key: str
    name: str
    operation: ValveOperation
    overrides: Sequence[str]


def systems_of(answer: Retrofit, overrides: Sequence[str], old_overrides: Sequence[str]) -> list[RetrofitSystem]:
    """The old system, if it is known, and the new one."""
    new = RetrofitSystem("new", wording.NEW(), answer.after, overrides)
    if answer.before is None:
        return [new]
    both = [RetrofitSystem("old", wording.OLD(), answer.before, old_overrides), new]
    if answer.fitted.setting is None or not is_same_system(both):
        return both
    names = wording.FACTORY_SETTING(), wording.NEW_SETTING()
    return [replace(own, name=name) for own, name in zip(both, names, strict=True)]


def is_same_system(systems: Sequence[RetrofitSystem]) -> bool:
    """Whether both systems are the same, so that the setting of the spring alone is another."""
    asked = [(s.operation.refrigerant, s.operation.application, s.operation.load_w) for s in systems]
    return asked[0] == asked[-1] and not any(system.overrides for system in systems)


def system_data(systems: Sequence[RetrofitSystem]) -> AnswerTable:
    """Everything about each system, for export."""
    return AnswerTable.exported("systems", _SYSTEM_KEYS, [_data(own) for own in systems])


def _data(system: RetrofitSystem) -> list[Datum]:
    own = system.operation
    valve = own.valve
    return [
        *(system.key, own.refrigerant, own.safety_group, own.application, own.temperature_range, own.suction_response),
        *(own.capacity_step, own.confidence, own.site_pressure_pa, own.load_w, own.moved_heads, own.distributor_pa),
        *(own.dew_pressure_pa, own.static_superheat_k, own.max_superheat_k, own.covers, own.min_w, own.max_w),
        *(valve.verdict, valve.position, valve.margin, *limit_data(valve.minimum), *limit_data(valve.maximum)),
        *head_data(own.heads),
        *own.passed,
    ]


def comparison(systems: Sequence[RetrofitSystem], is_thermostatic: bool, formatter: Formatter) -> AnswerTable:
    """A row for each thing that a reader compares; rows that say nothing are left out."""
    operations = [system.operation for system in systems]
    conditions = [
        [formatter.condition(own.conditions[i], own.site_pressure_pa) for own in operations]
        for i in range(len(CONDITIONS))
    ]
    rows = [
        (wording.REFRIGERANT(), [own.refrigerant for own in operations]),
        (offers.APPLICATION(), [own.title for own in operations]),
        (offers.LOAD(), [_load(own, formatter) for own in operations]),
        *(
            (wording.AS_STATED(condition=terms.condition_title(name)), texts)
            for name, texts in zip(CONDITIONS, conditions, strict=True)
        ),
        (liquid_label(operations[0].has_receiver), [_liquid(own, formatter) for own in operations]),
        (offers.CHANGED(), ["; ".join(system.overrides) or BLANK for system in systems]),
        (wording.WINDOW(), [_window(own, formatter) for own in operations]),
        (wording.POSITION(), [_position(own.valve) for own in operations]),
        (wording.MINIMUM_SET_BY(), [_limit(own.valve, own.valve.minimum) for own in operations]),
        (wording.MAXIMUM_SET_BY(), [_limit(own.valve, own.valve.maximum) for own in operations]),
        (wording.STATIC_SUPERHEAT(), [_static(own, is_thermostatic, formatter) for own in operations]),
        *(
            (terms.at_condition_title(name), [_at_head(own, i, is_thermostatic, formatter) for own in operations])
            for i, name in enumerate(CONDITIONS)
        ),
    ]
    columns = (AnswerColumn((), wording.ITEM()), *(AnswerColumn((), system.name) for system in systems))
    cells = tuple((Value(label), *map(Value, texts)) for label, texts in rows if any(text != BLANK for text in texts))
    return AnswerTable(key="comparison", title=wording.SYSTEMS(), columns=columns, rows=cells)


def _liquid(own: ValveOperation, formatter: Formatter) -> str:
    return liquid_needed(own.liquid, formatter, own.has_receiver)


def _load(own: ValveOperation, formatter: Formatter) -> str:
    return offers.GROSS_LOAD(load=formatter.with_load_unit(formatter.load(own.load_w)))


def _window(own: ValveOperation, formatter: Formatter) -> str:
    minimum, maximum = own.valve.minimum, own.valve.maximum
    if own.valve.verdict == "no_window":
        if maximum.reason in ("confidence", "crossed"):
            return wording.NONE_AT_CONFIDENCE() if maximum.reason == "confidence" else wording.NONE_CROSSED()
        if maximum.condition in terms.CONDITIONS:
            return wording.NONE_AT(condition=terms.at_condition(maximum.condition))
        return wording.NONE()
    window = formatter.readable_window(minimum.load_w, maximum.load_w)
    return terms.NARROW() if window is None else formatter.with_load_unit(DASH.join(window))


def _position(valve: Candidate) -> str:
    if valve.verdict == "fits":
        return wording.IN_WINDOW(position=percent(valve.position))
    return _MISSED[valve.verdict]() if valve.verdict in _MISSED else BLANK


def _limit(valve: Candidate, limit: Limit) -> str:
    """The head that sets a limit and why; where limits cross, the head that asks for it."""
    condition = terms.condition(limit.condition) if limit.condition in terms.CONDITIONS else BLANK
    if valve.verdict == "no_window":
        return condition if limit.reason in ("crossed", "confidence") else BLANK
    return wording.LIMIT(condition=condition, reason=terms.limit_reason(limit.reason))


def _static(own: ValveOperation, is_thermostatic: bool, formatter: Formatter) -> str:
    if not is_thermostatic:
        return BLANK
    value = own.static_superheat_k
    return wording.OFF_CURVE_CELL() if math.isnan(value) else formatter.step(value, 1)


def _at_head(own: ValveOperation, i: int, is_thermostatic: bool, formatter: Formatter) -> str:
    """What the valve does at a head, how far open and at what superheat; where it starves, what it passes."""
    head, passed = own.heads[i], own.passed[i]
    pressure = gauge_text(head.head_pressure_pa, own.site_pressure_pa, formatter)
    zone, superheat_k = wording.ZONES[head.zone](), head.superheat_k
    is_short = head.zone == "starved" and passed < 1.0
    if is_short and superheat_k > own.max_superheat_k:
        return wording.NEEDS_SUPERHEAT(
            pressure=pressure,
            zone=zone,
            superheat=formatter.step(superheat_k, 1),
            opening=wording.OPEN(share=percent(head.opening)),
            maximum=formatter.step(own.max_superheat_k),
            share=percent(passed),
        )
    if math.isnan(head.opening):
        opening = wording.BEYOND_STOP() if is_thermostatic else wording.BEYOND_FULL()
    else:
        opening = wording.OPEN(share=percent(head.opening))
    if math.isnan(superheat_k):
        text = wording.AT_HEAD(pressure=pressure, zone=zone, opening=opening)
    elif superheat_k > 0.0:
        superheat = formatter.step(superheat_k, 1)
        text = wording.AT_HEAD_SUPERHEAT(pressure=pressure, zone=zone, opening=opening, superheat=superheat)
    else:
        text = wording.AT_HEAD_NO_SUPERHEAT(pressure=pressure, zone=zone, opening=opening)
    return wording.PASSES(text=text, share=percent(passed)) if is_short else text


def ranges(systems: Sequence[RetrofitSystem], formatter: Formatter) -> AnswerTable:
    """Each range of head pressure and what the valve does there, in the old system and the new one."""
    columns = (
        AnswerColumn(("system",), wording.ITEM() if len(systems) > 1 else ""),
        AnswerColumn(("from_pa", "to_pa"), wording.HEAD_PRESSURE(unit=formatter.gauge_label)),
        AnswerColumn(("zone", "reason", "worst_pa", "margin"), wording.WHAT_IT_DOES()),
    )
    rows = []
    for system in systems:
        site = system.operation.site_pressure_pa
        for zone in system.operation.zones:
            span = DASH.join(formatter.gauge_span(zone.from_pa, zone.to_pa, site))
            data = (zone.zone, zone.reason, zone.worst_pa, zone.margin)
            text = _zone(zone, system.operation, formatter)
            rows.append((Value(system.name, (system.key,)), Value(span, (zone.from_pa, zone.to_pa)), Value(text, data)))
    return AnswerTable(key="ranges", title=wording.RANGES(), columns=columns, rows=tuple(rows))


def _zone(zone: HeadZone, own: ValveOperation, formatter: Formatter) -> str:
    text = wording.ZONES[zone.zone]()
    if zone.reason:
        text = wording.ZONE_BECAUSE(zone=text, reason=terms.reason(zone.reason))
    worst = gauge_text(zone.worst_pa, own.site_pressure_pa, formatter)
    if zone.zone == "starved" and zone.margin < 1.0:
        return wording.PASSES_AT(text=text, pressure=worst, share=percent(zone.margin))
    if zone.zone in ("flooding", "hunts") and zone.margin < 1.0:
        return wording.SHARE_OF_MINIMUM(text=text, pressure=worst, share=percent(zone.margin))
    if own.covers:
        return wording.SMALLEST_MARGIN(text=text, margin=ratio(zone.margin), pressure=worst)
    return text


def other_sizes(answer: Retrofit, family: Family, formatter: Formatter, stock: Stock | None = None) -> AnswerTable:
    """Sizes that would cover the load with the fitted charge, and with the one that is offered; printed if needed."""
    is_printed = not answer.after.covers and answer.is_listed
    labels = (
        wording.CHARGE(),
        wording.SIZE(),
        wording.LOAD_WINDOW(unit=formatter.load_label),
        wording.MARGIN(),
    )
    keys = (("charge", "is_fitted_charge"), ("size",), ("min_load_w", "max_load_w"), ("margin",))
    styles = (ColumnStyle.WORDS, ColumnStyle.WORDS, ColumnStyle.WORDS, ColumnStyle.FIGURES)
    columns = tuple(
        AnswerColumn(own, label if is_printed else "", style)
        for own, label, style in zip(keys, labels, styles, strict=True)
    )
    columns = (*columns, *(stock_columns(stock) if is_printed else ()))
    # The best of each charge first, so that these are printed.
    chosen = [*answer.same_charge[:_MOST_SIZES], *answer.other_charge[:_MOST_SIZES]]
    rest = [*answer.same_charge[_MOST_SIZES:], *answer.other_charge[_MOST_SIZES:]]
    rows = tuple(
        (*_size(candidate, answer, family, formatter), *(stock_values(stock, candidate) if is_printed else ()))
        for candidate in (*chosen, *rest)
    )
    return AnswerTable(
        key="other_sizes",
        title=wording.SIZES(family=family.display_name),
        columns=columns,
        rows=rows,
        printed_rows=len(chosen),
    )


def _size(candidate: Candidate, answer: Retrofit, family: Family, formatter: Formatter) -> tuple[Value, ...]:
    is_fitted = candidate.charge == answer.fitted.charge
    charge = wording.SAME_CHARGE(charge=candidate.charge) if is_fitted else candidate.charge
    window = (candidate.minimum.load_w, candidate.maximum.load_w)
    return (
        Value(charge, (candidate.charge, is_fitted)),
        Value(family.size_name(candidate.size), (candidate.size,)),
        Value(DASH.join(formatter.window(*window)), window),
        Value.measured(candidate.margin, ratio),
    )
