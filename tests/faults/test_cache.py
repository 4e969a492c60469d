"""The cache: what was written is read, what is damaged or another's never is, and nothing that goes wrong stops a run."""

from __future__ import annotations

import hashlib
import os
import time
import warnings
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from tablegen import cache as cache_module
from tablegen.cache import Cache, default_folder
from tablegen.errors import TablegenWarning
from tablegen.wording import command_line as wording

KEY, PAYLOAD = "layout 3, R448A", b"first line\nsecond\0\xff" * 40


def cache_in(folder: Path) -> Cache:
    return Cache(folder, wording.TABLES_NOT_CACHED)


def only_file(folder: Path) -> Path:
    """The one file of a folder; a leftover part would be a second."""
    (path,) = folder.iterdir()
    return path


@pytest.mark.parametrize("payload", [PAYLOAD, b"", b"\n", bytes(range(256))])
def test_what_was_written_is_read(payload, tmp_path):
    folder = tmp_path / "deep" / "folder"
    assert cache_in(folder).read(KEY) is None
    cache_in(folder).write(KEY, payload)
    assert cache_in(folder).read(KEY) == payload
    assert cache_in(folder).read("layout 3, R448B") is None
    cache_in(folder).write(KEY, b"later")
    assert cache_in(folder).read(KEY) == b"later"
    assert only_file(folder).suffix == ".cache"


def test_a_file_says_its_layout_its_key_and_its_content(tmp_path, monkeypatch):
    cache_in(tmp_path).write(KEY, PAYLOAD)
    header, _, rest = only_file(tmp_path).read_bytes().partition(b"\n")
    of_key, of_payload = (hashlib.sha256(content).hexdigest() for content in (KEY.encode(), PAYLOAD))
    assert header.decode() == f"tablegen-cache 1 {of_key} {of_payload}"
    assert rest == PAYLOAD
    assert only_file(tmp_path).stem == of_key
    monkeypatch.setattr(cache_module, "LAYOUT", 2)
    assert cache_in(tmp_path).read(KEY) is None


def test_a_damaged_file_is_never_read_and_is_replaced(tmp_path):
    cache = cache_in(tmp_path)
    cache.write(KEY, PAYLOAD)
    path = only_file(tmp_path)
    good = path.read_bytes()
    random = np.random.default_rng(5)
    damaged = [
        b"",
        b"\n",
        PAYLOAD,
        good[::-1],
        good + b" ",
        b" " + good,
        bytes(len(good)),
        random.bytes(4000),
        *(good[:cut] for cut in range(0, len(good), 7)),
        *(good[:at] + bytes([good[at] ^ 1 << at % 8]) + good[at + 1 :] for at in range(len(good))),
    ]
    for content in damaged:
        path.write_bytes(content)
        assert cache.read(KEY) is None, content[:200]
    cache.write(KEY, PAYLOAD)
    assert path.read_bytes() == good
    only_file(tmp_path)


def test_a_file_of_another_key_is_never_read(tmp_path):
    cache = cache_in(tmp_path)
    cache.write("other", PAYLOAD)
    own = tmp_path / f"{hashlib.sha256(KEY.encode()).hexdigest()}.cache"
    only_file(tmp_path).rename(own)
    assert cache.read(KEY) is None


@pytest.mark.parametrize("below", ["taken", "taken/deeper"])
def test_a_folder_that_cannot_be_written_is_one_warning(below, tmp_path):
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    cache = cache_in(tmp_path / below)
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        for number in range(3):
            cache.write(str(number), PAYLOAD)
            assert cache.read(str(number)) is None
    (warning,) = caught
    assert warning.category is TablegenWarning
    assert str(warning.message).startswith(f"the cache is not used: {tmp_path / 'taken'} is not a folder; ")
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


def test_a_folder_named_as_the_file_is_one_warning(tmp_path):
    cache_in(tmp_path).write(KEY, PAYLOAD)
    path = only_file(tmp_path)
    path.unlink()
    path.mkdir()
    assert cache_in(tmp_path).read(KEY) is None
    with pytest.warns(TablegenWarning, match="cannot be cached in"):
        cache_in(tmp_path).write(KEY, PAYLOAD)
    assert only_file(tmp_path) == path


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_read_only_folder_is_read_and_warned_of(tmp_path):
    cache_in(tmp_path).write(KEY, PAYLOAD)
    tmp_path.chmod(0o500)
    try:
        with pytest.warns(TablegenWarning, match="cannot be cached in"):
            cache_in(tmp_path).write("other", PAYLOAD)
        assert cache_in(tmp_path).read(KEY) == PAYLOAD
    finally:
        tmp_path.chmod(0o700)


