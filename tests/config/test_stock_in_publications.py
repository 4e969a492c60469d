"""Charts and labels of a stock sheet: each group has the sizes in stock with its charge, and what is not there is said."""

import dataclasses
import datetime
import shutil
import zipfile
from pathlib import Path

import openpyxl
import pytest

import tablegen
from tablegen.building import made_from
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.shown import shown_by
from tablegen.model.inputs import Catalogue
from tablegen.report.phone.phone_data import _stock
from tablegen.report.workbook import write_workbook
from tablegen.sweep.identity import fingerprint
from tests.demo import demo_data, with_inputs
from tests.report.test_shelf_labels import labeled, printed
from tests.small import small_catalogue

ROOT = Path(__file__).resolve().parents[2]
OWN_LIST = "\nstock: [16, 22, 32, 45, 90, 125]\n"
# With the charges of R404A-R507A and of the R448A group in coolers; the last rows are of nothing there, or of freezers.
SHEET = """family,size,charge,part number,quantity,price [USD],location
Alder,90,cross-404-medium,71-0107,3,40.00,B-14
Alder,45,cross-404-medium,,,,
Alder,45,cross-404-medium,S-45,1,,C-2
Alder,16,cross-448-medium,,2,,A-1
Alder,32,cross-448-medium,,0,,A-2
Alder,63,cross-404-low,,9,,
"""
SMALL = (["alder"], {"R404A-R507A": ["R404A", "R507A"]}, ["walk_in_medium"])
STOP = ("families/alder.yaml", "stop: 120 percent", "stop: 110 percent")


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """The demo with a stock sheet and a counter chart that has no list of its own."""
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    configs = tmp_path / "configs"
    (configs / "stock.csv").write_text(SHEET, encoding="utf-8")
    edit(
        configs / "catalogue.yaml", "publications: [booklet, counter, counter_low, handout]", "publications: [counter]"
    )
    edit(
        configs / "catalogue.yaml", "part_numbers: part_numbers.csv", "part_numbers: part_numbers.csv\nstock: stock.csv"
    )
    edit(configs / "publications" / "counter.yaml", OWN_LIST, "\n")
    monkeypatch.chdir(tmp_path)
    return configs


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_each_group_has_the_sizes_with_its_charge(folder):
    [chart, *others] = load_catalogue(folder / "catalogue.yaml").charts
    assert chart.stock == {"R404A-R507A": ("45", "90"), "R448A-family": ("16",)}
    assert chart.groups == ("R404A-R507A", "R448A-family")
    assert chart.not_in_stock == ("R407C", "R134a", "R513A")
    assert {other.stock == chart.stock for other in others} == {True}


def test_check_names_the_groups_that_are_left_out(folder, capsys):
    assert main(["check", "--catalogue", "configs"]) == 0
    notes = [line for line in capsys.readouterr().err.splitlines() if "in stock" in line]
    reason = "left out of counter: no size is in stock with the right charge"
    assert notes == [f"note: alder, {group}, walk_in_medium: {reason}" for group in ("R407C", "R134a", "R513A")]


def test_another_sheet_may_be_named(folder, tmp_path, capsys):
    other = tmp_path / "other.csv"
    other.write_text("family,size,charge\nAlder,45,cross-134-medium\n", encoding="utf-8")
    assert main(["check", "--catalogue", "configs", "--stock", str(other)]) == 0
    assert "R134a" not in capsys.readouterr().err
    own = tablegen.check("configs", stock=other)
    assert own.charts[0].stock == {"R134a": ("45",)}
    assert made_from(folder / "catalogue.yaml", (), stock=other) != made_from(folder / "catalogue.yaml", ())


def test_without_a_list_and_a_sheet_nothing_says_what_is_there(folder, capsys):
    edit(folder / "catalogue.yaml", "\nstock: stock.csv", "")
    assert main(["check", "--catalogue", "configs"]) == 2
    [line] = capsys.readouterr().err.splitlines()
    assert line.startswith("configs/publications/counter.yaml:") and ": stock: list the sizes in stock here" in line


@pytest.mark.slow
def test_a_chart_of_nothing_in_stock_is_left_out_with_a_note(folder, capsys):
    """The shelf of one family may be empty for a day: everything else is printed and answered."""
    (folder / "stock.csv").write_text("family,size\nLarch,20\n", encoding="utf-8")
    edit(folder / "catalogue.yaml", "publications: [counter]", "publications: [counter, handout]")
    assert main(["check", "--catalogue", "configs"]) == 0
    [note] = [line for line in capsys.readouterr().err.splitlines() if "left out" in line]
    assert note == ("note: alder, walk_in_medium: counter is left out: no size is in stock with the right charge")
    own = load_catalogue(folder / "catalogue.yaml")
    assert not own.charts and own.handouts
    asked = ["pick", "R404A", "--load", "20 kBtu/h", "--sst", "24F", "--application", "walk_in_medium"]
    assert main([*asked, "--catalogue", "configs"]) == 1


def test_check_says_how_a_sheet_is_read(folder, capsys):
    (folder / "stock.csv").write_text(
        "Northgate supply\n\nItem No.,Vendor,Family,Size,Charge,Bin,Price code\nN-1,Elm,Alder,45,cross-404-medium,A-1,X\n",
        encoding="utf-8",
    )
    assert main(["check", "--catalogue", "configs"]) == 0
    notes = capsys.readouterr().err
    assert "note: stock.csv: no quantity column: every row counts as in stock" in notes
    assert (
        "note: stock.csv: your own columns, shown in answers but not on the phone page: 'Vendor', 'Price code'" in notes
    )
    assert "cost columns" not in notes


