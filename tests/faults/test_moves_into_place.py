"""A process is killed at any operation as it puts an output in place: there is the last one or the new, whole."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tablegen.cache import _remove_stale, keep
from tablegen.dataset.output import replaced_file, replaced_folder
from tablegen.errors import OutputError
from tests.processes import ROOT, environment

# Writes an output, and kills itself at its operation number N on files, if it has so many.
WRITER = """
import os, signal, sys
from pathlib import Path
from tablegen.dataset import exchange  # before the operations are counted
from tablegen.dataset.output import replaced_folder
target, last, done = Path(sys.argv[1]), int(sys.argv[2]), 0
def count(event, _):
    global done
    if event in ("open", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "ctypes.dlsym", "shutil.rmtree"):
        done += 1
        if done == last:
            os.kill(os.getpid(), signal.SIGKILL)
sys.addaudithook(count)
with replaced_folder(target) as stage:
    for name in ("manifest.json", "windows.csv"):
        (stage / name).write_text("new")
"""


def write(target: Path, text: str) -> None:
    with replaced_folder(target) as stage:
        for name in ("manifest.json", "windows.csv"):
            (stage / name).write_text(text, encoding="utf-8")


def test_at_every_operation_the_output_is_the_last_one_or_the_new(tmp_path):
    if not sys.platform.startswith("linux"):
        pytest.skip("folders are exchanged in one step on Linux alone")
    target, seen = tmp_path / "output" / "demo", []
    for last in range(1, 100):
        write(target, "old")
        assert [path.name for path in target.parent.iterdir() if path.name != ".demo.lock"] == ["demo"]
        command = [sys.executable, "-c", WRITER, str(target), str(last)]
        code = subprocess.run(command, cwd=ROOT, env=environment(), timeout=60, check=False).returncode
        texts = {path.name: path.read_text(encoding="utf-8") for path in target.iterdir()}
        assert sorted(texts) == ["manifest.json", "windows.csv"], last
        assert len(set(texts.values())) == 1, last
        seen.append(texts["manifest.json"])
        if code == 0:
            break
        assert code == -signal.SIGKILL
    assert code == 0
    # Killed before the move and after it, and never back again.
    assert seen == sorted(seen, reverse=True) and 3 < seen.count("old") < len(seen) - 1


def test_a_link_in_the_place_of_the_output_is_told_and_left(tmp_path):
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "manifest.json").write_text("another's", encoding="utf-8")
    target = tmp_path / "demo"
    target.symlink_to(tmp_path / "other")
    with pytest.raises(OutputError, match=r"it is a link; name the folder that it leads to"):
        write(target, "new")
    assert target.is_symlink()
    assert (target / "manifest.json").read_text(encoding="utf-8") == "another's"


def test_what_a_writer_left_that_was_killed_goes_with_the_next(tmp_path):
    target = tmp_path / "page [1].pdf"
    with subprocess.Popen([sys.executable, "-c", ""]) as gone:
        gone.wait()
    for process in (gone.pid, os.getppid()):
        (tmp_path / f".{target.name}.part-{process}").write_bytes(b"half")
    with replaced_file(target) as stage:
        stage.write_bytes(b"whole")
    # The other's writer still runs.
    assert sorted(path.name for path in tmp_path.iterdir()) == [f".{target.name}.part-{os.getppid()}", target.name]


def test_what_was_being_kept_by_one_who_was_killed_goes_after_an_hour(tmp_path):
    old, new = tmp_path / ".table-abc.part", tmp_path / ".table-def.part"
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, (time.time() - 4000.0,) * 2)
    _remove_stale.cache_clear()
    assert keep(tmp_path / "table.npz", b"whole", "tables", "made")
    assert sorted(path.name for path in tmp_path.iterdir()) == [new.name, "table.npz"]
