"""The config files of a release: packed beside its data set when it is built, and unpacked to compute it again."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterable
from pathlib import Path, PurePosixPath

from tablegen.config.config_changes import GROUPS, LIMIT_FOLDERS
from tablegen.dataset.release import CONFIGS, Manifest
from tablegen.errors import DataSetError
from tablegen.files import is_regular, zip_entry
from tablegen.wording import compare as wording

# Of an archive that somebody may have put there.
_MAX_FILES, _MAX_UNPACKED = 2_000, 50_000_000


def pack_configs(catalogue: Path, files: Iterable[str]) -> bytes:
    """The files that a catalogue is read from, as a ZIP archive of which the catalogue file is the first.

    Parameters
    ----------
    catalogue : Path
    files : iterable of str
        What it was read from, by path below its folder.
    """
    folder = catalogue.parent
    own = sorted(name for name in {GROUPS, *files} if PurePosixPath(name).parts[0] != "packaged")
    names = dict.fromkeys([catalogue.name, *own])
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name in names:
            archive.writestr(zip_entry(name), (folder / name).read_bytes())
    return packed.getvalue()


def catalogue_of_release(manifest: Manifest, into: Path, given: Path | None, option: str) -> Path:
    """The catalogue file that a release was built from.

    Parameters
    ----------
    manifest : Manifest
    into : Path
        An empty folder, for what the release has packed.
    given : Path or None
        A catalogue file to take instead.
    option : str
        The argument that gives it.

    Raises
    ------
    DataSetError
        If the release has no config files and none are given, or they are not those that it was built from.
    """
    path = _unpacked(manifest.folder, into, option) if given is None else given
    for name, digest in manifest.inputs_sha256.items():
        if name not in (path.name, GROUPS) and PurePosixPath(name).parent.as_posix() not in LIMIT_FOLDERS:
            # What only prints, or is the program's.
            continue
        own = path.parent / name
        if not is_regular(own) or hashlib.sha256(own.read_bytes()).hexdigest() != digest:
            raise DataSetError(
                wording.OTHER_CONFIGS(file=name, configs=_shown(given, manifest), folder=str(manifest.folder))
            )
    return path


def _shown(given: Path | None, manifest: Manifest) -> str:
    return str(manifest.folder / CONFIGS if given is None else given)


def _unpacked(folder: Path, into: Path, option: str) -> Path:
    if not is_regular(folder / CONFIGS):
        raise DataSetError(wording.NO_CONFIGS(folder=str(folder), file=CONFIGS, option=option))
    try:
        with zipfile.ZipFile(folder / CONFIGS) as archive:
            parts = archive.infolist()
            names = [PurePosixPath(part.filename) for part in parts]
            is_sound = parts and len(parts) <= _MAX_FILES and sum(part.file_size for part in parts) <= _MAX_UNPACKED
            if not is_sound or any(name.is_absolute() or {"..", ""} & set(name.parts) for name in names):
                raise zipfile.BadZipFile
            archive.extractall(into)
    # Whatever a damaged archive makes the library and its compressions raise.
    except Exception as error:
        raise DataSetError(wording.CONFIGS_DAMAGED(file=str(folder / CONFIGS))) from error
    return into / names[0]
