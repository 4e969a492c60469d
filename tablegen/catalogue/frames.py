"""Solved states and windows as frames: rows for each state, and for each size and suction temperature."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pandas as pd

from tablegen.catalogue.inputs import Family
from tablegen.catalogue.registry import PropertyUncertainty
from tablegen.catalogue.scatter.confidence import Limits
from tablegen.catalogue.scatter.tables import Scattered, printed_window
from tablegen.catalogue.solving import Law, Solved, law_of, unit_window
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import State
from tablegen.physics.demand import effective_drop
from tablegen.physics.envelope import Extreme
from tablegen.physics.operating import operating_superheat
from tablegen.physics.windows import ThermostaticActuator, Valve, Window

W_PER_KW = 1000.0
# Columns of a state as solved; the compressor's flow in arbitrary units is of no use to a reader.
STATE_COLUMNS = tuple(f.name for f in fields(State) if f.name != "relative_flow")


def states_frame(solved: Solved, law: Law, uncertainty: PropertyUncertainty) -> pd.DataFrame:
    """One row per suction temperature, response, condition and side, under one flow law."""
    parts = []
    for item, demand in zip(solved.states, solved.demands[law.key], strict=True):
        columns: dict[str, Any] = {
            "refrigerant": solved.refrigerant.name,
            "envelope": solved.application.name,
            "flow_law": law.law.value,
            "f_l": law.pressure_recovery,
            "sst_k": solved.application.sst_k,
            "suction_response": item.response.value,
            "extreme": item.extreme.value,
            "limit": item.side.value,
        }
        columns |= {name: getattr(item.state, name) for name in STATE_COLUMNS}
        columns["effective_pressure_drop_pa"] = effective_drop(
            item.state, solved.refrigerant, law.law, law.pressure_recovery
        )
        columns["port_demand_m3h_per_kw"] = demand * W_PER_KW
        columns |= {
            "pressure_uncertainty": uncertainty.pressure,
            "density_uncertainty": uncertainty.density,
            "enthalpy_uncertainty": uncertainty.enthalpy,
        }
        columns["reason"] = [_text(r) for r in item.reason]
        parts.append(pd.DataFrame(columns))
    return pd.concat(parts, ignore_index=True)


def windows_frame(family: Family, solved: Solved, scattered: Scattered | None = None) -> pd.DataFrame:
    """One row per size and suction temperature; with `scattered` limits at its confidence stand beside the nominal."""
    charge, valve, unit = unit_window(family, solved)
    middle = np.sqrt(unit.min_load_w * unit.max_load_w)
    confident = {} if scattered is None else scattered.limits(family, solved)
    low, high = (
        _superheat(valve, family, solved, extreme, middle) for extreme in (Extreme.LOW_HEAD, Extreme.HIGH_HEAD)
    )
    swing = _balanced_swing(valve, family, solved, middle)
    parts = []
    for size in family.sizes:
        kv = size.kv_rated_m3h
        window = printed_window(unit, confident.get(size.name), scattered is not None and scattered.is_printed)
        parts.append(
            pd.DataFrame({
                "family": family.name,
                "size": size.name,
                "kv_rated_m3h": kv,
                "refrigerant": solved.refrigerant.name,
                "envelope": solved.application.name,
                "charge": charge,
                "sst_k": solved.application.sst_k,
                "min_load_w": window.min_load_w * kv,
                "max_load_w": window.max_load_w * kv,
                "min_extreme": [_text(e) for e in window.min_extreme],
                "max_extreme": [_text(e) for e in window.max_extreme],
                "min_reason": [_text(r) for r in window.min_reason],
                "max_reason": [_text(r) for r in window.max_reason],
                "nominal_min_load_w": unit.min_load_w * kv,
                "nominal_max_load_w": unit.max_load_w * kv,
                **_confident_columns(confident.get(size.name), unit, kv),
                "middle_load_w": middle * kv,
                "superheat_low_head_k": low,
                "superheat_high_head_k": high,
                "superheat_swing_k": high - low,
                "unbalance_swing_k": (high - low) - swing,
            })
        )  # fmt: skip
    return pd.concat(parts, ignore_index=True)


def _confident_columns(limits: Limits | None, unit: Window, kv: float) -> dict[str, Floats]:
    """The limits at the confidence, where the window is open; NaN where nothing is said of scatter."""
    nan = np.full(unit.min_load_w.shape, np.nan)
    if limits is None:
        return {"confident_min_load_w": nan, "confident_max_load_w": nan}
    window = printed_window(unit, limits, True)
    return {"confident_min_load_w": window.min_load_w * kv, "confident_max_load_w": window.max_load_w * kv}


def _balanced_swing(valve: Valve | None, family: Family, solved: Solved, load_w: Floats) -> Floats:
    """Superheat swing that the same valve would have with a balanced port."""
    if valve is None or not isinstance(valve.actuator, ThermostaticActuator):
        return np.full(load_w.shape, np.nan)
    balanced = replace(valve.actuator, balance=replace(valve.actuator.balance, unbalance=0.0))
    own = replace(valve, actuator=balanced)
    low, high = (_superheat(own, family, solved, e, load_w) for e in (Extreme.LOW_HEAD, Extreme.HIGH_HEAD))
    return high - low


def _superheat(valve: Valve | None, family: Family, solved: Solved, extreme: Extreme, load_w: Floats) -> Floats:
    """Operating superheat at a load per m3/h of Kv, at full flow; the held response where it was solved."""
    if valve is None:
        return np.full(load_w.shape, np.nan)
    index = solved.at_full_flow()[extreme]
    return operating_superheat(valve, solved.states[index], solved.demands[law_of(family).key][index], load_w)


def _text(member: Any) -> str:
    return "" if member is None else str(member)
