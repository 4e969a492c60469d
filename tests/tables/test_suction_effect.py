"""What suction that follows the box would change, against the same windows solved with that response."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tablegen.model.solving import laws_of, solve, unit_window
from tablegen.physics.reasons import Reason
from tablegen.physics.system import SuctionResponse
from tablegen.tables.suction_effect import suction_effects
from tests.demo import demo_catalogue


def test_the_changes_are_those_of_both_windows_and_on_the_safe_side():
    catalogue, name = demo_catalogue(), "walk_in_low"
    application = catalogue.applications[name]
    refrigerant = catalogue.refrigerants[catalogue.refrigerants_in(name)[0]]
    laws = laws_of(catalogue.families.values())
    constant = solve(refrigerant, application, laws)
    [effect] = (e for e in suction_effects(catalogue, {(refrigerant.name, name): constant}) if e.application == name)
    system = replace(application.systems[refrigerant.name], response=SuctionResponse.BALANCED)
    systems = {**application.systems, refrigerant.name: system}
    balanced = solve(refrigerant, replace(application, systems=systems), laws)
    row = int(np.argmin(np.abs(application.sst_k - application.example_sst_k)))
    changes, reasons = [], []
    for family in {c.family for c in catalogue.combinations if c.application == name}:
        [part] = catalogue.families[family].by_design()
        before, after = (unit_window(part, own)[2] for own in (constant, balanced))
        pairs = ((before.min_load_w, after.min_load_w), (before.max_load_w, after.max_load_w))
        own = [float(now[row] / was[row]) - 1.0 for was, now in pairs]
        if np.isfinite(own).all():
            changes.append(own)
            reasons.append(str(after.min_reason[row]))
    for found, own in zip((effect.min_load, effect.max_load), zip(*changes, strict=True), strict=True):
        assert found == pytest.approx((min(own), max(own)), abs=1e-9)
    # A colder coil in winter takes less refrigerant than the tables count with; only floodback in the cold raises a minimum.
    assert effect.max_load[0] > 0.0
    assert all(low < 0.0 or reason == Reason.FLOODBACK for (low, _), reason in zip(changes, reasons, strict=True))


@pytest.mark.parametrize("missing", ["difference", "response"])
def test_nothing_is_said_where_nothing_is_known_or_both_are_computed(missing):
    catalogue, name = demo_catalogue(), "walk_in_low"
    application = catalogue.applications[name]
    refrigerant = catalogue.refrigerants[catalogue.refrigerants_in(name)[0]]
    system = application.systems[refrigerant.name]
    if missing == "difference":
        system = replace(system, box_difference_k=None)
    else:
        system = replace(system, response=SuctionResponse.STRICTER)
    own = replace(application, systems={**application.systems, refrigerant.name: system}, sst_k=application.sst_k[:1])
    if missing == "difference" and system.superheat.max_k is None:
        pytest.skip("a maximum superheat that belongs to the coil needs the difference")
    solved = solve(refrigerant, own, laws_of(catalogue.families.values()))
    changed = replace(catalogue, applications={**catalogue.applications, name: own})
    assert not [e for e in suction_effects(changed, {(refrigerant.name, name): solved}) if e.application == name]
