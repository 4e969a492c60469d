"""`hunt`: the limit, what the simulation does about it, an observed load, media and what is refused."""

from __future__ import annotations

import atexit
import functools
import re
import shutil
import tempfile
from pathlib import Path

import numpy as np
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.hunt import AskedHunt, Hunt, hunt
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.errors import RequestError
from tablegen.model.coil_defaults import CoilInput
from tablegen.model.inputs import Catalogue
from tablegen.physics.system import OperatingCondition
from tablegen.report.answer import Answer
from tests.small import small_catalogue

SST_K = (24.0 + 459.67) / 1.8
CASE = Case("R404A", SST_K, 1000.0, "walk_in_medium")


def steadier_catalogue(folder: Path) -> Path:
    """The demo's valve with settings at which it can be steady: static 3, opening superheat 4 degF, TD 10 degF.

    It states neither coil nor bulb, so all of the loop is assumed.
    """
    names = ["walk_in_medium", "walk_in_low"]
    groups = {"R404A": ["R404A"], "R448A-family": ["R448A", "R449A"]}
    made = small_catalogue(folder, ["alder", "hazel"], groups, names)
    for file in (folder / "families" / "alder.yaml", *(folder / "applications" / f"{name}.yaml" for name in names)):
        text = file.read_text(encoding="utf-8")
        # Of the charges for R404A; those of the others stay.
        text = re.sub(r"(?m)^(      static_superheat:).*$", r"\1 3 delta_degF", text, count=2)
        text = re.sub(r"(?m)^(      opening_superheat:).*$", r"\1 4 delta_degF", text)
        text = re.sub(r"(?m)^(coil_temperature_difference:).*$", r"\1 10 delta_degF", text)
        text = re.sub(r"(?m)^ *bulb_time_constant:.*\n|^coil:\n(?: .*\n)+|^stability:.*\n", "", text)
        file.write_text(text, encoding="utf-8")
    return made


_FOLDER = Path(tempfile.mkdtemp())
atexit.register(shutil.rmtree, _FOLDER, ignore_errors=True)
CATALOGUE = steadier_catalogue(_FOLDER / "steadier")
BALANCED = ["suction.response=balanced", "suction.box_difference=10 delta_degF"]
ASK = {"sst": "24 degF", "application": "walk_in_medium", "catalogue": CATALOGUE}


@functools.cache
def catalogue() -> Catalogue:
    return load_catalogue(CATALOGUE / "catalogue.yaml" if CATALOGUE.is_dir() else CATALOGUE)


def hunted(case: Case = CASE, size: str = "45", **asked: object) -> Hunt:
    return hunt(catalogue(), case, "alder", size, AskedHunt(**asked))  # type: ignore[arg-type]


@functools.cache
def usual() -> Hunt:
    return hunted()


@functools.cache
def answer() -> Answer:
    return tablegen.hunt("alder", "45", "R404A", **ASK)  # type: ignore[arg-type]


def test_it_is_steady_above_the_limit_and_hunts_below():
    found = usual()
    above, below = found.runs
    assert (above.load_w, below.load_w) == pytest.approx((1.25 * found.limit.load_w, 0.9 * found.limit.load_w))
    assert not above.swing.hunts
    assert below.swing.hunts
    assert below.swing.period_s == pytest.approx(found.limit.period_s, rel=0.2)
    assert below.swing.superheat_k[0] < 0.5 < 4.0 < below.swing.superheat_k[1]
    assert 0.0 < below.swing.liquid_share < 0.3
    # The demo's port is linear, so opening follows load.
    assert above.opening / below.opening == pytest.approx(1.25 / 0.9)


@pytest.mark.slow
def test_one_size_hunts_like_another():
    """The coil suits the load, so the limit is an opening, whatever the Kv."""
    small, large = usual().limit, hunted(size="180").limit
    assert large.opening == pytest.approx(small.opening)
    assert large.load_w / small.load_w == pytest.approx(180.0 / 45.0, rel=1e-6)


