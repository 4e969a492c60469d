"""Checks of states in a cycle: the rating point of walk-ins, and a handbook's worked example."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.catalogue.verification.check import UNITS, Check
from tablegen.catalogue.verification.laws import TO_STANDARD
from tablegen.catalogue.verification.published_values import FROM_MEMORY, NOT_PUBLISHED, READ
from tablegen.physics.envelope import Basis, Head
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant

_DEGF = UNITS["F"]
_CONDENSING_K = _DEGF.si(105.0)
_SUBCOOLING_K = 9.0 * _DEGF.scale
# How exactly a saturation temperature comes back from its pressure.
_INVERSION_K = 1e-9


def rating_point_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """Liquid at the rating point of walk-ins, by way of the head pressure, where a refrigerant condenses there."""
    found = []
    for name, fluid in refrigerants.items():
        if fluid.warmest_k < _CONDENSING_K:
            continue
        head_pa = np.array([Head(condensing_temperature_k=_CONDENSING_K, basis=Basis.BUBBLE).pressure(fluid)])
        liquid_k = float(fluid.bubble_temperature(head_pa)[0]) - _SUBCOOLING_K
        found.append(
            Check("rating point", name, "liquid at the valve",
                  "105 degF bubble, 9 delta_degF subcooled", "AHRI 1250, rating point of walk-ins", FROM_MEMORY,
                  "96", _DEGF, liquid_k, _INVERSION_K, "arithmetic: through the head pressure and back")
        )  # fmt: skip
    return found


def example_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """The flow of the handbook's valve cycle, of R22 alone."""
    fluid = refrigerants.get("R22")
    if fluid is None:
        return []
    gas = fluid.vapour(np.array([263.15]), np.array([310e3])).enthalpy_j_kg
    liquid = fluid.liquid(np.array([306.15]), np.array([1405e3])).enthalpy_j_kg
    flow = "0.04322"
    ours = 7000.0 / float((gas - liquid)[0])
    # Temperatures are printed to 0.1 K, which is 0.05 x (0.75 + 1.27) kJ/kg of 162, 0.06 %; two equations of state
    # of R22 differ by about as much.
    return [
        Check("cycle", "R22", "refrigerant flow of 7 kW", "liquid 1405 kPa, 33.0 degC; vapour 310 kPa, -10.0 degC",
              "ASHRAE Handbook Fundamentals 2021, ch. 2, Example 5", READ, flow, UNITS["kg/s"],
              ours, 5e-6 + 0.0012 * float(flow),
              "half the last digit; temperatures as printed, and two equations of state (0.12 %)"),
        *_port_checks(fluid, ours),
    ]  # fmt: skip


def _port_checks(fluid: Refrigerant, flow_kg_s: float) -> list[Check]:
    """The port that passes the flow of the handbook's cycle, by either law; which of them is right it does not say."""
    inlet, outlet = np.array([1405e3]), 320e3
    liquid = np.array([306.15])
    density, bubble = fluid.liquid(liquid, inlet).density_kg_m3, fluid.bubble(liquid).pressure_pa
    found = []
    for law, recovery, words, kv in (
        (FlowLaw.ORIFICE, np.nan, "square root of the drop", "0.04394"),
        (FlowLaw.CHOKED, 0.9, "choked, F_L 0.9", "0.08572"),
    ):
        drop = effective_pressure_drop(law, inlet - outlet, inlet, bubble, fluid.critical_pressure_pa, recovery)
        value = TO_STANDARD * float(required_flow_coefficient(np.array([flow_kg_s]), density, drop)[0])
        allowed = 5e-6 + 2e-5 * float(kv)
        found.append(
            Check("flow laws", "R22", "port of that flow, Kv", f"1405 kPa, 33.0 degC to 320 kPa, {words}",
                  "Worked from the cycle of Example 5", NOT_PUBLISHED, kv, UNITS["m3/h"], value, allowed,
                  "half the last digit, of the flow too")
        )  # fmt: skip
    return found
