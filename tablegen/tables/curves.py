"""Curves for the graphs of a family: superheat against load, the charge against the evaporator, the sizes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family, Trim
from tablegen.physics.operating import operating_point
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import Extreme
from tablegen.physics.valve import static_superheat
from tablegen.physics.windows import ThermostaticActuator
from tablegen.sweep.solving import law_of
from tablegen.tables.example import Example

LOADS = 61
# The curve runs over this share of the example's load on either side: from unsteady to starved.
LEAST_SHARE, GREATEST_SHARE = 0.2, 2.0
TEMPERATURES = 41


def superheat_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """Opening, superheat and zone against load, at the low and at the high head, for each example's size."""
    parts = [_loads(example, extreme) for example in examples for extreme in (Extreme.LOW_HEAD, Extreme.HIGH_HEAD)]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _loads(example: Example, extreme: Extreme) -> pd.DataFrame:
    solved, kv = example.solved, example.size.kv_rated_m3h
    index = solved.at_full_flow()[extreme]
    item, demand = solved.states[index], solved.demands[law_of(example.family).key][index]
    row = np.full(LOADS, example.row)
    here = item.at(row)
    load = example.load_w * np.geomspace(LEAST_SHARE, GREATEST_SHARE, LOADS)
    limits = solved.application.envelopes[solved.refrigerant.name].superheat
    point = operating_point(example.valve, here, demand[row], load / kv, limits)
    return pd.DataFrame(
        {
            "family": example.family.name,
            "group": example.combination.group,
            "envelope": example.combination.envelope,
            "refrigerant": solved.refrigerant.name,
            "sst_k": float(solved.application.sst_k[example.row]),
            "size": example.size.name,
            "extreme": extreme.value,
            "load_w": load,
            "opening": point.opening,
            "superheat_k": point.superheat_k,
            "zone": [str(z) for z in point.zone],
        }
    )


def charge_frame(catalogue: Catalogue) -> pd.DataFrame:
    """Bulb, evaporator and spring pressure against temperature for every bulb charge, on its setting refrigerant."""
    parts = [
        _charge(family, trim, catalogue.settings[trim.setting_refrigerant])
        for family in catalogue.families.values()
        for trim in family.trims
        if isinstance(trim.actuator, ThermostaticActuator)
    ]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _charge(family: Family, trim: Trim, refrigerant: Refrigerant) -> pd.DataFrame:
    actuator = trim.actuator
    assert isinstance(actuator, ThermostaticActuator)
    balance = actuator.balance
    evaporating = np.linspace(*actuator.evaporating_k, TEMPERATURES)
    dew = refrigerant.dew(evaporating).pressure_pa
    static = static_superheat(balance, refrigerant, evaporating)
    return pd.DataFrame(
        {
            "family": family.name,
            "charge": trim.name,
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
