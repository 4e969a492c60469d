"""Config of one printed edition beside the booklet."""

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
