"""The link from a specification on the phone page to the window table in a booklet beside it."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from tablegen.model.inputs import Catalogue, Group
from tablegen.model.printed_tables import printed_table
from tablegen.report.phone.phone_data import phone_data
from tablegen.report.phone.phone_page import write_phone_page
from tests.demo import demo_catalogue, demo_data, with_inputs
from tests.phone.browser import Page

TABLE = "table.alder.R448A-family.walk_in_medium"
ASKED = "#application=walk_in_medium&refrigerant={}&sst=24&load=20&degrees=IP&loads={}&family={}"
# Where the page makes a name of keys, a list of what it makes of names that contain every sign.
_LINKS = """
() => {
  const found = [];
  for (const [family, applications] of Object.entries(tables.printed)) {
    for (const application of Object.keys(applications)) {
      for (const name of [...Object.keys(tables.refrigerants), ...Object.keys(tables.groups)]) {
        for (const loadSystem of SYSTEMS) {
          const table = tableOf({ family }, { name, application, loadSystem });
          found.push([family, name, application, loadSystem, table && table.link]);
        }
      }
    }
  }
  return found;
}
"""


def series(catalogue: Catalogue) -> Catalogue:
    """The demo with a booklet for each family, but one, and names with every sign that they may contain."""
    whole = [own for own in catalogue.booklets if own.printed.paper == "letter"]
    booklets = []
    for family in ("", "alder", "hazel", "rowan"):
        for own in whole:
            name = own.printed.name.replace("booklet", f"booklet-{family}") if family else own.printed.name
            few = tuple(c for c in own.combinations if family in ("", c.family))
            printed = dataclasses.replace(own.printed, name=name)
            booklets.append(
                dataclasses.replace(own, printed=printed, combinations=few, series="booklet", family=family)
            )
    return dataclasses.replace(catalogue, booklets=tuple(booklets))


def href(page: Page) -> str | None:
    return page.page.get_attribute("#table", "href")


def test_the_table_of_a_picked_valve_is_a_link_to_the_print_in_the_units_of_the_page(opened: Page) -> None:
    page = opened
    for name in ("R448A-family", "R449A"):
        page.open(ASKED.format(name, "IP", "alder"))
        assert href(page) == f"booklet.pdf#nameddest={TABLE}"
        page.page.get_by_label("kW", exact=True).check()
        assert href(page) == f"booklet-letter-si.pdf#nameddest={TABLE}"
    assert page.text("p:has(> #table)") == (
        "Window table in the booklet (booklet-letter-si.pdf, in the folder of this page)"
    )
    # Another valve, another table; paper keeps the file.
    page.page.select_option("#family", "hazel")
    assert href(page) == f"booklet-letter-si.pdf#nameddest={TABLE.replace('alder', 'hazel')}"
    page.page.emulate_media(media="print")
    assert "booklet-letter-si.pdf" in page.text("#found")
    page.page.emulate_media(media="screen")


def test_there_is_no_link_where_no_booklet_prints_the_table(opened: Page) -> None:
    page = opened
    page.open(ASKED.format("R404A-R507A", "IP", "rowan"))
    assert page.text("#specified").startswith("Order: Rowan") and page.page.locator("#table").count() == 0
    page.page.select_option("#family", "alder")
    assert href(page) == "booklet.pdf#nameddest=table.alder.R404A-R507A.walk_in_medium"


@pytest.mark.slow
def test_the_page_lets_the_link_lead_to_the_file_beside_it(browser: Any, path: Path, tmp_path: Path) -> None:
    own = tmp_path / "lookup.html"
    own.write_bytes(path.read_bytes())
    (tmp_path / "booklet.pdf").write_bytes(b"%PDF-1.4")
    page = Page(browser, own, ASKED.format("R448A", "IP", "alder"))
    with page.page.expect_request("**/booklet.pdf*") as request:
        page.page.click("#table", no_wait_after=True)
    # A request has no fragment.
    assert request.value.url == own.with_name("booklet.pdf").as_uri()
    assert page.messages == []
    page.context.close()


@pytest.mark.slow
def test_the_page_finds_the_tables_that_the_package_finds(browser: Any, tmp_path: Path) -> None:
    catalogue = series(demo_catalogue())
    # A group that is named as no other may be, for what its table is called.
    odd = "a.(b)"
    groups = {odd if name == "R407C" else name: own for name, own in catalogue.groups.items()}
    groups[odd] = Group(odd, *dataclasses.astuple(groups[odd])[1:])
    renamed = {
        key: tuple(dataclasses.replace(c, group=odd) if c.group == "R407C" else c for c in own)
        for key, own in (("", catalogue.combinations), *((b.printed.name, b.combinations) for b in catalogue.booklets))
    }
    booklets = tuple(dataclasses.replace(own, combinations=renamed[own.printed.name]) for own in catalogue.booklets)
    data = with_inputs(demo_data(), groups=groups, combinations=renamed[""], booklets=booklets)
    write_phone_page(data, tmp_path / "lookup.html")
    page = Page(browser, tmp_path / "lookup.html")
    found = page.page.evaluate(_LINKS)
    page.close()
    wanted = []
    for family, name, application, units, _ in found:
        table = printed_table(data.catalogue, family, name, application, units, "en")
        wanted.append([family, name, application, units, table and table.link])
    assert found == wanted
    links = {link for *_, link in found if link}
    assert "booklet-alder-letter-si.pdf#nameddest=table.alder.a._.-b...walk_in_medium" in links
    # One family has no booklet, and the index prints no table.
    assert {link.split(".pdf")[0] for link in links} == {
        f"booklet-{family}{units}" for family in ("alder", "hazel", "rowan") for units in ("", "-letter-si")
    }


@pytest.mark.slow
def test_file_names_are_on_the_page_once() -> None:
    data = phone_data(demo_data())
    assert data["booklets"] == [{"IP": "booklet.pdf", "SI": "booklet-letter-si.pdf"}]
    assert all(len(own) == len(data["groups"]) for by in data["printed"].values() for own in by.values())
