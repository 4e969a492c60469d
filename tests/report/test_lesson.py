"""The handout's lesson: every sentence that compares figures, read back from the page and checked against them."""

import dataclasses
import functools
import io
import itertools
import math
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

import numpy as np
import pandas as pd
import pytest
from reportlab.platypus import PageBreak

from tablegen.dataset.dataset import DataSet
from tablegen.model.publications import Combination
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.opening_against_load import OpeningLimit, OpeningLine, opening_against_load
from tablegen.report.graphs.superheat_in_time import superheat_in_time
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.limit_calculation import limit_calculations
from tablegen.report.pages.cycle_page import cycle_page
from tablegen.report.pages.lesson_example import Lesson
from tablegen.report.pages.lesson_pages import two_limits_of_opening, words_and_lines
from tablegen.report.pages.opening_graph import load_at, opening_graph
from tablegen.report.pages.two_limits_page import BothLimits, answers, questions, two_limits
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Shape
from tablegen.report.pdf.fonts import text_width
from tablegen.report.pdf.page import Document, paragraph
from tablegen.report.publications.publication import Publication, named
from tablegen.report.rounding import round_between
from tablegen.report.rows import ExampleRow, LimitForces
from tests.demo import page_texts, with_inputs
from tests.report.drawings import labels, points, shapes, texts
from tests.worked import worked_data

PARTS = [
    ("alder", "R448A-family", "walk_in_medium", "IP", "letter"),
    ("alder", "R448A-family", "walk_in_medium", "SI", "a4"),
    ("alder", "R404A-R507A", "walk_in_medium_fixed", "SI", "letter"),
    ("alder", "R448A-family", "walk_in_low", "IP", "a4"),
    ("alder", "R448A-family", "walk_in_low_fixed", "SI", "letter"),
    ("alder", "R134a", "walk_in_medium", "SI", "letter"),
    ("alder", "R404A-R507A", "walk_in_medium_lift", "IP", "letter"),
    ("rowan", "R448A-family", "walk_in_medium", "SI", "letter"),
    ("rowan", "R404A-R507A", "walk_in_medium_fixed", "IP", "letter"),
]


def every_part() -> list[tuple[str, str, str, str, str]]:
    """Every table of a thermostatic valve, in both systems of units on the shorter paper for either width."""
    found = worked_data().limit_forces[["family", "group", "application"]].drop_duplicates()
    settings = [("IP", "letter"), ("SI", "letter"), ("SI", "a4")]
    return [(*map(str, row), *setting) for row in found.itertuples(index=False) for setting in settings]


def lesson_of(data: DataSet, family: str, group: str, application: str, units: str) -> tuple[Lesson, Publication]:
    first = named(data.catalogue.handouts, {"IP": "handout", "SI": "handout-a4-si"}[units])
    own = dataclasses.replace(first, family=family, group=group, application=application)
    publication = Publication.of(with_inputs(data, handouts=(own,)), own)
    return Lesson.of(HandoutFigures(publication, Combination(family, group, application))), publication


def pages_of(lesson: Lesson, publication: Publication, paper: str) -> list[str]:
    """The three pages of the lesson, that of the cycle and the answers, as their readers get the text."""
    target = io.BytesIO()
    document = Document(target, paper, "Lesson", date=publication.date, notice="Notice.", author="School")
    width, both = document.frame_width, lesson.both
    # As much as a title, a school and a line for a name take.
    story = [paragraph("Title", "title"), paragraph("School", "company"), paragraph("Name")]
    story += [*words_and_lines(lesson, width), *two_limits_of_opening(lesson, width)]
    story += cycle_page(publication, width, [lesson.figures.part])
    if both is not None:
        story += [
            *two_limits(both, width),
            *map(paragraph, questions(both)),
            PageBreak(),
            *map(paragraph, answers(both)),
        ]
    document.build(story)
    return [
        " ".join(text.replace("\N{NO-BREAK SPACE}", " ").replace("’", "'").split())
        for text in page_texts(target.getvalue())
    ]


@functools.cache
def printed(family: str, group: str, application: str, units: str, paper: str) -> list[str]:
    return pages_of(*lesson_of(worked_data(), family, group, application, units), paper)


N = r"([0-9.]+)"


