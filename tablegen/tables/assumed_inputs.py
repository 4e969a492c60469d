"""What a table's limits assume, and each of it changed by a stated step: everything else stays as the catalogue states it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np

from tablegen.model.inputs import Application, Family, PowerElement
from tablegen.model.registry import PropertyUncertainty
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import Compressor, CompressorPoint
from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import HeadCondition, OperatingCondition, SuctionResponse, SystemInputs
from tablegen.physics.valve import spring_at
from tablegen.physics.windows import ElectronicActuator, ThermostaticActuator

# Steps, as they are printed: a Fahrenheit degree, a psi, a foot.
_DEGF, _PSI, _FOOT = 1.0 / 1.8, 6894.757, 0.3048
# F_L of a port of which nothing is known, where the choked law is tried (IEC 60534-2-1 lists 0.9 for globe valves, from memory).
_USUAL_RECOVERY = 0.9


class AssumedInput(StrEnum):
    """What may be assumed wrongly, each by itself."""

    MAXIMUM_SUPERHEAT = "maximum_superheat"
    MINIMUM_STABLE_SUPERHEAT = "minimum_stable_superheat"
    USEFUL_SUPERHEAT = "useful_superheat"
    LOW_HEAD = "low_head"
    HIGH_HEAD = "high_head"
    LOW_HEAD_SUBCOOLING = "low_head_subcooling"
    HIGH_HEAD_SUBCOOLING = "high_head_subcooling"
    RATED_LIQUID = "rated_liquid"
    LIQUID_LINE = "liquid_line"
    LIFT = "lift"
    EVAPORATOR = "evaporator"
    DISTRIBUTOR = "distributor"
    SUCTION_LINE = "suction_line"
    SUCTION_RESPONSE = "suction_response"
    COMPRESSOR_FLOW = "compressor_flow"
    MINIMUM_OPENING = "minimum_opening"
    MAXIMUM_OPENING = "maximum_opening"
    STATIC_SUPERHEAT = "static_superheat"
    OPENING_SUPERHEAT = "opening_superheat"
    UNBALANCE = "unbalance"
    FLOW_LAW = "flow_law"
    KV = "kv"
    SATURATION_PRESSURE = "saturation_pressure"
    LIQUID_DENSITY = "liquid_density"
    ENTHALPY = "enthalpy"


class StepKind(StrEnum):
    """What kind of figure a step is, for print."""

    SHARE = "share"
    POINTS = "points"
    STEP = "step"
    LOSS = "loss"
    LENGTH = "length"
    OTHER_CHOICE = "other_choice"


@dataclass(frozen=True, slots=True, kw_only=True)
class TableInputs:
    """All that the limits of one table follow from: a part of a family with one window for each m3/h, and a system.

    The application has the suction temperature alone that the weights are wanted at. `kv_factor` [1] is Kv over the
    catalogue's; `settings` are the refrigerants that valves are set with.
    """

    family: Family
    application: Application
    refrigerants: tuple[Refrigerant, ...]
    settings: Mapping[str, Refrigerant]
    uncertainty: Mapping[str, PropertyUncertainty]
    kv_factor: float = 1.0

    def with_systems(self, change: Callable[[SystemInputs], SystemInputs]) -> TableInputs:
        """The inputs with the system of every refrigerant changed."""
        changed = {own.name: change(self.application.systems[own.name]) for own in self.refrigerants}
        systems = {**self.application.systems, **changed}
        return replace(self, application=replace(self.application, systems=systems))

    def with_elements(self, change: Callable[[PowerElement], PowerElement]) -> TableInputs:
        """The inputs with every power element changed."""
        return replace(self, family=replace(self.family, elements=tuple(map(change, self.family.elements))))

    @property
    def system(self) -> SystemInputs:
        """The inputs of the first refrigerant."""
        return self.application.systems[self.refrigerants[0].name]

    @property
    def element(self) -> PowerElement | None:
        """The power element for the first refrigerant."""
        return self.family.element_for(self.refrigerants[0].name, self.application.temperature_range)


class StatedIn(StrEnum):
    """Which part of the inputs states an assumption, and so names its source."""

    RATING = "rating"
    LOW_HEAD = "low_head"
    HIGH_HEAD = "high_head"
    LOSSES = "losses"
    SUPERHEAT = "superheat"
    COMPRESSOR = "compressor"
    SUCTION = "suction"
    FAMILY = "family"
    FLOW_LAW = "flow_law"
    REFRIGERANT = "refrigerant"


@dataclass(frozen=True, slots=True)
class AssumptionStep:
    """A step of one assumption: its kind and size in SI, and the inputs with it taken up (+) or down (-).

    `change` gives None where the table has no such assumption, or where the step would leave what may be stated. What is
    another choice, not a figure, is taken once, upwards. `origin` says what part of the inputs states it.
    """

    measure: StepKind
    size: float
    origin: StatedIn
    change: Callable[[TableInputs, float], TableInputs | None]


@dataclass(frozen=True, slots=True)
class _OtherFlow:
    """A compressor whose flow differs from one head to another by another power of the ratio that is stated."""

    stated: Compressor
    power: float

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Flow to a constant factor, as that of the stated compressor."""
        return np.asarray(self.stated.relative_flow(point) ** self.power)


