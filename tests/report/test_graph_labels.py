"""Labels of graphs are clear of what they do not name: curves, limits and reference lines."""

import itertools

import numpy as np
import pandas as pd
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text

from tablegen.model.inputs import Combination
from tablegen.report.graphs.balance_graph import balance_graph
from tablegen.report.graphs.dendrogram import dendrogram_figure
from tablegen.report.graphs.driver_graph import driver_graph
from tablegen.report.graphs.family_graphs import charge_graph, superheat_graph
from tablegen.report.pages.application_page import GRAPH_HEIGHT
from tablegen.report.pages.family_page import _superheat
from tablegen.report.pdf import vector
from tablegen.report.rows import CurveCase, rows_of
from tests.demo import booklet_publication, demo_data

MEDIUM = "walk_in_medium"


def publication(name="booklet"):
    return booklet_publication(demo_data(), name)


def set_at(figure: Figure, width: float, height: float):
    """Lay the figure out as it is printed; return what measures its texts."""
    vector.FigureFlowable(figure, width, height, "message")
    return vector.VectorCanvas(figure).get_renderer()


def ink(axes, lines=None) -> list[np.ndarray]:
    """Every line of the axes, or some, as close points on the page [pt]."""
    found = []
    for line in axes.lines if lines is None else lines:
        points = line.get_transform().transform(np.asarray(line.get_xydata(), dtype=float))
        points = points[np.isfinite(points).all(axis=1)]
        dense = [np.linspace(a, b, 400) for a, b in itertools.pairwise(points)]
        found.append(np.vstack([points, *dense]))
    return found


def crossings(axes, renderer, names, lines=None) -> list[str]:
    """Labels of these names with a line of the axes, or of some, running through them."""
    found = []
    for text in axes.texts:
        if not any(name in text.get_text() for name in names):
            continue
        # Of the words alone, without a leader.
        box = Text.get_window_extent(text, renderer)
        for points in ink(axes, lines):
            x, y = points[:, 0], points[:, 1]
            if ((x > box.x0) & (x < box.x1) & (y > box.y0 + 1.0) & (y < box.y1 - 1.0)).any():
                found.append(text.get_text())
    return found


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
@pytest.mark.parametrize(
    ("family", "group"), [("alder", "R404A-R507A"), ("rowan", "R448A-family"), ("alder", "R448A-family")]
)
@pytest.mark.parametrize(("is_read_off", "size"), [(False, (249.0, 158.0)), (True, (510.0, 140.0))])
def test_names_of_superheat_curves_cross_no_line(name, family, group, is_read_off, size):
    own = publication(name)
    part = Combination(family, group, MEDIUM)
    case = rows_of(own.rows(own.data.balance, part), CurveCase)[0]
    curves, limits = _superheat(own, part, case)
    figure = superheat_graph(curves, limits, own.formatter, is_read_off)
    renderer = set_at(figure, *size)
    assert sum("head" in text.get_text() for text in figure.axes[0].texts) == 2
    assert not crossings(figure.axes[0], renderer, ("head",))


def test_the_bulb_is_named_by_a_leader_to_its_own_curve():
    data = demo_data()
    rows: pd.DataFrame = data.charges
    rows = rows[(rows["family"] == "alder") & (rows["charge"] == rows["charge"].iloc[0])]
    elements = data.catalogue.families["alder"].elements
    setting = next(element.setting for element in elements if element.name == rows["charge"].iloc[0])
    figure = charge_graph(rows, setting, publication().formatter)
    renderer = set_at(figure, 510.0, 158.0)
    assert not crossings(figure.axes[0], renderer, ("bulb",))
    (label,) = (text for text in figure.axes[0].texts if text.get_text() == "bulb")
    assert label.arrow_patch is not None
    bulb = next(line for line in figure.axes[0].lines if line.get_linewidth() == 2.2)
    x, y = label.xy
    assert y == pytest.approx(np.interp(x, bulb.get_xdata(), bulb.get_ydata()))


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
    heads = own.named_heads(application, case)
    figure = balance_graph(curve, own.formatter, own.catalogue.applications[application].site_pressure_pa, heads)
    renderer = set_at(figure, 510.0, GRAPH_HEIGHT)
    assert any("starves" in text.get_text() for text in figure.axes[0].texts) == bool(case.smaller_size)
    assert not crossings(figure.axes[0], renderer, ("starves", "evaporator"))


@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "linden"])
def test_no_figure_of_a_driver_lies_on_the_line_of_the_confidence(family):
    own = publication()
    part = next(p for p in own.parts if p.family == family and len(own.rows(own.data.drivers, p)))
    figure = driver_graph(own.rows(own.data.drivers, part))
    renderer = set_at(figure, 510.0, 240.0)
    for axes in figure.axes:
        dashed = [line for line in axes.lines if line.get_linestyle() == "--" and len(set(line.get_xdata())) == 1]
        assert len(dashed) == 1
        assert not crossings(axes, renderer, ("",), dashed)
    ends = []
    for axes in figure.axes:
        low, high = axes.get_xlim()
        labels = [label for label in axes.get_xticklabels() if low <= label.get_position()[0] <= high]
        ends.append([label.get_window_extent(renderer) for label in labels])
    assert min(box.x0 for box in ends[1]) - max(box.x1 for box in ends[0]) > 8.0


def test_spreads_of_a_tree_lie_on_no_branch_and_not_on_the_cut():
    found = [s for s in demo_data().summary.suggestions if s.merges]
    for suggestion in found:
        figure = dendrogram_figure([suggestion, suggestion], ["one", "other"])
        height = 30.0 + 13.5 * len(suggestion.names)
        renderer = set_at(figure, 510.0, height)
        for axes in figure.axes:
            spread = [text for text in axes.texts if "%" in text.get_text()]
            within = sum(merge[2] <= suggestion.cut for merge in suggestion.merges)
            assert len(spread) == within
            cut = [line for line in axes.lines if line.get_linestyle() == "--"]
            assert not crossings(axes, renderer, ("%",), cut)
            tight = [text for text in crossings(axes, renderer, ("%",)) if float(text.split()[0]) > 1.0]
            assert not tight
