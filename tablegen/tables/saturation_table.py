"""Pressure-temperature tables of the registry's refrigerants, as frames."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from tablegen.errors import RequestError, both_scales
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.saturation import saturation_table

# Round in degrees Fahrenheit and in degrees Celsius alike: -40, -15, -5, 10, 40 degC.
SHEET_K = (233.15, 258.15, 268.15, 283.15, 313.15)


def sheet_frame(refrigerants: Iterable[Refrigerant]) -> pd.DataFrame:
    """Saturation of a catalogue's refrigerants at a few round temperatures, for its refrigerant sheet; SI columns."""
    at = np.array(SHEET_K)
    parts = [pd.DataFrame({"refrigerant": r.name, **saturation_table(r, at)._asdict()}) for r in refrigerants]
    return pd.concat(parts, ignore_index=True)


def row_count(coldest_k: float, warmest_k: float, step_k: float) -> int:
    """How many temperatures a positive step gives."""
    # A range that a step divides evenly may miss its last temperature by rounding.
    return int((warmest_k - coldest_k) / step_k + 1e-9) + 1


def temperature_grid(coldest_k: float, warmest_k: float, step_k: float) -> Floats:
    """Temperatures [K] from the coldest in equal steps, not beyond the warmest."""
    steps = np.arange(row_count(coldest_k, warmest_k, step_k))
    return np.asarray(coldest_k + step_k * steps, dtype=np.float64)


def saturation_frame(refrigerant: Refrigerant, temperature_k: Floats) -> pd.DataFrame:
    """One row per temperature at which the refrigerant has both saturated states; SI columns.

    Raises
    ------
    RequestError
        If it has none in the range.
    """
    table = saturation_table(refrigerant, temperature_k)
    frame = pd.DataFrame({"refrigerant": refrigerant.name, **table._asdict()})
    frame = frame[frame["bubble_pressure_pa"].notna() & frame["dew_pressure_pa"].notna()].reset_index(drop=True)
    if frame.empty:
        raise RequestError(
            f"{refrigerant.name}: no saturation between the temperatures asked for; it can be computed from "
            f"{both_scales(refrigerant.coldest_k)} to {both_scales(refrigerant.warmest_k)} (critical point "
            f"{both_scales(refrigerant.critical_temperature_k)})"
        )
    return frame
