"""The search for zones of the head on made-up limits, where what lies between two points of the grid is known."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
import pytest

from tablegen.answers import zones
from tablegen.answers.zones import HeadLimits, HeadZone
from tablegen.physics.arrays import Floats
from tablegen.physics.reasons import Reason
from tablegen.physics.system import Side, SuctionResponse
from tablegen.physics.windows import Window
from tablegen.sweep.head_sweep import HeadLine

LOW, RATING, HIGH = 1.0e6, 1.8e6, 2.2e6
# The grid's step is 50 kPa; this lies well inside one.
BETWEEN = 1.0e6 + 8.4 * 0.05e6
Limit = Callable[[Floats], Floats]


def level(value: float) -> Limit:
    return lambda head: np.full_like(head, value)


class MadeUp(HeadLimits):
    """Limits that are simple functions of the head, of no valve."""

    def __init__(self, minimum: Limit, maximum: Limit, reasons: Limit | None = None) -> None:
        self.minimum, self.maximum, self.reasons = minimum, maximum, reasons
        self.calls = 0
        super().__init__(SimpleNamespace(), SimpleNamespace(), SimpleNamespace())  # type: ignore[arg-type]

    def limits_at(self, heads_pa: Floats) -> Window:
        self.calls += 1
        shape = heads_pa.shape
        low_reason = np.full(shape, Reason.STABILITY, dtype=object)
        high_reason = np.full(shape, Reason.STOP, dtype=object)
        minimum, maximum = self.minimum(heads_pa), self.maximum(heads_pa)
        if self.reasons is not None:
            is_flooding = self.reasons(heads_pa) > 0.5
            low_reason[is_flooding] = Reason.FLOODBACK
        low_reason[np.isnan(minimum)] = high_reason[np.isnan(maximum)] = Reason.OVER_PRESSURE
        none = np.full(shape, None, dtype=object)
        return Window(
            min_load_w=minimum,
            max_load_w=maximum,
            min_condition=none,
            max_condition=none.copy(),
            min_reason=low_reason,
            max_reason=high_reason,
        )


@pytest.fixture(autouse=True)
def _a_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    line = HeadLine(
        side=Side.BOTH,
        response=SuctionResponse.CONSTANT,
        step=1.0,
        heads_pa=np.array([LOW, RATING, HIGH]),
        subcooling_k=np.array([[3.0], [4.0], [3.0]]),
    )
    monkeypatch.setattr(zones, "head_lines", lambda solved: (line,))


def names_of(found: tuple[HeadZone, ...]) -> list[str]:
    return [zone.zone for zone in found]


def test_a_dip_between_two_points_of_the_grid_is_found() -> None:
    def dip(head: Floats) -> Floats:
        return 2.0 + ((head - BETWEEN) / 1e5) ** 2

    sweep = MadeUp(level(0.5), dip)
    assert not (np.abs(sweep.heads_pa[:8] - BETWEEN) < 10.0).any()
    # At the nearest points of the grid the limit is 2.04 and 2.09.
    found = sweep.zones(2.01)
    assert names_of(found) == ["steady", "starved", "steady"]
    assert (found[1].from_pa, found[1].to_pa) == pytest.approx((BETWEEN - 1e4, BETWEEN + 1e4), abs=1e-2)
    assert found[1].margin == pytest.approx(2.0 / 2.01, rel=1e-6)
    assert sweep.range_w() == pytest.approx((0.5, 2.0), rel=1e-9)
    assert names_of(sweep.zones(1.99)) == ["steady"]


def test_a_hump_of_the_min_load_between_two_points_is_found() -> None:
    sweep = MadeUp(lambda head: 1.0 - ((head - BETWEEN) / 1e5) ** 2, level(9.0))
    found = sweep.zones(0.99)
    assert names_of(found) == ["steady", "hunts", "steady"]
    assert (found[1].from_pa, found[1].to_pa) == pytest.approx((BETWEEN - 1e4, BETWEEN + 1e4), abs=1e-2)
    assert sweep.range_w()[0] == pytest.approx(1.0, rel=1e-9)


def test_a_load_covered_between_two_points_alone_is_found() -> None:
    """Starved at every point of the grid."""
    sweep = MadeUp(level(0.5), lambda head: 2.0 - ((head - BETWEEN) / 1e5) ** 2)
    found = sweep.zones(1.99)
    assert names_of(found) == ["starved", "steady", "starved"]
    assert found[1].to_pa - found[1].from_pa == pytest.approx(2e4, abs=1e-2)


def test_limits_that_cross_give_two_borders_in_one_step_of_the_grid() -> None:
    """Starved below, hunting above, and a narrow zone between in which it covers the load."""
    middle = 1.0e6 + 8.5 * 0.05e6
    sweep = MadeUp(lambda head: 1.0 + (head - middle - 5e3) / 1e6, lambda head: 1.0 + (head - middle + 5e3) / 1e6)
    found = sweep.zones(1.0)
    assert names_of(found) == ["starved", "steady", "hunts"]
    assert (found[1].from_pa, found[1].to_pa) == pytest.approx((middle - 5e3, middle + 5e3), abs=1e-2)


def test_where_the_state_forbids_the_valve_the_border_is_found_without_a_root() -> None:
    def shut_above(value: float) -> Limit:
        return lambda head: np.where(head > BETWEEN, np.nan, value)

    found = MadeUp(shut_above(0.5), shut_above(2.0)).zones(1.0)
    assert names_of(found) == ["steady", "not_working"]
    assert found[0].to_pa == pytest.approx(BETWEEN, abs=0.02)
    assert (found[1].reason, math.isnan(found[1].margin)) == ("over_pressure", True)


def test_a_root_and_a_state_that_forbids_in_one_step_are_both_found() -> None:
    start = 1.0e6 + 8.2 * 0.05e6

    def maximum(head: Floats) -> Floats:
        return np.where(head > start + 1.5e4, np.nan, 1.0 + (head - start) / 1e6)

    found = MadeUp(lambda head: 0.0 * maximum(head) + 0.5, maximum).zones(1.0)
    assert names_of(found) == ["starved", "steady", "not_working"]
    assert (found[1].from_pa, found[1].to_pa) == pytest.approx((start, start + 1.5e4), abs=0.02)


def test_floodback_and_hunting_are_separate_where_the_reason_changes() -> None:
    found = MadeUp(level(2.0), level(3.0), lambda head: np.where(head < BETWEEN, 1.0, 0.0)).zones(1.0)
    assert names_of(found) == ["flooding", "hunts"]
    assert found[0].to_pa == pytest.approx(BETWEEN, abs=0.02)
    assert [zone.reason for zone in found] == ["floodback", "stability"]


def test_zones_follow_each_other_without_gaps_and_end_at_the_conditions() -> None:
    sweep = MadeUp(level(0.5), lambda head: 1.0 + 0.2 * np.sin(head / 3e4))
    found = sweep.zones(1.0)
    assert (found[0].from_pa, found[-1].to_pa) == (LOW, HIGH)
    assert all(a.to_pa == b.from_pa and a.zone != b.zone for a, b in itertools.pairwise(found))
    # A wave of 188 kPa, of which the grid has four points each, crosses the load twice.
    half = math.pi * 3e4
    assert len(found) == math.floor(HIGH / half) - math.floor(LOW / half) + 1
    for zone in found[:-1]:
        assert math.sin(zone.to_pa / 3e4) == pytest.approx(0.0, abs=1e-6)