@pytest.mark.slow
def test_a_slower_bulb_calms_and_is_no_assumption():
    slow = hunted(bulb_time_constant_s=60.0, load_w=0.9 * usual().limit.load_w)
    assert slow.limit.opening < 0.8 * usual().limit.opening
    assert not slow.inputs[CoilInput.BULB].is_assumed
    assert not slow.runs[0].swing.hunts
    assert usual().inputs[CoilInput.BULB].is_assumed


@pytest.mark.slow
@pytest.mark.parametrize("condition", [OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD])
def test_a_condition_has_its_own_limit(condition):
    own = hunted(condition=condition, load_w=0.5 * usual().limit.load_w)
    assert own.condition is condition
    # Against little pressure drop the same load needs more opening.
    assert (own.runs[0].opening > 0.5 * usual().limit.opening) == (condition is OperatingCondition.LOW_HEAD)


@pytest.mark.slow
def test_an_observed_load_becomes_the_limit():
    observed = 0.7 * usual().limit.load_w
    found = hunted(observed_load_w=observed)
    assert found.limit.load_w == pytest.approx(observed, rel=1e-6)
    assert found.calibration is not None and found.calibration.value > 1.2
    assert found.inputs[CoilInput.CALIBRATION].value == found.calibration.value
    assert [run.swing.hunts for run in found.runs] == [False, True]
    same = hunted(observed_load_w=usual().limit.load_w).calibration
    assert same is not None and same.value == pytest.approx(1.0)


@pytest.mark.slow
def test_a_coil_that_was_simulated_with_a_calibration_is_found_again(monkeypatch):
    """Where the simulation of a calmer coil begins to hunt is what a technician would see."""
    from tablegen.answers import hunt as module

    truth, runs = 1.4, {}
    own_simulate = module.simulate

    def simulate(coil, loop, opening, **options):
        runs["parts"] = coil, loop
        return own_simulate(coil, loop, opening, **options)

    monkeypatch.setattr(module, "simulate", simulate)
    found = hunted()
    coil, loop = runs["parts"]
    openings = found.limit.opening * np.linspace(0.6, 1.0, 17)
    calmer = type(loop)(table=loop.table, bulb_time_constant_s=loop.bulb_time_constant_s, calibration=truth)
    course = own_simulate(coil, calmer, openings, duration_s=900.0, kick=0.02)
    hunts = [module.swing(course, number).hunts for number in range(len(openings))]
    seen = float(openings[max(number for number, own in enumerate(hunts) if own)])
    assert hunts[0] and not hunts[-1]
    again = hunted(observed_load_w=found.limit.load_w * seen / found.limit.opening)
    assert again.calibration is not None and again.calibration.value == pytest.approx(truth, rel=0.1)


@pytest.mark.slow
def test_where_it_hunts_at_every_opening():
    ask = {
        "box": "44 degF",
        "coil_difference": "20 delta_degF",
        "application": "walk_in_medium",
        "catalogue": CATALOGUE,
    }
    found = tablegen.hunt("alder", "45", "R404A", **ask)  # type: ignore[arg-type]
    assert found.summary[0] == "It hunts at every opening (rating point)."
    assert found.record()["limit_opening"] > 1.2
    assert [row["hunts"] for row in _runs(found)] == [True, True]


@pytest.mark.slow
def test_a_simulation_that_is_steady_below_the_limit_says_so():
    """With all of the delay as dead time the limit is to the safe side; the simulation knows no such share."""
    coil = {
        "conductance_ratio": "35 percent",
        "circuit_load": "1 kW",
        "circuit_length": "12 m",
        "tube_inner_diameter": "11.7 mm",
        "wall_heat_capacity": "120 J/(m K)",
        "air_side_share": "75 percent",
        "plug_share": "100 percent",
        "source": "that of the tests",
    }
    overrides = [f"coil.{key}={value}" for key, value in coil.items()]
    ask = {**ASK, "sst": "-30 degF", "application": "walk_in_low", "overrides": overrides}
    found = tablegen.hunt("alder", "45", "R448A", condition="high_head", **ask)  # type: ignore[arg-type]
    assert [row["hunts"] for row in _runs(found)] == [False, False]
    assert "below that limit, the simulation is still steady" in " ".join(found.summary)


