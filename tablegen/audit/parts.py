"""A printed table as arrays: sizes down, suction temperatures across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.audit.findings import Cell, Kind
from tablegen.model.inputs import Catalogue
from tablegen.physics.arrays import Bools, Floats, Names

LIMITS = {"minimum": "min_load_w", "maximum": "max_load_w"}
_TEXTS = ("min_reason", "max_reason", "min_member", "max_member", "confident_reason")
# Limits that differ by less are the same: states come from property tables.
SAME = 1e-6


@dataclass(frozen=True, slots=True)
class PartTable:
    """One printed combination: loads [W] and reasons of `sizes` (in order of Kv) by `sst_k` [K], coldest first.

    `confident_reason` says why there is no window at confidence, as in the frame of group windows.
    """

    family: str
    group: str
    application: str
    members: tuple[str, ...]
    sizes: tuple[str, ...]
    kv_rated_m3h: Floats
    sst_k: Floats
    min_w: Floats
    max_w: Floats
    min_reason: Names
    max_reason: Names
    min_member: Names
    max_member: Names
    confident_reason: Names

    @property
    def is_open(self) -> Bools:
        """Where there is a window."""
        return np.isfinite(self.min_w) & np.isfinite(self.max_w)

    def limit(self, name: str) -> Floats:
        """One limit [W] by its name."""
        return self.min_w if name == "minimum" else self.max_w

    def cell(self, kind: Kind, size: int | None = None, row: int | None = None, **more: object) -> Cell:
        """A finding in this table."""
        fields: dict[str, object] = {"family": self.family, "group": self.group, "application": self.application}
        if size is not None:
            fields["size"] = self.sizes[size]
        if row is not None:
            fields["sst_k"] = float(self.sst_k[row])
        return Cell(kind, **(fields | more))  # type: ignore[arg-type]


def tables_of(catalogue: Catalogue, grouped: pd.DataFrame) -> list[PartTable]:
    """Every printed combination of a frame of group windows."""
    by = dict(list(grouped.groupby(["family", "group", "application"], sort=False)))
    keys = [(c.family, c.group, c.application) for c in catalogue.combinations]
    return [_table(key, catalogue.groups[key[1]].members, by[key]) for key in keys if key in by]


def _table(key: tuple[str, str, str], members: tuple[str, ...], rows: pd.DataFrame) -> PartTable:
    sizes = rows.drop_duplicates("size").sort_values("kv_rated_m3h", kind="stable")
    names = tuple(map(str, sizes["size"]))
    sst = np.unique(rows["sst_k"].to_numpy())
    place = {name: i for i, name in enumerate(names)}
    at = rows["size"].astype(str).map(place).to_numpy(), np.searchsorted(sst, rows["sst_k"].to_numpy())

    def spread(column: str, empty: object) -> Names:
        made = np.full((len(names), sst.size), empty, dtype=object if isinstance(empty, str) else np.float64)
        made[at] = rows[column].to_numpy()
        return made

    loads = [spread(column, np.nan) for column in LIMITS.values()]
    texts = [spread(column, "") for column in _TEXTS]
    return PartTable(*key, members, names, sizes["kv_rated_m3h"].to_numpy(), sst, *loads, *texts)


@dataclass(frozen=True, slots=True)
class Unit:
    """Limits along the suction grid per m3/h of rated Kv [W], NaN with a reason where there is no window."""

    min_w: Floats
    max_w: Floats
    why: Names

    def limit(self, name: str) -> Floats:
        """One limit [W] by its name."""
        return self.min_w if name == "minimum" else self.max_w


@dataclass(frozen=True, slots=True)
class Common:
    """What several refrigerants have in common, and the place of the one that binds each limit."""

    min_w: Floats
    max_w: Floats
    min_by: Names
    max_by: Names

    @classmethod
    def of(cls, members: Sequence[Unit]) -> Common:
        """The common part; NaN where a member has no window. Limits that cross are left as they are."""
        minimum, maximum = (np.stack([m.limit(name) for m in members]) for name in LIMITS)
        is_empty = np.isnan(minimum) | np.isnan(maximum)
        low = np.where(is_empty, np.inf, minimum).argmax(axis=0)
        high = np.where(is_empty, -np.inf, maximum).argmin(axis=0)
        rows = np.arange(minimum.shape[1])
        return cls(minimum[low, rows], maximum[high, rows], low, high)

    def limit(self, name: str) -> Floats:
        """One limit [W] by its name."""
        return self.min_w if name == "minimum" else self.max_w

    def by(self, name: str) -> Names:
        """The place of the member that binds a limit."""
        return self.min_by if name == "minimum" else self.max_by


def tighter(name: str, base: Floats, other: Floats) -> Bools:
    """Where one limit is tighter than another by more than the noise; where either is NaN it is not."""
    shift = other / base - 1.0
    return np.asarray(shift > SAME if name == "minimum" else shift < -SAME)


def each(where: Bools) -> Iterator[tuple[int, int]]:
    """Places (size, row) where something holds."""
    for size, row in np.argwhere(where):
        yield int(size), int(row)
