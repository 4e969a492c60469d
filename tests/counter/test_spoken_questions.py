"""Twenty spoken questions, answered at a wholesaler's counter in every way that there is, with one result.

One result means:

- `pick`, the desk and `pick --jobs` compute the case exactly. They name the same valve with the same load window, margin and
  order line, or refuse it alike.
- The phone page and the workbook compare printed limits, and between two SST rows the stricter of both. They list the same
  stocked sizes in the same order, so that the first choice is the same. Exact windows reach further, by a last figure or by
  what lies between two rows: a load there is covered by `pick` alone, and none of the twenty is there.
- A cell of the printed chart answers for all loads of its row, all temperatures of its column and all refrigerants of its
  group at once. Each size that it names without a frame is in stock and covers the load by `pick`; a slow test asks hundreds
  of others. The first choice of `pick` is one of them for each of the twenty. For one in eight of those hundreds
  it is a size that covers the load with a larger margin, but not the whole cell. A framed cell says to ask: what answers is
  one of its sizes, or none. Off the chart it says to ask, and gives no result that could differ.
- Chart and workbook know no quantity, which changes no first choice.
"""

from __future__ import annotations

import csv
import io
import json
import random
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import httpx
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.report.phone.phone_page import write_phone_page
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.web.questions import Desk
from tests.counter.spoken import BANDS, COOLER, GROUPS, OFF, QUESTIONS, Spoken, WallChart, sizes_of
from tests.phone.browser import Page, chromium
from tests.report.test_workbook_find import FIND, FIRST_ROW, written
from tests.spreadsheet import Spreadsheet
from tests.web.desks import served
from tests.worked import WORKED


@dataclass(frozen=True)
class Counter:
    """What a wholesaler has on the first day: the catalogue, and the data set of its build."""

    catalogue: Path
    data: DataSet


@pytest.fixture(scope="module")
def counter(tmp_path_factory: pytest.TempPathFactory) -> Counter:
    folder = tmp_path_factory.mktemp("counter") / "shop"
    run("init", str(folder), "--for", "wholesaler")
    # The valves that the questions' answers are about.
    for part in ("families", "applications"):
        for path in (folder / part).glob("*.yaml"):
            shutil.copy(WORKED.parent / part / path.name, path)
    catalogue = folder / "catalogue.yaml"
    return Counter(catalogue, compute(load_catalogue(catalogue)))


def run(*arguments: str) -> tuple[int, str, str]:
    """Exit code and what a command prints."""
    with redirect_stdout(io.StringIO()) as out, redirect_stderr(io.StringIO()) as err:
        code = main(list(arguments))
    return code, out.getvalue(), err.getvalue()


EXACT = ("min_load_w", "max_load_w", "margin")


@dataclass(frozen=True, kw_only=True)
class Answered:
    """What `pick` says: its first choice, all stocked sizes that fit, sentences and the order line; or a refusal.

    `exact` has load window and margin of the first choice, to the last digit.
    """

    valve: str = ""
    stocked: tuple[str, ...] = ()
    exact: tuple[float, ...] = ()
    said: tuple[str, ...] = ()
    order: str = ""
    refusal: str = ""


@pytest.fixture(scope="module")
def picked(counter: Counter) -> dict[Spoken, Answered]:
    return {own: _picked(counter, own) for own in QUESTIONS}


def _picked(counter: Counter, own: Spoken) -> Answered:
    asked = {
        "load": own.load,
        "application": own.application,
        "catalogue": str(counter.catalogue),
        "quantity": own.quantity,
    }
    asked |= {name: f"{degrees} degF" for name, degrees in own.place.items()}
    options = (text for name, value in asked.items() if value for text in (f"--{name}", value))
    code, out, err = run("pick", own.refrigerant, *options, "--json")
    if code == 2:
        return Answered(refusal=err.strip())
    answer = json.loads(out)
    stocked = [row for row in answer["tables"].get("fitting", ()) if row["in_stock"] != 0]
    assert code == (0 if stocked else 1)
    if not stocked:
        return Answered(said=tuple(answer["summary"]))
    order, on_the_shelf = answer["sections"]["order"]["summary"]
    return Answered(
        valve=f"Alder {answer['facts']['first_size']}",
        stocked=tuple(f"Alder {row['size']}" for row in stocked),
        exact=tuple(stocked[0][name] for name in EXACT),
        said=(*answer["summary"], order, on_the_shelf),
        order=order,
    )


