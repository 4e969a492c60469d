"""The coil's dry end against an integration of the coil, step by step, and against what the trade uses."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tablegen.physics.coil import superheat_at_loss, wetted_share
from tests.registry import refrigerant

CELLS = 10_000


def marched(difference_k: float, r: float, q: float, cp: float, flow: float) -> tuple[float, float]:
    """Superheat [K] at the outlet, and capacity over that of the coil wetted to its end, by marching along the coil.

    Conductance per cell is scaled so that the coil of one unit of length evaporates a flow of 1 in all of itself.
    The heat of a cell goes into evaporation until no liquid is left, from there into the vapor's temperature.
    """
    per_cell = q / difference_k / CELLS
    liquid, superheat, heat = flow, 0.0, 0.0
    for _ in range(CELLS):
        # The last drop dries within a cell; the rest of the cell is dry.
        wet = min(liquid * q / (per_cell * difference_k), 1.0)
        liquid -= wet * per_cell * difference_k / q
        # Midpoint rule.
        dry = (1.0 - wet) * r * per_cell
        half = superheat + 0.5 * dry * (difference_k - superheat) / (flow * cp)
        superheat += dry * (difference_k - half) / (flow * cp)
        heat += wet * per_cell * difference_k + dry * (difference_k - half)
    return superheat, heat / q


@pytest.mark.parametrize("r", [0.1, 0.35, 0.8])
@pytest.mark.parametrize("loss", [0.02, 0.10, 0.25])
@pytest.mark.parametrize("difference_k", [3.0, 5.6, 12.0])
def test_the_dry_end_is_that_of_a_coil_integrated_cell_by_cell(r: float, loss: float, difference_k: float) -> None:
    q, cp = 130_000.0, 850.0
    a = cp * difference_k / q
    B = np.array(r / a)
    z = float(wetted_share(B, np.array(a), loss))
    superheat, capacity = marched(difference_k, r, q, cp, flow=z)
    assert capacity == pytest.approx(1.0 - loss, abs=1e-6)
    assert float(superheat_at_loss(np.array(difference_k), B, np.array(a), loss)) == pytest.approx(superheat, abs=1e-4)


def test_ten_percent_of_capacity_costs_about_the_share_that_the_trade_uses() -> None:
    """EN 328 rates unit coolers at a superheat of 0.65 of the temperature difference (from memory)."""
    fluid = refrigerant("R404A")
    te, difference = np.array([(25.0 + 459.67) / 1.8]), 10.0 / 1.8
    dew = fluid.dew(te)
    h_l = fluid.liquid(np.array([300.0]), np.array([1.5e6])).enthalpy_j_kg
    a = (fluid.vapor(te + difference, dew.pressure_pa).enthalpy_j_kg - dew.enthalpy_j_kg) / (dew.enthalpy_j_kg - h_l)
    share = superheat_at_loss(np.array([difference]), 0.35 / a, a, 0.10) / difference
    assert float(share[0]) == pytest.approx(0.65, abs=0.05)


def test_a_root_is_one_and_rises_with_the_loss() -> None:
    losses = np.linspace(0.001, 0.5, 200)
    shares = wetted_share(np.array(9.0), np.array(0.04), losses)
    assert np.all(np.diff(shares) < 0.0)
    assert np.all((shares > 0.0) & (shares < 1.0))
    superheats = superheat_at_loss(np.array(5.0), np.array(9.0), np.array(0.04), losses)
    assert np.all(np.diff(superheats) > 0.0) and superheats.max() < 5.0


def test_what_is_not_known_gives_no_superheat() -> None:
    assert math.isnan(float(wetted_share(np.array(np.nan), np.array(0.04), 0.1)))


@pytest.mark.parametrize("shapes", [((3, 1), (4,), ()), ((4,), (3, 1), (4,)), ((), (4,), (3, 1)), ((), (), (3, 4))])
def test_shapes_are_spread_over_each_other(shapes: tuple[tuple[int, ...], ...]) -> None:
    """Whichever of the three varies, each state is that of its own figures."""
    random = np.random.default_rng(2)
    ranges = (5.0, 12.0), (0.02, 0.08), (0.05, 0.3)
    B, a, loss = (random.uniform(*own, shape) for own, shape in zip(ranges, shapes, strict=True))
    found = wetted_share(B, a, loss)
    each = np.broadcast_arrays(B, a, loss)
    assert found.shape == each[0].shape
    for place in np.ndindex(found.shape):
        assert found[place] == float(wetted_share(*(np.array(float(own[place])) for own in each)))
