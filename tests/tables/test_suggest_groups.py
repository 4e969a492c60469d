"""Suggested groups against the spread worked out the long way, and the report."""

import csv
import itertools
import json
from pathlib import Path

import numpy as np
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.model.head_settings import at_equal_condensing
from tablegen.model.solving import law_of, solve
from tablegen.tables.suggest_groups import suggest
from tests.demo import demo_data
from tests.registry import registry

CATALOGUE = Path(__file__).resolve().parents[2] / "configs" / "catalogue.yaml"


@pytest.fixture(scope="module")
def catalogue():
    return load_catalogue(CATALOGUE, Selection(also=("R449B", "R744", "R22")))


@pytest.fixture(scope="module")
def data():
    return demo_data()


@pytest.fixture(scope="module")
def found(catalogue):
    application, family = catalogue.applications["walk_in_medium"], catalogue.families["alder"]
    reference = catalogue.refrigerants["R404A"]
    grouped = {m for g in catalogue.groups.values() for m in g.members}
    solved = []
    for name, fluid in catalogue.refrigerants.items():
        own = application if name in grouped else at_equal_condensing(application, fluid, [reference])
        solved.append(solve(fluid, own, [law_of(family)]))
    return suggest(application, law_of(family), solved, [family], cut=0.05)


def spread(data, members, application, flow_law="orifice"):
    """Largest ratio of required Kv between two members at one state, less one; from the printed data set."""
    rows = data.states[(data.states["application"] == application) & (data.states["flow_law"] == flow_law)]
    rows = rows[rows["open_share"] == 1.0]
    wide = rows.pivot(index=["sst_k", "condition"], columns="refrigerant", values="required_kv_m3h_per_kw")
    pairs = itertools.combinations(members, 2)
    return max((max((wide[a] / wide[b]).max(), (wide[b] / wide[a]).max()) for a, b in pairs), default=1.0) - 1.0


@pytest.mark.parametrize("application", ["walk_in_medium", "walk_in_low"])
def test_height_of_a_join_is_the_spread_that_its_group_would_have(data, application):
    entry = next(s for s in data.summary.suggestions if s.application == application)
    clusters = {i: [name] for i, name in enumerate(entry.names)}
    for index, (a, b, height, count) in enumerate(entry.merges):
        joined = clusters.pop(a) + clusters.pop(b)
        clusters[len(entry.names) + index] = joined
        assert len(joined) == count
        assert height == pytest.approx(spread(data, joined, application), rel=1e-9)
    assert len(clusters) == 1


def test_groups_stay_within_the_cut_and_joining_two_would_not(data):
    for entry in data.summary.suggestions:
        groups = [group.members for group in entry.groups]
        assert sorted(itertools.chain(*groups)) == sorted(entry.names)
        place = entry.application, entry.flow_law
        for group in entry.groups:
            assert group.spread <= entry.cut
            assert group.spread == pytest.approx(spread(data, group.members, *place), abs=1e-9)
        for a, b in itertools.combinations(groups, 2):
            assert spread(data, a + b, *place) > entry.cut


def test_near_twins_are_joined_and_the_trade_groups_are_found(found):
    # common practice: R449B replaces R449A, and R448A, R449A and R407A share tables.
    (group,) = (g for g in found.groups if "R448A" in g.members)
    assert {"R448A", "R449A", "R449B", "R407A"} <= set(group.members)


def test_one_that_has_no_state_is_left_out_with_the_reason(found):
    assert found.left_out == {"R744": "low_head: property_range"}
    assert "R744" not in found.names


def test_a_setting_is_judged_for_every_member(found):
    (group,) = (g for g in found.groups if "R448A" in g.members)
    (setting,) = (s for s in group.settings if s.setting_refrigerant == "R448A")
    assert set(setting.min_static_superheat_k) == set(group.members)
    assert setting.min_static_superheat_k["R448A"] > 2.0


