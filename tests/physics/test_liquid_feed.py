"""Liquid from condenser or receiver to the port: subcooling, heat gain, vapor at the inlet, kept capacity.

The hand calculation calls CoolProp, of which a property table is made, by itself.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop
from fluids.two_phase_voidage import density_two_phase, homogeneous
from scipy.integrate import quad
from scipy.optimize import brentq

from tablegen.physics.compressor import ConstantCapacity
from tablegen.physics.conditions import solve_along, solve_conditions
from tablegen.physics.deviation import InstallationDeviation
from tablegen.physics.flow import FlowLaw, mass_flow
from tablegen.physics.operating import required_kv_per_watt
from tablegen.physics.reasons import Reason
from tablegen.physics.state import SolvedState
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    LineHeat,
    LiquidFeed,
    LiquidSupply,
    Losses,
    OperatingCondition,
    Side,
    SuctionResponse,
    SystemInputs,
)
from tests.builders import system_inputs
from tests.registry import refrigerant

FLUID = refrigerant("R404A")
R744 = refrigerant("R744")
SST_K = np.array([260.0, 268.0])
PSI_PA, FOOT_M, DEGF_K = 6894.757, 0.3048, 1.0 / 1.8
FEED_OF_LINE = LiquidFeed(heat=LineHeat(per_length_w_m=6.0, length_m=25.0, capacity_w=9000.0))


def losses(line_pa: float = 5.0 * PSI_PA, lift_m: float = 0.0) -> Losses:
    return Losses(
        liquid_line_pa=line_pa,
        lift_m=lift_m,
        evaporator_pa=2.0 * PSI_PA,
        distributor_pa=25.0 * PSI_PA,
        distributor_scaling=DistributorScaling.FLASHED_MIXTURE,
    )


def application(low: LiquidSupply, **stated: object) -> SystemInputs:
    """Like the demo's walk-in cooler: 135 psi gauge at low head, rating at 105 degF with 96 degF liquid."""
    return system_inputs(
        (Head(condensing_temperature_k=313.706, basis=Basis.BUBBLE), LiquidSupply(308.706)),
        (Head(pressure_pa=149.696 * PSI_PA), low),
        (Head(condensing_temperature_k=319.261, basis=Basis.BUBBLE), LiquidSupply(None, 3.0, 3.0)),
        **{"losses": losses(), **stated},
    )


def at_low_head(system: SystemInputs) -> SolvedState:
    _, solved = solve_conditions(FLUID, system, SST_K)
    return next(s for s in solved if s.condition is OperatingCondition.LOW_HEAD)


def at_condenser(subcooling_k: float) -> LiquidSupply:
    return LiquidSupply(None, subcooling_k, subcooling_k, is_at_condenser=True)


def test_condenser_subcooling_gives_the_state_that_asks_for_it_at_the_inlet() -> None:
    """Stated at the inlet or upstream, the same liquid is the same state, with lift and heat gain."""
    feed = {"losses": losses(lift_m=3.0), "feed": FEED_OF_LINE}
    stated = at_low_head(application(LiquidSupply(285.0), **feed)).state
    for row, subcooling in enumerate(stated.condenser_subcooling_k):
        other = at_low_head(application(at_condenser(float(subcooling)), **feed)).state
        # The heat capacity is taken one time at either end of the line.
        assert other.liquid_temperature_k[row] == pytest.approx(285.0, abs=0.02)
        assert other.inlet_pressure_pa[row] == pytest.approx(stated.inlet_pressure_pa[row], rel=2e-5)


def test_sixty_feet_of_lift_ask_for_21_degf_at_low_head() -> None:
    """5 degF at the inlet, as the demo states it, 60 ft up."""
    own = at_low_head(application(LiquidSupply(None, 5.0 * DEGF_K, 5.0 * DEGF_K), losses=losses(lift_m=60.0 * FOOT_M)))
    assert own.state.condenser_subcooling_k / DEGF_K == pytest.approx(21.0, abs=1.5)
    # Of which the inlet has 5 left.
    assert own.state.needed_subcooling_k / DEGF_K == pytest.approx(16.0, abs=1.5)


