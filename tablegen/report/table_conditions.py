"""The conditions that a table is valid for, in words, for the page that shows it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tablegen.model.compressor_flow import FlowRatio
from tablegen.model.inputs import Application, Family, PowerElement
from tablegen.model.liquid_supply import need_of
from tablegen.model.publications import Combination
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.compressor import ClearanceCompressor, Compressor, ConstantCapacity, TableCompressor
from tablegen.physics.system import Basis, LiquidSupply, Losses, SystemInputs
from tablegen.report.formatter import DASH, Formatter, percent, ratio
from tablegen.report.liquid_text import liquid_label, liquid_needed
from tablegen.report.printed_catalogue import PrintedCatalogue
from tablegen.report.rows import HeadState
from tablegen.report.superheat_text import maximum_superheat
from tablegen.wording import booklet_pages as wording
from tablegen.wording import terms
from tablegen.wording.language import figure


@dataclass(frozen=True, slots=True)
class TableConditions:
    """The conditions of an application for the refrigerants of a table, of thermostatic or of electronic valves."""

    source: PrintedCatalogue
    application: Application
    refrigerants: Sequence[str]
    is_thermostatic: bool

    @classmethod
    def of(cls, source: PrintedCatalogue, part: Combination) -> TableConditions:
        """The conditions of a printed table."""
        application = source.catalogue.applications[part.application]
        return cls(source, application, source.members(part.group), source.is_thermostatic(part.family))

    @property
    def _formatter(self) -> Formatter:
        return self.source.formatter

    @property
    def _system(self) -> SystemInputs:
        return self.application.systems[self.refrigerants[0]]

    def facts(self) -> list[tuple[str, str]]:
        """Every condition with its label."""
        return [
            *((terms.head_title(name, self._system.has_receiver), self.head(name)) for name in terms.CONDITIONS),
            *self.shared_facts(),
            self.supply(),
            self.compressor(),
        ]

    def shared_facts(self) -> list[tuple[str, str]]:
        """The conditions beside the heads, which most tables of an application share."""
        return [
            (wording.SUCTION(), self.suction()),
            (wording.LOSSES_LABEL(), self.losses()),
            (wording.SUPERHEAT(), self.superheat()),
        ]

    def supply(self) -> tuple[str, str]:
        """The subcooling that the liquid needs at condenser or receiver, and what the limits assume there."""
        needs, has_receiver = [], self._system.has_receiver
        for name in terms.CONDITIONS:
            states = [self.source.heads(self.application.name, own)[name] for own in self.refrigerants]
            liquids = [self.application.systems[own].condition(name).liquid for own in self.refrigerants]
            needed, assumed = zip(*((s.needed_subcooling_k, s.condenser_subcooling_k) for s in states), strict=True)
            needs.append(need_of(name, needed, assumed, all(liquid.is_at_condenser for liquid in liquids)))
        return liquid_label(has_receiver), liquid_needed(needs, self._formatter, has_receiver)

    def compressor(self) -> tuple[str, str]:
        """What the compressor pumps at low and high head, at the example's SST, and what that rests on."""
        ratios = []
        for name in ("low_head", "high_head"):
            shares = [self.source.heads(self.application.name, own)[name].flow_share for own in self.refrigerants]
            ratios.append(FlowRatio(name, min(shares), max(shares)))
        return wording.COMPRESSOR(), flow_text(ratios, self._system.compressor, self.application.sources["compressor"])

    def head(self, condition: str) -> str:
        """One head: what is set, what that means for the refrigerants, and the liquid."""
        formatter, site = self._formatter, self.application.site_pressure_pa
        stated = self._system.condition(condition)
        states = [self.source.heads(self.application.name, name)[condition] for name in self.refrigerants]
        gauge = formatter.with_gauge_unit(formatter.gauge_range([s.head_pressure_pa for s in states], site))
        liquid = self._liquid(stated.liquid, states)
        head = stated.head
        # Refrigerants may have heads of their own, stated in another way.
        is_one = all(self.application.systems[name].condition(condition).head == head for name in self.refrigerants)
        if head.condensing_temperature_k is None or not is_one:
            bubble = formatter.temperature_span([s.head_bubble_temperature_k for s in states], 1)
            dew = formatter.temperature_span([s.head_dew_temperature_k for s in states], 1)
            if bubble == dew:
                return wording.HEAD_SET(pressure=gauge, temperature=bubble, liquid=liquid)
            return wording.HEAD_SET_WITH_GLIDE(pressure=gauge, bubble=bubble, dew=dew, liquid=liquid)
        temperature, basis = formatter.degrees(head.condensing_temperature_k), terms.BASES_EXPLAINED[head.basis]()
        bubble = formatter.gauge_range([s.condensing_bubble_pressure_pa for s in states], site)
        dew = formatter.gauge_range([s.condensing_dew_pressure_pa for s in states], site)
        whole = {"temperature": temperature, "basis": basis, "pressure": gauge, "liquid": liquid}
        if bubble == dew:
            return wording.HEAD_STATED(**whole)
        if head.basis is Basis.BUBBLE:
            return wording.HEAD_AT_BUBBLE(**whole, dew=dew)
        if head.basis is Basis.DEW:
            return wording.HEAD_AT_DEW(**whole, bubble=bubble)
        return wording.HEAD_AT_MID(**whole, bubble=bubble, dew=dew)

    def _liquid(self, liquid: LiquidSupply, states: Sequence[HeadState]) -> str:
        formatter = self._formatter
        if liquid.temperature_k is not None:
            return wording.LIQUID_AT(temperature=formatter.degrees(liquid.temperature_k))
        subcooling = formatter.subcooling(liquid)
        at_valve = wording.LIQUID_UPSTREAM if liquid.is_at_condenser else wording.LIQUID_SUBCOOLED
        liquids = [state.liquid_temperature_k for state in states]
        if not all(map(math.isfinite, liquids)):
            return formatter.liquid(liquid) if liquid.is_at_condenser else wording.LIQUID_UNKNOWN(subcooling=subcooling)
        return at_valve(subcooling=subcooling, temperature=formatter.temperature_span(liquids, 0))

    def losses(self) -> str:
        """Losses at rated flow."""
        formatter, losses = self._formatter, self._system.losses
        drops = loss_drops(formatter, losses)
        if not losses.lift_m:
            return wording.LOSSES_WITHOUT_LIFT(**drops)
        return wording.LOSSES_WITH_LIFT(**drops, lift=formatter.length(losses.lift_m))

    def superheat(self) -> str:
        """What superheat the capacity counts with, and what the valve operates with."""
        formatter, limits = self._formatter, self._system.superheat
        useful = formatter.step(limits.useful_k)
        if not self.is_thermostatic:
            return wording.SUPERHEAT_BY_CONTROLLER(useful=useful)
        constant, linear, quadratic = limits.min_k
        message = wording.SUPERHEAT_RISING if linear or quadratic else wording.SUPERHEAT_AT_BULB
        most = maximum_superheat(self.source, self.application, self.refrigerants)
        return message(useful=useful, minimum=formatter.step(constant), maximum=most)

    def suction(self) -> str:
        """Where the suction temperature is stated, and what it does when the head pressure changes."""
        formatter, system = self._formatter, self._system
        if system.sst_at_compressor:
            message = wording.SST_AT_COMPRESSOR_BULB if self.is_thermostatic else wording.SST_AT_COMPRESSOR
        else:
            message = wording.SST_AT_BULB if self.is_thermostatic else wording.SST_AT_OUTLET
        text = message(loss=formatter.step(system.suction_loss_k), response=terms.SUCTION_RESPONSES[system.response]())
        if system.capacity_step == 1.0:
            return text
        return wording.UNLOADING(suction=text, share=percent(system.capacity_step))


