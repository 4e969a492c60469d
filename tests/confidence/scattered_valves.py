"""Valves that scatter, and one draw of them rebuilt by the ordinary pipeline: another application, another refrigerant,
another setting, all solved anew."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tablegen.confidence.drawn_loads import ScatteredValve, Uncertainties, scattered_valve, system_of
from tablegen.confidence.draws import INSTALLED, SHARED, Draws, Source, normal_draws
from tablegen.model.inputs import Application, Family
from tablegen.model.scatter import ProductionScatter, Tolerance
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tablegen.physics.flow import FlowLaw
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Head, HeadCondition, LiquidSupply
from tablegen.physics.valve import set_at_factory
from tests.worked import worked_catalogue

KV_SHARE = 0.02
Off = Callable[..., float]


def tolerance(deviation: float) -> Tolerance:
    return Tolerance(deviation, "invented for tests")


def scattering(family: Family, law: FlowLaw | None = None) -> Family:
    """A family that scatters in all that it may, from valve to valve and by how well its figures are measured."""
    elements = tuple(
        replace(
            t,
            static_superheat_tolerance=tolerance(0.15),
            opening_superheat_tolerance=tolerance(0.08),
            charge_pressure_tolerance=tolerance(0.002),
        )
        if t.setting
        else t
        for t in family.elements
    )
    sizes = tuple(replace(s, kv_tolerance=tolerance(KV_SHARE * s.kv_rated_m3h)) for s in family.sizes)
    scatter = ProductionScatter(
        kv=0.025,
        pressure_recovery=0.0,
        static_superheat_k=0.2,
        opening_superheat_k=0.1,
        unbalance=0.0005,
        charge_pressure=0.003,
    )
    made = replace(family, scatter=scatter, elements=elements, sizes=sizes, unbalance_tolerance=tolerance(0.0005))
    if law is FlowLaw.CHOKED:
        made = replace(made, flow_law=law, pressure_recovery=0.85, pressure_recovery_tolerance=tolerance(0.02))
    return made


@functools.cache
def uncertainties() -> Uncertainties:
    return Uncertainties(worked_catalogue().uncertainty, worked_catalogue().settings)


def solved_for(family: Family, refrigerant: str, application: str) -> Solved:
    catalogue = worked_catalogue()
    return solve(catalogue.refrigerants[refrigerant], catalogue.applications[application], laws_of([family]))


def valve_of(family: Family, refrigerant: str, application: str) -> ScatteredValve:
    solved = solved_for(family, refrigerant, application)
    element = family.element_for(refrigerant, solved.application.temperature_range)
    return scattered_valve(uncertainties(), family, element, solved, system_of(uncertainties(), solved))


def all_draws(count: int, seed: int) -> Draws:
    """Draws of every source, what all valves share drawn anew for each."""
    parts = normal_draws(count, seed, INSTALLED), normal_draws(count, seed + 1, SHARED)
    return Draws(count, {source: values for part in parts for source, values in part.by_source.items()})


def rebuilt(valve: ScatteredValve, draws: Draws, i: int) -> tuple[np.ndarray, np.ndarray]:
    """The window of one draw, for each m3/h of rated Kv."""
    catalogue, family, name = worked_catalogue(), valve.family, valve.solved.refrigerant.name
    z = {source: float(draws.of(source)[i]) for source in Source}

    def off(*sources: Source) -> float:
        return sum(valve.scatter.get(source, 0.0) * z[source] for source in sources)

    deviation = PropertyDeviation(off(Source.PRESSURE), off(Source.DENSITY), off(Source.ENTHALPY))
    fluid = DeviatingRefrigerant(catalogue.refrigerants[name], deviation)
    element, application = valve.element, installed(valve.solved.application, fluid, off)
    recovery = family.pressure_recovery + off(Source.PRESSURE_RECOVERY, Source.PRESSURE_RECOVERY_MEASURED)
    made = replace(family, pressure_recovery=recovery)
    if element.setting is not None:
        shift = off(Source.PRESSURE if element.setting_refrigerant == name else Source.SETTING_PRESSURE)
        setting_fluid = DeviatingRefrigerant(catalogue.settings[element.setting_refrigerant], PropertyDeviation(shift))
        static = off(Source.STATIC_SUPERHEAT, Source.STATIC_SUPERHEAT_MEASURED)
        opening = off(Source.OPENING_SUPERHEAT, Source.OPENING_SUPERHEAT_MEASURED)
        setting = replace(
            element.setting,
            static_superheat_k=element.setting.static_superheat_k + static,
            opening_superheat_k=element.setting.opening_superheat_k + opening,
        )
        charge = 1.0 + off(Source.CHARGE_PRESSURE, Source.CHARGE_PRESSURE_MEASURED)

        class Curve:
            """The charge with its drawn pressure."""

            curve = element.actuator.balance.charge.curve
            range_k = curve.range_k

            def pressure(self, temperature_k):
                return self.curve.pressure(temperature_k) * charge

            def temperature(self, pressure_pa):
                return self.curve.temperature(pressure_pa / charge)

        unbalance = element.actuator.balance.unbalance + off(Source.UNBALANCE, Source.UNBALANCE_MEASURED)
        balance = set_at_factory(Curve(), setting, setting_fluid, unbalance, element.maximum_operating_pressure_pa)
        made = replace(made, elements=(replace(element, actuator=replace(element.actuator, balance=balance)),))
    _, _, window = unit_window(made, solve(fluid, application, laws_of([made])))
    kv = 1.0 + off(Source.KV)
    return window.min_load_w * kv, window.max_load_w * kv


def installed(application: Application, fluid: Refrigerant, off: Off) -> Application:
    """An application as one installation has it: its inputs written anew with what is off."""
    stated, own = application.systems[fluid.name], application.scatter[fluid.name]

    def moved(condition: HeadCondition, source: Source, is_temperature: bool) -> HeadCondition:
        head, liquid, more = condition.head, condition.liquid, off(Source.INLET_SUBCOOLING)
        if is_temperature:
            head = replace(head, condensing_temperature_k=head.condensing_temperature_k + off(source))
        else:
            head = Head(pressure_pa=head.pressure(fluid) + off(source))
        if liquid.temperature_k is None:
            liquid = LiquidSupply(None, liquid.min_subcooling_k + more, liquid.max_subcooling_k + more)
        return replace(condition, head=head, liquid=liquid)

    losses = replace(
        stated.losses,
        liquid_line_pa=stated.losses.liquid_line_pa + off(Source.LIQUID_LINE),
        distributor_pa=stated.losses.distributor_pa + off(Source.DISTRIBUTOR),
    )

    class Compressor:
        """Its flow ratio M becomes M^(1 + off), whatever the unit of the flow."""

        def relative_flow(self, point):
            return stated.compressor.relative_flow(point) ** (1.0 + off(Source.FLOW_CHANGE))

    changed = replace(
        stated,
        losses=losses,
        compressor=Compressor(),
        low_head=moved(stated.low_head, Source.LOW_HEAD, own.low_head_k > 0.0),
        high_head=moved(stated.high_head, Source.HIGH_HEAD, own.high_head_k > 0.0),
    )
    return replace(application, systems={**application.systems, fluid.name: changed})
