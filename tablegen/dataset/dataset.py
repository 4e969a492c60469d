"""A data set: frames and manifest, on disk as CSV and JSON, deterministic to the byte."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pandas as pd

from tablegen.dataset.manifest import LAYOUT
from tablegen.errors import DataSetError
from tablegen.sweep.identity import fingerprint

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
# Twelve figures: far below any tolerance here, and stable against a last digit that differs between machines.
_FLOAT_FORMAT = "%.12g"
_TEXT_COLUMNS = (
    "size",
    "group",
    "family",
    "refrigerant",
    "application",
    "charge",
    "reason",
    "smaller_size",
    "flow_law",
    "suction_response",
    "condition",
    "limit",
    "zone",
    "publication",
    "load_unit",
    "first_size",
    "second_size",
    "coverage",
    "lower_size",
    "upper_size",
    "basis",
    "exercise_kind",
    "compared_application",
    "verdict",
    "change_kind",
    "driver",
    "subject",
    "quantity",
    "condition",
    "source",
    "provenance",
    "published_text",
    "unit",
    "deviation_unit",
    "why_allowed",
    "kind",
    "explanation",
    "block",
    "symbol",
    "formula",
)


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs from an earlier release, known by its revision, date and fingerprint: a row for each cell."""

    revision: str
    date: str
    fingerprint: str
    cells: pd.DataFrame


@dataclass(frozen=True, slots=True)
class DataSet:
    """Frames with SI columns whose names end in their unit, and the manifest that says where they come from."""

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
    manifest: dict[str, Any]

    @property
    def fingerprint(self) -> str:
        """Twelve characters that stand for the data; see `tablegen.sweep.identity.fingerprint`."""
        return str(self.manifest["fingerprint"])

    def with_failed(self, failed: Mapping[str, str]) -> DataSet:
        """The same data with the publications that could not be printed, and why, in the manifest."""
        return replace(self, manifest={**self.manifest, "not_printed": dict(failed)})

    def write(self, folder: Path) -> None:
        """Write the CSV files and `manifest.json` into an existing folder."""
        for name in FRAMES:
            (folder / f"{name}.csv").write_bytes(csv_of(getattr(self, name)))
        text = json.dumps(self.manifest, indent=1, ensure_ascii=False, allow_nan=False)
        (folder / "manifest.json").write_text(text + "\n", encoding="utf-8")


def with_hashes(frames: dict[str, pd.DataFrame], manifest: dict[str, Any]) -> DataSet:
    """A data set with the hashes of its frames put into the manifest.

    The frames are those that reading the files back gives, so that what is printed from memory and what
    is printed from disk are the same figures.
    """
    written = {name: csv_of(frames[name]) for name in FRAMES}
    hashes = {f"{name}.csv": hashlib.sha256(data).hexdigest() for name, data in written.items()}
    record = {**manifest, "fingerprint": fingerprint(manifest["inputs_sha256"]), "files_sha256": hashes}
    return DataSet(**{name: frame_of(data) for name, data in written.items()}, manifest=record)


def read_data_set(folder: Path) -> DataSet:
    """Read a data set written by `DataSet.write`.

    Raises
    ------
    DataSetError
        If a file is missing, of another layout, or not what the manifest says was written.
    """
    try:
        record = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
        written = {name: (folder / f"{name}.csv").read_bytes() for name in FRAMES}
    except (OSError, ValueError) as error:
        raise DataSetError(f"{folder}: no complete data set: {error}") from error
    if record.get("layout") != LAYOUT:
        raise DataSetError(f"{folder}: data-set layout {record.get('layout')}, this version reads {LAYOUT}")
    for name, data in written.items():
        if hashlib.sha256(data).hexdigest() != record["files_sha256"][f"{name}.csv"]:
            raise DataSetError(f"{folder}/{name}.csv: changed since it was written; build the catalogue again")
    return DataSet(**{name: frame_of(data) for name, data in written.items()}, manifest=record)


def csv_of(frame: pd.DataFrame) -> bytes:
    """A frame as it is written: twelve figures, no index."""
    text = frame.to_csv(index=False, float_format=_FLOAT_FORMAT, lineterminator="\n")
    return text.encode("utf-8")


def frame_of(data: bytes) -> pd.DataFrame:
    """A written frame read back, names as text even where they look like numbers."""
    if not data.strip():
        return pd.DataFrame()
    columns = pd.read_csv(io.BytesIO(data), nrows=0).columns
    text = {c: str for c in columns if c in _TEXT_COLUMNS or c.endswith(("_condition", "_reason", "_member"))}
    return pd.read_csv(
        io.BytesIO(data), dtype=text, keep_default_na=False, na_values={c: [""] for c in columns if c not in text}
    )
