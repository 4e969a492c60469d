"""The answer to one case, for one evaporator or several: valves that fit, what to order, why others do not fit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tablegen.answers.case import members_of
from tablegen.answers.in_print import in_print
from tablegen.answers.order_list import OrderedFor, order_list
from tablegen.answers.pick import TIE
from tablegen.model.valve_kinds import asked_alone
from tablegen.report.answer import Answer, AnswerColumn, AnswerTable, ColumnStyle, Fact, Value
from tablegen.report.answers.cases import (
    CONDITIONS,
    application_facts,
    box_facts,
    case_facts,
    changed_facts,
    condition_facts,
    flow_facts,
    imprint_of,
    liquid_facts,
    superheat_facts,
    with_sst,
)
from tablegen.report.answers.near_valve import near_section
from tablegen.report.answers.orders import order_section
from tablegen.report.answers.pick_figures import pick_figures
from tablegen.report.answers.stock_lines import stock_columns, stock_notes, stock_values
from tablegen.report.formatter import DASH, percent, ratio
from tablegen.wording import offers, terms
from tablegen.wording import pick as wording
from tablegen.wording import stock as stock_wording
from tablegen.wording import valve_kinds as kind_wording

if TYPE_CHECKING:
    from tablegen.answers.case import Case
    from tablegen.answers.case_superheat import CaseSuperheat
    from tablegen.answers.order import OrderLine
    from tablegen.answers.pick import AtHead, Candidate, Limit, Picked
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter

_VERDICTS = {"too_small": wording.TOO_SMALL, "too_large": wording.TOO_LARGE, "no_window": wording.NO_WINDOW}
LIMIT_KEYS = tuple(f"{end}_{key}" for end in ("min", "max") for key in ("load_w", "refrigerant", "condition", "reason"))
HEAD_KEYS = tuple(
    f"{condition}_{key}" for condition in CONDITIONS for key in ("pressure_pa", "opening", "superheat_k", "zone")
)
SIZE_KEYS = (
    *("family", "size", "kv_rated_m3h", "charge", "verdict", "position", "margin", "refrigerant"),
    *LIMIT_KEYS,
    *HEAD_KEYS,
)


def answer_of_pick(
    catalogue: Catalogue,
    picked: Picked,
    formatter: Formatter,
    order: OrderLine | None = None,
    *,
    box: BoxTemperature | None = None,
    superheat: CaseSuperheat | None = None,
    was_chosen: bool = False,
    overrides: Sequence[str] = (),
) -> Answer:
    """The answer to a case.

    Parameters
    ----------
    order : OrderLine or None
        Of the first choice.
    box : BoxTemperature or None
        The box at the case's suction temperature.
    superheat : CaseSuperheat or None
        The maximum superheat where it belongs to the coil.
    was_chosen : bool
        Whether nobody named the application.
    overrides : sequence of str
        Keys of the application that were given other values, as `key=value`.
    """
    case = picked.case
    heading = wording.HEADING(
        refrigerant=case.refrigerant, sst=formatter.degrees(case.sst_k), load=_load(case, formatter)
    )
    is_changed = bool(overrides) or (box is not None and box.is_replacing)
    own = _of_one_load(catalogue, picked, formatter, order, is_changed, is_every_neighbor=True)
    return replace(
        own,
        key="pick",
        heading=heading,
        facts=(*_case_facts(catalogue, picked, formatter, box, superheat, was_chosen, overrides), *own.facts),
        tables=(*own.tables, _every_size([picked], box)),
        notes=(*own.notes, *stock_notes(catalogue)),
        imprint=imprint_of(catalogue, case.refrigerant, has_wholesaler=True),
        csv_key="sizes",
        units=formatter.system,
        passed=picked.first is not None,
    )


def answer_of_split(
    catalogue: Catalogue,
    case: Case,
    answers: Sequence[tuple[Picked, OrderLine | None]],
    formatter: Formatter,
    *,
    box: BoxTemperature | None = None,
    superheat: CaseSuperheat | None = None,
    was_chosen: bool = False,
    overrides: Sequence[str] = (),
) -> Answer:
    """The answer for each evaporator of one unit, whose case it is; other parameters as `answer_of_pick`."""
    sections = []
    is_changed = bool(overrides) or (box is not None and box.is_replacing)
    for number, (picked, order) in enumerate(answers, start=1):
        own = _of_one_load(catalogue, picked, formatter, order, is_changed, is_every_neighbor=False)
        share = percent(picked.case.load_w / case.load_w, 1)
        heading = wording.EVAPORATOR(number=number, load=_load(picked.case, formatter), share=share)
        load = Fact.exported("load_w", picked.case.load_w)
        sections.append(replace(own, key=f"evaporator_{number}", heading=heading, facts=(load, *own.facts)))
    whole = replace(answers[0][0], case=case)
    ordered = [
        OrderedFor(picked.first.family, picked.first.size, order, "")
        for picked, order in answers
        if picked.first is not None and order is not None
    ]
    return Answer(
        key="split",
        heading=wording.SPLIT_HEADING(
            len(answers),
            refrigerant=case.refrigerant,
            sst=formatter.degrees(case.sst_k),
            load=_load(case, formatter),
        ),
        # What is enough for each of them may be too little for all.
        summary=tuple(
            stock_wording.TOGETHER(
                count=own.in_stock or 0,
                wanted=own.quantity,
                valve=f"{own.order.family} {own.order.size}",
                short=own.to_order,
            )
            for own in order_list(catalogue, ordered)
            if own.to_order
        ),
        facts=_case_facts(catalogue, whole, formatter, box, superheat, was_chosen, overrides),
        tables=(_every_size([picked for picked, _ in answers], box),),
        sections=tuple(sections),
        notes=(wording.ALL_AT_ONCE(), *stock_notes(catalogue)),
        imprint=imprint_of(catalogue, case.refrigerant, has_wholesaler=True),
        units=formatter.system,
        passed=all(picked.first is not None for picked, _ in answers),
    )


def _load(case: Case, formatter: Formatter) -> str:
    return formatter.with_load_unit(formatter.load(case.load_w))


def _case_facts(
    catalogue: Catalogue,
    picked: Picked,
    formatter: Formatter,
    box: BoxTemperature | None,
    superheat: CaseSuperheat | None,
    was_chosen: bool,
    overrides: Sequence[str],
) -> tuple[Fact, ...]:
    """The case and the operating conditions that it is checked at."""
    case = picked.case
    application = catalogue.applications[case.application]
    # Of a group the head pressures of its first member; one whose own differ has them in the tables.
    system = application.systems[members_of(catalogue, case.refrigerant)[0]]
    gross = offers.GROSS_LOAD(load=_load(case, formatter))
    return (
        *case_facts(case.refrigerant, case.sst_k),
        *application_facts(application, was_chosen, box),
        *box_facts(case.sst_k, box, formatter),
        Fact(("load_w",), offers.LOAD(), Value(gross, (case.load_w,))),
        *condition_facts(system, application.site_pressure_pa, formatter),
        *liquid_facts(picked.liquid, formatter, system.has_receiver),
        *flow_facts(picked.flows, application, system),
        *superheat_facts(superheat, formatter),
        *_kind_facts(picked),
        *changed_facts(overrides),
    )


def _kind_facts(picked: Picked) -> tuple[Fact, ...]:
    """The kind of valve that alone was asked for."""
    kind = picked.valve_kind
    if not kind:
        return ()
    return (Fact(("valve_kind",), kind_wording.VALVE_KIND(), Value(kind_wording.NAMES[kind](), (kind,))),)


def _of_one_load(
    catalogue: Catalogue,
    picked: Picked,
    formatter: Formatter,
    order: OrderLine | None,
    is_overridden: bool,
    *,
    is_every_neighbor: bool,
) -> Answer:
    """First choice, the valves that fit, the order, and the neighbors; these only if asked for or nothing fits."""
    first = picked.first
    facts = (
        Fact.exported("fits", first is not None),
        Fact.exported("first_family", first.family if first else None),
        Fact.exported("first_size", first.size if first else None),
    )
    sections = []
    if order is not None and first is not None:
        found = in_print(catalogue, picked.case, first.family, formatter.system, is_overridden)
        sections.append(order_section(catalogue, order, found, picked.case.refrigerant, formatter))
    if is_every_neighbor or first is None:
        sections.append(_others(catalogue, picked, formatter))
    sections.append(near_section(catalogue, picked, formatter))
    return Answer(
        key="one_load",
        heading="",
        summary=tuple(_verdict(catalogue, picked)),
        facts=facts,
        figures=pick_figures(catalogue, picked, formatter, is_whole=is_every_neighbor),
        tables=(_fitting(catalogue, picked, formatter),),
        sections=tuple(sections),
        notes=(wording.NEAREST_MEMBER(),) if first is not None and _is_group(catalogue, picked) else (),
    )


def _is_group(catalogue: Catalogue, picked: Picked) -> bool:
    return len(members_of(catalogue, picked.case.refrigerant)) > 1


def _verdict(catalogue: Catalogue, picked: Picked) -> Iterator[str]:
    first, load, other = picked.first, picked.case.load_w, picked.best_not_in_stock
    named = {} if other is None else named_with_margin(catalogue, other)
    if first is None:
        if alone := asked_alone(catalogue, picked.family, picked.valve_kind):
            yield (kind_wording.NONE_COVERS if other is None else kind_wording.NONE_IN_STOCK)(kind=alone)
        else:
            yield wording.NO_VALVE() if other is None else stock_wording.NO_VALVE_IN_STOCK()
        if other is not None:
            yield stock_wording.NEXT(**named)
        return
    by_stock = picked.stock_rule.stock is not None and not picked.stock_rule.all_sizes
    yield (stock_wording.FIRST_IN_STOCK if by_stock else wording.FIRST_CHOICE)(
        valve=catalogue.valve_name(first.family, first.size),
        over_minimum=ratio(load / first.minimum.load_w),
        under_maximum=ratio(first.maximum.load_w / load),
    )
    tied = [catalogue.valve_name(c.family, c.size) for c in picked.tied if c is not first]
    if tied:
        yield wording.EQUAL_MARGIN(valves=", ".join(tied))
    if picked.too_few is not None:
        yield stock_wording.TOO_FEW(picked.too_few, wanted=picked.stock_rule.quantity)
    if picked.with_enough is not None:
        enough, count = picked.with_enough
        yield stock_wording.WITH_ENOUGH(count=count, **named_with_margin(catalogue, enough))
    if by_stock and other is not None and other.margin > first.margin * (1.0 + TIE):
        yield stock_wording.LARGER_MARGIN(**named)


def named_with_margin(catalogue: Catalogue, candidate: Candidate) -> dict[str, str]:
    """A valve as it is called in print, and its margin, for a sentence."""
    return {"valve": catalogue.valve_name(candidate.family, candidate.size), "margin": ratio(candidate.margin)}


def _fitting(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> AnswerTable:
    """A row for each valve that fits, best first."""
    with_member = wording.REFRIGERANT() if _is_group(catalogue, picked) else ""
    columns = (
        AnswerColumn(("family",), wording.FAMILY()),
        AnswerColumn(("size",), wording.SIZE()),
        AnswerColumn(("min_load_w", "max_load_w"), wording.LOAD_WINDOW(unit=formatter.load_label)),
        AnswerColumn(("position",), wording.POSITION(), ColumnStyle.FIGURES),
        AnswerColumn(("margin",), wording.MARGIN(), ColumnStyle.FIGURES),
        AnswerColumn(("low_head_opening", "high_head_opening"), wording.OPENING()),
        AnswerColumn(("low_head_superheat_k", "high_head_superheat_k"), wording.SUPERHEAT()),
        AnswerColumn(("refrigerant",), with_member),
        *stock_columns(catalogue.stock),
    )
    rows = []
    for c in picked.fitting:
        family = catalogue.families[c.family]
        low, high = _ends(c)
        superheats = [formatter.step(h.superheat_k, 1) for h in (low, high) if not math.isnan(h.superheat_k)]
        rows.append(
            (
                Value(family.display_name, (c.family,)),
                Value(family.size_name(c.size), (c.size,)),
                Value(
                    DASH.join(formatter.window(c.minimum.load_w, c.maximum.load_w)),
                    (c.minimum.load_w, c.maximum.load_w),
                ),
                Value.measured(c.position, percent),
                Value.measured(c.margin, ratio),
                Value(f"{percent(low.opening)} / {percent(high.opening)}", (low.opening, high.opening)),
                Value(" / ".join(superheats) or wording.SET_BY_CONTROLLER(), (low.superheat_k, high.superheat_k)),
                Value.of(c.heads_member),
                *stock_values(catalogue.stock, c),
            )
        )
    is_ranked = catalogue.stock is not None and not picked.stock_rule.all_sizes
    title = stock_wording.FITTING() if is_ranked else wording.FITTING()
    return AnswerTable(key="fitting", title=title, columns=columns, rows=tuple(rows))


def _ends(candidate: Candidate) -> tuple[AtHead, AtHead]:
    heads = {head.condition: head for head in candidate.heads}
    return heads["low_head"], heads["high_head"]


def _others(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> Answer:
    """Of each family the next smaller and the next larger size, or why it has no window at all."""
    columns = (
        AnswerColumn(("family", "size"), wording.VALVE()),
        AnswerColumn(("verdict",), wording.VERDICT()),
        AnswerColumn(("limit_load_w",), wording.COVERS(unit=formatter.load_label)),
        AnswerColumn(("because",), wording.BECAUSE()),
    )
    rows = [*_refused(catalogue, picked), *_neighbors(catalogue, picked, formatter)]
    table = AnswerTable(key="others", columns=columns, rows=tuple(rows))
    return Answer(key="others", heading=wording.OTHERS(), tables=(table,))


_Row = tuple[Value, Value, Value, Value]


def _refused(catalogue: Catalogue, picked: Picked) -> Iterator[_Row]:
    for refusal in picked.refused:
        yield (
            Value(catalogue.families[refusal.family].display_name, (refusal.family, None)),
            Value(wording.NOT_OFFERED(), ("not_offered",)),
            Value.exported(math.nan),
            Value.of(refusal.why),
        )


def _neighbors(catalogue: Catalogue, picked: Picked, formatter: Formatter) -> Iterator[_Row]:
    for family in dict.fromkeys(c.family for c in picked.candidates):
        small, large = picked.neighbors(family)
        if small is not None:
            limit = small.maximum
            covers = wording.UP_TO(load=formatter.window(limit.load_w, limit.load_w)[1])
            yield _neighbor(catalogue, small, limit, covers)
        if large is not None:
            limit = large.minimum
            covers = wording.FROM(load=formatter.window(limit.load_w, limit.load_w)[0])
            yield _neighbor(catalogue, large, limit, covers)
        none = [c for c in picked.candidates if c.family == family and c.verdict == "no_window"]
        if none:
            own = catalogue.families[family]
            is_all = len(none) == sum(c.family == family for c in picked.candidates)
            sizes = ", ".join(own.size_name(c.size) for c in none)
            all_sizes = wording.NO_SIZE(family=own.display_name)
            name = all_sizes if is_all else wording.SIZES(family=own.display_name, sizes=sizes)
            yield (
                Value(name, (family, None if is_all else ", ".join(c.size for c in none))),
                Value(wording.NO_WINDOW(), ("no_window",)),
                Value.exported(math.nan),
                Value.of(_reason(none[0].maximum)),
            )


def _neighbor(catalogue: Catalogue, candidate: Candidate, limit: Limit, covers: str) -> _Row:
    return (
        Value(catalogue.valve_name(candidate.family, candidate.size), (candidate.family, candidate.size)),
        Value(_VERDICTS[candidate.verdict](), (candidate.verdict,)),
        Value(covers, (limit.load_w,)),
        Value.of(_reason(limit)),
    )


def _reason(limit: Limit) -> str:
    reason = terms.reason(limit.reason)
    if limit.condition not in CONDITIONS:
        return wording.REASON_ALONE(reason=reason, refrigerant=limit.member)
    return wording.REASON(condition=terms.at_condition(limit.condition), reason=reason, refrigerant=limit.member)


def _every_size(answers: Sequence[Picked], box: BoxTemperature | None) -> AnswerTable:
    """Every size of every load, for export."""
    rows = (
        (number, *size_data(candidate))
        for number, picked in enumerate(answers, start=1)
        for candidate in picked.candidates
    )
    table = AnswerTable.exported("sizes", ("evaporator", *SIZE_KEYS), rows)
    return with_sst(table, answers[0].case.sst_k, box)


def size_data(c: Candidate) -> list[Datum]:
    """What is known of one size, by `SIZE_KEYS`."""
    data: list[Datum] = [c.family, c.size, c.kv_rated_m3h, c.charge, c.verdict, c.position, c.margin, c.heads_member]
    return [*data, *limit_data(c.minimum), *limit_data(c.maximum), *head_data(c.heads)]


def limit_data(limit: Limit) -> list[Datum]:
    """A limit and what sets it."""
    return [limit.load_w, limit.member, limit.condition, limit.reason]


def head_data(heads: Sequence[AtHead]) -> list[Datum]:
    """How a valve operates at each condition."""
    data: list[Datum] = []
    found = {head.condition: head for head in heads}
    for condition in CONDITIONS:
        if (head := found.get(condition)) is None:
            data += [math.nan, math.nan, math.nan, ""]
        else:
            data += [head.head_pressure_pa, head.opening, head.superheat_k, head.zone]
    return data
