"""Heads that a refrigerant, an application or a valve cannot have are refused by file, line and key."""

import json
import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.errors import ConfigError
from tests.demo import demo_catalogue
from tests.small import DEMO, Edit, small_catalogue

MEDIUM = "applications/walk_in_medium.yaml"
LOW = "  head_pressure: 135 psi_gauge\n"
HIGH = "high_head:\n  condensing_temperature: 115 degF\n"
R290 = {"one": ["R404A", "R507A"], "two": ["R290"]}
# Not approved for it, the family would have no table of R290 to compare.
APPROVED = ("families/hazel.yaml", "safety_groups: [A1, A2L]", "safety_groups: [A1, A2L, A3]")


def refused(path: Path) -> str:
    with pytest.raises(ConfigError) as caught:
        load_catalogue(path)
    return str(caught.value)


def line_of(path: Path, text: str) -> int:
    content = path.read_text(encoding="utf-8")
    return content[: content.index(text)].count("\n") + 1


def changed(tmp_path: Path, *edits: Edit, groups=None, families=("hazel",), applications=("walk_in_medium",)) -> Path:
    return small_catalogue(tmp_path / "c", families, groups or {"one": ["R404A", "R507A"]}, applications, edits)


def test_one_setting_for_refrigerants_that_it_means_different_temperatures_for_is_refused(tmp_path):
    """135 psi gauge is 82.8 degF of R290 (the saturated table of any handbook gives some 83 degF)."""
    path = changed(tmp_path, APPROVED, groups=R290)
    medium = path.parent / MEDIUM
    err = refused(path)
    assert f"/{MEDIUM}:{line_of(medium, LOW)}: low_head.head_pressure: '135 psi_gauge' is not allowed" in err
    assert len(err.splitlines()) == 1
    assert "82.8 degF" in err
    assert "R290, which needs " in err
    # The setting that it asks for is that of the same temperature.
    reference = demo_catalogue().refrigerants["R404A"]
    meant = float(reference.bubble_temperature(np.asarray((135.0 + 14.696) * 6894.757)))
    needed = re.search(r"for R290, which needs ([\d.]+) psi_gauge", err)
    assert needed
    own = load_catalogue(DEMO / "catalogue.yaml", Selection(also=("R290",))).refrigerants["R290"]
    found = float(own.bubble_temperature(np.asarray((float(needed[1]) + 14.696) * 6894.757)))
    assert found == pytest.approx(meant, abs=0.02)
    # And it is taken: alone for R290, or as one temperature for all.
    special = f"by_refrigerant:\n  R290:\n    low_head: {{head_pressure: {needed[1]} psi_gauge}}\n"
    text = medium.read_text(encoding="utf-8")
    medium.write_text(text.replace("by_refrigerant:\n", special), encoding="utf-8")
    load_catalogue(path)
    medium.write_text(text.replace(LOW, "  condensing_temperature: 70 degF\n  basis: bubble\n"), encoding="utf-8")
    load_catalogue(path)


def test_a_refrigerant_that_no_table_is_made_for_is_not_compared(tmp_path):
    """R134a has no table in the low-temperature application of the demo, whose setting does not fit it."""
    left_out = "leave_out:\n  - {group: two, application: walk_in_low, why: Not offered.}\n"
    groups = {"one": ["R404A"], "two": ["R134a"]}
    applications = ["walk_in_medium", "walk_in_low"]
    load_catalogue(small_catalogue(tmp_path / "without", ["hazel"], groups, applications, more=left_out))
    err = refused(small_catalogue(tmp_path / "with", ["hazel"], groups, applications))
    assert "/walk_in_low.yaml:" in err
    assert "for R134a, which needs " in err


def test_the_setting_needed_is_in_the_unit_of_the_file(tmp_path):
    path = changed(tmp_path, APPROVED, (MEDIUM, LOW, "  head_pressure: 10.3 bar_absolute\n"), groups=R290)
    assert re.search(r"for R290, which needs [\d.]+ bar_absolute to condense at the same", refused(path))


@pytest.mark.parametrize(
    ("old", "new", "key", "text"),
    [
        (LOW, "  head_pressure: 260 psi_gauge\n", "low_head.head_pressure", "must be below the rating point's 105.0"),
        (
            LOW,
            "  condensing_temperature: 105 degF\n  basis: bubble\n",
            "low_head.condensing_temperature",
            "it means 105.0 degF (40.6 degC) condensing (bubble) with R404A and must be below the rating point's",
        ),
        (
            HIGH,
            "high_head:\n  condensing_temperature: 100 degF\n",
            "high_head.condensing_temperature",
            "must be above the rating point's 105.0 degF (40.6 degC)",
        ),
    ],
)
def test_heads_out_of_order_are_refused(tmp_path, old, new, key, text):
    path = changed(tmp_path, (MEDIUM, old, new))
    section, _, name = key.partition(".")
    text_from = (path.parent / MEDIUM).read_text(encoding="utf-8").partition(f"\n{section}:")
    line = text_from[0].count("\n") + 2 + text_from[2].partition(f"{name}:")[0].count("\n")
    err = refused(path)
    assert f"{MEDIUM}:{line}: {key}: " in err
    assert text in err
    assert len(err.splitlines()) == 1


EVAPORATOR = "it must be above the evaporator's pressure at every SST of the application: "


