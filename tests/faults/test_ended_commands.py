"""A command that the system ends says so in one line and leaves nothing unfinished, whichever it is."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tablegen.config.starter import start_catalogue
from tests.processes import environment

# Is asked to end when it opens the first file of an output that is not finished.
ENDED = """
import os, signal, sys

asked = []

def end(event, arguments):
    if event == "open" and ".part" in str(arguments[0]) and not asked:
        asked.append(event)
        os.kill(os.getpid(), getattr(signal, os.environ["ENDED_BY"]))

sys.addaudithook(end)
from tablegen.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
INTERRUPTED = "interrupted; the last complete output is untouched\n"
UNFINISHED = "interrupted; some of the catalogue's files may be changed and others not: run {} again to finish\n"


def files_in(folder: Path) -> dict[str, bytes | None]:
    paths = folder.rglob("*")
    return {path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None for path in paths}


@pytest.mark.parametrize(
    ("started_for", "arguments", "says"),
    [
        ("wholesaler", ["init", "new", "--for", "maker"], INTERRUPTED),
        ("school", ["handout", "--output", "class"], INTERRUPTED),
        pytest.param(
            "maker", ["fit", "own/bench/alder.csv", "--family", "alder", "--apply"], INTERRUPTED, marks=pytest.mark.slow
        ),
        pytest.param("maker", ["cross", "own", "--csv", "cross.csv"], INTERRUPTED, marks=pytest.mark.slow),
        pytest.param("maker", ["check", "--draft", "de"], INTERRUPTED, marks=pytest.mark.slow),
        ("maker", ["upgrade"], UNFINISHED.format("upgrade")),
        pytest.param(
            "maker",
            ["import", *(f"own/import/sorrel-{name}.csv" for name in ("curve", "keys", "part-numbers", "sizes"))],
            UNFINISHED.format("import"),
            marks=pytest.mark.slow,
        ),
    ],
    ids=lambda own: own[0] if isinstance(own, list) else "",
)
def test_a_command_that_is_ended_says_so_and_leaves_nothing(started_for, arguments, says, tmp_path):
    start_catalogue(tmp_path / "own", started_for=started_for)
    path = tmp_path / "own" / "catalogue.yaml"
    if arguments[0] == "upgrade":
        path.write_text(path.read_text(encoding="utf-8").replace("format: 1\n", ""), encoding="utf-8")
    before = files_in(tmp_path)
    of_catalogue = [] if arguments[0] == "init" else ["--catalogue", "own"]
    done = subprocess.run(
        [sys.executable, "-c", ENDED, *arguments, *of_catalogue],
        cwd=tmp_path,
        # A terminal that is closed ends it too.
        env=environment(ENDED_BY="SIGHUP" if hasattr(signal, "SIGHUP") and arguments[0] == "handout" else "SIGTERM"),
        capture_output=True,
        text=True,
        check=False,
    )
    notes = [line for line in done.stderr.splitlines(keepends=True) if not line.startswith("note: ")]
    assert (done.returncode, "".join(notes)) == (143, says)
    assert files_in(tmp_path) == before
