"""The counter chart, read back: cells, sizes of type, and what stock leaves out."""

import dataclasses
import io

import pypdfium2
import pytest
from pypdf import PdfReader

from tablegen.errors import PublishError
from tablegen.publish.counter_chart import print_counter_chart
from tests.demo import SETTINGS, demo_chart, demo_data

W_PER = {"IP": 1055.05585262 / 3.6, "SI": 1000.0}
DASH = "\N{EN DASH}"


@pytest.fixture
def printed() -> bytes:
    return demo_chart("counter")


@pytest.mark.parametrize("setting", SETTINGS, ids="-".join)
def test_every_cell_is_that_of_the_data(setting):
    data, name = demo_data(), f"counter{SETTINGS[setting]}"
    chart = next(c for c in data.manifest["inputs"]["charts"] if c["printed"]["name"] == name)
    watt = W_PER[setting[0]]
    checked = 0
    reader = PdfReader(io.BytesIO(demo_chart(name)))
    width = {"letter": 612, "a4": 595}[setting[1]]
    for page, group in zip(reader.pages, chart["groups"], strict=True):
        assert round(float(page.mediabox.width)) == width
        text = page.extract_text(extraction_mode="layout")
        rows = {w[0]: w[1:] for w in map(str.split, text.splitlines()) if w and DASH in w[0] and w[0][0].isdigit()}
        cells = data.charts[(data.charts["edition"] == name) & (data.charts["group"] == group)]
        for (above, upto), across in cells.groupby(["load_above_w", "load_upto_w"]):
            label = f"{above / watt:.3g}{DASH}{upto / watt:.3g}"
            expected = [s for _, c in across.sort_values("sst_from_k").iterrows()
                        for s in (c["first_size"], c["second_size"]) if s]  # fmt: skip
            if label in rows:
                assert rows[label] == expected
                checked += 1
            else:
                # Only rows at the ends, where nothing is served, are left out.
                assert expected == []
    assert checked >= 40


def test_sizes_are_legible_from_a_metre_away(printed):
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


def test_what_stock_does_not_serve_is_named(printed):
    text = " ".join(PdfReader(io.BytesIO(printed)).pages[0].extract_text().split())
    assert f"Not served from stock between the ends of the chart: 8{DASH}10." in text
    for words in ("Farrow Supply House (invented) – telephone 555 0100", "licensed practice", "dew pressure there",
                  "Demonstration with invented valves", "Take the row whose first figure is below it"):  # fmt: skip
        assert words in text


def test_same_data_same_bytes(printed):
    again = io.BytesIO()
    assert print_counter_chart(demo_data(), "counter", again) == 5
    assert again.getvalue() == printed


def test_a_stock_that_serves_nothing_is_refused():
    data = demo_data()
    empty = dataclasses.replace(data, charts=data.charts.assign(first_size="", second_size=""))
    with pytest.raises(PublishError, match="no size in stock serves R404A-R507A"):
        print_counter_chart(empty, "counter", io.BytesIO())
