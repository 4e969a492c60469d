"""A release on disk against the catalogue that it states it was made from: files, inputs, and every printed window.

What is printed is read back from the data set, the database, the workbook, the phone page and, where the library for it is installed,
the pages of the booklets; each figure is compared with the windows as computed anew.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from tablegen.audits.database_checks import database_findings
from tablegen.audits.findings import FileFault, Finding, FindingKind, LimitKind
from tablegen.audits.printed_table import PrintedTable, indices, tables_of
from tablegen.audits.read_back import PrintedFiles
from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.compute import Tables
from tablegen.dataset.outputs import RECORD, OutputRecord
from tablegen.dataset.release import WINDOWS, Manifest, PrintedNames, TableKey, read_manifest, read_windows
from tablegen.dataset.release_files import bytes_of
from tablegen.files import is_regular, read_regular
from tablegen.model.inputs import Catalogue
from tablegen.sweep.identity import versions

# Frames carry twelve figures; what differs by less came out of another order of sums.
_SAME = 1e-9
# Of the data set, what a printed table is made of beside its limits.
_COLUMNS = ("kv_rated_m3h", "max_reason", "min_member", "max_member", "confident_reason")


@dataclass(frozen=True, slots=True)
class CheckedRelease:
    """The manifest of a release of a catalogue, and what was printed."""

    manifest: Manifest
    names: PrintedNames


@dataclass(frozen=True, slots=True)
class ReadBack:
    """How many windows were read back from each file of a release, and what was found in it."""

    windows: Mapping[str, int]
    findings: tuple[Finding, ...]


def release_of(folder: Path, catalogue: Catalogue) -> CheckedRelease:
    """The release in an output folder, which must be one of the catalogue.

    Parameters
    ----------
    folder : Path
    catalogue : Catalogue

    Returns
    -------
    CheckedRelease

    Raises
    ------
    DataSetError
        If the folder contains no release, one of another catalogue, or one whose manifest is of another layout.
    """
    manifest = read_manifest(folder)
    manifest.check_catalogue(catalogue.name)
    return CheckedRelease(manifest, manifest.printed_names())


def check_release(release: CheckedRelease, catalogue: Catalogue, tables: Tables) -> ReadBack:
    """Compare an output folder with its catalogue, whose windows are computed anew.

    Parameters
    ----------
    release : CheckedRelease
    catalogue : Catalogue
    tables : Tables
        As computed anew.

    Returns
    -------
    ReadBack
        How many windows were read back from each file, and every finding, loads [W].

    Raises
    ------
    DataSetError
        If one of its files cannot be read.
    """
    manifest = release.manifest
    computed = {table.key: table for table in tables_of(catalogue, tables.group_windows)}
    counts: dict[str, int] = {}
    of_files = tuple(_file_findings(manifest))
    others = [
        Finding(kind=FindingKind.OTHER_INPUTS, file=name, problem=FileFault(problem))
        for name, problem in manifest.changed_files(catalogue.files).items()
    ]
    as_written = (*others, *of_files, *_version_findings(manifest))
    # From other config files other windows follow, in every file.
    if others and (count := _differing(manifest.folder / WINDOWS, tables)):
        differing = Finding(
            kind=FindingKind.OTHER_INPUTS, file=WINDOWS, problem=FileFault.OTHER_WINDOWS, note=str(count)
        )
        return ReadBack(counts, (differing, *as_written))
    prints = PrintedFiles(
        manifest=manifest,
        names=release.names,
        catalogue=catalogue,
        computed=computed,
        counts=counts,
        damaged=frozenset(own.file for own in of_files),
    )
    findings = (
        *as_written,
        *_data_findings(manifest.folder / WINDOWS, catalogue, computed, counts),
        *database_findings(manifest, counts),
        *prints.findings(tables.group_windows),
    )
    return ReadBack(counts, findings)


def _file_findings(manifest: Manifest) -> Iterator[Finding]:
    """Files that are missing or not what was written: of the data set by its manifest, all others by the record of outputs."""
    folder, record = manifest.folder, OutputRecord.read(manifest.folder)
    written = dict(manifest.files_sha256)
    for made in record.documents.values() if record else ():
        written |= {name: digest for name, digest in made.files.items() if name not in written}
    for name, expected in written.items():
        path = folder / name
        if not is_regular(path):
            yield Finding(kind=FindingKind.ALTERED_FILE, file=name, problem=FileFault.MISSING)
        elif hashlib.sha256(read_regular(path)).hexdigest() != expected:
            yield Finding(kind=FindingKind.ALTERED_FILE, file=name, problem=FileFault.ALTERED)
    if record is None:
        # What else was in the folder is not known.
        problem = FileFault.RECORD_ALTERED if is_regular(folder / RECORD) else FileFault.RECORD_MISSING
        yield Finding(kind=FindingKind.ALTERED_FILE, file=RECORD, problem=problem)


def _version_findings(manifest: Manifest) -> Iterator[Finding]:
    was, now = manifest.versions, versions()
    for name in sorted({*was, *now}):
        if was.get(name) != now.get(name):
            finding = Finding(kind=FindingKind.OTHER_VERSIONS, file=name, problem=FileFault.OTHER_VERSION)
            yield replace(finding, note=f"{was.get(name, '')} / {now.get(name, '')}")


def _differing(path: Path, tables: Tables) -> int:
    """How many windows of the data set are not those computed anew."""
    return len(changed_windows(read_windows(path, bytes_of(path)), tables.group_windows)) if is_regular(path) else 0


def _data_findings(
    path: Path, catalogue: Catalogue, computed: Mapping[TableKey, PrintedTable], counts: dict[str, int]
) -> Iterator[Finding]:
    """Limits of the data set that are not those computed anew, to nine figures."""
    if not is_regular(path):
        return
    own = {table.key: table for table in tables_of(catalogue, read_windows(path, bytes_of(path), _COLUMNS))}
    counts[WINDOWS] = sum(table.min_w.size for table in own.values())
    for key, table in computed.items():
        read = own.get(key)
        if read is None or read.sizes != table.sizes or read.sst_k.size != table.sst_k.size:
            finding = table.finding(FindingKind.MISPRINT)
            yield replace(finding, file=WINDOWS, problem=FileFault.OTHER_TABLE)
            continue
        for size, row in indices(np.full(table.min_w.shape, True)):
            yield from _limit_findings(table, read, size, row)


def _limit_findings(table: PrintedTable, read: PrintedTable, size: int, row: int) -> Iterator[Finding]:
    for limit in LimitKind:
        written, found = (float(own.limit(limit)[size, row]) for own in (read, table))
        if math.isnan(written) and math.isnan(found):
            continue
        if written == found or abs(written / found - 1.0) < _SAME:
            continue
        # A window where none was computed promises too much, one that is missing does not.
        is_more = limit.of(written < found, written > found)
        kind = FindingKind.OVERPROMISE if is_more or math.isnan(found) else FindingKind.MISPRINT
        finding = table.finding(kind, size, row)
        yield replace(finding, limit=limit, file=WINDOWS, from_load_w=written, to_load_w=found)
