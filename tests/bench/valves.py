"""Alder of the catalogue whose figures stay, and its medium-temperature charge, on the bench."""

from __future__ import annotations

import dataclasses

import numpy as np

from tablegen.bench.parameters import Parameter, Quantity
from tablegen.bench.readings import BenchRows, ChargeOnBench, ValveOnBench
from tablegen.physics.flow import FlowLaw
from tests.bench.demo_data import CHARGE, alder_element, alder_truth
from tests.bench.invented import Truth, kelvin
from tests.registry import refrigerant
from tests.worked import worked_catalogue

FLUID = refrigerant("R404A")
FLUIDS = {"R404A": FLUID}
ELEMENT = alder_element(worked_catalogue())
SETTING = ELEMENT.setting
ON_BENCH = ChargeOnBench(ELEMENT.actuator.balance.charge, SETTING, FLUID)
CHARACTERISTIC = worked_catalogue().families["alder"].characteristic
VALVE = ValveOnBench(
    family="alder",
    stop=CHARACTERISTIC.stop,
    min_opening=ELEMENT.actuator.min_stable,
    law=FlowLaw.ORIFICE,
    has_characteristic=True,
    charges={CHARGE: ON_BENCH},
)
POINTS = ((0.0, 0.0), (0.25, 0.15), (0.5, 0.38), (0.75, 0.68), (1.0, 1.0), (1.2, 1.2))


def truth(**other) -> Truth:
    """The truth of the bench with some of it otherwise."""
    return dataclasses.replace(alder_truth(worked_catalogue()), **other)


def true_value(made_from: Truth, parameter: Parameter) -> float:
    """What an estimate should come to, in its unit."""
    if parameter.quantity is Quantity.KV:
        return made_from.kv_m3h[parameter.of]
    if parameter.quantity is Quantity.OPENING:
        return float(made_from.share(parameter.opening))
    return {
        Quantity.PRESSURE_RECOVERY: made_from.recovery,
        Quantity.UNBALANCE: made_from.unbalance,
        Quantity.STATIC_SUPERHEAT: made_from.static_superheat_k,
        Quantity.OPENING_SUPERHEAT: made_from.opening_superheat_k,
    }[parameter.quantity]


def charge_rows(seed, charge=None, noise=0.07, count=24) -> BenchRows:
    """Temperature and pressure of a bulb alone."""
    rng = np.random.default_rng(seed)
    true = np.linspace(kelvin(-5.0), kelvin(70.0), count)
    empty, names = np.full(count, np.nan), np.full(count, "", dtype=object)
    pressure = (charge or ON_BENCH.charge).pressure(true) * (1.0 + 0.001 * rng.standard_normal(count))
    return BenchRows(
        line=np.arange(2, count + 2),
        refrigerant=names,
        size=names,
        charge=np.full(count, CHARGE, dtype=object),
        specimen=names,
        inlet_pressure_pa=empty,
        inlet_temperature_k=empty,
        outlet_pressure_pa=empty,
        flow_kg_s=empty,
        opening=empty,
        bulb_temperature_k=true + noise * rng.standard_normal(count),
        bulb_pressure_pa=pressure,
        evaporator_pressure_pa=empty,
    )
