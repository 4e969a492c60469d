"""Selection maps: which size for a load and a suction temperature, the reverse of the windows.

A size is in a cell only if its window covers the whole rectangle of the cell: loads above `a` up to `b`, at every
suction temperature from the cell's edge to the next.  Rounding the load up and taking the colder column would be safe
for the maximum load only.

Where the rows have three figures or fewer, comparing them with the windows themselves is the same as comparing them
with the printed ones, which are rounded to three figures, minimum up and maximum down.

Where no size covers a cell, two may do so between them, or leave a part of it.  A cell is called a gap only where no
size covers any of its loads at any of its suction temperatures.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from enum import StrEnum

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Combination, CounterChart
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.wording import command_line as wording

# ISO 3, preferred numbers: rounded values of the series.
R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
_EDGE_K = 1e-6
# An edge that equals a limit to the last digits is covered.
_SAME = 1e-12
# Columns that say what two sizes cover of a cell.
_SHARED = ("coverage", "lower_size", "lower_upto_w", "upper_size", "upper_from_w")
# More columns than this leave too little width for two sizes in a cell.
_MAX_COLUMNS = 8
# With more rows a map leaves too little of its page for the windows; then it takes the coarser series.
_MAX_ROWS = 36


def preferred_numbers(series: Sequence[float], minimum: float, maximum: float) -> list[float]:
    """The numbers of a series from the one at or below `minimum` to the one at or above `maximum`.

    Parameters
    ----------
    series : sequence of float
        `R10` or `R20`.
    minimum, maximum : float
        In any one unit.

    Raises
    ------
    ValueError
        If the range is empty or not positive.

    References
    ----------
    ISO 3, preferred numbers (not checked against the source).

    Examples
    --------
    >>> preferred_numbers(R10, 4.2, 9.0)
    [4.0, 5.0, 6.3, 8.0, 10.0]
    """
    if not 0.0 < minimum < maximum < math.inf:
        raise ValueError(wording.NO_PREFERRED_NUMBERS(minimum=f"{minimum:g}", maximum=f"{maximum:g}"))
    first, last = math.floor(math.log10(minimum)) - 1, math.ceil(math.log10(maximum)) + 1
    # Through text: 3.15 times a power of ten must be the nearest number to 31.5, not a digit beside it.
    steps = [float(f"{step}e{decade}") for decade in range(first, last + 1) for step in series]
    low = max(i for i, s in enumerate(steps) if s <= minimum)
    high = min(i for i, s in enumerate(steps) if s >= maximum)
    return steps[low : high + 1]


class CellCoverage(StrEnum):
    """How much of a cell the sizes cover."""

    WHOLE = "whole"
    # By two sizes, each the same part of its loads at every suction temperature of the cell.
    BETWEEN = "between"
    # By two sizes at every suction temperature, which decides which of them covers a load in the middle.
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
        the columns of `_shared_columns` say; a size is "" where none covers the cell.  The first is the one whose
        smaller margin (minimum load to the cell's lower edge, upper edge to maximum load) is the larger.
    """
    names = list(dict.fromkeys(windows["size"].astype(str)))
    sizes = np.array([*names, ""], dtype=object)
    rows_k = np.unique(windows["sst_k"].to_numpy())
    named = windows.assign(size=windows["size"].astype(str))
    # Sizes down, suction temperatures across; with an empty window (NaN) a size is in no cell of the column.
    minimum, maximum = (
        named.pivot(index="size", columns="sst_k", values=c).reindex(index=names, columns=rows_k).to_numpy()
        for c in ("min_load_w", "max_load_w")
    )
    above, upto = loads_w[:-1], loads_w[1:]
    found = []
    for low_k, high_k in itertools.pairwise(edges_k):
        # An edge between two rows needs both of them, as for a reader of the window table.
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
                    **_shared_columns(above, upto, floor, ceiling, sizes, is_covered[:, 0]),
                }
            )
        )
        _decide_partial(found[-1], minimum[:, inside], maximum[:, inside], names)
    return pd.concat(found, ignore_index=True)


def _shared_columns(
    above: Floats, upto: Floats, floor: Floats, ceiling: Floats, sizes: Names, is_whole: Bools
) -> dict[str, Floats | Names]:
    """What two sizes cover of cells that none covers whole, each at every suction temperature of the column.

    `lower_size` covers a cell's loads up to `lower_upto_w`, the highest of any; `upper_size` those from `upper_from_w`
    up, the lowest of any.  A cell of which neither end is covered has none.
    """
    last = len(sizes) - 1
    begins = (floor <= above[:, None] * (1.0 + _SAME)) & (ceiling > above[:, None]) & ~is_whole[:, None]
    ends = (ceiling >= upto[:, None] * (1.0 - _SAME)) & (floor < upto[:, None]) & ~is_whole[:, None]
    reach, start = np.where(begins, ceiling, -np.inf), np.where(ends, floor, np.inf)
    lower = np.where(begins.any(axis=1), reach.argmax(axis=1), last)
    upper = np.where(ends.any(axis=1), start.argmin(axis=1), last)
    lower_upto = np.where(lower < last, reach.max(axis=1), np.nan)
    upper_from = np.where(upper < last, start.min(axis=1), np.nan)
    coverage = np.where(
        is_whole, CellCoverage.WHOLE, np.where(lower_upto >= upper_from, CellCoverage.BETWEEN, CellCoverage.PART)
    )
    return {
        "coverage": coverage,
        "lower_size": sizes[lower],
        "lower_upto_w": lower_upto,
        "upper_size": sizes[upper],
        "upper_from_w": upper_from,
    }


