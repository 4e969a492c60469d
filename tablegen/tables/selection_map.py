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
from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination, CounterChart
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.sweep.compact import rows_of
from tablegen.sweep.frames import Columns, joined
from tablegen.wording import command_line as wording

# ISO 3, preferred numbers: rounded values of the series.
R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
_EDGE_K = 1e-6
# An edge that equals a limit to the last digits is covered.
_SAME = 1e-12
_OF_WINDOWS = ("size", "sst_k", "min_load_w", "max_load_w")
Places = NDArray[np.int64]
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
        the columns of `_SHARED` say; a size is "" where none covers the cell.  The first is the one whose
        smaller margin (minimum load to the cell's lower edge, upper edge to maximum load) is the larger.
    """
    return pd.DataFrame(_cells({name: windows[name].to_numpy() for name in _OF_WINDOWS}, loads_w, edges_k))


def _cells(windows: Columns, loads_w: Floats, edges_k: Floats) -> Columns:
    """The columns of `selection_map`."""
    place, names = pd.factorize(windows["size"].astype(str))
    rows_k, row = np.unique(windows["sst_k"], return_inverse=True)
    # Sizes down, suction temperatures across; with an empty window (NaN) a size is in no cell of the column.
    minimum, maximum = np.full((2, len(names), len(rows_k)), np.nan)
    minimum[place, row], maximum[place, row] = windows["min_load_w"], windows["max_load_w"]
    above, upto = loads_w[:-1], loads_w[1:]
    parts = []
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
        best = np.full((len(above), 2), len(names))
        best[:, : order.shape[1]] = np.where(is_covered, order, len(names))
        sizes = np.array([*names, ""], dtype=object)
        shared = _shared(above, upto, floor, ceiling, is_covered[:, 0])
        parts.append(
            {
                "load_above_w": above,
                "load_upto_w": upto,
                "sst_from_k": np.full(above.shape, low_k),
                "sst_to_k": np.full(above.shape, high_k),
                "first_size": sizes[best[:, 0]],
                "second_size": sizes[best[:, 1]],
                "coverage": _coverage(shared, above, upto, minimum[:, inside], maximum[:, inside], is_covered[:, 0]),
                "lower_size": sizes[shared.lower],
                "lower_upto_w": shared.lower_upto_w,
                "upper_size": sizes[shared.upper],
                "upper_from_w": shared.upper_from_w,
            }
        )
    return joined(parts)


class _Shared(NamedTuple):
    """What two sizes cover of cells that none covers whole, each at every suction temperature of the column.

    `lower` covers a cell's loads up to `lower_upto_w`, the highest of any; `upper` those from `upper_from_w` up, the
    lowest of any.  A cell of which neither end is covered has none: the number of sizes, and NaN.
    """

    lower: Places
    lower_upto_w: Floats
    upper: Places
    upper_from_w: Floats


def _shared(above: Floats, upto: Floats, floor: Floats, ceiling: Floats, is_whole: Bools) -> _Shared:
    begins = (floor <= above[:, None] * (1.0 + _SAME)) & (ceiling > above[:, None]) & ~is_whole[:, None]
    ends = (ceiling >= upto[:, None] * (1.0 - _SAME)) & (floor < upto[:, None]) & ~is_whole[:, None]
    reach, start = np.where(begins, ceiling, -np.inf), np.where(ends, floor, np.inf)
    has_lower, has_upper = begins.any(axis=1), ends.any(axis=1)
    return _Shared(
        np.where(has_lower, reach.argmax(axis=1), len(floor)),
        np.where(has_lower, reach.max(axis=1), np.nan),
        np.where(has_upper, start.argmin(axis=1), len(floor)),
        np.where(has_upper, start.min(axis=1), np.nan),
    )


def _coverage(shared: _Shared, above: Floats, upto: Floats, minimum: Floats, maximum: Floats, is_whole: Bools) -> Names:
    """How much of each cell the sizes cover; limits at the suction temperatures of the column, (sizes, temperatures).

    Between two rows a size surely covers what it covers at both of them, and covers nothing outside the wider of their
    limits.
    """
    pairs = [slice(i, i + 2) for i in range(max(1, minimum.shape[1] - 1))]
    is_possible, is_either = np.zeros(above.shape, dtype=bool), np.ones(above.shape, dtype=bool)
    for pair in pairs:
        low, high = np.fmin.reduce(minimum[:, pair], axis=1), np.fmax.reduce(maximum[:, pair], axis=1)
        is_possible |= ((low <= upto[:, None]) & (high > above[:, None])).any(axis=1)
        # The last place stands for no size, which covers nothing.
        low, high = np.append(minimum[:, pair].max(axis=1), np.nan), np.append(maximum[:, pair].min(axis=1), np.nan)
        is_either &= high[shared.lower] >= low[shared.upper]
    found = np.where(is_either, CellCoverage.EITHER, CellCoverage.PART)
    found = np.where(is_possible, found, CellCoverage.NONE)
    found = np.where(shared.lower_upto_w >= shared.upper_from_w, CellCoverage.BETWEEN, found)
    return np.where(is_whole, CellCoverage.WHOLE, found).astype(object)


def chart_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every counter chart, with what two sizes cover of it where none covers it whole.

    `grouped` is the frame `group_windows`.
    """
    parts = _Parts(grouped)
    found = [
        _chart_cells(chart, group, parts, catalogue.applications[chart.application].sst_k)
        for chart in catalogue.charts
        for group in chart.groups
    ]
    return _framed(found)


def selection_map_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every selection map: by the load unit that its rows are round in, and by printed part.

    Rows follow the finer series of preferred numbers, or the coarser one where sizes are many or their windows wide;
    columns begin and end at suction temperatures of the windows.  `grouped` is the frame `group_windows`.
    """
    by_unit: dict[str, float] = {}
    wanted: dict[str, dict[Combination, set[tuple[float, ...]]]] = {}
    for booklet in (own for own in catalogue.booklets if own.contents.has_tables):
        by_unit[booklet.printed.load_unit] = booklet.printed.load_unit_w
        of_unit = wanted.setdefault(booklet.printed.load_unit, {})
        for part in booklet.combinations:
            of_unit.setdefault(part, set()).add(booklet.contents.sst_k.get(part.application, ()))
    parts = _Parts(grouped)
    found = []
    for name, combinations in wanted.items():
        for part, rows in combinations.items():
            # Where all booklets print the same rows, the columns are between those.
            chosen_k = next(iter(rows)) if len(rows) == 1 else ()
            sst_k = np.asarray(chosen_k) if chosen_k else catalogue.applications[part.application].sst_k
            found.append(_map_cells(name, by_unit[name], part, parts, sst_k))
    return _framed(found)


class _Parts:
    """The group windows of each printed part, sorted out once for all maps."""

    def __init__(self, grouped: pd.DataFrame) -> None:
        self._columns = {name: grouped[name].to_numpy() for name in _OF_WINDOWS}
        self._rows = rows_of(grouped, "family", "group", "application")

    def of(self, family: str, group: str, application: str) -> Columns:
        rows = self._rows[family, group, application]
        return {name: values[rows] for name, values in self._columns.items()}


def _framed(parts: Iterable[Columns]) -> pd.DataFrame:
    parts = [part for part in parts if part]
    return pd.DataFrame(joined(parts)) if parts else pd.DataFrame()


def _map_cells(name: str, unit_w: float, part: Combination, parts: _Parts, sst_k: Floats) -> Columns:
    every = -(-max(len(sst_k) - 1, 1) // _MAX_COLUMNS)
    # A single suction temperature is a column from itself to itself.
    edges = np.append(sst_k[: max(len(sst_k) - 1, 1) : every], sst_k[-1])
    names = {"load_unit": name, "family": part.family, "group": part.group, "application": part.application}
    own = parts.of(part.family, part.group, part.application)
    cells = _cells_of_part(own, R20, unit_w, edges, names)
    if cells and len(set(cells["load_above_w"][cells["first_size"] != ""])) > _MAX_ROWS:
        cells = _cells_of_part(own, R10, unit_w, edges, names)
    # What a size covers in part is in the window table next to the map.
    return {column: values for column, values in cells.items() if column not in _SHARED}


def _chart_cells(chart: CounterChart, group: str, parts: _Parts, sst_k: Floats) -> Columns:
    own = parts.of(chart.family, group, chart.application)
    is_stocked = np.isin(own["size"].astype(str), chart.stock[group])
    names = {
        "publication": chart.printed.name,
        "family": chart.family,
        "group": group,
        "application": chart.application,
    }
    own = {column: values[is_stocked] for column, values in own.items()}
    return _cells_of_part(own, R10, chart.printed.load_unit_w, _column_edges(chart, sst_k), names)


def _cells_of_part(
    own: Columns, series: Sequence[float], unit_w: float, edges_k: Floats, names: dict[str, str]
) -> Columns:
    """The cells of a map over all loads of its open windows; none where no window is open."""
    is_open = np.isfinite(own["max_load_w"])
    if not is_open.any():
        return {}
    minimum, maximum = own["min_load_w"][is_open].min() / unit_w, own["max_load_w"][is_open].max() / unit_w
    cells = _cells(own, np.array(preferred_numbers(series, float(minimum), float(maximum))) * unit_w, edges_k)
    count = len(cells["load_above_w"])
    return {name: np.full(count, text, dtype=object) for name, text in names.items()} | cells


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
