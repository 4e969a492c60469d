"""Subcooling between the operating conditions, and states along the head against those of the conditions."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from tablegen.model.solving import law_of, laws_of, solve
from tablegen.physics.operating import required_kv_per_watt
from tablegen.physics.system import Side, SuctionResponse
from tablegen.physics.windows import limits
from tablegen.sweep.head_sweep import HeadLine, head_lines, states_along
from tests.demo import demo_catalogue


def line(heads_pa: list[float], subcooling_k: list[list[float]]) -> HeadLine:
    return HeadLine(
        side=Side.BOTH,
        response=SuctionResponse.CONSTANT,
        step=1.0,
        heads_pa=np.array(heads_pa),
        subcooling_k=np.array(subcooling_k),
    )


def test_subcooling_is_that_of_numpy_to_the_last_bit():
    random = np.random.default_rng(4)
    for count in (1, 2, 3, 4):
        heads = np.sort(random.uniform(5e5, 3e6, count))
        known = random.uniform(0.0, 12.0, (count, 6))
        at = np.concatenate([heads, random.uniform(heads[0], heads[-1], 200)])
        for row in range(6):
            found = line(heads.tolist(), known.tolist()).subcooling(at, np.full(at.size, row))
            assert np.array_equal(found, np.interp(at, heads, known[:, row]))


def test_at_a_condition_its_subcooling_is_used_though_another_has_none():
    found = line([1e6, 2e6, 3e6], [[3.0], [4.0], [np.nan]])
    heads = np.array([1e6, 1.5e6, 2e6, 2.5e6, 3e6])
    assert found.subcooling(heads, np.zeros(5, dtype=int)).tolist()[:3] == [3.0, 3.5, 4.0]
    assert np.isnan(found.subcooling(heads, np.zeros(5, dtype=int))[3:]).all()


@pytest.mark.parametrize("application", ["walk_in_medium", "walk_in_low"])
def test_at_the_conditions_the_states_are_those_solved_there(application):
    catalogue = demo_catalogue()
    refrigerant = next(iter(catalogue.refrigerants_in(application)))
    families = catalogue.families.values()
    solved = solve(catalogue.refrigerants[refrigerant], catalogue.applications[application], laws_of(families))
    rows = np.arange(solved.application.sst_k.size)
    for own in head_lines(solved):
        for state in solved.states:
            if (state.side, state.response) != (own.side, own.response):
                continue
            heads = state.state.head_pressure_pa
            (along,) = states_along(solved, [own], heads, rows).items
            for field in fields(along.state):
                if not field.name.startswith("condensing"):
                    found, expected = getattr(along.state, field.name), getattr(state.state, field.name)
                    np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-9, err_msg=field.name)


def test_limits_along_several_lines_are_the_tightest_of_each():
    catalogue = demo_catalogue()
    family = catalogue.families["alder"]
    refrigerant = next(iter(catalogue.refrigerants_in("walk_in_medium")))
    law = law_of(family)
    solved = solve(catalogue.refrigerants[refrigerant], catalogue.applications["walk_in_medium"], [law])
    element = family.element_for(refrigerant, solved.application.temperature_range)
    valve = family.valve(element, solved.application.site_pressure_pa)
    lines = head_lines(solved)
    heads = lines[0].grid_pa
    together = states_along(solved, lines, heads, 1).limits(valve, law)
    apart = []
    for own in lines:
        states = states_along(solved, [own], heads, 1)
        (item,) = states.items
        required_kv = required_kv_per_watt(item, states.rated, solved.refrigerant, law.law, law.pressure_recovery)
        apart.append(limits(valve, [item], [required_kv], solved.system.superheat))
    assert np.array_equal(together.min_load_w, np.max([own.min_load_w for own in apart], axis=0))
    serving = [own for own, line in zip(apart, lines, strict=True) if line.side.serves_max]
    assert np.array_equal(together.max_load_w, np.min([own.max_load_w for own in serving], axis=0))
