"""From a composition to its property table: the only import of CoolProp.

Saturation states of a blend are found by marching: from one cold state in the middle of the range, in
steps of 1.5 K or less, each started from the densities and compositions of the last.  Cold calls near the
top of a blend's range fail in patches, and single-phase calls without an imposed phase sometimes return
the wrong root; neither is used here (measured on CoolProp 8.0.0).  Single-phase states are taken with
the phase imposed and started from a density that is near by.

References
----------
I. H. Bell, J. Wronski, S. Quoilin, V. Lemort, "Pure and Pseudo-pure Fluid Thermophysical Property
Evaluation and the Open-Source Thermophysical Property Library CoolProp", Ind. Eng. Chem. Res. 53 (2014).
"""

from __future__ import annotations

import itertools
import math
from typing import Any, NamedTuple

import numpy as np
from CoolProp import CoolProp as coolprop

from tablegen.errors import CriticalPointError, IncompletePairError, MissingPairError, PropertyError, both_scales
from tablegen.physics import property_table as tables
from tablegen.physics.arrays import Floats
from tablegen.physics.definition import PairParameters, RefrigerantDefinition
from tablegen.physics.property_table import PropertyTable, Range
from tablegen.wording import input_errors as wording

MARCH_STEP_K = 1.5
# How far a critical point that is given may lie from the library's own, for a single component.
_PURE_TEMPERATURE_K, _PURE_PRESSURE = 0.1, 0.01
# For a blend, whose critical point takes seconds to find, what is cheap to see: density of saturated liquid over
# that of saturated vapor 3 K below it (2.09 to 2.35 for the forty packaged refrigerants; it changes by about 0.2
# for every kelvin that the temperature is off), and how far its pressure may lie from the saturation curves drawn
# on to it (within 0.6 percent for the forty).
_DENSITY_RATIO = (1.8, 2.7)
_BLEND_PRESSURE = 0.03
# A march needs some distance between the coldest temperature and the critical one.
_MIN_RANGE_K = 20.0
_PARAMETERS = (("betaT", "beta_t"), ("gammaT", "gamma_t"), ("betaV", "beta_v"), ("gammaV", "gamma_v"))
# Pairs that the library lacks and that were given the linear rule in this process, in either order.  The
# library keeps them for good, so that later blends would silently take them for known.
_linear: set[frozenset[str]] = set()


class _Node(NamedTuple):
    """A converged saturation state, enough to start its neighbor."""

    temperature: float
    pressure: float
    molar_liquid: float
    molar_vapor: float
    liquid: list[float]
    vapor: list[float]


def library_version() -> str:
    """The version of the property library that is loaded.

    Returns
    -------
    str
    """
    return str(coolprop.get_global_param_string("version"))


def missing_pairs(definition: RefrigerantDefinition) -> list[tuple[str, str]]:
    """The binary pairs for which neither the library nor the definition has parameters.

    Parameters
    ----------
    definition : RefrigerantDefinition

    Returns
    -------
    list of tuple of str
        Names of the two components.

    Raises
    ------
    PropertyError
        If the library does not know a component.
    """
    given = {frozenset((p.first, p.second)) for p in definition.pairs}
    for name in definition.components:
        _state(definition.name, [name])
    return [
        pair
        for pair in itertools.combinations(definition.components, 2)
        if frozenset(pair) not in given and (frozenset(pair) in _linear or not _is_known(pair))
    ]


def library_pair(first: str, second: str) -> PairParameters:
    """The reducing parameters that the library itself has for a pair.

    Parameters
    ----------
    first, second : str
        Components, as the library spells them.

    Returns
    -------
    PairParameters
        For that order of the two.
    """
    state = _state(f"{first}/{second}", [first, second])
    values = {ours: float(state.get_binary_interaction_double(0, 1, theirs)) for theirs, ours in _PARAMETERS}
    return PairParameters(first=first, second=second, **values)


def critical_point(definition: RefrigerantDefinition) -> tuple[float, float]:
    """The critical point of a composition from the equation of state (seconds for some blends).

    Parameters
    ----------
    definition : RefrigerantDefinition

    Returns
    -------
    float
        Critical temperature [K].
    float
        Critical pressure [Pa].

    Raises
    ------
    MissingPairError
        If a binary pair has no parameters.
    PropertyError
        If the library finds no stable critical point.
    """
    state = _blend(definition)
    if len(definition.components) == 1:
        return float(state.T_critical()), float(state.p_critical())
    stable = [c for c in state.all_critical_points() if c.stable and 0 < c.p < 20e6 and c.T > 250.0]
    if not stable:
        raise _error(definition.name, wording.NO_CRITICAL_POINT())
    best = max(stable, key=lambda c: float(c.T))
    return float(best.T), float(best.p)


