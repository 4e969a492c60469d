"""Properties that lie off by a share each, against the refrigerant that they lie off from."""

from __future__ import annotations

import numpy as np
import pytest

from tablegen.physics.deviation import DeviatingRefrigerant, PropertyDeviation
from tests.registry import refrigerant

AT = np.array([250.0, 270.0, 300.0])
OFF = PropertyDeviation(0.02, -0.01, 0.03)


@pytest.mark.parametrize("name", ["R134a", "R448A"])
def test_each_property_is_off_by_its_own_share(name: str) -> None:
    true = refrigerant(name)
    off = DeviatingRefrigerant(true, OFF)
    assert off.deviation == OFF
    assert off.definition is true.definition
    assert off.critical_pressure_pa == pytest.approx(1.02 * true.critical_pressure_pa, rel=1e-15)
    assert off.critical_temperature_k == true.critical_temperature_k
    # Vapor of the same temperature and share of its saturation pressure is as dense for its pressure.
    for ours, theirs, density in ((off.bubble(AT), true.bubble(AT), 0.99), (off.dew(AT), true.dew(AT), 1.02)):
        np.testing.assert_array_equal(ours.temperature_k, AT)
        np.testing.assert_allclose(ours.pressure_pa, 1.02 * theirs.pressure_pa, rtol=1e-15)
        np.testing.assert_allclose(ours.density_kg_m3, density * theirs.density_kg_m3, rtol=1e-15)
        np.testing.assert_allclose(ours.enthalpy_j_kg, 1.03 * theirs.enthalpy_j_kg, rtol=1e-15)
    np.testing.assert_allclose(off.bubble_temperature(off.bubble(AT).pressure_pa), AT, rtol=1e-12)
    np.testing.assert_allclose(off.dew_temperature(off.dew(AT).pressure_pa), AT, rtol=1e-12)
    for scale, phase, base, pressure in (
        (0.99, off.liquid, true.liquid, 1.1 * true.bubble(AT).pressure_pa),
        (1.02, off.vapor, true.vapor, 0.9 * true.dew(AT).pressure_pa),
    ):
        found, expected = phase(AT, 1.02 * pressure), base(AT, pressure)
        np.testing.assert_allclose(found.density_kg_m3, scale * expected.density_kg_m3, rtol=1e-12)
        np.testing.assert_allclose(found.enthalpy_j_kg, 1.03 * expected.enthalpy_j_kg, rtol=1e-12)


def test_lists_are_taken_where_arrays_are() -> None:
    off = DeviatingRefrigerant(refrigerant("R134a"), OFF)
    assert off.dew_temperature([3e5]) == off.dew_temperature(np.array([3e5]))
    assert off.bubble_temperature([3e5]) == off.bubble_temperature(np.array([3e5]))
    assert off.liquid([280.0], [9e5]).density_kg_m3 == off.liquid(np.array([280.0]), np.array([9e5])).density_kg_m3
    assert off.vapor([280.0], [2e5]).density_kg_m3 == off.vapor(np.array([280.0]), np.array([2e5])).density_kg_m3


def test_nothing_is_off_by_default() -> None:
    true = refrigerant("R134a")
    off = DeviatingRefrigerant(true, PropertyDeviation())
    for ours, theirs in zip(off.dew(AT), true.dew(AT), strict=True):
        np.testing.assert_array_equal(ours, theirs)


def test_liquid_or_its_bubble_point_is_off_as_liquid_and_bubble_point_are() -> None:
    off = DeviatingRefrigerant(refrigerant("R448A"), OFF)
    bubble = off.bubble(AT)
    # Above the bubble pressure of the first, below that of the others.
    pressure = bubble.pressure_pa * np.array([1.4, 0.8, 0.999])
    bubble_pa, density, enthalpy = off.liquid_or_bubble(AT, pressure)
    liquid = off.liquid(AT, pressure)
    np.testing.assert_allclose(bubble_pa, bubble.pressure_pa, rtol=1e-12)
    for found, compressed, saturated in zip((density, enthalpy), liquid, bubble[2:], strict=True):
        assert found[0] == pytest.approx(compressed[0], rel=1e-12)
        # The liquid table and that of saturation agree to some digits at the bubble point.
        np.testing.assert_allclose(found[1:], saturated[1:], rtol=1e-6)


def test_a_deviation_of_each_state_is_taken_with_it() -> None:
    """Pressure and enthalpy vary along the states, density is off by the same share in all of them."""
    true = refrigerant("R134a")
    shares = PropertyDeviation(np.array([0.01, -0.02, 0.03]), 0.005, np.array([0.0, 0.01, -0.01]))
    every = DeviatingRefrigerant(true, shares)
    chosen = every.at(np.array([2, 0]))
    at = np.array([270.0, 280.0])
    for place, row in enumerate((2, 0)):
        alone = DeviatingRefrigerant(
            true, PropertyDeviation(float(shares.pressure[row]), 0.005, float(shares.enthalpy[row]))
        )
        for side in ("bubble", "dew"):
            for ours, theirs in zip(getattr(chosen, side)(at), getattr(alone, side)(at[[place]]), strict=True):
                assert ours[place] == pytest.approx(theirs[0], rel=1e-14)
    assert chosen.name == "R134a"
    # A refrigerant that does not vary is the same at all of them.
    assert true.at(np.array([2, 0])) is true
