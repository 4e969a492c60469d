"""Stock on the phone page: the rule of `pick`, with what is there and where, and nothing else recommended."""

from __future__ import annotations

import dataclasses
import random
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tablegen import pick
from tablegen.report.phone.phone_page import phone_page, write_phone_page
from tests.demo import with_inputs
from tests.phone.browser import Page
from tests.phone.stock import CSV, ON_THE_SHELF, without_space
from tests.phone.test_phone_orders import without_the_case
from tests.worked import WORKED, worked_data

CASE = "#application=walk_in_medium&refrigerant={name}&sst={sst}&load={load}&degrees=IP&loads=IP"
R404A = CASE.format(name="R404A", sst=24, load="{load}")


@pytest.fixture(scope="module")
def shelf(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    path = tmp_path_factory.mktemp("stock") / "lookup.html"
    write_phone_page(with_inputs(worked_data(), stock=ON_THE_SHELF), path)
    page = Page(browser, path, width=360)
    yield page
    page.close()


def verdict(page: Page) -> str:
    return without_space(page.text("#verdict"))


def test_stocked_sizes_come_first_with_what_is_there(shelf: Page) -> None:
    shelf.open(R404A.format(load=8))
    assert verdict(shelf).startswith("Alder 45 fits, margin ")
    assert verdict(shelf).endswith("5 in stock, location A-4, C-1")
    assert shelf.text("#shelf") == "On the shelf: 5 in stock, location A-4, C-1."
    rows = shelf.page.locator("#found ol li").all_inner_texts()
    is_there = ["not in stock" not in text for text in rows]
    # In stock first, and what is not in stock is listed all the same.
    assert is_there == sorted(is_there, reverse=True) and is_there[0] and not is_there[-1]
    # What nobody counted is there.
    shelf.open(R404A.format(load=20))
    assert verdict(shelf).startswith("Alder 90 fits") and verdict(shelf).endswith("in stock, location B-1")
    shelf.check()


def test_nothing_that_is_not_in_stock_is_recommended(shelf: Page) -> None:
    # Of 22 none is left.
    shelf.open(R404A.format(load=4) + "&family=alder")
    rows = shelf.page.locator("#found ol li").all_inner_texts()
    assert [("not in stock" in text) for text in rows if text.startswith("Alder 22")] == [True]
    # Alder 180 and 125 cover it, and 90, the largest that is there, does not.
    shelf.open(R404A.format(load=25) + "&family=alder")
    assert verdict(shelf).startswith(
        "None in stock No stocked size covers the load. Not in stock, but it fits: Alder 180, "
    )
    assert verdict(shelf).endswith(" kBtu/h.") and " In stock: Alder 90 covers up to " in verdict(shelf)
    assert "nearest" not in verdict(shelf).lower()
    assert shelf.page.locator("#specification").count() == 0 and not shelf.page.is_visible("#to-order")
    assert "first choice" not in shelf.text("#found")
    # Only if it is asked for.
    shelf.page.check("#sizes-all", force=True)
    assert verdict(shelf).startswith("Alder 180 fits") and verdict(shelf).endswith("not in stock")
    assert shelf.text("#shelf") == "This valve is not in stock."
    assert "&sizes=all" in shelf.page.url
    address = shelf.page.url.partition("#")[2]
    shelf.open("#" + address)
    assert verdict(shelf).startswith("Alder 180 fits")
    shelf.check()


def test_a_valve_with_another_charge_is_another_valve(shelf: Page) -> None:
    shelf.open(CASE.format(name="R448A", sst=24, load=8))
    assert verdict(shelf).startswith("Alder 45 fits") and verdict(shelf).endswith("9 in stock, location A-5")
    shelf.open(CASE.format(name="R448A", sst=24, load=20))
    assert verdict(shelf).startswith("None in stock")
    shelf.check()


@pytest.mark.slow
def test_as_many_as_are_ordered(shelf: Page) -> None:
    shelf.open(R404A.format(load=8))
    shelf.page.get_by_label("Quantity").fill("5")
    assert "Only" not in verdict(shelf)
    shelf.page.get_by_label("Quantity").fill("6")
    assert verdict(shelf).endswith("Only 5 of 6 are in stock.")
    # The field is not left while it is typed into.
    assert shelf.page.evaluate("document.activeElement.id") == "order-quantity"
    # Of 32, whose margin is smaller, there are 12: they are named, and change no first choice.
    shelf.open(R404A.format(load=6.5) + "&family=alder")
    shelf.page.get_by_label("Quantity").fill("8")
    assert verdict(shelf).startswith("Alder 45 fits")
    assert "Only 5 of 8 are in stock. Alder 32 has 12 in stock, margin 1." in verdict(shelf)
    shelf.page.get_by_label("Quantity").fill("13")
    assert verdict(shelf).startswith("Alder 45 fits") and verdict(shelf).endswith("Only 5 of 13 are in stock.")
    shelf.page.get_by_label("Quantity").fill("")
    shelf.check()


def test_first_choice_and_order_line_are_those_of_a_pick(shelf: Page, tmp_path: Path) -> None:
    sheet = tmp_path / "stock.csv"
    sheet.write_text(CSV, encoding="utf-8")
    chance, compared, without = random.Random(3), 0, 0
    for _ in range(10):
        name, load = chance.choice(["R404A", "R448A", "R507A"]), f"{10 ** chance.uniform(0.2, 1.4):.2g}"
        # By its box temperature, which the application's own difference makes a row of the tables.
        shelf.open(CASE.format(name=name, sst="", load=load) + "&box=34")
        call = {
            "load": f"{load} kBtu/h",
            "box": "34 degF",
            "application": "walk_in_medium",
            "stock": sheet,
            "catalogue": WORKED,
        }
        answer = pick(name, **call)
        assert answer.passed == (shelf.page.locator("#specification").count() == 1), (name, load)
        if not answer.passed:
            without += 1
            continue
        compared += 1
        # All but the data that it is from: here the sheet is no file of the catalogue.
        line, _, _ = without_the_case(shelf.text("#specification")).partition("; revision")
        wanted, _, _ = answer.sections[0].summary[0].partition("; revision")
        assert line == wanted.replace("\N{NO-BREAK SPACE}", " "), (name, load)
    assert compared >= 4 and without >= 1


def test_a_part_number_of_the_shelf_comes_before_the_list(shelf: Page) -> None:
    shelf.open(R404A.format(load=5.5) + "&family=alder")
    assert verdict(shelf).startswith("Alder 32 fits")
    assert "; part number T-32; " in shelf.text("#specification")


def test_without_a_stock_sheet_nothing_is_said_of_stock(opened: Page) -> None:
    opened.open(R404A.format(load=8))
    assert not opened.page.is_visible("#sizes") and "stock" not in opened.text("main")
    assert "sizes=" not in opened.page.url


def test_prices_and_further_columns_stay_at_home() -> None:
    items = tuple(
        dataclasses.replace(item, price=Decimal("44.25"), further=(("Supplier", "Secret & Co."),))
        for item in ON_THE_SHELF.items
    )
    text = phone_page(with_inputs(worked_data(), stock=dataclasses.replace(ON_THE_SHELF, items=items)))
    assert "44.25" not in text and "Secret" not in text
