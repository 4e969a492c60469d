"""Tables made here and now, against the property library asked state by state; and what the library is refused."""

from __future__ import annotations

import dataclasses

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
R134A = RefrigerantDefinition(
    name="R134a",
    components=("R134a",),
    mass_fractions=(1.0,),
    pairs=(),
    critical_temperature_k=374.21,
    critical_pressure_pa=4.05928e6,
)
R407C = RefrigerantDefinition(
    name="R407C",
    components=("R32", "R125", "R134a"),
    mass_fractions=(0.23, 0.25, 0.52),
    pairs=(),
    critical_temperature_k=359.345,
    critical_pressure_pa=4.6317e6,
)
OWN_PAIR = PairParameters(first="R22", second="R115", gamma_t=0.9485)
R502 = RefrigerantDefinition(
    name="R502",
    components=("R22", "R115"),
    mass_fractions=(0.488, 0.512),
    pairs=(OWN_PAIR,),
    critical_temperature_k=None,
    critical_pressure_pa=None,
)
LIMIT = 2e-8


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
def test_a_table_made_now_gives_the_states_of_the_library(definition: RefrigerantDefinition) -> None:
    fluid, state = Refrigerant(definition, tabulate(definition)), library_state(definition)
    for side, own, entropy in ((0, fluid.bubble, fluid.bubble_entropy), (1, fluid.dew, fluid.dew_entropy)):
        for temperature in (225.0, 255.0, 285.0, 310.0):
            state.update(coolprop.QT_INPUTS, side, temperature)
            found = own(np.array([temperature]))
            assert found.pressure_pa == pytest.approx(state.p(), rel=LIMIT)
            # The library's own solver of blends leaves a density within a ten-millionth.
            assert found.density_kg_m3 == pytest.approx(state.rhomass(), rel=2e-7)
            assert found.enthalpy_j_kg == pytest.approx(state.hmass(), rel=0.0, abs=0.1)
            assert entropy(np.array([temperature])) == pytest.approx(state.smass(), rel=0.0, abs=1e-3)
    for temperature, share in ((240.0, 0.1), (280.0, 0.5), (300.0, 0.95)):
        at = np.array([temperature])
        bubble, dew = fluid.bubble(at).pressure_pa, fluid.dew(at).pressure_pa
        for phase, pressure, single in (
            (coolprop.iphase_liquid, bubble + share * (fluid.table.top_pressure_pa - bubble), fluid.liquid),
            (coolprop.iphase_gas, dew * (1.0 - 0.5 * share), fluid.vapor),
        ):
            state.specify_phase(phase)
            state.update(coolprop.PT_INPUTS, float(pressure[0]), temperature)
            of = single(at, pressure)
            assert of.density_kg_m3 == pytest.approx(state.rhomass(), rel=LIMIT)
            assert of.enthalpy_j_kg == pytest.approx(state.hmass(), rel=0.0, abs=0.01)


def test_a_critical_point_that_is_not_given_is_found() -> None:
    """R502: 82.2 °C and 4.07 MPa in handbooks (not checked), to which the library's own pair leads within a kelvin."""
    temperature, pressure = critical_point(R502)
    assert temperature == pytest.approx(355.35, abs=1.5)
    assert pressure == pytest.approx(4.07e6, rel=0.02)
    span = tabulate(R502).range
    assert (span.critical_temperature_k, span.critical_pressure_pa) == (temperature, pressure)


def test_the_hottest_of_several_stable_critical_points_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    @dataclasses.dataclass
    class Point:
        T: float
        p: float
        stable: bool

    points = [
        Point(300.0, 4e6, True),
        Point(350.0, 5e6, True),
        Point(400.0, 5e6, False),
        Point(390.0, 2.5e7, True),
        Point(380.0, -1.0, True),
        Point(240.0, 5e6, True),
    ]

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
        missing_pairs(
            RefrigerantDefinition(name="mine", components=("R32", "R134x"), mass_fractions=(0.5, 0.5), pairs=())
        )


def test_a_pair_of_the_library_is_reported_with_all_its_parameters() -> None:
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


def only_temperature(definition: RefrigerantDefinition) -> RefrigerantDefinition:
    return dataclasses.replace(definition, critical_pressure_pa=None)


def test_a_critical_point_given_in_part_is_found_whole() -> None:
    found = critical_point(R407C)
    span = tabulate(only_temperature(dataclasses.replace(R407C, critical_temperature_k=300.0))).range
    assert (span.critical_temperature_k, span.critical_pressure_pa) == found


