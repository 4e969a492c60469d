"""Two releases beside each other: cells that differ, and the inputs that differ and bear on them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.dataset.compare import Release, changed_cells
from tablegen.dataset.input_changes import Bearing, InputChange, WindowKey, changed_inputs

PART = ["family", "group", "application"]


@dataclass(frozen=True, slots=True)
class PartSummary:
    """One printed table: windows in the newer release, and how many changed, came and went.

    `min_moved` and `max_moved` are the lowest and the highest shift of a limit [1] over the cells that have
    both, NaN without any.
    """

    family: str
    group: str
    application: str
    windows: int
    changed: int
    added: int
    gone: int
    min_moved: tuple[float, float]
    max_moved: tuple[float, float]
    inputs: tuple[InputChange, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """What differs between an earlier and a newer release.

    `cells` has a row for each window that differs, as `compare.changed_cells` gives it, and `inputs`, the places of
    the inputs that differ and bear on it. `files` tells of config files whose hash is another.
    """

    old: Release
    new: Release
    cells: pd.DataFrame
    inputs: tuple[InputChange, ...]
    parts: tuple[PartSummary, ...]
    files: Mapping[str, str]

    @property
    def unexplained(self) -> int:
        """Cells that differ although no recorded input that bears on them does."""
        return int((self.cells["inputs"] == "").sum())


def compare(old: Release, new: Release) -> Comparison:
    """Compare two releases; their catalogues may have other names, windows are known by family, group and so on."""
    changes = changed_inputs(old.record, new.record)
    bearing = Bearing(old.record, new.record, changes)
    cells = changed_cells(old.group_windows, new.group_windows)
    names = [map(str, cells[column]) for column in (*PART, "size", "change_kind")]
    keys = [
        WindowKey(family, group, application, size, kind != "changed")
        for family, group, application, size, kind in zip(*names, strict=True)
    ]
    bearing_on = [bearing.on(key) for key in keys]
    cells = cells.assign(inputs=["; ".join(c.text for c in found) for found in bearing_on])
    places = {change.path: i for i, change in enumerate(changes)}
    by_part: dict[tuple[str, ...], set[int]] = {}
    for key, found in zip(keys, bearing_on, strict=True):
        by_part.setdefault((key.family, key.group, key.application), set()).update(places[c.path] for c in found)
    parts = [
        _summary(part, cells, new.group_windows, tuple(changes[i] for i in sorted(own)))
        for part, own in by_part.items()
    ]
    return Comparison(old, new, cells, tuple(changes), tuple(parts), _files(old, new))


def _summary(
    part: tuple[str, ...], cells: pd.DataFrame, windows: pd.DataFrame, inputs: tuple[InputChange, ...]
) -> PartSummary:
    own, total = (frame[(frame[PART] == list(part)).all(axis=1)] for frame in (cells, windows))
    changed, added, gone = (int((own["change_kind"] == kind).sum()) for kind in ("changed", "added", "gone"))
    family, group, application = part
    return PartSummary(
        family,
        group,
        application,
        len(total),
        changed,
        added,
        gone,
        _ends(own["min_load_change"]),
        _ends(own["max_load_change"]),
        inputs,
    )


def _ends(shifts: pd.Series) -> tuple[float, float]:
    known = shifts.dropna().to_numpy(dtype=np.float64)
    return (float(known.min()), float(known.max())) if known.size else (np.nan, np.nan)


def _files(old: Release, new: Release) -> dict[str, str]:
    """Config files whose hash is another, by what became of them."""
    was, now = (release.record.get("inputs_sha256", {}) for release in (old, new))
    return {
        name: "new" if name not in was else "gone" if name not in now else "differs"
        for name in sorted({*was, *now})
        if was.get(name) != now.get(name)
    }
