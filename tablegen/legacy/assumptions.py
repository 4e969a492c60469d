"""The assumptions that an old table may have been computed with: what each is today, what it may be, and inputs with another."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from tablegen.model.inputs import Application, Family
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import solve_rating
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Basis, Head, HeadCondition, OperatingCondition, SystemInputs

# What `check` allows a stop to be at most, and losses, subcooling and superheat; none of them is known to be larger.
_MAX_STOP, _MAX_LOSS_PA, _MAX_SUBCOOLING_K, _MAX_SUPERHEAT_K = 3.0, 1e6, 30.0, 30.0
_MIN_STEP_K = 0.05
# Between two limits that must not meet: of opening [1], superheat and condensing temperature [K].
_APART, _APART_K = 0.01, 0.1
# How far from today a head is looked for, as a share of its pressure or in temperature [K].
_HEAD_SHARE, _HEAD_K = 0.6, 30.0


class Assumption(StrEnum):
    """What may differ between an old table and ours, each by itself."""

    STOP = "stop"
    CONTROL_RESERVE = "control_reserve"
    MAXIMUM_DUTY = "maximum_duty"
    MINIMUM_OPENING = "minimum_opening"
    MAXIMUM_SUPERHEAT = "maximum_superheat"
    MINIMUM_STABLE_SUPERHEAT = "minimum_stable_superheat"
    DISTRIBUTOR_LOSS = "distributor_loss"
    LIQUID_LINE_LOSS = "liquid_line_loss"
    LOW_HEAD = "low_head"
    HIGH_HEAD = "high_head"
    LOW_HEAD_SUBCOOLING = "low_head_subcooling"
    KV_SCALE = "kv_scale"
    MINIMUM_FACTOR = "minimum_factor"
    MAXIMUM_FACTOR = "maximum_factor"


class Measure(StrEnum):
    """What kind of figure an assumption is, for print: a pressure is absolute."""

    SHARE = "share"
    FACTOR = "factor"
    STEP = "step"
    LOSS = "loss"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"


@dataclass(frozen=True, slots=True)
class GivenValue:
    """An assumption as it is in today's inputs, in SI: lowest and highest value, and the bounds of what it may be."""

    measure: Measure
    today: tuple[float, float]
    bounds: tuple[float, float]


@dataclass(frozen=True, slots=True)
class OfFamily:
    """An assumption of a part of a family's `by_design`: as it is (None where it has none), and with another value."""

    given: Callable[[Family], GivenValue | None]
    changed: Callable[[Family, float], Family]


@dataclass(frozen=True, slots=True)
class OfLimits:
    """One factor [1], 1 today, by which limits of some sides ("min", "max") go: of each family by itself, or of all rows."""

    limits: tuple[str, ...]
    is_of_family: bool


@dataclass(frozen=True, slots=True)
class OfSystem:
    """An assumption of an application for one refrigerant: as it is along suction temperatures [K], and the inputs with
    another value.
    """

    given: Callable[[SystemInputs, Refrigerant, Floats], GivenValue | None]
    changed: Callable[[SystemInputs, float], SystemInputs]


def _thermostatic(family: Family) -> list[ThermostaticActuator]:
    return [e.actuator for e in family.elements if isinstance(e.actuator, ThermostaticActuator)]


def _electronic(family: Family, *reasons: Reason) -> list[ElectronicActuator]:
    own = [e.actuator for e in family.elements if isinstance(e.actuator, ElectronicActuator)]
    return [actuator for actuator in own if not reasons or actuator.max_reason in reasons]


def _share(value: float, low: float, high: float) -> GivenValue:
    return GivenValue(Measure.SHARE, (value, value), (low, high))


def _with_actuators(family: Family, **changes: float) -> Family:
    return family.with_elements(lambda element: element.with_actuator(**changes))


