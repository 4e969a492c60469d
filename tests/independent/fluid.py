"""Refrigerant states by direct property-library calls, one at a time."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import CoolProp
from CoolProp.CoolProp import AbstractState, PyGuessesStructure

from .reading import number

# Refrigerants of the trade are neither computed nor used below this.
_COLDEST = 180.0
_MARCH = 1.5


class OutOfRangeError(Exception):
    """A state that the property library cannot give."""


class Saturated(NamedTuple):
    """A saturated state: pressure [Pa], density [kg/m3], enthalpy [J/kg]."""

    p: float
    rho: float
    h: float


class Fluid:
    """One refrigerant."""

    def __init__(self, config: Mapping[str, Any]) -> None:
        shares = {name: number(share) for name, share in config["components"].items()}
        self.is_pure = len(shares) == 1
        self._states = [AbstractState("HEOS", "&".join(shares)) for _ in range(3)]
        if not self.is_pure:
            for state in self._states:
                state.set_mass_fractions(list(shares.values()))
        self._saturation, self._liquid, self._gas = self._states
        self._liquid.specify_phase(CoolProp.iphase_liquid)
        self._gas.specify_phase(CoolProp.iphase_gas)
        if "critical_pressure" in config:
            self.p_critical = number(config["critical_pressure"])
            self.t_critical = number(config["critical_temperature"])
        else:
            self.p_critical = self._saturation.p_critical()
            self.t_critical = self._saturation.T_critical()
        self._known: dict[tuple[float, int], Saturated] = {}
        self._start: dict[int, tuple[float, float, float]] = {}
        self._inverse: dict[tuple[float, int], float] = {}

    def saturated(self, t: float, vapor_share: int) -> Saturated:
        """The bubble (0) or dew (1) state at a temperature [K]."""
        key = (t, vapor_share)
        if key not in self._known:
            if not _COLDEST <= t < self.t_critical:
                raise OutOfRangeError(f"no saturation at {t} K")
            self._known[key] = self._saturate(t, vapor_share)
        return self._known[key]

    def _saturate(self, t: float, q: int) -> Saturated:
        state = self._saturation
        try:
            state.update(CoolProp.QT_INPUTS, q, t)
        except ValueError:
            self._march(t, q)
        found = Saturated(state.p(), state.rhomass(), state.hmass())
        if not all(map(math.isfinite, found)):
            raise OutOfRangeError(f"no saturation at {t} K")
        return found

    def _march(self, t: float, q: int) -> None:
        """Go to a temperature from a cold one, where the library does not fail, in small steps."""
        state = self._saturation
        at = min(t, 260.0)
        state.update(CoolProp.QT_INPUTS, q, at)
        steps = max(1, math.ceil((t - at) / _MARCH))
        for i in range(1, steps + 1):
            guess = PyGuessesStructure()
            guess.T, guess.p = at + (t - at) * i / steps, state.p()
            guess.rhomolar_liq = state.saturated_liquid_keyed_output(CoolProp.iDmolar)
            guess.rhomolar_vap = state.saturated_vapor_keyed_output(CoolProp.iDmolar)
            guess.x = state.mole_fractions_liquid()
            guess.y = state.mole_fractions_vapor()
            try:
                state.update_with_guesses(CoolProp.QT_INPUTS, q, guess.T, guess)
            except ValueError as error:
                raise OutOfRangeError(f"no saturation at {t} K") from error

    def p_dew(self, t: float) -> float:
        """Dew pressure [Pa]."""
        return self.saturated(t, 1).p

    def p_bubble(self, t: float) -> float:
        """Bubble pressure [Pa]."""
        return self.saturated(t, 0).p

    def t_dew(self, p: float) -> float:
        """Dew temperature [K]."""
        return self._t_cached(p, 1)

    def t_bubble(self, p: float) -> float:
        """Bubble temperature [K]."""
        return self._t_cached(p, 0)

    def _t_cached(self, p: float, q: int) -> float:
        if (p, q) not in self._inverse:
            self._inverse[p, q] = self._t_saturated(p, q)
        return self._inverse[p, q]

    def _t_saturated(self, p: float, q: int) -> float:
        """Secant on ln p against 1/T, which is nearly a straight line, from the last state found."""
        if not 0.0 < p < 0.97 * self.p_critical:
            # No case of ours comes that near to the critical point on purpose, only beyond it.
            raise OutOfRangeError(f"no saturation at {p} Pa")
        target = math.log(p)
        t, y, slope = self._start.get(q) or (280.0, math.log(self.saturated(280.0, q).p), -2400.0)
        for _ in range(40):
            # A few 1e-10 K; every state is a call of the library, which takes most of the time.
            if abs(target - y) < 1e-11:
                break
            x = 1.0 / t + (target - y) / slope
            fresh = min(max(1.0 / x, _COLDEST), self.t_critical - 0.05)
            if fresh == t:
                break
            y_fresh = math.log(self.saturated(fresh, q).p)
            if abs(fresh - t) > 1e-6:
                # Closer than that, rounding would spoil the slope, which is good enough already.
                slope = (y_fresh - y) / (1.0 / fresh - 1.0 / t)
            t, y = fresh, y_fresh
        if abs(target - y) > 1e-10:
            raise OutOfRangeError(f"no saturation at {p} Pa")
        self._start[q] = (t, y, slope)
        return t

    def liquid(self, p: float, t: float) -> tuple[float, float]:
        """Density and enthalpy of liquid."""
        return self._single(self._liquid, p, t)

    def gas(self, p: float, t: float) -> tuple[float, float]:
        """Density and enthalpy of gas."""
        return self._single(self._gas, p, t)

    @staticmethod
    def _single(state: Any, p: float, t: float) -> tuple[float, float]:
        try:
            state.update(CoolProp.PT_INPUTS, p, t)
        except ValueError as error:
            raise OutOfRangeError(f"no state at {p} Pa and {t} K") from error
        return state.rhomass(), state.hmass()