def numbers(pattern: str, text: str) -> list[float]:
    """The figures of a sentence that must be on the page; N stands for a figure, ~ for one with its unit."""
    unit = r"(?: (?:kBtu/h|kW|psig?|kPa|bar gauge|lb/h|kg/h|%|m3/h|m³/h|Btu/lb|kJ/kg))?"
    whole = re.escape(pattern).replace(r"\~", N + unit).replace("~", N + unit).replace(r"\ ", " ")
    found = re.search(whole, text)
    assert found, (pattern, text)
    return [float(own) for own in found.groups()]


def coefficient(text: str) -> str:
    """The flow coefficient of a page, as in the exercises: Cv where mass flow is in pounds."""
    return "Cv" if " lb/h" in text else "Kv"


def rounded(value: Decimal, digits: int, rounding: str) -> Decimal:
    return Context(prec=digits, rounding=rounding).create_decimal(value)


def check_first_page(text: str) -> None:
    rating, load = numbers(
        "the rating point, ~: here ~. So it is a name for the system's size, the same all year.", text
    )
    if "it floats" in text:
        high_head, low_head = numbers(
            "it rises to ~, the high head. In winter it falls with the outdoor air (it floats) to ~,", text
        )
    else:
        high_head, low_head = numbers(
            "it rises to ~, the high head. In winter a control does not let it fall below ~,", text
        )
    assert low_head < rating < high_head
    [stop] = numbers("At ~ the valve is fully open, at its stop.", text)
    assert stop >= 100.0
    high, at_rating, low = numbers(
        "What the condensing unit can do, at constant SST: ~ at high head, ~ at the rating point, ~ at low head, where it pumps more, "
        "and each",
        text,
    )
    assert high < at_rating < low and at_rating == load
    # Both lines meet at the rating point.
    assert numbers("at the same SST: ~ on all days,", text) == [load]
    if "too small in winter (" in text:
        passed, needed, crossing, over, under = numbers(
            "A smaller valve. Fully open it passes ~ at low head, less than the system's ~: too small in winter (hatched, to the "
            "circle at ~). At high head it passes ~, more than the ~: enough.",
            text,
        )
        assert passed < needed == pytest.approx(low, rel=5e-3) and over > under == pytest.approx(high, rel=5e-3)
        # The graph names the circle by the same pressure with its unit.
        assert low_head < crossing < high_head
        assert len(re.findall(rf"{crossing:g}0* (?:psig|bar gauge)", text)) == 2
    elif "too small in winter and in summer" in text:
        passed, also, needed, needs = numbers(
            "Fully open it passes ~ at low head and ~ at high head, less than the system's ~ and ~: too small in winter and in summer (hatched).",
            text,
        )
        assert passed < needed == low and also < needs == high
    elif "not for every refrigerant" in text:
        passed, needed, over, under = numbers(
            "Fully open it passes ~ at low head, more than the ~ there, and ~ at high head, more than the ~ there", text
        )
        assert passed > needed == low and over > under == high
    # Nothing is said to starve that passes more than the evaporator evaporates.
    assert text.count("starves the evaporator") == 1


