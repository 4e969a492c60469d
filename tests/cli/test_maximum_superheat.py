"""The maximum superheat of an application that belongs to its coil: what answers, pages and checks say of it."""

from __future__ import annotations

import json

import pytest

from tablegen.cli.main import main
from tablegen.config.document import read_document
from tablegen.config.loader import load_catalogue
from tests.demo import CATALOGUE
from tests.small import HARD, small_catalogue

WHERE = ("--catalogue", str(CATALOGUE), "--application", "walk_in_medium")
SHARE = ("--set", "superheat.maximum_share=65 percent")
STATED = ("--set", "superheat.maximum=10 delta_degF")
LOSS = ("--set", "superheat.coil_capacity_loss=10 percent", "--set", "coil.conductance_ratio=35 percent")
LOSS = (*LOSS, "--set", "coil.source=assumed")
COMMANDS = {
    "pick": ("pick", "R404A", "--load", "20 kBtu/h"),
    "retrofit": ("retrofit", "alder", "63", "--refrigerant", "R404A", "--load", "20 kBtu/h"),
    "trace": ("trace", "alder", "63", "R404A"),
}
TD_DEGF = 1.8 * (load_catalogue(CATALOGUE).applications["walk_in_medium"].coil_temperature_difference_k or 0.0)


def shown(degf: float) -> str:
    """A temperature difference as print has it."""
    return f"{degf:.0f} °F" if abs(degf - round(degf)) < 1e-6 else f"{degf:.1f} °F"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main([*arguments, *WHERE]) in (0, 1)
    out, err = capsys.readouterr()
    assert not err
    return " ".join(out.replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.parametrize("command", COMMANDS)
def test_an_answer_says_what_gives_the_maximum_superheat(command, capsys):
    out = run(capsys, *COMMANDS[command], "--box", "34F", *SHARE)
    assert f"Maximum superheat {shown(0.65 * TD_DEGF)} (65 % of the coil's temperature difference)" in out
    assert "limits are computed with" not in out
    stated = run(capsys, *COMMANDS[command], "--box", "34F", *STATED)
    assert "Maximum superheat" not in stated


@pytest.mark.parametrize("command", COMMANDS)
def test_with_another_difference_an_answer_says_that_its_limits_are_computed_with_it(command, capsys):
    out = run(capsys, *COMMANDS[command], "--box", "38F", "--coil-difference", "14F", *SHARE)
    own = f"limits are computed with it, not with the application's TD of {shown(TD_DEGF)}"
    assert f"Box 38 °F, TD 14 °F (as given; {own})" in out and "Maximum superheat 9.1 °F" in out
    stated = run(capsys, *COMMANDS[command], "--box", "38F", "--coil-difference", "14F", *STATED)
    assert "TD 14 °F (as given)" in stated


def test_a_loss_of_capacity_gives_a_range_that_the_trade_would_know(capsys):
    """EN 328 rates unit coolers at 0.65 of the temperature difference (from memory): 6.5 of 10 °F, more with colder liquid."""
    arguments = (*COMMANDS["pick"], "--box", "34F", *LOSS, *WHERE, "--json")
    assert main([*arguments]) in (0, 1)
    facts = json.loads(capsys.readouterr().out)["facts"]
    low, high = (facts[key] * 1.8 for key in ("smallest_max_superheat_k", "largest_max_superheat_k"))
    assert 0.55 * TD_DEGF < low <= high < 0.78 * TD_DEGF


def test_less_superheat_lowers_maximum_loads_alone(capsys):
    # Half of the opening superheat above the static one: a stroke of about half.
    [setting] = (
        charge["setting"]
        for charge in read_document(CATALOGUE.parent / "families" / "alder.yaml").data["charges"]
        if charge["charge"] == "cross-404-medium"
    )
    static, opening = (float(setting[key].split()[0]) for key in ("static_superheat", "opening_superheat"))
    less = ("--set", f"superheat.maximum_share={100.0 * (static + 0.5 * opening) / TD_DEGF:.1f} percent")
    found = []
    for more in (STATED, less):
        assert main([*COMMANDS["pick"], "--sst", "24F", *more, *WHERE, "--family", "alder", "--json"]) in (0, 1)
        [rows] = (rows for key, rows in json.loads(capsys.readouterr().out)["tables"].items() if key == "sizes")
        found.append([(row["min_load_w"], row["max_load_w"]) for row in rows])
    assert any(of_coil[1] < 0.95 * stated[1] for stated, of_coil in zip(*found, strict=True))
    for stated, of_coil in zip(*found, strict=True):
        assert of_coil[0] == stated[0]
        assert of_coil[1] <= stated[1]


def test_check_warns_of_superheat_near_the_box_temperature(tmp_path, capsys):
    parts = (["elm"], {"one": ["R404A"]}, ["part_load"])
    for name, maximum, is_near in (("a", "maximum: 8.2", True), ("b", "maximum: 8", False)):
        edit = ("applications/part_load.yaml", "maximum: 10 delta_degF", f"{maximum} delta_degF")
        path = small_catalogue(tmp_path / name, *parts, [edit], source=HARD)
        assert main(["check", "--catalogue", str(path)]) == 0
        assert ("percent of the temperature difference between box and SST" in capsys.readouterr().err) is is_near
