"""The phone page in a real browser: answers, states and messages, accessibility, hostile names."""

from __future__ import annotations

import dataclasses
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tablegen.report.formatter import Formatter
from tablegen.report.phone.phone_page import phone_page, write_phone_page
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import TableConditions
from tests.demo import demo_data, page_texts, reprinted, with_inputs
from tests.phone.answers import Look, answer, fitting, neighbors, suction_rows
from tests.phone.browser import Page
from tests.us_units import kelvin

CASE = Look("R448A", "walk_in_medium", "24", "IP", "20", "IP")
NOT_FITTING = {"too_small": "Too small: its maximum load is ", "too_large": "Too large: its minimum load is "}
FRAGMENT = "#refrigerant=R448A&sst=24&load=20&application=walk_in_medium&degrees=IP&loads=IP"


def scans(count: int) -> Iterator[Look]:
    """Cases of every kind: on a row and between, each unit, loads within and beyond, limits to the last figure."""
    data, chance = demo_data(), random.Random(9)
    catalogue = data.catalogue
    units = {"IP": (1.8, -459.67), "SI": (1.0, -273.15)}
    for _ in range(count):
        part = chance.choice(catalogue.combinations)
        name = chance.choice([part.group, *catalogue.groups[part.group].members])
        degrees, loads = chance.choice(("IP", "SI")), chance.choice(("IP", "SI"))
        grid = catalogue.applications[part.application].sst_k.tolist()
        kelvin = chance.choice(grid) if chance.random() < 0.5 else chance.uniform(grid[0], grid[-1])
        scale, offset = units[degrees]
        sst = f"{round(kelvin * scale + offset, 2):g}"
        family = part.family if chance.random() < 0.3 else ""
        load = f"{10 ** chance.uniform(-0.8, 2.3):.3g}"
        look = Look(name, part.application, sst, degrees, load, loads, family)
        windows = [s.window for s in answer(data, look) if s.window] if chance.random() < 0.3 else []
        # A printed limit itself is covered.
        yield dataclasses.replace(look, load=chance.choice(chance.choice(windows))) if windows else look


@pytest.mark.parametrize("count", [20, pytest.param(300, marks=pytest.mark.slow)])
def test_answers_are_what_the_data_set_says(opened: Page, count: int) -> None:
    data = demo_data()
    names = {
        (f.name, size.name): f"{f.display_name} {size.display_name}"
        for f in data.catalogue.families.values()
        for size in f.sizes
    }
    outcomes: dict[str, int] = {}
    for look in scans(count):
        seen = opened.look(look)
        sizes = answer(data, look)
        unit = {"IP": "kBtu/h", "SI": "kW"}[look.loads]
        if not suction_rows(data, look.application, look.sst, look.degrees):
            assert "do not extrapolate" in seen["verdict"], look
            outcomes["beyond"] = outcomes.get("beyond", 0) + 1
            continue
        best = fitting(sizes)
        # Family, size and window of each that fits, largest margin first, the margin cut to two decimals.
        expected = [
            f"{names[s.family, s.size]}: {s.window[0]} to {s.window[1]} {unit}. Margin {cut(s.margin)}" for s in best
        ]
        assert [re.match(r".* Margin [\d.]+\d", text)[0] for text in seen["fits"]] == expected, look
        assert [", at its limit" in text for text in seen["fits"]] == [s.margin < 1.05 for s in best]
        if best:
            first = names[best[0].family, best[0].size]
            low, high = best[0].window
            assert seen["verdict"].startswith(f"{first} fits"), look
            assert f" covers {low} to {high} {unit} at SST " in seen["verdict"], look
            assert [i for i, text in enumerate(seen["fits"]) if "; first choice" in text] == [0]
            # Of each family the first is called its best, but for the first choice itself.
            families = [s.family for s in best]
            assert [i for i, text in enumerate(seen["fits"]) if "; best of " in text] == [
                families.index(family) for family in dict.fromkeys(families[1:]) if family != families[0]
            ]
            assert seen["specification"].startswith(f"Quillmere Valves (invented) {first.replace(' ', ' size ')}; ")
            assert data.fingerprint in seen["specification"]
        else:
            assert seen["verdict"].startswith("No size fits "), look
        near = neighbors(sizes)
        named = [text for text in seen["others"] if "no window" not in text and "not offered here" not in text]
        assert len(named) == len(near), look
        for text, size in zip(named, near, strict=True):
            assert text.startswith(f"{names[size.family, size.size]}: {size.window[0]} to {size.window[1]} {unit}. ")
            assert NOT_FITTING[size.verdict] in text
            why, _, member = size.why.rpartition(" (")
            assert text.endswith(f", because {why} (set by {member}."), (look, text)
        # The strip: the load is in each window where its logarithm says.
        for (x, width), load, size in zip(seen["strips"], seen["loads"], best, strict=True):
            assert x - 0.02 <= load <= x + max(width, 0.5) + 0.02, (look, size)
        outcomes[("fit" if best else "none") + look.degrees + look.loads] = 1
    assert {"fitIPIP", "fitIPSI", "fitSIIP", "fitSISI", "noneIPIP", "noneSISI"} <= set(outcomes)


