"""Whether a revision gives a reason for every change that moved a printed limit, and which reasons bear on which table."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from tablegen.config.config_changes import GROUPS, LIMIT_FOLDERS
from tablegen.config.document import Yaml, read_document
from tablegen.config.release_configs import catalogue_of_release
from tablegen.config.single_changes import single_changes
from tablegen.dataset.comparison import TableChanges, compare
from tablegen.dataset.input_changes import KeySteps, Missing
from tablegen.dataset.manifest import inputs_of
from tablegen.dataset.release import CONFIGS, Release, TableKey
from tablegen.errors import ConfigError, FileProblem
from tablegen.model.company import ChangeReason, PrintSettings
from tablegen.model.inputs import Catalogue
from tablegen.wording import config_errors as wording

# Keys that are named in one line.
_MAX_KEYS = 3


@dataclass(frozen=True, slots=True)
class _ChangedKey:
    """A file, a key in it ("" for all of it), and what to call it."""

    file: str
    key: str
    text: str

    def reasons(self, given: Iterable[ChangeReason]) -> list[ChangeReason]:
        """The reasons that cover it."""
        return [reason for reason in given if reason.covers(self.file, self.key)]


@dataclass(frozen=True, slots=True)
class _Changed:
    """Keys that change together, and the inputs that differ with them; None if that is not known."""

    keys: tuple[_ChangedKey, ...]
    inputs: frozenset[KeySteps] | None

    def bears_on(self, table: TableChanges) -> bool:
        """Whether a window of a table that differs is computed from it; what cannot be known does."""
        return self.inputs is None or any(change.path in self.inputs for change in table.inputs)

    def lacking(self, given: Sequence[ChangeReason]) -> tuple[_ChangedKey, ...]:
        """The keys without a reason; one is enough for keys that can only change together."""
        without = tuple(own for own in self.keys if not own.reasons(given))
        return () if self.inputs is not None and len(without) < len(self.keys) else without


def reasons_by_table(
    release: Release, path: Path, catalogue: Catalogue, windows: pd.DataFrame
) -> Mapping[TableKey, tuple[ChangeReason, ...]]:
    """The reasons, in the record of the revisions since a release, for what changed in each table.

    Parameters
    ----------
    release : Release
        The earlier one.
    path : Path
        The catalogue file.
    catalogue : Catalogue
        As it was read from there.
    windows : DataFrame
        Group windows as they are now.

    Raises
    ------
    ConfigError
        If an input was changed that a changed window is computed from, and no reason covers it.
    DataSetError
        If the config files of the release are not those that it was built from.
    """
    manifest = dataclasses.replace(release.manifest, inputs=inputs_of(catalogue))
    tables = [table for table in compare(release, Release(manifest, windows)).tables if table.inputs]
    if not tables:
        return {}
    every = _by_key(release, path)
    if every is None:
        every = _by_file(tables, path.name, {*catalogue.files, *release.manifest.inputs_sha256})
    given = [reason for own in catalogue.printing.revisions_since(release.manifest.revision) for reason in own.reasons]
    by_table: dict[TableKey, tuple[ChangeReason, ...]] = {}
    lacking: dict[_ChangedKey, None] = {}
    for table in tables:
        own = [change for change in every if change.bears_on(table)]
        lacking |= dict.fromkeys(key for change in own for key in change.lacking(given))
        by_table[table.key] = tuple(
            dict.fromkeys(reason for change in own for key in change.keys for reason in key.reasons(given))
        )
    if lacking:
        raise ConfigError(list(_problems(path, catalogue.printing, list(lacking))))
    return by_table


def _by_key(release: Release, path: Path) -> list[_Changed] | None:
    """What differs by file and key; None where the release has no config files, or none that this program can use."""
    if not (release.manifest.folder / CONFIGS).is_file():
        return None
    with tempfile.TemporaryDirectory(prefix="tablegen-") as folder:
        earlier = catalogue_of_release(release.manifest, Path(folder), None, "")
        try:
            _, singles = single_changes(earlier, path, release.manifest)
        except ConfigError:
            return None
    return [
        _Changed(
            tuple(_ChangedKey(own.file, own.key, _named(own.key, own.earlier, own.now)) for own in single.changes),
            None if single.catalogue is None else frozenset(own.path for own in single.inputs),
        )
        for single in singles
    ]


def _named(key: str, earlier: Yaml | Missing, now: Yaml | Missing) -> str:
    """A key with both values, if these are short."""
    if not key:
        return wording.WHOLE_FILE()
    if any(isinstance(value, list | dict | Missing) for value in (earlier, now)):
        return key
    return wording.KEY_WAS_AND_IS(key=key, earlier=str(earlier), now=str(now))


def _by_file(tables: Sequence[TableChanges], catalogue: str, files: Collection[str]) -> list[_Changed]:
    """The files of the inputs that differ."""
    found: dict[str, set[KeySteps]] = {}
    for table in tables:
        for change in table.inputs:
            file = _file_of(*change.path[:2], catalogue=catalogue)
            if file in files:
                found.setdefault(file, set()).add(change.path)
    whole = wording.WHOLE_FILE()
    return [_Changed((_ChangedKey(file, "", whole),), frozenset(own)) for file, own in found.items()]


def _file_of(part: str, name: str = "", *, catalogue: str) -> str:
    """The file of a part of the inputs; "" for one of the program."""
    if part in LIMIT_FOLDERS:
        return f"{part}/{name}.yaml"
    return {"groups": GROUPS, "confidence": catalogue, "combinations": catalogue}.get(part, "")


def _problems(path: Path, printing: PrintSettings, lacking: Sequence[_ChangedKey]) -> Iterator[FileProblem]:
    """A line for each file, at the revision that lacks the reason."""
    document = read_document(path)
    place = [own.revision for own in printing.revisions].index(printing.revision)
    for file in dict.fromkeys(change.file for change in lacking):
        own = [change for change in lacking if change.file == file]
        keys = ", ".join(change.text for change in own[:_MAX_KEYS])
        if more := len(own) - _MAX_KEYS:
            keys = wording.AND_MORE_KEYS(more, keys=keys) if more > 0 else keys
        key = own[0].key
        entry = wording.REASON_OF_KEY(file=file, key=key) if key else wording.REASON_OF_FILE(file=file)
        text = wording.REASON_MISSING(file=file, keys=keys, revision=printing.revision, entry=entry)
        yield document.problem(("revisions", place, "reasons"), text)
