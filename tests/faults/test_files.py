"""Outputs are replaced whole or not at all, also if the process is killed at any operation, and leave nothing beside."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
import time
from contextlib import nullcontext
from pathlib import Path

import pytest

from tablegen import files
from tablegen.errors import OutputError
from tablegen.files import replace_file, replace_folder, write_atomic
from tests.processes import ROOT, environment

# Writes an output, and kills itself at its operation number N on files, if it has so many.
WRITER = """
import filelock, os, signal, sys
from pathlib import Path
from tablegen.files import replace_folder
target, last, done = Path(sys.argv[1]), int(sys.argv[2]), 0
with filelock.FileLock(target.parents[1] / "first.lock"):  # what is loaded for a first lock is not counted
    pass
def count(event, _):
    global done
    if event in ("open", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "ctypes.dlsym", "shutil.rmtree"):
        done += 1
        if done == last:
            os.kill(os.getpid(), signal.SIGKILL)
sys.addaudithook(count)
with replace_folder(target) as stage:
    for name in ("manifest.json", "windows.csv"):
        (stage / name).write_text("new")
"""


def write(target: Path, text: str = "first") -> None:
    with replace_folder(target) as stage:
        for name in ("manifest.json", "windows.csv"):
            (stage / name).write_text(text, encoding="utf-8")


def written(target: Path) -> str:
    """What every file of an output contains."""
    texts = {path.name: path.read_text(encoding="utf-8") for path in target.iterdir()}
    assert sorted(texts) == ["manifest.json", "windows.csv"]
    (text,) = set(texts.values())
    return text


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_second_output_replaces_the_first(tmp_path):
    write(tmp_path / "demo")
    write(tmp_path / "demo", "second")
    assert written(tmp_path / "demo") == "second"
    assert names(tmp_path) == ["demo"]


def test_so_it_does_where_folders_cannot_be_exchanged(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "_exchange", lambda *_: False)
    test_a_second_output_replaces_the_first(tmp_path)


def test_a_failure_leaves_the_last_good_output(tmp_path):
    write(tmp_path / "demo")

    def fail() -> None:
        with replace_folder(tmp_path / "demo") as stage:
            (stage / "manifest.json").write_text("half", encoding="utf-8")
            raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError, match="in the middle"):
        fail()
    assert written(tmp_path / "demo") == "first"
    assert names(tmp_path) == ["demo"]


def test_a_folder_of_somebody_else_is_not_replaced(tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "thesis.doc").write_text("years of work", encoding="utf-8")
    with pytest.raises(OutputError, match=r"contains no manifest\.json"):
        write(tmp_path / "demo")
    assert (tmp_path / "demo" / "thesis.doc").read_text(encoding="utf-8") == "years of work"


@pytest.mark.parametrize("can_exchange", [True, False])
def test_folders_of_somebody_else_beside_the_output_stay(can_exchange, tmp_path, monkeypatch):
    can_exchange = can_exchange and sys.platform.startswith("linux")
    if not can_exchange:
        monkeypatch.setattr(files, "_exchange", lambda *_: False)
    others = [tmp_path / name / "thesis.doc" for name in (".demo.part", ".demo.previous")]
    for path in others:
        path.parent.mkdir()
        path.write_text("years of work", encoding="utf-8")
    write(tmp_path / "demo")
    # Where folders cannot be exchanged, the old output has to get a name that is taken.
    with nullcontext() if can_exchange else pytest.raises(OutputError, match="nothing was replaced"):
        write(tmp_path / "demo", "second")
    assert written(tmp_path / "demo") == ("second" if can_exchange else "first")
    assert [path.read_text(encoding="utf-8") for path in others] == ["years of work"] * 2
    assert names(tmp_path) == [".demo.part", ".demo.previous", "demo"]


def test_a_link_named_as_the_output_is_reported_and_left(tmp_path):
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "manifest.json").write_text("another's", encoding="utf-8")
    target = tmp_path / "demo"
    target.symlink_to(tmp_path / "other")
    with pytest.raises(OutputError, match=r"it is a link; name the folder it points to"):
        write(target, "new")
    assert target.is_symlink()
    assert (target / "manifest.json").read_text(encoding="utf-8") == "another's"


def test_two_builds_at_once_are_refused(tmp_path):
    with replace_folder(tmp_path / "demo") as stage:
        for name in ("manifest.json", "windows.csv"):
            (stage / name).write_text("mine", encoding="utf-8")
        with pytest.raises(OutputError, match="another build is writing there"):
            write(tmp_path / "demo", "theirs")
    assert written(tmp_path / "demo") == "mine"
    assert names(tmp_path) == ["demo"]


def test_a_build_that_died_between_its_two_moves_is_repaired(tmp_path):
    write(tmp_path / "demo")
    (tmp_path / "demo").rename(tmp_path / ".demo.previous")
    with pytest.raises(ZeroDivisionError), replace_folder(tmp_path / "demo"):
        raise ZeroDivisionError
    assert written(tmp_path / "demo") == "first"


def test_what_was_not_removed_after_the_two_moves_goes_with_the_next_output(tmp_path):
    write(tmp_path / ".demo.previous")
    write(tmp_path / "demo")
    (tmp_path / f".demo.{'0a' * 8}.part").mkdir()
    (tmp_path / f".demo.{'0a' * 8}.part" / "windows.csv").write_text("half", encoding="utf-8")
    write(tmp_path / "demo", "second")
    assert written(tmp_path / "demo") == "second"
    assert names(tmp_path) == ["demo"]


def test_a_killed_build_leaves_the_last_good_output(tmp_path):
    write(tmp_path / "demo")
    script = textwrap.dedent(f"""
        import os, signal
        from pathlib import Path
        from tablegen.files import replace_folder
        with replace_folder(Path({str(tmp_path / "demo")!r})) as stage:
            (stage / "manifest.json").write_text("half")
            os.kill(os.getpid(), signal.SIGKILL)
    """)
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=False)
    assert done.returncode == -9
    assert written(tmp_path / "demo") == "first"
    write(tmp_path / "demo", "next")
    assert written(tmp_path / "demo") == "next"
    assert names(tmp_path) == ["demo"]


def test_at_every_operation_the_output_is_the_last_one_or_the_new(tmp_path):
    if not sys.platform.startswith("linux"):
        pytest.skip("folders are exchanged in one step on Linux alone")
    target, seen = tmp_path / "output" / "demo", []
    for last in range(1, 100):
        write(target, "old")
        assert names(target.parent) == ["demo"]
        command = [sys.executable, "-c", WRITER, str(target), str(last)]
        code = subprocess.run(command, cwd=ROOT, env=environment(), timeout=60, check=False).returncode
        seen.append(written(target))
        if code == 0:
            break
        assert code == -signal.SIGKILL
    assert code == 0
    # Killed before the move and after it, and never back again.
    assert seen == sorted(seen, reverse=True) and 3 < seen.count("old") < len(seen) - 1


def test_whoever_waited_for_the_lock_of_another_does_not_share_it(tmp_path):
    """Many writers in turn: the file of the lock is made and removed by each, and never are two inside."""
    script = textwrap.dedent(f"""
        import sys, time
        from pathlib import Path
        from tablegen.errors import OutputError
        from tablegen.files import replace_folder
        folder, inside = Path({str(tmp_path)!r}), Path({str(tmp_path)!r}) / "inside"
        done = 0
        while done < 40:
            try:
                with replace_folder(folder / "demo") as stage:
                    (stage / "manifest.json").touch()
                    inside.touch(exist_ok=False)
                    inside.unlink()
                    done += 1
            except OutputError as error:
                assert "another build is writing there" in str(error), error
    """)
    both = [
        subprocess.Popen([sys.executable, "-c", script], cwd=ROOT, stderr=subprocess.PIPE, text=True) for _ in range(3)
    ]
    ends = [process.communicate(timeout=120)[1] for process in both]
    assert ends == ["", "", ""]
    assert names(tmp_path) == ["demo"]


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_read_only_folder_gives_one_message(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="cannot be written"):
        write(tmp_path / "demo")


def test_a_file_in_the_way_gives_one_message(tmp_path):
    (tmp_path / "output").write_text("a file", encoding="utf-8")
    with pytest.raises(OutputError, match="cannot be written"):
        write(tmp_path / "output" / "demo")


def test_what_a_writer_left_that_was_killed_goes_with_a_later_one(tmp_path):
    target = tmp_path / "page [1].pdf"
    old, new = (tmp_path / f".{target.name}.{number}.part" for number in (1, 2))
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, (time.time() - 4000.0,) * 2)
    with replace_file(target) as stage:
        stage.write_bytes(b"whole")
    # The other's writer may still run.
    assert names(tmp_path) == [new.name, target.name]
    assert target.read_bytes() == b"whole"


def test_a_file_that_was_not_finished_leaves_the_last_one(tmp_path):
    target = tmp_path / "sheet.pdf"
    target.write_bytes(b"the last one")

    def fail() -> None:
        with replace_file(target) as stage:
            stage.write_bytes(b"half")
            raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError, match="in the middle"):
        fail()
    assert target.read_bytes() == b"the last one"
    assert names(tmp_path) == [target.name]


@pytest.mark.parametrize(
    ("name", "message"),
    [("folder", "it is a folder; name a file"), ("none/sheet.pdf", "the folder .* does not exist")],
)
def test_a_path_that_can_be_no_file_gives_one_message(name, message, tmp_path):
    (tmp_path / "folder").mkdir()
    with pytest.raises(OutputError, match=message), replace_file(tmp_path / name):
        pytest.fail("there is nothing to write")


def test_a_name_of_the_maximum_length_can_be_written(tmp_path):
    for name in ("x" * 255, "é" * 127):
        write_atomic(tmp_path / name, b"whole")
        with replace_file(tmp_path / name) as stage:
            stage.write_bytes(b"later")
        assert (tmp_path / name).read_bytes() == b"later"


def test_a_file_may_be_read_by_others_as_any_other(tmp_path):
    """Its mode is that of a file that the process opens, not one for its owner alone."""
    write_atomic(tmp_path / "ours", b"")
    (tmp_path / "usual").touch()
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_what_is_read_only_is_not_replaced(tmp_path, monkeypatch):
    file, folder = tmp_path / "family.yaml", tmp_path / "released"
    file.write_text("measured", encoding="utf-8")
    with replace_folder(folder) as stage:
        (stage / "manifest.json").write_text("{}", encoding="utf-8")
    file.chmod(0o444)
    folder.chmod(0o555)
    if os.access(file, os.W_OK):  # the superuser may write everywhere
        monkeypatch.setattr(os, "access", lambda path, mode: not mode & os.W_OK)
    try:
        for replaced in (replace_file, replace_folder):
            target = file if replaced is replace_file else folder
            with (
                pytest.raises(OutputError, match="cannot be written: it is read-only; nothing was replaced"),
                replaced(target),
            ):
                pytest.fail("nothing is computed for it")
    finally:
        folder.chmod(0o755)
    assert file.read_text(encoding="utf-8") == "measured"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["family.yaml", "released"]