def _runs(found: Answer) -> list[dict[str, object]]:
    return next(table for table in found.tables if table.key == "runs").records()


@pytest.mark.slow
def test_what_is_not_stated_is_named_as_assumed():
    [inputs] = [table for table in answer().tables if table.key == "inputs"]
    by_name = {row["input"]: row["is_assumed"] for row in inputs.records()}
    assert by_name["coil_temperature_difference"] is False
    assert by_name["bulb_time_constant"] is True
    assert "assumed" in str(answer())
    assert "calibration" not in by_name


@pytest.mark.slow
def test_the_heat_capacity_is_in_the_units_of_the_answer():
    for units, expected in (("IP", "0.0177 Btu/(ft °F)"), ("SI", "110 J/(m K)")):
        shown = str(tablegen.hunt("alder", "45", "R404A", application="walk_in_medium", sst="24 degF", units=units))
        assert expected in shown.replace("\N{NO-BREAK SPACE}", " ")


def test_every_medium_shows_it(tmp_path):
    own = answer()
    frame = own.frame()
    assert set(frame["load_w"]) == {run.load_w for run in usual().runs}
    assert frame["time_s"].max() == pytest.approx(899.5)
    for ending in ("pdf", "html", "txt", "json", "csv", "svg"):
        own.write(tmp_path / f"hunt.{ending}")
    assert "It hunts below" in (tmp_path / "hunt.txt").read_text(encoding="utf-8")
    assert "<svg" in (tmp_path / "hunt.html").read_text(encoding="utf-8")
    assert re.search("steady.*hunts", own.figures[0].alt)
    assert (tmp_path / "hunt.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "hunt.svg").read_text(encoding="utf-8").count("<svg") == 1


def test_the_exit_code_says_whether_a_load_hunts(capsys):
    limit = usual().limit.load_w
    common = ["hunt", "alder", "45", "R404A", "--sst", "24F", "--application", "walk_in_medium"]
    common += ["--catalogue", str(CATALOGUE)]
    assert main([*common, "--load", f"{0.85 * limit:.0f} W"]) == 1
    assert main([*common, "--load", f"{1.15 * limit:.0f} W", "--units", "SI"]) == 0
    assert "steady" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "options", "message"),
    [
        (("alder", "45", "R404A"), {"load": "50 kW"}, "load: the valve is too small for this load"),
        (("hazel", None, "R448A"), {}, "has a controller"),
        (("alder", "45", "R448A-family"), {}, "R448A-family"),
        (("alder", "45", "R404A"), {"overrides": BALANCED}, "constant SST"),
        (("alder", "45", "R404A"), {"bulb_time_constant": -3.0}, "bulb_time_constant: -3.0 second is not allowed"),
        (("alder", "45", "R404A"), {"observed_load": "50 kW"}, "observed_load: with this valve and coil"),
        (("alder", "45", "R404A"), {"condition": "winter"}, "condition: 'winter'"),
        (
            ("alder", "45", "R404A"),
            {"sst": None, "box": "29 degF", "coil_difference": "5 delta_degF"},
            "coil_difference: 5.0 °F (2.8 K) must be above the useful superheat of walk_in_medium, 6.5 °F (3.6 K)",
        ),
    ],
)
def test_what_is_refused(arguments, options, message):
    family, size, refrigerant = arguments
    size = size or catalogue().families[family].sizes[0].name
    with pytest.raises(RequestError, match=re.escape(message)):
        tablegen.hunt(family, size, refrigerant, **{**ASK, **options})


def test_the_manual_names_it():
    text = (Path(tablegen.__file__).parent / "manual" / "teacher.md").read_text(encoding="utf-8")
    assert "tablegen hunt" in text


