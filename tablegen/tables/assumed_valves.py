"""Inputs of a table with one assumption of its valves or of its refrigerants changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tablegen.model.inputs import PowerElement
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.physics.system import Stability, SuctionResponse
from tablegen.physics.valve import set_at_factory
from tablegen.tables.assumed_inputs import TableInputs

# F_L of a port of which nothing is known, where the choked law is tried (IEC 60534-2-1 lists 0.9 for globe valves, from memory).
_USUAL_RECOVERY = 0.9


def minimum_opening(inputs: TableInputs, by: float) -> TableInputs | None:
    """The minimum stable opening, or that of a drive, so much larger [1]."""
    own = inputs.actuator
    if isinstance(own, ThermostaticActuator):
        return _with_actuators(inputs, min_stable=own.min_stable + by) if 0.0 < own.min_stable + by < 1.0 else None
    if isinstance(own, ElectronicActuator):
        return _with_actuators(inputs, minimum=own.minimum + by) if 0.0 < own.minimum + by < own.maximum else None
    return None


def maximum_opening(inputs: TableInputs, by: float) -> TableInputs | None:
    """The maximum opening or duty of a drive so much larger [1]."""
    own = inputs.actuator
    if isinstance(own, ElectronicActuator) and own.max_reason in (Reason.CONTROL_RESERVE, Reason.MAX_DUTY):
        return _with_actuators(inputs, maximum=own.maximum + by) if own.minimum < own.maximum + by <= 1.0 else None
    return None


def _with_actuators(inputs: TableInputs, **changes: float) -> TableInputs:
    return inputs.with_elements(lambda element: element.with_actuator(**changes))


def static(inputs: TableInputs, by: float) -> TableInputs | None:
    """Static superheat of the factory setting so much larger [K]."""
    return _set_otherwise(inputs, static_k=by, opening_k=0.0)


def opening(inputs: TableInputs, by: float) -> TableInputs | None:
    """Opening superheat of the factory setting so much larger [K]."""
    return _set_otherwise(inputs, static_k=0.0, opening_k=by)


def _set_otherwise(inputs: TableInputs, static_k: float, opening_k: float) -> TableInputs | None:
    own = inputs.element
    if own is None or own.setting is None or not isinstance(own.actuator, ThermostaticActuator):
        return None
    if own.setting.opening_superheat_k + opening_k <= 0.0:
        return None

    def change(element: PowerElement) -> PowerElement:
        setting, actuator = element.setting, element.actuator
        if setting is None or not isinstance(actuator, ThermostaticActuator):
            return element
        moved = replace(
            setting,
            static_superheat_k=setting.static_superheat_k + static_k,
            opening_superheat_k=setting.opening_superheat_k + opening_k,
        )
        balance = set_at_factory(
            actuator.balance.charge.curve,
            moved,
            inputs.settings[element.setting_refrigerant],
            actuator.balance.unbalance,
            element.maximum_operating_pressure_pa,
        )
        return replace(element, setting=moved, actuator=replace(actuator, balance=balance))

    try:
        return inputs.with_elements(change)
    except ValueError:
        # No spring can be set so.
        return None


def unbalance(inputs: TableInputs, by: float) -> TableInputs | None:
    """Unbalance of the port so much larger [1]."""
    if not isinstance(inputs.actuator, ThermostaticActuator):
        return None

    def change(element: PowerElement) -> PowerElement:
        actuator = element.actuator
        assert isinstance(actuator, ThermostaticActuator)
        balance = replace(actuator.balance, unbalance=actuator.balance.unbalance + by)
        return replace(element, actuator=replace(actuator, balance=balance))

    return inputs.with_elements(change)


def flow_law(inputs: TableInputs, by: float) -> TableInputs | None:
    """Another flow law, with the Kv that gives the same nominal capacity under it: the choked one for the square root's."""
    family = inputs.family
    if family.rating is None:
        return None
    law = FlowLaw.CHOKED if family.flow_law is FlowLaw.ORIFICE else FlowLaw.ORIFICE
    recovery = _USUAL_RECOVERY if law is FlowLaw.CHOKED else np.nan
    capacity = family.rating.capacity(np.asarray(1.0), family.flow_law, family.pressure_recovery, family.discharge)
    factor = float(family.rating.flow_coefficient(capacity, law, recovery))
    changed = replace(family, flow_law=law, pressure_recovery=recovery, discharge=None)
    return replace(inputs, family=changed, kv_factor=inputs.kv_factor * factor)


def kv(inputs: TableInputs, by: float) -> TableInputs:
    """Kv larger by a share."""
    return replace(inputs, kv_factor=inputs.kv_factor * (1.0 + by))


def of_refrigerants(name: str) -> Callable[[TableInputs, float], TableInputs | None]:
    """All refrigerants off by one share; the springs are set with what is true of the setting refrigerant too."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        off = PropertyDeviation(**{name: by})
        true = tuple(DeviatingRefrigerant(own, off) for own in inputs.refrigerants)
        settings = {key: DeviatingRefrigerant(own, off) for key, own in inputs.settings.items()}
        changed = replace(inputs, refrigerants=true, settings=settings)
        return _set_otherwise(changed, static_k=0.0, opening_k=0.0) or changed

    return change


def reserve(inputs: TableInputs, by: float) -> TableInputs | None:
    """So much more of the reserve between rated stroke and the stop in maximum loads."""
    own = inputs.actuator
    if not isinstance(own, ThermostaticActuator) or own.stop <= 1.0 or not 0.0 <= own.reserve_in_limits + by <= 1.0:
        return None
    return _with_actuators(inputs, reserve_in_limits=own.reserve_in_limits + by)


def stability(inputs: TableInputs, by: float) -> TableInputs | None:
    """Minimum openings from the loop with the coil where they are stated, and where all that it needs is known."""
    system, own = inputs.system, inputs.actuator
    if isinstance(own, ThermostaticActuator):
        is_known = own.bulb_time_constant_s is not None
    elif isinstance(own, ElectronicActuator):
        is_known = own.controller is not None
    else:
        return None
    if own.stability is not None or system.circuit is None or not is_known:
        return None
    rule = system.superheat.stability
    if rule.method is not Stability.CONSTANT or system.response is not SuctionResponse.CONSTANT:
        return None
    looped = replace(rule, method=Stability.LOOP)
    return inputs.with_systems(lambda s: replace(s, superheat=replace(s.superheat, stability=looped)))


def bulb_time_constant(inputs: TableInputs, by: float) -> TableInputs | None:
    """A bulb slower by a share."""
    own = inputs.actuator
    if not isinstance(own, ThermostaticActuator) or own.bulb_time_constant_s is None:
        return None
    return _with_actuators(inputs, bulb_time_constant_s=own.bulb_time_constant_s * (1.0 + by))
