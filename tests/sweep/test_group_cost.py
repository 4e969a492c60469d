"""What one table costs a member of its group: by hand, and of the demo against the windows themselves."""

from __future__ import annotations

import numpy as np
import pytest

from tablegen.sweep.group_cost import COST_SHARE, cost_of
from tests.demo import demo_data

NAN = float("nan")


def limits(minimum: list[float], maximum: list[float]) -> dict[str, np.ndarray]:
    return {"min_load_w": np.array(minimum), "max_load_w": np.array(maximum)}


def test_the_largest_loss_of_any_row_is_named_with_its_member():
    first, second = limits([2.0, 2.0, 3.0], [10.0, 8.0, 9.0]), limits([2.2, 1.9, NAN], [8.0, 8.8, NAN])
    group = limits([2.2, 2.0, NAN], [8.0, 8.0, NAN])
    cost = cost_of(["A", "B"], group, [first, second])
    # 10 to 8 in the first row; 2.0 to 2.2 there, more than 1.9 to 2.0 in the second.
    assert (cost.max_member, cost.max_load) == ("A", pytest.approx(0.2))
    assert (cost.min_member, cost.min_load) == ("A", pytest.approx(0.1))


def test_a_table_of_one_refrigerant_costs_nothing():
    own = limits([2.0, NAN], [10.0, NAN])
    cost = cost_of(["A"], own, [own])
    assert (cost.max_load, cost.max_member, cost.min_load, cost.min_member) == (0.0, "", 0.0, "")


def test_a_setting_made_for_another_member_is_warned_of():
    """R507A on R404A's setting opens later than R404A: what they share is less than R404A has."""
    summary = demo_data().summary
    own = [g for g in summary.groups if (g.family, g.group) == ("alder", "R404A-R507A")]
    assert {g.max_cost_member for g in own} == {"R404A"}
    worst = max(own, key=lambda g: g.max_cost)
    assert worst.max_cost > COST_SHARE
    warned = f"costs R404A up to {100.0 * worst.max_cost:.0f} percent of the maximum load that it has by itself"
    (text,) = (text for text in summary.warnings if text.startswith("alder, R404A-R507A: sharing one table costs"))
    assert warned in text
    assert worst.application in text
