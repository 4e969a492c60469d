"""The counter chart, read back: cells against the windows, sizes of type, what is asked, one page or more."""

import dataclasses
import io
import itertools
import re

import numpy as np
import pandas as pd
import pypdfium2
import pytest
from pypdf import PdfReader

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.model.publications import CounterChart
from tablegen.report.formatter import Formatter
from tablegen.report.pages.stock_table import ColumnHead, WallTable, column_blocks
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.publication import named
from tablegen.report.stock_coverage import StockCell, StockRow, stock_chart
from tablegen.tables.selection_map import chart_frame
from tablegen.wording.language import speaking
from tests.demo import SETTINGS, page_texts, with_inputs
from tests.report.text_boxes import problems, runs_of_page
from tests.us_units import W_PER
from tests.worked import worked_chart, worked_data

MM = 25.4 / 72.0
# Sixteen minutes of arc at 1 m, and what is read at 3 m.
NEAR, FAR = 4.7, 14.0


@pytest.fixture
def printed() -> bytes:
    return worked_chart("counter")


def other_chart(**changes: object) -> tuple[DataSet, str]:
    """The demo with one counter chart, which differs from its own."""
    chart = dataclasses.replace(named(worked_data().catalogue.charts, "counter"), **changes)
    data = with_inputs(worked_data(), charts=(chart,))
    return dataclasses.replace(data, charts=chart_frame(data.catalogue, data.group_windows)), chart.printed.name


def pages_of(data: DataSet, name: str = "counter") -> tuple[bytes, list[str]]:
    target = io.BytesIO()
    count = print_counter_chart(data, name, target)
    found = [" ".join(text.split()) for text in page_texts(target.getvalue())]
    assert len(found) == count
    return target.getvalue(), found


def windows_of(data: DataSet, chart: CounterChart, group: str) -> dict[str, np.ndarray]:
    """By size in stock: suction temperatures [K], minimum and maximum load [W], a row each."""
    g = data.group_windows
    own = g[(g["family"] == chart.family) & (g["group"] == group) & (g["application"] == chart.application)]
    columns = ["sst_k", "min_load_w", "max_load_w"]
    return {
        str(size): rows.sort_values("sst_k")[columns].to_numpy().T
        for size, rows in own.groupby("size")
        if str(size) in chart.stock[group]
    }


def window_in(own: np.ndarray, ends: tuple[float, float]) -> tuple[float, float]:
    """The loads that a size covers at every suction temperature between two [K], an end between rows by both of them."""
    low = own[0][own[0] <= ends[0] + 1e-6].max()
    high = own[0][own[0] >= ends[1] - 1e-6].min()
    inside = (own[0] >= low) & (own[0] <= high)
    return own[1][inside].max(), own[2][inside].min()


@pytest.mark.parametrize("setting", SETTINGS, ids="-".join)
def test_a_cell_names_a_size_only_if_it_covers_all_of_it(setting):
    """Every printed row and cell, against the windows themselves."""
    data, name = worked_data(), f"counter{SETTINGS[setting]}"
    chart, watt = named(data.catalogue.charts, name), W_PER[setting[0]]
    asked = 0
    for group in chart.groups:
        cells = data.charts[(data.charts["publication"] == name) & (data.charts["group"] == group)]
        found = stock_chart(cells, Formatter(setting[0]))
        windows = windows_of(data, chart, group)
        assert [row.above for row in found.rows[:-1]] == [row.upto for row in found.rows[1:]]
        for row, (ends, cell) in itertools.chain.from_iterable(
            [(own, pair) for pair in zip(found.columns, own.cells, strict=True)] for own in found.rows
        ):
            above, upto = float(row.above) * watt, float(row.upto) * watt
            at = {size: window_in(own, ends) for size, own in windows.items()}
            whole = {size for size, (low, high) in at.items() if low <= above * 1.00001 and high >= upto * 0.99999}
            if cell.is_covered:
                assert set(cell.sizes) <= whole
                assert len(cell.sizes) == min(2, len(whole))
                continue
            asked += 1
            assert not whole
            assert cell.sizes, (row, cell)
            figures = [float(part) for part in re.split("[ ,:]+", cell.limits) if part[0].isdigit()]
            assert cell.limits
            if len(cell.sizes) == 2:
                # Where there are loads between them, the cell says so.
                is_between = cell.limits.endswith(": look up")
                to, over = figures if is_between else figures[1::2]
                assert is_between == (to < over)
                assert is_between or [f"{own:g}" for own in figures[::2]] == list(cell.sizes)
                assert to * watt <= at[cell.sizes[0]][1] < (to + 0.1) * watt
                assert (over - 0.1) * watt < at[cell.sizes[1]][0] <= over * watt
    assert asked >= 2


