"""The discharge coefficient against its two limits, and by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.physics.discharge import DischargeCoefficient
from tablegen.physics.flow import FlowLaw, effective_pressure_drop, required_flow_coefficient
from tests.registry import refrigerant

WIDE = DischargeCoefficient(
    subcooling_exponent=0.06,
    drop_exponent=-0.12,
    reference_subcooling=0.05,
    reference_drop=0.6,
    subcooling=(0.001, 0.5),
    drop=(0.05, 0.95),
)
P1, PV, PC = np.array([18e5, 12e5, 22e5]), np.array([16e5, 11.5e5, 17e5]), 37.3e5
P2 = np.array([5e5, 4e5, 2.5e5])


def drop_under(own: DischargeCoefficient, p2: np.ndarray = P2) -> np.ndarray:
    return effective_pressure_drop(FlowLaw.DISCHARGE_COEFFICIENT, P1 - p2, P1, PV, PC, np.nan, own)


def test_without_exponents_it_is_the_orifice_law_to_the_last_digit():
    own = replace(WIDE, subcooling_exponent=0.0, drop_exponent=0.0)
    np.testing.assert_array_equal(drop_under(own), P1 - P2)
    # Of one alone the other still counts.
    assert (drop_under(replace(WIDE, subcooling_exponent=0.0)) != P1 - P2).all()


def test_with_minus_one_half_the_outlet_pressure_has_no_influence():
    own = replace(WIDE, drop_exponent=-0.5)
    flows = [required_flow_coefficient(np.ones(3), np.array(1100.0), drop_under(own, p2)) for p2 in (P2, 0.5 * P2)]
    np.testing.assert_allclose(flows[0], flows[1], rtol=1e-14)
    assert (drop_under(WIDE, 0.5 * P2) > 1.01 * drop_under(WIDE)).all()


def test_the_drop_that_drives_by_hand():
    # s = (18 - 16)/37.3 = 0.0536193, y = 13/18 = 0.7222222, C = 1.0723861^0.06 1.2037037^-0.12 = 0.98211
    s, y = 2.0 / 37.3, 13.0 / 18.0
    c = math.exp(0.06 * math.log(s / 0.05) - 0.12 * math.log(y / 0.6))
    assert c == pytest.approx(0.98211, abs=5e-6)
    assert drop_under(WIDE)[0] == pytest.approx(c * c * 13e5, rel=1e-12)
    # At the reference point Kv is what it was rated as.
    at_reference = effective_pressure_drop(
        FlowLaw.DISCHARGE_COEFFICIENT,
        np.array(0.6 * 18e5),
        np.array(18e5),
        np.array(18e5 - 0.05 * PC),
        PC,
        np.nan,
        WIDE,
    )
    assert float(at_reference) == pytest.approx(0.6 * 18e5, rel=1e-12)


def test_outside_its_range_nothing_is_given():
    s, y = (P1 - PV) / PC, (P1 - P2) / P1
    for bounds, value in (("subcooling", s), ("drop", y)):
        low, high = getattr(WIDE, bounds)
        assert np.isnan(drop_under(replace(WIDE, **{bounds: (float(value.min()) * 1.001, high)}))).sum() == 1
        assert np.isnan(drop_under(replace(WIDE, **{bounds: (low, float(value.max()) * 0.999)}))).sum() == 1
        # The ends belong to it.
        assert np.isfinite(drop_under(replace(WIDE, **{bounds: (float(value.min()), float(value.max()))}))).all()
    flashing = effective_pressure_drop(FlowLaw.DISCHARGE_COEFFICIENT, P1 - P2, P1, P1 + 1e3, PC, np.nan, WIDE)
    assert np.isnan(flashing).all()


def test_subcooling_is_that_of_payne_and_oneal():
    """pi_3 of their correlation, R22 at 1.355 MPa and 5.6 K of subcooling, by states of the property library."""
    saturated_k = coolprop.PropsSI("T", "P", 1.355e6, "Q", 0, "R22")
    bubble_pa = coolprop.PropsSI("P", "T", saturated_k - 5.6, "Q", 0, "R22")
    pi3 = (1.355e6 - bubble_pa) / coolprop.PropsSI("pcrit", "R22")
    own = replace(WIDE, drop_exponent=0.0, subcooling_exponent=1.0, reference_subcooling=0.04)
    fluid, p1 = refrigerant("R22"), np.array([1.355e6])
    pv = fluid.bubble(fluid.bubble_temperature(p1) - 5.6).pressure_pa
    found = own.ratio(np.array([5e5]), p1, pv, fluid.critical_pressure_pa)
    assert float(found[0]) == pytest.approx(pi3 / 0.04, rel=1e-5)
