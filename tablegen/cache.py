"""Where property tables and parsed configs are kept between runs, and how a file gets there.

What is kept only saves time: whoever reads it can do without, and tells a file that is damaged or another's.
"""

from __future__ import annotations

import contextlib
import functools
import os
import tempfile
import time
import warnings
from pathlib import Path

from tablegen.errors import TablegenWarning


def default_folder() -> Path:
    """TABLEGEN_CACHE if set, else the user's cache folder."""
    chosen = os.environ.get("TABLEGEN_CACHE")
    if chosen:
        return Path(chosen)
    import platformdirs

    return platformdirs.user_cache_path("tablegen", appauthor=False)


@functools.cache
def _remove_stale(folder: Path) -> None:
    """Remove, once a process, what others left that were killed while they wrote; none takes an hour."""
    oldest = time.time() - 3600.0
    for part in folder.glob(".*.part"):
        with contextlib.suppress(FileNotFoundError):  # another process may have been quicker
            if part.stat().st_mtime < oldest:
                part.unlink()


def keep(path: Path, content: bytes, what: str, cost: str) -> bool:
    """Keep a file, put there in one move so that processes may share the folder; whether that could be done.

    A folder that cannot be written costs time at the next run, no more: a warning tells `what` cannot be kept, and
    how it is had then.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _remove_stale(path.parent)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem}-", suffix=".part")
        aside = Path(name)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            aside.replace(path)
        finally:
            aside.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        text = f"{what} cannot be kept in {path.parent}: {why}; they are {cost} every time"
        warnings.warn(text, TablegenWarning, stacklevel=4)
        return False
    return True
