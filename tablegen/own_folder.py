"""Folders that no other user can change, so that what is read from them is what was written.

Cached figures are printed: whoever can write to a cache can change a table.  Only systems where a file has a user ID are
checked; Windows gives each user folders of their own.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from tablegen.wording import command_line as wording

_OWN_MODE = 0o700
_ADMINISTRATOR = 0


def make_own_folder(folder: Path) -> None:
    """Make a folder, and those above it that are missing, for this user alone.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    if not folder.is_dir():
        make_own_folder(folder.parent)
        folder.mkdir(mode=_OWN_MODE, exist_ok=True)


def what_is_no_folder(folder: Path) -> str:
    """That something else has the path of a folder, or of one above it, and what to do; empty where nothing has."""
    try:
        folder.resolve()
    # A link that leads in a circle: an error of its own kind up to Python 3.12.
    except (OSError, RuntimeError):
        return wording.CACHE_IN_NO_FOLDER(path=str(folder))
    for path in (folder, *folder.parents):
        if path.is_symlink() and not path.exists():
            return wording.CACHE_IN_NO_FOLDER(path=str(path))
        if path.exists():
            return "" if path.is_dir() else wording.CACHE_IN_NO_FOLDER(path=str(path))
    return ""


def who_else_can_change(folder: Path) -> str:
    """Why another user can change a folder or replace one above it, and what to do; empty where none can.

    A folder above may be open to all if it has the sticky bit, as `/tmp` has: there nobody can replace what belongs to
    another user.  What is missing cannot be changed.
    """
    if not hasattr(os, "getuid"):
        return ""
    # Also by the path as it is written, because a link in it can be replaced.
    folders = folder.absolute(), folder.resolve()
    paths = {path for own in folders for path in (own, *own.parents)}
    for path in sorted(path for path in paths if path.exists()):
        info = path.stat()
        strangers = {info.st_uid, path.lstat().st_uid} - _trusted()
        if strangers:
            owner, user = strangers.pop(), os.getuid()
            return wording.CACHE_OF_ANOTHER_USER(folder=str(path), owner=owner, user=user)
        is_sticky = bool(info.st_mode & stat.S_ISVTX) and path not in folders
        if _is_open(info) and not is_sticky:
            return wording.CACHE_OPEN_TO_OTHERS(folder=str(path))
    return ""


def is_changed_by_us_alone(file: int) -> bool:
    """Whether no other user can change an open file; True where the system has no user IDs."""
    info = os.fstat(file)
    return not hasattr(os, "getuid") or (info.st_uid in _trusted() and not _is_open(info))


def _trusted() -> set[int]:
    """This user, and whoever may change everything anyway: in a container the root folder may have another owner."""
    return {os.getuid(), _ADMINISTRATOR, Path(os.sep).stat().st_uid}


def _is_open(info: os.stat_result) -> bool:
    """Whether group or others may write; a group with the user's own number has nobody else in it, by convention."""
    is_own_group = info.st_gid == os.getgid() == os.getuid() != _ADMINISTRATOR
    return bool(info.st_mode & (stat.S_IWOTH if is_own_group else stat.S_IWOTH | stat.S_IWGRP))
