"""Which application answers a case: the one named if it covers the temperature, else the only one that does."""

from __future__ import annotations

import json
import re

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.errors import RequestError
from tests.demo import CATALOGUE

WHERE = ["--catalogue", str(CATALOGUE)]
DEMO = ["--demo"]
NOTE = ": the only application with a valve for this refrigerant at this SST"
LOAD = ["--load", "5 kBtu/h"]


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    code = main([*arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize("where", [WHERE, DEMO], ids=["whole", "narrowed"])
@pytest.mark.parametrize(
    ("asked", "message"),
    [
        (
            ["R404A", "--sst", "-10 degF"],
            "several applications cover an SST of -10.0 degF (-23.3 degC) for R404A: walk_in_low, walk_in_low_fixed; name "
            "one with --application",
        ),
        (
            ["R404A", "--sst", "-10 degF", "--application", "walk_in_medium"],
            "walk_in_medium covers an SST of 10 to 40 degF (-12.2 to 4.4 degC), not -10.0 degF (-23.3 degC); for R404A "
            "that SST is covered by walk_in_low, walk_in_low_fixed",
        ),
        (["R404A", "--sst", "5 degF"], "walk_in_low and walk_in_low_fixed cover -40 to 0 degF (-40 to -17.8 degC)"),
        (
            ["R134a", "--sst", "-10 degF"],
            "walk_in_low covers it, but has no valve for R134a: Offered for coolers only;",
        ),
        (
            ["R134a", "--sst", "-10 degF", "--application", "walk_in_low"],
            "no valve is offered for R134a in walk_in_low: Offered for coolers only.",
        ),
    ],
)
def test_what_no_application_answers_is_refused_with_what_does(asked, message, where, capsys):
    code, out, err = run(capsys, "pick", *asked, *LOAD, *where)
    assert (code, out) == (2, "")
    assert message in err and err.count("\n") == 1


@pytest.mark.parametrize("where", [WHERE, DEMO], ids=["whole", "narrowed"])
def test_the_only_application_that_covers_the_temperature_is_taken_and_named(where, capsys):
    code, out, _ = run(capsys, "pick", "R407C", "--sst", "-10 degF", *LOAD, *where)
    assert code == 0
    [chosen] = [line for line in out.splitlines() if "the only application with a valve for this" in line]
    assert chosen.startswith("Application ")
    named = run(capsys, "pick", "R407C", "--sst", "-10 degF", *LOAD, "--application", "walk_in_low", *where)[1]
    assert " ".join(out.split()).replace(NOTE, "") == " ".join(named.split())
    record = json.loads(run(capsys, "pick", "R407C", "--sst", "-10 degF", *LOAD, "--json", *where)[1])
    assert record["facts"]["application_was_chosen"] is True
    assert record["facts"]["application"] == "walk_in_low"


def test_values_set_for_the_case_are_set_in_the_application_that_was_taken(capsys):
    asked = ["pick", "R407C", "--sst", "-10 degF", *LOAD, "--set", "losses.lift=15 ft", *WHERE]
    out = run(capsys, *asked)[1]
    assert re.search(r"(?m)^Changed +losses.lift=15 ft$", out)
    named = run(capsys, *asked, "--application", "walk_in_low")[1]
    assert " ".join(out.split()).replace(NOTE, "") == " ".join(named.split())


@pytest.mark.parametrize(
    "asked",
    [
        ["trace", "alder", "22", "R407C", "--sst", "-10 degF"],
        [
            "convert",
            "R407C",
            "--capacity",
            "5 kBtu/h",
            "--condensing",
            "110 degF",
            "--basis",
            "bubble",
            "--subcooling",
            "5 delta_degF",
            "--sst",
            "-10 degF",
        ],
        ["retrofit", "alder", "22", "--refrigerant", "R407C", "--sst", "-10 degF", *LOAD],
    ],
    ids=["trace", "convert", "retrofit"],
)
def test_every_command_reads_the_application_alike(asked, capsys):
    code, out, err = run(capsys, *asked, *WHERE)
    assert code in (0, 1) and err == ""
    assert "freezer" in out
    code, out, err = run(capsys, *asked, "--application", "walk_in_medium", *WHERE)
    assert (code, out) == (2, "")
    assert "for R407C that SST is covered by walk_in_low" in err


def test_python_reads_it_alike():
    with pytest.raises(RequestError, match="several applications cover"):
        tablegen.pick("R404A", sst="24 degF", load="5 kW", catalogue=CATALOGUE)
    with pytest.raises(RequestError, match="no valve is offered for R134a in walk_in_low"):
        tablegen.windows("R134a", "walk_in_low", catalogue=CATALOGUE)
    taken = tablegen.pick("R134a", sst="24 degF", load="5 kW", catalogue=CATALOGUE)
    named = tablegen.pick("R134a", sst="24 degF", load="5 kW", application="walk_in_medium", catalogue=CATALOGUE)
    assert taken.frame().equals(named.frame())
    assert set(tablegen.windows("R407C", "walk_in_low", catalogue=CATALOGUE)["family"]) == {"alder"}


@pytest.mark.parametrize("key", ["suction.sst_range.minimum=-20 degF", "temperature_range=low_temperature"])
def test_no_case_changes_what_is_offered(key, capsys):
    asked = ["pick", "R134a", "--sst", "0 degF", *LOAD, "--application", "walk_in_medium", "--set", key, *WHERE]
    code, out, err = run(capsys, *asked)
    assert (code, out) == (2, "")
    assert "sets what the catalogue offers and cannot be changed for one case" in err and err.count("\n") == 1


def test_a_refrigerant_in_no_group_has_a_verdict_and_no_offer(capsys):
    """The existing valve is judged; other sizes and charges are not offered for what the catalogue does not list."""
    asked = [
        "retrofit",
        "alder",
        "63",
        "--refrigerant",
        "R452A",
        "--was",
        "R404A",
        "--sst",
        "24 degF",
        "--load",
        "40 kBtu/h",
        "--application",
        "walk_in_medium",
        *WHERE,
    ]
    code, out, _ = run(capsys, *asked)
    flat = " ".join(out.split())
    assert code == 1
    assert "R452A is in no group of this catalogue, which offers no other size or charge for it." in flat
    assert "would cover the load" not in flat
    record = json.loads(run(capsys, *asked, "--json")[1])
    assert record["tables"]["other_sizes"] == [] and record["facts"]["offered_charge"] == ""


def test_an_old_system_that_is_not_offered_today_is_said_to_be(capsys):
    asked = [
        "retrofit",
        "hazel",
        "100",
        "--refrigerant",
        "R448A",
        "--sst",
        "24 degF",
        "--load",
        "10 kBtu/h",
        "--application",
        "walk_in_medium",
        "--was-application",
        "walk_in_medium_fixed",
        *WHERE,
    ]
    flat = " ".join(run(capsys, *asked)[1].split())
    assert (
        "The catalogue does not offer the valve for the old system today: Electronic valves are offered for floating head pressure only."
        in flat
    )
