"""Config of a catalogue and of the refrigerant groups, and the inputs that they give."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from tablegen.config.fields import BadKey, Day, Model, Name, RefrigerantName, Share, Text, Title, within
from tablegen.model.inputs import Confidence, Group, PrintSettings, Revision
from tablegen.wording import config_errors as wording

_MIN_LEVEL, _MAX_LEVEL = 0.5, 0.999
_MAX_SEED = 2**31 - 1
# Powers of two, as the draws want them.
_SAMPLES = (256, 512, 1024, 2048, 4096, 8192, 16384)


class GroupModel(Model):
    """Refrigerants that share one printed window."""

    title: Title
    members: Annotated[list[RefrigerantName], Field(min_length=1, max_length=30)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        for index, name in enumerate(self.members):
            if name in self.members[:index]:
                raise BadKey(wording.LISTED_TWICE(), "members", index)
        return self

    def inputs(self, name: str) -> Group:
        """The group of this name."""
        return Group(name, self.title, tuple(self.members))


class GroupsModel(Model):
    """All groups, by name."""

    groups: Annotated[dict[Name, GroupModel], Field(min_length=1)]


# A single name stands for a list of one.
Names = Annotated[
    list[Name], BeforeValidator(lambda value: value if isinstance(value, list) else [value]), Field(min_length=1)
]


class LeaveOutModel(Model):
    """Combinations that the catalogue does not contain; a key left out means every one of that kind."""

    family: Names | None = None
    group: Names | None = None
    application: Names | None = None
    why: Text

    @model_validator(mode="after")
    def _something(self) -> Self:
        if self.family is self.group is self.application is None:
            raise BadKey(wording.RULE_NAMES_NOTHING())
        return self

    def named(self, key: str) -> tuple[str, ...]:
        """The names under a key; none where it is left out."""
        names = {"family": self.family, "group": self.group, "application": self.application}[key]
        return tuple(names or ())


class RevisionModel(Model):
    """One line of the revision record."""

    revision: Name
    date: Day
    change: Text


class ConfidenceModel(Model):
    """How scatter is carried into limits: share of valves, confidence, draws and their seed, and which limits are printed.

    Without a share it is as large as the level.
    """

    share: Share | None = None
    level: Share
    samples: int = 1024
    seed: int = 1
    tables: Literal["nominal", "at_confidence"]

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key, value in (("share", self.share), ("level", self.level)):
            if value is not None and not _MIN_LEVEL <= value <= _MAX_LEVEL:
                raise BadKey(within(f"{100 * _MIN_LEVEL:g} percent", f"{100 * _MAX_LEVEL:g} percent"), key)
        if self.samples not in _SAMPLES:
            raise BadKey(wording.ONE_OF(allowed=", ".join(map(str, _SAMPLES))), "samples")
        if not 0 <= self.seed <= _MAX_SEED:
            raise BadKey(within("0", str(_MAX_SEED)), "seed")
        return self

    def inputs(self) -> Confidence:
        """The same in SI."""
        share = self.level if self.share is None else self.share
        is_printed = self.tables == "at_confidence"
        return Confidence(share=share, level=self.level, samples=self.samples, seed=self.seed, is_printed=is_printed)


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
    part_numbers: Title | None = None
    confidence: ConfidenceModel | None = None
    leave_out: list[LeaveOutModel] = Field(default_factory=list)
    revisions: Annotated[list[RevisionModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _recorded(self) -> Self:
        listed = [entry.revision for entry in self.revisions]
        if self.revision not in listed:
            raise BadKey(wording.REVISION_WITHOUT_ENTRY(listed=", ".join(listed[-5:])), "revision")
        return self

    def printing(self) -> PrintSettings:
        """What every publication says of the catalogue, and the units of its workbook."""
        return PrintSettings(
            title=self.title,
            company=self.company,
            notice=self.notice,
            revision=self.revision,
            date=self.date,
            units=self.units,
            load_unit=self.load_unit,
            revisions=tuple(Revision(entry.revision, entry.date, entry.change) for entry in self.revisions),
        )
