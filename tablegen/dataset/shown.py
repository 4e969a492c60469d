"""The part of a data set that one publication shows.

A publication that is printed from its part alone cannot depend on anything else, so that it need not be printed again
when only the rest has changed.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass

import pandas as pd

from tablegen.dataset.csv_files import CsvFile, csv_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.dataset.summary import Summary, count_windows
from tablegen.model.booklet_contents import ENGINEERING
from tablegen.model.company import Company
from tablegen.model.inputs import Catalogue
from tablegen.model.own_texts import in_language
from tablegen.model.publications import Booklet, Combination, CounterChart, Handout, Printed, ShelfLabels
from tablegen.model.stock import Stock
from tablegen.sweep.identity import identity


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """The prints of one publication, and the names of what they show."""

    booklets: tuple[Booklet, ...]
    charts: tuple[CounterChart, ...]
    labels: tuple[ShelfLabels, ...]
    handouts: tuple[Handout, ...]
    family: str
    parts: frozenset[Combination]
    applications: frozenset[str]
    refrigerants: frozenset[str]

    @classmethod
    def of(cls, data: DataSet, publication: str) -> _Shown:
        """What is shown by the prints of a publication, all of the same family."""
        catalogue = data.catalogue
        booklets = tuple(own for own in catalogue.booklets if own.printed.publication == publication)
        charts = tuple(own for own in catalogue.charts if own.printed.publication == publication)
        labels = tuple(own for own in catalogue.labels if own.printed.publication == publication)
        handouts = tuple(own for own in catalogue.handouts if own.printed.publication == publication)
        parts = {part for own in booklets for part in own.combinations}
        parts |= {Combination(own.family, group, own.application) for own in charts for group in own.groups}
        parts |= {Combination(own.family, group, own.application) for own in labels for group in own.groups}
        parts |= {Combination(own.family, own.group, own.application) for own in handouts}
        exercises, names = data.exercises, {own.printed.name for own in handouts}
        compared = exercises.loc[exercises["publication"].isin(names), "compared_application"] if names else ()
        return cls(
            booklets=booklets,
            charts=charts,
            labels=labels,
            handouts=handouts,
            family=next(iter(parts)).family,
            parts=frozenset(parts),
            applications=frozenset({*(part.application for part in parts), *(name for name in compared if name)}),
            refrigerants=frozenset(member for part in parts for member in catalogue.groups[part.group].members),
        )

    @property
    def groups(self) -> frozenset[str]:
        """The groups of its parts."""
        return frozenset(part.group for part in self.parts)

    @property
    def prints(self) -> list[Printed]:
        """Each way in which it is printed."""
        charts, handouts = [own.printed for own in self.charts], [own.printed for own in self.handouts]
        labels = [own.printed for own in self.labels]
        return [*(own.printed for own in self.booklets), *charts, *labels, *handouts]


def shown_by(data: DataSet, publication: str) -> DataSet:
    """The data that a publication shows in all its prints: a chart, labels, a handout, or the booklet of one family.

    Its inputs are in the language of the publication.

    Its fingerprint is twelve characters of a hash of these data: what has the same one shows the same figures.
    """
    shown = _Shown.of(data, publication)
    kept: Mapping[str, Collection[str]] = {
        "publication": {printed.name for printed in shown.prints},
        "family": {shown.family},
        "application": shown.applications,
        "group": shown.groups,
        # A booklet reports the checks of what no refrigerant bears on, too.
        "refrigerant": {"", *shown.refrigerants} if shown.booklets else shown.refrigerants,
    }
    frames = {name: _rows(getattr(data, name), kept) for name in FRAMES}
    # A charge may be that of another refrigerant.
    frames["charges"] = _rows(data.charges, {"family": {shown.family}})
    catalogue = in_language(_part(data.catalogue, shown), shown.prints[0].language)
    catalogue = dataclasses.replace(catalogue, translations={})
    files = {f"{name}.csv": CsvFile.of([csv_of(frame)]) for name, frame in frames.items()}
    part = DataSet(**frames, catalogue=catalogue, summary=data.summary, files=files)
    text = f"{identity(catalogue)} {sorted(part.files_sha256.items())}"
    fingerprint = hashlib.sha256(text.encode()).hexdigest()[:12]
    return dataclasses.replace(part, summary=_summary(data.summary, fingerprint, frames, shown))


def figures_of_all(data: DataSet, is_complete: bool = True) -> str:
    """A hash of what a document of the whole data set shows: its figures and inputs, not the names of the data.

    What other publications print beside is left out; unless `is_complete`, so are the tables made for them.
    """
    catalogue = data.catalogue
    seen = dataclasses.replace(catalogue, charts=(), labels=(), handouts=(), files={})
    for_others = {f"{name}.csv" for name in FRAMES if "publication" in getattr(data, name)}
    files = [(name, own) for name, own in sorted(data.files_sha256.items()) if is_complete or name not in for_others]
    # Of a chart other documents have whom to call.
    return hashlib.sha256(f"{identity(seen)} {files} {catalogue.wholesaler}".encode()).hexdigest()


def _rows(frame: pd.DataFrame, kept: Mapping[str, Collection[str]]) -> pd.DataFrame:
    # Rows of a publication are its own, whatever they compare with.
    columns = ["publication"] if "publication" in frame else [column for column in kept if column in frame]
    for column in columns:
        frame = frame[frame[column].isin(kept[column])]
    return frame.reset_index(drop=True)


def _part(catalogue: Catalogue, shown: _Shown) -> Catalogue:
    return dataclasses.replace(
        catalogue,
        printing=dataclasses.replace(catalogue.printing, company=_company(catalogue.printing.company, shown)),
        families={shown.family: catalogue.families[shown.family]},
        groups={name: group for name, group in catalogue.groups.items() if name in shown.groups},
        applications={name: own for name, own in catalogue.applications.items() if name in shown.applications},
        combinations=tuple(
            c
            for c in catalogue.combinations
            if c.family == shown.family and c.group in shown.groups and c.application in shown.applications
        ),
        left_out=(),
        refrigerants={name: own for name, own in catalogue.refrigerants.items() if name in shown.refrigerants},
        records={name: own for name, own in catalogue.records.items() if name in shown.refrigerants},
        settings={},
        uncertainty={name: own for name, own in catalogue.uncertainty.items() if name in shown.refrigerants},
        booklets=shown.booklets,
        charts=shown.charts,
        labels=shown.labels,
        handouts=shown.handouts,
        files={},
        stock=_stock(catalogue, shown),
        unstocked=(),
        known_refrigerants=(),
        part_numbers=tuple(number for number in catalogue.part_numbers if number.family in ("", shown.family)),
    )


def _stock(catalogue: Catalogue, shown: _Shown) -> Stock | None:
    """What charts and labels print of a stock sheet: the sizes that they show, with the charges of their groups."""
    if catalogue.stock is None or not (shown.charts or shown.labels):
        return None
    family = catalogue.families[shown.family]
    valves: set[tuple[str, str]] = set()
    stocked: tuple[CounterChart | ShelfLabels, ...] = (*shown.charts, *shown.labels)
    for own in stocked:
        kind = catalogue.applications[own.application].temperature_range
        for group, sizes in own.stock.items():
            elements = (family.element_for(member, kind) for member in catalogue.groups[group].members)
            valves |= {(size, element.name) for element in elements if element is not None for size in sizes}
    return catalogue.stock.in_print(family.name, valves, with_locations=bool(shown.labels))


def _company(company: Company, shown: _Shown) -> Company:
    """What the prints state of the company: a chart and a handout are not its own, but a booklet is."""
    own = {printed.publication for printed in shown.prints}
    # A booklet and the document of its separate sections name each other.
    ending = f"-{ENGINEERING}"
    numbered = {name for one in own for name in (one, f"{one}{ending}", one.removesuffix(ending))}
    documents = {name: number for name, number in company.documents.items() if name in numbered}
    if shown.booklets:
        return dataclasses.replace(company, documents=documents, wholesaler=None)
    return Company(
        name=company.name,
        typeface=company.typeface,
        documents=documents,
        disclaimer=company.disclaimer,
        cautions=company.cautions,
    )


def _summary(summary: Summary, fingerprint: str, frames: Mapping[str, pd.DataFrame], shown: _Shown) -> Summary:
    printed = shown.parts if shown.booklets else ()
    return dataclasses.replace(
        summary,
        fingerprint=fingerprint,
        states=len(frames["states"]),
        windows=count_windows(frames["windows"]),
        group_windows=count_windows(frames["group_windows"]),
        verification={},
        groups=tuple(own for own in summary.groups if Combination(own.family, own.group, own.application) in printed),
        suggestions=(),
        warnings=(),
    )
