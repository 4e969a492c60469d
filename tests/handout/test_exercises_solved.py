"""Every exercise solved from the printed sheet alone, against the printed answer key, the graph and the exact figures."""

from __future__ import annotations

import collections
import dataclasses
import functools
import io
import math
import re

import pandas as pd
import pytest

from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.model.exercise_plan import KINDS, ExercisePlan
from tablegen.model.publications import Combination
from tablegen.report.publications.handout import print_answer_key, print_exercises
from tablegen.tables.exercises import exercise_frames
from tests.demo import demo_data, with_inputs
from tests.handout.printed_sheet import Printed, exercises, superheat_graph
from tests.handout.solver import ZONES, numbers, repeated, solve
from tests.us_units import W_PER_KBTU

HANDOUTS = {"IP": "handout", "SI": "handout-letter-si"}
# What one printed unit is in SI, by the columns of the data set.
PRINTED = {
    "IP": {"_w": W_PER_KBTU, "_kg_s": 0.45359237 / 3600.0, "_m3h": 1.0 / 1.156, "_k": 1.0 / 1.8},
    "SI": {"_w": 1000.0, "_kg_s": 1.0 / 3600.0, "_m3h": 1.0, "_k": 1.0},
}
# The exact figures of an answer, by kind, in its order.
EXACT = {
    "mass_flow": ("rated_mass_flow_kg_s", "mass_flow_kg_s"),
    "required_kv": ("required_kv_m3h", "kv_share"),
    "both_limits": ("min_load_w", "max_load_w"),
    "static": ("bulb_temperature_k", "static_superheat_k"),
    "spring": ("superheat_k",),
    "zone": ("superheat_k",),
    "heads": ("load_ratio",),
}


@functools.cache
def frames() -> dict[str, pd.DataFrame]:
    return {name: getattr(demo_data(), name) for name in FRAMES}


def of_seeds(units: str, seeds: range, part: Combination | None = None, **plan: object) -> tuple[DataSet, list[str]]:
    """The demo with a handout for each seed, of its own part or another, and their names."""
    data = demo_data()
    taught = {} if part is None else dataclasses.asdict(part)
    first = next(own for own in data.catalogue.handouts if own.printed.name == HANDOUTS[units])
    handouts = tuple(
        dataclasses.replace(
            first,
            seed=seed,
            printed=dataclasses.replace(first.printed, name=f"seed-{seed}"),
            exercises=ExercisePlan(**plan),
            **taught,
        )
        for seed in seeds
    )
    made = exercise_frames(dataclasses.replace(data.catalogue, handouts=handouts), frames())
    own = {"exercises": made.exercises, "exercise_tables": made.tables}
    drawn = dataclasses.replace(data, **{name: frame_of(csv_of(frame)) for name, frame in own.items()})
    return with_inputs(drawn, handouts=handouts), [own.printed.name for own in handouts]


def check(units: str, seeds: range, part: Combination | None = None, **plan: object) -> collections.Counter[str]:
    """Solve every exercise of some seeds; count them by what the answer is."""
    data, names = of_seeds(units, seeds, part, **plan)
    counted: collections.Counter[str] = collections.Counter()
    for name in names:
        sheet, key = io.BytesIO(), io.BytesIO()
        print_exercises(data, name, sheet)
        print_answer_key(data, name, key)
        asked, answered = exercises(sheet.getvalue()), exercises(key.getvalue())
        rows = data.exercises[(data.exercises["publication"] == name) & (data.exercises["exercise"] > 0)]
        assert [own.number for own in asked] == [own.number for own in answered] == rows["exercise"].tolist()
        graph = superheat_graph(sheet.getvalue()) if any(own.kind == "zone" for own in asked) else None
        for own, answer, (_, row) in zip(asked, answered, rows.iterrows(), strict=True):
            assert (own.kind, own.text, own.table) == (row["exercise_kind"], answer.text, answer.table)
            solution = solve(own, graph)
            agrees(name, own, answer, solution)
            counted["results of lines"] += (results := digits_repeat(answer))
            assert results >= RESULTS.get(own.kind, 0)
            is_near_the_exact(row, answer, units)
            counted[f"{own.kind}: {', '.join(solution.words) if own.kind in WORDS else ''}"] += 1
            counted["exercises"] += 1
    return counted


# How many results a calculation has at least.
RESULTS = {"pick": 2, "mass_flow": 3, "required_kv": 2, "both_limits": 2, "static": 3, "spring": 3, "heads": 1}
WORDS = ("between", "zone", "spring", "both_limits")


def agrees(name: str, own: Printed, answer: Printed, solution) -> None:
    """The key has the figures and the words of the solution."""
    printed = numbers(answer.answer)
    for figure, found in zip(solution.figures, printed, strict=False):
        allowed = solution.tolerance if solution.is_absolute else solution.tolerance * abs(figure)
        assert found == pytest.approx(figure, abs=allowed), (name, own.text, answer.answer)
    assert len(printed) >= len(solution.figures)
    for words in solution.words:
        assert words in answer.answer, (name, own.text, answer.answer)
    # And no other verdict.
    if own.kind in ("zone", "spring"):
        assert [words for words in ZONES if words in answer.answer] == list(solution.words)


def digits_repeat(answer: Printed) -> int:
    """Each line of the calculation gives its own last digit; return how many results there are."""
    found = [own for step in answer.steps for own in repeated(step)]
    for text, value in found:
        places = len(text.partition(".")[2])
        assert abs(float(text) - value) <= 0.5 * 10.0**-places * (1.0 + 1e-6), (answer.steps, text, value)
    return len(found)


