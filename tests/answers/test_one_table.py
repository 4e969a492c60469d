"""One table as a draft: its figures are those of the whole data set, its words those of the booklet."""

import functools
import math
from dataclasses import replace

import numpy as np
import pytest

from tablegen.answers.one_table import one_table
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute, compute_windows
from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import mixed_charges
from tablegen.model.publications import Combination
from tablegen.report.answers.draft import answer_of_table
from tablegen.report.draft_table import DraftTable
from tablegen.report.pages.front import confidence_sentence
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import TableConditions, valve_facts
from tablegen.report.window_texts import DASH, limit_notes, marks_of, reading_note, reason_notes, table_rows
from tests.demo import CATALOGUE, booklet_publication, demo_catalogue, demo_data, page_texts, short_booklet
from tests.small import HARD

TEXTS = ("size", "group", "min_member", "max_member", "min_condition", "max_condition", "min_reason", "max_reason")
FIGURES = ("kv_rated_m3h", "sst_k", "min_load_w", "max_load_w")


@functools.cache
def hard_catalogue() -> Catalogue:
    return load_catalogue(HARD / "catalogue.yaml")


@functools.cache
def windows_of(name: str) -> tuple[Catalogue, dict[str, object]]:
    """A catalogue with all its windows, of groups and of refrigerants, as its files have them."""
    if name == "demo":
        return demo_catalogue(), {"group": demo_data().group_windows, "refrigerant": demo_data().windows}
    catalogue = hard_catalogue() if name == "hard" else at_confidence()
    tables = compute_windows(catalogue, scattered=scattered_in(catalogue))
    return catalogue, {
        "group": frame_of(csv_of(tables.group_windows)),
        "refrigerant": frame_of(csv_of(tables.windows)),
    }


def printable(catalogue: Catalogue) -> list[Combination]:
    """The tables that may be printed: a group with different bulb charges is refused where there is a publication."""
    mixed = mixed_charges(catalogue)
    return [part for part in catalogue.combinations if (part.family, part.group) not in mixed]


def at_confidence() -> Catalogue:
    """Two applications of the demo, their tables at confidence."""
    own = demo_catalogue()
    few = tuple(c for c in own.combinations if c.application in ("walk_in_medium", "walk_in_low_fixed"))
    assert own.confidence is not None
    return replace(own, combinations=few, confidence=replace(own.confidence, is_printed=True, samples=256))


# Every so many tables of a catalogue.
EVERY = [pytest.param(5, id="some"), pytest.param(1, id="all", marks=pytest.mark.slow)]


@pytest.mark.slow
@pytest.mark.parametrize("every", EVERY)
@pytest.mark.parametrize("name", ["demo", "hard", "at confidence"])
def test_tables_have_the_figures_of_the_data_set(name, every):
    catalogue, frames = windows_of(name)
    frame, tables = frames["group"], 0
    for part in printable(catalogue)[::every]:
        own = frame[
            (frame[["family", "group", "application"]] == [part.family, part.group, part.application]).all(axis=1)
        ]
        table = one_table(catalogue, part.family, part.group, part.application).windows
        for column in TEXTS:
            assert table[column].tolist() == own[column].tolist(), (part, column)
        for column in FIGURES:
            np.testing.assert_allclose(table[column], own[column].to_numpy(), rtol=1e-14, err_msg=str((part, column)))
        tables += 1
    assert tables > 5 / every


@pytest.mark.parametrize("every", EVERY)
@pytest.mark.parametrize("name", ["demo", "hard", "at confidence"])
def test_a_refrigerant_alone_has_its_own_windows(name, every):
    catalogue, frames = windows_of(name)
    frame, seen = frames["refrigerant"], 0
    for part in catalogue.combinations[::every]:
        member = catalogue.groups[part.group].members[-1]
        if member in catalogue.groups:
            continue
        keys = ["family", "refrigerant", "application"]
        own = frame[(frame[keys] == [part.family, member, part.application]).all(axis=1)]
        table = one_table(catalogue, part.family, member, part.application).windows
        assert set(table["group"]) == set(table["min_member"]) == {member}
        for column in ("min_load_w", "max_load_w"):
            np.testing.assert_allclose(table[column], own[column].to_numpy(), rtol=1e-14)
        # A window whose limits cross is called so in a table alone.
        opened = own["max_load_w"].notna().to_numpy()
        assert table["max_reason"][opened].tolist() == own["max_reason"][opened].tolist()
        seen += 1
    assert seen > 3 / every


@pytest.mark.parametrize("units", ["IP", "SI"])
def test_cells_conditions_and_notes_are_the_booklets(units):
    name = {"IP": "booklet", "SI": "booklet-a4-si"}[units]
    publication = booklet_publication(demo_data(), name)
    assert publication.formatter.system == units
    for part in demo_catalogue().combinations:
        agree(publication, part, demo_catalogue())


