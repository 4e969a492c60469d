"""Port designs: a family of several inserts against families of one insert each, and against the second calculation."""

from __future__ import annotations

import functools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from tablegen.answers.case import Case
from tablegen.answers.existing_valve import System
from tablegen.answers.pick import pick
from tablegen.answers.retrofit import Fitted, retrofit
from tablegen.answers.trace import trace
from tablegen.audits.findings import FindingKind
from tablegen.audits.heads import tightest_limits
from tablegen.audits.run import audit
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.loader import load_catalogue
from tablegen.model.head_settings import over_working_pressure
from tablegen.model.inputs import Catalogue, Confidence
from tablegen.model.scatter import ProductionScatter
from tablegen.model.solving import Solved, laws_of, solve
from tablegen.sweep.frames import windows_frame
from tests.dataset.test_recalculated import LOADS, WINDOW_KEYS, check, paired
from tests.independent.recalc import Recalculation
from tests.small import HARD, Edit, small_catalogue

APPLICATION = "plain"
# Findings of the audit that solve a family again.
TIGHTENED = {
    FindingKind.BETWEEN_HEADS,
    FindingKind.SHUT_BETWEEN_HEADS,
    FindingKind.SUBCOOLING_CORNER,
    FindingKind.OTHER_RESPONSE,
    FindingKind.BETWEEN_ROWS,
}
OPENING = "opening:\n  stop: 120 percent\n  reserve_in_limits: 100 percent\n  minimum_stable: 25 percent\n"
SHARP = """{stop: 105 percent, reserve_in_limits: 100 percent, minimum_stable: 12 percent, characteristic: points,
  points: [[0 percent, 0 percent], [40 percent, 25 percent], [100 percent, 100 percent], [120 percent, 110 percent]]}"""
BODY = "{kv: 0.2 m3/h, size_kv: without_connections}"
# Ratings that the heads leave something of.
RATINGS: list[Edit] = [
    ("families/dogwood.yaml", "working_pressure: 250 psi_gauge", "working_pressure: 40 bar_gauge"),
    ("families/dogwood.yaml", "allowed_differential: 120 psi", "allowed_differential: 25 bar"),
]
# One thermostatic, one stepper and one pulse-modulated family of the hard cases, each with designs of its own.
FIR = [
    ('{size: "2", kv: 60 L/h}', '{size: "2", kv: 60 L/h, port_design: sharp}'),
    ('{size: "3", kv: 120 L/h}', '{size: "3", kv: 120 L/h, port_design: wide}'),
    (
        "equalizer: external\n",
        f"""equalizer: external
port_designs:
  - {{design: sharp, opening: {SHARP}, port: {{unbalance: 2 percent}}, allowed_differential: 24 bar}}
  - {{design: wide, port: {{unbalance: -1 percent}}, working_pressure: 30 bar_gauge, connection_loss: {BODY}}}
""",
    ),
]
DOGWOOD = [
    ("{size: b, kv: 0.10 m3/h}", "{size: b, kv: 0.10 m3/h, port_design: fast}"),
    (
        "full_steps: 500\n",
        "port_designs:\n  - {design: fast, full_steps: 400, minimum_steps: 20, control_reserve: 5 percent,\n"
        "     characteristic: [[0 percent, 0 percent], [50 percent, 60 percent], [100 percent, 100 percent]]}\n"
        "full_steps: 500\n",
    ),
]
ELM = [
    ("{size: b, capacity: 12 kW}", "{size: b, capacity: 12 kW, port_design: slow}"),
    (
        "maximum_duty: 90 percent\n",
        "port_designs:\n  - {design: slow, maximum_duty: 80 percent, minimum_duty: 20 percent,\n"
        "     connection_loss: {kv: 0.3 m3/h, size_kv: with_connections}}\nmaximum_duty: 90 percent\n",
    ),
]
# The same sizes as families of their own: what the design states is the family's.
SINGLE = {
    "fir-2": (
        "fir",
        "2",
        [
            (OPENING, f"opening: {SHARP}\n"),
            ("unbalance: 0 percent", "unbalance: 2 percent"),
            ("allowed_differential: 25 bar", "allowed_differential: 24 bar"),
        ],
    ),
    "fir-3": (
        "fir",
        "3",
        [
            ("unbalance: 0 percent", "unbalance: -1 percent"),
            ("working_pressure: 40 bar_gauge", f"working_pressure: 30 bar_gauge\nconnection_loss: {BODY}"),
        ],
    ),
    "fir-1": ("fir", "1", []),
    "dogwood-a": ("dogwood", "a", []),
    "dogwood-b": (
        "dogwood",
        "b",
        [
            (
                "full_steps: 500\nminimum_steps: 60\ncontrol_reserve: 15 percent",
                "full_steps: 400\nminimum_steps: 20\ncontrol_reserve: 5 percent",
            ),
            ("  - [10 percent, 4 percent]\n  - [50 percent, 35 percent]\n", "  - [50 percent, 60 percent]\n"),
        ],
    ),
    "elm-a": ("elm", "a", []),
    "elm-b": (
        "elm",
        "b",
        [
            (
                "maximum_duty: 90 percent\nminimum_duty: 10 percent",
                "maximum_duty: 80 percent\nminimum_duty: 20 percent\n"
                "connection_loss: {kv: 0.3 m3/h, size_kv: with_connections}",
            ),
        ],
    ),
}


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("designs") / "catalogue"
    families = ["fir", "dogwood", "elm", *SINGLE]
    made = small_catalogue(
        folder, families, {"first": ["R404A"], "second": ["R134a"]}, [APPLICATION], RATINGS, source=HARD
    )
    for name, (family, size, edits) in SINGLE.items():
        text = (folder / "families" / f"{family}.yaml").read_text(encoding="utf-8")
        rows = [line for line in text.splitlines() if line.startswith("  - {size: ")]
        for row in rows:
            if not row.startswith((f'  - {{size: "{size}"', f"  - {{size: {size},")):
                text = text.replace(f"{row}\n", "")
        text = text.replace(f"family: {family}\n", f"family: {name}\n")
        text = text.replace(f"name: {family.capitalize()}\n", f"name: {name}\n")
        write(folder / "families" / f"{name}.yaml", text, edits)
    for family, edits in (("fir", FIR), ("dogwood", DOGWOOD), ("elm", ELM)):
        file = folder / "families" / f"{family}.yaml"
        write(file, file.read_text(encoding="utf-8"), edits)
    return made


