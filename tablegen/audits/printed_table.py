"""A printed table as arrays, and the units in which its loads are printed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import pandas as pd

from tablegen.audits.findings import Finding, FindingKind, LimitKind
from tablegen.dataset.release import PrintedAs
from tablegen.errors import BadValue
from tablegen.model.inputs import Catalogue
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.report.formatter import Formatter
from tablegen.units import print_unit, unit_named

Limits: TypeAlias = Mapping[LimitKind, Floats]
"""Both limits along the suction grid per m3/h of rated Kv [W], NaN where there is no window."""

# Limits that differ by less are the same: states come from property tables.
SAME = 1e-6
# Print rounding cleans what is below twelve figures; so may a comparison.
_NOISE = 1e-11


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedTable:
    """One printed table: arrays of shape (sizes, sst_k), sizes in order of Kv, coldest row first.

    Attributes
    ----------
    family, group, application : str
    members : tuple of str
        Refrigerants of the group.
    sizes : tuple of str
    kv_rated_m3h : Floats, shape (sizes,) [m3/h]
    sst_k : Floats, shape (rows,) [K]
    min_w, max_w : Floats [W]
        NaN where there is no window.
    max_reason : Names
        What sets the maximum load, or why there is no window.
    min_member, max_member : Names
        The members that set the limits.
    confident_reason : Names
        Why there is no window at confidence, as in the frame of group windows.
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
    max_reason: Names
    min_member: Names
    max_member: Names
    confident_reason: Names

    @property
    def key(self) -> tuple[str, str, str]:
        """Family, group and application."""
        return self.family, self.group, self.application

    @property
    def is_open(self) -> Bools:
        """Where there is a window, shape (sizes, rows)."""
        return np.isfinite(self.min_w) & np.isfinite(self.max_w)

    def limit(self, limit: LimitKind) -> Floats:
        """One limit [W], shape (sizes, rows)."""
        return limit.of(self.min_w, self.max_w)

    def window(self, size: int, row: int) -> tuple[float, float]:
        """Minimum and maximum load [W] of a size at a row."""
        return float(self.min_w[size, row]), float(self.max_w[size, row])

    def of_sizes(self, names: Collection[str]) -> PrintedTable:
        """The table with some of its sizes alone."""
        at = np.isin(self.sizes, list(names))
        arrays = ("kv_rated_m3h", "min_w", "max_w", "max_reason", "min_member", "max_member", "confident_reason")
        own = {name: getattr(self, name)[at] for name in arrays}
        return replace(self, sizes=tuple(name for name in self.sizes if name in names), **own)

    def finding(self, kind: FindingKind, size: int | None = None, row: int | None = None) -> Finding:
        """A finding in this table."""
        return Finding(
            kind=kind,
            family=self.family,
            group=self.group,
            application=self.application,
            size="" if size is None else self.sizes[size],
            sst_k=float("nan") if row is None else float(self.sst_k[row]),
        )

    def findings(self, kind: FindingKind, row: int, sizes: Bools | None = None) -> Iterator[tuple[int, Finding]]:
        """A finding for each size with a window at a row, or for each of some `sizes`, with its index."""
        for size in map(int, np.flatnonzero(self.is_open[:, row] if sizes is None else sizes)):
            yield size, self.finding(kind, size, row)


def tables_of(catalogue: Catalogue, grouped: pd.DataFrame) -> list[PrintedTable]:
    """Every printed table of a frame of group windows.

    Parameters
    ----------
    catalogue : Catalogue
    grouped : DataFrame
        Limits [W] by family, group, application, size and sst_k [K], with reasons and the members that set them.

    Returns
    -------
    list of PrintedTable
        In the order of the catalogue.
    """
    by = dict(list(grouped.groupby(["family", "group", "application"], sort=False)))
    keys = [(c.family, c.group, c.application) for c in catalogue.combinations]
    return [_table(key, catalogue.groups[key[1]].members, by[key]) for key in keys if key in by]


