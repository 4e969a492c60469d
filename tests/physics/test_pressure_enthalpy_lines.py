"""Lines of a pressure-enthalpy diagram against the property library's own calls, and the zeros of printed enthalpy."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from tablegen.physics.equation_of_state import SinglePhase
from tablegen.physics.pressure_enthalpy_lines import DiagramLine, PressureEnthalpyLines
from tablegen.physics.refrigerants import heat_zero
from tests.registry import refrigerant, registry

PURE = {"R134a": "R134a", "R717": "Ammonia", "R744": "CarbonDioxide", "R290": "n-Propane"}


def lines_of(name: str) -> PressureEnthalpyLines:
    own = refrigerant(name)
    low = float(own.dew(np.array([max(own.coldest_k, 230.0)])).pressure_pa[0])
    ends = low, 1.6 * own.critical_pressure_pa
    return PressureEnthalpyLines(own, SinglePhase(own.definition).at, ends, own.critical_temperature_k + 120.0)


def offset(name: str) -> float:
    """From the zero of the library's calls by pressure to that of the property table [J/kg]."""
    return float(refrigerant(name).bubble(np.array([260.0])).enthalpy_j_kg[0]) - PropsSI(
        "H", "T", 260.0, "Q", 0, PURE[name]
    )


@pytest.mark.parametrize("name", [*PURE, "R448A", "R455A"])
def test_the_dome_closes_at_the_critical_point(name):
    lines = lines_of(name)
    for side in (lines.bubble(), lines.dew()):
        assert side.pressure_pa[-1] == pytest.approx(refrigerant(name).critical_pressure_pa, rel=1e-9)
        assert np.all(np.diff(side.pressure_pa) > 0.0)
        # No corner where the property table ends.
        assert np.abs(np.diff(side.enthalpy_j_kg)).max() < 0.06 * np.ptp(lines.bubble().enthalpy_j_kg)
    assert lines.bubble().enthalpy_j_kg[-1] == pytest.approx(lines.dew().enthalpy_j_kg[-1])
    assert lines.bubble().pressure_pa[0] == pytest.approx(lines.dew().pressure_pa[0], rel=1e-6) or name == "R744"


@pytest.mark.parametrize("name", PURE)
def test_the_critical_enthalpy_is_that_of_the_library(name):
    fluid, latent = PURE[name], np.diff(PropsSI("H", "T", 260.0, "Q", [0, 1], PURE[name]))[0]
    critical = PropsSI("H", "T", PropsSI("Tcrit", fluid) + 1e-6, "D", PropsSI("rhocrit", fluid), fluid) + offset(name)
    assert lines_of(name).bubble().enthalpy_j_kg[-1] == pytest.approx(critical, abs=2e-3 * latent)


@pytest.mark.parametrize("name", PURE)
def test_every_line_keeps_what_it_is_named_by(name):
    own, lines, fluid, zero = refrigerant(name), lines_of(name), PURE[name], offset(name)

    def along(line, quantity: str) -> np.ndarray:
        return PropsSI(quantity, "P", line.pressure_pa, "H", line.enthalpy_j_kg - zero, fluid)

    for kelvin in (240.0, 270.0, own.critical_temperature_k + 30.0):
        for part in lines.isotherm(kelvin):
            assert along(part, "T") == pytest.approx(kelvin, abs=0.01)
    # From the dew line at -5 degC, and of gas that is superheated at the lowest pressure already.
    dew = float(own.dew_entropy(np.array([268.15]))[0])
    for entropy in (dew, dew + 300.0):
        line = lines.isentrope(entropy)
        found = along(line, "S")
        assert np.ptp(found) < 0.2
        assert np.all(np.diff(line.pressure_pa) > 0.0)
    assert lines.isentrope(dew).pressure_pa[0] == pytest.approx(PropsSI("P", "T", 268.15, "Q", 1, fluid), rel=1e-3)
    density = float(own.dew(np.array([280.0])).density_kg_m3[0])
    assert along(lines.isochore(density), "D") == pytest.approx(density, rel=3e-4)
    middle = along(lines.quality(0.4), "Q")
    assert middle == pytest.approx(0.4, abs=1e-4)


def test_compression_of_ammonia_goes_on_where_the_property_table_ends():
    """Discharge gas of ammonia is more than 70 K superheated."""
    first, last = PropsSI("P", "T", 258.15, "Q", 1, "Ammonia"), PropsSI("P", "T", 313.15, "Q", 1, "Ammonia")
    line = lines_of("R717").compression(268.15, (first, last))
    entropy = PropsSI("S", "T", 268.15, "P", first, "Ammonia")
    hot = PropsSI("H", "P", last, "S", entropy, "Ammonia") + offset("R717")
    assert line.pressure_pa[-1] == pytest.approx(last)
    assert line.enthalpy_j_kg[-1] == pytest.approx(hot, abs=300.0)
    assert PropsSI("T", "P", last, "S", entropy, "Ammonia") > 313.15 + 70.0


