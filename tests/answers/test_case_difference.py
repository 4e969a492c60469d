"""A coil temperature difference (TD) that comes with a case counts as one in the application's file does, in every answer."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen.answers.job_list import _MOST_DIFFERENCES
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.model.coil_difference import DifferenceEffect, difference_effect
from tablegen.web.questions import QUESTIONS, Desk
from tests.small import small_catalogue
from tests.worked import WORKED

DERIVED = Path(__file__).resolve().parents[1] / "data" / "derived_limits"
COOLER = "applications/walk_in_medium.yaml"
STATED = "coil_temperature_difference: 12 delta_degF"
CASE = {"refrigerant": "R448A", "load": "7 kBtu/h", "application": "walk_in_medium", "box": "35F"}
SET = "coil_temperature_difference=8 delta_degF"


def catalogue(folder: Path, difference: str) -> Path:
    """A catalogue of one family whose maximum superheat is a share of the TD in the application's file."""
    edits = [(COOLER, STATED, f"coil_temperature_difference: {difference}")]
    return small_catalogue(folder, ["alder"], {"R448A": ["R448A"], "R134a": ["R134a"]}, ["walk_in_medium"], edits)


@pytest.fixture(scope="module")
def twelve(tmp_path_factory) -> Path:
    return catalogue(tmp_path_factory.mktemp("at") / "12", "12 delta_degF")


@pytest.fixture(scope="module")
def eight(tmp_path_factory) -> Path:
    return catalogue(tmp_path_factory.mktemp("at") / "8", "8 delta_degF")


def test_pick_gives_the_answer_of_a_file_with_that_difference(twelve, eight):
    of_file = tablegen.pick(**CASE, catalogue=eight)
    given = tablegen.pick(**CASE, coil_difference="8F", catalogue=twelve)
    changed = tablegen.pick(**CASE, overrides=[SET], catalogue=twelve)
    for own in (given, changed):
        assert own.passed is of_file.passed is False
        pd.testing.assert_frame_equal(own.frame(), of_file.frame())
    # With the application's own TD a valve covers the load at the same SST.
    assert tablegen.pick(**{**CASE, "box": "39F"}, catalogue=twelve).passed


def test_a_larger_difference_covers_no_less(twelve):
    own = tablegen.pick(**{**CASE, "box": "32F"}, coil_difference="9F", catalogue=twelve).frame()
    larger = tablegen.pick(**CASE, coil_difference="12F", catalogue=twelve).frame()
    assert larger["min_load_w"].tolist() == pytest.approx(own["min_load_w"].tolist(), rel=1e-9, nan_ok=True)
    more = larger["max_load_w"] / own["max_load_w"]
    assert more.min() > 1.0 - 1e-9 and more.max() > 1.1


def test_a_list_of_jobs_has_the_limits_of_each_difference(twelve, eight, tmp_path):
    loads = ["1.5 kBtu/h", "4 kBtu/h", "7 kBtu/h"]
    rows = [("R448A", "35F", difference, load) for difference in ("8F", "", "15F") for load in loads]
    jobs = pd.DataFrame(rows, columns=["refrigerant", "box", "coil_difference", "load"])
    found = tablegen.pick_jobs(jobs, catalogue=twelve)
    for (_, box, difference, load), own in zip(rows, found.to_dict("records"), strict=True):
        case = {**CASE, "box": box, "load": load}
        alone = tablegen.pick(**case, coil_difference=difference or None, catalogue=twelve)
        in_file = tablegen.pick(**case, catalogue=eight) if difference == "8F" else alone
        first = alone.frame().iloc[int(alone.frame()["margin"].fillna(-1).argmax())] if alone.passed else None
        assert (own["reason"] == "") is alone.passed is in_file.passed, (difference, load)
        if first is not None:
            keys = ["family", "size", "min_load_w", "max_load_w"]
            assert [own[key] for key in keys[:2]] == first[keys[:2]].tolist()
            assert [own[key] for key in keys[2:]] == pytest.approx(first[keys[2:]].tolist(), rel=1e-12)
    path = tmp_path / "jobs.csv"
    jobs.to_csv(path, index=False)
    listed = tablegen.pick(jobs=path, catalogue=twelve)
    frame = listed.frame()
    assert frame["size"].tolist() == found["size"].tolist()
    assert frame["margin"].tolist() == pytest.approx(found["margin"].tolist(), rel=1e-12, nan_ok=True)
    assert any("6 jobs are computed with their own TD" in note for note in listed.notes)


def test_the_desk_gives_the_answer_of_that_difference(twelve, eight):
    given = Desk(twelve, None).ask(QUESTIONS["pick"], {**CASE, "coil_difference": "8 delta_degF"}).answer
    assert given is not None
    pd.testing.assert_frame_equal(given.frame(), tablegen.pick(**CASE, catalogue=eight).frame())