def aged(path: Path, days: float) -> None:
    os.utime(path, (time.time() - days * 86400.0,) * 2)


def test_what_nobody_has_used_for_long_is_removed_at_the_first_write(tmp_path):
    cache = cache_in(tmp_path)
    for key in ("unused", "used", "fresh"):
        cache.write(key, key.encode())
    for path in tmp_path.iterdir():
        aged(path, cache_module.MAX_AGE_DAYS + 1.0)
    # Not ours, so not ours to remove.
    others = [tmp_path / "notes.txt", tmp_path / "family.yaml"]
    for path in others:
        path.write_text("years of work", encoding="utf-8")
        aged(path, 4000.0)
    again = cache_in(tmp_path)
    assert again.read("used") == b"used"
    again.write("fresh", b"fresh")
    assert {key: again.read(key) for key in ("unused", "used", "fresh")} == {
        "unused": None,
        "used": b"used",
        "fresh": b"fresh",
    }
    assert all(path.exists() for path in others)


def test_of_a_folder_that_is_too_large_what_was_used_last_is_left(tmp_path, monkeypatch):
    cache = cache_in(tmp_path)
    for age, key in enumerate("abcde"):
        cache.write(key, b"x" * 1000)
        aged(max(tmp_path.iterdir(), key=lambda path: path.stat().st_mtime), 10.0 - age)
    monkeypatch.setattr(cache_module, "MAX_FOLDER_BYTES", 3500)
    cache.read("a")
    cache.prune()
    assert [key for key in "abcde" if cache.read(key)] == ["a", "d", "e"]


def test_a_file_is_looked_at_once_to_remove_what_is_old(tmp_path, monkeypatch):
    for number in range(50):
        (tmp_path / f"{number:064x}.cache").write_bytes(b"")
    looked_at: list[Path] = []
    look = Path.stat
    monkeypatch.setattr(Path, "stat", lambda path, **own: looked_at.append(path) or look(path, **own))
    cache_in(tmp_path).write(KEY, PAYLOAD)
    assert [path for path in looked_at if path.suffix == ".cache"] == []


def test_processes_may_remove_what_is_old_at_once(tmp_path):
    for number in range(400):
        path = tmp_path / f"{number:064x}.cache"
        path.write_bytes(b"")
        aged(path, cache_module.MAX_AGE_DAYS + 1.0)
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda number: cache_in(tmp_path).write(str(number), PAYLOAD), range(8)))
    assert len(list(tmp_path.iterdir())) == 8


def test_what_a_process_left_that_was_killed_is_removed_after_an_hour(tmp_path):
    old, new = tmp_path / ".abc.1.part", tmp_path / ".abc.2.part"
    for path in (old, new):
        path.write_bytes(b"half")
    aged(old, 0.05)
    cache_in(tmp_path).write(KEY, PAYLOAD)
    assert (old.exists(), new.exists()) == (False, True)


def test_threads_may_share_a_folder(tmp_path):
    cache = cache_in(tmp_path)

    def write(number: int) -> bytes | None:
        cache.write(str(number % 3), bytes([number % 3]) * 50_000)
        return cache.read(str(number % 3))

    with ThreadPoolExecutor(8) as pool:
        for number, found in enumerate(pool.map(write, range(60))):
            assert found == bytes([number % 3]) * 50_000
    assert len(list(tmp_path.iterdir())) == 3


def test_the_folder_is_chosen_by_the_environment(tmp_path, monkeypatch):
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path))
    assert default_folder() == tmp_path
    monkeypatch.delenv("TABLEGEN_CACHE")
    assert default_folder().name == "tablegen"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_in_the_place_of_a_file_is_not_waited_for(tmp_path):
    cache_in(tmp_path).write(KEY, PAYLOAD)
    path = only_file(tmp_path)
    path.unlink()
    os.mkfifo(path)
    assert cache_in(tmp_path).read(KEY) is None
    cache_in(tmp_path).write(KEY, PAYLOAD)
    assert cache_in(tmp_path).read(KEY) == PAYLOAD


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="not every user may make links")
@pytest.mark.parametrize("below", ["", "sub"])
def test_a_link_in_a_circle_is_one_warning(below, tmp_path):
    (tmp_path / "loop").symlink_to("loop")
    cache = cache_in(tmp_path / "loop" / below)
    with pytest.warns(TablegenWarning) as said:
        cache.write(KEY, PAYLOAD)
    assert cache.read(KEY) is None
    assert len(said) == 1 and "loop" in str(said[0].message)
