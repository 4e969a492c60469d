"""A release read back from an output folder: its manifest, checked for what is needed of it, and its group windows.

The folder may have been written by another version, or altered: nothing in it is taken for granted.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import pandas as pd

from tablegen.dataset.dataset import MANIFEST
from tablegen.dataset.release_files import Json, bytes_of, json_of, no_release, refusal, windows_of
from tablegen.errors import DataSetError
from tablegen.model.booklet_contents import TABLES
from tablegen.wording import compare as wording
from tablegen.wording.language import ENGLISH, printed_codes

TableKey: TypeAlias = tuple[str, str, str]
"""A printed table: family, group, application."""

KEYS = ["family", "group", "application", "size", "sst_k"]
REASONS = ("min_reason", "max_reason")
WINDOWS = "group_windows.csv"
# The config files that it was built from.
CONFIGS = "configs.zip"
# Of refrigerants by themselves.
_MEMBER_WINDOWS, _MEMBER = "windows.csv", "refrigerant"
_UNITS = ("IP", "SI")
# Releases within a folder that are named.
_MAX_NAMED = 5


class _MissingKeyError(Exception):
    """A manifest lacks a key that is needed, or has something else under it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedAs:
    """Unit system, load unit (None for the system's own), notice and language of what was printed."""

    units: str
    load_unit: str | None
    notice: str = ""
    language: str = ENGLISH


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedBooklet:
    """A booklet of a release: the name of its file without the ending, how it was printed, its tables; an index has none.

    `sst_k` are the SSTs [K] that were chosen of an application; with `lists_empty` tables without a window have no page.
    """

    name: str
    printed_as: PrintedAs
    tables: tuple[TableKey, ...]
    sst_k: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    lists_empty: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedNames:
    """What the prints of a release name, by keys: sizes, and for tables their family, group and application."""

    booklets: tuple[PrintedBooklet, ...]
    sizes: Mapping[tuple[str, str], str]
    tables: Mapping[TableKey, tuple[str, str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """The manifest of a release.

    Attributes
    ----------
    folder : Path
    layout : int or None
    catalogue, fingerprint, revision, date : str
        "" where there is none.
    printed_as : PrintedAs
    versions, inputs_sha256, files_sha256, not_printed : mapping of str to str
    inputs : mapping of str to Json
        Every input by part ("families", "applications", ...), in SI.
    """

    folder: Path
    layout: int | None
    catalogue: str
    fingerprint: str
    revision: str
    date: str
    printed_as: PrintedAs
    versions: Mapping[str, str]
    inputs_sha256: Mapping[str, str]
    files_sha256: Mapping[str, str]
    not_printed: Mapping[str, str]
    inputs: Mapping[str, Json]

    def check_catalogue(self, name: str) -> None:
        """Stop unless it is a release of a catalogue.

        Raises
        ------
        DataSetError
            If it is one of another.
        """
        if self.catalogue != name:
            found, wanted = repr(self.catalogue), repr(name)
            raise DataSetError(wording.OTHER_CATALOGUE(folder=str(self.folder), found=found, wanted=wanted))

    def changed_files(self, now: Mapping[str, str]) -> dict[str, str]:
        """Config files whose hash is another now: "new", "removed" or "differs"."""
        was = self.inputs_sha256
        return {
            name: "new" if name not in was else "removed" if name not in now else "differs"
            for name in sorted({*was, *now})
            if was.get(name) != now.get(name)
        }

    def printed_names(self) -> PrintedNames:
        """What was printed and how it was titled.

        Raises
        ------
        DataSetError
            If the manifest is of a layout that does not state it.
        """
        try:
            if not self.printed_as.units:
                raise _MissingKeyError("units")
            booklets = tuple(_booklet(entry) for entry in _items(_at(dict(self.inputs), "booklets")))
            wanted = {key for booklet in booklets for key in booklet.tables}
            return PrintedNames(
                booklets=booklets, sizes=dict(self._sizes()), tables={key: self._names(key) for key in wanted}
            )
        except _MissingKeyError as error:
            raise DataSetError(wording.OTHER_LAYOUT(folder=str(self.folder), key=repr(error.args[0]))) from error

    def size_names(self) -> dict[tuple[str, str], str]:
        """What sizes are called in print, by family and key; none of a layout that does not state it."""
        try:
            return dict(self._sizes())
        except _MissingKeyError:
            return {}

    def _sizes(self) -> Iterator[tuple[tuple[str, str], str]]:
        for family, entry in as_mapping(_at(dict(self.inputs), "families")).items():
            for size in _items(_at(entry, "sizes")):
                yield (family, _text(size, "name")), _text(size, "display_name")

    def _names(self, key: TableKey) -> tuple[str, str, str]:
        """What the family, the group and the application of a table are called."""
        inputs = dict(self.inputs)
        family = _text(inputs, "families", key[0], "display_name")
        return family, _text(inputs, "groups", key[1], "title"), _text(inputs, "applications", key[2], "title")


@dataclass(frozen=True, slots=True)
class Release:
    """A release as far as a comparison needs it."""

    manifest: Manifest
    group_windows: pd.DataFrame


def read_release(folder: Path, *, of_groups: bool = True) -> Release:
    """Read the manifest and the group windows of an output folder, which may be of an older layout.

    Without `of_groups` they are the windows of refrigerants by themselves, each a group of one.

    Raises
    ------
    DataSetError
        If the folder contains no release, or its windows were changed since they were written.
    """
    manifest = read_manifest(folder)
    path = folder / (WINDOWS if of_groups else _MEMBER_WINDOWS)
    expected = manifest.files_sha256.get(path.name)
    for key, value in (("date", manifest.date), ("fingerprint", manifest.fingerprint), ("files_sha256", expected)):
        if not value:
            raise no_release(folder, wording.MISSING_KEY(key=key))
    try:
        datetime.date.fromisoformat(manifest.date)
    except ValueError as error:
        raise DataSetError(wording.NO_DATE(folder=str(folder), date=repr(manifest.date))) from error
    written = bytes_of(path)
    if hashlib.sha256(written).hexdigest() != expected:
        raise DataSetError(wording.ALTERED(file=str(path)))
    return Release(manifest, read_windows(path, written))


def read_windows(path: Path, written: bytes, more: Collection[str] = REASONS) -> pd.DataFrame:
    """The windows of a release from the bytes of their file: keys, limits and `more` columns.

    Raises
    ------
    DataSetError
        As `windows_of`.
    """
    if path.name != _MEMBER_WINDOWS:
        return windows_of(path, written, KEYS, more)
    keys = [_MEMBER if key == "group" else key for key in KEYS]
    return windows_of(path, written, keys, more).rename(columns={_MEMBER: "group"})


def read_manifest(folder: Path) -> Manifest:
    """Read the manifest of an output folder, which may be of an older layout.

    Raises
    ------
    DataSetError
        If there is none, or it is not one of a release.
    """
    if not (folder / MANIFEST).exists():
        raise no_release(folder, _without_manifest(folder))
    record = json_of(folder / MANIFEST)
    inputs = record.get("inputs") if isinstance(record, dict) else None
    if not isinstance(record, dict) or not isinstance(inputs, dict):
        raise no_release(folder, wording.NO_INPUTS())
    printing, layout = as_mapping(inputs.get("printing")), record.get("layout")
    return Manifest(
        folder=folder,
        layout=layout if isinstance(layout, int) else None,
        catalogue=_or_empty(record.get("catalogue")),
        fingerprint=_or_empty(record.get("fingerprint")),
        revision=_or_empty(printing.get("revision")),
        date=_or_empty(printing.get("date")),
        printed_as=_printed_as(printing),
        versions=_texts(record.get("versions")),
        inputs_sha256=_texts(record.get("inputs_sha256")),
        files_sha256=_texts(record.get("files_sha256")),
        not_printed=_texts(record.get("not_printed")),
        inputs=inputs,
    )


def _without_manifest(folder: Path) -> str:
    """Why a folder is no release, with those within it that are: a build writes into a subfolder of its output."""
    if not folder.is_dir():
        return wording.NO_FOLDER()
    try:
        within = sorted(str(own) for own in folder.iterdir() if (own / MANIFEST).is_file())
    except OSError as error:
        return str(error)
    return (
        wording.IN_SUBFOLDER(len(within), folders=", ".join(within[:_MAX_NAMED])) if within else wording.NO_MANIFEST()
    )


def as_mapping(value: Json) -> dict[str, Json]:
    """A value that is a mapping, else an empty one."""
    return value if isinstance(value, dict) else {}


def as_list(value: Json) -> list[Json]:
    """A value that is a list, else an empty one."""
    return value if isinstance(value, list) else []


def unreadable(path: Path, error: Exception) -> DataSetError:
    """The error, in one line, of a file that cannot be read."""
    if isinstance(error, UnicodeDecodeError):
        return refusal(path, error.object[: error.start].count(b"\n") + 1, "", wording.NOT_UTF_8())
    return DataSetError(wording.CANNOT_BE_READ(file=str(path), reason=" ".join(str(error).split())))


def _or_empty(value: Json) -> str:
    return value if isinstance(value, str) else ""


def _texts(value: Json) -> dict[str, str]:
    return {key: own for key, own in as_mapping(value).items() if isinstance(own, str)}


def _printed_as(entry: Mapping[str, Json]) -> PrintedAs:
    units, load_unit = _or_empty(entry.get("units")), entry.get("load_unit")
    return PrintedAs(
        units=units if units in _UNITS else "",
        load_unit=load_unit if isinstance(load_unit, str) else None,
        notice=_or_empty(entry.get("notice")),
        # One of an older layout is in English, as is what was printed in a language that has been removed.
        language=own if (own := _or_empty(entry.get("language"))) in printed_codes() else ENGLISH,
    )


def _booklet(entry: Json) -> PrintedBooklet:
    own, printed = as_mapping(entry), as_mapping(_at(entry, "printed"))
    printed_as = _printed_as(printed)
    if not printed_as.units:
        raise _MissingKeyError("units")
    is_index = bool(_or_empty(own.get("series"))) and not _or_empty(own.get("family"))
    # A booklet of an older layout has all sections.
    contents = as_mapping(own.get("contents"))
    has_tables = not is_index and TABLES in as_list(contents.get("sections", [TABLES]))
    tables = tuple(
        (_text(part, "family"), _text(part, "group"), _text(part, "application"))
        for part in (_items(_at(entry, "combinations")) if has_tables else [])
    )
    chosen = {
        name: tuple(float(own) for own in as_list(rows) if isinstance(own, (int, float)))
        for name, rows in as_mapping(contents.get("sst_k")).items()
    }
    lists_empty = contents.get("empty_tables") == "listed"
    return PrintedBooklet(
        name=_text(printed, "name"), printed_as=printed_as, tables=tables, sst_k=chosen, lists_empty=lists_empty
    )


def _at(value: Json, *path: str) -> Json:
    for key in path:
        if not isinstance(value, dict) or key not in value:
            raise _MissingKeyError(key)
        value = value[key]
    return value


def _text(value: Json, *path: str) -> str:
    found = _at(value, *path)
    if not isinstance(found, str):
        raise _MissingKeyError(path[-1])
    return found


def _items(value: Json) -> list[Json]:
    if not isinstance(value, list):
        raise _MissingKeyError("list")
    return value
