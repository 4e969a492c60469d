"""States at many heads or settings at once against states solved one by one, and heads as they are stated."""

from __future__ import annotations

import dataclasses
from dataclasses import replace

import numpy as np
import pytest

from tablegen.physics.coil import Coil
from tablegen.physics.conditions import (
    solve_along,
    solve_condition,
    solve_liquids,
    solve_rating,
    solve_settings,
)
from tablegen.physics.loop import Circuit
from tablegen.physics.state import SolvedState
from tablegen.physics.system import (
    Basis,
    DistributorScaling,
    Head,
    HeadCondition,
    LiquidSupply,
    Losses,
    OperatingCondition,
    Side,
    SuctionResponse,
    SuperheatLimits,
)
from tests.builders import system_inputs
from tests.registry import refrigerant

FLUID = refrigerant("R448A")
SST_K = np.array([258.15, 266.15, 274.15])
HEADS_PA = np.array([10e5, 13e5, 18e5])
# On top of the rating's: nothing is stated twice the same, so that no two can be taken for each other.
APPLICATION = system_inputs(
    (Head(condensing_temperature_k=313.7, basis=Basis.BUBBLE), LiquidSupply(308.7)),
    (Head(pressure_pa=10e5), LiquidSupply(None, 2.0, 6.0)),
    (Head(condensing_temperature_k=319.3), LiquidSupply(None, 3.0, 3.0)),
    suction_loss_k=1.0,
    response=SuctionResponse.STRICTER,
    box_difference_k=5.5,
    capacity_step=0.7,
    losses=Losses(
        liquid_line_pa=30e3,
        lift_m=1.0,
        evaporator_pa=12e3,
        distributor_pa=170e3,
        distributor_scaling=DistributorScaling.FLASHED_MIXTURE,
    ),
    superheat=SuperheatLimits(useful_k=3.6, max_k=None, min_k=(1.7, 0.4, 0.1), capacity_loss=0.1),
    coil=Coil(conductance_ratio=0.35),
    circuit=Circuit(
        load_w=1000.0,
        length_m=12.0,
        tube_inner_diameter_m=11.7e-3,
        wall_heat_capacity_j_mk=120.0,
        air_side_share=0.75,
        plug_share=0.5,
    ),
    return_superheat_k=11.0,
    discharge_loss_pa=8e3,
)
# What is given for a stated condensing temperature, which many heads have none of.
OF_STATED = {"condensing_bubble_pressure_pa", "condensing_dew_pressure_pa"}
RESPONSES = [SuctionResponse.CONSTANT, SuctionResponse.BALANCED]


def assert_same(one: SolvedState, row: int, other: SolvedState) -> None:
    """One row of a solution is the first row of another."""
    for field in dataclasses.fields(one.state):
        if field.name not in OF_STATED:
            mine, theirs = (getattr(s.state, field.name) for s in (one, other))
            assert mine[row] == pytest.approx(theirs[0], rel=1e-11), field.name
    assert one.reason[row] is other.reason[0]
    assert (one.side, one.response) == (other.side, other.response)


@pytest.mark.parametrize("response", RESPONSES)
def test_many_settings_of_a_head_are_each_solved_as_alone(response: SuctionResponse) -> None:
    rated = solve_rating(FLUID, APPLICATION, SST_K)
    found = solve_settings(FLUID, APPLICATION, APPLICATION.low_head, HEADS_PA, rated, response)
    assert [s.side for s in found] == [Side.MAX, Side.MIN, Side.MIN_FULL_FLOW]
    for row, head in enumerate(HEADS_PA):
        condition = replace(APPLICATION.low_head, head=Head(pressure_pa=float(head)))
        alone = solve_condition(FLUID, APPLICATION, condition, rated.at(np.array([row])), response)
        for one, other in zip(found, alone, strict=True):
            assert_same(one, row, other)
            assert one.condition is OperatingCondition.LOW_HEAD
            # A head given in pascal has no condensing temperature, and so no pressures at it.
            assert np.isnan(one.state.condensing_bubble_pressure_pa).all()
            assert np.isnan(one.state.condensing_dew_pressure_pa).all()


