"""Files that belong together are replaced when all are written; where one is not, the message says which were."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest

from tablegen.api._changed_files import ChangedFiles
from tablegen.errors import OutputError

NAMES = ("families.yaml", "part_numbers.csv", "catalogue.yaml")


@pytest.fixture
def files(tmp_path: Path) -> ChangedFiles:
    """Three files with new contents."""
    own = ChangedFiles(tmp_path)
    for name in NAMES:
        (tmp_path / name).write_bytes(b"old")
        own.put(tmp_path / name, b"new")
    return own


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def fail_at(monkeypatch: pytest.MonkeyPatch, method: str, last: int) -> None:
    """Let the disk be full from the call of that number on."""
    inner, calls = getattr(Path, method), []

    def limited(path: Path, argument: object) -> object:
        calls.append(path)
        if len(calls) >= last:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return inner(path, argument)

    monkeypatch.setattr(Path, method, limited)


@pytest.mark.parametrize("last", [1, 2, 3])
def test_a_full_disk_replaces_none_of_them(last, files, tmp_path, monkeypatch):
    fail_at(monkeypatch, "write_bytes", last)
    with pytest.raises(OutputError, match=r"cannot be written: No space left on device; nothing was replaced"):
        files.write(tmp_path / NAMES[-1], "")
    assert contents(tmp_path) == dict.fromkeys(NAMES, b"old")


@pytest.mark.parametrize("last", [1, 2, 3])
def test_a_file_that_does_not_get_its_place_is_named_with_those_that_did(last, files, tmp_path, monkeypatch):
    with monkeypatch.context() as patched:
        fail_at(patched, "replace", last)
        with pytest.raises(OutputError) as caught:
            files.write(tmp_path / NAMES[-1], "")
    found = contents(tmp_path)
    assert sorted(found) == sorted(NAMES)
    written = [name for name in NAMES if found[name] == b"new"]
    assert len(written) == last - 1 and NAMES[-1] not in written
    said = str(caught.value)
    if not written:
        assert said.endswith("No space left on device; nothing was replaced")
        return
    place, names = re.fullmatch(
        r"(.*): cannot be written: No space left on device; already written: (.*); run the command again to finish",
        said,
    ).groups()
    assert sorted(Path(name).name for name in names.split(", ")) == sorted(written)
    assert Path(place).name in set(NAMES) - set(written)


def test_the_file_that_names_the_others_is_replaced_last(tmp_path, monkeypatch):
    own = ChangedFiles(tmp_path)
    for name in reversed(NAMES):
        own.put(tmp_path / name, b"new")
    fail_at(monkeypatch, "replace", 3)
    with pytest.raises(OutputError, match=r"catalogue\.yaml: cannot be written"):
        own.write(tmp_path / NAMES[-1], "")
    assert contents(tmp_path) == dict.fromkeys(NAMES[:-1], b"new")