@pytest.mark.slow
def test_it_names_the_window_of_the_tables_and_why_it_differs(tmp_path):
    """The demo's walk-in cooler: the tables use a stated minimum opening, and a valve that they allow hunts by its loop."""
    ask = {"sst": "24 degF", "application": "walk_in_medium", "load": "8.17 kBtu/h"}
    found = tablegen.hunt("alder", "45", "R448A", **ask)  # type: ignore[arg-type]
    picked = tablegen.pick("R448A", **ask).frame()  # type: ignore[arg-type]
    [window] = picked[(picked["family"] == "alder") & (picked["size"].astype(str) == "45")].to_dict("records")
    record = found.record()
    assert record["table_min_load_w"] == pytest.approx(window["min_load_w"])
    assert record["table_max_load_w"] == pytest.approx(window["max_load_w"])
    assert record["table_min_load_w"] < record["limit_load_w"] < record["table_max_load_w"]
    first = " ".join(found.summary[:3]).replace("\xa0", " ")
    assert "load window of 5.28 to 11.6 kBtu/h here" in first
    assert "stated minimum opening of 20 % and a stated minimum stable superheat of 3 °F" in first
    for ending in ("txt", "html"):
        found.write(tmp_path / f"hunt.{ending}")
        text = (tmp_path / f"hunt.{ending}").read_text(encoding="utf-8")
        assert "Why the two differ" in text and "stability" in text


@pytest.mark.slow
def test_tables_of_the_loop_begin_where_it_hunts():
    ask = {"sst": "24 degF", "application": "walk_in_medium", "overrides": ["stability.method=loop"]}
    found = tablegen.hunt("alder", "45", "R448A", **ask)  # type: ignore[arg-type]
    record = found.record()
    assert record["stability"] == "loop"
    # The demo has no gain margin, and its strictest condition is the rating point.
    assert record["table_min_load_w"] == pytest.approx(record["limit_load_w"])
    assert "Why the two differ" not in str(found)
    assert "gain margin of 1;" in str(found)


@pytest.mark.slow
def test_the_limit_is_given_for_other_bulbs():
    rows = next(table for table in answer().tables if table.key == "bulbs").records()
    assert [row["bulb_time_constant_s"] for row in rows] == [15.0, 30.0, 60.0, 120.0]
    openings = [float(row["limit_opening"]) for row in rows]
    assert openings == sorted(openings, reverse=True)
    # The catalogue of these tests states no bulb: 30 s is assumed.
    assert rows[1]["limit_load_w"] == pytest.approx(usual().limit.load_w)
    assert hunted(bulb_time_constant_s=60.0).limit.load_w == pytest.approx(float(rows[2]["limit_load_w"]))
    [sentence] = [own for own in answer().summary if "time constant is assumed" in own]
    assert re.search(r"15.s: hunts .*; 30.s: .*; 60.s: .*; 120.s: ", sentence)
    stated = tablegen.hunt("alder", "45", "R404A", bulb_time_constant="60 s", **ASK)  # type: ignore[arg-type]
    assert not any("time constant is assumed" in own for own in stated.summary)


def test_a_stepper_is_given_the_command_that_answers():
    with pytest.raises(RequestError, match=r"tablegen trace.* overrides stability\.method=loop"):
        tablegen.hunt("hazel", "63", "R448A", sst="24 degF", application="walk_in_medium")
    traced = tablegen.trace(
        "hazel", "63", "R448A", sst="24 degF", application="walk_in_medium", overrides=["stability.method=loop"]
    )
    assert "loop" in str(traced)


def test_retrofit_says_that_it_judges_by_the_stated_limits():
    ask = {"refrigerant": "R448A", "load": "8.17 kBtu/h", "sst": "24 degF", "application": "walk_in_medium"}
    said = "'tablegen hunt' calculates the loop"
    assert said in " ".join(tablegen.retrofit("alder", "45", **ask).notes)
    by_loop = tablegen.retrofit("alder", "45", **ask, overrides=["stability.method=loop"])
    assert said not in " ".join(by_loop.notes)
