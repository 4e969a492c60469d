"""The data set against a second calculation that shares no code with the package (tests/independent)."""

from __future__ import annotations

import functools
import itertools
import math
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.physics.reasons import Reason
from tablegen.sweep.frames import LAW_COLUMNS
from tablegen.sweep.groups import group_windows
from tablegen.sweep.sweep import SweepOptions, sweep
from tests.demo import demo_data, shared
from tests.independent.reading import Configs
from tests.independent.recalc import REGISTRY, Recalculation

ROOT = Path(__file__).resolve().parents[2]
CATALOGUES = {
    "demo": ROOT / "configs" / "catalogue.yaml",
    "hard": ROOT / "tests" / "data" / "hard_cases" / "catalogue.yaml",
    "derived": ROOT / "tests" / "data" / "derived_limits" / "catalogue.yaml",
}
RELATIVE = 1e-6
# Differences may pass through zero, where a relative figure says nothing.
SLACK = {"_k": 1e-6, "_pa": 0.01, "_j_kg": 0.05, "quality": 1e-9, "_ratio": 1e-9}
TIE = 1e-9

STATE_KEYS = [
    "refrigerant",
    "application",
    *LAW_COLUMNS,
    "sst_k",
    "suction_response",
    "condition",
    "limit",
    "open_share",
]
WINDOW_KEYS = ["family", "size", "refrigerant", "application", "sst_k"]
GROUP_KEYS = ["family", "size", "group", "application", "sst_k"]
LOADS = ["min_load_w", "max_load_w", "middle_load_w"]
SUPERHEATS = ["superheat_low_head_k", "superheat_high_head_k", "superheat_swing_k"]
SIDES = ("min", "max")


@dataclass(frozen=True)
class Both:
    """One catalogue, computed twice."""

    own_states: pd.DataFrame
    own_windows: pd.DataFrame
    states: pd.DataFrame
    windows: pd.DataFrame
    group_windows: pd.DataFrame


# Every how many suction temperatures of the demo are recalculated in the ordinary run: most are much like their
# neighbors, and each takes the property library some hundred calls.
STEP = 6


@functools.cache
def computed(name: str, step: int) -> Both:
    """A catalogue computed twice, at every so many of its suction temperatures."""
    own_states, own_windows = shared(f"recalculated-{name}-{step}", lambda: recalculated(name, step))
    frames = by_the_package(name)
    if step > 1:
        kept = set(zip(own_states["application"], own_states["sst_k"].round(6), strict=True))
        frames = [f[[key in kept for key in zip(f["application"], f["sst_k"].round(6), strict=True)]] for f in frames]
    return Both(own_states, own_windows, *frames)


