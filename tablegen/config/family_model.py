"""Config of one valve family, a class for each kind of valve and for each part of one, and the inputs that they give."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import Field, model_validator

from tablegen.config._charge_model import ChargeModel
from tablegen.config._scatter_model import (
    CoefficientTolerance,
    ScatterModel,
    ShareTolerance,
    ThermostaticScatterModel,
    tolerance_of,
)
from tablegen.config.fields import (
    MAX_SIZE_NAME,
    BadKey,
    Choice,
    FamilyName,
    FlowCoefficient,
    GaugePressure,
    Load,
    Model,
    Name,
    PressureDrop,
    RefrigerantName,
    SafetyGroup,
    Share,
    SignedShare,
    SizeKey,
    SizeName,
    SizeNamed,
    Step,
    Temperature,
    Text,
    Title,
    Travel,
    ascends,
    must,
    quantity,
    twice,
)
from tablegen.config.written_forms import Written, quantity_form
from tablegen.errors import RequestError
from tablegen.model.inputs import Approval, ConnectionChoices, Family, Offered, PowerElement, ProductionScatter, Size
from tablegen.model.names import key_of
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic
from tablegen.physics.windows import ElectronicActuator, ThermostaticActuator
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

_STOP = Written(partial(quantity_form, ("share",), "100 percent", "300 percent"))
CapillaryLength = Annotated[float, quantity("length", "0.1 m", "20 m")]


class SizeModel(Model):
    """One size: its key, its flow coefficient at rated stroke or its capacity at the family's rating.

    `display` is its name in print where that is not the key.
    """

    one_of = (("kv", "capacity"),)
    size: SizeKey
    display: SizeName | None = None
    kv: FlowCoefficient | None = None
    kv_tolerance: CoefficientTolerance | None = None
    capacity: Load | None = None

    @model_validator(mode="after")
    def _tolerance(self) -> Self:
        if self.kv is None and self.kv_tolerance is not None:
            raise BadKey(wording.TOLERANCE_WITHOUT(key="kv"), "kv_tolerance")
        return self

    def inputs(self, rating: ValveRating | None, law: FlowLaw, recovery: float) -> Size:
        """The size by Kv and capacity, of which one follows from the other where the family has a rating."""
        kv, capacity = self.kv or np.nan, self.capacity or np.nan
        if rating is not None and self.kv is not None:
            capacity = float(rating.capacity(np.asarray(kv), law, recovery))
        elif rating is not None:
            kv = float(rating.flow_coefficient(np.asarray(capacity), law, recovery))
        return Size(
            name=self.size,
            kv_rated_m3h=kv,
            nominal_capacity_w=capacity,
            kv_tolerance=tolerance_of(self.kv_tolerance),
            display_name=self.display or "",
        )


class ValveRatingModel(Model):
    """The condition of a family's nominal capacities, in the manner of AHRI 750: its liquid is free of vapor."""

    refrigerant: RefrigerantName
    liquid_temperature: Temperature
    subcooling: Step
    evaporating_temperature: Temperature
    basis: Literal["dew"]
    useful_superheat: Step
    pressure_drop: PressureDrop
    source: Text

    def inputs(self, refrigerants: Mapping[str, Refrigerant]) -> ValveRating:
        """The rating in SI."""
        refrigerant = refrigerants[self.refrigerant]
        return self.into(ValveRating, refrigerant=refrigerant, superheat_k=self.useful_superheat)


class OpeningModel(Model):
    """Opening as a share of rated stroke: mechanical stop, minimum stable opening, characteristic by points."""

    stop: Annotated[Travel, must(lambda stop: stop >= 1.0, wording.STOP_BELOW_RATED), _STOP]
    minimum_stable: Annotated[Share, must(lambda share: 0.0 < share < 1.0, wording.BETWEEN_ZERO_AND_ALL)]
    characteristic: Literal["linear", "points"] = "linear"
    points: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.characteristic == "points") != (self.points is not None):
            raise BadKey(wording.POINTS_OF_CHARACTERISTIC())
        if self.points is not None:
            check_points(self.points, self.stop, "points")
        return self