def test_enthalpy_counts_as_published_tables_do():
    """ASHRAE Handbook, R-134a: 0 degC, 292.8 kPa, 398.60 kJ/kg vapor; in US units 0 Btu/lb for liquid at -40 degF."""
    own = refrigerant("R134a")
    dew = own.dew(np.array([273.15]))
    assert float(dew.pressure_pa[0]) == pytest.approx(292.8e3, abs=100.0)
    assert float(dew.enthalpy_j_kg[0]) - heat_zero(own).enthalpy_j_kg == pytest.approx(398.6e3, abs=50.0)
    us = heat_zero(own, is_us=True)
    at = np.array([233.15])
    assert float(own.bubble(at).enthalpy_j_kg[0]) == us.enthalpy_j_kg
    # The same table has 148.14 kJ/kg for liquid at -40 degC.
    assert us.enthalpy_j_kg - heat_zero(own).enthalpy_j_kg == pytest.approx(148.14e3, abs=100.0)


@pytest.mark.slow
@pytest.mark.parametrize("name", list(registry()))
def test_every_refrigerant_has_its_lines(name):
    own, lines = refrigerant(name), lines_of(name)
    for curve in (lines.bubble(), lines.dew(), lines.quality(0.5), lines.isochore(20.0)):
        assert np.isfinite(curve.pressure_pa).all()
        assert np.isfinite(curve.enthalpy_j_kg).all()
    for kelvin in (250.0, 290.0, own.critical_temperature_k - 1.0, own.critical_temperature_k + 40.0):
        assert all(np.isfinite(part.enthalpy_j_kg).all() for part in lines.isotherm(kelvin))
    line = lines.isentrope(float(own.dew_entropy(np.array([260.0]))[0]) + 100.0)
    assert line.pressure_pa.size > 5


def test_a_line_that_meets_the_dew_line_from_outside_ends_there():
    """Vapor of R600a becomes wet on its way up, so that compression without superheat ends at the dew line."""
    own, lines = refrigerant("R600a"), lines_of("R600a")
    entropy = float(own.dew_entropy(np.array([290.0]))[0])
    line = lines.isentrope(entropy)
    assert line.pressure_pa[0] < line.pressure_pa[-1]
    assert line.pressure_pa[-1] == pytest.approx(float(own.dew(np.array([290.0])).pressure_pa[0]), rel=1e-3)
    first, last = (float(own.dew(np.array([kelvin])).pressure_pa[0]) for kelvin in (270.0, 310.0))
    wet = lines.compression(271.0, (first, last))
    assert np.isfinite(wet.enthalpy_j_kg[0]) and np.isnan(wet.enthalpy_j_kg[-1])
    dry = lines.compression(290.0, (first, last))
    assert np.isfinite(dry.enthalpy_j_kg).all()


@pytest.mark.parametrize("name", ["R134a", "R290"])
def test_the_dome_is_that_of_the_library_and_closes_within_a_hundredth_of_the_latent_heat(name):
    own, lines, fluid = refrigerant(name), lines_of(name), PURE[name]
    latent = np.diff(PropsSI("H", "T", 260.0, "Q", [0, 1], fluid))[0]
    for quality, side in enumerate((lines.bubble(), lines.dew())):
        pressure, enthalpy = side.pressure_pa[:-1], side.enthalpy_j_kg[:-1]
        error = np.abs(enthalpy - offset(name) - PropsSI("H", "P", pressure, "Q", quality, fluid)) / latent
        # The property table ends 3 K below the critical temperature, and its points go on up to there.
        near = pressure > PropsSI("P", "T", own.critical_temperature_k - 3.001, "Q", quality, fluid)
        assert error[~near].max() < 1e-5
        assert PropsSI("T", "P", pressure[~near][-1], "Q", quality, fluid) > own.critical_temperature_k - 3.5
        assert error[near].max() < 0.0095
        assert near.sum() == 11
        # Neighbors are close: no more than a twentieth of the dome's width apart.
        assert np.abs(np.diff(side.enthalpy_j_kg[near.argmax() - 1 :])).max() < 0.05 * latent


@pytest.mark.parametrize("name", ["R134a", "R290"])
def test_an_isotherm_goes_from_edge_to_edge_of_the_diagram(name):
    """One point lies beyond either edge, so that the edge cuts the line; where it meets the dome it begins or ends there."""
    own, lines = refrigerant(name), lines_of(name)

    def inside(pressure: np.ndarray) -> bool:
        return bool((pressure > lines.low_pa).all() and (pressure < lines.high_pa).all())

    for above in (30.0, 110.0):
        [line] = lines.isotherm(own.critical_temperature_k + above)
        assert line.pressure_pa[0] >= lines.high_pa > lines.low_pa >= line.pressure_pa[-1]
        assert inside(line.pressure_pa[1:-1])
        assert (np.diff(line.pressure_pa) < 0.0).all()
    for kelvin in (240.0, 270.0):
        liquid, vapor = lines.isotherm(kelvin)
        at = np.array([kelvin])
        assert liquid.pressure_pa[0] >= lines.high_pa and inside(liquid.pressure_pa[1:])
        assert liquid.pressure_pa[-1] == pytest.approx(float(own.bubble(at).pressure_pa[0]), rel=1e-4)
        assert vapor.pressure_pa[-1] <= lines.low_pa and inside(vapor.pressure_pa[:-1])
        assert vapor.pressure_pa[0] == pytest.approx(float(own.dew(at).pressure_pa[0]), rel=1e-4)
        # The liquid hardly goes beyond the edge: its line would leave the paper otherwise.
        assert liquid.pressure_pa[0] < 1.2 * lines.high_pa
        assert vapor.pressure_pa[-1] > 0.5 * lines.low_pa
    # A vapor below the lowest pressure is not on the diagram, liquid of the same temperature is.
    assert len(lines.isotherm(220.0)) == 1
    assert lines.isotherm(own.coldest_k - 0.1) == ()


