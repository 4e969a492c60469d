"""A revision must give a reason for every change that moved a printed limit, by file and key."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from tablegen.config.loader import load_catalogue
from tablegen.config.release_configs import pack_configs
from tablegen.config.revision_reasons import reasons_by_table
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.release import CONFIGS, Release, read_release
from tablegen.errors import ConfigError
from tests.dataset.test_comparison import written
from tests.small import Edit, small_catalogue
from tests.worked import WORKED

PARTS = (["alder", "hazel"], {"pair": ["R404A", "R507A"]}, ["walk_in_medium"])
MEDIUM = "applications/walk_in_medium.yaml"
STOP = ("families/alder.yaml", "stop: 120 percent", "stop: 110 percent")
HEAD = (MEDIUM, "head_pressure: 135 psi_gauge", "head_pressure: 130 psi_gauge")
WORDS = ("families/hazel.yaml", "title: Hazel", "title: Hazels")
FIRST = "  - {revision: A, date: 2026-11-25, change: First issue.}\n"
OF_STOP = "{file: families/alder.yaml, key: opening.stop, why: Stop measured anew.}"
OF_HEAD = f"{{file: {MEDIUM}, key: low_head, why: New condensing units.}}"


@pytest.fixture(scope="module")
def first(tmp_path_factory) -> Release:
    """A release of revision A, with its config files."""
    folder = tmp_path_factory.mktemp("first")
    path = small_catalogue(folder / "configs", *PARTS, source=WORKED.parent)
    release = written(load_catalogue(path), folder / "out")
    (folder / "out" / CONFIGS).write_bytes(pack_configs(path, load_catalogue(path).files))
    return release


@pytest.fixture
def bare(first, tmp_path) -> Release:
    """The same release as one of an older version: without config files."""
    (tmp_path / "out").mkdir()
    for name in ("manifest.json", "group_windows.csv"):
        (tmp_path / "out" / name).write_bytes((first.manifest.folder / name).read_bytes())
    return read_release(tmp_path / "out")


@pytest.fixture
def revised(tmp_path) -> Callable[..., Path]:
    """A later catalogue file with some words changed and the given reasons; revisions after A as they are given."""

    def revise(edits: Iterable[Edit], *reasons: str, revisions: str = "") -> Path:
        path = small_catalogue(tmp_path / "configs", *PARTS, edits, WORKED.parent)
        text = path.read_text(encoding="utf-8").replace("revision: A\n", "revision: C\n", 1)
        last = f"  - {{revision: C, date: 2026-12-02, change: As stated, reasons: [{', '.join(reasons)}]}}\n"
        path.write_text(text.replace(FIRST, f"{FIRST}{revisions}{last}"), encoding="utf-8")
        return path

    return revise


def found(release: Release, path: Path) -> dict[tuple[str, ...], list[str]]:
    """Why each table changed."""
    catalogue = load_catalogue(path)
    by_table = reasons_by_table(release, path, catalogue, compute_windows(catalogue).group_windows)
    return {key: [reason.why for reason in reasons] for key, reasons in by_table.items()}


def test_each_change_needs_a_reason_and_a_title_needs_none(first, revised):
    path = revised([STOP, HEAD, WORDS], OF_HEAD)
    with pytest.raises(ConfigError) as refused:
        found(first, path)
    [problem] = refused.value.problems
    line = path.read_text(encoding="utf-8").splitlines()[problem.line - 1]
    assert "revision: C" in line and problem.key == "revisions[1].reasons"
    assert problem.text == (
        "revision C gives no reason for what changed printed limits: families/alder.yaml, opening.stop (120 percent, now "
        "110 percent); add one such as {file: families/alder.yaml, key: opening.stop, why: ...}"
    )


def test_each_table_has_the_reasons_of_what_it_is_computed_from(first, revised):
    assert found(first, revised([STOP, HEAD, WORDS], OF_STOP, OF_HEAD)) == {
        ("alder", "pair", "walk_in_medium"): ["Stop measured anew.", "New condensing units."],
        ("hazel", "pair", "walk_in_medium"): ["New condensing units."],
    }


def test_without_a_change_of_a_limit_no_reason_is_asked_for(first, revised):
    assert found(first, revised([WORDS])) == {}


@pytest.mark.parametrize(
    ("reason", "covers"),
    [
        ("{file: families/alder.yaml, why: All anew.}", True),
        ("{file: families/alder.yaml, key: opening, why: Opening anew.}", True),
        ("{file: families/alder.yaml, key: open, why: A part of a word.}", False),
        ("{file: families/alder.yaml, key: opening.minimum_stable, why: Another key.}", False),
        ("{file: families/hazel.yaml, key: opening.stop, why: Another file.}", False),
    ],
)
def test_a_reason_covers_a_file_or_a_key_and_what_is_below_it(first, revised, reason, covers):
    path = revised([STOP], reason)
    if covers:
        assert list(found(first, path)) == [("alder", "pair", "walk_in_medium")]
    else:
        with pytest.raises(ConfigError, match=r"families/alder\.yaml, opening\.stop"):
            found(first, path)


def test_the_reasons_of_every_revision_since_the_release_count_and_no_earlier_one(first, revised):
    between = f"  - {{revision: B, date: 2026-12-01, change: Stop, reasons: [{OF_STOP}]}}\n"
    assert found(first, revised([STOP], revisions=between))["alder", "pair", "walk_in_medium"] == [
        "Stop measured anew."
    ]


def test_reasons_of_the_earlier_release_itself_do_not_count(first, revised):
    path = revised([STOP])
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("First issue.}", f"First issue., reasons: [{OF_STOP}]}}"), encoding="utf-8")
    with pytest.raises(ConfigError, match=r"families/alder\.yaml, opening\.stop"):
        found(first, path)


def test_keys_that_can_only_change_together_share_a_reason(first, revised):
    edits = [
        ("families/alder.yaml", "  - {size: 45, kv: 45.0 L/h}\n", ""),
        ("families/alder.yaml", "sizes: [45, 63, 90]", "sizes: [63, 90]"),
    ]
    path = revised(edits, "{file: families/alder.yaml, key: sizes.45, why: No longer made.}")
    assert found(first, path) == {("alder", "pair", "walk_in_medium"): ["No longer made."]}


@pytest.mark.slow
def test_many_keys_of_a_file_are_one_line(first, revised):
    sizes = [("families/alder.yaml", f"kv: {kv:.1f} L/h", f"kv: {kv + 0.1:.1f} L/h") for kv in (16, 22.4, 31.5, 45, 63)]
    with pytest.raises(ConfigError) as refused:
        found(first, revised(sizes))
    [problem] = refused.value.problems
    assert "sizes.32.kv (31.5 L/h, now 31.6 L/h) and 2 more keys; add one" in problem.text


def test_since_a_release_without_config_files_a_reason_is_asked_for_by_file(bare, revised):
    with pytest.raises(ConfigError) as refused:
        found(bare, revised([STOP, HEAD, WORDS], OF_STOP))
    lines = [problem.text for problem in refused.value.problems]
    assert [line.split(": ", 1)[1].split(",")[0] for line in lines] == [MEDIUM, "families/alder.yaml"]
    assert lines[0].endswith(f"{MEDIUM}, the file; add one such as {{file: {MEDIUM}, why: ...}}")


def test_a_revision_is_listed_once(revised):
    path = revised([], revisions="  - {revision: A, date: 2026-12-01, change: Again.}\n")
    with pytest.raises(ConfigError, match=r"revisions\[1\]\.revision: 'A' is not allowed; it is listed twice"):
        load_catalogue(path)
