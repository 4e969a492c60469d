"""A cached catalogue is the one that its files would give, and nothing else comes out of the cache."""

import pickle
import shutil
from pathlib import Path

import pytest

from tablegen.config import case_catalogue, catalogue_cache, packaged_configs
from tablegen.config.case_catalogue import load_with
from tablegen.config.input_state import files_state
from tablegen.model.inputs import Catalogue
from tablegen.model.names import asked_refrigerant
from tablegen.sweep.identity import identity


@pytest.fixture
def catalogue(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    # Of catalogues alone: property tables and parsed files are those of the run.
    monkeypatch.setattr(catalogue_cache, "default_folder", lambda: tmp_path / "cache")
    shutil.copytree(packaged_configs(), tmp_path / "configs")
    return tmp_path / "configs" / "catalogue.yaml"


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """One entry for each time that the files are read."""
    found: list[int] = []
    own = case_catalogue._load

    def counted(*arguments: object) -> Catalogue:
        found.append(1)
        return own(*arguments)

    monkeypatch.setattr(case_catalogue, "_load", counted)
    return found


def test_the_second_is_the_first_and_is_not_read_again(catalogue, reads):
    first, second = (load_with(catalogue, "walk_in_medium", []) for _ in range(2))
    assert len(reads) == 1
    assert identity(second) == identity(first) and second.files == first.files


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("families/alder.yaml", "16.0 L/h", "16.4 L/h"),
        ("applications/walk_in_medium.yaml", "title:", "# seen\ntitle:"),
        ("part_numbers.csv", "Alder", "Alder"),
        ("groups.yaml", "groups:", "groups:  # all"),
    ],
)
def test_a_changed_file_is_read_again(catalogue, reads, file, old, new):
    before = load_with(catalogue, "walk_in_medium", [])
    path = catalogue.parent / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1) + ("\n" if new == old else ""), encoding="utf-8")
    after = load_with(catalogue, "walk_in_medium", [])
    assert len(reads) == 2 and after.files != before.files


def test_a_file_that_is_wrong_by_now_is_refused(catalogue):
    load_with(catalogue, "walk_in_medium", [])
    (catalogue.parent / "envelopes").mkdir()
    with pytest.raises(Exception, match="envelopes"):
        load_with(catalogue, "walk_in_medium", [])


def test_other_overrides_are_another_catalogue(catalogue, reads):
    plain = load_with(catalogue, "walk_in_medium", [])
    lifted = load_with(catalogue, "walk_in_medium", ["losses.lift=20 ft"])
    assert len(reads) == 2 and identity(plain) != identity(lifted)
    assert identity(load_with(catalogue, "walk_in_medium", ["losses.lift=20 ft"])) == identity(lifted)
    assert len(reads) == 2


def test_another_version_of_the_property_library_gives_another_catalogue(catalogue, reads, monkeypatch):
    load_with(catalogue, "walk_in_medium", [])
    monkeypatch.setattr(catalogue_cache, "library_version", lambda: "CoolProp 99.0")
    load_with(catalogue, "walk_in_medium", [])
    assert len(reads) == 2


def test_a_refrigerant_as_it_was_typed_is_found_again(catalogue, reads):
    """Of the packaged demo a case reads its own refrigerant alone."""
    for _ in range(2):
        found = load_with(
            packaged_configs() / "catalogue.yaml", "walk_in_medium", [], refrigerant=asked_refrigerant("R-448A")
        )
    assert len(reads) == 1 and "R448A" in found.refrigerants
    for _ in range(2):
        found = load_with(catalogue, None, [], also=[asked_refrigerant("r134a")])
    assert len(reads) == 2 and "R134a" in found.refrigerants


class Hostile:
    def __reduce__(self) -> tuple[object, tuple[str]]:
        return print, ("made",)


def test_nothing_but_data_comes_out_of_the_cache(catalogue, reads, capsys, tmp_path):
    load_with(catalogue, "walk_in_medium", [])
    state = files_state([catalogue.parent / "part_numbers.csv"])
    content = f'[["part_numbers.csv"], "{state}"]'.encode() + b"\n" + pickle.dumps(Hostile())
    assert catalogue_cache._read(catalogue, content) is None
    assert "made" not in capsys.readouterr().out
    # Data that are no catalogue are none either.
    content = f'[["part_numbers.csv"], "{state}"]'.encode() + b"\n" + pickle.dumps({"name": "demo"})
    assert catalogue_cache._read(catalogue, content) is None
