"""Write an output folder aside and move it into place, so that the last good one survives any failure."""

from __future__ import annotations

import fcntl
import glob
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tablegen.dataset.exchange import exchange
from tablegen.errors import OutputError

_MARK = "manifest.json"


@contextmanager
def replaced_folder(target: Path) -> Iterator[Path]:
    """A fresh folder to write into; it takes the place of `target` when the block ends without an error.

    Raises
    ------
    OutputError
        If the place cannot be written, another build is writing there, or what stands there is a link or a folder
        that is no output of ours.
    """
    stage = target.parent / f".{target.name}.part-{os.getpid()}"
    previous = target.parent / f".{target.name}.previous"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with _lock(target):
            _recover(target, previous)
            if target.is_symlink():
                raise OutputError(f"{target}: not replaced, for it is a link; name the folder that it leads to")
            if target.exists() and not (target / _MARK).is_file() and any(target.iterdir()):
                raise OutputError(f"{target}: not replaced, for it holds no {_MARK} and so is no output of this tool")
            # The lock is ours, so any other stage was left by a build that died.
            for stale in target.parent.glob(f".{target.name}.part-*"):
                shutil.rmtree(stale, ignore_errors=True)
            try:
                # Inside, for an interruption may come at once.
                stage.mkdir()
                yield stage
                _swap(stage, target, previous)
            finally:
                shutil.rmtree(stage, ignore_errors=True)
    except OSError as error:
        # What was written aside is told by the place that it was meant for.
        place = str(error.filename or target).replace(str(stage), str(target))
        raise OutputError(f"{place}: cannot be written: {error.strerror or error}; nothing was replaced") from error


@contextmanager
def replaced_file(target: Path) -> Iterator[Path]:
    """A file to write beside `target`; it takes its place when the block ends without an error.

    Raises
    ------
    OutputError
        If it is a folder, its folder is missing, or the place cannot be written.
    """
    if target.is_dir():
        raise OutputError(f"{target}: cannot be written: it is a folder; name a file")
    if not target.parent.is_dir():
        raise OutputError(f"{target}: cannot be written: the folder {target.parent} does not exist")
    stage = target.parent / f".{target.name}.part-{os.getpid()}"
    try:
        try:
            _remove_stale(target)
            yield stage
            stage.replace(target)
        finally:
            stage.unlink(missing_ok=True)
    except OSError as error:
        # The file asked for, not the one beside it that the error names.
        raise OutputError(f"{target}: cannot be written: {error.strerror or error}; nothing was replaced") from error


def _remove_stale(target: Path) -> None:
    """Remove what processes that died while they wrote the file left beside it."""
    for stale in target.parent.glob(f".{glob.escape(target.name)}.part-*"):
        owner = stale.name.rpartition("-")[2]
        if owner.isdigit() and not _is_running(int(owner)):
            stale.unlink(missing_ok=True)


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        # Somebody else's.
        return True
    return True


@contextmanager
def _lock(target: Path) -> Iterator[None]:
    """Hold the target for this process; the kernel lets go of it however the process ends."""
    with (target.parent / f".{target.name}.lock").open("a") as handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise OutputError(f"{target}: another build is writing there; wait for it to end") from None
        yield


def _recover(target: Path, previous: Path) -> None:
    """Put back what a build that died between its two moves left aside, where folders cannot be exchanged."""
    if previous.exists():
        if target.exists():
            shutil.rmtree(previous)
        else:
            previous.rename(target)


def _swap(stage: Path, target: Path, previous: Path) -> None:
    if target.exists():
        if exchange(stage, target):
            # What is removed as the stage is now the old output.
            return
        target.rename(previous)
    try:
        stage.rename(target)
    except OSError:
        if previous.exists():
            previous.rename(target)
        raise
    shutil.rmtree(previous, ignore_errors=True)
