"""Publication files: what is printed of what the catalogue computes, a class for each kind.

A publication is printed in each way of its `prints`; the first goes to a file of its own name, the others to files
whose names end with their paper and units.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config._catalogue_model import LeaveOutModel
from tablegen.config._company_model import Region
from tablegen.config._families import Known, check_rules, without_left_out
from tablegen.config._label_sheet import LabelSheetModel, beyond_paper
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.fields import (
    BadKey,
    Heading,
    Label,
    LanguageCode,
    LoadUnit,
    Model,
    Name,
    SizeNamed,
    SuctionTemperature,
    Title,
    UnitSystem,
    ascends,
    must,
    twice,
)
from tablegen.errors import BadValue, RequestError, both_scales
from tablegen.model.inputs import (
    Application,
    Booklet,
    Combination,
    CounterChart,
    Family,
    Handout,
    LabelSheet,
    Printed,
    ShelfLabels,
)
from tablegen.model.names import key_of
from tablegen.units import print_unit
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors
from tablegen.wording.language import ENGLISH
from tablegen.wording.message import OR, listed

_COLUMN_WIDTH = 10.0
# Suction temperatures that are the same [K].
_SAME_K = 1e-6
ANSWERS = "-answers"


class PrintModel(Model):
    """Paper and units that a publication is printed with, and whether its graphs are written as files too."""

    paper: Literal["a4", "letter"]
    units: UnitSystem
    load_unit: LoadUnit | None = None
    graph_files: bool = False

    @property
    def suffix(self) -> str:
        """What is added to the name of the file."""
        load = f"-{self.load_unit.replace('/', '').replace('_', '-')}" if self.load_unit else ""
        return f"{self.paper}-{self.units}{load}".lower()

    def inputs(self, name: str, publication: str, region: str, language: str) -> Printed:
        """Paper and units of the file with this name, of a publication for a region in a language."""
        temperature = print_unit("temperature", self.units)
        load = print_unit("load", self.units, self.load_unit)
        offset = temperature.of(0.0)
        return Printed(
            name=name,
            paper=self.paper,
            units=self.units,
            load_unit=self.load_unit or load.label,
            load_unit_w=1.0 / load.of(1.0),
            temperature_scale=temperature.of(1.0) - offset,
            temperature_offset=offset,
            graph_files=self.graph_files,
            publication=publication,
            region=region,
            language=language,
        )


class _PublicationModel(Model):
    """What every publication has: its name, each way in which it is printed, and a region other than the company's."""

    publication: Name
    region: Region | None = None
    prints: Annotated[list[PrintModel], Field(min_length=1)]

    @model_validator(mode="after")
    def _once(self) -> Self:
        if (again := twice([(p.paper, p.units, p.load_unit) for p in self.prints])) is not None:
            raise BadKey(wording.SAME_PRINT_TWICE(), "prints", again)
        return self

    def language_in(self, catalogue: str) -> str:
        """The language that it is printed in, in a catalogue of a language."""
        return ENGLISH

    def printed(self, language: str, family: str = "") -> Iterator[Printed]:
        """Each way in which it is printed, the first to a file of its own name, to which that of one family is added."""
        publication = f"{self.publication}-{family}" if family else self.publication
        for index, made in enumerate(self.prints):
            name = publication if index == 0 else f"{publication}-{made.suffix}"
            yield made.inputs(name, publication, self.region or "", self.language_in(language))

    def series(self, families: Iterable[str]) -> list[str]:
        """The families, of a catalogue's, that it has a publication of their own for."""
        return []


class _TranslatedModel(_PublicationModel):
    """A publication that may be in another language than the catalogue."""

    language: LanguageCode | None = None

    def language_in(self, catalogue: str) -> str:
        """Its own language, else that of the catalogue."""
        return self.language or catalogue


class BookletModel(_TranslatedModel):
    """A maker's booklet: all that the catalogue computes, less what a rule leaves out of print.

    One for each family, if the catalogue is large, and an index that leads to them.
    """

    kind: Literal["booklet"]
    one_for_each: Literal["family"] | None = None
    leave_out: list[LeaveOutModel] = Field(default_factory=list)

    def series(self, families: Iterable[str]) -> list[str]:
        """The families that have a booklet of their own, where one is asked for each."""
        return list(families) if self.one_for_each else []


