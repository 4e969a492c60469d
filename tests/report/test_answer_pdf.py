"""What paper shows of an answer, read back from the PDF."""

import io
import re
from dataclasses import dataclass
from datetime import date

import pytest
from pypdf import PdfReader

from tablegen.report.answer import (
    WIDE,
    AnswerColumn,
    AnswerTable,
    ColumnStyle,
    Fact,
    Imprint,
    Reference,
    TableLayout,
    Value,
)
from tablegen.report.graphs.sketch import Sketch
from tablegen.report.html.answer_page import fragment
from tablegen.report.pdf.answer_sheet import print_answer
from tablegen.report.pdf.drawing import Pen
from tablegen.report.text import to_text
from tests.report.tagged_text import Tagged, faults
from tests.report.test_answer import answer, sizes_table
from tests.report.test_answer_html import Outline


def printed(made, paper="Letter"):
    target = io.BytesIO()
    pages = print_answer(made, paper, target)
    found = Tagged(target.getvalue())
    assert len(found.reader.pages) == pages
    return found


def words(document):
    return " ".join(" ".join(page.extract_text() for page in document.reader.pages).split())


@dataclass
class Line:
    """A figure of one line."""

    alt: str = "A line that rises."
    caption: str = "Load against head pressure."
    width: float = WIDE
    drawn: list = None

    def heights(self, width):
        return 140.0, 320.0

    def draw(self, width, height):
        self.drawn = [*(self.drawn or []), (width, height)]
        sketch = Sketch(width, height)
        sketch.line([(0.0, 0.0), (width, height)], Pen(1.0))
        return sketch.drawing()


@pytest.mark.parametrize(("paper", "size"), [("Letter", (612.0, 792.0)), ("A4", (595.28, 841.89))])
def test_every_printed_text_is_on_the_page(paper, size):
    document = printed(answer(), paper)
    box = document.reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.01)
    shown = words(document)
    for text in (
        "R448A at SST −4 °C",
        "First choice: Hazel 250.",
        "Walk-in cooler",
        "Load window, kW",
        "2.25 to 16.1",
        "Loads are gross.",
        "Invented data.",
        "Follow the codes.",
        "Page 1 of 1",
    ):
        assert text in shown.replace("\N{NO-BREAK SPACE}", " ")


def test_structure_names_headings_header_cells_and_figure():
    document = printed(answer(figures=(Line(),), sections=(answer(key="first", heading="First part", imprint=None),)))
    assert faults(document) == []
    assert [node.words for node in document.root.find("H1", "H2")] == [
        "R448A at SST −4 °C",
        "First part",
    ]
    sizes = document.tables()[1]
    assert [cell.role for cell in sizes[0]] == ["TH"] * 4 and [cell.role for cell in sizes[1]] == ["TH"] + ["TD"] * 3
    assert [cell.words for cell in sizes[2]] == ["Alder", "2.25 to 16.1", "–", "as printed"]
    [figure] = document.root.find("Figure")
    assert figure.entry["/Alt"] == "A line that rises."


def test_long_table_runs_on_with_its_header_and_no_row_is_lost():
    names = [f"Family {i}" for i in range(300)]
    document = printed(answer(tables=(sizes_table(names),)))
    assert len(document.reader.pages) > 4
    for page in document.reader.pages[:-1]:
        assert "Load window, kW" in page.extract_text()
    rows = next(table for table in document.tables() if len(table) > 50)
    assert [row[0].words for row in rows[1:]] == names


def test_figure_takes_what_the_page_leaves():
    short, long = Line(), Line()
    printed(answer(figures=(short,)))
    printed(answer(figures=(long,), notes=("A note of some words. " * 12,) * 10))
    assert short.drawn[-1][1] == 320.0
    # At the first attempt, not in smaller type.
    assert len(long.drawn) == 1 and 140.0 <= long.drawn[0][1] < 320.0


def test_answer_a_little_too_long_for_a_page_is_set_in_smaller_type():
    tall = [f"Family {i}" for i in range(37)]
    assert len(printed(answer(tables=(sizes_table(tall),))).reader.pages) == 1
    assert len(printed(answer(tables=(sizes_table([*tall, *map(str, range(40))]),))).reader.pages) == 2