def test_a_diagram_that_no_pressure_of_an_isotherm_is_on_has_an_empty_line():
    own = refrigerant("R134a")
    narrow = PressureEnthalpyLines(own, SinglePhase(own.definition).at, (9.00e5, 9.01e5), 400.0)
    [line] = narrow.isotherm(own.critical_temperature_k + 30.0)
    assert line.pressure_pa.size == line.enthalpy_j_kg.size == 0


@pytest.mark.parametrize("name", ["R134a", "R290"])
def test_an_isochore_warms_in_even_steps_from_the_dew_line_or_from_the_edge_of_it(name):
    own, lines, fluid = refrigerant(name), lines_of(name), PURE[name]
    coldest = float(own.dew(np.array([230.0])).density_kg_m3[0])
    densest = float(own.dew(np.array([own.warmest_k])).density_kg_m3[0])
    for density, begins_dry in ((0.5 * coldest, True), (3.0 * coldest, False), (1.3 * densest, True)):
        line = lines.isochore(density)
        kelvin = PropsSI("T", "P", line.pressure_pa, "H", line.enthalpy_j_kg - offset(name), fluid)
        np.testing.assert_allclose(np.diff(kelvin), (kelvin[-1] - kelvin[0]) / (kelvin.size - 1), rtol=2e-3)
        assert kelvin[-1] == pytest.approx(own.critical_temperature_k + 120.0, abs=1e-3)
        if not begins_dry:
            dew_k = PropsSI("T", "D", density, "Q", 1, fluid)
            assert kelvin[0] == pytest.approx(dew_k, abs=0.05)
            assert line.pressure_pa[0] == pytest.approx(PropsSI("P", "T", dew_k, "Q", 1, fluid), rel=2e-3)
    # The ends of the dew line belong to it.
    ends = own.dew(np.array([230.0, own.warmest_k - 1e-9]))
    for density, pressure in zip(ends.density_kg_m3, ends.pressure_pa, strict=True):
        inner = density + 1e-9 * (3.0 * coldest - density)
        assert lines.isochore(float(inner)).pressure_pa[0] == pytest.approx(pressure, rel=1e-5)


@pytest.mark.parametrize("name", ["R134a", "R290"])
def test_an_isentrope_ends_a_little_above_the_diagram(name):
    own, lines = refrigerant(name), lines_of(name)
    line = lines.isentrope(float(own.dew_entropy(np.array([268.15]))[0]))
    assert line.pressure_pa[-2] <= 1.2 * lines.high_pa < line.pressure_pa[-1] < 1.35 * lines.high_pa


def test_a_line_is_read_at_a_pressure_along_its_logarithm():
    """Half way from 1 to 4 bar in ln(p) are 2 bar."""
    line = DiagramLine.through([(1e5, 400e3), (4e5, 420e3), (16e5, 430e3)])
    assert line.at(2e5) == pytest.approx(410e3, rel=1e-12)
    assert (line.at(1e5), line.at(16e5)) == pytest.approx((400e3, 430e3), rel=1e-12)
    assert np.isnan([line.at(0.99e5), line.at(16.1e5)]).all()
    # What is not known is left out; a line of nothing has no enthalpy.
    broken = DiagramLine(np.array([1e5, 2e5, 4e5]), np.array([400e3, np.nan, 420e3]))
    assert broken.at(2e5) == pytest.approx(410e3, rel=1e-12)
    ended = DiagramLine(np.array([1e5, 2e5, 4e5]), np.array([400e3, 410e3, np.nan]))
    assert np.isnan(ended.at(3e5)) and ended.at(2e5) == pytest.approx(410e3)
    assert np.isnan(DiagramLine(np.array([1e5]), np.array([np.nan])).at(1e5))


def test_zeros_of_printed_heat_make_liquid_zero_there():
    own = refrigerant("R134a")
    us, si = heat_zero(own, is_us=True), heat_zero(own)
    assert float(own.bubble_entropy(np.array([233.15]))[0]) == us.entropy_j_kg_k
    assert float(own.bubble_entropy(np.array([273.15]))[0]) - si.entropy_j_kg_k == pytest.approx(1000.0)
    assert float(own.bubble(np.array([273.15])).enthalpy_j_kg[0]) - si.enthalpy_j_kg == pytest.approx(200e3)
