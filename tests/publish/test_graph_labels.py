"""Labels of graphs stand clear of what they do not name: curves, limits and reference lines."""

import itertools

import numpy as np
import pandas as pd
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text

from tablegen.publish import vector
from tablegen.publish.edition import Edition, Part
from tablegen.publish.family_graphs import charge_graph, superheat_graph
from tablegen.publish.family_page import _superheat
from tests.demo import demo_data

MEDIUM = "walk_in_medium"


def edition(name="booklet"):
    return Edition.printed(demo_data(), "booklets", name)[0]


def set_at(figure: Figure, width: float, height: float):
    """Lay the figure out as it is printed; return what measures its texts."""
    vector.FigureFlowable(figure, width, height, "words")
    return vector.VectorCanvas(figure).get_renderer()


def ink(axes) -> list[np.ndarray]:
    """Every line of the axes as close points on the page [pt]."""
    found = []
    for line in axes.lines:
        points = line.get_transform().transform(np.asarray(line.get_xydata(), dtype=float))
        points = points[np.isfinite(points).all(axis=1)]
        dense = [np.linspace(a, b, 400) for a, b in itertools.pairwise(points)]
        found.append(np.vstack([points, *dense]))
    return found


def crossings(axes, renderer, names) -> list[str]:
    """Labels of these names with a line running through them."""
    found = []
    for text in axes.texts:
        if not any(name in text.get_text() for name in names):
            continue
        # Of the words alone, without a leader.
        box = Text.get_window_extent(text, renderer)
        for points in ink(axes):
            x, y = points[:, 0], points[:, 1]
            if ((x > box.x0) & (x < box.x1) & (y > box.y0 + 1.0) & (y < box.y1 - 1.0)).any():
                found.append(text.get_text())
    return found


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
@pytest.mark.parametrize(("family", "group"), [("alder", "R404A-R507A"), ("rowan", "R448A-family"),
                                           ("alder", "R448A-family")])  # fmt: skip
@pytest.mark.parametrize(("is_read_off", "size"), [(False, (249.0, 158.0)), (True, (510.0, 140.0))])
def test_names_of_superheat_curves_cross_no_line(name, family, group, is_read_off, size):
    own = edition(name)
    curves, limits = _superheat(own, Part(family, group, MEDIUM))
    figure = superheat_graph(curves, limits, own.words, is_read_off)
    renderer = set_at(figure, *size)
    assert sum("head" in text.get_text() for text in figure.axes[0].texts) == 2
    assert not crossings(figure.axes[0], renderer, ("head",))


def test_the_bulb_is_named_by_a_leader_to_its_own_curve():
    data = demo_data()
    rows: pd.DataFrame = data.charges
    rows = rows[(rows["family"] == "alder") & (rows["charge"] == rows["charge"].iloc[0])]
    setting = next(
        trim["setting"] for trim in data.manifest["inputs"]["families"]["alder"]["trims"]
        if trim["name"] == rows["charge"].iloc[0]
    )  # fmt: skip
    figure = charge_graph(rows, setting, edition().words)
    renderer = set_at(figure, 510.0, 158.0)
    assert not crossings(figure.axes[0], renderer, ("bulb",))
    (label,) = (text for text in figure.axes[0].texts if text.get_text() == "bulb")
    assert label.arrow_patch is not None
    bulb = next(line for line in figure.axes[0].lines if line.get_linewidth() == 2.2)
    x, y = label.xy
    assert y == pytest.approx(np.interp(x, bulb.get_xdata(), bulb.get_ydata()))
