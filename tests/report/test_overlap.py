"""No text of the booklet or of a sheet lies on another or leaves the page, where no reader would find it again."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader
from reportlab.lib.pagesizes import LETTER
from reportlab.pdfgen.canvas import Canvas

from tablegen.cli.main import main
from tablegen.report.pdf import fonts
from tests.demo import FEW_SETTINGS, SETTINGS, demo_booklet, demo_chart, demo_handout
from tests.report.text_boxes import problems, runs_of_page

WIDTH, HEIGHT = LETTER


Put = Callable[[Canvas, float, float, str], None]


def plain(canvas: Canvas, x: float, y: float, text: str) -> None:
    canvas.drawString(x, y, text)


def label(canvas: Canvas, x: float, y: float, text: str) -> None:
    """A graph's label: text on a white box that hides what was there."""
    canvas.setFillGray(1)
    canvas.rect(x - 1, y - 3, fonts.text_width(text, fonts.REGULAR, 10) + 2, 11, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.drawString(x, y, text)


def upright(canvas: Canvas, x: float, y: float, text: str) -> None:
    """The label of an upright axis."""
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(90)
    canvas.drawString(0, 0, text)
    canvas.restoreState()


def drawn(*texts: tuple[Put, float, float, str]) -> bytes:
    """A page of 10 pt text."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=LETTER)
    canvas.setFont(fonts.REGULAR, 10)
    for put, x, y, text in texts:
        put(canvas, x, y, text)
    canvas.save()
    return target.getvalue()


@pytest.mark.parametrize("setting", FEW_SETTINGS)
def test_booklet(setting: tuple[str, str]) -> None:
    _, pdf = demo_booklet(*setting)
    assert problems(pdf) == []


@pytest.mark.slow
@pytest.mark.parametrize(("units", "paper"), SETTINGS)
def test_pressure_temperature_sheets(units: str, paper: str, tmp_path: Path) -> None:
    sheet = tmp_path / "sheets.pdf"
    names = ["R448A", "R453A", "R744"]
    assert main(["states", *names, "--units", units, "--paper", paper, "--output", str(sheet)]) == 0
    pdf = sheet.read_bytes()
    assert problems(pdf) == []
    # Two pages where the rows of one refrigerant do not fit one, then named in the second's running head.
    firsts = [runs_of_page(pdf, number) for number in range(1, len(PdfReader(sheet).pages) + 1)]
    begun = [name for runs in firsts for name in names if any(r.text.startswith(f"{name}: pressure") for r in runs)]
    assert list(dict.fromkeys(begun)) == names


@pytest.mark.parametrize(
    ("texts", "messages"),
    [
        ([(plain, 100, 500, "evaporator"), (plain, 130, 503, "system")], ["'evaporator'", "overlaps 'system'"]),
        ([(plain, 100, 500, "evaporator"), (plain, 130, 500, "system")], ["'evaporator'", "overlaps 'system'"]),
        ([(label, 100, 500, "evaporator"), (label, 120, 505, "system")], ["'evaporator'", "overlaps 'system'"]),
        ([(upright, 110, 480, "superheat"), (plain, 90, 500, "12.5")], ["'12.5'", "overlaps 'superheat'"]),
        ([(plain, 100, 500, "low head"), (plain, 100.5, 500, "low head")], ["drawn over its like"]),
        ([(plain, WIDTH - 30, 500, "over the edge")], ["'over the edge'", "at the right"]),
        ([(plain, 8, 500, "in the outer margin")], ["'in the outer margin'", "at the left"]),
        ([(plain, 100, 8, "in the outer margin")], ["'in the outer margin'", "at the foot"]),
        ([(plain, 100, HEIGHT + 1, "1 pt above the page")], ["'1 pt above the page'", "at the head"]),
        ([(plain, WIDTH + 1, 300, "1 pt beside the page")], ["'1 pt beside the page'", "at the right"]),
        ([(upright, -1, 300, "superheat")], ["'superheat'", "at the left"]),
    ],
    ids=lambda value: value[-1][-1] if isinstance(value[0], tuple) else "",
)
def test_the_check_has_teeth(texts: list[tuple[Put, float, float, str]], messages: list[str]) -> None:
    found = problems(drawn(*texts))
    assert len(found) == 1, found
    assert found[0].startswith("page 1: ")
    for message in messages:
        assert message in found[0]


def test_usual_leading_and_neighbors_are_no_overlap() -> None:
    """The minimum leading of the booklet, a figure set in two faces, a label over a line."""

    def window(canvas: Canvas, x: float, y: float, text: str) -> None:
        canvas.line(x, y + 3, x + 100, y + 3)
        label(canvas, x, y, text)
        canvas.setFont(fonts.SEMIBOLD, 10)
        canvas.drawString(x + fonts.text_width(text, fonts.REGULAR, 10), y, "40")

    lines = [(plain, 100.0, 500.0 - 12.5 * line, "(gÅj) Ég, ÄQ 12.5|") for line in range(4)]
    pdf = drawn(*lines, (window, 300, 500, "12.5\N{EN DASH}"))
    assert problems(pdf) == []
    assert [run.text for run in runs_of_page(pdf, 1)].count("12.5\N{EN DASH}40") == 1


@pytest.mark.slow
@pytest.mark.parametrize("setting", FEW_SETTINGS)
def test_counter_chart_and_handout(setting: tuple[str, str]) -> None:
    suffix = SETTINGS[setting]
    for pdf in (demo_chart(f"counter{suffix}"), *demo_handout(f"handout{suffix}")):
        assert problems(pdf) == []
