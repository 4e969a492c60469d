"""Both flow laws compared with published correlations of mass flow.

A correlation stands in for some hundred measured flows whose table cannot be cited. Each law is given the one Kv that
fits all points of a device best; what remains is how far its dependence on pressure and subcooling is from the measured
one. Nothing passes or fails by it.

Neither paper was opened: the coefficients are those of open-source codes. They are facts of the papers named, cited as
such; no text, table or figure of either is copied here.

References
----------
W. V. Payne, D. L. O'Neal, "A mass flow rate correlation for refrigerants and refrigerant mixtures flowing through
short tubes", HVAC&R Research 10 (2004), 73-87: as in two open-source codes (not checked against the source).
W. Li, "Simplified modeling analysis of mass flow characteristics in electronic expansion valve", Applied Thermal
Engineering 53 (2013), 8-12: as in an open-source model library (not checked against the source).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.check import Provenance

SHORT_TUBE, VALVE = "short tube", "electronic valve"
TUBE_SOURCE = (
    "W. V. Payne, D. L. O'Neal, A mass flow rate correlation for refrigerants and refrigerant mixtures flowing through "
    "short tubes, HVAC&R Research 10 (2004), coefficients from two open-source codes"
)
VALVE_SOURCE = (
    "W. Li, Simplified modeling analysis of mass flow characteristics in electronic expansion valve, Applied Thermal "
    "Engineering 53 (2013), coefficients from an open-source model library"
)
_CELSIUS_K = 273.15
# A tube and a port within the measured ones: 1.09 to 1.94 mm by 9.5 to 25.4 mm, and 1.6 to 1.8 mm.
_TUBE_M, _TUBE_LENGTH_M, _PORT_M = 1.34e-3, 12.7e-3, 1.6e-3
# An opening of the valve; it scales all flows alike.
_OPENING = 0.5
# cp/cv of the vapor as an ideal gas at 40 degC, as in IEC 60534-2-1 (computed with the property library).
_HEAT_RATIO = {"R22": 1.17, "R407C": 1.13, "R410A": 1.16}
_TUBE_FLUIDS = ("R22", "R134a", "R407C", "R410A")
# Condensing, evaporating [degC] and subcooling [K]: for tubes not checked against the source, for valves as stated in the
# library. The tube's correlation does not depend on the pressure downstream.
_TUBE_GRID = ((35.0, 40.0, 45.0, 50.0, 54.0), (7.0,), (1.5, 3.0, 5.5, 8.5, 11.0, 13.9))
_VALVE_GRID = ((30.0, 35.0, 40.0, 45.0, 50.0), (0.0, 10.0, 20.0, 30.0), (1.5, 5.0, 10.0, 15.0))
# What is compared; a discharge coefficient would be fitted to the very correlation.
LAWS = (FlowLaw.ORIFICE, FlowLaw.CHOKED)
# F_L of the choked law. With all points choked it scales as Kv does; liquid valves have 0.7 to 0.95 (common practice).
RECOVERY = 0.9


@dataclass(frozen=True, slots=True)
class FlowSeries:
    """One device and refrigerant: flow by the correlation, and by each law with the device's Kv [kg/s]."""

    device: str
    refrigerant: str
    correlated_kg_s: Floats
    law_kg_s: Mapping[FlowLaw, Floats]


@dataclass(frozen=True, slots=True, kw_only=True)
class Parity:
    """One device: its series, and for each law the Kv [m3/h] and the deviations.

    Attributes
    ----------
    device, source : str
    provenance : Provenance
    series : tuple of FlowSeries
        One for each refrigerant.
    kv_m3h : mapping
        The one Kv of each law that fits all points best [m3/h].
    spread, maximum : mapping
        Root mean square and maximum of the relative deviations of each law [1].
    recovery : float
        F_L of the choked law [1].
    """

    device: str
    source: str
    provenance: Provenance
    series: tuple[FlowSeries, ...]
    kv_m3h: Mapping[FlowLaw, float]
    spread: Mapping[FlowLaw, float]
    maximum: Mapping[FlowLaw, float]
    recovery: float = RECOVERY


def short_tube_flow(
    fluid: Refrigerant, inlet_pa: Floats, subcooling_k: Floats, diameter_m: float, length_m: float
) -> Floats:
    """Mass flow through a short tube that chokes.

    Parameters
    ----------
    fluid : Refrigerant
    inlet_pa : array (points,)
        Absolute pressure of the liquid at the inlet [Pa].
    subcooling_k : array (points,)
        How far the liquid is below its bubble point [K].
    diameter_m, length_m : float
        Of the tube [m].

    Returns
    -------
    array (points,)
        [kg/s].

    References
    ----------
    Payne and O'Neal 2004 (see the module; not checked against the source).
    """
    at = fluid.bubble_temperature(inlet_pa) - subcooling_k
    liquid, vapor = fluid.bubble(at), fluid.dew(at)
    pressure = (inlet_pa - liquid.pressure_pa) / fluid.critical_pressure_pa
    density = vapor.density_kg_m3 / liquid.density_kg_m3
    subcooling = subcooling_k / fluid.critical_temperature_k
    upper = (
        0.38811
        + 11.427 * pressure
        - 14.194 * subcooling
        + 1.0703 * density
        - 0.091928 * math.log(length_m / diameter_m)
    )
    flux = upper / (1.0 + 21.425 * pressure - 581.95 * subcooling**2)
    area = 0.25 * math.pi * diameter_m**2
    return np.asarray(area * flux * np.sqrt(liquid.density_kg_m3 * fluid.critical_pressure_pa))


