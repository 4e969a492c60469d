"""Two releases beside each other: windows that differ, and the inputs that differ and affect them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.dataset.input_changes import InputChange, InputEffects, WindowKey, changed_inputs
from tablegen.dataset.release import KEYS, REASONS, Manifest, Release, TableKey
from tablegen.dataset.release_files import LIMITS
from tablegen.errors import DataSetError
from tablegen.model.inputs import Catalogue
from tablegen.wording import compare as wording

# Frames carry twelve figures; what differs by less came out of another order of sums.
_SAME = 1e-9
_TABLE = ["family", "group", "application"]
CHANGE_KINDS = ("changed", "added", "removed")


@dataclass(frozen=True, slots=True, kw_only=True)
class TableChanges:
    """One printed table: windows in the newer release, and how many changed, were added and were removed.

    `min_change` and `max_change` are the lowest and the highest change of a limit [1] over the windows that have both,
    NaN without any; `inputs` differ and affect it.
    """

    key: TableKey
    windows: int
    changed: int
    added: int
    removed: int
    min_change: tuple[float, float]
    max_change: tuple[float, float]
    inputs: tuple[InputChange, ...]

    @property
    def is_new(self) -> bool:
        """Whether the earlier release had no such table."""
        return 0 < self.windows == self.added

    @property
    def is_gone(self) -> bool:
        """Whether the newer release has no such table."""
        return not self.windows


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What differs between an earlier and a newer release.

    Attributes
    ----------
    old, new : Release
    windows : DataFrame
        A row for each window that differs, as `changed_windows` gives it.
    window_inputs : tuple
        For each row the inputs that differ and affect it.
    inputs : tuple of InputChange
    tables : tuple of TableChanges
        Those with a window that differs.
    files : mapping of str to str
        Config files whose hash is another: "new", "removed" or "differs".
    """

    old: Release
    new: Release
    windows: pd.DataFrame
    window_inputs: tuple[tuple[InputChange, ...], ...]
    inputs: tuple[InputChange, ...]
    tables: tuple[TableChanges, ...]
    files: Mapping[str, str]

    @property
    def unexplained(self) -> int:
        """Windows that differ although no recorded input that affects them does."""
        return sum(not inputs for inputs in self.window_inputs)

    @property
    def affecting(self) -> tuple[InputChange, ...]:
        """The inputs that affect any window that differs, in the manifest's order."""
        paths = {change.path for inputs in self.window_inputs for change in inputs}
        return tuple(change for change in self.inputs if change.path in paths)


def compare(old: Release, new: Release) -> Comparison:
    """Compare two releases.

    Parameters
    ----------
    old, new : Release
        Their catalogues may have other names: windows are known by family, group, application, size and SST.

    Returns
    -------
    Comparison
        Windows that differ, limits [W], with the inputs that differ and affect them.
    """
    changes = changed_inputs(old.manifest, new.manifest)
    effects = InputEffects(old.manifest, new.manifest, changes)
    windows = changed_windows(old.group_windows, new.group_windows)
    names = [map(str, windows[column]) for column in (*_TABLE, "size", "change_kind")]
    keys = [
        WindowKey(family=family, group=group, application=application, size=size, is_in_one_release=kind != "changed")
        for family, group, application, size, kind in zip(*names, strict=True)
    ]
    inputs = tuple(effects.on(key) for key in keys)
    by_table: dict[TableKey, set[tuple[str, ...]]] = {}
    for key, own in zip(keys, inputs, strict=True):
        by_table.setdefault((key.family, key.group, key.application), set()).update(change.path for change in own)
    return Comparison(
        old=old,
        new=new,
        windows=windows,
        window_inputs=inputs,
        inputs=tuple(changes),
        tables=tuple(
            table_counts(table, windows, new.group_windows, [change for change in changes if change.path in paths])
            for table, paths in by_table.items()
        ),
        files=old.manifest.changed_files(new.manifest.inputs_sha256),
    )


def table_counts(
    table: TableKey, windows: pd.DataFrame, every: pd.DataFrame, inputs: Sequence[InputChange] = ()
) -> TableChanges:
    """One table of the `windows` that differ, as `changed_windows` gives them, and of `every` window of a release."""
    own, total = (frame[(frame[_TABLE] == list(table)).all(axis=1)] for frame in (windows, every))
    changed, added, removed = (int((own["change_kind"] == kind).sum()) for kind in CHANGE_KINDS)
    return TableChanges(
        key=table,
        windows=len(total),
        changed=changed,
        added=added,
        removed=removed,
        min_change=ends(own["min_load_change"]),
        max_change=ends(own["max_load_change"]),
        inputs=tuple(inputs),
    )


def ends(changes: pd.Series) -> tuple[float, float]:
    """The lowest and the highest value that is not NaN; NaN without any."""
    known = changes.dropna().to_numpy(dtype=np.float64)
    return (float(known.min()), float(known.max())) if known.size else (np.nan, np.nan)