def test_equal_condensing_moves_pressure_settings_alone(catalogue):
    application = catalogue.applications["walk_in_medium"]
    fluid, reference = catalogue.refrigerants["R22"], catalogue.refrigerants["R404A"]
    moved = at_equal_condensing(application, fluid, [reference]).systems["R22"]
    kept = application.systems["R22"]
    at = np.array(kept.low_head.head.pressure_pa)
    assert moved.low_head.head.condensing_temperature_k == pytest.approx(float(reference.bubble_temperature(at)))
    assert (moved.rating, moved.high_head) == (kept.rating, kept.high_head)
    # R134a has a head of its own: it was set on purpose.
    own = catalogue.refrigerants["R134a"]
    assert at_equal_condensing(application, own, [reference]).systems["R134a"] == application.systems["R134a"]


def answered(capsys, *arguments):
    """The answer as JSON, and its sections."""
    assert main(["suggest", "groups", "--json", *arguments]) == 0
    answer = json.loads(capsys.readouterr().out)
    return answer, list(answer["sections"].values())


def remarks(capsys, *arguments):
    """The printed rows of groups, folded lines joined, by application and flow law."""
    assert main(["suggest", "groups", *arguments]) == 0
    return " ".join(capsys.readouterr().out.split())


def test_answer_has_groups_settings_and_what_is_left_out(capsys):
    arguments = ["--demo", "--refrigerants", "R744,r-427a", "--application", "walk_in_medium"]
    answer, sections = answered(capsys, *arguments)
    assert {row["application"] for row in answer["tables"]["groups"]} == {"walk_in_medium"}
    assert [own["facts"]["flow_law"] for own in sections] == ["orifice", "discharge_coefficient", "choked"]
    assert sections[0]["tables"]["left_out"] == [{"refrigerant": "R744", "reason": "low_head: property_range"}]
    (group,) = (
        row for row in answer["tables"]["groups"] if "R427A" in row["refrigerants"] and row["flow_law"] == "orifice"
    )
    settings = [row for row in sections[0]["tables"]["settings"] if row["group"] == group["group"]]
    assert {row["charge"] for row in settings} == {"cross-448-medium"}
    assert all(row["refrigerants"] == group["refrigerants"] for row in settings)
    shown = remarks(capsys, *arguments)
    assert "R427A would flood back with the setting of alder cross-448-medium and rowan cross-448-medium" in shown
    assert "R744 at low head, refrigerant properties cannot be computed at this operating point" in shown


def test_csv_has_a_row_for_each_group(capsys, tmp_path):
    target = tmp_path / "groups.csv"
    answer, _ = answered(capsys, "--demo", "--application", "walk_in_low", "--csv", str(target))
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    assert [row["refrigerants"].split("; ") for row in rows] == [
        row["refrigerants"] for row in answer["tables"]["groups"]
    ]
    assert list(rows[0]) == [
        "application",
        "flow_law",
        "group",
        "refrigerants",
        "spread",
        "safety_groups",
        "dew_pressure_ratio",
    ]


@pytest.mark.slow
def test_a_group_by_required_kv_alone_is_marked_where_dew_pressures_are_far_apart(capsys, catalogue):
    """At 25 degF, more than a factor of 1.5; one that is near, such as R404A and R507A, is not."""
    answer, _ = answered(capsys, "--catalogue", str(CATALOGUE))
    at = np.array([(25.0 + 459.67) / 1.8])
    dew = {name: float(fluid.dew(at).pressure_pa[0]) for name, fluid in catalogue.refrigerants.items()}
    marked = 0
    for row in answer["tables"]["groups"]:
        own = [dew[name] for name in row["refrigerants"]]
        assert row["dew_pressure_ratio"] == pytest.approx(max(own) / min(own))
        marked += row["dew_pressure_ratio"] > 1.5
    shown = remarks(capsys, "--catalogue", str(CATALOGUE))
    assert shown.count("grouped by required Kv only: dew pressures at 25 °F differ by a factor of") == marked >= 4
    assert shown.count("check working pressure and settings") == marked


