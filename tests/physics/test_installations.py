"""Installations that differ from what an application states, against applications that state what the installation has."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from tablegen.physics.coil import Coil
from tablegen.physics.conditions import solve_conditions, solve_open, solve_rating
from tablegen.physics.deviation import DeviatingRefrigerant, InstallationDeviation, PropertyDeviation
from tablegen.physics.state import SolvedState, State
from tablegen.physics.system import Head, OperatingCondition, SuctionResponse, SystemInputs
from tests.physics.test_conditions import APPLICATION, FLUID, OF_STATED, SST_K

OFF = InstallationDeviation(
    low_head_pa=20e3,
    high_head_pa=-30e3,
    subcooling_k=0.4,
    liquid_line_pa=5e3,
    distributor_pa=-20e3,
    conductance_ratio=0.1,
    dryout_delay=0.2,
)
# Of draws nobody asks how much subcooling they need.
NOT_COMPARED = OF_STATED | {"needed_subcooling_k", "dead_time_s", "front_lag_s"}


def stated() -> SystemInputs:
    """The application that states what the installation has: the rating point is what both are rated at."""
    heads = {
        own.condition: replace(
            own,
            head=Head(pressure_pa=own.head.pressure(FLUID) + shift),
            liquid=replace(
                own.liquid,
                min_subcooling_k=own.liquid.min_subcooling_k + OFF.subcooling_k,
                max_subcooling_k=own.liquid.max_subcooling_k + OFF.subcooling_k,
            ),
        )
        for own, shift in ((APPLICATION.low_head, OFF.low_head_pa), (APPLICATION.high_head, OFF.high_head_pa))
    }
    own = replace(
        APPLICATION.with_losses(liquid_line_pa=35e3, distributor_pa=150e3), coil=Coil(conductance_ratio=0.385)
    )
    for changed in heads.values():
        own = own.with_condition(changed)
    return own


def assert_alike(ours: State, theirs: State, rows: tuple[int, int] | None = None, skipped: set[str] = NOT_COMPARED):
    for field in fields(State):
        if field.name not in skipped:
            one, other = getattr(ours, field.name), getattr(theirs, field.name)
            if rows is not None:
                one, other = one[rows[0]], other[rows[1]]
            np.testing.assert_allclose(one, other, rtol=1e-9, err_msg=field.name)


def test_an_installation_is_as_an_application_that_states_it():
    rated, found = solve_conditions(FLUID, APPLICATION, SST_K, OFF)
    other_rated, other = solve_conditions(FLUID, stated(), SST_K)
    assert [(s.condition, s.side, s.response) for s in found] == [(s.condition, s.side, s.response) for s in other]
    assert_alike(rated, other_rated)
    for ours, theirs in zip(found, other, strict=True):
        assert_alike(ours.state, theirs.state)
        assert list(ours.reason) == list(theirs.reason)
        # Its dry-out is a fifth slower.
        for name in ("dead_time_s", "front_lag_s"):
            slower, own = getattr(ours.state, name), getattr(theirs.state, name)
            np.testing.assert_allclose(slower, 1.2 * own, rtol=1e-9)
        assert np.isnan(ours.state.needed_subcooling_k).all()
        assert np.isfinite(theirs.state.needed_subcooling_k).all()


def test_a_flow_that_changes_more_with_head_is_a_power_of_the_ratio():
    constant = replace(APPLICATION, response=SuctionResponse.CONSTANT)
    (_, before), (_, after) = (
        solve_conditions(FLUID, constant, SST_K, InstallationDeviation(flow_change=own)) for own in (0.0, 0.25)
    )
    for one, other in zip(before, after, strict=True):
        np.testing.assert_allclose(other.state.flow_ratio, one.state.flow_ratio**1.25, rtol=1e-12)
    assert max(abs(float(own.state.flow_ratio[0]) - 1.0) for own in before) > 0.01


def test_what_varies_along_the_states_is_each_states_own():
    """Installations and refrigerants drawn for each state: those of one are not taken for those of another."""
    off = InstallationDeviation(
        low_head_pa=np.array([10e3, -20e3, 30e3]),
        subcooling_k=np.array([0.1, 0.2, -0.3]),
        liquid_line_pa=np.array([1e3, 2e3, -3e3]),
        distributor_pa=5e3,
    )
    drawn = PropertyDeviation(np.array([0.004, -0.003, 0.002]), 0.001, np.array([0.0, 0.01, -0.01]))
    fluid = DeviatingRefrigerant(FLUID, drawn)
    rated, found = solve_conditions(fluid, APPLICATION, SST_K, off)
    for row in range(3):
        index = np.array([row])
        one_rated, one = solve_conditions(fluid.at(index), APPLICATION, SST_K[index], off.at(index))
        assert_alike(rated, one_rated, (row, 0), {"needed_subcooling_k"})
        for ours, theirs in zip(found, one, strict=True):
            assert_alike(ours.state, theirs.state, (row, 0), {"needed_subcooling_k"})
            assert ours.reason[row] is theirs.reason[0]
    assert len({float(own) for own in found[0].state.head_pressure_pa}) == 3


def test_what_needs_a_difference_that_is_not_stated_is_not_known():
    bare = replace(APPLICATION, box_difference_k=None, response=SuctionResponse.CONSTANT)
    of_coil = "coil_difference_k dry_transfer_units vapor_heat_ratio dead_time_s front_lag_s wall_lag_s wall_lead_s"
    found = solve_rating(FLUID, bare, SST_K)
    for name in of_coil.split():
        assert getattr(found, name).shape == SST_K.shape
        assert np.isnan(getattr(found, name)).all(), name
    no_circuit = solve_rating(FLUID, replace(APPLICATION, circuit=None), SST_K)
    for name in of_coil.split():
        assert np.isnan(getattr(no_circuit, name)).all() == (name.endswith("_s")), name


@pytest.mark.parametrize("share", [0.6, 0.9])
def test_the_open_flow_is_the_mean_flow_over_the_duty(share: float):
    """Its evaporator is that of the mean flow; it loses more on its way; its states are those of the maximum load."""
    rated, mean = solve_conditions(FLUID, APPLICATION, SST_K)
    opened = solve_open(FLUID, APPLICATION, SST_K, rated, share)

    def named(own: list[SolvedState]) -> dict[tuple[OperatingCondition, SuctionResponse], SolvedState]:
        return {(s.condition, s.response): s for s in own if s.side.serves_max}

    assert named(opened).keys() == named(mean).keys() and len(opened) == len(named(mean))
    for key, at_mean in named(mean).items():
        at_open = named(opened)[key]
        assert at_open.open_share == share and at_mean.open_share == 1.0
        before, after = at_mean.state, at_open.state
        np.testing.assert_allclose(after.flow_share, before.flow_share / share, rtol=1e-12)
        np.testing.assert_array_equal(after.flow_ratio, before.flow_ratio)
        np.testing.assert_array_equal(after.evaporating_temperature_k, before.evaporating_temperature_k)
        assert (after.inlet_pressure_pa < before.inlet_pressure_pa).all()
        assert (after.outlet_pressure_pa > before.outlet_pressure_pa).all()
    assert [s.open_share for s in solve_open(FLUID, APPLICATION, SST_K, rated, 1.0)] == [1.0] * len(mean)


def test_losses_by_hand_at_the_high_head():
    """Friction with flow squared over density, and a column of one meter; the distributor with the flashed volume."""
    rated, found = solve_conditions(FLUID, replace(APPLICATION, response=SuctionResponse.CONSTANT), SST_K)
    for item in found:
        own = item.state
        line = 30e3 * own.flow_share**2 * rated.liquid_density_kg_m3 / own.liquid_density_kg_m3
        column = 9.80665 * own.liquid_density_kg_m3
        np.testing.assert_allclose(own.inlet_pressure_pa, own.head_pressure_pa - line - column, rtol=1e-11)
        volume = own.mixture_volume_m3_kg / rated.mixture_volume_m3_kg
        losses = own.flow_share**2 * (12e3 + 170e3 * volume)
        np.testing.assert_allclose(own.outlet_pressure_pa, own.evaporating_pressure_pa + losses, rtol=1e-11)
        # What the liquid needs at the outlet of the condenser: at its bubble point it loses friction and column as well.
        least_k = own.head_bubble_temperature_k - own.needed_subcooling_k
        bubble = FLUID.bubble(least_k)
        friction = 30e3 * own.flow_share**2 * rated.liquid_density_kg_m3 / bubble.density_kg_m3
        lost = friction + 9.80665 * bubble.density_kg_m3
        np.testing.assert_allclose(bubble.pressure_pa, own.head_pressure_pa - lost, rtol=1e-9)


@pytest.mark.parametrize("is_at_compressor", [False, True])
def test_the_loss_of_the_suction_line_lies_between_evaporator_and_compressor(is_at_compressor: bool):
    """The SST is stated at one end or the other; the compressor draws gas of its own end, against head and its own loss."""
    own = replace(APPLICATION, sst_at_compressor=is_at_compressor, suction_loss_k=1.5)
    rated = solve_rating(FLUID, own, SST_K)
    evaporating_k = SST_K + 1.5 if is_at_compressor else SST_K
    np.testing.assert_allclose(rated.evaporating_temperature_k, evaporating_k, rtol=1e-15)
    suction_pa = FLUID.dew(evaporating_k - 1.5).pressure_pa
    np.testing.assert_allclose(rated.suction_pressure_pa, suction_pa, rtol=1e-14)
    ratio = (rated.head_pressure_pa + 8e3) / suction_pa
    drawn = FLUID.vapor(evaporating_k - 1.5 + 11.0, suction_pa).density_kg_m3
    np.testing.assert_allclose(rated.relative_flow, (1.04 - 0.04 * ratio ** (1.0 / 1.1)) * drawn, rtol=1e-12)
