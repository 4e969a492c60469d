"""A port in which flashing comes late, simulated independently: no flow code of the package, states from CoolProp.

Liquid that reaches its bubble pressure inside the port does not flash at once: the bubbles need time to grow, and the
farther the liquid is subcooled at the inlet, the later they begin.  So the port passes more than equilibrium flashing
would let it, less than liquid alone would flow:

    m = m_choked + w (m_liquid - m_choked),   w = exp(-subcooling / relaxation)   or   1 - exp(-...)

The form of the relaxation is made up for the test, the two limits are a square root and IEC 60534-2-1.
"""

from __future__ import annotations

import functools

import numpy as np
from CoolProp.CoolProp import PropsSI

from tablegen.bench.readings import BenchRows

FLUID = "R134a"
KV_M3H = {"40": 0.041, "80": 0.079}
RECOVERY = 0.82
COUNT = 103


@functools.cache
def _states(liquid_k: float, inlet_pa: float) -> tuple[float, float, float]:
    """Bubble pressure [Pa], bubble temperature at the inlet pressure [K], liquid density [kg/m3]."""
    return (
        PropsSI("P", "T", liquid_k, "Q", 0, FLUID),
        PropsSI("T", "P", inlet_pa, "Q", 0, FLUID),
        PropsSI("D", "T", liquid_k, "P", inlet_pa, FLUID),
    )


def delayed(seed: int, relaxation_k: float | None = 2.0, is_late_when_warm: bool = True, flow_noise=0.008) -> BenchRows:
    """What the bench reads; `relaxation_k` None is a port that flashes in equilibrium."""
    rng = np.random.default_rng(seed)
    size = np.array([("40", "80")[i % 2] for i in range(COUNT)], dtype=object)
    opening = np.array([(0.25, 0.5, 0.75, 1.0, 1.2)[(i // 2) % 5] for i in range(COUNT)])
    condensing = rng.choice([300.0, 306.0, 312.0, 318.0], COUNT)
    subcooling = rng.uniform(1.0, 20.0, COUNT)
    inlet = np.array([PropsSI("P", "T", t, "Q", 0, FLUID) for t in condensing])
    outlet = inlet * rng.uniform(0.25, 0.92, COUNT)
    bubble, _, density = np.array([_states(t - s, p) for t, s, p in zip(condensing, subcooling, inlet, strict=True)]).T
    critical = PropsSI("PCRIT", FLUID)
    drop = inlet - outlet
    limit = RECOVERY**2 * (inlet - (0.96 - 0.28 * np.sqrt(bubble / critical)) * bubble)
    liquid_flow, choked_flow = (_flow(size, opening, density, dp) for dp in (drop, np.minimum(drop, limit)))
    late = np.zeros(COUNT)
    if relaxation_k is not None:
        late = np.exp(-subcooling / relaxation_k)
        late = late if is_late_when_warm else 1.0 - late
    flow = choked_flow + late * (liquid_flow - choked_flow)
    empty, none = np.full(COUNT, np.nan), np.full(COUNT, "", dtype=object)

    def read(true, share):
        return true * (1.0 + share * rng.standard_normal(COUNT))

    return BenchRows(
        line=np.arange(2, COUNT + 2),
        refrigerant=np.full(COUNT, FLUID, dtype=object),
        size=size,
        charge=none,
        specimen=none,
        inlet_pressure_pa=read(inlet, 0.0008),
        inlet_temperature_k=condensing - subcooling + 0.08 * rng.standard_normal(COUNT),
        outlet_pressure_pa=read(outlet, 0.0008),
        flow_kg_s=read(flow, flow_noise),
        opening=opening + 0.003 * rng.standard_normal(COUNT),
        bulb_temperature_k=empty,
        bulb_pressure_pa=empty,
        evaporator_pressure_pa=empty,
    )


def _flow(size, opening, density, drop):
    kv = np.array([KV_M3H[s] for s in size]) * opening
    return kv / 3600.0 * np.sqrt(1000.0 * density * drop / 1e5)