def test_the_first_and_the_last_row_begin_and_end_where_the_windows_do(printed):
    """Size 16 begins at 1.604 in the coldest column, 125 ends at 23.51 in the warmest."""
    text = " ".join(PdfReader(io.BytesIO(printed)).pages[0].extract_text().split())
    assert "over 20 up to 23.5 125 125 125" in text
    assert "over 1.61 up to 2 16 16 16" in text
    assert "45 or 90: ask 45 to 9.59, 90 over 9.03" in text
    assert "45 or 90: ask 8.46 to 8.81: look up" in text


def test_an_end_row_that_is_hardly_covered_is_left_out_and_one_that_is_mostly_covered_is_asked_about():
    def cell(
        above: float, sst: int, coverage: str = "whole", upper: str = "", start: float = np.nan
    ) -> dict[str, object]:
        upto = {1.0: 1.25, 1.25: 1.6, 1.6: 2.0}[above]
        sizes = ("11", "") if coverage == "whole" else ("", "")
        return dict(
            zip(
                ["load_above_w", "load_upto_w", "sst_from_k", "sst_to_k", "first_size", "second_size", "coverage"],
                (1000.0 * above, 1000.0 * upto, 260.0 + sst, 261.0 + sst, *sizes, coverage),
                strict=True,
            )
        ) | {"lower_size": "", "lower_upto_w": np.nan, "upper_size": upper, "upper_from_w": 1000.0 * start}

    def first(*below: dict[str, object]) -> StockRow:
        frame = pd.DataFrame([*below, cell(1.6, 0), cell(1.6, 1)])
        return stock_chart(frame, Formatter("SI")).rows[-1]

    # Nearly nothing of the row below is covered: the chart begins with the next.
    assert first(cell(1.25, 0, "part", "11", 1.58), cell(1.25, 1, "part", "11", 1.57)).above == "1.6"
    # Half of it, in both columns.
    own = first(cell(1.25, 0, "part", "11", 1.421), cell(1.25, 1, "part", "11", 1.3))
    assert (own.above, own.upto, [c.sizes for c in own.cells]) == ("1.43", "1.6", [("11",), ("11",)])
    # All of it in one column: what another lacks is asked about.
    own = first(cell(1.25, 0, "part", "11", 1.55), cell(1.25, 1))
    assert (own.above, [c.is_covered for c in own.cells], own.cells[0].limits) == (
        "1.25",
        [False, True],
        "only over 1.55",
    )


def test_no_cell_is_blank_and_one_that_no_size_covers_is_to_be_ordered():
    pdf, pages = pages_of(other_chart(stock={"R404A-R507A": ("16", "22", "90")}, groups=("R404A-R507A",))[0])
    assert "over 6.3 up to 8 order order order" in pages[0]
    assert "90? ask only over 9.03" in pages[0] and "22? ask only to 4.77" in pages[0]
    assert problems(pdf) == []


@pytest.mark.parametrize("setting", [("IP", "letter"), ("SI", "a4")], ids="-".join)
def test_what_is_read_at_one_and_at_three_meters_is_so_large(setting):
    """Capitals and digits, measured on the page."""
    pdf = worked_chart(f"counter{SETTINGS[setting]}")
    page = pypdfium2.PdfDocument(pdf)[0]
    text = page.get_textpage()
    far, near = [], {}
    lines = itertools.groupby(range(text.count_chars()), lambda i: round(text.get_charbox(i, loose=True)[1], 1))
    for _, indices in lines:
        for i in indices:
            letter = text.get_text_range(i, 1)
            if not (letter.isdigit() or (letter.isupper() and letter.isascii())):
                continue
            _, bottom, _, top = text.get_charbox(i)
            tall = (top - bottom) * MM
            if tall > 10.0:
                far.append(tall)
            elif tall > 4.0:
                near.setdefault(round(bottom), []).append(tall)
    # Two refrigerants of five signs each.
    assert len(far) >= 9 and min(far) >= FAR
    # Application, two heads, every row, the telephone number; nothing is just below the size.
    assert len(near) >= 14
    assert min(itertools.chain(*near.values())) >= NEAR
    heads = {run.text.strip(): (run.box.top - run.box.bottom) * MM for run in runs_of_page(pdf, 1)}
    for words in ("555 0100", "over", "SST \N{DEGREE SIGN}F" if setting[0] == "IP" else "SST \N{DEGREE SIGN}C"):
        assert heads[words] >= (NEAR if words != "over" else 2.4), words


def test_the_page_is_black_alone(printed):
    image = pypdfium2.PdfDocument(printed)[0].render(scale=1.0).to_pil().convert("RGB")
    assert all(abs(r - g) < 3 and abs(g - b) < 3 for _, (r, g, b) in image.getcolors(maxcolors=100000))


