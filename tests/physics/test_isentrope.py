"""Isentropic compression from densities and enthalpies against a library that knows the entropy."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from tablegen.physics.isentrope import isentropic_enthalpies
from tests.registry import refrigerant


def error(name: str, fluid: str, start_k: float, steps: int) -> float:
    """The largest difference from the library along a compression to four times the pressure, as a share of the work."""
    first = PropsSI("P", "T", start_k - 8.0, "Q", 1, fluid)
    pressure = np.geomspace(first, 4.0 * first, steps + 1)
    found = isentropic_enthalpies(refrigerant(name), start_k, pressure)
    entropy, enthalpy = (PropsSI(q, "T", start_k, "P", first, fluid) for q in "SH")
    other = PropsSI("H", "S", entropy, "P", pressure, fluid) - enthalpy
    assert found.shape == pressure.shape
    assert found[0] == pytest.approx(
        float(refrigerant(name).vapor(np.array([start_k]), np.array([first])).enthalpy_j_kg[0]), rel=1e-12
    )
    return float(np.abs(found - found[0] - other).max() / other[-1])


@pytest.mark.parametrize(("name", "fluid", "start_k"), [("R134a", "R134a", 280.0), ("R290", "n-Propane", 275.0)])
def test_compression_keeps_the_entropy(name: str, fluid: str, start_k: float):
    """The midpoint rule is of second order: half of the step leaves a quarter of its error."""
    coarse, fine = error(name, fluid, start_k, 12), error(name, fluid, start_k, 24)
    assert coarse < 1.2e-3
    assert fine < 0.3 * coarse


def test_wet_vapor_has_no_such_line_and_hot_gas_leaves_the_table():
    own = refrigerant("R134a")
    assert np.isnan(isentropic_enthalpies(own, 266.0, np.geomspace(2.4e5, 13e5, 13))).all()
    hot = isentropic_enthalpies(own, 330.0, np.geomspace(2.4e5, 38e5, 25))
    known = np.isfinite(hot)
    assert known[0] and not known[-1]
    # Once out of the table it stays out.
    assert (np.diff(known.astype(int)) <= 0).all()
    assert (np.diff(hot[known]) > 0.0).all()


def test_dry_vapor_that_becomes_saturated_is_still_on_the_line():
    """Vapor of R600a that begins half a kelvin above its dew point comes so near to it that the search meets it."""
    own = refrigerant("R600a")
    first = float(own.dew(np.array([280.0])).pressure_pa[0])
    found = isentropic_enthalpies(own, 280.5, np.geomspace(first, 1.3 * first, 8))
    entropy, enthalpy = (PropsSI(q, "T", 280.5, "P", first, "IsoButane") for q in "SH")
    known = np.isfinite(found)
    pressure = np.geomspace(first, 1.3 * first, 8)[known]
    other = PropsSI("H", "S", entropy, "P", pressure, "IsoButane") - enthalpy
    assert known[:3].all()
    np.testing.assert_allclose(found[known] - found[0], other, rtol=2e-3, atol=5.0)
