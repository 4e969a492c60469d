"""What a booklet's file may choose, and one line for each choice that cannot be."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.model.booklet_contents import USUAL_SECTIONS
from tests.small import DEMO

BOOKLET = "publications/booklet.yaml"
# What is added to the file: the line with the problem, its key, parts of the message.
CASES = {
    "a section that is not one": (
        "sections: [tables, methods]",
        "sections[1]",
        ("'methods' is not allowed", "did you mean method?"),
    ),
    "no tables": ("sections: [how_to_read, families]", "sections", ("'tables' is missing", "cautions")),
    "no section at all": ("sections: []", "sections", ("at least 1",)),
    "a section twice": ("sections: [tables, method, tables]", "sections[2]", ("it is listed twice",)),
    "one chapter in two forms": (
        "sections: [tables, confidence, confidence_table]",
        "sections[2]",
        ("the chapter is listed twice",),
    ),
    "a chapter here and there": (
        "sections: [tables, method]\nseparate: [verification, method]",
        "separate[1]",
        ("the chapter is listed twice",),
    ),
    "tables in a document of their own": ("separate: [tables]", "separate[0]", ("'tables' is not allowed",)),
    "a family that is not one": ("families: [aldr]", "families[0]", ("'aldr' is not allowed", "did you mean alder?")),
    "a family twice": ("families: [alder, alder]", "families[1]", ("it is listed twice",)),
    "a group that is not one": (
        "groups: [R448A-famly]",
        "groups[0]",
        ("'R448A-famly' is not allowed", "did you mean R448A-family?"),
    ),
    "an application that is not one": (
        "applications: [walk_in_lo]",
        "applications[0]",
        ("'walk_in_lo' is not allowed", "did you mean walk_in_low?"),
    ),
    "tables that nobody computes": (
        "groups: [R134a]\napplications: [walk_in_low]",
        "applications",
        ("nothing is left to print",),
    ),
    "rows of an application that is not one": (
        "sst_rows: {walk_in_mediun: [24 degF]}",
        "sst_rows.walk_in_mediun",
        ("'walk_in_mediun' is not allowed", "did you mean walk_in_medium?"),
    ),
    "a row that is not computed": (
        "sst_rows: {walk_in_medium: [24 degF, 25 degF]}",
        "sst_rows.walk_in_medium[1]",
        ("'25 degF' is not allowed", "nearest: 24.0 degF"),
    ),
    "rows in other steps": (
        "sst_rows: {walk_in_medium: {minimum: 10 degF, maximum: 25 degF, step: 5 delta_degF}}",
        "sst_rows.walk_in_medium.step",
        ("15.0 degF", "nearest: 14.0 degF"),
    ),
    "rows beyond those that are computed": (
        "sst_rows: {walk_in_medium: {minimum: 8 degF, maximum: 24 degF, step: 2 delta_degF}}",
        "sst_rows.walk_in_medium.minimum",
        ("'8 degF' is not allowed", "nearest: 10.0 degF"),
    ),
    "no whole steps": (
        "sst_rows: {walk_in_medium: {minimum: 10 degF, maximum: 24 degF, step: 4 delta_degF}}",
        "sst_rows.walk_in_medium",
        ("in steps of 4 delta_degF",),
    ),
    "a range without its end": (
        "sst_rows: {walk_in_medium: {minimum: 10 degF, step: 2 delta_degF}}",
        "sst_rows.walk_in_medium.maximum",
        ("the key is missing",),
    ),
    "rows in no form": ("sst_rows: {walk_in_medium: 24 degF}", "sst_rows.walk_in_medium", ("not allowed",)),
    "a temperature without its unit": (
        "sst_rows: {walk_in_medium: [24]}",
        "sst_rows.walk_in_medium[0]",
        ("24 is not allowed",),
    ),
    "a row twice": (
        "sst_rows: {walk_in_medium: [24 degF, 24 degF]}",
        "sst_rows.walk_in_medium[1]",
        ("it is listed twice",),
    ),
    "without the row of the example": (
        "sst_rows: {walk_in_medium: [10 degF, 20 degF]}",
        "sst_rows.walk_in_medium",
        ("the rows must include 24.0 degF",),
    ),
    "tables in no way that there is": ("tables: narrow", "tables", ("'narrow' is not allowed", "wide, dense, single")),
    "empty tables dropped": ("empty_tables: dropped", "empty_tables", ("printed, listed",)),
    "a title too long": (f"title: {'long ' * 20}", "title", ("at most 90",)),
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("choices") / "configs"
    shutil.copytree(DEMO, folder)
    return folder


def with_choices(folder: Path, text: str) -> Path:
    """The demo whose booklet has no rules of its own, but these choices."""
    written = (DEMO / BOOKLET).read_text(encoding="utf-8")
    path = folder / BOOKLET
    path.write_text(f"{written[: written.index('# What is computed')]}{text}\n", encoding="utf-8")
    return folder / "catalogue.yaml"


@pytest.mark.parametrize("name", CASES)
def test_a_choice_that_cannot_be_is_one_line_with_file_and_key(
    name: str, whole: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, key, parts = CASES[name]
    path = with_choices(whole, text)
    assert main(["check", "--catalogue", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    [line] = err.splitlines()
    assert re.search(rf"publications/booklet\.yaml:\d+: {re.escape(key)}: ", line), line
    for part in parts:
        assert part in line


def test_what_is_chosen_is_what_the_booklets_have(whole: Path) -> None:
    text = """title: Coolers
