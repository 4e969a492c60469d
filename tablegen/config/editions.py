"""Load the editions that a catalogue names, and hold them to what it prints."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tablegen.catalogue.inputs import Combination, CounterChart, Family, Handout
from tablegen.config.edition_model import EDITION_KINDS, CounterChartModel, EditionModel, HandoutModel
from tablegen.config.mistakes import unknown
from tablegen.config.reader import Reader
from tablegen.config.source import Document, KeyPath
from tablegen.units import print_unit

COLUMN_WIDTH = 10.0


def read_editions(reader: Reader) -> dict[str, tuple[Document, EditionModel]]:
    """Every sound file of the folder `editions`; mistakes are kept by the reader."""
    return reader.by_kind("editions", "edition", EDITION_KINDS)


def editions_of(
    reader: Reader,
    editions: Iterable[tuple[Document, EditionModel]],
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
) -> tuple[tuple[CounterChart, ...], tuple[Handout, ...]]:
    """Counter charts and handouts in the order named; mistakes are kept by the reader."""
    charts, handouts = [], []
    for document, model in editions:
        if isinstance(model, HandoutModel):
            handouts.append(handout(reader, document, model, families, combinations))
        else:
            charts.append(counter_chart(reader, document, model, families, combinations))
    return tuple(charts), tuple(handouts)


def counter_chart(
    reader: Reader,
    document: Document,
    model: CounterChartModel,
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
) -> CounterChart:
    """A chart's inputs; what it names and the catalogue does not print is a mistake, kept by the reader."""
    if model.family not in families:
        reader.mistakes.append(document.mistake(("family",), unknown("the family", model.family, families)))
    else:
        sizes = [size.name for size in families[model.family].sizes]
        for index, name in enumerate(model.stock):
            if name not in sizes:
                reader.mistakes.append(document.mistake(("stock", index), unknown("a size", name, sizes)))
    groups: list[tuple[KeyPath, str]] = [(("groups", index), name) for index, name in enumerate(model.groups)]
    _check_printed(reader, document, model, combinations, groups)
    temperature = print_unit("temperature", model.units)
    load = print_unit("load", model.units, model.load_unit)
    offset = temperature.of(0.0)
    return CounterChart(
        name=model.edition,
        title=model.title,
        house=model.house,
        telephone=model.telephone,
        paper=model.paper,
        units=model.units,
        load_unit=model.load_unit,
        load_unit_w=1.0 / load.of(1.0),
        temperature_scale=temperature.of(1.0) - offset,
        temperature_offset=offset,
        column_width=COLUMN_WIDTH,
        family=model.family,
        envelope=model.envelope,
        groups=tuple(model.groups),
        stock=tuple(model.stock),
    )


def handout(
    reader: Reader,
    document: Document,
    model: HandoutModel,
    families: Mapping[str, Family],
    combinations: Sequence[Combination],
) -> Handout:
    """A handout's inputs; what it names and the catalogue does not print is a mistake, kept by the reader."""
    thermostatic = [name for name, family in families.items() if family.kind == "thermostatic"]
    if model.family not in thermostatic:
        text = unknown("the thermostatic family", model.family, thermostatic)
        reader.mistakes.append(document.mistake(("family",), text))
    _check_printed(reader, document, model, combinations, [(("group",), model.group)])
    return Handout(
        name=model.edition,
        title=model.title,
        school=model.school,
        class_label=model.class_label,
        seed=model.seed,
        paper=model.paper,
        units=model.units,
        load_unit=model.load_unit,
        load_unit_w=1.0 / print_unit("load", model.units, model.load_unit).of(1.0),
        family=model.family,
        envelope=model.envelope,
        group=model.group,
    )


def _check_printed(
    reader: Reader,
    document: Document,
    model: EditionModel,
    combinations: Sequence[Combination],
    groups: Iterable[tuple[KeyPath, str]],
) -> None:
    """The catalogue prints the envelope, and with it and the family each group, named at its place."""
    envelopes = list(dict.fromkeys(c.envelope for c in combinations))
    if model.envelope not in envelopes:
        reader.mistakes.append(document.mistake(("envelope",), unknown("the envelope", model.envelope, envelopes)))
    printed = [c.group for c in combinations if (c.family, c.envelope) == (model.family, model.envelope)]
    for path, name in groups:
        if name not in printed:
            text = unknown("a group that the catalogue prints for this family and envelope", name, printed)
            reader.mistakes.append(document.mistake(path, text))
