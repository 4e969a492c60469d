"""A valve that scatters, and its minimum and maximum load at every draw."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.confidence.drawn_openings import DrawnElement, openings
from tablegen.confidence.drawn_states import NO_SCATTER, DrawnState, StateResponse, state_responses
from tablegen.confidence.draws import SHARED, Draws, Scatter, Source, scatter_of, system_scatter
from tablegen.model.inputs import Family, PowerElement
from tablegen.model.registry import PropertyUncertainty
from tablegen.model.solving import Solved
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Bools, Floats, bounded
from tablegen.physics.flow import effective_pressure_drop
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import SuperheatLimits
from tablegen.physics.windows import Valve

_SECONDS_PER_HOUR, _WATER_KG_M3, _BAR_PA = 3600.0, 1000.0, 1.0e5


def _drawn_element(
    element: PowerElement,
    actuator: ThermostaticActuator,
    setting_refrigerant: Refrigerant,
    is_own: bool,
    scatter: Scatter,
    draws: Draws,
) -> DrawnElement:
    """The element as it leaves the factory at each draw.

    p_spring0 = p_bulb(T_b0) - p_dew(T_b0 - SS) and p_grad = p_bulb(T_b0 + OS) - p_bulb(T_b0), with the drawn charge,
    static and opening superheat, and dew pressure of the setting refrigerant.  On the refrigerant that it is set with
    (`is_own`) that pressure is off by the same share in the evaporator.
    """
    setting, balance = element.setting, actuator.balance
    assert setting is not None
    curve, bulb_k = balance.charge.curve, np.asarray(setting.bulb_temperature_k)
    charge = 1.0 + draws.off(scatter, Source.CHARGE_PRESSURE, Source.CHARGE_PRESSURE_MEASURED)
    static = setting.static_superheat_k + draws.off(scatter, Source.STATIC_SUPERHEAT, Source.STATIC_SUPERHEAT_MEASURED)
    opening = setting.opening_superheat_k + draws.off(
        scatter, Source.OPENING_SUPERHEAT, Source.OPENING_SUPERHEAT_MEASURED
    )
    dew_share = 1.0 + draws.off(scatter, Source.PRESSURE if is_own else Source.SETTING_PRESSURE)
    at_setting = curve.pressure(bulb_k)
    dew_pa = _dew_pressures(setting_refrigerant, (bulb_k - static).tobytes(), static.shape[1])
    spring = at_setting * charge - dew_pa * dew_share
    # A gradient of zero would open the valve at once; a draw that far out is limited to a tenth.
    opening = np.maximum(opening, 0.1 * setting.opening_superheat_k)
    gradient = (curve.pressure(bulb_k + opening) - at_setting) * charge
    limit = None
    if element.maximum_operating_pressure_pa is not None:
        limit = curve.temperature((element.maximum_operating_pressure_pa + spring) / charge)
    unbalance = balance.unbalance + draws.off(scatter, Source.UNBALANCE, Source.UNBALANCE_MEASURED)
    return DrawnElement(spring_pa=spring, gradient_pa=gradient, unbalance=unbalance, charge_share=charge, limit_k=limit)


@functools.lru_cache(maxsize=32)
def _dew_pressures(refrigerant: Refrigerant, temperatures_k: bytes, columns: int) -> Floats:
    """Dew pressures [Pa] at temperatures [K], by their bytes: an element is set alike for every system."""
    return refrigerant.dew(np.frombuffer(temperatures_k).reshape(-1, columns)).pressure_pa


@dataclass(frozen=True, slots=True)
class DrawnLoads:
    """Loads for each m3/h of the draw's own Kv [W], (draws, suction temperatures).

    A draw that covers no load, as where its valve stays shut or its liquid flashes, has a minimum load of infinity and
    a maximum load of zero.
    """

    min_load: Floats
    max_load: Floats


def _drawn_loads(
    family: Family,
    valve: Valve,
    element: DrawnElement | None,
    states: Sequence[tuple[StateResponse, DrawnState]],
    limits: SuperheatLimits,
    scatter: Scatter,
    draws: Draws,
) -> DrawnLoads:
    """The load limits of every draw over the given states, each with its figures at the draws."""
    shape = draws.count, states[0][0].coefficients.shape[2]
    min_load, max_load = np.zeros(shape), np.full(shape, np.inf)
    recovery = family.pressure_recovery + draws.off(
        scatter, Source.PRESSURE_RECOVERY, Source.PRESSURE_RECOVERY_MEASURED
    )
    # F_L of 1 is a port without pressure recovery.
    recovery = np.minimum(recovery, 1.0)
    for state, at in states:
        required_kv = _required_kv(family, state, at, recovery, draws, scatter)
        widest, narrowest, is_shut = openings(valve, element, at, limits)
        high, low = (
            family.characteristic.share(bounded(phi, 0.0, family.characteristic.stop)) / required_kv
            for phi in (widest / state.item.open_share, narrowest)
        )
        is_none = is_shut | _is_forbidden(valve, at, state.inlet_vapor) | ~np.isfinite(high) | ~np.isfinite(low)
        if state.item.side.serves_max and state.item.open_share == valve.open_share:
            max_load = np.minimum(max_load, np.where(is_none, 0.0, high))
        # At the open flow of a pulse-modulated valve the minimum load is not judged, but the valve must work.
        least = low if state.item.open_share == 1.0 else 0.0
        min_load = np.maximum(min_load, np.where(is_none, np.inf, least))
    return DrawnLoads(min_load, max_load)


def _is_forbidden(valve: Valve, at: DrawnState, inlet_vapor: float) -> Bools:
    """Where the liquid flashes, or the valve may not be exposed to the head, as in the ordinary window."""
    differential = np.maximum(at.head_pressure_pa, at.inlet_pressure_pa) - at.evaporating_pressure_pa
    flashes = at.inlet_pressure_pa <= at.liquid_bubble_pressure_pa
    if inlet_vapor > 0.0:
        flashes = ~(at.inlet_quality <= inlet_vapor)
    return np.asarray(
        flashes | (differential > valve.allowed_differential_pa) | (at.head_pressure_pa > valve.working_pressure_pa)
    )


def _required_kv(
    family: Family, state: StateResponse, at: DrawnState, recovery: Floats, draws: Draws, scatter: Scatter
) -> Floats:
    """D [m3/h per W] of every draw."""
    critical = state.critical_pressure_pa * (1.0 + draws.off(scatter, Source.PRESSURE))
    drop = effective_pressure_drop(
        family.flow_law,
        at.inlet_pressure_pa - at.outlet_pressure_pa,
        at.inlet_pressure_pa,
        np.minimum(at.liquid_bubble_pressure_pa, at.inlet_pressure_pa),
        critical,
        recovery,
        family.discharge,
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(_SECONDS_PER_HOUR * at.flow_required_kv / np.sqrt(_WATER_KG_M3 * drop / _BAR_PA))


@dataclass(frozen=True, slots=True)
class Uncertainties:
    """Uncertainties of refrigerants by name, and the refrigerants that valves are set with, by name."""

    properties: Mapping[str, PropertyUncertainty]
    settings: Mapping[str, Refrigerant]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScatteredValve:
    """One family and power element on one refrigerant in one application, ready to be drawn."""

    family: Family
    element: PowerElement
    solved: Solved
    scatter: Scatter
    states: tuple[StateResponse, ...]
    setting_refrigerant: Refrigerant | None

    @property
    def shared(self) -> tuple[Source, ...]:
        """The sources that all valves share, without how well the Kv of a size is measured."""
        return tuple(source for source in SHARED if source in self.scatter)

    def states_at(self, draws: Draws) -> tuple[DrawnState, ...]:
        """The figures of every state at each draw."""
        return tuple(state.at(draws) for state in self.states)

    def loads(self, draws: Draws, states: tuple[DrawnState, ...] | None = None) -> DrawnLoads:
        """Loads for each m3/h of rated Kv at every draw, the narrower window of all suction responses.

        `states` are the states at these draws, where they are known already.
        """
        application, name = self.solved.application, self.solved.refrigerant.name
        valve, element = self.family.valve(self.element, application.site_pressure_pa), None
        if isinstance(valve.actuator, ThermostaticActuator):
            assert self.setting_refrigerant is not None
            is_own = self.element.setting_refrigerant == name
            element = _drawn_element(
                self.element, valve.actuator, self.setting_refrigerant, is_own, self.scatter, draws
            )
        # Both responses are states like any other: the narrower window is the one over all of them.
        at = list(zip(self.states, self.states_at(draws) if states is None else states, strict=True))
        found = _drawn_loads(self.family, valve, element, at, application.systems[name].superheat, self.scatter, draws)
        kv = np.maximum(1.0 + draws.off(self.scatter, Source.KV), 0.0)
        with np.errstate(invalid="ignore"):
            return DrawnLoads(found.min_load * kv, found.max_load * kv)

    def at_row(self, row: int) -> ScatteredValve:
        """The same at one suction temperature."""
        return replace(self, states=tuple(state.at_row(row) for state in self.states))


def system_of(uncertainties: Uncertainties, solved: Solved) -> tuple[StateResponse, ...]:
    """What all families share: the states of a refrigerant in an application, and how the system's scatter moves them."""
    name, application = solved.refrigerant.name, solved.application
    scatter = system_scatter(uncertainties.properties[name], application.scatter.get(name, NO_SCATTER))
    return state_responses(solved.refrigerant, application, solved.states, solved.rated, scatter)


def _opened(solved: Solved, scatter: Scatter, share: float) -> tuple[StateResponse, ...]:
    """The states at the open flow of a pulse-modulated valve, as `system_of` has the others."""
    return state_responses(solved.refrigerant, solved.application, solved.opened(share), solved.rated, scatter, share)


def scattered_valve(
    uncertainties: Uncertainties,
    family: Family,
    element: PowerElement,
    solved: Solved,
    system: tuple[StateResponse, ...],
) -> ScatteredValve:
    """A valve with its scatter; `system` is that of `system_of`."""
    name, other = solved.refrigerant.name, element.setting_refrigerant
    setting = uncertainties.properties.get(other) if other and other != name else None
    installation = solved.application.scatter.get(name, NO_SCATTER)
    share = element.actuator.open_share
    if share != 1.0:
        own = system_scatter(uncertainties.properties[name], installation)
        system += solved.once(("drawn", share, tuple(own.items())), lambda: _opened(solved, own, share))
    scatter = scatter_of(family, element, uncertainties.properties[name], setting, installation)
    return ScatteredValve(
        family=family,
        element=element,
        solved=solved,
        scatter=scatter,
        states=system,
        setting_refrigerant=uncertainties.settings.get(other),
    )
