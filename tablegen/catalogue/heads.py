"""Sweep the head between its extremes: the curves of the balance graph, and limits set inside.

Between two conditions the inlet subcooling is taken as linear in head pressure (assumption).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from tablegen.catalogue.example import Example
from tablegen.catalogue.sweep import Solved, law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import Side, State, solve_condition
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
    rows = []
    for head_pa, subcooling_k in zip(*_heads(solved, row), strict=True):
        liquid = LiquidSupply(None, float(subcooling_k), float(subcooling_k))
        condition = HeadCondition(Extreme.RATING, Head(pressure_pa=float(head_pa)), liquid)
        item = solve_condition(refrigerant, envelope, condition, rated, solved.states[0].response)[0]
        demand = port_demand(item, rated, refrigerant, law.law, law.pressure_recovery)
        here = window(example.valve, [item], [demand], envelope.superheat)
        capacity = float(item.state.capacity_ratio[0])
        load = np.array([example.load_w / example.size.kv_rated_m3h])
        point = operating_point(example.valve, item, demand, load, envelope.superheat)
        travel = example.valve.actuator.travel(item.state, envelope.superheat, item.state.capacity_ratio)
        greatest_w = float(here.max_load_w[0]) * capacity
        rows.append({
            "group": example.combination.group,
            "family": example.family.name,
            "size": example.size.name,
            "refrigerant": refrigerant.name,
            "envelope": solved.application.name,
            "sst_k": float(solved.application.sst_k[row]),
            "head_pressure_pa": float(head_pa),
            "head_bubble_temperature_k": float(item.state.head_bubble_temperature_k[0]),
            "inlet_subcooling_k": float(subcooling_k),
            "flow_ratio": float(item.state.flow_ratio[0]),
            "capacity_ratio": capacity,
            "load_w": example.load_w,
            "compressor_capacity_w": example.load_w * capacity,
            "evaporator_capacity_w": example.load_w * _evaporator(envelope, item.state, rated),
            "valve_greatest_w": greatest_w * example.size.kv_rated_m3h,
            "valve_least_w": float(here.min_load_w[0]) * capacity * example.size.kv_rated_m3h,
            "smaller_size": example.smaller.name if example.smaller else "",
            "smaller_greatest_w": greatest_w * example.smaller.kv_rated_m3h if example.smaller else np.nan,
            "opening": float(point.opening[0]),
            "greatest_opening": float(travel.greatest[0]),
            "least_opening": float(travel.least[0]),
            "superheat_k": float(point.superheat_k[0]),
            "reason": "" if here.is_open[0] else str(here.max_reason[0]),
        })  # fmt: skip
    frame = pd.DataFrame(rows)
    frame["smaller_crossing_pa"] = _crossing(
        frame["head_pressure_pa"].to_numpy(),
        (frame["smaller_greatest_w"] - frame["compressor_capacity_w"]).to_numpy(),
    )
    return frame


def _evaporator(envelope: Envelope, state: State, rated: State) -> float:
    """Capacity of the evaporator over the rated one: 1 where the suction is held, else by its colder surface."""
    if envelope.box_difference_k is None:
        return 1.0
    fallen = float(rated.evaporating_temperature_k[0] - state.evaporating_temperature_k[0])
    return (envelope.box_difference_k + fallen) / envelope.box_difference_k


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
    for item in solved.states:
        if item.side is not Side.MIN and item.response is solved.states[0].response:
            known[float(item.state.head_pressure_pa[row])] = float(item.state.inlet_subcooling_k[row])
    pressures = np.array(sorted(known))
    grid = np.union1d(np.linspace(pressures[0], pressures[-1], HEADS), pressures)
    return grid, np.interp(grid, pressures, [known[p] for p in pressures])
