"""Configs cached between runs: the same data and the same lines as parsed anew, never trusted blindly, never needed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from tablegen.cache import MAX_AGE_DAYS
from tablegen.config import document, yaml_text
from tablegen.config.document import Parsed, document_of, parse_document
from tablegen.errors import ConfigError, TablegenWarning
from tests.processes import environment

ROOT = Path(__file__).resolve().parents[2]
FILES = [*sorted((ROOT / "configs").rglob("*.yaml")), *sorted((ROOT / "tests" / "data").rglob("*.yaml"))]
TEXT = b"a: 1 degF\nb:\n  - c: [1, 2.5, .inf, true, null]\n  - 'd': \"\\u00b0 \\u2212\"\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder for the cache, and nothing in memory."""
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path / "cache"))
    forget()
    yield tmp_path / "cache" / "configs"
    forget()


def forget() -> None:
    document._of_bytes.cache_clear()
    document._of_text.cache_clear()


def parses(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The texts that are parsed from now on."""
    texts: list[str] = []
    parse = yaml_text.parse

    def counted(text: str) -> Parsed:
        texts.append(text)
        return parse(text)

    monkeypatch.setattr(yaml_text, "parse", counted)
    return texts


@pytest.mark.slow
def test_what_was_cached_is_what_was_parsed(folder, monkeypatch):
    assert len(FILES) > 60
    first = [document_of(path.read_bytes(), path.name) for path in FILES]
    cached = sorted(folder.iterdir())
    assert len(cached) == len({path.read_bytes() for path in FILES})
    forget()
    texts = parses(monkeypatch)
    for path, read in zip(FILES, first, strict=True):
        again = document_of(path.read_bytes(), path.name)
        assert again == read
        # 1 and 1.0 and true are equal, and so they are distinguished by how they are written.
        assert repr(again.data) == repr(read.data)
    assert texts == []
    assert sorted(folder.iterdir()) == cached


def test_lines_are_those_of_the_file():
    read = parse_document("a: 1\n# note\n\nb:\n  c: 2\n  d:\n    - x\n    - e: 5\n", "f.yaml")
    assert {path: place.line for path, place in read.places.items()} == {
        ("a",): 1,
        ("b",): 4,
        ("b", "c"): 5,
        ("b", "d"): 6,
        ("b", "d", 0): 7,
        ("b", "d", 1): 8,
        ("b", "d", 1, "e"): 8,
    }
    assert {place.file for place in read.places.values()} == {"f.yaml"}


@pytest.mark.parametrize(
    ("text", "line", "part"),
    [
        ("a: 1\nb: &x 2\n", 2, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb: *x\n", 2, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb:\n  - !!str 2\n", 3, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb: 2\na: 3\n", 3, "the key 'a' is given twice, first in line 1"),
        ("1: a\n1.0: b\n'1': c\n", 3, "the key '1' is given twice, first in line 1"),
        ("a: 1\n? [b, c]\n: 2\n", 2, "a key must be a name"),
        ("a: 1\n---\nb: 2\n", 2, "but found another document; the file must be YAML 1.2"),
        ("a: [1\n", 2, "the file must be YAML 1.2"),
    ],
)
def test_what_is_not_read_says_its_line(text, line, part):
    with pytest.raises(ConfigError) as caught:
        parse_document(text, "f.yaml")
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == ("f.yaml", line)
    assert part in problem.text


def test_a_merge_key_is_a_key_like_any_other():
    assert parse_document("<<: {a: 1}\nb: 2\n", "f.yaml").data == {"<<": {"a": 1}, "b": 2}


def test_a_faulty_file_is_not_cached(folder):
    for _ in range(2):
        with pytest.raises(ConfigError, match="is given twice"):
            document_of(b"a: 1\na: 2\n", "f.yaml")
    assert not folder.exists()


def only_file(folder: Path) -> Path:
    (path,) = folder.iterdir()
    return path


def test_a_damaged_file_is_parsed_anew_and_replaced(folder):
    right = document_of(TEXT, "f.yaml")
    whole = only_file(folder).read_bytes()
    for place in range(0, len(whole), 7):
        only_file(folder).write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        forget()
        assert document_of(TEXT, "f.yaml") == right
        assert only_file(folder).read_bytes() == whole


def test_another_parser_or_layout_is_another_key(folder, monkeypatch):
    document_of(TEXT, "f.yaml")
    monkeypatch.setattr(document, "LAYOUT", document.LAYOUT + 1)
    assert document._read_cached(TEXT) is None
    monkeypatch.undo()
    monkeypatch.setenv("TABLEGEN_CACHE", str(folder.parent))
    assert document._read_cached(TEXT) is not None
    monkeypatch.setattr(document, "_version", lambda: "0.1")
    assert document._read_cached(TEXT) is None


@pytest.mark.parametrize("text", [b"a: .nan\n", b'a: "\\ud83d\\ude00"\n'])
def test_what_json_would_change_is_not_cached(text, folder):
    first = document_of(text, "f.yaml").data["a"]
    assert not folder.exists()
    forget()
    assert repr(document_of(text, "f.yaml").data["a"]) == repr(first)


def test_a_folder_that_cannot_be_written_is_one_warning(tmp_path, folder):
    (tmp_path / "cache").write_text("a file", encoding="utf-8")
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        found = [document_of(b"a: %d\n" % number, "f.yaml").data for number in range(3)]
    assert found == [{"a": 0}, {"a": 1}, {"a": 2}]
    (warning,) = caught
    assert warning.category is TablegenWarning
    assert str(warning.message).startswith(f"the cache is not used: {folder.parent} is not a folder; ")


def test_what_is_cached_is_json_alone(folder):
    document_of(TEXT, "f.yaml")
    _, _, body = only_file(folder).read_bytes().partition(b"\n")
    assert set(json.loads(body)) == {"data", "lines"}


def test_what_was_not_used_for_long_is_removed_as_everywhere_in_the_cache(folder, monkeypatch):
    document_of(TEXT, "f.yaml")
    old = only_file(folder)
    os.utime(old, (time.time() - (MAX_AGE_DAYS + 1.0) * 86400.0,) * 2)
    # As in another process.
    document._cache.cache_clear()
    document_of(b"a: 2\n", "f.yaml")
    assert not old.exists()
    assert only_file(folder)


CHECK = (
    "from tablegen.cli.main import main; import sys; sys.exit(main(['check', '--catalogue', 'mine/catalogue.yaml']))"
)


@pytest.mark.slow
def test_problems_are_reported_alike_cold_and_warm(tmp_path):
    """In processes of their own: every file in one of them is read from what the other cached, the faulty ones too."""
    mine = tmp_path / "mine"
    shutil.copytree(ROOT / "configs", mine)
    for name, old, new in (
        ("applications/walk_in_medium.yaml", "useful: 6.5 delta_degF", "useful: 6.5"),
        ("families/alder.yaml", "working_pressure: 450 psi_gauge", "working_pressure: 450 psi"),
        ("refrigerants/R22.yaml", "safety_group: A1", "safety_grup: A1"),
    ):
        path = mine / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")
    shown = []
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", CHECK],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
            env=environment(TABLEGEN_CACHE=str(tmp_path / "cache")),
        )
        shown.append((done.returncode, done.stderr))
    assert shown[0] == shown[1]
    assert shown[0][0] == 2
    lines = shown[0][1].splitlines()
    assert [line.split(":")[0] for line in lines] == [
        "mine/applications/walk_in_medium.yaml",
        "mine/families/alder.yaml",
        "mine/refrigerants/R22.yaml",
        "mine/refrigerants/R22.yaml",
    ]
    assert all(int(line.split(":")[1]) > 0 for line in lines)
