"""A cache that another user can change is not used: one line says why, and the run goes on without it."""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from tablegen.cache import Cache
from tablegen.cli.main import main
from tablegen.errors import TablegenWarning
from tablegen.own_folder import make_own_folder, who_else_can_change
from tablegen.wording import command_line as wording

pytestmark = pytest.mark.skipif(not hasattr(os, "getuid"), reason="the system has no user IDs")
KEY, PAYLOAD = "R448A", b"figures"


@pytest.fixture
def folder() -> Iterator[Path]:
    """A cache with one entry, in a folder that all users can reach."""
    base = Path(tempfile.mkdtemp())
    base.chmod(0o755)
    cached(base / "cache" / "windows").write(KEY, PAYLOAD)
    yield base / "cache" / "windows"
    shutil.rmtree(base)


def cached(folder: Path) -> Cache:
    return Cache(folder, wording.WINDOWS_NOT_CACHED)


def give_away(path: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """Let a path belong to another user than the one who asks; the user ID of its owner."""
    if os.getuid() == 0:
        os.chown(path, 12345, -1)
        return 12345
    own = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: own + 1)
    return own


def refused(folder: Path) -> str:
    """What is said of a cache that is neither read nor written."""
    before = sorted(folder.iterdir())
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        for cache in (cached(folder), cached(folder)):
            assert cache.read(KEY) is None
            cache.write("other", PAYLOAD)
    assert sorted(folder.iterdir()) == before
    (warning,) = caught
    assert warning.category is TablegenWarning
    return str(warning.message)


@pytest.mark.parametrize("mode", [0o777, 0o757, 0o775, 0o1777])
@pytest.mark.parametrize("levels", [0, 1])
def test_a_cache_that_others_may_write_to_is_not_used(mode, levels, folder, monkeypatch):
    # As a user whose group is not one of their own.
    monkeypatch.setattr(os, "getgid", lambda: os.getuid() + 1)
    path = [folder, *folder.parents][levels]
    path.chmod(mode)
    if levels and mode & stat.S_ISVTX:
        assert cached(folder).read(KEY) == PAYLOAD
        return
    assert refused(folder) == (
        f"the cache is not used: other users may write to {path} and could change your figures; delete what is cached "
        f"there and run 'chmod go-w {path}', or set TABLEGEN_CACHE to a folder of your own"
    )
    path.chmod(0o755)
    assert cached(folder).read(KEY) == PAYLOAD


@pytest.mark.parametrize("levels", [0, 1, 2])
def test_a_cache_of_another_user_is_not_used(levels, folder, monkeypatch):
    path = [folder, *folder.parents][levels]
    owner = give_away(path, monkeypatch)
    first = folder.parents[1] if os.getuid() else path
    assert refused(folder) == (
        f"the cache is not used: {first} belongs to another user (ID {owner}), who could change your figures; delete what "
        f"is cached there and run 'chown {os.getuid()} {first}', or set TABLEGEN_CACHE to a folder of your own"
    )


@pytest.mark.skipif(os.name != "posix" or os.getuid() != 0, reason="only the administrator can give a file away")
def test_a_file_of_another_user_is_not_read_and_is_replaced(folder):
    (path,) = folder.iterdir()
    os.chown(path, 12345, -1)
    assert cached(folder).read(KEY) is None
    cached(folder).write(KEY, PAYLOAD)
    assert cached(folder).read(KEY) == PAYLOAD
    assert path.stat().st_uid == 0


def test_a_file_that_others_may_write_to_is_not_read(folder):
    (path,) = folder.iterdir()
    path.chmod(0o666)
    assert cached(folder).read(KEY) is None


@pytest.mark.parametrize("is_own", [True, False])
def test_a_group_with_the_number_of_the_user_has_nobody_else_in_it(is_own, folder, monkeypatch):
    if os.getuid() == 0:
        os.chown(folder, -1, 12345)
    group = folder.stat().st_gid
    if group != os.getuid() and os.getuid() != 0:
        pytest.skip("this user has no group of their own")
    monkeypatch.setattr(os, "getuid", lambda: group)
    monkeypatch.setattr(os, "getgid", lambda: group if is_own else group + 1)
    folder.chmod(0o775)
    assert (who_else_can_change(folder) == "") == is_own
    folder.chmod(0o757)
    assert who_else_can_change(folder)


def test_a_link_in_a_folder_of_others_is_not_followed(folder):
    links = folder.parents[1] / "links"
    links.mkdir()
    (links / "cache").symlink_to(folder.parent)
    assert cached(links / "cache" / "windows").read(KEY) == PAYLOAD
    links.chmod(0o777)
    assert f"may write to {links} and" in refused(links / "cache" / "windows")


def test_what_is_made_is_for_this_user_alone(tmp_path):
    made = tmp_path / "one" / "two" / "three"
    umask = os.umask(0)
    try:
        make_own_folder(made)
    finally:
        os.umask(umask)
    assert {stat.S_IMODE(path.stat().st_mode) for path in (made, *made.parents[:2])} == {0o700}


def test_a_file_in_the_place_of_a_folder_is_said_once_and_nobody_is_told_to_change_its_mode(
    folder, monkeypatch, capsys
):
    file = folder.parents[1] / "home"
    file.touch()
    file.chmod(0o666)
    monkeypatch.setenv("TABLEGEN_CACHE", str(file / ".cache" / "tablegen"))
    assert main(["states", "R290", "--coldest", "20F", "--warmest", "30F"]) == 0
    (line,) = capsys.readouterr().err.splitlines()
    wanted = f"note: the cache is not used: {file} is not a folder; set TABLEGEN_CACHE to a folder of your own"
    assert line == wanted and file.read_bytes() == b""


def test_a_system_without_user_ids_is_not_checked(folder, monkeypatch):
    folder.chmod(0o777)
    monkeypatch.delattr(os, "getuid")
    assert cached(folder).read(KEY) == PAYLOAD


def test_a_command_answers_all_the_same_with_one_line(folder, monkeypatch, capsys):
    root = folder.parents[1]
    root.chmod(0o777)
    monkeypatch.setenv("TABLEGEN_CACHE", str(root / "own"))
    assert main(["states", "R290", "--coldest", "20F", "--warmest", "30F"]) == 0
    shown = capsys.readouterr()
    assert "R290" in shown.out
    (line,) = shown.err.splitlines()
    assert line.startswith(f"note: the cache is not used: other users may write to {root} and"), line
    assert [path.name for path in root.iterdir()] == ["cache"]
