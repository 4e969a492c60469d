"""Drawings reach the page as vectors: hatches survive one-bit print, text stays text, labels are where they belong."""

import io
import pickle
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import MissingGlyphError, PublishError
from tablegen.report.graphs.axes import Axes, Scale, framed, runs
from tablegen.report.graphs.sketch import Sketch, thinned
from tablegen.report.graphs.svg import svg
from tablegen.report.pdf import fonts
from tablegen.report.pdf.design import BLACK, TINT
from tablegen.report.pdf.drawing import PROJECTING, Box, Drawing, DrawingFlowable, Pen, box_path, circle_path
from tests.report.drawings import box_of, labels, pixels, printed, shapes, texts

WIDTH, HEIGHT = 300.0, 200.0
Draw = Callable[[Sketch], object]


def drawing(draw: Draw) -> Drawing:
    sketch = Sketch(WIDTH, HEIGHT)
    draw(sketch)
    return sketch.drawing()


def one_bit(draw: Draw) -> NDArray[np.bool_]:
    """True where a 300 dpi black-or-white print has ink."""
    return pixels(drawing(draw)) < 128


def spot(image: NDArray[np.bool_], x: float, y: float, half: float) -> float:
    """Share of ink in a square about a point of the page."""
    a, b, c, d = (round(v * 300 / 72) for v in (x - half, x + half, y - half, y + half))
    return float(image[c:d, a:b].mean())


@pytest.mark.parametrize("hatch", ["/", "\\\\", "x", "---"])
def test_a_hatch_survives_one_bit_print_inside_its_path_only(hatch: str) -> None:
    extent = Box(50.0, 0.0, 250.0, 200.0)
    ink = one_bit(lambda sketch: sketch.area(circle_path(150, 100, 100), extent, hatch=hatch))
    assert 0.02 < spot(ink, 150, 100, 30) < 0.4
    rows, columns = np.indices(ink.shape)
    inside = np.hypot(columns * 72 / 300 - 150, rows * 72 / 300 - 100) <= 100.5
    assert not ink[~inside].any()


def test_a_hatch_letter_more_is_a_denser_hatch() -> None:
    box = Box(100.0, 0.0, 200.0, 200.0)

    def share(hatch: str) -> float:
        return spot(one_bit(lambda sketch: sketch.area(box_path(box), box, hatch=hatch)), 150, 100, 40)

    assert share("//") == pytest.approx(2 * share("/"), rel=0.2)
    assert share("///") == pytest.approx(3 * share("/"), rel=0.2)


def test_a_hatch_lies_on_its_tint() -> None:
    box = Box(50.0, 50.0, 250.0, 150.0)
    gray = pixels(drawing(lambda sketch: sketch.area(box_path(box), box, fill=TINT, hatch="//")))
    assert {224, 0} <= set(np.unique(gray[300:500, 400:800]).tolist())


def test_lines_are_cut_by_the_axes() -> None:
    def draw(sketch: Sketch) -> None:
        axes = Axes(sketch, Box(75.0, 50.0, 225.0, 150.0), Scale(75.0, 225.0), Scale(50.0, 150.0))
        axes.plot([-1e6, 1e6], [100.0, 100.0], Pen(4.0))

    ink = one_bit(draw)
    assert spot(ink, 150, 100, 1.5) == 1 and spot(ink, 60, 100, 5) == 0 and spot(ink, 240, 100, 5) == 0


def test_dashes_and_ends_are_those_of_the_line() -> None:
    def share(cap: int) -> float:
        pen = Pen(4.0, dashes=(1.25, 1.25), cap=cap)
        return float(one_bit(lambda sketch: sketch.line([(20, 100), (280, 100)], pen))[417].mean()) * WIDTH

    # Twenty-six dashes of 5 pt in 260 pt; a projecting end adds half the width of the line on both sides.
    assert share(0) == pytest.approx(26 * 5, abs=2)
    assert share(PROJECTING) == pytest.approx(26 * 9, abs=4)


def test_text_is_searchable_in_the_faces_of_the_document() -> None:
    def draw(sketch: Sketch) -> None:
        sketch.text(60, 20, "η₀ at −10 °C (\\)")
        sketch.text(100, 60, "upright", face=fonts.SEMIBOLD, is_upright=True)
        sketch.text(150, 60, "bold words", face=fonts.BOLD)
        sketch.text(200, 90, "two\nlines", face=fonts.ITALIC)

    page: Any = PdfReader(io.BytesIO(printed(drawing(draw)))).pages[0]
    text = page.extract_text()
    assert all(part in text for part in ("η₀ at −10 °C (\\)", "upright", "bold words", "two", "lines"))
    names = [str(font.get_object()["/BaseFont"]) for font in page["/Resources"]["/Font"].values()]
    assert {name.split("+")[1] for name in names} == {
        f"SourceSansPro-{face}" for face in ("Regular", "Semibold", "Bold", "It")
    }


@pytest.mark.parametrize(
    ("draw", "error", "message"),
    [
        (lambda sketch: sketch.text(9, 9, "small", size=7.0), PublishError, "7 pt; must be 8 pt or more"),
        (lambda sketch: sketch.text(9, 9, "a∅"), MissingGlyphError, "no glyph for '∅'"),
        (
            lambda sketch: sketch.area("", Box(0, 0, 1, 1), hatch="o"),
            PublishError,
            "hatch 'o' is not allowed",
        ),
    ],
)
def test_what_would_not_print_well_is_refused(draw: Draw, error: type[Exception], message: str) -> None:
    with pytest.raises(error, match=message):
        drawing(draw)


