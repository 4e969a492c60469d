"""What a process loads before it answers: the heavy libraries, each for what needs it alone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.processes import environment
from tests.small import small_catalogue

ROOT = Path(__file__).resolve().parents[2]
FOLDER = Path(os.environ["TABLEGEN_CACHE"])
HEAVY = ("CoolProp", "pint", "ruamel", "pandas", "scipy", "openpyxl", "fontTools", "reportlab", "tqdm")
LOADED = f"""
import io, json, sys
from contextlib import redirect_stdout
from tablegen.cli.main import main
from tests.processes import environment
with redirect_stdout(io.StringIO()) as shown:
    code = main(sys.argv[1:])
loaded = sorted(name for name in {HEAVY!r} if name in sys.modules)
print(json.dumps([code, loaded, shown.getvalue()]))
"""
PICK = ["pick", "R448A", "--application", "walk_in_medium", "--sst", "24 degF", "--load", "20 kBtu/h"]
CONVERT = [
    "convert",
    "R448A",
    "--application",
    "walk_in_medium",
    "--capacity",
    "20 kBtu/h",
    "--condensing",
    "120 degF",
    "--basis",
    "dew",
    "--subcooling",
    "5 delta_degF",
    "--sst",
    "24 degF",
]

TABLE = ["table", "alder", "R448A-family", "--application", "walk_in_medium"]


def answered(arguments: list[str], folder: Path) -> tuple[int, list[str], str]:
    """Exit code, heavy libraries that were loaded, and answer of a process with its own cache folder."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *arguments],
        capture_output=True,
        text=True,
        check=True,
        env=environment(TABLEGEN_CACHE=str(folder)),
    )
    code, loaded, shown = json.loads(done.stdout)
    return code, loaded, shown


@pytest.mark.parametrize("arguments", [PICK, CONVERT, TABLE], ids=["pick", "convert", "table"])
def test_a_warm_answer_loads_no_heavy_library(arguments, capsys):
    """What this process has read and computed lies in the folder of the test run."""
    assert main([*arguments, "--demo"]) == 0
    shown = capsys.readouterr().out
    assert answered([*arguments, "--demo"], FOLDER) == (0, [], shown)


@pytest.mark.slow
def test_a_comparison_of_one_table_loads_what_reads_a_release(tmp_path, capsys):
    catalogue = small_catalogue(tmp_path / "configs", ["alder"], {"R448A": ["R448A"]}, ["walk_in_medium"])
    assert main(["build", "--catalogue", str(catalogue), "--output", str(tmp_path)]) == 0
    asked = ["table", "alder", "R448A", "--application", "walk_in_medium", "--catalogue", str(catalogue)]
    capsys.readouterr()
    assert main([*asked, "--since", str(tmp_path / "demo")]) == 0
    shown = capsys.readouterr().out
    assert answered([*asked, "--since", str(tmp_path / "demo")], FOLDER) == (0, ["pandas"], shown)


@pytest.mark.slow
def test_nor_does_one_from_a_catalogue_of_ones_own(tmp_path, capsys):
    """It is checked by every rule, and its files are elsewhere, but what they say was read earlier."""
    assert main(["init", str(tmp_path / "mine")]) == 0
    asked = [*PICK, "--units", "SI", "--catalogue", str(tmp_path / "mine" / "catalogue.yaml")]
    capsys.readouterr()
    assert main(asked) == 0
    shown = capsys.readouterr().out
    assert "kW" in shown
    assert answered(asked, FOLDER) == (0, [], shown)


@pytest.mark.slow
def test_a_cold_answer_is_the_warm_one(tmp_path):
    first = answered([*PICK, "--demo"], tmp_path)
    assert first[:2] == (0, ["CoolProp", "ruamel"])
    assert answered([*PICK, "--demo"], tmp_path) == (0, [], first[2])