def write(file: Path, text: str, edits: list[tuple[str, str]]) -> None:
    for old, new in edits:
        assert text.count(old) == 1, (file.name, old)
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")


@functools.cache
def loaded(path: Path) -> tuple[Catalogue, dict[str, Solved]]:
    catalogue = load_catalogue(path)
    laws = laws_of(catalogue.families.values())
    application = catalogue.applications[APPLICATION]
    return catalogue, {n: solve(catalogue.refrigerants[n], application, laws) for n in ("R404A", "R134a")}


def test_each_size_has_the_windows_of_a_family_of_its_design_alone(path):
    catalogue, solved = loaded(path)
    rows = 0
    for own in solved.values():
        for name, (family, size, _) in SINGLE.items():
            whole = windows_frame(catalogue.families[family], own)
            part = whole[whole["size"] == size].reset_index(drop=True)
            alone = windows_frame(catalogue.families[name], own)
            pd.testing.assert_frame_equal(part.drop(columns="family"), alone.drop(columns="family"), check_exact=True)
            rows += int(np.isfinite(alone["max_load_w"]).sum())
    assert rows > 30
    # The designs do set their sizes apart.
    fir = windows_frame(catalogue.families["fir"], solved["R404A"])
    per_kv = fir["max_load_w"] / fir["kv_rated_m3h"]
    assert per_kv.groupby(fir["sst_k"]).nunique().max() == 3


def test_the_second_calculation_agrees(path):
    catalogue, solved = loaded(path)
    names = ("fir", "dogwood", "elm")
    frames = [windows_frame(catalogue.families[f], own) for own in solved.values() for f in names]
    again = pd.DataFrame(row for row in Recalculation(path).windows() if row["family"] in names)
    own, theirs = paired(again, pd.concat(frames), WINDOW_KEYS)
    for column in ("kv_rated_m3h", *LOADS):
        check(own[column], theirs[column])
    for column in ("min_reason", "max_reason", "charge"):
        assert (own[column] == theirs[column]).all(), column
    assert theirs["max_load_w"].notna().any()


def test_limits_at_confidence_are_those_of_a_family_of_the_design_alone(path):
    catalogue, solved = loaded(path)
    confidence = Confidence(share=0.95, level=0.95, samples=64, seed=1, is_printed=True)
    scatter = ProductionScatter(kv=0.03, unbalance=0.002, static_superheat_k=0.2, opening_superheat_k=0.1)
    families = {name: replace(own, scatter=scatter) for name, own in catalogue.families.items()}
    scattered = scattered_in(replace(catalogue, confidence=confidence, families=families))
    own = solved["R404A"]
    for name, size in (("fir-2", "2"), ("fir-3", "3"), ("fir-1", "1")):
        whole = windows_frame(families["fir"], own, scattered)
        part = whole[whole["size"] == size].reset_index(drop=True)
        alone = windows_frame(families[name], own, scattered)
        pd.testing.assert_frame_equal(part.drop(columns="family"), alone.drop(columns="family"), check_exact=True)
        assert (alone["max_load_w"] < alone["nominal_max_load_w"]).any()


