"""Searches take few rounds, as their comments say; what they begin from is near what they end at."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from tablegen.physics import _corner, _flashing_line, _state_at, loop, monotone
from tablegen.physics.coil_cells import Cells
from tablegen.physics.compressor import ConstantCapacity
from tablegen.physics.conditions import solve_conditions
from tablegen.physics.loop import ultimate_frequency
from tablegen.physics.monotone import MonotoneCubic
from tablegen.physics.state import SolvedState
from tablegen.physics.system import SuctionResponse
from tests.physics.loop_cases import DEGF
from tests.physics.test_conditions import APPLICATION, FLUID, SST_K
from tests.physics.test_flashing_line import long_line
from tests.physics.test_monotone import curves
from tests.physics.test_valve_in_time import BASE, parts, settled


def test_a_frequency_is_found_in_twenty_rounds_whatever_its_delays(monkeypatch: pytest.MonkeyPatch):
    """Delays from a hundredth of a second to a quarter of an hour, in any mixture; many at once are each found as alone."""
    random = np.random.default_rng(3)
    *lags, dead = 10.0 ** random.uniform(-2.0, 3.0, (4, 300))
    lead = lags[1] * random.uniform(0.0, 1.0, 300)
    dead[::7], lead[::5] = 0.0, 0.0
    found = ultimate_frequency(*lags, dead_time_s=dead, lead_s=lead)
    monkeypatch.setattr(loop, "_ROUNDS", 20)
    np.testing.assert_allclose(ultimate_frequency(*lags, dead_time_s=dead, lead_s=lead), found, rtol=1e-13)
    for row in range(0, 300, 23):
        delays = (own[row] for own in lags)
        alone = ultimate_frequency(*delays, dead_time_s=dead[row], lead_s=lead[row])
        assert float(alone) == pytest.approx(float(found[row]), rel=1e-14)
    # Where one is not known, or never lags so much, the others are.
    some = ultimate_frequency(
        np.array([3.0, np.nan, 3.0, 3.0]), np.array([11.0, 11.0, 0.0, 11.0]), 40.0, dead_time_s=0.0, lead_s=0.0
    )
    routh = np.sqrt(54.0 / 1320.0)
    np.testing.assert_allclose(some, [routh, np.nan, np.inf, routh], rtol=1e-12)


def test_an_inverse_is_found_in_ten_rounds(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(monotone, "_ROUNDS", 10)
    random = np.random.default_rng(6)
    for x, y in curves():
        curve = MonotoneCubic.through(x, y)
        at = random.uniform(y.min(), y.max(), 300)
        steepest = 3.0 * float(np.abs(np.diff(y) / np.diff(x)).max())
        last = float(np.spacing(np.abs(x).max()) * steepest + np.spacing(np.abs(y).max()))
        np.testing.assert_allclose(curve(curve.inverse(at)), at, rtol=0.0, atol=2.0 * last)


def same(ours: list[SolvedState], theirs: list[SolvedState]) -> None:
    for one, other in zip(ours, theirs, strict=True):
        for field in fields(one.state):
            np.testing.assert_allclose(
                getattr(one.state, field.name), getattr(other.state, field.name), rtol=1e-12, err_msg=field.name
            )


def test_a_liquid_line_settles_in_six_rounds_and_a_kept_capacity_in_ten(monkeypatch: pytest.MonkeyPatch):
    constant = replace(APPLICATION, response=SuctionResponse.CONSTANT)
    rack = replace(constant, compressor=ConstantCapacity(), coil=None, circuit=None)
    before = [solve_conditions(FLUID, own, SST_K) for own in (constant, rack)]
    monkeypatch.setattr(_corner, "_LINE_ITERATIONS", 6)
    monkeypatch.setattr(_corner, "_NEEDED_ITERATIONS", 7)
    monkeypatch.setattr(_state_at, "_CAPACITY_ROUNDS", 10)
    for own, (_, found) in zip((constant, rack), before, strict=True):
        same(solve_conditions(FLUID, own, SST_K)[1], found)
    # The rack's evaporator keeps its capacity.
    rated, found = before[1]
    for item in found:
        capacity = item.state.flow_ratio * item.state.rating_effect_j_kg / rated.rating_effect_j_kg
        np.testing.assert_allclose(capacity, 1.0, rtol=1e-13)


@pytest.mark.parametrize("lift_m", [0.0, 2.0])
def test_a_flashing_line_settles_in_ten_rounds(lift_m: float, monkeypatch: pytest.MonkeyPatch):
    subcooling_k = float(long_line(12.0, lift_m)[1].state.needed_subcooling_k[0]) - 1.0
    _, before = long_line(subcooling_k, lift_m)
    assert 0.005 < before.state.inlet_quality[0] < 0.05
    monkeypatch.setattr(_flashing_line, "_ROUNDS", 10)
    same([long_line(subcooling_k, lift_m)[1]], [before])


def test_cells_begin_where_they_settle():
    """The liquid of each cell to the last digits; of the walls, which dry within a cell, all but the next few."""
    coil, _ = parts(BASE)
    coil = replace(coil, liquid_holdup_factor=1.3)
    feed = coil.steady_flow(np.array([2.0, 5.0, 7.0]) * DEGF)
    begun, ended = Cells(coil, feed, 20), settled(coil, feed, 20)
    np.testing.assert_allclose(begun.liquid_kg, ended.liquid_kg, rtol=1e-9, atol=1e-12)
    assert begun.liquid_kg.sum() > 0.0
    # Wet walls are at one temperature; dry ones begin at that of a wall beside saturated vapor.
    wet = begun.liquid_kg > 0.0
    wettest = (1.0 - coil.air_side_share) * coil.difference_k
    np.testing.assert_allclose(begun.wall_k[wet], wettest, rtol=1e-12)
    np.testing.assert_allclose(ended.wall_k[wet], wettest, rtol=1e-6)
    driest = (1.0 - coil.conductance_ratio * coil.air_side_share) * coil.difference_k
    np.testing.assert_allclose(begun.wall_k[~wet], driest, rtol=1e-12)
    # At once as much evaporates as is fed.
    count = begun.steps(feed, 0.5)
    begun.step(feed, 0.5 / count)
    np.testing.assert_allclose(begun.left_kg, 0.5 / count * (1.0 - coil.inlet_quality) * feed, rtol=1e-6)
