"""Labels of graphs are clear of what they do not name: curves, limits and reference lines."""

import numpy as np
import pandas as pd
import pytest

from tablegen.model.publications import Combination
from tablegen.report.graphs.balance_graph import BalanceCurves, balance_graph
from tablegen.report.graphs.dendrogram import dendrogram_figure
from tablegen.report.graphs.driver_graph import driver_graph
from tablegen.report.graphs.family_graphs import charge_graph, superheat_graph
from tablegen.report.pages.family_page import _superheat
from tablegen.report.pages.window_pages import GRAPH_HEIGHT
from tablegen.report.pdf.design import ACCENT, BLACK, DASHED, SPARSE_DOTS
from tablegen.report.pdf.drawing import Drawing, Shape
from tablegen.report.rows import CurveCase, DriverRow, rows_of
from tests.demo import booklet_publication, demo_data
from tests.report.drawings import box_of, crossed, labels, points, shapes, texts

MEDIUM = "walk_in_medium"
WIDTH = 493.0


def publication(name="booklet"):
    return booklet_publication(demo_data(), name)


def lines(drawing: Drawing) -> list[Shape]:
    """Curves and reference lines: what is drawn inside axes and is no area."""
    return [shape for shape in shapes(drawing) if len(shape.clips) == 1 and shape.pen and not shape.fill]


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
@pytest.mark.parametrize(
    ("family", "group"), [("alder", "R404A-R507A"), ("rowan", "R448A-family"), ("alder", "R448A-family")]
)
@pytest.mark.parametrize(("is_read_off", "size"), [(False, (240.0, 158.0)), (True, (WIDTH, 140.0))])
def test_names_of_superheat_curves_cross_no_line(name, family, group, is_read_off, size):
    own = publication(name)
    part = Combination(family, group, MEDIUM)
    case = rows_of(own.rows(own.data.balance, part), CurveCase)[0]
    curves, limits = _superheat(own, part, case)
    drawing = superheat_graph(curves, limits, own.formatter, size, is_read_off)
    assert sum("head" in text for text in texts(drawing)) == 2
    # Lines of a grid pass under a name's white.
    drawn = [line for line in lines(drawing) if line.pen.dashes != SPARSE_DOTS]
    assert not crossed(drawing, drawn, "head")


def test_the_bulb_is_named_by_a_leader_to_its_own_curve():
    data = demo_data()
    rows: pd.DataFrame = data.charges
    rows = rows[(rows["family"] == "alder") & (rows["charge"] == rows["charge"].iloc[0])]
    elements = data.catalogue.families["alder"].elements
    setting = next(element.setting for element in elements if element.name == rows["charge"].iloc[0])
    drawing = charge_graph(rows, setting, publication().formatter, (WIDTH, 158.0))
    assert not crossed(drawing, lines(drawing), "bulb")
    box = box_of(next(label for label in labels(drawing) if label.text == "bulb"))
    leaders = [points(shape) for shape in shapes(drawing) if shape.pen and shape.pen.width == 0.6]
    _, (x, y) = min(leaders, key=lambda ends: np.hypot(ends[0][0] - box.right, ends[0][1] - box.bottom))
    curve = np.array(points(next(line for line in lines(drawing) if line.pen.width == 2.2)))
    assert y == pytest.approx(np.interp(x, *curve.T), abs=0.02)


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
@pytest.mark.parametrize(
    "application",
    [
        "walk_in_medium",
        "walk_in_low",
        "walk_in_medium_fixed",
        "walk_in_low_fixed",
        "walk_in_medium_lift",
        "walk_in_medium_line",
    ],
)
def test_the_starving_size_and_the_evaporator_are_named_clear_of_every_line(name, application):
    own = publication(name)
    part = next(part for part in own.parts if part.application == application and len(own.rows(own.data.balance, part)))
    curve = own.rows(own.data.balance, part)
    case = rows_of(curve, CurveCase)[0]
    curves = BalanceCurves.of(curve, own.formatter, own.catalogue.applications[application].site_pressure_pa)
    drawing = balance_graph(curves, own.named_heads(application, case), (WIDTH, GRAPH_HEIGHT))
    # A size that is too small for another refrigerant of the group may pass all that this one needs.
    starves = bool(case.smaller_size) and bool((curves.system > curves.smaller).any())
    assert any("too small" in text for text in texts(drawing)) == starves
    assert not crossed(drawing, lines(drawing), "too small", "evaporator")


@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_no_figure_of_a_driver_lies_on_the_line_of_the_confidence(family):
    own = publication()
    part = next(p for p in own.parts if p.family == family and len(own.rows(own.data.drivers, p)))
    drawing = driver_graph(rows_of(own.rows(own.data.drivers, part), DriverRow), (WIDTH, 240.0))
    dashed = [line for line in lines(drawing) if line.pen.dashes == DASHED]
    assert len(dashed) == 2
    assert not crossed(drawing, dashed, "")
    # The outer figures of the two scales are apart.
    scale = [box_of(label) for label in labels(drawing) if label.text.strip("−.0123456789") == "" and label.size == 8.5]
    left, right = ([box for box in scale if (box.left < 0.6 * WIDTH) == is_left] for is_left in (True, False))
    assert min(box.left for box in right) - max(box.right for box in left) > 8.0


@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_bars_of_drivers_are_filled_where_the_window_gets_narrower(family):
    """A minimum load that rises and a maximum load that falls; what the data set says of each source."""
    own = publication()
    part = next(p for p in own.parts if p.family == family and len(own.rows(own.data.drivers, p)))
    rows = rows_of(own.rows(own.data.drivers, part), DriverRow)
    drawing = driver_graph(rows, (WIDTH, 240.0))
    narrower, wider = (
        [label.x for label in labels(drawing) if label.text == text] for text in ("narrower window", "wider")
    )
    assert wider[0] < narrower[0] < narrower[1] < wider[1]
    filled = [points(shape) for shape in shapes(drawing) if shape.fill == ACCENT]
    for side, sign in (("min", 1), ("max", -1)):
        limits = [row for row in rows if row.limit == side]
        # Each end of a source that narrows the window is a filled bar of its length, to one scale.
        moved = [
            max(sign * (load / row.member_load_w - 1.0) for load in (row.load_at_low_w, row.load_at_high_w))
            for row in limits
            if abs(row.load_at_high_w - row.load_at_low_w) / row.member_load_w >= 0.0005
        ]
        own_side = [bar for bar in filled if (bar[0][0] < narrower[1] - 20.0) == (side == "min")]
        lengths = sorted(right - left for (left, _), (right, _) in own_side)
        assert len(lengths) == len(moved)
        scale = lengths[-1] / max(moved)
        assert lengths == pytest.approx([scale * change for change in sorted(moved)], abs=0.02)


def test_spreads_of_a_tree_lie_on_no_branch_and_not_on_the_cut():
    found = [s for s in demo_data().summary.suggestions if s.merges]
    for suggestion in found:
        size = (WIDTH, 30.0 + 13.5 * len(suggestion.names))
        drawing = dendrogram_figure([suggestion, suggestion], ["one", "other"], size)
        within = sum(merge[2] <= suggestion.cut for merge in suggestion.merges)
        assert sum(text.endswith(" %") and text[0].isdigit() for text in texts(drawing)) == 2 * within
        cut = [line for line in lines(drawing) if line.pen.color == ACCENT]
        assert len(cut) == 2 and not crossed(drawing, cut, " %")
        branches = [line for line in lines(drawing) if line.pen.color == BLACK]
        tight = [text for text in crossed(drawing, branches, " %") if float(text.split()[0]) > 1.0]
        assert not tight
