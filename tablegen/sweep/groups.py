"""Group windows of a whole catalogue, and how alike the members of its groups are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Combination, Group
from tablegen.sweep.frames import Columns, joined
from tablegen.sweep.intersection import COLUMNS, intersection

# A group whose window is narrower than this share of its members' median is worth a warning.
NARROW_SHARE = 0.8


def group_windows(catalogue: Catalogue, windows: pd.DataFrame) -> pd.DataFrame:
    """One row per printed combination, size and suction temperature: the intersection of the members' windows.

    The member that binds each limit is named; where any member's window is empty the group's is, with that
    member and its reason.  At confidence each member is taken by itself, then what all have in common: the group's
    refrigerants are charged one at a time.
    """
    members = MemberWindows(windows)
    groups = ((c, catalogue.groups[c.group]) for c in catalogue.combinations)
    return pd.DataFrame(joined(intersection(c, group.members, members.of(c, group)) for c, group in groups))


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupSimilarity:
    """How alike the members of a printed group are, by required Kv per kW and by what is left of their windows.

    `required_kv_spread` [1] and `min_width_share` [1] are those of `required_kv_spread` and `narrowings`; NaN where
    there is none.
    """

    family: str
    group: str
    application: str
    required_kv_spread: float
    min_width_share: float


def similarities(
    catalogue: Catalogue, states: pd.DataFrame, windows: pd.DataFrame, grouped: pd.DataFrame
) -> tuple[GroupSimilarity, ...]:
    """How alike the members of the group of each combination are, in the order of the combinations."""
    spreads = {name: required_kv_spread(group, states) for name, group in catalogue.groups.items()}
    return tuple(
        GroupSimilarity(
            family=c.family,
            group=c.group,
            application=c.application,
            required_kv_spread=spreads[c.group].get(c.application, math.nan),
            min_width_share=share,
        )
        for c, share in zip(catalogue.combinations, narrowings(catalogue, windows, grouped), strict=True)
    )


class MemberWindows:
    """Windows by family, application and refrigerant, sorted out once for all combinations."""

    def __init__(self, windows: pd.DataFrame) -> None:
        self._columns = {name: windows[name].to_numpy() for name in COLUMNS}
        self._rows = windows.groupby(["family", "application", "refrigerant"], sort=False).indices

    def of(self, combination: Combination, group: Group) -> list[Columns]:
        """The windows of each member, rows by size and suction temperature alike in all."""
        rows = [self._rows[combination.family, combination.application, member] for member in group.members]
        return [{name: values[own] for name, values in self._columns.items()} for own in rows]


def required_kv_spread(group: Group, states: pd.DataFrame) -> dict[str, float]:
    """The largest ratio of required Kv per kW between members, less one, per application [1]."""
    spread = {}
    chosen = states[states["refrigerant"].isin(group.members)]
    keys = ["flow_law", "sst_k", "suction_response", "condition", "limit"]
    for application, rows in chosen.groupby("application", sort=False):
        required_kv = rows.groupby(keys, sort=False, dropna=False)["required_kv_m3h_per_kw"]
        ratio = (required_kv.max() / required_kv.min()).max()
        spread[str(application)] = float(ratio) - 1.0
    return spread


def narrowings(catalogue: Catalogue, windows: pd.DataFrame, grouped: pd.DataFrame) -> list[float]:
    """For each combination the minimum ratio of the group's window to its members' median, as max/min - 1 [1].

    0 where the group's window is empty although some member's is not; NaN where all members' are empty.
    """
    members = MemberWindows(windows)
    of_groups = grouped["max_load_w"].to_numpy() / grouped["min_load_w"].to_numpy() - 1.0
    rows = grouped.groupby(["family", "group", "application"], sort=False).indices
    found = []
    for c in catalogue.combinations:
        own = members.of(c, catalogue.groups[c.group])
        median = pd.DataFrame([m["max_load_w"] / m["min_load_w"] - 1.0 for m in own]).median()
        ratio = (np.nan_to_num(of_groups[rows[c.family, c.group, c.application]], nan=0.0) / median).dropna()
        found.append(float(ratio.min()) if len(ratio) else float("nan"))
    return found
