"""Property tables against the equation of state that they are made from, and its pair parameters."""

from __future__ import annotations

import dataclasses
from typing import NamedTuple

import numpy as np
import pytest
from CoolProp import CoolProp as coolprop

from tablegen.errors import CriticalPointError, IncompletePairError, MissingPairError, PropertyError
from tablegen.physics import equation_of_state
from tablegen.physics.definition import PairParameters, RefrigerantDefinition
from tablegen.physics.equation_of_state import library_pair, missing_pairs, tabulate
from tablegen.physics.property_table import (
    BUBBLE,
    COLDEST_K,
    CRITICAL_MARGIN_K,
    DEW,
    MAX_SUPERHEAT_K,
    VAPOR_MARGIN_K,
    PropertyTable,
)
from tablegen.physics.refrigerants import Refrigerant
from tests.registry import refrigerant, registry

# Pure, near-azeotrope, wide glide, patched pairs, six components, the highest and the lowest critical temperature.
TEN = ("R134a", "R717", "R744", "R290", "R404A", "R407C", "R448A", "R402A", "R453A", "R455A")
STATES = 12
FAR_K, NEAR_K = 10.0, CRITICAL_MARGIN_K
FAR, NEAR = 2e-8, 1e-6
COLD_CALLS_END_K = 40.0
# Deviations of enthalpy are shares of about one latent heat.
LATENT_J_KG = 1.5e5


class State(NamedTuple):
    """One state of the equation of state: pressure [Pa], density [kg/m3], enthalpy [J/kg]."""

    pressure: float
    density: float
    enthalpy: float


def single(definition: RefrigerantDefinition, phase: int, temperature: float, pressure: float, density: float) -> State:
    """A single-phase state of the library itself, the phase imposed."""
    state = equation_of_state._blend(definition)
    guess = coolprop.PyGuessesStructure()
    guess.T, guess.p, guess.rhomolar = temperature, pressure, density / state.molar_mass()
    state.specify_phase(phase)
    state.update_with_guesses(coolprop.PT_INPUTS, pressure, temperature, guess)
    return State(pressure, state.rhomass(), state.hmass())


def saturated(fluid: Refrigerant, side: int, temperature: float) -> State:
    """A saturated state of the library itself, its density made exact at its pressure.

    By a cold call, which owes nothing to the tables; toward the critical point, where cold calls of blends fail
    in patches, by the march.
    """
    definition, critical = fluid.definition, (fluid.critical_temperature_k, fluid.critical_pressure_pa)
    if len(definition.components) == 1 or temperature < critical[0] - COLD_CALLS_END_K:
        state = equation_of_state._blend(definition)
        state.update(coolprop.QT_INPUTS, side, temperature)
        pressure, density = float(state.p()), float(state.rhomass())
    else:
        node = equation_of_state._Tabulator(definition, critical)._march(side, np.array([temperature]))[0]
        pressure, density = node.pressure, float(fluid.table.saturated(side, np.asarray(temperature))[1])
    phase = coolprop.iphase_gas if side == DEW else coolprop.iphase_liquid
    return single(definition, phase, temperature, pressure, density)


def assert_near(name: str, found: tuple[float, float], true: State, limit: float) -> None:
    density, enthalpy = found
    assert density == pytest.approx(true.density, rel=limit), name
    assert enthalpy == pytest.approx(true.enthalpy, rel=0.0, abs=limit * LATENT_J_KG), name


@pytest.mark.parametrize("name", TEN)
@pytest.mark.parametrize("side", [BUBBLE, DEW], ids=["bubble", "dew"])
def test_saturation_is_that_of_the_equation(name: str, side: int) -> None:
    fluid, random = refrigerant(name), np.random.default_rng(1)
    critical = fluid.critical_temperature_k
    far = np.append(random.uniform(fluid.coldest_k, critical - COLD_CALLS_END_K, 8), critical - 1.5 * FAR_K)
    near = random.uniform(critical - FAR_K, critical - NEAR_K, 2)
    for limit, temperatures in ((FAR, far), (NEAR, near)):
        for temperature in map(float, temperatures):
            true = saturated(fluid, side, temperature)
            pressure, density, enthalpy = (float(v) for v in fluid.table.saturated(side, np.asarray(temperature)))
            assert pressure == pytest.approx(true.pressure, rel=limit)
            assert_near(name, (density, enthalpy), true, limit)


