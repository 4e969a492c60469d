"""Refrigerant states: the only import of CoolProp.

Saturation states of a blend are found by marching: from one cold state in the middle of the range, in
steps of 2 K or less, each started from the densities and compositions of the last.  Cold calls near the
top of a blend's range fail in patches, and single-phase calls without an imposed phase sometimes return
the wrong root; neither is used here (measured on CoolProp 8.0.0).

References
----------
I. H. Bell, J. Wronski, S. Quoilin, V. Lemort, "Pure and Pseudo-pure Fluid Thermophysical Property
Evaluation and the Open-Source Thermophysical Property Library CoolProp", Ind. Eng. Chem. Res. 53 (2014).
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from CoolProp import CoolProp as coolprop
from scipy.interpolate import CubicSpline

from tablegen.errors import PropertyError
from tablegen.physics.arrays import Floats

MARCH_STEP_K = 1.5
# Saturation within this of the critical point is not used: the marching solver loses its footing there.
CRITICAL_MARGIN_K = 3.0
COLDEST_K = 205.0
_BUBBLE, _DEW = 0.0, 1.0


@dataclass(frozen=True, slots=True)
class RefrigerantDefinition:
    """What a refrigerant is: components by mass (names as the property library spells them).

    `critical_temperature_k` and `critical_pressure_pa` are given for blends, where finding them takes
    seconds; left as None they are computed.
    """

    name: str
    components: tuple[str, ...]
    mass_fractions: tuple[float, ...]
    safety_group: str
    pressure_uncertainty: float
    critical_temperature_k: float | None = None
    critical_pressure_pa: float | None = None


class Saturated(NamedTuple):
    """Saturated states, arrays of one shape: temperature [K], pressure [Pa], density [kg/m3], enthalpy [J/kg]."""

    temperature_k: Floats
    pressure_pa: Floats
    density_kg_m3: Floats
    enthalpy_j_kg: Floats


class Phase(NamedTuple):
    """Single-phase states, arrays of one shape: density [kg/m3], enthalpy [J/kg]."""

    density_kg_m3: Floats
    enthalpy_j_kg: Floats


@dataclass(frozen=True, slots=True)
class _Node:
    """A converged saturation state, enough to start its neighbour."""

    temperature: float
    pressure: float
    density: float
    enthalpy: float
    molar_liquid: float
    molar_vapour: float
    liquid: list[float]
    vapour: list[float]


def _new_state(definition: RefrigerantDefinition) -> Any:
    try:
        state = coolprop.AbstractState("HEOS", "&".join(definition.components))
        if len(definition.components) > 1:
            state.set_mass_fractions(list(definition.mass_fractions))
    except ValueError as error:
        raise PropertyError(f"{definition.name}: the property library refuses it: {error}") from error
    return state


def library_version() -> str:
    """The property library and its version, for the record."""
    return f"CoolProp {coolprop.get_global_param_string('version')}"


def critical_point(definition: RefrigerantDefinition) -> tuple[float, float]:
    """Critical temperature [K] and pressure [Pa], from the equation of state (seconds for some blends).

    Raises
    ------
    PropertyError
        If the library finds no stable critical point.
    """
    state = _new_state(definition)
    if len(definition.components) == 1:
        return float(state.T_critical()), float(state.p_critical())
    stable = [c for c in state.all_critical_points() if c.stable and 0 < c.p < 20e6 and c.T > 250.0]
    if not stable:
        raise PropertyError(f"{definition.name}: no stable critical point found")
    best = max(stable, key=lambda c: float(c.T))
    return float(best.T), float(best.p)


class Refrigerant:
    """States of one refrigerant; every method takes and returns float64 arrays of one shape.

    A state outside the range in which it can be computed is NaN, for the caller to give a reason.
    """

    def __init__(self, definition: RefrigerantDefinition) -> None:
        self.definition = definition
        self.name = definition.name
        self._state = _new_state(definition)
        self._is_pure = len(definition.components) == 1
        if definition.critical_temperature_k and definition.critical_pressure_pa:
            critical = definition.critical_temperature_k, definition.critical_pressure_pa
        else:
            critical = critical_point(definition)
        self.critical_temperature_k, self.critical_pressure_pa = critical
        triple = float(self._state.Ttriple()) if self._is_pure else 0.0
        self.coldest_k = max(COLDEST_K, triple + 0.5)
        self.warmest_k = self.critical_temperature_k - CRITICAL_MARGIN_K
        self._nodes: dict[float, list[_Node]] = {}
        self._splines: dict[float, CubicSpline] = {}
        self._known: dict[tuple[float, float], tuple[float, float, float]] = {}

    def __reduce__(self) -> tuple[type[Refrigerant], tuple[RefrigerantDefinition]]:
        """Pickled by definition: a property state object cannot cross to another process."""
        return Refrigerant, (self.definition,)

    def bubble(self, temperature_k: Floats) -> Saturated:
        """Saturated liquid (bubble point) at temperature [K]."""
        return self._saturated(_BUBBLE, temperature_k)

    def dew(self, temperature_k: Floats) -> Saturated:
        """Saturated vapour (dew point) at temperature [K]."""
        return self._saturated(_DEW, temperature_k)

    def bubble_temperature(self, pressure_pa: Floats) -> Floats:
        """Bubble temperature [K] at absolute pressure [Pa]."""
        return self._temperature(_BUBBLE, pressure_pa)

    def dew_temperature(self, pressure_pa: Floats) -> Floats:
        """Dew temperature [K] at absolute pressure [Pa]."""
        return self._temperature(_DEW, pressure_pa)

    def liquid(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Compressed liquid at temperature [K] and pressure [Pa], liquid phase imposed."""
        return self._phase(coolprop.iphase_liquid, temperature_k, pressure_pa)

    def vapour(self, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        """Superheated vapour at temperature [K] and pressure [Pa], gas phase imposed."""
        return self._phase(coolprop.iphase_gas, temperature_k, pressure_pa)

    def _phase(self, phase: int, temperature_k: Floats, pressure_pa: Floats) -> Phase:
        state = self._state

        def one(temperature: float, pressure: float) -> tuple[float, float]:
            if not (np.isfinite(temperature) and np.isfinite(pressure) and pressure > 0.0):
                return np.nan, np.nan
            try:
                state.update(coolprop.PT_INPUTS, pressure, temperature)
            except ValueError:
                return np.nan, np.nan
            return state.rhomass(), state.hmass()

        state.specify_phase(phase)
        try:
            return Phase(*_each(one, 2, temperature_k, pressure_pa))
        finally:
            state.unspecify_phase()

    def _saturated(self, quality: float, temperature_k: Floats) -> Saturated:
        temperature_k = np.asarray(temperature_k, dtype=np.float64)
        return Saturated(temperature_k, *_each(functools.partial(self._at, quality), 3, temperature_k))

    def _at(self, quality: float, temperature: float) -> tuple[float, float, float]:
        """Pressure, density and enthalpy of one saturated state, remembered."""
        if not self.coldest_k <= temperature <= self.warmest_k:
            return np.nan, np.nan, np.nan
        known = self._known.get((quality, temperature))
        if known is None:
            nodes = self._march(quality)
            nearest = round((temperature - nodes[0].temperature) / MARCH_STEP_K)
            node = self._step(quality, nodes[min(max(nearest, 0), len(nodes) - 1)], temperature)
            known = self._known[quality, temperature] = node.pressure, node.density, node.enthalpy
        return known

    def _temperature(self, quality: float, pressure_pa: Floats) -> Floats:
        """Saturation temperature: a spline's guess, then one Newton step on the exact ln p (error ~ guess squared)."""
        spline = self._spline(quality)
        low, high = spline.x[0], spline.x[-1]

        def one(pressure: float) -> tuple[float]:
            log_p = float(np.log(pressure)) if pressure > 0.0 else np.nan
            if not low <= log_p <= high:
                return (np.nan,)
            guess = 1.0 / float(spline(log_p))
            exact = float(np.log(self._at(quality, guess)[0]))
            # dT from T(ln p) = 1 / s(ln p): dT/dlnp = -T^2 s'.
            return (guess - (log_p - exact) * guess**2 * float(spline(log_p, 1)),)

        return _each(one, 1, np.asarray(pressure_pa, dtype=np.float64))[0]

    def _spline(self, quality: float) -> CubicSpline:
        if quality not in self._splines:
            nodes = self._march(quality)
            log_p = [float(np.log(n.pressure)) for n in nodes]
            self._splines[quality] = CubicSpline(log_p, [1.0 / n.temperature for n in nodes])
        return self._splines[quality]

    def _march(self, quality: float) -> list[_Node]:
        """Nodes every MARCH_STEP_K over the whole range, ascending."""
        if quality not in self._nodes:
            count = int((self.warmest_k - self.coldest_k) / MARCH_STEP_K)
            grid = self.coldest_k + MARCH_STEP_K * np.arange(count + 1)
            middle = count // 2
            start = self._cold(quality, float(grid[middle]))
            down, up = [start], [start]
            for temperature in grid[:middle][::-1]:
                down.append(self._step(quality, down[-1], float(temperature)))
            for temperature in grid[middle + 1 :]:
                up.append(self._step(quality, up[-1], float(temperature)))
            self._nodes[quality] = down[::-1] + up[1:]
        return self._nodes[quality]

    def _cold(self, quality: float, temperature: float) -> _Node:
        self._update(quality, temperature, lambda: self._state.update(coolprop.QT_INPUTS, quality, temperature))
        return self._node(temperature)

    def _step(self, quality: float, last: _Node, temperature: float) -> _Node:
        """The state at a temperature near a known one."""
        if self._is_pure or temperature == last.temperature:
            return self._cold(quality, temperature) if self._is_pure else last
        guess = coolprop.PyGuessesStructure()
        guess.T = temperature
        # Clausius-Clapeyron with a latent heat that suits every refrigerant near 2400 K.
        guess.p = last.pressure * float(np.exp(2400.0 * (1.0 / last.temperature - 1.0 / temperature)))
        guess.rhomolar_liq, guess.rhomolar_vap = last.molar_liquid, last.molar_vapour
        guess.x, guess.y = last.liquid, last.vapour
        state = self._state
        self._update(
            quality, temperature, lambda: state.update_with_guesses(coolprop.QT_INPUTS, quality, temperature, guess)
        )
        return self._node(temperature)

    def _update(self, quality: float, temperature: float, call: Callable[[], None]) -> None:
        try:
            call()
        except ValueError as error:
            side = "dew" if quality == _DEW else "bubble"
            raise PropertyError(f"{self.name}: no {side} state at {temperature:.3f} K: {error}") from error
        if not (np.isfinite(self._state.p()) and self._state.p() > 0.0):
            raise PropertyError(f"{self.name}: the property library gave no finite pressure at {temperature:.3f} K")

    def _node(self, temperature: float) -> _Node:
        state = self._state
        return _Node(
            temperature,
            state.p(),
            state.rhomass(),
            state.hmass(),
            state.saturated_liquid_keyed_output(coolprop.iDmolar),
            state.saturated_vapor_keyed_output(coolprop.iDmolar),
            [] if self._is_pure else state.mole_fractions_liquid(),
            [] if self._is_pure else state.mole_fractions_vapor(),
        )


def _each(function: Callable[..., tuple[float, ...]], outputs: int, *arrays: Floats) -> list[Floats]:
    """Apply a scalar property call over broadcast arrays; one float64 array per output."""
    broadcast = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in arrays))
    shape = broadcast[0].shape
    flat = [function(*map(float, values)) for values in zip(*(b.ravel() for b in broadcast), strict=True)]
    table = np.array(flat, dtype=np.float64).reshape(-1, outputs)
    return [np.ascontiguousarray(table[:, i]).reshape(shape) for i in range(outputs)]
