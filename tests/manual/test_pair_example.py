"""Files that the manual shows in full work as it says."""

import re
import shutil
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tests.small import DEMO

PAGE = Path(__file__).resolve().parents[2] / "tablegen" / "manual" / "refrigerants.md"
TEXT = PAGE.read_text(encoding="utf-8")
PAIR = "    beta_t: 1\n    gamma_t: 0.972\n"


def blend(name: str) -> str:
    (found,) = re.findall(rf"```yaml\n(refrigerant: {name}\n(?:.*\n)*?)```", TEXT)
    return found


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shutil.copytree(DEMO, "my-valves")
    return Path("my-valves")


def bubble_psig(folder: Path, text: str, fahrenheit: float) -> float:
    (folder / "refrigerants" / "Shop-2.yaml").write_text(text, encoding="utf-8")
    frame = tablegen.states("Shop-2", configs=folder, coldest=f"{fahrenheit} degF", warmest="20 degF").frame()
    return float(frame["bubble_pressure_pa"].iloc[0] / 6894.757 - 14.696)


def test_a_blend_without_its_pair_is_refused_as_the_manual_says(folder, capsys):
    text = re.sub(r"pairs:\n(?:  .*\n)+?(?=uncertainty)", "", blend("Shop-2"))
    (folder / "refrigerants" / "Shop-2.yaml").write_text(text, encoding="utf-8")
    assert main(["check", "--catalogue", str(folder)]) == 2
    said = " ".join(capsys.readouterr().err.split())
    (quoted,) = re.findall(r"```text\n(my-valves/refrigerants/Shop-2(?:.*\n)+?)```", TEXT)
    assert said == " ".join(quoted.split())


def test_the_pressures_are_those_that_the_manual_states(folder):
    stated = re.search(r"At 0 °F the bubble pressure is ([\d.]+) psig .*?, and ([\d.]+) psig", TEXT, re.S)
    assert stated is not None
    with_pair = bubble_psig(folder, blend("Shop-2"), 0.0)
    linear = bubble_psig(folder, blend("Shop-2").replace(PAIR, "    rule: linear\n"), 0.0)
    assert (f"{with_pair:.1f}", f"{linear:.1f}") == stated.groups()


def test_the_first_blend_of_the_chapter_works(folder):
    (folder / "refrigerants" / "Shop-1.yaml").write_text(blend("Shop-1"), encoding="utf-8")
    assert main(["states", "Shop-1", "--configs", str(folder)]) == 0