@pytest.mark.parametrize("name", TEN)
def test_compressed_liquid_is_that_of_the_equation(name: str) -> None:
    fluid, random = refrigerant(name), np.random.default_rng(2)
    critical = fluid.critical_temperature_k
    ends = (FAR, fluid.coldest_k, critical - FAR_K), (NEAR, critical - FAR_K, critical - NEAR_K)
    for limit, lowest, highest in ends:
        temperature = random.uniform(lowest, highest, STATES)
        bubble, density, _ = fluid.table.saturated(BUBBLE, temperature)
        pressure = bubble + random.uniform(0.0, 1.0, STATES) * (fluid.table.top_pressure_pa - bubble)
        found = fluid.liquid(temperature, pressure)
        for i in range(STATES):
            true = single(fluid.definition, coolprop.iphase_liquid, temperature[i], pressure[i], density[i])
            assert_near(name, (found.density_kg_m3[i], found.enthalpy_j_kg[i]), true, limit)


@pytest.mark.parametrize("name", TEN)
def test_superheated_vapor_is_that_of_the_equation(name: str) -> None:
    """The vapor table ends 10 K below the critical temperature, so that one limit is enough."""
    fluid, random = refrigerant(name), np.random.default_rng(3)
    dew_k = random.uniform(fluid.coldest_k, fluid.critical_temperature_k - VAPOR_MARGIN_K, 2 * STATES)
    superheat = random.uniform(0.0, MAX_SUPERHEAT_K, 2 * STATES)
    pressure, density, _ = fluid.table.saturated(DEW, dew_k)
    found = fluid.vapor(dew_k + superheat, pressure)
    for i in range(2 * STATES):
        true = single(fluid.definition, coolprop.iphase_gas, dew_k[i] + superheat[i], pressure[i], density[i])
        assert_near(name, (found.density_kg_m3[i], found.enthalpy_j_kg[i]), true, FAR)


@pytest.mark.parametrize("name", TEN)
def test_saturation_temperature_is_the_way_back(name: str) -> None:
    fluid, random = refrigerant(name), np.random.default_rng(4)
    at = np.concatenate([random.uniform(fluid.coldest_k, fluid.warmest_k, 300), [fluid.coldest_k, fluid.warmest_k]])
    for side, back in ((fluid.bubble, fluid.bubble_temperature), (fluid.dew, fluid.dew_temperature)):
        np.testing.assert_allclose(back(side(at).pressure_pa), at, rtol=0.0, atol=1e-9)


def shaped(shape: tuple[int, ...], value: float) -> np.ndarray:
    return np.full(shape, value)


@pytest.mark.parametrize("shape", [(), (1,), (3, 2)], ids=["scalar", "vector", "matrix"])
@pytest.mark.parametrize("name", ["R134a", "R407C", "R744"])
def test_nan_outside_every_edge_and_a_number_inside(name: str, shape: tuple[int, ...]) -> None:
    fluid = refrigerant(name)

    def all_nan(*values: np.ndarray) -> bool:
        assert all(v.shape == shape for v in values)
        return all(bool(np.isnan(v).all()) for v in values)

    def all_finite(*values: np.ndarray) -> bool:
        assert all(v.shape == shape for v in values)
        return all(bool(np.isfinite(v).all()) for v in values)

    for side, back in ((fluid.bubble, fluid.bubble_temperature), (fluid.dew, fluid.dew_temperature)):
        for edge, outward in ((fluid.coldest_k, -1e-3), (fluid.warmest_k, 1e-3)):
            assert all_finite(*side(shaped(shape, edge - outward)))
            assert all_nan(*side(shaped(shape, edge + outward))[1:])
            pressure = float(side(np.asarray(edge)).pressure_pa)
            assert all_finite(back(shaped(shape, pressure * (1.0 - np.sign(outward) * 1e-5))))
            assert all_nan(back(shaped(shape, pressure * (1.0 + np.sign(outward) * 1e-5))))
    at = 260.0
    bubble, dew = float(fluid.bubble(np.asarray(at)).pressure_pa), float(fluid.dew(np.asarray(at)).pressure_pa)
    top = fluid.table.top_pressure_pa
    for pressure, is_state in ((bubble * 1.0001, 1), (bubble * 0.9999, 0), (top * 0.9999, 1), (top * 1.0001, 0)):
        check = all_finite if is_state else all_nan
        assert check(*fluid.liquid(shaped(shape, at), shaped(shape, pressure)))
    assert all_nan(*fluid.liquid(shaped(shape, fluid.coldest_k - 0.01), shaped(shape, top * 0.9)))
    assert all_nan(*fluid.liquid(shaped(shape, fluid.warmest_k + 0.01), shaped(shape, top * 0.999)))
    for superheat, is_state in ((0.001, 1), (-0.001, 0), (69.999, 1), (70.001, 0)):
        check = all_finite if is_state else all_nan
        assert check(*fluid.vapor(shaped(shape, at + superheat), shaped(shape, dew)))
    too_near = fluid.critical_temperature_k - VAPOR_MARGIN_K + 0.01
    pressure = float(fluid.dew(np.asarray(too_near)).pressure_pa)
    assert all_nan(*fluid.vapor(shaped(shape, too_near + 5.0), shaped(shape, pressure)))
    thin = float(fluid.dew(np.asarray(fluid.coldest_k)).pressure_pa) * 0.999
    assert all_nan(*fluid.vapor(shaped(shape, at), shaped(shape, thin)))


