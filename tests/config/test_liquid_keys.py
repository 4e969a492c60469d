"""Where liquid comes from, as an application's file states it: read in SI, refused by its line where it cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from tablegen.audits.findings import FindingKind
from tablegen.audits.run import subcooling_findings
from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.model.inputs import Catalogue
from tablegen.model.liquid_supply import liquid_needs
from tablegen.model.solving import Solved, solve
from tablegen.physics.system import Supply
from tablegen.sweep.head_sweep import head_lines, states_along
from tests.worked import copy_of_worked

NAME = "walk_in_medium_fixed"
FILE = Path("configs") / "applications" / f"{NAME}.yaml"
LIQUID = """
liquid:
  inlet_vapor: 5 percent
  heat_gain: {per_length: 5 Btu/h/ft, length: 60 ft, capacity: 10 kW}
  source: Assumed for this test
"""
RACK = "compressor: {kind: constant_capacity, source: Assumed for this test}\n"
KELVIN = 5.0 / 9.0


@pytest.fixture
def catalogue(tmp_path, monkeypatch) -> Path:
    copy_of_worked(tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs") / "catalogue.yaml"


def write(old: str, new: str) -> None:
    text = FILE.read_text(encoding="utf-8")
    assert old in text
    FILE.write_text(text.replace(old, new, 1), encoding="utf-8")


def add(section: str) -> None:
    FILE.write_text(FILE.read_text(encoding="utf-8") + section, encoding="utf-8")


def with_rack() -> None:
    """The compressor's section replaced, and the scatter that goes with one."""
    text = FILE.read_text(encoding="utf-8")
    start, scatter = text.index("\ncompressor:"), text.index("\nscatter:")
    text = text[:start] + "\n" + RACK + text[scatter:]
    FILE.write_text(text.replace("  compressor_flow: 10 percent\n", ""), encoding="utf-8")


