"""What is asked for and cannot be: one line that names the option and shows what was typed."""

import pytest

from tablegen.cli.main import main

PICK = ["pick", "R448A", "--sst", "24 degF", "--application", "walk_in_medium", "--demo"]
CONVERT = [
    "convert",
    "R448A",
    "--capacity",
    "20 kBtu/h",
    "--condensing",
    "120 degF",
    "--basis",
    "dew",
    "--sst",
    "24 degF",
    "--application",
    "walk_in_medium",
    "--demo",
]


def refusal(capsys, *arguments: str) -> str:
    assert main(list(arguments)) == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    return line


@pytest.mark.parametrize("load", ["-3 kBtu/h", "0 kW"])
def test_a_load_is_above_zero(load, capsys):
    told = refusal(capsys, *PICK, f"--load={load}")
    assert told == f"--load: {load!r} is not allowed; it must be above zero"


def test_a_capillary_that_is_not_offered_is_shown_as_typed(capsys):
    told = refusal(capsys, *PICK, "--load", "20 kBtu/h", "--family", "alder", "--capillary", "7 ft")
    assert told.startswith("--capillary: '7 ft' is not allowed; Alder is offered with ")
    assert "3.048 m (10 ft)" in told


def test_liquid_above_its_bubble_point_is_told_in_both_scales(capsys):
    told = refusal(capsys, *CONVERT, "--liquid", "130 degF")
    assert "liquid at 130.0 degF (54.4 degC) is above its bubble point at that head, " in told
    assert " K" not in told


def test_a_name_of_both_a_refrigerant_and_a_group_is_listed_once(capsys):
    told = refusal(capsys, "pick", "R407X", *PICK[2:], "--load", "20 kBtu/h")
    names = told.split("must be one of ")[1].split(" (did")[0].split(", ")
    assert "R407C" in names and len(names) == len(set(names))
