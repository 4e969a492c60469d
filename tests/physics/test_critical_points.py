"""The packaged critical points of blends against those that the library finds for their compositions.

tests/cross/test_teqp.py asks another implementation the same, faster.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.equation_of_state import critical_point, tabulate
from tablegen.physics.refrigerants import Refrigerant
from tests.registry import registry

# The files give four decimals of the kelvin and whole pascals.
TEMPERATURE_K = 0.001 + 0.00005
PRESSURE_RELATIVE = 1e-5
BLENDS = sorted(name for name, r in registry().records.items() if len(r.definition.components) > 1)
PURE = sorted(name for name, r in registry().records.items() if len(r.definition.components) == 1)
# The search takes 1 to 2 s for four components, 5 s for five and 15 s for six.
SLOW = {"R401A", "R427A", "R438A", "R448A", "R449A", "R449B", "R453A"}


def without_critical_point(name: str) -> RefrigerantDefinition:
    definition = registry().records[name].definition
    return dataclasses.replace(definition, critical_temperature_k=None, critical_pressure_pa=None)


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=[pytest.mark.slow] if name in SLOW else []) for name in BLENDS]
)
def test_packaged_critical_point_is_that_of_the_composition(name: str) -> None:
    packaged = registry().records[name].definition
    temperature, pressure = critical_point(without_critical_point(name))
    assert packaged.critical_temperature_k == pytest.approx(temperature, abs=TEMPERATURE_K)
    assert packaged.critical_pressure_pa == pytest.approx(pressure, rel=PRESSURE_RELATIVE)


@pytest.mark.parametrize("name", PURE)
def test_pure_fluid_has_the_constants_of_the_library(name: str) -> None:
    (component,) = registry().records[name].definition.components
    constants = tuple(coolprop.PropsSI(key, component) for key in ("Tcrit", "pcrit"))
    assert critical_point(without_critical_point(name)) == pytest.approx(constants, rel=1e-9)
    table = registry()[name].table
    assert (table.range.critical_temperature_k, table.range.critical_pressure_pa) == pytest.approx(constants, rel=1e-9)


def test_blend_without_a_packaged_critical_point_gets_one_and_a_table() -> None:
    """As a user's own blend does: the table then ends a rounding later and has the same states."""
    definition = without_critical_point("R410A")
    own, packaged = Refrigerant(definition, tabulate(definition)), registry()["R410A"]
    assert own.critical_temperature_k == pytest.approx(packaged.critical_temperature_k, abs=TEMPERATURE_K)
    assert own.critical_pressure_pa == pytest.approx(packaged.critical_pressure_pa, rel=PRESSURE_RELATIVE)
    temperature = np.linspace(packaged.coldest_k, own.warmest_k - TEMPERATURE_K, 50)
    np.testing.assert_allclose(own.bubble(temperature), packaged.bubble(temperature), rtol=1e-6)
    np.testing.assert_allclose(own.dew(temperature), packaged.dew(temperature), rtol=1e-6)