def _stop(family: Family) -> GivenValue | None:
    points = family.characteristic.points
    most = min(_MAX_STOP, points[-1][0]) if points else _MAX_STOP
    own = _thermostatic(family)
    return _share(own[0].widest, 1.0, most) if own else None


def _with_stop(family: Family, stop: float) -> Family:
    """The family with another opening at which its maximum loads end, wherever between rated stroke and the stop that is."""
    changed = _with_actuators(family, stop=stop, reserve_in_limits=1.0)
    return replace(changed, characteristic=replace(family.characteristic, stop=stop))


def _reserve(family: Family) -> GivenValue | None:
    own = _electronic(family, Reason.CONTROL_RESERVE)
    return _share(1.0 - own[0].maximum, 0.0, 1.0 - own[0].minimum - _APART) if own else None


def _duty(family: Family) -> GivenValue | None:
    own = _electronic(family, Reason.MAX_DUTY)
    return _share(own[0].maximum, own[0].minimum + _APART, 1.0) if own else None


def _minimum(family: Family) -> GivenValue | None:
    if own := _thermostatic(family):
        return _share(own[0].min_stable, _APART, 1.0 - _APART)
    drive = _electronic(family)[0]
    return _share(drive.minimum, _APART, drive.maximum - _APART)


def _with_minimum(family: Family, value: float) -> Family:
    return _with_actuators(family, **{"min_stable" if _thermostatic(family) else "minimum": value})


OF_FAMILY: Mapping[Assumption, OfFamily] = {
    Assumption.STOP: OfFamily(_stop, _with_stop),
    Assumption.CONTROL_RESERVE: OfFamily(_reserve, lambda family, v: _with_actuators(family, maximum=1.0 - v)),
    Assumption.MAXIMUM_DUTY: OfFamily(_duty, lambda family, v: _with_actuators(family, maximum=v)),
    Assumption.MINIMUM_OPENING: OfFamily(_minimum, _with_minimum),
}


def _max_superheat_k(system: SystemInputs, refrigerant: Refrigerant, sst_k: Floats) -> tuple[float, float]:
    """The smallest and the largest maximum superheat [K] at the rating point."""
    own = system.superheat
    if own.max_k is not None:
        return own.max_k, own.max_k
    found = own.maximum(solve_rating(refrigerant, system, sst_k))
    return float(found.min()), float(found.max())


def _max_superheat(system: SystemInputs, refrigerant: Refrigerant, sst_k: Floats) -> GivenValue | None:
    today = _max_superheat_k(system, refrigerant, sst_k)
    if not all(map(math.isfinite, today)):
        return None
    floor = system.superheat.min_k[0] + _APART_K
    return GivenValue(Measure.STEP, today, (floor, max(_MAX_SUPERHEAT_K, today[1])))


def _with_max_superheat(system: SystemInputs, value: float) -> SystemInputs:
    superheat = replace(system.superheat, max_k=value, max_share=None, capacity_loss=None)
    return replace(system, superheat=superheat)


def _min_superheat(system: SystemInputs, refrigerant: Refrigerant, sst_k: Floats) -> GivenValue | None:
    own, (most, _) = system.superheat, _max_superheat_k(system, refrigerant, sst_k)
    if not math.isfinite(most):
        return None
    return GivenValue(Measure.STEP, (own.min_k[0], own.min_k[0]), (0.0, most - _APART_K))


def _with_min_superheat(system: SystemInputs, value: float) -> SystemInputs:
    return replace(system, superheat=system.superheat.with_constant_minimum(value))


def _loss(name: str) -> OfSystem:
    def given(system: SystemInputs, _: Refrigerant, __: Floats) -> GivenValue:
        value = float(getattr(system.losses, name))
        return GivenValue(Measure.LOSS, (value, value), (0.0, max(_MAX_LOSS_PA, value)))

    return OfSystem(given, lambda system, value: system.with_losses(**{name: value}))