@pytest.mark.parametrize("share", [0.98, 1.02])
def test_needed_subcooling_is_the_edge_of_flashing(share: float) -> None:
    feed = {"losses": losses(lift_m=12.0), "feed": FEED_OF_LINE}
    needed = at_low_head(application(at_condenser(9.0), **feed)).state.needed_subcooling_k
    for row, subcooling in enumerate(needed):
        own = at_low_head(application(at_condenser(share * float(subcooling)), **feed))
        assert (own.reason[row] is Reason.FLASHING) == (share < 1.0)


def test_heat_gain_is_the_heat_of_the_line() -> None:
    """Energy balance over the line of one system of 9 kW."""
    system = application(at_condenser(6.0), feed=FEED_OF_LINE)
    rated, solved = solve_conditions(FLUID, system, SST_K)
    for item in solved:
        state = item.state
        outlet_k = state.head_bubble_temperature_k - state.condenser_subcooling_k
        warm, cold = (
            FLUID.liquid(t, state.head_pressure_pa).enthalpy_j_kg for t in (state.liquid_temperature_k, outlet_k)
        )
        flow = state.flow_share * 9000.0 / rated.rating_effect_j_kg
        # The heat capacity is that at one end.
        assert flow * (warm - cold) == pytest.approx(6.0 * 25.0, rel=0.01)


def flashing(most: float, subcooling_k: float = 1.0) -> SolvedState:
    return at_low_head(application(at_condenser(subcooling_k), feed=LiquidFeed(inlet_vapor=most)))


def test_vapor_at_the_inlet_is_refused_or_counted() -> None:
    counted = flashing(0.05)
    assert (counted.reason == None).all()  # noqa: E711
    quality = float(counted.state.inlet_quality[0])
    assert 0.001 < quality < 0.05
    for most in (0.0, 0.9 * quality):
        assert flashing(most).reason[0] is Reason.FLASHING
    assert flashing(1.1 * quality).reason[0] is None


def test_flashing_state_by_hand() -> None:
    """One state calculated with CoolProp alone: the pressure along the line, and of the valve what Kv it takes."""
    fluid = coolprop.AbstractState("HEOS", "CarbonDioxide")
    head, rated_pa, line, lift = 35e5, 45e5, 1.5e5, 8.0
    condenser_k, sst_k = 1.0, 260.0
    system = system_inputs(
        (Head(pressure_pa=rated_pa), LiquidSupply(278.0)),
        (Head(pressure_pa=head), at_condenser(condenser_k)),
        (Head(pressure_pa=rated_pa), LiquidSupply(278.0)),
        compressor=ConstantCapacity(),
        losses=replace(losses(line, lift), evaporator_pa=0.0, distributor_pa=0.0),
        feed=LiquidFeed(inlet_vapor=0.2),
    )

    def saturated(pressure: float, quality: float) -> tuple[float, float, float]:
        fluid.update(coolprop.PQ_INPUTS, pressure, quality)
        return fluid.T(), fluid.rhomass(), fluid.hmass()

    def liquid(temperature: float, pressure: float) -> tuple[float, float]:
        fluid.specify_phase(coolprop.iphase_liquid)
        fluid.update(coolprop.PT_INPUTS, pressure, temperature)
        found = fluid.rhomass(), fluid.hmass()
        fluid.unspecify_phase()
        return found

    fluid.update(coolprop.QT_INPUTS, 1.0, sst_k)
    evaporating, h_g = fluid.p(), fluid.hmass()
    # The rating: lift and line from its own liquid, whose density depends on the inlet pressure a little.
    p_r = rated_pa - line
    for _ in range(20):
        rho_r, h_r = liquid(278.0, p_r)
        p_r = rated_pa - line - rho_r * 9.80665 * lift
    liquid_k = saturated(head, 0.0)[0] - condenser_k
    fluid.update(coolprop.QT_INPUTS, 0.0, liquid_k)
    bubble_pa, column, h_l = fluid.p(), fluid.rhomass(), fluid.hmass()
    flow = (h_g - h_r) / (h_g - h_l)

    def mixture(pressure: float) -> tuple[float, float]:
        (_, rho_b, h_b), (_, rho_d, h_d) = saturated(pressure, 0.0), saturated(pressure, 1.0)
        x = (h_l - h_b) / (h_d - h_b)
        return x, 1.0 / (x / rho_d + (1.0 - x) / rho_b)

    # Below the bubble pressure the line loses as much more as its density is lower, point by point.
    short = bubble_pa - (head - line * flow**2 * rho_r / column - column * 9.80665 * lift)
    low = bubble_pa - brentq(
        lambda f: quad(lambda d: mixture(bubble_pa - d)[1] / column, 0.0, f)[0] - short, short, 3e5
    )
    x, rho = mixture(low)
    rated, solved = solve_conditions(R744, system, np.array([sst_k]))
    own = next(s for s in solved if s.condition is OperatingCondition.LOW_HEAD)
    assert x > 0.002
    assert own.reason[0] is None
    assert own.state.flow_ratio[0] == pytest.approx(flow, rel=1e-5)
    assert own.state.inlet_pressure_pa[0] == pytest.approx(low, rel=1e-5)
    assert own.state.inlet_quality[0] == pytest.approx(x, rel=1e-3)
    assert own.state.inlet_density_kg_m3[0] == pytest.approx(rho, rel=1e-4)
    kv = required_kv_per_watt(own, rated, R744, FlowLaw.ORIFICE, 1.0)
    flow_kg_s = flow / (h_g - h_r)
    by_hand = flow_kg_s * 3600.0 / np.sqrt(1000.0 * rho * (low - evaporating) / 1e5)
    assert kv[0] == pytest.approx(by_hand, rel=1e-4)


