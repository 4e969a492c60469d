"""Files of a catalogue with new contents: how each changes, and the writing."""

from __future__ import annotations

import difflib
import shutil
from collections.abc import Iterable, Mapping
from contextlib import ExitStack
from pathlib import Path

from tablegen.config._input_files import shown_name
from tablegen.errors import ConfigError, FileProblem, OutputError
from tablegen.files import read_regular, replace_file
from tablegen.wording import changed_files as wording
from tablegen.wording import input_errors


class ChangedFiles:
    """New contents of files below a folder, beside what each has now; nothing is written until `write`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._new: dict[Path, bytes] = {}
        self._old: dict[Path, bytes | None] = {}

    @property
    def contents(self) -> Mapping[Path, bytes]:
        """The new contents by path."""
        return self._new

    def put(self, path: Path, content: bytes, was: bytes | None = None) -> None:
        """Give a file a new content; `was` is what it had when it was read, without which that is on disk."""
        self._old.setdefault(path, on_disk(path) if was is None else was)
        self._new[path] = content

    def differences(self) -> dict[str, str]:
        """How each file changes, as a unified diff by its path below the folder; files that stay as they are left out."""
        found = {}
        for path, content in self._new.items():
            name = path.relative_to(self.folder).as_posix()
            was, now = (data.decode("utf-8-sig", "replace").splitlines() for data in (self._old[path] or b"", content))
            lines = list(difflib.unified_diff(was, now, name, name, lineterm=""))
            if lines:
                found[name] = "\n".join(lines)
        return found

    def write(self, last: Path, again: str, folders: Iterable[tuple[Path, Path]] = ()) -> tuple[Path, ...]:
        """Write the files, then give `folders` their new names; `last` is written after the other files.

        Returns the paths that were written, as they were before folders got new names.

        Raises OutputError if a file was changed meanwhile, for which `again` says what to do, or cannot be written.
        """
        changed = [path for path in self._new if self._new[path] != self._old[path]]
        for path in changed:
            if on_disk(path) != self._old[path]:
                raise OutputError(wording.CHANGED_MEANWHILE(file=shown_name(path), again=again))
        replaced: list[Path] = []
        with ExitStack() as stack:
            # None takes its place before all are written; what is entered first is then the last to do so.
            for path in sorted(changed, key=lambda own: own != last):
                try:
                    path.parent.mkdir(exist_ok=True)
                except OSError as error:
                    raise OutputError(
                        wording.FOLDER_NOT_MADE(folder=str(path.parent), reason=str(error.strerror))
                    ) from error
                # A link stays a link.
                part = stack.enter_context(replace_file(path.resolve(), replaced))
                part.write_bytes(self._new[path])
                if path.exists():
                    shutil.copymode(path, part)
        for old, new in folders:
            try:
                old.rename(new)
            except OSError as error:
                reason = error.strerror or str(error)
                raise OutputError(
                    wording.FOLDER_NOT_RENAMED(folder=shown_name(old), new=new.name, reason=reason, again=again)
                ) from error
        return tuple(changed)


def on_disk(path: Path) -> bytes | None:
    """The content of a file as it is; None if there is none.

    Raises
    ------
    ConfigError
        If it cannot be read.
    """
    try:
        return read_regular(path)
    except FileNotFoundError:
        return None
    except OSError as error:
        text = input_errors.FILE_UNREADABLE(reason=error.strerror or str(error))
        raise ConfigError([FileProblem(shown_name(path), 0, "", text)]) from error