def check_second_page(text: str) -> dict[str, float]:
    [rated] = numbers("A system with a load of ~", text)
    name = coefficient(text)
    [kv] = numbers(f"(rated {name} ~)", text)
    drops, flows, needed = (
        numbers(f"{label} ~ ~ ~", text)
        for label in ("Pressure drop at the port", "Refrigerant to be passed", f"Required {name}")
    )
    openings = [float(own) for own in re.search(rf"Opening of size \S+ {N} % {N} % {N} %", text).groups()]
    assert drops == sorted(drops) and needed == sorted(needed, reverse=True)
    # Of a linear port the opening is the required over the rated Kv.
    assert openings == pytest.approx([100.0 * own / kv for own in needed], abs=0.6)
    more, less, low_drop, high_drop, low_opening, high_opening = numbers(
        "In winter the condensing unit pumps more, ~ compared with ~ in summer (and each {0} takes up more heat), but only ~ pushes it "
        "through the valve instead of ~: ~ open compared with ~.".replace("{0}", "lb" if " lb/h" in text else "kg"),
        text,
    )
    assert [more, less] == [flows[0], flows[2]] and more > less
    assert [low_drop, high_drop] == [drops[0], drops[2]] and low_drop < high_drop
    assert [low_opening, high_opening] == [openings[0], openings[2]] and low_opening > high_opening
    stop, winter, summer, maximum, beyond = numbers(
        "up to the stop, ~. Winter, with ~, needs more opening for each load than summer with ~: the line of low head is steeper. It "
        "meets the stop at ~, the line of high head at ~.",
        text,
    )
    assert winter < summer and maximum < beyond
    [starved] = numbers("At ~ the valve would be fine in summer but starve the evaporator in winter.", text)
    assert maximum < starved < beyond
    steady, also, again, minimum, below = numbers(
        "the minimum stable opening, ~ (stated by the manufacturer). Summer, with ~, needs less opening for each load: the line of high head is "
        "flatter. It meets ~ at ~, the line of low head at ~.",
        text,
    )
    assert also == summer and again == steady and below < minimum < maximum and steady < stop
    [hunts] = numbers(
        "By the rule that the tables use, the valve would be steady at ~ in winter but hunt in summer.", text
    )
    assert below < hunts < minimum
    [capacity] = numbers("(On page 1 it is drawn at ~, the capacity at high head.)", text)
    assert capacity < minimum
    # What a student reads off the other line, from the table; a minimum is rounded up.
    assert beyond == pytest.approx(rated * stop / 100.0 * kv / needed[2], rel=5e-3)
    assert below == pytest.approx(rated * steady / 100.0 * kv / needed[0], rel=1e-2)
    near, far = numbers("opening from 10 % to 20 % multiplies the flow by ~, from 70 % to 80 % by ~.", text)
    assert [near, far] == [2.0, 1.14]
    assert "a sketch, not a measurement" in text
    return {
        "rated": rated,
        "capacity": capacity,
        "kv": kv,
        "low": needed[0],
        "high": needed[2],
        "stop": stop,
        "steady": steady,
        "max": maximum,
        "min": minimum,
    }


def check_calculation(text: str, page: dict[str, float]) -> None:
    """Again with a calculator: printed figures alone give the printed limit, rounded inwards."""
    name = coefficient(text)
    for limit, at, opening, rounding in (
        ("Maximum", "low", page["stop"], ROUND_FLOOR),
        ("Minimum", "high", page["steady"], ROUND_CEILING),
    ):
        sentence = (
            rf"{limit} load load × opening \({N} % is {N}\) × rated {name} ÷ required {name} at {at} head = {N} (?:kBtu/h|kW) × {N} × {N} ÷ {N} = "
            rf"{N} (?:kBtu/h|kW), printed as {N}: a {limit.lower()} is rounded {'down' if at == 'low' else 'up'}"
        )
        percent, said, load, share, kv, needed, result, shown = (
            Decimal(own) for own in re.search(sentence, text).groups()
        )
        assert said == share == percent / 100
        assert [float(own) for own in (load, kv, needed)] == [page["rated"], page["kv"], page[at]]
        assert float(share) * 100.0 == pytest.approx(opening)
        product = load * share * kv / needed
        assert rounded(product, len(result.as_tuple().digits), ROUND_HALF_EVEN) == result
        assert rounded(product, 3, rounding) == rounded(result, 3, rounding) == shown
        assert float(shown) == page[limit[:3].lower()]


def check_cycle_page(text: str) -> None:
    low, rating = numbers("At low head the valve has ~ of pressure drop, at the rating point ~.", text)
    assert low < rating
    effect, other = numbers("Colder liquid makes the refrigerating effect larger (~ instead of ~)", text)
    times, opening, before = numbers(
        "the required Kv is ~ times that of the rating point: the valve opens to ~ instead of ~ of its rated stroke",
        text,
    )
    assert effect > other and times > 1.0 and opening > before
    liquid = re.search(r"Liquid at the valve, \S+ (\S+) (\S+)", text).groups()
    colder, warmer = (float(own.replace("−", "-")) for own in liquid)
    assert colder < warmer


def check_limits_page(text: str, page: dict[str, float]) -> None:
    sets = "Left: the minimum load, set at high head. Right: the maximum load, set at low head."
    assert sets in text
    assert [float(own) for own in re.findall(rf"load {N} (?:kBtu/h|kW)", text)] == [page["min"], page["max"]]
    [asked] = numbers("A system is rated ~.", text)
    assert page["min"] < asked < page["max"]