def check_points(points: list[list[float]], stop: float, key: str) -> None:
    """Points of a characteristic: pairs that ascend from zero, include rated stroke and reach the stop."""
    if any(len(point) != 2 for point in points) or len(points) < 3:
        raise BadKey(wording.CHARACTERISTIC_PAIRS(), key)
    opening, share = zip(*points, strict=True)
    if not (ascends(opening) and ascends(share)):
        raise BadKey(wording.CHARACTERISTIC_ASCENDS(), key)
    if points[0] != [0.0, 0.0] or [1.0, 1.0] not in points:
        raise BadKey(wording.CHARACTERISTIC_ENDS(), key)
    if opening[-1] < stop:
        raise BadKey(wording.CHARACTERISTIC_SHORT(stop=f"{100 * stop:g} percent"), key)


def _pairs(points: list[list[float]] | None) -> tuple[tuple[float, float], ...]:
    return tuple((point[0], point[1]) for point in points or ())


class ConnectionsModel(Model):
    """Connections to choose from, for the sizes named, or for all."""

    sizes: Annotated[list[SizeNamed], Field(min_length=1)] | None = None
    choose: Annotated[list[Title], Field(min_length=1, max_length=20)]


class OfferedModel(Model):
    """What may be chosen on an order; where a list has more than one entry, the order must name one."""

    connections: Annotated[list[ConnectionsModel], Field(min_length=1)]
    capillary_lengths: list[CapillaryLength] = Field(default_factory=list)


class ApprovedModel(Model):
    """The refrigerants that a family is approved for: by name, or all of some safety groups (ASHRAE 34, ISO 817)."""

    refrigerants: list[RefrigerantName] = Field(default_factory=list)
    safety_groups: list[SafetyGroup] = Field(default_factory=list)

    @model_validator(mode="after")
    def _some(self) -> Self:
        if not self.refrigerants and not self.safety_groups:
            raise BadKey(wording.APPROVED_FOR_NOTHING())
        return self


class PortModel(Model):
    """Net unbalanced port area over diaphragm area, positive where inlet pressure closes, 0 if ideally balanced."""

    unbalance: SignedShare
    unbalance_tolerance: ShareTolerance | None = None


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
    scatter: ScatterModel | None = None
    working_pressure: GaugePressure
    allowed_differential: PressureDrop
    rating: ValveRatingModel | None = None
    sizes: Annotated[list[SizeModel], Field(min_length=1, max_length=60)]
    approved: ApprovedModel
    offered: OfferedModel | None = None

    @property
    def size_names(self) -> dict[str, str]:
        """The name of each size in print, by its key."""
        return {size.size: size.display or size.size for size in self.sizes}

    @property
    def recovery(self) -> float:
        """Pressure recovery factor F_L [1]; NaN where the flow law has none."""
        return np.nan if self.pressure_recovery is None else self.pressure_recovery

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.flow_law is FlowLaw.CHOKED) != (self.pressure_recovery is not None):
            raise BadKey(wording.RECOVERY_OF_CHOKED(), "flow_law")
        if self.pressure_recovery is None and self.pressure_recovery_tolerance is not None:
            raise BadKey(wording.TOLERANCE_WITHOUT(key="pressure_recovery"), "pressure_recovery_tolerance")
        if (again := twice([size.size for size in self.sizes])) is not None:
            raise BadKey(wording.SIZE_TWICE(), "sizes", again, "size")
        self._check_display_names()
        self._check_size_range()
        self._check_offered()
        return self

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

    def inputs(self, elements: Sequence[PowerElement], refrigerants: Mapping[str, Refrigerant]) -> Family:
        """The family with its power elements."""
        rating = self.rating.inputs(refrigerants) if self.rating else None
        unbalance = self.port.unbalance_tolerance if isinstance(self, ThermostaticModel) else None
        return self.into(
            Family,
            name=self.family,
            display_name=self.name,
            pressure_recovery=self.recovery,
            working_pressure_gauge_pa=self.working_pressure.value_pa,
            rating=rating,
            rating_source=self.rating.source if self.rating else "",
            sizes=tuple(size.inputs(rating, self.flow_law, self.recovery) for size in self.sizes),
            characteristic=self.characteristic_inputs(),
            elements=tuple(elements),
            approved=self.approved.into(Approval),
            offered=self.offered_inputs(),
            pressure_recovery_tolerance=tolerance_of(self.pressure_recovery_tolerance),
            unbalance_tolerance=tolerance_of(unbalance),
            scatter=self.scatter.scatter() if self.scatter else ProductionScatter(),
        )