def test_a_state_lost_among_others_spoils_no_other() -> None:
    fluid = refrigerant("R407C")
    at = np.array([[100.0, 250.0], [300.0, 500.0]])
    pressure = fluid.bubble(at).pressure_pa
    np.testing.assert_array_equal(np.isnan(pressure), [[True, False], [False, True]])
    np.testing.assert_array_equal(np.isnan(fluid.bubble_temperature(pressure)), np.isnan(pressure))


def test_ranges_start_at_the_coldest_or_above_the_triple_point() -> None:
    assert refrigerant("R404A").coldest_k == COLDEST_K
    assert refrigerant("R744").coldest_k == pytest.approx(216.592 + 0.5, abs=1e-3)


# --- pair parameters -------------------------------------------------------------------------------------------


def bare(name: str, shares: dict[str, float], *pairs: PairParameters) -> RefrigerantDefinition:
    return RefrigerantDefinition(
        name=name,
        components=tuple(shares),
        mass_fractions=tuple(shares.values()),
        pairs=pairs,
        critical_temperature_k=350.0,
        critical_pressure_pa=4e6,
    )


PATCHED = ("R22", "R125")
OF_PATCHED = {"first": "R22", "second": "R125"}


def test_a_missing_pair_is_named_also_after_another_blend_gave_its_own() -> None:
    mine = bare("mine", {"R22": 0.5, "R125": 0.5})
    for _ in range(2):
        with pytest.raises(MissingPairError) as caught:
            tabulate(mine)
        assert caught.value.pairs == (PATCHED,)
        assert str(caught.value) == "mine: the property library has no parameters for the pair R22/R125"
        # On the second round the library itself has the linear rule for the pair, from this blend.
        equation_of_state._blend(registry().records["R402A"].definition)
    assert missing_pairs(mine) == [PATCHED]
    assert missing_pairs(registry().records["R402A"].definition) == []


def test_a_missing_pair_is_named_after_another_blend_took_the_linear_rule() -> None:
    """R152a/R124 has only 'rule: linear', in R401A; the library then knows it for good, another blend must not."""
    linear = registry().records["R401A"].definition
    equation_of_state._blend(linear)
    with pytest.raises(MissingPairError, match="R124/R152a") as caught:
        tabulate(bare("mine", {"R124": 0.4, "R152a": 0.6}))
    assert caught.value.pairs == (("R124", "R152a"),)
    # Asked for by name it is used, with numbers that are those of the rule.
    rule = PairParameters(first="R124", second="R152a")
    state = equation_of_state._blend(bare("mine", {"R124": 0.4, "R152a": 0.6}, rule))
    assert state.get_binary_interaction_double(0, 1, "betaT") == pytest.approx(1.0)


def test_the_parameters_of_one_blend_do_not_reach_another() -> None:
    shipped = library_pair("R22", "R115")
    blend = equation_of_state._blend(registry().records["R502"].definition)
    assert blend.get_binary_interaction_double(0, 1, "gammaT") == 0.9485
    assert library_pair("R22", "R115") == shipped
    assert shipped.gamma_t == pytest.approx(0.94989)
    assert shipped.beta_t == pytest.approx(0.98598, abs=1e-5)
    again = equation_of_state._blend(bare("mine", {"R22": 0.5, "R115": 0.5}))
    assert again.get_binary_interaction_double(0, 1, "gammaT") == shipped.gamma_t
    # Two patched blends that share a pair keep their own numbers, whichever was made last.
    first, second = (
        equation_of_state._blend(
            bare("mine", {"R22": 0.5, "R125": 0.5}, PairParameters(**OF_PATCHED, beta_t=1.0, gamma_t=gamma))
        )
        for gamma in (0.97, 0.99)
    )
    assert first.get_binary_interaction_double(0, 1, "gammaT") == 0.97
    assert second.get_binary_interaction_double(0, 1, "gammaT") == 0.99


