"""A booklet prints what its file chooses: sections in their order, rows, tables; what is elsewhere is named, and read back."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import pytest
from pypdf import PdfReader

from tablegen.audits.read_back import page_texts
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.booklet_contents import USUAL_SECTIONS, BookletContents
from tablegen.model.publications import Booklet
from tablegen.report.phone.phone_data import phone_data
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.parts_of_data import PartsOfData
from tablegen.report.publications.publication import Publication
from tablegen.report.window_texts import safety_texts
from tablegen.wording.language import speaking
from tests.demo import with_inputs
from tests.report.text_boxes import problems
from tests.small import DEMO, small_catalogue

GROUPS = {"R448A-family": ["R448A"], "R454": ["R454A", "R454C"], "R290": ["R290"], "R407C": ["R407C"]}
CHOICES = """prints:
  - {paper: letter, units: IP}
title: Cold rooms, the short guide
groups: [R448A-family, R454, R290]
sections: [order_guide, which_table, families, tables, refrigerants]
separate: [method, confidence]
sst_rows: {walk_in_medium: [36 degF, 24 degF, 10 degF]}
tables: dense
"""


class Chosen(NamedTuple):
    catalogue: Path
    folder: Path

    def texts(self, name: str) -> list[str]:
        return page_texts(self.folder / f"{name}.pdf")


def catalogue_of(folder: Path, choices: str) -> Path:
    written = (DEMO / "publications/booklet.yaml").read_text(encoding="utf-8")
    company = (DEMO / "company.yaml").read_text(encoding="utf-8")
    [documents] = re.findall(r"^documents: .*$", company, re.MULTILINE)
    edits = [
        ("publications/booklet.yaml", written[written.index("prints:") :], choices),
        ("families/hazel.yaml", "safety_groups: [A1, A2L]", "safety_groups: [A1, A2L, A3]"),
        (
            "applications/walk_in_medium.yaml",
            "head_pressure: 135 psi_gauge",
            "condensing_temperature: 66 degF\n  basis: bubble",
        ),
        ("company.yaml", documents, "documents: {booklet: QB-11, booklet-engineering: QB-12}"),
    ]
    more = "publications: [booklet]\nconfidence: {level: 95 percent, samples: 256, tables: nominal}\n"
    return small_catalogue(folder, ["hazel"], GROUPS, ["walk_in_medium"], edits, more=more)


@pytest.fixture(scope="module")
def chosen(tmp_path_factory: pytest.TempPathFactory) -> Chosen:
    folder = tmp_path_factory.mktemp("chosen")
    path = catalogue_of(folder / "configs", CHOICES)
    assert main(["build", "--catalogue", str(path), "--output", str(folder), "--workers", "1"]) == 0
    return Chosen(path, folder / "demo")


@pytest.fixture(scope="module")
def computed(chosen: Chosen) -> DataSet:
    return compute(load_catalogue(chosen.catalogue))


def places(texts: list[str], *headings: str) -> list[int]:
    """The page after the contents on which each heading is, at the beginning of a line."""
    return [next(i for i, text in enumerate(texts) if i > 1 and re.search(f"^{own}", text, re.M)) for own in headings]


def test_sections_are_printed_in_their_order_and_no_others(chosen: Chosen) -> None:
    texts = chosen.texts("booklet")
    headings = ("What an order must state", "Which table for which system", "Families", "Hazel: R448A", "Refrigerants")
    found = places(texts, *headings)
    assert found == sorted(found)
    whole = "\n".join(texts)
    for heading in ("Worked examples", "Method", "Verification", "Do these tables apply", "Revision record"):
        assert not re.search(f"^{heading}", whole, re.M), heading
    # What is always there: cover with the notice, contents, conditions, cautions.
    assert "Cold rooms, the short guide" in texts[0] and "Contents" in texts[1]
    assert all("Demonstration with invented valves" in text for text in texts)
    assert "Before you install the valve" in texts[-1]
    assert problems((chosen.folder / "booklet.pdf").read_bytes()) == []


def test_chapters_apart_are_a_document_with_a_number_and_each_names_the_other(chosen: Chosen) -> None:
    booklet, apart = chosen.texts("booklet"), chosen.texts("booklet-engineering")
    assert "In a document of its own, QB-12 (booklet-engineering.pdf): Method and Scatter and confidence." in booklet[1]
    first = " ".join(apart[0].split())
    assert "Engineering sections of the booklet QB-11 (booklet.pdf): Method and Scatter and confidence." in first
    assert "QB-12" in first and all("QB-12, revision A" in text for text in apart)
    found = places(apart, "Method", "Scatter and confidence")
    assert found == sorted(found)
    # Logo, cautions and contact are those of the company.
    assert PdfReader(chosen.folder / "booklet-engineering.pdf").pages[0]["/Resources"]
    assert "Before you install the valve" in apart[-1] and "555 0142" in apart[-1]
    assert "Hazel: R448A-family, Walk-in cooler, floating head pressure\nMinimum" not in "\n".join(apart)


def test_a_reference_names_the_document_that_has_the_chapter(chosen: Chosen) -> None:
    text = " ".join(" ".join(chosen.texts("booklet")).split())
    assert "see Scatter and confidence in QB-12 (booklet-engineering.pdf)" in text
    apart = " ".join(" ".join(chosen.texts("booklet-engineering")).split())
    # The refrigerants are in the booklet, which a chapter of the other document does not lead to.
    assert "half of its stated uncertainty." in apart
    assert re.search(r"see Scatter and confidence, page \d+\.", apart)
    assert "page 00" not in text + apart


@pytest.mark.slow
def test_chosen_rows_are_printed_and_the_data_set_has_all(chosen: Chosen, computed: DataSet) -> None:
    page = next(text for text in chosen.texts("booklet") if text.startswith("Hazel: R448A-family"))
    rows = re.findall(r"^(?:\d+ )?(\d+) .*\N{EN DASH}.* (\d+)$", page, re.M)
    assert [int(first) for first, last in rows if first == last][:3] == [36, 24, 10]
    data = computed
    part = data.group_windows[data.group_windows["group"] == "R448A-family"]
    assert part["sst_k"].nunique() == 16
    edges = data.selection_maps[["sst_from_k", "sst_to_k"]].drop_duplicates()
    assert len(edges) == 2
    assert "10 to 24" in "\n".join(chosen.texts("booklet"))


@pytest.mark.slow
def test_a_release_with_choices_is_read_back(chosen: Chosen, capsys: pytest.CaptureFixture[str]) -> None:
    main(["audit", "--catalogue", str(chosen.catalogue), "--release", str(chosen.folder)])
    text = " ".join(capsys.readouterr().out.split())
    assert "No faults." in text
    # Three groups, seven sizes, three rows.
    assert "63 windows in booklet.pdf" in text


def test_flammable_refrigerants_are_named_over_their_table(chosen: Chosen) -> None:
    texts = [" ".join(text.split()) for text in chosen.texts("booklet")]
    code = "Charge limits, ventilation and detection by the code at the site."
    assert any(f"R454A and R454C (A2L: flammable). {code}" in text for text in texts)
    assert any(f"R290 (A3: flammable). {code}" in text for text in texts)
    assert not any("R448A (A1)" in text for text in texts)


def printed(data: DataSet, contents: BookletContents, language: str = "en") -> list[str]:
    """The pages of the catalogue's booklet with other contents."""
    own = data.catalogue.booklets[0]
    booklet = Booklet(printed=replace(own.printed, language=language), combinations=own.combinations, contents=contents)
    target = io.BytesIO()
    print_booklet(with_inputs(data, booklets=(booklet,)), own.printed.name, target)
    path = io.BytesIO(target.getvalue())
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_a_row_that_covers_less_than_its_neighbors_is_printed_too(computed: DataSet) -> None:
    data = computed
    sst_k = sorted(data.group_windows["sst_k"].unique())
    frame = data.group_windows.copy()
    # No size covers a load at a row between those that are chosen.
    frame.loc[frame["sst_k"] == sst_k[3], ["min_load_w", "max_load_w"]] = float("nan")
    rows = {"walk_in_medium": (sst_k[0], sst_k[7], sst_k[-1])}
    own = replace(data.catalogue.booklets[0], contents=BookletContents(sst_k=rows))
    publication = Publication.of(replace(data, group_windows=frame), own)
    assert {row.sst_k for row in publication.windows(publication.parts[0])} == {
        sst_k[0],
        sst_k[3],
        sst_k[7],
        sst_k[-1],
    }


