"""The counter chart, read back: cells, sizes of type, and what stock leaves out."""

import dataclasses
import io

import pypdfium2
import pytest
from pypdf import PdfReader

from tablegen.errors import PublishError
from tablegen.report.formatter import Formatter
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.publication import named
from tablegen.report.stock_coverage import stock_sentences
from tests.demo import SETTINGS, demo_chart, demo_data
from tests.us_units import W_PER

DASH = "\N{EN DASH}"


@pytest.fixture
def printed() -> bytes:
    return demo_chart("counter")


def in_cell(cell) -> list[str]:
    """What a cell prints: one or two sizes that cover it, or two that do so between them."""
    if cell["coverage"] in ("between", "either"):
        return [cell["lower_size"], "or", cell["upper_size"]]
    return [size for size in (cell["first_size"], cell["second_size"]) if size]


@pytest.mark.parametrize("setting", SETTINGS, ids="-".join)
def test_every_cell_is_that_of_the_data(setting):
    data, name = demo_data(), f"counter{SETTINGS[setting]}"
    chart = named(data.catalogue.charts, name)
    watt = W_PER[setting[0]]
    checked = 0
    reader = PdfReader(io.BytesIO(demo_chart(name)))
    width = {"letter": 612, "a4": 595}[setting[1]]
    for page, group in zip(reader.pages, chart.groups, strict=True):
        assert round(float(page.mediabox.width)) == width
        text = page.extract_text(extraction_mode="layout").split("Loads in")[0]
        rows = {w[0]: w[1:] for w in map(str.split, text.splitlines()) if w and DASH in w[0] and w[0][0].isdigit()}
        cells = data.charts[(data.charts["publication"] == name) & (data.charts["group"] == group)]
        for (above, upto), across in cells.groupby(["load_above_w", "load_upto_w"]):
            label = f"{above / watt:.3g}{DASH}{upto / watt:.3g}"
            expected = [s for _, c in across.sort_values("sst_from_k").iterrows() for s in in_cell(c)]
            if label in rows:
                assert rows[label] == expected
                checked += 1
            else:
                # Only rows at the ends, where no size covers a load, are left out.
                assert expected == []
    assert checked >= 40


def test_sizes_are_legible_from_a_meter_away(printed):
    """16 minutes of arc at 1 m are a capital of 4.7 mm; every first choice is at least that high."""
    page = pypdfium2.PdfDocument(printed)[0]
    text = page.get_textpage()
    heights = []
    for i in range(text.count_chars()):
        if text.get_text_range(i, 1).isdigit():
            _, bottom, _, top = text.get_charbox(i)
            heights.append((top - bottom) * 25.4 / 72.0)
    large = [h for h in heights if h > 4.0]
    assert len(large) >= 60
    assert min(large) >= 4.69


def test_the_page_is_black_alone(printed):
    image = pypdfium2.PdfDocument(printed)[0].render(scale=1.0).to_pil().convert("RGB")
    assert all(abs(r - g) < 3 and abs(g - b) < 3 for _, (r, g, b) in image.getcolors(maxcolors=100000))


def test_loads_that_two_sizes_cover_between_them_are_not_called_uncovered(printed):
    """The wholesaler has no 63; of the row that it would take the 45 covers a part and the 90 another."""
    text = " ".join(PdfReader(io.BytesIO(printed)).pages[0].extract_text().split())
    row = f"8{DASH}10 at 10 to 30 °F: 45 up to 9.59, 90 from 9.03."
    assert f"In these cells each size covers part of the row: {row}" in text
    # At its warm end neither covers 8.46 to 8.81.
    assert f"Only partly covered, call us: 8{DASH}10 at 30 to 40 °F: 45 up to 8.46, 90 from 8.81." in text
    assert "no size in stock covers" not in text
    for words in (
        "Tarnwick Supply (invented) – telephone 555 0100",
        "licensed technicians",
        "dew pressure at 105 °F: ",
        "Demonstration with invented valves",
        "Find the row that contains it: over the first figure, up to and including the second",
    ):
        assert words in text


def test_a_load_that_depends_on_the_suction_temperature_inside_a_column_is_for_asking(printed):
    text = " ".join(PdfReader(io.BytesIO(printed)).pages[1].extract_text().split())
    assert (
        f"12.5{DASH}16 at 30 to 40 °F: 45 up to 13.8, 90 from 13.9, between these loads 45 or 90, depending "
        "on the SST: call us."
    ) in text


def test_a_real_gap_is_named():
    """With the smallest and the largest size alone nothing covers what lies between them."""
    cells = demo_data().charts
    own = cells[(cells["publication"] == "counter") & (cells["group"] == "R404A-R507A")]
    is_gap = (own["load_above_w"] / W_PER["IP"]).between(4.9, 7.9)
    blank = {"first_size": "", "second_size": "", "lower_size": "", "upper_size": ""}
    text = stock_sentences(
        own.assign(
            **{c: own[c].mask(is_gap, v) for c, v in blank.items()}, coverage=own["coverage"].mask(is_gap, "none")
        ),
        Formatter("IP"),
    )
    assert f"Loads on the chart that no size in stock covers: 5{DASH}8." in text


def test_same_data_same_bytes(printed):
    again = io.BytesIO()
    assert print_counter_chart(demo_data(), "counter", again) == 5
    assert again.getvalue() == printed


def test_a_stock_that_covers_nothing_is_refused():
    data = demo_data()
    empty = dataclasses.replace(data, charts=data.charts.assign(first_size="", second_size=""))
    with pytest.raises(PublishError, match="no size in stock covers any load of R404A-R507A"):
        print_counter_chart(empty, "counter", io.BytesIO())
