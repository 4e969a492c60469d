"""Tables next to the windows: saturation of refrigerants, and factors that convert a capacity to the rating point."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.errors import RequestError, both_scales
from tablegen.model.inputs import Catalogue
from tablegen.model.registry import RefrigerantRecord
from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import solve_liquids
from tablegen.physics.refrigerants import HeatZero, Refrigerant, heat_content, heat_zero, saturation_table
from tablegen.physics.system import Basis
from tablegen.sweep.frames import Columns, joined, laid
from tablegen.wording import command_line as wording

# Round in degrees Fahrenheit and in degrees Celsius alike: -40, -15, -5, 10, 40 degC.
_ROUND_K = (233.15, 258.15, 268.15, 283.15, 313.15)
# Condensing temperatures around the rating point's, and subcooling below them.
_CONDENSING_STEPS_K = tuple(5.0 / 9.0 * 5.0 * i for i in range(-6, 5))
SUBCOOLING_K = (0.0, 5.0, 10.0)


def sheet_frame(refrigerants: Iterable[Refrigerant]) -> pd.DataFrame:
    """Saturation of a catalogue's refrigerants at a few round temperatures, for its refrigerant sheet; SI columns."""
    at = np.array(_ROUND_K)
    parts = [pd.DataFrame({"refrigerant": r.name, **saturation_table(r, at)._asdict()}) for r in refrigerants]
    return pd.concat(parts, ignore_index=True)


def row_count(coldest_k: float, warmest_k: float, step_k: float) -> int:
    """How many temperatures [K] a positive step gives."""
    # Rounding may lose the last temperature of a range that the step divides evenly.
    return int((warmest_k - coldest_k) / step_k + 1e-9) + 1


def temperature_grid(coldest_k: float, warmest_k: float, step_k: float) -> Floats:
    """Temperatures [K] from the coldest up in equal steps, none above the warmest."""
    steps = np.arange(row_count(coldest_k, warmest_k, step_k))
    return np.asarray(coldest_k + step_k * steps, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class RefrigerantStates:
    """The table of one refrigerant, and what is known of its ends.

    Attributes
    ----------
    record : RefrigerantRecord
    frame : DataFrame
        As `saturation_frame`.
    critical_temperature_k, critical_pressure_pa : float [K], [Pa]
    end_below_critical_k : float or None [K]
        How far below the critical point the table ends, None where the range asked for ends before.
    coldest_k : float or None [K]
        Where saturation begins, None where the range asked for begins above.
    us_zero : HeatZero
        Enthalpy and entropy of the frame where tables in US units have their zero.
    """

    record: RefrigerantRecord
    frame: pd.DataFrame
    critical_temperature_k: float
    critical_pressure_pa: float
    end_below_critical_k: float | None
    coldest_k: float | None
    us_zero: HeatZero


def refrigerant_states(refrigerant: Refrigerant, record: RefrigerantRecord, temperature_k: Floats) -> RefrigerantStates:
    """The table of a refrigerant at ascending temperatures [K].

    Raises
    ------
    RequestError
        As `saturation_frame`.
    """
    frame = saturation_frame(refrigerant, temperature_k)
    is_cut_short = bool(temperature_k[-1] > refrigerant.warmest_k)
    us, own = heat_zero(refrigerant, is_us=True), heat_zero(refrigerant)
    return RefrigerantStates(
        record=record,
        frame=frame,
        critical_temperature_k=refrigerant.critical_temperature_k,
        critical_pressure_pa=refrigerant.critical_pressure_pa,
        end_below_critical_k=refrigerant.critical_temperature_k - refrigerant.warmest_k if is_cut_short else None,
        # As the table itself, which takes a temperature that misses its edge by rounding.
        coldest_k=refrigerant.coldest_k if temperature_k[0] < refrigerant.coldest_k - 1e-6 else None,
        us_zero=HeatZero(us.enthalpy_j_kg - own.enthalpy_j_kg, us.entropy_j_kg_k - own.entropy_j_kg_k),
    )


def saturation_frame(refrigerant: Refrigerant, temperature_k: Floats) -> pd.DataFrame:
    """One row per temperature at which the refrigerant has both saturated states.

    Parameters
    ----------
    refrigerant : Refrigerant
    temperature_k : array (temperatures,)
        [K].

    Returns
    -------
    DataFrame
        SI columns, those of `saturation_table` and `heat_content` of `tablegen.physics.refrigerants`.

    Raises
    ------
    RequestError
        If it has none at any of the temperatures.
    """
    table = saturation_table(refrigerant, temperature_k)
    heat = heat_content(refrigerant, temperature_k)
    frame = pd.DataFrame({"refrigerant": refrigerant.name, **table._asdict(), **heat._asdict()})
    frame = frame[frame["bubble_pressure_pa"].notna() & frame["dew_pressure_pa"].notna()].reset_index(drop=True)
    if frame.empty:
        raise RequestError(
            wording.NO_SATURATION(
                refrigerant=refrigerant.name,
                coldest=both_scales(refrigerant.coldest_k),
                warmest=both_scales(refrigerant.warmest_k),
                critical=both_scales(refrigerant.critical_temperature_k),
            )
        )
    return frame


def conversion_frame(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> pd.DataFrame:
    """Factors that convert a capacity to the rating point, by condensing temperature and subcooling.

    A capacity Q' at another condensing and liquid temperature, and the same SST, is Q = factor Q' at the rating point,
    with factor = 1 / (M (h_v - h_l') / (h_v - h_l,rated)) from the application's own compressor.

    Parameters
    ----------
    catalogue : Catalogue
    solved_by : mapping
        Solved states by refrigerant and application.

    Returns
    -------
    DataFrame
        One row per refrigerant, application, condensing temperature and subcooling, at the application's example SST,
        of applications whose rating point is a condensing temperature; the factor is NaN where a condition is outside
        the compressor's map or the refrigerant has no state.
    """
    parts: list[Columns] = []
    for (name, application_name), solved in solved_by.items():
        application = catalogue.applications[application_name]
        rating, refrigerant = solved.system.rating.head, solved.refrigerant
        if rating.condensing_temperature_k is None:
            continue
        # Condensing temperatures down, subcooling across, each state in a row of its own.
        steps, subcooling_k = np.array(_CONDENSING_STEPS_K)[:, None, None], np.array(SUBCOOLING_K)[:, None]
        condensing_k = rating.condensing_temperature_k + steps
        heads_pa = rating.pressures(refrigerant, steps)
        bubble_k = condensing_k if rating.basis is Basis.BUBBLE else refrigerant.bubble_temperature(heads_pa)
        condensing_k, heads_pa, liquid_k = np.broadcast_arrays(condensing_k, heads_pa, bubble_k - subcooling_k)
        row = int(np.flatnonzero(application.sst_k == application.example_sst_k)[0])
        rated = solved.rated.at(np.full(liquid_k.shape, row))
        found = solve_liquids(refrigerant, solved.system, heads_pa, liquid_k, rated)
        columns: dict[str, str | float | Floats] = {
            "refrigerant": name,
            "application": application_name,
            "sst_k": application.example_sst_k,
            "condensing_temperature_k": condensing_k,
            "basis": rating.basis.value,
            "subcooling_k": subcooling_k,
            "capacity_factor": 1.0 / found.state.capacity_ratio,
        }
        parts.append({column: laid(values, liquid_k.shape) for column, values in columns.items()})
    return pd.DataFrame(joined(parts)) if parts else pd.DataFrame()
