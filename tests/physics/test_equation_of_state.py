"""Tables made here and now, against the property library asked state by state; and what the library is refused."""

from __future__ import annotations

import dataclasses
import functools

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.errors import CriticalPointError, PropertyError
from tablegen.physics.definition import PairParameters, RefrigerantDefinition
from tablegen.physics.equation_of_state import (
    MARCH_STEP_K,
    critical_point,
    library_pair,
    library_version,
    missing_pairs,
    tabulate,
)
from tablegen.physics.refrigerants import Refrigerant

# A single component, a blend of glide, and one with a pair of its own.
R134A = RefrigerantDefinition("R134a", ("R134a",), (1.0,), (), 374.21, 4.05928e6)
R407C = RefrigerantDefinition("R407C", ("R32", "R125", "R134a"), (0.23, 0.25, 0.52), (), 359.345, 4.6317e6)
OWN_PAIR = PairParameters("R22", "R115", gamma_t=0.9485)
R502 = RefrigerantDefinition("R502", ("R22", "R115"), (0.488, 0.512), (OWN_PAIR,), None, None)
LIMIT = 2e-8


@functools.cache
def fresh(definition: RefrigerantDefinition) -> Refrigerant:
    return Refrigerant(definition, tabulate(definition))


def library_state(definition: RefrigerantDefinition) -> coolprop.AbstractState:
    """A state object of the library, made here with nothing of the package."""
    state = coolprop.AbstractState("HEOS", "&".join(definition.components))
    if len(definition.components) > 1:
        state.set_mass_fractions(list(definition.mass_fractions))
    for pair in definition.pairs:
        where = [definition.components.index(name) for name in (pair.first, pair.second)]
        state.set_binary_interaction_double(*where, "gammaT", pair.gamma_t)
    return state


@pytest.mark.parametrize("definition", [R134A, R407C, R502], ids=lambda d: d.name)
def test_a_table_made_now_gives_the_saturation_of_the_library(definition: RefrigerantDefinition) -> None:
    fluid, state = fresh(definition), library_state(definition)
    for side, own in ((0, fluid.bubble), (1, fluid.dew)):
        for temperature in (225.0, 255.0, 285.0, 310.0):
            state.update(coolprop.QT_INPUTS, side, temperature)
            found = own(np.array([temperature]))
            assert found.pressure_pa == pytest.approx(state.p(), rel=LIMIT)
            # The library's own solver of blends leaves a density within a ten-millionth.
            assert found.density_kg_m3 == pytest.approx(state.rhomass(), rel=2e-7)
            assert found.enthalpy_j_kg == pytest.approx(state.hmass(), rel=0.0, abs=0.1)


@pytest.mark.parametrize("definition", [R134A, R407C, R502], ids=lambda d: d.name)
@pytest.mark.parametrize(("temperature", "share"), [(240.0, 0.1), (280.0, 0.5), (300.0, 0.95)])
def test_a_table_made_now_gives_the_liquid_and_vapour_of_the_library(
    definition: RefrigerantDefinition, temperature: float, share: float
) -> None:
    fluid, state = fresh(definition), library_state(definition)
    at = np.array([temperature])
    bubble, dew = fluid.bubble(at).pressure_pa, fluid.dew(at).pressure_pa
    for phase, pressure, own in (
        (coolprop.iphase_liquid, bubble + share * (fluid.table.top_pressure_pa - bubble), fluid.liquid),
        (coolprop.iphase_gas, dew * (1.0 - 0.5 * share), fluid.vapour),
    ):
        state.specify_phase(phase)
        state.update(coolprop.PT_INPUTS, float(pressure[0]), temperature)
        found = own(at, pressure)
        assert found.density_kg_m3 == pytest.approx(state.rhomass(), rel=LIMIT)
        assert found.enthalpy_j_kg == pytest.approx(state.hmass(), rel=0.0, abs=0.01)


def test_a_critical_point_that_is_not_given_is_found() -> None:
    """R502: 82.2 °C and 4.07 MPa in handbooks (from memory), to which the library's own pair leads within a kelvin."""
    temperature, pressure = critical_point(R502)
    assert temperature == pytest.approx(355.35, abs=1.5)
    assert pressure == pytest.approx(4.07e6, rel=0.02)
    span = fresh(R502).table.range
    assert (span.critical_temperature_k, span.critical_pressure_pa) == (temperature, pressure)


def test_the_hottest_of_several_stable_critical_points_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    @dataclasses.dataclass
    class Point:
        T: float
        p: float
        stable: bool

    points = [Point(300.0, 4e6, True), Point(350.0, 5e6, True), Point(400.0, 5e6, False), Point(390.0, 2.5e7, True),
              Point(380.0, -1.0, True), Point(240.0, 5e6, True)]  # fmt: skip

    class Few:
        """A blend's state object that has these critical points."""

        def __init__(self, *_: object) -> None: ...

        def set_mass_fractions(self, _: object) -> None: ...

        def all_critical_points(self) -> list[Point]:
            return points

    monkeypatch.setattr(coolprop, "AbstractState", Few)
    blend = dataclasses.replace(R407C, name="mine")
    assert critical_point(blend) == (350.0, 5e6)
    del points[:2]
    with pytest.raises(PropertyError, match=r"^mine: no stable critical point found$"):
        critical_point(blend)


def test_a_component_that_the_library_does_not_know_is_named() -> None:
    with pytest.raises(PropertyError, match=r"^mine: the property library refuses it: .*R134x"):
        missing_pairs(RefrigerantDefinition("mine", ("R32", "R134x"), (0.5, 0.5), ()))


def test_a_pair_of_the_library_is_told_with_all_its_parameters() -> None:
    state = coolprop.AbstractState("HEOS", "R32&R125")
    found = library_pair("R32", "R125")
    names = {"beta_t": "betaT", "gamma_t": "gammaT", "beta_v": "betaV", "gamma_v": "gammaV"}
    for ours, theirs in names.items():
        assert getattr(found, ours) == state.get_binary_interaction_double(0, 1, theirs)
    assert (found.first, found.second) == ("R32", "R125")


def test_the_version_is_that_of_the_library() -> None:
    assert library_version() == coolprop.get_global_param_string("version")


def test_steps_of_a_march_are_no_longer_than_stated(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cold calls and long steps fail in patches; a fluid asked for states records where it was asked."""
    from tablegen.physics import equation_of_state

    asked: dict[int, list[float]] = {0: [], 1: []}
    original = equation_of_state._Tabulator._step

    def step(self, side, last, temperature):
        asked[side].append(abs(temperature - last.temperature))
        return original(self, side, last, temperature)

    monkeypatch.setattr(equation_of_state._Tabulator, "_step", step)
    table = tabulate(R407C)
    for steps in asked.values():
        assert max(steps) <= MARCH_STEP_K + 1e-9
        assert sum(steps) == pytest.approx(table.range.warmest_k - table.range.coldest_k, abs=0.1)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (
            {"critical_temperature_k": 374.4},
            "must be within 0.1 K of the property library's 213.91 degF (101.06 degC)",
        ),
        ({"critical_pressure_pa": 4.2e6}, "it must be within 1 percent of the property library's 4059.3 kPa absolute"),
    ],
)
def test_a_wrong_critical_point_of_a_single_component_is_told(given: dict[str, float], message: str) -> None:
    with pytest.raises(CriticalPointError) as caught:
        tabulate(dataclasses.replace(R134A, **given))
    assert message in str(caught.value)
