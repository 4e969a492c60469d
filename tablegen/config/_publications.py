"""Publication files: what is printed of what the catalogue computes, a class for each kind.

A publication is printed in each way of its `prints`; the first goes to a file of its own name, the others to files
whose names end with their paper and units.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config._booklet_model import BookletModel, booklets_of
from tablegen.config._families import Known
from tablegen.config._label_sheet import LabelSheetModel, beyond_paper
from tablegen.config._printed_model import PrintedModel, TranslatedModel
from tablegen.config._reader import Reader
from tablegen.config._table_rows import row_of
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.fields import (
    DEVICE,
    BadKey,
    Heading,
    Label,
    Model,
    Name,
    SizeNamed,
    SuctionTemperature,
    Title,
    ascends,
    must,
)
from tablegen.errors import BadValue, RequestError
from tablegen.model.company import Wholesaler
from tablegen.model.exercise_plan import MOST_EXERCISES, Difficulty, ExerciseKind, ExercisePlan
from tablegen.model.inputs import Application, Family
from tablegen.model.names import key_of
from tablegen.model.publications import Booklet, Combination, CounterChart, Handout, LabelSheet, ShelfLabels, Unstocked
from tablegen.model.stock import Stock
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

_COLUMN_WIDTH = 10.0
ANSWERS = "-answers"


class _WithoutGraphs(TranslatedModel):
    """A publication that has no graphs to write as files."""

    @model_validator(mode="after")
    def _without_graphs(self) -> Self:
        for number, made in enumerate(self.prints):
            for key, is_wanted in (("graph_files", made.graph_files), ("png_files", made.png_files)):
                if is_wanted:
                    raise BadKey(wording.NO_GRAPHS(), "prints", number, key)
        return self


class CounterChartModel(_WithoutGraphs):
    """A wholesaler's counter chart: one page for each refrigerant group, for the sizes that the wholesaler stocks."""

    kind: Literal["counter_chart"]
    title: Title
    wholesaler: Title | None = None
    telephone: Label | None = None
    family: Name
    application: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[SizeNamed], Field(min_length=1)] | None = None


class ShelfLabelsModel(_WithoutGraphs):
    """Labels for a wholesaler's shelf: one for each size in stock and group, on label sheets."""

    kind: Literal["shelf_labels"]
    wholesaler: Title | None = None
    family: Name
    application: Name
    groups: Annotated[list[Name], Field(min_length=1)]
    stock: Annotated[list[SizeNamed], Field(min_length=1)] | None = None
    sst: Annotated[list[SuctionTemperature], Field(min_length=2, max_length=2), must(ascends, wording.TWO_SSTS)]
    sheet: LabelSheetModel

    @model_validator(mode="after")
    def _fits_paper(self) -> Self:
        for made in self.prints:
            if (found := beyond_paper(self.sheet, made.paper)) is not None:
                raise found
        return self


class ExercisesModel(Model):
    """How many exercises a handout has, of which kinds, and how difficult they are."""

    count: Annotated[int, Field(ge=1, le=MOST_EXERCISES)] | None = None
    kinds: Annotated[list[ExerciseKind], Field(min_length=1)] | None = None
    difficulty: Difficulty | None = None