# What is given instead of the true critical point, and all that is said of it.
TOLD = [
    (
        R134A,
        {"critical_temperature_k": 374.4},
        "temperature",
        "R134a: critical temperature: it must be within 0.1 K of the property library's 213.91 degF (101.06 degC)",
    ),
    (
        R134A,
        {"critical_pressure_pa": 4.2e6},
        "pressure",
        "R134a: critical pressure: it must be within 1 percent of the property library's 4059.3 kPa absolute",
    ),
    (
        R407C,
        {"critical_temperature_k": 200.0},
        "temperature",
        "R407C: critical temperature: tables begin at -90.7 degF (-68.1 degC); the critical temperature must be well above it",
    ),
    (
        R407C,
        {"critical_temperature_k": 354.0},
        "temperature",
        "R407C: critical temperature: at 3 K below it, liquid would be 3.45 times as dense as vapor; 2.1 to 2.4 times "
        "is normal, so the value seems too low",
    ),
    (
        R407C,
        {"critical_pressure_pa": 4.2e6},
        "pressure",
        "R407C: critical pressure: the saturation curve reaches about 4636 kPa absolute at the critical temperature "
        "of 187.2 degF (86.2 degC), so the value seems wrong",
    ),
    (
        R407C,
        {"critical_temperature_k": 362.0},
        "temperature",
        "R407C: critical temperature: at 3 K below it, liquid would be 1.39 times as dense as vapor; 2.1 to 2.4 times "
        "is normal, so the value seems too high",
    ),
    (
        R407C,
        {"critical_temperature_k": 366.0},
        "temperature",
        "R407C: critical temperature: the property library gives no bubble state at 187.4 degF (86.4 degC), so the "
        "value seems too high",
    ),
]


@pytest.mark.parametrize(("definition", "given", "quantity", "message"), TOLD)
def test_a_wrong_critical_point_is_reported_in_full(
    definition: RefrigerantDefinition, given: dict[str, float], quantity: str, message: str
) -> None:
    with pytest.raises(CriticalPointError) as caught:
        tabulate(dataclasses.replace(definition, **given))
    assert caught.value.quantity == quantity
    assert str(caught.value) == message


@pytest.mark.parametrize(("side", "name"), [(0, "bubble"), (1, "dew")])
@pytest.mark.parametrize(
    ("call", "from_k", "at"),
    [("update", 0.0, "55.1 degF (12.9 degC)"), ("update_with_guesses", 290.0, "63.2 degF (17.4 degC)")],
)
def test_a_state_that_the_library_refuses_is_named(
    monkeypatch: pytest.MonkeyPatch, side: int, name: str, call: str, from_k: float, at: str
) -> None:
    """A cold start, and a step of the march; a critical point that was found is not to blame."""
    from tablegen.physics import equation_of_state

    class Refusing:
        """The library's state object, one side of whose saturation fails."""

        def __init__(self, true: coolprop.AbstractState) -> None:
            self.true = true

        def __getattr__(self, key: str) -> object:
            own = getattr(self.true, key)
            if key != call:
                return own

            def refuse(inputs: int, first: float, second: float, *rest: object) -> object:
                if inputs == coolprop.QT_INPUTS and first == side and second > from_k:
                    raise ValueError("no")
                return own(inputs, first, second, *rest)

            return refuse

    blend = equation_of_state._blend
    monkeypatch.setattr(equation_of_state, "_blend", lambda definition: Refusing(blend(definition)))
    tabulator = equation_of_state._Tabulator(R407C, (R407C.critical_temperature_k, R407C.critical_pressure_pa))
    with pytest.raises(PropertyError) as caught:
        tabulator.table()
    assert type(caught.value) is PropertyError
    assert str(caught.value) == f"R407C: the property library gives no {name} state at {at}"


def test_a_single_phase_state_that_the_library_refuses_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    from tablegen.physics import equation_of_state

    tabulator = equation_of_state._Tabulator(R134A, (R134A.critical_temperature_k, R134A.critical_pressure_pa))
    with pytest.raises(PropertyError) as caught:
        tabulator._at(coolprop.iphase_gas, 50.0, 2.5e6, 10.0)
    assert str(caught.value) == (
        "R134a: the property library gives no state at -369.7 degF (-223.1 degC) and 2500.0 kPa absolute"
    )
    with pytest.raises(PropertyError) as caught:
        tabulator._finite(300.0, 1.0, np.nan)
    assert str(caught.value) == "R134a: the property library gives no finite state at 80.3 degF (26.9 degC)"


def test_the_range_of_a_single_component_begins_above_its_triple_point() -> None:
    # R744: 216.592 K (Span and Wagner 1996, not checked); a blend begins where the tables do.
    carbon_dioxide = RefrigerantDefinition(name="R744", components=("R744",), mass_fractions=(1.0,), pairs=())
    assert tabulate(carbon_dioxide).range.coldest_k == pytest.approx(217.092, abs=1e-3)
    assert tabulate(R407C).range.coldest_k == 205.0
