"""Configs kept between runs: the same data and the same lines as parsed anew, never trusted blindly, never needed."""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import sys
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from tablegen.config import parsed, source, yaml_text
from tablegen.config.parsed import Parsed
from tablegen.config.source import document_of, parse_document
from tablegen.errors import ConfigError, TablegenWarning
from tests.processes import environment

ROOT = Path(__file__).resolve().parents[2]
FILES = [*sorted((ROOT / "configs").rglob("*.yaml")), *sorted((ROOT / "tests" / "data").rglob("*.yaml"))]
TEXT = b"a: 1 degF\nb:\n  - c: [1, 2.5, .inf, true, null]\n  - 'd': \"\\u00b0 \\u2212\"\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder to keep in, nothing in memory, and nobody told yet that it cannot be written."""
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(parsed, "_refusing", set())
    forget()
    yield tmp_path / "kept" / "configs"
    forget()


def forget() -> None:
    source._of_bytes.cache_clear()
    source._of_text.cache_clear()


def parses(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The texts that are parsed from now on."""
    texts: list[str] = []
    parse = yaml_text.parse

    def counted(text: str) -> Parsed:
        texts.append(text)
        return parse(text)

    monkeypatch.setattr(yaml_text, "parse", counted)
    return texts


def test_what_was_kept_is_what_was_parsed(folder, monkeypatch):
    assert len(FILES) > 60
    first = [document_of(path.read_bytes(), path.name) for path in FILES]
    kept = sorted(folder.iterdir())
    assert len(kept) == len({path.read_bytes() for path in FILES})
    forget()
    texts = parses(monkeypatch)
    for path, document in zip(FILES, first, strict=True):
        again = document_of(path.read_bytes(), path.name)
        assert again == document
        # 1 and 1.0 and true are equal, and so they are told apart by how they are written.
        assert repr(again.data) == repr(document.data)
    assert texts == []
    assert sorted(folder.iterdir()) == kept


def test_lines_are_those_of_the_file():
    document = parse_document("a: 1\n# note\n\nb:\n  c: 2\n  d:\n    - x\n    - e: 5\n", "f.yaml")
    assert {path: place.line for path, place in document.places.items()} == {
        ("a",): 1,
        ("b",): 4,
        ("b", "c"): 5,
        ("b", "d"): 6,
        ("b", "d", 0): 7,
        ("b", "d", 1): 8,
        ("b", "d", 1, "e"): 8,
    }
    assert {place.file for place in document.places.values()} == {"f.yaml"}


@pytest.mark.parametrize(
    ("text", "line", "part"),
    [
        ("a: 1\nb: &x 2\n", 2, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb: *x\n", 2, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb:\n  - !!str 2\n", 3, "anchors (&), aliases (*) and tags (!) are not used here"),
        ("a: 1\nb: 2\na: 3\n", 3, "found duplicate key 'a'"),
        ("1: a\n1.0: b\n'1': c\n", 3, "found duplicate key '1'"),
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


def test_a_faulty_file_is_kept_by_no_one(folder):
    for _ in range(2):
        with pytest.raises(ConfigError, match="duplicate key"):
            document_of(b"a: 1\na: 2\n", "f.yaml")
    assert not folder.exists()


def kept(folder: Path) -> Path:
    """The file that stands for TEXT."""
    return folder / f"{hashlib.sha256(TEXT).hexdigest()}.json"


def damages(whole: bytes) -> Iterator[bytes]:
    """Cuts, flipped bits, other layouts and contents."""
    first, _, body = whole.partition(b"\n")
    yield from (b"", b"\n", first, body, whole[: len(whole) // 2], whole[:-1], whole + b" ", b"[]", b"\x80\x02.")
    for place in range(0, len(whole), 7):
        yield whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :]
    yield whole.replace(b"layout 1", b"layout 0")
    yield whole.replace(b"ruamel.yaml ", b"ruamel.yaml 0")
    for other in (b"[]", b"{}", b'{"data":{},"lines":[[1,2]]}', b'{"data":{},"lines":5}', b"[" * 5000, b"nonsense"):
        yield first.rsplit(b" ", 1)[0] + b" " + hashlib.sha256(other).hexdigest().encode() + b"\n" + other


def test_a_damaged_or_foreign_file_is_parsed_anew_and_replaced(folder):
    right = document_of(TEXT, "f.yaml")
    whole = kept(folder).read_bytes()
    tried = 0
    for damaged in damages(whole):
        kept(folder).write_bytes(damaged)
        forget()
        assert document_of(TEXT, "f.yaml") == right, damaged[:80]
        assert kept(folder).read_bytes() == whole
        tried += 1
    assert tried > 60


def test_a_file_kept_for_another_content_is_not_used(folder):
    document_of(TEXT, "f.yaml")
    other = TEXT.replace(b"1 degF", b"2 degF")
    shutil.copy(kept(folder), folder / f"{hashlib.sha256(other).hexdigest()}.json")
    assert document_of(other, "f.yaml").data["a"] == "2 degF"


@pytest.mark.parametrize("text", [b"a: .nan\n", b'a: "\\ud83d\\ude00"\n'])
def test_what_json_would_change_is_not_kept(text, folder):
    first = document_of(text, "f.yaml").data["a"]
    assert not folder.exists()
    forget()
    assert repr(document_of(text, "f.yaml").data["a"]) == repr(first)


def test_a_folder_that_cannot_be_written_is_one_warning(tmp_path, folder):
    (tmp_path / "kept").write_text("a file stands here", encoding="utf-8")
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        found = [document_of(b"a: %d\n" % number, "f.yaml").data for number in range(3)]
    assert found == [{"a": 0}, {"a": 1}, {"a": 2}]
    (warning,) = caught
    assert warning.category is TablegenWarning
    assert str(warning.message).startswith(f"parsed configs cannot be kept in {folder}: ")
    assert str(warning.message).endswith("; they are parsed every time")


def test_what_is_kept_is_json_alone(folder):
    document_of(TEXT, "f.yaml")
    first, _, body = kept(folder).read_bytes().partition(b"\n")
    assert first.startswith(b"layout 1 ruamel.yaml ")
    assert set(json.loads(body)) == {"data", "lines"}


CHECK = "from tablegen.cli.main import main; import sys; sys.exit(main(['check', 'mine/catalogue.yaml']))"


def test_problems_are_told_alike_cold_and_warm(tmp_path):
    """In processes of their own: every file in one of them is read from what the other kept, the faulty ones too."""
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
    told = []
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", CHECK],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
            env=environment(TABLEGEN_CACHE=str(tmp_path / "kept")),
        )
        told.append((done.returncode, done.stderr))
    assert told[0] == told[1]
    assert told[0][0] == 2
    lines = told[0][1].splitlines()
    assert [line.split(":")[0] for line in lines] == [
        "mine/applications/walk_in_medium.yaml",
        "mine/families/alder.yaml",
        "mine/refrigerants/R22.yaml",
        "mine/refrigerants/R22.yaml",
    ]
    assert all(int(line.split(":")[1]) > 0 for line in lines)