def _superheat(name: str) -> Callable[[TableInputs, float], TableInputs | None]:
    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        if inputs.element is not None and not isinstance(inputs.element.actuator, ThermostaticActuator):
            return None
        least, most = inputs.system.superheat.min_k[0], inputs.system.most_superheat_k
        if name == "min_k":
            return None if not 0.0 <= least + by < most else inputs.with_systems(lambda s: _with_minimum(s, by))
        if most + by <= least:
            return None
        return inputs.with_systems(lambda s: replace(s, superheat=s.superheat.with_more(by)))

    return change


def _with_minimum(system: SystemInputs, by: float) -> SystemInputs:
    constant, linear, quadratic = system.superheat.min_k
    return replace(system, superheat=replace(system.superheat, min_k=(constant + by, linear, quadratic)))


def _useful(inputs: TableInputs, by: float) -> TableInputs:
    return inputs.with_systems(lambda s: replace(s, superheat=replace(s.superheat, useful_k=s.superheat.useful_k + by)))


def _head(condition: OperatingCondition) -> Callable[[TableInputs, float], TableInputs | None]:
    """A head in temperature: where a pressure is stated, that pressure's bubble temperature moves."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        systems = dict(inputs.application.systems)
        for refrigerant in inputs.refrigerants:
            system = systems[refrigerant.name]
            stated = system.condition(condition)
            moved = replace(stated.head, pressure_pa=float(stated.head.pressures(refrigerant, by)), **_NO_TEMPERATURE)
            systems[refrigerant.name] = _with_condition(system, replace(stated, head=moved))
        return replace(inputs, application=replace(inputs.application, systems=systems))

    return change


_NO_TEMPERATURE: dict[str, Any] = {"condensing_temperature_k": None}


def _with_condition(system: SystemInputs, own: HeadCondition) -> SystemInputs:
    changed: dict[str, Any] = {own.condition.value: own}
    return replace(system, **changed)


def _liquid(condition: OperatingCondition) -> Callable[[TableInputs, float], TableInputs | None]:
    """Subcooling by so much more: a stated temperature gets lower."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        own = inputs.system.condition(condition).liquid
        if own.temperature_k is None and own.min_subcooling_k + by < 0.0:
            return None
        return inputs.with_systems(lambda s: _with_condition(s, _colder(s.condition(condition), by)))

    return change


def _colder(own: HeadCondition, by: float) -> HeadCondition:
    liquid = own.liquid
    if liquid.temperature_k is not None:
        return replace(own, liquid=replace(liquid, temperature_k=liquid.temperature_k - by))
    changed: dict[str, Any] = {name: getattr(liquid, name) + by for name in ("min_subcooling_k", "max_subcooling_k")}
    return replace(own, liquid=replace(liquid, **changed))


def _loss(name: str) -> Callable[[TableInputs, float], TableInputs | None]:
    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        value = getattr(inputs.system.losses, name) + by
        if value < 0.0:
            return None
        changed: dict[str, Any] = {name: value}
        return inputs.with_systems(lambda s: replace(s, losses=replace(s.losses, **changed)))

    return change


def _suction_line(inputs: TableInputs, by: float) -> TableInputs | None:
    if inputs.system.suction_loss_k + by < 0.0:
        return None
    return inputs.with_systems(lambda s: replace(s, suction_loss_k=s.suction_loss_k + by))


