"""A coil calibrated: by a step response of a simulated coil that is not the one that is stated."""

from __future__ import annotations

import functools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import tablegen
from tablegen.answers import hunt as module
from tablegen.cli.main import main
from tablegen.errors import ConfigError, RequestError
from tablegen.physics.coil_cells import CoilInTime
from tablegen.physics.step_response import simulated_step
from tests.answers.test_hunt import ASK, CATALOGUE, hunted, steadier_catalogue

BEFORE, AFTER = 0.60, 0.63
COMMAND = ["hunt", "alder", "45", "R404A", "--sst", "24F", "--application", "walk_in_medium"]
COMMAND += ["--catalogue", str(CATALOGUE)]


@functools.cache
def stated_coil() -> tuple[CoilInTime, module.Loop]:
    """Circuit and loop of the usual case."""
    found = {}
    own = module.simulate

    def caught(coil, loop, opening, **options):
        found["parts"] = coil, loop
        return own(coil, loop, opening, **options)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "simulate", caught)
        hunted(load_w=3000.0)
    return found["parts"]


def written(folder: Path, coil: CoilInTime, superheat_k: float = 3.5) -> Path:
    """Readings of a step of a coil, as a logger writes them: every second, to a hundredth of a degree."""
    response = simulated_step(coil, superheat_k, AFTER / BEFORE, 300.0)
    lines = ["# opening_before: 60 percent", "# opening_after: 63 %", "time [s],superheat [delta_degF]"]
    lines += [f"{t:g},{1.8 * own:.2f}" for t, own in zip(response.time_s[::2], response.superheat_k[::2], strict=True)]
    file = folder / "step.csv"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


@pytest.mark.slow
def test_the_stated_coil_needs_no_calibration(tmp_path):
    coil, _ = stated_coil()
    answer = tablegen.hunt("alder", "45", "R404A", step_response=written(tmp_path, coil), **ASK)
    assert answer.record()["calibration"] == pytest.approx(1.0, abs=0.03)
    assert "step.csv: sensitivity" in " ".join(answer.summary)
    assert answer.fragment.startswith("coil: {calibration: ")


@pytest.mark.slow
def test_a_calmer_coil_hunts_where_its_calibration_says(tmp_path):
    """Half the liquid and a worse dry end: the simulated onset of that coil, with the stated coil and its calibration."""
    coil, loop = stated_coil()
    truth = replace(coil, conductance_ratio=0.28, liquid_holdup_factor=0.7)
    answer = tablegen.hunt("alder", "45", "R404A", step_response=written(tmp_path, truth), **ASK)
    calibration, opening = answer.record()["calibration"], answer.record()["limit_opening"]
    assert calibration > 1.4
    openings = opening * np.linspace(0.7, 1.3, 25)
    course = module.simulate(truth, loop, openings, duration_s=800.0, kick=0.02)
    hunts = [module.swing(course, number).hunts for number in range(len(openings))]
    onset = openings[max(number for number, own in enumerate(hunts) if own)]
    assert onset / opening == pytest.approx(1.0, abs=0.15)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("# opening_after: 63 %\n", "", "opening_after: is missing"),
        ("63 %", "63", "step.csv:2: 63 is not allowed; it has no unit"),
        ("superheat [delta_degF]", "superheat", "step.csv:3: 'time [s], superheat' is not allowed; the header must be"),
        ("\n1,", "\n1;", "step.csv:5: "),
        ("\n2,", "\n0.5,", "step.csv:6: 0.5 is not allowed; must be later"),
        ("\n0,", "\n0.1,", "some before the step"),
    ],
)
def test_what_is_wrong_with_a_file_is_reported(old, new, message, tmp_path):
    file = written(tmp_path, stated_coil()[0])
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(ConfigError) as found:
        tablegen.hunt("alder", "45", "R404A", step_response=file, **ASK)
    assert message in str(found.value)