def of_all(check: Callable[[Spoken], None]) -> None:
    """Every question is asked before any is said to fail."""
    wrong = []
    for own in QUESTIONS:
        try:
            check(own)
        except AssertionError as error:
            wrong.append(f"{own.said}: {error}")
    assert not wrong, "\n".join(wrong)


def test_pick_names_the_valve(picked: dict[Spoken, Answered]) -> None:
    assert len(QUESTIONS) == len({own.said for own in QUESTIONS}) == 20
    of_all(lambda own: same(picked[own].valve, own.valve))


def same(found: Any, wanted: Any) -> None:
    assert found == wanted


@pytest.fixture(scope="module")
def charts(counter: Counter) -> list[WallChart]:
    found = []
    for own in counter.data.catalogue.charts:
        target = io.BytesIO()
        for number in range(1, print_counter_chart(counter.data, own.printed.name, target) + 1):
            found.append(WallChart.read(target.getvalue(), number))
    return found


def cells_of(charts: list[WallChart], own: Spoken) -> tuple[str, ...]:
    """What the sheet with all refrigerants of a question says to it."""
    sheets = [c for c in charts if BANDS[own.application] in c.band and all(m in c.band for m in own.members)]
    return sheets[0].cells(own) if sheets else (OFF,)


def test_the_printed_chart_names_it_or_says_to_ask(charts: list[WallChart], picked: dict[Spoken, Answered]) -> None:
    def check(own: Spoken) -> None:
        cells = cells_of(charts, own)
        assert cells == own.cell
        answer = picked[own]
        named = [sizes_of(cell) for cell in cells]
        for cell, sizes in zip(cells, named, strict=True):
            if "ask" in cell:
                assert not answer.valve or answer.valve.split()[-1] in sizes
            elif cell != OFF:
                assert sizes and {f"Alder {size}" for size in sizes} <= set(answer.stocked)
        if answer.valve and cells != (OFF,):
            assert any(answer.valve.split()[-1] in sizes for sizes in named)

    of_all(check)


@pytest.mark.slow
def test_no_cell_names_a_size_that_does_not_cover_the_load(counter: Counter, charts: list[WallChart]) -> None:
    """Any case on a chart, a row's edges and a column's ends among them, and what the small figures of framed cells say."""
    chance, named, framed, is_first = random.Random(5), 0, 0, 0
    for _ in range(400):
        application = chance.choice(list(BANDS))
        name = chance.choice([*GROUPS, *GROUPS["R404A-R507A"], *GROUPS["R448A-family"]])
        low, high = (10, 40) if application == COOLER else (-40, 0)
        sst = chance.choice([f"{chance.randint(low, high)}", f"{chance.uniform(low, high):.1f}"])
        load = chance.choice(["4", "5", "8", "12.5", f"{10 ** chance.uniform(0.1, 1.5):.3g}"])
        own = Spoken("", name, application, f"{load} kBtu/h", (), sst=sst)
        answer = _picked(counter, own)
        for cell in cells_of(charts, own):
            limits = re.search(r"(\d+) to ([\d.]+), (\d+) over ([\d.]+)", cell)
            if limits:
                framed += 1
                assert own.kbtu > float(limits[2]) or f"Alder {limits[1]}" in answer.stocked, own
                assert own.kbtu <= float(limits[4]) or f"Alder {limits[3]}" in answer.stocked, own
            elif "ask" not in cell and cell != OFF:
                named += 1
                assert {f"Alder {size}" for size in sizes_of(cell)} <= set(answer.stocked), own
                is_first += answer.valve.split()[-1] in sizes_of(cell)
    assert named > 250 and framed > 3 and is_first > 0.8 * named


