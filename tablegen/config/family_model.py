"""Config of one valve family, a class for each kind of valve and for each part of one, and the inputs that they give."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Literal, Self, TypeVar

import numpy as np
from pydantic import Field, field_validator, model_validator

from tablegen.config._charge_model import ChargeModel
from tablegen.config._controller_model import ControllerModel
from tablegen.config._discharge_model import DischargeCoefficientModel
from tablegen.config._model_code import ModelCodeModel, OrderedFamily, OrderedSize, model_codes
from tablegen.config._offered_model import ApprovedModel, OfferedModel
from tablegen.config._port_design_model import (
    ConnectionLossModel,
    FullSteps,
    OpeningModel,
    PortDesignModel,
    PortModel,
    PulseDesignModel,
    StepperDesignModel,
    Steps,
    ThermostaticDesignModel,
    check_points,
    pairs,
)
from tablegen.config._scatter_model import (
    ScatterModel,
    ShareTolerance,
    ThermostaticScatterModel,
    tolerance_of,
)
from tablegen.config._size_model import SizeModel, ValveRatingModel
from tablegen.config.fields import (
    MAX_SIZE_NAME,
    BadKey,
    Choice,
    FamilyName,
    GaugePressure,
    Model,
    Name,
    PressureDrop,
    Share,
    Text,
    Title,
    Travel,
    twice,
)
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Family, PortDesign, PowerElement
from tablegen.model.names import key_of
from tablegen.model.offered_choices import Approval, ConnectionChoices, Offered
from tablegen.model.part_numbers import PartNumber
from tablegen.model.scatter import ProductionScatter, Tolerance
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Stability
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

D = TypeVar("D", bound=PortDesignModel)
DesignsOf = Annotated[list[D], Field(max_length=60)]


class FamilyBase(Model):
    """What every family states."""

    family: Name
    name: FamilyName
    title: Title
    note: Text
    flow_law: Annotated[FlowLaw, Choice]
    flow_law_reason: Text
    pressure_recovery: Share | None = None
    pressure_recovery_tolerance: ShareTolerance | None = None
    discharge_coefficient: DischargeCoefficientModel | None = None
    scatter: ScatterModel | None = None
    working_pressure: GaugePressure
    allowed_differential: PressureDrop
    rating: ValveRatingModel | None = None
    connection_loss: ConnectionLossModel | None = None
    sizes: Annotated[list[SizeModel], Field(min_length=1, max_length=60)]
    approved: ApprovedModel
    offered: OfferedModel | None = None
    port_designs: Sequence[PortDesignModel] = ()
    model_code: ModelCodeModel | None = None
    stability: Annotated[Stability, Choice] | None = None

    def with_design(self, design: PortDesignModel) -> Self:
        """The family as the sizes of a port design have it."""
        return self.model_copy(update=design.stated)

    def loss_of(self, size: SizeModel) -> ConnectionLossModel | None:
        """The loss of a size's connections: its own, its port design's, the family's."""
        design = next((own for own in self.port_designs if own.design == size.port_design), None)
        return size.connection_loss or (design.connection_loss if design else None) or self.connection_loss

    @property
    def size_names(self) -> dict[str, str]:
        """The name of each size in print, by its key."""
        return {size.size: size.display or size.size for size in self.sizes}

    @property
    def recovery(self) -> float:
        """Pressure recovery factor F_L [1]; NaN where the flow law has none."""
        return np.nan if self.pressure_recovery is None else self.pressure_recovery

    @property
    def discharge(self) -> DischargeCoefficient | None:
        """The discharge coefficient; None where the flow law has none."""
        return None if self.discharge_coefficient is None else self.discharge_coefficient.discharge()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.flow_law is FlowLaw.CHOKED) != (self.pressure_recovery is not None):
            raise BadKey(wording.RECOVERY_OF_CHOKED(), "flow_law")
        if (self.flow_law is FlowLaw.DISCHARGE_COEFFICIENT) != (self.discharge_coefficient is not None):
            raise BadKey(wording.COEFFICIENT_OF_ITS_LAW(), "flow_law")
        if self.pressure_recovery is None and self.pressure_recovery_tolerance is not None:
            raise BadKey(wording.TOLERANCE_WITHOUT(key="pressure_recovery"), "pressure_recovery_tolerance")
        if (again := twice([size.size for size in self.sizes])) is not None:
            raise BadKey(wording.SIZE_TWICE(), "sizes", again, "size")
        self._check_display_names()
        self._check_size_range()
        self._check_offered()
        self._check_port_designs()
        try:
            self.model_codes()
        except BadKey as error:
            raise BadKey(error.rule, "model_code", *error.path, is_complete=error.is_complete) from None
        return self

    def model_codes(self) -> tuple[PartNumber, ...]:
        """The number of every valve that the family's pattern gives; none without a pattern."""
        if self.model_code is None:
            return ()
        offered, own = self.offered_inputs(), self if isinstance(self, ThermostaticModel) else None
        ordered = OrderedFamily(
            key=self.family,
            display=self.name,
            sizes=[
                OrderedSize(
                    key=size.size,
                    display=size.display or size.size,
                    port_design=size.port_design or "",
                    connections=offered.connections_of(size.size),
                )
                for size in self.sizes
            ],
            charges=[charge.charge for charge in own.charges] if own else [],
            equalizer=offered.equalizer,
            capillary_m=offered.capillary_m,
        )
        return model_codes(self.model_code, ordered)

    def _check_port_designs(self) -> None:
        """Sizes name port designs of the family, every one is named, and each is sound with what the family states."""
        names = [own.design for own in self.port_designs]
        if (again := twice(names)) is not None:
            raise BadKey(wording.DESIGN_TWICE(), "port_designs", again, "design")
        for i, size in enumerate(self.sizes):
            loss = self.loss_of(size)
            if size.capacity is not None and loss is not None and loss.size_kv == "without_connections":
                raise BadKey(wording.CAPACITY_IS_OF_VALVE(), "sizes", i, "capacity")
            if size.port_design is None:
                continue
            if size.port_design not in names:
                text = unknown(wording.A_PORT_DESIGN(), size.port_design, names)
                raise BadKey(text, "sizes", i, "port_design", is_complete=True)
            if size.connection_loss and self.port_designs[names.index(size.port_design)].connection_loss:
                raise BadKey(wording.LOSS_TWICE(design=size.port_design), "sizes", i, "connection_loss")
        for i, design in enumerate(self.port_designs):
            if design.design not in [size.port_design for size in self.sizes]:
                raise BadKey(wording.DESIGN_NOT_USED(), "port_designs", i, "design")
            self.with_design(design).check_travel("port_designs", i)

    def check_travel(self, *path: str | int) -> None:
        """What must be true of the keys of travel together, those of a port design at a path."""

    def _check_display_names(self) -> None:
        """No size has the name of another one, for either will do on an order; none has a long name in print."""
        for i, size in enumerate(self.sizes):
            if size.display is None and len(size.size) > MAX_SIZE_NAME:
                raise BadKey(wording.SIZE_NEEDS_DISPLAY(most=MAX_SIZE_NAME), "sizes", i, "size")
        taken = {size.size.casefold(): size.size for size in reversed(self.sizes)}
        for i, size in enumerate(self.sizes):
            if size.display is not None:
                owner = taken.setdefault(size.display.casefold(), size.size)
                if owner != size.size:
                    raise BadKey(wording.SIZE_NAME_TAKEN(owner=owner), "sizes", i, "display")

    def _check_offered(self) -> None:
        """Connections are for sizes of the family, and each size has some."""
        rules = self.offered.connections if self.offered else []
        names, named = self.size_names, set()
        for i, rule in enumerate(rules):
            for j, name in enumerate(rule.sizes or names):
                try:
                    named.add(key_of(input_errors.A_SIZE(family=self.name), name, names))
                except RequestError as error:
                    path = ("offered", "connections", i, "sizes", j)
                    raise BadKey(str(error), *path, is_complete=True) from None
        if self.offered and self.offered.capillary_lengths and not isinstance(self, ThermostaticModel):
            raise BadKey(wording.NO_CAPILLARY(), "offered", "capillary_lengths")
        for name in names if rules else ():
            if name not in named:
                raise BadKey(wording.SIZE_WITHOUT_CONNECTIONS(size=name), "offered", "connections")

    def _check_size_range(self) -> None:
        """Sizes are all given one way, and ascend."""
        for i, size in enumerate(self.sizes):
            if size.capacity is not None and self.rating is None:
                raise BadKey(wording.CAPACITY_NEEDS_RATING(), "sizes", i, "capacity")
            if (size.kv is None) != (self.sizes[0].kv is None):
                raise BadKey(wording.KV_OR_CAPACITY_FOR_ALL(), "sizes", i)
        for i, (before, size) in enumerate(itertools.pairwise(self.sizes), start=1):
            for key, own, last in (("kv", size.kv, before.kv), ("capacity", size.capacity, before.capacity)):
                if own is not None and last is not None and own <= last:
                    rule = wording.SIZES_ASCEND(key=key)
                    raise BadKey(rule, "sizes", i, key, earlier=("sizes", i - 1, key))

    def characteristic_inputs(self) -> OpeningCharacteristic:
        """Share of Kv over opening: linear up to rated stroke."""
        return OpeningCharacteristic(1.0)

    def offered_inputs(self) -> Offered:
        """What may be chosen on an order."""
        names, rules = self.size_names, self.offered.connections if self.offered else []
        what = input_errors.A_SIZE(family=self.name)
        return Offered(
            connections=tuple(
                ConnectionChoices(tuple(key_of(what, own, names) for own in rule.sizes or ()), tuple(rule.choose))
                for rule in rules
            ),
            capillary_m=tuple(self.offered.capillary_lengths) if self.offered else (),
            equalizer=self.equalizer if isinstance(self, ThermostaticModel) else "",
            driver=self.driver or "" if isinstance(self, (StepperModel, PulseModel)) else "",
        )

    @property
    def unbalance_tolerance(self) -> Tolerance | None:
        """How well the unbalance of the port is known; None where nothing is said."""
        return None

    def design_inputs(self, design: PortDesignModel, elements: Sequence[PowerElement]) -> PortDesign:
        """A port design with the power elements in its port."""
        own = self.with_design(design)
        return PortDesign(
            name=design.design,
            working_pressure_gauge_pa=own.working_pressure.value_pa,
            allowed_differential_pa=own.allowed_differential,
            characteristic=own.characteristic_inputs(),
            elements=tuple(elements),
            unbalance_tolerance=own.unbalance_tolerance,
        )

    def inputs(
        self,
        elements: Sequence[PowerElement],
        refrigerants: Mapping[str, Refrigerant],
        designs: Iterable[PortDesign] = (),
    ) -> Family:
        """The family with its power elements and port designs."""
        rating = self.rating.inputs(refrigerants) if self.rating else None
        return self.into(
            Family,
            name=self.family,
            display_name=self.name,
            pressure_recovery=self.recovery,
            working_pressure_gauge_pa=self.working_pressure.value_pa,
            rating=rating,
            rating_source=self.rating.source if self.rating else "",
            sizes=tuple(
                size.inputs(rating, self.flow_law, self.recovery, self.discharge, self.loss_of(size))
                for size in self.sizes
            ),
            discharge=self.discharge,
            discharge_source=self.discharge_coefficient.source if self.discharge_coefficient else "",
            characteristic=self.characteristic_inputs(),
            elements=tuple(elements),
            port_designs=tuple(designs),
            approved=self.approved.into(Approval),
            offered=self.offered_inputs(),
            pressure_recovery_tolerance=tolerance_of(self.pressure_recovery_tolerance),
            unbalance_tolerance=self.unbalance_tolerance,
            scatter=self.scatter.scatter() if self.scatter else ProductionScatter(),
        )


