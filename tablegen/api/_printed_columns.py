"""Columns of the frames that are shown in printed units: the unit in each heading, spelled as in config files."""

from __future__ import annotations

import math

import pandas as pd

from tablegen.units import print_unit


def printed_column(name: str, quantity: str, values: pd.Series[float], units: str) -> pd.Series[float]:
    """A column in SI as one in the units of a system, with the unit in its name.

    Parameters
    ----------
    name : str
        Of the column, without a unit.
    quantity : str
        As `print_unit`.
    values : Series
        In SI; a gauge pressure [Pa] counts from the atmosphere already.
    units : str
        "IP" or "SI".

    Returns
    -------
    Series
        Named `name [unit]`; NaN stays NaN.
    """
    unit = print_unit(quantity, units)
    figures = [math.nan if math.isnan(value) else unit.of(float(value)) for value in values]
    return pd.Series(figures, name=f"{name} [{unit.name}]", index=values.index, dtype=float)
