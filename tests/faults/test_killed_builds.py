"""Builds that are killed, fill the disk or meet each other: the output is the last good one or a whole new one."""

import hashlib
import json
import os
import random
import re
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.processes import environment
from tests.small import small_catalogue

BOOKLET = "publication: booklet\nkind: booklet\nprints:\n  - {paper: letter, units: IP}\n"
# Compiled modules would be cut as well, and met by who comes next.
UNCOMPILED = environment(PYTHONDONTWRITEBYTECODE="1")
# What is in an output beside what the manifest lists by its hash.
OTHERS = {
    "configs.zip",
    "manifest.json",
    "columns.csv",
    "outputs.json",
    "tables.sqlite",
    "windows.xlsx",
    "lookup.html",
    "booklet.pdf",
}


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory) -> Path:
    """One family on two refrigerants, and its booklet."""
    place = tmp_path_factory.mktemp("killed") / "configs"
    more = "publications: [booklet]\n"
    path = small_catalogue(place, ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"], more=more)
    (place / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    return path


def started(catalogue: Path, output: Path, *more: str, **limits: int) -> subprocess.Popen[str]:
    """A build in a process of its own; `file_size` is the most bytes that it may write into one file."""

    def limited() -> None:
        if "file_size" in limits:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limits["file_size"],) * 2)

    return subprocess.Popen(
        [sys.executable, "-m", "tablegen", "build", "--catalogue", str(catalogue), "--output", str(output), *more],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=UNCOMPILED,
        preexec_fn=limited,
    )


def whole(folder: Path) -> str:
    """The fingerprint of an output, of which every file is there and is what the manifest says."""
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    hashes = manifest["files_sha256"]
    for name, digest in hashes.items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest, name
    assert {p.name for p in folder.iterdir()} == {*hashes, *OTHERS}
    pdf = (folder / "booklet.pdf").read_bytes()
    assert pdf.startswith(b"%PDF") and pdf.rstrip().endswith(b"%%EOF")
    assert manifest["fingerprint"].encode() in pdf or len(pdf) > 50_000
    return str(manifest["fingerprint"])


def finished(build: subprocess.Popen[str]) -> tuple[int, str]:
    _, err = build.communicate(timeout=120)
    return build.returncode, err


def clean(output: Path) -> None:
    assert [p.name for p in output.iterdir()] == ["demo"]


def another(catalogue: Path, kv: str) -> None:
    """Another flow coefficient, so that the next output differs from the last."""
    path = catalogue.parent / "families" / "alder.yaml"
    text = path.read_text(encoding="utf-8")
    changed, count = re.subn(r"(size: 11, kv: )[^}]+", rf"\g<1>{kv} L/h", text)
    assert count == 1 and changed != text
    path.write_text(changed, encoding="utf-8")


def killed_at_random(catalogue: Path, output: Path, count: int, seed: int) -> None:
    chance = random.Random(seed)
    assert finished(started(catalogue, output))[0] == 0
    # Once more, for the first had to compute what is cached: kills should come while later ones are at work.
    another(catalogue, "9.4")
    start = time.monotonic()
    assert finished(started(catalogue, output))[0] == 0
    usual = time.monotonic() - start
    last = whole(output / "demo")
    ends = {"killed": 0, "done": 0}
    for number in range(count):
        another(catalogue, f"{10 + 0.05 * number:.2f}")
        build = started(catalogue, output)
        time.sleep(chance.uniform(0.0, 0.9 * usual))
        build.kill()
        code, _ = finished(build)
        ends["killed" if code == -signal.SIGKILL else "done"] += 1
        now = whole(output / "demo") if (output / "demo").exists() else ""
        if not now:
            # Between its two moves: the last one waits beside, and the next build puts it back.
            assert whole(output / ".demo.previous") == last
        last = now or last
    assert ends["killed"] >= 2 * count // 5
    another(catalogue, "9.5")
    code, err = finished(started(catalogue, output))
    assert code == 0, err
    assert whole(output / "demo") != last
    clean(output)


@pytest.mark.slow
def test_fifty_killed_builds_leave_a_whole_output(catalogue, tmp_path):
    """About five minutes."""
    killed_at_random(catalogue, tmp_path / "output", 50, seed=2)


@pytest.mark.slow
def test_no_worker_outlives_a_build_that_is_killed(catalogue, tmp_path):
    build = started(catalogue, tmp_path / "output", "--workers", "2")
    children: set[int] = set()
    deadline = time.monotonic() + 60.0
    while len(children) < 3 and build.poll() is None and time.monotonic() < deadline:
        # Two workers, and what keeps count of their shared things.
        children |= descendants(build.pid)
        time.sleep(0.02)
    build.kill()
    finished(build)
    assert children
    deadline = time.monotonic() + 30.0
    while any(is_running(child) for child in children) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not [child for child in children if is_running(child)]


def descendants(pid: int) -> set[int]:
    found = Path(f"/proc/{pid}/task/{pid}/children")
    return {int(child) for child in found.read_text().split()} if found.exists() else set()