def _response(inputs: TableInputs, by: float) -> TableInputs | None:
    difference = inputs.system.box_difference_k or inputs.application.coil_temperature_difference_k
    if inputs.system.response is not SuctionResponse.CONSTANT or difference is None:
        return None
    return inputs.with_systems(lambda s: replace(s, response=SuctionResponse.BALANCED, box_difference_k=difference))


def _compressor(inputs: TableInputs, by: float) -> TableInputs:
    return inputs.with_systems(lambda s: replace(s, compressor=_OtherFlow(s.compressor, 1.0 + by)))


def _minimum_opening(inputs: TableInputs, by: float) -> TableInputs | None:
    own = inputs.element.actuator if inputs.element else None
    if isinstance(own, ThermostaticActuator):
        return _with_actuators(inputs, min_stable=own.min_stable + by) if 0.0 < own.min_stable + by < 1.0 else None
    if isinstance(own, ElectronicActuator):
        return _with_actuators(inputs, minimum=own.minimum + by) if 0.0 < own.minimum + by < own.maximum else None
    return None


def _maximum_opening(inputs: TableInputs, by: float) -> TableInputs | None:
    own = inputs.element.actuator if inputs.element else None
    if isinstance(own, ElectronicActuator) and own.max_reason is Reason.CONTROL_RESERVE:
        return _with_actuators(inputs, maximum=own.maximum + by) if own.minimum < own.maximum + by <= 1.0 else None
    return None


def _with_actuators(inputs: TableInputs, **changes: float) -> TableInputs:
    def change(element: PowerElement) -> PowerElement:
        return replace(element, actuator=replace(element.actuator, **changes))  # type: ignore[type-var]

    return inputs.with_elements(change)


def _static(inputs: TableInputs, by: float) -> TableInputs | None:
    return _set_otherwise(inputs, static_k=by, opening_k=0.0)


def _opening(inputs: TableInputs, by: float) -> TableInputs | None:
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
        curve, on = actuator.balance.charge.curve, inputs.settings[element.setting_refrigerant]
        at, opened = curve.pressure(
            np.array([moved.bulb_temperature_k, moved.bulb_temperature_k + moved.opening_superheat_k])
        )
        balance = replace(
            actuator.balance,
            spring_pa=spring_at(curve, moved, on, moved.static_superheat_k),
            gradient_pa=float(opened - at),
        )
        return replace(element, setting=moved, actuator=replace(actuator, balance=balance))

    return inputs.with_elements(change)


def _unbalance(inputs: TableInputs, by: float) -> TableInputs | None:
    if inputs.element is None or not isinstance(inputs.element.actuator, ThermostaticActuator):
        return None

    def change(element: PowerElement) -> PowerElement:
        actuator = element.actuator
        assert isinstance(actuator, ThermostaticActuator)
        balance = replace(actuator.balance, unbalance=actuator.balance.unbalance + by)
        return replace(element, actuator=replace(actuator, balance=balance))

    return inputs.with_elements(change)


def _flow_law(inputs: TableInputs, by: float) -> TableInputs | None:
    """Another of the laws, with the Kv that gives the same nominal capacity under it."""
    family = inputs.family
    law = FlowLaw.CHOKED if family.flow_law is FlowLaw.ORIFICE else FlowLaw.ORIFICE
    if family.rating is None:
        return None
    recovery = _USUAL_RECOVERY if law is FlowLaw.CHOKED else np.nan
    capacity = family.rating.capacity(np.asarray(1.0), family.flow_law, family.pressure_recovery, family.discharge)
    factor = float(family.rating.flow_coefficient(capacity, law, recovery))
    other = replace(family, flow_law=law, pressure_recovery=recovery, discharge=None)
    return replace(inputs, family=other, kv_factor=inputs.kv_factor * factor)


def _kv(inputs: TableInputs, by: float) -> TableInputs:
    return replace(inputs, kv_factor=inputs.kv_factor * (1.0 + by))


