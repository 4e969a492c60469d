"""Figures reach the page as vectors: hatches survive one-bit print, text stays text."""

import io
from collections.abc import Callable
from typing import Any

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse
from matplotlib.patheffects import withStroke
from matplotlib.typing import CapStyleType
from numpy.typing import NDArray
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from tablegen.errors import PublishError
from tablegen.report.pdf import vector

WIDTH, HEIGHT = 300.0, 200.0
Draw = Callable[[Axes], object]


def figure(draw: Draw) -> Figure:
    """A figure whose one pair of axes covers it, 0 to 300 by 0 to 200: data are points."""
    with vector.style():
        made = Figure()
        axes = made.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set(xlim=(0, WIDTH), ylim=(0, HEIGHT))
        axes.axis("off")
        draw(axes)
    return made


def pdf(made: Figure) -> bytes:
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(WIDTH, HEIGHT), invariant=1)
    vector.FigureFlowable(made, WIDTH, HEIGHT).drawOn(canvas, 0, 0)
    canvas.save()
    return target.getvalue()


def pixels(draw: Draw, dpi: int = 300) -> NDArray[np.uint8]:
    """Grey pixels of the printed figure, row 0 at its foot."""
    sheet = pypdfium2.PdfDocument(pdf(figure(draw)))[0]
    image: NDArray[np.uint8] = sheet.render(scale=dpi / 72, grayscale=True).to_numpy()
    return image.reshape(image.shape[0], -1)[::-1]


def one_bit(draw: Draw) -> NDArray[np.bool_]:
    """True where a 300 dpi black-or-white print has ink."""
    return pixels(draw) < 128


def spot(image: NDArray[np.bool_], x: float, y: float, half: float) -> float:
    """Share of ink in a square about a point of the page."""
    a, b, c, d = (round(v * 300 / 72) for v in (x - half, x + half, y - half, y + half))
    return float(image[c:d, a:b].mean())


@pytest.mark.parametrize("hatch", ["/", "\\\\", "x", "++", "---", "|"])
def test_a_hatch_survives_one_bit_print_inside_its_path_only(hatch: str) -> None:
    shape = Ellipse((150, 100), 200, 120, hatch=hatch, fc="none", ec="none", alpha=0.2)
    ink = one_bit(lambda ax: ax.add_patch(shape))
    assert 0.02 < spot(ink, 150, 100, 30) < 0.4
    rows, columns = np.indices(ink.shape)
    inside = ((columns * 72 / 300 - 150) / 100.5) ** 2 + ((rows * 72 / 300 - 100) / 60.5) ** 2 <= 1
    assert not ink[~inside].any()


def test_a_hatch_letter_more_is_a_denser_hatch() -> None:
    def share(hatch: str) -> float:
        ink = one_bit(lambda ax: ax.bar([150], [200], 100, fc="none", ec="none", hatch=hatch))
        return spot(ink, 150, 100, 40)

    assert share("//") == pytest.approx(2 * share("/"), rel=0.2)
    assert share("///") == pytest.approx(3 * share("/"), rel=0.2)


def test_a_hatch_between_curves_lies_on_its_tint() -> None:
    grey = pixels(lambda ax: ax.fill_between([50, 250], 50, 150, fc="#E0E0E0", ec="none", hatch="//"))
    assert {224, 0} <= set(np.unique(grey[300:500, 400:800]).tolist())


def test_a_hatch_without_lines_is_refused() -> None:
    with pytest.raises(PublishError, match="hatch 'o' is not allowed"):
        pdf(figure(lambda ax: ax.bar([1], [1], hatch="o")))


def test_lines_are_cut_by_the_axes() -> None:
    def draw(axes: Axes) -> None:
        axes.set_position((0.25, 0.25, 0.5, 0.5))
        axes.plot([-1e6, 1e6], [100, 100], color="k", lw=4)

    ink = one_bit(draw)
    assert spot(ink, 150, 100, 1.5) == 1 and spot(ink, 60, 100, 5) == 0 and spot(ink, 240, 100, 5) == 0


