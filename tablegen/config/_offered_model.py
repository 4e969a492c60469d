"""Config of what may be chosen on an order of a family, and of the refrigerants that it is approved for."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from tablegen.config.fields import (
    BadKey,
    Model,
    RefrigerantName,
    SafetyGroup,
    SizeNamed,
    Title,
    quantity,
)
from tablegen.wording import config_errors as wording

CapillaryLength = Annotated[float, quantity("length", "0.1 m", "20 m")]


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
