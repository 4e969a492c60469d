"""Problems in the families' own keys: ratings, gas charges, drives, and what a catalogue leaves out."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue

ROOT = Path(__file__).resolve().parents[2]
ALDER, ROWAN = "families/alder.yaml", "families/rowan.yaml"
HAZEL, LARCH = "families/hazel.yaml", "families/larch.yaml"
FIRST_SIZE = "{size: 11, kv: 11.2 L/h}"

RATING = """rating:
  refrigerant: R404A
  liquid_temperature: 100 degF
  subcooling: 1 delta_degF
  evaporating_temperature: 40 degF
  basis: dew
  useful_superheat: 6.5 delta_degF
  pressure_drop: 100 psi
  source: "Modeled on AHRI 750, vapor-free liquid (not checked against the source)"
"""

# File, text, what replaces it, text on the line that the message must name, key, parts of the message.
CASES = {
    "kv and capacity": (
        ALDER,
        FIRST_SIZE,
        "{size: 11, kv: 11.2 L/h, capacity: 1 kW}",
        "capacity: 1 kW",
        "sizes[0]",
        ("exactly one of these keys is required: kv, capacity",),
    ),
    "neither kv nor capacity": (
        ALDER,
        FIRST_SIZE,
        "{size: 11}",
        "{size: 11}",
        "sizes[0]",
        ("exactly one of these keys is required: kv, capacity",),
    ),
    "one size by capacity": (
        ALDER,
        "{size: 16, kv: 16.0 L/h}",
        "{size: 16, capacity: 1 kW}",
        "capacity: 1 kW",
        "sizes[1]",
        ("all sizes are given by kv, or all by capacity",),
    ),
    "capacities that do not ascend": (
        ROWAN,
        "capacity: 2.5 kW",
        "capacity: 1.5 kW",
        "capacity: 1.5 kW",
        "sizes[1].capacity",
        ("'1.5 kW' is not above sizes[0].capacity '1.6 kW' (line ", "sizes must ascend in capacity"),
    ),
    "capacity as flow": (
        ROWAN,
        "capacity: 1.6 kW",
        "capacity: 1.6 L/h",
        "1.6 L/h",
        "sizes[0].capacity",
        ("'1.6 L/h' is not allowed", "a load takes one of the units"),
    ),
    "capacity without a rating": (
        ROWAN,
        RATING,
        "",
        'size: "1.6"',
        "sizes[0].capacity",
        ("a capacity needs the family's 'rating'",),
    ),
    "rating with a stranger": (
        ROWAN,
        "rating:\n  refrigerant: R404A",
        "rating:\n  refrigerant: R404AA",
        "refrigerant: R404AA",
        "rating.refrigerant",
        ("'R404AA' is not allowed", "did you mean R404A?"),
    ),
    "rating above the critical point": (
        ROWAN,
        "liquid_temperature: 100 degF",
        "liquid_temperature: 200 degF",
        "rating:",
        "rating",
        ("the refrigerant has no liquid state or no flow at this rating",),
    ),
    "rating without its basis": (
        ALDER,
        "  basis: dew\n",
        "",
        "rating:",
        "rating.basis",
        ("the key is missing",),
    ),
    "rating on another basis": (
        ALDER,
        "basis: dew",
        "basis: bubble",
        "basis: bubble",
        "rating.basis",
        ("'bubble' is not allowed",),
    ),
    "gas charge without its pressure": (
        ALDER,
        "    maximum_operating_pressure: 31 psi_absolute\n",
        "",
        "charge: gas-407C-low",
        "charges[7]",
        ("maximum_operating_pressure is required",),
    ),
    "adsorption with one": (
        ALDER,
        "    kind: gas",
        "    kind: adsorption",
        "maximum_operating_pressure: 31",
        "charges[7].maximum_operating_pressure",
        ("an adsorption charge has no liquid that could run out",),
    ),
    "gauge pressure in a bulb": (
        ALDER,
        "maximum_operating_pressure: 31 psi_absolute",
        "maximum_operating_pressure: 16 psi_gauge",
        "16 psi_gauge",
        "charges[7].maximum_operating_pressure",
        ("must be an absolute pressure: the bulb is sealed",),
    ),
    "operating pressure off the curve": (
        ALDER,
        "maximum_operating_pressure: 31 psi_absolute",
        "maximum_operating_pressure: 300 psi_absolute",
        "setting:\n      refrigerant: R407C\n      bulb_temperature: -20",
        "charges[7].setting",
        ("the maximum operating pressure is outside the charge curve",),
    ),
    "more than the reserve": (
        ALDER,
        "  stop: 120 percent\n",
        "  stop: 120 percent\n  reserve_in_limits: 120 percent\n",
        "reserve_in_limits: 120 percent",
        "opening.reserve_in_limits",
        ("120 percent",),
    ),
    "steps that leave nothing": (
        HAZEL,
        "minimum_steps: 60",
        "minimum_steps: 450",
        "minimum_steps: 450",
        "minimum_steps",
        ("450 is not allowed; with 500 full steps, no travel is left between minimum_steps and control_reserve",),
    ),
    "half a step": (
        HAZEL,
        "full_steps: 500",
        "full_steps: 500.5",
        "full_steps: 500.5",
        "full_steps",
        ("500.5 is not allowed",),
    ),
    "characteristic that stops short": (
        HAZEL,
        "  - [100 percent, 100 percent]\n",
        "",
        "characteristic:",
        "characteristic",
        ("include [100 percent, 100 percent]",),
    ),
    "duties in the wrong order": (
        LARCH,
        "minimum_duty: 15 percent",
        "minimum_duty: 95 percent",
        "",
        "",
        ("below maximum_duty",),
    ),
    "share of a share": (
        LARCH,
        "maximum_duty: 90 percent",
        "maximum_duty: 110 percent",
        "110 percent",
        "maximum_duty",
        ("must be at least 0 percent and at most 100 percent",),
    ),
    "no such kind": (
        LARCH,
        "kind: pulse_modulated",
        "kind: pulse",
        "kind: pulse",
        "kind",
        ("did you mean pulse_modulated?",),
    ),
    "key of another kind": (
        HAZEL,
        "full_steps: 500",
        "full_steps: 500\nminimum_duty: 10 percent",
        "minimum_duty: 10",
        "minimum_duty",
        ("the key is not known", "full_steps"),
    ),
    "list of left-out groups with a stranger": (
        "catalogue.yaml",
        "group: [R134a, R513A]",
        "group: [R134a, R531A]",
        "R531A",
        "leave_out[0].group[1]",
        ("'R531A' is not allowed", "did you mean R513A?"),
    ),
    "empty list": (
        "catalogue.yaml",
        "group: [R134a, R513A]",
        "group: []",
        "group: []",
        "leave_out[0].group",
        ("is not allowed",),
    ),
    "suction on another basis": (
        "applications/walk_in_medium.yaml",
        "  basis: dew\n",
        "  basis: mid\n",
        "basis: mid",
        "suction.basis",
        ("'mid' is not allowed", "dew"),
    ),
}


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs")


@pytest.mark.parametrize("name", CASES)
def test_problem_is_one_line_with_file_and_key(name, configs, capsys):
    file, old, new, at, key, parts = CASES[name]
    text = (configs / file).read_text(encoding="utf-8")
    assert old in text
    changed = text.replace(old, new, 1)
    (configs / file).write_text(changed, encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / "catalogue.yaml")]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    assert at in changed
    number = changed[: changed.index(at)].count("\n") + 1
    assert line.startswith(f"configs/{file}:{number}: " if at else f"configs/{file}:")
    assert f": {key}: " in line if key else True
    for part in parts:
        assert part in line


def test_rules_with_lists_leave_out_every_combination_of_theirs(configs):
    catalogue = load_catalogue(configs / "catalogue.yaml")
    kept = {(c.family, c.group, c.application) for c in catalogue.combinations}
    assert len(kept) == len(catalogue.combinations)
    assert not any(g in ("R134a", "R513A") and e == "walk_in_low" for _, g, e in kept)
    everything = len(catalogue.families) * len(catalogue.groups) * len(catalogue.applications)
    assert sum(rule.count for rule in catalogue.left_out) == everything - len(kept)
    assert all(rule.count for rule in catalogue.left_out)


def test_capacities_and_coefficients_give_each_other(configs):
    rowan = load_catalogue(configs / "catalogue.yaml").families["rowan"]
    assert [s.nominal_capacity_w for s in rowan.sizes] == pytest.approx([1.6e3, 2.5e3, 4e3, 6.3e3, 10e3, 16e3])
    kv = [s.kv_rated_m3h for s in rowan.sizes]
    # Written back as Kv they give the capacities that they came from.
    path = configs / ROWAN
    text = path.read_text(encoding="utf-8")
    for size, value in zip(("1.6", "2.5", "4", "6.3", "10", "16"), kv, strict=True):
        text = text.replace(f"capacity: {size} kW", f"kv: {value!r} m3/h")
    path.write_text(text, encoding="utf-8")
    again = load_catalogue(configs / "catalogue.yaml").families["rowan"]
    assert [s.nominal_capacity_w for s in again.sizes] == pytest.approx(
        [s.nominal_capacity_w for s in rowan.sizes], rel=1e-12
    )