class SinglePhase:
    """States of a composition in one phase, by temperature and density: explicit, so in no range of a table."""

    def __init__(self, definition: RefrigerantDefinition) -> None:
        self._state = _blend(definition)
        self._state.specify_phase(coolprop.iphase_gas)

    def at(self, temperature_k: float, density_kg_m3: float) -> tuple[float, float, float]:
        """Pressure [Pa], enthalpy [J/kg] and entropy [J/(kg K)], with the zeros of the property table."""
        self._state.update(coolprop.DmassT_INPUTS, density_kg_m3, temperature_k)
        return float(self._state.p()), float(self._state.hmass()), float(self._state.smass())


def tabulate(definition: RefrigerantDefinition) -> PropertyTable:
    """The property table of a composition.

    Parameters
    ----------
    definition : RefrigerantDefinition

    Returns
    -------
    PropertyTable

    Raises
    ------
    MissingPairError, IncompletePairError
        If a binary pair has no parameters, or too few.
    CriticalPointError
        If the definition gives a critical point that cannot be that of the composition.
    PropertyError
        If the library fails where it should not.
    """
    if not (definition.critical_temperature_k and definition.critical_pressure_pa):
        return _Tabulator(definition, critical_point(definition)).table()
    given = definition.critical_temperature_k, definition.critical_pressure_pa
    if len(definition.components) == 1:
        _check_pure(definition.name, given, critical_point(definition))
    elif given[0] < tables.COLDEST_K + _MIN_RANGE_K:
        rule = wording.TABLES_BEGIN(temperature=both_scales(tables.COLDEST_K))
        raise CriticalPointError(definition.name, "temperature", rule)
    return _Tabulator(definition, given, is_given=True).table()


def _check_pure(name: str, given: tuple[float, float], library: tuple[float, float]) -> None:
    if abs(given[0] - library[0]) > _PURE_TEMPERATURE_K:
        rule = wording.NOT_THE_LIBRARYS_TEMPERATURE(
            kelvin=f"{_PURE_TEMPERATURE_K:g}", temperature=both_scales(library[0], 2)
        )
        raise CriticalPointError(name, "temperature", rule)
    if abs(given[1] / library[1] - 1.0) > _PURE_PRESSURE:
        rule = wording.NOT_THE_LIBRARYS_PRESSURE(kilopascal=f"{library[1] / 1000.0:.1f}")
        raise CriticalPointError(name, "pressure", rule)


