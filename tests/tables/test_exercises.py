"""Every answer of the handout's exercises, worked out again from the data set by other means."""

import dataclasses
import functools
import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import numpy as np
import pandas as pd
import pytest

from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.dataset.dataset import FRAMES
from tablegen.model.exercise_plan import KINDS_OF, ExercisePlan
from tablegen.tables.exercises import exercise_frames
from tests.demo import demo_catalogue, demo_data
from tests.us_units import W_PER_KBTU

# Those of the ordinary run; the slow one draws two dozen others.
SEEDS = range(2, 6)
PARTS = {
    "demo": ("alder", "R448A-family", "walk_in_medium"),
    "one member": ("alder", "R134a", "walk_in_medium"),
    "low": ("rowan", "R404A-R507A", "walk_in_medium_fixed"),
}


@functools.cache
def frames() -> dict[str, pd.DataFrame]:
    return {name: getattr(demo_data(), name) for name in FRAMES}


@functools.cache
def made(seed: int, part: str = "demo") -> tuple[pd.DataFrame, pd.DataFrame]:
    """The exercises of a seed and their tables as a data set contains them."""
    catalogue = demo_catalogue()
    family, group, application = PARTS[part]
    handout = dataclasses.replace(catalogue.handouts[0], seed=seed, family=family, group=group, application=application)
    found = exercise_frames(dataclasses.replace(catalogue, handouts=(handout,)), frames())
    return frame_of(csv_of(found.exercises)), frame_of(csv_of(found.tables))


def drawn(seed: int, part: str = "demo") -> pd.DataFrame:
    """The exercises of a seed."""
    return made(seed, part)[0]


@pytest.fixture(params=[SEEDS, pytest.param(range(6, 30), marks=pytest.mark.slow)], ids=["few", "many"])
def seeds(request) -> range:
    return request.param


def of_kind(seeds: range, *kinds: str) -> list[pd.Series]:
    rows = [row for part in PARTS for seed in seeds for _, row in drawn(seed, part).iterrows()]
    found = [row for row in rows if row["exercise_kind"] in kinds]
    assert len(found) >= len(seeds)
    return found


def part_of(frame: pd.DataFrame, row: pd.Series, **more: object) -> pd.DataFrame:
    """Rows of the exercise's part, and of further columns' values."""
    names = {c: row[c] for c in ("family", "group", "application") if c in frame} | more
    for column, value in names.items():
        own = frame[column] == value if isinstance(value, str) else (frame[column] - value).abs() < 1e-6
        frame = frame[own]
    return frame


def broken_limits(row: pd.Series) -> list[str]:
    """What the valve does, by its openings and superheats: opened beyond its maximum it starves at any superheat."""
    broken = {
        "hunts": row["opening"] < row["min_opening"],
        "flooding": row["superheat_k"] < row["min_superheat_k"],
        "starved": row["superheat_k"] > row["max_superheat_k"] or row["opening"] > row["max_opening"],
    }
    return [name for name, is_broken in broken.items() if is_broken]


def three(value_w: float, rounding: str) -> Decimal:
    """A load in kBtu/h, cut to three figures."""
    value = Decimal(value_w / W_PER_KBTU)
    return value.quantize(Decimal(1).scaleb(value.adjusted() - 2), rounding=rounding)


def members(row: pd.Series) -> list[str]:
    return list(demo_data().catalogue.groups[row["group"]].members)


def test_the_demo_has_twelve_exercises_in_the_order_of_the_plan():
    exercises = demo_data().exercises
    # One handout for each way of printing it, with loads round in its own unit.
    assert len(exercises) == 4 * 15
    rows = exercises[exercises["publication"] == "handout"]
    assert rows["exercise"].tolist() == [0, 0, 0, *range(1, 13)]
    assert tuple(rows["exercise_kind"])[3:] == KINDS_OF["medium"]
    seed = demo_catalogue().handouts[0].seed
    pd.testing.assert_frame_equal(rows, drawn(seed))