class ThermostaticModel(FamilyBase):
    """A thermostatic family."""

    kind: Literal["thermostatic"]
    scatter: ThermostaticScatterModel | None = None
    opening: OpeningModel
    port: PortModel
    equalizer: Literal["external", "internal"]
    charges: Annotated[list[ChargeModel], Field(min_length=1)]

    def characteristic_inputs(self) -> OpeningCharacteristic:
        """Share of Kv over opening, up to the stop."""
        return OpeningCharacteristic(self.opening.stop, _pairs(self.opening.points))

    def actuator(self, charge: ChargeModel, balance: ForceBalance) -> ThermostaticActuator:
        """A charge with its force balance in this family's valve."""
        return ThermostaticActuator(
            balance=balance,
            stop=self.opening.stop,
            min_stable=self.opening.minimum_stable,
            evaporating_k=(charge.evaporating_range.minimum, charge.evaporating_range.maximum),
            is_internally_equalized=self.equalizer == "internal",
        )


class StepperModel(FamilyBase):
    """A stepper-driven family: the steps of full travel, the minimum that control uses, the reserve of travel.

    `driver` says what moves it and what sets its superheat, for the order.
    """

    kind: Literal["stepper"]
    driver: Text | None = None
    full_steps: Annotated[int, Field(ge=10, le=100000)]
    minimum_steps: Annotated[int, Field(ge=1)]
    control_reserve: Share
    characteristic: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _opens(self) -> Self:
        if not self.minimum_steps / self.full_steps < 1.0 - self.control_reserve:
            raise BadKey(wording.NO_TRAVEL_LEFT(steps=self.full_steps), "minimum_steps")
        if self.characteristic is not None:
            check_points(self.characteristic, 1.0, "characteristic")
        return self

    def characteristic_inputs(self) -> OpeningCharacteristic:
        """Share of Kv over travel."""
        return OpeningCharacteristic(1.0, _pairs(self.characteristic))

    def drive(self) -> PowerElement:
        """The drive, the same for every refrigerant and application."""
        steps, reserve = {"steps": self.full_steps, "minimum": self.minimum_steps}, 100 * self.control_reserve
        if reserve:
            title = wording.STEPPER_WITH_RESERVE(used=f"{100 - reserve:g}", reserve=f"{reserve:g}", **steps)
        else:
            title = wording.STEPPER(**steps)
        actuator = ElectronicActuator(1.0 - self.control_reserve, self.minimum_steps / self.full_steps)
        return PowerElement(name="stepper", title=title, temperature_ranges=(), refrigerants=(), actuator=actuator)


class PulseModel(FamilyBase):
    """A pulse-modulated family, open or shut: the duty cycles that control may use; its mean Kv follows the duty."""

    kind: Literal["pulse_modulated"]
    driver: Text | None = None
    minimum_duty: Share
    maximum_duty: Share

    @model_validator(mode="after")
    def _opens(self) -> Self:
        if not 0.0 < self.minimum_duty < self.maximum_duty:
            raise BadKey(wording.DUTIES())
        return self

    def drive(self) -> PowerElement:
        """The drive, the same for every refrigerant and application."""
        title = wording.PULSE(minimum=f"{100 * self.minimum_duty:g}", maximum=f"{100 * self.maximum_duty:g}")
        actuator = ElectronicActuator(self.maximum_duty, self.minimum_duty, Reason.MAX_DUTY, Reason.MIN_DUTY)
        return PowerElement(name="pulse", title=title, temperature_ranges=(), refrigerants=(), actuator=actuator)


FamilyModel = ThermostaticModel | StepperModel | PulseModel
FAMILY_KINDS: dict[str, type[FamilyModel]] = {
    "thermostatic": ThermostaticModel,
    "stepper": StepperModel,
    "pulse_modulated": PulseModel,
}
