"""The force drawing of the handout: flow, inlet pressure and equalizer agree with the sign of the unbalance."""

import pytest
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.text import Annotation

from tablegen.report.graphs.force_drawing import PortDrawing, force_figure


def named(figure: Figure, gid: str) -> list[Artist]:
    return figure.findobj(lambda artist: artist.get_gid() == gid)


def arrows(figure: Figure, gid: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Tail and head of the arrows of a name."""
    return [(found.xyann, found.xy) for found in named(figure, gid)]


def text_of(figure: Figure) -> str:
    return " | ".join(text.get_text().replace("\n", " ") for text in figure.axes[0].texts if text.get_text())


@pytest.mark.parametrize("is_internal", [False, True])
@pytest.mark.parametrize(("unbalance", "acts"), [(0.02, "closes"), (-0.02, "opens")])
def test_a_single_port_shows_the_flow_that_its_sign_needs(unbalance, acts, is_internal):
    # The rod pushes the pin down to open: only what presses from above the port opens.
    figure = force_figure(is_internal, unbalance)
    ((tail, head),) = arrows(figure, "inlet pressure")
    assert (head[1] < tail[1]) == (acts == "opens")
    ((_, liquid),) = arrows(figure, "liquid")
    ((_, outlet),) = arrows(figure, "outlet")
    assert (liquid[1] > outlet[1]) == (acts == "opens")
    # The arrow lies in the chamber that the liquid enters.
    assert abs(tail[1] - liquid[1]) < abs(tail[1] - outlet[1])
    assert f"inlet pressure on the pin: {acts}" in text_of(figure)
    assert f"inlet pressure {acts} the valve" in PortDrawing(unbalance).sentence


@pytest.mark.parametrize("unbalance", [0.0, 0.002, -0.002])
def test_a_balanced_port_shows_equal_forces_both_ways(unbalance):
    figure = force_figure(False, unbalance)
    pushes = [head[1] - tail[1] for tail, head in arrows(figure, "inlet pressure")]
    assert len(pushes) == 2
    assert sum(pushes) == pytest.approx(0.0)
    assert "balance piston" in text_of(figure)
    assert ("almost as much" in text_of(figure)) == (unbalance != 0.0)


@pytest.mark.parametrize(
    ("unbalance", "sentence"),
    [
        (0.0, "inlet pressure on pin and piston cancels out"),
        (
            0.002,
            "balanced except for a net area of 0.2\N{NO-BREAK SPACE}% of the diaphragm area: liquid enters below the port, "
            "and inlet pressure on that net area closes the valve",
        ),
        (-0.002, "on that net area opens the valve"),
        (0.02, "the port's net unbalanced area is 2.0\N{NO-BREAK SPACE}% of the diaphragm area"),
    ],
)
def test_the_sentence_says_what_is_left_of_a_balanced_port(unbalance, sentence):
    assert sentence in PortDrawing(unbalance).sentence


def test_the_external_equalizer_is_tapped_downstream_of_the_bulb():
    # Common practice: flow leaking past the rod's seal would cool a bulb that sits downstream of the tap.
    figure = force_figure(False, 0.002)
    ((tail, head),) = arrows(figure, "suction")
    assert head[0] > tail[0]
    (bulb,), (equalizer,) = named(figure, "bulb"), named(figure, "equalizer")
    assert equalizer.get_xdata()[-1] > bulb.get_x() + bulb.get_width()


def test_an_internal_equalizer_comes_from_the_outlet():
    for unbalance in (0.02, -0.02):
        figure = force_figure(True, unbalance)
        ((_, outlet),) = arrows(figure, "outlet")
        (equalizer,) = named(figure, "equalizer")
        assert abs(equalizer.get_ydata()[0] - outlet[1]) <= 3.0
        assert "external" not in text_of(figure)


@pytest.mark.parametrize("unbalance", [0.0, 0.002, -0.002])
def test_the_piston_is_as_wide_as_the_port_or_less_where_it_balances_almost(unbalance):
    figure = force_figure(False, unbalance)
    (piston,) = named(figure, "piston")
    seats = [patch for patch in figure.axes[0].patches if isinstance(patch, Rectangle) and patch.get_y() == 38.0]
    left, right = sorted(seats, key=lambda patch: patch.get_x())
    port = right.get_x() - (left.get_x() + left.get_width())
    assert piston.get_width() <= port
    assert (piston.get_width() < 0.9 * port) == (unbalance != 0.0)


@pytest.mark.parametrize("unbalance", [0.002, -0.002, 0.02, -0.02])
def test_the_rod_is_sealed_where_the_equalizer_sets_the_pressure_under_the_diaphragm(unbalance):
    (seal,) = named(force_figure(False, unbalance), "rod seal")
    assert seal.get_x() < 70.0 < seal.get_x() + seal.get_width()


@pytest.mark.parametrize("unbalance", [0.002, -0.002, 0.02, -0.02])
def test_no_leader_ends_or_runs_in_a_black_part(unbalance):
    axes = force_figure(False, unbalance).axes[0]
    black = [
        patch.get_bbox()
        for patch in axes.patches
        if isinstance(patch, Rectangle) and patch.get_facecolor()[:3] == (0.0, 0.0, 0.0) and not patch.get_gid()
    ]
    leaders = [line.get_xydata() for line in axes.lines if line.get_linewidth() == 0.5]
    leaders += [[text.xy, text.xyann] for text in axes.texts if text.get_text() and isinstance(text, Annotation)]
    for (x0, y0), (x1, y1) in leaders:
        for share in (i / 200.0 for i in range(201)):
            point = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
            assert not any(box.contains(*point) for box in black), point


def test_the_suction_line_is_named_above_itself_and_the_equalizer_runs_below():
    figure = force_figure(False, 0.002)
    (equalizer,) = named(figure, "equalizer")
    names = [text for text in figure.axes[0].texts if text.get_text() in ("evaporator outlet", "to compressor")]
    assert len(names) == 2
    assert all(text.get_position()[1] > 72.0 > max(equalizer.get_ydata()) for text in names)
