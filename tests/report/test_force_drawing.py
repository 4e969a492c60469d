"""The force drawing of the handout: flow, inlet pressure and equalizer agree with the sign of the unbalance."""

import pytest

from tablegen.report.graphs.force_drawing import WIDE, PortDrawing, force_drawing
from tablegen.report.pdf.design import BLACK
from tablegen.report.pdf.drawing import Drawing, Shape
from tests.report.drawings import labels, shapes, texts
from tests.report.drawings import points as corners_of

# Points to a unit of its own measure.
SCALE = 2.0


def drawn(is_internal: bool, unbalance: float) -> Drawing:
    return force_drawing(is_internal, unbalance, SCALE * WIDE)


def points(shape: Shape) -> list[tuple[float, float]]:
    """Corners in its own measure."""
    return [(x / SCALE, y / SCALE) for x, y in corners_of(shape)]


def arrows(drawing: Drawing, name: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Tail and head of the arrows of a name."""
    return [(points(shape)[0], points(shape)[1]) for shape in shapes(drawing, name)]


def text_of(drawing: Drawing) -> str:
    return " ".join(texts(drawing))


@pytest.mark.parametrize("is_internal", [False, True])
@pytest.mark.parametrize(("unbalance", "acts"), [(0.02, "closes"), (-0.02, "opens")])
def test_a_single_port_shows_the_flow_that_its_sign_needs(unbalance, acts, is_internal):
    # The rod pushes the pin down to open: only what presses from above the port opens.
    drawing = drawn(is_internal, unbalance)
    ((tail, head),) = arrows(drawing, "inlet pressure")
    assert (head[1] < tail[1]) == (acts == "opens")
    ((_, liquid),) = arrows(drawing, "liquid")
    ((_, outlet),) = arrows(drawing, "outlet")
    assert (liquid[1] > outlet[1]) == (acts == "opens")
    # The arrow lies in the chamber that the liquid enters.
    assert abs(tail[1] - liquid[1]) < abs(tail[1] - outlet[1])
    assert f"inlet pressure on the pin: {acts}" in text_of(drawing)
    assert f"inlet pressure {acts} the valve" in PortDrawing(unbalance).sentence


@pytest.mark.parametrize("unbalance", [0.0, 0.002, -0.002])
def test_a_balanced_port_shows_equal_forces_both_ways(unbalance):
    drawing = drawn(False, unbalance)
    pushes = [head[1] - tail[1] for tail, head in arrows(drawing, "inlet pressure")]
    assert len(pushes) == 2
    assert sum(pushes) == pytest.approx(0.0)
    assert "balance piston" in text_of(drawing)
    assert ("almost as much" in text_of(drawing)) == (unbalance != 0.0)


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
    drawing = drawn(False, 0.002)
    ((tail, head),) = arrows(drawing, "suction")
    assert head[0] > tail[0]
    bulb, equalizer = points(shapes(drawing, "bulb")[0]), points(shapes(drawing, "equalizer")[0])
    assert equalizer[-1][0] > bulb[-1][0]


def test_an_internal_equalizer_comes_from_the_outlet():
    for unbalance in (0.02, -0.02):
        drawing = drawn(True, unbalance)
        ((_, outlet),) = arrows(drawing, "outlet")
        (equalizer,) = shapes(drawing, "equalizer")
        assert abs(points(equalizer)[0][1] - outlet[1]) <= 3.0
        assert "external" not in text_of(drawing)


def _black(drawing: Drawing):
    """Corners of the parts that are cut through, but those with a name."""
    return [points(shape) for shape in shapes(drawing, "") if shape.fill == BLACK and " re" in shape.path]


@pytest.mark.parametrize("unbalance", [0.0, 0.002, -0.002])
def test_the_piston_is_as_wide_as_the_port_or_less_where_it_balances_almost(unbalance):
    drawing = drawn(False, unbalance)
    (low, high), *_ = (points(shape) for shape in shapes(drawing, "piston"))
    left, right = sorted(corners for corners in _black(drawing) if corners[0][1] == 38.0)
    port = right[0][0] - left[1][0]
    assert high[0] - low[0] <= port
    assert (high[0] - low[0] < 0.9 * port) == (unbalance != 0.0)


@pytest.mark.parametrize("unbalance", [0.002, -0.002, 0.02, -0.02])
def test_the_rod_is_sealed_where_the_equalizer_sets_the_pressure_under_the_diaphragm(unbalance):
    (seal,) = shapes(drawn(False, unbalance), "rod seal")
    low, high = points(seal)
    assert low[0] < 70.0 < high[0]


@pytest.mark.parametrize("unbalance", [0.002, -0.002, 0.02, -0.02])
def test_no_leader_ends_or_runs_in_a_black_part(unbalance):
    drawing = drawn(False, unbalance)
    leaders = [points(shape) for shape in shapes(drawing, "") if shape.pen and shape.pen.width in (0.5, 0.6)]
    lines = [line for line in leaders if len(line) == 2 and line[0] not in [corners[0] for corners in _black(drawing)]]
    assert len(lines) >= 8
    for (x0, y0), (x1, y1) in lines:
        for share in (i / 200.0 for i in range(201)):
            x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
            for (left, bottom), (right, top) in _black(drawing):
                assert not (left < x < right and bottom < y < top), (x, y)


def test_the_suction_line_is_named_above_itself_and_the_equalizer_runs_below():
    drawing = drawn(False, 0.002)
    (equalizer,) = shapes(drawing, "equalizer")
    names = [label for label in labels(drawing) if label.text in ("evaporator outlet", "to compressor")]
    assert len(names) == 2
    assert all(label.y / SCALE > 72.0 > max(y for _, y in points(equalizer)) for label in names)
