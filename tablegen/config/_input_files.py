"""Files that people write: their bytes within limits, their text, the files of a config folder."""

from __future__ import annotations

import difflib
import os
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from types import MappingProxyType

from tablegen.errors import BadValue, ConfigError, FileProblem, near
from tablegen.files import read_regular
from tablegen.wording import config_errors
from tablegen.wording import input_errors as wording

SUFFIX = ".yaml"
# How the first line of a file says by which schema an editor checks it, by a convention of editors.
SCHEMA_LINE = "# yaml-language-server: $schema="
FOLDERS = ("families", "applications", "publications", "refrigerants", "languages", "parts")
# Those that had another name before the first release.
OLD_FOLDERS = {"envelopes": "applications", "editions": "publications"}
# Notes and bench data beside the configs, and what editors leave; hidden files are none of ours either.
_HARMLESS = re.compile(r"\..*|readme.*|.*\.(md|txt|csv)|.*(~|\.bak|\.orig|\.swp|\.tmp)", re.IGNORECASE)
# Letters and signs of lists in the Windows code page, and a character of UTF-8, of which such a text has none.
_WESTERN = re.compile(
    "[\t\n\r\x20-\x7e\u00a0\u00a3\u00a7\u00a9\u00ae\u00b0-\u00b3\u00b5\u00b7\u00bc-\u00ff\u20ac\u2013\u2014\u2018\u2019\u201c\u201d\u2022\u2026\u2122]+"
)
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_UTF_8 = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}")
_WRITTEN_OTHERWISE = (".yml", ".json")
_ALIKE = 0.8
_CONTENTS: ContextVar[Mapping[Path, bytes]] = ContextVar("contents", default=MappingProxyType({}))


@contextmanager
def in_place_of(contents: Mapping[Path, bytes]) -> Iterator[None]:
    """Within it files are read as if they had these contents, and those that do not exist as if they did.

    What would be wrong in them shows before they are written.
    """
    token = _CONTENTS.set({**_CONTENTS.get(), **{path.resolve(): content for path, content in contents.items()}})
    try:
        yield
    finally:
        _CONTENTS.reset(token)


def _pending(path: Path) -> bytes | None:
    """What a file is read as in place of its own content; None where it is read as it is."""
    contents = _CONTENTS.get()
    return contents.get(path.resolve()) if contents else None


def shown_name(path: Path) -> str:
    """A path as a person at the prompt would write it."""
    absolute, here = Path(os.path.abspath(path)), Path.cwd()
    # Not os.path.relpath, which knows no way from one drive to another.
    return absolute.relative_to(here).as_posix() if absolute.is_relative_to(here) else str(path)


def path_beside(folder: Path, name: str) -> Path:
    """The path of a file that a config in `folder` names.

    Raises BadValue if it is outside the folder, by its name or by a link, or does not exist.
    """
    path = folder / name
    try:
        is_beside = path.resolve().is_relative_to(folder.resolve())
        exists = path.exists() or _pending(path) is not None
    except (OSError, RuntimeError):
        # A link that leads to itself, or a name that is too long.
        is_beside, exists = True, False
    if not is_beside or Path(name).is_absolute() or ".." in Path(name).parts:
        raise BadValue(repr(name), config_errors.FILE_BESIDE())
    if not exists and path.is_symlink():
        raise BadValue(repr(name), config_errors.LINK_TO_NOTHING())
    if path.is_dir():
        raise BadValue(repr(name), wording.NOT_A_FILE())
    if not exists:
        found = (own.name for own in path.parent.iterdir()) if path.parent.is_dir() else ()
        raise BadValue(repr(name), config_errors.NO_SUCH_FILE() + near(path.name, found))
    return path


def read_limited(path: Path, shown: str, max_bytes: int, rule: str) -> bytes:
    """The bytes of a file; `shown` is its name in messages, `rule` the reason for its maximum size.

    Raises ConfigError if it is no file on disk, cannot be read, or is larger than `max_bytes`.
    """
    if (pending := _pending(path)) is not None:
        return pending
    try:
        data = read_regular(path, max_bytes + 1)
    except FileNotFoundError:
        raise _refusal(shown, 0, wording.FILE_MISSING()) from None
    except OSError as error:
        raise _refusal(shown, 0, wording.FILE_UNREADABLE(reason=error.strerror or str(error))) from error
    if len(data) > max_bytes:
        size = f"{max_bytes // 1_000_000} MB" if max_bytes >= 1_000_000 else f"{max_bytes // 1000} kB"
        raise _refusal(shown, 0, wording.FILE_TOO_LARGE(size=size, rule=rule))
    return data


