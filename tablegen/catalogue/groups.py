"""Group windows: what all members of a refrigerant group have in common, and how alike they are."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tablegen.catalogue.inputs import Catalogue, Combination, Group
from tablegen.physics.arrays import Floats

# A group whose window is narrower than this share of its members' median is worth a warning.
NARROW_SHARE = 0.8
_KEYS = ["size", "sst_k"]


def group_windows(catalogue: Catalogue, windows: pd.DataFrame) -> pd.DataFrame:
    """One row per printed combination, size and suction temperature: the intersection of the members' windows.

    The member that binds each limit is named; where any member's window is empty the group's is, with that
    member and its reason.
    """
    parts = [_intersection(c, catalogue.groups[c.group], windows) for c in catalogue.combinations]
    return pd.concat(parts, ignore_index=True)


def _intersection(combination: Combination, group: Group, windows: pd.DataFrame) -> pd.DataFrame:
    chosen = windows[(windows["family"] == combination.family) & (windows["envelope"] == combination.envelope)]
    members = [chosen[chosen["refrigerant"] == m].reset_index(drop=True) for m in group.members]
    first = members[0]
    least = np.stack([m["min_load_w"].to_numpy() for m in members])
    greatest = np.stack([m["max_load_w"].to_numpy() for m in members])
    is_empty = np.isnan(least)
    # An empty member empties the group: it is taken as binding both limits.
    low = np.where(is_empty, np.inf, least).argmax(axis=0)
    high = np.where(is_empty, -np.inf, greatest).argmin(axis=0)
    rows = np.arange(len(first))
    minimum, maximum = least[low, rows], greatest[high, rows]
    crossed = minimum >= maximum
    frame = pd.DataFrame({
        "family": combination.family,
        "size": first["size"],
        "kv_rated_m3h": first["kv_rated_m3h"],
        "group": combination.group,
        "envelope": combination.envelope,
        "sst_k": first["sst_k"],
        "min_load_w": np.where(crossed, np.nan, minimum),
        "max_load_w": np.where(crossed, np.nan, maximum),
        "min_member": np.array(group.members, dtype=object)[low],
        "max_member": np.array(group.members, dtype=object)[high],
    })  # fmt: skip
    for kind in ("nominal", "confident"):
        frame[f"{kind}_min_load_w"], frame[f"{kind}_max_load_w"] = _common(members, kind)
    for column, index in (("min_extreme", low), ("max_extreme", high), ("min_reason", low), ("max_reason", high)):
        stacked = np.stack([m[column].to_numpy(dtype=object) for m in members])
        picked = stacked[index, rows]
        frame[column] = np.where(crossed, "crossed", picked) if column.endswith("reason") else picked
    return frame


def _common(members: list[pd.DataFrame], kind: str) -> tuple[Floats, Floats]:
    """Greatest of the members' least limits of a kind to least of their greatest; NaN where a member has none or they
    do not meet."""
    least = np.stack([m[f"{kind}_min_load_w"].to_numpy() for m in members]).max(axis=0)
    greatest = np.stack([m[f"{kind}_max_load_w"].to_numpy() for m in members]).min(axis=0)
    is_open = least < greatest
    return np.where(is_open, least, np.nan), np.where(is_open, greatest, np.nan)


def demand_spread(group: Group, states: pd.DataFrame) -> dict[str, float]:
    """The largest ratio of port demand between members, less one, per envelope [1]."""
    spread = {}
    chosen = states[states["refrigerant"].isin(group.members)]
    keys = ["flow_law", "sst_k", "suction_response", "extreme", "limit"]
    for envelope, rows in chosen.groupby("envelope", sort=False):
        demand = rows.groupby(keys, sort=False, dropna=False)["port_demand_m3h_per_kw"]
        ratio = (demand.max() / demand.min()).max()
        spread[str(envelope)] = float(ratio) - 1.0
    return spread


def narrowing(combination: Combination, group: Group, windows: pd.DataFrame, grouped: pd.DataFrame) -> float:
    """The least ratio of the group's window to its members' median, windows measured as max/min - 1 [1].

    0 where the group's window is empty although some member's is not; NaN where all members' are empty.
    """
    of_members = windows[
        (windows["family"] == combination.family)
        & (windows["envelope"] == combination.envelope)
        & windows["refrigerant"].isin(group.members)
    ]
    width = of_members["max_load_w"] / of_members["min_load_w"] - 1.0
    median = width.groupby([of_members["size"], of_members["sst_k"]], sort=False).median()
    of_group = grouped[
        (grouped["family"] == combination.family)
        & (grouped["envelope"] == combination.envelope)
        & (grouped["group"] == combination.group)
    ].set_index(_KEYS)
    own = (of_group["max_load_w"] / of_group["min_load_w"] - 1.0).fillna(0.0)
    ratio = (own / median.reindex(own.index)).dropna()
    return float(ratio.min()) if len(ratio) else float("nan")
