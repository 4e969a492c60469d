"""The conditions of a table in short: its three heads as stations on one axis of head pressure, and a few facts."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tablegen.model.publications import Combination
from tablegen.physics.system import LiquidSupply, SuctionResponse, SystemInputs
from tablegen.report.formatter import DASH, Formatter, percent, span
from tablegen.report.printed_catalogue import PrintedCatalogue
from tablegen.report.rounding import MINUS
from tablegen.report.rows import HeadState
from tablegen.report.superheat_text import maximum_superheat
from tablegen.report.table_conditions import loss_drops
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.message import in_clauses, listed

# Temperatures that are the same [K].
_SAME_K = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One operating condition of the refrigerants of a table, as printed; `place_pa` is where its head is [Pa]."""

    name: str
    place_pa: float
    pressure: str
    bubble: str
    liquid: str


@dataclass(frozen=True, slots=True)
class ConditionAxis:
    """The three heads of a table from low to high, and what their rows are called."""

    stations: Sequence[Station]
    labels: tuple[str, str, str]

    @property
    def alt(self) -> str:
        """Every figure, for readers who cannot see where it is."""
        head, bubble, liquid = self.labels
        return in_clauses(
            wording.STATION_ALT(
                condition=own.name,
                head=head,
                pressure=own.pressure,
                bubble_label=bubble,
                bubble=own.bubble,
                liquid_label=liquid,
                liquid=own.liquid,
            )
            for own in self.stations
        )


def condition_axis(source: PrintedCatalogue, part: Combination) -> ConditionAxis:
    """The heads of a printed table, each for all refrigerants of its group."""
    formatter, members = source.formatter, source.members(part.group)
    site = source.catalogue.applications[part.application].site_pressure_pa
    heads = [source.heads(part.application, name) for name in members]
    stations = []
    for condition, name in terms.CONDITIONS.items():
        states = [own[condition] for own in heads]
        stations.append(
            Station(
                name=name(),
                place_pa=statistics.fmean(s.head_pressure_pa for s in states),
                pressure=formatter.gauge_range([s.head_pressure_pa for s in states], site),
                bubble=bubble_points(formatter, states),
                liquid=_temperatures(formatter, [s.liquid_temperature_k for s in states], 0),
            )
        )
    bubble = bubble_row(formatter, [state for own in heads for state in own.values()])
    liquid = wording.LIQUID_ROW(unit=formatter.temperature_label)
    row = wording.RECEIVER_ROW if source.system(part).has_receiver else wording.HEAD_ROW
    return ConditionAxis(stations, (row(unit=formatter.gauge_label), bubble, liquid))


def bubble_row(formatter: Formatter, states: Iterable[HeadState]) -> str:
    """What a row of condensing temperatures is called: bubble points where any of the refrigerants has a glide."""
    has_glide = any(own.head_dew_temperature_k - own.head_bubble_temperature_k > _SAME_K for own in states)
    message = wording.BUBBLE_ROW if has_glide else wording.SATURATED_ROW
    return message(unit=formatter.temperature_label)


def bubble_points(formatter: Formatter, states: Sequence[HeadState]) -> str:
    """The bubble points of the refrigerants at one head, as printed."""
    return _temperatures(formatter, [own.head_bubble_temperature_k for own in states])


def _temperatures(formatter: Formatter, kelvin: Sequence[float], places: int | None = None) -> str:
    """The lowest to the highest, all with as many decimals; a dash where one cannot be computed."""
    if not all(map(math.isfinite, kelvin)):
        return DASH
    if places is None:
        texts = [formatter.temperature(value).removeprefix(MINUS) for value in kelvin]
        places = int(not all(map(str.isdecimal, texts)))
    return span([formatter.temperature(value, places) for value in kelvin])


def short_facts(source: PrintedCatalogue, part: Combination) -> list[tuple[str, str]]:
    """What a table is valid for beside its heads: suction, losses, superheat and liquid, each in a few words."""
    system, is_thermostatic = source.system(part), source.is_thermostatic(part.family)
    formatter = source.formatter
    return [
        (wording.SUPERHEAT(), _superheat(source, part)),
        (wording.LOSSES(), _losses(formatter, system)),
        (wording.SUCTION(), _suction(formatter, system, is_thermostatic)),
        liquid_fact(source, part),
    ]


def liquid_fact(source: PrintedCatalogue, part: Combination) -> tuple[str, str]:
    """The subcooling that low and high head state, or that both state the temperature, which the axis has."""
    by_text: dict[tuple[str, bool], list[str]] = {}
    for condition in ("low_head", "high_head"):
        liquid: LiquidSupply = source.system(part).condition(condition).liquid
        if liquid.temperature_k is None:
            stated = source.formatter.subcooling(liquid), liquid.is_at_condenser
            by_text.setdefault(stated, []).append(terms.condition(condition))
    texts = (
        (wording.SHORT_UPSTREAM if upstream else wording.SHORT_SUBCOOLING)(subcooling=text, conditions=listed(names))
        for (text, upstream), names in by_text.items()
    )
    return wording.LIQUID_FACT(), in_clauses(texts) or wording.LIQUID_AS_STATED()


def _superheat(source: PrintedCatalogue, part: Combination) -> str:
    formatter, limits = source.formatter, source.system(part).superheat
    useful = formatter.step(limits.useful_k)
    if not source.is_thermostatic(part.family):
        return wording.SHORT_SUPERHEAT_CONTROLLER(useful=useful)
    constant, linear, quadratic = limits.min_k
    message = wording.SHORT_SUPERHEAT_RISING if linear or quadratic else wording.SHORT_SUPERHEAT
    application = source.catalogue.applications[part.application]
    most = maximum_superheat(source, application, source.members(part.group), is_short=True)
    return message(minimum=formatter.step(constant), maximum=most, useful=useful)


def _losses(formatter: Formatter, system: SystemInputs) -> str:
    losses = system.losses
    drops = loss_drops(formatter, losses)
    if not losses.lift_m:
        return wording.SHORT_LOSSES(**drops)
    return wording.SHORT_LOSSES_LIFT(**drops, lift=formatter.length(losses.lift_m))


def _suction(formatter: Formatter, system: SystemInputs, is_thermostatic: bool) -> str:
    if system.sst_at_compressor:
        message = wording.SHORT_SST_AT_COMPRESSOR
    else:
        message = wording.SHORT_SST_AT_BULB if is_thermostatic else wording.SHORT_SST_AT_OUTLET
    text = [message(loss=formatter.step(system.suction_loss_k))]
    if system.response is not SuctionResponse.CONSTANT:
        text.append(wording.SHORT_RESPONSES[system.response]())
    if system.capacity_step != 1.0:
        text.append(wording.SHORT_UNLOADING(share=percent(system.capacity_step)))
    return in_clauses(text)