@pytest.mark.parametrize("name", SINGLE)
def test_answers_are_those_of_a_family_of_the_design_alone(path, name):
    catalogue, _ = loaded(path)
    family, size, _ = SINGLE[name]
    application = catalogue.applications[APPLICATION]
    case = Case("R404A", application.example_sst_k, 5000.0, APPLICATION)
    whole, alone = (next(c for c in pick(catalogue, case, own).candidates if c.size == size) for own in (family, name))
    # NaN is not equal to itself.
    assert repr(replace(whole, family=name)) == repr(alone)
    traced, other = (trace(catalogue, case, own, size) for own in (family, name))
    if alone.verdict == "no_window":
        assert traced.obstacle is not None
        assert other.obstacle is not None
        assert traced.obstacle.limit == other.obstacle.limit
        return
    for limit in ("minimum", "maximum"):
        mine, theirs = getattr(traced, limit), getattr(other, limit)
        assert mine.load_w == theirs.load_w
        assert mine.members == theirs.members


@pytest.mark.slow
def test_the_audit_finds_in_a_size_what_it_finds_in_a_family_of_its_design_alone(path):
    catalogue, solved = loaded(path)
    # Another suction response moves every limit.
    found = audit(catalogue, box_difference_k=5.0).findings
    kinds = set()
    for name, (family, size, _) in SINGLE.items():
        whole, alone = (
            {
                (f.kind, f.sst_k, f.limit, f.from_load_w, f.to_load_w, f.refrigerant, f.reason)
                for f in found
                if (f.family, f.size) == (own, size) and f.kind in TIGHTENED
            }
            for own in (family, name)
        )
        assert whole == alone
        kinds |= {own[0] for own in alone}
    assert FindingKind.OTHER_RESPONSE in kinds
    for name, (family, size, _) in SINGLE.items():
        of_family, alone = (tightest_limits([catalogue.families[own]], solved["R404A"]) for own in (family, name))
        [own] = alone.values()
        part = of_family[catalogue.families[family].with_design_of(size).part_name]
        for limit, load_w in own.load_w.items():
            np.testing.assert_array_equal(part.load_w[limit], load_w)


@pytest.mark.slow
def test_an_existing_valve_of_a_design_covers_what_it_does_in_a_family_of_its_own(path):
    catalogue, _ = loaded(path)
    sst_k = float(catalogue.applications[APPLICATION].sst_k[-1])
    system = System(catalogue, Case("R404A", sst_k, 3000.0, APPLICATION))
    for name in ("fir-2", "fir-3", "elm-b"):
        family, size, _ = SINGLE[name]
        whole, alone = (retrofit(Fitted(own, size, None), system) for own in (family, name))
        assert (whole[0].after.min_w, whole[0].after.max_w) == (alone[0].after.min_w, alone[0].after.max_w)
        assert whole[0].after.zones == alone[0].after.zones
        pd.testing.assert_frame_equal(
            whole[1].drop(columns="family"), alone[1].drop(columns="family"), check_exact=True
        )
    covering = {c.size for c in retrofit(Fitted("fir", "1", None), system)[0].same_charge}
    singles = {
        s for n, (f, s, _) in SINGLE.items() if f == "fir" and retrofit(Fitted(n, s, None), system)[0].same_charge
    }
    assert covering == singles
    assert covering


def test_a_working_pressure_of_some_sizes_takes_these_out_and_no_others(path):
    catalogue, _ = loaded(path)
    fir = catalogue.families["fir"]
    low = [replace(own, working_pressure_gauge_pa=8e5) if own.name == "wide" else own for own in fir.port_designs]
    changed = replace(catalogue, families={**catalogue.families, "fir": replace(fir, port_designs=tuple(low))})
    sst_k = float(catalogue.applications[APPLICATION].sst_k[-1])
    picked = pick(changed, Case("R404A", sst_k, 5000.0, APPLICATION), "fir")
    reasons = {c.size: c.maximum.reason for c in picked.candidates}
    assert reasons["3"] == "over_pressure"
    assert "over_pressure" not in (reasons["1"], reasons["2"])
    assert not list(over_working_pressure(changed))
    every = replace(
        changed,
        families={
            **changed.families,
            "fir": replace(
                fir,
                port_designs=tuple(replace(own, working_pressure_gauge_pa=8e5) for own in low),
                working_pressure_gauge_pa=8e5,
            ),
        },
    )
    assert {own.family for own in over_working_pressure(every)} == {"fir"}


def test_a_family_of_several_designs_is_no_one_valve(path):
    fir = loaded(path)[0].families["fir"]
    with pytest.raises(ValueError, match="too many values"):
        fir.valve(fir.elements[0], 101325.0)
    assert [[size.name for size in part.sizes] for part in fir.by_design()] == [["1"], ["2"], ["3"]]
    assert all(part.by_design() == (part,) for part in fir.by_design())
