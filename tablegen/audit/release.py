"""A release on disk against the catalogue that it says it was made from: files, inputs, and every printed window.

What is printed is read back from the data set, the workbook, the look-up page and, where the library for it is
installed, the pages of the booklets; each figure is held against the windows as computed anew.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.lookup_file import lookup_cells
from tablegen.audit.parts import LIMITS, PartTable, each, tables_of
from tablegen.audit.printed_files import booklet_cells, workbook_cells
from tablegen.dataset.compute import Tables
from tablegen.dataset.dataset import frame_of
from tablegen.dataset.release import WINDOWS, read_manifest
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.sweep.identity import versions

# Frames carry twelve figures; what differs by less came out of another order of sums.
_SAME = 1e-9
_TITLED = (("families", "family"), ("groups", "group"), ("applications", "application"))


@dataclass(frozen=True, slots=True)
class ReadBack:
    """How many windows were read back from each file of a release, and what was found in it."""

    windows: Mapping[str, int]
    cells: tuple[Cell, ...]


def release_record(folder: Path, catalogue: Catalogue) -> dict[str, Any]:
    """The manifest of an output folder that can be held against a catalogue.

    Raises
    ------
    DataSetError
        If the folder holds no release, one of another catalogue, or one whose manifest is of another layout.
    """
    manifest = read_manifest(folder)
    hashes = ("versions", "inputs_sha256", "files_sha256", "not_printed")
    record: dict[str, Any] = {"inputs": dict(manifest.inputs), **{name: getattr(manifest, name) for name in hashes}}
    own = manifest.catalogue
    if own != catalogue.name:
        raise DataSetError(f"{folder}: a release of the catalogue {own!r}, not of {catalogue.name!r}")
    inputs = record["inputs"]
    try:
        _ = [inputs["printing"][key] for key in ("units", "load_unit")]
        for booklet in inputs["booklets"]:
            _ = [booklet["printed"][key] for key in ("name", "units", "load_unit")]
            for part in booklet["combinations"]:
                _ = [inputs[kind][part[one]]["title"] for kind, one in _TITLED]
    except (KeyError, TypeError) as error:
        raise DataSetError(f"{folder}: its manifest.json is of another layout: {error} is missing") from error
    return record


def audit_release(folder: Path, record: Mapping[str, Any], catalogue: Catalogue, tables: Tables) -> ReadBack:
    """Hold an output folder with its manifest against its catalogue, whose windows are computed anew.

    Raises
    ------
    DataSetError
        If one of its files cannot be read.
    """
    computed = {_key(table): table for table in tables_of(catalogue, tables.group_windows)}
    counts: dict[str, int] = {}
    cells = (
        *_files(folder, record),
        *_inputs(record, catalogue),
        *_versions(record),
        *_data(folder, catalogue, computed, counts),
        *workbook_cells(folder, record, tables.group_windows, computed, counts),
        *booklet_cells(folder, record, catalogue, computed, counts),
        *lookup_cells(folder, record, catalogue, computed, counts),
    )
    return ReadBack(counts, cells)


def _files(folder: Path, record: Mapping[str, Any]) -> Iterator[Cell]:
    """Files of the data set that are missing or not what the manifest says was written."""
    for name, expected in record.get("files_sha256", {}).items():
        path = folder / name
        if not path.is_file():
            yield Cell(Kind.ALTERED_FILE, detail=f"{name} is missing")
        elif hashlib.sha256(path.read_bytes()).hexdigest() != expected:
            yield Cell(Kind.ALTERED_FILE, detail=f"{name} was changed since it was written")


def _inputs(record: Mapping[str, Any], catalogue: Catalogue) -> Iterator[Cell]:
    was, now = record.get("inputs_sha256", {}), catalogue.files
    for name in sorted({*was, *now}):
        if was.get(name) != now.get(name):
            how = "is new" if name not in was else "is gone" if name not in now else "differs"
            yield Cell(Kind.OTHER_INPUTS, detail=f"{name} {how}")


def _versions(record: Mapping[str, Any]) -> Iterator[Cell]:
    was, now = record.get("versions", {}), versions()
    for name in sorted({*was, *now}):
        if was.get(name) != now.get(name):
            yield Cell(Kind.OTHER_VERSIONS, detail=f"{name}: made with {was.get(name)}, here {now.get(name)}")


def _data(
    folder: Path, catalogue: Catalogue, computed: Mapping[tuple[str, str, str], PartTable], counts: dict[str, int]
) -> Iterator[Cell]:
    """Limits of the data set that are not those computed anew, to nine figures."""
    path = folder / WINDOWS
    if not path.is_file():
        return
    try:
        own = {_key(table): table for table in tables_of(catalogue, frame_of(path.read_bytes()))}
    except (ValueError, KeyError) as error:
        raise DataSetError(f"{path}: cannot be read: {error}") from error
    counts[WINDOWS] = sum(table.min_w.size for table in own.values())
    for key, table in computed.items():
        read = own.get(key)
        if read is None or read.sizes != table.sizes or read.sst_k.size != table.sst_k.size:
            yield table.cell(Kind.MISPRINT, detail=f"{WINDOWS}: not the table's rows and sizes")
            continue
        for size, row in each(np.full(table.min_w.shape, True)):
            yield from _limits(table, read, size, row)


def _limits(table: PartTable, read: PartTable, size: int, row: int) -> Iterator[Cell]:
    for limit in LIMITS:
        written, found = float(read.limit(limit)[size, row]), float(table.limit(limit)[size, row])
        if written == found or abs(written / found - 1.0) < _SAME or (written != written and found != found):
            continue
        # A window where none was computed promises too much, one that is missing does not.
        is_more = found != found or (written < found if limit == "minimum" else written > found)
        yield table.cell(
            Kind.OVERPROMISE if is_more else Kind.MISPRINT,
            size,
            row,
            limit=limit,
            detail=WINDOWS,
            from_load_w=written,
            to_load_w=found,
        )


def _key(table: PartTable) -> tuple[str, str, str]:
    return table.family, table.group, table.application