def loss_drops(formatter: Formatter, losses: Losses) -> dict[str, str]:
    """The pressure drops at rated flow, under the names that every message with the losses fills in."""
    return {
        "liquid_line": formatter.drop(losses.liquid_line_pa),
        "evaporator": formatter.drop(losses.evaporator_pa),
        "distributor": formatter.drop(losses.distributor_pa),
    }


def valve_facts(source: PrintedCatalogue, part: Combination) -> list[tuple[str, str]]:
    """Charge or drive of a printed table's valves, their equalizer and the pressures that they bear."""
    label = wording.BULB_CHARGE() if source.is_thermostatic(part.family) else wording.DRIVE()
    return [(label, charge_text(source, part)), (wording.VALVE(), valve_text(source, part))]


def charge_text(source: PrintedCatalogue, part: Combination) -> str:
    """The bulb charge or drive, and its setting."""
    formatter, element = source.formatter, source.power_element(part)
    if element is None:
        return wording.NO_CHARGE()
    setting = element.setting
    if setting is None:
        return element.title
    site = source.catalogue.applications[part.application].site_pressure_pa
    return wording.CHARGE_SET(
        charge=_with_mop(formatter, element, site),
        refrigerant=element.setting_refrigerant,
        static=formatter.step(setting.static_superheat_k),
        bulb=formatter.degrees(setting.bulb_temperature_k),
        opening=formatter.step(setting.opening_superheat_k),
    )


