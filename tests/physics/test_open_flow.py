"""Pulse-modulated valves: at the maximum load the losses are those of the flow while the valve is open.

Nothing of `windows.py` is used to close the loop: a valve of a stated Kv is let open for its maximum duty, its own flow
law gives what it passes then, and the mean over the cycle is what the limit promises.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from tablegen.confidence.draws import Source, normal_draws
from tablegen.model.inputs import Catalogue, Family
from tablegen.model.solving import Law, Solved, law_of, solve, unit_window
from tablegen.physics.actuators import ElectronicActuator
from tablegen.physics.operating import Zone, operating_point
from tablegen.physics.reasons import Reason
from tablegen.physics.state import SolvedState
from tablegen.physics.system import Side
from tablegen.physics.windows import Valve, Window
from tablegen.sweep.head_sweep import head_lines, states_along
from tests.confidence.scattered_valves import valve_of
from tests.demo import demo_catalogue
from tests.worked import worked_catalogue

G = 9.80665


def case(
    family: str = "larch",
    application: str = "walk_in_medium_lift",
    refrigerant: str = "R404A",
    catalogue: Catalogue | None = None,
) -> tuple[Family, Law, Solved, Valve, Window]:
    catalogue = catalogue or worked_catalogue()
    own, law = catalogue.families[family], law_of(catalogue.families[family])
    solved = solve(catalogue.refrigerants[refrigerant], catalogue.applications[application], [law])
    _, valve, unit = unit_window(own, solved)
    assert valve is not None
    return own, law, solved, valve, unit


def closed_by_hand(solved: Solved, mean: SolvedState, family: Family, row: int, load_w: float, duty: float) -> float:
    """Kv that a valve needs to pass, in its duty, what the system of a rated load pumps: all from first equations."""
    losses, fluid, rated = solved.system.losses, solved.refrigerant, solved.rated
    rated_flow = load_w / float(rated.rating_effect_j_kg[row])
    flow = float(mean.state.flow_ratio[row]) * rated_flow / duty
    share = flow / rated_flow
    head = float(mean.state.head_pressure_pa[row])
    stated = solved.system.condition(mean.condition.value).liquid
    inlet, density, enthalpy, bubble = head, 1000.0, 0.0, 0.0
    for _ in range(60):
        liquid_k = stated.temperature_k
        if liquid_k is None:
            # Subcooling is stated below the pressure at the condenser's outlet, or below that at the valve inlet.
            below = head if stated.is_at_condenser else inlet
            liquid_k = float(fluid.bubble_temperature(np.asarray(below))) - stated.min_subcooling_k
        bubble, density, enthalpy = (
            float(v[0]) for v in fluid.liquid_or_bubble(np.array([liquid_k]), np.array([inlet]))
        )
        line = losses.liquid_line_pa * share**2 * float(rated.liquid_density_kg_m3[row]) / density
        inlet = head - line - density * G * losses.lift_m
    te = mean.state.evaporating_temperature_k[row : row + 1]
    dew = fluid.dew(te)
    liquid = fluid.bubble(fluid.bubble_temperature(dew.pressure_pa))
    quality = float((enthalpy - liquid.enthalpy_j_kg[0]) / (dew.enthalpy_j_kg[0] - liquid.enthalpy_j_kg[0]))
    # Liquid colder than the evaporator does not flash.
    quality = max(quality, 0.0)
    volume = quality / float(dew.density_kg_m3[0]) + (1.0 - quality) / float(liquid.density_kg_m3[0])
    swollen = volume / float(rated.mixture_volume_m3_kg[row])
    outlet = float(dew.pressure_pa[0]) + share**2 * (losses.evaporator_pa + losses.distributor_pa * swollen)
    drop = inlet - outlet
    if not np.isnan(family.pressure_recovery):
        critical = 0.96 - 0.28 * np.sqrt(bubble / fluid.critical_pressure_pa)
        drop = min(drop, family.pressure_recovery**2 * (inlet - critical * bubble))
    # IEC 60534-2-1: m = Kv sqrt(1000 rho dp / 1 bar) in kg/h.
    return 3600.0 * flow / float(np.sqrt(1000.0 * density * drop / 1e5))


@pytest.mark.parametrize("made", [worked_catalogue, demo_catalogue], ids=["at_the_valve", "at_the_condenser"])
@pytest.mark.parametrize("application", ["walk_in_medium", "walk_in_medium_lift", "walk_in_low"])
def test_the_limit_is_what_an_open_valve_passes_in_its_duty(application: str, made: Callable[[], Catalogue]) -> None:
    family, _, solved, valve, unit = case(application=application, catalogue=made())
    duty = valve.open_share
    assert duty == family.elements[0].actuator.maximum < 1.0  # type: ignore[union-attr]
    # At the warmest SST the demo's cold liquid in a high riser leaves no pressure drop to the open flow.
    open_rows = np.flatnonzero(np.isfinite(unit.max_load_w))
    assert len(open_rows) >= len(solved.application.sst_k) - 1
    for row in (open_rows[0], open_rows[len(open_rows) // 2], open_rows[-1]):
        needed = {
            mean.condition: closed_by_hand(solved, mean, family, row, float(unit.max_load_w[row]), duty)
            for mean in solved.states
            if mean.side.serves_max
        }
        # A valve of 1 m3/h passes it at every head, and has nothing left at the head that sets the limit.
        assert max(needed.values()) == pytest.approx(1.0, rel=1e-9)
        assert max(needed, key=lambda condition: needed[condition]) == unit.max_condition[row]
        assert unit.max_reason[row] == Reason.MAX_DUTY


def test_losses_of_the_mean_flow_promised_more() -> None:
    _, law, solved, valve, unit = case()
    mean = [
        valve.open_share / required_kv
        for item, required_kv in zip(solved.states, solved.required_kvs[law.key], strict=True)
        if item.side.serves_max
    ]
    promised = np.min(mean, axis=0)
    assert (unit.max_load_w < promised).all() and (unit.max_load_w > 0.8 * promised).all()


def test_without_losses_it_is_all_the_same() -> None:
    """No line, evaporator or distributor loss: the duty of the mean flow is that of the open flow."""
    family, law, solved, _, _ = case()
    name = solved.refrigerant.name
    losses = replace(solved.system.losses, liquid_line_pa=0.0, evaporator_pa=0.0, distributor_pa=0.0)
    systems = {name: replace(solved.system, losses=losses)}
    bare = solve(solved.refrigerant, replace(solved.application, systems=systems), [law])
    found = unit_window(family, bare)[2]
    mean = np.min(
        [
            family.elements[0].actuator.open_share / required_kv
            for item, required_kv in zip(bare.states, bare.required_kvs[law.key], strict=True)
            if item.side.serves_max
        ],
        axis=0,
    )
    np.testing.assert_allclose(found.max_load_w, mean, rtol=1e-12)


def test_minimum_loads_are_those_of_the_mean_flow() -> None:
    _, law, solved, valve, unit = case()
    assert isinstance(valve.actuator, ElectronicActuator)
    mean = np.max([valve.actuator.minimum / required_kv for required_kv in solved.required_kvs[law.key]], axis=0)
    np.testing.assert_allclose(unit.min_load_w, mean, rtol=1e-14)
    # While it is open it loses more, so it would stay open longer: the true minimum load is smaller.
    opened = [required_kv for _, required_kv in solved.opened_of(valve.open_share, law)]
    assert (valve.actuator.minimum / (np.array(opened) * valve.open_share) < mean).all()


def test_states_of_the_open_flow_keep_evaporator_and_pump() -> None:
    _, _, solved, valve, _ = case()
    for item in solved.opened(valve.open_share):
        [mean] = [s for s in solved.states if s.condition is item.condition and s.side.serves_max]
        assert (item.side, item.open_share) == (Side.MAX, valve.open_share)
        np.testing.assert_array_equal(item.state.evaporating_temperature_k, mean.state.evaporating_temperature_k)
        np.testing.assert_array_equal(item.state.flow_ratio, mean.state.flow_ratio)
        np.testing.assert_allclose(item.state.flow_share * valve.open_share, mean.state.flow_share, rtol=1e-15)
        assert (item.state.pressure_drop_pa < mean.state.pressure_drop_pa).all()


def test_a_head_by_itself_has_the_same_limit() -> None:
    _, law, solved, valve, unit = case()
    row = 2
    heads = np.array([float(s.state.head_pressure_pa[row]) for s in solved.states])
    here = states_along(solved, head_lines(solved), heads, row).limits(valve, law)
    assert float(here.max_load_w.min()) == pytest.approx(float(unit.max_load_w[row]), rel=1e-9)
    assert float(here.min_load_w.max()) == pytest.approx(float(unit.min_load_w[row]), rel=1e-9)


def test_duty_and_zone_meet_the_limits() -> None:
    _, law, solved, valve, unit = case()
    row = np.array([3])
    condition = unit.max_condition[3]
    index = solved.at_full_flow()[condition]
    opened = solved.opened_at(condition, valve, law)
    assert opened is not None
    found = {}
    for factor in (0.999, 1.0, 1.001):
        point = operating_point(
            valve,
            solved.states[index].at(row),
            solved.required_kvs[law.key][index][row],
            unit.max_load_w[row] * factor,
            solved.system.superheat,
            (opened[0].at(row), opened[1][row]),
        )
        found[factor] = float(point.opening[0]), point.zone[0]
    assert found[1.0] == (pytest.approx(valve.open_share, rel=1e-9), Zone.STEADY)
    assert (found[0.999][1], found[1.001][1]) == (Zone.STEADY, Zone.STARVED)


def test_a_valve_whose_open_flow_is_not_solved_is_refused() -> None:
    _, law, solved, valve, _ = case()
    item, required_kv = solved.states[0], solved.required_kvs[law.key][0]
    with pytest.raises(ValueError, match="open flow"):
        operating_point(valve, item, required_kv, np.ones_like(required_kv), solved.system.superheat)
    states = replace(states_along(solved, head_lines(solved), np.array([1e6])), open_items=lambda share: ())
    with pytest.raises(ValueError, match="open flow"):
        states.limits(valve, law)


def test_limits_at_confidence_have_the_losses_of_the_open_flow() -> None:
    """Without scatter of anything a draw is the nominal valve."""
    valve = valve_of(worked_catalogue().families["larch"], "R404A", "walk_in_medium_lift")
    still = replace(valve, scatter={})
    loads = still.loads(normal_draws(2, 1, (Source.KV,)))
    _, _, _, _, unit = case()
    np.testing.assert_allclose(loads.max_load[0], unit.max_load_w, rtol=1e-9)
    np.testing.assert_allclose(loads.min_load[0], unit.min_load_w, rtol=1e-9)