def check_answers(text: str, page: dict[str, float]) -> None:
    summer, winter = numbers(
        "With ~ of pressure drop, a small opening passes a lot of liquid; with ~, on the right", text
    )
    left, right = numbers("Only ~ of pressure drop is left for the port, ~ on the left", text)
    assert winter < summer and [left, right] == [winter, summer]
    least, most = numbers("Yes: its window is ~ to ~.", text)
    assert [least, most] == [page["min"], page["max"]]
    for bulb, under, spring in re.findall(rf"(?:Left|right): {N} = {N} \+ {N}", text):
        assert Decimal(bulb) == Decimal(under) + Decimal(spring)


def check(part: tuple[str, str, str, str, str]) -> None:
    found = printed(*part)
    # Each page of the lesson is one page, on any paper in any unit.
    assert [text.split(" Notice.")[0][-40:] for text in found] and len(found) == 5
    check_first_page(found[0])
    page = check_second_page(found[1])
    # What the system of the minimum load does at high head, in proportion to the example's.
    of_example = numbers("at constant SST: ~ at high head, ~ at the rating point", found[0])
    assert page["capacity"] == pytest.approx(page["min"] * of_example[0] / of_example[1], rel=1.5e-2)
    check_calculation(found[1], page)
    check_cycle_page(found[2])
    check_limits_page(found[3], page)
    check_answers(found[4], page)


@pytest.mark.parametrize("part", PARTS, ids="-".join)
def test_no_sentence_contradicts_its_figures(part):
    check(part)


@pytest.mark.slow
def test_no_sentence_of_any_handout_contradicts_its_figures():
    for part in every_part():
        check(part)


def test_the_figures_of_the_demo_give_its_window_by_hand():
    """With three figures, as a student has them from other pages: 10.5 × 1.2 × 0.045 / 0.0355 and 10.5 × 0.25 × 0.045 / 0.0186."""
    page = check_second_page(printed(*PARTS[0])[1])
    assert [page["min"], page["max"]] == [6.35, 15.9]
    assert pytest.approx(page["max"], rel=0.01) == 15.97 and pytest.approx(page["min"], rel=0.01) == 6.35


def test_a_word_is_explained_before_it_is_used():
    """Where each word is first read, and the label of the row that explains it."""
    first, second = printed(*PARTS[0])[:2]
    whole = f"{first} {second}"
    for word, explained in {
        "evaporator": "Box, evaporator A cold room, and the coil of pipe in it",
        "condensing unit": "Condensing unit Compressor and condenser",
        "SST": "SST, constant SST Saturated suction temperature",
        "constant SST": "SST, constant SST",
        "head pressure": "Head pressure The pressure of the liquid from the condensing unit",
        "high head": "rises to 301 psig, the high head",
        "low head": "to 135 psig, the low head",
        "rating point": "Load, rating point",
        "capacity": "What it can do, its capacity",
        "port": "a hole, the port",
        "opening": "Valve, opening",
        "stop": "At 120 % the valve is fully open, at its stop",
        "pressure drop": "Pressure drop Pressure upstream minus",
        "superheat": "Superheat, bulb How much warmer",
        "starves": "it is too high: the valve starves",
        "system's line": "System's line What the condensing unit can do",
        "evaporator's line": "Evaporator's line What the evaporator can evaporate",
        "minimum stable opening": "at its minimum stable opening: with the pin nearer to its seat it hunts, its superheat swings",
        "required Cv": "Required Cv",
    }.items():
        start = whole.index(explained)
        use = re.search(rf"\b{word}\b", whole, re.IGNORECASE).start()
        assert use >= start, word
    for line in ("system's line", "evaporator's line", "constant SST"):
        # The graph is under the text.
        assert first.lower().index(line.lower()) < first.index("head pressure, psig")


def example(required: float, condition: str, load: float = 10000.0) -> ExampleRow:
    names = dict.fromkeys(ExampleRow.__annotations__, math.nan)
    return ExampleRow(
        **names | {"condition": condition, "load_w": load, "kv_rated_m3h": 0.05, "required_kv_m3h": required}
    )


def limit(name: str, condition: str, opening: float, load: float) -> LimitForces:
    names = dict.fromkeys(LimitForces.__annotations__, math.nan)
    return LimitForces(**names | {"limit": name, "condition": condition, "opening": opening, "load_w": load})