def test_hostile_text_is_printed_as_it_is_written_without_control_characters():
    text = "Ald\x1b[31mer\u202e <b>&amp;</b> <para/> \n=1+1"
    made = answer(
        heading=text,
        notes=(text,),
        facts=(Fact(("name",), text, Value.of(text)),),
        tables=(sizes_table([text], title=text),),
    )
    shown = words(printed(made))
    assert shown.count("Ald\\x1b[31mer\\u202e <b>&amp;</b> <para/> =1+1") >= 4


def test_same_answer_gives_the_same_bytes():
    def content():
        target = io.BytesIO()
        print_answer(answer(imprint=Imprint(notice="n", date=date(2026, 11, 25)), figures=(Line(),)), "A4", target)
        return target.getvalue()

    first = content()
    assert first == content()
    information = PdfReader(io.BytesIO(first)).metadata
    assert information.title == "R448A at SST −4\N{NO-BREAK SPACE}°C"
    assert information["/CreationDate"].startswith("D:20261125")


@pytest.mark.parametrize("layout", [TableLayout.GRID, TableLayout.ENTRIES])
def test_formula_has_its_index_below_the_line(layout):
    columns = (
        AnswerColumn(("n",), "No."),
        AnswerColumn(("f",), "Equation", ColumnStyle.FORMULA),
        AnswerColumn(("v",), "Value"),
    )
    rows = ((Value.of(1), Value.of("p_bulb = p_charge(T_b) < 2"), Value.of("= 3 kPa")),)
    table = AnswerTable(key="steps", columns=columns, rows=rows, layout=layout)
    shown = words(printed(answer(tables=(table,))))
    # The index is set in its own type, so there is no underscore.
    assert "p_bulb" not in shown and "= 3 kPa" in shown
    assert "pbulb=pcharge(Tb)<2" in shown.replace(" ", "")


def test_break_is_a_rule_between_two_rows():
    def rules(breaks):
        document = printed(answer(tables=(sizes_table(["a", "b", "c"], breaks=breaks),)))
        content = document.reader.pages[0].get_contents().get_data()
        return len(re.findall(rb"[0-9] l\s", content))

    assert rules((0, 1, 2)) == rules(()) + 2


def test_browser_shows_the_figure_with_its_description():
    outline = Outline(fragment(answer(figures=(Line(),))))
    [drawing] = [given for tag, given in outline.starts if tag == "svg"]
    assert drawing["role"] == "img" and ("title", {"id": drawing["aria-labelledby"]}) in outline.starts
    assert outline.texts["title"] == ["A line that rises."]
    assert outline.texts["figcaption"] == ["Load against head pressure."]


def test_running_head_names_the_part_where_the_heading_is_the_title():
    names = [f"Family {i}" for i in range(60)]
    part = answer(key="part", heading="Second part", imprint=None, tables=(sizes_table(names),))
    document = printed(answer(tables=(sizes_table(names),), sections=(part,)))
    texts = [page.extract_text().replace("\N{NO-BREAK SPACE}", " ") for page in document.reader.pages]
    assert [text.count("R448A at SST −4 °C") for text in texts] == [1] * len(texts)
    assert [text.count("Second part") for text in texts][-2:] == [1, 1]


@pytest.mark.parametrize("make", [fragment, lambda made: words(printed(made)), to_text])
def test_column_without_a_text_is_exported_but_not_printed(make):
    columns = (
        AnswerColumn(("size",), "Size"),
        AnswerColumn(("remark",), "Remarks"),
        AnswerColumn(("load",), "Load", ColumnStyle.FIGURES),
    )
    rows = tuple((Value.of(size), Value("", (None,)), Value.of(7)) for size in ("45", "63"))
    table = AnswerTable(key="sizes", columns=columns, rows=rows)
    shown = make(answer(tables=(table,)))
    assert "Load" in shown and "Remarks" not in shown
    assert table.records()[0] == {"size": "45", "remark": None, "load": 7}
    filled = AnswerTable(key="sizes", columns=columns, rows=(*rows, (Value.of("90"), Value.of("new"), Value.of(7))))
    assert "Remarks" in make(answer(tables=(filled,)))


def rows_on(page, name):
    """How many rows that are so named, with a number, are on a page."""
    return len(re.findall(rf"\b{name} \d", page.extract_text()))