def recalculated(name: str, step: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    """States and windows by the second calculation."""
    again = Recalculation(CATALOGUES[name], REGISTRY, step)
    return pd.DataFrame(again.states()), pd.DataFrame(again.windows())


@functools.cache
def by_the_package(name: str) -> list[pd.DataFrame]:
    """States, windows and group windows; of the hard cases nothing else, for it takes a few times as long."""
    if name == "demo":
        data = demo_data()
        return [data.states, data.windows, data.group_windows]
    catalogue = load_catalogue(CATALOGUES[name])
    states, windows, _ = sweep(catalogue, SweepOptions())
    return [states, windows, group_windows(catalogue, windows)]


def indexed(frame: pd.DataFrame, keys: list[str]) -> pd.DataFrame:
    """Rows by key; floats in a key lose the digits in which two readers of a unit may differ."""
    made = frame.copy()
    for key in keys:
        if key in ("sst_k", "open_share") or (key in LAW_COLUMNS and key != "flow_law"):
            made[key] = made[key].astype(float).round(6).fillna(0.0)
    for column in made.columns.difference(["limits"]):
        if not pd.api.types.is_numeric_dtype(made[column]):
            made[column] = made[column].fillna("").astype(str)
    # One flat key: an index of eight levels is slow to look up row by row.
    made.index = pd.Index([" ".join(map(str, row)) for row in made[keys].to_numpy(dtype=object)])
    assert made.index.is_unique
    return made


def paired(own: pd.DataFrame, theirs: pd.DataFrame, keys: list[str]) -> tuple[pd.DataFrame, pd.DataFrame]:
    left, right = indexed(own, keys), indexed(theirs, keys)
    assert set(left.index) == set(right.index)
    return left, right.loc[left.index]


def check(own: pd.Series, theirs: pd.Series, where: pd.Series | None = None) -> None:
    """Two columns agree to RELATIVE on the rows asked for, and are blank on the same rows of them."""
    name = str(own.name)
    slack = next((s for ending, s in SLACK.items() if name.endswith(ending)), 0.0)
    far = (own - theirs).abs() > RELATIVE * theirs.abs() + slack
    far |= own.isna() != theirs.isna()
    if where is not None:
        far &= where
    shown = pd.DataFrame({"recalculated": own[far], "data set": theirs[far]})
    assert not far.any(), f"{name}: {far.sum()} of {len(far)} rows differ\n{shown.head(12).to_string()}"


COMPARED = [
    pytest.param(("hard", 3), id="hard"),
    pytest.param(("hard", 1), id="hard-every-row", marks=pytest.mark.slow),
    pytest.param(("derived", 1), id="derived"),
    pytest.param(("demo", STEP), id="demo"),
    pytest.param(("demo", 1), id="demo-every-row", marks=pytest.mark.slow),
]


@pytest.fixture(params=COMPARED)
def case(request: pytest.FixtureRequest) -> tuple[str, int]:
    return request.param


def test_states_have_the_same_reasons(case: tuple[str, int]) -> None:
    both = computed(*case)
    own, theirs = paired(both.own_states, both.states, STATE_KEYS)
    differ = own["reason"] != theirs["reason"]
    shown = pd.DataFrame({"recalculated": own["reason"], "data set": theirs["reason"]})[differ]
    assert not differ.any(), shown.head(20).to_string()


def test_states_agree(case: tuple[str, int]) -> None:
    both = computed(*case)
    own, theirs = paired(both.own_states, both.states, STATE_KEYS)
    usable = own["reason"] == ""
    # Every number that the data set gives, and no other.
    columns = [c for c in theirs.columns.difference([*LAW_COLUMNS]) if pd.api.types.is_float_dtype(theirs[c])]
    assert set(columns) <= set(own.columns)
    for column in columns:
        left, right = own[column], theirs[column]
        if column in ("liquid_enthalpy_j_kg", "vapor_enthalpy_j_kg"):
            # Reference states are a library's own affair: only differences mean something.
            left, right = from_rating(own, column), from_rating(theirs, column)
        # A row with a reason need not give its numbers, but those that both give must agree.
        check(left, right, usable | (left.notna() & right.notna()))
    assert theirs.loc[~usable, "required_kv_m3h_per_kw"].isna().all()


def from_rating(states: pd.DataFrame, column: str) -> pd.Series:
    """An enthalpy above that of the refrigerant's rated liquid at one row."""
    rating = states[(states["reason"] == "") & (states["condition"] == "rating")]
    liquid = rating.groupby("refrigerant")["liquid_enthalpy_j_kg"].first()
    return (states[column] - states["refrigerant"].map(liquid)).rename(column)


def test_windows_agree(case: tuple[str, int]) -> None:
    both = computed(*case)
    own, theirs = paired(both.own_windows, both.windows, WINDOW_KEYS)
    for column in ["kv_rated_m3h", *LOADS, *SUPERHEATS]:
        check(own[column], theirs[column])
    assert (own["charge"] == theirs["charge"]).all()


@pytest.mark.parametrize("side", SIDES)
def test_windows_are_set_by_the_same(case: tuple[str, int], side: str) -> None:
    both = computed(*case)
    own, theirs = paired(both.own_windows, both.windows, WINDOW_KEYS)
    condition, reason = f"{side}_condition", f"{side}_reason"
    wrong = []
    for key, mine, other in zip(own.index, own.to_dict("records"), theirs.to_dict("records"), strict=True):
        if (mine[condition], mine[reason]) == (other[condition], other[reason]):
            continue
        if not is_tie(mine["limits"], side, mine[condition], other[condition]):
            wrong.append((key, mine[condition], mine[reason], other[condition], other[reason]))
    assert not wrong, wrong[:20]


def is_tie(limits: dict[str, dict[str, float]], side: str, one: str, other: str) -> bool:
    """Whether two different operating conditions would set the same limit."""
    loads = limits.get(side, {})
    if one == other or one not in loads or other not in loads:
        return False
    return math.isclose(loads[one], loads[other], rel_tol=TIE)


def test_group_windows_are_the_members_intersection(case: tuple[str, int]) -> None:
    both = computed(*case)
    own, theirs = paired(intersections(case[0], both.own_windows), both.group_windows, GROUP_KEYS)
    for column in ("min_load_w", "max_load_w"):
        check(own[column], theirs[column])
    for side in SIDES:
        for column in (f"{side}_reason", f"{side}_condition", f"{side}_member"):
            differ = (own[column] != theirs[column]) & ~own[f"{side}_tie"]
            shown = pd.DataFrame({"recalculated": own[column], "data set": theirs[column]})[differ]
            assert not differ.any(), shown.head(20).to_string()


def intersections(name: str, windows: pd.DataFrame) -> pd.DataFrame:
    """Group windows from members' windows, a row at a time."""
    configs = Configs(CATALOGUES[name], REGISTRY)
    by_key: dict[tuple[str, str, str], list[dict[str, Any]]] = {}
    for record in windows.to_dict("records"):
        row = {str(column): value for column, value in record.items()}
        by_key.setdefault((row["family"], row["application"], row["refrigerant"]), []).append(row)
    rows = []
    for family, group, application in configs.combinations():
        members = [by_key[family, application, member] for member in configs.members(group)]
        for together in zip(*members, strict=True):
            assert len({(row["size"], round(row["sst_k"], 6)) for row in together}) == 1
            key = {"family": family, "size": together[0]["size"], "group": group, "application": application}
            rows.append(key | {"sst_k": together[0]["sst_k"]} | intersection(together))
    return pd.DataFrame(rows)


def intersection(together: tuple[dict[str, Any], ...]) -> dict[str, Any]:
    """The window of one group at one size and SST; an empty member empties it and sets both limits."""
    empty = next((row for row in together if math.isnan(row["min_load_w"])), None)
    low = empty or max(together, key=lambda row: row["min_load_w"])
    high = empty or min(together, key=lambda row: row["max_load_w"])
    made: dict[str, Any] = {"min_load_w": low["min_load_w"], "max_load_w": high["max_load_w"]}
    for side, binding in (("min", low), ("max", high)):
        made[f"{side}_member"] = binding["refrigerant"]
        for what in ("condition", "reason"):
            made[f"{side}_{what}"] = binding[f"{side}_{what}"]
        load = binding[f"{side}_load_w"]
        near = sum(math.isclose(row[f"{side}_load_w"], load, rel_tol=TIE) for row in together)
        made[f"{side}_tie"] = near > 1 or is_tied_inside(binding, side)
    if empty is None and low["min_load_w"] >= high["max_load_w"]:
        made |= {f"{side}_load_w": math.nan for side in SIDES} | {f"{side}_reason": "crossed" for side in SIDES}
    return made


def is_tied_inside(row: dict[str, Any], side: str) -> bool:
    loads = row["limits"].get(side, {})
    return any(is_tie(row["limits"], side, a, b) for a, b in itertools.combinations(loads, 2))


def test_lower_head_asks_for_a_larger_port_in_the_demo() -> None:
    states = demo_data().states
    # On a rack with constant capacity the liquid is colder at low receiver pressure: less flow, but a larger port.
    rack = states[states["application"] == "walk_in_r744"].pivot_table("flow_ratio", ["sst_k"], "condition")
    assert (rack["low_head"] < rack["rating"]).all()
    ports = states.pivot_table("required_kv_m3h_per_kw", ["refrigerant", "application", "sst_k"], "condition")
    assert (ports["low_head"] > ports["rating"]).all()
    states = states[states["application"] != "walk_in_r744"]
    for column in ("flow_ratio", "required_kv_m3h_per_kw"):
        wide = states.pivot_table(column, ["refrigerant", "application", "sst_k"], "condition")
        assert wide.notna().all(axis=None)
        assert (wide["low_head"] > wide["rating"]).all()
        assert (wide["rating"] > wide["high_head"]).all()


def test_condition_heads_set_the_limits_in_the_demo() -> None:
    windows = demo_data().windows
    # An opening that follows superheat or load may put a limit elsewhere; stops and minimum openings may not.
    fixed = windows["max_reason"].isin([Reason.STOP, Reason.RATED_STROKE, Reason.CONTROL_RESERVE])
    assert (windows.loc[fixed, "max_condition"] == "low_head").all()
    steady = windows["min_reason"].isin([Reason.STABILITY, Reason.MIN_STEP])
    assert (windows.loc[steady, "min_condition"] == "high_head").all()
    assert fixed.mean() > 0.5
    assert steady.mean() > 0.5


@pytest.mark.slow
def test_both_catalogues_together_reach_every_reason() -> None:
    both = [computed(name, 1) for name in ("hard", "derived")]
    for together in ([b.own_windows for b in both], [b.windows for b in both]):
        seen = {reason for windows in together for side in SIDES for reason in windows[f"{side}_reason"]}
        # Limits at a confidence are another matter (test_confidence.py).
        assert set(map(str, Reason)) - {Reason.CONFIDENCE} == seen


def test_derived_limits_reach_every_branch() -> None:
    both = computed("derived", 1)
    usable = both.states[both.states["reason"] == ""]
    assert set(usable["flow_law"]) == {"orifice", "choked", "discharge_coefficient"}
    # Vapor at the inlet counted and refused; liquid that is warmed, in both kinds of supply.
    assert (usable["inlet_quality"] > 1e-3).any()
    assert (usable["inlet_quality"] == 0.0).any()
    assert (both.states["reason"] == Reason.FLASHING).any()
    assert (usable["needed_subcooling_k"] > usable["condenser_subcooling_k"] + 1.0).any()
    # The coil keeps its capacity whatever the liquid of the receiver is.
    held = usable[usable["application"] == "receiver"]
    assert held["capacity_ratio"].sub(1.0).abs().max() < 1e-9
    assert held["flow_ratio"].sub(1.0).abs().max() > 0.01
    # The box stays, the suction does not.
    follower = usable[usable["application"] == "follower"]
    assert follower["coil_difference_k"].max() - follower["coil_difference_k"].min() > 1.0
    # One family hunts below an opening, one at every opening, and one is held open by port and seat.
    found = both.windows.groupby("family")["min_reason"].agg(set)
    assert {Reason.HUNTS, Reason.STABILITY, Reason.ALWAYS_HUNTS} <= found["gorse"]
    assert {Reason.FLOODBACK, Reason.ABOVE_MOP} <= found["nettle"]
    assert {Reason.HUNTS, Reason.MIN_STEP} <= found["maple"]
    assert {Reason.ALWAYS_HUNTS, Reason.MIN_DUTY} <= found["laurel"]


@pytest.mark.slow
def test_hard_cases_reach_every_branch() -> None:
    both = computed("hard", 1)
    assert set(both.states["limit"]) == {"both", "max", "min", "min_full_flow"}
    assert set(both.states["suction_response"]) == {"constant", "balanced"}
    usable = both.states[both.states["reason"] == ""]
    is_choked = usable["effective_pressure_drop_pa"] < usable["pressure_drop_pa"] * (1.0 - 1e-9)
    assert is_choked[usable["flow_law"] == "choked"].any()
    assert not is_choked[usable["flow_law"] == "orifice"].any()
    # A balanced evaporator settles below its rating at a low head, above it at a high one and at part load.
    wide = both.states[both.states["suction_response"] == "balanced"]
    swing = wide["evaporating_temperature_k"] - wide["sst_k"]
    assert swing.min() < -0.5
    assert swing.max() > 0.5


def test_all_of_the_hard_cases_agrees() -> None:
    """One test that sweeps and compares everything, for a run of mutants: what others have computed is not used."""
    case = ("hard", 3)
    if "TABLEGEN_TEST_CACHE" in os.environ:
        case = ("hard", 1)
        computed.cache_clear()
        by_the_package.cache_clear()
    test_states_have_the_same_reasons(case)
    test_states_agree(case)
    test_windows_agree(case)
    for side in SIDES:
        test_windows_are_set_by_the_same(case, side)
    test_group_windows_are_the_members_intersection(case)
