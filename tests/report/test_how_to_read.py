"""The spread that explains a table: a left and a right page, whose figures are those of the table that it reads."""

import io

import pytest

from tablegen.report.graphs.reading_graphs import Lane, load_on_ruler
from tablegen.report.pages.how_to_read import how_to_read
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.pdf.page import Document, Heading
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ExampleRow, rows_of
from tests.demo import booklet_publication, demo_booklet, demo_data, page_texts, part_of_booklet
from tests.report.drawings import labels, points, shapes, texts

WIDTH = 500.0


def drawn(publication: Publication) -> list[DrawingFlowable]:
    return [item for item in how_to_read(publication, WIDTH) if isinstance(item, DrawingFlowable)]


def publications() -> list[Publication]:
    data = demo_data()
    named = [booklet_publication(data), booklet_publication(data, "booklet-a4-si")]
    low = part_of_booklet(data, "alder", application="walk_in_low")
    return [
        *named,
        *(booklet_publication(part_of_booklet(data, name)) for name in ("rowan", "hazel", "larch")),
        booklet_publication(low),
    ]


@pytest.mark.parametrize("number", range(6))
def test_every_figure_is_that_of_the_table(number: int):
    publication = publications()[number]
    part = next(p for p in publication.parts if len(publication.rows(publication.data.example, p)))
    first = rows_of(publication.rows(publication.data.example, part), ExampleRow)[0]
    windows = publication.windows(part)
    printed = {publication.formatter.readable_window(row.min_load_w, row.max_load_w) for row in windows} - {None}
    cells = {"–".join(window) for window in printed if window}
    excerpt = next(item for item in drawn(publication) if item.alt.startswith("Part of the table"))
    inside = [text for text in texts(excerpt.drawing) if "–" in text and text != "–"]
    assert inside and set(inside) <= cells
    bold = [label.text for label in labels(excerpt.drawing) if "–" in label.text and label.face.endswith("Bold")]
    covering = [
        "–".join(publication.formatter.window(row.min_load_w, row.max_load_w))
        for row in windows
        if abs(row.sst_k - first.sst_k) < 1e-6 and row.min_load_w <= first.load_w <= row.max_load_w
    ]
    assert 0 < len(bold) <= len(covering) and set(bold) <= set(covering)


def test_the_chosen_size_has_the_largest_margin_and_the_others_say_why_not():
    publication = booklet_publication(demo_data())
    ruler = next(item for item in drawn(publication) if item.alt.startswith("Sizes on a scale"))
    [load] = [shape for shape in shapes(ruler.drawing) if shape.pen and shape.pen.color == design.ACCENT]
    x = points(load)[0][0]
    margins = {}
    for shape in shapes(ruler.drawing):
        if not shape.name:
            continue
        (left, _), (right, _) = points(shape)
        margins[shape.name] = min(x - left, right - x)
        part = next(text for text in ruler.alt.split("Size ") if text.startswith(f"{shape.name},"))
        wanted = "fits" if margins[shape.name] > 0 else "too small" if right < x else "too large"
        assert wanted in part
    best = max(margins, key=lambda name: margins[name])
    assert f"Size {best}, " in ruler.alt and "largest margin" in ruler.alt.split(f"Size {best},")[1].split("Size")[0]


def test_long_names_of_sizes_make_room_for_themselves():
    lanes = [
        Lane(name="A size of a long name", low=1.0 + i, high=4.0 + i, limits=("1.00", "4.00"), verdict="fits")
        for i in range(3)
    ]
    drawing = load_on_ruler(lanes, 3.5, "3.50 kW", WIDTH)
    names = [label for label in labels(drawing) if label.text.startswith("A size")]
    bars = [points(shape)[0][0] for shape in shapes(drawing) if shape.name]
    assert min(bars) > max(label.x + label.width for label in names)
    assert all(label.x >= 0.0 and label.x + label.width <= WIDTH for label in labels(drawing))


def test_it_is_a_left_and_a_right_page():
    pages = page_texts(demo_booklet("IP", "letter")[1])
    [left] = [number for number, text in enumerate(pages, 1) if "Find your application" in text]
    [right] = [number for number, text in enumerate(pages, 1) if "Take the size with the largest margin" in text]
    assert left % 2 == 0 and right == left + 1
    # The next page begins with something else.
    assert "Check the order" in pages[right - 1] and "Worked examples" in pages[right]


def test_it_fits_two_pages_of_every_print():
    for name in ("booklet", "booklet-a4-si"):
        publication, target = booklet_publication(demo_data(), name), io.BytesIO()
        paper = "letter" if name == "booklet" else "a4"
        document = Document(target, paper, "Title", date=None)
        assert document.build([Heading("First"), *how_to_read(publication, document.frame_width)]) == 3
