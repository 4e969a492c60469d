"""Checks of flow laws and the compressor polynomial: worked cases that need no refrigerant."""

from __future__ import annotations

import numpy as np

from tablegen.physics.compressor import CompressorPoint, PolynomialCompressor
from tablegen.physics.equations import critical_pressure_ratio_factor
from tablegen.physics.flow import (
    FlowLaw,
    effective_pressure_drop,
    required_flow_coefficient,
)
from tablegen.verification.check import UNITS, Check, last_digit
from tablegen.verification.kinds import CHECKED, NO_SOURCE, Kind

_FLOW = "flow laws"
# The annex of the standard itself was not opened.
_IEC = "Documentation of the library fluids, after the worked examples of IEC 60534-2-1 (water of 90 degC)"
_AHRI_540 = "Worked by hand in the order of terms of AHRI 540"
_HALF = "half the last digit"

# IEC counts relative density from water of 999.103 kg/m3, the physics from 1000: its Kv is greater by this factor.
STANDARD_WATER_KG_M3 = 999.103
TO_STANDARD = float(np.sqrt(1000.0 / STANDARD_WATER_KG_M3))
# rho0 is printed to six digits, which is this share of a Kv.
_WATER_SHARE = 5e-7

# Water at 90 degC: density [kg/m3], bubble and critical pressure, inlet and outlet [Pa], flow [m3/s].
_RHO, _P_SAT, _P_C, _P1, _P2, _Q = 965.4, 70.1e3, 22120e3, 680e3, 220e3, 0.1
_DROP = "680 kPa to 220 kPa"


def law_checks() -> list[Check]:
    """Every check of this module."""
    return [*_flow_checks(), *_polynomial_checks()]


def _flow_checks() -> list[Check]:
    """The worked cases of IEC 60534-2-1: one that does not choke and one that does."""
    factor = float(critical_pressure_ratio_factor(np.array(_P_SAT), _P_C))
    found = [
        Check(
            Kind.SECOND,
            _FLOW,
            "",
            "critical pressure ratio factor",
            "bubble pressure 70.1 kPa, critical pressure 22120 kPa",
            _IEC,
            CHECKED,
            "0.94424",
            UNITS["1"],
            factor,
            5e-6,
            _HALF,
        ),
    ]
    for recovery, kv, kind in ((0.9, "164.995", "not choked"), (0.6, "238.058", "choked")):
        found.append(
            Check(
                Kind.SECOND,
                _FLOW,
                "",
                "flow coefficient Kv",
                f"recovery factor {recovery}, {_DROP}, {kind}",
                _IEC,
                CHECKED,
                kv,
                UNITS["m3/h"],
                _kv(recovery),
                0.5 * last_digit(kv) + _WATER_SHARE * float(kv),
                f"{_HALF}; the density of water as printed",
            )
        )
    return found


def _choked_drop(drop_pa: float, recovery: float) -> float:
    at = np.array
    return float(effective_pressure_drop(FlowLaw.CHOKED, at([drop_pa]), at([_P1]), at([_P_SAT]), _P_C, recovery)[0])


def _kv(recovery: float) -> float:
    """Kv of the standard [m3/h] for the worked flow."""
    drop = np.array([_choked_drop(_P1 - _P2, recovery)])
    return TO_STANDARD * float(required_flow_coefficient(np.array([_Q * _RHO]), np.array([_RHO]), drop)[0])


def _polynomial_checks() -> list[Check]:
    """Order of terms: all ten, and the three of third order that sources disagree on."""
    # Degrees pass through kelvin, which leaves 1e-13 degrees: 1e-11 of the flow.
    why = "arithmetic: degrees through kelvin and back"
    cases = [("C1 to C10 = 1 to 10", tuple(map(float, range(1, 11))), "698")]
    cases += [(f"C{i} alone", tuple(float(i == j) for j in range(1, 11)), flow) for i, flow in _ALONE]
    return [
        Check(
            Kind.SELF,
            "compressors",
            "",
            "polynomial of ten terms",
            f"{name}, S 2 degF, D 3 degF",
            _AHRI_540,
            NO_SOURCE,
            flow,
            UNITS["1"],
            _polynomial(coefficients, 2.0, 3.0),
            1e-11 * float(flow),
            why,
        )
        for name, coefficients, flow in cases
    ]


_ALONE = ((8, "12"), (9, "18"), (10, "27"))


def _polynomial(coefficients: tuple[float, ...], suction_f: float, discharge_f: float) -> float:
    """The polynomial at dew temperatures in degF."""
    suction_k, discharge_k = (np.array([(t + 459.67) / 1.8]) for t in (suction_f, discharge_f))
    unused = np.ones(1)
    point = CompressorPoint(suction_k, discharge_k, unused, unused, unused)
    return float(PolynomialCompressor(coefficients, is_fahrenheit=True).relative_flow(point)[0])