def test_a_suction_temperature_without_a_balance_leaves_each_other_its_own_head() -> None:
    rated = solve_rating(FLUID, APPLICATION, np.array([np.nan, *SST_K[:2]]))
    condition = APPLICATION.high_head
    found = solve_settings(FLUID, APPLICATION, condition, HEADS_PA, rated, SuctionResponse.BALANCED)
    for row in (1, 2):
        own = replace(condition, head=Head(pressure_pa=float(HEADS_PA[row])))
        alone = solve_condition(FLUID, APPLICATION, own, rated.at(np.array([row])), SuctionResponse.BALANCED)
        for one, other in zip(found, alone, strict=True):
            assert_same(one, row, other)
            # The condition's own condensing temperature is not that of another head.
            assert np.isnan(one.state.condensing_dew_pressure_pa).all()
    along = solve_along(
        FLUID, APPLICATION, HEADS_PA, np.array([1.0, 2.0, 4.0]), Side.MAX, 1.0, rated, SuctionResponse.BALANCED
    )
    assert along.state.inlet_subcooling_k[1:] == pytest.approx([2.0, 4.0])


@pytest.mark.parametrize("response", RESPONSES)
@pytest.mark.parametrize(("side", "step"), [(Side.MAX, 1.0), (Side.MIN, 0.7)])
def test_heads_along_a_line_are_each_solved_as_alone(response: SuctionResponse, side: Side, step: float) -> None:
    subcooling = np.array([2.0, 4.0, 5.0])
    rated = solve_rating(FLUID, APPLICATION, SST_K)
    found = solve_along(FLUID, APPLICATION, HEADS_PA, subcooling, side, step, rated, response)
    assert found.condition is OperatingCondition.RATING
    for row, (head, kelvin) in enumerate(zip(HEADS_PA, subcooling, strict=True)):
        liquid = LiquidSupply(None, float(kelvin), float(kelvin))
        condition = HeadCondition(OperatingCondition.RATING, Head(pressure_pa=float(head)), liquid)
        [*_, alone] = solve_condition(
            FLUID, replace(APPLICATION, capacity_step=step), condition, rated.at(np.array([row])), response
        )
        assert_same(found, row, replace(alone, side=side))


def test_liquids_of_many_temperatures_are_each_solved_as_alone() -> None:
    """Rows of heads, each with a liquid of its own, at full flow and constant SST."""
    rated = solve_rating(FLUID, APPLICATION, SST_K)
    heads, liquids = np.stack([HEADS_PA, HEADS_PA + 1e5]), np.stack([[292.0, 300.0, 310.0], [296.0, 301.0, 296.0]])
    found = solve_liquids(FLUID, APPLICATION, heads, liquids, rated.at(np.array([[0, 1, 2], [0, 1, 2]])))
    assert found.reason.shape == (2, 3)
    assert (found.side, found.condition) == (Side.BOTH, OperatingCondition.RATING)
    assert found.response is SuctionResponse.CONSTANT
    assert (found.state.flow_share == found.state.flow_ratio).all()
    for row, column in np.ndindex(2, 3):
        condition = HeadCondition(
            OperatingCondition.RATING, Head(pressure_pa=heads[row, column]), LiquidSupply(liquids[row, column])
        )
        [alone] = solve_condition(
            FLUID,
            replace(APPLICATION, capacity_step=1.0),
            condition,
            rated.at(np.array([column])),
            SuctionResponse.CONSTANT,
        )
        for field in dataclasses.fields(alone.state):
            if field.name not in OF_STATED:
                mine = getattr(found.state, field.name)[row, column]
                assert mine == pytest.approx(getattr(alone.state, field.name)[0], rel=1e-11), field.name
        assert found.reason[row, column] is alone.reason[0]
    # No condensing temperature is stated.
    assert np.isnan(found.state.condensing_bubble_pressure_pa).all()
    assert np.isnan(found.state.condensing_dew_pressure_pa).all()


