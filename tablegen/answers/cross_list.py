"""A cross list: for every valve of another catalogue, the valve of this one that covers the same load windows.

Windows are compared as they are computed, at every suction temperature of the other's table, where its window is open.
Only families of the same kind are compared, for an electronic valve does not replace one with a bulb by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tablegen.answers.in_stock import StockRule
from tablegen.model.inputs import Catalogue, Family
from tablegen.model.publications import Combination
from tablegen.physics.arrays import Bools, Floats
from tablegen.sweep.identity import identity

if TYPE_CHECKING:
    import pandas as pd

# What two limits that are the same may differ by, and two suction temperatures [K].
_SAME, _SAME_K = 1e-9, 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowGrid:
    """The windows of a table: limits [W] by size (key) and suction temperature [K], ascending; NaN where one is empty."""

    sizes: tuple[str, ...]
    sst_k: Floats
    min_load_w: Floats
    max_load_w: Floats

    def at(self, sst_k: Floats) -> tuple[Floats, Floats]:
        """The limits at suction temperatures: between two rows the stricter of both, beyond the rows none."""
        last = len(self.sst_k) - 1
        above = np.clip(np.searchsorted(self.sst_k, sst_k - _SAME_K), 0, last)
        below = np.clip(np.searchsorted(self.sst_k, sst_k + _SAME_K, side="right") - 1, 0, last)
        is_inside = (sst_k >= self.sst_k[0] - _SAME_K) & (sst_k <= self.sst_k[-1] + _SAME_K)
        minimum = np.maximum(self.min_load_w[:, below], self.min_load_w[:, above])
        maximum = np.minimum(self.max_load_w[:, below], self.max_load_w[:, above])
        return np.where(is_inside, minimum, np.nan), np.where(is_inside, maximum, np.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """A valve instead of another, by keys, and what it covers of the other's windows.

    `share` is how much of each window it covers, on a log scale (NaN where the other's is empty), `min_load_w` and
    `max_load_w` [W] are its own limits, one for each suction temperature of the other's table.
    """

    family: str
    size: str
    charge: str
    share: Floats
    min_load_w: Floats
    max_load_w: Floats

    @property
    def covers_all(self) -> bool:
        """Whether it covers every load of every window that is open."""
        return bool(np.all(np.isnan(self.share) | (self.share == 1.0)))

    @property
    def worst(self) -> int:
        """The row of which it covers the smallest share."""
        return int(np.nanargmin(self.share))


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """A valve of the other catalogue for a group in an application, its windows [W], and what replaces it.

    `found` is the best valve in stock, None where none covers any load; `better` one that is not in stock and covers
    more. `group` is that of this catalogue's tables, empty where it has none.
    """

    family: str
    size: str
    other_group: str
    group: str
    application: str
    sst_k: Floats
    min_load_w: Floats
    max_load_w: Floats
    found: Replacement | None
    better: Replacement | None

    @property
    def has_window(self) -> bool:
        """Whether the valve covers any load at all."""
        return bool(np.isfinite(self.max_load_w).any())


def grids_of(grouped: pd.DataFrame) -> dict[Combination, WindowGrid]:
    """The tables in the frame `group_windows` of a data set."""
    found = {}
    for key, rows in grouped.groupby(["family", "group", "application"], sort=False, observed=True):
        sizes, sst_k = dict.fromkeys(rows["size"].astype(str)), np.unique(rows["sst_k"].to_numpy())
        shape, order = (len(sizes), len(sst_k)), rows.sort_values("sst_k", kind="stable")
        by_size = [order[order["size"].astype(str) == size] for size in sizes]
        limits = {
            name: np.array([one[name].to_numpy() for one in by_size], dtype=float).reshape(shape)
            for name in ("min_load_w", "max_load_w")
        }
        found[Combination(*map(str, key))] = WindowGrid(sizes=tuple(sizes), sst_k=sst_k, **limits)
    return found


def cross_list(
    catalogue: Catalogue,
    other: Catalogue,
    own_grids: Mapping[Combination, WindowGrid],
    other_grids: Mapping[Combination, WindowGrid],
) -> list[Crossing]:
    """What replaces every valve of another catalogue, in the order of its tables and sizes."""
    return [
        crossing
        for part, grid in other_grids.items()
        for crossing in _of_table(catalogue, other, part, grid, own_grids)
    ]


def differing_applications(catalogue: Catalogue, other: Catalogue) -> list[str]:
    """Applications of one name whose operating conditions differ for a refrigerant of both."""
    return [
        name
        for name, own in catalogue.applications.items()
        if name in other.applications
        for others in [other.applications[name].systems]
        if any(identity(own.systems[r]) != identity(others[r]) for r in own.systems.keys() & others.keys())
    ]


def _group_for(catalogue: Catalogue, other: Catalogue, part: Combination) -> str:
    """The group of this catalogue with all refrigerants of a table, the one of the same name if it has them; else ""."""
    members = set(other.groups[part.group].members)
    computed = [c.group for c in catalogue.combinations if c.application == part.application]
    fitting = [name for name in dict.fromkeys(computed) if members <= set(catalogue.groups[name].members)]
    return min(fitting, key=lambda name: (name != part.group, len(catalogue.groups[name].members)), default="")


def _of_table(
    catalogue: Catalogue,
    other: Catalogue,
    part: Combination,
    grid: WindowGrid,
    own_grids: Mapping[Combination, WindowGrid],
) -> Iterator[Crossing]:
    """The valves of one table."""
    group, kind = _group_for(catalogue, other, part), other.families[part.family].kind
    candidates = [
        _candidates(catalogue, catalogue.families[c.family], c, own, grid.sst_k)
        for c, own in own_grids.items()
        if (c.group, c.application) == (group, part.application) and catalogue.families[c.family].kind == kind
    ]
    valves = [valve for names, _, _ in candidates for valve in names]
    limits = [np.concatenate([own[i] for own in candidates]) if valves else np.empty((0, 0)) for i in (1, 2)]
    rule = StockRule.of(catalogue)
    is_there = np.array([rule.is_there(*valve) for valve in valves], dtype=bool)
    for row, size in enumerate(grid.sizes):
        minimum, maximum = grid.min_load_w[row], grid.max_load_w[row]
        found = better = None
        if valves and np.isfinite(maximum).any():
            share = _shares(minimum, maximum, *limits)
            order = _best_first(share, minimum, maximum, *limits)
            there = next((i for i in order if is_there[i]), None)
            found = None if there is None else _replacement(valves[there], share[there], limits, there)
            # What comes before it and is not in stock covers more, unless only its limits are nearer.
            if (
                order
                and not is_there[order[0]]
                and (there is None or _covered(share[order[0]]) > _covered(share[there]))
            ):
                better = _replacement(valves[order[0]], share[order[0]], limits, order[0])
        yield Crossing(
            family=part.family,
            size=size,
            other_group=part.group,
            group=group,
            application=part.application,
            sst_k=grid.sst_k,
            min_load_w=minimum,
            max_load_w=maximum,
            found=found,
            better=better,
        )


def _candidates(
    catalogue: Catalogue, family: Family, part: Combination, grid: WindowGrid, sst_k: Floats
) -> tuple[list[tuple[str, str, str]], Floats, Floats]:
    """Family, size and charge of each size of a table, and their limits at suction temperatures [K]."""
    kind = catalogue.applications[part.application].temperature_range
    elements = (family.element_for(member, kind) for member in catalogue.groups[part.group].members)
    charge = next((element.name for element in elements if element is not None), "")
    return [(family.name, size, charge) for size in grid.sizes], *grid.at(sst_k)


def _shares(minimum: Floats, maximum: Floats, own_min: Floats, own_max: Floats) -> Floats:
    """How much of one valve's windows each candidate covers, a row for each; exactly 1 where it covers all of one."""
    with np.errstate(invalid="ignore", divide="ignore"):
        low, high = np.fmax(own_min, minimum), np.fmin(own_max, maximum)
        part = np.log(high / low) / np.log(maximum / minimum)
        is_whole = (own_min <= minimum * (1.0 + _SAME)) & (own_max >= maximum * (1.0 - _SAME))
    has_own = np.isfinite(own_min) & np.isfinite(own_max)
    share = np.where(has_own, np.where(is_whole, 1.0, np.clip(np.nan_to_num(part), 0.0, 1.0 - _SAME)), 0.0)
    return np.where(np.isfinite(minimum) & np.isfinite(maximum), share, np.nan)


def _best_first(share: Floats, minimum: Floats, maximum: Floats, own_min: Floats, own_max: Floats) -> Sequence[int]:
    """Candidates that cover one window whole or part of each: most whole ones first, then most of all, then nearest limits."""
    with np.errstate(invalid="ignore", divide="ignore"):
        apart = np.nansum(np.abs(np.log(own_min / minimum)) + np.abs(np.log(own_max / maximum)), axis=1)
    whole, mean = np.nansum(share == 1.0, axis=1), np.nanmean(share, axis=1)
    is_listed = (whole > 0) | (np.nanmin(share, axis=1) > 0.0)
    return [int(i) for i in np.lexsort((apart, -mean.round(9), -whole)) if is_listed[i]]


def _covered(share: Floats) -> tuple[int, float]:
    """By what one candidate covers more than another."""
    return int(np.nansum(share == 1.0)), round(float(np.nanmean(share)), 9)


def _replacement(valve: tuple[str, str, str], share: Floats, limits: Sequence[Floats], row: int) -> Replacement:
    """The candidate in a row."""
    family, size, charge = valve
    minimum, maximum = (own[row] for own in limits)
    return Replacement(family=family, size=size, charge=charge, share=share, min_load_w=minimum, max_load_w=maximum)


def covered_rows(own: Replacement) -> Bools:
    """The suction temperatures at which a valve covers every load of the other's window."""
    return np.asarray(own.share == 1.0)