def test_empty_tables_are_listed_or_printed(computed: DataSet) -> None:
    data = computed
    frame = data.group_windows.copy()
    is_own = frame["group"] == "R290"
    frame.loc[is_own, ["min_load_w", "max_load_w"]] = float("nan")
    maps = data.selection_maps[data.selection_maps["group"] != "R290"]
    example = data.example[data.example["group"] != "R290"]
    data = replace(data, group_windows=frame, selection_maps=maps, example=example)
    sections = ("which_table", "tables")
    listed = printed(data, BookletContents(sections=sections, empty_tables="listed"))
    title = "Hazel: R290, Walk-in cooler, floating head pressure"
    assert f"Not printed, because no size covers a load there: {title}." in listed[1]
    assert not any(text.startswith(title) or f" {title} Min" in text for text in listed[2:])
    whole = with_inputs(
        data,
        booklets=(replace(data.catalogue.booklets[0], contents=BookletContents(empty_tables="listed")),),
    )
    groups = list(whole.catalogue.groups)
    links = phone_data(whole)["printed"]["hazel"]["walk_in_medium"]
    assert links[groups.index("R290")] is None and links[groups.index("R454")] is not None


@pytest.mark.slow
def test_where_a_chapter_is_nowhere_nothing_refers_to_it(computed: DataSet) -> None:
    text = " ".join(printed(computed, BookletContents(sections=("which_table", "tables", "families"))))
    for reference in ("Scatter and confidence", "What this booklet leaves out"):
        assert reference not in text