def _subcooling(system: SystemInputs, _: Refrigerant, __: Floats) -> GivenValue | None:
    liquid = system.low_head.liquid
    if liquid.temperature_k is not None:
        return None
    own = liquid.min_subcooling_k, liquid.max_subcooling_k
    return GivenValue(Measure.STEP, own, (_MIN_STEP_K, max(_MAX_SUBCOOLING_K, own[1])))


def _with_subcooling(system: SystemInputs, value: float) -> SystemInputs:
    own = system.low_head
    liquid = replace(own.liquid, min_subcooling_k=value, max_subcooling_k=value)
    return system.with_condition(replace(own, liquid=liquid))


def _head(condition: OperatingCondition) -> OfSystem:
    """A head in the way that it is stated: low head below the rating point's, high head above it, as `check` wants."""
    is_low = condition is OperatingCondition.LOW_HEAD

    def given(system: SystemInputs, refrigerant: Refrigerant, _: Floats) -> GivenValue | None:
        head = system.condition(condition).head
        rating_k = system.rating.head.bubble_temperature(refrigerant)
        edge_k = rating_k - _APART_K if is_low else rating_k + _APART_K
        if head.pressure_pa is not None:
            value, measure = head.pressure_pa, Measure.PRESSURE
            edge = Head(condensing_temperature_k=edge_k, basis=Basis.BUBBLE).pressure(refrigerant)
            far = value * (1.0 - _HEAD_SHARE if is_low else 1.0 + _HEAD_SHARE)
        else:
            assert head.condensing_temperature_k is not None
            value, measure = head.condensing_temperature_k, Measure.TEMPERATURE
            # The edge is a bubble temperature, the head may be stated on another basis.
            edge = edge_k + value - head.bubble_temperature(refrigerant)
            far = value - _HEAD_K if is_low else value + _HEAD_K
        low, high = sorted((edge, far))
        # At the edge of what can be computed nothing can be read.
        is_known = all(math.isfinite(own) for own in (low, high)) and low < high
        return GivenValue(measure, (value, value), (low, high)) if is_known else None

    def changed(system: SystemInputs, value: float) -> SystemInputs:
        own: HeadCondition = system.condition(condition)
        head = own.head
        if head.pressure_pa is not None:
            moved = replace(head, pressure_pa=value)
        else:
            moved = replace(head, condensing_temperature_k=value)
        return system.with_condition(replace(own, head=moved))

    return OfSystem(given, changed)


OF_SYSTEM: Mapping[Assumption, OfSystem] = {
    Assumption.MAXIMUM_SUPERHEAT: OfSystem(_max_superheat, _with_max_superheat),
    Assumption.MINIMUM_STABLE_SUPERHEAT: OfSystem(_min_superheat, _with_min_superheat),
    Assumption.DISTRIBUTOR_LOSS: _loss("distributor_pa"),
    Assumption.LIQUID_LINE_LOSS: _loss("liquid_line_pa"),
    Assumption.LOW_HEAD: _head(OperatingCondition.LOW_HEAD),
    Assumption.HIGH_HEAD: _head(OperatingCondition.HIGH_HEAD),
    Assumption.LOW_HEAD_SUBCOOLING: OfSystem(_subcooling, _with_subcooling),
}


# Limits go with Kv; a margin that someone multiplied in is one for the whole table.
OF_LIMITS: Mapping[Assumption, OfLimits] = {
    Assumption.KV_SCALE: OfLimits(("min", "max"), is_of_family=True),
    Assumption.MINIMUM_FACTOR: OfLimits(("min",), is_of_family=False),
    Assumption.MAXIMUM_FACTOR: OfLimits(("max",), is_of_family=False),
}


def with_systems(application: Application, names: tuple[str, ...], own: OfSystem, value: float) -> Application:
    """The application with a value of an assumption for some refrigerants."""
    changed = {name: own.changed(application.systems[name], value) for name in names}
    return replace(application, systems={**application.systems, **changed})