class _Tabulator:
    """Marches one composition through its range."""

    def __init__(
        self, definition: RefrigerantDefinition, critical: tuple[float, float], is_given: bool = False
    ) -> None:
        self.name = definition.name
        self.is_pure = len(definition.components) == 1
        self.state, self.single = _blend(definition), _state_object(definition)
        triple = float(self.state.Ttriple()) if self.is_pure else 0.0
        self.range = Range(*critical, coldest_k=max(tables.COLDEST_K, triple + 0.5))
        self.molar_mass = float(self.state.molar_mass())
        # A critical point that was found needs no check, and no state that fails is its fault.
        self.is_given = is_given
        # A failure above this is laid at a critical temperature that is given too high: where marches start.
        self.start_k = np.inf

    def table(self) -> PropertyTable:
        sides = [self._saturation(tables.BUBBLE), self._saturation(tables.DEW)]
        saturation = np.stack([found for found, _ in sides])
        if self.is_given and not self.is_pure:
            self._check_critical(saturation)
        # The critical point has passed its test: what fails from here on has another cause.
        self.start_k = np.inf
        return PropertyTable(
            range=self.range,
            saturation=saturation,
            entropy=np.stack([entropy for _, entropy in sides]),
            liquid=self._liquid(saturation),
            vapor=self._vapor(saturation),
        )

    def _saturation(self, side: int) -> tuple[Floats, Floats]:
        """The series of one side, and that of its entropy."""
        wanted = self.range.temperature(tables.nodes(tables.SATURATION_ORDER))
        nodes = self._march(side, wanted)
        phase = coolprop.iphase_gas if side == tables.DEW else coolprop.iphase_liquid
        molar = [n.molar_vapor if side == tables.DEW else n.molar_liquid for n in nodes]
        # The blend solver leaves densities within 1e-7; one more solution at its pressure makes them exact.
        exact = [
            (*self._at(phase, n.temperature, n.pressure, guess)[1:], *self._finite(n.temperature, self.single.smass()))
            for n, guess in zip(nodes, molar, strict=True)
        ]
        density, enthalpy, entropy = np.array(exact).T
        pressure = np.array([n.pressure for n in nodes])
        return tables.series(np.stack([np.log(pressure), np.log(density), enthalpy])), tables.series(entropy)

    def _check_critical(self, saturation: Floats) -> None:
        """Whether the critical point can be that of the saturation found below it."""
        critical_k = self.range.critical_temperature_k
        temperature = np.array([self.range.warmest_k - i * tables.CRITICAL_MARGIN_K for i in range(3)])
        polynomials = tables.basis(self.range.coordinate(temperature), tables.SATURATION_ORDER)
        log_p, log_rho = np.moveaxis(polynomials @ np.swapaxes(saturation[:, :2], -1, -2), -1, 0)
        ratio = float(np.exp(log_rho[tables.BUBBLE, 0] - log_rho[tables.DEW, 0]))
        if not _DENSITY_RATIO[0] <= ratio <= _DENSITY_RATIO[1]:
            message = wording.CRITICAL_TOO_LOW if ratio > _DENSITY_RATIO[1] else wording.CRITICAL_TOO_HIGH
            rule = message(kelvin=f"{tables.CRITICAL_MARGIN_K:g}", ratio=f"{ratio:.2f}")
            raise CriticalPointError(self.name, "temperature", rule)
        # A parabola through three points at equal steps, drawn on by one step; mean of bubble and dew.
        expected = float(np.exp((log_p @ np.array([3.0, -3.0, 1.0])).mean()))
        if abs(self.range.critical_pressure_pa / expected - 1.0) > _BLEND_PRESSURE:
            rule = wording.EXTRAPOLATED_PRESSURE(
                kilopascal=f"{expected / 1000.0:.0f}", temperature=both_scales(critical_k)
            )
            raise CriticalPointError(self.name, "pressure", rule)

    def _liquid(self, saturation: Floats) -> Floats:
        many, few = tables.LIQUID_ORDER
        x, place = tables.nodes(many), 0.5 * (tables.nodes(few) + 1.0)
        temperature = self.range.temperature(x)
        bubble = np.exp(tables.basis(x, tables.SATURATION_ORDER) @ saturation[tables.BUBBLE, 0])
        density = np.exp(tables.basis(x, tables.SATURATION_ORDER) @ saturation[tables.BUBBLE, 1])
        pressure = bubble[:, None] + (tables.top_pressure(self.range, saturation) - bubble[:, None]) * place
        return self._surface(
            coolprop.iphase_liquid, np.broadcast_to(temperature[:, None], pressure.shape), pressure, density
        )

    def _vapor(self, saturation: Floats) -> Floats:
        many, few = tables.VAPOR_ORDER
        dew_k = self.range.temperature(tables.nodes(many), tables.VAPOR_MARGIN_K)
        x = self.range.coordinate(dew_k)
        dew = np.exp(tables.basis(x, tables.SATURATION_ORDER) @ saturation[tables.DEW, 0])
        density = np.exp(tables.basis(x, tables.SATURATION_ORDER) @ saturation[tables.DEW, 1])
        superheat = tables.superheat_at(self.range, dew_k[:, None], tables.nodes(few)[None, :])
        temperature = dew_k[:, None] + superheat
        pressure = np.broadcast_to(dew[:, None], temperature.shape)
        return self._surface(coolprop.iphase_gas, temperature, pressure, density)

    def _surface(self, phase: int, temperature: Floats, pressure: Floats, first_density: Floats) -> Floats:
        """Each row starts from the saturated density; every state starts from its neighbor's."""
        values = np.empty((2, *temperature.shape))
        for i, density in enumerate(first_density):
            guess = density / self.molar_mass
            for j in range(temperature.shape[1]):
                guess, mass_density, enthalpy = self._at(phase, temperature[i, j], pressure[i, j], guess)
                values[:, i, j] = np.log(mass_density), enthalpy
        return tables.surface(values)

    def _at(self, phase: int, temperature: float, pressure: float, guess: float) -> tuple[float, float, float]:
        """Molar density [mol/m3], density [kg/m3] and enthalpy [J/kg] of a phase, from a guessed molar density."""
        start = coolprop.PyGuessesStructure()
        start.T, start.p, start.rhomolar = temperature, pressure, guess
        self.single.specify_phase(phase)
        try:
            self.single.update_with_guesses(coolprop.PT_INPUTS, pressure, temperature, start)
        except ValueError as error:
            text = wording.NO_STATE(temperature=both_scales(temperature), kilopascal=f"{pressure / 1000.0:.1f}")
            raise self._failure(temperature, text) from error
        finally:
            self.single.unspecify_phase()
        molar, density, enthalpy = self._finite(
            temperature, self.single.rhomolar(), self.single.rhomass(), self.single.hmass()
        )
        return molar, density, enthalpy

    def _march(self, side: int, wanted: Floats) -> list[_Node]:
        """Saturated states at the wanted temperatures, with others between where they are far apart."""
        between = np.arange(self.range.coldest_k, self.range.warmest_k, MARCH_STEP_K)
        grid = np.union1d(wanted, between)
        middle = len(grid) // 2
        self.start_k = float(grid[middle])
        start = self._cold(side, self.start_k)
        found = {start.temperature: start}
        for part in (grid[:middle][::-1], grid[middle + 1 :]):
            last = start
            for temperature in map(float, part):
                last = found[temperature] = self._step(side, last, temperature)
        return [found[float(t)] for t in wanted]

    def _cold(self, side: int, temperature: float) -> _Node:
        try:
            self.state.update(coolprop.QT_INPUTS, side, temperature)
        except ValueError as error:
            raise self._no_saturation(side, temperature) from error
        return self._node(temperature)

    def _step(self, side: int, last: _Node, temperature: float) -> _Node:
        """The state at a temperature near a known one."""
        if self.is_pure:
            return self._cold(side, temperature)
        guess = coolprop.PyGuessesStructure()
        guess.T = temperature
        # Clausius-Clapeyron with a latent heat that is near 2400 K for every refrigerant.
        guess.p = last.pressure * float(np.exp(2400.0 * (1.0 / last.temperature - 1.0 / temperature)))
        guess.rhomolar_liq, guess.rhomolar_vap = last.molar_liquid, last.molar_vapor
        guess.x, guess.y = last.liquid, last.vapor
        try:
            self.state.update_with_guesses(coolprop.QT_INPUTS, side, temperature, guess)
        except ValueError as error:
            raise self._no_saturation(side, temperature) from error
        return self._node(temperature)

    def _node(self, temperature: float) -> _Node:
        state = self.state
        pressure, liquid, vapor = self._finite(
            temperature,
            state.p(),
            state.saturated_liquid_keyed_output(coolprop.iDmolar),
            state.saturated_vapor_keyed_output(coolprop.iDmolar),
        )
        if self.is_pure:
            return _Node(temperature, pressure, liquid, vapor, [], [])
        return _Node(temperature, pressure, liquid, vapor, state.mole_fractions_liquid(), state.mole_fractions_vapor())

    def _finite(self, temperature: float, *values: float) -> tuple[float, ...]:
        if not all(map(math.isfinite, values)):
            raise self._failure(temperature, wording.NO_FINITE_STATE(temperature=both_scales(temperature)))
        return values

    def _no_saturation(self, side: int, temperature: float) -> PropertyError:
        message = wording.NO_DEW_STATE if side == tables.DEW else wording.NO_BUBBLE_STATE
        return self._failure(temperature, message(temperature=both_scales(temperature)))

    def _failure(self, temperature: float, text: str) -> PropertyError:
        """Toward a critical temperature that was given, the likely cause is that it is too high."""
        if self.is_given and temperature > self.start_k:
            return CriticalPointError(self.name, "temperature", wording.SEEMS_TOO_HIGH(text=text))
        return _error(self.name, text)


