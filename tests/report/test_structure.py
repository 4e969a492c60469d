"""Structure tags, read back: who hears the pages gets every heading, table and figure, once and in order."""

import io
from datetime import date
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from reportlab.platypus import Flowable, KeepTogether, PageBreak

from tablegen.cli.main import main
from tablegen.errors import PublishError
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.selection_map_graph import map_cells
from tablegen.report.pages.window_pages import window_table_pages
from tablegen.report.pages.window_table import DASH, WindowTableFlowable
from tablegen.report.pdf import page, tables
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.stock_coverage import StockCell, stock_chart
from tests.demo import demo_booklet, demo_chart, demo_data, demo_handout
from tests.report.tagged_text import Tagged, faults


def built(story: list[Flowable]) -> Tagged:
    target = io.BytesIO()
    page.Document(target, "A4", "Demonstration", date=date(2025, 3, 1), notice="A notice").build(story)
    return Tagged(target.getvalue())


def plain(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def booklet() -> Tagged:
    return Tagged(demo_booklet("IP", "letter")[1])


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Tagged:
    target: Path = tmp_path_factory.mktemp("sheet") / "sheet.pdf"
    grid = ["--coldest", "-40 degF", "--warmest", "120 degF", "--step", "1 delta_degF"]
    assert main(["states", "R448A", *grid, "--output", str(target)]) == 0
    return Tagged(target.read_bytes())


@pytest.fixture(scope="module")
def publications() -> dict[str, Tagged]:
    handout, answers = demo_handout("handout")
    return {"counter": Tagged(demo_chart("counter")), "handout": Tagged(handout), "answers": Tagged(answers)}


def outline(document: Tagged) -> list[tuple[str, str]]:
    """Role and title of every entry of the bookmarks."""
    found = []

    def add(entries: list[Any], level: int) -> None:
        for entry in entries:
            if isinstance(entry, list):
                add(entry, level + 1)
            else:
                found.append((f"H{level}", plain(entry.title)))

    add(document.reader.outline, 1)
    return found


def headings(document: Tagged) -> list[tuple[str, str]]:
    return [
        (node.role, node.words.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))
        for node in document.root.find("H1", "H2")
    ]


