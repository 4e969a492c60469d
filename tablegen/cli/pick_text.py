"""The answer to a case in words and figures."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from tablegen.answers.case import members_of
from tablegen.cli.answer_words import formatter_of
from tablegen.cli.text_table import aligned
from tablegen.report.formatter import CAUTION, DASH, NBSP, SET_BY_CONTROLLER, Formatter, percent
from tablegen.report.phone.lookup_orders import charge_words
from tablegen.wording import terms


def text(catalogue: Any, picked: Any, units: str, notes: Sequence[str], order: Any = None) -> str:
    """Conditions, the valves that fit from the best, what to order, why neighbors do not, what to beware of."""
    formatter = formatter_of(catalogue, units)
    lines = [*_conditions(catalogue, picked.case, formatter, notes), ""]
    if picked.first is None:
        lines.append("No valve of the catalogue fits.")
    else:
        lines += [*_table(catalogue, picked, formatter), "", *_first(catalogue, picked)]
    if order is not None:
        lines.append(f"To order: {order_text(order, formatter)}")
    lines += ["", *_others(catalogue, picked, formatter), "", catalogue.printing.notice, CAUTION]
    return "\n".join(lines).replace(NBSP, " ")


def _conditions(catalogue: Any, case: Any, formatter: Formatter, notes: Sequence[str]) -> list[str]:
    application = catalogue.applications[case.application]
    # Of a group the heads of its first member; one whose own differ has them in the tables.
    system = application.systems[members_of(catalogue, case.refrigerant)[0]]
    site = application.site_pressure_pa
    lines = [
        f"{case.refrigerant}, {application.title}; SST {formatter.degrees(case.sst_k)} (dew)",
        f"Load {formatter.with_load_unit(formatter.load(case.load_w))} gross at the rating point: "
        f"{formatter.condition(system.rating, site)}",
        f"Checked at the low head, {formatter.condition(system.low_head, site)}, at the rating point, and at the high "
        f"head, {formatter.condition(system.high_head, site)}",
    ]
    return [*lines, *notes]


def _table(catalogue: Any, picked: Any, formatter: Formatter) -> list[str]:
    """A line for each valve that fits, best first."""
    is_group = len(members_of(catalogue, picked.case.refrigerant)) > 1
    header = (
        "Family",
        "Size",
        f"Window, {formatter.load_label}",
        "Place",
        "Margin",
        "Opening low/high",
        "Superheat low/high",
        *(["With"] if is_group else []),
    )
    rows = [header]
    for candidate in picked.fitting:
        heads = {head.condition: head for head in candidate.heads}
        ends = heads["low_head"], heads["high_head"]
        superheats = [formatter.step(h.superheat_k, 1) for h in ends if not math.isnan(h.superheat_k)]
        rows.append(
            (
                *_called(catalogue, candidate),
                DASH.join(formatter.window(candidate.minimum.load_w, candidate.maximum.load_w)),
                percent(candidate.place),
                f"{candidate.margin:.2f}",
                " / ".join(percent(h.opening) for h in ends),
                " / ".join(superheats) or SET_BY_CONTROLLER,
                *([candidate.heads_member] if is_group else []),
            )
        )
    note = "Opening and superheat: with the refrigerant of the group that comes nearest to a limit of that size."
    return [*aligned(rows), *([note] if is_group else [])]


def split_text(catalogue: Any, case: Any, answers: Sequence[Any], units: str, notes: Sequence[str]) -> str:
    """The answer for each evaporator of a split unit, shorter than for one alone."""
    formatter = formatter_of(catalogue, units)
    lines = _conditions(catalogue, case, formatter, notes)
    for number, (picked, order) in enumerate(answers, start=1):
        load = formatter.with_load_unit(formatter.load(picked.case.load_w))
        lines += ["", f"Evaporator {number}, {load} ({percent(picked.case.load_w / case.load_w, 1)} of the unit)"]
        if picked.first is None:
            lines += ["No valve of the catalogue fits.", *_others(catalogue, picked, formatter)]
            continue
        lines += [*_table(catalogue, picked, formatter), *_first(catalogue, picked)]
        lines.append(f"To order: {order_text(order, formatter)}")
    note = "All evaporators are taken to work at once; one that shuts off leaves the others another case."
    return "\n".join([*lines, "", note, catalogue.printing.notice, CAUTION]).replace(NBSP, " ")


def order_text(order: Any, formatter: Formatter) -> str:
    """An order line in plain words, with units; it says what is still to be chosen or stated."""
    charge = charge_words(
        formatter,
        order.charge,
        order.maximum_operating_pressure_pa,
        order.setting_refrigerant,
        order.static_superheat_k,
    )
    parts = [f"{order.maker} {order.family} size {order.size}", charge]
    parts += [f"{order.equalizer} equalizer"] if order.equalizer else []
    parts += _chosen("connections", order.connections, order.connections_offered)
    lengths = [formatter.length(length) for length in order.capillary_offered_m]
    parts += _chosen("capillary", "" if order.capillary_m is None else formatter.length(order.capillary_m), lengths)
    if order.driver is not None:
        parts.append(f"driver: {order.driver or 'not described in the catalogue; ask the maker'}")
    if order.has_articles:
        parts.append(f"article {order.article}" if order.article else f"article: {_no_article(order)}")
    parts.append("quantity: state how many" if order.quantity is None else f"quantity {order.quantity}")
    parts.append(f"job {order.job}" if order.job else "job: none stated")
    return f"{'; '.join(parts)}; revision {order.revision} of {order.date.isoformat()}, data {order.fingerprint}"


def _chosen(what: str, chosen: str, offered: Sequence[str]) -> list[str]:
    if chosen:
        return [f"{what} {chosen}"]
    return [f"{what}: choose {' or '.join(offered)}"] if offered else []


def _no_article(order: Any) -> str:
    """Why an order has no number; one may hang on what is still to be chosen."""
    is_chosen = bool(order.connections or not order.connections_offered) and (
        order.capillary_m is not None or not order.capillary_offered_m
    )
    return "none in the list for this valve" if is_chosen else "none in the list until the choices above are made"


def _first(catalogue: Any, picked: Any) -> list[str]:
    first, load = picked.first, picked.case.load_w
    tied = [c for c in picked.tied if c is not first]
    lines = [
        f"First choice: {catalogue.valve_name(first.family, first.size)}, the most room: the load is "
        f"{load / first.minimum.load_w:.2f} times its minimum load, its maximum load "
        f"{first.maximum.load_w / load:.2f} times the load."
    ]
    if tied:
        names = ", ".join(f"{catalogue.valve_name(c.family, c.size)}" for c in tied)
        lines.append(f"As good by that measure: {names}.")
    return lines


def _others(catalogue: Any, picked: Any, formatter: Formatter) -> list[str]:
    """Of each family the next smaller and the next larger size, or why it has no window at all."""
    lines = [f"{catalogue.families[r.family].display_name}: not offered here. {r.why}" for r in picked.refused]
    for family in dict.fromkeys(c.family for c in picked.candidates):
        small, large = picked.neighbours(family)
        if small is not None:
            limit = formatter.window(small.maximum.load_w, small.maximum.load_w)[1]
            lines.append(_why(catalogue, small, "too small", "maximum load", limit, small.maximum, formatter))
        if large is not None:
            limit = formatter.window(large.minimum.load_w, large.minimum.load_w)[0]
            lines.append(_why(catalogue, large, "too large", "minimum load", limit, large.minimum, formatter))
        none = [c for c in picked.candidates if c.family == family and c.verdict == "no_window"]
        if none:
            is_all = len(none) == sum(c.family == family for c in picked.candidates)
            sizes = "no size" if is_all else ", ".join(_called(catalogue, c)[1] for c in none)
            limit = none[0].maximum
            at = f", {terms.condition(limit.condition)}" if limit.condition in terms.CONDITIONS else ""
            why = terms.reason(limit.reason)
            lines.append(f"{_called(catalogue, none[0])[0]} {sizes}: no window, {why} ({limit.member}{at})")
    return lines


def _why(catalogue: Any, candidate: Any, verdict: str, what: str, figure: str, limit: Any, formatter: Formatter) -> str:
    reason = terms.reason(limit.reason)
    valve = catalogue.valve_name(candidate.family, candidate.size)
    return (
        f"{valve}: {verdict}, {what} {formatter.with_load_unit(figure)}; "
        f"{terms.at_condition(limit.condition)} {reason} ({limit.member})"
    )


def _called(catalogue: Any, candidate: Any) -> tuple[str, str]:
    """Family and size as they are printed."""
    family = catalogue.families[candidate.family]
    return family.display_name, family.size_name(candidate.size)
