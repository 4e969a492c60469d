"""A table reads back as it was given, fills its page, and refuses what it cannot set uncut."""

import dataclasses
import io
from datetime import date

import pytest
from pypdf import PdfReader

from tablegen.errors import PublishError
from tablegen.report.pages.window_table import WindowTable, WindowTableFlowable, WindowTableRow, in_blocks
from tablegen.report.pdf import design, fonts, page
from tablegen.report.rounding import decimals, round_down, round_up


def table(sizes: int = 8, rows: int = 26, factor: float = 1.65) -> WindowTable:
    made = []
    for i in range(rows):
        maximum = [0.622 * factor**k * (1 - 0.012 * i) for k in range(sizes)]
        cells: list[tuple[str, str] | str] = [(round_up(g / 4.1), round_down(g)) for g in maximum]
        if i == 1:
            cells[0] = "a"
        made.append(WindowTableRow(label=decimals(10 - 2 * i, 0), cells=cells, rule_above=i % 5 == 0))
    notes = [f"Kv {0.02 * factor**k:.3g}" for k in range(sizes)]
    names = [f"K{k + 1}" for k in range(sizes)]
    return WindowTable(stub_label="t₀, °C", sizes=names, size_notes=notes, rows=made)


def printed(flowable: WindowTableFlowable, paper: str = "A4") -> PdfReader:
    target = io.BytesIO()
    page.Document(target, paper, "Demonstration", date=date(2025, 3, 1)).build([flowable])
    return PdfReader(target)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("sizes", [1, 3, 8, 10])
def test_every_row_reads_back(sizes: int, paper: str) -> None:
    given = table(sizes)
    text = printed(WindowTableFlowable(given), paper).pages[0].extract_text(extraction_mode="layout")
    read = [line.split() for line in text.splitlines()]
    for row in given.rows:
        cells = [cell if isinstance(cell, str) else f"{cell[0]}–{cell[1]}" for cell in row.cells]
        assert [row.label, *cells, row.label] in read
    # The label of the temperatures is on both lines of the header, its unit under its name.
    assert ["t₀", *given.sizes, "t₀"] in read
    assert ["°C", *" ".join(given.size_notes or ()).split(), "°C"] in read


def test_a_full_table_fills_the_page_and_a_short_one_does_not_stretch() -> None:
    full, short = WindowTableFlowable(table()), WindowTableFlowable(table(rows=3))
    assert full.wrap(493, 500)[1] == pytest.approx(500)
    assert short.wrap(493, 500)[1] < 130
    assert WindowTableFlowable(table(), reserve=40).wrap(493, 540)[1] == pytest.approx(500)


def test_a_table_of_few_sizes_stays_narrow() -> None:
    assert WindowTableFlowable(table(2)).wrap(493, 500)[0] < 300
    assert WindowTableFlowable(table(8)).wrap(493, 500)[0] == pytest.approx(493)


def test_type_shrinks_to_eight_points_and_no_further() -> None:
    used = []
    for sizes in range(1, 11):
        flowable = WindowTableFlowable(table(sizes))
        flowable.wrap(493, 700)
        used.append(flowable._layout.size)
    assert used[0] == 10.5 and used == sorted(used, reverse=True) and design.FINE <= used[-1] < 10.5
    with pytest.raises(PublishError, match=r"14 sizes does not fit 493 pt at 8 pt .* cell is '.*–.*' \(row .*K"):
        WindowTableFlowable(table(14)).wrap(493, 700)


def test_sizes_that_do_not_fit_are_set_some_at_a_time_in_even_shares() -> None:
    given = table(33, factor=1.2)
    blocks = in_blocks(given, 493)
    assert len(blocks) >= 3
    assert [size for block in blocks for size in block.sizes] == given.sizes
    assert [note for block in blocks for note in block.size_notes or ()] == given.size_notes
    assert max(len(b.sizes) for b in blocks) - min(len(b.sizes) for b in blocks) < len(blocks)
    for i, row in enumerate(given.rows):
        assert [cell for block in blocks for cell in block.rows[i].cells] == row.cells
    for block in blocks:
        assert WindowTableFlowable(block).wrap(493, 700)[0] <= 493 + 1e-6
    assert in_blocks(table(9), 493) == [table(9)]


@pytest.mark.parametrize("rows", [48, 61, 400])
def test_rows_go_on_on_the_next_page_under_the_same_header(rows: int) -> None:
    given = table(6, 26)
    many = dataclasses.replace(given, rows=[dataclasses.replace(given.rows[i % 26], label=f"{i}") for i in range(rows)])
    pages = [p.extract_text(extraction_mode="layout") for p in printed(WindowTableFlowable(many, reserve=60.0)).pages]
    assert len(pages) > 1
    labels = [
        line.split()[0]
        for text in pages
        for line in text.splitlines()
        if len(line.split()) == 8 and line.split()[0] == line.split()[-1]
    ]
    assert [label for label in labels if label.isdigit()] == [str(i) for i in range(rows)]
    for number, text in enumerate(pages):
        assert ["t₀", *given.sizes, "t₀"] in [line.split() for line in text.splitlines()]
        assert ("Continued" in text) == (number > 0)


def test_no_two_cells_touch() -> None:
    flowable = WindowTableFlowable(table(10))
    flowable.wrap(493, 700)
    layout, dash = flowable._layout, fonts.text_width("–", fonts.REGULAR, flowable._layout.size) / 2
    for row in flowable.table.rows:
        ends = layout.stub
        for axis, cell in zip(layout.axes, row.cells, strict=True):
            if isinstance(cell, tuple):
                start = axis - dash - fonts.text_width(cell[0], fonts.REGULAR, layout.size)
                assert start - ends >= layout.size * 0.99
                ends = axis + dash + fonts.text_width(cell[1], fonts.SEMIBOLD, layout.size)
        assert layout.width - layout.stub - ends >= layout.size * 0.99


def test_too_little_height_moves_to_the_next_page() -> None:
    assert WindowTableFlowable(table()).wrap(493, 200)[1] > 200


def test_a_heading_and_a_caption_stay_with_their_table() -> None:
    target = io.BytesIO()
    document = page.Document(target, "A4", "Demonstration", date=date(2025, 3, 1))
    before = [page.paragraph("filler") for _ in range(25)]
    caption = page.paragraph("Table 1", "caption")
    document.build([*before, page.Heading("Group A"), caption, WindowTableFlowable(table())])
    pages = [p.extract_text() for p in PdfReader(target).pages]
    assert "Group A" not in pages[0] and "Group A" in pages[1] and "Table 1" in pages[1] and "Kv" in pages[1]


def test_a_table_checks_itself() -> None:
    def made(sizes: list[str], notes: list[str] | None, *rows: WindowTableRow) -> WindowTable:
        return WindowTable(stub_label="t", sizes=sizes, size_notes=notes, rows=rows)

    with pytest.raises(PublishError, match="at least one size and one row"):
        made([], None)
    with pytest.raises(PublishError, match="row 5 of a table has 2 cells"):
        made(["K1"], None, WindowTableRow(label="5", cells=["a", "b"]))
    with pytest.raises(PublishError, match="1 sizes but 2 notes"):
        made(["K1"], ["x", "y"], WindowTableRow(label="5", cells=["a"]))
    with pytest.raises(fonts.MissingGlyphError):
        made(["K1"], None, WindowTableRow(label="5", cells=[("1", "∅")]))
