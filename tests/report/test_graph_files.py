"""Graphs as files: all of the booklet's, under safe names, without fonts, clock or chance."""

import xml.etree.ElementTree as ET

import pytest
from PIL import Image

from tablegen.report.graphs.graph_files import named_drawings, safe_name, write_graphs
from tablegen.report.graphs.sketch import Sketch
from tablegen.report.graphs.svg import svg
from tablegen.report.pdf.drawing import Box, Drawing, DrawingFlowable, Pen, box_path
from tablegen.report.publications import booklet
from tests.demo import demo_data, page_texts, part_of_booklet


def drawing(quantity: str = "load, kW") -> Drawing:
    box, sketch = Box(20.0, 20.0, 180.0, 80.0), Sketch(200.0, 100.0)
    sketch.area(box_path(box), box, pen=Pen(0.8), hatch="/")
    sketch.text(100.0, 50.0, "−3 °C", pad=1.0)
    sketch.text(15.0, 50.0, quantity, is_upright=True)
    return sketch.drawing(quantity)


def flowable(quantity: str = "load, kW") -> DrawingFlowable:
    return DrawingFlowable(drawing(quantity))


@pytest.mark.slow
def test_every_graph_that_the_booklet_draws_is_a_file(tmp_path, monkeypatch):
    data = part_of_booklet(demo_data(), "alder", "hazel")
    drawn, draw = [], DrawingFlowable.draw

    def noted(self: DrawingFlowable) -> None:
        drawn.append(self.drawing)
        draw(self)

    monkeypatch.setattr(DrawingFlowable, "draw", noted)
    written = {}
    monkeypatch.setattr(booklet, "write_graphs", lambda drawings, folder, *others: written.update(drawings))
    booklet.print_booklet(data, "booklet", tmp_path / "booklet.pdf", graphs=tmp_path / "graphs")
    assert {id(own.drawing) for own in written.values()} == {id(own) for own in drawn}
    texts = page_texts((tmp_path / "booklet.pdf").read_bytes())
    own = written["windows-alder-R404A-R507A-walk_in_medium-load"]
    assert "Size for a load – Alder: R404A and R507A, Walk-in cooler, floating" in " ".join(texts[own.page - 1].split())
    assert all(0 < own.page <= len(texts) for own in written.values())
    for name in (
        "family-alder-superheat",
        "family-alder-opening",
        "family-alder-pressure",
        "family-hazel-share-of-travel",
        "application-walk_in_medium-refrigerating-capacity",
        "windows-alder-R404A-R507A-walk_in_medium-load",
        "groups-spread-of-required-Kv-per-kW",
    ):
        assert name in written


def test_files_are_the_same_each_time_and_say_where_they_come_from(tmp_path):
    for folder in ("one", "two"):
        graph = DrawingFlowable(drawing(), "Loads, “all” sizes")
        graph.page = 7
        write_graphs({"graph": graph}, tmp_path / folder, "Invented <data> — “not” for use.")
    listed, path = sorted((tmp_path / "one").iterdir(), reverse=True, key=lambda own: own.suffix == ".csv")
    assert path.name == "graph.svg" and listed.name == "graphs.csv"
    assert listed.read_bytes() == 'file,page,shows\ngraph.svg,7,"Loads, “all” sizes"\n'.encode()
    assert path.read_bytes() == (tmp_path / "two" / "graph.svg").read_bytes()
    root = ET.parse(path).getroot()
    told = {element.tag.rpartition("}")[2]: element.text for element in root}
    assert told["title"] == "graph" and told["desc"] == "Invented <data> — “not” for use."


def test_an_svg_needs_no_font_and_has_the_size_of_the_drawing_with_a_margin():
    root = ET.fromstring(svg(drawing()))
    tags = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert "path" in tags and not tags & {"text", "image", "style"}
    assert root.get("viewBox") == "-6 -6 212 112"
    # A glyph for each different letter, and each is used.
    names = {element.get("id") for element in root.iter() if element.get("id")}
    used = {element.get("href", "#").removeprefix("#") for element in root.iter("{http://www.w3.org/2000/svg}use")}
    assert used <= names and len(used) == len(set("−3°Cload,kW"))


@pytest.mark.parametrize("width", [200.0, 900.0])
def test_a_png_is_white_wide_enough_for_a_slide_and_the_same_each_time(width, tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "abc")
    sketch = Sketch(width, 100.0)
    sketch.area(box_path(Box(0.0, 0.0, width, 100.0)), Box(0.0, 0.0, width, 100.0), pen=Pen(1.0))
    about = "Invented <data> — “not” for use."
    for folder in ("one", "two"):
        write_graphs({"graph": DrawingFlowable(sketch.drawing("load"))}, tmp_path / folder, about, kinds=["png"])
    path = tmp_path / "one" / "graph.png"
    assert path.read_bytes() == (tmp_path / "two" / "graph.png").read_bytes()
    with Image.open(path) as image:
        assert image.text == {"Title": "graph", "Description": about}
        # 1280 pixels or more, in the drawing's shape with its margin.
        assert image.width >= 1600 and image.width / image.height == pytest.approx((width + 12.0) / 112.0, rel=0.01)
        gray = image.convert("L")
        margin = 5.0 * image.width / (width + 12.0)
        frame = 6.0 * image.width / (width + 12.0)
        assert gray.getpixel((2, 2)) == gray.getpixel((int(margin), image.height // 2)) == 255
        assert gray.getpixel((round(frame), image.height // 2)) < 50


def test_what_two_svgs_of_one_page_refer_to_has_different_names():
    names = [
        {element.get("id") for element in ET.fromstring(svg(drawing(quantity))).iter() if element.get("id")}
        for quantity in ("load, kW", "opening, %")
    ]
    assert all(names) and not names[0] & names[1]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("family-a.b(c)", "family-a-b-c"),
        ("../../etc/passwd", "etc-passwd"),
        ("Kälte\\:*?\n", "Kalte"),
        ("膨張弁", "graph"),
        ("x" * 500, "x" * 100),
    ],
)
def test_names_are_safe(text, name):
    assert safe_name(text) == name


def test_names_that_differ_in_case_alone_are_two_files():
    found = named_drawings({"Alder": [flowable()], "alder": [[flowable()], flowable("opening, %")]})
    assert list(found) == ["Alder-load", "alder-load-2", "alder-opening"]