def swapped(pair: PairParameters) -> PairParameters:
    def inverse(beta: float | None) -> float | None:
        return None if beta is None else 1.0 / beta

    return PairParameters(
        first=pair.second,
        second=pair.first,
        beta_t=inverse(pair.beta_t),
        gamma_t=pair.gamma_t,
        beta_v=inverse(pair.beta_v),
        gamma_v=pair.gamma_v,
    )


def densities(definition: RefrigerantDefinition, table: PropertyTable) -> np.ndarray:
    fluid = Refrigerant(definition, table)
    at = np.linspace(230.0, 320.0, 10)
    return np.concatenate([fluid.bubble(at).pressure_pa, fluid.dew(at).pressure_pa, fluid.dew(at).density_kg_m3])


def test_the_order_of_a_pair_does_not_matter_once_its_beta_is_inverted() -> None:
    """Only a beta other than 1 shows it: one of R502 is given here."""
    pair = PairParameters(first="R22", second="R115", beta_t=0.98, gamma_t=0.95, beta_v=1.01, gamma_v=1.02)
    as_given = dataclasses.replace(registry().records["R502"].definition, pairs=(pair,))
    turned = dataclasses.replace(as_given, pairs=(swapped(pair),))
    wrong = dataclasses.replace(as_given, pairs=(dataclasses.replace(swapped(pair), beta_t=0.98, beta_v=1.01),))
    expected = densities(as_given, tabulate(as_given))
    np.testing.assert_allclose(densities(turned, tabulate(turned)), expected, rtol=1e-9)
    assert abs(densities(wrong, tabulate(wrong)) / expected - 1.0).max() > 1e-3


def test_the_library_gives_a_pair_in_the_order_asked_for() -> None:
    one, other = library_pair("R600", "R32"), library_pair("R32", "R600")
    assert one.beta_t == pytest.approx(1.0 / other.beta_t)
    assert one.gamma_t == other.gamma_t


@pytest.mark.parametrize("name", ["R438A", "R453A"])
def test_isopentane_has_the_pairs_of_butane(name: str) -> None:
    """The configs say so; the figures there are rounded to five decimals."""
    pairs = registry().records[name].definition.pairs
    assert len(pairs) == {"R438A": 3, "R453A": 4}[name]
    for pair in pairs:
        assert pair.first == "R601a"
        library = library_pair("R600", pair.second)
        for key in ("beta_t", "gamma_t", "beta_v", "gamma_v"):
            assert getattr(pair, key) == pytest.approx(getattr(library, key), abs=6e-6), (pair, key)


def test_every_pair_of_a_config_is_one_that_its_blend_has_and_needs() -> None:
    """A pair that the library has is overridden in R502 alone, where it is said why."""
    needless = {}
    for name, record in registry().records.items():
        missing = {frozenset(p) for p in missing_pairs(dataclasses.replace(record.definition, pairs=()))}
        given = {frozenset((p.first, p.second)) for p in record.definition.pairs}
        assert missing <= given
        if given - missing:
            needless[name] = given - missing
    assert set(needless) == {"R502"}


def test_several_missing_pairs_are_reported_in_the_plural() -> None:
    blend = bare("mine", {"R22": 0.4, "R125": 0.3, "R124": 0.3}, PairParameters(first="R125", second="R124"))
    with pytest.raises(MissingPairError, match="no parameters for the pairs R22/R125, R22/R124"):
        tabulate(blend)


PARTS = {
    "gamma_t left out": PairParameters(**OF_PATCHED, beta_t=1.0),
    "beta_t left out": PairParameters(**OF_PATCHED, gamma_t=0.98),
    "volumes alone": PairParameters(**OF_PATCHED, beta_v=1.0, gamma_v=1.0),
}


@pytest.mark.parametrize("rounds", [1, 2])
@pytest.mark.parametrize("part", PARTS)
def test_a_pair_that_the_library_lacks_needs_both_temperature_parameters(part: str, rounds: int) -> None:
    """Also once the library has the linear rule for it, from another blend."""
    if rounds > 1:
        equation_of_state._blend(registry().records["R402A"].definition)
    with pytest.raises(IncompletePairError, match="beta_t and gamma_t must both be given") as caught:
        tabulate(bare("mine", {"R22": 0.5, "R125": 0.5}, PARTS[part]))
    assert caught.value.index == 0


