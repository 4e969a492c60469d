"""The check of a cycle: a handbook's worked example."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tablegen.physics.refrigerants import Refrigerant
from tablegen.verification.check import UNITS, Check
from tablegen.verification.kinds import CHECKED, Kind


def example_checks(refrigerants: Mapping[str, Refrigerant]) -> list[Check]:
    """The flow of the handbook's valve cycle, of R22 alone."""
    fluid = refrigerants.get("R22")
    if fluid is None:
        return []
    gas = fluid.vapour(np.array([263.15]), np.array([310e3])).enthalpy_j_kg
    liquid = fluid.liquid(np.array([306.15]), np.array([1405e3])).enthalpy_j_kg
    flow = "0.04322"
    # Temperatures are printed to 0.1 K, which is 0.05 x (0.75 + 1.27) kJ/kg of 162, 0.06 %; as much again for the
    # handbook's property tables, whose equation the example does not name.
    return [
        Check(
            Kind.SECOND,
            "cycle",
            "R22",
            "refrigerant flow of 7 kW",
            "liquid 1405 kPa, 33.0 degC; vapor 310 kPa, -10.0 degC",
            "ASHRAE Handbook Fundamentals 2021, ch. 2, Example 5",
            CHECKED,
            flow,
            UNITS["kg/s"],
            7000.0 / float((gas - liquid)[0]),
            5e-6 + 0.0012 * float(flow),
            "half the last digit; temperatures as printed, and the source's property tables (0.12 %)",
        ),
    ]