class HandoutModel(PrintedModel):
    """A teacher's handout with exercises drawn by a seed, and its answer key; in English."""

    kind: Literal["handout"]
    title: Heading
    school: Title
    class_label: Label
    seed: Annotated[int, Field(ge=0, le=2**32 - 1)]
    family: Name
    application: Name
    group: Name
    blank_diagrams: bool = False
    exercises: ExercisesModel = Field(default_factory=ExercisesModel)


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

    `known` names whatever a rule may leave out of print, computed or not; `language` and `wholesaler` are those of
    publications that state none; `groups` are the members of each group, `stock` the catalogue's stock sheet; with
    `everything_in_stock` it is not read.
    """

    reader: Reader
    families: Mapping[str, Family]
    applications: Mapping[str, Application]
    combinations: Sequence[Combination]
    known: Known
    language: str
    wholesaler: Wholesaler | None
    groups: Mapping[str, Sequence[str]]
    stock: Stock | None = None
    everything_in_stock: bool = False
    booklets: list[Booklet] = field(default_factory=list)
    charts: list[CounterChart] = field(default_factory=list)
    labels: list[ShelfLabels] = field(default_factory=list)
    handouts: list[Handout] = field(default_factory=list)
    unstocked: list[Unstocked] = field(default_factory=list)
    _taken: dict[str, str] = field(default_factory=dict)

    def add(self, document: ConfigDocument, model: PublicationModel) -> None:
        """One publication."""
        self._check_files(document, model)
        if isinstance(model, BookletModel):
            of_catalogue = self.language, self.combinations, self.applications, self.known
            self.booklets += booklets_of(self.reader, document, model, *of_catalogue)
        elif isinstance(model, HandoutModel):
            self._add_handout(document, model)
        elif isinstance(model, ShelfLabelsModel):
            self._add_labels(document, model)
        else:
            self._add_chart(document, model)

    def _check_files(self, document: ConfigDocument, model: PublicationModel) -> None:
        """No two documents go to one file, and none to a device; case does not count, as on some systems."""
        stems = [made.name for part in model.parts(self.families) for made in model.printed(self.language, *part)]
        if isinstance(model, HandoutModel):
            stems += [stem + ANSWERS for stem in stems]
        for number, stem in enumerate(stems):
            if DEVICE.fullmatch(stem):
                self.reader.refuse(document, ("publication",), str(BadValue(repr(stem), wording.DEVICE_NAME())))
            owner = self._taken.setdefault(stem.casefold(), model.publication)
            if owner != model.publication or stem in stems[:number]:
                rule = wording.FILE_TAKEN(file=f"{stem}.pdf", owner=owner)
                self.reader.refuse(document, ("publication",), str(BadValue(repr(model.publication), rule)))

    def _add_chart(self, document: ConfigDocument, model: CounterChartModel) -> None:
        if (stocked := self._stocked(document, model)) is None:
            return
        shown: dict[str, object] = {"column_width": _COLUMN_WIDTH, **stocked}
        shown |= {"wholesaler": self._of_wholesaler(document, model.wholesaler, "wholesaler", "name")}
        shown |= {"telephone": self._of_wholesaler(document, model.telephone, "telephone", "telephone")}
        # Whoever states another wholesaler has not its logo.
        shown |= {"logo": self.wholesaler.logo if self.wholesaler and model.wholesaler is None else None}
        self.charts += [model.into(CounterChart, printed=printed, **shown) for printed in model.printed(self.language)]

    def _add_labels(self, document: ConfigDocument, model: ShelfLabelsModel) -> None:
        if (stocked := self._stocked(document, model)) is None:
            return
        if model.application in self.applications:
            rows_k = [float(own) for own in self.applications[model.application].sst_k]
            for index, sst_k in enumerate(model.sst):
                row_of(self.reader, document, model.application, rows_k, ("sst", index), sst_k)
        wholesaler = self._of_wholesaler(document, model.wholesaler, "wholesaler", "name")
        own = {"sheet": model.sheet.into(LabelSheet), "wholesaler": wholesaler, **stocked}
        self.labels += [model.into(ShelfLabels, printed=printed, **own) for printed in model.printed(self.language)]

    def _of_wholesaler(self, document: ConfigDocument, stated: str | None, key: str, attribute: str) -> str:
        """What a publication states of the wholesaler, or else the company does; a problem is noted if neither does."""
        if stated is not None:
            return stated
        if self.wholesaler is None:
            self.reader.refuse(document, (key,), wording.NO_WHOLESALER())
            return ""
        return str(getattr(self.wholesaler, attribute))

    def _stocked(
        self, document: ConfigDocument, model: CounterChartModel | ShelfLabelsModel
    ) -> dict[str, tuple[str, ...] | dict[str, tuple[str, ...]]] | None:
        """The groups that are printed, and for each the sizes in stock by their keys; what is wrong is noted.

        None where the stock sheet has nothing for any of them: the next delivery may.
        """
        before = len(self.reader.problems)
        if model.family not in self.families:
            self.reader.refuse_unknown(document, ("family",), wording.THE_FAMILY(), model.family, self.families)
        self._check_computed(document, model, [(("groups", index), name) for index, name in enumerate(model.groups)])
        if model.stock is None and self.stock is None and not self.everything_in_stock:
            self.reader.refuse(document, ("stock",), wording.NO_STOCK())
        if len(self.reader.problems) > before:
            return {"stock": {}}
        family = self.families[model.family]
        if model.stock is not None:
            sizes = self._listed(document, family, model.stock)
            return {"stock": dict.fromkeys(model.groups, sizes)}
        if self.stock is None:
            return {"stock": dict.fromkeys(model.groups, tuple(size.name for size in family.sizes))}
        found = {group: self._in_stock(family, group, model.application) for group in model.groups}
        there = {group: sizes for group, sizes in found.items() if sizes}
        if not there:
            self.unstocked.append(Unstocked(model.publication, model.family, model.application))
            return None
        missing = tuple(group for group in found if group not in there)
        return {"groups": tuple(there), "stock": there, "not_in_stock": missing}

    def _listed(self, document: ConfigDocument, family: Family, listed: Sequence[str]) -> tuple[str, ...]:
        """The sizes of a publication's own list by their keys, each once."""
        names = {size.name: size.display_name for size in family.sizes}
        stock: list[str] = []
        for index, name in enumerate(listed):
            try:
                stock.append(key_of(input_errors.A_SIZE(family=family.display_name), name, names))
            except RequestError as error:
                self.reader.refuse(document, ("stock", index), str(error))
        return tuple(dict.fromkeys(stock))

    def _in_stock(self, family: Family, group: str, application: str) -> tuple[str, ...]:
        """The sizes of the stock sheet with the charge of a group's table, in the order of the family."""
        assert self.stock is not None
        kind = self.applications[application].temperature_range
        elements = [family.element_for(member, kind) for member in self.groups[group]]
        there = {
            size
            for element in elements
            if element is not None
            for size in self.stock.sizes_of(family.name, element.name)
        }
        return tuple(size.name for size in family.sizes if size.name in there)

    def _add_handout(self, document: ConfigDocument, model: HandoutModel) -> None:
        thermostatic = [name for name, family in self.families.items() if family.kind == "thermostatic"]
        if model.family not in thermostatic:
            self.reader.refuse_unknown(
                document, ("family",), wording.THE_THERMOSTATIC_FAMILY(), model.family, thermostatic
            )
        self._check_computed(document, model, [(("group",), model.group)])
        plan = model.exercises.into(ExercisePlan)
        self.handouts += [
            model.into(Handout, printed=printed, exercises=plan) for printed in model.printed(self.language)
        ]

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
