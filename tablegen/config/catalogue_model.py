"""Config of a catalogue and of the refrigerant groups."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from tablegen.config.fields import AtKey, Day, Model, Name, RefrigerantName, Share, Text, Title

_MINIMUM_LEVEL, _MAXIMUM_LEVEL = 0.5, 0.999
# Powers of two, as the draws want them.
_SAMPLES = (256, 512, 1024, 2048, 4096, 8192, 16384)


class GroupModel(Model):
    """Refrigerants that share one printed window."""

    title: Title
    members: Annotated[list[RefrigerantName], Field(min_length=1, max_length=30)]

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
    application: Names | None = None
    why: Text

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.family is self.group is self.application is None:
            raise ValueError("at least one of family, group and application is required")
        return self

    def named(self, key: str) -> tuple[str, ...]:
        """The names under a key; none where it is left away."""
        return tuple(getattr(self, key) or ())


class RevisionModel(Model):
    """One line of the revision record."""

    revision: Name
    date: Day
    change: Text


class ConfidenceModel(Model):
    """How scatter is carried into limits: share of valves, confidence, draws and their seed, and what tables print.

    Without a share it is as large as the level.
    """

    share: Share | None = None
    level: Share
    samples: int = 1024
    seed: int = 1
    tables: Literal["nominal", "confident"]

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key in ("share", "level"):
            value = getattr(self, key)
            if value is not None and not _MINIMUM_LEVEL <= value <= _MAXIMUM_LEVEL:
                text = f"{100 * value:g} percent is not allowed; must be at least 50 and at most 99.9 percent"
                raise AtKey(key, text)
        if self.samples not in _SAMPLES:
            raise AtKey("samples", f"{self.samples} is not allowed; must be one of {', '.join(map(str, _SAMPLES))}")
        if not 0 <= self.seed < 2**31:
            raise AtKey("seed", f"{self.seed} is not allowed; must be at least 0 and below 2147483648")
        return self


class CatalogueModel(Model):
    """What is computed, and what every publication says of it; the units are those of the workbook."""

    catalogue: Name
    title: Title
    company: Title
    notice: Text
    revision: Name
    date: Day
    units: Literal["SI", "IP"]
    load_unit: Literal["kW", "kBtu/h", "ton_refrigeration"] | None = None
    families: Annotated[list[Name], Field(min_length=1)]
    groups: Annotated[list[Name], Field(min_length=1)]
    applications: Annotated[list[Name], Field(min_length=1)]
    publications: list[Name] = Field(default_factory=list)
    articles: Title | None = None
    confidence: ConfidenceModel | None = None
    leave_out: list[LeaveOutModel] = Field(default_factory=list)
    revisions: Annotated[list[RevisionModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _recorded(self) -> Self:
        listed = [entry.revision for entry in self.revisions]
        if self.revision not in listed:
            rule = f"'revisions' has no entry for it, only for {', '.join(listed[-5:])}: add one that says what changed"
            raise AtKey("revision", f"{self.revision!r} is not allowed; {rule}")
        return self
