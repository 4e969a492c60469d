"""Curves for the graphs of a family: balance against head pressure, superheat against load, bulb charges; and its sizes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family, PowerElement
from tablegen.model.solving import law_of
from tablegen.physics.arrays import Floats
from tablegen.physics.conditions import State
from tablegen.physics.operating import operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import OperatingCondition, SystemInputs
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import ThermostaticActuator
from tablegen.sweep.head_sweep import head_lines, states_along
from tablegen.tables.examples import Example

_LOADS, _TEMPERATURES = 61, 41
# The superheat curve runs from a load at which the valve hunts to one that starves the evaporator [share of load].
_MIN_SHARE, _MAX_SHARE = 0.2, 2.0


def balance_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for the example of each printed combination.

    Next to the example's own size comes the largest that is too small, with the head pressure below which it starves
    the evaporator.
    """
    parts = [balance_curve(example) for example in examples]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def balance_curve(example: Example) -> pd.DataFrame:
    """The rows of one example; limits that cross at a head pressure are in it, with the reason."""
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
    """Why no load is covered at a head pressure; empty where one is."""
    if np.isnan(max_w):
        return str(why)
    return str(Reason.CROSSED) if min_w >= max_w else ""


def _evaporator(system: SystemInputs, state: State, rated: State) -> Floats:
    """Capacity of the evaporator over the rated one: 1 with constant SST, otherwise by its colder surface."""
    if system.box_difference_k is None:
        return np.ones_like(state.evaporating_temperature_k)
    drop_k = rated.evaporating_temperature_k - state.evaporating_temperature_k
    return np.asarray((system.box_difference_k + drop_k) / system.box_difference_k)


def _crossing(head_pa: Floats, surplus_w: Floats) -> float:
    """The head pressure [Pa] at which a surplus that grows with it passes zero, interpolated; NaN if nowhere."""
    below = np.flatnonzero((surplus_w[:-1] < 0.0) & (surplus_w[1:] >= 0.0))
    if not below.size:
        return float("nan")
    i = int(below[-1])
    share = surplus_w[i] / (surplus_w[i] - surplus_w[i + 1])
    return float(head_pa[i] + share * (head_pa[i + 1] - head_pa[i]))


def superheat_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Opening, superheat and zone against load, at the low and at the high head, for each example's size."""
    parts = [
        _superheat_curve(example, condition)
        for example in examples
        for condition in (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD)
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _superheat_curve(example: Example, condition: OperatingCondition) -> pd.DataFrame:
    solved, kv = example.solved, example.size.kv_rated_m3h
    index = solved.at_full_flow()[condition]
    item, required_kv = solved.states[index], solved.required_kvs[law_of(example.family).key][index]
    row = np.full(_LOADS, example.row)
    here = item.at(row)
    load = example.load_w * np.geomspace(_MIN_SHARE, _MAX_SHARE, _LOADS)
    limits = solved.application.systems[solved.refrigerant.name].superheat
    point = operating_point(example.valve, here, required_kv[row], load / kv, limits)
    return pd.DataFrame(
        {
            "family": example.family.name,
            "group": example.combination.group,
            "application": example.combination.application,
            "refrigerant": solved.refrigerant.name,
            "sst_k": float(solved.application.sst_k[example.row]),
            "size": example.size.name,
            "condition": condition.value,
            "load_w": load,
            "opening": point.opening,
            "superheat_k": point.superheat_k,
            "zone": [str(z) for z in point.zone],
        }
    )


def charge_frame(catalogue: Catalogue) -> pd.DataFrame:
    """Bulb, evaporator and spring pressure against temperature for every bulb charge, on its setting refrigerant."""
    parts = [
        _charge_curve(family, element, catalogue.settings[element.setting_refrigerant])
        for family in catalogue.families.values()
        for element in family.elements
        if isinstance(element.actuator, ThermostaticActuator)
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _charge_curve(family: Family, element: PowerElement, refrigerant: Refrigerant) -> pd.DataFrame:
    actuator = element.actuator
    assert isinstance(actuator, ThermostaticActuator)
    balance = actuator.balance
    evaporating = np.linspace(*actuator.evaporating_k, _TEMPERATURES)
    dew = refrigerant.dew(evaporating).pressure_pa
    static = static_superheat(balance, refrigerant, evaporating)
    return pd.DataFrame(
        {
            "family": family.name,
            "charge": element.name,
            "refrigerant": refrigerant.name,
            "evaporating_temperature_k": evaporating,
            "evaporating_pressure_pa": dew,
            "spring_pressure_pa": balance.spring_pa,
            "bulb_pressure_pa": balance.charge.pressure(evaporating),
            "static_superheat_k": static,
            "is_above_mop": balance.charge.is_above_limit(evaporating + static),
        }
    )


def sizes_frame(catalogue: Catalogue) -> pd.DataFrame:
    """Every size with its flow coefficient and, where the family has a rating, its nominal capacity."""
    return pd.DataFrame(
        [
            {
                "family": family.name,
                "size": size.name,
                "kv_rated_m3h": size.kv_rated_m3h,
                "nominal_capacity_w": size.nominal_capacity_w,
            }
            for family in catalogue.families.values()
            for size in family.sizes
        ]
    )