def cut(ratio: float) -> str:
    return f"{int(ratio * 100 + 1e-9) / 100:.2f}"


SAID = [
    ({"sst": "", "load": ""}, "Still needed: load and box temperature or SST. The size that covers the load"),
    ({"sst": "24", "load": ""}, "Still needed: load. The size "),
    ({"name": "", "application": ""}, "Still needed: application and refrigerant. The size "),
    ({"sst": "abc"}, "Suction temperature: “abc” is not a number; write one such as 24 or −10.5."),
    ({"sst": "24 K"}, "Suction temperature: “24 K” has a unit that is not known here; write °F or °C, or no unit."),
    ({"sst": "2 4"}, "Suction temperature: “2 4” is not a number"),
    ({"sst": "-"}, "Suction temperature: “-” is not a number"),
    (
        {"sst": "-40"},
        "this application covers 10 to 40 °F; do not extrapolate. For R448A this temperature is covered by: "
        "Walk-in freezer, floating head pressure; Walk-in freezer, fixed head pressure",
    ),
    ({"sst": "40.01"}, "do not extrapolate. No application with a valve for R448A covers it."),
    ({"sst": "9.99"}, "do not extrapolate. No application"),
    ({"load": "0"}, "Load: enter a figure above zero."),
    ({"load": "-3"}, "Load: enter a figure above zero."),
    ({"load": "1,5 kW"}, "Load: “1,5 kW” has a comma where a decimal point belongs; if that is meant, write 1.5."),
    ({"load": "1,20"}, "Load: “1,20” has a comma where a decimal point belongs; if that is meant, write 1.20."),
    ({"load": "1,2000"}, "Load: “1,2000” has a comma where a decimal point belongs"),
    ({"load": "12.000 Btu/h"}, "Load: “12.000 Btu/h” can be read two ways; write 12000 or 12."),
    ({"load": "1 hp"}, "Load: hp is a motor's rating; give the system capacity in tons, Btu/h or kW"),
    ({"load": "1e3"}, "Load: “1e3” is not a number; write one such as 20 or 5.9."),
    ({"load": "5 kg"}, "Load: “5 kg” has a unit that is not known here; write kBtu/h, Btu/h, tons or kW, or no unit."),
    ({"load": "9" * 309}, "Load: write a number of at most 40 characters."),
    ({"load": "9" * 40}, "Load: “9999999999999999999999999999999999999999” is too large a number."),
    (
        {"load": "2000"},
        "No size fits Did you mean 2000 Btu/h? The largest load that any valve here covers is {greatest} kBtu/h",
    ),
    (
        {"load": "500"},
        "No size fits The largest load that any valve here covers is {greatest} kBtu/h (Hazel G). Split the load",
    ),
    ({"load": "0.01"}, "No size fits Check the unit of the load. The smallest load that any valve here covers is "),
    (
        {"name": "R134a", "application": "walk_in_low", "sst": "-20"},
        "No valve is offered for R134a in this application. Offered for coolers only. Ask the manufacturer.",
    ),
    (
        {"name": "R407C", "application": "walk_in_medium_fixed"},
        "No valve is offered for R407C in this application. Offered for R404A, R507A and the R448A group only. Offered in: Walk-in cooler, "
        "float",
    ),
    (
        {"name": "R407C", "family": "rowan"},
        "This family is not offered for R407C in this application. No bulb charge is offered. Offered: Alder balanced-port",
    ),
]


LARGEST = Formatter("IP")


