"""Config of one printed publication; `kind` says which model a file is read with."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.catalogue_model import LeaveOutModel
from tablegen.config.fields import AtKey, Model, Name, SizeNamed, Title


class PrintModel(Model):
    """Paper and units that a publication is printed with."""

    paper: Literal["a4", "letter"]
    units: Literal["SI", "IP"]
    load_unit: Literal["kW", "kBtu/h", "ton_refrigeration"] | None = None


class _PublicationModel(Model):
    """What every publication has: its name, and each way in which it is printed."""

    publication: Name
    prints: Annotated[list[PrintModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        for index, made in enumerate(self.prints):
            if made in self.prints[:index]:
                raise AtKey("prints", index, "the same paper and units stand twice")
        return self


class BookletModel(_PublicationModel):
    """A maker's booklet: all that the catalogue computes, less what a rule leaves out of print."""

    kind: Literal["booklet"]
    leave_out: list[LeaveOutModel] = Field(default_factory=list)


class CounterChartModel(_PublicationModel):
    """A wholesaler's counter chart: one page for each refrigerant group, for the sizes that the company stocks."""

    kind: Literal["counter_chart"]
    title: Title
    company: Title
    telephone: Annotated[Title, Field(max_length=40)]
    family: Name
    application: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[SizeNamed], Field(min_length=1)]


class HandoutModel(_PublicationModel):
    """A teacher's handout with exercises drawn by a seed, and its answer key."""

    kind: Literal["handout"]
    title: Annotated[Title, Field(max_length=60)]
    school: Title
    class_label: Annotated[Title, Field(max_length=40)]
    seed: Annotated[int, Field(ge=0, le=2**32 - 1)]
    family: Name
    application: Name
    group: Name


PublicationModel = BookletModel | CounterChartModel | HandoutModel
PUBLICATION_KINDS: dict[str, type[BookletModel] | type[CounterChartModel] | type[HandoutModel]] = {
    "booklet": BookletModel,
    "counter_chart": CounterChartModel,
    "handout": HandoutModel,
}
