"""Sweep the head between its extremes: the curves of the balance graph, and limits set inside.

Between two conditions the inlet subcooling is taken as linear in head pressure (assumption).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd

from tablegen.catalogue.inputs import Catalogue, Family
from tablegen.catalogue.sweep import Solved, law_of, unit_window
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import Side, port_demand, solve_condition
from tablegen.physics.envelope import Extreme, Head, HeadCondition, LiquidSupply
from tablegen.physics.windows import window

HEADS = 25


def balance_frame(catalogue: Catalogue, solved_by: dict[tuple[str, str], Solved]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for one example of each printed combination.

    The example is the group's first member at the envelope's example suction temperature, the middle size,
    and a system whose rated capacity is the geometric middle of that size's window.
    """
    parts = []
    for combination in catalogue.combinations:
        family = catalogue.families[combination.family]
        member = catalogue.groups[combination.group].members[0]
        frame = _curve(family, solved_by[member, combination.envelope])
        if frame is not None:
            frame.insert(0, "group", combination.group)
            parts.append(frame)
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _curve(family: Family, solved: Solved) -> pd.DataFrame | None:
    _, valve, unit = unit_window(family, solved)
    application = solved.application
    row = int(np.flatnonzero(application.sst_k == application.example_sst_k)[0])
    if valve is None or not unit.is_open[row]:
        return None
    envelope = application.envelopes[solved.refrigerant.name]
    rated = solved.rated.at(np.array([row]))
    size = family.sizes[len(family.sizes) // 2]
    example_w = float(np.sqrt(unit.min_load_w[row] * unit.max_load_w[row])) * size.kv_rated_m3h
    law = law_of(family)
    rows = []
    for head_pa, subcooling_k in zip(*_heads(solved, row), strict=True):
        condition = HeadCondition(
            Extreme.RATING, Head(pressure_pa=float(head_pa)), LiquidSupply(None, float(subcooling_k), float(subcooling_k))
        )
        full = replace(envelope, capacity_step=1.0)
        item = solve_condition(solved.refrigerant, full, condition, rated, solved.states[0].response)[0]
        demand = port_demand(item, rated, solved.refrigerant, law.law, law.pressure_recovery)
        here = window(valve, [item], [demand], envelope.superheat)
        capacity = float(item.state.capacity_ratio[0])
        rows.append({
            "family": family.name,
            "size": size.name,
            "refrigerant": solved.refrigerant.name,
            "envelope": application.name,
            "sst_k": application.example_sst_k,
            "head_pressure_pa": float(head_pa),
            "head_bubble_temperature_k": float(item.state.head_bubble_temperature_k[0]),
            "inlet_subcooling_k": float(subcooling_k),
            "flow_ratio": float(item.state.flow_ratio[0]),
            "capacity_ratio": capacity,
            "example_load_w": example_w,
            "compressor_capacity_w": example_w * capacity,
            "valve_greatest_w": float(here.max_load_w[0]) * size.kv_rated_m3h * capacity,
            "valve_least_w": float(here.min_load_w[0]) * size.kv_rated_m3h * capacity,
            "reason": str(here.max_reason[0]) if not here.is_open[0] else "",
        })  # fmt: skip
    return pd.DataFrame(rows)


def _heads(solved: Solved, row: int) -> tuple[Floats, Floats]:
    """Head pressures from low to high [Pa], the rating's among them, and the inlet subcooling at each [K]."""
    known = {}
    for item in solved.states:
        if item.side is not Side.MIN and item.response is solved.states[0].response:
            known[float(item.state.head_pressure_pa[row])] = float(item.state.inlet_subcooling_k[row])
    pressures = np.array(sorted(known))
    grid = np.union1d(np.linspace(pressures[0], pressures[-1], HEADS), pressures)
    return grid, np.interp(grid, pressures, [known[p] for p in pressures])
