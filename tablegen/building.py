"""The main job: a catalogue file in, a folder with data set and publications out.

What has not changed since the last build is not made again: the folder says what each document was made from.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from tablegen.config.input_state import input_state
from tablegen.dataset.outputs import RECORD, OutputRecord
from tablegen.files import is_regular, read_regular
from tablegen.sweep.identity import program_identity

# What a comparison reads of an earlier release.
_OF_A_RELEASE = ("manifest.json", "group_windows.csv")
# Not in a release of an older version.
_ITS_CONFIGS = "configs.zip"


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildReport:
    """What a build made.

    Attributes
    ----------
    folder : Path
    windows, open_windows : int
        Computed windows, and those that are not empty.
    fingerprint : str
        Twelve characters that identify the data.
    warnings : tuple of str
    publications : mapping
        Pages of each publication, by the name of its file.
    failed : mapping
        Publications that could not be printed, each with its error.
    unchanged : frozenset of str
        Documents that are those of the last build, for nothing that they follow from has changed.
    left_out : tuple of str
        Documents of the last build that are out of date and that this one was not asked for.
    not_made : tuple of str
        Documents that the last build had not, and that the build was not asked for.
    stayed : tuple of str
        Documents of an earlier build that show the same figures, though a new one would name other data.
    """

    folder: Path
    windows: int
    open_windows: int
    fingerprint: str
    warnings: tuple[str, ...]
    publications: Mapping[str, int]
    failed: Mapping[str, Exception]
    unchanged: frozenset[str]
    left_out: tuple[str, ...]
    not_made: tuple[str, ...]
    stayed: tuple[str, ...]

    @classmethod
    def of(
        cls,
        folder: Path,
        record: OutputRecord,
        unchanged: Iterable[str],
        failed: Mapping[str, Exception] = MappingProxyType({}),
        last: Collection[str] = (),
    ) -> BuildReport:
        """What is in a folder by its record, which has `unchanged` documents of the `last` ones."""
        missing = [name for name in record.left_out if name not in failed]
        return cls(
            folder=folder,
            windows=record.windows,
            open_windows=record.open_windows,
            fingerprint=record.fingerprint,
            warnings=record.warnings,
            publications={name: own.pages for name, own in record.documents.items() if own.pages},
            failed=failed,
            unchanged=frozenset(unchanged),
            left_out=tuple(name for name in missing if name in last),
            not_made=tuple(name for name in missing if name not in last),
            stayed=record.stayed,
        )


def build(
    catalogue_path: Path,
    output: Path,
    *,
    only: Collection[str] = (),
    since: Path | None = None,
    stock: Path | None = None,
    rebuild: bool = False,
    workers: int = 1,
    executor: Executor | None = None,
    is_shown: bool = False,
) -> BuildReport:
    """Compute and print a catalogue into `output`/<its name>.

    A publication that cannot be printed is left out: data set and the other publications take the place of the last
    output, and `manifest.json` names it under `not_printed`.

    Parameters
    ----------
    catalogue_path, output : Path
    only : collection of str
        Documents to make; others stay if the figures that they show have not changed, and are removed if they have.
        Without names all are made.
    since : Path, optional
        The folder of a release to compare with.
    stock : Path, optional
        A stock sheet instead of the catalogue's own.
    rebuild : bool
        Whether everything is made again, changed or not.
    workers : int
        Processes that share the work; 1 means this process alone.
    executor : Executor, optional
        Computes the sweep instead of these processes, on whatever machines it has; publications are printed here. For
        machines that you trust only: work and results are pickled, and reading a pickle can run any code.
    is_shown : bool
        Whether to show a progress bar on stderr.

    Raises
    ------
    ConfigError, DataSetError, PropertyError, RequestError, WorkerError, OutputError
        The last good output is untouched then.
    """
    last = None if rebuild else _last(catalogue_path, output, only, since, stock)
    if last is not None:
        return last
    # Here, for an output that is up to date needs none of it.
    from tablegen.full_build import compute_and_write

    return compute_and_write(
        catalogue_path,
        output,
        only=only,
        since=since,
        stock=stock,
        rebuild=rebuild,
        workers=workers,
        executor=executor,
        is_shown=is_shown,
    )


def _last(
    catalogue_path: Path, output: Path, only: Collection[str], since: Path | None, stock: Path | None
) -> BuildReport | None:
    """What the last build made, if it made all that is asked for from the same inputs and nothing has been touched."""
    for path in sorted(output.glob(f"*/{RECORD}")):
        folder, record = path.parent, OutputRecord.read(path.parent)
        if record is None or record.made_from != made_from(catalogue_path, record.other_inputs, since, stock):
            continue
        has_all = set(only) <= record.documents.keys() - set(record.stayed)
        has_all = has_all and bool(only or not (record.left_out or record.stayed))
        if has_all and record.is_whole(folder):
            return BuildReport.of(folder, record, unchanged=record.documents)
    return None


def made_from(
    catalogue_path: Path, others: Collection[str], since: Path | None = None, stock: Path | None = None
) -> str:
    """Hash of everything that an output follows from; empty, which no output has, if it cannot be found."""
    inputs = input_state(catalogue_path, others)
    try:
        earlier = [] if since is None else [read_regular(since / name).hex() for name in _OF_A_RELEASE]
        if since is not None and is_regular(since / _ITS_CONFIGS):
            earlier.append(read_regular(since / _ITS_CONFIGS).hex())
        sheet = "" if stock is None else hashlib.sha256(read_regular(stock)).hexdigest()
    except OSError:
        return ""
    if inputs is None:
        return ""
    return hashlib.sha256(json.dumps([inputs, program_identity(), earlier, sheet]).encode()).hexdigest()