def test_booklet_is_tagged_without_a_fault(booklet: Tagged) -> None:
    assert faults(booklet) == []
    root: Any = booklet.reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712 (an object of the reader's own)
    assert root["/Lang"] == "en"
    assert booklet.root.role == "Document"
    # Each graph of the story, the picture of the cover, the logo there and the last page, and all that is a table.
    assert 80 <= len(booklet.root.find("Figure")) <= 120
    assert len(booklet.root.find("TD", "TH")) > 6000


def test_every_document_is_tagged_without_a_fault(publications: dict[str, Tagged], sheet: Tagged) -> None:
    for name, document in {**publications, "sheet": sheet}.items():
        assert faults(document) == [], name
        assert headings(document) == outline(document) != [], name
        assert document.root.find("Table") and document.root.find("P"), name
    assert [len(publications[n].root.find("Figure")) for n in ("counter", "handout", "answers")] == [0, 11, 0]


def test_every_heading_is_tagged_once_and_in_order(booklet: Tagged) -> None:
    read = headings(booklet)
    assert read == outline(booklet)
    assert len(read) > 35
    listed = [str(link.entry["/ActualText"]) for link in booklet.root.find("Link")]
    # The contents, then for each application its tables again.
    listed, again = listed[: len(read)], listed[len(read) :]
    assert [plain(text.rpartition(", page ")[0]) for text in listed] == [title for _, title in read]
    assert len(again) == len(demo_booklet("IP", "letter")[0].parts) and set(again) < set(listed)
    places = booklet.reader.get_destination_page_number
    flat = [e for entry in booklet.reader.outline for e in (entry if isinstance(entry, list) else [entry])]
    assert [int(text.rpartition(" ")[2]) for text in listed] == [places(entry) + 1 for entry in flat]


def test_every_table_reads_through_its_tags_alone(booklet: Tagged) -> None:
    publication, _ = demo_booklet("IP", "letter")
    # A table belongs to the heading above it, in the order of the tree.
    under: dict[str, list[list[list[Any]]]] = {}
    title = ""
    for node in booklet.root.kids:
        title = node.words if node.role in ("H1", "H2") else title
        if node.role == "Table":
            under.setdefault(title, []).append([row.kids for row in node.kids])
    for part in publication.parts:
        # Between the two may be cautions of the refrigerant, then the caption.
        heading, *below = window_table_pages(publication, part, 500.0)
        assert isinstance(heading, page.Heading)
        [flowable] = [own for own in below if isinstance(own, WindowTableFlowable)]
        # The table, its conditions, the map that turns it round.
        read, *conditions, turned = under[plain(heading.heading).replace("'", "\N{RIGHT SINGLE QUOTATION MARK}")]
        assert len(conditions) == 2
        given = flowable.table
        notes = given.size_notes or ()
        assert [cell.words for cell in read[0]] == [
            *(" ".join(label.rsplit(", ", 1)) for label in (given.box_label, given.stub_label)),
            *(plain(f"{s} {n}") for s, n in zip(given.sizes, notes, strict=True)),
        ]
        assert all(cell.role == "TH" and cell.entry["/A"]["/Scope"] == "/Column" for cell in read[0])
        for row, cells in zip(given.rows, read[1:], strict=True):
            assert [cell.role for cell in cells] == ["TD", "TH", *["TD"] * len(given.sizes)]
            assert cells[1].entry["/A"]["/Scope"] == "/Row"
            printed = [cell if isinstance(cell, str) else DASH.join(cell) for cell in row.cells]
            assert [cell.words for cell in cells] == [plain(row.box), plain(row.label), *printed]
        maps = publication.rows(publication.data.selection_maps, part)
        cells = map_cells(maps[maps["load_unit"] == "kBtu/h"], publication.formatter)
        assert [cell.words for cell in turned[0][1:]] == [" to ".join(column) for column in cells.columns]
        for (label, sizes), read_row in zip(cells.rows, turned[1:], strict=True):
            assert [cell.words for cell in read_row] == [label, *(" ".join(filter(None, pair)) for pair in sizes)]


def chart_words(cell: StockCell) -> str:
    """What a cell of a chart says: its sizes, or which of them to ask about up to which load."""
    if not cell.limits:
        return " ".join(cell.sizes)
    asked = ": ask" if len(cell.sizes) > 1 else "? ask"
    return f"{' or '.join(cell.sizes)}{asked} {cell.limits}"


def test_the_counter_chart_reads_as_its_data(publications: dict[str, Tagged]) -> None:
    data = demo_data()
    chart = data.catalogue.charts[0]
    # Each page has the chart, then its conditions; a group of many refrigerants has two pages.
    tables = publications["counter"].tables()
    heads = [[cell.words for cell in row] for row in tables[0][:2]]
    # The box is warmer by the TD of the application.
    td = 1.8 * data.catalogue.applications["walk_in_medium"].coil_temperature_difference_k
    assert heads == [
        ["box \N{DEGREE SIGN}F", *(f"{10 * i + td:.0f} to {10 * i + 10 + td:.0f}" for i in (1, 2, 3))],
        ["SST \N{DEGREE SIGN}F", "10 to 20", "20 to 30", "30 to 40"],
    ]
    read = [[cell.words for cell in row] for table in tables[::2] for row in table[2:]]
    printed = []
    for group in chart.groups:
        cells = data.charts[(data.charts["group"] == group) & (data.charts["publication"] == "counter")]
        for row in stock_chart(cells, Formatter("IP")).rows:
            printed.append([f"over {row.above} up to {row.upto}", *map(chart_words, row.cells)])
    assert read == printed
    assert [cell.words for cell in tables[1][0]] == ["", "low head", "rating point", "high head"]


def test_a_sheet_over_two_pages_is_one_table(sheet: Tagged) -> None:
    _, rows = sheet.tables()
    assert len({mark[0] for row in rows for cell in row for mark in cell.marks}) > 1
    assert len(rows) == 1 + 161
    assert [cell.role for row in rows[1:] for cell in row[:1]] == ["TH"] * 161
    assert rows[1][0].words == "\N{MINUS SIGN}40" and rows[-1][0].words == "120"


def test_what_runs_over_pages_is_one_element_and_its_repeated_header_is_none() -> None:
    rows = [[f"K{i}", f"{i}.5", "" if i % 2 else "even"] for i in range(140)]
    long = "A valve has a minimum and a maximum load. " * 150
    table = tables.data_table(["Size", "Load, kW", "Kind"], rows, 400, numeric=[1])
    document = built([page.paragraph(long), page.paragraph(long), table])
    assert faults(document) == []
    first, second, table = document.root.kids
    assert (first.role, second.role, table.role) == ("P", "P", "Table")
    assert [first.words, second.words] == [plain(long)] * 2 and len({mark[0] for mark in second.marks}) > 1
    assert [[cell.words for cell in row.kids] for row in table.kids] == [["Size", "Load, kW", "Kind"], *rows]
    assert len(document.reader.pages) > 4


def test_steps_make_one_list_until_something_else_comes() -> None:
    steps = [page.paragraph(f"Step {i}", "step", mark=f"{i}.") for i in range(5)]
    then = [page.paragraph("Then"), KeepTogether(steps[3:4]), PageBreak(), steps[4]]
    document = built([page.Heading("A"), *steps[:3], *then])
    assert faults(document) == []
    assert [node.role for node in document.root.kids] == ["H1", "L", "P", "L"]
    assert [len(node.kids) for node in document.root.find("L")] == [3, 2]
    assert [node.words for node in document.root.find("Lbl")] == [f"{i}." for i in range(5)]
    assert [node.words for node in document.root.find("LBody")] == [f"Step {i}" for i in range(5)]
    assert {node.entry["/A"]["/ListNumbering"] for node in document.root.find("L")} == {"/Decimal"}


def test_a_step_over_two_pages_is_one() -> None:
    long = plain("A valve has a minimum and a maximum load. " * 80)
    document = built([page.paragraph(long, "step", mark="•") for _ in range(3)])
    assert faults(document) == []
    (steps,) = document.root.kids
    assert steps.entry["/A"]["/ListNumbering"] == "/Disc" and len(document.reader.pages) == 2
    read = [[(kid.role, kid.words) for kid in step.kids] for step in steps.kids]
    assert read == [[("Lbl", "•"), ("LBody", long)]] * 3


def test_rules_and_running_heads_are_no_content() -> None:
    document = built([page.paragraph("Body of the page"), tables.facts([("a", "b")], 300)])
    assert document.root.words == "Body of the page a b"
    text = document.reader.pages[0].extract_text()
    assert "A notice" in text and "Page 1 of 1" in text


def test_a_figure_without_formatter_is_refused() -> None:
    empty = Drawing(100.0, 50.0, ())
    with pytest.raises(PublishError, match="needs a description"):
        built([DrawingFlowable(empty)])
    document = built([page.paragraph("x"), DrawingFlowable(empty, "A field, \N{DEGREE SIGN}C")])
    # An empty drawing paints nothing, but is in the tree.
    assert [str(node.entry["/Alt"]) for node in document.root.find("Figure")] == ["A field, \N{DEGREE SIGN}C"]


def test_another_reader_finds_the_same_roles(booklet: Tagged) -> None:
    """The tree of the first table's page, by a reader that reads structure by itself."""
    pdfium: Any = pypdfium2.raw
    document = pypdfium2.PdfDocument(demo_booklet("IP", "letter")[1])

    def roles(element: Any) -> list[str]:
        size = pdfium.FPDF_StructElement_GetType(element, None, 0)
        name = (pdfium.c_char * size)()
        pdfium.FPDF_StructElement_GetType(element, name, size)
        kids = [
            pdfium.FPDF_StructElement_GetChildAtIndex(element, i)
            for i in range(pdfium.FPDF_StructElement_CountChildren(element))
        ]
        return [name.raw.decode("utf-16-le").rstrip("\0"), *(role for kid in kids if kid for role in roles(kid))]

    kinds = {"H1", "H2", "P", "TH", "TD", "Figure", "Lbl", "LBody", "Link"}
    for number in (0, 20, len(document) - 1):
        tree = pdfium.FPDF_StructTree_GetForPage(document[number])
        count = pdfium.FPDF_StructTree_CountChildren(tree)
        tops = [pdfium.FPDF_StructTree_GetChildAtIndex(tree, i) for i in range(count)]
        found = [role for top in tops for role in roles(top)]
        ours = [node.role for node in booklet.root.walk() if any(mark[0] == number for mark in node.marks)]
        assert sorted(kinds.intersection(found)) == sorted({role if role != "Title" else "P" for role in ours})
        assert sum(role in kinds for role in found) == len(ours)
