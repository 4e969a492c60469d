"""The part of a data set that one publication shows.

A publication that is printed from its part alone cannot depend on anything else, so that it need not be printed again
when only the rest has changed.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Collection, Mapping

import pandas as pd

from tablegen.dataset.csv_files import CsvFile, csv_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.dataset.summary import Summary, count_windows
from tablegen.model.inputs import Catalogue, Company, CounterChart, Handout
from tablegen.sweep.identity import identity


def shown_by(data: DataSet, own: CounterChart | Handout) -> DataSet:
    """The data that a counter chart or a handout shows.

    Its fingerprint is twelve characters of a hash of these data: what has the same one shows the same figures.
    """
    groups = own.groups if isinstance(own, CounterChart) else (own.group,)
    exercises = data.exercises
    compared = (
        exercises.loc[exercises["publication"] == own.printed.name, "compared_application"] if len(exercises) else ()
    )
    applications = {own.application, *(name for name in compared if name)}
    refrigerants = {member for group in groups for member in data.catalogue.groups[group].members}
    kept: dict[str, Collection[str]] = {
        "publication": {own.printed.name},
        "family": {own.family},
        "application": applications,
        "group": set(groups),
        "refrigerant": refrigerants,
    }
    frames = {name: _rows(getattr(data, name), kept) for name in FRAMES}
    catalogue = _part(data.catalogue, own, groups, applications, refrigerants)
    files = {f"{name}.csv": CsvFile.of([csv_of(frame)]) for name, frame in frames.items()}
    shown = DataSet(**frames, catalogue=catalogue, summary=data.summary, files=files)
    text = f"{identity(catalogue)} {sorted(shown.files_sha256.items())}"
    fingerprint = hashlib.sha256(text.encode()).hexdigest()[:12]
    return dataclasses.replace(shown, summary=_summary(data.summary, fingerprint, frames))


def _rows(frame: pd.DataFrame, kept: Mapping[str, Collection[str]]) -> pd.DataFrame:
    # Rows of a publication are its own, whatever they compare with.
    columns = ["publication"] if "publication" in frame else [column for column in kept if column in frame]
    for column in columns:
        frame = frame[frame[column].isin(kept[column])]
    return frame.reset_index(drop=True)


def _part(
    catalogue: Catalogue,
    own: CounterChart | Handout,
    groups: Collection[str],
    applications: Collection[str],
    refrigerants: Collection[str],
) -> Catalogue:
    company = catalogue.printing.company
    number = company.documents.get(own.printed.publication)
    stated = Company(
        name=company.name,
        documents={own.printed.publication: number} if number else {},
        disclaimer=company.disclaimer,
        cautions=company.cautions,
    )
    return dataclasses.replace(
        catalogue,
        printing=dataclasses.replace(catalogue.printing, company=stated),
        families={own.family: catalogue.families[own.family]},
        groups={name: group for name, group in catalogue.groups.items() if name in groups},
        applications={name: own for name, own in catalogue.applications.items() if name in applications},
        combinations=tuple(
            c
            for c in catalogue.combinations
            if c.family == own.family and c.group in groups and c.application in applications
        ),
        left_out=(),
        refrigerants={name: found for name, found in catalogue.refrigerants.items() if name in refrigerants},
        records={name: found for name, found in catalogue.records.items() if name in refrigerants},
        settings={},
        uncertainty={name: found for name, found in catalogue.uncertainty.items() if name in refrigerants},
        booklets=(),
        charts=(own,) if isinstance(own, CounterChart) else (),
        handouts=(own,) if isinstance(own, Handout) else (),
        files={},
        part_numbers=tuple(number for number in catalogue.part_numbers if number.family in ("", own.family)),
    )


def _summary(summary: Summary, fingerprint: str, frames: Mapping[str, pd.DataFrame]) -> Summary:
    return dataclasses.replace(
        summary,
        fingerprint=fingerprint,
        states=len(frames["states"]),
        windows=count_windows(frames["windows"]),
        group_windows=count_windows(frames["group_windows"]),
        verification={},
        groups=(),
        suggestions=(),
        warnings=(),
    )