def greatest_load_w() -> float:
    """The maximum load of all windows of the case [W]."""
    rows = demo_data().windows
    own = rows[(rows["refrigerant"] == CASE.name) & (rows["application"] == CASE.application)]
    return float(own.loc[(own["sst_k"] - kelvin(float(CASE.sst))).abs() < 1e-6, "max_load_w"].max())


@pytest.mark.parametrize(("change", "said"), SAID)
def test_what_cannot_be_answered_says_what_to_do(opened: Page, change: dict[str, str], said: str) -> None:
    seen = opened.look(dataclasses.replace(CASE, **change))
    said = said.replace("{greatest}", LARGEST.window(1.0, greatest_load_w())[1])
    assert seen["verdict"].startswith(said) or said in seen["verdict"]
    assert seen["fits"] == []
    wrong = {"sst": "Suction temperature: ", "load": "Load: "}
    for field in wrong:
        is_marked = opened.page.get_attribute(f"#{field}", "aria-invalid") == "true"
        assert is_marked == seen["verdict"].startswith(wrong[field])


@pytest.mark.slow
def test_a_load_between_two_windows_says_so(browser: Any, tmp_path: Path) -> None:
    """Of one family whose size range has a gap: every second size of the demo's is taken away."""
    data = demo_data()
    kept = data.windows[~data.windows["size"].isin(["4", "10"]) | (data.windows["family"] != "rowan")]
    rowan = data.catalogue.families["rowan"]
    few = dataclasses.replace(rowan, sizes=tuple(s for s in rowan.sizes if s.name not in ("4", "10")))
    families = {**data.catalogue.families, "rowan": few}
    write_phone_page(with_inputs(dataclasses.replace(data, windows=kept), families=families), tmp_path / "l.html")
    page = Page(browser, tmp_path / "l.html")
    seen = page.look(dataclasses.replace(CASE, family="rowan", load="12"))
    assert seen["verdict"].startswith("No size fits The load is between the windows of neighboring sizes; try")
    page.close()


@pytest.mark.parametrize("text", [" 5.9 ", "+5.9", "5.9 kW", "5.9kw"])
def test_figures_as_people_write_them(opened: Page, text: str) -> None:
    plain = opened.look(dataclasses.replace(CASE, load="5.9", loads="SI"))
    seen = opened.look(dataclasses.replace(CASE, load=text, loads="SI"))
    assert seen == plain
    assert "load 5.9 kW at the rating point" in seen["specification"]


@pytest.mark.slow
def test_units_are_those_of_the_catalogue(browser: Any, tmp_path: Path) -> None:
    """Tables in tons of refrigeration, a load in any unit."""
    write_phone_page(reprinted(demo_data(), load_unit="ton_refrigeration"), tmp_path / "l.html")
    page = Page(browser, tmp_path / "l.html")
    seen = page.look(dataclasses.replace(CASE, load="1.6 tons of refrigeration"))
    assert seen["fits"] == page.look(dataclasses.replace(CASE, load="1.6"))["fits"] != []
    assert page.look(dataclasses.replace(CASE, load="19.2 kBtu/h"))["fits"] == seen["fits"]
    page.close()


@pytest.mark.parametrize("text", ["20 000", "20\u202f000", "20000", "20,000"])
def test_thousands_may_be_separated(opened: Page, text: str) -> None:
    assert "Did you mean 20000 Btu/h?" in opened.look(dataclasses.replace(CASE, load=text))["verdict"]


def test_a_true_minus_sign_is_a_minus_sign(opened: Page) -> None:
    cold = dataclasses.replace(CASE, application="walk_in_low", sst="-20", load="8")
    assert opened.look(dataclasses.replace(cold, sst="−20"))["fits"] == opened.look(cold)["fits"] != []


def test_the_case_is_in_the_address_and_comes_back_from_it(browser: Any, path: Path) -> None:
    page = Page(browser, path)
    page.look(dataclasses.replace(CASE, name="R448A-family", family="alder", sst="-4.44", degrees="SI"))
    address, found = page.page.url, page.text("main")
    page.close()
    assert (
        "#application=walk_in_medium&refrigerant=R448A-family&family=alder&sst=-4.44&load=20&degrees=SI&loads=kBtu%2Fh"
        in address
    )
    other = Page(browser, path, "#" + address.partition("#")[2])
    assert other.text("main") == found
    # What an address leaves out is blank, whatever was there; capitals are of no matter.
    other.page.evaluate("location.hash = 'refrigerant=r404a&sst=30&load=12'")
    other.page.wait_for_function("document.getElementById('refrigerant').value === 'R404A'")
    assert other.text("#verdict").startswith("Still needed: application. The size ")
    assert [other.page.input_value(f"#{id}") for id in ("application", "family")] == ["", ""]
    assert other.page.is_checked("#degrees-IP")
    other.close()


