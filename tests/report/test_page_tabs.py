"""Bound pages: the wide margin at the back, numbers at the outer edge, and a tab for each chapter in its own place."""

import io
from datetime import date

import pypdfium2
import pytest
from pypdf import PdfReader
from reportlab.platypus import Flowable, PageBreak

from tablegen.report.pdf import design, fonts, page
from tablegen.report.pdf.page_tabs import PageTabs
from tests.demo import demo_booklet, demo_catalogue
from tests.worked import worked_catalogue

ROOM = 640.0
TITLES = [own.title for own in demo_catalogue().applications.values()]
MANY = [f"{box}, {head} head pressure {i}" for i in range(5) for box in ("Walk-in cooler", "Freezer") for head in "ab"]


@pytest.mark.parametrize("titles", [TITLES[:1], TITLES, MANY, [f"Room with a long name {i}" for i in range(22)]])
def test_every_tab_has_a_text_of_its_own_that_fits(titles: list[str]) -> None:
    tabs = PageTabs.of(titles, ROOM)
    assert len(tabs.lines) == len(titles) == len({tuple(lines) for lines in tabs.lines})
    assert len(titles) * tabs.height < ROOM
    for lines in tabs.lines:
        assert 1 <= len(lines) <= 2
        assert all(0.0 < fonts.text_width(line, fonts.SEMIBOLD, design.FINE) < tabs.height for line in lines)


def test_titles_are_whole_where_they_fit_and_lose_words_where_they_do_not() -> None:
    """Of six applications; the more there are, the less space has each."""
    titles = [own.title for own in worked_catalogue().applications.values()]
    assert [" ".join(lines) for lines in PageTabs.of(titles, ROOM).lines] == titles
    for room, left_out in ((440.0, ""), (300.0, "Walk-in ")):
        shorter = [" ".join(lines) for lines in PageTabs.of(titles, room).lines]
        assert shorter != titles
        assert all(t.removeprefix(left_out).startswith(own) for own, t in zip(shorter, titles, strict=True))


def test_too_many_chapters_have_no_tabs() -> None:
    assert PageTabs.of([f"Room {i}" for i in range(40)], ROOM).lines == ()


def words_at(pdf: bytes) -> list[list[tuple[str, float, float]]]:
    """Each run of text of each page with its left and right end [pt]."""
    found = []
    document = pypdfium2.PdfDocument(pdf)
    for own in document:
        text = own.get_textpage()
        rects = [text.get_rect(i) for i in range(text.count_rects())]
        found.append([(text.get_text_bounded(*rect), rect[0], rect[2]) for rect in rects])
    document.close()
    return found


def test_odd_and_even_pages_mirror_each_other() -> None:
    target = io.BytesIO()
    document = page.Document(target, "letter", "Title", date=date(2025, 3, 1), notice="Notice", is_bound=True)
    story: list[Flowable] = [page.Heading("Chapter"), *[page.paragraph("text " * 60), PageBreak()] * 3]
    document.build([*story, page.paragraph("end")])
    wide = document.page_size[0]
    pages = words_at(target.getvalue())
    assert len(pages) == 4
    for number, own in enumerate(pages, start=1):
        places = {text.strip(): (left, right) for text, left, right in own}
        foot = places[f"Page {number} of 4"]
        body = min(left for text, left, _ in own if text.startswith(("text", "end", "Chapter")))
        if number % 2:
            assert foot[1] == pytest.approx(wide - design.OUTER_MARGIN, abs=1.0)
            assert body == pytest.approx(design.INNER_MARGIN, abs=1.0)
        else:
            assert foot[0] == pytest.approx(design.OUTER_MARGIN, abs=1.0)
            assert body == pytest.approx(design.OUTER_MARGIN, abs=1.0)


@pytest.mark.slow
def test_tabs_stand_at_the_outer_edge_of_the_pages_of_applications_alone() -> None:
    publication, pdf = demo_booklet("IP", "letter")
    outline = PdfReader(io.BytesIO(pdf))
    entries = [entry for entry in outline.outline if not isinstance(entry, list) and entry.title in TITLES]
    opened = {outline.get_destination_page_number(entry) + 1 for entry in entries}
    assert len(opened) == len(TITLES)
    last, with_tabs = PageTabs.of(TITLES, ROOM).lines[-1][-1], 0
    for number, own in enumerate(words_at(pdf), start=1):
        # Upright at the edge; elsewhere the words are within the margins.
        edges = [left for text, left, right in own if text.strip() == last and right - left < design.TAB_WIDTH]
        assert all(x < design.OUTER_MARGIN if number % 2 == 0 else x > 612.0 - design.OUTER_MARGIN for x in edges)
        with_tabs += len(edges)
        # The page that an application opens with too, whatever was before it.
        assert edges or number not in opened
    applications = list(publication.applications())
    assert with_tabs >= len(applications) + 2 * len(publication.parts)
    assert with_tabs < len(PdfReader(io.BytesIO(pdf)).pages) - 10
