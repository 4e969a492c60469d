"""Group windows of a whole catalogue, and how alike the members of its groups are."""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.model.inputs import Catalogue, Group
from tablegen.model.publications import Combination
from tablegen.sweep.compact import compact, framed, rows_of
from tablegen.sweep.frames import LAW_COLUMNS, Columns
from tablegen.sweep.group_cost import GroupCost, cost_of
from tablegen.sweep.intersection import COLUMNS, intersection

# A group whose window is narrower than this share of its members' median is worth a warning.
NARROW_SHARE = 0.8


def group_windows(catalogue: Catalogue, windows: pd.DataFrame) -> pd.DataFrame:
    """One row per printed combination, size and suction temperature: the intersection of the members' windows.

    The member that binds each limit is named; where any member's window is empty the group's is, with that
    member and its reason.  At confidence each member is taken by itself, then what all have in common: the group's
    refrigerants are charged one at a time.
    """
    parts, rows = [], _Rows(catalogue.combinations)
    for group, members in _by_group(catalogue, windows):
        parts.append(compact(intersection(group.name, group.members, members.columns)))
        rows.add(members)
    return framed(parts, rows.in_order())


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupSimilarity:
    """How alike the members of a printed group are, by required Kv per kW and by what is left of their windows.

    `required_kv_spread` [1] and `min_width_share` [1] are those of `required_kv_spread` and `narrowings`; NaN where
    there is none.  `max_cost` [1] is the largest share of its own maximum load that a member loses in a row, `min_cost`
    [1] the largest by which its minimum load is raised; beside each the member, "" where none loses anything.
    """

    family: str
    group: str
    application: str
    required_kv_spread: float
    min_width_share: float
    max_cost: float = 0.0
    max_cost_member: str = ""
    min_cost: float = 0.0
    min_cost_member: str = ""


def similarities(
    catalogue: Catalogue, states: pd.DataFrame, windows: pd.DataFrame, grouped: pd.DataFrame
) -> tuple[GroupSimilarity, ...]:
    """How alike the members of the group of each combination are, in the order of the combinations."""
    spreads = {name: required_kv_spread(group, states) for name, group in catalogue.groups.items()}
    losses = costs(catalogue, windows, grouped)
    return tuple(
        GroupSimilarity(
            family=c.family,
            group=c.group,
            application=c.application,
            required_kv_spread=spreads[c.group].get(c.application, math.nan),
            min_width_share=share,
            max_cost=losses[c].max_load,
            max_cost_member=losses[c].max_member,
            min_cost=losses[c].min_load,
            min_cost_member=losses[c].min_member,
        )
        for c, share in zip(catalogue.combinations, narrowings(catalogue, windows, grouped), strict=True)
    )


@dataclass(frozen=True, slots=True)
class _Members:
    """The windows of a group's members in some combinations, one below the other: rows alike in all members."""

    combinations: tuple[Combination, ...]
    counts: tuple[int, ...]
    columns: list[Columns]


def _by_group(catalogue: Catalogue, windows: pd.DataFrame) -> Iterator[tuple[Group, _Members]]:
    """Each group with the windows of its members in every combination at once."""
    rows, columns = rows_of(windows, "family", "application", "refrigerant"), {n: windows[n].array for n in COLUMNS}
    named: dict[str, list[Combination]] = {}
    for c in catalogue.combinations:
        named.setdefault(c.group, []).append(c)
    for name, combinations in named.items():
        group = catalogue.groups[name]
        own = [[rows[c.family, c.application, member] for c in combinations] for member in group.members]
        yield (
            group,
            _Members(
                tuple(combinations),
                tuple(map(len, own[0])),
                [
                    {n: np.asarray(values[together]) for n, values in columns.items()}
                    for together in map(np.concatenate, own)
                ],
            ),
        )


class _Rows:
    """Where the rows of combinations lie when they are computed by group, and in the order of the combinations."""

    def __init__(self, combinations: Sequence[Combination]) -> None:
        self._combinations, self._count = combinations, 0
        self._found: dict[Combination, NDArray[np.intp]] = {}

    def add(self, members: _Members) -> None:
        """The next rows."""
        for combination, count in zip(members.combinations, members.counts, strict=True):
            self._found[combination] = np.arange(self._count, self._count + count)
            self._count += count

    def in_order(self) -> NDArray[np.intp]:
        """The place of each row among those computed."""
        return np.concatenate([self._found[c] for c in self._combinations])


def required_kv_spread(group: Group, states: pd.DataFrame) -> dict[str, float]:
    """The largest ratio of required Kv per kW between members, less one, per application [1]."""
    spread = {}
    chosen = states[states["refrigerant"].isin(group.members)]
    keys = [*LAW_COLUMNS, "sst_k", "suction_response", "condition", "limit", "open_share"]
    for application, rows in chosen.groupby("application", sort=False):
        required_kv = rows.groupby(keys, sort=False, dropna=False)["required_kv_m3h_per_kw"]
        ratio = (required_kv.max() / required_kv.min()).max()
        spread[str(application)] = float(ratio) - 1.0
    return spread


def costs(catalogue: Catalogue, windows: pd.DataFrame, grouped: pd.DataFrame) -> dict[Combination, GroupCost]:
    """What each combination costs the member that loses most."""
    rows = rows_of(grouped, "family", "group", "application")
    limits = {name: grouped[name].to_numpy() for name in ("min_load_w", "max_load_w")}
    found: dict[Combination, GroupCost] = {}
    for group, members in _by_group(catalogue, windows):
        start = 0
        for c, count in zip(members.combinations, members.counts, strict=True):
            chosen = rows[c.family, c.group, c.application]
            of_group = {name: values[chosen] for name, values in limits.items()}
            own = [{name: m[name][start : start + count] for name in limits} for m in members.columns]
            found[c], start = cost_of(group.members, of_group, own), start + count
    return found


def narrowings(catalogue: Catalogue, windows: pd.DataFrame, grouped: pd.DataFrame) -> list[float]:
    """For each combination the minimum ratio of the group's window to its members' median, as max/min - 1 [1].

    0 where the group's window is empty although some member's is not; NaN where all members' are empty.
    """
    of_groups = grouped["max_load_w"].to_numpy() / grouped["min_load_w"].to_numpy() - 1.0
    rows = rows_of(grouped, "family", "group", "application")
    found: dict[Combination, float] = {}
    for _, members in _by_group(catalogue, windows):
        widths = np.stack([m["max_load_w"] / m["min_load_w"] - 1.0 for m in members.columns])
        with warnings.catch_warnings():
            # All members' windows are empty in a row.
            warnings.simplefilter("ignore", RuntimeWarning)
            median = np.nanmedian(widths, axis=0)
        own = np.concatenate([rows[c.family, c.group, c.application] for c in members.combinations])
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = np.nan_to_num(of_groups[own], nan=0.0) / median
        starts = np.cumsum([0, *members.counts[:-1]])
        found |= zip(members.combinations, np.fmin.reduceat(ratio, starts).tolist(), strict=True)
    return [found[c] for c in catalogue.combinations]