def test_one_argument_lists_the_refrigerants(capsys):
    arguments = ["--refrigerants", "R290, R-22", "--catalogue", str(CATALOGUE), "--application", "walk_in_medium"]
    answer, _ = answered(capsys, *arguments)
    assert any(
        {"A1", "A3"} <= set(row["safety_groups"]) for row in answer["tables"]["groups"] if "R290" in row["refrigerants"]
    )
    assert "mixes safety groups A1 and A3" in remarks(capsys, *arguments)


@pytest.mark.slow
def test_all_takes_the_whole_registry(capsys):
    answer, sections = answered(capsys, "--demo", "--refrigerants", "all", "--application", "walk_in_low")
    for own in sections:
        left_out = [row["refrigerant"] for row in own["tables"]["left_out"]]
        grouped = [
            name
            for row in answer["tables"]["groups"]
            if row["flow_law"] == own["facts"]["flow_law"]
            for name in row["refrigerants"]
        ]
        assert sorted(left_out + grouped) == sorted(registry())


def test_marks_are_those_of_the_figures(found, catalogue):
    """Floodback at no superheat, shut beyond the application's maximum."""
    application = catalogue.applications["walk_in_medium"]
    (setting,) = (s for g in found.groups for s in g.settings if s.setting_refrigerant == "R448A")
    for name, minimum in setting.min_static_superheat_k.items():
        assert (name in setting.flooding) == (minimum <= 0.0)
        # A share of the difference between box and SST, which is one along the grid.
        system = application.systems[name]
        assert (name in setting.shut) == (minimum > system.superheat.max_share * system.box_difference_k)


def test_a_member_that_would_stay_shut_is_marked(capsys):
    """R407F in a group with R407C, under the charge that is set for R407C."""
    answer, _ = answered(capsys, "--demo", "--application", "walk_in_medium")
    assert any({"R407F", "R407C"} == set(row["refrigerants"]) for row in answer["tables"]["groups"])
    shown = remarks(capsys, "--demo", "--application", "walk_in_medium")
    assert "R407F would stay closed with the setting of alder cross-407C-medium" in shown


def test_present_groups_are_spread_as_the_suggested_ones(data, capsys):
    for entry in data.summary.suggestions:
        assert "R404A-R507A" in entry.present
        for name, value in entry.present.items():
            members = data.catalogue.groups[name].members
            assert value == pytest.approx(spread(data, members, entry.application, entry.flow_law), abs=1e-9)
    _, sections = answered(capsys, "--demo", "--application", "walk_in_medium")
    entry = next(s for s in data.summary.suggestions if (s.application, s.flow_law) == ("walk_in_medium", "orifice"))
    assert {row["group"]: row["spread"] for row in sections[0]["tables"]["present"]} == pytest.approx(entry.present)


def test_safety_groups_are_those_of_the_members(data):
    for entry in data.summary.suggestions:
        for group in entry.groups:
            own = {data.catalogue.records[name].safety_group for name in group.members}
            assert group.safety_groups == tuple(sorted(own))


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (
            ["--application", "walkin"],
            "--application: 'walkin' is not allowed; an application must be one of walk_in_medium, walk_in_low",
        ),
        (["--spread", "10"], "--spread: 10 is not allowed; it has no unit"),
        (["--spread", "0 percent"], "--spread: '0 percent' is not allowed; it must be above 0"),
        (["--spread", "0.1"], "--spread: 0.1 is not allowed; it has no unit; a share takes"),
        (["--spread", "0.1"], "(write '10 percent' if that is meant)"),
        (["--refrigerants", "R717a"], "--refrigerants: 'R717a' is not allowed; a refrigerant must be one of"),
        (["--refrigerants", "R717a"], "did you mean R717?"),
        (["--refrigerants", ""], "--refrigerants: '' is not allowed; it takes names separated by commas"),
        (["--refrigerants", "R22,"], "--refrigerants: 'R22,' is not allowed"),
        (["--refrigerants", "all,R22"], "--refrigerants: 'all' is not allowed"),
    ],
)
def test_problems_are_one_line_and_code_2(arguments, part, capsys):
    assert main(["suggest", "groups", "--demo", *arguments]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert part in line
