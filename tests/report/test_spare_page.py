"""A chapter that fills an empty right page stands between chapters, never among the tables of an application."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from pypdf import PdfReader

from tablegen.audits.read_back import page_texts
from tablegen.cli.main import main
from tests.report.text_boxes import problems
from tests.small import DEMO, small_catalogue

GROUPS = ("R134a", "R513A")
FLOATING, FIXED = "Walk-in cooler, floating head pressure", "Walk-in cooler, fixed head pressure"
CYCLE = "The cycle at low head, rating point and high head"
# So many that a table and its map take three pages, and the right page after them is empty.
SIZES = "".join(f"  - {{size: {10 + i}, kv: {0.01 * 1.5**i:.4f} m3/h}}\n" for i in range(11))
# Cover, contents and one chapter before the tables, so that they begin on a left page without a filler.
PRINTS = "sections: [which_table, tables, cycle, order_guide]\nprints:\n  - {paper: letter, units: IP}\n"


def printed(folder: Path, tables: Sequence[str], *applications: str) -> Path:
    """The booklet of some long tables in each application."""
    booklet, hazel = (
        (DEMO / name).read_text(encoding="utf-8") for name in ("publications/booklet.yaml", "families/hazel.yaml")
    )
    sizes = "".join(re.findall(r"^  - \{size: \d+.*\n", hazel, re.MULTILINE))
    edits = [
        ("families/hazel.yaml", sizes, SIZES),
        ("publications/booklet.yaml", booklet[booklet.index("prints:") :], PRINTS),
    ]
    groups = {name: [name] for name in tables}
    path = small_catalogue(folder / "configs", ["hazel"], groups, applications, edits, more="publications: [booklet]\n")
    options = ["--output", str(folder), "--only", "booklet", "--workers", "1"]
    assert main(["build", "--catalogue", str(path), *options]) == 0
    return folder / "demo" / "booklet.pdf"


def contents(pdf: Path) -> list[str | list[str]]:
    """Chapters, each with its parts in a list after it."""
    return [[part.title for part in own] if isinstance(own, list) else own.title for own in PdfReader(pdf).outline]


def of(application: str, groups: Sequence[str]) -> list[str | list[str]]:
    return [application, [f"Hazel: {group}, {application}" for group in groups]]


def pages_with(texts: list[str], *words: str) -> list[int]:
    return [number for number, text in enumerate(texts, 1) if all(own in " ".join(text.split()) for own in words)]


def check(
    pdf: Path, groups: Sequence[str], applications: tuple[str, ...], chapters: list[str | list[str]]
) -> list[str]:
    """The contents, and that pages of tables are named after their application; return the text of each page."""
    texts = page_texts(pdf)
    assert contents(pdf) == ["Which table for which system", *chapters]
    # Only the contents and the page itself name the cycle, no running head.
    [listed, own] = pages_with(texts, CYCLE)
    assert listed == 2 and own in pages_with(texts, "isentropic")
    for application in applications:
        [opposite] = pages_with(texts, "Tables of this application", f"Hazel: {groups[0]}, {application}")
        assert all(f"Hazel: {group}, {application}" in " ".join(texts[opposite - 1].split()) for group in groups)
        # The page after a table with its map, which take three, is not for notes: the next table begins there.
        firsts = [pages_with(texts, f"Hazel: {group}, {application}", "Minimum–maximum load")[0] for group in groups]
        assert firsts == [firsts[0] + 3 * i for i in range(len(groups))] and firsts[0] % 2 == 0
    assert problems(pdf.read_bytes()) == []
    return texts


@pytest.mark.slow
def test_it_comes_after_the_tables_of_the_only_application(tmp_path: Path) -> None:
    ending = [CYCLE, "What an order must state", "Before you install the valve"]
    pdf = printed(tmp_path, GROUPS, "walk_in_medium")
    texts = check(pdf, GROUPS, (FLOATING,), [*of(FLOATING, GROUPS), *ending])
    assert sum(text.startswith("Notes") for text in texts[:-2]) == 0


@pytest.mark.slow
def test_it_fills_a_right_page_before_the_next_application(tmp_path: Path) -> None:
    ending = ["What an order must state", "Before you install the valve"]
    [only] = GROUPS[:1]
    pdf = printed(tmp_path, [only], "walk_in_medium", "walk_in_medium_fixed")
    texts = check(pdf, [only], (FLOATING, FIXED), [*of(FLOATING, [only]), CYCLE, *of(FIXED, [only]), *ending])
    [_, own] = pages_with(texts, CYCLE)
    assert own % 2 == 1 and FIXED in texts[own]
