"""A phone page that would be too large is split by application; one that is too large even then is refused."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tablegen.errors import PublishError
from tablegen.report.phone import phone_page as module
from tablegen.report.phone.phone_page import phone_page, write_phone_page
from tests.demo import demo_data
from tests.phone.answers import Look, answer, fitting
from tests.phone.browser import Page

# The whole page of the demo has about 380 kB, that of its largest application about 200 kB.
SPLIT, TOO_SMALL = 300_000, 90_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("split")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "MOST_BYTES", SPLIT)
        write_phone_page(demo_data(), found / "lookup.html")
    return found


@pytest.mark.slow
def test_a_page_below_the_limit_is_one_file(tmp_path: Path) -> None:
    write_phone_page(demo_data(), tmp_path / "lookup.html")
    assert [path.name for path in tmp_path.iterdir()] == ["lookup.html"]
    assert (tmp_path / "lookup.html").read_text(encoding="utf-8") == phone_page(demo_data())


def test_a_larger_one_is_a_page_for_each_application_and_links_to_them(folder: Path) -> None:
    applications = list(demo_data().catalogue.applications)
    index = (folder / "lookup.html").read_text(encoding="utf-8")
    assert re.findall(r'<a href="([^"]+)"', index) == [f"lookup-{n}.html#application={n}" for n in applications]
    assert {path.name for path in folder.iterdir()} == {"lookup.html", *(f"lookup-{n}.html" for n in applications)}
    assert all(path.stat().st_size <= SPLIT for path in folder.iterdir())
    assert "{{" not in index and len(index) < 30_000


def test_a_person_finds_the_page_and_the_same_answer_on_it(browser: Any, folder: Path) -> None:
    look = Look("R448A", "walk_in_medium", "24", "IP", "20", "IP")
    first = Page(browser, folder / "lookup.html", width=320)
    first.page.click("text=Walk-in cooler, floating head pressure")
    assert "/lookup-walk_in_medium.html#" in first.page.url
    assert first.page.input_value("#application") == "walk_in_medium"
    seen = first.look(look)
    best = fitting(answer(demo_data(), look))
    assert best and len(seen["fits"]) == len(best)
    for text, size in zip(seen["fits"], best, strict=True):
        own = next(s for s in demo_data().catalogue.families[size.family].sizes if s.name == size.size)
        assert f" {own.display_name}: {size.window[0]} to {size.window[1]} kBtu/h" in text
    first.page.fill("#sst", "-20")
    assert "the others have pages of their own" in first.page.inner_text("main") or "see also" in first.page.inner_text(
        "main"
    )
    first.page.click("text=All applications")
    assert first.page.url.endswith("/lookup.html")
    first.context.close()
    assert first.messages == []
    assert all(url.startswith("file:") for url in first.requests)


def test_an_application_that_is_too_large_alone_is_refused_in_one_sentence(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(module, "MOST_BYTES", TOO_SMALL)
    with pytest.raises(PublishError) as caught:
        write_phone_page(demo_data(), tmp_path / "lookup.html")
    assert str(caught.value) == (
        "the page for Walk-in cooler, floating head pressure would be larger than 0.09 MB, which a phone opens too slowly; "
        "split the catalogue into several, each with fewer families."
    )


@pytest.mark.parametrize(("most_of_a_window", "is_made"), [(20, True), (10, False)])
def test_a_page_is_not_made_where_its_windows_alone_are_too_large(
    most_of_a_window: int, is_made: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data, made = demo_data(), []
    monkeypatch.setattr(module, "phone_page", lambda own, _="": made.append(len(own.windows)) or "a page")
    monkeypatch.setattr(module, "MOST_BYTES", most_of_a_window * len(data.windows))
    write_phone_page(data, tmp_path / "lookup.html")
    assert (len(data.windows) in made) == is_made


@pytest.mark.slow
def test_many_sizes_without_a_window_are_listed_in_no_time(browser: Any, tmp_path: Path) -> None:
    write_phone_page(demo_data(), tmp_path / "lookup.html")
    own = Page(browser, tmp_path / "lookup.html")
    seconds, parts = own.page.evaluate(
        """() => {
          const [family, { sizes }] = Object.entries(tables.families)[0];
          const one = { family, size: sizes[0], verdict: "no_window", why: "", member: "" };
          const begun = performance.now();
          const found = noWindows({ sizes: Array(40000).fill(one) }, { family });
          return [(performance.now() - begun) / 1000, found.length];
        }"""
    )
    assert parts == 1 and seconds < 1.0
    own.close()