@pytest.mark.slow
def test_the_same_seed_gives_the_same_exercises_and_another_seed_others():
    first, again = (exercise_frames(demo_catalogue(), frames()) for _ in range(2))
    assert [own.to_csv() for own in again] == [own.to_csv() for own in first]
    texts = {drawn(seed)[drawn(seed)["exercise"] > 0].to_csv() for seed in SEEDS}
    assert len(texts) == len(SEEDS)
    first, second = (drawn(seed).set_index("exercise").loc[1:, "load_w"] for seed in (0, 1))
    assert not any(a == b for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize("part", PARTS)
def test_no_exercise_is_repeated(part):
    for seed in SEEDS[::2]:
        rows = drawn(seed, part)
        rows = rows[rows["exercise"] > 0].drop(columns="exercise")
        assert len(rows) == 12
        assert not rows.duplicated().any()


@pytest.mark.slow
def test_a_size_is_picked_by_its_margin(seeds):
    for row in of_kind(seeds, "pick"):
        windows = part_of(demo_data().group_windows, row, sst_k=row["sst_k"])
        load = Decimal(f"{row['load_w'] / W_PER_KBTU:.3g}")
        assert float(load) * W_PER_KBTU == pytest.approx(row["load_w"], rel=1e-11)
        margin = {}
        for _, w in windows.dropna(subset=["max_load_w"]).iterrows():
            # As a student does it, from the printed figures.
            minimum, maximum = three(w["min_load_w"], ROUND_CEILING), three(w["max_load_w"], ROUND_FLOOR)
            if minimum <= load <= maximum:
                margin[w["size"]] = min(load / minimum, maximum / load)
        order = sorted(margin, key=margin.__getitem__, reverse=True)
        assert [*order, ""][:2] == [row["first_size"], row["second_size"]]
        for name, size in zip(("first", "second"), order, strict=False):
            window = windows[windows["size"] == size].iloc[0]
            assert row[f"{name}_min_margin"] == pytest.approx(row["load_w"] / window["min_load_w"], rel=1e-9)
            assert row[f"{name}_max_margin"] == pytest.approx(window["max_load_w"] / row["load_w"], rel=1e-9)
        first = windows[windows["size"] == order[0]].iloc[0]
        assert (row["min_load_w"], row["max_load_w"]) == (first["min_load_w"], first["max_load_w"])


@pytest.mark.slow
def test_rounding_shows_what_the_nearest_figure_would_promise(seeds):
    for row in of_kind(seeds, "rounding"):
        (window,) = part_of(demo_data().group_windows, row, sst_k=row["sst_k"], size=row["size"]).itertuples()
        assert (row["min_load_w"], row["max_load_w"]) == (window.min_load_w, window.max_load_w)
        for value, safe in ((row["min_load_w"], ROUND_CEILING), (row["max_load_w"], ROUND_FLOOR)):
            assert three(value, "ROUND_HALF_EVEN") != three(value, safe)
            # From five printed figures as from all.
            five = float(f"{value / W_PER_KBTU:.5g}") * W_PER_KBTU
            assert three(five, safe) == three(value, safe)


def test_mass_flow_and_required_kv_follow_from_the_states(seeds):
    for row in of_kind(seeds, "worked", "mass_flow", "required_kv"):
        families = demo_data().catalogue.families
        states = part_of(demo_data().states, row, sst_k=row["sst_k"], refrigerant=row["refrigerant"])
        states = states[(states["flow_law"] == families[row["family"]].flow_law) & (states["limit"] != "min")]
        at = states.drop_duplicates("condition").set_index("condition")
        rating, here = at.loc["rating"], at.loc[row["condition"]]
        assert row["refrigerant"] in members(row)
        effect = rating["vapor_enthalpy_j_kg"] - rating["liquid_enthalpy_j_kg"]
        flow = row["load_w"] / effect * here["flow_ratio"]
        assert row["rating_effect_j_kg"] == pytest.approx(effect, rel=1e-9)
        assert row["rated_mass_flow_kg_s"] == pytest.approx(row["load_w"] / effect, rel=1e-9)
        assert row["mass_flow_kg_s"] == pytest.approx(flow, rel=1e-9)
        assert row["pressure_drop_pa"] == pytest.approx(row["inlet_pressure_pa"] - row["outlet_pressure_pa"], rel=1e-9)
        drop_bar = here["effective_pressure_drop_pa"] / 1e5
        kv = flow * 3600.0 / math.sqrt(1000.0 * here["liquid_density_kg_m3"] * drop_bar)
        assert row["required_kv_m3h"] == pytest.approx(kv, rel=1e-9)
        # And as the tables have it, by the required Kv.
        by_required_kv = row["load_w"] / 1000.0 * here["required_kv_m3h_per_kw"]
        assert row["required_kv_m3h"] == pytest.approx(by_required_kv, rel=1e-9)
        (size,) = (s for s in families[row["family"]].sizes if s.name == row["size"])
        assert row["kv_share"] == pytest.approx(kv / size.kv_rated_m3h, rel=1e-9)


def test_zone_is_named_by_the_one_limit_that_is_broken(seeds):
    zones = set()
    for row in of_kind(seeds, "zone"):
        curve = part_of(demo_data().superheat, row, condition=row["condition"])
        if math.isnan(row["superheat_k"]):
            # Beyond the end of the curve.
            assert row["load_w"] > curve.loc[curve["superheat_k"].notna(), "load_w"].max()
            assert row["opening"] > row["max_opening"]
            zones.add(row["zone"])
            continue
        assert row["superheat_k"] == pytest.approx(np.interp(row["load_w"], curve["load_w"], curve["superheat_k"]))
        assert row["opening"] == pytest.approx(np.interp(row["load_w"], curve["load_w"], curve["opening"]))
        assert broken_limits(row) == [row["zone"]] * (row["zone"] != "steady")
        zones.add(row["zone"])
    assert {"steady", "hunts", "starved"} <= zones


def test_binding_members_are_those_of_the_narrowest_windows(seeds):
    for seed, part, row in [(s, p, row) for p in PARTS for s in seeds for _, row in drawn(s, p).iterrows()]:
        if row["exercise_kind"] != "binding":
            continue
        tables = made(seed, part)[1]
        listed = tables.loc[tables["exercise"] == row["exercise"], "refrigerant"].tolist()
        assert set(listed) <= set(members(row))
        windows = part_of(demo_data().windows, row, sst_k=row["sst_k"], size=row["size"])
        own = windows[windows["refrigerant"].isin(listed)].set_index("refrigerant")
        assert len(own) == len(listed) > 1
        assert (row["min_member"], row["max_member"]) == (own["min_load_w"].idxmax(), own["max_load_w"].idxmin())
        assert (row["min_load_w"], row["max_load_w"]) == (own["min_load_w"].max(), own["max_load_w"].min())
        minimum = sorted(three(v, ROUND_CEILING) for v in own["min_load_w"])
        maximum = sorted(three(v, ROUND_FLOOR) for v in own["max_load_w"])
        assert minimum[-1] > minimum[-2]
        assert maximum[0] < maximum[1]


def test_a_load_between_rows_is_covered_if_both_printed_rows_cover_it(seeds):
    verdicts = []
    for row in of_kind(seeds, "between"):
        windows = part_of(demo_data().group_windows, row, size=row["size"]).sort_values("sst_k")
        i = int(np.flatnonzero((windows["sst_k"] - row["sst_k"]).abs() < 1e-6)[0])
        pair = windows.iloc[i : i + 2]
        assert pair["sst_k"].iloc[1] == row["warmer_sst_k"]
        assert row["sst_k"] < row["actual_sst_k"] < row["warmer_sst_k"]
        load = Decimal(f"{row['load_w'] / W_PER_KBTU:.3g}")
        covered = [
            three(w["min_load_w"], ROUND_CEILING) <= load <= three(w["max_load_w"], ROUND_FLOOR)
            for _, w in pair.iterrows()
        ]
        assert all(covered) == (row["verdict"] == "yes")
        if row["verdict"] != "yes":
            assert any(covered)
            minimum = max(three(own, ROUND_CEILING) for own in pair["min_load_w"])
            assert (load < minimum) == (row["verdict"] == "below")
        assert row["common_min_load_w"] == pair["min_load_w"].max()
        assert row["common_max_load_w"] == pair["max_load_w"].min()
        verdicts.append(row["verdict"])
    assert min(verdicts.count(own) for own in ("yes", "above", "below")) >= len(seeds) / 4


def test_static_superheat_is_where_the_bulb_balances_evaporator_and_spring(seeds):
    for row in of_kind(seeds, "static"):
        catalogue = demo_data().catalogue
        windows = part_of(demo_data().windows, row, refrigerant=members(row)[0])
        curve = part_of(demo_data().charges, row, charge=windows["charge"].iloc[0])
        te = row["evaporating_temperature_k"]
        dew = float(catalogue.refrigerants[row["refrigerant"]].dew(np.asarray(te)).pressure_pa)
        assert row["evaporating_pressure_pa"] == pytest.approx(dew, rel=1e-9)
        closing = dew + row["spring_pressure_pa"]
        assert row["closing_pressure_pa"] == pytest.approx(closing, rel=1e-9)
        if curve["bulb_pressure_pa"].max() > closing:
            bulb = np.interp(closing, curve["bulb_pressure_pa"], curve["evaporating_temperature_k"])
            # A chord of the tabulated curve is within a fiftieth of a kelvin of it.
            assert row["bulb_temperature_k"] == pytest.approx(bulb, abs=0.02)
        assert row["bulb_temperature_k"] == pytest.approx(te + row["static_superheat_k"], rel=1e-11)


def test_both_limits_are_those_of_the_windows(seeds):
    verdicts = set()
    for row in of_kind(seeds, "both_limits"):
        window = part_of(demo_data().windows, row, sst_k=row["sst_k"], size=row["size"], refrigerant=row["refrigerant"])
        for limit in ("min", "max"):
            [load] = window[f"{limit}_load_w"]
            by_hand = row["load_w"] * row[f"{limit}_kv_share"] * row["kv_rated_m3h"] / row[f"{limit}_required_kv_m3h"]
            assert by_hand == pytest.approx(load, rel=1e-9)
        family = demo_data().catalogue.families[row["family"]].with_design_of(row["size"])
        # The valve never uses more than its stop allows, nor less than its minimum stable opening.
        shares = family.characteristic.share(
            np.array([family.elements[0].actuator.min_stable, family.characteristic.stop])
        )
        assert shares[0] - 1e-9 <= row["min_kv_share"] < row["max_kv_share"] <= shares[1] + 1e-9
        asked = row["asked_load_w"]
        expected = "too_large" if asked < row["min_load_w"] else "too_small" if asked > row["max_load_w"] else "covers"
        assert row["verdict"] == expected
        verdicts.add(expected)
    assert verdicts == {"covers", "too_small", "too_large"}


def test_a_turned_spring_balances_and_has_the_zone_of_its_limits(seeds):
    zones = set()
    for row in of_kind(seeds, "spring"):
        family = demo_data().catalogue.families[row["family"]]
        element = family.element_for(
            members(row)[0], demo_data().catalogue.applications[row["application"]].temperature_range
        )
        balance = dataclasses.replace(element.actuator.balance, spring_pa=row["spring_pressure_pa"])
        states = part_of(demo_data().states, row, sst_k=row["sst_k"], refrigerant=row["refrigerant"])
        state = states[(states["condition"] == row["condition"]) & (states["limit"] != "min")].iloc[0]
        opening = balance.opening(
            np.asarray(row["bulb_temperature_k"]),
            np.asarray(state["evaporating_pressure_pa"]),
            np.asarray(state["pressure_drop_pa"]),
        )
        assert float(opening) == pytest.approx(row["opening"], rel=1e-6)
        assert broken_limits(row) == [row["zone"]] * (row["zone"] != "steady")
        zones.add(row["zone"])
    assert zones == {"steady", "hunts", "flooding", "starved"}


@pytest.mark.parametrize("difficulty", KINDS_OF)
def test_number_kinds_and_difficulty_are_those_of_the_plan(difficulty):
    catalogue = demo_catalogue()
    plan = ExercisePlan(count=7, difficulty=difficulty)
    handout = dataclasses.replace(catalogue.handouts[0], exercises=plan)
    found = exercise_frames(dataclasses.replace(catalogue, handouts=(handout,)), frames()).exercises
    assert tuple(found["exercise_kind"][3:]) == plan.in_order == (KINDS_OF[difficulty] * 2)[:7]
    own = dataclasses.replace(handout, exercises=ExercisePlan(count=3, kinds=("heads", "pick")))
    found = exercise_frames(dataclasses.replace(catalogue, handouts=(own,)), frames()).exercises
    assert found["exercise_kind"].tolist()[3:] == ["heads", "pick", "heads"]


def test_a_fixed_head_covers_more_than_a_floating_one(seeds):
    for row in of_kind(seeds, "heads"):
        both = []
        for application, column in ((row["application"], "head"), (row["compared_application"], "compared_head")):
            named = row.copy()
            named["application"] = application
            window = part_of(demo_data().group_windows, named, sst_k=row["sst_k"], size=row["size"]).iloc[0]
            states = part_of(demo_data().states, named, condition="low_head", refrigerant=members(row)[0])
            assert row[f"{column}_pressure_pa"] == pytest.approx(states["head_pressure_pa"].iloc[0], rel=1e-9)
            both.append(window["max_load_w"])
        assert row["load_ratio"] == pytest.approx(both[1] / both[0], rel=1e-9)
        assert row["load_ratio"] > 1.1
        assert row["compared_application"] == "walk_in_medium_fixed"


@pytest.mark.slow
def test_a_single_narrow_row_gives_what_exercises_it_can():
    grouped, row = demo_data().group_windows, demo_data().exercises.iloc[0]
    one = part_of(grouped, row, sst_k=row["sst_k"], size=row["size"])
    assert len(one) == 1
    catalogue = dataclasses.replace(demo_catalogue(), handouts=demo_catalogue().handouts[:1])
    found = exercise_frames(catalogue, {**frames(), "group_windows": one}).exercises
    numbers = found["exercise"].tolist()[3:]
    assert numbers == list(range(1, len(numbers) + 1))
    assert {"mass_flow", "required_kv", "zone", "static"} <= set(found["exercise_kind"])
    assert not {"between", "heads"} & set(found["exercise_kind"])


@pytest.mark.parametrize("width", [1.001, 1.03, 1.12])
def test_windows_too_narrow_for_a_load_inside_give_other_exercises(width):
    """As where the loop of valve, coil and bulb sets the minimum load: of both limits only other loads are asked."""
    windows = frames()["windows"].copy()
    for name in ("min_load_w", "nominal_min_load_w"):
        windows[name] = windows[name.replace("min_load", "max_load")] / width
    catalogue = demo_catalogue()
    for seed in SEEDS:
        plan = ExercisePlan(count=6, kinds=("both_limits",))
        handout = dataclasses.replace(catalogue.handouts[0], seed=seed, exercises=plan)
        own = dataclasses.replace(catalogue, handouts=(handout,))
        found = exercise_frames(own, {**frames(), "windows": windows}).exercises
        assert (found["exercise_kind"][3:] == "both_limits").sum() >= 2
        assert {"too_small", "too_large"} >= set(found["verdict"].dropna())


@pytest.mark.slow
def test_a_valve_stable_only_when_wide_open_gives_other_exercises():
    catalogue = demo_catalogue()
    family = catalogue.families["alder"]
    elements = tuple(
        dataclasses.replace(own, actuator=dataclasses.replace(own.actuator, min_stable=0.9)) for own in family.elements
    )
    families = {**catalogue.families, "alder": dataclasses.replace(family, elements=elements)}
    plan = ExercisePlan(count=8, kinds=("spring",))
    handout = dataclasses.replace(catalogue.handouts[0], exercises=plan)
    own = dataclasses.replace(catalogue, families=families, handouts=(handout,))
    springs = exercise_frames(own, frames()).exercises.query("exercise_kind == 'spring'")
    assert set(springs["zone"]) <= {"hunts"}


def test_a_part_without_an_example_has_no_exercises():
    without = {**frames(), "example": frames()["example"].iloc[:0]}
    assert exercise_frames(demo_catalogue(), without).exercises.empty
    assert exercise_frames(dataclasses.replace(demo_catalogue(), handouts=()), frames()).exercises.empty
