"""The intersection of the windows of a group's refrigerants: what a table prints."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tablegen.physics.arrays import Floats, Names
from tablegen.physics.reasons import Reason
from tablegen.sweep.frames import Columns

# Of the windows of one refrigerant, what an intersection takes.
COLUMNS = (
    "family",
    "application",
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


def intersection(group: str, refrigerants: Sequence[str], members: Sequence[Columns]) -> Columns:
    """The windows that all refrigerants of a group have in common: a row for each of a member's.

    Parameters
    ----------
    group : str
    refrigerants : sequence of str
    members : sequence of Columns
        The windows of each refrigerant, rows alike in all.
    """
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
    names = np.array(refrigerants, dtype=object)
    columns: Columns = {
        "family": first["family"],
        "size": first["size"],
        "kv_rated_m3h": first["kv_rated_m3h"],
        "group": np.full(rows.shape, group, dtype=object),
        "application": first["application"],
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


def _common(members: Sequence[Columns], kind: str) -> tuple[Floats, Floats, Names, Names]:
    """The members' windows of a kind in common, NaN where one has none or they do not meet; who binds either limit."""
    low, high = (np.stack([m[f"{kind}_{side}_load_w"] for m in members]) for side in ("min", "max"))
    by_low = np.where(np.isnan(low), np.inf, low).argmax(axis=0)
    by_high = np.where(np.isnan(high), -np.inf, high).argmin(axis=0)
    rows = np.arange(low.shape[1])
    minimum, maximum = low[by_low, rows], high[by_high, rows]
    is_open = minimum < maximum
    return np.where(is_open, minimum, np.nan), np.where(is_open, maximum, np.nan), by_low, by_high


def _confident_reason(columns: Columns, members: Sequence[Columns]) -> Names:
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