def test_each_row_of_heads_is_solved_to_the_last_bit_as_if_it_were_alone() -> None:
    """Whatever the others do: a row of little friction settles sooner, one whose liquid is no liquid at once."""
    rated = solve_rating(FLUID, APPLICATION, SST_K)
    heads = np.stack([HEADS_PA, HEADS_PA + 4e5, HEADS_PA, HEADS_PA])
    liquids = np.array([[292.0, 300.0, 310.0], [280.0, 240.0, 225.0], [900.0, 900.0, 900.0], [900.0, 291.0, 309.0]])
    rows = np.broadcast_to(np.arange(3), (4, 3))
    whole = solve_liquids(FLUID, APPLICATION, heads, liquids, rated.at(rows))
    for row in range(4):
        alone = solve_liquids(FLUID, APPLICATION, heads[row], liquids[row], rated)
        for field in dataclasses.fields(alone.state):
            mine, theirs = getattr(whole.state, field.name)[row], getattr(alone.state, field.name)
            np.testing.assert_array_equal(mine, theirs, err_msg=field.name)
        assert list(whole.reason[row]) == list(alone.reason)
    assert np.isfinite(whole.state.inlet_pressure_pa[:2]).all()
    assert np.isnan(whole.state.inlet_pressure_pa[2]).all()


def test_rows_of_a_solution_are_taken_in_any_order_and_number() -> None:
    rated = solve_rating(FLUID, APPLICATION, SST_K)
    [first, *_] = solve_condition(FLUID, APPLICATION, APPLICATION.high_head, rated, SuctionResponse.CONSTANT)
    # Not to be distinguished from the others by its reason alone.
    first = replace(first, reason=np.array(["a", "b", "c"], dtype=object))
    index = np.array([2, 0, 0])
    taken = first.at(index)
    assert list(taken.reason) == ["c", "a", "a"]
    assert (taken.side, taken.condition, taken.response) == (first.side, first.condition, first.response)
    for field in dataclasses.fields(first.state):
        np.testing.assert_array_equal(getattr(taken.state, field.name), getattr(first.state, field.name)[index])


def test_a_balance_needs_the_difference_of_box_and_evaporator() -> None:
    bare = replace(APPLICATION, box_difference_k=None)
    rated = solve_rating(FLUID, bare, SST_K)
    with pytest.raises(ValueError, match=r"^the balanced suction response needs the difference between box"):
        solve_condition(FLUID, bare, bare.low_head, rated, SuctionResponse.BALANCED)


@pytest.mark.parametrize(
    ("head", "side"),
    [
        (Head(condensing_temperature_k=310.0, basis=Basis.BUBBLE), "bubble"),
        (Head(condensing_temperature_k=310.0, basis=Basis.DEW), "dew"),
        (Head(condensing_temperature_k=310.0), "dew"),
    ],
)
def test_a_condensing_temperature_means_the_pressure_of_its_basis(head: Head, side: str) -> None:
    at = np.asarray(310.0)
    pressure = float(getattr(FLUID, side)(at).pressure_pa)
    assert head.pressure(FLUID) == pressure
    assert head.bubble_temperature(FLUID) == pytest.approx(
        310.0 if side == "bubble" else float(FLUID.bubble_temperature(np.asarray(pressure))), rel=1e-12
    )
    if side == "bubble":
        # As it is stated, without the way to its pressure and back.
        assert replace(head, condensing_temperature_k=313.7).bubble_temperature(FLUID) == 313.7
    both = float(FLUID.bubble(at).pressure_pa), float(FLUID.dew(at).pressure_pa)
    assert head.saturation_pressures(FLUID) == both


def test_a_head_in_pascal_is_itself() -> None:
    head = Head(pressure_pa=12e5)
    assert head.pressure(FLUID) == 12e5
    for basis in Basis:
        own = replace(head, basis=basis)
        assert own.bubble_temperature(FLUID) == float(FLUID.bubble_temperature(np.asarray(12e5)))
    assert np.isnan(head.saturation_pressures(FLUID)).all()


def test_the_responses_of_an_application() -> None:
    assert APPLICATION.responses == (SuctionResponse.CONSTANT, SuctionResponse.BALANCED)
    assert replace(APPLICATION, response=SuctionResponse.BALANCED).responses == (SuctionResponse.BALANCED,)
    assert [c.condition for c in APPLICATION.conditions] == [
        OperatingCondition.LOW_HEAD,
        OperatingCondition.RATING,
        OperatingCondition.HIGH_HEAD,
    ]
    assert [c.liquid.is_range for c in APPLICATION.conditions] == [True, False, False]
