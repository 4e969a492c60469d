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
    shown = refusal(capsys, *PICK, f"--load={load}")
    assert shown == f"--load: {load!r} is not allowed; it must be above zero"


def test_a_capillary_that_is_not_offered_is_shown_as_typed(capsys):
    shown = refusal(capsys, *PICK, "--load", "20 kBtu/h", "--family", "alder", "--capillary", "7 ft")
    assert shown.startswith("--capillary: '7 ft' is not allowed; Alder is offered with ")
    assert "3.048 m (10 ft)" in shown


def test_liquid_above_its_bubble_point_is_refused_in_both_scales(capsys):
    shown = refusal(capsys, *CONVERT, "--liquid", "130 degF")
    assert "liquid at 130.0 degF (54.4 degC) would be above the bubble point at that head pressure, " in shown
    assert " K" not in shown


def test_a_name_of_both_a_refrigerant_and_a_group_is_listed_once(capsys):
    shown = refusal(capsys, "pick", "R407X", *PICK[2:], "--load", "20 kBtu/h")
    names = shown.split("must be one of ")[1].split(" (did")[0].split(", ")
    assert "R407C" in names and len(names) == len(set(names))