def test_readings_that_rise_with_flow_are_no_coil(tmp_path):
    file = written(tmp_path, stated_coil()[0])
    text = file.read_text(encoding="utf-8").replace("# opening_after: 63 %", "# opening_after: 57 %")
    file.write_text(text, encoding="utf-8")
    with pytest.raises(RequestError, match="step_response: the readings are not those of a coil"):
        tablegen.hunt("alder", "45", "R404A", step_response=file, **ASK)


def test_one_observation_is_enough(tmp_path, capsys):
    assert main([*COMMAND, "--observed-load", "3 kW", "--step-response", str(tmp_path / "step.csv")]) == 2
    assert "--observed-load and --step-response: give one of them" in capsys.readouterr().err
    assert main([*COMMAND, "--step-response", str(tmp_path / "step.csv")]) == 2


COIL = """
coil:
  # Of the coil's data sheet.
  conductance_ratio: 30 percent
  circuit_load: 1.2 kW
  circuit_length: 10 m
  tube_inner_diameter: 9 mm
  wall_heat_capacity: 100 J/(m K)
  air_side_share: 70 percent
  plug_share: 50 percent
  source: Invented for a test
"""


def own_catalogue(folder: Path, coil: str) -> Path:
    made = steadier_catalogue(folder)
    file = folder / "applications" / "walk_in_medium.yaml"
    file.write_text(file.read_text(encoding="utf-8") + coil, encoding="utf-8")
    family = folder / "families" / "alder.yaml"
    text = family.read_text(encoding="utf-8")
    line = "  - charge: cross-404-medium\n"
    assert line in text
    family.write_text(text.replace(line, f"{line}    bulb_time_constant: 45 s\n"), encoding="utf-8")
    return made


@pytest.mark.slow
def test_what_the_catalogue_states_is_taken_and_a_calibration_is_written_into_it(tmp_path):
    catalogue = own_catalogue(tmp_path / "own", COIL)
    ask = {**ASK, "catalogue": catalogue}
    before = tablegen.hunt("alder", "45", "R404A", load="3 kW", **ask)
    [inputs] = [table for table in before.tables if table.key == "inputs"]
    stated = {row["input"]: (row["value_si"], row["is_assumed"]) for row in inputs.records()}
    assert stated["conductance_ratio"] == (pytest.approx(0.30), False)
    assert stated["circuit_length"] == (pytest.approx(10.0), False)
    assert stated["bulb_time_constant"] == (pytest.approx(45.0), False)
    assert "assumed" not in str(before)
    observed = 0.8 * before.record()["limit_load_w"]
    answer = tablegen.hunt("alder", "45", "R404A", load="3 kW", observed_load=observed, apply=True, **ask)
    assert [row["key"] for table in answer.tables if table.key == "changes" for row in table.records()] == [
        "coil.calibration"
    ]
    text = (tmp_path / "own" / "applications" / "walk_in_medium.yaml").read_text(encoding="utf-8")
    assert f"  calibration: {answer.record()['calibration']:.3g}\n" in text
    assert "# Of the coil's data sheet." in text
    # From now on it counts.
    after = tablegen.hunt("alder", "45", "R404A", load="3 kW", **ask)
    assert after.record()["limit_load_w"] == pytest.approx(observed, rel=0.01)


@pytest.mark.slow
def test_a_calibration_needs_a_coil_and_a_catalogue_of_ones_own(tmp_path, capsys):
    catalogue = own_catalogue(tmp_path / "own", "")
    ask = ["--sst", "24F", "--application", "walk_in_medium", "--observed-load", "3 kW", "--apply"]
    assert main(["hunt", "alder", "45", "R404A", *ask, "--catalogue", str(catalogue)]) == 2
    assert "walk_in_medium.yaml has no section coil" in capsys.readouterr().err
    assert main(["hunt", "alder", "45", "R404A", *ask, "--demo"]) == 2
    assert "the files of the demo cannot be changed" in capsys.readouterr().err
    assert main([*COMMAND, "--apply"]) == 2
    assert "--apply: needs --observed-load or --step-response" in capsys.readouterr().err
