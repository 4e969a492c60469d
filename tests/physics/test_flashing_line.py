"""Friction of a liquid line in which liquid flashes: its integral, its edge, and how the calculation writes it out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from tablegen.calculation.state_steps import head_calculation, rating_calculation
from tablegen.config.loader import load_catalogue
from tablegen.model.solving import laws_of, solve
from tablegen.physics import liquid_equations as lineq
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import LiquidFeed, SystemInputs
from tests.physics.test_liquid_feed import DEGF_K, PSI_PA, SST_K, application, at_condenser, at_low_head, losses
from tests.registry import refrigerant

DERIVED = Path(__file__).resolve().parents[1] / "data" / "derived_limits" / "catalogue.yaml"


class Flashed:
    """Liquid from its bubble point at a temperature downward, at constant enthalpy."""

    def __init__(self, name: str, temperature_k: float) -> None:
        self.fluid = refrigerant(name)
        self.liquid = self.fluid.bubble(np.array([temperature_k]))

    def mixture(self, fall_pa: float) -> tuple[float, float]:
        """Vapor by mass, and density over that of the liquid."""
        pressure = self.liquid.pressure_pa - fall_pa
        bubble = self.fluid.bubble(self.fluid.bubble_temperature(pressure))
        dew = self.fluid.dew(self.fluid.dew_temperature(pressure))
        x = (self.liquid.enthalpy_j_kg - bubble.enthalpy_j_kg) / (dew.enthalpy_j_kg - bubble.enthalpy_j_kg)
        volume = x / dew.density_kg_m3 + (1.0 - x) / bubble.density_kg_m3
        return float(x[0]), float(1.0 / (volume * self.liquid.density_kg_m3)[0])

    def rule(self, fall_pa: float) -> float:
        ratios = {f"r_{i}": np.array([self.mixture(0.25 * i * fall_pa)[1]]) for i in (1, 2, 3, 4)}
        return float(lineq.flashing_fall(dp_f=np.array([fall_pa]), **ratios)[0])


@pytest.mark.parametrize(
    ("name", "temperature_k"),
    [("R404A", 291.5), ("R404A", 313.0), ("R134a", 291.5), ("R448A", 291.5), ("R290", 291.5), ("R744", 278.0)],
)
def test_simpsons_rule_is_the_integral_up_to_five_percent_of_vapor(name: str, temperature_k: float) -> None:
    line = Flashed(name, temperature_k)
    for vapor in (0.002, 0.01, 0.03, 0.05):
        fall = brentq(lambda f, vapor=vapor: line.mixture(f)[0] - vapor, 1.0, 0.8 * line.liquid.pressure_pa[0])
        true, _ = quad(lambda f: line.mixture(f)[1], 0.0, fall, epsabs=1e-6 * fall)
        assert true < fall
        assert line.rule(fall) == pytest.approx(true, abs=1e-3 * fall)


@pytest.mark.parametrize("growth", [1e-6, 0.1, 0.5, 1.0])
def test_simpsons_rule_has_the_closed_form_of_a_volume_that_grows_with_the_fall(growth: float) -> None:
    """The integral of 1/(1 + u s) is ln(1 + u)/u (the omega method of two-phase flow, from memory, takes such a volume)."""
    ratios = {f"r_{i}": np.array([1.0 / (1.0 + growth * 0.25 * i)]) for i in (1, 2, 3, 4)}
    found = lineq.flashing_fall(dp_f=np.array([1.0]), **ratios)
    assert found[0] == pytest.approx(np.log1p(growth) / growth, rel=2e-4)


@pytest.mark.parametrize("name", ["R404A", "R134a", "R744"])
def test_more_friction_means_a_greater_fall(name: str) -> None:
    """So that there is one root at most, as far as limits may count with vapor (20 %)."""
    line = Flashed(name, 280.0)
    end = brentq(lambda f: line.mixture(f)[0] - 0.2, 1.0, 0.75 * line.liquid.pressure_pa[0])
    assert (np.diff([line.rule(share * end) for share in np.linspace(0.0, 1.0, 60)]) > 0.0).all()


def long_line(subcooling_k: float, lift_m: float = 0.0) -> tuple[SystemInputs, SolvedState]:
    """27 psi of friction at the flow of low head."""
    feed = LiquidFeed(inlet_vapor=0.05)
    rated_psi = 27.0 / FLOW**2
    system = application(at_condenser(subcooling_k), losses=losses(rated_psi * PSI_PA, lift_m), feed=feed)
    return system, at_low_head(system)


# Flow over rated flow at low head, where the compressor pumps more.
FLOW = float(at_low_head(application(at_condenser(9.0))).state.flow_share[0])


def test_a_long_line_a_little_short_of_subcooling_arrives_with_a_little_vapor() -> None:
    """With the whole line's friction at the density of its end no pressure carried this flow."""
    needed = float(long_line(12.0)[1].state.needed_subcooling_k[0])
    _, own = long_line(needed - 0.3 * DEGF_K)
    assert own.reason[0] is None
    # 0.3 degF of R404A near 65 degF is the pressure of 0.3 degF, and as much vapor as it flashes to.
    fluid = refrigerant("R404A")
    slope = float(fluid.bubble_pressure_slope(own.state.liquid_temperature_k)[0])
    short = own.state.liquid_bubble_pressure_pa[0] - own.state.inlet_pressure_pa[0]
    assert short == pytest.approx(0.3 * DEGF_K * slope, rel=0.08)
    assert 0.0005 < own.state.inlet_quality[0] < 0.003


