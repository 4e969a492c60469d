"""Documents are the same bytes twice, embed every font, and their bookmarks and page numbers are right."""

import io
import os
from collections.abc import Sequence
from datetime import date
from typing import Any

import pytest
from pypdf import PdfReader
from reportlab.platypus import Flowable, PageBreak, Paragraph, Spacer, Table

from tablegen.errors import PublishError
from tablegen.report.pdf import column_widths, fonts, page, tables


def document(target: io.BytesIO, paper: str = "A4", **more: object) -> page.Document:
    settings: dict[str, object] = {"notice": "Invented demonstration data", **more}
    return page.Document(target, paper, "Load windows", date=date(2025, 3, 1), **settings)  # type: ignore[arg-type]


def built(story: Sequence[Flowable], paper: str = "A4", **more: object) -> PdfReader:
    target = io.BytesIO()
    document(target, paper, **more).build(story)
    return PdfReader(target)


def story(chapters: int = 4) -> list[Flowable]:
    made: list[Flowable] = [page.paragraph("Load windows", "title"), page.contents(), PageBreak()]
    for n in range(chapters):
        made += [
            page.Heading(f"Chapter {n} <A & B>"),
            *[page.paragraph("A valve has a minimum and a maximum load. " * 9) for _ in range(7 + 5 * n)],
            page.Heading(f"Section {n}", 2),
            tables.facts([("Condensing", "10 °C to 45 °C"), ("Liquid", "2 K subcooled")], 400),
            tables.data_table(["Size", "Load, kW"], [[f"K{i}", f"{i}.5"] for i in range(9)], 400, numeric=[1]),
        ]
    return made


def test_two_builds_are_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    targets = []
    for epoch in ("0", "1000000000"):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
        targets.append(io.BytesIO())
        document(targets[-1]).build(story())
    assert targets[0].getvalue() == targets[1].getvalue()