def stocked(folder: Path, sheet: str) -> Catalogue:
    (folder / "stock.csv").write_text(sheet, encoding="utf-8")
    return load_catalogue(folder / "catalogue.yaml")


@pytest.mark.slow
def test_only_what_is_printed_of_the_stock_makes_a_chart_again(folder):
    def fingerprints(sheet: str) -> tuple[str, str]:
        own = stocked(folder, sheet)
        data = with_inputs(demo_data(), charts=own.charts, stock=own.stock)
        return shown_by(data, "counter").fingerprint, shown_by(data, "handout").fingerprint

    chart, handout = fingerprints(SHEET)
    # A count, a price and a place are not on a chart; whether any is there is.
    assert fingerprints(SHEET.replace("3,40.00,B-14", "2,45.00,B-15")) == (chart, handout)
    other_chart, other_handout = fingerprints(SHEET.replace("3,40.00,B-14", "0,40.00,B-14"))
    assert other_chart != chart and other_handout == handout
    # A valve of freezers is sold out: the chart of coolers stays as it is.
    assert fingerprints(SHEET.replace("Alder,63,cross-404-low,,9", "Alder,63,cross-404-low,,0")) == (chart, handout)


@pytest.mark.slow
def test_the_date_of_the_stock_is_shown_beside_quantities_alone(folder, tmp_path):
    edit(folder / "catalogue.yaml", "\nstock: stock.csv", "\nstock: stock.csv\nstock_date: 2026-11-30")
    own = stocked(folder, SHEET)
    assert own.stock and own.stock.date == datetime.date(2026, 11, 30)
    other = tmp_path / "other.csv"
    other.write_text(SHEET, encoding="utf-8")
    assert tablegen.check("configs", stock=other).stock.date is None
    dated = with_inputs(demo_data(), charts=own.charts, stock=own.stock)
    undated = with_inputs(demo_data(), charts=own.charts, stock=dataclasses.replace(own.stock, date=None))
    assert shown_by(dated, "counter").fingerprint == shown_by(undated, "counter").fingerprint
    assert _stock(own.stock)["date"] == "2026-11-30" and "date" not in _stock(undated.catalogue.stock)
    write_workbook(dated, tmp_path / "windows.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "windows.xlsx").worksheets[0]
    assert "Stock as of 2026-11-30" in {cell.value for row in sheet["A1:F20"] for cell in row}


def test_what_is_on_the_shelf_changes_no_data(folder):
    """An order line of yesterday has the data code of today, and yet a build sees that the sheet has changed."""

    def of(sheet: str) -> tuple[str, str, dict[str, str]]:
        own = stocked(folder, sheet)
        return fingerprint(own.data_files), made_from(folder / "catalogue.yaml", ["stock.csv"]), dict(own.files)

    data, made, files = of(SHEET)
    other_data, other_made, other_files = of(SHEET.replace("3,40.00", "2,40.00"))
    assert other_data == data and other_made != made
    assert {name for name in files if files[name] != other_files[name]} == {"stock.csv"}


def test_a_label_has_the_place_and_the_number_of_the_sheet(folder):
    own = stocked(folder, SHEET)
    [chart, *_] = own.charts
    labels = labeled(groups=("R404A-R507A",), stock={"R404A-R507A": chart.stock["R404A-R507A"]})
    data = dataclasses.replace(labels, catalogue=dataclasses.replace(labels.catalogue, stock=own.stock))
    [text] = printed(data)[1]
    assert "Part number S-45 · charge for R404A, R507A, medium temp. · location C-2" in text
    assert "Part number 71-0107 · charge for R404A, R507A, medium temp. · location B-14" in text
    assert shown_by(data, "labels").fingerprint != shown_by(labels, "labels").fingerprint


def test_an_output_has_no_stock_sheet_and_its_changes_have_causes_without_one(folder, tmp_path, capsys):
    """Who is given an output does not read what is in stock at which price; no limit follows from it."""
    (folder / "stock.csv").write_text(
        SHEET.replace("price [USD]", "price [USD],our cost", 1).replace(",40.00,", ",40.00,XQ2117,"), encoding="utf-8"
    )
    small_catalogue(tmp_path / "a", *SMALL, edits=[], more="stock: stock.csv\npublications: [counter]\n", source=folder)
    small_catalogue(
        tmp_path / "b", *SMALL, edits=[STOP], more="stock: stock.csv\npublications: [counter]\n", source=folder
    )
    for name in ("a", "b"):
        edit(tmp_path / name / "publications" / "counter.yaml", "groups: [", "groups: [R404A-R507A]\n# ")
        assert main(["build", "--catalogue", name, "--output", f"out-{name}", "--workers", "1"]) == 0
    with zipfile.ZipFile(tmp_path / "out-a" / "demo" / "configs.zip") as archive:
        assert "catalogue.yaml" in archive.namelist() and "stock.csv" not in archive.namelist()
    for path in (tmp_path / "out-a").rglob("*"):
        assert path.is_dir() or b"XQ2117" not in path.read_bytes()
    capsys.readouterr()
    assert main(["compare", "out-a/demo", "out-b/demo", "--causes"]) in (0, 1)
    assert "families/alder.yaml  opening.stop  120 percent  110 percent" in capsys.readouterr().out
