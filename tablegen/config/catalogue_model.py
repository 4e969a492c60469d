"""Config of a catalogue and of the refrigerant groups."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from tablegen.config.fields import Day, Model, Name, Text, Title


class GroupModel(Model):
    """Refrigerants that share one printed window."""

    title: Title
    members: Annotated[list[Name], Field(min_length=1, max_length=30)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        for name in self.members:
            if self.members.count(name) > 1:
                raise ValueError(f"{name} stands twice in members")
        return self


class GroupsModel(Model):
    """All groups, by name."""

    groups: Annotated[dict[Name, GroupModel], Field(min_length=1)]


# A single name stands for a list of one.
Names = Annotated[
    list[Name], BeforeValidator(lambda value: value if isinstance(value, list) else [value]), Field(min_length=1)
]


class LeaveOutModel(Model):
    """Combinations that the catalogue does not hold; a key left away means every one of that kind."""

    family: Names | None = None
    group: Names | None = None
    envelope: Names | None = None
    why: Text

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.family is self.group is self.envelope is None:
            raise ValueError("at least one of family, group and envelope is required")
        return self

    def named(self, key: str) -> tuple[str, ...]:
        """The names under a key; none where it is left away."""
        return tuple(getattr(self, key) or ())


class RevisionModel(Model):
    """One line of the revision record."""

    revision: Name
    date: Day
    change: Text


class CatalogueModel(Model):
    """What is computed, and what every edition says of it; the units are those of the workbook."""

    catalogue: Name
    title: Title
    house: Title
    notice: Text
    revision: Name
    date: Day
    units: Literal["SI", "IP"]
    load_unit: Literal["kW", "kBtu/h", "ton_refrigeration"] | None = None
    families: Annotated[list[Name], Field(min_length=1)]
    groups: Annotated[list[Name], Field(min_length=1)]
    envelopes: Annotated[list[Name], Field(min_length=1)]
    editions: list[Name] = Field(default_factory=list)
    leave_out: list[LeaveOutModel] = Field(default_factory=list)
    revisions: Annotated[list[RevisionModel], Field(min_length=1)]
