"""The output folder is replaced whole or not at all."""

import os
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from tablegen.dataset.output import replaced_folder
from tablegen.errors import OutputError


def good(target: Path, text: str = "first") -> None:
    with replaced_folder(target) as stage:
        (stage / "manifest.json").write_text(text)


def left_over(parent: Path) -> list[str]:
    return sorted(p.name for p in parent.iterdir() if p.name not in ("demo", ".demo.lock"))


def test_a_second_build_takes_the_place_of_the_first(tmp_path):
    good(tmp_path / "demo")
    good(tmp_path / "demo", "second")
    assert (tmp_path / "demo" / "manifest.json").read_text() == "second"
    assert left_over(tmp_path) == []


def test_a_failure_leaves_the_last_good_output(tmp_path):
    good(tmp_path / "demo")

    def fail() -> None:
        with replaced_folder(tmp_path / "demo") as stage:
            (stage / "manifest.json").write_text("half")
            raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError, match="in the middle"):
        fail()
    assert (tmp_path / "demo" / "manifest.json").read_text() == "first"
    assert left_over(tmp_path) == []


def test_a_folder_of_somebody_else_is_not_replaced(tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "thesis.doc").write_text("years of work")
    with pytest.raises(OutputError, match=r"holds no manifest\.json"):
        good(tmp_path / "demo")
    assert (tmp_path / "demo" / "thesis.doc").read_text() == "years of work"


def test_two_builds_at_once_are_refused(tmp_path):
    with replaced_folder(tmp_path / "demo") as stage:
        (stage / "manifest.json").write_text("mine")
        with pytest.raises(OutputError, match="another build is writing there"):
            good(tmp_path / "demo", "theirs")
    assert (tmp_path / "demo" / "manifest.json").read_text() == "mine"


def test_a_build_that_died_between_its_two_moves_is_mended(tmp_path):
    good(tmp_path / "demo")
    (tmp_path / "demo").rename(tmp_path / ".demo.previous")
    with pytest.raises(ZeroDivisionError), replaced_folder(tmp_path / "demo"):
        raise ZeroDivisionError
    assert (tmp_path / "demo" / "manifest.json").read_text() == "first"


def test_a_killed_build_leaves_the_last_good_output(tmp_path):
    good(tmp_path / "demo")
    script = textwrap.dedent(f"""
        import os, signal
        from pathlib import Path
        from tablegen.dataset.output import replaced_folder
        with replaced_folder(Path({str(tmp_path / "demo")!r})) as stage:
            (stage / "manifest.json").write_text("half")
            os.kill(os.getpid(), signal.SIGKILL)
    """)
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", script], cwd=root, check=False)
    assert done.returncode == -9
    assert (tmp_path / "demo" / "manifest.json").read_text() == "first"
    good(tmp_path / "demo", "next")
    assert (tmp_path / "demo" / "manifest.json").read_text() == "next"
    assert left_over(tmp_path) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_place_gives_one_message(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="cannot be written"):
        good(tmp_path / "demo")


def test_a_file_in_the_way_gives_one_message(tmp_path):
    (tmp_path / "output").write_text("a file")
    with pytest.raises(OutputError, match="cannot be written"):
        good(tmp_path / "output" / "demo")
