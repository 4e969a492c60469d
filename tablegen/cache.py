"""Bytes cached on disk to save time between runs: one file a key, in folders that processes may share.

Whoever reads a cache can do without it, and does where another user can change it.  The first line of a file names its layout, the SHA-256 of its key and the
SHA-256 of what follows; a file that is cut, damaged or another key's is not used, and the next write replaces it.
"""

from __future__ import annotations

import hashlib
import os
import time
import warnings
from contextlib import suppress
from pathlib import Path

from tablegen.errors import TablegenWarning
from tablegen.files import STALE_AFTER_S, is_regular, remove_old, write_atomic
from tablegen.own_folder import is_changed_by_us_alone, make_own_folder, what_is_no_folder, who_else_can_change
from tablegen.wording.message import Message

# Raised whenever the format of a file changes.
LAYOUT = 1
# Removed are files that nobody has used for so long, and beyond this size of a folder those unused for longest.
MAX_AGE_DAYS = 90
MAX_FOLDER_BYTES = 1 << 30
# Said once in a process, however many folders a cache has.
_SAID: set[str] = set()


def default_folder() -> Path:
    """TABLEGEN_CACHE if set, else the user's cache folder."""
    chosen = os.environ.get("TABLEGEN_CACHE")
    if chosen:
        return Path(chosen)
    import platformdirs

    return platformdirs.user_cache_path("tablegen", appauthor=False)


class Cache:
    """Cached bytes by key, in a folder of their own.

    Attributes
    ----------
    folder : Path
        Where the files are.
    """

    def __init__(self, folder: Path, not_cached: Message) -> None:
        """`not_cached` warns that nothing can be written there; it takes `folder` and `reason`."""
        self.folder = folder
        self._not_cached = not_cached
        self._is_pruned = self._is_refused = self._is_own = self._is_open = False

    def read(self, key: str) -> bytes | None:
        """What was written under a key; None if nothing was, or nothing that is whole."""
        path = self._path(key)
        try:
            if not self._may_use():
                return None
            if not is_regular(path):
                return None
            with path.open("rb") as file:
                content = file.read() if is_changed_by_us_alone(file.fileno()) else b""
        except OSError:
            return None
        header, _, payload = content.partition(b"\n")
        if header != _header(key, payload):
            return None
        with suppress(OSError):  # a folder that is read-only does not know when it was last used
            os.utime(path)
        return payload

    def write(self, key: str, payload: bytes) -> None:
        """Write under a key.

        A folder that cannot be written costs time at the next run, no more: it is warned of, once.
        """
        if self._is_refused:
            return
        try:
            if not self._may_use():
                return
            make_own_folder(self.folder)
            # Again, because another user may have been quicker to make it.
            if not self._may_use():
                return
            if not self._is_pruned:
                self._is_pruned = True
                self.prune()
            write_atomic(self._path(key), _header(key, payload) + b"\n" + payload)
        except OSError as error:
            self._is_refused = True
            text = self._not_cached(folder=str(self.folder), reason=error.strerror or str(error))
            warnings.warn(text, TablegenWarning, stacklevel=3)

    def prune(self) -> None:
        """Remove what nobody has used for long or what does not fit, and what processes left that were killed."""
        remove_old(self.folder, ".*.part", STALE_AFTER_S)
        oldest = time.time() - MAX_AGE_DAYS * 86400.0
        found = []
        # Each file is looked at once; on Windows its directory entry says all of it.
        with os.scandir(self.folder) as entries:
            for entry in (own for own in entries if own.name.endswith(".cache")):
                with suppress(OSError):  # another process may have been quicker
                    found.append((entry.stat().st_mtime, entry.stat().st_size, entry.path))
        size = 0
        for used, own, path in sorted(found, reverse=True):
            size += own
            if used < oldest or size > MAX_FOLDER_BYTES:
                with suppress(OSError):
                    os.unlink(path)

    def _may_use(self) -> bool:
        """Whether it is a folder whose content no other user can change, or can become one; it is checked until the folder is there."""
        if not self._is_own and not self._is_open:
            why = what_is_no_folder(self.folder) or who_else_can_change(self.folder)
            self._is_open = bool(why)
            self._is_own = not why and self.folder.is_dir()
            if why and why not in _SAID:
                _SAID.add(why)
                warnings.warn(why, TablegenWarning, stacklevel=4)
        return not self._is_open

    def _path(self, key: str) -> Path:
        return self.folder / f"{_sha256(key.encode())}.cache"


def _header(key: str, payload: bytes) -> bytes:
    return f"tablegen-cache {LAYOUT} {_sha256(key.encode())} {_sha256(payload)}".encode("ascii")


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
