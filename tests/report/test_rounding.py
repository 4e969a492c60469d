"""Print rounding never promises more than was computed."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tablegen.errors import PublishError
from tablegen.report.formatter import Formatter
from tablegen.report.rounding import MINUS, decimals, decimals_up, round_down, round_half_even, round_up

FINITE = st.floats(allow_nan=False, allow_infinity=False)
LOADS = st.floats(min_value=1e-6, max_value=1e6)
FIGURES = st.integers(min_value=1, max_value=6)
# The value is cleaned of noise at twelve figures first.
NOISE = Decimal("5e-12")


def read(text: str) -> Decimal:
    return Decimal(text.replace(MINUS, "-"))


@pytest.mark.parametrize(
    ("value", "digits", "up", "down"),
    [
        (0.9996, 3, "1.00", "0.999"),
        (0.1 + 0.2, 2, "0.30", "0.30"),
        (1234.5, 3, "1240", "1230"),
        (999.6, 3, "1000", "999"),
        (2.5501, 3, "2.56", "2.55"),
        (0.64601, 3, "0.647", "0.646"),
        (20.0, 3, "20.0", "20.0"),
        (1.1 * 3, 2, "3.3", "3.3"),
        (99999.0, 3, "100000", "99900"),
        (-1.0004, 3, "−1.00", "−1.01"),
        (-0.9996, 3, "−0.999", "−1.00"),
        (0.0, 3, "0", "0"),
        (-0.0, 3, "0", "0"),
    ],
)
def test_known_values(value: float, digits: int, up: str, down: str) -> None:
    assert round_up(value, digits) == up
    assert round_down(value, digits) == down


@given(LOADS, FIGURES)
def test_a_window_is_never_wider_in_print(load: float, digits: int) -> None:
    exact = Decimal(load)
    assert read(round_up(load, digits)) >= exact * (1 - NOISE)
    assert read(round_down(load, digits)) <= exact * (1 + NOISE)


@given(LOADS, FIGURES)
def test_rounding_moves_less_than_one_step(load: float, digits: int) -> None:
    step = Decimal(1).scaleb(Decimal(load).adjusted() - digits + 1) * (1 + NOISE)
    assert read(round_up(load, digits)) - Decimal(load) <= step
    assert Decimal(load) - read(round_down(load, digits)) <= step


@given(LOADS, FIGURES)
def test_figures_are_counted_after_a_carry(load: float, digits: int) -> None:
    for text in (round_up(load, digits), round_down(load, digits), round_half_even(load, digits)):
        figures = text.replace(".", "").lstrip("0")
        whole = text.split(".")[0].lstrip("0")
        assert len(figures) == max(digits, len(whole))


@given(FINITE, FIGURES)
def test_never_an_exponent_and_negation_swaps_directions(value: float, digits: int) -> None:
    up, down = round_up(value, digits), round_down(-value, digits)
    assert not set(up) - set("0123456789." + MINUS)
    assert read(up) == -read(down)


@given(LOADS, FIGURES)
def test_a_printed_number_is_printed_the_same_again(value: float, digits: int) -> None:
    text = round_half_even(value, digits)
    assert round_half_even(float(read(text)), digits) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_not_printed(value: float) -> None:
    for rounding in (round_up, round_down, round_half_even, decimals):
        with pytest.raises(PublishError, match="must be finite"):
            rounding(value, 3)


def test_digits_and_decimals_have_bounds() -> None:
    with pytest.raises(PublishError, match="0 significant figures"):
        round_up(1.0, 0)
    with pytest.raises(PublishError, match="-1 decimals"):
        decimals(1.0, -1)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [(-10.0, 0, "−10"), (-0.4, 0, "0"), (-0.04, 1, "0.0"), (2.675, 2, "2.68"), (12.25, 1, "12.2")],
)
def test_decimals(value: float, places: int, text: str) -> None:
    assert decimals(value, places) == text


@given(FINITE, st.integers(min_value=0, max_value=4))
def test_decimals_are_as_many_as_asked_and_zero_has_no_minus(value: float, places: int) -> None:
    text = decimals(value, places)
    assert len(text.partition(".")[2]) == places
    assert not text.startswith(MINUS) or read(text) != 0


@given(value=st.floats(min_value=-1e6, max_value=1e6), places=st.integers(min_value=0, max_value=4))
def test_a_figure_that_must_be_reached_is_never_below_its_value(value, places):
    printed = read(decimals_up(value, places))
    exact = Decimal(value)
    assert printed >= exact - abs(exact) * NOISE
    assert printed <= exact + Decimal(10) ** -places + abs(exact) * NOISE


def test_a_setting_is_rounded_up_and_near_limits_print_apart():
    formatter, psi = Formatter("IP"), 6894.757293168361
    assert formatter.gauge_at_min(120.01 * psi, 0.0) == "121"
    assert formatter.gauge_at_min(120.0 * psi, 0.0) == "120"
    assert Formatter("SI").gauge_at_min(8.2731e5, 0.0) == "8.28"
    assert formatter.gauge_span(120.0 * psi, 158.4 * psi, 0.0) == ("120", "158")
    assert formatter.gauge_span(120.04 * psi, 120.31 * psi, 0.0) == ("120.0", "120.3")
