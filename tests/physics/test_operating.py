"""The zones of a valve's work, by name, against the limits that its window found."""

from pathlib import Path

import numpy as np
import pytest

from tablegen.config.loader import load_catalogue
from tablegen.model.solving import law_of, solve, unit_window
from tablegen.physics.bulb import BulbCharge, PointsCurve
from tablegen.physics.operating import Zone, operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.valve import ForceBalance

CATALOGUE = Path(__file__).resolve().parents[2] / "configs" / "catalogue.yaml"


@pytest.fixture(scope="module")
def catalogue():
    return load_catalogue(CATALOGUE)


def worked(catalogue, family_name, application_name, name, factor_low, factor_high):
    """Zones a little outside and inside a window, at the operating condition that set the limit."""
    family, application = catalogue.families[family_name], catalogue.applications[application_name]
    law = law_of(family)
    solved = solve(catalogue.refrigerants[name], application, [law])
    _, valve, unit = unit_window(family, solved)
    limits = application.systems[name].superheat
    found = []
    for load, condition in (
        (unit.min_load_w * factor_low, unit.min_condition),
        (unit.max_load_w * factor_high, unit.max_condition),
    ):
        row = int(np.flatnonzero(unit.is_open)[0])
        index = next(i for i, s in enumerate(solved.states) if s.condition is condition[row])
        opened = solved.opened_at(condition[row], valve, law)
        point = operating_point(valve, solved.states[index], solved.required_kvs[law.key][index], load, limits, opened)
        found.append((point.zone[row], unit.min_reason[row], point))
    return found


@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_just_inside_a_window_is_steady(catalogue, family):
    (low, _, _), (high, _, _) = worked(catalogue, family, "walk_in_medium", "R404A", 1.001, 0.999)
    assert low == high == Zone.STEADY


@pytest.mark.parametrize("family", ["alder", "rowan", "hazel", "larch"])
def test_just_outside_it_has_a_name(catalogue, family):
    (low, reason, _), (high, _, _) = worked(catalogue, family, "walk_in_medium", "R404A", 0.999, 1.001)
    assert low == (Zone.FLOODING if reason == Reason.FLOODBACK else Zone.HUNTS)
    assert high == Zone.STARVED


def test_at_the_limits_themselves_it_is_still_steady(catalogue):
    (low, _, _), (high, _, point) = worked(catalogue, "alder", "walk_in_medium", "R404A", 1.0, 1.0)
    assert low == high == Zone.STEADY
    assert np.isfinite(point.superheat_k).any()


def test_a_drive_has_no_superheat_of_its_own(catalogue):
    for zone, _, point in worked(catalogue, "hazel", "walk_in_medium", "R404A", 1.1, 0.9):
        assert zone == Zone.STEADY
        assert np.isnan(point.superheat_k).all()
        assert np.isfinite(point.opening).all()


def test_a_bulb_exactly_on_the_first_and_last_point_has_a_superheat():
    curve = PointsCurve((250.0, 270.0, 290.0), (2.0e5, 4.0e5, 7.5e5))
    balance = ForceBalance(
        charge=BulbCharge(curve), spring_pa=0.5e5, gradient_pa=0.4e5, unbalance=0.0, reference_drop_pa=0.0
    )
    under = np.array([1.5e5, 7.0e5])
    found = balance.superheat(np.zeros(2), np.array([245.0, 285.0]), under, np.zeros(2))
    # Temperatures are snapped to the ends within 1e-9 of themselves.
    assert found == pytest.approx([5.0, 5.0], abs=1e-6)
