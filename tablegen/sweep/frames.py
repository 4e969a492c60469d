"""Solved states and windows as frames: rows for each state, and for each size and suction temperature."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tablegen.confidence.confident_limits import LoadLimits, Scattered, printed_window
from tablegen.model.inputs import Family
from tablegen.model.registry import PropertyUncertainty
from tablegen.model.solving import Law, Solved, law_of, unit_window
from tablegen.physics import discharge
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.operating import operating_superheat
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.physics.system import OperatingCondition
from tablegen.physics.windows import Valve, Window, reason_under_law

if TYPE_CHECKING:
    import pandas as pd

W_PER_KW = 1000.0
# Twelve figures: far below any tolerance here, and stable against a last digit that differs between machines.
FLOAT_FORMAT = "%.12g"
# Columns of a frame by name: arrays of one length, text as objects. A frame is made of them once, for it takes time.
Columns = dict[str, NDArray[Any]]
# Columns of a state as solved, without the compressor's flow in arbitrary units and what only the maximum superheat is made of.
_INNER = {"relative_flow", "dry_transfer_units", "vapor_heat_ratio"}
STATE_COLUMNS = tuple(f.name for f in fields(State) if f.name not in _INNER)

# Columns in which the rows of one flow law differ from those of another.
LAW_COLUMNS = (
    "flow_law",
    "f_l",
    "subcooling_exponent",
    "drop_exponent",
    "reference_subcooling",
    "reference_drop",
    "min_valid_subcooling",
    "max_valid_subcooling",
    "min_valid_drop",
    "max_valid_drop",
)


def state_columns(solved: Solved, law: Law, uncertainty: PropertyUncertainty) -> Columns:
    """One row per suction temperature, response, condition and side, under one flow law.

    Those at the open flow of pulse-modulated valves follow, for each maximum duty.
    """
    parts: list[Columns] = []

    def same(value: str | float) -> NDArray[Any]:
        return laid(value, solved.application.sst_k.shape)

    states = list(zip(solved.states, solved.required_kvs[law.key], strict=True))
    for item, required_kv in itertools.chain(states, *(solved.opened_of(duty, law) for duty in law.duties)):
        drop = law.effective_drop(item.state, solved.refrigerant)
        reasons = reason_under_law(item, required_kv)
        parts.append(
            {
                "refrigerant": same(solved.refrigerant.name),
                "application": same(solved.application.name),
                **{name: same(value) for name, value in law_values(law).items()},
                "sst_k": solved.application.sst_k,
                "suction_response": same(item.response.value),
                "condition": same(item.condition.value),
                "limit": same(item.side.value),
                "open_share": same(item.open_share),
                **{name: getattr(item.state, name) for name in STATE_COLUMNS},
                "max_superheat_k": solved.system.superheat.maximum(item.state),
                "effective_pressure_drop_pa": drop,
                **_coefficients(item.state, solved.refrigerant, law),
                "required_kv_m3h_per_kw": required_kv * W_PER_KW,
                "pressure_uncertainty": same(uncertainty.pressure),
                "density_uncertainty": same(uncertainty.density),
                "enthalpy_uncertainty": same(uncertainty.enthalpy),
                "reason": np.array([_text(reason) for reason in reasons], dtype=object),
            }
        )
    return joined(parts)


def law_values(law: Law) -> dict[str, str | float]:
    """The values of `LAW_COLUMNS` of a law; NaN where it has none."""
    own = law.discharge
    values = [float("nan")] * (len(LAW_COLUMNS) - 2)
    if own is not None:
        values = [own.subcooling_exponent, own.drop_exponent, own.reference_subcooling, own.reference_drop]
        values += [*own.subcooling, *own.drop]
    return dict(zip(LAW_COLUMNS, (law.law.value, law.pressure_recovery, *values), strict=True))


def _coefficients(state: State, refrigerant: Refrigerant, law: Law) -> Columns:
    """Subcooling and drop as shares, and the discharge coefficient that follows from them; NaN where the law has none."""
    bubble_pa = np.minimum(state.liquid_bubble_pressure_pa, state.inlet_pressure_pa)
    s = discharge.subcooling_ratio(p_1=state.inlet_pressure_pa, p_v=bubble_pa, p_crit=refrigerant.critical_pressure_pa)
    y = discharge.drop_ratio(dp=state.pressure_drop_pa, p_1=state.inlet_pressure_pa)
    ratio = np.full(s.shape, np.nan)
    if law.discharge is not None:
        ratio = law.discharge.ratio(
            state.pressure_drop_pa,
            state.inlet_pressure_pa,
            bubble_pa,
            refrigerant.critical_pressure_pa,
        )
    return {"subcooling_ratio": s, "drop_ratio": y, "discharge_ratio": ratio}


def windows_frame(family: Family, solved: Solved, scattered: Scattered | None = None) -> pd.DataFrame:
    """One row per size and suction temperature; with `scattered` also the limits at its confidence."""
    import pandas as pd

    return pd.DataFrame(window_columns(family, solved, scattered))


def window_columns(family: Family, solved: Solved, scattered: Scattered | None = None) -> Columns:
    """The columns of `windows_frame`."""
    parts = family.by_design()
    found = joined(_part_columns(part, solved, scattered) for part in parts)
    if len(parts) == 1:
        return found
    # Sizes in the order of the family again.
    places = {size.name: i for i, size in enumerate(family.sizes)}
    order = np.argsort([places[name] for name in found["size"]], kind="stable")
    return {name: values[order] for name, values in found.items()}


def _part_columns(family: Family, solved: Solved, scattered: Scattered | None) -> Columns:
    """The columns of sizes that have one window for each m3/h of rated Kv."""
    charge, valve, unit = unit_window(family, solved)
    confident = {} if scattered is None else scattered.limits(family, solved)
    is_printed = scattered is not None and scattered.is_printed
    at_middle = solved.once((valve, law_of(family).key, "middle"), lambda: _at_middle(valve, family, solved, unit))
    # Without limits at confidence the same window for all sizes, which is laid out once.
    all_sizes = family.sizes if confident else family.sizes[:1]
    printed = [printed_window(unit, confident.get(size.name), is_printed) for size in all_sizes]
    own = [_confident(confident.get(size.name), unit) for size in all_sizes]
    kv = np.array([[size.kv_rated_m3h] for size in family.sizes])
    # Sizes down, suction temperatures across, as the rows lie in the frame.
    shape = len(family.sizes), len(solved.application.sst_k)

    def column(values: str | float | Floats) -> NDArray[Any]:
        return laid(values, shape)

    def named(text: list[list[str]]) -> NDArray[Any]:
        return laid(np.array(text, dtype=object), shape)

    return {
        "family": column(family.name),
        "size": named([[size.name] for size in family.sizes]),
        "kv_rated_m3h": column(kv),
        "refrigerant": column(solved.refrigerant.name),
        "application": column(solved.application.name),
        "charge": column(charge),
        "sst_k": column(solved.application.sst_k),
        "min_load_w": column(np.stack([w.min_load_w for w in printed]) * kv),
        "max_load_w": column(np.stack([w.max_load_w for w in printed]) * kv),
        "min_condition": named([_texts(w.min_condition) for w in printed]),
        "max_condition": named([_texts(w.max_condition) for w in printed]),
        "min_reason": named([_texts(w.min_reason) for w in printed]),
        "max_reason": named([_texts(w.max_reason) for w in printed]),
        "nominal_min_load_w": column(unit.min_load_w * kv),
        "nominal_max_load_w": column(unit.max_load_w * kv),
        "confident_min_load_w": column(np.stack([w.min_load_w for w in own]) * kv),
        "confident_max_load_w": column(np.stack([w.max_load_w for w in own]) * kv),
        "confident_reason": named([_why_empty(w) for w in own]) if scattered else column(""),
        "middle_load_w": column(at_middle.load_w * kv),
        "superheat_low_head_k": column(at_middle.low_head_k),
        "superheat_high_head_k": column(at_middle.high_head_k),
        "superheat_swing_k": column(at_middle.swing_k),
        "unbalance_swing_k": column(at_middle.swing_k - at_middle.balanced_swing_k),
    }


class _AtMiddle(NamedTuple):
    """The load in the middle of a window [W for each m3/h of rated Kv], and superheats at it [K]."""

    load_w: Floats
    low_head_k: Floats
    high_head_k: Floats
    swing_k: Floats
    balanced_swing_k: Floats


def _at_middle(valve: Valve | None, family: Family, solved: Solved, unit: Window) -> _AtMiddle:
    middle = np.sqrt(unit.min_load_w * unit.max_load_w)
    low, high = (
        _superheat(valve, family, solved, condition, middle)
        for condition in (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD)
    )
    return _AtMiddle(middle, low, high, high - low, _balanced_swing(valve, family, solved, middle))


def laid(values: str | float | Floats | Names, shape: tuple[int, ...]) -> NDArray[Any]:
    """A column of values that are the same along some axes of a shape; text as objects."""
    own = np.array(values, dtype=object) if isinstance(values, str) else np.asarray(values)
    return np.broadcast_to(own, shape).ravel()


def joined(parts: Iterable[Columns]) -> Columns:
    """Columns of some parts, one below the other."""
    parts = list(parts)
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _confident(limits: LoadLimits | None, unit: Window) -> Window:
    """The window at confidence, where the nominal one is open; no window where no scatter is given."""
    if limits is None:
        nan = np.full(unit.min_load_w.shape, np.nan)
        return replace(unit, min_load_w=nan, max_load_w=nan)
    return printed_window(unit, limits, True)


def _why_empty(window: Window) -> list[str]:
    """What empties a window; "" where it is open."""
    return ["" if is_open else _text(reason) for is_open, reason in zip(window.is_open, window.max_reason, strict=True)]


def _balanced_swing(valve: Valve | None, family: Family, solved: Solved, load_w: Floats) -> Floats:
    """Superheat swing that the same valve would have with a balanced port."""
    if valve is None or not isinstance(valve.actuator, ThermostaticActuator):
        return np.full(load_w.shape, np.nan)
    balanced = replace(valve.actuator, balance=replace(valve.actuator.balance, unbalance=0.0))
    own = replace(valve, actuator=balanced)
    low, high = (
        _superheat(own, family, solved, e, load_w) for e in (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD)
    )
    return high - low


def _superheat(
    valve: Valve | None, family: Family, solved: Solved, condition: OperatingCondition, load_w: Floats
) -> Floats:
    """Operating superheat at a load per m3/h of Kv, at full flow; with constant SST where that was solved."""
    if valve is None:
        return np.full(load_w.shape, np.nan)
    index = solved.at_full_flow()[condition]
    return operating_superheat(valve, solved.states[index], solved.required_kvs[law_of(family).key][index], load_w)


def _texts(members: Names) -> list[str]:
    return [_text(member) for member in members]


def _text(member: Any) -> str:
    return "" if member is None else str(member)