@pytest.mark.slow
@pytest.mark.parametrize("command", ["retrofit", "trace", "hunt", "head_sweep"])
def test_other_answers_about_a_valve_are_those_of_that_difference(command, twelve, eight):
    at = {"box": "35F", "application": "walk_in_medium"}
    more = {
        "retrofit": {"load": "4 kBtu/h", "was": "R134a"},
        "trace": {},
        "hunt": {"bulb_time_constant": "120 s"},
        "head_sweep": {"load": "4 kBtu/h"},
    }[command]
    function = getattr(tablegen, command)

    def frame(path: Path, **given: str) -> pd.DataFrame:
        found = function("alder", "45", refrigerant="R448A", **at, **more, **given, catalogue=path)
        return found if isinstance(found, pd.DataFrame) else found.frame()

    of_file, own = frame(eight), frame(twelve, coil_difference="8F")
    # What a figure was written in differs.
    own, of_file = (shown.drop(columns=["source"], errors="ignore") for shown in (own, of_file))
    pd.testing.assert_frame_equal(own, of_file)
    with pytest.raises(AssertionError):
        pd.testing.assert_frame_equal(own, frame(twelve).drop(columns=["source"], errors="ignore"))


def test_a_stated_maximum_superheat_has_the_limits_of_its_sst():
    by_sst = tablegen.pick("R448A", sst="25F", load="7 kBtu/h", application="walk_in_medium", catalogue=WORKED)
    given = tablegen.pick(**CASE, coil_difference="10F", catalogue=WORKED)
    other = tablegen.pick(**{**CASE, "box": "33F"}, coil_difference="8F", catalogue=WORKED)
    limits = ["family", "size", "min_load_w", "max_load_w", "margin"]
    for own in (given, other):
        pd.testing.assert_frame_equal(own.frame()[limits], by_sst.frame()[limits])
        assert "limits are computed with it" not in str(own)


def test_a_difference_that_leaves_no_superheat_is_refused_where_it_is_given(twelve, tmp_path, capsys):
    code = main(
        ["pick", "R448A", "--box", "35F", "--coil-difference", "4F", "--load", "7 MBH", "--catalogue", str(twelve)]
    )
    assert code == 2
    assert capsys.readouterr().err.startswith(
        "--coil-difference: a TD of 4.0 °F (2.2 K) gives a maximum superheat of 2.6 °F (1.4 K) in walk_in_medium"
    )
    path = tmp_path / "jobs.csv"
    path.write_text("refrigerant,box,TD [degF],load\nR448A,35F,4,7 MBH\nR448A,35F,12,4 MBH\n", encoding="utf-8")
    found = tablegen.pick(jobs=path, catalogue=twelve)
    [problem] = found.problems
    assert "jobs.csv:2: TD [degF]: a TD of 4.0 °F" in problem and found.frame()["size"].tolist()[1]


def test_a_list_of_too_many_differences_is_refused_in_one_line(twelve):
    count = _MOST_DIFFERENCES + 1
    jobs = pd.DataFrame({"coil_difference": [f"{12.1 + 0.1 * i:.1f}F" for i in range(count)]})
    jobs = jobs.assign(refrigerant="R448A", box="36F", load="4 MBH", application="walk_in_medium")
    with pytest.raises(tablegen.RequestError, match=f"coil_difference: {count} different values.*at most {count - 1}"):
        tablegen.pick_jobs(jobs, catalogue=twelve)
    assert (tablegen.pick_jobs(jobs.iloc[:1], catalogue=twelve)["size"] != "").all()


def test_minimum_loads_from_the_loop_change_too(twelve):
    assert difference_effect(load_catalogue(twelve), "walk_in_medium") is DifferenceEffect.MAXIMUM
    derived = load_catalogue(DERIVED / "catalogue.yaml")
    found = {name: difference_effect(derived, name) for name in ("carried", "flashing", "looped", "follower")}
    assert found == {
        "carried": DifferenceEffect.MAXIMUM,
        "flashing": DifferenceEffect.NOTHING,
        "looped": DifferenceEffect.ALL,
        "follower": DifferenceEffect.ALL,
    }


@pytest.mark.parametrize("written", ["5F", "5 degF", "5 delta_degF"])
def test_subcooling_is_written_like_a_coil_temperature_difference(written, capsys):
    asked = ["convert", "R448A", "--capacity", "20 MBH", "--condensing", "95F", "--basis", "bubble", "--sst", "24F"]
    assert main([*asked, "--subcooling", written, "--application", "walk_in_medium", "--demo"]) == 0
    assert "5 °F" in capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
