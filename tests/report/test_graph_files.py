"""Graphs as files: all of the booklet's, under safe names, without fonts, clock or chance."""

import struct
import xml.etree.ElementTree as ET

import pytest
from matplotlib.figure import Figure

from tablegen.report.graphs.graph_files import named_figures, safe_name, write_graphs
from tablegen.report.pdf import vector
from tablegen.report.publications import booklet
from tests.demo import demo_data, part_of_booklet

PNG_DPI = 200


def figure(label: str = "load, kW") -> Figure:
    with vector.style():
        made = Figure(layout="constrained")
        axes = made.add_subplot(xlabel="head", ylabel=label)
        axes.fill_between([0, 1], [0, 1], [1, 2], facecolor="none", edgecolor="k", hatch="/")
        axes.annotate("−3 °C", (0.5, 0.5), bbox={"fc": "w", "ec": "none"})
    return made


def flowable(label: str = "load, kW") -> vector.FigureFlowable:
    return vector.FigureFlowable(figure(label), 200.0, 100.0)


def test_every_graph_that_the_booklet_draws_is_a_file(tmp_path, monkeypatch):
    data = part_of_booklet(demo_data(), "alder", "hazel")
    drawn, draw = set(), vector.FigureFlowable.draw

    def noted(self: vector.FigureFlowable) -> None:
        drawn.add(self.figure)
        draw(self)

    monkeypatch.setattr(vector.FigureFlowable, "draw", noted)
    written = {}
    monkeypatch.setattr(booklet, "write_graphs", lambda figures, folder, about: written.update(figures))
    booklet.print_booklet(data, "booklet", tmp_path / "booklet.pdf", graphs=tmp_path / "graphs")
    assert set(written.values()) == drawn
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


def test_files_are_the_same_each_time_and_have_no_date(tmp_path):
    for folder in ("one", "two"):
        write_graphs({"graph": flowable().figure}, tmp_path / folder, "Invented <data> — “not” for use.")
    names = sorted(p.name for p in (tmp_path / "one").iterdir())
    assert names == ["graph.png", "graph.svg"]
    for name in names:
        data = (tmp_path / "one" / name).read_bytes()
        assert data == (tmp_path / "two" / name).read_bytes()
        assert "Invented" in data.decode("latin-1")
        assert b"Software" not in data and b"dc:date" not in data


def test_an_svg_needs_no_font_and_a_png_has_its_size_in_dots(tmp_path):
    write_graphs({"graph": flowable().figure}, tmp_path / "graphs", "about")
    root = ET.parse(tmp_path / "graphs" / "graph.svg").getroot()
    tags = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert "path" in tags and "text" not in tags and "image" not in tags
    assert root.get("viewBox") == "0 0 200 100"
    head = (tmp_path / "graphs" / "graph.png").read_bytes()[16:24]
    width, height = struct.unpack(">II", head)
    assert (width, height) == (pytest.approx(200 / 72 * PNG_DPI, abs=1), pytest.approx(100 / 72 * PNG_DPI, abs=1))


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
    found = named_figures({"Alder": [flowable()], "alder": [[flowable()], flowable("opening, %")]})
    assert list(found) == ["Alder-load", "alder-load-2", "alder-opening"]
