"""Files and folders that are replaced whole: a reader finds the last one or the new one, never a part of either.

References
----------
renameat2(2) with RENAME_EXCHANGE, Linux 3.15 and later: two folders change places in one step; Python offers no way
to call it.
"""

from __future__ import annotations

import ctypes
import errno
import glob
import os
import shutil
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.errors import OutputError
from tablegen.wording import command_line as wording
from tablegen.wording import input_errors

if TYPE_CHECKING:
    from zipfile import ZipInfo

# What stands in every output folder of a build.
_MARK = "manifest.json"
# No file takes so long to write: what is older was left by a process that was killed.
STALE_AFTER_S = 3600.0
_AT_FDCWD, _RENAME_EXCHANGE = -100, 2
_NOT_OFFERED = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)


# Device and number of each file that a command has read.
_READ: ContextVar[set[tuple[int, int]] | None] = ContextVar("read", default=None)


@contextmanager
def noting_what_is_read() -> Iterator[None]:
    """Within it `refuse_over_input` knows the files that `read_regular` has read, whatever they are called."""
    token = _READ.set(set())
    try:
        yield
    finally:
        _READ.reset(token)


def refuse_over_input(target: Path) -> None:
    """See that an output that a person names would not replace what the command has read.

    Raises
    ------
    OutputError
        If it would.
    """
    noted = _READ.get()
    # All of a release belongs together, whatever of it was read.
    for path in (target, target.parent / _MARK):
        if noted and is_regular(target) and is_regular(path):
            found = path.stat()
            if (found.st_dev, found.st_ino) in noted:
                raise OutputError(wording.IS_AN_INPUT(place=str(target)))


def is_regular(path: Path) -> bool:
    """Whether `read_regular` would open what is at a path."""
    try:
        return stat.S_ISREG(path.stat().st_mode)
    except (OSError, ValueError):
        # It does not exist, or no file can have the name.
        return False


def read_regular(path: Path, most: int = -1) -> bytes:
    """The bytes of a file on disk or of one that a link leads to, at `most` so many.

    Raises
    ------
    OSError
        If it cannot be read, or is something else, which is not opened: nobody may ever write to a pipe.
    """
    found = path.stat()
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, input_errors.NOT_A_FILE(), str(path))
    if (noted := _READ.get()) is not None:
        noted.add((found.st_dev, found.st_ino))
    with path.open("rb") as stream:
        # A file may be longer than it reports.
        return stream.read(most)


def write_atomic(path: Path, content: bytes) -> None:
    """Write a file in one step, so that processes may share it; its folder must exist.

    Raises
    ------
    OSError
        If it cannot be written; what was there is unchanged.
    """
    with _part_of(path) as part:
        part.write_bytes(content)


@contextmanager
def replace_file(target: Path, replaced: list[Path] | None = None) -> Iterator[Path]:
    """A path to write to; what is written there takes the place of `target` when the block ends without an error.

    `replaced` is for files that belong together: it lists those that are replaced already, and gets this one.

    Raises
    ------
    OutputError
        If the target is a folder, its folder does not exist, or it cannot be written.
    """
    if target.is_dir():
        raise OutputError(wording.IS_A_FOLDER(place=str(target)))
    if not target.parent.is_dir():
        raise OutputError(wording.NO_FOLDER_TO_WRITE_TO(place=str(target), folder=str(target.parent)))
    _refuse_read_only(target)
    try:
        remove_old(target.parent, f"{glob.escape(_prefix(target))}*.part", STALE_AFTER_S)
        with _part_of(target) as part:
            yield part
    except OSError as error:
        # The file that the user named, not the one beside it that the error names.
        place, reason = str(target), error.strerror or str(error)
        if replaced:
            names = ", ".join(map(str, replaced))
            raise OutputError(wording.PARTLY_WRITTEN(place=place, reason=reason, files=names)) from error
        raise OutputError(wording.NOT_WRITTEN(place=place, reason=reason)) from error
    if replaced is not None:
        replaced.append(target)


