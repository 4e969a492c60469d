"""Config of a catalogue and of the refrigerant groups, and the inputs that they give."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import (
    BadKey,
    Day,
    LanguageCode,
    LoadUnit,
    Model,
    Name,
    RefrigerantName,
    Text,
    Title,
    UnitSystem,
    must,
    quantity,
    twice,
    within,
)
from tablegen.config.written_forms import Written, WrittenAs, choice_form, one_or_more_form
from tablegen.errors import BadValue
from tablegen.model.company import ChangeReason, Company, PrintSettings, Revision
from tablegen.model.inputs import Confidence
from tablegen.model.publications import LeaveOutRule
from tablegen.wording import config_errors as wording
from tablegen.wording.language import ENGLISH

# Of the config files of a catalogue. Raised, with a step in `config.upgrade`, when files that were sound must be changed.
FORMAT = 1
_Level = Annotated[float, quantity("share", "50 percent", "99.9 percent")]
_MAX_SEED = 2**31 - 1
# Powers of two, as the draws want them.
_SAMPLES = (256, 512, 1024, 2048, 4096, 8192, 16384)
_LISTED = ", ".join(map(str, _SAMPLES))


def _format_form() -> dict[str, object]:
    return {"type": "integer", "minimum": 1, "maximum": FORMAT}


def _known_format(value: object) -> object:
    if type(value) is int and not 1 <= value <= FORMAT:
        raise BadValue(repr(value), wording.FORMAT(latest=FORMAT))
    return value


class GroupModel(Model):
    """Refrigerants that share one printed window."""

    title: Title
    members: Annotated[list[RefrigerantName], Field(min_length=1, max_length=30)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        if (again := twice(self.members)) is not None:
            raise BadKey(wording.LISTED_TWICE(), "members", again)
        return self


class GroupsModel(Model):
    """All groups, by name."""

    groups: Annotated[dict[Name, GroupModel], Field(min_length=1)]


# A single name stands for a list of one.
Names = Annotated[
    list[Name],
    Field(min_length=1),
    WrittenAs(one_or_more_form, lambda value: value if isinstance(value, list) else [value]),
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

    def inputs(self) -> LeaveOutRule:
        """The rule, before it is known how much it takes."""
        families, groups, applications = map(self.named, ("family", "group", "application"))
        return LeaveOutRule(families=families, groups=groups, applications=applications, why=self.why)


class ReasonModel(Model):
    """Why a file was changed, or one key of it, or all keys below one."""

    file: Title
    key: Title | None = None
    why: Text

    def inputs(self) -> ChangeReason:
        """The same; no key is an empty one."""
        return ChangeReason(self.file, self.key or "", self.why)


class RevisionModel(Model):
    """One line of the revision record."""

    revision: Name
    date: Day
    change: Text
    reasons: list[ReasonModel] = Field(default_factory=list)

    def inputs(self) -> Revision:
        """The same with its reasons."""
        return self.into(Revision, reasons=tuple(reason.inputs() for reason in self.reasons))


class ConfidenceModel(Model):
    """How scatter is carried into limits: share of valves, confidence, draws and their seed, and which limits are printed.

    Without a share it is as large as the level.
    """

    share: _Level | None = None
    level: _Level
    samples: Annotated[
        int,
        must(lambda n: n in _SAMPLES, lambda: wording.ONE_OF(allowed=_LISTED)),
        Written(partial(choice_form, _SAMPLES)),
    ] = 1024
    seed: Annotated[int, must(lambda n: 0 <= n <= _MAX_SEED, lambda: within("0", str(_MAX_SEED)))] = 1
    tables: Literal["nominal", "at_confidence"]

    def inputs(self) -> Confidence:
        """The same in SI."""
        share = self.level if self.share is None else self.share
        return self.into(Confidence, share=share, is_printed=self.tables == "at_confidence")


class CatalogueModel(Model):
    """What is computed, and what every publication says of it; units and language are those of the workbook.

    A publication may have another language, and states its own units.
    """

    catalogue: Name
    format: Annotated[int, WrittenAs(_format_form, _known_format)] = FORMAT
    title: Title
    company: Title
    notice: Text
    revision: Name
    date: Day
    units: UnitSystem
    load_unit: LoadUnit | None = None
    language: LanguageCode = ENGLISH
    families: Annotated[list[Name], Field(min_length=1)]
    groups: Annotated[list[Name], Field(min_length=1)]
    applications: Annotated[list[Name], Field(min_length=1)]
    publications: list[Name] = Field(default_factory=list)
    part_numbers: Title | None = None
    stock: Title | None = None
    stock_date: Day | None = None
    nearby_parts: list[Name] = Field(default_factory=list)
    confidence: ConfidenceModel | None = None
    leave_out: list[LeaveOutModel] = Field(default_factory=list)
    revisions: Annotated[list[RevisionModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _recorded(self) -> Self:
        listed = [entry.revision for entry in self.revisions]
        if self.revision not in listed:
            raise BadKey(wording.REVISION_WITHOUT_ENTRY(listed=", ".join(listed[-5:])), "revision")
        if (again := twice(listed)) is not None:
            raise BadKey(wording.LISTED_TWICE(), "revisions", again, "revision")
        return self

    def printing(self, company: Company) -> PrintSettings:
        """What every publication says of the catalogue, and the units of its workbook."""
        revisions = tuple(entry.inputs() for entry in self.revisions)
        return self.into(PrintSettings, company=company, revisions=revisions, load_unit=self.load_unit)
