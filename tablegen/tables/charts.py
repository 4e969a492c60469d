"""The cells of counter charts and of the booklets' selection maps, for the data set."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Combination, CounterChart
from tablegen.physics.arrays import Floats
from tablegen.tables.selection_map import R10, R20, SHARED, selection_map, size_range

# More columns than this leave no room for two sizes in a cell.
MOST_COLUMNS = 8
# With more rows a map leaves no room on its page for the windows; a coarser size range then serves.
MOST_ROWS = 36


def chart_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every counter chart, with what two sizes cover of it where none covers it whole."""
    parts = [
        _cells(chart, group, grouped, catalogue.applications[chart.application].sst_k)
        for chart in catalogue.charts
        for group in chart.groups
    ]
    parts = [part for part in parts if len(part)]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def selection_map_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every selection map: by the load unit that its rows are round in, and by printed part.

    Rows follow the finer size range of preferred numbers, or the coarser one where the sizes are many or their windows
    wide; columns begin and end at suction temperatures of the windows.
    """
    by_unit: dict[str, float] = {}
    wanted: dict[str, dict[Combination, None]] = {}
    for booklet in catalogue.booklets:
        by_unit[booklet.printed.load_unit] = booklet.printed.load_unit_w
        wanted.setdefault(booklet.printed.load_unit, {}).update(dict.fromkeys(booklet.combinations))
    parts = [
        _map(name, by_unit[name], combination, grouped, catalogue.applications[combination.application].sst_k)
        for name, combinations in wanted.items()
        for combination in combinations
    ]
    parts = [part for part in parts if len(part)]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _map(name: str, unit_w: float, part: Combination, grouped: pd.DataFrame, sst_k: Floats) -> pd.DataFrame:
    every = -(-max(len(sst_k) - 1, 1) // MOST_COLUMNS)
    # A single suction temperature is a column from itself to itself.
    edges = np.append(sst_k[: max(len(sst_k) - 1, 1) : every], sst_k[-1])
    names = {"load_unit": name, "family": part.family, "group": part.group, "application": part.application}
    own = _of_part(grouped, part.family, part.group, part.application)
    fine = _covered(own, R20, unit_w, edges, names)
    is_long = len(fine) > 0 and fine.loc[fine["first_size"] != "", "load_above_w"].nunique() > MOST_ROWS
    cells = _covered(own, R10, unit_w, edges, names) if is_long else fine
    # Its reader has the ledger beside it, for what a size covers in part.
    return cells.drop(columns=list(SHARED), errors="ignore")


def _cells(chart: CounterChart, group: str, grouped: pd.DataFrame, sst_k: Floats) -> pd.DataFrame:
    own = _of_part(grouped, chart.family, group, chart.application)
    own = own[own["size"].astype(str).isin(chart.stock)]
    names = {
        "publication": chart.printed.name,
        "family": chart.family,
        "group": group,
        "application": chart.application,
    }
    return _covered(own, R10, chart.printed.load_unit_w, _edges(chart, sst_k), names)


def _of_part(grouped: pd.DataFrame, family: str, group: str, application: str) -> pd.DataFrame:
    of_table = (grouped["family"] == family) & (grouped["application"] == application)
    own: pd.DataFrame = grouped[of_table & (grouped["group"] == group)]
    return own


def _covered(
    own: pd.DataFrame, series: Sequence[float], unit_w: float, edges_k: Floats, names: dict[str, str]
) -> pd.DataFrame:
    """The cells of a map over all loads that its open windows reach; none where no window is open."""
    is_open = own["max_load_w"].notna()
    if not is_open.any():
        return pd.DataFrame()
    minimum, maximum = own.loc[is_open, "min_load_w"].min() / unit_w, own.loc[is_open, "max_load_w"].max() / unit_w
    cells = selection_map(own, np.array(size_range(series, float(minimum), float(maximum))) * unit_w, edges_k)
    return cells.assign(**names)[[*names, *cells.columns]]


def _edges(chart: CounterChart, sst_k: Floats) -> Floats:
    """Multiples of the column's width in the printed unit, with the ends of the suction temperatures."""
    scale, offset = chart.printed.temperature_scale, chart.printed.temperature_offset
    coldest, warmest = scale * sst_k[0] + offset, scale * sst_k[-1] + offset
    first, last = np.ceil(coldest / chart.column_width - 1e-9), np.floor(warmest / chart.column_width + 1e-9)
    tens = chart.column_width * np.arange(first, last + 1)
    inner = (tens - offset) / scale
    # An end that a multiple of the width meets is not set twice.
    edges = [sst_k[0], *(e for e in inner if sst_k[0] + 1e-6 < e < sst_k[-1] - 1e-6), sst_k[-1]]
    return np.array(edges)
