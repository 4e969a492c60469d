"""Whether the files of a catalogue are as they were at a build, found without parsing them."""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from tablegen.config import packaged_configs
from tablegen.config._input_files import FOLDERS, misnamed_folders
from tablegen.files import read_regular


def input_state(catalogue: Path, others: Iterable[str] = ()) -> str | None:
    """The SHA-256 of every file that a catalogue is read from; None if that cannot be found.

    Parameters
    ----------
    catalogue : Path
    others : iterable of str
        Files outside the folders of configs that it is read from too, by path below its folder.
    """
    folder = catalogue.parent
    if misnamed_folders(folder, str(folder)):
        return None
    own = [catalogue, folder / "groups.yaml", *(folder / name for name in others)]
    return files_state(itertools.chain(own, _config_files(folder), _config_files(packaged_configs())))


def files_state(files: Iterable[Path]) -> str | None:
    """The SHA-256 of files and their names; None if one cannot be read."""
    found = hashlib.sha256()
    try:
        for path in files:
            found.update(f"{path.parent.name}/{path.name}".encode() + b"\0" + read_regular(path) + b"\0")
    except OSError:
        return None
    return found.hexdigest()


def other_inputs(files: Iterable[str]) -> tuple[str, ...]:
    """Of the files that a catalogue was read from, those that are not found by where they are."""
    return tuple(name for name in sorted(files) if PurePosixPath(name).parts[0] not in (*FOLDERS, "packaged"))


def _config_files(folder: Path) -> Iterator[Path]:
    """Whatever is in the folders of configs: a file that should not be there is refused by the next full reading."""
    for name in FOLDERS:
        if (folder / name).is_dir():
            yield from sorted(folder.joinpath(name).iterdir())