def change_weight(kind: str, moves: Sequence[float], *, is_open: bool) -> float:
    """How much a window changed: one that is closed or gone most, then by how far it moved, opened and added ones least.

    Parameters
    ----------
    kind : "changed", "added" or "removed"
    moves : sequence of float [1]
        Of its limits, NaN where there is none.
    is_open : bool
        Whether there is a window now.
    """
    if kind == "added":
        return -2.0
    if not is_open:
        return np.inf
    # Equal changes differ in their last figures.
    return -1.0 if np.isnan(moves).any() else round(max(map(abs, moves)), 6)


def changes_since(release: Release, data: DataSet) -> Changes:
    """What the group windows of a data set have otherwise than those of an earlier release.

    Parameters
    ----------
    release : Release
    data : DataSet

    Returns
    -------
    Changes
        Windows that differ, as `changed_windows` gives them.

    Raises
    ------
    DataSetError
        If the release is one of another catalogue, or its windows differ although it has the same revision.
    """
    manifest, own = release.manifest, data.catalogue
    manifest.check_catalogue(own.name)
    windows = changed_windows(release.group_windows, data.group_windows)
    if manifest.revision == own.printing.revision and len(windows):
        text = wording.SAME_REVISION(len(windows), folder=str(manifest.folder), revision=manifest.revision)
        raise DataSetError(text)
    return Changes(
        revision=manifest.revision,
        date=manifest.date,
        fingerprint=manifest.fingerprint,
        cells=windows,
        gone=_gone(manifest, own),
    )


def _gone(manifest: Manifest, catalogue: Catalogue) -> tuple[tuple[str, str, str], ...]:
    """Tables that a release printed and that no booklet of a catalogue prints, by the titles that they had there."""
    try:
        printed = manifest.printed_names()
    except DataSetError:
        # Of an older layout, which does not say it.
        return ()
    now = {(c.family, c.group, c.application) for booklet in catalogue.booklets for c in booklet.combinations}
    was = dict.fromkeys(key for booklet in printed.booklets for key in booklet.tables)
    return tuple(printed.tables[key] for key in was if key not in now)


def table_changes(release: Release, catalogue: str, table: TableKey, windows: pd.DataFrame) -> pd.DataFrame | None:
    """The windows of one table that are not those of a release, as `changed_windows`; None if that has no such table.

    Raises
    ------
    DataSetError
        If the release is one of another catalogue.
    """
    release.manifest.check_catalogue(catalogue)
    old = release.group_windows
    old = old[(old[_TABLE] == list(table)).all(axis=1)]
    return None if old.empty else changed_windows(old, windows)


def changed_windows(old: pd.DataFrame, new: pd.DataFrame) -> pd.DataFrame:
    """One row per window that is not the same in both.

    Parameters
    ----------
    old, new : DataFrame
        Group windows: family, group, application, size, sst_k [K], limits [W] and reasons.

    Returns
    -------
    DataFrame
        The keys; `change_kind` ("changed", "added", "removed"); limits [W] and reasons as they are and, with the prefix
        `earlier_`, as they were (NaN or "" where there was no window, NaN where it is empty); `min_load_change` and
        `max_load_change` [1] as shares of the earlier limit, NaN where either is missing.
    """
    sides = [_keyed(frame) for frame in (old, new)]
    both = sides[1].join(sides[0].add_prefix("earlier_"), how="outer")
    was, now = both.index.isin(sides[0].index), both.index.isin(sides[1].index)
    changes = {c: both[c] / both[f"earlier_{c}"] - 1.0 for c in LIMITS}
    differs = np.zeros(len(both), dtype=bool)
    for limit, change in changes.items():
        opened = both[limit].isna() != both[f"earlier_{limit}"].isna()
        differs |= opened.to_numpy() | (change.abs() > _SAME).to_numpy()
    kind = np.where(~was, "added", np.where(~now, "removed", "changed"))
    found = both.assign(change_kind=kind, min_load_change=changes["min_load_w"], max_load_change=changes["max_load_w"])
    found = found[differs | ~was | ~now]
    texts = [f"{side}{reason}" for side in ("", "earlier_") for reason in REASONS]
    found[texts] = found[texts].fillna("")
    # In the order of the new release, what was removed after it.
    order = [*sides[1].index, *sides[0].index[~sides[0].index.isin(sides[1].index)]]
    position = {key: i for i, key in enumerate(order)}
    found = found.iloc[np.argsort([position[key] for key in found.index], kind="stable")]
    sided = [f"{side}{column}" for column in (*LIMITS, *REASONS) for side in ("earlier_", "")]
    return found.reset_index()[[*KEYS, "change_kind", *sided, "min_load_change", "max_load_change"]]


def _keyed(frame: pd.DataFrame) -> pd.DataFrame:
    # Of the computed one text is categorical, of the one that was read it is not.
    text = dict.fromkeys((*KEYS[:-1], *REASONS), "str")
    # A suction temperature that came through another unit differs in its last figures.
    keyed = frame[[*KEYS, *LIMITS, *REASONS]].astype(text).assign(sst_k=frame["sst_k"].round(6))
    return keyed.set_index(KEYS)
