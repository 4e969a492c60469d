"""Pressure-temperature tables of the registry's refrigerants, as frames."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tablegen.errors import RequestError
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.saturation import saturation_table

MOST_ROWS = 2000


def temperature_grid(coldest_k: float, warmest_k: float, step_k: float) -> Floats:
    """Temperatures [K] from the coldest in equal steps, not beyond the warmest.

    Raises
    ------
    RequestError
        If the range is empty, the step is not positive, or there would be more than MOST_ROWS.
    """
    if step_k <= 0.0:
        raise RequestError("the step between temperatures must be positive")
    if warmest_k < coldest_k:
        raise RequestError("the coldest temperature must not lie above the warmest")
    count = int((warmest_k - coldest_k) / step_k + 1e-9) + 1
    if count > MOST_ROWS:
        raise RequestError(f"{count} temperatures are not allowed; at most {MOST_ROWS} (take a greater step)")
    return np.asarray(coldest_k + step_k * np.arange(count), dtype=np.float64)


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
            f"{_both(refrigerant.coldest_k)} to {_both(refrigerant.warmest_k)} (critical point "
            f"{_both(refrigerant.critical_temperature_k)})"
        )
    return frame


def _both(kelvin: float) -> str:
    return f"{kelvin * 1.8 - 459.67:.1f} degF ({kelvin - 273.15:.1f} degC)"
