"""The ruler of a table's framed row: every open window of the row, where its limits are, and no name over another."""

import itertools
import math

import pytest

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.size_range_strips import Bar
from tablegen.report.graphs.size_ruler import size_ruler
from tablegen.report.pages.window_pages import window_table_pages
from tablegen.report.pages.window_table import WindowTableFlowable
from tablegen.report.pdf import design, fonts
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable, Label, Shape
from tests.demo import booklet_publication, demo_data

WIDTH = 480.0


def bars(sizes: int, factor: float, wide: float) -> list[Bar]:
    """Windows in even steps."""
    return [Bar(f"{i + 1}/8", 1000.0 * factor**i, 1000.0 * wide * factor**i) for i in range(sizes)]


def boxes(drawing: Drawing, names: set[str]) -> dict[str, tuple[float, float, float, float]]:
    found = {}
    for item in drawing.items:
        if isinstance(item, Shape) and item.name in names:
            left, bottom, wide, high, _ = item.path.split()
            found[item.name] = (float(left), float(bottom), float(left) + float(wide), float(bottom) + float(high))
    return found


@pytest.mark.parametrize(("sizes", "factor", "wide"), [(2, 4.0, 2.0), (9, 1.45, 2.3), (20, 1.1, 3.0)])
def test_bars_end_at_the_limits_and_lie_apart(sizes, factor, wide):
    own = bars(sizes, factor, wide)
    drawing = size_ruler(own, Formatter("SI"), WIDTH)
    placed = boxes(drawing, {bar.size for bar in own})
    assert len(placed) == sizes
    # On a scale of powers equal ratios are equal lengths.
    lengths = [right - left for left, _, right, _ in placed.values()]
    steps = [b[0] - a[0] for a, b in itertools.pairwise(placed.values())]
    assert max(lengths) - min(lengths) < 0.05
    assert all(step / lengths[0] == pytest.approx(math.log(factor) / math.log(wide), rel=5e-3) for step in steps)
    for (a_left, a_foot, a_right, _), (b_left, b_foot, b_right, _) in itertools.combinations(placed.values(), 2):
        assert a_foot != b_foot or a_right < b_left or b_right < a_left
    assert all(left >= 0.0 and right <= WIDTH and foot >= 0.0 for left, foot, right, _ in placed.values())
    # Each name is on its own bar.
    for item in drawing.items:
        if isinstance(item, Label) and item.face == fonts.BOLD:
            left, foot, right, top = placed[item.text]
            assert foot < item.y < top and abs(item.x + 0.5 * item.width - 0.5 * (left + right)) < 0.1


@pytest.mark.slow
def test_the_ruler_of_a_table_has_the_sizes_of_the_framed_row():
    publication = booklet_publication(demo_data())
    seen = 0
    for part in publication.parts:
        story = window_table_pages(publication, part, design.FIGURE_WIDTH)
        [table] = [item for item in story if isinstance(item, WindowTableFlowable)]
        [framed] = [row for row in table.table.rows if row.is_framed]
        example_k = publication.catalogue.applications[part.application].example_sst_k
        assert framed.label == publication.formatter.temperatures([example_k])[0]
        for item in story:
            if isinstance(item, DrawingFlowable):
                seen += 1
                named = [i.text for i in item.drawing.items if isinstance(i, Label) and i.face == fonts.BOLD]
                sizes = zip(table.table.sizes, framed.cells, strict=True)
                assert named == [size for size, cell in sizes if not isinstance(cell, str)]
    assert seen > 10
