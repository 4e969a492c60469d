"""Config of one printed edition beside the booklet; `kind` says which model a file is read with."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tablegen.config.fields import Model, Name, Title


class CounterChartModel(Model):
    """A wholesaler's counter chart: one page for each refrigerant group, for the sizes that the house keeps."""

    edition: Name
    kind: Literal["counter_chart"]
    title: Title
    house: Title
    telephone: Annotated[Title, Field(max_length=40)]
    paper: Literal["a4", "letter"]
    units: Literal["SI", "IP"]
    load_unit: Literal["kW", "kBtu/h", "ton_refrigeration"] | None = None
    family: Name
    envelope: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[Name], Field(min_length=1)]


class HandoutModel(Model):
    """A teacher's handout with exercises drawn by a seed, and its answer key."""

    edition: Name
    kind: Literal["handout"]
    title: Annotated[Title, Field(max_length=60)]
    school: Title
    class_label: Annotated[Title, Field(max_length=40)]
    seed: Annotated[int, Field(ge=0, le=2**32 - 1)]
    paper: Literal["a4", "letter"]
    units: Literal["SI", "IP"]
    load_unit: Literal["kW", "kBtu/h", "ton_refrigeration"] | None = None
    family: Name
    envelope: Name
    group: Name


EditionModel = CounterChartModel | HandoutModel
EDITION_KINDS: dict[str, type[CounterChartModel] | type[HandoutModel]] = {
    "counter_chart": CounterChartModel,
    "handout": HandoutModel,
}