def test_vapor_begins_where_the_liquid_just_arrives() -> None:
    """Nothing jumps where the shortfall is zero, nor does the fall of pressure begin steeper than that of liquid."""
    needed = float(long_line(12.0)[1].state.needed_subcooling_k[0])
    above, edge, below = (long_line(needed + d)[1].state for d in (1e-4, 0.0, -1e-4))
    for name in ("inlet_pressure_pa", "inlet_density_kg_m3", "liquid_enthalpy_j_kg"):
        values = [float(getattr(s, name)[0]) for s in (above, edge, below)]
        assert max(values) == pytest.approx(min(values), rel=1e-4), name
    assert above.inlet_quality[0] == 0.0
    assert 0.0 < below.inlet_quality[0] < 1e-5

    def margin(state: State) -> float:
        return float(state.inlet_pressure_pa[0] - state.liquid_bubble_pressure_pa[0])

    assert margin(above) - margin(edge) == pytest.approx(margin(edge) - margin(below), rel=1e-2)


@pytest.mark.parametrize("lift_m", [0.0, 2.0, -2.0])
def test_the_line_loses_what_its_points_lose(lift_m: float) -> None:
    """Friction over small steps by the density of each, a column that descends as light as what reaches the valve."""
    system, settled = long_line(12.0, lift_m)
    needed = float(settled.state.needed_subcooling_k[0])
    _, own = long_line(needed - 1.0, lift_m)
    state = own.state
    assert 0.005 < state.inlet_quality[0] < 0.05
    line = Flashed("R404A", float(state.liquid_temperature_k[0]))
    fall = float(state.liquid_bubble_pressure_pa[0] - state.inlet_pressure_pa[0])
    passed, _ = quad(lambda f: line.mixture(f)[1], 0.0, fall)
    friction = system.losses.liquid_line_pa * FLOW**2 * rated_density(system) / state.liquid_density_kg_m3[0]
    column = state.liquid_density_kg_m3[0] if lift_m >= 0.0 else state.inlet_density_kg_m3[0]
    arriving = state.head_pressure_pa[0] - friction - column * 9.80665 * lift_m
    assert state.liquid_bubble_pressure_pa[0] - arriving == pytest.approx(passed, rel=5e-4)


def rated_density(system: SystemInputs) -> float:
    return float(solve_conditions(refrigerant("R404A"), system, SST_K)[0].liquid_density_kg_m3[0])


def test_no_vapor_is_as_if_none_was_allowed() -> None:
    """To the last digit."""
    for subcooling_k in (9.0, 12.0):
        states = [
            at_low_head(application(at_condenser(subcooling_k), feed=LiquidFeed(inlet_vapor=v))).state
            for v in (0.0, 0.05)
        ]
        for name in ("inlet_pressure_pa", "inlet_density_kg_m3", "outlet_pressure_pa"):
            assert (getattr(states[0], name) == getattr(states[1], name)).all()


@pytest.mark.parametrize(
    ("name", "refrigerant_name"), [("carried", "R404A"), ("flashing", "R134a"), ("receiver", "R744")]
)
def test_the_calculation_writes_out_what_was_solved(name: str, refrigerant_name: str) -> None:
    catalogue = load_catalogue(DERIVED)
    laws = laws_of(catalogue.families.values())
    solved = solve(catalogue.refrigerants[refrigerant_name], catalogue.applications[name], laws)
    sst_k = catalogue.applications[name].sst_k
    rating = rating_calculation(solved.refrigerant, solved.system, sst_k, solved.rated)
    flashed = 0
    for item in solved.states:
        values = head_calculation(rating, solved.refrigerant, solved.system, item, next(iter(laws))).values
        assert values["p_1"] == pytest.approx(item.state.inlet_pressure_pa, rel=1e-12)
        if (item.state.inlet_quality > 0.0).any():
            assert values["x_1"] == pytest.approx(item.state.inlet_quality, abs=1e-12)
            assert values["rho_1"] == pytest.approx(item.state.inlet_density_kg_m3, rel=1e-12)
            assert values["dp_fl"] == pytest.approx(values["dp_sh"], rel=1e-9)
            assert (values["dp_f"] > values["dp_sh"]).all()
            flashed += 1
    assert flashed
