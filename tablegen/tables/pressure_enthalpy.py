"""What a pressure-enthalpy diagram is drawn on: the saturation dome and the compression of one system, from one model.

The points of its cycles are in the states; see `tablegen.report.graphs.pressure_enthalpy_graph`.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.isentrope import isentropic_enthalpies
from tablegen.physics.refrigerants import Refrigerant
from tablegen.sweep.frames import Columns, joined, laid
from tablegen.tables.examples import Example

BUBBLE_LINE, DEW_LINE, COMPRESSION = "bubble", "dew", "compression"
# The dome reaches so far below suction and above high head, as shares; points on each side of it and on a compression.
_BELOW, _ABOVE = 0.5, 1.6
_DOME_POINTS, _COMPRESSION_POINTS = 41, 13


def dome(refrigerant: Refrigerant, low_pa: float, high_pa: float) -> tuple[Floats, Floats, Floats]:
    """Both sides of the saturation dome at pressures that are even steps on a log scale.

    Parameters
    ----------
    refrigerant : Refrigerant
    low_pa, high_pa : float [Pa]
        Ends; where saturation is not tabulated the dome is cut.

    Returns
    -------
    tuple of array (pressures,)
        Pressure [Pa], enthalpy of saturated liquid and of saturated vapor [J/kg].
    """
    ends = (
        max(low_pa, float(refrigerant.bubble(np.array([refrigerant.coldest_k])).pressure_pa[0])),
        min(high_pa, float(refrigerant.dew(np.array([refrigerant.warmest_k])).pressure_pa[0])),
    )
    pressure = np.geomspace(*ends, _DOME_POINTS)
    return (
        pressure,
        refrigerant.bubble(refrigerant.bubble_temperature(pressure)).enthalpy_j_kg,
        refrigerant.dew(refrigerant.dew_temperature(pressure)).enthalpy_j_kg,
    )


def pressure_enthalpy_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Dome and compression for each application and refrigerant that has an example, at its suction temperature."""
    parts: list[Columns] = []
    seen: set[tuple[str, str]] = set()
    for example in examples:
        solved = example.solved
        key = solved.application.name, solved.refrigerant.name
        if key not in seen:
            seen.add(key)
            parts += _lines(solved, example.row)
    return pd.DataFrame(joined(parts)) if parts else pd.DataFrame()


def _lines(solved: Solved, row: int) -> list[Columns]:
    """The lines of one system, each of its points in a row."""
    refrigerant, system = solved.refrigerant, solved.system
    heads = [solved.states[index].state for index in solved.at_full_flow().values()]
    suction_pa = float(heads[0].suction_pressure_pa[row])
    high_pa = max(float(state.head_pressure_pa[row]) for state in heads) + system.discharge_loss_pa
    pressure, bubble, dew = dome(refrigerant, _BELOW * suction_pa, _ABOVE * high_pa)
    compressed = np.geomspace(suction_pa, high_pa, _COMPRESSION_POINTS)
    inlet_k = float(heads[0].evaporating_temperature_k[row]) - system.suction_loss_k + system.return_superheat_k
    lines = (
        (BUBBLE_LINE, pressure, bubble),
        (DEW_LINE, pressure, dew),
        (COMPRESSION, compressed, isentropic_enthalpies(refrigerant, inlet_k, compressed)),
    )
    return [
        {
            "application": laid(solved.application.name, at.shape),
            "refrigerant": laid(refrigerant.name, at.shape),
            "sst_k": laid(float(solved.application.sst_k[row]), at.shape),
            "curve": laid(name, at.shape),
            "pressure_pa": at,
            "enthalpy_j_kg": enthalpy,
        }
        for name, at, enthalpy in lines
    ]
