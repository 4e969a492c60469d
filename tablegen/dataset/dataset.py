"""A data set: frames, inputs and summary, on disk as CSV and JSON, deterministic to the byte."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pandas as pd

from tablegen.dataset.csv_files import CsvFile, csv_of, written_and_read
from tablegen.dataset.manifest import manifest
from tablegen.dataset.summary import Summary
from tablegen.model.company import ChangeReason
from tablegen.model.inputs import Catalogue
from tablegen.wording.columns import COLUMNS

FRAMES = (
    "windows",
    "group_windows",
    "states",
    "balance",
    "example",
    "superheat",
    "charges",
    "sizes",
    "charts",
    "selection_maps",
    "conversion",
    "exercises",
    "exercise_tables",
    "verification",
    "saturation",
    "drivers",
    "assumptions",
    "minimum_openings",
    "flow_laws",
    "calculated_limits",
    "pressure_enthalpy",
    "limit_forces",
)
# What each column of the frames contains, for whoever reads the files elsewhere.
DICTIONARY = "columns.csv"
MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What differs from an earlier release, known by its revision, date and fingerprint: a row for each cell.

    `reasons` are those that the record of revisions gives, by family, group and application of a table; `gone` are tables
    that the earlier release printed and no booklet prints now, each by the titles of these three.
    """

    revision: str
    date: str
    fingerprint: str
    cells: pd.DataFrame
    reasons: Mapping[tuple[str, str, str], tuple[ChangeReason, ...]] = field(default_factory=dict)
    gone: tuple[tuple[str, str, str], ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether no window differs and no table is gone."""
        return self.cells.empty and not self.gone

    def identity(self) -> bytes:
        """All that a document says of it."""
        named = [self.revision, self.date, self.fingerprint]
        reasons = [[*key, [[own.file, own.key] for own in given]] for key, given in sorted(self.reasons.items())]
        return csv_of(self.cells) + json.dumps([named, reasons, self.gone]).encode()


@dataclass(frozen=True, slots=True, kw_only=True)
class DataSet:
    """Frames with SI columns whose names end in their unit, the catalogue they come from, and a summary of them.

    `files` are the written frames, packed, by the names of their files.
    """

    windows: pd.DataFrame
    group_windows: pd.DataFrame
    states: pd.DataFrame
    balance: pd.DataFrame
    example: pd.DataFrame
    superheat: pd.DataFrame
    charges: pd.DataFrame
    sizes: pd.DataFrame
    charts: pd.DataFrame
    selection_maps: pd.DataFrame
    exercises: pd.DataFrame
    exercise_tables: pd.DataFrame
    conversion: pd.DataFrame
    verification: pd.DataFrame
    saturation: pd.DataFrame
    drivers: pd.DataFrame
    assumptions: pd.DataFrame
    minimum_openings: pd.DataFrame
    flow_laws: pd.DataFrame
    calculated_limits: pd.DataFrame
    pressure_enthalpy: pd.DataFrame
    limit_forces: pd.DataFrame
    catalogue: Catalogue
    summary: Summary
    files: Mapping[str, CsvFile]

    @classmethod
    def of(cls, catalogue: Catalogue, summary: Summary, frames: dict[str, pd.DataFrame]) -> DataSet:
        """A data set of computed frames, by name, which are used up.

        Its frames are those that reading the written files gives, so that what is printed from memory and what would
        be printed from disk are the same figures.
        """
        files, read = {}, {}
        for name in FRAMES:
            files[f"{name}.csv"], read[name] = written_and_read(frames.pop(name))
        return cls(**read, catalogue=catalogue, summary=summary, files=files)

    @property
    def files_sha256(self) -> dict[str, str]:
        """The hash of each file of a frame."""
        return {name: file.sha256 for name, file in self.files.items()}

    @property
    def fingerprint(self) -> str:
        """Twelve characters that stand for the data."""
        return self.summary.fingerprint

    def columns(self) -> pd.DataFrame:
        """A row for each file and column: unit and meaning."""
        described = [
            (f"{name}.csv", column, COLUMNS[column].unit or "", COLUMNS[column].meaning())
            for name in FRAMES
            for column in getattr(self, name).columns
        ]
        return pd.DataFrame(described, columns=["file", "column", "unit", "meaning"])

    def write(self, folder: Path, not_printed: Mapping[str, str] | None = None) -> None:
        """Write the CSV files, `columns.csv` that explains their columns, and `manifest.json` into an existing folder.

        `not_printed` are publications that could not be printed, and why.
        """
        for name, file in self.files.items():
            file.write(folder / name)
        (folder / DICTIONARY).write_bytes(csv_of(self.columns()))
        (folder / MANIFEST).write_bytes(self.manifest(not_printed))

    def manifest(self, not_printed: Mapping[str, str] | None = None) -> bytes:
        """What is written as `manifest.json`; `not_printed` as for `write`."""
        record = manifest(self.catalogue, self.summary, self.files_sha256, not_printed)
        text = json.dumps(record, indent=1, ensure_ascii=False, allow_nan=False)
        return f"{text}\n".encode()
