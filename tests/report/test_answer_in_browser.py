"""Answers as HTML in the system's Chromium: nothing is cut off on a phone, wide parts scroll, axe finds no fault."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import tablegen
from tests.phone.browser import Page, chromium

CASE = {"sst": "24 degF", "load": "20 kBtu/h", "application": "walk_in_medium"}
ANSWERS = {
    "pick": lambda: tablegen.pick("R448A", **CASE),
    "convert": lambda: tablegen.convert(
        "R448A",
        capacity="20 kBtu/h",
        condensing="120 degF",
        basis="dew",
        subcooling=5.0,
        sst="24 degF",
        application="walk_in_medium",
    ),
    "retrofit": lambda: tablegen.retrofit("alder", "45", refrigerant="R448A", was="R404A", **CASE),
    "trace": lambda: tablegen.trace("alder", "90", "R448A-family", sst="24 degF", application="walk_in_medium"),
    "table": lambda: tablegen.table("alder", "R448A-family", application="walk_in_medium"),
    "states": lambda: tablegen.states("R448A"),
    "suggest": lambda: tablegen.suggest(application="walk_in_medium"),
    "verify": lambda: tablegen.verify("R448A"),
}

# Parts that reach beyond the window, and are in nothing that scrolls.
CUT_OFF = """
() => [...document.querySelectorAll("main *")].filter((e) => !e.closest(".scroll")
  && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1).map((e) => e.outerHTML.slice(0, 80))
"""
# Cells of figures that do not end where their label does, or are on more than one line.
CROOKED = """
() => [...document.querySelectorAll("table")].flatMap((table) => [...table.rows].flatMap((row) =>
  [...row.cells].filter((cell, i) => cell.matches("tbody .figures") && (cell.getClientRects().length !== 1
    || Math.abs(cell.getBoundingClientRect().right - table.rows[0].cells[i].getBoundingClientRect().right) > 1
    || getComputedStyle(cell).textAlign !== "right")).map((cell) => cell.textContent)))
"""
# Height of the smallest type [px] of figures that do not scroll.
SMALLEST_TYPE = """
() => Math.min(99, ...[...document.querySelectorAll("figure:not(.wide) svg text")].map((text) =>
  text.getAttribute("font-size") * text.ownerSVGElement.getScreenCTM().a))
"""
LEVELS = '() => [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")].map((e) => Number(e.tagName[1]))'


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


# With tables that scroll and figures, and a calculation; the others are slow.
OFTEN = ("trace", "pick")


@pytest.mark.parametrize(
    "name", [name if name in OFTEN else pytest.param(name, marks=pytest.mark.slow) for name in ANSWERS]
)
def test_answer_is_readable_on_a_phone_and_on_a_desk(name: str, browser: Any, tmp_path: Path) -> None:
    from axe_playwright_python.sync_playwright import Axe

    path = tmp_path / f"{name}.html"
    ANSWERS[name]().write(path)
    for width, scheme in ((320, "light"), (1280, "dark")):
        page = Page(browser, path, "", width, color_scheme=scheme)
        assert page.page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.page.evaluate(CUT_OFF) == []
        assert page.page.evaluate(CROOKED) == []
        assert page.page.evaluate(SMALLEST_TYPE) >= 11.0
        levels = page.page.evaluate(LEVELS)
        assert levels[0] == 1 and all(b - a <= 1 for a, b in itertools.pairwise(levels))
        found = Axe().run(page.page)
        assert found.violations_count == 0, found.generate_report()
        page.close()
