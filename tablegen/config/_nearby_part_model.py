"""Config of a part beside the valve, a class for each kind, and the inputs that it gives."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import Field, model_validator

from tablegen.config._offered_model import ApprovedModel
from tablegen.config.document import ConfigDocument
from tablegen.config.fields import (
    MAX_SIZE_NAME,
    BadKey,
    FamilyName,
    FlowCoefficient,
    GaugePressure,
    Model,
    Name,
    PressureDrop,
    SizeKey,
    SizeName,
    quantity,
    twice,
)
from tablegen.model.nearby_parts import NearbyPart, PartKind, PartSize
from tablegen.model.offered_choices import Approval
from tablegen.units import to_si
from tablegen.wording import config_errors as wording

# Common practice: a solenoid valve may take this of what the liquid line loses.
USUAL_DROP = "3 psi"
SolenoidDrop = Annotated[float, quantity("pressure difference", "0.01 psi", "2 bar")]


class PartSizeModel(Model):
    """One size of a part: its key, its name in print where that is not the key, and Kv."""

    size: SizeKey
    display: SizeName | None = None
    kv: FlowCoefficient

    def inputs(self) -> PartSize:
        """The size in SI."""
        return PartSize(self.size, self.display or self.size, self.kv)


class SolenoidSizeModel(PartSizeModel):
    """A size of a solenoid valve, which may be pilot-operated."""

    minimum_pressure_drop: SolenoidDrop | None = None

    def inputs(self) -> PartSize:
        """The size in SI."""
        return PartSize(self.size, self.display or self.size, self.kv, self.minimum_pressure_drop or 0.0)


class NearbyPartModel(Model):
    """What every part states."""

    part: Name
    name: FamilyName
    approved: ApprovedModel
    sizes: Sequence[PartSizeModel]

    @model_validator(mode="after")
    def _size_range(self) -> Self:
        names = [(size.display or size.size).casefold() for size in self.sizes]
        if (again := twice([size.size for size in self.sizes])) is not None:
            raise BadKey(wording.SIZE_TWICE(), "sizes", again, "size")
        if (again := twice(names)) is not None:
            owner = self.sizes[names.index(names[again])].size
            raise BadKey(wording.SIZE_NAME_TAKEN(owner=owner), "sizes", again, "display")
        for i, (before, size) in enumerate(itertools.pairwise(self.sizes), start=1):
            if size.kv <= before.kv:
                raise BadKey(wording.SIZES_ASCEND(key="kv"), "sizes", i, "kv", earlier=("sizes", i - 1, "kv"))
        for i, size in enumerate(self.sizes):
            if size.display is None and len(size.size) > MAX_SIZE_NAME:
                raise BadKey(wording.SIZE_NEEDS_DISPLAY(most=MAX_SIZE_NAME), "sizes", i, "size")
        return self

    def part_of(self, kind: PartKind, **more: float) -> NearbyPart:
        """The part in SI; `more` are the figures of its kind."""
        return NearbyPart(
            name=self.part,
            display_name=self.name,
            kind=kind,
            approved=self.approved.into(Approval),
            sizes=tuple(size.inputs() for size in self.sizes),
            **more,
        )


class DistributorNozzleModel(NearbyPartModel):
    """Nozzles of a refrigerant distributor, downstream of the valve."""

    kind: Literal["distributor_nozzle"]
    sizes: Annotated[list[PartSizeModel], Field(min_length=1, max_length=60)]

    def inputs(self) -> NearbyPart:
        """The part in SI."""
        return self.part_of(PartKind.DISTRIBUTOR_NOZZLE)


class SolenoidValveModel(NearbyPartModel):
    """A solenoid valve in the liquid line."""

    kind: Literal["solenoid_valve"]
    sizes: Annotated[list[SolenoidSizeModel], Field(min_length=1, max_length=60)]
    working_pressure: GaugePressure
    allowed_differential: PressureDrop
    maximum_pressure_drop: SolenoidDrop | None = None

    @property
    def maximum_drop_pa(self) -> float:
        """The most that is wanted of it at full flow [Pa]."""
        return (
            to_si(USUAL_DROP, "pressure difference")
            if self.maximum_pressure_drop is None
            else self.maximum_pressure_drop
        )

    @model_validator(mode="after")
    def _opens(self) -> Self:
        for i, size in enumerate(self.sizes):
            if (size.minimum_pressure_drop or 0.0) >= self.maximum_drop_pa:
                raise BadKey(wording.MINIMUM_DROP(usual=USUAL_DROP), "sizes", i, "minimum_pressure_drop")
        return self

    def inputs(self) -> NearbyPart:
        """The part in SI."""
        return self.part_of(
            PartKind.SOLENOID_VALVE,
            working_pressure_gauge_pa=self.working_pressure.value_pa,
            allowed_differential_pa=self.allowed_differential,
            maximum_drop_pa=self.maximum_drop_pa,
        )


PartModel: TypeAlias = DistributorNozzleModel | SolenoidValveModel
PART_KINDS: Mapping[str, type[PartModel]] = {
    "distributor_nozzle": DistributorNozzleModel,
    "solenoid_valve": SolenoidValveModel,
}
PartFile: TypeAlias = tuple[ConfigDocument, PartModel]
