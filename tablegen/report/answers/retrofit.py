"""The answer about an existing valve on another system: verdict, graph, both systems, advice."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tablegen.report.answer import NARROW, WIDE, Answer, Fact, Value
from tablegen.report.answers.cases import box_facts, case_facts, gauge_text, imprint_of, superheat_facts, with_sst
from tablegen.report.answers.retrofit_spring import setting_data, spring_changes, spring_facts
from tablegen.report.answers.retrofit_tables import (
    comparison,
    is_same_system,
    other_sizes,
    ranges,
    system_data,
    systems_of,
)
from tablegen.report.answers.stock_lines import stock_notes
from tablegen.report.formatter import kv, percent
from tablegen.wording import retrofit as wording
from tablegen.wording import terms
from tablegen.wording.message import listed

if TYPE_CHECKING:
    import pandas as pd

    from tablegen.answers.case_superheat import CaseSuperheat
    from tablegen.answers.existing_valve import ValveOperation
    from tablegen.answers.retrofit import ExistingValve, Retrofit
    from tablegen.answers.zones import HeadZone
    from tablegen.model.box_temperature import BoxTemperature
    from tablegen.model.inputs import Catalogue, Family
    from tablegen.report.answer import Datum
    from tablegen.report.formatter import Formatter
    from tablegen.report.pdf.drawing import Drawing

# Where a higher low head may help.
_MAY_BE_RAISED = ("starved", "not_working")
# Reasons of a minimum that comes from stated limits, not from the loop of valve, coil and bulb.
_STATED_MINIMUM = ("stability", "floodback")
# A difference of limits below this is one of the last digit.
_SAME = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class RetrofitFigure:
    """The balance of system and valve against head pressure, with the ranges in a strip."""

    alt: str
    caption: str
    curve: pd.DataFrame
    operation: ValveOperation
    formatter: Formatter
    width = NARROW

    def heights(self, width: float) -> tuple[float, float]:
        """Smallest and largest useful height for a width [pt]."""
        if width < WIDE:
            return 0.95 * width, 1.15 * width
        return 0.27 * width, 0.62 * width

    def draw(self, width: float, height: float) -> Drawing:
        """The figure in a size [pt]."""
        from tablegen.report.graphs.retrofit_graph import retrofit_graph

        own = self.operation
        heads = {terms.condition(head.condition): head.head_pressure_pa for head in own.heads}
        return retrofit_graph(self.curve, own.zones, self.formatter, own.site_pressure_pa, heads, (width, height))


def answer_of_retrofit(
    catalogue: Catalogue,
    answer: Retrofit,
    curve: pd.DataFrame,
    formatter: Formatter,
    version: str,
    *,
    box: BoxTemperature | None = None,
    superheat: CaseSuperheat | None = None,
    overrides: Sequence[str] = (),
    old_overrides: Sequence[str] = (),
) -> Answer:
    """The answer about an existing valve.

    Parameters
    ----------
    curve : DataFrame
        The balance of the new system and the valve against head pressure.
    version : str
        Names and versions of the programs that computed it.
    box : BoxTemperature, optional
        Of the new system.
    superheat : CaseSuperheat, optional
        Of the new system, where its maximum superheat belongs to the coil.
    overrides, old_overrides : sequence of str
        Keys of the application of the new and the old system that were given other values.
    """
    family, new = catalogue.families[answer.fitted.family], answer.after
    systems = systems_of(answer, overrides, old_overrides)
    verdict = _verdict(new, answer, family, formatter)
    old = (
        []
        if answer.before is None
        else [_old_verdict(answer.before, answer.fitted.setting is not None and is_same_system(systems), formatter)]
    )
    is_thermostatic = answer.fitted.spring_pa is not None
    caption = wording.GRAPH() if new.covers else wording.GRAPH_HATCHED()
    return Answer(
        key="retrofit",
        heading=_heading(answer, family),
        summary=(verdict, *old),
        facts=(
            *case_facts(new.refrigerant, answer.sst_k),
            *box_facts(answer.sst_k, box, formatter),
            *superheat_facts(superheat, formatter),
            *_facts(answer, formatter),
        ),
        figures=(
            RetrofitFigure(
                alt=wording.GRAPH_ALT(verdict=verdict), caption=caption, curve=curve, operation=new, formatter=formatter
            ),
        ),
        tables=(
            with_sst(ranges(systems, formatter), answer.sst_k, box),
            comparison(systems, is_thermostatic, formatter),
            other_sizes(answer, family, formatter, catalogue.stock),
            system_data(systems),
        ),
        notes=(
            *_meanings(answer),
            *_stated(answer),
            *_changes(answer, formatter),
            *spring_changes(answer, formatter),
            *_warnings(answer, formatter),
            *_advice(answer, family, formatter),
            *stock_notes(catalogue),
        ),
        imprint=imprint_of(
            catalogue,
            new.refrigerant,
            subject=wording.SUBJECT(),
            more_cautions=tuple(_cautions(answer)),
            version=version,
        ),
        csv_key="ranges",
        units=formatter.system,
        passed=new.covers,
    )


def _valve(answer: Retrofit, family: Family) -> str:
    return f"{family.display_name} {family.size_name(answer.fitted.size)}"


def _heading(answer: Retrofit, family: Family) -> str:
    old, new = answer.before, answer.after
    valve = _valve(answer, family)
    if old is not None and old.refrigerant != new.refrigerant:
        return wording.OTHER_REFRIGERANT(valve=valve, old=old.refrigerant, new=new.refrigerant)
    return wording.HEADING(valve=valve, refrigerant=new.refrigerant)


def _facts(answer: Retrofit, formatter: Formatter) -> tuple[Fact, ...]:
    """The existing valve, what stays of it, and what else is exported."""
    valve, old = answer.fitted, answer.before
    exported: dict[str, Datum] = {
        "family": valve.family,
        "size": valve.size,
        "kv_rated_m3h": valve.kv_rated_m3h,
        "charge": valve.charge,
        "setting_refrigerant": valve.setting_refrigerant,
        "set_static_superheat_k": valve.set_static_superheat_k,
        "min_static_superheat_k": valve.min_static_superheat_k,
        "spring_pa": valve.spring_pa,
        "gradient_pa": valve.gradient_pa,
        "is_internally_equalized": valve.is_internally_equalized,
        "covers": answer.after.covers,
        "old_covers": None if old is None else old.covers,
        "lowest_setting_pa": answer.lowest_setting_pa,
        "offered_charge": answer.offered_charge,
        "is_listed": answer.is_listed,
        **setting_data(answer),
    }
    printed = [Fact((), wording.VALVE(), Value(_fitted(valve, formatter)))]
    if valve.setting is not None:
        printed += spring_facts(valve.setting, formatter)
    elif valve.spring_pa is not None and valve.gradient_pa is not None:
        spring, gradient = (formatter.drop(pressure, 1) for pressure in (valve.spring_pa, valve.gradient_pa))
        printed.append(Fact((), wording.UNCHANGED(), Value(wording.SPRING(spring=spring, gradient=gradient))))
    return (*printed, *(Fact.exported(key, datum) for key, datum in exported.items()))


def _fitted(valve: ExistingValve, formatter: Formatter) -> str:
    if valve.set_static_superheat_k is None:
        return wording.VALVE_WITH_DRIVE(kv=kv(valve.kv_rated_m3h), charge=valve.charge_title)
    return wording.VALVE_WITH_CHARGE(
        kv=kv(valve.kv_rated_m3h),
        charge=valve.charge_title,
        refrigerant=valve.setting_refrigerant,
        superheat=formatter.step(valve.set_static_superheat_k),
    )


def _verdict(own: ValveOperation, answer: Retrofit, family: Family, formatter: Formatter) -> str:
    """Whether the valve covers the load, and at which heads it does what."""
    valve, load = _valve(answer, family), formatter.with_load_unit(formatter.load(own.load_w))
    if own.covers:
        low, high = _whole_span(own, formatter)
        return wording.COVERS(valve=valve, load=load, low=low, high=high)
    bad, covered = _both_ranges(own, formatter)
    if not covered:
        return wording.DOES_NOT_COVER(valve=valve, load=load, ranges=bad)
    return wording.PARTLY_COVERS(valve=valve, load=load, ranges=bad, covered=covered)


def _old_verdict(own: ValveOperation, is_same: bool, formatter: Formatter) -> str:
    load = formatter.with_load_unit(formatter.load(own.load_w))
    if own.covers:
        low, high = _whole_span(own, formatter)
        return (wording.FACTORY_COVERS if is_same else wording.OLD_COVERS)(load=load, low=low, high=high)
    bad, covered = _both_ranges(own, formatter)
    if not covered:
        return (wording.FACTORY_DOES_NOT_COVER if is_same else wording.OLD_DOES_NOT_COVER)(load=load, ranges=bad)
    message = wording.FACTORY_PARTLY_COVERS if is_same else wording.OLD_PARTLY_COVERS
    return message(load=load, ranges=bad, covered=covered)


def _whole_span(own: ValveOperation, formatter: Formatter) -> tuple[str, str]:
    low, high = formatter.gauge_span(own.zones[0].from_pa, own.zones[-1].to_pa, own.site_pressure_pa)
    return low, wording.WITH_UNIT(text=high, unit=formatter.gauge_label)


def _both_ranges(own: ValveOperation, formatter: Formatter) -> tuple[str, str]:
    """What the valve does where it does not cover the load, and where it covers it (may be empty)."""
    bad = _ranges([zone for zone in own.zones if zone.zone != "steady"], own, formatter)
    good = [zone for zone in own.zones if zone.zone == "steady"]
    return bad, _ranges(good, own, formatter) if good else ""


def _ranges(zones: Sequence[HeadZone], own: ValveOperation, formatter: Formatter) -> str:
    """What the valve does where; neighbors of one name are one range, for whatever reason."""
    joined: list[tuple[str, float, float]] = []
    for zone in zones:
        if joined and joined[-1][0] == zone.zone and joined[-1][2] == zone.from_pa:
            joined[-1] = (zone.zone, joined[-1][1], zone.to_pa)
        else:
            joined.append((zone.zone, zone.from_pa, zone.to_pa))
    texts = []
    for name, from_pa, to_pa in joined:
        low, high = formatter.gauge_span(from_pa, to_pa, own.site_pressure_pa)
        texts.append(wording.IN_RANGE(zone=wording.ZONES[name](), low=low, high=high))
    return wording.WITH_UNIT(text=listed(texts), unit=formatter.gauge_label)


def _meanings(answer: Retrofit) -> list[str]:
    """What the words mean that were used."""
    used = {z.zone for own in (answer.before, answer.after) if own is not None for z in own.zones}
    return [meaning() for zone, meaning in wording.MEANINGS.items() if zone in used]


def _stated(answer: Retrofit) -> Iterator[str]:
    """What the systems as they are stated need a word about."""
    for own in dict.fromkeys(filter(None, (answer.before, answer.after))):
        if own.moved_heads:
            conditions = listed([terms.condition(name) for name in own.moved_heads])
            yield wording.MOVED_HEADS(refrigerant=own.refrigerant, conditions=conditions)
    new = answer.after
    if new.covers and answer.fitted.spring_pa is not None and new.valve.minimum.reason in _STATED_MINIMUM:
        yield wording.STATED_STABILITY()
    if answer.old_refusal:
        yield wording.OLD_NOT_OFFERED(reason=answer.old_refusal)


def _changes(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    """What another refrigerant does to the setting."""
    old, new = answer.before, answer.after
    if old is None or old.refrigerant == new.refrigerant or answer.fitted.spring_pa is None:
        return
    difference = new.dew_pressure_pa - old.dew_pressure_pa
    message = wording.LOWER_DEW if difference < 0.0 else wording.HIGHER_DEW
    yield message(
        sst=formatter.degrees(answer.sst_k),
        new=new.refrigerant,
        pressure=formatter.absolute(new.dew_pressure_pa),
        old=old.refrigerant,
        old_pressure=formatter.absolute(old.dew_pressure_pa),
        difference=formatter.drop(abs(difference), 1),
    )
    # With another setting of the spring too, the change is that of both.
    if answer.fitted.setting is None and not math.isnan(new.static_superheat_k + old.static_superheat_k):
        superheat, old_superheat = (formatter.step(own.static_superheat_k, 1) for own in (new, old))
        yield wording.STATIC_CHANGES(superheat=superheat, old_superheat=old_superheat)


def _warnings(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    """What the figures alone do not say."""
    valve, new = answer.fitted, answer.after
    if valve.refrigerants and new.refrigerant not in valve.refrigerants:
        yield wording.CHARGE_FOR(refrigerants=listed(valve.refrigerants), refrigerant=new.refrigerant)
    if valve.temperature_ranges and new.temperature_range not in valve.temperature_ranges:
        meant = listed([terms.TEMPERATURE_RANGES[own]() for own in valve.temperature_ranges])
        yield wording.CHARGE_FOR_RANGE(ranges=meant, range=terms.TEMPERATURE_RANGES[new.temperature_range]())
    yield from _static_warnings(answer, formatter)
    if valve.is_internally_equalized and new.distributor_pa > 0.0:
        yield wording.INTERNAL_EQUALIZER()
    low, rating, high = (head.head_pressure_pa for head in new.heads)
    if not low < rating < high:
        yield wording.RATING_OUTSIDE()
    if new.suction_response == "stricter":
        yield wording.BOTH_RESPONSES()
    if new.capacity_step < 1.0:
        yield wording.CAPACITY_STEP(share=percent(new.capacity_step))


def _static_warnings(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    valve, new = answer.fitted, answer.after
    floor, static = valve.min_static_superheat_k, new.static_superheat_k
    sst = formatter.degrees(answer.sst_k)
    if valve.spring_pa is not None and math.isnan(static):
        yield wording.OFF_CURVE(refrigerant=new.refrigerant, sst=sst)
    elif floor is not None and static < floor:
        message = wording.STAYS_OPEN if static <= 0.0 else wording.MAY_OPEN
        superheat, minimum = formatter.step(static, 1), formatter.step(floor)
        yield message(refrigerant=new.refrigerant, sst=sst, superheat=superheat, minimum=minimum)


def _advice(answer: Retrofit, family: Family, formatter: Formatter) -> Iterator[str]:
    """The load that is covered, and where the asked one is not, what would cover it."""
    new, name = answer.after, family.display_name
    yield from _covered(answer, formatter)
    yield from _setting(answer, formatter)
    if not answer.is_listed:
        yield wording.NOT_LISTED(refrigerant=new.refrigerant)
    elif not new.covers:
        if not answer.same_charge:
            message = wording.NO_SIZE if answer.fitted.spring_pa is None else wording.NO_SIZE_WITH_CHARGE
            yield message(family=name)
        if not answer.offered_charge:
            where = terms.TEMPERATURE_RANGES[new.temperature_range]()
            yield wording.NO_CHARGE(family=name, refrigerant=new.refrigerant, range=where)
        elif answer.offered_charge != answer.fitted.charge and not answer.other_charge:
            yield wording.NO_SIZE_WITH_OTHER(family=name, refrigerant=new.refrigerant, charge=answer.offered_charge)
    if answer.fitted.setting is not None:
        yield wording.SETTING_SPRING()
        if answer.same_charge and not new.covers:
            yield wording.OTHERS_AT_FACTORY()
    elif answer.fitted.spring_pa is not None:
        yield wording.RESETTING()


def _covered(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    """The loads covered at every head pressure."""
    new = answer.after
    loads = formatter.readable_window(new.min_w, new.max_w)
    if loads is None:
        yield wording.NOTHING_COVERED()
        if _is_short(new):
            yield wording.NO_SETTING()
        return
    low, high = loads[0], formatter.with_load_unit(loads[1])
    if new.confidence is None:
        yield wording.COVERED(low=low, high=high)
    else:
        yield wording.COVERED_AT_CONFIDENCE(low=low, high=high, confidence=percent(new.confidence))
    minimum, maximum = new.valve.minimum.load_w, new.valve.maximum.load_w
    if new.min_w > minimum * (1.0 + _SAME) or new.max_w < maximum * (1.0 - _SAME):
        yield wording.LESS_THAN_AT_CONDITIONS()


def _is_short(own: ValveOperation) -> bool:
    return any(zone.zone in _MAY_BE_RAISED for zone in own.zones)


def _setting(answer: Retrofit, formatter: Formatter) -> Iterator[str]:
    """What the low head must be set to, if that is too low."""
    new = answer.after
    if not _is_short(new):
        return
    if answer.lowest_setting_pa is None:
        # Said with the covered loads where there are none.
        if not math.isnan(new.min_w):
            yield wording.NO_SETTING()
        return
    site, low = new.site_pressure_pa, new.conditions[0]
    setting = formatter.gauge_at_min(answer.lowest_setting_pa, site)
    with_unit = wording.WITH_UNIT(text=setting, unit=formatter.gauge_label)
    yield wording.SETTING(setting=with_unit, liquid=formatter.liquid(low.liquid))
    border_pa = next(zone for zone in reversed(new.zones) if zone.zone in _MAY_BE_RAISED).to_pa
    if formatter.gauge(border_pa, site) != setting:
        yield wording.NOT_THE_BORDER(border=gauge_text(border_pa, site, formatter))


def _cautions(answer: Retrofit) -> Iterator[str]:
    """What no figure here takes into account."""
    old, new = answer.before, answer.after
    if old is not None and old.refrigerant != new.refrigerant:
        yield wording.OTHER_CAPACITY(refrigerant=new.refrigerant)
    else:
        yield wording.LOAD_OF_NEW()
    if new.safety_group[1] != "1":
        yield wording.FLAMMABLE(refrigerant=new.refrigerant, group=new.safety_group)
    if new.safety_group[0] == "B":
        yield wording.TOXIC(refrigerant=new.refrigerant, group=new.safety_group)