def _error(name: str, text: str) -> PropertyError:
    return PropertyError(wording.OF_REFRIGERANT(refrigerant=name, text=text))


def _is_known(pair: tuple[str, str]) -> bool:
    try:
        coolprop.AbstractState("HEOS", "&".join(pair))
    except ValueError:
        return False
    return True


def _state(name: str, components: list[str]) -> Any:
    try:
        return coolprop.AbstractState("HEOS", "&".join(components))
    except ValueError as error:
        raise _error(name, wording.LIBRARY_REFUSES(error=str(error))) from error


def _blend(definition: RefrigerantDefinition) -> Any:
    """A state object of the composition, with its own pair parameters and no one else's."""
    missing = missing_pairs(definition)
    if missing:
        raise MissingPairError(definition.name, missing)
    for index, pair in enumerate(definition.pairs):
        key = frozenset((pair.first, pair.second))
        if key in _linear or not _is_known((pair.first, pair.second)):
            given = [getattr(pair, ours) is not None for _, ours in _PARAMETERS]
            if any(given) and None in (pair.beta_t, pair.gamma_t):
                raise IncompletePairError(definition.name, index, (pair.first, pair.second))
        if key not in _linear and not _is_known((pair.first, pair.second)):
            first, second = (coolprop.get_fluid_param_string(name, "CAS") for name in (pair.first, pair.second))
            coolprop.apply_simple_mixing_rule(first, second, "linear")
            _linear.add(key)
    return _state_object(definition)


def _state_object(definition: RefrigerantDefinition) -> Any:
    """A state object of a composition whose pairs the library knows by now."""
    state = _state(definition.name, list(definition.components))
    if len(definition.components) > 1:
        state.set_mass_fractions(list(definition.mass_fractions))
    for pair in definition.pairs:
        i, j = (definition.components.index(name) for name in (pair.first, pair.second))
        for theirs, ours in _PARAMETERS:
            value = getattr(pair, ours)
            if value is not None:
                # On this object alone, and in the order of its components; the library's own table stays as shipped.
                state.set_binary_interaction_double(i, j, theirs, value)
    return state
