"""The pressure-temperature table and the three bases of a condensing temperature."""

import numpy as np
import pytest

from tablegen.physics.refrigerants import heat_content, saturation_table
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


def test_heat_content_of_well_known_refrigerants():
    # ASHRAE Handbook Fundamentals, tables of R134a and R744 (from memory): h_g 398.6 and 430.9 kJ/kg, s_g 1.727 and 1.845
    # kJ/(kg K) at 0 degC, counted from 200 and 1 for the liquid.
    zero = np.array([273.15])
    for name, enthalpy, entropy in (("R134a", 398.6e3, 1727.0), ("R744", 430.9e3, 1845.0)):
        found = heat_content(refrigerant(name), zero)
        assert float(found.liquid_enthalpy_j_kg[0]) == pytest.approx(200e3) and found.liquid_entropy_j_kg_k[0] == 1000.0
        assert float(found.vapor_enthalpy_j_kg[0]) == pytest.approx(enthalpy, rel=1e-3)
        assert float(found.vapor_entropy_j_kg_k[0]) == pytest.approx(entropy, rel=1e-3)


@pytest.mark.parametrize("name", ["R134a", "R717", "R404A", "R448A", "R455A"])
def test_entropy_follows_from_enthalpy_and_pressure(name):
    # T ds = dh - dp / rho along either line of saturation, of a blend too.
    fluid, step = refrigerant(name), 0.01
    at = np.array([230.0, 270.0, 310.0])
    for state, entropy in ((fluid.bubble, fluid.bubble_entropy), (fluid.dew, fluid.dew_entropy)):
        low, high, middle = state(at - step), state(at + step), state(at)
        work = (high.pressure_pa - low.pressure_pa) / middle.density_kg_m3
        heat = (high.enthalpy_j_kg - low.enthalpy_j_kg - work) / at
        assert entropy(at + step) - entropy(at - step) == pytest.approx(heat, rel=2e-4, abs=1e-6)


@pytest.mark.parametrize("name", ["R134a", "R744", "R717"])
def test_entropy_of_evaporation_of_a_pure_fluid_is_latent_heat_over_temperature(name):
    fluid, at = refrigerant(name), np.array([240.0, 270.0, 290.0])
    found = heat_content(fluid, at)
    heat = found.vapor_enthalpy_j_kg - found.liquid_enthalpy_j_kg
    assert found.vapor_entropy_j_kg_k - found.liquid_entropy_j_kg_k == pytest.approx(heat / at, rel=1e-6)


def test_tables_of_whole_numbers_are_those_of_figures():
    own = refrigerant("R448A")
    whole, plain = np.array([250, 280, 300]), np.array([250.0, 280.0, 300.0])
    for method in (own.bubble_pressure_slope, own.bubble_entropy, own.dew_entropy, own.midpoint_pressure):
        np.testing.assert_array_equal(method(whole), method(plain))
        np.testing.assert_array_equal(method(list(whole)), method(plain))


@pytest.mark.parametrize("name", ["R134a", "R410A", "R717", "R290"])
def test_only_a_single_component_has_no_glide_at_all(name):
    """R410A has a tenth of a kelvin and less; the way to a temperature and back is not taken for a glide."""
    table = saturation_table(refrigerant(name), np.linspace(230.0, 330.0, 21))
    assert (table.glide_k == 0.0).all() == (name != "R410A")
    if name == "R410A":
        assert ((table.glide_k > 1e-3) & (table.glide_k < 0.2)).all()


def test_the_slope_of_the_bubble_pressure_is_that_of_clausius_and_clapeyron():
    """dp/dT = (s'' - s')/(v'' - v') of a single component, from entropies and densities."""
    own, at = refrigerant("R134a"), np.array([240.0, 270.0, 300.0, 340.0])
    volume = 1.0 / own.dew(at).density_kg_m3 - 1.0 / own.bubble(at).density_kg_m3
    entropy = own.dew_entropy(at) - own.bubble_entropy(at)
    np.testing.assert_allclose(own.bubble_pressure_slope(at), entropy / volume, rtol=1e-5)


def test_the_ends_of_a_property_table_belong_to_it():
    """Vapor 70 K above its dew point, liquid at the pressure at which the table ends and at its bubble pressure."""
    own, at = refrigerant("R134a"), np.array([260.0, 280.0, 300.0])
    pressure = own.dew(at).pressure_pa
    dew_k = own.dew_temperature(pressure)
    for end, beyond in ((0.0, -1e-6), (70.0, 70.0 + 1e-6)):
        assert np.isfinite(own.vapor(dew_k + end, pressure).density_kg_m3).all()
        assert np.isnan(own.vapor(dew_k + beyond, pressure).density_kg_m3).all()
    top, bubble = own.table.top_pressure_pa, own.bubble(at).pressure_pa
    for end, beyond in ((np.full(3, top), top * (1.0 + 1e-6)), (bubble, bubble * (1.0 - 1e-6))):
        assert np.isfinite(own.liquid(at, end).density_kg_m3).all()
        assert np.isnan(own.liquid(at, np.broadcast_to(beyond, 3)).density_kg_m3).all()
