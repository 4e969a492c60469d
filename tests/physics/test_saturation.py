"""The pressure-temperature table and the three bases of a condensing temperature."""

import numpy as np
import pytest

from tablegen.physics.refrigerants import saturation_table
from tablegen.physics.system import Basis, Head
from tests.registry import refrigerant
from tests.us_units import PSI_PA, kelvin


@pytest.mark.parametrize("name", ["R448A", "R407C", "R455A", "R410A", "R134a"])
def test_glide_and_latent_heat_belong_to_the_bubble_pressure_of_the_row(name):
    fluid, at = refrigerant(name), np.array([240.0, 280.0, 310.0])
    table = saturation_table(fluid, at)
    dew_k = table.temperature_k + table.glide_k
    assert fluid.dew(dew_k).pressure_pa == pytest.approx(table.bubble_pressure_pa, rel=1e-10)
    heat = fluid.dew(dew_k).enthalpy_j_kg - fluid.bubble(at).enthalpy_j_kg
    assert table.latent_heat_j_kg == pytest.approx(heat, rel=1e-12)


def test_glide_of_well_known_blends():
    # common practice: R407C about 9 to 11 °F, R448A about 10 to 12 °F, R410A below 0.5 °F, none of a pure fluid.
    def glide_f(name: str) -> float:
        return float(saturation_table(refrigerant(name), np.array([kelvin(40.0)])).glide_k[0]) * 1.8

    assert 9.0 < glide_f("R407C") < 11.0
    assert 10.0 < glide_f("R448A") < 12.0
    assert 0.0 < glide_f("R410A") < 0.5
    assert glide_f("R134a") == 0.0


def test_rows_beyond_the_range_are_blank():
    table = saturation_table(refrigerant("R744"), np.array([280.0, 310.0]))
    assert np.isfinite(np.stack(table)[:, 0]).all()
    assert np.isnan(np.stack(table)[1:, 1]).all()


def test_mid_basis_is_the_pressure_whose_bubble_and_dew_temperatures_have_the_stated_mean():
    fluid, at = refrigerant("R448A"), kelvin(105.0)
    pressure = np.array([Head(condensing_temperature_k=at, basis=Basis.MID).pressure(fluid)])
    mean = 0.5 * (fluid.bubble_temperature(pressure) + fluid.dew_temperature(pressure))
    assert mean == pytest.approx(at, abs=1e-9)
    # Computed elsewhere from the same equations of state: 276.8, 244.2 and 260.4 psia.
    assert pressure / PSI_PA == pytest.approx(260.4, abs=0.05)
    bubble, dew = Head(condensing_temperature_k=at, basis=Basis.MID).saturation_pressures(fluid)
    assert bubble / PSI_PA == pytest.approx(276.8, abs=0.05)
    assert dew / PSI_PA == pytest.approx(244.2, abs=0.05)


def test_mid_basis_of_a_pure_fluid_is_its_saturation_pressure():
    fluid, at = refrigerant("R134a"), np.array([250.0, 300.0, 350.0])
    assert fluid.midpoint_pressure(at) == pytest.approx(fluid.dew(at).pressure_pa, rel=1e-12)


def test_a_stated_pressure_has_no_condensing_temperature():
    assert np.isnan(Head(pressure_pa=1e6).saturation_pressures(refrigerant("R448A"))).all()
