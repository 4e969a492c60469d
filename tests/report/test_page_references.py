"""A paragraph that names a chapter says on which page of its document that is."""

from __future__ import annotations

import datetime
import io

import pytest
from reportlab.platypus import PageBreak

from tablegen.report.pdf.page import STYLES, Document, Heading, paragraph
from tablegen.report.pdf.page_references import referring
from tablegen.report.pdf.panels import Beside
from tests.demo import page_texts

CHAPTER = "Scatter and confidence"


def printed(pages_before: int) -> list[str]:
    """What refers to a chapter so many pages behind, before and beside it; the words of each page."""
    target = io.BytesIO()
    document = Document(target, "a4", "Title", date=datetime.date(2026, 1, 1))
    said = f"For those at confidence see {CHAPTER}."
    story = [Heading("First"), referring(said, CHAPTER, STYLES["small"])]
    for _ in range(pages_before):
        story += [PageBreak(), paragraph("Nothing.")]
    story += [PageBreak(), Heading(CHAPTER), PageBreak(), Heading("Last")]
    story.append(Beside([paragraph("Left")], [referring(said, CHAPTER, STYLES["body"])], 0.3, 4.0))
    assert document.build(story) == pages_before + 3
    return [" ".join(text.split()) for text in page_texts(target.getvalue())]


@pytest.mark.parametrize("pages_before", [0, 7, 8, 120])
def test_the_page_is_the_one_that_the_chapter_begins_on(pages_before):
    pages = printed(pages_before)
    number = 1 + next(i for i, text in enumerate(pages) if i and text.startswith((CHAPTER, f"Title {CHAPTER}")))
    assert number == pages_before + 2
    said = f"For those at confidence see {CHAPTER}, page {number}."
    assert said in pages[0] and said in pages[-1]


def test_a_text_that_names_no_chapter_is_set_as_it_is():
    target = io.BytesIO()
    document = Document(target, "a4", "Title", date=datetime.date(2026, 1, 1))
    document.build([Heading(CHAPTER), referring("Limits are nominal.", CHAPTER, STYLES["small"])])
    assert "Limits are nominal." in " ".join(page_texts(target.getvalue())[0].split())
