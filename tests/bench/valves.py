"""The demo's alder and its medium-temperature charge on the bench."""

from __future__ import annotations

import dataclasses

import numpy as np

from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import ChargeOnBench, ValveOnBench
from tablegen.physics.flow import FlowLaw
from tests.bench.demo_data import CHARGE, alder_element, alder_truth
from tests.bench.invented import Truth, kelvin
from tests.registry import refrigerant

FLUID = refrigerant("R404A")
FLUIDS = {"R404A": FLUID}
SETTING = alder_element().setting
ON_BENCH = ChargeOnBench(alder_element().actuator.balance.charge, SETTING, FLUID)
VALVE = ValveOnBench("alder", 1.2, 0.25, FlowLaw.ORIFICE, True, {CHARGE: ON_BENCH})
POINTS = ((0.0, 0.0), (0.25, 0.15), (0.5, 0.38), (0.75, 0.68), (1.0, 1.0), (1.2, 1.2))


def truth(**other) -> Truth:
    """The demo's truth with some of it otherwise."""
    return dataclasses.replace(alder_truth(), **other)


def true_value(made_from: Truth, key: str, of: str) -> float:
    """What an estimate should come to, in its unit."""
    if key == "kv":
        return made_from.kv_m3h[of]
    if key == "opening":
        return float(made_from.share(float(of.split()[0]) / 100.0))
    return {
        "pressure_recovery": made_from.recovery,
        "unbalance": made_from.unbalance,
        "static_superheat": made_from.static_superheat_k,
        "opening_superheat": made_from.opening_superheat_k,
    }[key]


def charge_rows(seed, charge=None, noise=0.07, count=24) -> BenchRows:
    """Temperature and pressure of a bulb alone."""
    rng = np.random.default_rng(seed)
    true = np.linspace(kelvin(-5.0), kelvin(70.0), count)
    empty, names = np.full(count, np.nan), np.full(count, "", dtype=object)
    pressure = (charge or ON_BENCH.charge).pressure(true) * (1.0 + 0.001 * rng.standard_normal(count))
    return BenchRows(
        np.arange(2, count + 2),
        names,
        names,
        np.full(count, CHARGE, dtype=object),
        empty,
        empty,
        empty,
        empty,
        empty,
        true + noise * rng.standard_normal(count),
        pressure,
        empty,
    )