def as_text(data: bytes, shown: str, kind: str) -> str:
    """UTF-8 text of a file of some kind ("YAML"), without a byte order mark.

    Raises ConfigError if it is in another encoding, or contains NUL bytes.
    """
    if data.startswith(_UTF_16):
        raise _refusal(shown, 0, wording.UTF_16(kind=kind))
    return _decoded(data, shown, "utf-8-sig", wording.NOT_UTF_8(kind=kind))


def csv_text(data: bytes, shown: str) -> str:
    """Text of a CSV file: UTF-8, or UTF-16 with its byte order mark, as spreadsheets write it.

    Raises ConfigError if it is in another encoding, or contains NUL bytes.
    """
    if data.startswith(_UTF_16):
        return _decoded(data, shown, "utf-16", wording.CSV_DAMAGED())
    return _decoded(data, shown, "utf-8-sig", wording.CSV_NOT_UTF_8())


def _decoded(data: bytes, shown: str, encoding: str, rule: str) -> str:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        raise _refusal(shown, _last_line(data[: error.start].decode(encoding, "ignore")), rule) from None
    if "\0" in text:
        raise _refusal(shown, _last_line(text[: text.index("\0")]), wording.NUL_BYTE())
    return text


def _last_line(text: str) -> int:
    """The number of the line that a text ends in, as an editor counts."""
    return len(re.split("\r\n|\r|\n", text))


def list_text(data: bytes, shown: str) -> tuple[str, bool]:
    """The text of a CSV list, and whether it is in the Windows code page of Western Europe and America, as spreadsheets write it.

    It is if it is no UTF-8, and every character beyond ASCII is then a letter or a usual sign: any other code page gives
    others.

    Raises ConfigError as `csv_text`.
    """
    try:
        return csv_text(data, shown), False
    except ConfigError:
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            text = ""
        if not _WESTERN.fullmatch(text) or _UTF_8.search(data):
            raise
        return text, True


def _refusal(shown: str, line: int, text: str) -> ConfigError:
    return ConfigError([FileProblem(shown, line, "", text)])


def config_files(folder: Path, shown: str) -> tuple[list[Path], list[FileProblem]]:
    """The config files of one of `FOLDERS`, sorted, and a problem for whatever else is there: it has no effect.

    The folder need not exist; `shown` is its name in messages.
    """
    entries, problems = _entries(folder, shown)
    found = []
    for path in entries:
        if _HARMLESS.fullmatch(path.name):
            continue
        if path.suffix == SUFFIX and not path.is_dir():
            found.append(path)
        else:
            problems.append(FileProblem(f"{shown}/{path.name}", 0, "", _why_stray(path)))
    return found, problems


def misnamed_folders(folder: Path, shown: str) -> list[FileProblem]:
    """A problem for each folder beside a catalogue that has an old name, or nearly one that is read."""
    entries, problems = _entries(folder, shown)
    for path in entries:
        if path.name in FOLDERS or not path.is_dir():
            continue
        if path.name in OLD_FOLDERS:
            new = OLD_FOLDERS[path.name]
            says = wording.FOLDER_OLD_AND_NEW if os.path.lexists(folder / new) else wording.FOLDER_RENAMED
            text = says(new=new)
            problems.append(FileProblem(f"{shown}/{path.name}", 0, "", text))
        elif alike := difflib.get_close_matches(path.name.lower(), FOLDERS, n=1, cutoff=_ALIKE):
            meant = folder / alike[0]
            # Where case does not count it is the folder itself.
            if not (meant.exists() and meant.samefile(path)):
                text = wording.FOLDER_NOT_READ(meant=alike[0])
                problems.append(FileProblem(f"{shown}/{path.name}", 0, "", text))
    return problems


def _entries(folder: Path, shown: str) -> tuple[list[Path], list[FileProblem]]:
    """What is in a folder, sorted, nothing if it does not exist; a problem if it cannot be read."""
    pending = {folder / path.name for path in _CONTENTS.get() if path.parent == folder.resolve()}
    try:
        return sorted({*folder.iterdir(), *pending}), []
    except FileNotFoundError:
        if not folder.is_symlink():
            return sorted(pending), []
        text = wording.DEAD_LINK()
    except NotADirectoryError:
        text = wording.NOT_A_FOLDER()
    except OSError as error:
        text = wording.FOLDER_UNREADABLE(reason=error.strerror or str(error))
    return [], [FileProblem(shown, 0, "", text)]


def _why_stray(path: Path) -> str:
    if path.is_dir():
        return wording.FOLDER_IN_FOLDER()
    suffix = path.suffix.lower()
    if suffix == ".json":
        return wording.FILE_IS_JSON(name=path.stem)
    if suffix == SUFFIX or suffix in _WRITTEN_OTHERWISE:
        return wording.FILE_MISNAMED(name=path.stem)
    return wording.FILE_STRAY()
