"""An existing valve before and after, side by side: one row for each thing that a reader compares."""

from __future__ import annotations

import math
from typing import Any

from tablegen.report.formatter import DASH, NARROW, NBSP, percent
from tablegen.report.retrofit_words import VERBS, RetrofitFormatter
from tablegen.wording import terms

_BLANK = "–"
_PLACES = {"too_small": "above the maximum", "too_large": "below the minimum", "no_window": _BLANK}


def comparison(told: RetrofitFormatter) -> tuple[list[str], list[list[str]]]:
    """Header and rows; one column where nothing is known of an earlier system.

    At a head stand its pressure, what the valve does, its opening and, of a thermostatic valve, its superheat.
    """
    answer = told.answer
    sides = [served for served in (answer.before, answer.after) if served is not None]
    header = ["", "Before", "After"] if len(sides) == 2 else ["", "Now"]
    is_thermostatic = answer.fitted.spring_pa is not None
    rows = [
        ["Refrigerant", *(s.refrigerant for s in sides)],
        ["Conditions", *(s.title for s in sides)],
        ["Load", *(told.load(s) for s in sides)],
        ["Window", *(_window(told, s) for s in sides)],
        ["The load lies", *(_place(s) for s in sides)],
        ["Minimum load set at", *(_limit(told, s.valve.minimum, s) for s in sides)],
        ["Maximum load set at", *(_limit(told, s.valve.maximum, s) for s in sides)],
    ]
    if is_thermostatic:
        rows.append(["Static superheat", *(_static(told, s) for s in sides)])
    for i, name in enumerate(("low_head", "rating", "high_head")):
        label = terms.condition(name)
        rows.append([label[0].upper() + label[1:], *(_at(told, s, i, is_thermostatic) for s in sides)])
    return header, [row for row in rows if any(cell != _BLANK for cell in row[1:])]


def _window(told: RetrofitFormatter, served: Any) -> str:
    minimum, maximum = served.valve.minimum, served.valve.maximum
    if served.valve.verdict == "no_window":
        if maximum.reason == "confidence":
            return "none at the confidence"
        at = f", for the {terms.condition(maximum.condition)}" if maximum.condition in terms.CONDITIONS else ""
        return "none, its limits cross" if maximum.reason == "crossed" else f"none{at}"
    window = told.formatter.readable_window(minimum.load_w, maximum.load_w)
    return NARROW if window is None else told.formatter.with_load_unit(DASH.join(window))


def _place(served: Any) -> str:
    valve = served.valve
    return f"{percent(valve.place)} up the window" if valve.verdict == "fits" else _PLACES[valve.verdict]


def _limit(told: RetrofitFormatter, limit: Any, served: Any) -> str:
    """The head that sets a limit and why; where limits cross, the head that asks for it."""
    head = terms.condition(limit.condition) if limit.condition in terms.CONDITIONS else _BLANK
    if served.valve.verdict == "no_window":
        return head if limit.reason in ("crossed", "confidence") else _BLANK
    return f"{head}, {terms.limit_reason(limit.reason)}"


def _static(told: RetrofitFormatter, served: Any) -> str:
    value = served.static_superheat_k
    return "off the charge's curve" if math.isnan(value) else told.formatter.step(value, 1)


def _at(told: RetrofitFormatter, served: Any, i: int, is_thermostatic: bool) -> str:
    """A head, what the valve does there, how far open and at what superheat; where it starves, what it passes."""
    formatter, head, passed = told.formatter, served.heads[i], served.passed[i]
    gauge = f"{formatter.gauge(head.head_pressure_pa, served.site_pressure_pa)}{NBSP}{formatter.gauge_label}"
    is_short = head.zone == "starved" and passed < 1.0
    limit = served.max_superheat_k
    if is_short and head.superheat_k > limit:
        needed = f"it would need {formatter.step(head.superheat_k, 1)} superheat, {percent(head.opening)} open"
        at = f"at the maximum of {formatter.step(limit)} it passes {percent(passed)} of the load"
        return f"{gauge}: {VERBS[head.zone]}; {needed}; {at}"
    if math.isnan(head.opening):
        way = "beyond its stop" if is_thermostatic else "beyond its full opening"
    else:
        way = f"{percent(head.opening)} open"
    if not math.isnan(head.superheat_k):
        way += f", {formatter.step(head.superheat_k, 1) if head.superheat_k > 0.0 else 'no superheat'}"
    way += f"; it passes {percent(passed)} of the load" if is_short else ""
    return f"{gauge}: {VERBS[head.zone]}, {way}"
