"""Pipes, devices, sockets and folders where a file is asked for: each is refused at once by one line."""

from __future__ import annotations

import json
import os
import signal
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.files import read_regular
from tests.small import small_catalogue

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no named pipes here")
PICK = ["pick", "R404A", "--sst", "24F", "--load", "20 kBtu/h", "--application", "walk_in_medium", "--demo"]
HUNT = ["hunt", "alder", "45", "--refrigerant", "R404A", "--application", "walk_in_medium"]
# Of each option or argument that names a file, a command with it.
COMMANDS = {
    "catalogue": ["check", "--catalogue", "PIPE"],
    "catalogue to build": ["build", "--catalogue", "PIPE", "--output", "OUT"],
    "stock to build": ["build", "--demo", "--stock", "PIPE", "--output", "OUT"],
    "stock to pick": [*PICK, "--stock", "PIPE"],
    "part numbers": [*PICK, "--part-numbers", "PIPE"],
    "jobs": ["pick", "--jobs", "PIPE", "--demo"],
    "case": ["pick", "--case", "PIPE", "--demo"],
    "record": ["again", "PIPE"],
    "bench": ["fit", "PIPE", "--family", "alder", "--demo"],
    "class list": ["handout", "--demo", "--class-list", "PIPE", "--output", "OUT"],
    "old table": ["compare", "PIPE"],
    "mapping": ["compare", "TABLE", "--mapping", "PIPE"],
    "other catalogue": ["cross", "PIPE", "--demo"],
    "sizes": ["init", "NEW", "--sizes", "PIPE"],
    "import": ["import", "PIPE", "--catalogue", "CATALOGUE"],
}


@pytest.fixture(autouse=True)
def _at_once() -> Iterator[None]:
    """Who opens a pipe that nobody writes to would wait for ever."""

    def too_late(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, too_late)
    signal.alarm(30)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """The one line of a command that refuses a file, but for files that a catalogue lacks beside it."""
    assert main(arguments) == 2
    lines = [own for own in capsys.readouterr().err.splitlines() if not own.endswith("the file does not exist")]
    assert len(lines) == 1, lines
    return lines[0]


@pytest.mark.parametrize("kind", COMMANDS)
def test_a_pipe_is_refused_at_once(kind, tmp_path, capsys):
    pipe, table = tmp_path / "pipe.yaml", tmp_path / "old.csv"
    os.mkfifo(pipe)
    table.write_text("size,sst\n", encoding="utf-8")
    names = {"PIPE": pipe, "TABLE": table, "OUT": tmp_path / "out", "NEW": tmp_path / "new"}
    if "CATALOGUE" in COMMANDS[kind]:
        names["CATALOGUE"] = small_catalogue(tmp_path / "c", ["alder"], {"pair": ("R404A",)}, ["walk_in_medium"])
    if kind in ("old table", "import", "jobs", "class list", "sizes", "bench"):
        names["PIPE"] = pipe.rename(tmp_path / "pipe.csv")
    if kind == "record":
        names["PIPE"] = pipe.rename(tmp_path / "pipe.json")
    line = refused([str(names.get(own, own)) for own in COMMANDS[kind]], capsys)
    assert line == f"{names['PIPE']}: the file cannot be read: it is a folder, a pipe or a device"


@pytest.mark.parametrize("name", ["manifest.json", "group_windows.csv"])
@pytest.mark.parametrize("command", [["compare"], ["build", "--demo", "--since"], ["audit", "--demo", "--release"]])
def test_a_pipe_in_a_release_is_refused_at_once(name, command, tmp_path, capsys):
    release = tmp_path / "release"
    release.mkdir()
    if name != "manifest.json":
        if command[0] == "audit":
            pytest.skip("its manifest is refused first")
        record = {"inputs": {"printing": {"date": "2026-11-25"}}, "fingerprint": "0", "files_sha256": {name: "0"}}
        (release / "manifest.json").write_text(json.dumps(record), encoding="utf-8")
    os.mkfifo(release / name)
    more = [str(release)] if command[0] == "compare" else []
    line = refused([*command, str(release), *more], capsys)
    assert line == f"{release}: no release to compare with: {name} cannot be read: it is a folder, a pipe or a device"


@pytest.mark.parametrize("name", ["families/alder.yaml", "groups.yaml", "families/notes.md", "company.yaml"])
def test_a_pipe_beside_a_catalogue_is_no_wait(name, tmp_path, capsys):
    """Notes are not read; a config file is, and is then refused."""
    path = small_catalogue(tmp_path / "c", ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"])
    (path.parent / name).unlink(missing_ok=True)
    os.mkfifo(path.parent / name)
    question = [*PICK[:-1], "--catalogue", str(path)]
    if name.endswith(".md"):
        assert main(question) == 0
    else:
        assert f"{name}: the file cannot be read: it is a folder, a pipe or a device" in refused(question, capsys)


def test_only_a_file_or_a_link_to_one_is_read(tmp_path):
    (tmp_path / "file").write_bytes(b"content")
    (tmp_path / "link").symlink_to("file")
    assert read_regular(tmp_path / "link") == b"content"
    assert read_regular(tmp_path / "file", 4) == b"cont"
    # The path of a socket may not be long.
    where = Path(os.path.relpath(tmp_path))
    with socket.socket(socket.AF_UNIX) as own:
        own.bind(str(where / "socket"))
        for special in (tmp_path, tmp_path / "socket", Path(os.devnull)):
            with pytest.raises(OSError, match="it is a folder, a pipe or a device"):
                read_regular(special)
