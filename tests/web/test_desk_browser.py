"""The desk in the system's Chromium: answers as one types, by keyboard alone, from 320 px up, light and dark, on paper."""

from __future__ import annotations

import concurrent.futures
import io
import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

import httpx
import openpyxl
import pytest

import tablegen
from tablegen.api._inputs import loaded
from tests.demo import CATALOGUE
from tests.phone.browser import chromium
from tests.web.desks import ASKED, PICK, served

CLIENTS = 50
# Parts that reach beyond the window, and are in nothing that scrolls.
CUT_OFF = """
() => [...document.querySelectorAll("body *")].filter((e) => !e.closest(".scroll, .skip, .unseen, datalist, svg")
  && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1).map((e) => e.outerHTML.slice(0, 80))
"""
SCROLLS = "document.documentElement.scrollWidth > document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served() as found:
        yield found


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


class Window:
    """A window of a browser with all that it wrote to its console and asked for."""

    def __init__(self, browser: Any, width: int = 1280, **how: Any) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 800}, **how)
        self.page = self.context.new_page()
        self.page.set_default_timeout(30_000)
        self.messages: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", lambda message: self.messages.append(message.text))
        self.page.on("pageerror", lambda error: self.messages.append(str(error)))
        self.page.on("dialog", lambda dialog: (self.messages.append(dialog.message), dialog.dismiss()))
        self.page.on("request", lambda request: self.asked.append(request.url))

    def text(self, selector: str) -> str:
        return " ".join(self.page.inner_text(selector).replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.fixture
def window(browser: Any, address: str) -> Iterator[Window]:
    own = Window(browser)
    yield own
    own.context.close()
    # Refusals are in the console of every browser.
    assert [text for text in own.messages if "422" not in text] == []
    assert {f"{urlsplit(url).scheme}://{urlsplit(url).netloc}" for url in own.asked} <= {address, "data://"}


def answered(page: Any, text: str) -> None:
    """Wait until the answer says something."""
    page.wait_for_function(
        "(text) => document.getElementById('result').innerText.replaceAll('\\u00a0', ' ').includes(text)", arg=text
    )


def test_it_answers_as_one_types_and_the_address_gives_the_same_answer(window: Window, address: str) -> None:
    page = window.page
    page.goto(f"{address}/")
    assert "Still needed: Refrigerant, Load at the rating point, SST (dew) or Box temperature." in window.text(
        "#result"
    )
    page.fill("#refrigerant", "R448A")
    page.fill("#sst", "24")
    page.select_option("#application", "walk_in_medium")
    page.locator("#load").press_sequentially("20", delay=5)
    answered(page, "20.0 kBtu/h")
    expected = tablegen.pick("R448A", sst="24F", load="20 MBH", application="walk_in_medium", catalogue=CATALOGUE)
    assert window.text(".summary") == expected.summary[0]
    assert parse_qs(urlsplit(page.url).query) == {name: [value] for name, value in PICK.items()}
    shown, pasted = page.inner_html("#result"), page.url
    page.fill("#load", "5")
    answered(page, "5.00 kBtu/h")
    page.goto(pasted)
    assert page.inner_html("#result") == shown
    assert page.input_value("#load") == "20"
    # A wrong figure, and what a reader of a screen hears once typing pauses.
    page.fill("#load", "1,5")
    answered(page, "Load at the rating point: '1,5 kBtu/h' is not allowed; the comma could be a decimal comma")
    page.wait_for_function("() => document.getElementById('said').textContent.includes('decimal comma')")
    # To another page with what both ask for.
    page.fill("#load", "15")
    answered(page, "15.0 kBtu/h")
    page.click("nav a >> text=Existing valve")
    page.fill("#size", "45")
    families = loaded(CATALOGUE).families
    for name in ("hazel", "alder"):
        page.select_option("#family", name)
        offered = page.eval_on_selector_all("#size-list option", "(all) => all.map((own) => own.value)")
        assert offered == [size.name for size in families[name].sizes]
    answered(page, "Alder 45")
    assert page.input_value("#load") == "15" and page.input_value("#refrigerant") == "R448A"


@pytest.mark.slow
@pytest.mark.parametrize("width", [360, 1280])
def test_the_low_head_of_both_installations_is_entered_beside_each_other(
    browser: Any, address: str, width: int
) -> None:
    own = Window(browser, width)
    page = own.page
    page.goto(f"{address}/retrofit?{urlencode(ASKED['retrofit'])}")
    answered(page, "135 psig")
    page.fill("#low_head", "150")
    page.fill("#was_low_condensing", "75")
    answered(page, "150 psig")
    shown = own.text("#result")
    assert "low_head.head_pressure=150 psi_gauge" in shown and "low_head.condensing_temperature=75 degF" in shown
    boxes = {name: page.locator(f"#{name}").bounding_box() for name in ("low_head", "low_condensing", "was_low_head")}
    assert boxes["low_head"]["y"] == boxes["low_condensing"]["y"] < boxes["was_low_head"]["y"]
    assert boxes["low_head"]["x"] == boxes["was_low_head"]["x"] < boxes["low_condensing"]["x"]
    assert page.evaluate(CUT_OFF) == [] and not page.evaluate(SCROLLS)
    # Another page that asks for the head has it too.
    assert "low_head=150" in page.get_attribute("nav a >> nth=0", "href")
    own.context.close()


@pytest.mark.slow
def test_the_last_thing_typed_wins(window: Window, address: str) -> None:
    page = window.page
    page.goto(f"{address}/pick?{urlencode(PICK)}")
    # The first answer comes after the second one.
    page.route("**/answer/pick?*load=30*", lambda route: (page.wait_for_timeout(400), route.continue_()))
    page.fill("#load", "30")
    page.wait_for_timeout(80)
    page.fill("#load", "10")
    answered(page, "10.0 kBtu/h")
    page.wait_for_timeout(600)
    assert "10.0 kBtu/h" in window.text("#result h2")


def test_by_keyboard_alone(window: Window, address: str) -> None:
    page = window.page
    page.goto(f"{address}/pick")

    def focused() -> str:
        return page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()")

    def tab_to(wanted: str) -> None:
        for _ in range(30):
            page.keyboard.press("Tab")
            if focused() == wanted:
                # What has the focus shows it.
                assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
                return
        pytest.fail(f"{wanted} is not reached")

    page.keyboard.press("Tab")
    assert focused() == "Go to the answer"
    tab_to("refrigerant")
    page.keyboard.type("R448A")
    tab_to("load")
    page.keyboard.type("20 kBtu/h")
    tab_to("sst")
    page.keyboard.type("24")
    tab_to("application")
    page.keyboard.type("Walk-in cooler, fl")
    answered(page, "First choice")
    tab_to("More")
    page.keyboard.press("Enter")
    tab_to("overrides")
    page.keyboard.type("losses.lift=20 ft")
    answered(page, "losses.lift=20 ft")
    tab_to("units")
    page.keyboard.type("S")
    answered(page, "5.86 kW")
    # Enter goes from a field to what it changed.
    # Also on a small screen, whose window then begins with the verdict.
    page.set_viewport_size({"width": 360, "height": 700})
    page.focus("#load")
    page.keyboard.press("Enter")
    assert focused() == "result"
    top, bottom = page.evaluate(
        "(({ top, bottom }) => [top, bottom])(document.querySelector('.summary').getBoundingClientRect())"
    )
    assert 0 <= top < bottom < 700
    tab_to("Copy order line")


@pytest.mark.slow
def test_the_order_line_is_copied_as_it_is(browser: Any, address: str) -> None:
    window = Window(browser, permissions=["clipboard-read", "clipboard-write"])
    page, asked = window.page, PICK | {"quantity": "3", "job": "Store 12"}
    page.goto(f"{address}/pick?{urlencode(asked)}")
    page.click("text=Copy order line")
    page.wait_for_selector("text=Copied")
    answer = tablegen.pick(
        "R448A", sst="24F", load="20 MBH", application="walk_in_medium", catalogue=CATALOGUE, quantity=3, job="Store 12"
    )
    (order,) = (section for section in answer.sections if section.key == "order")
    assert page.evaluate("navigator.clipboard.readText()") == order.summary[0]
    # A page that may not use the clipboard.
    page.evaluate("() => { navigator.clipboard.writeText = () => Promise.reject(new Error('not allowed')); }")
    page.fill("#quantity", "4")
    answered(page, "quantity 4")
    page.click("text=Copy order line")
    page.wait_for_selector("text=Copied")
    assert page.evaluate("navigator.clipboard.readText()") == order.summary[0].replace("quantity 3", "quantity 4")
    window.context.close()


# With figures, and with a calculation; the others are slow.
OFTEN = ("pick", "trace")


@pytest.mark.parametrize(
    "name",
    [name if name in OFTEN else pytest.param(name, marks=pytest.mark.slow) for name in (*ASKED, "jobs")],
)
def test_axe_finds_no_fault_and_nothing_is_cut_off(name: str, window: Window, address: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = window.page
    page.goto(f"{address}/{name}?{urlencode(ASKED.get(name, {}))}")
    for width, scheme in ((320, "light"), (1280, "dark")):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate(CUT_OFF) == []
        assert not page.evaluate(SCROLLS)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


@pytest.mark.slow
def test_a_list_is_dropped_and_comes_back(window: Window, address: str) -> None:
    page = window.page
    page.goto(f"{address}/jobs")
    text = "refrigerant,sst [degF],load [kBtu/h],application\nR448A,24,20,walk_in_medium\n"
    page.set_input_files("#file", {"name": "week.csv", "mimeType": "text/csv", "buffer": text.encode()})
    answered(page, "Hazel F")
    with page.expect_download() as waited:
        page.click("text=Save the answers as a workbook")
    assert waited.value.suggested_filename == "week-answered.xlsx"
    book = openpyxl.load_workbook(io.BytesIO(waited.value.path().read_bytes()))
    assert any("F" in map(str, row) for sheet in book for row in sheet.iter_rows(values_only=True))


@pytest.mark.slow
def test_paper_has_the_answer_alone(browser: Any, address: str) -> None:
    window = Window(browser, 800, color_scheme="dark")
    window.page.goto(f"{address}/pick?{urlencode(PICK)}")
    window.page.emulate_media(media="print")
    text = window.text("body")
    assert text.startswith("Tarnwick Supply (invented), 555 0100 R448A at SST 24 °F (dew), 20.0 kBtu/h")
    assert "Application Walk-in cooler" in text and "More" not in text and "Copy" not in text
    assert window.page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 255, 255)"
    window.context.close()


def test_hostile_addresses_run_nothing(window: Window, address: str) -> None:
    hostile = """"><img src=x onerror="alert(1)"><script>alert(1)</script>"""
    for name in ("refrigerant", "load", "job", "overrides", "load_unit"):
        window.page.goto(f"{address}/pick?{urlencode(PICK | {name: hostile})}")
        window.page.fill("#quantity", "2")
        window.page.wait_for_timeout(120)
        assert window.page.evaluate("document.images.length + document.querySelectorAll('script').length") == 1
    assert hostile.split("<")[0] in window.page.evaluate("document.getElementById('form').elements.load_unit.value")


@pytest.mark.slow
def test_fifty_people_at_once_get_what_one_gets(address: str) -> None:
    loads = [f"{8 + 2.5 * (i % 10):g}" for i in range(CLIENTS)]

    def ask(load: str) -> tuple[int, str]:
        answer = httpx.get(f"{address}/answer/pick", params=PICK | {"load": load, "family": "alder"}, timeout=60.0)
        return answer.status_code, answer.text

    alone = {load: ask(load) for load in loads[:10]}
    with concurrent.futures.ThreadPoolExecutor(CLIENTS) as pool:
        together = list(pool.map(ask, loads))
    assert together == [alone[load] for load in loads]
    assert len(set(together)) == 10 and {status for status, _ in together} == {200}
    for load, (_, text) in zip(loads, together, strict=True):
        assert re.search(rf"<h2>R448A at SST .*?, {float(load):#.3g}\skBtu/h</h2>", text)