def _with_mop(formatter: Formatter, element: PowerElement, site_pressure_pa: float) -> str:
    """A charge with its maximum operating pressure if it has one, absolute and as a gauge at the site reads it."""
    pressure = element.maximum_operating_pressure_pa
    if pressure is None:
        return element.title
    gauge = formatter.with_gauge_unit(formatter.gauge(pressure, site_pressure_pa))
    text = wording.WITH_MOP(charge=element.title, absolute=formatter.absolute(pressure), gauge=gauge)
    actuator, evaporating_k = element.actuator, element.mop_evaporating_k
    if not isinstance(actuator, ThermostaticActuator) or evaporating_k is None or not math.isfinite(evaporating_k):
        return text
    bulb = formatter.temperature_span([actuator.balance.charge.limit_temperature_k], 0)
    evaporating = formatter.temperature_span([evaporating_k], 0)
    return wording.MOP_ACTS(charge=text, bulb=bulb, evaporating=evaporating, refrigerant=element.setting_refrigerant)


def valve_text(source: PrintedCatalogue, part: Combination) -> str:
    """Equalizer, the pressures that the valve bears, and which share of the reserve its limits use."""
    family = source.catalogue.families[part.family]
    pressures = pressures_text(source.formatter, family)
    if not source.is_thermostatic(part.family):
        return pressures
    message = wording.INTERNAL_EQUALIZER if family.offered.equalizer == "internal" else wording.EXTERNAL_EQUALIZER
    text, reserve = message(pressures=pressures), reserve_text(family)
    return f"{text}. {reserve}" if reserve else text


def pressures_text(formatter: Formatter, family: Family) -> str:
    """The pressures that the valves of a family bear, by size where port designs differ in them."""
    found: dict[str, list[str]] = {}
    for part in family.by_design():
        pressures = wording.WORKING_PRESSURES(
            working=working_pressure(formatter, part),
            differential=formatter.differential(part.allowed_differential_pa),
        )
        found.setdefault(pressures, []).extend(size.display_name for size in part.sizes)
    if len(found) == 1:
        return next(iter(found))
    of_sizes = wording.PRESSURES_OF_SIZES
    return "; ".join(of_sizes(len(own), sizes=", ".join(own), pressures=text) for text, own in found.items())


def reserve_text(family: Family) -> str:
    """Which share of the reserve between rated stroke and the stop maximum loads use, by size where port designs differ.

    Empty for electronic valves, and where the stop is at rated stroke.
    """
    found: dict[str, list[str]] = {}
    for part in family.by_design():
        actuator = part.elements[0].actuator
        if isinstance(actuator, ThermostaticActuator) and actuator.stop > 1.0:
            text = _reserve_used(actuator.reserve_in_limits)
            found.setdefault(text, []).extend(size.display_name for size in part.sizes)
    if sum(map(len, found.values())) == len(family.sizes) and len(found) == 1:
        return next(iter(found))
    return " ".join(
        wording.RESERVE_OF_SIZES(len(own), sizes=", ".join(own), reserve=text) for text, own in found.items()
    )


def _reserve_used(share: float) -> str:
    if share == 0.0:
        return wording.RESERVE_UNUSED()
    return wording.RESERVE_USED() if share == 1.0 else wording.RESERVE_IN_PART(share=percent(share, None))


def working_pressure(formatter: Formatter, family: Family) -> str:
    """The working pressure of a part's valves."""
    return formatter.with_gauge_unit(formatter.gauge(family.working_pressure_gauge_pa, 0.0))


def flow_text(ratios: Sequence[FlowRatio], compressor: Compressor, source: str) -> str:
    """What a compressor pumps at low and high head over its rated flow, and the source of that."""
    stated = wording.COMPRESSOR_SOURCE(source=source, compressor=compressor_text(compressor))
    # Off its map a compressor has no flow to compare.
    if not all(math.isfinite(value) for own in ratios for value in (own.least, own.most)):
        return stated
    low, high = (DASH.join(dict.fromkeys((ratio(own.least), ratio(own.most)))) for own in ratios)
    return wording.COMPRESSOR_PUMPS(low=low, high=high, source=stated)


def compressor_text(compressor: Compressor) -> str:
    """The description of a compressor."""
    if isinstance(compressor, ClearanceCompressor):
        return wording.CLEARANCE_COMPRESSOR(
            clearance=percent(compressor.clearance, None), exponent=figure(f"{compressor.exponent:g}")
        )
    if isinstance(compressor, ConstantCapacity):
        return wording.RACK()
    if isinstance(compressor, TableCompressor):
        return wording.TABLE_COMPRESSOR()
    return wording.POLYNOMIAL_COMPRESSOR()