@pytest.mark.parametrize("lines", range(10, 42))
def test_table_begins_with_five_rows_and_leaves_three_for_the_next_page(lines):
    before = AnswerTable(
        key="before", columns=(AnswerColumn(("a",), "A"),), rows=tuple((Value.of(f"line {i}"),) for i in range(lines))
    )
    names = [f"Family {i}" for i in range(30)]
    document = printed(answer(tables=(before, sizes_table(names, title="Thirty rows"))))
    pages = document.reader.pages
    counts = [count for page in pages if (count := rows_on(page, "Family"))]
    assert sum(counts) == 30 and counts[0] >= 5 and counts[-1] >= 3
    titled = next(page for page in pages if "Thirty rows" in page.extract_text())
    assert rows_on(titled, "Family") == counts[0]


@pytest.mark.parametrize("lines", range(18, 40))
def test_short_table_and_list_stay_whole_or_leave_enough_on_either_page(lines):
    def entries(key, count, layout):
        columns = (AnswerColumn(("n",), "No."), AnswerColumn(("of",), "Of"), AnswerColumn(("s",), "Source"))
        rows = tuple(tuple(map(Value.of, (f"[{i}]", f"{key} {i}", ""))) for i in range(count))
        return AnswerTable(key=key, columns=columns, rows=rows, title=f"Title of {key}", layout=layout)

    def counts(key, count):
        found = [rows_on(page, key) for page in pages]
        assert sum(found) == count
        return [count for count in found if count]

    tables = (entries("before", lines, TableLayout.GRID), entries("short", 6, TableLayout.GRID))
    pages = printed(answer(tables=(*tables, entries("list", 20, TableLayout.ENTRIES)))).reader.pages
    assert counts("short", 6) == [6]
    first, *others = counts("list", 20)
    assert first >= 5 and all(count >= 3 for count in others)


def test_figure_of_a_section_fills_what_its_page_leaves_and_stays_with_heading_and_caption():
    names = [f"Family {i}" for i in range(20)]
    heights = []
    for count in (8, 14, 20):
        line = Line()
        part = answer(key="part", heading="With figure", figures=(line,), imprint=None, tables=())
        more = answer(key="more", heading="More", imprint=None, tables=(sizes_table([*names, *names, *names]),))
        pages = printed(answer(tables=(sizes_table(names[:count]),), sections=(part, more))).reader.pages
        # Later pages may have the section in their running head.
        page = next(page for page in pages if "With figure" in page.extract_text().split("\n"))
        assert line.caption in page.extract_text()
        heights.append(line.drawn[-1][1])
    assert heights == sorted(heights, reverse=True) and heights[0] == 320.0 > heights[-1] > 140.0


def test_sheets_of_figures_leave_no_empty_page():
    heads = (AnswerColumn(("t",), "Temperature, °F", ColumnStyle.FIGURES), AnswerColumn(("p",), "Pressure, psi"))
    rows = tuple((Value.of(i), Value.of(f"{i}.5")) for i in range(40))
    sheet = AnswerTable(key="sheet", columns=heads, rows=rows, layout=TableLayout.SHEET)
    parts = tuple(answer(key=key, heading=key, imprint=None, tables=(sheet,)) for key in ("one", "two", "three"))
    pages = printed(answer(tables=(), facts=(), sections=parts)).reader.pages
    assert len(pages) == 3 and all("39.5" in page.extract_text() for page in pages)


def test_a_reference_is_a_link_to_a_file_beside_the_answer():
    own = (
        Reference("Computed, not printed."),
        Reference("See booklet.pdf: " + "a long name, " * 12, "booklet.pdf#nameddest=a.b"),
    )
    document = printed(answer(references=own))
    assert faults(document) == []
    [link] = [note.get_object() for note in document.reader.pages[0]["/Annots"]]
    assert link["/A"]["/S"] == "/URI" and link["/A"]["/URI"] == "booklet.pdf#nameddest=a.b"
    [node] = document.root.find("Link")
    assert node.words.startswith("See booklet.pdf: a long name") and "/StructParent" in link
    # All of its two lines.
    assert 20.0 < float(link["/Rect"][3]) - float(link["/Rect"][1]) < 40.0
    assert "Computed, not printed." in words(document)
