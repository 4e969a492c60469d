"""A file or folder that is not read is reported, for its figures would be taken to count."""

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.small import DEMO


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    shutil.copytree(DEMO, tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "configs"


def checked(capsys) -> str:
    """What `check` finds wrong."""
    assert main(["check"]) == 2
    return capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("refrigerants/R507A.yml", "the file is not read; rename it to R507A.yaml"),
        ("refrigerants/R507A.YAML", "the file is not read; rename it to R507A.yaml"),
        ("families/elm.json", "the file is not read; rename it to elm.yaml, written as YAML"),
        ("applications/roof.yml", "the file is not read; rename it to roof.yaml"),
        ("publications/poster.yml", "the file is not read; rename it to poster.yaml"),
        ("families/alder.xlsx", "the file is not read; config files end in .yaml"),
    ],
)
def test_a_file_that_is_not_read_is_reported(folder, name, text, capsys):
    (folder / name).write_text("refrigerant: R507A\n", encoding="utf-8")
    err = checked(capsys)
    assert err.startswith(f"configs/{name}: {text}")
    assert len(err.splitlines()) == 1


def test_a_folder_in_a_folder_is_reported(folder, capsys):
    (folder / "refrigerants" / "old").mkdir()
    assert checked(capsys).startswith("configs/refrigerants/old: a folder in here is not read; move its .yaml files up")


@pytest.mark.slow
@pytest.mark.parametrize("name", ["README", "README.md", "notes.txt", "readings.csv", ".alder.yaml", "alder.yaml~"])
def test_notes_and_what_editors_leave_are_no_problem(folder, name, capsys):
    (folder / "families" / name).write_text("kept by hand", encoding="utf-8")
    assert main(["check"]) == 0, capsys.readouterr().err


@pytest.mark.parametrize("name", ["families", "applications", "publications", "refrigerants"])
def test_a_link_to_nowhere_is_reported(folder, name, capsys):
    shutil.rmtree(folder / name)
    (folder / name).symlink_to(folder / "gone")
    assert checked(capsys).startswith(
        f"configs/{name}: the folder cannot be read: it is a link, and its target does not exist"
    )


@pytest.mark.parametrize("name", ["families", "applications", "publications", "refrigerants"])
def test_a_folder_that_cannot_be_read_is_reported(folder, name, monkeypatch, capsys):
    own = Path.iterdir

    def iterdir(path: Path):
        if path == folder / name or path == Path("configs") / name:
            raise PermissionError(13, "Permission denied")
        return own(path)

    monkeypatch.setattr(Path, "iterdir", iterdir)
    assert f"configs/{name}: the folder cannot be read: Permission denied" in checked(capsys)


def test_a_file_named_as_a_folder_is_reported(folder, capsys):
    shutil.rmtree(folder / "refrigerants")
    (folder / "refrigerants").write_text("")
    assert checked(capsys).startswith("configs/refrigerants: a file is not allowed here; it must be a folder")


def test_a_misspelled_folder_is_reported(folder, capsys):
    (folder / "refrigerants").rename(folder / "refrigerant")
    assert checked(capsys).startswith("configs/refrigerant: the folder is not read (did you mean refrigerants?)")


def test_states_reports_it_too(folder, capsys):
    path = folder / "refrigerants" / "R507A.yaml"
    path.rename(path.with_suffix(".yml"))
    assert main(["states", "R507A"]) == 2
    assert "rename it to R507A.yaml" in capsys.readouterr().err
    shutil.rmtree(folder / "refrigerants")
    (folder / "refrigerants").symlink_to(folder / "gone")
    assert main(["states", "R507A"]) == 2
    assert "a link, and its target does not exist" in capsys.readouterr().err
