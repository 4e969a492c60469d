"""What a handout teaches on US and on SI pages: the same rows, one rule for the maximum, the superheats, one flow coefficient."""

import dataclasses
import re

import pytest

from tests.demo import demo_data, demo_handout, page_texts
from tests.report.test_lesson import lesson_of, numbers, pages_of
from tests.worked import worked_data

PRINTS = {"IP": "handout", "SI": "handout-a4-si"}
SYSTEMS = pytest.mark.parametrize("units", PRINTS)
LABELS = (
    "Box, evaporator",
    "Condensing unit",
    "SST, constant SST",
    "Head pressure",
    "Load, rating point",
    "Valve, opening",
    "Pressure drop",
    "Superheat, bulb",
    "System's line",
    "Evaporator's line",
    "Valve's lines",
    "Size 22",
)


def pages(units: str) -> list[str]:
    """The pages of the demo's handout as a reader gets their text."""
    found = page_texts(demo_handout(PRINTS[units])[0])
    return [" ".join(text.replace("\N{NO-BREAK SPACE}", " ").replace("’", "'").split()) for text in found]


@SYSTEMS
def test_the_first_page_has_the_same_rows_in_both_systems(units):
    """Also the one of the smaller size, which is clearly too small."""
    first = pages(units)[0]
    places = [first.index(label) for label in LABELS]
    assert places == sorted(places)
    passed, needed, crossing, over, under = numbers(
        "Fully open it passes ~ at low head, less than the system's ~: too small in winter (hatched, to the circle at ~). At high "
        "head it passes ~, more than the ~: enough.",
        first,
    )
    assert passed < needed and under < over
    gauge = {"IP": "psig", "SI": "bar gauge"}[units]
    # In the row and in the graph.
    assert len(re.findall(rf"{crossing:g}0? {gauge}", first)) == 2


def test_no_row_compares_what_no_digits_tell_apart():
    data = worked_data()
    lesson, publication = lesson_of(data, "alder", "R448A-family", "walk_in_medium", "IP")
    assert lesson.case.smaller_size
    frame = data.balance.copy()
    frame["smaller_max_w"] = frame["compressor_capacity_w"]
    same, publication = lesson_of(
        dataclasses.replace(data, balance=frame), "alder", "R448A-family", "walk_in_medium", "IP"
    )
    assert "A smaller valve" not in pages_of(same, publication, "letter")[0]


@SYSTEMS
def test_both_pages_have_one_rule_for_the_maximum(units):
    """The demo's maximum ends at rated stroke, and the first page draws the valve there, not at its stop."""
    first, second = pages(units)[:2]
    maximum, stop = numbers(
        "At ~ the valve counts as fully open; the travel from there to the stop, ~, is reserve.", first
    )
    [opening] = numbers("More load needs more opening, up to ~; the travel from there to the stop is reserve", second)
    assert maximum == opening == 100.0 and stop == 120.0
    assert "Page 1 draws" not in second
    curve = demo_data().balance
    curve = curve[
        (curve["application"] == "walk_in_medium") & (curve["family"] == "alder") & (curve["group"] == "R448A-family")
    ]
    # Alder's ports are linear: what it passes grows with the opening.
    fully_open = curve["valve_max_w"] / curve["compressor_capacity_w"] * curve["opening"]
    assert fully_open.to_numpy() == pytest.approx(1.0, rel=1e-6)


def test_the_smaller_size_of_the_first_page_is_clearly_too_small():
    """Less than 5 % short its hatch is not seen; so small a size that there is none is drawn as it is."""
    data = demo_data()
    for _, rows in data.balance.groupby(["family", "group", "application"], sort=False):
        first = rows.sort_values("head_pressure_pa").iloc[0]
        if not first["smaller_size"]:
            continue
        sizes = data.sizes[data.sizes["family"] == first["family"]].set_index("size")["kv_rated_m3h"]
        short = (rows["smaller_max_w"] / rows["compressor_capacity_w"]).min()
        assert short < 0.951 or sizes[first["smaller_size"]] == sizes.min(), first["smaller_size"]


def test_where_the_stop_is_the_limit_nothing_is_said_of_a_reserve():
    lesson, publication = lesson_of(worked_data(), "alder", "R448A-family", "walk_in_medium", "IP")
    first, second = pages_of(lesson, publication, "letter")[:2]
    assert "meets the stop" in second and "reserve" not in first + second


@SYSTEMS
def test_the_superheats_are_told_apart(units):
    """The valve's own at the rating point is that of the cycle's table; the useful one is that of the rating's conditions."""
    found = pages(units)
    forces, terms = (next(text for text in found if title in text) for title in ("The forces on", "Terms, symbols"))
    figure = {"IP": r"([0-9.]+) °F", "SI": r"([0-9.]+) K"}[units]
    sentence = re.search(
        rf"is static superheat, at which the valve just opens, plus opening superheat, which grows with the opening: here {figure} "
        rf"at the rating point\. Useful superheat, {figure}, is part of the rating",
        forces,
    )
    assert sentence is not None
    operating, useful = sentence.groups()
    example = demo_data().example
    own = example[(example["application"] == "walk_in_medium") & (example["family"] == "alder")]
    own = own[(own["refrigerant"] == "R448A") & (own["condition"] == "rating")]
    scale = {"IP": 1.8, "SI": 1.0}[units]
    assert float(operating) == pytest.approx(scale * own["superheat_k"].iloc[0], abs=0.05)
    assert re.search(rf"capacity rated with {useful} (?:°F|K) useful superheat", terms)
    assert "Superheat at the compressor is larger" in forces
    assert "static plus opening superheat" in terms and "Useful superheat" in terms


@SYSTEMS
def test_terms_have_the_units_that_pages_and_exercises_print(units):
    terms = next(text for text in pages(units) if "Terms, symbols" in text)
    both, one = {"IP": ("psia", "psia"), "SI": ("bar absolute, kPa absolute", "kPa absolute")}[units]
    assert re.search(rf"Inlet and outlet pressure \S+ \S+ {one} upstream", terms)
    assert re.search(rf"Bulb pressure \S+ {both} pressure of the charge", terms)
    assert re.search(rf"Evaporator pressure \S+ {both} dew pressure", terms)
    # As the flow equation has them.
    equation = next(text for text in pages(units) if "The flow equation, step by step" in text)
    assert re.search(rf"p₁ − p₂ = [0-9.]+ {one} − [0-9.]+ {one} =", equation)


@SYSTEMS
def test_one_flow_coefficient_is_on_all_pages(units):
    """Cv in US units, also on the cycle's page; the page on the equation says what the tables' Kv is."""
    own, other = {"IP": ("Cv", "Kv"), "SI": ("Kv", "Cv")}[units]
    cycle = next(text for text in pages(units) if "Operating superheat, " in text)
    assert other not in cycle
    [required] = re.findall(rf"Required {own} for [0-9.]+ \S+?(?:, m³/h)? ([0-9.]+) [0-9.]+ [0-9.]+", cycle)
    rows = next(text for text in pages(units) if "Why a valve has two limits" in text and "Refrigerant to be" in text)
    [low] = re.findall(rf"Required {own} ([0-9.]+)", rows)
    assert float(required) == pytest.approx(float(low), rel=5e-3)
