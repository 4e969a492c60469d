"""Sweep the head between its extremes: the curves of the balance graph, and limits set inside.

Between two conditions the inlet subcooling is taken as linear in head pressure (assumption).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np
import pandas as pd

from tablegen.catalogue.example import Example
from tablegen.catalogue.solving import Solved, law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import SolvedState, State, solve_condition
from tablegen.physics.demand import port_demand
from tablegen.physics.envelope import Envelope, Extreme, Head, HeadCondition, LiquidSupply
from tablegen.physics.operating import operating_point
from tablegen.physics.windows import window

HEADS = 25


def balance_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for the example of each printed combination.

    Beside the example's own size stands the largest that is too small, with the head below which it starves.
    """
    parts = [_curve(example) for example in examples]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _curve(example: Example) -> pd.DataFrame:
    solved, row = example.solved, example.row
    refrigerant = solved.refrigerant
    envelope = replace(solved.application.envelopes[refrigerant.name], capacity_step=1.0)
    rated = solved.rated.at(np.array([row]))
    law = law_of(example.family)
    heads, subcooling = _heads(solved, row)
    item = _at_heads(solved, envelope, rated, heads, subcooling)
    own_rated = rated.at(np.zeros(heads.size, dtype=np.int64))
    demand = port_demand(item, own_rated, refrigerant, law.law, law.pressure_recovery)
    here = window(example.valve, [item], [demand], envelope.superheat)
    state, kv = item.state, example.size.kv_rated_m3h
    point = operating_point(example.valve, item, demand, np.full(heads.size, example.load_w / kv), envelope.superheat)
    travel = example.valve.actuator.travel(state, envelope.superheat, state.capacity_ratio)
    greatest = here.max_load_w * state.capacity_ratio
    frame = pd.DataFrame({
        "group": example.combination.group,
        "family": example.family.name,
        "size": example.size.name,
        "refrigerant": refrigerant.name,
        "envelope": solved.application.name,
        "sst_k": float(solved.application.sst_k[row]),
        "head_pressure_pa": heads,
        "head_bubble_temperature_k": state.head_bubble_temperature_k,
        "inlet_subcooling_k": subcooling,
        "flow_ratio": state.flow_ratio,
        "capacity_ratio": state.capacity_ratio,
        "load_w": example.load_w,
        "compressor_capacity_w": example.load_w * state.capacity_ratio,
        "evaporator_capacity_w": example.load_w * _evaporator(envelope, state, own_rated),
        "valve_greatest_w": greatest * kv,
        "valve_least_w": here.min_load_w * state.capacity_ratio * kv,
        "smaller_size": example.smaller.name if example.smaller else "",
        "smaller_greatest_w": greatest * example.smaller.kv_rated_m3h if example.smaller else np.nan,
        "opening": point.opening,
        "greatest_opening": travel.greatest,
        "least_opening": travel.least,
        "superheat_k": point.superheat_k,
        "reason": ["" if is_open else str(why) for is_open, why in zip(here.is_open, here.max_reason, strict=True)],
    })  # fmt: skip
    frame["smaller_crossing_pa"] = _crossing(
        frame["head_pressure_pa"].to_numpy(),
        (frame["smaller_greatest_w"] - frame["compressor_capacity_w"]).to_numpy(),
    )
    return frame


def _at_heads(solved: Solved, envelope: Envelope, rated: State, heads: Floats, subcooling: Floats) -> SolvedState:
    """One suction temperature at every head, as one state along the heads."""
    items = []
    for head_pa, subcooling_k in zip(heads, subcooling, strict=True):
        liquid = LiquidSupply(None, float(subcooling_k), float(subcooling_k))
        condition = HeadCondition(Extreme.RATING, Head(pressure_pa=float(head_pa)), liquid)
        items += solve_condition(solved.refrigerant, envelope, condition, rated, solved.states[0].response)
    joined = State(**{f.name: np.concatenate([getattr(i.state, f.name) for i in items]) for f in fields(State)})
    return replace(items[0], state=joined, reason=np.concatenate([i.reason for i in items]))


def _evaporator(envelope: Envelope, state: State, rated: State) -> Floats:
    """Capacity of the evaporator over the rated one: 1 where the suction is held, else by its colder surface."""
    if envelope.box_difference_k is None:
        return np.ones_like(state.evaporating_temperature_k)
    fallen = rated.evaporating_temperature_k - state.evaporating_temperature_k
    return np.asarray((envelope.box_difference_k + fallen) / envelope.box_difference_k)


def _crossing(head_pa: Floats, surplus_w: Floats) -> float:
    """The head [Pa] at which a surplus that grows with head passes zero, by linear interpolation; NaN if nowhere."""
    below = np.flatnonzero((surplus_w[:-1] < 0.0) & (surplus_w[1:] >= 0.0))
    if not below.size:
        return float("nan")
    i = int(below[-1])
    share = surplus_w[i] / (surplus_w[i] - surplus_w[i + 1])
    return float(head_pa[i] + share * (head_pa[i + 1] - head_pa[i]))


def _heads(solved: Solved, row: int) -> tuple[Floats, Floats]:
    """Head pressures from low to high [Pa], the rating's among them, and the inlet subcooling at each [K]."""
    known = {}
    for index in solved.at_full_flow().values():
        state = solved.states[index].state
        known[float(state.head_pressure_pa[row])] = float(state.inlet_subcooling_k[row])
    pressures = np.array(sorted(known))
    grid = np.union1d(np.linspace(pressures[0], pressures[-1], HEADS), pressures)
    return grid, np.interp(grid, pressures, [known[p] for p in pressures])