def test_a_drawing_gives_the_same_code_on_every_page_and_after_it_was_sent_to_another_process() -> None:
    made = drawing(lambda sketch: sketch.text(100, 60, "load, kW", pad=1.0))

    def code(own: Drawing) -> str:
        canvas = Canvas(io.BytesIO(), pagesize=(WIDTH, HEIGHT))
        DrawingFlowable(own).drawOn(canvas, 0, 0)
        return str(canvas.getCurrentPageContent())

    assert code(made) == code(made) == code(pickle.loads(pickle.dumps(made)))
    assert printed(made) == printed(made)


@pytest.mark.parametrize(
    ("scale", "length", "names"),
    [
        (Scale(0.0, 7.2), 110.0, ["0", "2", "4", "6"]),
        (Scale(-40.2, 10.4), 300.0, ["−40", "−30", "−20", "−10", "0", "10"]),
        (Scale(0.93, 1.12), 120.0, ["0.95", "1.00", "1.05", "1.10"]),
        (Scale(250.0, 90.0), 130.0, ["100", "150", "200", "250"]),
        (Scale(0.0, 1.0), 60.0, ["0.0", "0.5", "1.0"]),
    ],
)
def test_ticks_are_round_and_as_many_as_have_room(scale: Scale, length: float, names: list[str]) -> None:
    assert [text for _, text in scale.round_ticks(length, is_upright=True)] == names


@pytest.mark.parametrize("top", [9.0, 950.0, 98000.0])
def test_no_text_of_axes_leaves_the_drawing(top: float) -> None:
    sketch = Sketch(WIDTH, HEIGHT)
    framed(sketch, Box(0.0, 0.0, WIDTH, HEIGHT), Scale(0.0, top), Scale(0.0, top), ("head", "load"))
    made = sketch.drawing()
    assert {"head", "load", "0"} <= set(texts(made))
    for label in labels(made):
        box = box_of(label)
        right, high = (box.left, box.bottom + label.width) if label.is_upright else (box.right, box.top)
        assert box.left >= 0 and box.bottom >= 0 and right <= WIDTH and high <= HEIGHT, label.text


def test_lines_and_areas_have_gaps_where_a_value_is_missing() -> None:
    x, y = np.arange(6.0), np.array([1.0, 2.0, np.nan, 2.0, 3.0, np.nan])
    assert [(run.start, run.stop) for run in runs(np.isfinite(y))] == [(0, 2), (3, 5)]
    sketch = Sketch(WIDTH, HEIGHT)
    axes = Axes(sketch, Box(0, 0, WIDTH, HEIGHT), Scale(0.0, 5.0), Scale(0.0, 4.0))
    axes.plot(x, y, Pen(1.0))
    axes.between(x, np.zeros(6), y, fill=BLACK)
    area, line = shapes(sketch.drawing())
    assert line.path.count("m") == 2 and line.path.count("l") == 2
    assert area.path.count("m") == 2 and area.path.count("h") == 2


def test_an_area_ends_where_its_curves_cross() -> None:
    sketch = Sketch(WIDTH, HEIGHT)
    axes = Axes(sketch, Box(0, 0, 300.0, 200.0), Scale(0.0, 3.0), Scale(0.0, 2.0))
    x, high = np.arange(4.0), np.array([2.0, 2.0, 0.0, 0.0])
    axes.between(x, np.ones(4), high, where=high > 1.0, fill=BLACK)
    (area,) = shapes(sketch.drawing())
    # From the left edge to x = 1.5 on both curves.
    assert area.path.count("150.00 100.00 l") == 1


def test_a_line_drawn_again_is_where_a_line_of_its_own_would_be() -> None:
    def lines(places: list[float], repeats: list[float]) -> Drawing:
        sketch = Sketch(WIDTH, HEIGHT)
        axes = Axes(sketch, Box(20.0, 20.0, 280.0, 180.0), Scale(0.0, 5.2), Scale(0.0, 1.0))
        for place in places:
            x = np.array([0.0, 0.3, 0.8]) + place
            axes.plot(x, np.array([0.1, 0.7, 0.4]), Pen(1.0, dashes=(5.0, 2.0)), repeats=repeats)
        return sketch.drawing()

    again, each = lines([0.0], [1.0, 2.0, 4.0]), lines([0.0, 1.0, 2.0, 4.0], [])
    assert np.abs(pixels(again).astype(int) - pixels(each)).max() <= 1
    assert svg(again).count("<path") == 2 + 3


def test_a_line_loses_points_that_hardly_move_it_and_no_other() -> None:
    x = np.linspace(0.0, 400.0, 81)
    curve = list(zip(x.tolist(), (100.0 + 60.0 * np.sin(x / 90.0)).tolist(), strict=True))
    kept = thinned(curve)
    assert kept[0] == curve[0] and kept[-1] == curve[-1] and len(kept) < len(curve)
    assert set(kept) < set(curve)
    drawn = np.interp(x, *np.array(kept).T)
    assert np.abs(drawn - np.array(curve)[:, 1]).max() < 0.05
    # A corner, a straight line and a closed one.
    assert thinned([(0.0, 0.0), (5.0, 0.0), (9.0, 0.0), (9.0, 4.0)]) == [(0.0, 0.0), (9.0, 0.0), (9.0, 4.0)]
    square = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0), (0.0, 0.0)]
    assert thinned(square) == square and thinned(square[:1]) == square[:1]
