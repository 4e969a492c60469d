"""Bench data of invented valves whose truth is known: what a bench would read, with the scatter of its instruments."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field

import numpy as np
from scipy.interpolate import PchipInterpolator

from tablegen.bench.readings import BenchRows
from tablegen.physics.bulb import BulbCharge
from tablegen.physics.refrigerants import Refrigerant

PSI = 6894.757293168361


def kelvin(fahrenheit):
    return (np.asarray(fahrenheit, dtype=float) + 459.67) / 1.8


@dataclass(frozen=True)
class Truth:
    """An invented valve; superheats in K, pressures in Pa."""

    kv_m3h: dict[str, float]
    recovery: float | None = None
    points: tuple[tuple[float, float], ...] = ()
    static_superheat_k: float = 0.0
    opening_superheat_k: float = 0.0
    unbalance: float = 0.0
    reference_drop_pa: float = 0.0
    setting_bulb_k: float = 0.0
    # Exponents of subcooling and drop, and the point of either that Kv is rated at.
    exponents: tuple[float, float] | None = None
    reference: tuple[float, float] = (0.05, 0.5)

    def share(self, opening):
        """c(phi)."""
        return PchipInterpolator(*zip(*self.points, strict=True))(opening) if self.points else np.asarray(opening)


@dataclass(frozen=True)
class Noise:
    """Standard deviations of readings: shares of the reading for flow and pressure, of stroke for opening; K."""

    flow: float = 0.008
    opening: float = 0.003
    pressure: float = 0.0008
    liquid_k: float = 0.08
    bulb_k: float = 0.07


QUIET = Noise(0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Plan:
    """What is set on the bench, a row each: size, opening, inlet and outlet pressure [psi absolute], liquid [degF]."""

    rows: list[tuple[str, float, float, float, float]] = field(default_factory=list)
    # Opening, inlet [psi absolute], evaporator (dew) [degF] and liquid [degF]; all of one size.
    balance: list[tuple[float, float, float, float]] = field(default_factory=list)
    balance_size: str = ""
    distributor_psi: float = 25.0


def flow_plan(sizes, openings=(0.25, 0.5, 0.75, 1.0, 1.2), drops=(20.0, 60.0, 110.0, 170.0)) -> Plan:
    """Every size at every opening and drop, with cool liquid (70 degF) and warm."""
    rows = []
    for size in sizes:
        for phi in openings:
            for i, drop in enumerate(drops):
                inlet, liquid = ((250.0, 70.0), (285.0, 95.0))[i % 2]
                rows.append((size, phi, inlet, inlet - drop, liquid))
    return Plan(rows)


def balance_plan(size, openings=(0.1, 0.3, 0.5, 0.7, 0.9, 1.1), inlets=(150.0, 210.0, 270.0)) -> Plan:
    """Openings at three inlet pressures and two evaporating temperatures."""
    rows = [(phi, inlet, te, 60.0) for te in (25.0, 10.0) for inlet in inlets for phi in openings]
    return Plan([], rows, size)


def readings(
    truth: Truth,
    plan: Plan,
    noise: Noise,
    seed: int,
    fluid: Refrigerant,
    charge: BulbCharge | None = None,
    charge_name: str = "",
    specimen: str = "",
) -> BenchRows:
    """What the bench reads, line by line from 2 on."""
    rng = np.random.default_rng(seed)
    size = [r[0] for r in plan.rows] + [plan.balance_size] * len(plan.balance)
    phi = np.array([r[1] for r in plan.rows] + [r[0] for r in plan.balance])
    p1 = PSI * np.array([r[2] for r in plan.rows] + [r[1] for r in plan.balance])
    liquid = kelvin([r[4] for r in plan.rows] + [r[3] for r in plan.balance])
    pe = np.full(len(phi), np.nan)
    if plan.balance:
        pe[len(plan.rows) :] = fluid.dew(kelvin([r[2] for r in plan.balance])).pressure_pa
    p2 = np.where(
        np.isnan(pe),
        PSI * np.array([r[3] for r in plan.rows] + [0.0] * len(plan.balance)),
        pe + PSI * plan.distributor_psi,
    )
    bubble = fluid.bubble(liquid).pressure_pa
    drop = p1 - p2
    if truth.recovery is not None:
        # IEC 60534-2-1, written out anew.
        limit = truth.recovery**2 * (p1 - (0.96 - 0.28 * np.sqrt(bubble / fluid.critical_pressure_pa)) * bubble)
        drop = np.minimum(drop, limit)
    kv = np.array([truth.kv_m3h[s] for s in size]) * truth.share(phi)
    if truth.exponents is not None:
        (a, b), (s_ref, y_ref) = truth.exponents, truth.reference
        kv = kv * ((p1 - bubble) / fluid.critical_pressure_pa / s_ref) ** a * (drop / p1 / y_ref) ** b
    flow = kv * np.sqrt(fluid.liquid(liquid, p1).density_kg_m3 * drop / 1e5 * 1000.0) / 3600.0
    bulb = np.full(len(phi), np.nan)
    if charge is not None and plan.balance:
        bulb = charge.temperature(pe + opening_force(truth, fluid, charge, phi, p1 - p2))
    count = len(phi)

    def read(true, share=0.0, absolute=0.0):
        return true * (1.0 + share * rng.standard_normal(count)) + absolute * rng.standard_normal(count)

    return BenchRows(
        line=np.arange(2, count + 2),
        refrigerant=np.full(count, fluid.name, dtype=object),
        size=np.array(size, dtype=object),
        charge=np.where(np.isnan(bulb), "", charge_name).astype(object),
        specimen=np.full(count, specimen, dtype=object),
        inlet_pressure_pa=read(p1, noise.pressure),
        inlet_temperature_k=read(liquid, 0.0, noise.liquid_k),
        outlet_pressure_pa=read(p2, noise.pressure),
        flow_kg_s=read(flow, noise.flow),
        opening=read(phi, 0.0, noise.opening),
        bulb_temperature_k=read(bulb, 0.0, noise.bulb_k),
        bulb_pressure_pa=np.full(count, np.nan),
        evaporator_pressure_pa=read(pe, noise.pressure),
    )


def opening_force(truth: Truth, fluid: Refrigerant, charge: BulbCharge, phi, drop):
    """Spring, gradient and port [Pa], from superheats as the family states them."""
    at = np.asarray(truth.setting_bulb_k)
    full = charge.pressure(at)
    spring = full - fluid.dew(at - truth.static_superheat_k).pressure_pa
    gradient = charge.pressure(at + truth.opening_superheat_k) - full
    return spring + phi * gradient + truth.unbalance * (drop - truth.reference_drop_pa)


def joined(*parts: BenchRows) -> BenchRows:
    """Rows one after the other, their lines counted anew."""
    fields = [f.name for f in dataclasses.fields(BenchRows)]
    made = {name: np.concatenate([getattr(p, name) for p in parts]) for name in fields}
    made["line"] = np.arange(2, len(made["line"]) + 2)
    return BenchRows(**made)


def changed(rows: BenchRows, **values) -> BenchRows:
    """Rows with some readings otherwise: name=(line, factor or function)."""
    made = {}
    for name, (line, change) in values.items():
        column = getattr(rows, name).copy()
        at = rows.line == line
        column[at] = change(column[at])
        made[name] = column
    return dataclasses.replace(rows, **made)


def specimens_of(
    truths: dict[str, Truth],
    size_of: dict[str, str],
    noise: Noise,
    seed: int,
    fluid: Refrigerant,
    charge: BulbCharge,
    charge_name: str,
) -> BenchRows:
    """Several valves on the bench one after the other, each with flow rows and a force balance."""
    parts = []
    for i, (name, made_from) in enumerate(truths.items()):
        size = size_of[name]
        flow = flow_plan((size,), openings=(0.25, 0.6, 1.0, 1.2), drops=(20.0, 60.0, 110.0, 170.0))
        parts += [
            readings(made_from, flow, noise, 1000 * seed + 2 * i, fluid, specimen=name),
            readings(
                made_from, balance_plan(size), noise, 1000 * seed + 2 * i + 1, fluid, charge, charge_name, specimen=name
            ),
        ]
    return joined(*parts)
