"""What the system refuses is one line that says so; what nobody foresaw is a crash report."""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys

import pytest

from tablegen import crash_report
from tablegen.api import catalogues
from tablegen.cli.main import main
from tests.processes import environment

LONG = "n" * 5000
PICK = ["pick", "R448A", "--sst", "24F", "--load", "20MBH", "--application", "walk_in_medium", "--demo"]


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "--catalogue", LONG],
        ["schema", LONG],
        ["init", LONG],
        ["build", "--demo", "--output", LONG],
        [*PICK, "--record", LONG],
        ["check", "--demo", f"--stock={LONG}"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_a_name_that_is_too_long_is_one_short_line(arguments, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(arguments) == 2
    [line] = capsys.readouterr().err.splitlines()
    assert len(line) < 200
    assert re.search(r"n{15,}: .*[Ff]ile ?name too long", line), line


def test_arguments_that_no_option_takes_are_cut(capsys):
    with pytest.raises(SystemExit):
        main(["check", "--demo", "x" * 5000])
    assert capsys.readouterr().err.splitlines()[-1].endswith("unrecognized arguments: " + "x" * 60 + "..." + "x" * 20)


@pytest.mark.skipif(sys.platform == "win32", reason="a folder in use cannot be deleted there")
def test_a_working_folder_that_was_deleted_is_named(tmp_path):
    program = "import os, sys; os.rmdir(os.getcwd()); from tablegen.cli.main import main; sys.exit(main(sys.argv[1:]))"
    folder = tmp_path / "gone"
    folder.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", program, *PICK, "--output", "a.pdf"],
        cwd=folder,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    expected = "the folder in which the command runs does not exist any more; change to another\n"
    assert (done.returncode, done.stderr) == (2, expected)


def test_a_refusal_without_a_file_is_not_blamed_on_the_output(tmp_path, monkeypatch, capsys):
    def fail(*_: object, **__: object) -> None:
        raise OSError(errno.EAGAIN, os.strerror(errno.EAGAIN))

    monkeypatch.setattr(catalogues, "load_catalogue", fail)
    monkeypatch.setattr(crash_report, "default_folder", lambda: tmp_path)
    assert main(["check", "--demo"]) == 70
    assert "standard output" not in capsys.readouterr().err