def is_running(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        return False
    return state != "Z"


DISKS = [20_000, *(pytest.param(size, marks=pytest.mark.slow) for size in (1, 30_000, 70_000, 150_000))]


@pytest.mark.slow
@pytest.mark.parametrize("size", DISKS)
def test_a_full_disk_is_one_line_and_leaves_the_last_output(catalogue, tmp_path, size):
    output = tmp_path / "output"
    assert finished(started(catalogue, output))[0] == 0
    last = whole(output / "demo")
    another(catalogue, f"9.{size}")
    code, err = finished(started(catalogue, output, file_size=size))
    assert code == 2
    shown = [line for line in err.splitlines() if not line.startswith("note: ")]
    assert len(shown) == 1, err
    assert "cannot be written: File too large; nothing was replaced" in shown[0]
    assert whole(output / "demo") == last
    clean(output)


SHEETS = {
    "states": ["states", "R448A", "--output"],
    "trace": [
        "trace",
        "alder",
        "45",
        "R448A-family",
        "--sst",
        "24 degF",
        "--application",
        "walk_in_medium",
        "--demo",
        "--output",
    ],
    "retrofit": [
        "retrofit",
        "alder",
        "63",
        "--refrigerant",
        "R448A",
        "--sst",
        "24 degF",
        "--load",
        "14 kBtu/h",
        "--application",
        "walk_in_medium",
        "--demo",
        "--output",
    ],
    "audit": ["audit", "--demo", "--output"],
}


@pytest.mark.parametrize("name", [*(n for n in SHEETS if n != "audit"), pytest.param("audit", marks=pytest.mark.slow)])
def test_a_sheet_on_a_full_disk_leaves_the_last_one(name, tmp_path):
    target = tmp_path / "sheet.pdf"
    target.write_bytes(b"the last one")

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (4000, 4000))

    done = subprocess.run(
        [sys.executable, "-m", "tablegen", *SHEETS[name], str(target)],
        capture_output=True,
        text=True,
        env=UNCOMPILED,
        preexec_fn=limited,
        check=False,
    )
    shown = [line for line in done.stderr.splitlines() if not line.startswith("note: ")]
    assert done.returncode == 2, done.stderr
    assert shown in (
        [f"{target}: cannot be written: File too large; nothing was replaced"],
        [f"--output: {target}: cannot be written: File too large; nothing was replaced"],
    )
    assert target.read_bytes() == b"the last one"
    assert [p.name for p in tmp_path.iterdir()] == ["sheet.pdf"]


@pytest.mark.parametrize("place", ["/proc/tablegen", "/dev/null/output", "/sys/kernel"])
def test_a_folder_where_nobody_may_write_is_one_line(catalogue, place, capsys):
    assert main(["build", "--catalogue", str(catalogue), "--output", place]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(place) and "cannot be written: " in line and line.endswith("; nothing was replaced")


@pytest.mark.slow
def test_two_builds_at_once_leave_one_whole_output(catalogue, tmp_path):
    output = tmp_path / "output"
    both = [started(catalogue, output) for _ in range(2)]
    ends = [finished(build) for build in both]
    assert min(code for code, _ in ends) == 0
    for code, err in ends:
        assert code == 0 or "another build is writing there; wait for it to end" in err
    whole(output / "demo")
    clean(output)


@pytest.mark.parametrize("number", [signal.SIGTERM, pytest.param(signal.SIGINT, marks=pytest.mark.slow)])
def test_a_build_that_is_ended_says_so_and_leaves_nothing(catalogue, tmp_path, number):
    output = tmp_path / "output"
    build = started(catalogue, output)
    deadline = time.monotonic() + 60.0
    while not any(output.glob(".demo.*.part")) and time.monotonic() < deadline:
        time.sleep(0.01)
    os.kill(build.pid, number)
    code, err = finished(build)
    assert code == 130 if number == signal.SIGINT else code == 143
    assert "Traceback" not in err
    assert err.splitlines()[-1] == "interrupted; the last complete output is untouched"
    assert list(output.iterdir()) == []


# Ends the process while rows of the workbook are written.
ENDED_IN_THE_WORKBOOK = """
import os, signal, sys
from tablegen.report import xlsx

def until_ended(cells):
    for number, own in enumerate(cells):
        if number == 5:
            os.kill(os.getpid(), {number})
        yield own

write = xlsx.Workbook.write
xlsx.Workbook.write = lambda book, sheet, rows, cells: write(book, sheet, rows, until_ended(cells))
from tablegen.cli.main import main
sys.exit(main(["build", "--catalogue", sys.argv[1], "--output", sys.argv[2], "--only", "windows"]))
"""


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_build_that_is_ended_in_its_workbook_says_it_in_one_line(catalogue, tmp_path, number):
    code = ENDED_IN_THE_WORKBOOK.format(number=int(number))
    command = [sys.executable, "-c", code, str(catalogue), str(tmp_path / "output")]
    done = subprocess.run(command, env=UNCOMPILED, capture_output=True, text=True, check=False)
    assert done.returncode == (130 if number == signal.SIGINT else 143)
    assert done.stderr.splitlines()[-1] == "interrupted; the last complete output is untouched"
    assert "Exception ignored" not in done.stderr
    assert list((tmp_path / "output").iterdir()) == []
