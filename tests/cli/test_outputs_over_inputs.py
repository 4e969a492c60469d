"""No file that a command has read is replaced by what it writes, whatever that file is called in the command."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.demo import CATALOGUE
from tests.small import small_catalogue

BENCH = CATALOGUE.parent / "bench" / "alder.csv"


@pytest.fixture
def configs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small catalogue in the working folder, with bench data beside it."""
    own = small_catalogue(tmp_path / "own", ["alder"], {"A": ["R404A"]}, ["walk_in_medium"], more="publications: []\n")
    shutil.copyfile(BENCH, tmp_path / "bench.csv")
    monkeypatch.chdir(tmp_path)
    return own.parent


def refused(arguments: list[str], option: str, file: str, capsys: pytest.CaptureFixture[str]) -> None:
    before = Path(file).read_bytes()
    assert main(arguments) == 2
    line = f"--{option}: {file}: cannot be written: this command reads it; name another file\n"
    assert capsys.readouterr().err.endswith(line)
    assert Path(file).read_bytes() == before


def test_bench_data_are_not_replaced_by_what_is_found_in_them(configs, capsys):
    refused(
        ["fit", "bench.csv", "--family", "alder", "--catalogue", "own", "--csv", "bench.csv"],
        "csv",
        "bench.csv",
        capsys,
    )


@pytest.mark.parametrize("file", ["own/families/alder.yaml", "own/catalogue.yaml"])
def test_nor_are_files_of_the_catalogue_by_a_fragment(file, configs, capsys):
    arguments = ["fit", "bench.csv", "--family", "alder", "--catalogue", "own", "--fragment", file]
    refused(arguments, "fragment", file, capsys)


def test_nor_by_another_name_of_the_same_file(configs, capsys):
    os.link("bench.csv", "other.csv")
    refused(
        ["fit", "bench.csv", "--family", "alder", "--catalogue", "own", "--csv", "other.csv"],
        "csv",
        "other.csv",
        capsys,
    )


def test_an_earlier_answer_is_replaced(configs, capsys):
    arguments = ["fit", "bench.csv", "--family", "alder", "--catalogue", "own", "--csv", "found.csv"]
    assert main(arguments) == main(arguments) == 0


def test_a_record_is_not_replaced_by_whether_it_is_valid(configs, capsys):
    case = ["R404A", "--sst", "24F", "--load", "10 MBH", "--catalogue", "own", "--record", "records"]
    assert main(["pick", *case]) == 0
    [record] = (path.as_posix() for path in Path("records").glob("*.json"))
    capsys.readouterr()
    refused(["again", record, "--catalogue", "own", "--output", record], "output", record, capsys)


def test_a_release_is_not_altered_by_its_comparison(configs, capsys):
    assert main(["build", "--catalogue", "own", "--output", "out"]) == 0
    [release] = (path.as_posix() for path in Path("out").iterdir() if path.is_dir())
    capsys.readouterr()
    for file in ("group_windows.csv", "windows.csv", "manifest.json"):
        ending = "csv" if file.endswith("csv") else "output"
        refused(["compare", release, release, f"--{ending}", f"{release}/{file}"], ending, f"{release}/{file}", capsys)