families: [alder, hazel]
groups: [R448A-family, R407C]
applications: [walk_in_medium]
leave_out:
  - {family: hazel, group: R407C, why: Later.}
separate: [confidence_table, method]
sst_rows: {walk_in_medium: [40 degF, 24 degF, 10 degF]}
one_for_each: family
"""
    catalogue = load_catalogue(with_choices(whole, text))
    found = {own.printed.name: own for own in catalogue.booklets}
    assert [name for name in found if not name.endswith(("si", "ip"))] == [
        "booklet",
        "booklet-alder",
        "booklet-hazel",
        "booklet-alder-engineering",
        "booklet-hazel-engineering",
    ]
    index, alder, hazel = (found[name] for name in ("booklet", "booklet-alder", "booklet-hazel"))
    assert [(part.family, part.group) for part in index.combinations] == [
        ("alder", "R448A-family"),
        ("alder", "R407C"),
        ("hazel", "R448A-family"),
    ]
    assert [rule.why for rule in index.left_out] == ["Later."]
    assert (index.has_tables, alder.has_tables, hazel.has_tables) == (False, True, True)
    # The chapter in its short form is not in the booklet in its long one.
    assert set(USUAL_SECTIONS) - set(alder.contents.sections) == {"confidence", "method"}
    engineering = found["booklet-alder-engineering"]
    assert engineering.contents.sections == ("confidence_table", "method") and not engineering.has_tables
    assert engineering.contents.title == "Coolers"
    # In the order of the table's rows, exactly as they are computed.
    rows = catalogue.applications["walk_in_medium"].sst_k
    assert alder.contents.sst_k == {"walk_in_medium": (rows[0], rows[7], rows[-1])}


def test_a_separate_document_has_a_number_and_a_file_of_its_own(
    whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(whole, tmp_path / "configs")
    path = with_choices(tmp_path / "configs", "separate: [method]")
    company = tmp_path / "configs" / "company.yaml"
    written = company.read_text(encoding="utf-8")
    company.write_text(written.replace("{booklet: QB-11,", "{booklet: QB-11, booklet-engineering: QB-12,"), "utf-8")
    assert main(["check", "--catalogue", str(path)]) == 0
    with_choices(tmp_path / "configs", "")
    assert main(["check", "--catalogue", str(path)]) == 2
    assert "documents.booklet-engineering: 'booklet-engineering' is not allowed" in capsys.readouterr().err