class _WithoutGraphs(_TranslatedModel):
    """A publication that has no graphs to write as files."""

    @model_validator(mode="after")
    def _without_graphs(self) -> Self:
        for number, made in enumerate(self.prints):
            if made.graph_files:
                raise BadKey(wording.NO_GRAPHS(), "prints", number, "graph_files")
        return self


class CounterChartModel(_WithoutGraphs):
    """A wholesaler's counter chart: one page for each refrigerant group, for the sizes that the wholesaler stocks."""

    kind: Literal["counter_chart"]
    title: Title
    wholesaler: Title
    telephone: Label
    family: Name
    application: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[SizeNamed], Field(min_length=1)]


class ShelfLabelsModel(_WithoutGraphs):
    """Labels for a wholesaler's shelf: one for each size in stock and group, on sheets of stickers."""

    kind: Literal["shelf_labels"]
    wholesaler: Title
    family: Name
    application: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[SizeNamed], Field(min_length=1)]
    sst: Annotated[list[SuctionTemperature], Field(min_length=2, max_length=2), must(ascends, wording.TWO_SSTS)]
    sheet: LabelSheetModel

    @model_validator(mode="after")
    def _fits_paper(self) -> Self:
        for made in self.prints:
            if (found := beyond_paper(self.sheet, made.paper)) is not None:
                raise found
        return self


class HandoutModel(_PublicationModel):
    """A teacher's handout with exercises drawn by a seed, and its answer key; in English."""

    kind: Literal["handout"]
    title: Heading
    school: Title
    class_label: Label
    seed: Annotated[int, Field(ge=0, le=2**32 - 1)]
    family: Name
    application: Name
    group: Name


PublicationModel = BookletModel | CounterChartModel | ShelfLabelsModel | HandoutModel
PUBLICATION_KINDS: dict[str, type[PublicationModel]] = {
    "booklet": BookletModel,
    "counter_chart": CounterChartModel,
    "shelf_labels": ShelfLabelsModel,
    "handout": HandoutModel,
}