@pytest.mark.slow
def test_a_link_that_asks_for_the_unknown_says_so(browser: Any, path: Path) -> None:
    page = Page(browser, path, "#refrigerant=R999&sst=24&load=20&application=%3Cb%3Ecold%3C/b%3E")
    unknown = "The link asks for “<b>cold</b>” and “R999”, which are not in these tables. Choose again."
    assert page.text("#verdict") == unknown
    # Another figure is no choice: nothing is answered for what was not asked.
    page.page.fill("#load", "21")
    assert page.text("#verdict") == unknown
    assert page.page.locator("#found *").count() == 0
    assert page.page.input_value("#refrigerant") == ""
    page.page.select_option("#refrigerant", "R404A")
    assert page.text("#verdict").startswith("Still needed: application. The size ")
    page.close()


@pytest.mark.slow
def test_units_are_remembered_and_convert_the_case(browser: Any, path: Path) -> None:
    page = Page(browser, path, FRAGMENT)
    page.page.get_by_label("°C").check()
    page.page.get_by_label("kW", exact=True).check()
    assert (page.page.input_value("#sst"), page.page.input_value("#load")) == ("-4.44", "5.861")
    # The same row of the tables, in the other units.
    assert "between the rows" not in page.text("#found")
    assert "bar gauge" in page.text("#terms")
    # A look at the other unit leaves what was written as it was.
    page.page.get_by_label("°F").check()
    page.page.get_by_label("kBtu/h", exact=True).check()
    assert (page.page.input_value("#sst"), page.page.input_value("#load")) == ("24", "20")
    page.page.get_by_label("°C").check()
    page.page.get_by_label("kW", exact=True).check()
    page.page.goto("about:blank")
    page.page.goto(page.url)
    assert page.page.is_checked("#degrees-SI")
    assert page.page.is_checked("#loads-kW")
    assert page.page.input_value("#load") == ""
    page.requests = [url for url in page.requests if url != "about:blank"]
    page.close()


@pytest.mark.slow
def test_a_line_for_the_order_is_copied(browser: Any, path: Path) -> None:
    page = Page(browser, path, FRAGMENT, permissions=["clipboard-read", "clipboard-write"])
    page.page.get_by_role("button", name="Copy this line").click()
    page.page.wait_for_function("document.getElementById('copied').textContent !== ''")
    assert page.text("#copied") == "Copied."
    line = page.page.evaluate("navigator.clipboard.readText()").replace("\u00a0", " ")
    assert line == page.text("#specification")
    assert line.startswith("Quillmere Valves (invented) Hazel size F; stepper, 500 full steps")
    td = 1.8 * demo_data().catalogue.applications["walk_in_medium"].coil_temperature_difference_k
    assert (
        f"for R448A, Walk-in cooler, floating head pressure; SST 24 °F, box {24 + td:.0f} °F, TD {td:.0f} °F (SST at dew "
        "point); load 20 kBtu/h" in line
    )
    [chosen] = [s for s in answer(demo_data(), CASE) if (s.family, s.size) == ("hazel", "250")]
    assert f"; window {' to '.join(chosen.window)} kBtu/h, nominal limits; revision A of 2026-11-25, data " in line
    # Another size that fits has its line too.
    page.page.get_by_role("button", name="Order Alder 90").click()
    assert page.text("#specified") == "Order: Alder 90"
    assert "; external equalizer; connections 1/2 in x 5/8 in solder; capillary: choose" in page.text("#specification")
    assert page.page.get_by_role("button", name="Order Alder 90").get_attribute("aria-pressed") == "true"
    assert page.page.evaluate("document.activeElement.getAttribute('aria-label')") == "Order Alder 90"
    # It is that of its case alone.
    page.page.fill("#load", "21")
    assert page.text("#specified") == "Order: Hazel F"
    page.close()


