"""Group windows: what all members of a refrigerant group have in common, and how alike they are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Combination, Group
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.reasons import Reason
from tablegen.sweep.frames import Columns, joined

# A group whose window is narrower than this share of its members' median is worth a warning.
NARROW_SHARE = 0.8
_COLUMNS = (
    "size",
    "kv_rated_m3h",
    "sst_k",
    "min_load_w",
    "max_load_w",
    "min_condition",
    "max_condition",
    "min_reason",
    "max_reason",
    "nominal_min_load_w",
    "nominal_max_load_w",
    "confident_min_load_w",
    "confident_max_load_w",
    "confident_reason",
)


def group_windows(catalogue: Catalogue, windows: pd.DataFrame) -> pd.DataFrame:
    """One row per printed combination, size and suction temperature: the intersection of the members' windows.

    The member that binds each limit is named; where any member's window is empty the group's is, with that
    member and its reason.  At confidence each member is taken by itself, then what all have in common: the group's
    refrigerants are charged one at a time.
    """
    members = MemberWindows(windows)
    return pd.DataFrame(joined(_intersection(c, catalogue.groups[c.group], members) for c in catalogue.combinations))


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
        self._columns = {name: windows[name].to_numpy() for name in _COLUMNS}
        self._rows = windows.groupby(["family", "application", "refrigerant"], sort=False).indices

    def of(self, combination: Combination, group: Group) -> list[Columns]:
        """The windows of each member, rows by size and suction temperature alike in all."""
        rows = [self._rows[combination.family, combination.application, member] for member in group.members]
        return [{name: values[own] for name, values in self._columns.items()} for own in rows]


def _intersection(combination: Combination, group: Group, windows: MemberWindows) -> Columns:
    members = windows.of(combination, group)
    first = members[0]
    minimum = np.stack([m["min_load_w"] for m in members])
    maximum = np.stack([m["max_load_w"] for m in members])
    is_empty = np.isnan(minimum)
    # An empty member empties the group: it is taken as binding both limits.
    low = np.where(is_empty, np.inf, minimum).argmax(axis=0)
    high = np.where(is_empty, -np.inf, maximum).argmin(axis=0)
    rows = np.arange(minimum.shape[1])
    minimum, maximum = minimum[low, rows], maximum[high, rows]
    crossed = minimum >= maximum
    names = np.array(group.members, dtype=object)
    columns: Columns = {
        "family": np.full(rows.shape, combination.family, dtype=object),
        "size": first["size"],
        "kv_rated_m3h": first["kv_rated_m3h"],
        "group": np.full(rows.shape, combination.group, dtype=object),
        "application": np.full(rows.shape, combination.application, dtype=object),
        "sst_k": first["sst_k"],
        "min_load_w": np.where(crossed, np.nan, minimum),
        "max_load_w": np.where(crossed, np.nan, maximum),
        "min_member": names[low],
        "max_member": names[high],
    }
    columns["nominal_min_load_w"], columns["nominal_max_load_w"], *_ = _common(members, "nominal")
    columns["confident_min_load_w"], columns["confident_max_load_w"], by_low, by_high = _common(members, "confident")
    columns["confident_min_member"], columns["confident_max_member"] = names[by_low], names[by_high]
    for column, index in (("min_condition", low), ("max_condition", high), ("min_reason", low), ("max_reason", high)):
        picked = np.stack([m[column].astype(object) for m in members])[index, rows]
        columns[column] = np.where(crossed, "crossed", picked) if column.endswith("reason") else picked
    columns["confident_reason"] = _confident_reason(columns, members)
    return columns


def _common(members: list[Columns], kind: str) -> tuple[Floats, Floats, Names, Names]:
    """The members' windows of a kind in common, NaN where one has none or they do not meet; who binds either limit."""
    low, high = (np.stack([m[f"{kind}_{side}_load_w"] for m in members]) for side in ("min", "max"))
    by_low = np.where(np.isnan(low), np.inf, low).argmax(axis=0)
    by_high = np.where(np.isnan(high), -np.inf, high).argmin(axis=0)
    rows = np.arange(low.shape[1])
    minimum, maximum = low[by_low, rows], high[by_high, rows]
    is_open = minimum < maximum
    return np.where(is_open, minimum, np.nan), np.where(is_open, maximum, np.nan), by_low, by_high


def _confident_reason(columns: Columns, members: list[Columns]) -> Names:
    """Why there is no window at confidence: what empties the nominal one too, or else `confidence`.

    Empty text where there is one, and where no limits at confidence were computed.
    """
    reasons = np.stack([m["confident_reason"] for m in members])
    empty = np.stack([np.isnan(m["nominal_max_load_w"]) for m in members])
    first = reasons[empty.argmax(axis=0), np.arange(empty.shape[1])]
    nominal = np.where(empty.any(axis=0), first, str(Reason.CROSSED))
    why = np.where(np.isfinite(columns["nominal_max_load_w"]), str(Reason.CONFIDENCE), nominal)
    is_known = (reasons != "").any(axis=0) | np.isfinite(columns["confident_max_load_w"])
    is_known |= np.stack([np.isfinite(m["confident_max_load_w"]) for m in members]).any(axis=0)
    return np.where(is_known & ~np.isfinite(columns["confident_max_load_w"]), why, "").astype(object)


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