@dataclass(kw_only=True)
class Publications:
    """What a catalogue prints, of combinations and families that it computes; problems are noted by the reader.

    `known` names whatever a rule may leave out of print, computed or not; `language` is that of publications that
    state none.
    """

    reader: Reader
    families: Mapping[str, Family]
    applications: Mapping[str, Application]
    combinations: Sequence[Combination]
    known: Known
    language: str
    booklets: list[Booklet] = field(default_factory=list)
    charts: list[CounterChart] = field(default_factory=list)
    labels: list[ShelfLabels] = field(default_factory=list)
    handouts: list[Handout] = field(default_factory=list)
    _taken: dict[str, str] = field(default_factory=dict)

    def add(self, document: ConfigDocument, model: PublicationModel) -> None:
        """One publication."""
        self._check_files(document, model)
        if isinstance(model, BookletModel):
            self._add_booklet(document, model)
        elif isinstance(model, HandoutModel):
            self._add_handout(document, model)
        elif isinstance(model, ShelfLabelsModel):
            self._add_labels(document, model)
        else:
            self._add_chart(document, model)

    def _check_files(self, document: ConfigDocument, model: PublicationModel) -> None:
        """No two documents go to one file; file names that differ in case alone are one on some systems."""
        stems = [
            made.name for family in ("", *model.series(self.families)) for made in model.printed(self.language, family)
        ]
        if isinstance(model, HandoutModel):
            stems += [stem + ANSWERS for stem in stems]
        for number, stem in enumerate(stems):
            owner = self._taken.setdefault(stem.casefold(), model.publication)
            if owner != model.publication or stem in stems[:number]:
                rule = wording.FILE_TAKEN(file=f"{stem}.pdf", owner=owner)
                self.reader.refuse(document, ("publication",), str(BadValue(repr(model.publication), rule)))

    def _add_booklet(self, document: ConfigDocument, model: BookletModel) -> None:
        if check_rules(self.reader, document, model.leave_out, self.known):
            rules, known = model.leave_out, self.known
            left, left_out = without_left_out(self.reader, document, rules, self.combinations, known)
            series = model.publication if model.one_for_each else ""
            self.booklets += [
                Booklet(printed=printed, combinations=left, left_out=left_out, series=series)
                for printed in model.printed(self.language)
            ]
            for family in model.series(dict.fromkeys(part.family for part in left)):
                own = tuple(part for part in left if part.family == family)
                self.booklets += [
                    Booklet(printed=printed, combinations=own, series=series, family=family)
                    for printed in model.printed(self.language, family)
                ]

    def _add_chart(self, document: ConfigDocument, model: CounterChartModel) -> None:
        shown = {"column_width": _COLUMN_WIDTH, "stock": self._stock(document, model)}
        self.charts += [model.into(CounterChart, printed=printed, **shown) for printed in model.printed(self.language)]

    def _add_labels(self, document: ConfigDocument, model: ShelfLabelsModel) -> None:
        stock = self._stock(document, model)
        if model.application in self.applications:
            rows_k = [float(own) for own in self.applications[model.application].sst_k]
            for index, sst_k in enumerate(model.sst):
                self._check_row(document, model.application, rows_k, ("sst", index), sst_k)
        own = {"stock": stock, "sheet": model.sheet.into(LabelSheet)}
        self.labels += [model.into(ShelfLabels, printed=printed, **own) for printed in model.printed(self.language)]

    def _check_row(
        self, document: ConfigDocument, application: str, rows_k: Sequence[float], path: KeyPath, sst_k: float
    ) -> None:
        """A suction temperature [K] is a row of the tables of an application."""
        if any(abs(row_k - sst_k) < _SAME_K for row_k in rows_k):
            return
        below, above = [r for r in rows_k if r < sst_k], [r for r in rows_k if r > sst_k]
        nearest = [*([max(below)] if below else []), *([min(above)] if above else [])]
        rows = listed([both_scales(row_k) for row_k in nearest], OR)
        rule = wording.NO_SUCH_ROW(application=application, rows=rows)
        self.reader.refuse(document, path, str(BadValue(repr(document.value(path)), rule)))

    def _stock(self, document: ConfigDocument, model: CounterChartModel | ShelfLabelsModel) -> tuple[str, ...]:
        """The sizes in stock by their keys, each once; whether the family and the groups are computed is noted too."""
        stock: list[str] = []
        if model.family not in self.families:
            self.reader.refuse_unknown(document, ("family",), wording.THE_FAMILY(), model.family, self.families)
        else:
            family = self.families[model.family]
            names = {size.name: size.display_name for size in family.sizes}
            for index, name in enumerate(model.stock):
                try:
                    stock.append(key_of(input_errors.A_SIZE(family=family.display_name), name, names))
                except RequestError as error:
                    self.reader.refuse(document, ("stock", index), str(error))
        self._check_computed(document, model, [(("groups", index), name) for index, name in enumerate(model.groups)])
        return tuple(dict.fromkeys(stock))

    def _add_handout(self, document: ConfigDocument, model: HandoutModel) -> None:
        thermostatic = [name for name, family in self.families.items() if family.kind == "thermostatic"]
        if model.family not in thermostatic:
            self.reader.refuse_unknown(
                document, ("family",), wording.THE_THERMOSTATIC_FAMILY(), model.family, thermostatic
            )
        self._check_computed(document, model, [(("group",), model.group)])
        self.handouts += [model.into(Handout, printed=printed) for printed in model.printed(self.language)]

    def _check_computed(
        self,
        document: ConfigDocument,
        model: CounterChartModel | ShelfLabelsModel | HandoutModel,
        groups: Iterable[tuple[KeyPath, str]],
    ) -> None:
        """The catalogue computes the application, and with it and the family each group, named at its place."""
        applications = list(dict.fromkeys(c.application for c in self.combinations))
        if model.application not in applications:
            what, path = wording.THE_APPLICATION(), ("application",)
            self.reader.refuse_unknown(document, path, what, model.application, applications)
        named = (model.family, model.application)
        computed = [c.group for c in self.combinations if (c.family, c.application) == named]
        for below, name in groups:
            if name not in computed:
                self.reader.refuse_unknown(document, below, wording.A_COMPUTED_GROUP(), name, computed)
