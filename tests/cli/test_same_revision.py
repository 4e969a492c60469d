"""Two releases with one revision and other numbers cannot be distinguished: the second is refused."""

import zipfile
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.small import small_catalogue


def edited(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.fixture(scope="module")
def released(tmp_path_factory) -> tuple[Path, Path]:
    """A catalogue file, and the folder of its first release."""
    folder = tmp_path_factory.mktemp("released")
    path = small_catalogue(folder / "configs", ["hazel"], {"R448A": ["R448A"]}, ["walk_in_medium"])
    assert main(["build", "--catalogue", str(path), "--output", str(folder / "first"), "--workers", "1"]) == 0
    return path, folder / "first" / "demo"


@pytest.mark.slow
def test_the_same_numbers_under_the_same_revision_are_built_and_other_numbers_refused(released, capsys):
    path, first = released
    output = path.parent.parent / "second"
    again = ["build", "--catalogue", str(path), "--output", str(output), "--since", str(first), "--workers", "1"]
    assert main(again) == 0
    before = {p.name: p.read_bytes() for p in (output / "demo").iterdir() if p.is_file()}
    edited(
        path.parent / "applications" / "walk_in_medium.yaml",
        "head_pressure: 135 psi_gauge",
        "head_pressure: 130 psi_gauge",
    )
    capsys.readouterr()
    assert main(again) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{first}: that release also has revision A, but ")
    assert "windows differ" in err
    assert len(err.splitlines()) == 1
    assert {p.name: p.read_bytes() for p in (output / "demo").iterdir() if p.is_file()} == before
    edited(path, "revision: A\n", "revision: B\n")
    last = "change: First issue.}\n"
    entry = "  - {revision: B, date: 2026-11-26, change: Lower head"
    edited(path, last, f"{last}{entry}}}\n")
    assert main(again) == 2
    err = capsys.readouterr().err
    assert "revisions[1].reasons: revision B gives no reason for what changed printed limits: " in err
    assert "applications/walk_in_medium.yaml, low_head.head_pressure (135 psi_gauge, now 130 psi_gauge); add one" in err
    assert len(err.splitlines()) == 1
    assert {p.name: p.read_bytes() for p in (output / "demo").iterdir() if p.is_file()} == before
    reasons = "reasons: [{file: applications/walk_in_medium.yaml, key: low_head, why: New condensing units.}]"
    edited(path, entry, f"{entry}, {reasons}")
    assert main(again) == 0


def test_the_config_files_of_a_release_build_it_again(released, tmp_path):
    """What a release keeps of its inputs is all of them."""
    _, first = released
    with zipfile.ZipFile(first / "configs.zip") as archive:
        archive.extractall(tmp_path / "own")
    assert (
        main(["build", "--catalogue", str(tmp_path / "own"), "--output", str(tmp_path / "out"), "--workers", "1"]) == 0
    )
    # But for the record of builds, which knows the folder of the configs.
    made, was = (
        {p.name: p.read_bytes() for p in folder.iterdir() if p.name != "outputs.json"}
        for folder in (tmp_path / "out" / "demo", first)
    )
    assert made == was
