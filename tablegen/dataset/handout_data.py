"""The data set of one handout for several students: only what the handout shows is computed, and once for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.dataset.shown import shown_by
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Handout
from tablegen.model.students import Student
from tablegen.sweep.sweep import SweepOptions


def for_students(handout: Handout, students: Sequence[Student]) -> tuple[Handout, ...]:
    """The handout of each student, with exercises of its own."""
    return tuple(
        replace(handout, seed=own.seed, printed=replace(handout.printed, name=f"{handout.printed.name}-{number}"))
        for number, own in enumerate(students, start=1)
    )


def handout_catalogue(catalogue: Catalogue, handouts: Sequence[Handout]) -> Catalogue:
    """What handouts of one table are made from: its family and group in every application that has them.

    Of other applications windows are compared with the table's.
    """
    first = handouts[0]
    parts = tuple(c for c in catalogue.combinations if (c.family, c.group) == (first.family, first.group))
    applications = {part.application for part in parts}
    members = catalogue.groups[first.group].members
    return replace(
        catalogue,
        families={first.family: catalogue.families[first.family]},
        groups={first.group: catalogue.groups[first.group]},
        applications={name: own for name, own in catalogue.applications.items() if name in applications},
        combinations=parts,
        refrigerants={name: own for name, own in catalogue.refrigerants.items() if name in members},
        booklets=(),
        charts=(),
        labels=(),
        handouts=tuple(handouts),
    )


def handout_data(catalogue: Catalogue, handouts: Sequence[Handout], options: SweepOptions) -> DataSet:
    """The data that some handouts of one table and one publication show.

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    return shown_by(compute(handout_catalogue(catalogue, handouts), options), handouts[0].printed.publication)
