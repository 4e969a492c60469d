"""Territory maps: which size for a load and a suction temperature, the reverse of the windows.

A size may stand in a cell only if its window covers the whole rectangle of the cell: loads above `a` up to
`b`, at every suction temperature from the cell's edge to the next.  Rounding the load up and taking the
colder column would be safe for the maximum load only.

Where a size range's steps have three figures or fewer, holding the windows themselves against them is the same as holding
the printed ones, which are rounded to three figures, minimum up and maximum down.

Where no size covers a cell, two may do so between them, or leave a part of it. A cell is called a gap only where no
size covers any load of it at any suction temperature of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from enum import StrEnum
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats

# ISO 3, preferred numbers: rounded values of the series.
R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
_EDGE_K = 1e-6
# An edge that equals a limit to the last digits is covered.
_SAME = 1e-12
LIMITS = ("min_load_w", "max_load_w")
# Columns that say what two sizes cover of a cell.
SHARED = ("coverage", "lower_size", "lower_upto_w", "upper_size", "upper_from_w")


def size_range(series: Sequence[float], minimum: float, maximum: float) -> list[float]:
    """The steps of a series from the one at or below `minimum` to the one at or above `maximum`.

    Raises
    ------
    ValueError
        If the range is empty or not positive.
    """
    if not 0.0 < minimum < maximum < math.inf:
        raise ValueError(f"no size range from {minimum} to {maximum}")
    first, last = math.floor(math.log10(minimum)) - 1, math.ceil(math.log10(maximum)) + 1
    # Through text: 3.15 times a power of ten must be the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in range(first, last + 1) for step in series]
    low = max(i for i, s in enumerate(steps) if s <= minimum)
    high = min(i for i, s in enumerate(steps) if s >= maximum)
    return steps[low : high + 1]


class Coverage(StrEnum):
    """How much of a cell the sizes cover."""

    WHOLE = "whole"
    # By two sizes, each the same part of its loads at every suction temperature of the cell.
    BETWEEN = "between"
    # By two sizes at every suction temperature, but which of them takes a load in the middle depends on it.
    EITHER = "either"
    PART = "part"
    NONE = "none"


def selection_map(windows: pd.DataFrame, loads_w: Floats, edges_k: Floats) -> pd.DataFrame:
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
        One row per cell: load_above_w, load_upto_w, sst_from_k, sst_to_k, first_size, second_size, coverage and what
        the columns of `_shared` say; a size is "" where none covers the cell.  The first is the one whose smaller
        margin (minimum load to the cell's lower edge, upper edge to maximum load) is the larger.
    """
    names = list(dict.fromkeys(windows["size"].astype(str)))
    sizes = np.array([*names, ""], dtype=object)
    rows_k = np.unique(windows["sst_k"].to_numpy())
    named = windows.assign(size=windows["size"].astype(str))
    # Sizes down, suction temperatures across; NaN, an empty window, spoils a size for the whole column.
    minimum, maximum = (
        named.pivot(index="size", columns="sst_k", values=c).reindex(index=names, columns=rows_k).to_numpy()
        for c in LIMITS
    )
    above, upto = loads_w[:-1], loads_w[1:]
    found = []
    for low_k, high_k in itertools.pairwise(edges_k):
        # An edge between two rows needs both of them, as the reader of a ledger does.
        first_k, last_k = rows_k[rows_k <= low_k + _EDGE_K].max(), rows_k[rows_k >= high_k - _EDGE_K].min()
        inside = (rows_k >= first_k) & (rows_k <= last_k)
        floor, ceiling = minimum[:, inside].max(axis=1), maximum[:, inside].min(axis=1)
        margin = np.minimum(np.log(above[:, None] / floor), np.log(ceiling / upto[:, None]))
        margin = np.where(margin >= -_SAME, margin, -np.inf)
        order = np.argsort(-margin, axis=1, kind="stable")[:, :2]
        is_covered = np.take_along_axis(margin, order, axis=1) > -np.inf
        # The last name stands for none; a map of one size has no second.
        best = np.full((len(above), 2), len(sizes) - 1)
        best[:, : order.shape[1]] = np.where(is_covered, order, len(sizes) - 1)
        found.append(
            pd.DataFrame(
                {
                    "load_above_w": above,
                    "load_upto_w": upto,
                    "sst_from_k": low_k,
                    "sst_to_k": high_k,
                    "first_size": sizes[best[:, 0]],
                    "second_size": sizes[best[:, 1]],
                    **_shared(above, upto, floor, ceiling, sizes, is_covered[:, 0]),
                }
            )
        )
        _settle(found[-1], minimum[:, inside], maximum[:, inside], names)
    return pd.concat(found, ignore_index=True)


def _shared(
    above: Floats, upto: Floats, floor: Floats, ceiling: Floats, sizes: NDArray[np.object_], is_whole: NDArray[np.bool_]
) -> dict[str, Any]:
    """What two sizes cover of cells that none covers whole, each at every suction temperature of the column.

    `lower_size` covers a cell's loads up to `lower_upto_w`, the farthest of any; `upper_size` those from `upper_from_w`
    up, the lowest of any. A cell of which neither end is covered has none.
    """
    last = len(sizes) - 1
    # A cell's own edges bound what is said of it.
    begins = (floor <= above[:, None] * (1.0 + _SAME)) & (ceiling > above[:, None]) & ~is_whole[:, None]
    ends = (ceiling >= upto[:, None] * (1.0 - _SAME)) & (floor < upto[:, None]) & ~is_whole[:, None]
    reach, start = np.where(begins, ceiling, -np.inf), np.where(ends, floor, np.inf)
    lower = np.where(begins.any(axis=1), reach.argmax(axis=1), last)
    upper = np.where(ends.any(axis=1), start.argmin(axis=1), last)
    lower_upto = np.where(lower < last, reach.max(axis=1), np.nan)
    upper_from = np.where(upper < last, start.min(axis=1), np.nan)
    coverage = np.where(is_whole, Coverage.WHOLE, np.where(lower_upto >= upper_from, Coverage.BETWEEN, Coverage.PART))
    return {
        "coverage": coverage,
        "lower_size": sizes[lower],
        "lower_upto_w": lower_upto,
        "upper_size": sizes[upper],
        "upper_from_w": upper_from,
    }


def _settle(cells: pd.DataFrame, minimum: Floats, maximum: Floats, names: list[str]) -> None:
    """Tell cells that two sizes cover at each suction temperature, or none at any, from those covered in part.

    Between two rows a size is sure to cover what it covers at both of them, and covers nothing outside of what lies
    between their limits.
    """
    pairs = [slice(i, i + 2) for i in range(max(1, minimum.shape[1] - 1))]
    sure = [(minimum[:, pair].max(axis=1), maximum[:, pair].min(axis=1)) for pair in pairs]
    possible = [(np.fmin.reduce(minimum[:, p], axis=1), np.fmax.reduce(maximum[:, p], axis=1)) for p in pairs]
    for i, cell in cells[cells["coverage"] == Coverage.PART].iterrows():
        above, upto = cell["load_above_w"], cell["load_upto_w"]
        if not any(((low <= upto) & (high > above)).any() for low, high in possible):
            cells.loc[i, "coverage"] = Coverage.NONE
        elif cell["lower_size"] and cell["upper_size"]:
            lower, upper = names.index(cell["lower_size"]), names.index(cell["upper_size"])
            if all(high[lower] >= low[upper] for low, high in sure):
                cells.loc[i, "coverage"] = Coverage.EITHER