def _property(name: str) -> Callable[[TableInputs, float], TableInputs | None]:
    """All refrigerants off by one share; the springs are set with what is true of the setting refrigerant too."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        off = PropertyDeviation(**{name: by})
        true = tuple(DeviatingRefrigerant(own, off) for own in inputs.refrigerants)
        settings = {key: DeviatingRefrigerant(own, off) for key, own in inputs.settings.items()}
        changed = replace(inputs, refrigerants=true, settings=settings)
        return _set_otherwise(changed, static_k=0.0, opening_k=0.0) or changed

    return change


STEPS: Mapping[AssumedInput, AssumptionStep] = {
    AssumedInput.MAXIMUM_SUPERHEAT: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, _superheat("max_k")),
    AssumedInput.MINIMUM_STABLE_SUPERHEAT: AssumptionStep(
        StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, _superheat("min_k")
    ),
    AssumedInput.USEFUL_SUPERHEAT: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUPERHEAT, _useful),
    AssumedInput.LOW_HEAD: AssumptionStep(
        StepKind.STEP, 5.0 * _DEGF, StatedIn.LOW_HEAD, _head(OperatingCondition.LOW_HEAD)
    ),
    AssumedInput.HIGH_HEAD: AssumptionStep(
        StepKind.STEP, 5.0 * _DEGF, StatedIn.HIGH_HEAD, _head(OperatingCondition.HIGH_HEAD)
    ),
    AssumedInput.LOW_HEAD_SUBCOOLING: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.LOW_HEAD, _liquid(OperatingCondition.LOW_HEAD)
    ),
    AssumedInput.HIGH_HEAD_SUBCOOLING: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.HIGH_HEAD, _liquid(OperatingCondition.HIGH_HEAD)
    ),
    AssumedInput.RATED_LIQUID: AssumptionStep(
        StepKind.STEP, 2.0 * _DEGF, StatedIn.RATING, _liquid(OperatingCondition.RATING)
    ),
    AssumedInput.LIQUID_LINE: AssumptionStep(StepKind.LOSS, 2.0 * _PSI, StatedIn.LOSSES, _loss("liquid_line_pa")),
    AssumedInput.LIFT: AssumptionStep(StepKind.LENGTH, 10.0 * _FOOT, StatedIn.LOSSES, _loss("lift_m")),
    AssumedInput.EVAPORATOR: AssumptionStep(StepKind.LOSS, 1.0 * _PSI, StatedIn.LOSSES, _loss("evaporator_pa")),
    AssumedInput.DISTRIBUTOR: AssumptionStep(StepKind.LOSS, 5.0 * _PSI, StatedIn.LOSSES, _loss("distributor_pa")),
    AssumedInput.SUCTION_LINE: AssumptionStep(StepKind.STEP, _DEGF, StatedIn.SUCTION, _suction_line),
    AssumedInput.SUCTION_RESPONSE: AssumptionStep(StepKind.OTHER_CHOICE, 1.0, StatedIn.SUCTION, _response),
    AssumedInput.COMPRESSOR_FLOW: AssumptionStep(StepKind.SHARE, 0.25, StatedIn.COMPRESSOR, _compressor),
    AssumedInput.MINIMUM_OPENING: AssumptionStep(StepKind.POINTS, 0.05, StatedIn.FAMILY, _minimum_opening),
    AssumedInput.MAXIMUM_OPENING: AssumptionStep(StepKind.POINTS, 0.05, StatedIn.FAMILY, _maximum_opening),
    AssumedInput.STATIC_SUPERHEAT: AssumptionStep(StepKind.STEP, 0.5 * _DEGF, StatedIn.FAMILY, _static),
    AssumedInput.OPENING_SUPERHEAT: AssumptionStep(StepKind.STEP, 0.5 * _DEGF, StatedIn.FAMILY, _opening),
    AssumedInput.UNBALANCE: AssumptionStep(StepKind.POINTS, 0.005, StatedIn.FAMILY, _unbalance),
    AssumedInput.FLOW_LAW: AssumptionStep(StepKind.OTHER_CHOICE, 1.0, StatedIn.FLOW_LAW, _flow_law),
    AssumedInput.KV: AssumptionStep(StepKind.SHARE, 0.02, StatedIn.FAMILY, _kv),
    AssumedInput.SATURATION_PRESSURE: AssumptionStep(
        StepKind.SHARE, 0.005, StatedIn.REFRIGERANT, _property("pressure")
    ),
    AssumedInput.LIQUID_DENSITY: AssumptionStep(StepKind.SHARE, 0.005, StatedIn.REFRIGERANT, _property("density")),
    AssumedInput.ENTHALPY: AssumptionStep(StepKind.SHARE, 0.01, StatedIn.REFRIGERANT, _property("enthalpy")),
}
