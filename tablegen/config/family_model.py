"""Config of one valve family."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.charge_model import ChargeModel
from tablegen.config.fields import (
    LONGEST_SIZE,
    AtKey,
    BadText,
    FamilyName,
    FlowCoefficient,
    Load,
    Model,
    Name,
    Pressure,
    PressureDrop,
    RefrigerantName,
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
    quantity,
)
from tablegen.config.refrigerant_model import SafetyGroup
from tablegen.config.tolerance_model import CoefficientTolerance, ScatterModel, ShareTolerance, ThermostaticScatterModel
from tablegen.errors import RequestError
from tablegen.model.names import key_of

CapillaryLength = Annotated[float, quantity("length", "0.1 m", "20 m")]


class SizeModel(Model):
    """One size: its key, its flow coefficient at rated stroke or its capacity at the family's rating.

    `display` is what it is called in print where that is not the key.
    """

    size: SizeKey
    display: SizeName | None = None
    kv: FlowCoefficient | None = None
    kv_tolerance: CoefficientTolerance | None = None
    capacity: Load | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if (self.kv is None) == (self.capacity is None):
            raise ValueError("exactly one of kv and capacity is required")
        if self.kv is None and self.kv_tolerance is not None:
            raise AtKey("kv_tolerance", "it is the tolerance of kv, which the size does not give")
        return self


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


class OpeningModel(Model):
    """Opening as a share of rated stroke: the stop, the minimum steady opening, the characteristic by points."""

    stop: Travel
    minimum_stable: Share
    characteristic: Literal["linear", "points"] = "linear"
    points: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.stop < 1.0:
            text = "is not allowed; stop must be at least 100 percent: rated stroke lies within the travel"
            raise AtKey("stop", f"{100 * self.stop:g} percent {text}")
        if not 0.0 < self.minimum_stable < 1.0:
            text = f"{100 * self.minimum_stable:g} percent is not allowed; must lie between 0 and 100 percent"
            raise AtKey("minimum_stable", text)
        if (self.characteristic == "points") != (self.points is not None):
            raise ValueError("points are given with 'characteristic: points', and only then")
        if self.points is not None:
            _check_points(self.points, self.stop, "points")
        return self


def _check_points(points: list[list[float]], stop: float, key: str) -> None:
    """Points of a characteristic: pairs that ascend from nothing, hold rated stroke and reach the stop."""
    if any(len(point) != 2 for point in points) or len(points) < 3:
        raise AtKey(key, "points are at least three pairs [opening, share of Kv]")
    opening, share = ([point[i] for point in points] for i in (0, 1))
    for column in (opening, share):
        if any(b <= a for a, b in itertools.pairwise(column)):
            raise AtKey(key, "points must ascend in opening and in share")
    if points[0] != [0.0, 0.0] or [1.0, 1.0] not in points:
        raise AtKey(key, "points must begin at [0 percent, 0 percent] and hold [100 percent, 100 percent]")
    if opening[-1] < stop:
        raise AtKey(key, f"points must reach the stop at {100 * stop:g} percent; they are not extrapolated")


class ConnectionsModel(Model):
    """Connections to choose from, for the sizes named, or for all."""

    sizes: Annotated[list[SizeNamed], Field(min_length=1)] | None = None
    choose: Annotated[list[Title], Field(min_length=1, max_length=20)]


class OfferedModel(Model):
    """What may be chosen when a valve is ordered; a list of one is taken, of others the order must name one."""

    connections: Annotated[list[ConnectionsModel], Field(min_length=1)]
    capillary_lengths: list[CapillaryLength] = Field(default_factory=list)


class ApprovedModel(Model):
    """The refrigerants that a family is approved for: by name, or all of some safety groups (ASHRAE 34, ISO 817)."""

    refrigerants: list[RefrigerantName] = Field(default_factory=list)
    safety_groups: list[SafetyGroup] = Field(default_factory=list)

    @model_validator(mode="after")
    def _some(self) -> Self:
        if not self.refrigerants and not self.safety_groups:
            raise ValueError("at least one refrigerant or one safety group is required")
        return self


class FamilyBase(Model):
    """What every family states."""

    family: Name
    name: FamilyName
    title: Title
    note: Text
    flow_law: Literal["orifice", "choked"]
    flow_law_reason: Text
    pressure_recovery: Share | None = None
    pressure_recovery_tolerance: ShareTolerance | None = None
    scatter: ScatterModel | None = None
    working_pressure: Pressure
    allowed_differential: PressureDrop
    rating: ValveRatingModel | None = None
    sizes: Annotated[list[SizeModel], Field(min_length=1, max_length=60)]
    approved: ApprovedModel
    offered: OfferedModel | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.flow_law == "choked") != (self.pressure_recovery is not None):
            raise AtKey("flow_law", "pressure_recovery (F_L) is given with 'flow_law: choked', and only then")
        if self.pressure_recovery is None and self.pressure_recovery_tolerance is not None:
            raise AtKey("pressure_recovery_tolerance", "it is the tolerance of pressure_recovery, which is not given")
        if not self.working_pressure.is_gauge:
            text = "it must be a gauge pressure, as the pressure equipment codes state it"
            raise AtKey("working_pressure", text)
        names = [s.size for s in self.sizes]
        for i, name in enumerate(names):
            if name in names[:i]:
                raise AtKey("sizes", i, "size", f"size {name!r} stands twice in sizes")
        self._check_display_names()
        self._check_size_range()
        self._check_offered()
        return self

    def _check_display_names(self) -> None:
        """No size is called as another one is, for either will do on an order; none has a long name in print."""
        for i, size in enumerate(self.sizes):
            if size.display is None and len(size.size) > LONGEST_SIZE:
                rule = f"what a size is called in print has at most {LONGEST_SIZE} characters"
                raise AtKey("sizes", i, "size", f"{size.size!r} is not allowed; {rule}: give it a 'display' as well")
        taken: dict[str, str] = {}
        for size in self.sizes:
            taken.setdefault(size.size.casefold(), size.size)
        for i, size in enumerate(self.sizes):
            if size.display is not None:
                owner = taken.setdefault(size.display.casefold(), size.size)
                if owner != size.size:
                    text = f"{size.display!r} is not allowed; size {owner} of this family has that name already"
                    raise AtKey("sizes", i, "display", text)

    @property
    def size_names(self) -> dict[str, str]:
        """What each size is called in print, by its key."""
        return {size.size: size.display or size.size for size in self.sizes}

    def _check_offered(self) -> None:
        """Connections are for sizes of the family, and each size has some."""
        rules = self.offered.connections if self.offered else []
        names, named = self.size_names, set()
        for i, rule in enumerate(rules):
            for j, name in enumerate(rule.sizes or names):
                try:
                    named.add(key_of("a size", name, names))
                except RequestError as error:
                    raise AtKey("offered", "connections", i, "sizes", j, str(error)) from None
        if self.offered and self.offered.capillary_lengths and not isinstance(self, ThermostaticModel):
            raise AtKey("offered", "capillary_lengths", "an electronic valve has no capillary")
        for name in names if rules else ():
            if name not in named:
                raise AtKey("offered", "connections", f"size {name!r} is offered with no connections")

    def _check_size_range(self) -> None:
        """Sizes are all given one way, and ascend."""
        for i, size in enumerate(self.sizes):
            if size.capacity is not None and self.rating is None:
                text = "a capacity needs the family's 'rating', the condition that it is stated at"
                raise AtKey("sizes", i, "capacity", text)
            if (size.kv is None) != (self.sizes[0].kv is None):
                raise AtKey("sizes", i, "all sizes are given by kv, or all by capacity")
        for i, (before, size) in enumerate(itertools.pairwise(self.sizes), start=1):
            for key, own, last in (("kv", size.kv, before.kv), ("capacity", size.capacity, before.capacity)):
                if own is not None and last is not None and own <= last:
                    raise BadText(("sizes", i, key), f"sizes must ascend in {key}", ("sizes", i - 1, key))


class PortModel(Model):
    """Net unbalanced port area over diaphragm area, positive where inlet pressure closes, 0 if ideally balanced."""

    unbalance: SignedShare
    unbalance_tolerance: ShareTolerance | None = None


class ThermostaticModel(FamilyBase):
    """A thermostatic family."""

    kind: Literal["thermostatic"]
    scatter: ThermostaticScatterModel | None = None
    opening: OpeningModel
    port: PortModel
    equalizer: Literal["external", "internal"]
    charges: Annotated[list[ChargeModel], Field(min_length=1)]


class StepperModel(FamilyBase):
    """A stepper-driven family: the steps of full travel, the fewest that it works with, the reserve of travel.

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
            text = f"{self.minimum_steps} of {self.full_steps} steps leave no travel below the control reserve"
            raise AtKey("minimum_steps", text)
        if self.characteristic is not None:
            _check_points(self.characteristic, 1.0, "characteristic")
        return self


class PulseModel(FamilyBase):
    """A pulse-modulated family, open or shut: the duty cycles that control may use; its mean Kv follows the duty."""

    kind: Literal["pulse_modulated"]
    driver: Text | None = None
    minimum_duty: Share
    maximum_duty: Share

    @model_validator(mode="after")
    def _opens(self) -> Self:
        if not 0.0 < self.minimum_duty < self.maximum_duty:
            raise ValueError("minimum_duty must be above 0 and below maximum_duty")
        return self


FamilyModel = ThermostaticModel | StepperModel | PulseModel
