"""Lists of part numbers: how rows name what they are for, and what is wrong with them, by line."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import openpyxl
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.errors import ConfigError
from tests.demo import CATALOGUE
from tests.worked import WORKED

ALDER = [
    "pick",
    "R448A",
    "--sst",
    "24 degF",
    "--load",
    "20 kBtu/h",
    "--family",
    "alder",
    "--application",
    "walk_in_medium",
    "--catalogue",
    str(WORKED),
]
CHOSEN = ["--capillary", "10 ft"]


def order(capsys, path: Path, *more: str) -> str:
    assert main([*ALDER, *more, "--part-numbers", str(path)]) == 0
    return " ".join(capsys.readouterr().out.split("\nTo order\n")[1].split("\n\n")[0].split())


@pytest.mark.parametrize(
    "rows",
    [
        "Part number,Family,Size\nA-3,ALDER,90\n",
        "part_number;family;size;stock\nA-3;alder;90;12\n",
        "PART NUMBER,family,size,charge\nA-3,alder,90,cross-448-medium\n",
        'part_number,size,charge\nA-3,90,"cross charge for R448A, R449A, R407A and R407F, medium temperature"\n',
        "part_number,family,size,equalizer,price\nA-3,Alder,90,External,1.50\n",
        "part_number,family\nA-3,Alder\nA-4,Rowan\n",
        "part_number,family,size,equalizer\nA-3,alder,90,external\nA-3,alder,90,internal\nA-3,alder,,\n",
    ],
    ids=["any case", "semicolons", "charge by key", "charge by title", "other columns", "family alone", "one valve"],
)
def test_rows_name_what_they_are_for_by_key_or_name(rows, capsys, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(rows, encoding="utf-8")
    assert "; part number A-3; " in order(capsys, path)


@pytest.mark.parametrize("length", ["10 ft", "3.048 m", "3050 mm", "120 in"])
def test_lengths_are_in_any_unit(length, capsys, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text(f"part_number,family,capillary\nA-10,alder,{length}\nA-5,alder,5 ft\n", encoding="utf-8")
    assert "; part number A-10; " in order(capsys, path, *CHOSEN)


def test_a_workbook_does_as_well(capsys, tmp_path):
    book = openpyxl.Workbook()
    for row in (["Part-Number", "Family", "Size", "Remark"], [4711, "Alder", 90, None], [4712, "Alder", 63.0, "x"]):
        book.active.append(row)
    book.save(tmp_path / "list.xlsx")
    assert "; part number 4711; " in order(capsys, tmp_path / "list.xlsx")


def test_a_choice_that_a_part_number_depends_on_is_not_guessed(capsys, tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("part_number,family,size,capillary_m\nA-2,Alder,90,3.048\n", encoding="utf-8")
    assert "part number: depends on the choices above" in order(capsys, path)
    assert "; part number A-2; " in order(capsys, path, *CHOSEN)
    assert "part number: none in the list for this valve" in order(capsys, path, "--capillary", "5 ft")


BAD = {
    "family": ("part_number,family\nA-1,Aldr\n", "2: family: 'Aldr' is not allowed", "did you mean alder?"),
    "size": (
        "part_number,family,size\nA-1,Alder,90\nA-2,Alder,91\n",
        "3: size: '91' is not allowed",
        "a size of Alder",
    ),
    "size of another": ("part_number,family,size\nA-1,Alder,6.3\n", "2: size: '6.3' is not allowed", "a size of Alder"),
    "charge": (
        "part_number,family,charge\nA-1,Alder,cross-448-med\n",
        "2: charge: 'cross-448-med'",
        "did you mean cross-448-medium?",
    ),
    "connections": (
        "part_number,family,connections\nA-1,Rowan,1 in flare\n",
        "2: connections: '1 in flare' is not allowed",
        "Rowan",
    ),
    "no unit": ("part_number,capillary\nA-1,5\n", "2: capillary: 5 is not allowed", "it has no unit"),
    "no such length": ("part_number,capillary\nA-1,7 ft\n", "2: capillary: '7 ft' is not allowed", "1.524 m (5 ft)"),
    "twice": ("part_number,size\nA-1,90\n\nA-2,90\n", "4: the row is for the same valve as line 2", ""),
    "two families": (
        "part_number,family,size\nA-1,Alder,90\nA-1,Rowan,4\n",
        "3: part_number: part number 'A-1' is that of another valve in line 2",
        "",
    ),
    "two sizes": (
        "Part number,family,size\nA-1,Alder,90\nA-2,Alder,63\nA-1,Alder,45\n",
        "4: Part number: part number 'A-1' is that of another valve in line 2",
        "",
    ),
    "no number": ("part_number,size\n,90\n", "2: part_number: '' is not allowed", "1 to 40"),
    "slip in a column": ("part_number,famly\nA-1,Alder\n", "1: famly: 'famly' is not allowed", "did you mean family?"),
    "old name": (
        "Article,family\nA-1,Alder\n",
        "1: article: the column is now called part_number; 'tablegen upgrade' renames it in a CSV list",
        "",
    ),
    "no part number": ("family\nAlder\n", "1: part_number: the column is missing", ""),
}


@pytest.mark.parametrize("case", BAD)
def test_what_matches_nothing_is_reported_by_line(case, tmp_path):
    rows, message, hint = BAD[case]
    path = tmp_path / "list.csv"
    path.write_text(rows, encoding="utf-8")
    with pytest.raises(ConfigError) as error:
        load_catalogue(WORKED, Selection(part_numbers=path))
    [shown] = map(str, error.value.problems)
    assert f"list.csv:{message}" in shown and hint in shown


def test_a_list_that_is_missing_is_reported(capsys, tmp_path):
    assert main([*ALDER, "--part-numbers", str(tmp_path / "none.csv")]) == 2
    assert "none.csv: the file does not exist" in capsys.readouterr().err


def test_the_catalogue_s_own_list_is_checked(capsys, tmp_path):
    folder = shutil.copytree(CATALOGUE.parent, tmp_path / "configs")
    path = folder / "part_numbers.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([*lines, "QX-1,Alder,91,,"]) + "\n", encoding="utf-8")
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    assert f"part_numbers.csv:{len(lines) + 1}: size: '91' is not allowed" in capsys.readouterr().err
    path.unlink()
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    shown = capsys.readouterr().err
    assert "part_numbers: 'part_numbers.csv' is not allowed; the file does not exist in the catalogue's folder" in shown
    assert re.match(r".*catalogue\.yaml:[0-9]+: part_numbers: ", shown) and shown.count("\n") == 1
    text = (folder / "catalogue.yaml").read_text(encoding="utf-8")
    (folder / "catalogue.yaml").write_text(
        text.replace("part_numbers: part_numbers.csv", "part_numbers: ../list.csv"), "utf-8"
    )
    assert main(["check", "--catalogue", str(folder / "catalogue.yaml")]) == 2
    assert (
        "part_numbers: '../list.csv' is not allowed; must be a file in the catalogue's folder"
        in capsys.readouterr().err
    )


def test_one_case_of_the_demo_has_the_whole_list():
    selection = Selection(refrigerant="R448A")
    assert load_catalogue(CATALOGUE, selection).part_numbers == load_catalogue(CATALOGUE).part_numbers