def test_each_sheet_says_what_it_is_valid_for_and_whom_to_call(printed):
    fingerprint = worked_data().fingerprint
    texts = [" ".join(text.split()) for text in page_texts(printed)]
    # A group of four refrigerants has two sheets, which say of which loads they are.
    assert len(texts) == 6
    assert "sheet 1 of 2: 10 to 38.3 kBtu/h" in texts[1] and "sheet 2 of 2: 2.55 to 10 kBtu/h" in texts[2]
    assert "sheet" not in texts[0]
    for text in texts:
        for words in (
            "Tarnwick Supply (invented) 555 0100",
            "licensed technicians",
            "Rated at 105 °F saturated liquid; no liquid riser",
            "Demonstration with invented valves",
            # A ton of refrigeration is 12,000 Btu/h.
            "TD 10 °F SST = box \N{MINUS SIGN} TD 12 kBtu/h = 1 ton",
            # The demo has data for confidence, which this chart does not print.
            "limits nominal",
            "Nominal limits are those of a valve exactly as designed.",
            "Which valve size? Ask for refrigerant, box temperature or SST",
            f"Data shown here {fingerprint}, revision A, 2026-11-25.",
        ):
            assert words.replace("°", "\N{DEGREE SIGN}") in text.replace("\N{NO-BREAK SPACE}", " "), words


def band_is_dark(pdf: bytes) -> bool:
    image = pypdfium2.PdfDocument(pdf)[0].render(scale=0.5).to_pil().convert("L")
    box = (30, 20, image.width - 30, 40)
    return bool(np.asarray(image.crop(box)).mean() < 128)


def test_a_freezer_has_a_black_band_and_a_flammable_refrigerant_is_marked(printed):
    records = dict(worked_data().catalogue.records)
    records["R404A"] = dataclasses.replace(records["R404A"], safety_group="A2L")
    data, _ = other_chart(application="walk_in_low", groups=("R404A-R507A",))
    pdf, [text] = pages_of(with_inputs(data, records=records))
    assert band_is_dark(pdf) and not band_is_dark(printed)
    assert "R404A R507A Walk-in freezer floating head pressure A2L: flammable" in text
    assert problems(pdf) == []
    assert "flammable Walk" not in page_texts(printed)[0]


def test_columns_that_would_be_too_narrow_to_read_are_on_several_sheets():
    def table(columns: int) -> WallTable:
        cell = StockCell(("125", "90"), is_covered=True)
        heads = [ColumnHead("SST", [("\N{MINUS SIGN}30", "\N{MINUS SIGN}20")] * columns, is_bold=True)]
        return WallTable(heads=heads, rows=[StockRow("12.5", "16", (cell,) * columns)], legend=("load", "large"))

    assert [len(block.heads[0].columns) for block in column_blocks(table(4), 568.0)] == [4]
    assert [len(block.heads[0].columns) for block in column_blocks(table(10), 568.0)] == [4, 4, 2]


def test_without_a_coil_temperature_difference_the_chart_knows_no_box():
    applications = dict(worked_data().catalogue.applications)
    applications["walk_in_medium"] = dataclasses.replace(
        applications["walk_in_medium"], coil_temperature_difference_k=None
    )
    _, texts = pages_of(with_inputs(worked_data(), applications=applications))
    assert "box" not in texts[0] and "TD 10" not in texts[0] and "Ask for refrigerant, SST, load" in texts[0]


def test_a_chart_names_no_booklet_and_nothing_nominal_where_no_other_limits_are_known():
    data, name = other_chart(groups=("R404A-R507A",))
    _, [text] = pages_of(with_inputs(data, confidence=None), name)
    assert "booklet" not in text and "ominal" not in text and "end, see the phone page." in text


def test_same_data_same_bytes(printed):
    again = io.BytesIO()
    assert print_counter_chart(worked_data(), "counter", again) == 6
    assert again.getvalue() == printed


def test_a_stock_that_covers_nothing_is_refused():
    data = worked_data()
    empty = dataclasses.replace(data, charts=data.charts.assign(first_size="", second_size="", coverage="part"))
    with pytest.raises(PublishError, match="no size in stock covers any load of R404A and R507A"):
        print_counter_chart(empty, "counter", io.BytesIO())


@pytest.mark.parametrize("code", ["de", *(pytest.param(c, marks=pytest.mark.slow) for c in ("es", "fr"))])
def test_longer_words_of_other_languages_keep_apart(code):
    with speaking(code):
        pdf, texts = pages_of(worked_data(), "counter-a4-si")
    assert problems(pdf) == []
    assert len(texts) == 6
    assert "6,3" in texts[0] and "6.3" not in texts[0]
