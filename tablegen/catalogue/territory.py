"""Territory maps: which size for a load and a suction temperature, the reverse of the windows.

A size may stand in a cell only if its window covers the whole rectangle of the cell: loads above `a` up to
`b`, at every suction temperature from the cell's edge to the next.  Rounding the load up and taking the
colder column would be safe for the greatest load only.

Where a ladder's steps have three figures or fewer, holding the windows themselves against them is the same as holding
the printed ones, which are rounded to three figures, least up and greatest down.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.physics.arrays import Floats

# ISO 3, preferred numbers: rounded values of the series.
R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
_EDGE_K = 1e-6
LIMITS = ("min_load_w", "max_load_w")


def ladder(series: Sequence[float], least: float, greatest: float) -> list[float]:
    """The steps of a series from the one at or below `least` to the one at or above `greatest`.

    Raises
    ------
    ValueError
        If the range is empty or not positive.
    """
    if not 0.0 < least < greatest < math.inf:
        raise ValueError(f"no ladder from {least} to {greatest}")
    first, last = math.floor(math.log10(least)) - 1, math.ceil(math.log10(greatest)) + 1
    # Through text: 3.15 times a power of ten must be the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in range(first, last + 1) for step in series]
    low = max(i for i, s in enumerate(steps) if s <= least)
    high = min(i for i, s in enumerate(steps) if s >= greatest)
    return steps[low : high + 1]


def territory(windows: pd.DataFrame, loads_w: Floats, edges_k: Floats) -> pd.DataFrame:
    """Which sizes cover each cell of a map.

    Parameters
    ----------
    windows : DataFrame
        Group windows of one printed part: columns size, sst_k, min_load_w, max_load_w.
    loads_w : array [W]
        Ascending edges of the load rows.
    edges_k : array [K]
        Ascending edges of the temperature columns, within the windows' suction temperatures.

    Returns
    -------
    DataFrame
        One row per cell: load_above_w, load_upto_w, sst_from_k, sst_to_k, first_size, second_size; a size is
        "" where none covers the cell.  The first is the one whose smaller margin (least load to the cell's
        lower edge, upper edge to greatest load) is the larger.
    """
    sizes = np.array([*dict.fromkeys(windows["size"].astype(str)), ""], dtype=object)
    rows_k = np.unique(windows["sst_k"].to_numpy())
    named = windows.assign(size=windows["size"].astype(str))
    # Sizes down, suction temperatures across; NaN, an empty window, spoils a size for the whole column.
    least, greatest = (
        named.pivot(index="size", columns="sst_k", values=c).reindex(index=sizes[:-1], columns=rows_k).to_numpy()
        for c in LIMITS
    )
    above, upto = loads_w[:-1], loads_w[1:]
    found = []
    for low_k, high_k in itertools.pairwise(edges_k):
        # An edge between two rows needs both of them, as the reader of a ledger does.
        first_k, last_k = rows_k[rows_k <= low_k + _EDGE_K].max(), rows_k[rows_k >= high_k - _EDGE_K].min()
        inside = (rows_k >= first_k) & (rows_k <= last_k)
        floor, ceiling = least[:, inside].max(axis=1), greatest[:, inside].min(axis=1)
        margin = np.minimum(np.log(above[:, None] / floor), np.log(ceiling / upto[:, None]))
        # An edge that equals the limit to the last digits is covered.
        margin = np.where(margin >= -1e-12, margin, -np.inf)
        order = np.argsort(-margin, axis=1, kind="stable")[:, :2]
        is_covered = np.take_along_axis(margin, order, axis=1) > -np.inf
        # The last name stands for none; a map of one size has no second.
        best = np.full((len(above), 2), len(sizes) - 1)
        best[:, : order.shape[1]] = np.where(is_covered, order, len(sizes) - 1)
        found.append(
            pd.DataFrame({
                "load_above_w": above, "load_upto_w": upto, "sst_from_k": low_k, "sst_to_k": high_k,
                "first_size": sizes[best[:, 0]], "second_size": sizes[best[:, 1]],
            })
        )  # fmt: skip
    return pd.concat(found, ignore_index=True)