def _table(key: tuple[str, str, str], members: tuple[str, ...], rows: pd.DataFrame) -> PrintedTable:
    sizes = rows.drop_duplicates("size").sort_values("kv_rated_m3h", kind="stable")
    names = tuple(map(str, sizes["size"]))
    sst = np.unique(rows["sst_k"].to_numpy())
    index = {name: i for i, name in enumerate(names)}
    at = rows["size"].astype(str).map(index).to_numpy(), np.searchsorted(sst, rows["sst_k"].to_numpy())

    def spread(column: str, empty: float | str) -> Names:
        made = np.full((len(names), sst.size), empty, dtype=object if isinstance(empty, str) else np.float64)
        made[at] = rows[column].to_numpy()
        return made

    return PrintedTable(
        family=key[0],
        group=key[1],
        application=key[2],
        members=members,
        sizes=names,
        kv_rated_m3h=sizes["kv_rated_m3h"].to_numpy(),
        sst_k=sst,
        min_w=spread("min_load_w", np.nan),
        max_w=spread("max_load_w", np.nan),
        max_reason=spread("max_reason", ""),
        min_member=spread("min_member", ""),
        max_member=spread("max_member", ""),
        confident_reason=spread("confident_reason", ""),
    )


@dataclass(frozen=True, slots=True)
class CommonLimits:
    """What several refrigerants have in common [W], and the index of the one that sets each limit."""

    load_w: Limits
    set_by: Mapping[LimitKind, Names]

    @classmethod
    def of(cls, members: Sequence[Limits]) -> CommonLimits:
        """The common part; NaN where a member has no window. Limits that cross are left as they are."""
        stacked = {limit: np.stack([own[limit] for own in members]) for limit in LimitKind}
        is_empty = np.logical_or(*(np.isnan(load_w) for load_w in stacked.values()))
        set_by = {
            LimitKind.MINIMUM: np.where(is_empty, np.inf, stacked[LimitKind.MINIMUM]).argmax(axis=0),
            LimitKind.MAXIMUM: np.where(is_empty, -np.inf, stacked[LimitKind.MAXIMUM]).argmin(axis=0),
        }
        rows = np.arange(is_empty.shape[1])
        return cls({limit: stacked[limit][own, rows] for limit, own in set_by.items()}, set_by)


def is_stricter(limit: LimitKind, base: Floats, other: Floats) -> Bools:
    """Where one limit is stricter than another by more than the noise; where either is NaN it is not."""
    shift = other / base - 1.0
    return np.asarray(limit.of(shift > SAME, shift < -SAME))


def indices(where: Bools) -> Iterator[tuple[int, int]]:
    """Indices (size, row) of what is true."""
    for size, row in np.argwhere(where):
        yield int(size), int(row)


@dataclass(frozen=True, slots=True)
class PrintUnits:
    """Every unit in which windows are printed, each once."""

    formatters: tuple[Formatter, ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> PrintUnits:
        """Those of the workbook and the booklets."""
        printing = catalogue.printing
        own = printing.load_unit or {"IP": "kBtu/h", "SI": "kW"}[printing.units]
        units = [(printing.units, own), *((b.printed.units, b.printed.load_unit) for b in catalogue.booklets)]
        return cls(tuple(Formatter(system, load_unit) for system, load_unit in dict.fromkeys(units)))

    def windows(self, window_w: tuple[float, float]) -> Iterator[tuple[Formatter, tuple[str, str]]]:
        """A window [W] as each print has it; none where it is empty or too narrow to print."""
        for formatter in self.formatters:
            printed = formatter.readable_window(*window_w)
            if printed is not None:
                yield formatter, printed

    def promise_more(self, limit: LimitKind, window_w: tuple[float, float], found_w: float) -> bool:
        """Whether any print of a window [W] promises more than a limit found elsewhere [W]."""
        return any(promises_more(formatter, limit, printed, found_w) for formatter, printed in self.windows(window_w))


def promises_more(formatter: Formatter, limit: LimitKind, printed: tuple[str, str], found_w: float) -> bool:
    """Whether a printed window promises loads beyond a limit [W]."""
    found = print_unit("load", formatter.system, formatter.load_unit).of(found_w)
    return limit.of(float(printed[0]) < found * (1.0 - _NOISE), float(printed[1]) > found * (1.0 + _NOISE))


def in_watt(formatter: Formatter, printed: str) -> float:
    """A printed load [W]."""
    return float(printed) / print_unit("load", formatter.system, formatter.load_unit).of(1.0)


def formatter_of_prints(printed: PrintedAs, units: str | None = None) -> Formatter:
    """How something was printed, SI where nothing says so, or what describes it in other units.

    A load unit that is not known is taken for the system's own.
    """
    own, load_unit = printed.units or "SI", printed.load_unit
    try:
        unit_named("load", load_unit or "kW")
    except BadValue:
        load_unit = None
    return Formatter.beside(units or own, own, load_unit)
