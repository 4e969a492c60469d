"""Short tables share a left page and their maps the right page opposite; what leads to them and reads them back knows it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest
from pypdf import PdfReader

from tablegen.audits.read_back import _window_tables, page_texts
from tablegen.cli.main import main
from tests.report.text_boxes import problems
from tests.small import DEMO, small_catalogue

GROUPS = ("R134a", "R513A", "R407C")
PLACE = "Walk-in cooler, floating head pressure"
# Three rows, four sizes, each refrigerant a table.
ROWS = "{minimum: 4 degF, maximum: 44 degF, step: 20 delta_degF}"
PRINTS = "prints:\n  - {paper: letter, units: IP}\n  - {paper: a4, units: SI}\n"


class Thin(NamedTuple):
    catalogue: Path
    folder: Path

    def pdf(self, name: str) -> bytes:
        return (self.folder / f"{name}.pdf").read_bytes()


def thin_catalogue(folder: Path, more: str = "") -> Path:
    booklet, hazel = (
        (DEMO / name).read_text(encoding="utf-8") for name in ("publications/booklet.yaml", "families/hazel.yaml")
    )
    edits = [
        ("applications/walk_in_medium.yaml", "{minimum: 10 degF, maximum: 40 degF, step: 2 delta_degF}", ROWS),
        ("publications/booklet.yaml", booklet[booklet.index("prints:") :], PRINTS),
        *(("families/hazel.yaml", line, "") for line in re.findall(r"^  - \{size: \d+.*\n", hazel, re.MULTILINE)[4:]),
    ]
    groups = {name: [name] for name in GROUPS}
    return small_catalogue(
        folder, ["hazel"], groups, ["walk_in_medium"], edits, more=f"publications: [booklet]\n{more}"
    )


@pytest.fixture(scope="module")
def thin(tmp_path_factory: pytest.TempPathFactory) -> Thin:
    folder = tmp_path_factory.mktemp("thin")
    path = thin_catalogue(folder / "configs")
    options = ["--output", str(folder), "--only", "booklet,booklet-a4-si", "--workers", "1"]
    assert main(["build", "--catalogue", str(path), *options]) == 0
    return Thin(path, folder / "demo")


def title(group: str) -> str:
    return f"Hazel: {group}, {PLACE}"


def pages_with(texts: list[str], pattern: str) -> list[int]:
    return [number for number, text in enumerate(texts, 1) if re.search(pattern, text, re.MULTILINE)]


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
def test_two_tables_share_a_left_page_and_their_maps_the_page_opposite(thin: Thin, name: str) -> None:
    texts = page_texts(thin.folder / f"{name}.pdf")
    [left], [same], [alone] = (pages_with(texts, rf"^Hazel: {own}, .*\nMinimum") for own in GROUPS)
    assert left == same and left % 2 == 0
    assert alone == left + 2
    opposite = " ".join(texts[left].split())
    for own in GROUPS[:2]:
        assert f"Size for a load – Hazel: {own}, Walk-in" in opposite
    # What both maps are read by, and what both tables are valid for, is said once.
    assert opposite.count("Find the row that contains the load") == 1
    page = " ".join(texts[left - 1].split())
    assert page.count("For both tables") == page.count("stepper, 500 full steps") == 1
    # The heads of the two refrigerants differ, and stand with each.
    assert page.count("saturated,") == 2
    assert problems(thin.pdf(name)) == []


def test_their_page_is_full(thin: Thin) -> None:
    """From the first heading to the last condition: four fifths of the height between the margins at least."""
    reader = PdfReader(thin.folder / "booklet.pdf")
    [left] = pages_with(page_texts(thin.folder / "booklet.pdf"), r"^Hazel: R513A, .*\nMinimum")
    heights: list[float] = []

    def note(text: str, matrix: list[float], at: list[float], *_: object) -> None:
        if text.strip():
            heights.append(matrix[5] + at[5])

    reader.pages[left - 1].extract_text(visitor_text=note)
    inside = [height for height in heights if 60.0 < height < 725.0]
    assert max(inside) - min(inside) > 0.8 * 650.0


def test_links_bookmarks_and_contents_lead_to_each(thin: Thin) -> None:
    reader = PdfReader(thin.folder / "booklet.pdf")
    places = {own: reader.named_destinations[f"/table.hazel.{own}.walk_in_medium"] for own in GROUPS}
    first, second, third = (reader.get_destination_page_number(places[own]) + 1 for own in GROUPS)
    assert first == second == third - 2
    # Each at its own height.
    assert float(places["R134a"].top) > float(places["R513A"].top) + 200.0  # type: ignore[arg-type]
    contents = " ".join(page_texts(thin.folder / "booklet.pdf")[1].split())
    for own, number in zip(GROUPS, (first, second, third), strict=True):
        assert re.search(rf"{re.escape(title(own))}[ .]+{number}\b", contents)
    entries = [entry for item in reader.outline for entry in (item if isinstance(item, list) else [item])]
    bookmarks = {str(entry.title): reader.get_destination_page_number(entry) + 1 for entry in entries}
    assert [bookmarks[title(own)] for own in GROUPS] == [first, second, third]


@pytest.mark.slow
def test_an_audit_reads_all_windows_back(thin: Thin, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["audit", "--catalogue", str(thin.catalogue), "--release", str(thin.folder)]) in (0, 1)
    shown = " ".join(capsys.readouterr().out.split())
    # Three groups of four sizes at three temperatures.
    assert "36 windows in booklet.pdf" in shown and "36 windows in booklet-a4-si.pdf" in shown
    assert "differs from" not in shown and "not the rounded computed" not in shown


def test_windows_of_two_tables_on_a_page_are_not_mixed() -> None:
    page = (
        "Hazel: R1,\nCooler\nkBtu/h\n25 40\n24 1.00–2.00 3.00–4.00 24\nFramed row\n"
        "Hazel: R2, Cooler\nkBtu/h\n25 40\n24 5.00–6.00 7.00–8.00 24\n"
    )
    first, second = ("hazel", "R1", "cooler"), ("hazel", "R2", "cooler")
    titles = {first: "Hazel: R1, Cooler", second: "Hazel: R2, Cooler"}
    # Titles that are in a text, on a page that begins with none, are no tables.
    found = _window_tables([f"Tables of this application\n{page}", page], titles, {key: ["25", "40"] for key in titles})
    assert found == {first: {"24": {0: "1.00–2.00", 1: "3.00–4.00"}}, second: {"24": {0: "5.00–6.00", 1: "7.00–8.00"}}}


@pytest.mark.slow
@pytest.mark.parametrize("language", ["es", "fr", "de"])
def test_they_share_a_page_in_every_language(language: str, tmp_path: Path) -> None:
    path = thin_catalogue(tmp_path / "configs", f"language: {language}\n")
    options = ["--output", str(tmp_path), "--only", "booklet,booklet-a4-si", "--workers", "1"]
    assert main(["build", "--catalogue", str(path), *options]) == 0
    for name in ("booklet", "booklet-a4-si"):
        pdf = tmp_path / "demo" / f"{name}.pdf"
        reader = PdfReader(pdf)
        pages = {
            own: reader.get_destination_page_number(reader.named_destinations[f"/table.hazel.{own}.walk_in_medium"])
            for own in GROUPS
        }
        assert pages["R134a"] == pages["R513A"] == pages["R407C"] - 2
        assert problems(pdf.read_bytes()) == []
    assert main(["audit", "--catalogue", str(path), "--release", str(tmp_path / "demo")]) in (0, 1)