@pytest.mark.slow
@pytest.mark.parametrize("every", EVERY)
def test_so_they_are_for_the_hard_cases(every):
    publication = Publication.of(compute(hard_catalogue()))
    for part in printable(hard_catalogue())[::every]:
        agree(publication, part, hard_catalogue())


def agree(publication: Publication, part: Combination, catalogue: Catalogue) -> None:
    """The draft of a table says what the pages of the table say."""
    table = one_table(catalogue, part.family, part.group, part.application)
    draft = DraftTable(inputs=catalogue, table=table, formatter=publication.formatter)
    answer = answer_of_table(draft, "tablegen")
    rows = publication.windows(part)
    marks = marks_of(publication.formatter, rows)
    difference_k = catalogue.applications[part.application].coil_temperature_difference_k
    printed = table_rows(publication.formatter, rows, marks, difference_k=difference_k)
    cells = [
        [
            row.label,
            *([row.box] if row.box else []),
            *(cell if isinstance(cell, str) else DASH.join(cell) for cell in row.cells),
        ]
        for row in printed
    ]
    grid = answer.table("load_windows")
    assert grid.cells() == cells
    assert [
        label.partition(" ")[0].replace("\N{NO-BREAK SPACE}", " ") for label in grid.labels()[grid.names :]
    ] == list(dict.fromkeys(row.size for row in rows))
    conditions = TableConditions.of(publication, part).facts() + valve_facts(publication, part)
    assert [(fact.label, fact.value.text) for fact in answer.facts if fact.label] == conditions
    notes = [*reason_notes(marks, printed), *limit_notes(publication, part, rows)]
    # Not where the booklet's chapter on confidence is.
    reading = reading_note(publication, part, rows, confidence_sentence(publication)).partition("Limits are")[0]
    assert answer.notes[0].startswith(reading)
    assert list(answer.notes[1:]) == notes
    assert answer.heading.startswith(publication.full_title(part))


@pytest.mark.slow
def test_a_page_of_the_booklet_prints_the_cells_of_the_draft():
    catalogue = load_with(CATALOGUE, "walk_in_medium", (), refrigerant="R448A-family")
    table = one_table(catalogue, "alder", "R448A-family", "walk_in_medium")
    formatter = booklet_publication(demo_data(), "booklet-a4-si").formatter
    answer = answer_of_table(DraftTable(inputs=catalogue, table=table, formatter=formatter), "tablegen")
    # In print the box is before the SST.
    lines = [" ".join((box, sst, *row, sst)) for sst, box, *row in answer.table("load_windows").cells()]
    pages = [" ".join(text.split()) for text in page_texts(short_booklet("SI", "a4"))]
    assert len([page for page in pages if all(line in page for line in lines)]) == 1


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (("aldr", "R448A", "walk_in_medium"), "'aldr' is not allowed; a family must be one of .*did you mean alder"),
        (("alder", "R448", "walk_in_medium"), "'R448' is not allowed; .*did you mean R448A"),
        (("alder", "R448A", "walkin_medium"), "'walkin_medium' is not allowed; .*did you mean walk_in_medium"),
    ],
)
def test_a_name_that_is_not_known_is_refused_with_the_nearest(asked, message):
    with pytest.raises(RequestError, match=message):
        one_table(demo_catalogue(), *asked)


def test_a_table_that_a_rule_leaves_out_is_refused_with_the_reason():
    catalogue = demo_catalogue()
    combined = {(c.family, c.group, c.application) for c in catalogue.combinations}
    refused = 0
    for family in catalogue.families:
        for group in catalogue.groups:
            for application in catalogue.applications:
                if (family, group, application) not in combined:
                    with pytest.raises(RequestError, match=r"not offered for|no valve is offered"):
                        one_table(catalogue, family, group, application)
                    refused += 1
    assert refused


def test_a_group_whose_members_take_different_charges_is_refused():
    catalogue = demo_catalogue()
    mixed = replace(
        catalogue,
        groups={
            **catalogue.groups,
            "R448A-family": replace(catalogue.groups["R448A-family"], members=("R448A", "R404A")),
        },
    )
    with pytest.raises(RequestError, match="different bulb charges for the members"):
        one_table(mixed, "alder", "R448A-family", "walk_in_medium")


@pytest.mark.slow
def test_every_window_without_limits_has_a_reason():
    catalogue, frames = windows_of("hard")
    assert frames["group"]["max_load_w"].isna().any()
    for part in printable(catalogue):
        table = one_table(catalogue, part.family, part.group, part.application).windows
        for load, reason in zip(table["max_load_w"], table["max_reason"], strict=True):
            assert not math.isnan(load) or reason
