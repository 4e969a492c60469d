"""What is handed out: its name, licenses, version and date, and that it runs where there is nothing but it."""

from __future__ import annotations

import importlib.metadata
import re
import subprocess
import sys
import tarfile
import tomllib
import venv
import zipfile
from datetime import date
from pathlib import Path

import pytest

import tablegen

ROOT = Path(__file__).resolve().parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NAME = PROJECT["name"].replace("-", "_")


def test_every_version_of_the_changelog_has_a_date_and_the_first_is_this_one():
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    headings = re.findall(r"(?m)^## (.*)$", text)
    dated = [re.fullmatch(r"(\d+\.\d+\.\d+) \((\d{4}-\d{2}-\d{2})\)", heading) for heading in headings]
    assert all(dated), headings
    assert dated[0]
    assert dated[0][1] == tablegen.__version__
    dates = [date.fromisoformat(own[2]) for own in dated if own]
    assert dates == sorted(dates, reverse=True)


def test_the_licenses_name_the_typeface_that_is_handed_out_with_the_program():
    licenses = PROJECT["license"].split(" AND ")
    fonts = ROOT / "tablegen" / "report" / "pdf" / "fonts"
    text = (fonts / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    # SPDX has an identifier of its own for this license where it reserves a font's name.
    assert "OFL-1.1-RFN" in licenses
    assert "Reserved Font Name" in text
    assert (ROOT / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")
    assert "MIT" in licenses
    assert {path.suffix for path in fonts.iterdir()} == {".ttf", ".txt"}


def run(*command: str | Path, folder: Path) -> str:
    done = subprocess.run(
        [str(part) for part in command], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--outdir", folder, ROOT, folder=folder)
    return folder


@pytest.mark.slow
def test_what_is_built_has_what_it_needs_and_nothing_else(built):
    (wheel,), (source,) = built.glob("*.whl"), built.glob("*.tar.gz")
    assert wheel.name == f"{NAME}-{tablegen.__version__}-py3-none-any.whl"
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    assert {name.partition("/")[0] for name in names} == {"tablegen", f"{NAME}-{tablegen.__version__}.dist-info"}
    for needed in (
        "py.typed",
        "demo_configs/catalogue.yaml",
        "report/pdf/fonts/OFL.txt",
        "config/starts/school/class.csv",
    ):
        assert f"tablegen/{needed}" in names
    assert not [name for name in names if re.search(r"\.pyc$|/__pycache__/|\.ipynb_checkpoints", name)]
    with tarfile.open(source) as archive:
        files = {name.partition("/")[2] for name in archive.getnames()}
    for needed in (
        "LICENSE",
        "README.md",
        "CHANGELOG.md",
        "DEVELOPERS.md",
        "tests/conftest.py",
        "configs/catalogue.yaml",
    ):
        assert needed in files
    # A person on a slow line waits for this.
    assert wheel.stat().st_size < 4_000_000


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["*.whl", "*.tar.gz"])
def test_it_runs_in_an_empty_environment(kind, built, tmp_path):
    (file,) = built.glob(kind)
    venv.create(tmp_path / "own", with_pip=True)
    scripts = tmp_path / "own" / ("Scripts" if sys.platform == "win32" else "bin")
    run(scripts / "python", "-m", "pip", "install", "-q", file, folder=tmp_path)
    assert run(scripts / "python", "-m", "tablegen", "check", "--demo", folder=tmp_path)
    run(scripts / "tablegen", "build", "--demo", "--only", "counter", folder=tmp_path)
    assert (tmp_path / "output" / "demo" / "counter.pdf").read_bytes().startswith(b"%PDF")
    asked = "import importlib.metadata as m; print(m.metadata('expansion-valve-tables')['License-Expression'])"
    assert run(scripts / "python", "-c", asked, folder=tmp_path).strip() == PROJECT["license"]


def test_the_installed_package_belongs_to_the_distribution():
    assert importlib.metadata.version(PROJECT["name"]) == tablegen.__version__


def test_the_lowest_versions_that_were_tested_are_those_that_are_allowed():
    lines = (ROOT / "tests" / "lowest_versions.txt").read_text(encoding="utf-8").splitlines()
    tested = dict(line.split("==") for line in lines if not line.startswith("#"))
    allowed = dict(own.split(">=") for own in PROJECT["dependencies"])
    assert tested.keys() == allowed.keys()
    assert {name: padded(version) for name, version in tested.items()} == {n: padded(v) for n, v in allowed.items()}


def padded(version: str) -> tuple[int, ...]:
    parts = [int(part) for part in version.split(".")]
    return (*parts, *([0] * (3 - len(parts))))
