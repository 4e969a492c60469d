"""Inputs of a table with one assumption of its application or its refrigerants changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats
from tablegen.physics.compressor import Compressor, CompressorPoint
from tablegen.physics.system import Head, HeadCondition, OperatingCondition, SuctionResponse
from tablegen.tables.assumed_inputs import TableInputs


@dataclass(frozen=True, slots=True)
class _OtherFlow:
    """A compressor whose flow differs from one head to another by another power of the ratio that is stated."""

    stated: Compressor
    power: float

    def relative_flow(self, point: CompressorPoint) -> Floats:
        """Flow to a constant factor, as that of the stated compressor."""
        return np.asarray(self.stated.relative_flow(point) ** self.power)


def maximum_superheat(inputs: TableInputs, by: float) -> TableInputs | None:
    """The maximum superheat so much larger [K], whatever gives it."""
    if not _has_bulb(inputs) or inputs.system.most_superheat_k + by <= inputs.system.superheat.min_k[0]:
        return None
    return inputs.with_systems(lambda s: replace(s, superheat=s.superheat.with_more(by)))


def minimum_stable_superheat(inputs: TableInputs, by: float) -> TableInputs | None:
    """The minimum stable superheat so much larger [K]."""
    if not _has_bulb(inputs) or not 0.0 <= inputs.system.superheat.min_k[0] + by < inputs.system.most_superheat_k:
        return None
    return inputs.with_systems(
        lambda s: replace(s, superheat=s.superheat.with_constant_minimum(s.superheat.min_k[0] + by))
    )


def _has_bulb(inputs: TableInputs) -> bool:
    return inputs.actuator is None or isinstance(inputs.actuator, ThermostaticActuator)


def useful(inputs: TableInputs, by: float) -> TableInputs:
    """The useful superheat of the rating so much larger [K]."""
    return inputs.with_systems(lambda s: replace(s, superheat=replace(s.superheat, useful_k=s.superheat.useful_k + by)))


def head(condition: OperatingCondition) -> Callable[[TableInputs, float], TableInputs | None]:
    """A head in temperature: where a pressure is stated, that pressure's bubble temperature moves."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        systems = dict(inputs.application.systems)
        for refrigerant in inputs.refrigerants:
            system = systems[refrigerant.name]
            stated = system.condition(condition)
            moved = Head(pressure_pa=float(stated.head.pressures(refrigerant, by)))
            systems[refrigerant.name] = system.with_condition(replace(stated, head=moved))
        return replace(inputs, application=replace(inputs.application, systems=systems))

    return change


def liquid(condition: OperatingCondition) -> Callable[[TableInputs, float], TableInputs | None]:
    """Subcooling by so much more: a stated temperature gets lower."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        own = inputs.system.condition(condition).liquid
        if own.temperature_k is None and own.min_subcooling_k + by < 0.0:
            return None
        return inputs.with_systems(lambda s: s.with_condition(_colder(s.condition(condition), by)))

    return change


def _colder(own: HeadCondition, by: float) -> HeadCondition:
    liquid = own.liquid
    if liquid.temperature_k is not None:
        return replace(own, liquid=replace(liquid, temperature_k=liquid.temperature_k - by))
    changed: dict[str, Any] = {name: getattr(liquid, name) + by for name in ("min_subcooling_k", "max_subcooling_k")}
    return replace(own, liquid=replace(liquid, **changed))


def loss(name: str) -> Callable[[TableInputs, float], TableInputs | None]:
    """A loss at rated flow [Pa], or the lift [m], so much larger."""

    def change(inputs: TableInputs, by: float) -> TableInputs | None:
        value = getattr(inputs.system.losses, name) + by
        if value < 0.0:
            return None
        return inputs.with_systems(lambda s: s.with_losses(**{name: value}))

    return change


def suction_line(inputs: TableInputs, by: float) -> TableInputs | None:
    """The loss of the suction line so much larger [K]."""
    if inputs.system.suction_loss_k + by < 0.0:
        return None
    return inputs.with_systems(lambda s: replace(s, suction_loss_k=s.suction_loss_k + by))


def response(inputs: TableInputs, by: float) -> TableInputs | None:
    """A suction temperature that follows box and compressor, where it is constant."""
    difference = inputs.system.box_difference_k or inputs.application.coil_temperature_difference_k
    if inputs.system.response is not SuctionResponse.CONSTANT or difference is None:
        return None
    return inputs.with_systems(lambda s: replace(s, response=SuctionResponse.BALANCED, box_difference_k=difference))


def compressor(inputs: TableInputs, by: float) -> TableInputs:
    """A flow that changes by another power of the ratio that the compressor states."""
    return inputs.with_systems(lambda s: replace(s, compressor=_OtherFlow(s.compressor, 1.0 + by)))


def coil_difference(inputs: TableInputs, by: float) -> TableInputs | None:
    """The box so much farther above the SST at the rating point, where the maximum superheat or the loop follows from it."""
    stated = inputs.system.box_difference_k
    if stated is None or stated + by <= 0.0:
        return None
    return inputs.with_systems(lambda s: replace(s, box_difference_k=stated + by))


def conductance_ratio(inputs: TableInputs, by: float) -> TableInputs | None:
    """The coil's dry conductance by a share larger."""
    coil = inputs.system.coil
    if coil is None or not 0.0 < (ratio := coil.conductance_ratio * (1.0 + by)) < 1.0:
        return None
    return inputs.with_systems(lambda s: replace(s, coil=replace(coil, conductance_ratio=ratio)))