def valve_flow(
    fluid: Refrigerant, inlet_pa: Floats, outlet_pa: Floats, subcooling_k: Floats, opening: float, heat_ratio: float
) -> Floats:
    """Mass flow for each m2 of port of an electronic valve.

    Parameters
    ----------
    fluid : Refrigerant
    inlet_pa, outlet_pa : array (points,)
        Absolute pressures [Pa].
    subcooling_k : array (points,)
        How far the liquid at the inlet is below its bubble point [K].
    opening : float
        Share of the full opening [1].
    heat_ratio : float
        cp/cv of the vapor as an ideal gas [1].

    Returns
    -------
    array (points,)
        [kg/s per m2].

    References
    ----------
    Li 2013, with the critical temperature in degC (see the module; not checked against the source).
    """
    liquid = fluid.liquid(fluid.bubble_temperature(inlet_pa) - subcooling_k, inlet_pa)
    critical_c = fluid.critical_temperature_k - _CELSIUS_K
    coefficient = 1.066 * opening**0.8006 * (subcooling_k / critical_c) ** 0.0609
    expansion = 1.0 - (1.0 - outlet_pa / inlet_pa) / (3.0 * (heat_ratio / 1.4) * 0.84)
    return np.asarray(coefficient * expansion * np.sqrt(2.0 * liquid.density_kg_m3 * (inlet_pa - outlet_pa)))


def parities(refrigerants: Mapping[str, Refrigerant]) -> list[Parity]:
    """Both devices, each with the given refrigerants that were measured in it; a device without any is left out.

    Parameters
    ----------
    refrigerants : mapping
        By name.
    """
    tubes = [name for name in _TUBE_FLUIDS if name in refrigerants]
    valves = [name for name in _HEAT_RATIO if name in refrigerants]
    found = []
    if tubes:
        found.append(_parity(SHORT_TUBE, TUBE_SOURCE, {name: _tube(refrigerants[name]) for name in tubes}))
    if valves:
        found.append(_parity(VALVE, VALVE_SOURCE, {name: _valve(refrigerants[name]) for name in valves}))
    return found


@dataclass(frozen=True, slots=True)
class _Points:
    """Flow by the correlation [kg/s], and the Kv [m3/h] that each law needs for it."""

    flow: Floats
    kv: Mapping[FlowLaw, Floats]


def _tube(fluid: Refrigerant) -> _Points:
    inlet, outlet, subcooling = _grid(fluid, _TUBE_GRID)
    flow = short_tube_flow(fluid, inlet, subcooling, _TUBE_M, _TUBE_LENGTH_M)
    return _Points(flow, _kv(fluid, inlet, outlet, subcooling, flow))


def _valve(fluid: Refrigerant) -> _Points:
    inlet, outlet, subcooling = _grid(fluid, _VALVE_GRID)
    ratio = _HEAT_RATIO[fluid.name]
    flow = 0.25 * math.pi * _PORT_M**2 * valve_flow(fluid, inlet, outlet, subcooling, _OPENING, ratio)
    return _Points(flow, _kv(fluid, inlet, outlet, subcooling, flow))


def _grid(fluid: Refrigerant, spans: tuple[tuple[float, ...], ...]) -> tuple[Floats, Floats, Floats]:
    """Inlet and outlet pressure [Pa] and subcooling [K] at every point, evaporation below condensation."""
    points = [p for p in itertools.product(*spans) if p[0] > p[1]]
    condensing, evaporating, subcooling = np.array(points).T
    return (
        fluid.bubble(condensing + _CELSIUS_K).pressure_pa,
        fluid.dew(evaporating + _CELSIUS_K).pressure_pa,
        subcooling,
    )


def _kv(fluid: Refrigerant, inlet: Floats, outlet: Floats, subcooling: Floats, flow: Floats) -> dict[FlowLaw, Floats]:
    at = fluid.bubble_temperature(inlet) - subcooling
    bubble = fluid.bubble(at).pressure_pa
    density = fluid.liquid(at, inlet).density_kg_m3
    drops = {
        law: effective_pressure_drop(law, inlet - outlet, inlet, bubble, fluid.critical_pressure_pa, RECOVERY)
        for law in LAWS
    }
    return {law: required_flow_coefficient(flow, density, drop) for law, drop in drops.items()}


def _parity(device: str, source: str, points: Mapping[str, _Points]) -> Parity:
    """The best single Kv of each law is the geometric mean of those needed: flows are compared by their ratio."""
    needed = {law: np.concatenate([own.kv[law] for own in points.values()]) for law in LAWS}
    kv = {law: float(np.exp(np.log(values).mean())) for law, values in needed.items()}
    off = {law: kv[law] / values - 1.0 for law, values in needed.items()}
    series = tuple(
        FlowSeries(device, name, own.flow, {law: own.flow * kv[law] / own.kv[law] for law in LAWS})
        for name, own in points.items()
    )
    return Parity(
        device=device,
        source=source,
        provenance=Provenance.NOT_CHECKED,
        series=series,
        kv_m3h=kv,
        spread={law: float(np.sqrt((values**2).mean())) for law, values in off.items()},
        maximum={law: float(np.abs(values).max()) for law, values in off.items()},
    )
