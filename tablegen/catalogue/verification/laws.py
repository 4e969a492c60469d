"""Checks of flow laws and compressor descriptions: worked cases that need no refrigerant."""

from __future__ import annotations

import numpy as np

from tablegen.catalogue.verification.check import UNITS, Check, last_digit
from tablegen.catalogue.verification.published_values import NOT_PUBLISHED, READ
from tablegen.physics.compressor import ClearanceCompressor, CompressorPoint, PolynomialCompressor
from tablegen.physics.flow import (
    FlowLaw,
    critical_pressure_ratio_factor,
    effective_pressure_drop,
    required_flow_coefficient,
)

_FLOW, _COMPRESSOR = "flow laws", "compressors"
_IEC = "IEC 60534-2-1, worked cases with water of 90 degC (as an open library reproduces them)"
_IEC_FORMULA = "IEC 60534-2-1, for water of 90 degC, the formula of the largest unchoked drop worked elsewhere"
_AHRI_540 = "AHRI 540, order of terms (as an open heat-pump simulator has it)"
_BY_HAND = f"{READ}, worked by hand"
_AHRI_540_SET = "Mass-flow set of AHRI 540 in an open heat-pump simulator, evaluated elsewhere"
_TEXTBOOK = "Textbook example of clearance volumetric efficiency"
_HALF = "half the last digit"

# IEC counts relative density from water of 999.103 kg/m3, the physics from 1000: its Kv is greater by this factor.
STANDARD_WATER_KG_M3 = 999.103
TO_STANDARD = float(np.sqrt(1000.0 / STANDARD_WATER_KG_M3))
# rho0 is printed to six digits, which is this share of a Kv.
_WATER_SHARE = 5e-7

# Water at 90 degC: density [kg/m3], bubble and critical pressure, inlet and outlet [Pa], flow [m3/s].
_RHO, _P_SAT, _P_C, _P1, _P2, _Q = 965.4, 70.1e3, 22120e3, 680e3, 220e3, 0.1
_DROP = "680 kPa to 220 kPa"

# Mass flow [lb/h] over degF, a published set.
_SET = (
    217.3163128, 5.094492028, -0.593170311, 4.38e-2, -2.14e-2, 1.04e-2, 7.90e-5, -5.73e-5, 1.79e-4, -8.08e-5,
)  # fmt: skip


def law_checks() -> list[Check]:
    """Every check of this module."""
    return [*_flow_checks(), *_polynomial_checks(), _efficiency_check()]


def _flow_checks() -> list[Check]:
    """The worked cases of IEC 60534-2-1: one that does not choke and one that does."""
    factor = float(critical_pressure_ratio_factor(np.array(_P_SAT), _P_C))
    found = [
        Check(_FLOW, "", "pressure ratio factor F_F", "p_v 70.1 kPa, p_c 22120 kPa", _IEC, READ,
              "0.94424", UNITS["1"], factor, 5e-6, _HALF),
    ]  # fmt: skip
    for recovery, kv, kind, largest_kpa in (
        (0.9, "164.995", "not choked", "497.185"),
        (0.6, "238.058", "choked", "220.971"),
    ):
        condition = f"F_L {recovery}, {_DROP}, {kind}"
        allowed = 0.5 * last_digit(kv) + _WATER_SHARE * float(kv)
        why = f"{_HALF}; the density of water as printed"
        found += [
            Check(_FLOW, "", "flow coefficient Kv", condition, _IEC, READ,
                  kv, UNITS["m3/h"], _kv(recovery), allowed, why),
            Check(_FLOW, "", "largest unchoked drop", f"F_L {recovery}, p_1 680 kPa",
                  _IEC_FORMULA, NOT_PUBLISHED, largest_kpa, UNITS["kPa"], _largest_pa(recovery), 0.5, _HALF),
        ]  # fmt: skip
    return found


def _choked_drop(drop_pa: float, recovery: float) -> float:
    at = np.array
    return float(effective_pressure_drop(FlowLaw.CHOKED, at([drop_pa]), at([_P1]), at([_P_SAT]), _P_C, recovery)[0])


def _kv(recovery: float) -> float:
    """Kv of the standard [m3/h] for the worked flow."""
    drop = np.array([_choked_drop(_P1 - _P2, recovery)])
    return TO_STANDARD * float(required_flow_coefficient(np.array([_Q * _RHO]), np.array([_RHO]), drop)[0])


def _largest_pa(recovery: float) -> float:
    """The drop that still drives flow [Pa] where nearly all of the inlet pressure is dropped."""
    return _choked_drop(_P1 - 1e3, recovery)


def _polynomial_checks() -> list[Check]:
    """Order of terms, all ten and the three of third order that sources disagree on, and a published set."""
    found = []
    # Degrees pass through kelvin, which leaves 1e-13 degrees: 1e-11 of the flow.
    why = "arithmetic: degrees through kelvin and back"
    cases = [("C1 to C10 = 1 to 10", tuple(map(float, range(1, 11))), "698")]
    cases += [(f"C{i} alone", tuple(float(i == j) for j in range(1, 11)), flow) for i, flow in _ALONE]
    for name, coefficients, flow in cases:
        value = _polynomial(coefficients, 2.0, 3.0)
        found.append(
            Check(_COMPRESSOR, "", "polynomial of ten terms", f"{name}, S 2 degF, D 3 degF", _AHRI_540, _BY_HAND,
                  flow, UNITS["1"], value, 1e-11 * float(flow), why)
        )  # fmt: skip
    for s, d, flow in ((45.0, 130.0, "459.44786"), (25.0, 105.0, "321.53057")):
        found.append(
            Check(_COMPRESSOR, "", "mass flow, lb/h", f"S {s:g} degF, D {d:g} degF", _AHRI_540_SET,
                  NOT_PUBLISHED, flow, UNITS["1"], _polynomial(_SET, s, d), 5e-6 + 1e-9, _HALF)
        )  # fmt: skip
    return found


_ALONE = ((8, "12"), (9, "18"), (10, "27"))


def _polynomial(coefficients: tuple[float, ...], suction_f: float, discharge_f: float) -> float:
    """The polynomial at dew temperatures in degF."""
    suction_k, discharge_k = (np.array([(t + 459.67) / 1.8]) for t in (suction_f, discharge_f))
    unused = np.ones(1)
    point = CompressorPoint(suction_k, discharge_k, unused, unused, unused)
    return float(PolynomialCompressor(coefficients, is_fahrenheit=True).relative_flow(point)[0])


def _efficiency_check() -> Check:
    """Clearance 4 %, pressure ratio 6, exponent 1.35."""
    value = float(ClearanceCompressor(0.04, 1.35).volumetric_efficiency(np.array([6.0]))[0])
    return Check(
        _COMPRESSOR, "", "volumetric efficiency", "C 0.04, ratio 6, n 1.35",
        _TEXTBOOK, READ, "0.889", UNITS["1"], value, 5e-4, _HALF,
    )  # fmt: skip