@contextmanager
def replace_folder(target: Path, mark: str = _MARK) -> Iterator[Path]:
    """A fresh folder to write into; it takes the place of `target` when the block ends without an error.

    `mark` is a file of every folder of this kind: one without it is not replaced.

    Raises
    ------
    OutputError
        If the target cannot be written, another process is writing it, it is a link, or it is a folder that is no
        output of ours.
    """
    previous, lock = (target.parent / f".{target.name}.{end}" for end in ("previous", "lock"))
    stage = stage_of(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with locked(lock, wording.BEING_WRITTEN(place=str(target))):
            _recover(target, previous, mark)
            if target.is_symlink():
                raise OutputError(wording.IS_A_LINK(place=str(target)))
            _refuse_read_only(target)
            if target.exists() and not (target / mark).is_file() and any(target.iterdir()):
                raise OutputError(wording.NOT_OURS(place=str(target), mark=mark))
            # The lock is ours, so these were left by processes that were killed.
            for left in target.parent.glob(f".{glob.escape(target.name)}.{'[0-9a-f]' * 16}.part"):
                shutil.rmtree(left, ignore_errors=True)
            try:
                # Inside, for an interruption may come at once.
                stage.mkdir()
                yield stage
                _swap(stage, target, previous)
            finally:
                shutil.rmtree(stage, ignore_errors=True)
    except OSError as error:
        place = str(error.filename or target)
        for beside in (stage, lock):
            place = place.replace(str(beside), str(target))
        raise OutputError(wording.NOT_WRITTEN(place=place, reason=error.strerror or str(error))) from error


def _refuse_read_only(target: Path) -> None:
    """What a user has protected stays, although its folder may let it be replaced."""
    if target.exists() and not os.access(target, os.W_OK):
        raise OutputError(wording.NOT_WRITTEN(place=str(target), reason=wording.IS_READ_ONLY()))


def stage_of(target: Path) -> Path:
    """A path beside a folder, to write into before it gets the folder's name; nobody else has a folder of that name."""
    return target.parent / f".{target.name}.{os.urandom(8).hex()}.part"


def remove_old(folder: Path, pattern: str, age_s: float) -> None:
    """Remove the files of a folder that match a pattern and were not modified for some seconds."""
    oldest = time.time() - age_s
    for path in folder.glob(pattern):
        with suppress(OSError):  # another process may have been quicker
            if path.stat().st_mtime < oldest:
                path.unlink()


def zip_entry(name: str) -> ZipInfo:
    """An entry of a ZIP archive, named with `/` between folders: the same bytes on any day and any system."""
    from zipfile import ZipInfo  # here, for no quick answer needs it

    # The earliest day that the format knows.
    entry = ZipInfo(name, (1980, 1, 1, 0, 0, 0))
    # Unix: the format names the system that wrote an archive.
    entry.create_system = 3
    return entry


def _prefix(target: Path) -> str:
    # Short enough for a file system that allows the target's own name.
    return f".{target.name[:40]}."


@contextmanager
def _part_of(target: Path) -> Iterator[Path]:
    """A path beside the target, moved into its place when the block ends without an error."""
    part = target.parent / f"{_prefix(target)}{os.urandom(8).hex()}.part"
    try:
        yield part
        part.replace(target)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


@contextmanager
def locked(lock: Path, refusal: str) -> Iterator[None]:
    """What a file beside it locks, for this process alone; the system releases it however the process ends.

    Raises
    ------
    OutputError
        With the refusal as its text, if another process has it.
    OSError
        If the file cannot be made.
    """
    import filelock  # here, for it takes half as long to load as a quick answer

    own = filelock.FileLock(lock, blocking=False)
    try:
        own.acquire()
    except filelock.Timeout:
        raise OutputError(refusal) from None
    try:
        yield
    finally:
        if isinstance(own, filelock.UnixFileLock):
            # While it is ours: a process that has it open already sees that it is gone, and makes a new one.
            lock.unlink(missing_ok=True)
        own.release()


def _recover(target: Path, previous: Path, mark: str) -> None:
    """Put back what a process that died between its two moves left, where folders cannot be exchanged."""
    # Without the mark it is a folder of the user's.
    if (previous / mark).is_file():
        # A part of it, if this is killed too, is to have a name that is removed.
        previous.rename(stage_of(target) if target.exists() else target)


def _swap(stage: Path, target: Path, previous: Path) -> None:
    """Move a folder into the place of another one, or into an empty place."""
    if not target.exists():
        stage.rename(target)
        return
    if _exchange(stage, target):
        # What is then removed as the stage is the old output.
        return
    target.rename(previous)
    try:
        stage.rename(target)
    except OSError:
        previous.rename(target)
        raise
    with suppress(OSError):  # the next run removes it
        previous.rename(stage)


def _exchange(first: Path, second: Path) -> bool:
    """Exchange two paths of one file system; False, and nothing done, where system or file system cannot.

    Raises
    ------
    OSError
        If they could, but not here.
    """
    if not sys.platform.startswith("linux"):
        return False
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    if call(_AT_FDCWD, os.fsencode(first), _AT_FDCWD, os.fsencode(second), _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NOT_OFFERED:
        return False
    raise OSError(number, os.strerror(number), str(second))
