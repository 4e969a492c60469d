"""Class lists that teachers write: what is read, and each row that cannot be used by its line."""

import io
from pathlib import Path

import openpyxl
import pytest

from tablegen.config.class_list import read_class_list
from tablegen.errors import ConfigError
from tablegen.model.students import ListedStudent


def written(folder: Path, text: str) -> Path:
    path = folder / "class.csv"
    path.write_text(text, encoding="utf-8")
    return path


def read(folder: Path, text: str) -> list[ListedStudent]:
    return read_class_list(written(folder, text))


def test_names_numbers_and_seeds(tmp_path):
    found = read(tmp_path, "# Class 2B\nNo.;Last name;First name;Seed;Remark\n7;Lopez;Ana;;new\n12;Okafor;Ben;4711;\n")
    assert found == [ListedStudent("Ana Lopez", 3, None, "7"), ListedStudent("Ben Okafor", 4, 4711, "12")]


def test_numbers_alone_and_a_workbook(tmp_path):
    assert [own.name for own in read(tmp_path, "Student ID\n7\n12\n")] == ["7", "12"]
    book = openpyxl.Workbook()
    for row in (["Name", "Seed"], ["Ana Lopez", 4711.0], [None, None], ["  Ben   Okafor ", None]):
        book.active.append(row)
    stream = io.BytesIO()
    book.save(stream)
    (tmp_path / "class.xlsx").write_bytes(stream.getvalue())
    assert read_class_list(tmp_path / "class.xlsx") == [
        ListedStudent("Ana Lopez", 2, 4711),
        ListedStudent("Ben Okafor", 4),
    ]


@pytest.mark.parametrize(
    ("header", "row"),
    [
        ("First;Last", "Ana;Lopez"),
        ("Last,First", "Lopez,Ana"),
        ("Name;Vorname", "Lopez;Ana"),
        ("Nom;Prénom", "Lopez;Ana"),
        ("Nombre;Apellidos", "Ana;Lopez"),
        ("Nachname;Vorname", "Lopez;Ana"),
        ("Name,First name", "Ana Lopez,Ana"),
        ("Name,First name,Last name", "Ana Lopez,Ana,Lopez"),
    ],
)
def test_headings_of_school_programs(header, row, tmp_path):
    """A class register's two columns, in the languages that are printed: "Name" beside a first name is the family name."""
    assert read(tmp_path, f"{header}\n{row}\n") == [ListedStudent("Ana Lopez", 2)]


@pytest.mark.parametrize("header", ["#,Student", '"#","Student"', "#;Student", "#\tStudent", "# ,Student"])
def test_a_number_sign_is_a_heading_and_begins_remarks(header, tmp_path):
    between = next(sign for sign in ",;\t" if sign in header)
    text = f"# Class 2B\n#\n{header}\n7,Ana\n# moved,away\n12,Ben\n".replace(",", between)
    assert read(tmp_path, text) == [ListedStudent("Ana", 4, None, "7"), ListedStudent("Ben", 6, None, "12")]


def test_a_number_is_no_part_of_a_printed_name(tmp_path):
    """A school's export: titles above the headings, two students of one name, one who has a number alone."""
    found = read(
        tmp_path,
        'Rio Bend College\nHVACR 214,spring,,\nID,Student,Email\n0012,"Brown, Tyler",a\n0013,"brown,  Tyler",b\n0014,"Lopez, Ana",\n0015,,\n',
    )
    assert found == [
        ListedStudent("Brown, Tyler", 4, None, "0012"),
        ListedStudent("brown, Tyler (2)", 5, None, "0013"),
        ListedStudent("Lopez, Ana", 6, None, "0014"),
        ListedStudent("0015", 7),
    ]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ("7,Ana\n8,Ben\n7,Ana\n", "class.csv:4: .*the row repeats line 2: delete the row"),
        ("7,Ana\n7,ana\n", "class.csv:3: .*it is also in line 2: add a number or an initial"),
        ("7,Ana\n,Ana\n", "class.csv:3: .*it is also in line 2: add a number or an initial"),
    ],
)
def test_who_is_listed_twice_is_reported(rows, message, tmp_path):
    with pytest.raises(ConfigError, match=message):
        read(tmp_path, f"ID,Student\n{rows}")


def test_a_workbook_with_a_title_above_its_headings(tmp_path):
    book = openpyxl.Workbook()
    for row in (["Rio Bend College"], [None], ["Student", "ID"], ["Ana Lopez", 7.0]):
        book.active.append(row)
    book.save(tmp_path / "class.xlsx")
    assert read_class_list(tmp_path / "class.xlsx") == [ListedStudent("Ana Lopez", 4, None, "7")]


def test_every_row_that_cannot_be_used_is_named_by_its_line(tmp_path):
    text = (
        "name,seed\nAna Lopez,\nana  LOPEZ,\n,12\nBen\x07,\n李明,\nCem,1.5\nDee,-1\nEva,x\n"
        + "F" * 61
        + ",\nAna Lopez,5\n"
    )
    with pytest.raises(ConfigError) as found:
        read(tmp_path, text)
    lines = str(found.value).splitlines()
    assert [int(line.split(":")[1]) for line in lines] == [3, 4, 5, 6, 7, 8, 9, 10]
    for line, part in zip(
        lines,
        ("in line 2", "a name or a number", "control", "U+674E", "4294967295", "4294967295", "'x'", "at most 60"),
        strict=True,
    ):
        assert part in line
        assert ("in a column 'number'" in line) is (part == "U+674E")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "the first row must name the columns"),
        ("Ana Lopez\nBen\n", "one of them 'name'.*it has Ana Lopez"),
        ("nmae\nBen\n", "did you mean name"),
        ("name\n", "no students below its headings"),
        ("name,pupil\nAna,Ana\n", "name"),
        ("name\n" + "".join(f"P{i}\n" for i in range(501)), "at most 500 students"),
    ],
)
def test_a_list_that_cannot_be_used(text, message, tmp_path):
    with pytest.raises(ConfigError, match=message):
        read(tmp_path, text)


def test_a_file_of_another_kind_or_none(tmp_path):
    (tmp_path / "class.txt").write_text("name\nAna\n", encoding="utf-8")
    for name in ("class.txt", "none.csv", "."):
        with pytest.raises(ConfigError):
            read_class_list(tmp_path / name)
