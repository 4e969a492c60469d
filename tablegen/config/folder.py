"""The files of a config folder; whatever stands there without effect is a mistake, for its figures would be missed."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

from tablegen.errors import Mistake

SUFFIX = ".yaml"
FOLDERS = ("families", "applications", "publications", "refrigerants")
# Notes and bench data beside the configs, and what editors leave; hidden files are none of ours either.
_HARMLESS = re.compile(r"\..*|readme.*|.*\.(md|txt|csv)|.*(~|\.bak|\.orig|\.swp|\.tmp)", re.IGNORECASE)
_WRITTEN_OTHERWISE = (".yml", ".json")
_ALIKE = 0.8


def config_files(folder: Path, shown: str) -> tuple[list[Path], list[Mistake]]:
    """The config files of a folder, sorted, and a mistake for whatever else is there.

    Parameters
    ----------
    folder : Path
        One of `FOLDERS`; it need not be there.
    shown : str
        The folder's name in messages.
    """
    entries, mistakes = _entries(folder, shown)
    found = []
    for path in entries:
        if _HARMLESS.fullmatch(path.name):
            continue
        if path.suffix == SUFFIX and not path.is_dir():
            found.append(path)
        else:
            mistakes.append(Mistake(f"{shown}/{path.name}", 0, "", _why_stray(path)))
    return found, mistakes


def misnamed_folders(folder: Path, shown: str) -> list[Mistake]:
    """A mistake for each folder beside a catalogue whose name is nearly one that is read."""
    entries, mistakes = _entries(folder, shown)
    for path in entries:
        alike = difflib.get_close_matches(path.name.lower(), FOLDERS, n=1, cutoff=_ALIKE)
        if alike and path.name not in FOLDERS and path.is_dir():
            meant = folder / alike[0]
            # Where case does not count it is the folder itself.
            if not (meant.exists() and meant.samefile(path)):
                text = f"the folder is not read (did you mean {alike[0]}?)"
                mistakes.append(Mistake(f"{shown}/{path.name}", 0, "", text))
    return mistakes


def _entries(folder: Path, shown: str) -> tuple[list[Path], list[Mistake]]:
    """What a folder holds, sorted, nothing if it is not there; a mistake if it cannot be read."""
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
    return [], [Mistake(shown, 0, "", text)]


def _why_stray(path: Path) -> str:
    if path.is_dir():
        return f"a folder in here is not read; move its {SUFFIX} files up, or the folder elsewhere"
    suffix = path.suffix.lower()
    if suffix == SUFFIX or suffix in _WRITTEN_OTHERWISE:
        rewritten = ", written as YAML" if suffix == ".json" else ""
        return f"the file is not read; rename it to {path.stem}{SUFFIX}{rewritten}"
    return f"the file is not read; config files end in {SUFFIX}, anything but notes (.md, .txt) and .csv goes elsewhere"
