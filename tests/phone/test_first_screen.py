"""The first screen of the phone page: the verdict above the fields, changing as one types, whole in every language."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tablegen.api._asked_sst import DIFFERENCE_RANGE
from tablegen.model.company import Wholesaler
from tablegen.model.own_texts import in_language
from tablegen.physics.system import Stability, StabilityRule
from tablegen.report.application_part import part_of_application
from tablegen.report.phone import phone_data
from tablegen.report.phone.phone_page import call_link, phone_page
from tablegen.units import to_si
from tablegen.wording.language import languages, speaking
from tests.demo import with_inputs
from tests.phone.browser import Page
from tests.phone.stock import ON_THE_SHELF, without_space
from tests.worked import worked_data

CASE = "#application=walk_in_medium&refrigerant=R404A-R507A&"
STATES = {
    "fits": CASE + "box=35&load=8&family=alder&degrees=IP&loads=IP",
    "none in stock": CASE + "box=35&load=14&family=hazel&degrees=IP&loads=IP",
    "none fits": CASE + "box=35&load=2000&degrees=IP&loads=IP",
    "in tons, between rows": CASE + "box=3.2&difference=6.1&load=1.5 tons&degrees=SI",
    "nothing asked": "#",
    "a slip": CASE + "box=35&load=1x&degrees=IP&loads=IP",
}
# Of what is asked and of the texts, whatever is wider than its room or off the screen.
_CUT = """
() => [...document.querySelectorAll("body *:not(script):not(style):not(.unseen):not(option)")].filter((e) => {
  const box = e.getBoundingClientRect(), style = getComputedStyle(e);
  if (!box.width || !box.height || style.opacity === "0") return false;
  const isText = e.matches("input") || [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  return isText && (box.left < -0.5 || box.right > innerWidth + 0.5 || e.scrollWidth > e.clientWidth + 1 &&
    style.display !== "inline" || style.textOverflow === "ellipsis");
}).map((e) => `${e.tagName} ${e.id} ${e.textContent || e.value}`)
"""


def written(folder: Path, code: str = "en", **inputs: Any) -> Path:
    """The page of one application with a stock sheet, in a language."""
    target = folder / f"{code}.html"
    data = part_of_application(with_inputs(worked_data(), stock=ON_THE_SHELF, **inputs), "walk_in_medium")
    with speaking(code):
        catalogue = in_language(data.catalogue, code)
        target.write_text(phone_page(dataclasses.replace(data, catalogue=catalogue)), encoding="utf-8")
    return target


@pytest.fixture(scope="module")
def phone(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    page = Page(browser, written(tmp_path_factory.mktemp("first")), width=360)
    page.page.set_viewport_size({"width": 360, "height": 740})
    yield page
    page.close()


def bottoms(page: Page, *ids: str) -> list[float]:
    return [page.page.evaluate(f"document.getElementById('{id}').getBoundingClientRect().bottom") for id in ids]


def valves(page: Page) -> list[str]:
    return [text.split(":")[0] for text in page.page.locator("#found ol .name").all_inner_texts()]


@pytest.mark.parametrize("state", STATES)
def test_the_verdict_is_above_the_fields_and_both_are_above_a_keyboard(phone: Page, state: str) -> None:
    phone.open(STATES[state])
    verdict, bars, load, box = bottoms(phone, "verdict", "bars", "load", "box")
    assert max(verdict, bars) <= 250
    assert max(load, box) <= 330
    # The keyboard of a phone leaves about this much.
    assert max(load, box) + 60 < 740 / 2 + 30
    phone.check()


def test_it_changes_with_each_key(phone: Page) -> None:
    phone.open(STATES["fits"].replace("load=8&", ""))
    phone.page.focus("#load")
    seen = [phone.text("#verdict")]
    for key in "8.5":
        phone.page.keyboard.type(key)
        seen.append(phone.text("#verdict"))
    assert seen[0].startswith("Still needed: load.")
    # R404A, medium temperature, Alder: 45 covers 8 and 8.5 kBtu/h with another margin.
    assert [text.split("\n")[0] for text in seen[1:]] == ["Alder 45", "Alder 45", "Alder 45"]
    assert seen[1] == seen[2] != seen[3]
    assert phone.page.locator("#bars .strip").count() == 3
    assert phone.text("#bars .under") == "load 8.5 kBtu/h"
    phone.check()


@pytest.mark.parametrize("code", languages())
def test_no_text_is_cut_at_320_pixels(browser: Any, tmp_path: Path, code: str) -> None:
    page = Page(browser, written(tmp_path, code), width=320)
    page.page.set_viewport_size({"width": 320, "height": 740})
    for state, fragment in STATES.items():
        page.open(fragment)
        assert page.page.evaluate(_CUT) == [], (code, state)
        assert page.page.evaluate("document.documentElement.scrollWidth") <= 320, (code, state)
        # What is chosen is shown as text, for a browser cuts it in its own field.
        for field in ("application", "refrigerant", "family"):
            chosen = page.page.evaluate(f"document.getElementById('{field}').selectedOptions[0].textContent")
            assert page.page.locator(f".choice:has(#{field}) span").inner_text() == chosen
    page.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("20000 Btu/h", "20"),
        ("20,000 btuh", "20"),
        ("20 MBH", "20"),
        ("20 mbh", "20"),
        ("20kBtu/hr", "20"),
        ("1.5 tons", "18"),
        ("1 TR", "12"),
        ("5.275279 kW", "18"),
        ("1 1/2 tons", "18"),
        ("3/4 ton", "9"),
        ("20 MBTUH", "20"),
        ("18000 BTU", "18"),
        ("1 200 btu/h", "1.2"),
    ],
)
def test_a_load_in_any_unit_is_the_same_load(phone: Page, one: str, other: str) -> None:
    found = []
    for load in (one, other):
        phone.open(CASE + "sst=24&degrees=IP&loads=IP&sizes=all")
        phone.page.fill("#load", load)
        # Two that are equal but for the last figure may change places in other units.
        found.append(sorted(valves(phone)))
    assert found[0] == found[1] != []
    phone.check()


@pytest.mark.slow
def test_a_unit_after_a_figure_is_that_of_this_figure_alone(phone: Page) -> None:
    phone.open(CASE + "sst=24&load=20&degrees=IP&loads=IP")
    phone.page.fill("#load", "1.5 tons")
    assert phone.text("label[for=load]") == "Load, kBtu/h"
    assert "load 1.5 tons (18 kBtu/h) at the rating point" in phone.text("#asked")
    assert "load=1.5+tons&" in phone.page.url and "loads=kBtu%2Fh" in phone.page.url
    # The next bare figure has the unit that is chosen, now and when the page is opened again.
    for load in ("3.5 kW", "1 ton", "18"):
        phone.page.fill("#load", load)
    assert "load 18 kBtu/h" in phone.text("#asked")
    phone.page.fill("#load", "3.5 kW")
    phone.open("")
    assert phone.text("label[for=load]") == "Load, kBtu/h"
    phone.open(CASE + "sst=24&load=1 ton&degrees=IP&loads=IP")
    assert "load 1 ton (12 kBtu/h) at the rating point" in phone.text("#asked")
    # Another unit converts it.
    phone.page.check("#loads-kW", force=True)
    assert phone.page.input_value("#load") == "3.517"
    assert "kW at SST 24 °F" in phone.text("#verdict")
    # Of temperatures too: -4 degC is 24.8 degF, and a row is the same row in both.
    phone.page.fill("#sst", "-4 °C")
    assert phone.page.input_value("#box") == "34.8" and phone.text("label[for=box]") == "Box, °F"
    phone.page.fill("#sst", "-4.44 °C")
    assert phone.page.input_value("#box") == "34"
    phone.page.fill("#sst", "24")
    assert phone.page.input_value("#box") == "34"
    phone.check()


def test_a_load_twenty_times_beyond_all_windows_is_asked_about(phone: Page) -> None:
    for load, is_asked in (("9000 kW", True), ("0.001 kW", True), ("600", False)):
        phone.open(CASE + f"sst=24&load={load}&degrees=IP&loads=IP")
        assert ("Check the unit of the load. The" in phone.text("#verdict")) == is_asked, load
    phone.check()


@pytest.mark.slow
def test_spanish_of_the_united_states_has_a_decimal_point(browser: Any, tmp_path: Path) -> None:
    page = Page(browser, written(tmp_path, "es-US"), width=360)
    page.page.set_viewport_size({"width": 360, "height": 740})
    shown = []
    for load in ("8.5 MBH", "8,500 btu/h", "8500 btu/h"):
        page.open(CASE + f"box=35&load={load}&family=alder&degrees=IP&loads=IP")
        shown.append(page.text("#verdict"))
    assert shown[0] == shown[1] == shown[2] and "margen 1.21" in shown[0]
    assert page.page.evaluate("document.documentElement.lang") == "es-US"
    page.close()


@pytest.mark.slow
def test_a_decimal_comma_is_that_of_the_language(browser: Any, tmp_path: Path) -> None:
    page = Page(browser, written(tmp_path, "de"), CASE + "sst=-4.4&load=2.3&degrees=SI&loads=SI&sizes=all")
    assert page.page.input_value("#load") == "2,3" and page.page.input_value("#sst") == "-4,4"
    expected = valves(page)
    for text in ("2,3", "2,30 kW", "2.3", "2.300 W".replace("2.300 W", "2,300")):
        page.page.fill("#load", text)
        assert valves(page) == expected != [], text
    page.page.fill("#load", "2.300")
    assert page.text("#verdict") == "Last: „2.300“ lässt sich auf zwei Arten lesen; schreiben Sie 2300 oder 2,3."
    page.page.fill("#load", "7.848 Btu/h")
    assert valves(page) == expected
    page.close()


def test_a_box_and_its_difference_are_an_sst(phone: Page) -> None:
    for box, difference, sst in (("35", "", "25"), ("35", "12", "23"), ("30.5", "8.5", "22")):
        phone.open(CASE + f"sst={sst}&load=8&degrees=IP&loads=IP")
        expected = without_space(phone.text("#found ol"))
        phone.open(CASE + "load=8&degrees=IP&loads=IP")
        phone.page.fill("#box", box)
        phone.page.fill("#difference", difference)
        assert phone.page.input_value("#sst") == sst
        assert without_space(phone.text("#found ol")) == expected
        assert f"SST {sst} °F, box {box} °F, TD {difference or 10} °F" in phone.text("#asked")
    address = phone.page.url
    assert "&box=30.5&difference=8.5&" in address and "sst=" not in address
    # A row of the tables remains one in other units.
    phone.open(CASE + "box=34&load=8&degrees=IP&loads=IP")
    phone.page.check("#degrees-SI", force=True)
    assert [phone.page.input_value(f"#{id}") for id in ("box", "sst")] == ["1.11", "−4.44"]
    assert "between the rows" not in phone.text("#found")
    phone.open("#" + address.partition("#")[2])
    # The SST itself may be typed: the box follows.
    phone.page.fill("#sst", "20")
    assert phone.page.input_value("#box") == "28.5"
    assert phone.page.get_attribute("#difference", "placeholder") == "10"
    phone.check()


def test_a_difference_is_bounded_as_pick_bounds_it(phone: Page) -> None:
    bounds = [to_si(text, "temperature difference") for text in DIFFERENCE_RANGE]
    assert bounds == pytest.approx(phone_data._DIFFERENCE_K, abs=1e-9)
    phone.open(CASE + "box=35&difference=41&load=8&degrees=IP&loads=IP")
    assert phone.text("#verdict") == "Coil temperature difference: enter a figure from 1 to 40 °F."
    assert phone.page.get_attribute("#difference", "aria-invalid") == "true"
    phone.open(CASE + "box=35&difference=40&load=8&degrees=IP&loads=IP")
    assert "do not extrapolate" in phone.text("#verdict")
    phone.check()


@pytest.mark.slow
def test_an_application_without_a_difference_asks_for_one(browser: Any, tmp_path: Path) -> None:
    application = worked_data().catalogue.applications["walk_in_medium"]
    systems = {name: dataclasses.replace(own, box_difference_k=None) for name, own in application.systems.items()}
    unstated = dataclasses.replace(application, coil_temperature_difference_k=None, systems=systems)
    page = Page(browser, written(tmp_path, applications={"walk_in_medium": unstated}), CASE + "box=35&load=8&loads=IP")
    assert page.text("#verdict").startswith("Still needed: coil temperature difference (TD).")
    page.page.fill("#difference", "10")
    assert page.page.input_value("#sst") == "25"
    page.page.fill("#difference", "")
    page.page.fill("#sst", "25")
    assert page.page.input_value("#box") == "" and "SST 25 °F" in page.text("#asked")
    page.close()


@pytest.mark.parametrize("load", ["9" * 309, "0." + "0" * 300 + "1", "1" * 39, "-" * 41])
def test_an_endless_figure_in_an_address_is_refused(phone: Page, load: str) -> None:
    phone.open(CASE + f"sst=24&load={load}&degrees=IP&loads=IP")
    assert phone.text("#verdict").startswith("Load: ")
    phone.page.fill("#load", "8")
    assert valves(phone)
    phone.check()


@pytest.mark.slow
def test_the_wholesaler_is_called_by_a_link(phone: Page, browser: Any, tmp_path: Path) -> None:
    phone.open(STATES["fits"])
    assert phone.text("p.call") == "Tarnwick Supply (invented): 555 0100"
    button = phone.page.get_by_role("link", name="Call 555 0100, Tarnwick Supply (invented)")
    assert button.get_attribute("href") == "tel:5550100" and button.is_visible()
    # A text without a number is no link, and a name is text.
    printing = worked_data().catalogue.printing
    whom = Wholesaler("<img src=x onerror=alert(1)>", '"><script>alert(2)</script>')
    company = dataclasses.replace(printing.company, wholesaler=whom)
    page = Page(browser, written(tmp_path, printing=dataclasses.replace(printing, company=company)), STATES["fits"])
    assert page.text("p.call") == f"{whom.name}: {whom.telephone}"
    assert page.page.locator("#actions a, p.call a, img:not(.logo)").count() == 0
    page.close()


@pytest.mark.parametrize(
    ("text", "link"),
    [
        ("555 0100", "tel:5550100"),
        ("(555) 010-0142", "tel:5550100142"),
        ("+49 (0)30 123-45 ext. 6", "tel:+493012345"),
        ("Mon to Fri", ""),
    ],
)
def test_a_telephone_number_as_a_link(text: str, link: str) -> None:
    assert call_link(text) == link


@pytest.mark.slow
@pytest.mark.parametrize(("scheme", "state"), [("light", "fits"), ("dark", "fits"), ("light", "none in stock")])
def test_axe_finds_no_violation(phone: Page, scheme: str, state: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    phone.page.emulate_media(color_scheme=scheme)
    phone.open(STATES[state])
    found = Axe().run(phone.page)
    assert found.violations_count == 0, found.generate_report()
    phone.page.emulate_media(color_scheme="light")


def test_the_next_steps_lead_to_their_parts(phone: Page) -> None:
    phone.open(STATES["fits"])
    phone.page.click("#to-order")
    assert phone.page.evaluate("document.activeElement.id") == "specified"
    phone.page.click("#to-why")
    assert phone.page.evaluate("document.activeElement.id") == "why"
    phone.open("#")
    assert not phone.page.is_visible("#to-order") and not phone.page.is_visible("#to-why")
    phone.check()


@pytest.mark.parametrize(
    ("difference", "rule", "method", "verdict"),
    [
        ("8", "share", "constant", "Call before you select: these tables assume a TD of 10 °F."),
        ("12", "share", "constant", "Alder 45"),
        ("10", "share", "constant", "Alder 45"),
        ("8", "stated", "constant", "Alder 45"),
        ("8", "share", "loop", "Call before you select: these tables assume a TD of 10 °F."),
        ("12", "share", "loop", "Call before you select: these tables assume a TD of 10 °F."),
    ],
)
def test_at_a_difference_that_no_table_is_for_nothing_is_recommended(
    browser: Any, tmp_path: Path, difference: str, rule: str, method: str, verdict: str
) -> None:
    """A larger TD lowers no maximum load, so that what fits by the tables fits; the loop changes minimum loads too."""
    application = worked_data().catalogue.applications["walk_in_medium"]
    systems = {}
    for name, own in application.systems.items():
        limits = dataclasses.replace(own.superheat, stability=StabilityRule(Stability(method)))
        if rule == "share":
            limits = dataclasses.replace(limits, max_k=None, max_share=0.65)
        systems[name] = dataclasses.replace(own, superheat=limits)
    changed = dataclasses.replace(application, systems=systems)
    asked = f"sst=25&difference={difference}&load=8&family=alder&degrees=IP&loads=IP"
    page = Page(browser, written(tmp_path, applications={"walk_in_medium": changed}), CASE + asked)
    assert page.text("#verdict").startswith(verdict)
    is_fitting = verdict.startswith("Alder")
    assert (
        page.page.locator("#specified").count() == is_fitting and page.page.locator("#found ol").count() == is_fitting
    )
    assert ("A larger TD does not change minimum loads" in page.text("#found")) is (
        is_fitting and difference == "12" and rule == "share"
    )
    # A load that no size of the tables covers: at a larger TD one may.
    page.page.fill("#load", "2000")
    is_known = rule == "stated" or difference == "10"
    assert page.text("#verdict").startswith(
        "No size fits" if is_known else "Call before you select: these tables assume"
    )
    page.close()
