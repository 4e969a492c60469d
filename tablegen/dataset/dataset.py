"""A data set: frames, inputs and summary, on disk as CSV and JSON, deterministic to the byte."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.dataset.manifest import manifest
from tablegen.dataset.summary import Summary
from tablegen.model.inputs import Catalogue
from tablegen.sweep.frames import FLOAT_FORMAT
from tablegen.wording.columns import COLUMNS, is_text

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
    "verification",
    "saturation",
    "drivers",
    "calculated_limits",
)
# What each column of the frames contains, for whoever reads the files elsewhere.
DICTIONARY = "columns.csv"


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs from an earlier release, known by its revision, date and fingerprint: a row for each cell."""

    revision: str
    date: str
    fingerprint: str
    cells: pd.DataFrame


@dataclass(frozen=True, slots=True, kw_only=True)
class DataSet:
    """Frames with SI columns whose names end in their unit, the catalogue they come from, and a summary of them.

    `files` are the written frames, by the names of their files.
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
    conversion: pd.DataFrame
    verification: pd.DataFrame
    saturation: pd.DataFrame
    drivers: pd.DataFrame
    calculated_limits: pd.DataFrame
    catalogue: Catalogue
    summary: Summary
    files: Mapping[str, bytes]

    @classmethod
    def of(cls, catalogue: Catalogue, summary: Summary, frames: Mapping[str, pd.DataFrame]) -> DataSet:
        """A data set of computed frames, by name.

        Its frames are those that reading the written files gives, so that what is printed from memory and what would
        be printed from disk are the same figures.
        """
        files = {f"{name}.csv": csv_of(frames[name]) for name in FRAMES}
        read = {name: frame_of(files[f"{name}.csv"]) for name in FRAMES}
        return cls(**read, catalogue=catalogue, summary=summary, files=files)

    @property
    def files_sha256(self) -> dict[str, str]:
        """The hash of each file of a frame."""
        return {name: hashlib.sha256(data).hexdigest() for name, data in self.files.items()}

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
        for name, data in self.files.items():
            (folder / name).write_bytes(data)
        (folder / DICTIONARY).write_bytes(csv_of(self.columns()))
        record = manifest(self.catalogue, self.summary, self.files_sha256, not_printed)
        text = json.dumps(record, indent=1, ensure_ascii=False, allow_nan=False)
        (folder / "manifest.json").write_text(text + "\n", encoding="utf-8")


def csv_of(frame: pd.DataFrame) -> bytes:
    """A frame as it is written: twelve figures, no index."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(frame.columns)
    writer.writerows(zip(*(_written(frame[column].to_numpy()) for column in frame.columns), strict=True))
    return stream.getvalue().encode("utf-8")


def _written(values: NDArray[Any]) -> list[object]:
    """The values of a column as a CSV writer takes them; of equal floats one is formatted for all."""
    if values.dtype.kind != "f":
        return ["" if value is None or value != value else value for value in values.tolist()]
    # By their bits: a zero with a sign is written with it.
    codes, bits = pd.factorize(values.view(np.int64))
    texts = ["" if value != value else FLOAT_FORMAT % value for value in bits.view(np.float64).tolist()]
    return list(np.array(texts, dtype=object)[codes])


def frame_of(data: bytes) -> pd.DataFrame:
    """A written frame read back, names as text even where they look like numbers."""
    if not data.strip():
        return pd.DataFrame()
    columns = pd.read_csv(io.BytesIO(data), nrows=0).columns
    text = {c: str for c in columns if is_text(c)}
    return pd.read_csv(
        io.BytesIO(data), dtype=text, keep_default_na=False, na_values={c: [""] for c in columns if c not in text}
    )