def test_a_limit_near_a_rounding_gets_more_digits():
    """Planted: 10 kW, Kv 0.05, a required Kv at which four figures would round the maximum to the wrong side."""
    characteristic = OpeningCharacteristic(stop=1.2)
    formatter = Formatter("SI")
    heads = {"low_head": example(0.0400004, "low_head"), "high_head": example(0.02, "high_head")}
    limits = {
        "min": limit("min", "high_head", 0.25, 10000.0 * 0.25 * 0.05 / 0.02),
        "max": limit("max", "low_head", 1.2, 10000.0 * 1.2 * 0.05 / 0.0400004),
    }
    found = limit_calculations(limits, heads, characteristic, formatter)
    assert found is not None
    assert (found["min"].result, found["min"].printed, found["max"].printed) == ("6.25000", "6.25", "14.9")
    assert found["max"].required_kv == "0.0400004" and found["max"].digits == 6
    # A limit that the rule does not give has none.
    assert (
        limit_calculations(limits | {"max": limits["max"]._replace(load_w=9000.0)}, heads, characteristic, formatter)
        is None
    )


def test_a_port_that_is_not_linear_is_calculated_with_its_share_of_kv():
    characteristic = OpeningCharacteristic(stop=1.2, points=((0.0, 0.0), (0.5, 0.3), (1.0, 1.0), (1.2, 1.1)))
    heads = {"low_head": example(0.04, "low_head"), "high_head": example(0.02, "high_head")}
    limits = {
        "min": limit("min", "high_head", 0.5, 10000.0 * 0.3 * 0.05 / 0.02),
        "max": limit("max", "low_head", 1.2, 10000.0 * 1.1 * 0.05 / 0.04),
    }
    found = limit_calculations(limits, heads, characteristic, Formatter("SI"))
    assert found is not None
    assert [(found[name].share, found[name].printed, found[name].is_share_opening) for name in ("min", "max")] == [
        ("0.3", "7.50", False),
        ("1.1", "13.7", False),
    ]


def of_other_limit(**changed: object) -> DataSet:
    """The demo with a maximum that something else sets."""
    data = worked_data()
    frame = data.limit_forces.copy()
    own = (frame["limit"] == "max") & (frame["family"] == "alder")
    for name, value in changed.items():
        frame.loc[own, name] = frame.loc[own, "load_w"] * value if name == "load_w" else value
    return dataclasses.replace(data, limit_forces=frame)


@pytest.mark.parametrize(
    ("reason", "clause"),
    [
        ("superheat", "at maximum superheat the valve opens no further"),
        ("mop", "the bulb charge is above its MOP and opens the valve no further"),
    ],
)
def test_where_something_else_sets_the_maximum_the_page_says_so(reason, clause):
    data = of_other_limit(limit_reason=reason, opening=0.9, load_w=0.9 / 1.2)
    lesson, publication = lesson_of(data, *PARTS[0][:4])
    text = pages_of(lesson, publication, "letter")[1]
    load, opening = numbers(f"Maximum load ~, set at low head at ~ open: {clause}.", text)
    assert (load, opening) == (11.9, 90.0)
    # Nothing is said of the stop, and the calculation has the opening that is printed.
    assert "meets the stop" not in text and "stop 120" not in text
    assert "× 0.9 × 0.05202 ÷ 0.04109 = 11.95 kBtu/h, printed as 11.9" in text


def test_where_superheat_sets_the_minimum_the_page_says_so():
    data = worked_data()
    frame = data.limit_forces.copy()
    own = (frame["limit"] == "min") & (frame["family"] == "alder")
    frame.loc[own, ["limit_reason", "opening"]] = ["floodback", 0.3]
    frame.loc[own, "load_w"] *= 0.3 / 0.25
    lesson, publication = lesson_of(dataclasses.replace(data, limit_forces=frame), *PARTS[0][:4])
    text = pages_of(lesson, publication, "letter")[1]
    load, opening = numbers(
        "Minimum load ~, set at high head at ~ open: closing further would drop superheat below the minimum stable superheat",
        text,
    )
    assert (load, opening) == (7.62, 30.0)
    assert "minimum stable opening" not in text
    assert "10.49 kBtu/h × 0.3 × 0.05202 ÷ 0.02151 = 7.611 kBtu/h, printed as 7.62" in text


