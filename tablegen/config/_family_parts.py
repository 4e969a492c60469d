"""Config of what valve families are made of: sizes, rating, opening, port, connections, approvals."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import Field, model_validator

from tablegen.config._scatter_model import CoefficientTolerance, ShareTolerance, tolerance_of
from tablegen.config.fields import (
    BadKey,
    FlowCoefficient,
    Load,
    Model,
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
    quantity,
)
from tablegen.model.inputs import Approval, Size
from tablegen.physics.flow import FlowLaw
from tablegen.physics.rating import ValveRating
from tablegen.physics.refrigerants import Refrigerant
from tablegen.wording import config_errors as wording

CapillaryLength = Annotated[float, quantity("length", "0.1 m", "20 m")]


class SizeModel(Model):
    """One size: its key, its flow coefficient at rated stroke or its capacity at the family's rating.

    `display` is its name in print where that is not the key.
    """

    size: SizeKey
    display: SizeName | None = None
    kv: FlowCoefficient | None = None
    kv_tolerance: CoefficientTolerance | None = None
    capacity: Load | None = None

    @model_validator(mode="after")
    def _one(self) -> Self:
        if (self.kv is None) == (self.capacity is None):
            raise BadKey(wording.EXACTLY_ONE_OF(keys="kv, capacity"))
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
        return ValveRating(
            refrigerant=refrigerants[self.refrigerant],
            liquid_temperature_k=self.liquid_temperature,
            subcooling_k=self.subcooling,
            evaporating_temperature_k=self.evaporating_temperature,
            superheat_k=self.useful_superheat,
            pressure_drop_pa=self.pressure_drop,
        )


class OpeningModel(Model):
    """Opening as a share of rated stroke: mechanical stop, minimum stable opening, characteristic by points."""

    stop: Travel
    minimum_stable: Share
    characteristic: Literal["linear", "points"] = "linear"
    points: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.stop < 1.0:
            raise BadKey(wording.STOP_BELOW_RATED(), "stop")
        if not 0.0 < self.minimum_stable < 1.0:
            raise BadKey(wording.BETWEEN_ZERO_AND_ALL(), "minimum_stable")
        if (self.characteristic == "points") != (self.points is not None):
            raise BadKey(wording.POINTS_OF_CHARACTERISTIC())
        if self.points is not None:
            check_points(self.points, self.stop, "points")
        return self


def check_points(points: list[list[float]], stop: float, key: str) -> None:
    """Points of a characteristic: pairs that ascend from zero, include rated stroke and reach the stop."""
    if any(len(point) != 2 for point in points) or len(points) < 3:
        raise BadKey(wording.CHARACTERISTIC_PAIRS(), key)
    opening, share = ([point[i] for point in points] for i in (0, 1))
    for column in (opening, share):
        if any(b <= a for a, b in itertools.pairwise(column)):
            raise BadKey(wording.CHARACTERISTIC_ASCENDS(), key)
    if points[0] != [0.0, 0.0] or [1.0, 1.0] not in points:
        raise BadKey(wording.CHARACTERISTIC_ENDS(), key)
    if opening[-1] < stop:
        raise BadKey(wording.CHARACTERISTIC_SHORT(stop=f"{100 * stop:g} percent"), key)


def pairs(points: list[list[float]] | None) -> tuple[tuple[float, float], ...]:
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

    def inputs(self) -> Approval:
        """What the family may be used with."""
        return Approval(tuple(self.refrigerants), tuple(self.safety_groups))


class PortModel(Model):
    """Net unbalanced port area over diaphragm area, positive where inlet pressure closes, 0 if ideally balanced."""

    unbalance: SignedShare
    unbalance_tolerance: ShareTolerance | None = None