@pytest.mark.parametrize(
    ("language", "note"),
    [
        ("es", "R290 (A3: inflamable)."),
        ("fr", "R290 (A3 : inflammable)."),
        ("de", "R290 (A3: brennbar)."),
    ],
)
def test_the_note_speaks_the_language_of_the_booklet(computed: DataSet, language: str, note: str) -> None:
    with speaking(language):
        [text] = safety_texts(Publication.of(computed), "R290")
    assert text.replace("\N{NO-BREAK SPACE}", " ").startswith(note)


@pytest.mark.parametrize(
    "other",
    [
        BookletContents(title="Another"),
        BookletContents(sections=USUAL_SECTIONS[::-1]),
        BookletContents(separate=("method",)),
        BookletContents(sst_k={"walk_in_medium": (268.7,)}),
        BookletContents(tables="dense"),
        BookletContents(empty_tables="listed"),
    ],
    ids=str,
)
def test_each_choice_makes_the_booklet_anew(computed: DataSet, other: BookletContents) -> None:
    def identities(contents: BookletContents) -> tuple[str, bytes]:
        own = replace(computed.catalogue.booklets[0], contents=contents)
        data = with_inputs(computed, booklets=(own,))
        # Of a booklet of one family, and of one of all.
        return PartsOfData(data).identity(own.printed.publication), data.manifest()

    plain, changed = identities(BookletContents()), identities(other)
    assert plain[0] != changed[0] and plain[1] != changed[1]


@pytest.mark.parametrize(
    ("sst", "printed_in"),
    [
        ("24 degF", "Printed in booklet.pdf"),
        ("26 degF", "not printed in a booklet (this suction temperature is not among the rows chosen for the booklet)"),
        ("25 degF", "not printed in a booklet (the tables have no row at this suction temperature)"),
    ],
)
def test_an_answer_says_whether_its_row_is_printed(
    chosen: Chosen, capsys: pytest.CaptureFixture[str], sst: str, printed_in: str
) -> None:
    asked = ["R448A-family", "--sst", sst, "--load", "20 kBtu/h", "--application", "walk_in_medium"]
    assert main(["pick", *asked, "--catalogue", str(chosen.catalogue)]) == 0
    assert printed_in in " ".join(capsys.readouterr().out.split())
