"""The files of a config folder; whatever stands there without effect is a problem, for its figures would be missed."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

from tablegen.errors import Problem

SUFFIX = ".yaml"
FOLDERS = ("families", "applications", "publications", "refrigerants")
# Notes and bench data beside the configs, and what editors leave; hidden files are none of ours either.
_HARMLESS = re.compile(r"\..*|readme.*|.*\.(md|txt|csv)|.*(~|\.bak|\.orig|\.swp|\.tmp)", re.IGNORECASE)
_WRITTEN_OTHERWISE = (".yml", ".json")
_ALIKE = 0.8


def config_files(folder: Path, shown: str) -> tuple[list[Path], list[Problem]]:
    """The config files of a folder, sorted, and a problem for whatever else is there.

    Parameters
    ----------
    folder : Path
        One of `FOLDERS`; it need not be there.
    shown : str
        The folder's name in messages.
    """
    entries, problems = _entries(folder, shown)
    found = []
    for path in entries:
        if _HARMLESS.fullmatch(path.name):
            continue
        if path.suffix == SUFFIX and not path.is_dir():
            found.append(path)
        else:
            problems.append(Problem(f"{shown}/{path.name}", 0, "", _why_stray(path)))
    return found, problems


def misnamed_folders(folder: Path, shown: str) -> list[Problem]:
    """A problem for each folder beside a catalogue whose name is nearly one that is read."""
    entries, problems = _entries(folder, shown)
    for path in entries:
        alike = difflib.get_close_matches(path.name.lower(), FOLDERS, n=1, cutoff=_ALIKE)
        if alike and path.name not in FOLDERS and path.is_dir():
            meant = folder / alike[0]
            # Where case does not count it is the folder itself.
            if not (meant.exists() and meant.samefile(path)):
                text = f"the folder is not read (did you mean {alike[0]}?)"
                problems.append(Problem(f"{shown}/{path.name}", 0, "", text))
    return problems


def _entries(folder: Path, shown: str) -> tuple[list[Path], list[Problem]]:
    """What a folder holds, sorted, nothing if it is not there; a problem if it cannot be read."""
    try:
        return sorted(folder.iterdir()), []
    except FileNotFoundError:
        if not folder.is_symlink():
            return [], []
        text = "the folder cannot be read: it is a link to what does not exist"
    except NotADirectoryError:
        text = "a file is not allowed here; it must be a folder of config files"
    except OSError as error:
        text = f"the folder cannot be read: {error.strerror or error}"
    return [], [Problem(shown, 0, "", text)]


def _why_stray(path: Path) -> str:
    if path.is_dir():
        return f"a folder in here is not read; move its {SUFFIX} files up, or the folder elsewhere"
    suffix = path.suffix.lower()
    if suffix == SUFFIX or suffix in _WRITTEN_OTHERWISE:
        rewritten = ", written as YAML" if suffix == ".json" else ""
        return f"the file is not read; rename it to {path.stem}{SUFFIX}{rewritten}"
    return f"the file is not read; config files end in {SUFFIX}, anything but notes (.md, .txt) and .csv goes elsewhere"
