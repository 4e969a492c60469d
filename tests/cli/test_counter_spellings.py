"""A counter's spellings at the command line: refrigerants, temperatures below zero, loads."""

import pickle

import pandas as pd
import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.config import packaged_configs
from tablegen.errors import RequestError, as_asked
from tablegen.model.names import asked_refrigerant, refrigerant_name

NAMES = sorted(path.stem for path in (packaged_configs() / "refrigerants").glob("*.yaml"))
PICK = ["--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium", "--demo"]


@pytest.mark.parametrize("name", NAMES)
def test_every_packaged_refrigerant_is_known_by_its_trade_spellings(name):
    bare = name.removeprefix("R")
    for text in (name, f"R-{bare}", f"R {bare}", bare, name.lower(), name.upper(), f" r-{bare.lower()} "):
        assert refrigerant_name(text) == name


@pytest.mark.parametrize("name", ["Mine-1", "R404A-R507A", "R448A-family", "CO2", "R", "R13I1", "R404AA-1", ""])
def test_other_names_stay_as_they_are(name):
    assert refrigerant_name(name) == name


def answer(capsys, *arguments):
    code = main([*map(str, arguments)])
    return code, capsys.readouterr().out


@pytest.mark.parametrize("name", ["R-448A", "r448a", "448A"])
def test_pick_answers_for_the_refrigerant_that_is_meant(name, capsys):
    assert answer(capsys, "pick", name, *PICK) == answer(capsys, "pick", "R448A", *PICK)


@pytest.mark.parametrize(
    ("sst", "load"),
    [("24F", "20 MBH"), ("24 °F", "20,000 BTUH"), ("24 F", "20000 BTU/hr"), ("24 deg F", "20000 Btuh")],
)
def test_pick_reads_the_spellings_of_the_trade(sst, load, capsys):
    spelled = ["--sst", sst, "--load", load, *PICK[4:]]
    assert answer(capsys, "pick", "R448A", *spelled) == answer(capsys, "pick", "R448A", *PICK)


@pytest.mark.parametrize(
    "sst", [["--sst", "-10F"], ["--sst", "-10 degF"], ["--sst=-10F"], ["--sst", "\N{MINUS SIGN}10 °F"]]
)
def test_a_temperature_below_zero_is_a_value_and_no_option(sst, capsys):
    rest = ["--load", "10 kBtu/h", "--application", "walk_in_low", "--demo"]
    code, text = answer(capsys, "pick", "R448A", *sst, *rest)
    assert code in (0, 1)
    assert "\N{MINUS SIGN}10 °F" in text


def test_the_states_begin_where_a_temperature_below_zero_says(capsys):
    code, text = answer(capsys, "states", "r-448a", "--coldest", "-20F", "--warmest", "-.5C", "--step", "9 delta F")
    assert code == 0
    assert "R448A" in text
    assert "\N{MINUS SIGN}20" in text


CONVERT = ["--capacity", "20 MBH", "--condensing", "120F", "--basis", "dew", "--liquid", "90F", *PICK[:2], *PICK[4:]]


@pytest.mark.parametrize("sst", ["21.5 psig", "21.5psi", "1.5 bar gauge"])
def test_a_suction_pressure_is_answered_with_where_its_temperature_is(sst, capsys):
    assert main(["pick", "R448A", "--sst", sst, "--load", "20 MBH", "--application", "walk_in_medium", "--demo"]) == 2
    line = capsys.readouterr().err.strip()
    assert line.startswith(f"--sst: '{sst}' is a pressure;") and "'tablegen states'" in line


def test_a_difference_without_a_unit_is_answered_with_what_people_type(capsys):
    asked = ["pick", "R448A", "--box", "35F", "--coil-difference", "8", "--load", "20 MBH", "--demo"]
    assert main([*asked, "--application", "walk_in_medium"]) == 2
    assert "(for example '10F')" in capsys.readouterr().err


UNKNOWN = [
    ["pick", "R-999Z", *PICK],
    ["convert", "R-999Z", *CONVERT],
    ["trace", "alder", "90", "R-999Z", *PICK[:2], *PICK[4:]],
    ["retrofit", "alder", "63", "--refrigerant", "R-999Z", *PICK],
    ["retrofit", "alder", "63", "--refrigerant", "R404A", "--was", "R-999Z", *PICK],
    ["table", "alder", "R-999Z", "--application", "walk_in_medium", "--demo"],
    ["states", "R-999Z"],
    ["verify", "R404A", "R-999Z"],
    ["suggest", "groups", "--refrigerants", "R404A,R-999Z", "--demo"],
]


@pytest.mark.parametrize("arguments", UNKNOWN, ids=lambda arguments: " ".join(arguments[:3]))
def test_an_unknown_refrigerant_is_named_as_it_was_typed(arguments, capsys):
    assert main(arguments) == 2
    assert "'R-999Z' is not" in capsys.readouterr().err


def test_functions_name_an_unknown_refrigerant_as_it_was_typed():
    case = {"sst": "24F", "application": "walk_in_medium"}
    for ask in (
        lambda: tablegen.pick("R-999Z", load="20 MBH", **case),
        lambda: tablegen.windows("R-999Z", "walk_in_medium", family="alder"),
        lambda: tablegen.states("R-999Z"),
    ):
        with pytest.raises(RequestError, match="'R-999Z' is not"):
            ask()
    jobs = pd.DataFrame(
        {"refrigerant": ["R-999Z"], "sst": ["24F"], "load": ["20 MBH"], "application": [case["application"]]}
    )
    assert "R-999Z" in tablegen.pick_jobs(jobs)["reason"].iloc[0]


def test_how_a_name_was_spelled_stays_with_who_asked():
    """Names of a catalogue are texts like any other, in every process."""
    asked = asked_refrigerant("R-448A")
    assert asked == "R448A" and as_asked(asked) == "R-448A"
    assert type(pickle.loads(pickle.dumps(asked))) is str
    assert type(refrigerant_name("R-448A")) is str
