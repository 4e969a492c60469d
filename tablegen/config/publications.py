"""Load the publications that a catalogue names, and hold them to what it computes.

A publication stands once for each way in which it is printed; the first goes to a file of its own name, the others to
files that add their paper and units.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tablegen.config.combining import Known, check_rules, kept_of
from tablegen.config.parsed import KeyPath
from tablegen.config.publication_model import (
    PUBLICATION_KINDS,
    BookletModel,
    CounterChartModel,
    HandoutModel,
    PrintModel,
    PublicationModel,
)
from tablegen.config.reader import Reader
from tablegen.config.source import Document
from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Booklet, Combination, CounterChart, Family, Handout, Printed
from tablegen.model.names import key_of
from tablegen.units import print_unit

COLUMN_WIDTH = 10.0
ANSWERS = "-answers"


@dataclass(frozen=True, slots=True)
class Publications:
    """Every publication in the order named."""

    booklets: tuple[Booklet, ...]
    charts: tuple[CounterChart, ...]
    handouts: tuple[Handout, ...]


def read_publications(reader: Reader) -> dict[str, tuple[Document, PublicationModel]]:
    """Every sound file of the folder `publications`; problems are kept by the reader."""
    return reader.by_kind("publications", "publication", PUBLICATION_KINDS)


def publications_of(
    reader: Reader,
    publications: Iterable[tuple[Document, PublicationModel]],
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
    known: Known,
) -> Publications:
    """Booklets, counter charts and handouts; what is wrong in one of them is kept by the reader.

    `known` names whatever a rule may leave out of print, computed or not.
    """
    booklets, charts, handouts = [], [], []
    taken: dict[str, str] = {}
    for document, model in publications:
        _check_files(reader, document, model, taken)
        if isinstance(model, BookletModel):
            booklets += _booklets(reader, document, model, combinations, known)
        elif isinstance(model, HandoutModel):
            handouts += _handouts(reader, document, model, families, combinations)
        else:
            charts += _counter_charts(reader, document, model, families, combinations)
    return Publications(tuple(booklets), tuple(charts), tuple(handouts))


def print_names(model: PublicationModel) -> list[str]:
    """The names of the files that a publication is printed to."""
    return [printed.name for printed in _printed(model)]


def _printed(model: PublicationModel) -> Iterator[Printed]:
    for index, made in enumerate(model.prints):
        temperature = print_unit("temperature", made.units)
        load = print_unit("load", made.units, made.load_unit)
        offset = temperature.of(0.0)
        yield Printed(
            name=model.publication if index == 0 else f"{model.publication}-{_suffix(made)}",
            paper=made.paper,
            units=made.units,
            load_unit=made.load_unit or load.label,
            load_unit_w=1.0 / load.of(1.0),
            temperature_scale=temperature.of(1.0) - offset,
            temperature_offset=offset,
        )


def _suffix(made: PrintModel) -> str:
    load = f"-{made.load_unit.replace('/', '').replace('_', '-')}" if made.load_unit else ""
    return f"{made.paper}-{made.units}{load}".lower()


def _check_files(reader: Reader, document: Document, model: PublicationModel, taken: dict[str, str]) -> None:
    """No two documents go to one file; file names that differ in case alone are one on some systems."""
    stems = print_names(model)
    if isinstance(model, HandoutModel):
        stems += [stem + ANSWERS for stem in stems]
    for stem in stems:
        owner = taken.setdefault(stem.casefold(), model.publication)
        if owner != model.publication:
            text = f"{model.publication!r} is not allowed; its file {stem}.pdf is also one of the publication {owner}"
            reader.problems.append(document.problem(("publication",), text))


def _booklets(
    reader: Reader, document: Document, model: BookletModel, combinations: Sequence[Combination], known: Known
) -> list[Booklet]:
    before = len(reader.problems)
    check_rules(reader, document, model.leave_out, known)
    if len(reader.problems) > before:
        return []
    kept, left_out = kept_of(reader, document, model.leave_out, combinations, known)
    return [Booklet(printed, kept, left_out) for printed in _printed(model)]


def _counter_charts(
    reader: Reader,
    document: Document,
    model: CounterChartModel,
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
) -> list[CounterChart]:
    stock: list[str] = []
    if model.family not in families:
        reader.problems.append(document.problem(("family",), unknown("the family", model.family, families)))
    else:
        called = {size.name: size.display_name for size in families[model.family].sizes}
        for index, name in enumerate(model.stock):
            try:
                stock.append(key_of("a size", name, called))
            except RequestError as error:
                reader.problems.append(document.problem(("stock", index), str(error)))
    groups: list[tuple[KeyPath, str]] = [(("groups", index), name) for index, name in enumerate(model.groups)]
    _check_computed(reader, document, model, combinations, groups)
    return [
        CounterChart(
            printed=printed,
            title=model.title,
            company=model.company,
            telephone=model.telephone,
            column_width=COLUMN_WIDTH,
            family=model.family,
            application=model.application,
            groups=tuple(model.groups),
            stock=tuple(dict.fromkeys(stock)),
        )
        for printed in _printed(model)
    ]


def _handouts(
    reader: Reader,
    document: Document,
    model: HandoutModel,
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
) -> list[Handout]:
    thermostatic = [name for name, family in families.items() if family.kind == "thermostatic"]
    if model.family not in thermostatic:
        text = unknown("the thermostatic family", model.family, thermostatic)
        reader.problems.append(document.problem(("family",), text))
    _check_computed(reader, document, model, combinations, [(("group",), model.group)])
    return [
        Handout(
            printed=printed,
            title=model.title,
            school=model.school,
            class_label=model.class_label,
            seed=model.seed,
            family=model.family,
            application=model.application,
            group=model.group,
        )
        for printed in _printed(model)
    ]


def _check_computed(
    reader: Reader,
    document: Document,
    model: CounterChartModel | HandoutModel,
    combinations: Sequence[Combination],
    groups: Iterable[tuple[KeyPath, str]],
) -> None:
    """The catalogue computes the application, and with it and the family each group, named at its place."""
    applications = list(dict.fromkeys(c.application for c in combinations))
    if model.application not in applications:
        reader.problems.append(
            document.problem(("application",), unknown("the application", model.application, applications))
        )
    computed = [c.group for c in combinations if (c.family, c.application) == (model.family, model.application)]
    for path, name in groups:
        if name not in computed:
            text = unknown("a group that the catalogue computes for this family and application", name, computed)
            reader.problems.append(document.problem(path, text))
