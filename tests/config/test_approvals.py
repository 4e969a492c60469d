"""What a family is approved for: in its file, in what is combined, and in every answer."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tests.small import Edit, small_catalogue

ALDER, HAZEL = "families/alder.yaml", "families/hazel.yaml"
BOTH = "approved: {safety_groups: [A1, A2L]}"
GROUPS = {"R404A-R507A": ["R404A", "R507A"], "R448A": ["R448A"]}


def made(folder: Path, *edits: Edit, groups: dict[str, list[str]] = GROUPS) -> Path:
    return small_catalogue(folder / "mine", ["alder", "hazel"], groups, ["walk_in_medium"], edits)


@pytest.mark.parametrize(
    ("new", "message"),
    [
        ("", "approved: the key is missing; it is required"),
        ("approved: {}", "at least one refrigerant or one safety group is required"),
        ("approved: {safety_groups: [A4]}", "approved.safety_groups[0]: 'A4' is not allowed"),
        ("approved: {refrigerants: [R448]}", "approved.refrigerants[0]: 'R448' is not allowed; a refrigerant must be"),
        ("approved: {refrigerants: [R448]}", "did you mean R448A?"),
        (
            "approved: {refrigerants: [R404A, R507A]}",
            "'R448A' is not allowed; not approved for R448A (A1); approved for R404A, R507A (see 'approved')",
        ),
    ],
)
def test_problems_are_one_line_with_file_and_key(new: str, message: str, tmp_path: Path, capsys) -> None:
    path = made(tmp_path, (ALDER, BOTH, new))
    assert main(["check", "--catalogue", str(path)]) == 2
    lines = [line for line in capsys.readouterr().err.splitlines() if message in line]
    assert lines and "alder.yaml:" in lines[0]


def test_an_electronic_family_is_offered_for_what_it_is_approved_for_alone(tmp_path: Path, capsys) -> None:
    path = made(tmp_path, (HAZEL, BOTH, "approved: {refrigerants: [R404A, R507A]}"))
    catalogue = load_catalogue(path)
    assert {(c.family, c.group) for c in catalogue.combinations} == {
        ("alder", "R404A-R507A"),
        ("alder", "R448A"),
        ("hazel", "R404A-R507A"),
    }
    why = "Not approved for R448A (A1); approved for R404A, R507A."
    assert [(rule.families, rule.groups, rule.why) for rule in catalogue.left_out] == [(("hazel",), ("R448A",), why)]
    asked = ["--sst", "24 degF", "--load", "20 kBtu/h", "--catalogue", str(path)]
    assert main(["pick", "R448A", *asked]) == 0
    assert re.search(f"Hazel +not offered +{re.escape(why)}", capsys.readouterr().out)
    assert main(["pick", "R448A", *asked, "--family", "hazel"]) == 2
    assert capsys.readouterr().err == f"Hazel is not offered for R448A in walk_in_medium: {why}\n"
    assert main(["pick", "R404A", *asked, "--family", "hazel"]) == 0


def test_a_group_with_one_member_that_is_not_approved_is_refused_by_line(tmp_path: Path, capsys) -> None:
    """A group is one table and one valve on the shelf: it must be approved for every member, or the family is left out for it."""
    groups = {"mixed": ["R404A", "R448A"], "R507A": ["R507A"]}
    edits = [(HAZEL, BOTH, "approved: {refrigerants: [R404A, R507A]}")]
    path = small_catalogue(tmp_path / "mine", ["hazel"], groups, ["walk_in_medium"], edits)
    assert main(["check", "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err
    assert "groups.yaml:2: groups.mixed.members: Hazel cannot be offered for the group: Not approved for R448A" in err
    rule = "leave_out:\n  - {family: hazel, group: mixed, why: Not for R448A.}\n"
    path = small_catalogue(tmp_path / "ruled", ["hazel"], groups, ["walk_in_medium"], edits, more=rule)
    assert main(["check", "--catalogue", str(path)]) == 0


def test_a_group_whose_members_take_different_charges_is_refused_by_line(tmp_path: Path, capsys) -> None:
    """Its table would name one charge, and whoever has the other refrigerant would order the wrong one."""
    groups = {"one": ["R404A", "R507A", "R448A"]}
    path = small_catalogue(tmp_path / "mine", ["alder"], groups, ["walk_in_medium"])
    assert main(["check", "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err
    assert "groups.yaml:2: groups.one.members: Alder needs different bulb charges for the members" in err
    assert "cross-404-medium for R404A, cross-404-medium for R507A, cross-448-medium for R448A" in err
    asked = ["pick", "one", "--sst", "24 degF", "--load", "20 kBtu/h", "--catalogue", str(path)]
    assert main(asked) == 2
    assert "needs different bulb charges for the members of one" in capsys.readouterr().err
    # An electronic valve has no charge to differ.
    path = small_catalogue(tmp_path / "electronic", ["hazel"], groups, ["walk_in_medium"])
    assert main(["check", "--catalogue", str(path)]) == 0


def test_a_table_without_a_charge_is_noted_by_check(tmp_path: Path, capsys) -> None:
    path = small_catalogue(tmp_path / "mine", ["rowan", "hazel"], {"R407C": ["R407C"]}, ["walk_in_medium"])
    assert main(["check", "--catalogue", str(path)]) == 0
    err = capsys.readouterr().err
    assert err.startswith("note: rowan, R407C, walk_in_medium: the family has no bulb charge for it")
    assert err.count("\n") == 1


def test_nothing_left_is_an_error(tmp_path: Path, capsys) -> None:
    edits = [(ALDER, BOTH, "approved: {safety_groups: [A1]}"), (HAZEL, BOTH, "approved: {refrigerants: [R22]}")]
    path = small_catalogue(tmp_path / "mine", ["hazel"], {"R448A": ["R448A"]}, ["walk_in_medium"], edits)
    assert main(["check", "--catalogue", str(path)]) == 2
    assert "no family is approved for the refrigerants of any group" in capsys.readouterr().err