class ThermostaticModel(FamilyBase):
    """A thermostatic family."""

    kind: Literal["thermostatic"]
    scatter: ThermostaticScatterModel | None = None
    opening: OpeningModel
    port: PortModel
    port_designs: DesignsOf[ThermostaticDesignModel] = Field(default_factory=list)
    equalizer: Literal["external", "internal"]
    charges: Annotated[list[ChargeModel], Field(min_length=1)]

    @field_validator("charges")
    @classmethod
    def _with_curves(cls, charges: list[ChargeModel]) -> list[ChargeModel]:
        """The charges, each with its curve, whether it is its own or that of another one."""
        if (again := twice([charge.charge for charge in charges])) is not None:
            raise BadKey(wording.CHARGE_TWICE(), again, "charge")
        found = []
        for index, charge in enumerate(charges):
            try:
                found.append(charge.with_curve(charges))
            except BadKey as error:
                raise BadKey(error.rule, index, *error.path, is_complete=error.is_complete) from None
        return found

    @property
    def unbalance_tolerance(self) -> Tolerance | None:
        """How well the unbalance of the port is known; None where nothing is said."""
        return tolerance_of(self.port.unbalance_tolerance)

    def characteristic_inputs(self) -> OpeningCharacteristic:
        """Share of Kv over opening, up to the stop."""
        return OpeningCharacteristic(self.opening.stop, pairs(self.opening.points))

    def actuator(self, charge: ChargeModel, balance: ForceBalance) -> ThermostaticActuator:
        """A charge in this family's valve, with its force balance whatever the port: a setting is not moved by it."""
        return ThermostaticActuator(
            balance=replace(balance, unbalance=self.port.unbalance),
            stop=self.opening.stop,
            min_stable=self.opening.minimum_stable,
            evaporating_k=(charge.evaporating_range.minimum, charge.evaporating_range.maximum),
            is_internally_equalized=self.equalizer == "internal",
            reserve_in_limits=self.opening.reserve_in_limits,
            smallest_controlled=self.opening.smallest_controlled,
            bulb_time_constant_s=charge.bulb_time_constant,
            stability=self.stability,
        )