def by_loop() -> DataSet:
    """The demo with a minimum load that the loop sets at the rating point: 65 % at low head, 41 % there, 33 % at high head."""
    data = worked_data()
    first = dict(zip(("family", "group", "application"), PARTS[0][:3], strict=True))
    heads = data.example[(data.example[list(first)] == pd.Series(first)).all(axis=1)].set_index("condition")
    rating = heads.loc["rating"]
    forces, curve = data.limit_forces.copy(), data.balance.copy()
    own = (forces["limit"] == "min") & (forces[list(first)] == pd.Series(first)).all(axis=1)
    load = rating["load_w"] * 0.41 * rating["kv_rated_m3h"] / rating["required_kv_m3h"]
    changed = {"limit_reason": "hunts", "condition": "rating", "opening": 0.41, "load_w": load}
    for name in ("pressure_drop_pa", "head_pressure_pa"):
        changed[name] = rating[name]
    for name, value in changed.items():
        forces.loc[own, name] = value
    pressures = heads["head_pressure_pa"][["low_head", "rating", "high_head"]]
    curve["min_opening"] = np.interp(curve["head_pressure_pa"], pressures, [0.65, 0.41, 0.33])
    return dataclasses.replace(data, limit_forces=forces, balance=curve)


def test_where_the_loop_sets_the_minimum_each_head_has_its_own():
    lesson, publication = lesson_of(by_loop(), *PARTS[0][:4])
    _, text, _, limits, key = pages_of(lesson, publication, "letter")
    low, low_load, rating, rating_load, high, high_load, load = numbers(
        "at ~ open at low head (~), ~ at the rating point (~), ~ at high head (~). With less load the valve hunts there. A valve must work "
        "at every head, so the largest of these loads counts: ~, set at the rating point.",
        text,
    )
    assert (low, rating, high) == (65.0, 41.0, 33.0)
    needed, page = numbers("Required Cv ~ ~ ~", text), numbers("A system with a load of ~", text)
    for opening, found, required in zip((low, rating, high), (low_load, rating_load, high_load), needed, strict=True):
        assert found == pytest.approx(page[0] * opening / 100.0 * 0.05202 / required, rel=1e-2)
    assert load == rating_load >= max(low_load, high_load)
    assert "here 65 % at low head and 33 % at high head" in text
    for head, opening in (("low head (winter)", 65), ("rating point", 41), ("high head (summer)", 33)):
        assert re.search(rf"{re.escape(head)}, \d+ psi hunts below {opening} %", text)
    # Nothing is left of the rule of one opening for all heads.
    for wrong in ("near its seat: hunts", "Near its seat", "minimum stable opening", "stated by the manufacturer"):
        assert wrong not in text
    assert "hunting of valve and coil, or liquid that floods back?" in limits
    assert "minimum stable opening" not in limits
    assert numbers("hunting begins at the highest load: below ~ valve and coil hunt at the rating point", key) == [load]


def test_lines_of_a_loop_are_marked_where_each_begins_to_hunt():
    lesson, _ = lesson_of(by_loop(), *PARTS[0][:4])
    drawing = opening_graph(lesson, lesson.both, 146.0).drawing
    # No band of one opening for all heads; the loads beyond the window are at their own lines.
    assert not shapes(drawing, "hunts")
    assert {lesson.both.loads["min"], lesson.both.loads["max"]} <= set(texts(drawing))
    others = [load_at(lesson, lesson.both.high, head) for head in ("rating", "high_head")]
    assert others[0] != others[1] and set(others) <= set(texts(drawing))


def test_a_narrow_window_has_its_loads_beside_it_and_no_name():
    loads = np.linspace(0.0, 33.0, 12)
    lines = [OpeningLine(load=loads, opening=slope * loads, name="") for slope in (8.6, 3.8)]
    for least, expected in ((9.57, {"9.57", "11.6"}), (11.0, {"11.0", "11.6"}), (4.0, {"4.0", "11.6", "load window"})):
        limits = [
            OpeningLimit(opening=opening, load=load, name="", printed=str(load), others=("", ""))
            for opening, load in ((41.0, least), (100.0, 11.6))
        ]
        drawing = opening_against_load(lines, tuple(limits), "kBtu/h", (493.0, 146.0))
        found = {own.text: own for own in labels(drawing) if own.text in {*expected, "load window"}}
        assert set(found) == expected
        ends = sorted((own.x, own.x + text_width(own.text, own.face, own.size)) for own in found.values())
        assert all(end < start for (_, end), (start, _) in itertools.pairwise(ends))