def test_a_pair_that_the_library_has_may_be_given_in_part() -> None:
    one = bare("mine", {"R22": 0.5, "R115": 0.5}, PairParameters(first="R22", second="R115", gamma_t=0.95))
    state = equation_of_state._blend(one)
    assert state.get_binary_interaction_double(0, 1, "gammaT") == 0.95
    assert state.get_binary_interaction_double(0, 1, "betaT") == library_pair("R22", "R115").beta_t


# --- critical points that are given ----------------------------------------------------------------------------


def given(name: str, warmer_k: float = 0.0, share: float = 1.0) -> RefrigerantDefinition:
    """A packaged refrigerant, its critical point moved."""
    fluid = refrigerant(name)
    return dataclasses.replace(
        fluid.definition,
        critical_temperature_k=fluid.critical_temperature_k + warmer_k,
        critical_pressure_pa=fluid.critical_pressure_pa * share,
    )


# Blends of two to four components, one with glide of many kelvin, an azeotrope, single components; the rest are slow.
OFTEN = ("R134a", "R22", "R404A", "R407C", "R454B", "R455A", "R507A", "R513A", "R744")


@pytest.mark.parametrize(
    "name", [name if name in OFTEN else pytest.param(name, marks=pytest.mark.slow) for name in sorted(registry())]
)
def test_true_critical_point_is_taken_and_wrong_ones_are_refused(name: str) -> None:
    for warmer_k in (0.0, 0.099, -0.099):
        tabulate(given(name, warmer_k))
    for warmer_k in (-20.0, 3.0, 60.0):
        with pytest.raises(CriticalPointError) as caught:
            tabulate(given(name, warmer_k))
        assert caught.value.quantity == "temperature", warmer_k
    with pytest.raises(CriticalPointError) as caught:
        tabulate(given(name, share=40e3 / refrigerant(name).critical_pressure_pa))
    assert caught.value.quantity == "pressure"


@pytest.mark.parametrize(("warmer_k", "share"), [(0.11, 1.0), (-0.11, 1.0), (0.0, 1.011), (0.0, 0.989)])
def test_single_component_has_the_constants_of_the_library(warmer_k: float, share: float) -> None:
    with pytest.raises(CriticalPointError, match="of the property library's"):
        tabulate(given("R134a", warmer_k, share))


@pytest.mark.parametrize("share", [0.96, 1.04])
def test_critical_pressure_of_a_blend_lies_on_its_saturation_curves(share: float) -> None:
    with pytest.raises(CriticalPointError, match="the saturation curve reaches about"):
        tabulate(given("R448A", share=share))


def test_critical_temperature_below_the_tables_is_refused() -> None:
    with pytest.raises(CriticalPointError, match=r"tables begin at -90\.7 degF"):
        tabulate(given("R410A", 190.0 - refrigerant("R410A").critical_temperature_k))


def test_failure_near_the_top_is_laid_at_a_critical_temperature_that_is_given_alone(monkeypatch) -> None:
    """A critical point that was found is not to blame; nor is one that was given for what fails in the cold."""
    definition, original = given("R448A"), equation_of_state._Tabulator._node

    def failing(beyond: float):
        def node(self, temperature):
            if (temperature > beyond) if beyond > 300.0 else (temperature < beyond):
                raise self._no_saturation(BUBBLE, temperature)
            return original(self, temperature)

        return node

    monkeypatch.setattr(equation_of_state._Tabulator, "_node", failing(345.0))
    with pytest.raises(CriticalPointError, match=r"no bubble state at 16\d\.\d degF \(7\d\.\d degC\), .* too high"):
        tabulate(definition)
    found = definition.critical_temperature_k, definition.critical_pressure_pa
    monkeypatch.setattr(equation_of_state, "critical_point", lambda _: found)
    with pytest.raises(PropertyError, match="no bubble state at") as caught:
        tabulate(dataclasses.replace(definition, critical_temperature_k=None, critical_pressure_pa=None))
    assert not isinstance(caught.value, CriticalPointError)
    monkeypatch.setattr(equation_of_state._Tabulator, "_node", failing(230.0))
    with pytest.raises(PropertyError, match="no bubble state at") as caught:
        tabulate(definition)
    assert not isinstance(caught.value, CriticalPointError)
