"""Capacity of system and valve against head pressure: the curves of the balance graph."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.solving import law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import State
from tablegen.physics.reasons import Reason
from tablegen.physics.system import SystemInputs
from tablegen.sweep.head_sweep import head_lines, states_along
from tablegen.tables.example import Example


def balance_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for the example of each printed combination.

    Beside the example's own size stands the largest that is too small, with the head below which it starves.
    """
    parts = [balance_curve(example) for example in examples]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def balance_curve(example: Example) -> pd.DataFrame:
    """The rows of one example; limits that cross at a head are kept, with the reason beside them."""
    solved, row = example.solved, example.row
    system, law = solved.system, law_of(example.family)
    line = head_lines(solved)[0]
    heads = line.grid_pa
    states = states_along(solved, [line], heads, row)
    here = states.limits(example.valve, law)
    state, kv = states.items[0].state, example.size.kv_rated_m3h
    point = states.operating_point(example.valve, law, example.load_w / kv)
    travel = example.valve.actuator.travel(state, system.superheat, state.capacity_ratio)
    maximum = here.max_load_w * state.capacity_ratio
    frame = pd.DataFrame(
        {
            "group": example.combination.group,
            "family": example.family.name,
            "size": example.size.name,
            "refrigerant": solved.refrigerant.name,
            "application": solved.application.name,
            "sst_k": float(solved.application.sst_k[row]),
            "head_pressure_pa": heads,
            "head_bubble_temperature_k": state.head_bubble_temperature_k,
            "inlet_subcooling_k": line.subcooling(heads, np.full(heads.size, row)),
            "flow_ratio": state.flow_ratio,
            "capacity_ratio": state.capacity_ratio,
            "load_w": example.load_w,
            "compressor_capacity_w": example.load_w * state.capacity_ratio,
            "evaporator_capacity_w": example.load_w * _evaporator(system, state, states.rated),
            "valve_max_w": maximum * kv,
            "valve_min_w": here.min_load_w * state.capacity_ratio * kv,
            "smaller_size": example.smaller.name if example.smaller else "",
            "smaller_max_w": maximum * example.smaller.kv_rated_m3h if example.smaller else np.nan,
            "opening": point.opening,
            "max_opening": travel.maximum,
            "min_opening": travel.minimum,
            "superheat_k": point.superheat_k,
            "reason": [_reason(*pair) for pair in zip(here.min_load_w, here.max_load_w, here.max_reason, strict=True)],
        }
    )
    frame["smaller_crossing_pa"] = _crossing(
        frame["head_pressure_pa"].to_numpy(),
        (frame["smaller_max_w"] - frame["compressor_capacity_w"]).to_numpy(),
    )
    return frame


def _reason(min_w: float, max_w: float, why: object) -> str:
    """Why no load suits a head, or nothing."""
    if np.isnan(max_w):
        return str(why)
    return str(Reason.CROSSED) if min_w >= max_w else ""


def _evaporator(system: SystemInputs, state: State, rated: State) -> Floats:
    """Capacity of the evaporator over the rated one: 1 where the suction is held, else by its colder surface."""
    if system.box_difference_k is None:
        return np.ones_like(state.evaporating_temperature_k)
    fallen = rated.evaporating_temperature_k - state.evaporating_temperature_k
    return np.asarray((system.box_difference_k + fallen) / system.box_difference_k)


def _crossing(head_pa: Floats, surplus_w: Floats) -> float:
    """The head [Pa] at which a surplus that grows with head passes zero, by linear interpolation; NaN if nowhere."""
    below = np.flatnonzero((surplus_w[:-1] < 0.0) & (surplus_w[1:] >= 0.0))
    if not below.size:
        return float("nan")
    i = int(below[-1])
    share = surplus_w[i] / (surplus_w[i] - surplus_w[i + 1])
    return float(head_pa[i] + share * (head_pa[i + 1] - head_pa[i]))