def test_where_the_sst_is_balanced_nothing_is_said_of_a_constant_one():
    data = worked_data()
    frame = data.balance.copy()
    # An evaporator that does more the lower the head pressure is, as its SST falls.
    frame["evaporator_capacity_w"] *= 1.2 - 0.2 * frame["head_pressure_pa"] / frame["head_pressure_pa"].max()
    lesson, publication = lesson_of(dataclasses.replace(data, balance=frame), *PARTS[0][:4])
    text = pages_of(lesson, publication, "letter")[0]
    assert "constant SST" not in text.lower().replace("sst", "SST") and "SST, balanced SST" in text
    low, rating, high = numbers(
        "What the evaporator can evaporate: ~ at low head, ~ at the rating point, ~ at high head.", text
    )
    assert low > rating > high


def test_a_limit_that_opening_does_not_give_has_no_calculation():
    lesson, publication = lesson_of(of_other_limit(limit_reason="mop", opening=0.9, load_w=0.7), *PARTS[0][:4])
    text = pages_of(lesson, publication, "letter")[1]
    assert "Both limits, calculated" not in text and "printed as" not in text
    assert "the bulb charge is above its MOP" in text and "the minimum load is set at high head" in text


def test_limits_at_confidence_leave_their_part_of_the_page_out():
    data = worked_data()
    shown = dataclasses.replace(data.catalogue.confidence, is_printed=True)
    lesson, publication = lesson_of(with_inputs(data, confidence=shown), *PARTS[0][:4])
    first, second, *_ = pages_of(lesson, publication, "letter")
    assert lesson.both is None and BothLimits.of(lesson.figures) is None
    assert "Evaporator's line" in first and "Hunting" in second and "Minimum load" not in second


def test_lines_of_openings_meet_their_limits_where_the_loads_are():
    loads = np.linspace(0.0, 10.0, 11)
    lines = tuple(
        OpeningLine(load=loads, opening=slope * loads, name=name)
        for slope, name in ((12.0, "low head"), (5.0, "high head"))
    )
    limits = (
        OpeningLimit(opening=25.0, load=5.0, name="minimum stable opening 25 %", printed="5.00", others=("2.08", "")),
        OpeningLimit(opening=120.0, load=10.0, name="stop 120 %", printed="10.0", others=("", "24.0")),
    )
    drawing = opening_against_load(lines, limits, "kW", (480.0, 160.0))
    assert {"5.00", "10.0", "hunts", "low head", "high head", "load window"} <= set(texts(drawing))
    # What is shaded is between both lines, from the minimum load to the maximum.
    [window] = [points(own) for own in shapes(drawing) if own.fill == design.TINT_LIGHT]
    # What is hatched is cut by the box of the axes.
    (left, bottom), (right, top) = points(Shape(path=shapes(drawing, "hunts")[0].clips[0]))
    minimum, maximum = (end(x for x, _ in window) for end in (min, max))
    foot, stop = (end(y for _, y in window) for end in (min, max))
    assert len(window) == 4 and sum(math.isclose(x, minimum) for x, _ in window) == 2
    # The line of high head is at 25 % with 5, that of low head at 120 % with 10: twice as far from the axis.
    assert maximum - left == pytest.approx(2.0 * (minimum - left), rel=1e-3)
    assert stop - bottom == pytest.approx(120.0 / 25.0 * (foot - bottom), rel=1e-3)
    assert maximum < right and stop < top


@pytest.mark.parametrize(
    ("low", "high", "round_one"),
    [(15.9, 30.4, "20"), (3.32, 6.35, "5"), (5.07, 6.26, "6"), (0.98, 1.86, "1.5"), (95.0, 205.0, "150")],
)
def test_an_example_of_a_load_is_a_round_one_between_the_limits(low, high, round_one):
    assert round_between(low, high) == round_one


def test_the_sketch_of_superheat_is_a_sketch_and_the_same_each_time():
    drawing = superheat_in_time((480.0, 70.0))
    assert drawing == superheat_in_time((480.0, 70.0))
    assert not any(re.search("[0-9]", text) for text in texts(drawing))
    assert {"well open: steady", "near its seat: hunts"} <= set(texts(drawing))