def refused(catalogue: Path, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    [line] = capsys.readouterr().err.splitlines()
    return line


def solved(own: Catalogue) -> Solved:
    return solve(own.refrigerants["R404A"], own.applications[NAME], [])


def test_keys_are_read_in_si(catalogue):
    write("  inlet_subcooling: 5 delta_degF", "  condenser_subcooling_range: {minimum: 4 K, maximum: 9 K}")
    add(LIQUID)
    system = load_catalogue(catalogue).applications[NAME].systems["R404A"]
    low = system.low_head.liquid
    assert (low.is_at_condenser, low.min_subcooling_k, low.max_subcooling_k) == (True, 4.0, 9.0)
    assert not system.high_head.liquid.is_at_condenser
    assert system.feed.inlet_vapor == pytest.approx(0.05)
    assert system.feed.heat is not None
    assert system.feed.supply is Supply.CONDENSER
    # 5 Btu/h for each of 60 ft, of 10 kW.
    assert system.feed.heat.share == pytest.approx(300.0 * 0.29307107 / 10e3, rel=1e-6)


@pytest.mark.parametrize(
    ("edits", "parts"),
    [
        ([("  inlet_subcooling: 5", "  condenser_subcooling: 5 delta_degF\n  inlet_subcooling: 5")], ("low_head",)),
        (
            [("  inlet_subcooling: 5 delta_degF", "  condenser_subcooling_range: {minimum: 9 K, maximum: 4 K}")],
            ("low_head.condenser_subcooling_range",),
        ),
    ],
)
def test_two_kinds_of_subcooling_or_a_falling_range_are_refused(edits, parts, catalogue, capsys):
    for old, new in edits:
        write(old, new)
    line = refused(catalogue, capsys)
    assert FILE.name in line
    assert all(part in line for part in parts)


def test_receiver_needs_a_rack(catalogue, capsys):
    add("\nliquid: {supply: intermediate_receiver, source: Assumed for this test}\n")
    assert "liquid.supply: " in (line := refused(catalogue, capsys))
    assert "needs compressor.kind constant_capacity" in line


def test_rack_has_constant_suction(catalogue, capsys):
    with_rack()
    write("  response: constant", "  response: balanced\n  box_difference: 10 delta_degF")
    assert "suction.response: " in refused(catalogue, capsys)


def test_compressor_of_constant_capacity_has_no_flow_that_scatters(catalogue, capsys):
    with_rack()
    write("scatter:\n", "scatter:\n  compressor_flow: 10 percent\n")
    assert "scatter.compressor_flow: " in refused(catalogue, capsys)


def test_heads_of_a_receiver_may_be_one_pressure(catalogue):
    with_rack()
    add("\nliquid: {supply: intermediate_receiver, source: Assumed for this test}\n")
    text = FILE.read_text(encoding="utf-8")
    for section in ("low_head", "high_head"):
        start = text.index(f"\n{section}:")
        end = text.index("  source:", start)
        head = "  condensing_temperature: 105 degF\n  basis: bubble\n  condenser_subcooling: 12 delta_degF\n"
        text = text[:start] + f"\n{section}:\n" + head + text[end:]
    FILE.write_text(text, encoding="utf-8")
    assert main(["check", "--catalogue", str(catalogue)]) == 0
    own = solved(load_catalogue(catalogue))
    assert all((item.reason == None).all() for item in own.states)  # noqa: E711
    assert all((item.state.capacity_ratio == 1.0).all() for item in own.states)
    # One head pressure: nothing lies between.
    [line] = head_lines(own)
    assert line.grid_pa.size == 1
    assert states_along(own, [line], line.grid_pa).items[0].reason[0] is None


@pytest.mark.parametrize(("lift", "finds"), [("0 ft", False), ("60 ft", True)])
def test_audit_finds_subcooling_that_is_asked_for_silently(lift, finds, catalogue):
    """60 ft of lift ask for some 16 degF more than the stated 5, far beyond what a condenser gives (common practice)."""
    write("  lift: 0 ft", f"  lift: {lift}")
    write("inlet_subcooling: 5 delta_degF", "inlet_subcooling: 10 delta_degF")
    own = solved(load_catalogue(catalogue))
    found = list(subcooling_findings({("R404A", NAME): own}))
    assert bool(found) == finds
    if finds:
        low = next(f for f in found if f.condition == "low_head")
        assert low.kind is FindingKind.UNUSUAL_SUBCOOLING
        [need] = [need for need in liquid_needs([own]) if need.condition == "low_head"]
        assert low.subcooling_k == need.assumed_k
        # What is needed, and the subcooling left at the valve.
        assert need.assumed_k == pytest.approx(need.needed_k + 10.0 * KELVIN, abs=0.6)


@pytest.mark.parametrize(("liquid", "finds"), [("41 degF", False), ("39 degF", True)])
def test_liquid_colder_than_the_evaporator_is_said_by_check(liquid, finds, catalogue, capsys):
    """The warmest SST of the application is 40 degF at the evaporator."""
    text = FILE.read_text(encoding="utf-8")
    start = text.index("inlet_subcooling:", text.index("\nlow_head:"))
    FILE.write_text(f"{text[:start]}liquid_temperature: {liquid}{text[text.index(chr(10), start) :]}", encoding="utf-8")
    assert main(["check", "--catalogue", str(catalogue)]) == 0
    # The demo's riser has such liquid too.
    lines = [line for line in capsys.readouterr().err.splitlines() if line.startswith(f"note: {NAME}, ")]
    said = "at low head the liquid enters the valve at 39.0 degF (3.9 degC), but the evaporator is at up to 40.0 degF"
    assert [said in line for line in lines] == [True] * finds


def test_what_is_stated_at_the_condenser_is_no_finding(catalogue):
    write("  lift: 0 ft", "  lift: 60 ft")
    write("inlet_subcooling: 5 delta_degF", "condenser_subcooling: 25 delta_degF")
    own = solved(load_catalogue(catalogue))
    assert list(subcooling_findings({("R404A", NAME): own})) == []
