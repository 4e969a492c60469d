"""What one table for several refrigerants costs each of them, beside a table of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.sweep.frames import Columns

# A group that costs a member more than this share of its own maximum or minimum load is worth a warning.
COST_SHARE = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupCost:
    """The most that sharing a table costs a member: shares [1] of its own maximum and minimum load, and which member."""

    max_load: float
    max_member: str
    min_load: float
    min_member: str


def cost_of(members: Sequence[str], grouped: Columns, own: Sequence[Columns]) -> GroupCost:
    """What one table costs the member that loses most, over the rows in which the group has a window."""
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = (
            [np.nan_to_num(1.0 - grouped["max_load_w"] / m["max_load_w"]).max() for m in own],
            [np.nan_to_num(grouped["min_load_w"] / m["min_load_w"] - 1.0).max() for m in own],
        )
    (lost, first), (raised, second) = ((float(max(s)), members[int(np.argmax(s))]) for s in shares)
    return GroupCost(
        max_load=lost,
        max_member=first if lost > 0.0 else "",
        min_load=raised,
        min_member=second if raised > 0.0 else "",
    )