def is_near_the_exact(row: pd.Series, answer: Printed, units: str) -> None:
    """Rounding on the way costs less than a per cent of a figure, or a tenth of a degree and the last digit."""
    for column, found in zip(EXACT.get(row["exercise_kind"], ()), numbers(answer.answer), strict=False):
        exact = float(row[column])
        if math.isnan(exact):
            continue
        if column == "bulb_temperature_k":
            exact = exact * 1.8 - 459.67 if units == "IP" else exact - 273.15
        elif column == "kv_share":
            exact *= 100.0
        else:
            ending = next((end for end in PRINTED[units] if column.endswith(end)), "")
            exact /= PRINTED[units].get(ending, 1.0)
        if column.endswith("_k"):
            assert found == pytest.approx(exact, abs=0.2)
        else:
            assert found == pytest.approx(exact, rel=0.01)


@pytest.mark.parametrize("units", HANDOUTS)
def test_exercises_of_a_few_seeds_are_solved_from_the_sheet(units):
    counted = check(units, range(2))
    assert counted["exercises"] == 24
    assert {own.split(":")[0] for own in counted} >= set(KINDS)


@pytest.mark.slow
@pytest.mark.parametrize("units", HANDOUTS)
def test_exercises_of_fifty_seeds_are_solved_from_the_sheet(units):
    counted = check(units, range(100, 150))
    print(units, *sorted(counted.items()), sep="\n")
    assert counted["exercises"] == 600
    # Every verdict appears, none is rare.
    for kind, count in (("zone", 2), ("spring", 4)):
        verdicts = {own: n for own, n in counted.items() if own.startswith(kind)}
        assert len(verdicts) == count
        assert min(verdicts.values()) >= 5


@pytest.mark.slow
@pytest.mark.parametrize("difficulty", ["easy", "hard"])
@pytest.mark.parametrize("units", HANDOUTS)
def test_exercises_of_each_difficulty_are_solved(units, difficulty):
    assert check(units, range(10), difficulty=difficulty, count=16)["exercises"] == 160


@pytest.mark.slow
@pytest.mark.parametrize("units", HANDOUTS)
def test_exercises_of_every_table_are_solved(units):
    catalogue = demo_data().catalogue
    parts = [own for own in catalogue.combinations if catalogue.families[own.family].kind == "thermostatic"]
    assert len(parts) > 15
    for part in parts:
        assert check(units, range(2), part)["exercises"] == 24


@pytest.mark.slow
def test_figures_given_in_one_sheet_are_round_in_its_units():
    """Loads of three figures and whole degrees, whatever the rows of the application are."""
    for units, (degree, offset) in {"IP": (1.8, -459.67), "SI": (1.0, -273.15)}.items():
        data, _ = of_seeds(units, range(2))
        drawn = data.exercises[(data.exercises["exercise"] > 0) & (data.exercises["exercise_kind"] != "zone")]
        for column in ("sst_k", "warmer_sst_k", "actual_sst_k"):
            temperatures = drawn[column].dropna() * degree + offset
            assert len(temperatures)
            assert ((temperatures - temperatures.round()).abs() < 1e-6).all()
        # In plain degrees of the other system they are not.
        other = (drawn["sst_k"].dropna() - 273.15) if units == "IP" else drawn["sst_k"].dropna() * 1.8 - 459.67
        assert ((other - other.round()).abs() > 0.01).any()


@pytest.mark.slow
def test_answers_vary_from_seed_to_seed():
    data, _ = of_seeds("IP", range(12), kinds=("static", "spring", "zone"), count=3)
    rows = data.exercises[data.exercises["exercise"] > 0]
    static = rows.loc[rows["exercise_kind"] == "static", "static_superheat_k"].round(1)
    assert static.nunique() >= 9
    assert set(rows["zone"]) - {""} == {"steady", "hunts", "starved", "flooding"}


@pytest.mark.slow
def test_which_refrigerants_limit_varies_from_seed_to_seed():
    """Of the demo's group the same two set the limits of every row: the exercise leaves some out, and nothing else changes."""
    data, _ = of_seeds("IP", range(24), kinds=("binding", "rounding"), count=2)
    drawn = data.exercises[data.exercises["exercise_kind"] == "binding"]
    pairs = drawn[["min_member", "max_member"]].value_counts()
    assert len(pairs) >= 5 and pairs.max() <= 10
    # What is drawn after it: by the seeds as it was when the exercise had every refrigerant.
    after = data.exercises[data.exercises["exercise_kind"] == "rounding"]
    assert after["size"].astype(str).tolist()[:6] == ["11", "180", "32", "63", "180", "45"]


def test_sizes_are_called_as_in_print():
    data, [name] = of_seeds("IP", range(1), kinds=("pick", "rounding"), count=4)
    family = data.catalogue.families["alder"]
    sizes = tuple(dataclasses.replace(size, display_name=f"N{size.name}") for size in family.sizes)
    families = {**data.catalogue.families, "alder": dataclasses.replace(family, sizes=sizes)}
    called = with_inputs(data, families=families, handouts=data.catalogue.handouts)
    sheet, key = io.BytesIO(), io.BytesIO()
    print_exercises(called, name, sheet)
    print_answer_key(called, name, key)
    for own in exercises(sheet.getvalue()):
        if own.kind == "pick":
            assert own.table[0].split()[1:] == [size.display_name for size in sizes]
        else:
            assert re.search(r"Size N\d+ at", own.text)
    assert [own.answer[:6] for own in exercises(key.getvalue()) if own.kind == "pick"] == ["Size N"] * 2
