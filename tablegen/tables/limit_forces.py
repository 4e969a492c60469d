"""What the valve of an example does at both limits of its window: opening, superheat, and the pressures in balance."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.solving import Solved, law_of, unit_window
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.state import SolvedState
from tablegen.physics.system import Side
from tablegen.tables.examples import Example


def limit_forces_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """One row per example of a thermostatic valve and limit, nominal, of the example's refrigerant by itself."""
    rows = [
        row
        for example in examples
        if isinstance(example.valve.actuator, ThermostaticActuator)
        for limit in ("min", "max")
        if (row := _row(example, example.valve.actuator, limit)) is not None
    ]
    return pd.DataFrame(rows)


def _row(example: Example, actuator: ThermostaticActuator, limit: str) -> dict[str, str | float] | None:
    """The forces at a limit; None where the window is empty or no state is at the limit."""
    solved, row, kv = example.solved, example.row, example.size.kv_rated_m3h
    own = unit_window(example.family, solved)[2]
    load_w = float((own.min_load_w if limit == "min" else own.max_load_w)[row]) * kv
    if not np.isfinite(load_w):
        return None
    condition = str((own.min_condition if limit == "min" else own.max_condition)[row])
    reason = str((own.min_reason if limit == "min" else own.max_reason)[row])
    found = [
        (opening, item)
        for item, opening in _openings(example, solved, load_w / kv)
        if item.condition.value == condition and _sets(item.side, limit) and np.isfinite(opening)
    ]
    if not found:
        return None
    # Of several states of a condition the limit is set where the valve opens least, or most.
    opening, item = (min if limit == "min" else max)(found, key=lambda pair: pair[0])
    state = item.state.at(np.array([row]))
    superheat_k = actuator.balance.superheat(
        np.array([opening]), state.evaporating_temperature_k, actuator.under(state), state.pressure_drop_pa
    )
    bulb_k = state.evaporating_temperature_k + superheat_k
    bulb_pa, under_pa = actuator.balance.charge.pressure(bulb_k), actuator.under(state)
    return {
        "family": example.family.name,
        "group": example.combination.group,
        "application": example.combination.application,
        "refrigerant": solved.refrigerant.name,
        "sst_k": float(solved.application.sst_k[row]),
        "size": example.size.name,
        "limit": limit,
        "condition": condition,
        "limit_reason": reason,
        "load_w": load_w,
        "head_pressure_pa": float(state.head_pressure_pa[0]),
        "liquid_temperature_k": float(state.liquid_temperature_k[0]),
        "pressure_drop_pa": float(state.pressure_drop_pa[0]),
        "opening": opening,
        "superheat_k": float(superheat_k[0]),
        "max_superheat_k": float(solved.system.superheat.maximum(state)[0]),
        "bulb_temperature_k": float(bulb_k[0]),
        "bulb_pressure_pa": float(bulb_pa[0]),
        "under_pressure_pa": float(under_pa[0]),
        "spring_closing_pa": float(bulb_pa[0] - under_pa[0]),
    }


def _openings(example: Example, solved: Solved, load_w: float) -> list[tuple[SolvedState, float]]:
    """Every state with the opening at which a valve of Kv 1 m3/h covers a load there."""
    required = solved.required_kvs[law_of(example.family).key]
    opening = example.valve.characteristic.opening
    return [
        (item, float(opening(np.array([load_w * own[example.row]]))[0]))
        for item, own in zip(solved.states, required, strict=True)
    ]


def _sets(side: Side, limit: str) -> bool:
    """Whether a side of the window is judged for a limit."""
    return side.serves_max if limit == "max" else side is not Side.MAX