def _decide_partial(cells: pd.DataFrame, minimum: Floats, maximum: Floats, names: list[str]) -> None:
    """Mark cells that two sizes cover at each suction temperature, or none at any, among those covered in part.

    Between two rows a size surely covers what it covers at both of them, and covers nothing outside the wider of their
    limits.
    """
    pairs = [slice(i, i + 2) for i in range(max(1, minimum.shape[1] - 1))]
    sure = [(minimum[:, pair].max(axis=1), maximum[:, pair].min(axis=1)) for pair in pairs]
    possible = [(np.fmin.reduce(minimum[:, p], axis=1), np.fmax.reduce(maximum[:, p], axis=1)) for p in pairs]
    for i, cell in cells[cells["coverage"] == CellCoverage.PART].iterrows():
        above, upto = cell["load_above_w"], cell["load_upto_w"]
        if not any(((low <= upto) & (high > above)).any() for low, high in possible):
            cells.loc[i, "coverage"] = CellCoverage.NONE
        elif cell["lower_size"] and cell["upper_size"]:
            lower, upper = names.index(cell["lower_size"]), names.index(cell["upper_size"])
            if all(high[lower] >= low[upper] for low, high in sure):
                cells.loc[i, "coverage"] = CellCoverage.EITHER


def chart_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every counter chart, with what two sizes cover of it where none covers it whole.

    `grouped` is the frame `group_windows`.
    """
    parts = [
        _chart_cells(chart, group, grouped, catalogue.applications[chart.application].sst_k)
        for chart in catalogue.charts
        for group in chart.groups
    ]
    parts = [part for part in parts if len(part)]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def selection_map_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every selection map: by the load unit that its rows are round in, and by printed part.

    Rows follow the finer series of preferred numbers, or the coarser one where sizes are many or their windows wide;
    columns begin and end at suction temperatures of the windows.  `grouped` is the frame `group_windows`.
    """
    by_unit: dict[str, float] = {}
    wanted: dict[str, dict[Combination, None]] = {}
    for booklet in catalogue.booklets:
        by_unit[booklet.printed.load_unit] = booklet.printed.load_unit_w
        wanted.setdefault(booklet.printed.load_unit, {}).update(dict.fromkeys(booklet.combinations))
    parts = [
        _map_cells(name, by_unit[name], combination, grouped, catalogue.applications[combination.application].sst_k)
        for name, combinations in wanted.items()
        for combination in combinations
    ]
    parts = [part for part in parts if len(part)]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _map_cells(name: str, unit_w: float, part: Combination, grouped: pd.DataFrame, sst_k: Floats) -> pd.DataFrame:
    every = -(-max(len(sst_k) - 1, 1) // _MAX_COLUMNS)
    # A single suction temperature is a column from itself to itself.
    edges = np.append(sst_k[: max(len(sst_k) - 1, 1) : every], sst_k[-1])
    names = {"load_unit": name, "family": part.family, "group": part.group, "application": part.application}
    own = _of_part(grouped, part.family, part.group, part.application)
    fine = _cells_of_part(own, R20, unit_w, edges, names)
    is_long = len(fine) > 0 and fine.loc[fine["first_size"] != "", "load_above_w"].nunique() > _MAX_ROWS
    cells = _cells_of_part(own, R10, unit_w, edges, names) if is_long else fine
    # What a size covers in part is in the window table next to the map.
    return cells.drop(columns=list(_SHARED), errors="ignore")


def _chart_cells(chart: CounterChart, group: str, grouped: pd.DataFrame, sst_k: Floats) -> pd.DataFrame:
    own = _of_part(grouped, chart.family, group, chart.application)
    own = own[own["size"].astype(str).isin(chart.stock)]
    names = {
        "publication": chart.printed.name,
        "family": chart.family,
        "group": group,
        "application": chart.application,
    }
    return _cells_of_part(own, R10, chart.printed.load_unit_w, _column_edges(chart, sst_k), names)


def _of_part(grouped: pd.DataFrame, family: str, group: str, application: str) -> pd.DataFrame:
    of_table = (grouped["family"] == family) & (grouped["application"] == application)
    own: pd.DataFrame = grouped[of_table & (grouped["group"] == group)]
    return own


def _cells_of_part(
    own: pd.DataFrame, series: Sequence[float], unit_w: float, edges_k: Floats, names: dict[str, str]
) -> pd.DataFrame:
    """The cells of a map over all loads of its open windows; none where no window is open."""
    is_open = own["max_load_w"].notna()
    if not is_open.any():
        return pd.DataFrame()
    minimum, maximum = own.loc[is_open, "min_load_w"].min() / unit_w, own.loc[is_open, "max_load_w"].max() / unit_w
    cells = selection_map(own, np.array(preferred_numbers(series, float(minimum), float(maximum))) * unit_w, edges_k)
    return cells.assign(**names)[[*names, *cells.columns]]


def _column_edges(chart: CounterChart, sst_k: Floats) -> Floats:
    """Multiples of the column's width in the printed unit, with the ends of the suction temperatures."""
    scale, offset = chart.printed.temperature_scale, chart.printed.temperature_offset
    coldest, warmest = scale * sst_k[0] + offset, scale * sst_k[-1] + offset
    first, last = np.ceil(coldest / chart.column_width - 1e-9), np.floor(warmest / chart.column_width + 1e-9)
    tens = chart.column_width * np.arange(first, last + 1)
    inner = (tens - offset) / scale
    # An end that is itself a multiple of the width is one edge.
    edges = [sst_k[0], *(e for e in inner if sst_k[0] + 1e-6 < e < sst_k[-1] - 1e-6), sst_k[-1]]
    return np.array(edges)
