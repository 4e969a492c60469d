"""The cells of counter charts, for the data set."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tablegen.catalogue.inputs import Catalogue, CounterChart
from tablegen.catalogue.territory import R10, ladder, territory
from tablegen.physics.arrays import Floats


def chart_frame(catalogue: Catalogue, grouped: pd.DataFrame) -> pd.DataFrame:
    """One row per cell of every counter chart: by edition, family, group and envelope."""
    parts = [
        _cells(chart, group, grouped, catalogue.applications[chart.envelope].sst_k)
        for chart in catalogue.charts
        for group in chart.groups
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _cells(chart: CounterChart, group: str, grouped: pd.DataFrame, sst_k: Floats) -> pd.DataFrame:
    of_table = (grouped["family"] == chart.family) & (grouped["envelope"] == chart.envelope)
    own = grouped[of_table & (grouped["group"] == group) & grouped["size"].astype(str).isin(chart.stock)]
    unit = chart.load_unit_w
    is_open = own["max_load_w"].notna()
    least, greatest = own.loc[is_open, "min_load_w"].min() / unit, own.loc[is_open, "max_load_w"].max() / unit
    if not is_open.any():
        return pd.DataFrame()
    loads = np.array(ladder(R10, float(least), float(greatest))) * unit
    cells = territory(own, loads, _edges(chart, sst_k))
    names = {"edition": chart.name, "family": chart.family, "group": group, "envelope": chart.envelope}
    return cells.assign(**names)[[*names, *cells.columns]]


def _edges(chart: CounterChart, sst_k: Floats) -> Floats:
    """Multiples of the column's width in the printed unit, with the ends of the suction temperatures."""
    scale, offset = chart.temperature_scale, chart.temperature_offset
    coldest, warmest = scale * sst_k[0] + offset, scale * sst_k[-1] + offset
    first, last = np.ceil(coldest / chart.column_width - 1e-9), np.floor(warmest / chart.column_width + 1e-9)
    tens = chart.column_width * np.arange(first, last + 1)
    inner = (tens - offset) / scale
    # An end that a multiple of the width meets is not set twice.
    edges = [sst_k[0], *(e for e in inner if sst_k[0] + 1e-6 < e < sst_k[-1] - 1e-6), sst_k[-1]]
    return np.array(edges)
