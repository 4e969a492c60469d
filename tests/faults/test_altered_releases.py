"""Releases that somebody altered, hashes too: every command that reads one ends with an answer or one clear line."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tests.small import small_catalogue

BOOKLET = "publication: booklet\nkind: booklet\nprints:\n  - {paper: letter, units: IP}\n"
DATA, MANIFEST, RECORD = "group_windows.csv", "manifest.json", "outputs.json"
HUGE = b"9" * 5000
# Texts for a cell or a value of JSON.
ODD = [
    b"",
    b"much",
    b"nan",
    b"inf",
    b"-1",
    b"0",
    b"1e999",
    HUGE,
    b"\0",
    b"\xff",
    b'"',
    b"1,2",
    b"\n",
    b"\r",
    b"a\xe2\x80\xae",
    b"[]",
]
Alteration = Callable[[random.Random, bytes], bytes]


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, Path]:
    """A catalogue file, and the folder of its release."""
    place = tmp_path_factory.mktemp("altered")
    more = "publications: [booklet]\n"
    rows = (
        "applications/walk_in_medium.yaml",
        "maximum: 40 degF, step: 2 delta_degF",
        "maximum: 38 degF, step: 7 delta_degF",
    )
    path = small_catalogue(
        place / "configs", ["alder"], {"pair": ("R404A", "R507A")}, ["walk_in_medium"], edits=[rows], more=more
    )
    (place / "configs" / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    assert main(["build", "--catalogue", str(path), "--output", str(place / "output")]) == 0
    return path, place / "output" / "demo"


def bits(chance: random.Random, content: bytes) -> bytes:
    own = bytearray(content)
    for _ in range(chance.randint(1, 4)):
        own[chance.randrange(len(own))] = chance.randrange(256)
    return bytes(own)


def cut(chance: random.Random, content: bytes) -> bytes:
    start, end = sorted(chance.sample(range(len(content) + 1), 2))
    return chance.choice([content[:start], content[:start] + content[end:], b"", b"\xef\xbb\xbf" + content])


def cell(chance: random.Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    number = chance.randrange(max(len(lines) - 1, 1))
    cells = lines[number].split(b",")
    cells[chance.randrange(len(cells))] = chance.choice(ODD)
    lines[number] = b",".join(cells)
    return b"\n".join(lines)


def column(chance: random.Random, content: bytes) -> bytes:
    """A column that is gone, there twice, or called as another is."""
    rows = [line.split(b",") for line in content.split(b"\n") if line]
    first, second = chance.randrange(len(rows[0])), chance.randrange(len(rows[0]))
    kind = chance.randrange(3)
    for number, row in enumerate(rows):
        if kind == 0:
            del row[first]
        elif kind == 1:
            row.append(row[second])
        elif number == 0:
            row[first] = row[second]
    return b"\n".join(map(b",".join, rows)) + b"\n"


def row(chance: random.Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    own = chance.choice(lines)
    return b"\n".join([*lines[:-1], chance.choice([own, own + b",1", b"", b" ", own[:-9]]), b""])


def value(chance: random.Random, content: bytes) -> bytes:
    """Another value somewhere in a JSON file."""
    found = json.loads(content)
    at, steps = found, chance.randint(1, 6)
    odd = [
        None,
        True,
        0,
        -1,
        10**400,
        1e308,
        "",
        "\ud800",
        "x" * 5000,
        "../../x",
        "\0",
        "\x1b[2J",
        [],
        [[]],
        {},
        {"name": []},
        [1],
    ]
    for step in range(steps):
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        if not keys:
            break
        key = chance.choice(keys)
        if step == steps - 1 or not isinstance(at[key], (dict, list)):
            if chance.random() < 0.3:
                del at[key]
            else:
                at[key] = chance.choice(odd)
            break
        at = at[key]
    return json.dumps(found).encode()


def deep(chance: random.Random, content: bytes) -> bytes:
    """Levels in a value of a JSON file, from a few to more than the library reads."""
    count = chance.choice([60, 300, 700, 950, 100_000])
    opened, closed = chance.choice([(b"[", b"]"), (b'{"a":', b"}")])
    marks = [i for i in range(len(content)) if content[i : i + 2] in (b": ", b':"')]
    at = chance.choice(marks) + 1
    return content[:at] + opened * count + b"1" + closed * count + b"," + b'"later":' + content[at:]


OF_CSV: list[Alteration] = [bits, cut, cell, cell, column, row]
OF_JSON: list[Alteration] = [bits, cut, value, value, value, deep]
OTHERS: list[Alteration] = [bits, cut]


def altered(folder: Path, name: str, chance: random.Random) -> None:
    """A file altered, and its hashes renewed as by somebody who knows of them."""
    path = folder / name
    change = chance.choice({".csv": OF_CSV, ".json": OF_JSON}.get(path.suffix, OTHERS))
    content = path.read_bytes()
    path.write_bytes(change(chance, content) if len(content) > 1 else b"a,b\n1\n")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    for own in (MANIFEST, RECORD):
        if own != name:
            before = hashlib.sha256(content).hexdigest()
            text = (folder / own).read_text(encoding="utf-8")
            (folder / own).write_text(text.replace(before, digest), encoding="utf-8")


def command(kind: str, path: Path, old: Path, place: Path) -> list[str]:
    own = ["--catalogue", str(path)]
    return {
        "compare": ["compare", str(old), str(path.parent.parent / "output" / "demo")],
        "compare new": ["compare", str(path.parent.parent / "output" / "demo"), str(old), "--json"],
        "causes": ["compare", str(old), str(path.parent.parent / "output" / "demo"), "--causes"],
        "audit": ["audit", "--release", str(old), *own],
        "since": ["build", *own, "--since", str(old), "--output", str(place / "next"), "--only", "windows"],
        "again": ["build", *own, "--output", str(old.parent)],
        "table": ["table", "alder", "pair", "--application", "walk_in_medium", *own, "--since", str(old)],
    }[kind]


READ = {
    "compare": [DATA, MANIFEST],
    "compare new": [DATA, MANIFEST],
    "causes": [DATA, MANIFEST, "configs.zip"],
    "audit": [DATA, MANIFEST, RECORD, "tables.sqlite", "windows.xlsx", "lookup.html", "booklet.pdf", "states.csv"],
    "since": [DATA, MANIFEST, "configs.zip"],
    "again": [RECORD],
    "table": [DATA, MANIFEST],
}


# Alterations of each kind of command: in the ordinary run, and in the slow one.
COUNTS = {
    "compare": (25, 400),
    "compare new": (10, 200),
    "causes": (6, 100),
    "audit": (4, 100),
    "since": (2, 40),
    "again": (2, 40),
    "table": (6, 100),
}
ORDINARY = [(kind, number) for kind, (count, _) in COUNTS.items() for number in range(count)]


def ends_well(kind: str, number: int, made: tuple[Path, Path], place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chance = random.Random(f"{kind} {number}")
    old = place / "old" / "demo"
    shutil.copytree(made[1], old)
    name = chance.choice(READ[kind])
    altered(old, name, chance)
    code = main(command(kind, made[0], old, place))
    err = capsys.readouterr().err
    lines = [line for line in err.splitlines() if not line.startswith("note: ")]
    assert code in (0, 1, 2), (kind, number, name, err)
    assert len(lines) == (code == 2), (kind, number, name, err)
    assert "Traceback" not in err and "codec" not in err, (kind, number, name, err)


@pytest.mark.parametrize(("kind", "number"), ORDINARY)
def test_an_altered_release_ends_with_an_answer_or_one_line(kind, number, made, tmp_path, capsys):
    ends_well(kind, number, made, tmp_path, capsys)


@pytest.mark.slow
@pytest.mark.parametrize("kind", COUNTS)
def test_so_do_many(kind, made, tmp_path, capsys):
    for number in range(*COUNTS[kind]):
        ends_well(kind, number, made, tmp_path / str(number), capsys)
        shutil.rmtree(tmp_path / str(number))


def rehashed(made: tuple[Path, Path], place: Path, change: Callable[[list[list[str]]], object]) -> Path:
    """A release whose windows are changed as rows of cells, with their hash."""
    old = place / "old"
    shutil.copytree(made[1], old)
    before = (old / DATA).read_bytes()
    rows = [line.split(",") for line in before.decode().splitlines()]
    change(rows)
    after = "".join(",".join(own) + "\n" for own in rows).encode()
    (old / DATA).write_bytes(after)
    text = (old / MANIFEST).read_text(encoding="utf-8")
    hashes = [hashlib.sha256(content).hexdigest() for content in (before, after)]
    (old / MANIFEST).write_text(text.replace(*hashes), encoding="utf-8")
    return old


def put(name: str, text: str) -> Callable[[list[list[str]]], None]:
    def change(rows: list[list[str]]) -> None:
        rows[3][rows[0].index(name)] = text

    return change


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (put("min_load_w", ""), ":4: min_load_w: is missing, but the window has the other limit"),
        (put("max_load_w", ""), ":4: max_load_w: is missing, but the window has the other limit"),
        (put("max_load_w", "1.0"), " is not allowed; must be below the maximum load, 1.0"),
        (put("max_load_w", "much"), ":4: max_load_w: 'much' is not allowed; must be a number above 0 [W]"),
        (put("max_load_w", "nan"), ":4: max_load_w: 'nan' is not allowed; must be a number above 0 [W]"),
        (put("min_load_w", "-5"), ":4: min_load_w: '-5' is not allowed; must be a number above 0 [W]"),
        (put("min_load_w", "0x10"), ":4: min_load_w: '0x10' is not allowed; must be a number above 0 [W]"),
        (put("sst_k", ""), ":4: sst_k: '' is not allowed; must be a number above 0 [K]"),
        (put("sst_k", "1e999"), ":4: sst_k: '1e999' is not allowed; must be a number above 0 [K]"),
        (put("family", " "), ":4: family: ' ' is not allowed; must be a name"),
        (put("size", "\x1b[2J,"), ":4: the row has 22 values, the heading has 21 columns"),
        (put("size", '"'), ": the line is not CSV: unexpected end of data"),
        (lambda rows: rows.append(rows[1]), ": the window is the same as in line 2"),
        (lambda rows: rows.append([]), ": the row has 0 values, the heading has 21 columns"),
        (lambda rows: [own.append(own[6]) for own in rows], "it has more than one column min_load_w"),
        (lambda rows: [own.pop(6) for own in rows], "it has no column min_load_w"),
        (lambda rows: rows.__delitem__(slice(1, None)), ": the file has no windows"),
        (lambda rows: rows.clear(), "it has no column family"),
    ],
)
def test_what_a_build_does_not_write_is_named_by_line_and_column(change, message, made, tmp_path, capsys):
    old = rehashed(made, tmp_path, change)
    for arguments in (
        ["compare", old, made[1]],
        ["compare", made[1], old],
        ["audit", "--catalogue", made[0], "--release", old],
    ):
        assert main(list(map(str, arguments))) == 2
        (line,) = capsys.readouterr().err.splitlines()
        assert line.startswith(f"{old / DATA}:") and message in line, line


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            lambda text: text.replace('"layout": 10', '"layout": 10, "layout": 8', 1),
            "the key 'layout' is there more than once",
        ),
        (lambda text: text.replace('"layout": 10', '"layout": ' + "9" * 400, 1), "a number is larger than any"),
        (lambda text: text.replace('"layout": 10', '"layout": NaN', 1), "a number is larger than any"),
        (lambda text: text.replace('"layout": 10', '"layout": ' + "[" * 400 + "]" * 400, 1), "nested deeper"),
        (
            lambda text: text.replace('"layout": 10', '"layout": "\\ud800"', 1),
            "the text '\\ud800' contains an incomplete character",
        ),
        (
            lambda text: text.replace('"layout": 10', '"layout": 10 9', 1),
            ":2: the file is not JSON: Expecting ',' delimiter",
        ),
        (lambda text: text.replace('"date": "2026-11-25"', '"date": "soon"', 1), "no date of the release: 'soon'"),
    ],
)
def test_a_manifest_that_no_build_writes_is_refused(change, message, made, tmp_path, capsys):
    shutil.copytree(made[1], tmp_path / "old")
    manifest = tmp_path / "old" / MANIFEST
    text = manifest.read_text(encoding="utf-8")
    assert change(text) != text
    manifest.write_text(change(text), encoding="utf-8")
    assert main(["compare", str(tmp_path / "old"), str(made[1])]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert message in line
