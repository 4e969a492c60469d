"""Curves for the graphs of a family: superheat against load, the charge against the evaporator, the sizes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family, PowerElement
from tablegen.model.solving import law_of
from tablegen.physics.operating import operating_point
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import OperatingCondition
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import ThermostaticActuator
from tablegen.tables.example import Example

LOADS = 61
# The curve runs over this share of the example's load on either side: from unsteady to starved.
MIN_SHARE, MAX_SHARE = 0.2, 2.0
TEMPERATURES = 41


def superheat_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Opening, superheat and zone against load, at the low and at the high head, for each example's size."""
    parts = [
        _loads(example, condition)
        for example in examples
        for condition in (OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD)
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _loads(example: Example, condition: OperatingCondition) -> pd.DataFrame:
    solved, kv = example.solved, example.size.kv_rated_m3h
    index = solved.at_full_flow()[condition]
    item, required_kv = solved.states[index], solved.required_kvs[law_of(example.family).key][index]
    row = np.full(LOADS, example.row)
    here = item.at(row)
    load = example.load_w * np.geomspace(MIN_SHARE, MAX_SHARE, LOADS)
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
        _charge(family, element, catalogue.settings[element.setting_refrigerant])
        for family in catalogue.families.values()
        for element in family.elements
        if isinstance(element.actuator, ThermostaticActuator)
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _charge(family: Family, element: PowerElement, refrigerant: Refrigerant) -> pd.DataFrame:
    actuator = element.actuator
    assert isinstance(actuator, ThermostaticActuator)
    balance = actuator.balance
    evaporating = np.linspace(*actuator.evaporating_k, TEMPERATURES)
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
