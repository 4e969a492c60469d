"""How text flows over pages: what stays together, what goes on on the same page, headings over several columns."""

import io
import re

import pytest

from tablegen.report.graphs import selection_map_graph as selection_map_graph
from tablegen.report.graphs.selection_map_graph import MapCells, SelectionMap
from tablegen.report.pdf.page import Document, Heading, paragraph
from tests.demo import demo_booklet, page_texts, short_booklet

SENTENCE = "The load must lie in both windows, that of the row above and that of the row below. "


def pages_of(*story):
    target = io.BytesIO()
    Document(target, "Letter", "title", date=None).build(list(story))
    return page_texts(target.getvalue())


def test_a_short_paragraph_is_not_split_between_pages():
    for before in range(44, 49):
        story = [Heading("Heading"), *[paragraph(f"line {i}", "step") for i in range(before)], paragraph(SENTENCE * 4)]
        assert sum("The load must lie" in text for text in pages_of(*story)) == 1


def test_a_long_paragraph_still_is():
    story = [Heading("Heading"), *[paragraph(f"line {i}", "step") for i in range(30)], paragraph(SENTENCE * 20)]
    assert sum("The load must lie" in text for text in pages_of(*story)) == 2


def test_no_short_word_is_alone_on_a_last_line():
    # Words are added until one is left over, whatever the typeface's widths.
    for count in range(14, 40):
        made = paragraph(" ".join(["windows"] * count) + " linear.")
        made.wrap(500.0, 800.0)
        last = made.blPara.lines[-1][1] if made.blPara.kind == 0 else [f.text for f in made.blPara.lines[-1].words]
        assert len(made.blPara.lines) == 1 or len(last) > 1


def test_heads_and_liquid_are_under_their_own_head():
    pages = [
        text for text in page_texts(demo_booklet("IP", "letter")[1]) if "Head pressures and liquid of each" in text
    ]
    assert pages
    for text in pages:
        table = " ".join(text.split("Head pressures and liquid of each")[1].split())
        # Of a rack with an intermediate receiver they are pressures of the receiver.
        what = "receiver pressure" if "receiver pressure" in table else "head"
        assert re.search(rf"Low {what}\s+Rating point\s+High {what}\s+Refrigerant", table)
    publication = demo_booklet("IP", "letter")[0]
    from_receiver = [parts for _, parts in publication.applications() if publication.system(parts[0]).has_receiver]
    assert 0 < sum("Low receiver pressure" in text for text in pages) == len(from_receiver) < len(pages)


def test_contents_take_one_page_and_families_follow_each_other():
    pages = page_texts(demo_booklet("IP", "letter")[1])
    assert "Do these tables apply?" in pages[2]
    assert "Contents" not in pages[2]
    (larch,) = [
        i
        for i, text in enumerate(pages)
        if "Larch pulse-modulated electronic expansion valves" in text and "Flow law" in text
    ]
    (alder,) = [
        i
        for i, text in enumerate(pages)
        if "Alder balanced-port thermostatic expansion valves" in text and "Flow law" in text
    ]
    assert larch - alder < 4


@pytest.mark.slow
def test_worked_examples_begin_with_their_heading_and_note():
    for pdf in (demo_booklet("IP", "letter")[1], short_booklet("SI", "a4")):
        texts = page_texts(pdf)
        (own,) = [text for text in texts if "Flow ratio: compressor mass flow divided by" in text]
        assert "gross capacity at the rating point" in " ".join(own.split())


def test_small_figures_of_a_map_are_on_white():
    # In 1-bit print a tint is a pattern of dots.
    rows = [("2 to 3", [("45", "32")]), ("1 to 2", [("32", "22")])]
    made = SelectionMap(MapCells(rows, [("20",)], ("load", "SST")), selection_map_graph.PAGE)
    made.wrap(300.0, 200.0)
    tinted, white = [shape for shape in made.shapes() if shape.fill]
    assert (tinted.fill, white.fill) == (selection_map_graph.PAGE.tint, "#FFFFFF")
    # The second size alone has a tint, and its small figure lies inside it.
    (left, bottom, wide, high), (tint_left, tint_bottom, tint_wide, tint_high) = (
        map(float, shape.path.split()[:4]) for shape in (white, tinted)
    )
    assert tint_left < left < left + wide < tint_left + tint_wide
    assert tint_bottom < bottom < bottom + high < tint_bottom + tint_high
