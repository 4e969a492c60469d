"""Orders on the phone page: what the line says is what `pick` says, and what is not stated is named."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path
from typing import Any

import pytest

from tablegen.answers.case import Case
from tablegen.answers.order import order_line
from tablegen.answers.pick import pick
from tablegen.cli.main import main
from tablegen.model.part_numbers import PartNumber
from tablegen.report.answers.orders import order_caution, order_text
from tablegen.report.formatter import Formatter
from tablegen.report.phone.phone_page import phone_page, write_phone_page
from tests.demo import shared, with_inputs
from tests.phone.browser import Page
from tests.us_units import W_PER_KBTU
from tests.worked import WORKED, worked_data

FRAGMENT = "#application=walk_in_medium&refrigerant=R448A&sst=24&load=20&degrees=IP&loads=IP"


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a catalogue whose figures stay."""
    target = tmp_path_factory.mktemp("orders") / "lookup.html"
    target.write_text(shared("worked-phone-page", lambda: phone_page(worked_data())), encoding="utf-8")
    return target


def line_of(page: Page) -> str:
    return page.text("#specification")


def picked(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    asked = [
        "R448A",
        "--sst",
        "24 degF",
        "--load",
        "20 kBtu/h",
        "--application",
        "walk_in_medium",
        "--catalogue",
        str(WORKED),
    ]
    assert main(["pick", *asked, *more]) == 0
    printed = capsys.readouterr().out
    return " ".join(printed.split("\nTo order\n")[1].split("\n\n")[0].split())


def without_the_case(line: str) -> str:
    """The line as `pick` prints it, which has the case above it."""
    return re.sub(r"; for R\w+, .*? limits(?=; revision)", "", line).split(". Demonstration")[0]


def test_the_line_is_that_of_a_pick(opened: Page, capsys: pytest.CaptureFixture[str]) -> None:
    page = opened
    page.open(FRAGMENT)
    assert without_the_case(line_of(page)) == picked(capsys)
    page.page.select_option("#family", "alder")
    assert without_the_case(line_of(page)) == picked(capsys, "--family", "alder")
    assert "; capillary: choose 5 ft or 10 ft; part number 71-0207; quantity: not stated; " in line_of(page)


def test_a_flammable_refrigerant_is_marked_as_a_pick_marks_it(browser: Any, tmp_path: Path) -> None:
    records = dict(worked_data().catalogue.records)
    records["R448A"] = dataclasses.replace(records["R448A"], safety_group="A2L")
    data = with_inputs(worked_data(), records=records)
    write_phone_page(data, tmp_path / "lookup.html")
    page = Page(browser, tmp_path / "lookup.html", FRAGMENT)
    assert "SST 24 °F A2L: flammable" in page.text("#verdict")
    assert "; for R448A (A2L: flammable); " in line_of(page)
    formatter = Formatter("IP")
    picked_now = pick(data.catalogue, Case("R448A", (24.0 + 459.67) / 1.8, 20.0 * W_PER_KBTU, "walk_in_medium"))
    order = order_line(data.catalogue, picked_now.first)
    caution = order_caution(data.catalogue, "R448A")
    assert order_text(order, formatter, caution).split("; quantity")[0] == line_of(page).split("; quantity")[0]
    # Of a group, only those that are.
    page.open(FRAGMENT.replace("R448A", "R448A-family"))
    assert "; for R448A (A2L: flammable); " in line_of(page)
    page.open(FRAGMENT.replace("R448A", "R404A"))
    assert "flammable" not in line_of(page).lower() + page.text("#verdict")


def test_what_is_stated_goes_into_the_line(opened: Page, capsys: pytest.CaptureFixture[str]) -> None:
    page = opened
    page.open(FRAGMENT + "&family=rowan")
    page.page.get_by_label("Connections").select_option("1/2 in x 5/8 in solder")
    page.page.get_by_label("Quantity").fill("3")
    page.page.get_by_label("Job reference").fill("Cold room 7")
    more = ["--connections", "1/2 in x 5/8 in solder", "--quantity", "3", "--job", "Cold room 7"]
    assert without_the_case(line_of(page)) == picked(capsys, "--family", "rowan", *more)
    # Another size is ordered with what it is offered with.
    page.page.select_option("#family", "alder")
    assert "; connections 1/2 in x 5/8 in solder; capillary: choose" in line_of(page)
    assert "; quantity 3; job Cold room 7; " in line_of(page)
    page.page.get_by_label("Capillary length").select_option("10\N{NO-BREAK SPACE}ft")
    page.page.get_by_label("kW", exact=True).check()
    assert "; capillary 3.0 m; " in line_of(page)


def test_a_quantity_that_is_no_number_is_an_error(opened: Page) -> None:
    page = opened
    page.open(FRAGMENT)
    page.page.get_by_label("Quantity").fill("a few")
    assert page.text("#order-error") == "Quantity: enter a whole number from 1 to 9999."
    assert "quantity: not stated" in line_of(page)
    page.page.get_by_label("Quantity").fill("12")
    assert page.text("#order-error") == "" and "; quantity 12; " in line_of(page)


@pytest.mark.slow
def test_a_part_number_that_depends_on_a_choice_waits_for_it(browser: Any, tmp_path: Path) -> None:
    row = PartNumber(number="Z-1", family="alder", size="90", equalizer="external", capillary_m=3.048)
    write_phone_page(with_inputs(worked_data(), part_numbers=(row,)), tmp_path / "lookup.html")
    page = Page(browser, tmp_path / "lookup.html", FRAGMENT + "&family=alder")
    assert "; part number: depends on the choices above; " in line_of(page)
    page.page.get_by_label("Capillary length").select_option("10\N{NO-BREAK SPACE}ft")
    assert "; part number Z-1; " in line_of(page)
    page.page.get_by_label("Capillary length").select_option("5\N{NO-BREAK SPACE}ft")
    assert "; part number: none in the list for this valve; " in line_of(page)
    page.close()


def test_job_references_are_text(opened: Page) -> None:
    page = opened
    page.open(FRAGMENT)
    page.page.get_by_label("Job reference").fill("<img src=x onerror=alert(1)>")
    assert "; job <img src=x onerror=alert(1)>; " in line_of(page)
    assert page.page.locator("img:not(.logo)").count() == 0
