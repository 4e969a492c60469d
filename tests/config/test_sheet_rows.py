"""Rows of CSV and XLSX files: the line of each as an editor shows it, what is between cells, workbooks made to take hours."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tablegen.config import sheet
from tablegen.config.class_list import read_class_list
from tablegen.config.sheet import cell_number, cell_text, sheet_of, table_in
from tablegen.config.starter import read_sizes
from tablegen.config.step_file import read_step
from tablegen.errors import ConfigError


def _rows(text: str, name: str = "a.csv") -> list[tuple[int, list[object]]]:
    return table_in(sheet_of(text.encode(), name, 100, "rule"))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("begin", ["", "\ufeff"])
def test_a_row_has_the_line_that_an_editor_shows(begin: str, end: str) -> None:
    wide = ",".join(["x"] * 60) + ',"two\nlines"'
    lines = ["# remark, with a comma", "", "name,note", '"two', 'lines",x', "# remark", "b,x", wide, "c,x"]
    rows = _rows(begin + end.join(lines).replace("two\nlines", f"two{end}lines"))
    assert [(line, cell_text(row[0])) for line, row in rows] == [
        (3, "name"),
        (4, "two lines"),
        (7, "b"),
        (8, "x"),
        (10, "c"),
    ]


def _cells(data: bytes) -> list[list[object]]:
    return [row for _, row in table_in(sheet_of(data, "a.csv", 100, "rule"))]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("between", [",", "\t"])
def test_text_is_read_in_the_encodings_of_a_spreadsheet(encoding: str, between: str) -> None:
    mark = "\ufeff" if encoding.startswith("utf-16") else ""
    rows = [["name", "note"], ["Zoë Muñoz", "½ – €"]]
    text = "".join(between.join(row) + "\r\n" for row in rows)
    assert _cells((mark + text).encode(encoding)) == rows


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_another_encoding_is_refused_by_line_with_how_to_save_the_file(tmp_path: Path, end: str) -> None:
    path = tmp_path / "class.csv"
    path.write_bytes(end.join(["name", "Ana Lopez", "Zoë Muñoz"]).encode("cp1252"))
    with pytest.raises(ConfigError) as error:
        read_class_list(path)
    assert str(error.value).endswith(
        "class.csv:3: the file cannot be read: a character is not UTF-8; in your spreadsheet program, "
        "save it as 'CSV UTF-8'"
    )


def test_damaged_utf_16_is_refused_by_line() -> None:
    good = "name\nZoë\nMuñoz\n".encode("utf-16")
    for bad in (good[:-1], good[:-4] + b"\x00\xd8\n\x00"):
        with pytest.raises(ConfigError, match=r"^a\.csv:3: the file cannot be read: it is damaged UTF-16; in your"):
            _cells(bad)
    with pytest.raises(ConfigError, match=r"^a\.csv:1: .* NUL byte"):
        _cells("name\nZoë\n".encode("utf-32"))


def test_a_quote_that_is_never_closed_is_reported_where_it_begins() -> None:
    with pytest.raises(ConfigError, match=r"^a\.csv:3: the line is not CSV"):
        _rows('name,note\na,x\n"b,x\nc,x\nd,x\n')


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("name;kv\na;1,5\n", [["name", "kv"], ["a", "1,5"]]),
        ("name\tkv\na\t1.5\n", [["name", "kv"], ["a", "1.5"]]),
        ('"# a, b"\n;;\nname;kv\n', [["name", "kv"]]),
        ("name,kv\na,x;y;z\n", [["name", "kv"], ["a", "x;y;z"]]),
    ],
)
def test_the_header_says_what_is_between_cells(text: str, rows: list[list[str]]) -> None:
    assert [row for _, row in _rows(text)] == rows


def test_a_title_with_a_comma_does_not_hide_semicolons() -> None:
    sheet = sheet_of(b"Stock, March\npart;quantity\na;1,5\n", "a.csv", 9, "rule", lambda row: "quantity" in row)
    assert sheet.has_decimal_comma
    assert sheet.rows[1:] == [(2, ["part", "quantity"]), (3, ["a", "1,5"])]


def test_a_comma_in_a_tab_separated_number_is_refused() -> None:
    sheet = sheet_of(b"size\tkv_m3h\n12\t1,500\n", "a.csv", 9, "rule")
    with pytest.raises(ValueError, match="decimal point"):
        cell_number(sheet.rows[1][1][1], sheet.has_decimal_comma)


@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_sizes_and_steps_are_read_from_any_separator(tmp_path: Path, between: str) -> None:
    sizes = tmp_path / "sizes.csv"
    point = "," if between == ";" else "."
    sizes.write_text(f"# exported\n\nsize{between}kv_m3h\n12{between}0{point}012\n")
    assert [(size.name, size.kv_m3h) for size in read_sizes(sizes)] == [("12", 0.012)]
    step = tmp_path / "step.csv"
    rows = "".join(f"{t}{between}{8 + t / 10:.1f}\n".replace(".", point) for t in range(-1, 8))
    step.write_text(
        f"# opening_before: 40 percent\n# opening_after: 50 percent\ntime [s]{between}superheat [K]\n{rows}"
    )
    assert read_step(step).superheat_k[2] == pytest.approx(8.1)


def test_lines_of_a_step_are_not_moved_by_other_line_separators(tmp_path: Path) -> None:
    step = tmp_path / "step.csv"
    step.write_text(
        "# opening_before: 40 percent \x0c\u2028\n# opening_after: 50 percent\ntime [s],superheat [K]\n0,x\n"
    )
    with pytest.raises(ConfigError, match=r"step\.csv:4: '0, x' is not allowed"):
        read_step(step)


@pytest.mark.parametrize(("digits", "is_read"), [("12", True), ("1_2", False), ("\uff11\uff12", False)])
def test_only_ascii_digits_are_numbers(tmp_path: Path, digits: str, is_read: bool) -> None:
    step = tmp_path / "step.csv"
    rows = "".join(f"{t},8\n" for t in range(-1, 8))
    step.write_text(
        f"# opening_before: 40 percent\n# opening_after: 50 percent\ntime [s],superheat [K]\n{rows}{digits},8\n"
    )
    if is_read:
        assert read_step(step).time_s[-1] == 12.0
    else:
        with pytest.raises(ConfigError, match="is not allowed"):
            read_step(step)


def _workbook(*, formula: str, folder: Path) -> Path:
    book = openpyxl.Workbook()
    book.active.title = "Class"
    for row in (["name", "seed"], ["A", 1], ["B", formula]):
        book.active.append(row)
    book.save(folder / "class.xlsx")
    return folder / "class.xlsx"


def test_a_formula_without_a_stored_value_is_named(tmp_path: Path) -> None:
    with pytest.raises(ConfigError) as error:
        read_class_list(_workbook(formula="=B2+1", folder=tmp_path))
    assert str(error.value).endswith(
        "class.xlsx:3: cell B3 of sheet 'Class' has a formula without a stored value; open the workbook in your "
        "spreadsheet program and save it"
    )


@pytest.mark.parametrize(
    "stored",
    [b'<c r="B3"><f>B2+1</f><v>2</v></c>', b'<c r="B3" t="str"><f>IF(A3=0,"","")</f><v></v></c>'],
)
def test_a_formula_with_a_stored_value_is_read(tmp_path: Path, stored: bytes) -> None:
    path = _workbook(formula="=B2+1", folder=tmp_path)
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    start = sheet.index(b'<c r="B3"')
    end = sheet.index(b"</c>", start) + len(b"</c>")
    parts["xl/worksheets/sheet1.xml"] = sheet[:start] + stored + sheet[end:]
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    assert [student.name for student in read_class_list(path)] == ["A", "B"]


@pytest.mark.parametrize(
    ("part", "piece"),
    [
        ("xl/worksheets/sheet1.xml", b"<c/>"),
        ("xl/worksheets/sheet1.xml", b'<row r="1"/>'),
        ("xl/worksheets/sheet1.xml", b'<mergeCell ref="A1:A2"/>'),
        ("xl/styles.xml", b"<xf/>"),
        ("xl/sharedStrings.xml", b"<si/>"),
    ],
)
def test_a_small_workbook_of_very_many_parts_is_refused_before_it_is_read(
    monkeypatch: pytest.MonkeyPatch, part: str, piece: bytes
) -> None:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(part, piece * 3_000_000)
    assert len(data.getvalue()) < 200_000
    monkeypatch.setattr(openpyxl, "load_workbook", lambda *_, **__: pytest.fail("it is read"))
    with pytest.raises(ConfigError, match=r"^a\.xlsx: the workbook has too many cells, styles or other parts; rule"):
        sheet_of(data.getvalue(), "a.xlsx", 20_000, "rule")


@pytest.mark.slow
@pytest.mark.parametrize("cells", [b"<c/>" * 24, b"<c><v>1</v></c>" * 11])
def test_a_small_workbook_of_very_many_equal_rows_is_refused_before_it_is_read(
    monkeypatch: pytest.MonkeyPatch, cells: bytes
) -> None:
    """As large as a list of jobs may be, in less than 150 kB."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"<sheetData>" + b"<row>%s</row>" % cells * 99_000)
    assert len(data.getvalue()) < 150_000
    monkeypatch.setattr(openpyxl, "load_workbook", lambda *_, **__: pytest.fail("it is read"))
    with pytest.raises(ConfigError, match=r"^a\.xlsx: the workbook unpacks to more than 100 times its size"):
        sheet_of(data.getvalue(), "a.xlsx", 100_000, "rule")


def test_cells_that_are_not_there_are_not_looked_at_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    rows: list[tuple[int, list[object]]] = [(line, [None] * 50) for line in range(1, 1_001)]
    rows[-1][1][3] = "job"
    looked_at = []
    monkeypatch.setattr(sheet, "cell_text", lambda cell: looked_at.append(cell) or cell_text(cell))
    assert table_in(sheet.SheetRows(rows)) == rows[-1:]
    assert set(looked_at) == {"job"}


def test_a_workbook_that_states_a_wrong_size_is_read_as_it_is() -> None:
    book = openpyxl.Workbook()
    book.active.append(["name"])
    target = io.BytesIO()
    book.save(target)
    with zipfile.ZipFile(target) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = "xl/worksheets/sheet1.xml"
    parts[name] = parts[name].replace(b'<dimension ref="A1:A1"', b'<dimension ref="A1:XFD1048576"')
    assert b"XFD1048576" in parts[name]
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for part, content in parts.items():
            archive.writestr(part, content)
    assert [row[0] for _, row in sheet_of(target.getvalue(), "a.xlsx", 9, "rule").rows] == ["name"]