@pytest.mark.parametrize("epoch", ["abc", "1e9", "nan", "9" * 20, "1000000000", ""])
@pytest.mark.parametrize("dated", [date(2025, 3, 1), None])
def test_a_date_of_the_environment_changes_nothing(
    epoch: str, dated: date | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    targets = []
    for text in (None, epoch):
        if text is not None:
            monkeypatch.setenv("SOURCE_DATE_EPOCH", text)
        targets.append(io.BytesIO())
        page.Document(targets[-1], "A4", "T", date=dated).build([page.paragraph("x")])
    assert targets[0].getvalue() == targets[1].getvalue()
    assert os.environ["SOURCE_DATE_EPOCH"] == epoch


def test_another_date_is_another_document() -> None:
    first, second = io.BytesIO(), io.BytesIO()
    page.Document(first, "A4", "T", date=date(2025, 3, 1)).build([page.paragraph("x")])
    page.Document(second, "A4", "T", date=date(2025, 3, 2)).build([page.paragraph("x")])
    assert PdfReader(first).trailer["/ID"] != PdfReader(second).trailer["/ID"]


def test_every_font_is_ours_and_embedded() -> None:
    target = io.BytesIO()
    document(target).build(story())
    assert b"Helvetica" not in target.getvalue()
    sheets: Any = PdfReader(target).pages
    for sheet in sheets:
        for font in sheet["/Resources"]["/Font"].values():
            description = font.get_object()["/FontDescriptor"].get_object()
            assert "/FontFile2" in description
            assert str(description["/FontName"]).split("+")[1].startswith("SourceSansPro-")


def test_a_stray_font_is_refused() -> None:
    table = Table([["x"]], style=[("FONT", (0, 0), (-1, -1), "Helvetica")])
    with pytest.raises(PublishError, match="font Helvetica is not embedded"):
        built([table])


def test_bookmarks_and_contents_lead_to_the_page_of_the_heading() -> None:
    reader = built(story())
    texts = [sheet.extract_text() for sheet in reader.pages]
    listed = reader.pages[0].extract_text(extraction_mode="layout").splitlines()
    flat: list[Any] = []
    for item in reader.outline:
        flat += item if isinstance(item, list) else [item]
    assert len(flat) == 8 and len({reader.get_destination_page_number(e) for e in flat}) > 4
    for entry in flat:
        number = reader.get_destination_page_number(entry)
        assert number is not None
        assert str(entry["/Title"]) in texts[number]
        lines = [line for line in listed if line.strip().startswith(f"{entry['/Title']} ")]
        assert lines and lines[0].rstrip().endswith(str(number + 1))
    links: Any = reader.pages[0]["/Annots"]
    places = {(a.get_object()["/Dest"][0].idnum, float(a.get_object()["/Dest"][3])) for a in links}
    assert places == {(entry.page.idnum, float(entry.top)) for entry in flat}


def test_every_page_says_n_of_n_and_the_notice() -> None:
    reader = built(story())
    assert len(reader.pages) > 5
    for number, sheet in enumerate(reader.pages, 1):
        text = sheet.extract_text()
        assert f"Page {number} of {len(reader.pages)}" in text
        assert "Invented demonstration data" in text
        assert "Load windows" in text


def test_the_running_head_names_the_section_at_the_top_of_the_page() -> None:
    text = [page.paragraph("A valve has a minimum and a maximum load. " * 9) for _ in range(22)]
    parts = [page.Heading("First"), *text, page.Heading("Second"), PageBreak(), page.Heading("Third"), *text[:2]]
    pages = [read.extract_text().splitlines() for read in built(parts).pages]
    heads = [[line for line in lines if line in ("First", "Second", "Third", "Load windows")][-2:] for lines in pages]
    assert len(pages) == 3
    assert "Second" in pages[1] and heads[1] == ["Load windows", "First"] and heads[2] == ["Load windows", "Third"]


def test_a_heading_is_never_alone_at_a_page_foot() -> None:
    room = document(io.BytesIO()).frame_height
    for left in range(20, 70, 5):
        reader = built([Spacer(1, room - left), page.Heading("Lonely"), page.paragraph("word " * 120)])
        first = reader.pages[0].extract_text()
        assert ("Lonely" in first) == ("word" in first)


def test_markup_in_text_is_printed_not_obeyed() -> None:
    text = built([page.paragraph("p < q & <b>r</b> <unknown>s</unknown>")]).pages[0].extract_text()
    assert "p < q & <b>r</b> <unknown>s</unknown>" in text
    marked = Paragraph(f"<b>{page.escape('<i>x</i>')}</b>", page.STYLES["body"])
    assert "<i>x</i>" in built([marked]).pages[0].extract_text()


def test_metadata() -> None:
    reader = built([page.paragraph("x")], author="A. Author", subject="Windows", keywords=("valve", "load"))
    shown: Any = reader.metadata
    assert (shown.title, shown.author, shown.subject) == ("Load windows", "A. Author", "Windows")
    assert shown["/Keywords"] == "valve, load"
    assert shown.creation_date.date() == shown.modification_date.date() == date(2025, 3, 1)


@pytest.mark.parametrize(("paper", "landscape", "size"), [("A4", False, (595, 842)), ("Letter", True, (792, 612))])
def test_papers(paper: str, landscape: bool, size: tuple[int, int]) -> None:
    box = built([page.paragraph("x")], paper, landscape=landscape).pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


def test_a_table_repeats_its_header_and_loses_no_word() -> None:
    remark = "a long remark that needs more than one line of its narrow column"
    rows = [[f"K{i}", f"{i * 11}", remark] for i in range(90)]
    reader = built([tables.data_table(["Size", "Load, kW", "Remark"], rows, 200, numeric=[1])])
    assert len(reader.pages) > 2
    for sheet in reader.pages:
        assert "Load, kW" in " ".join(sheet.extract_text().split())
    words = " ".join(" ".join(sheet.extract_text() for sheet in reader.pages).split())
    assert words.count(remark) == 90


def test_no_cell_is_wider_than_its_column() -> None:
    rows = [["K1", "12345.6", "unbreakableword and 45\N{NO-BREAK SPACE}°C and more words"]]
    head = ["Size", "Load, kW", "R"]
    for width in range(150, 420, 7):
        cells, widths = column_widths.lay([head, *rows], lambda i, j: fonts.BOLD, lambda i, j: i == j == 1, width, 9)
        assert sum(widths) <= width + 1e-6
        for row in (part for parts in cells for part in parts):
            for cell, room in zip(row, widths, strict=True):
                assert all(fonts.text_width(line, fonts.BOLD, 9) < room for line in cell)
        assert any("45\N{NO-BREAK SPACE}°C" in line for part in cells[1] for line in part[2])


def test_a_word_too_long_for_its_column_is_broken_and_none_of_it_lost() -> None:
    word = "unbreakable" * 5
    for made in (
        tables.data_table(["Size", "Remark"], [["K1", word]], 150),
        tables.facts([("A rather long label for this", word)], 100),
        tables.data_table(["Size", word, "Load"], [[word, word, "12.3"]], 200, numeric=[1, 2]),
    ):
        reader = built([made])
        assert "".join(reader.pages[0].extract_text().split()).count(word) >= 1
        assert made.width <= 200.01


def test_a_row_higher_than_a_page_goes_on_on_the_next() -> None:
    words = " ".join(f"w{i}" for i in range(1500))
    reader = built([tables.facts([("Label", words)], 200), tables.data_table(["A", "B"], [["x", words]], 150)])
    text = " ".join(" ".join(sheet.extract_text() for sheet in reader.pages).split())
    assert len(reader.pages) > 4
    assert all(text.count(f" w{i} ") >= 1 for i in range(1, 1500, 37))


def test_a_table_of_many_columns_goes_on_below_under_the_same_first_column() -> None:
    header = ["Size", *(f"{i}.25" for i in range(60))]
    made = tables.data_tables(header, [["Kv", *(f"{i}" for i in range(100, 160))]], 400, numeric=range(1, 61))
    assert len(made) > 3
    for part in made:
        assert part.header[0] == ["Size"] and part.rows[0][0] == ["Kv"]
        assert part.width <= 400.0
    assert [name for part in made for [name] in part.header[1:]] == header[1:]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_long_title_and_a_long_notice_take_several_lines(paper: str) -> None:
    title, notice = "X" * 80 + " windowless", "Not for the selection of real equipment in any place. " * 7
    target = io.BytesIO()
    page.Document(target, paper, title, date=date(2025, 3, 1), notice=notice.strip()).build(story())
    for number, sheet in enumerate(PdfReader(target).pages):
        words = " ".join(sheet.extract_text().split())
        assert notice.strip() in words
        assert number == 0 or "".join(title.split()) in "".join(words.split())


def test_what_is_no_table_is_refused() -> None:
    with pytest.raises(PublishError, match="a table needs 2 cells in every row"):
        tables.data_table(["a", "b"], [["1"]], 100)
    with pytest.raises(PublishError, match="a table needs type of 8 pt or more"):
        tables.data_table(["a"], [["1"]], 100, size=7)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: page.Document("x", "A4", "T" * 400, date=date(2025, 1, 1)), "too long for 3 lines"),
        (lambda: built([page.Heading("x", 2)]), "level 2 comes before any of level 1"),
        (lambda: built([page.Heading("x"), Table([["a"]], rowHeights=[2000])]), "does not fit on any page"),
        (lambda: built([page.contents()]), "contents but no heading"),
    ],
)
def test_problems_are_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(PublishError, match=message):
        make()