def test_a_head_that_leaves_the_valve_no_pressure_is_refused(tmp_path):
    """R404A evaporates at some 85 psi gauge at the warmest SST, 40 degF (dew, of any handbook)."""
    path = changed(tmp_path / "all", (MEDIUM, LOW, "  head_pressure: 80 psi_gauge\n"))
    err = refused(path)
    assert (
        f"/{MEDIUM}:{line_of(path.parent / MEDIUM, '  head_pressure: 80')}: low_head.head_pressure: '80 psi_gauge'"
        in err
    )
    assert EVAPORATOR in err and len(err.splitlines()) == 1
    stated = re.match(r"([\d.]+) psi_gauge \(", err.split(EVAPORATOR)[1])
    assert stated and float(stated[1]) == pytest.approx(85.0, abs=1.0)
    load_catalogue(changed(tmp_path / "more", (MEDIUM, LOW, "  head_pressure: 90 psi_gauge\n")))


def test_a_head_of_one_refrigerant_that_leaves_the_valve_no_pressure_is_refused(tmp_path):
    groups = {"one": ["R404A"], "two": ["R134a"]}
    path = changed(tmp_path, (MEDIUM, "head_pressure: 75 psi_gauge", "head_pressure: 30 psi_gauge"), groups=groups)
    err = refused(path)
    line = line_of(path.parent / MEDIUM, "      head_pressure: 30 psi_gauge")
    assert f"/{MEDIUM}:{line}: by_refrigerant.R134a.low_head.head_pressure: '30 psi_gauge' is not allowed" in err
    assert EVAPORATOR in err and "with R134a at 40.0 degF" in err


def test_a_working_pressure_below_a_head_is_refused_with_both_keys(tmp_path):
    path = changed(tmp_path, ("families/hazel.yaml", "working_pressure: 600", "working_pressure: 200"))
    err = refused(path)
    line = line_of(path.parent / "families/hazel.yaml", "working_pressure:")
    assert f"families/hazel.yaml:{line}: working_pressure: '200 psi_gauge' is not allowed; the rating point of " in err
    assert re.search(rf"walk_in_medium is 2\d\d(\.\d)? psi_gauge or more .*{MEDIUM}:\d+: rating\.condensing_temp", err)
    # A family that is not combined with the application may be of any pressure.
    load_catalogue(changed(tmp_path / "other", families=["alder"]))


@pytest.mark.parametrize("value", ["1350 psi_gauge", "560 psi_gauge", "200 degF"])
@pytest.mark.parametrize("name", sorted(p.name for p in (DEMO / "applications").glob("*.yaml")))
def test_a_head_above_the_critical_point_is_refused_in_every_file(name, value, tmp_path):
    """Every head of every application in turn, those of single refrigerants too."""
    if name == "walk_in_r744.yaml" and value == "560 psi_gauge":
        # R744 condenses at 41 degF there.
        value = "1040 psi_gauge"
    folder = tmp_path / "configs"
    shutil.copytree(DEMO, folder)
    path = folder / "applications" / name
    text = path.read_text(encoding="utf-8")
    new = f"condensing_temperature: {value}" if value.endswith("F") else f"head_pressure: {value}"
    places = list(re.finditer(r"(head_pressure|condensing_temperature): .*(\n +basis: bubble)?", text))
    assert len(places) >= 3
    for place in places:
        basis = f"\n{' ' * 6 if place.start() > text.find('by_refrigerant') > 0 else '  '}basis: bubble"
        written = new + (basis if "condensing" in new else "")
        path.write_text(text[: place.start()] + written + text[place.end() :], encoding="utf-8")
        err = refused(folder / "catalogue.yaml")
        assert f"/{name}:" in err
        # A rating by subcooling needs a temperature; 200 degF is no head of R134a's cold weather either.
        rules = (
            "condensing must stay below",
            "subcooling is measured from saturated",
            "must be below the rating point",
        )
        assert any(rule in err for rule in rules)


def test_a_case_may_set_a_head_for_its_own_refrigerant(capsys):
    asked = ["pick", "R404A", "--sst", "24 degF", "--load", "14 kBtu/h", "--application", "walk_in_medium", "--demo"]
    assert main([*asked, "--set", "low_head.head_pressure=150 psi_gauge"]) == 0
    capsys.readouterr()
    assert main([*asked, "--set", "low_head.head_pressure=300 psi_gauge"]) == 2
    assert "walk_in_medium: the low head is not allowed; it means 117.1 degF" in capsys.readouterr().err
    assert main([*asked, "--set", "high_head.head_pressure=560 psi_gauge"]) == 2
    assert "condensing must stay below 156.4 degF" in capsys.readouterr().err


def test_an_existing_valve_is_read_by_the_same_rules(capsys):
    """A refrigerant in no group is taken at the temperature that the check asks for."""
    asked = ["--sst", "-10 degF", "--load", "5 kBtu/h", "--application", "walk_in_low", "--demo", "--json"]
    charge = ["--charge", "cross-404-low"]
    assert main(["retrofit", "alder", "45", "--refrigerant", "R410A", *asked, *charge]) in (0, 1)
    assert json.loads(capsys.readouterr().out)["tables"]["systems"][0]["moved_heads"] == ["low_head"]


def test_a_source_that_names_a_condensing_temperature_names_the_one_of_its_setting():
    """R134a at 75 psi gauge and R513A at 80; other refrigerants, which a catalogue may not have, are not named."""
    catalogue, text = demo_catalogue(), (DEMO / MEDIUM).read_text(encoding="utf-8")
    source = r"source: \"Set to condense near (\d+) °F \("
    stated = re.findall(rf"  (R\w+):\n.*\n.*\n +{source}", text)
    assert [name for name, _ in stated] == ["R134a", "R513A"]
    applications = catalogue.applications["walk_in_medium"].systems
    for name, degf in stated:
        bubble_k = applications[name].low_head.head.bubble_temperature(catalogue.refrigerants[name])
        assert round(bubble_k * 1.8 - 459.67) == int(degf)
    for path in (DEMO / "applications").glob("*.yaml"):
        assert not re.findall(r"source: .*\bR\d", path.read_text(encoding="utf-8").replace("R744", ""))