def test_density_at_the_inlet_is_homogeneous_as_a_library_has_it() -> None:
    state = flashing(0.2).state
    dew = FLUID.dew(FLUID.dew_temperature(state.inlet_pressure_pa)).density_kg_m3
    bubble = FLUID.bubble(FLUID.bubble_temperature(state.inlet_pressure_pa)).density_kg_m3
    for row, quality in enumerate(state.inlet_quality):
        void = homogeneous(float(quality), float(bubble[row]), float(dew[row]))
        found = density_two_phase(void, float(bubble[row]), float(dew[row]))
        assert state.inlet_density_kg_m3[row] == pytest.approx(found, rel=1e-10)


@pytest.mark.parametrize(("quality", "lost"), [(0.01, 0.09), (0.02, 0.15), (0.05, 0.29)])
def test_little_vapor_costs_much_flow(quality: float, lost: float) -> None:
    """R404A near 65 degF: a homogeneous mixture passes root of density less, which is derived in one line."""
    at = np.array([291.5])
    bubble = FLUID.bubble(at)
    dew = FLUID.dew(FLUID.dew_temperature(bubble.pressure_pa))
    mixture = 1.0 / (quality / dew.density_kg_m3 + (1.0 - quality) / bubble.density_kg_m3)
    flows = [mass_flow(np.array([1.0]), rho, np.array([5e5])) for rho in (mixture, bubble.density_kg_m3)]
    assert 1.0 - flows[0] / flows[1] == pytest.approx(lost, abs=0.012)


def test_more_lift_means_more_vapor_and_then_no_pressure_carries_the_flow() -> None:
    """Along a long line the friction of vapor makes more vapor, until there is no steady inlet pressure."""
    found = []
    for lift_m in (0.0, 3.0, 6.0):
        low = application(at_condenser(1.0), losses=losses(20.0 * PSI_PA, lift_m), feed=LiquidFeed(inlet_vapor=0.2))
        found.append(at_low_head(low).state.inlet_quality[0])
    assert found == sorted(found)
    beyond = at_low_head(application(at_condenser(0.0), losses=losses(90.0 * PSI_PA), feed=LiquidFeed(inlet_vapor=0.2)))
    assert (beyond.reason == Reason.FLASHING).all()
    assert np.isnan(beyond.state.inlet_quality).all()


