"""Names and titles in print are those that the configs give: no first word of a title, no key, no other case."""

from __future__ import annotations

import dataclasses
import io
import re
from functools import cache

import openpyxl
import pytest

from tablegen.dataset.dataset import DataSet
from tablegen.report.phone.phone_data import phone_data
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.workbook import write_workbook
from tests.demo import demo_data, page_texts, part_of_booklet, with_inputs

# Two products whose titles begin with one word; a size that no key can spell; a title that is no sentence.
NAMES, TITLES = {"alder": "Line one", "rowan": "BrambleTwo"}, {"alder": "The size 190", "rowan": "The size 200"}
SIZES, BOX = {"45": "3 1/2 kW", "6.3": "1/4"}, "+35 °F BigBox"


@cache
def renamed() -> DataSet:
    """The demo's data, its families, sizes and first application called otherwise."""
    data = part_of_booklet(demo_data(), *NAMES)
    families, applications = data.catalogue.families, data.catalogue.applications
    families = {
        key: own
        if key not in NAMES
        else dataclasses.replace(
            own,
            display_name=NAMES[key],
            title=TITLES[key],
            sizes=tuple(dataclasses.replace(s, display_name=SIZES.get(s.name, s.name)) for s in own.sizes),
        )
        for key, own in families.items()
    }
    box = dataclasses.replace(applications["walk_in_medium"], title=BOX)
    applications = {**applications, "walk_in_medium": box}
    return with_inputs(data, families=families, applications=applications)


def text_of(printer, name: str) -> str:
    target = io.BytesIO()
    printer(renamed(), name, target)
    return " ".join(" ".join(page_texts(target.getvalue())).split())


@pytest.fixture(scope="module")
def booklet() -> str:
    return text_of(print_booklet, "booklet")


@pytest.mark.slow
def test_headings_of_tables_take_the_family_s_name(booklet):
    title = renamed().catalogue.groups["R448A-family"].title
    for name in NAMES.values():
        assert f"{name}: {title}, {BOX}" in booklet
    own = booklet
    for rule in renamed().catalogue.left_out:
        # A sentence of the catalogue's author.
        own = own.replace(rule.why, "")
    assert not re.search(r"\bAlder\b|\bRowan\b|\bThe:", own)


def test_sizes_have_their_printed_name_in_every_table(booklet):
    for name in SIZES.values():
        assert booklet.count(name) > 5
    assert not re.search(r"[Ss]izes? 45\b", booklet)


@pytest.mark.parametrize(
    ("printer", "name"),
    [(print_counter_chart, "counter"), (print_handout, "handout"), (print_answer_key, "handout")],
    ids=["chart", "handout", "answers"],
)
def test_the_other_publications_call_them_so_too(printer, name):
    text = text_of(printer, name)
    assert "3 1/2 kW" in text
    assert not re.search(r"\bAlder\b|[Ss]ize 45\b", text)
    assert BOX.lower() not in text
    if printer is not print_answer_key:
        assert BOX in text


def test_the_case_of_an_application_s_title_stays(booklet):
    assert BOX in booklet and BOX.lower() not in booklet


def test_the_workbook_calls_them_so_too(tmp_path):
    data = renamed()
    few = dataclasses.replace(data, group_windows=data.group_windows[:1], windows=data.windows[:1])
    write_workbook(few, tmp_path / "windows.xlsx")
    book = openpyxl.load_workbook(tmp_path / "windows.xlsx", read_only=True)
    rows = list(book["Sizes"].iter_rows(min_row=2, values_only=True))
    assert ("Line one", "3 1/2 kW") in [row[:2] for row in rows] and ("BrambleTwo", "1/4") in [row[:2] for row in rows]


def test_the_look_up_page_has_key_and_name():
    own = phone_data(renamed())["families"]["alder"]
    assert own["name"] == "Line one"
    assert own["size_names"][own["sizes"].index("45")] == "3 1/2 kW"


def test_the_data_set_keeps_the_keys():
    data = renamed()
    assert set(data.sizes["family"]) >= {"alder"} and "45" in set(data.sizes["size"])
    assert dataclasses.replace(data).windows is demo_data().windows