def test_a_browser_that_refuses_the_clipboard_leaves_the_line_selected(opened: Page) -> None:
    page = opened
    page.open(FRAGMENT)
    page.page.evaluate(
        "navigator.clipboard.writeText = () => Promise.reject(new Error('no')); document.execCommand = () => false"
    )
    page.page.click("#copy")
    page.page.wait_for_function("document.getElementById('copied').textContent !== ''")
    assert page.text("#copied").startswith("Not copied: the browser does not allow it. The line is selected")
    assert page.page.evaluate("getSelection().toString()").replace("\u00a0", " ") == page.text("#specification")


# --- people with other eyes and hands ---------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "scheme"), [(320, "light"), (1280, "dark")])
def test_axe_finds_no_violation(browser: Any, path: Path, scheme: str, width: int) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = Page(browser, path, "", width, color_scheme=scheme)
    for change in ({}, {"sst": "99"}, {"load": "2000"}):
        page.open()
        page.look(dataclasses.replace(CASE, **change))
        found = Axe().run(page.page)
        assert found.violations_count == 0, found.generate_report()
        assert page.page.evaluate("document.documentElement.scrollWidth") <= width
        page.check()
    page.close()


def test_every_field_has_its_name_and_the_answer_is_announced(opened: Page) -> None:
    opened.look(CASE)
    page = opened.page
    for role, name in (
        ("combobox", "Refrigerant"),
        ("textbox", "Load, kBtu/h"),
        ("textbox", "Box, °F"),
        ("textbox", "TD, °F"),
        ("textbox", "SST, °F"),
        ("combobox", "Application"),
        ("combobox", "Valve family"),
        ("group", "Unit of temperatures"),
        ("group", "Unit of the load"),
        ("radio", "°F"),
        ("radio", "kBtu/h"),
        ("button", "Copy this line"),
    ):
        assert page.get_by_role(role, name=name, exact=True).count() == 1, (role, name)
    assert page.get_attribute("#verdict", "role") == "status"
    assert page.get_attribute("#verdict", "aria-live") == "polite"
    # Strips are drawn for eyes alone; their figures are beside them.
    assert page.locator("svg:not([aria-hidden=true])").count() == 0


@pytest.mark.slow
def test_it_is_used_with_the_keyboard_alone(browser: Any, path: Path) -> None:
    page = Page(browser, path)
    order = []
    for _ in range(9):
        page.page.keyboard.press("Tab")
        order.append(page.page.evaluate("document.activeElement.id"))
        # Around the field itself, or around what is seen of it.
        outline = page.page.evaluate(
            "[document.activeElement, document.activeElement.nextElementSibling, document.activeElement.parentElement]"
            ".some((e) => e && getComputedStyle(e).outlineStyle === 'solid')"
        )
        assert outline
        wanted = {"application": "Walk-in cooler, floating", "refrigerant": "R448A", "sst": "24", "load": "20"}
        typed = wanted.get(order[-1])
        if typed:
            page.page.keyboard.type(typed)
    assert order == [
        *("load", "box", "difference", "sst", "application", "refrigerant", "family"),
        *("loads-kBtu/h", "degrees-IP"),
    ]
    assert page.text("#verdict").startswith("Hazel F")
    page.page.keyboard.press("Tab")
    assert page.page.evaluate("document.activeElement.href") == "tel:5550100"
    for name in ("Order Hazel F", "Order Hazel G"):
        page.page.keyboard.press("Tab")
        assert page.page.evaluate("document.activeElement.getAttribute('aria-label')") == name
    page.page.keyboard.press("Enter")
    assert page.text("#specified") == "Order: Hazel G"
    page.close()


@pytest.mark.slow
def test_print_shows_the_case_and_the_answer_in_black(browser: Any, path: Path) -> None:
    page = Page(browser, path, FRAGMENT)
    page.page.emulate_media(media="print")
    assert not page.page.is_visible("#case")
    assert not page.page.is_visible("#copy")
    for selector in ("#asked", "#verdict", ".call", "#found ol", "#specification", "#terms", "#origin"):
        assert page.page.is_visible(selector), selector
    fills = page.page.evaluate("[...document.querySelectorAll('.window')].map((e) => getComputedStyle(e).fill)")
    assert set(fills) == {"rgb(0, 0, 0)"}
    # Every sheet says whose data it is, and that they are invented.
    sheet = page.page.pdf(format="A4")
    feet = [" ".join(text.split()) for text in page_texts(sheet)]
    for number, text in enumerate(feet, start=1):
        assert "Demonstration with invented valves; not for the selection of real equipment. Quillmere Valves" in text
        assert f"Page {number} of {len(feet)}" in text
    # One that does not fit differs from one that does without any color.
    assert set(
        page.page.evaluate("[...document.querySelectorAll('.missed')].map((e) => getComputedStyle(e).strokeDasharray)")
    ) == {"4px, 3px"}
    page.close()


