"""What a table assumes, by name, and the inputs of one table that a step of an assumption changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from tablegen.model.inputs import Application, Family, PowerElement
from tablegen.physics.actuators import Actuator
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import SystemInputs


class AssumedInput(StrEnum):
    """What may be assumed wrongly, each by itself."""

    COIL_DIFFERENCE = "coil_difference"
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
    RESERVE = "reserve"
    STATIC_SUPERHEAT = "static_superheat"
    OPENING_SUPERHEAT = "opening_superheat"
    UNBALANCE = "unbalance"
    STABILITY = "stability"
    CONDUCTANCE_RATIO = "conductance_ratio"
    BULB_TIME_CONSTANT = "bulb_time_constant"
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


class StatedIn(StrEnum):
    """Which part of the inputs states an assumption, and so names its source."""

    RATING = "rating"
    LOW_HEAD = "low_head"
    HIGH_HEAD = "high_head"
    LOSSES = "losses"
    SUPERHEAT = "superheat"
    COIL = "coil"
    COMPRESSOR = "compressor"
    SUCTION = "suction"
    FAMILY = "family"
    FLOW_LAW = "flow_law"
    REFRIGERANT = "refrigerant"


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
    kv_factor: float = 1.0

    def with_systems(self, change: Callable[[SystemInputs], SystemInputs]) -> TableInputs:
        """The inputs with the system of every refrigerant changed."""
        changed = {own.name: change(self.application.systems[own.name]) for own in self.refrigerants}
        systems = {**self.application.systems, **changed}
        return replace(self, application=replace(self.application, systems=systems))

    def with_elements(self, change: Callable[[PowerElement], PowerElement]) -> TableInputs:
        """The inputs with every power element changed."""
        return replace(self, family=self.family.with_elements(change))

    @property
    def system(self) -> SystemInputs:
        """The inputs of the first refrigerant."""
        return self.application.systems[self.refrigerants[0].name]

    @property
    def element(self) -> PowerElement | None:
        """The power element for the first refrigerant."""
        return self.family.element_for(self.refrigerants[0].name, self.application.temperature_range)

    @property
    def actuator(self) -> Actuator | None:
        """That of the power element."""
        return self.element.actuator if self.element else None


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
