"""Files that no command can take: too long, without an end, no text; each is refused by one clear line."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tablegen.cli.main import main
from tests.processes import ROOT, environment

# Words of the insides of libraries.
RAW = re.compile(r"codec|Exceeds|Errno|Traceback|openpyxl|zipfile|set_int_max")
PICK = [
    "pick",
    "R404A",
    "--sst",
    "24 degF",
    "--load",
    "20 kBtu/h",
    "--application",
    "walk_in_medium",
    "--demo",
    "--part-numbers",
]


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """The one line of a command that refuses a file."""
    began = time.monotonic()
    assert main(arguments) == 2
    assert time.monotonic() - began < 10.0
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1, lines
    assert not RAW.search(lines[0]), lines[0]
    return lines[0]


@pytest.mark.parametrize(
    ("value", "rule"),
    [
        ("9" * 5000, "a number of 5000 characters; no config file needs that"),
        ("0x" + "f" * 200_000, "a number of 200002 characters; no config file needs that"),
        ("[" + "1," * 100_000 + "1]", "more than 10000 keys and values; no config file needs that"),
    ],
    ids=["digits", "hexadecimal", "parts"],
)
def test_a_value_without_measure_is_refused_by_its_line(value, rule, tmp_path, capsys):
    shutil.copytree(ROOT / "configs", tmp_path / "c")
    path = tmp_path / "c" / "catalogue.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count("samples: 1024") == 1
    path.write_text(text.replace("samples: 1024", f"samples: {value}"), encoding="utf-8")
    line = text.split("samples: 1024")[0].count("\n") + 1
    assert refused(["check", "--catalogue", str(path)], capsys) == f"{path}:{line}: {rule}"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"part_number,family,size\n\xff,alder,45\n", ":2: the file cannot be read: a character is not UTF-8"),
        (b"part_number,family,size\n\0,alder,45\n", ":2: the file cannot be read: it contains a NUL byte here"),
        (b'"part_number,family,size\n' + b"x" * 200_000, ": the line is not CSV: field larger than field limit"),
        ("part_number,family,size\n".encode("utf-16")[:-1], ":1: the file cannot be read: it is damaged UTF-16"),
    ],
    ids=["latin", "nul", "quote in the header", "utf-16"],
)
def test_part_numbers_that_are_no_text_are_refused(content, message, tmp_path, capsys):
    path = tmp_path / "part_numbers.csv"
    path.write_bytes(content)
    line = refused([*PICK, str(path)], capsys)
    assert line.startswith(str(path)) and message in line


SAVE_IT = "in your spreadsheet program, save it as 'CSV UTF-8'"


def test_sizes_in_another_encoding_are_refused(tmp_path, capsys):
    path = tmp_path / "sizes.csv"
    path.write_bytes("size,kv_m3h\n12é,0.1\n".encode("latin-1"))
    line = refused(["init", str(tmp_path / "new"), "--sizes", str(path)], capsys)
    assert line == f"{path}:2: the file cannot be read: a character is not UTF-8; {SAVE_IT}"


def test_a_million_sizes_are_refused_before_they_are_compared(tmp_path, capsys):
    path = tmp_path / "sizes.csv"
    path.write_text("size,kv_m3h\n" + "".join(f"s{i},{i + 1}\n" for i in range(1_000_000)), encoding="utf-8")
    line = refused(["init", str(tmp_path / "new"), "--sizes", str(path)], capsys)
    assert line == f"{path}: the file is larger than 5 MB; no list of sizes needs that"


def workbook(path: Path, rows: int) -> None:
    """A sound workbook with many rows of sizes, which is packed to a hundredth; it does not state its extent."""
    plain = path.with_suffix(".plain.xlsx")
    book = openpyxl.Workbook()
    book.active.append(["size", "kv_m3h"])
    book.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name != "xl/worksheets/sheet1.xml":
                new.writestr(name, content)
                continue
            head, tail = re.sub(rb"<dimension[^>]*/>", b"", content).split(b"</sheetData>")
            with new.open(name, "w") as stream:
                stream.write(head)
                for _ in range(rows // 1000):
                    stream.write(b'<row><c t="inlineStr"><is><t>1</t></is></c><c><v>1</v></c></row>' * 1000)
                stream.write(b"</sheetData>" + tail)


@pytest.mark.parametrize(
    ("rows", "rule"),
    [
        (2_000, "more than 1000 rows; no list of sizes needs that"),
        (1_000_000, "the workbook has too many cells, styles or other parts; no list of sizes needs that"),
    ],
)
def test_a_sound_workbook_that_unpacks_to_a_heap_is_refused(rows, rule, tmp_path, capsys):
    path = tmp_path / "sizes.xlsx"
    workbook(path, rows)
    assert path.stat().st_size < 1_000_000
    assert refused(["init", str(tmp_path / "new"), "--sizes", str(path)], capsys) == f"{path}: {rule}"
    assert not (tmp_path / "new").exists()


ENDLESS = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (2 << 30, 2 << 30))
from tablegen.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("kind", ["pipe", "zeros", "zeros as bench data"])
def test_what_has_no_end_is_refused(kind, tmp_path):
    """In a process of its own: it would wait for ever, or take all memory."""
    path = Path("/dev/zero")
    if kind == "pipe":
        path = tmp_path / "catalogue.yaml"
        os.mkfifo(path)
    command = ["fit", path, "--family", "alder", "--demo"] if "bench" in kind else ["check", "--catalogue", path]
    command = [sys.executable, "-c", ENDLESS, *map(str, command)]
    done = subprocess.run(
        command, env=environment(OPENBLAS_NUM_THREADS="1"), capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 2, done.stderr
    message = "it is a folder, a pipe or a device"
    assert any(line.startswith(f"{path}: ") and message in line for line in done.stderr.splitlines()), done.stderr
    assert not RAW.search(done.stderr)