def test_without_scripts_it_says_why_it_does_not_answer(browser: Any, path: Path) -> None:
    page = Page(browser, path, java_script_enabled=False)
    assert "This page needs JavaScript, which is blocked here." in page.text("main")
    page.close()


# --- what may get into it --------------------------------------------------------------------------------------

HOSTILE = "<img src=x onerror=alert(1)></script><script>alert(2)</script>{{script}} &amp; \u2028 \"'"


def test_markup_in_names_is_text(browser: Any, tmp_path: Path) -> None:
    data = reprinted(demo_data(), title=HOSTILE, company=HOSTILE, notice=HOSTILE)
    own = data.catalogue
    families = {
        name: dataclasses.replace(
            family,
            display_name=HOSTILE,
            title=HOSTILE,
            elements=tuple(dataclasses.replace(element, title=HOSTILE) for element in family.elements),
        )
        for name, family in own.families.items()
    }
    applications, groups = (
        {name: dataclasses.replace(value, title=HOSTILE) for name, value in values.items()}
        for values in (own.applications, own.groups)
    )
    write_phone_page(
        with_inputs(data, families=families, applications=applications, groups=groups), tmp_path / "l.html"
    )
    page = Page(browser, tmp_path / "l.html")
    seen = page.look(dataclasses.replace(CASE, name="R448A-family"))
    plain = HOSTILE.replace("\u2028", " ").split()
    for text in (
        page.text("h1"),
        page.text(".company"),
        page.text(".notice"),
        seen["specification"],
        page.page.locator("#application option").nth(1).inner_text(),
        page.page.title(),
    ):
        assert " ".join(plain[:3]) in text
    assert page.page.locator("img:not(.logo)").count() == 0
    logo = page.page.locator("img.logo")
    assert " ".join(plain[:3]) in str(logo.get_attribute("alt"))
    assert logo.evaluate("(image) => image.complete && image.naturalWidth > 0")
    assert page.page.locator("script").count() == 2
    page.close()


def test_the_policy_lets_nothing_else_run(browser: Any, path: Path) -> None:
    page = Page(browser, path)
    page.page.evaluate("""() => {
      const script = document.createElement("script");
      script.textContent = "window.ran = true";
      document.body.append(script);
      const style = document.createElement("style");
      style.textContent = "body { display: none }";
      document.body.append(style);
      fetch("https://example.invalid/").catch(() => {});
    }""")
    assert page.page.evaluate("window.ran") is None
    assert page.page.is_visible("h1")
    assert len([text for text in page.messages if "Content Security Policy" in text]) >= 3
    page.messages, page.requests = [], [page.url]
    page.close()


@pytest.mark.slow
def test_the_demo_is_small_and_the_same_each_time() -> None:
    text = phone_page(demo_data())
    assert len(text.encode()) < 450_000
    assert phone_page(demo_data()) == text
    assert not re.search(r"https?://", text.replace("http://www.w3.org/2000/svg", ""))


@pytest.mark.slow
@pytest.mark.parametrize("system", ["IP", "SI"])
def test_the_load_is_asked_for_at_the_rating_point_of_the_application(opened: Page, system: str) -> None:
    """Not at another of its conditions: the hint is the line of the conditions that is called so."""
    page = opened
    for application in demo_data().catalogue.applications.values():
        fragment = FRAGMENT.replace("walk_in_medium", application.name).replace("=IP", f"={system}")
        offered = [c.group for c in demo_data().catalogue.combinations if c.application == application.name]
        name = "R448A" if "R448A-family" in offered else demo_data().catalogue.groups[offered[0]].members[0]
        fragment = fragment.replace("R448A", name)
        page.open(fragment.replace("sst=24", f"sst={-20 if 'low' in application.name else 24}"))
        publication = Publication(PrintedData(demo_data()), Formatter(system))
        rating = TableConditions(publication, application, [name], True).head("rating")
        shown = page.text("#load-note").replace("\N{NO-BREAK SPACE}", " ")
        assert f"Rating point: {rating}. ".replace("\N{NO-BREAK SPACE}", " ") in shown, application.name