class StepperModel(FamilyBase):
    """A stepper-driven family: the steps of full travel, the minimum that control uses, the reserve of travel.

    `driver` says what moves it and what sets its superheat, for the order.
    """

    kind: Literal["stepper"]
    driver: Text | None = None
    controller: ControllerModel | None = None
    full_steps: FullSteps
    minimum_steps: Steps
    control_reserve: Share
    characteristic: list[list[Travel]] | None = None
    port_designs: DesignsOf[StepperDesignModel] = Field(default_factory=list)

    @model_validator(mode="after")
    def _opens(self) -> Self:
        self.check_travel()
        return self

    def check_travel(self, *path: str | int) -> None:
        """There is travel between the minimum and the reserve, and the characteristic is sound."""
        if not self.minimum_steps / self.full_steps < 1.0 - self.control_reserve:
            raise BadKey(wording.NO_TRAVEL_LEFT(steps=self.full_steps), *path, "minimum_steps")
        if self.characteristic is not None:
            check_points(self.characteristic, 1.0, *path, "characteristic")

    def characteristic_inputs(self) -> OpeningCharacteristic:
        """Share of Kv over travel."""
        return OpeningCharacteristic(1.0, pairs(self.characteristic))

    def drive(self) -> PowerElement:
        """The drive, the same for every refrigerant and application."""
        steps, reserve = {"steps": self.full_steps, "minimum": self.minimum_steps}, 100 * self.control_reserve
        if reserve:
            title = wording.STEPPER_WITH_RESERVE(used=f"{100 - reserve:g}", reserve=f"{reserve:g}", **steps)
        else:
            title = wording.STEPPER(**steps)
        actuator = ElectronicActuator(
            maximum=1.0 - self.control_reserve,
            minimum=self.minimum_steps / self.full_steps,
            controller=self.controller.inputs() if self.controller else None,
            stability=self.stability,
        )
        return PowerElement(name="stepper", title=title, temperature_ranges=(), refrigerants=(), actuator=actuator)


