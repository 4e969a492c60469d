"""The written workbook: what a reader finds in it, and that its parts fit together as the standard wants them."""

import datetime
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

from tablegen.report.xlsx import BOLD, INPUT, NUMBER, TOP, Choice, Formula, Properties, Sheet, Value, workbook_at

PROPERTIES = Properties("A & B", 'The "first" <Company>', "Notice\x00", datetime.date(2024, 2, 29))
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
# The order of the children of a worksheet, as far as they are written.
CHILDREN = [
    *("sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "autoFilter", "dataValidations"),
    *("pageMargins", "pageSetup", "headerFooter"),
]
VALUES: list[list[Value]] = [
    ["plain", " spaces around ", "two\nlines", "<r><t>no markup</t></r>", "A & B", "caf\u00e9 \U0001f600"],
    ["=1+1", "+1", "-1", "@A1", "\t=1", "#REF!"],
    ["\x01=1+1", "a\x00b\ud800c\uffff", "one\u00a0space", "'quoted'", '"', "]]>"],
    [0.1, 1e-9, 12345678.25, -0.5, 100.0, 1.0 / 3.0],
    [None, "", 0.0, None, "", "end"],
]


def written(path: Path, rows: list[list[Value]], **options: object) -> Path:
    sheets = [Sheet(title="First", widths=[9.5] * len(rows[0]), **options), Sheet(title="It's", widths=[8], filtered=1)]
    with workbook_at(path, PROPERTIES) as book:
        book.write(sheets[0], len(rows), (((0,) * len(row), row) for row in rows))
        book.write(sheets[1], 2, [((BOLD + TOP,), [""]), ((0,), ["last"])])
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    choices = [
        Choice(cell="A2", kind="list", formula="'It''s'!$A$1:$A$2", message="Choose <one>."),
        Choice(cell="B2", kind="decimal", formula="0", message="Above 0 only."),
        Choice(cell="C2", kind="decimal", formula="1", upper="9", is_strict=False),
    ]
    return written(
        tmp_path / "book.xlsx",
        VALUES,
        frozen=(1, 2),
        filtered=1,
        repeated=1,
        footer=("A && B", "&P 1"),
        choices=choices,
    )


def test_every_value_is_read_as_it_was_written(path):
    rows = [list(row) for row in openpyxl.load_workbook(path)["First"].iter_rows(values_only=True)]
    expected = [[value or None if isinstance(value, str) else value for value in row] for row in VALUES]
    expected[2][:3] = ["=1+1", "abc", "one space"]
    assert rows == expected


def test_what_looks_like_a_formula_is_a_quoted_text(path):
    sheet = openpyxl.load_workbook(path)["First"]
    for cell in (*sheet[2], sheet["A3"]):
        assert (cell.data_type, cell.quotePrefix) == ("s", True)
    assert not any(cell.quotePrefix for row in (1, 4) for cell in sheet[row])
    with zipfile.ZipFile(path) as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")


def test_a_text_that_looks_like_an_escape_stays_what_it_is(tmp_path):
    with zipfile.ZipFile(written(tmp_path / "b.xlsx", [["_x0041_ and _x00zz_"]])) as archive:
        assert b">_x005F_x0041_ and _x00zz_<" in archive.read("xl/sharedStrings.xml")


def test_parts_refer_to_each_other_as_the_standard_wants(path):
    with zipfile.ZipFile(path) as archive:
        parts = {name: ElementTree.fromstring(archive.read(name)) for name in archive.namelist()}
    overridden = {e.get("PartName") for e in parts["[Content_Types].xml"] if e.tag.endswith("Override")}
    assert overridden == {f"/{name}" for name in parts if not name.startswith("[") and not name.endswith(".rels")}
    targets = {e.get("Id"): e.get("Target") for e in parts["xl/_rels/workbook.xml.rels"]}
    assert {f"xl/{target}" for target in targets.values()} < set(parts)
    assert {e.get("Target") for e in parts["_rels/.rels"]} == {"xl/workbook.xml", "docProps/core.xml"}
    for i in (1, 2):
        children = [child.tag.removeprefix(MAIN) for child in parts[f"xl/worksheets/sheet{i}.xml"]]
        assert children == [name for name in CHILDREN if i == 1 or name != "dataValidations"]
    styles = parts["xl/styles.xml"]
    for kind in ("fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles"):
        found = styles.find(f"{MAIN}{kind}")
        assert found is not None and int(found.get("count", 0)) == len(found)


def test_views_filters_and_styles_are_found_again(path):
    book = openpyxl.load_workbook(path)
    first, second = book.worksheets
    assert (first.freeze_panes, first.auto_filter.ref, second.auto_filter.ref) == ("C2", "A1:F5", "A1:A2")
    assert first.column_dimensions["A"].width == 9.5
    assert (second["A1"].font.bold, second["A1"].alignment.wrap_text, second["A2"].font.bold) == (True, True, False)
    assert (book.properties.title, book.properties.creator) == (PROPERTIES.title, PROPERTIES.creator)
    assert book.properties.description == "Notice"


def test_columns_after_z_and_rows_beyond_one_piece(tmp_path):
    rows: list[list[Value]] = [[float(100 * row + column) for column in range(60)] for row in range(600)]
    sheet = openpyxl.load_workbook(written(tmp_path / "wide.xlsx", rows))["First"]
    assert (sheet["AA1"].value, sheet["BH600"].value, sheet.dimensions) == (26, 59959, "A1:BH600")


def test_a_printed_page_lies_on_its_side_and_has_the_heading_and_the_footer(path):
    sheet, second = openpyxl.load_workbook(path).worksheets
    assert (sheet.print_title_rows, second.print_title_rows) == ("$1:$1", None)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert (sheet.page_setup.orientation, sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (
        "landscape",
        1,
        0,
    )
    footer = sheet.oddFooter
    # No text of a footer is a code.
    assert (footer.left.text, footer.center.text, footer.right.text) == ("A &&&& B", "&&P 1", "&P / &N")


@pytest.mark.parametrize("text", ["&" * 300, "x" + "&" * 300, "y" * 300, "&\n" * 200])
def test_a_long_footer_is_cut_to_what_a_reader_allows(text, tmp_path):
    with zipfile.ZipFile(written(tmp_path / "b.xlsx", [["a"]], footer=(text, text))) as archive:
        footer = ElementTree.fromstring(archive.read("xl/worksheets/sheet1.xml")).find(f".//{MAIN}oddFooter")
    assert footer is not None and footer.text is not None
    assert len(footer.text) <= 255 and footer.text.endswith("\N{HORIZONTAL ELLIPSIS}&R&P / &N")
    assert set(re.findall("&(?:&|.)", footer.text)) <= {"&&", "&L", "&C", "&R", "&P", "&N"}


def test_a_formula_has_its_value_for_readers_that_do_not_compute(tmp_path):
    rows: list[list[Value]] = [[2.0, Formula('IF(A1<3,"<&>","")', "<&>"), Formula("A1*2", 4.0), "=A1*2"]]
    path = written(tmp_path / "b.xlsx", rows)
    assert [c.value for c in openpyxl.load_workbook(path)["First"][1]] == [2, '=IF(A1<3,"<&>","")', "=A1*2", "=A1*2"]
    cached = openpyxl.load_workbook(path, data_only=True)["First"][1]
    assert [c.value for c in cached] == [2, "<&>", 4, "=A1*2"]
    assert [c.data_type for c in openpyxl.load_workbook(path)["First"][1]] == ["n", "f", "f", "s"]


def test_what_may_be_typed_into_a_cell(path):
    sheet = openpyxl.load_workbook(path)["First"]
    rules = {str(rule.sqref): rule for rule in sheet.data_validations.dataValidation}
    assert (rules["A2"].type, rules["A2"].formula1, rules["A2"].error) == ("list", "'It''s'!$A$1:$A$2", "Choose <one>.")
    assert (rules["B2"].type, rules["B2"].operator, rules["B2"].formula1) == ("decimal", "greaterThan", "0")
    assert (rules["C2"].formula1, rules["C2"].formula2, rules["C2"].errorStyle) == ("1", "9", "warning")
    assert all(rule.showErrorMessage for rule in rules.values())


def test_what_is_typed_into_an_input_is_a_text_unless_it_is_a_number_s(tmp_path):
    with workbook_at(tmp_path / "b.xlsx", PROPERTIES) as book:
        book.write(Sheet(title="A", widths=[8, 8], is_hidden=True), 1, [((INPUT, INPUT + NUMBER), ["text", 1.0])])
        book.write(Sheet(title="B", widths=[8]), 1, [((0,), ["x"])])
    sheet = openpyxl.load_workbook(tmp_path / "b.xlsx")["A"]
    assert (sheet["A1"].number_format, sheet["B1"].number_format) == ("@", "General")
    assert (sheet.sheet_state, sheet["B1"].fill.fill_type) == ("hidden", "solid")
