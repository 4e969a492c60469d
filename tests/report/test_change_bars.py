"""Bars beside the windows of a booklet that print otherwise than in an earlier release, read back through its tags."""

import dataclasses
import functools
import io

import pytest

from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.dataset import Changes
from tablegen.report.pages.window_table import WindowTable, WindowTableFlowable, in_blocks
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.window_texts import WindowTableRow
from tablegen.wording.language import speaking
from tests.demo import booklet_publication, demo_data, part_of_booklet
from tests.report.tagged_text import Tagged, faults
from tests.report.text_boxes import problems

DASH = "\N{EN DASH}"
TABLE = ("alder", "R448A-family", "walk_in_medium")
SIZES = ("16", "45", "180")


@functools.cache
def earlier():
    """Windows of an earlier release: of one table three sizes, at the warmer half of the suction temperatures."""
    old = demo_data().group_windows.copy()
    own = (old[["family", "group", "application"]] == list(TABLE)).all(axis=1)
    old.loc[own & old["size"].isin(SIZES) & (old["sst_k"] > 268.0), "max_load_w"] *= 1.05
    # Below the last printed figure: no change for a reader.
    old.loc[own & (old["size"] == "63"), "max_load_w"] *= 1.0 + 1e-7
    return old


@functools.cache
def booklet(language: str = "en") -> bytes:
    changes = Changes(
        revision="0",
        date="2026-01-31",
        fingerprint="0123456789ab",
        cells=changed_windows(earlier(), demo_data().group_windows),
    )
    target = io.BytesIO()
    with speaking(language):
        print_booklet(part_of_booklet(demo_data(), "alder"), "booklet", target, changes=changes)
    return target.getvalue()


@pytest.mark.slow
def test_the_cells_that_changed_and_no_others_say_so():
    publication = booklet_publication(part_of_booklet(demo_data(), "alder"))
    formatter = publication.formatter
    old = earlier().set_index(["family", "group", "application", "size", "sst_k"])
    expected: dict[str, set[tuple[str, str, str]]] = {}
    for part in publication.parts:
        for row in publication.windows(part):
            was = old.loc[(part.family, part.group, part.application, row.size, row.sst_k)]
            now = formatter.window(row.min_load_w, row.max_load_w)
            if now != formatter.window(float(was["min_load_w"]), float(was["max_load_w"])):
                cell = formatter.temperature(row.sst_k), row.size, DASH.join(now)
                expected.setdefault(part.group, set()).add(cell)
    assert list(expected) == [TABLE[1]] and {size for _, size, _ in expected[TABLE[1]]} == set(SIZES)
    # A header begins with the temperatures of box and evaporator.
    tables = [rows for rows in Tagged(booklet()).tables() if rows[0][0].words.startswith("Box")]
    assert len(tables) == len(publication.parts)
    found = []
    for head, *rows in tables:
        sizes = [cell.words.split()[0] for cell in head[2:]]
        cells = [(row[1].words, size, cell) for row in rows for size, cell in zip(sizes, row[2:], strict=True)]
        said = {(sst, size, cell.words): str(cell.entry.get("/ActualText", "")) for sst, size, cell in cells}
        assert all(text in ("", f"{key[2]}, changed since revision 0") for key, text in said.items())
        found.append({key for key, text in said.items() if text})
    assert [own for own in found if own] == [expected[TABLE[1]]]


@pytest.mark.slow
def test_the_bars_are_explained_once_on_the_page_that_has_them():
    pdf = booklet()
    text = " ".join(" ".join(page.extract_text() for page in Tagged(pdf).reader.pages).split())
    assert text.count("A bar on the left of a window: it differs in print from revision 0 of 2026-01-31.") == 1
    assert problems(pdf) == [] and faults(Tagged(pdf)) == []


@pytest.mark.parametrize("lines", [3])
def test_a_bar_is_between_its_own_window_and_the_one_before(lines):
    """Nearer to its own; and as many bars as cells that changed, in each block of sizes."""
    cells = [("1.05", "10.0"), ("2.10", "20.0"), "a", ("8.40", "80.0")]
    rows = [WindowTableRow(label=str(10 - i), cells=cells, changed=("", "said", "said", "")) for i in range(lines)]
    table = WindowTable(stub_label="SST, °F", sizes=["A", "B", "C", "D"], size_notes=None, rows=rows)
    flowable = WindowTableFlowable(table)
    flowable.wrap(400.0, 600.0)
    bars = [shape for shape in flowable.shapes() if shape.name == "said"]
    assert len(bars) == 2 * lines
    places = {float(shape.path.split()[0]) for shape in bars}
    assert len(places) == 2
    layout = flowable._layout
    for x, before, own in zip(sorted(places), layout.axes, layout.axes[1:], strict=False):
        assert before < x < own and own - x < x - before
    narrow = [block for block in in_blocks(table, 90.0) if block is not table]
    assert len(narrow) > 1
    assert [said for block in narrow for said in block.rows[0].changed] == ["", "said", "said", ""]
    assert dataclasses.replace(rows[0], changed=()).changed == ()


@pytest.mark.slow
def test_bars_are_explained_in_german():
    text = " ".join(" ".join(page.extract_text() for page in Tagged(booklet("de")).reader.pages).split())
    assert "Strich links an einem Fenster: Es ist anders gedruckt als in Revision 0 vom 31. Januar 2026." in text