class PulseModel(FamilyBase):
    """A pulse-modulated family, open or shut: the duty cycles that control may use; its mean Kv follows the duty."""

    kind: Literal["pulse_modulated"]
    driver: Text | None = None
    controller: ControllerModel | None = None
    minimum_duty: Share
    maximum_duty: Share
    port_designs: DesignsOf[PulseDesignModel] = Field(default_factory=list)

    @model_validator(mode="after")
    def _opens(self) -> Self:
        self.check_travel()
        return self

    def check_travel(self, *path: str | int) -> None:
        """There is a duty between the minimum and the maximum."""
        if not 0.0 < self.minimum_duty < self.maximum_duty:
            raise BadKey(wording.DUTIES(), *path)

    def drive(self) -> PowerElement:
        """The drive, the same for every refrigerant and application."""
        title = wording.PULSE(minimum=f"{100 * self.minimum_duty:g}", maximum=f"{100 * self.maximum_duty:g}")
        actuator = ElectronicActuator(
            maximum=self.maximum_duty,
            minimum=self.minimum_duty,
            max_reason=Reason.MAX_DUTY,
            min_reason=Reason.MIN_DUTY,
            controller=self.controller.inputs() if self.controller else None,
            stability=self.stability,
        )
        return PowerElement(name="pulse", title=title, temperature_ranges=(), refrigerants=(), actuator=actuator)


FamilyModel = ThermostaticModel | StepperModel | PulseModel
FAMILY_KINDS: dict[str, type[FamilyModel]] = {
    "thermostatic": ThermostaticModel,
    "stepper": StepperModel,
    "pulse_modulated": PulseModel,
}