class _Text(HTMLParser):
    """The text of a part of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.parts: list[str] = []
        self.feed(html)

    def handle_data(self, data: str) -> None:
        self.parts.append(data)

    def __str__(self) -> str:
        return spaced("".join(self.parts))


def spaced(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.slow
def test_the_desk_says_the_same_sentences(counter: Counter, picked: dict[Spoken, Answered]) -> None:
    with served(Desk(counter.catalogue)) as address:

        def check(own: Spoken) -> None:
            fields = {"refrigerant": own.refrigerant, "application": own.application, "load": own.load, **own.place}
            asked = fields | ({"quantity": own.quantity} if own.quantity else {})
            response = httpx.get(f"{address}/answer/pick", params=asked, timeout=60.0)
            text, answer = str(_Text(response.text)), picked[own]
            assert response.status_code == (422 if answer.refusal else 200)
            assert all(spaced(line) in text for line in answer.said)
            assert not answer.refusal or answer.refusal in text

        of_all(check)


def test_a_list_of_all_jobs_comes_back_with_the_same(counter: Counter, picked: dict[Spoken, Answered]) -> None:
    target = io.StringIO()
    rows = csv.writer(target)
    rows.writerow(["refrigerant", "application", "load", "box [degF]", "sst [degF]", "qty"])
    rows.writerows([own.refrigerant, own.application, own.load, own.box, own.sst, own.quantity] for own in QUESTIONS)
    jobs = counter.catalogue.parent / "spoken.csv"
    jobs.write_text(target.getvalue(), encoding="utf-8")
    answers = jobs.with_name("answers.csv")
    asked = ("--jobs", str(jobs), "--catalogue", str(counter.catalogue), "--output", str(answers))
    code, out, refused = run("pick", *asked, "--json")
    assert code == 2 and "R454C" in refused.splitlines()[0]
    exact = dict(zip(QUESTIONS, json.loads(out)["tables"]["jobs"], strict=True))
    with answers.open(encoding="utf-8-sig", newline="") as file:
        answered = dict(zip(QUESTIONS, csv.DictReader(file), strict=True))

    def check(own: Spoken) -> None:
        row, answer = answered[own], picked[own]
        assert f"{row['valve']} {row['valve size']}".strip() == answer.valve
        if answer.valve:
            assert row["order line"] == answer.order
            assert tuple(exact[own][name] for name in EXACT) == pytest.approx(answer.exact, rel=1e-12)
        else:
            assert row["reason"].endswith(answer.refusal) if answer.refusal else row["reason"] == " ".join(answer.said)

    of_all(check)


@pytest.fixture(scope="module")
def phone(counter: Counter) -> Iterator[Page]:
    path = counter.catalogue.parent / "lookup.html"
    write_phone_page(counter.data, path)
    with chromium() as browser:
        page = Page(browser, path, width=360)
        yield page
        page.close()


def test_the_phone_page_lists_the_same_sizes(phone: Page, picked: dict[Spoken, Answered]) -> None:
    page = phone.page

    def check(own: Spoken) -> None:
        page.select_option("#application", own.application)
        offered = page.locator("#refrigerant option").evaluate_all("all => all.map((own) => own.value)")
        assert (own.refrigerant in offered) == (not picked[own].refusal)
        if own.refrigerant not in offered:
            return
        page.select_option("#refrigerant", own.refrigerant)
        page.fill("#load", own.load)
        for field, degrees in own.place.items():
            page.fill(f"#{field}", degrees)
        if page.is_visible("#order-quantity"):
            page.fill("#order-quantity", own.quantity)
        rows = [spaced(text) for text in page.locator("#found ol li").all_inner_texts()]
        listed = [" ".join(text.split()[:2]).rstrip(":") for text in rows if "not in stock" not in text]
        verdict = spaced(phone.text("#verdict"))
        assert tuple(listed) == picked[own].stocked
        assert verdict.startswith(f"{own.valve} fits" if own.valve else "None in stock"), verdict

    of_all(check)


def test_the_workbook_lists_the_same_sizes(counter: Counter, picked: dict[Spoken, Answered], tmp_path: Path) -> None:
    book = Spreadsheet(written(counter.data, tmp_path / "windows.xlsx"))
    catalogue = counter.data.catalogue

    def check(own: Spoken) -> None:
        group = catalogue.groups.get(own.refrigerant)
        book.given(
            FIND,
            {
                "B4": catalogue.applications[own.application].title,
                "B5": own.refrigerant if group is None else group.title,
                "B7": float(own.sst) if own.sst else None,
                "B8": float(own.box) if own.box else None,
                "B10": round(own.kbtu, 9),
            },
        )
        # As many rows as the family has sizes.
        listed = [book.value(FIND, f"A{row}") for row in range(FIRST_ROW, FIRST_ROW + 9)]
        answer = picked[own]
        if own.valve:
            assert list(filter(None, listed)) == list(answer.stocked)
            # The shelf's part number, as on the order line.
            number = book.value(FIND, f"B{FIRST_ROW + listed.index(own.valve)}")
            assert f"part number {number}; " in answer.order
        assert (book.value(FIND, "B14") or "") == own.valve

    of_all(check)
