"""Curves for the graphs of a family: balance against head pressure, superheat against load, bulb charges; and its sizes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family, PowerElement
from tablegen.model.solving import Solved, law_of
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.arrays import Floats, Names
from tablegen.physics.operating import operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.state import State
from tablegen.physics.system import OperatingCondition, SystemInputs
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import Valve
from tablegen.sweep.frames import Columns, laid
from tablegen.sweep.head_sweep import HeadLine, HeadStates, head_lines, states_along
from tablegen.tables.examples import Example, in_their_order, names

_LOADS, _TEMPERATURES = 61, 41
# The superheat curve runs from a load at which the valve hunts to one that starves the evaporator [share of load].
_MIN_SHARE, _MAX_SHARE = 0.2, 2.0


def balance_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Capacity of system and valve against head pressure, for the example of each printed combination.

    Next to the example's own size comes the largest that is too small, with the head pressure below which it starves
    the evaporator.
    """
    return in_their_order(examples, _balance_curves)


def balance_curve(example: Example) -> pd.DataFrame:
    """The rows of one example; limits that cross at a head pressure are in it, with the reason."""
    return balance_frame([example])


def _balance_curves(examples: Sequence[Example]) -> Columns:
    """The rows of some examples of equal valves in one system, one example below the other."""
    first = examples[0]
    solved, row, valve, law = first.solved, first.row, first.valve, law_of(first.family)
    system, (line, states) = solved.system, solved.once((row, "heads"), lambda: _along_heads(solved, row))
    heads = line.grid_pa
    here = states.limits(valve, law)
    state = states.items[0].state
    point = states.operating_points(valve, law, np.array([e.load_w / e.size.kv_rated_m3h for e in examples]))
    travel = valve.travel(state, system.superheat, state.capacity_ratio)
    most_k = system.superheat.maximum(state)
    maximum, minimum = here.max_load_w * state.capacity_ratio, here.min_load_w * state.capacity_ratio
    why = [_reason(*pair) for pair in zip(here.min_load_w, here.max_load_w, here.max_reason, strict=True)]
    kv = np.array([[example.size.kv_rated_m3h] for example in examples])
    smaller = np.array([[example.smaller.kv_rated_m3h if example.smaller else np.nan] for example in examples])
    load = np.array([[example.load_w] for example in examples])
    # Of a port design of its own the smaller size has other limits.
    others = {
        v: states.limits(v, law).max_load_w * state.capacity_ratio for v in _smaller_valves(examples) if v != valve
    }
    per_kv = [others.get(example.smaller_valve or valve, maximum) for example in examples]
    capacity, smaller_max = load * state.capacity_ratio, np.stack(per_kv) * smaller
    crossings = [[_crossing(heads, surplus)] for surplus in smaller_max - capacity]
    columns: dict[str, str | float | Floats | Names] = {
        "group": names(example.combination.group for example in examples),
        "family": names(example.family.name for example in examples),
        "size": names(example.size.name for example in examples),
        "refrigerant": solved.refrigerant.name,
        "application": solved.application.name,
        "sst_k": float(solved.application.sst_k[row]),
        "head_pressure_pa": heads,
        "head_bubble_temperature_k": state.head_bubble_temperature_k,
        "inlet_subcooling_k": state.inlet_subcooling_k
        if line.is_at_condenser
        else line.subcooling(heads, np.full(heads.size, row)),
        "flow_ratio": state.flow_ratio,
        "capacity_ratio": state.capacity_ratio,
        "load_w": load,
        "compressor_capacity_w": capacity,
        "evaporator_capacity_w": load * _evaporator(system, state, states.rated),
        "valve_max_w": maximum * kv,
        "valve_min_w": minimum * kv,
        "smaller_size": names(example.smaller.name if example.smaller else "" for example in examples),
        "smaller_max_w": smaller_max,
        "opening": point.opening.reshape(-1, heads.size),
        "max_opening": travel.maximum,
        "min_opening": travel.minimum,
        "superheat_k": point.superheat_k.reshape(-1, heads.size),
        "max_superheat_k": most_k,
        "reason": np.array(why, dtype=object),
        "smaller_crossing_pa": np.array(crossings),
    }
    return {name: laid(values, (len(examples), heads.size)) for name, values in columns.items()}


def _smaller_valves(examples: Sequence[Example]) -> set[Valve]:
    return {example.smaller_valve for example in examples if example.smaller_valve is not None}


def _along_heads(solved: Solved, row: int) -> tuple[HeadLine, HeadStates]:
    line = head_lines(solved)[0]
    return line, states_along(solved, [line], line.grid_pa, row)


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
    return in_their_order(examples, _superheat_curves)


def _superheat_curves(examples: Sequence[Example]) -> Columns:
    """The rows of some examples of equal valves in one system, one example below the other."""
    first = examples[0]
    solved = first.solved
    load = np.stack([e.load_w * np.geomspace(_MIN_SHARE, _MAX_SHARE, _LOADS) for e in examples])
    kv = np.array([[example.size.kv_rated_m3h] for example in examples])
    row = np.full(load.size, first.row)
    limits = solved.application.systems[solved.refrigerant.name].superheat
    conditions = (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD)
    points, most_k, law = [], [], law_of(first.family)
    for condition in conditions:
        index = solved.at_full_flow()[condition]
        required_kv = solved.required_kvs[law.key][index]
        here, opened = solved.states[index].at(row), solved.opened_at(condition, first.valve, law)
        open_phase = None if opened is None else (opened[0].at(row), opened[1][row])
        points.append(operating_point(first.valve, here, required_kv[row], (load / kv).ravel(), limits, open_phase))
        most_k.append(limits.maximum(here.state).reshape(load.shape))
    # Examples, conditions, loads.
    shape = len(examples), len(conditions), _LOADS

    def both(parts: Sequence[Floats | Names]) -> Floats | Names:
        return np.stack([part.reshape(load.shape) for part in parts], axis=1)

    columns: dict[str, str | float | Floats | Names] = {
        "family": names(example.family.name for example in examples)[:, None],
        "group": names(example.combination.group for example in examples)[:, None],
        "application": first.combination.application,
        "refrigerant": solved.refrigerant.name,
        "sst_k": float(solved.application.sst_k[first.row]),
        "size": names(example.size.name for example in examples)[:, None],
        "condition": names(condition.value for condition in conditions),
        "load_w": load[:, None, :],
        "opening": both([point.opening for point in points]),
        "superheat_k": both([point.superheat_k for point in points]),
        "max_superheat_k": both(most_k),
        "zone": both([np.array([str(z) for z in point.zone], dtype=object) for point in points]),
    }
    return {name: laid(values, shape) for name, values in columns.items()}


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
