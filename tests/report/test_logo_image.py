"""A company's logo on counter charts, which are in black, and within the page for a phone."""

from __future__ import annotations

import base64
import dataclasses
import io
import re

import pypdfium2
import pytest
from PIL import Image, ImageDraw

from tablegen.config.logo_file import read_logo
from tablegen.dataset.dataset import DataSet
from tablegen.model.company import Logo
from tablegen.report.logo_image import data_uri, in_gray
from tablegen.report.phone.phone_page import phone_page, write_phone_page
from tablegen.report.publications.counter_chart import print_counter_chart
from tests.demo import with_inputs
from tests.worked import worked_data

DRAWING = (
    b'<svg viewBox="0 0 40 20"><rect width="20" height="20" fill="#ff0000"/>'
    b'<path fill="#00f" fill-rule="evenodd" d="M20 0h20v20h-20zM25 5h10v10h-10z"/></svg>'
)


def png(width: int, height: int) -> bytes:
    image = Image.new("RGBA", (width, height), (0, 0, 0, 0))
    ImageDraw.Draw(image).rectangle((0, 0, width // 2, height), fill=(200, 30, 30, 255))
    target = io.BytesIO()
    image.save(target, "PNG")
    return target.getvalue()


LOGOS = {
    "a drawing": read_logo(DRAWING, "logo.svg"),
    "an image": read_logo(png(1_800, 600), "logo.png"),
    "one pixel": read_logo(png(1, 1), "logo.png"),
    "three times as high as wide": read_logo(png(20, 60), "logo.png"),
}


def with_logo(logo: Logo | None, name: str = "Acme (invented)") -> DataSet:
    data = worked_data()
    printing = data.catalogue.printing
    company = dataclasses.replace(printing.company, logo=logo, name=name)
    return with_inputs(data, printing=dataclasses.replace(printing, company=company))


@pytest.mark.parametrize("name", LOGOS)
def test_a_wholesalers_logo_is_in_grays_on_a_chart_which_stays_as_long(name: str) -> None:
    data = worked_data()
    pages, images = [], []
    for logo in (LOGOS[name], None):
        target = io.BytesIO()
        charts = tuple(dataclasses.replace(chart, logo=logo) for chart in data.catalogue.charts)
        pages.append(print_counter_chart(with_inputs(data, charts=charts), "counter", target))
        images.append(pypdfium2.PdfDocument(target.getvalue())[0].render(scale=2).to_pil())
    assert pages[0] == pages[1]
    shown, without = images
    assert shown.tobytes() != without.tobytes()
    assert all(abs(r - g) < 3 and abs(g - b) < 3 for _, (r, g, b) in shown.getcolors(maxcolors=100_000))


def test_a_color_becomes_a_gray_as_light_as_it_is() -> None:
    code = in_gray(LOGOS["a drawing"]).content.decode().splitlines()
    assert [line for line in code if line.endswith("g")] == ["0.299 g", "0.114 g"]
    assert [line for line in code if not line.endswith("g")] == [
        line for line in LOGOS["a drawing"].content.decode().splitlines() if not line.endswith("rg")
    ]
    image = Image.open(io.BytesIO(in_gray(LOGOS["an image"]).content))
    assert (image.mode, image.getpixel((10, 10)), image.getpixel((1_790, 10))) == ("L", 81, 255)


def test_a_drawing_is_an_svg_of_paths_alone() -> None:
    kind, _, content = data_uri(LOGOS["a drawing"]).partition(",")
    assert kind == "data:image/svg+xml;base64"
    text = base64.b64decode(content).decode("ascii")
    assert re.fullmatch(
        r'<svg xmlns="http://www\.w3\.org/2000/svg" viewBox="0 0 100 50"><g transform="matrix\(100 0 0 -100 0 50\)">'
        r'<path fill="#ff0000" d="[MLCZ0-9. -]+"/><path fill="#0000ff" fill-rule="evenodd" d="[MLCZ0-9. -]+"/></g></svg>',
        text,
    )


@pytest.mark.parametrize(("name", "size"), [("an image", (192, 64)), ("one pixel", (1, 1))])
def test_an_image_is_made_small(name: str, size: tuple[int, int]) -> None:
    kind, _, content = data_uri(LOGOS[name]).partition(",")
    assert kind == "data:image/png;base64" and len(content) < 10_000
    assert Image.open(io.BytesIO(base64.b64decode(content))).size == size


@pytest.mark.parametrize("name", LOGOS)
def test_the_page_for_a_phone_has_it_beside_the_company(name: str) -> None:
    page = phone_page(with_logo(LOGOS[name], 'A & "B" <i>'))
    source = re.escape(data_uri(LOGOS[name]))
    alt = "Logo of A &amp; &quot;B&quot; &lt;i&gt;"
    assert re.search(rf'<p class="company"><img class="logo" src="{source}" alt="{alt}">\s*A &amp; &quot;B', page)
    assert '<img class="logo"' not in phone_page(with_logo(None))


@pytest.mark.slow
def test_a_page_that_links_to_others_has_it_too(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("tablegen.report.phone.phone_page.MOST_BYTES", 420_000)
    write_phone_page(with_logo(LOGOS["a drawing"]), tmp_path / "lookup.html")
    pages = sorted(tmp_path.glob("lookup*.html"))
    assert len(pages) > 1 and all('<img class="logo"' in page.read_text(encoding="utf-8") for page in pages)
