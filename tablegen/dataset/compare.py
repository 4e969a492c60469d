"""Two releases of a catalogue cell by cell: what changed, what was added, what is gone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from tablegen.dataset.dataset import Changes, DataSet, frame_of
from tablegen.errors import DataSetError

KEYS = ["family", "group", "application", "size", "sst_k"]
LIMITS = ("min_load_w", "max_load_w")
REASONS = ("min_reason", "max_reason")
WINDOWS = "group_windows.csv"
_NO_RELEASE = "no release to compare with"
# Frames carry twelve figures; what differs by less came out of another order of sums.
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Release:
    """A release as far as a comparison needs it; `record` is its whole manifest."""

    folder: Path
    catalogue: str
    revision: str
    date: str
    fingerprint: str
    group_windows: pd.DataFrame
    record: Mapping[str, Any]


def read_release(folder: Path) -> Release:
    """Read the manifest and the group windows of an output folder, which may be of an older layout.

    Raises
    ------
    DataSetError
        If the folder holds no release, or its windows were changed since they were written.
    """
    record = read_manifest(folder)
    try:
        written = (folder / WINDOWS).read_bytes()
        printing = record["inputs"]["printing"]
        catalogue, fingerprint = str(record["catalogue"]), str(record["fingerprint"])
        revision, date = str(printing["revision"]), str(printing["date"])
        expected = record["files_sha256"][WINDOWS]
    except (OSError, KeyError, TypeError) as error:
        raise DataSetError(f"{folder}: {_NO_RELEASE}: {error}") from error
    if hashlib.sha256(written).hexdigest() != expected:
        raise DataSetError(f"{folder / WINDOWS}: changed since it was written; build that release again")
    frame = frame_of(written)
    lacking = [c for c in (*KEYS, *LIMITS, *REASONS) if c not in frame]
    if lacking:
        raise DataSetError(f"{folder / WINDOWS}: {_NO_RELEASE}: it has no column {lacking[0]}")
    return Release(folder, catalogue, revision, date, fingerprint, frame, record)


def read_manifest(folder: Path) -> dict[str, Any]:
    """Read the manifest of an output folder, which may be of an older layout.

    Raises
    ------
    DataSetError
        If there is none, or it is none of ours.
    """
    try:
        record = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise DataSetError(f"{folder}: {_NO_RELEASE}: {error}") from error
    if not isinstance(record, dict) or not isinstance(record.get("inputs"), dict):
        raise DataSetError(f"{folder}: {_NO_RELEASE}: its manifest.json holds no inputs")
    return record


def changes_since(release: Release, data: DataSet) -> Changes:
    """What the group windows of a data set say otherwise than those of an earlier release.

    Raises
    ------
    DataSetError
        If the release is one of another catalogue, or its windows differ although it has the same revision.
    """
    own = data.catalogue.name
    if release.catalogue != own:
        raise DataSetError(f"{release.folder}: a release of the catalogue {release.catalogue!r}, not of {own!r}")
    cells = changed_cells(release.group_windows, data.group_windows)
    if release.revision == data.catalogue.printing.revision and len(cells):
        raise DataSetError(
            f"{release.folder}: revision {release.revision} there too, but {len(cells)} windows differ; two releases "
            "with one revision cannot be told apart: give this one another 'revision' and a line in 'revisions' in "
            "catalogue.yaml"
        )
    return Changes(release.revision, release.date, release.fingerprint, cells)


def changed_cells(old: pd.DataFrame, new: pd.DataFrame) -> pd.DataFrame:
    """One row per cell that is not the same in both.

    Parameters
    ----------
    old, new : DataFrame
        Group windows: family, group, application, size, sst_k, limits [W] and reasons.

    Returns
    -------
    DataFrame
        The keys; `change_kind` ("changed", "added", "gone"); limits and reasons as they are and, with the prefix
        `earlier_`, as they were (NaN or "" where there was no cell, NaN where a window is empty); `min_load_change`
        and `max_load_change` as shares of the earlier limit, NaN where either is missing.
    """
    sides = [_keyed(frame) for frame in (old, new)]
    both = sides[1].join(sides[0].add_prefix("earlier_"), how="outer")
    was, now = both.index.isin(sides[0].index), both.index.isin(sides[1].index)
    changes = {c: both[c] / both[f"earlier_{c}"] - 1.0 for c in LIMITS}
    differs = np.zeros(len(both), dtype=bool)
    for limit, change in changes.items():
        opened = both[limit].isna() != both[f"earlier_{limit}"].isna()
        differs |= opened.to_numpy() | (change.abs() > SAME).to_numpy()
    kind = np.where(~was, "added", np.where(~now, "gone", "changed"))
    found = both.assign(change_kind=kind, min_load_change=changes["min_load_w"], max_load_change=changes["max_load_w"])[
        differs | ~was | ~now
    ]
    text = [f"{side}{reason}" for side in ("", "earlier_") for reason in REASONS]
    found[text] = found[text].fillna("")
    # In the order of the new release, what is gone after it.
    place = {key: i for i, key in enumerate([*sides[1].index, *sides[0].index[~sides[0].index.isin(sides[1].index)]])}
    found = found.iloc[np.argsort([place[key] for key in found.index], kind="stable")]
    return found.reset_index()[
        [
            *KEYS,
            "change_kind",
            *(f"{s}{c}" for c in (*LIMITS, *REASONS) for s in ("earlier_", "")),
            "min_load_change",
            "max_load_change",
        ]
    ]


def _keyed(frame: pd.DataFrame) -> pd.DataFrame:
    # A suction temperature that came through another unit differs in its last figures.
    keyed = frame.assign(sst_k=frame["sst_k"].round(6), size=frame["size"].astype(str))
    return keyed.set_index(KEYS)[[*LIMITS, *REASONS]]