def test_dashes_and_caps_are_those_of_the_line() -> None:
    def share(cap: CapStyleType) -> float:
        dashed = (0, (5, 5))
        ink = one_bit(lambda ax: ax.plot([20, 280], [100, 100], "k", lw=4, ls=dashed, dash_capstyle=cap))
        return float(ink[417].mean()) * WIDTH

    # Seven dashes of 20 pt in 260 pt; a projecting cap adds half the width of the line at both ends.
    assert share("butt") == pytest.approx(7 * 20, abs=2)
    assert share("projecting") == pytest.approx(7 * 24, abs=2)


def test_fill_alpha_is_preserved() -> None:
    grey = pixels(lambda ax: ax.fill_between([50, 250], 50, 150, fc="k", ec="none", alpha=0.1))
    assert abs(int(grey[417, 625]) - 230) <= 1


def test_text_is_searchable_in_the_faces_of_the_document() -> None:
    def draw(axes: Axes) -> None:
        axes.text(20, 20, "η₀ at −10 °C")
        axes.text(100, 60, "upright", weight="semibold", rotation=90)
        axes.text(150, 60, "bold words", weight="bold")
        axes.text(200, 60, "two\nlines", style="italic", rotation=30)

    page: Any = PdfReader(io.BytesIO(pdf(figure(draw)))).pages[0]
    text = page.extract_text()
    assert all(part in text for part in ("η₀ at −10 °C", "upright", "bold words", "two", "lines"))
    names = [str(font.get_object()["/BaseFont"]) for font in page["/Resources"]["/Font"].values()]
    assert {name.split("+")[1] for name in names} == {
        f"SourceSansPro-{face}" for face in ("Regular", "Semibold", "Bold", "It")
    }


def test_ticks_have_true_minus_signs() -> None:
    with vector.style():
        made = Figure(layout="constrained")
        made.add_subplot().set(xlim=(-40, 10), ylim=(-1, 1))
    assert "−40" in PdfReader(io.BytesIO(pdf(made))).pages[0].extract_text()


@pytest.mark.parametrize(
    ("draw", "message"),
    [
        (lambda ax: ax.text(9, 9, "$t_0$", parse_math=True), "is mathtext"),
        (lambda ax: ax.text(9, 9, "small", size=7), "7 pt; must be 8 pt or more"),
        (lambda ax: ax.text(9, 9, "a∅"), r"no glyph for '∅'"),
        (lambda ax: ax.text(9, 9, "other", family="DejaVu Sans"), "set in DejaVu Sans"),
        (lambda ax: ax.text(9, 9, "halo", path_effects=[withStroke(linewidth=2)]), "path effects"),
        (lambda ax: ax.imshow(np.zeros((2, 2))), "contains no images"),
    ],
)
def test_what_would_not_print_well_is_refused(draw: Draw, message: str) -> None:
    with pytest.raises(PublishError, match=message):
        pdf(figure(draw))


def test_the_same_figure_gives_the_same_bytes() -> None:
    def once() -> bytes:
        with vector.style():
            made = Figure(layout="constrained")
            axes = made.add_subplot(xlabel="head pressure, bar (absolute)")
            axes.plot(np.linspace(8, 22, 500), np.sqrt(np.linspace(8, 22, 500)), "k--")
            axes.scatter([10, 12], [3, 3.2])
        return pdf(made)

    assert once() == once()


def test_drawing_a_figure_twice_draws_the_same() -> None:
    with vector.style():
        made = Figure(layout="constrained")
        made.add_subplot(xlabel="load, kW").plot([1, 2], [3, 4])
    flowable = vector.FigureFlowable(made, WIDTH, HEIGHT)

    def draw() -> str:
        canvas = Canvas(io.BytesIO(), pagesize=(WIDTH, HEIGHT))
        flowable.drawOn(canvas, 0, 0)
        return canvas.getCurrentPageContent()

    assert draw() == draw()


def test_a_measuring_renderer_does_not_draw() -> None:
    with pytest.raises(PublishError, match="cannot draw"):
        _ = vector.VectorRenderer(None, 10, 10).page