def test_between_heads_the_stated_kind_of_subcooling_is_kept() -> None:
    system = application(at_condenser(8.0), losses=losses(lift_m=3.0), feed=FEED_OF_LINE)
    rated, solved = solve_conditions(FLUID, system, SST_K)
    for item in solved:
        again = solve_along(
            FLUID,
            system,
            item.state.head_pressure_pa,
            item.state.condenser_subcooling_k,
            Side.BOTH,
            1.0,
            rated,
            SuctionResponse.CONSTANT,
            is_at_condenser=True,
        ).state
        if item.condition is OperatingCondition.LOW_HEAD:
            assert again.inlet_pressure_pa == pytest.approx(item.state.inlet_pressure_pa, rel=1e-12)
        assert again.liquid_temperature_k == pytest.approx(item.state.liquid_temperature_k, abs=0.03)


def receiver(low_pa: float, rating_pa: float, high_pa: float) -> SystemInputs:
    liquid_k = float(R744.bubble_temperature(np.array(rating_pa))) - 3.0
    return system_inputs(
        (Head(pressure_pa=rating_pa), LiquidSupply(liquid_k)),
        (Head(pressure_pa=low_pa), at_condenser(2.0)),
        (Head(pressure_pa=high_pa), at_condenser(2.0)),
        compressor=ConstantCapacity(),
        losses=losses(),
    )


def test_kept_capacity_is_an_energy_balance() -> None:
    rated, solved = solve_conditions(R744, receiver(36e5, 38e5, 40e5), SST_K)
    for item in solved:
        effect = item.state.rating_effect_j_kg
        assert item.state.flow_ratio * effect == pytest.approx(rated.rating_effect_j_kg, rel=1e-12)
        assert (item.state.capacity_ratio == 1.0).all()
    flows = {s.condition: s.state.flow_ratio[0] for s in solved}
    # Colder liquid at the low receiver pressure: less flow carries the load.
    assert flows[OperatingCondition.LOW_HEAD] < flows[OperatingCondition.HIGH_HEAD]


def test_equal_receiver_pressures_work() -> None:
    rated, solved = solve_conditions(R744, receiver(38e5, 38e5, 38e5), SST_K)
    assert all((item.reason == None).all() for item in solved)  # noqa: E711
    for item in solved:
        assert item.state.inlet_pressure_pa == pytest.approx(rated.inlet_pressure_pa, rel=1e-3)


@pytest.mark.parametrize("low", [at_condenser(6.0), LiquidSupply(None, 6.0, 6.0)])
def test_scatter_acts_on_the_subcooling_that_is_stated_and_on_the_line(low: LiquidSupply) -> None:
    """An installation that is off is the application written with what it adds."""
    vapor = LiquidFeed(inlet_vapor=0.05, heat=FEED_OF_LINE.heat)
    for feed in (FEED_OF_LINE, vapor):
        off = InstallationDeviation(subcooling_k=-1.5, liquid_line_pa=8e3)
        _, drawn = solve_conditions(FLUID, application(low, feed=feed), SST_K, off)
        shifted = replace(low, min_subcooling_k=4.5, max_subcooling_k=4.5)
        written = application(shifted, feed=feed, losses=losses(5.0 * PSI_PA + 8e3))
        high = replace(written.high_head, liquid=LiquidSupply(None, 1.5, 1.5))
        _, stated = solve_conditions(FLUID, replace(written, high_head=high), SST_K)
        for one, other in zip(drawn, stated, strict=True):
            assert one.state.inlet_pressure_pa == pytest.approx(other.state.inlet_pressure_pa, rel=1e-12)
            assert one.state.liquid_temperature_k == pytest.approx(other.state.liquid_temperature_k, rel=1e-12)
            assert one.state.inlet_density_kg_m3 == pytest.approx(other.state.inlet_density_kg_m3, rel=1e-12)
