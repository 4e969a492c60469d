"""Lines of a pressure-enthalpy diagram: the closed saturation dome, and lines of constant temperature, entropy, density
and quality.

Saturation comes from the property table, single-phase states from the equation of state that the table was made of, so
that all lines agree. Single-phase states are taken by temperature and density, which is explicit and goes on through the
supercritical region.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.property_table import CRITICAL_MARGIN_K
from tablegen.physics.refrigerants import Refrigerant

# Pressure, enthalpy and entropy by temperature and density, of one phase.
StateAt = Callable[[float, float], tuple[float, float, float]]

# Points of each side of the dome, of those of them above the property table, and of the lines.
_DOME, _TOP, _LIQUID, _VAPOR, _DENSE, _ENTROPY = 90, 12, 16, 28, 90, 90
# Densities of a liquid line end so far above the coldest saturated liquid; those of gas at this share of the lowest pressure.
_DENSEST, _THINNEST = 1.12, 0.7
# Steps of the secant method in ln(density), after which an entropy is met [J/(kg K)]; the first step.
_STEPS, _MET, _FIRST = 30, 1e-7, 0.01


@dataclass(frozen=True, slots=True)
class DiagramLine:
    """Absolute pressures [Pa] and the enthalpy at each [J/kg]: arrays of one shape."""

    pressure_pa: Floats
    enthalpy_j_kg: Floats

    @classmethod
    def through(cls, points: Sequence[tuple[float, float]]) -> DiagramLine:
        """The line through pairs of pressure and enthalpy."""
        own = np.array(points, dtype=np.float64).reshape(-1, 2)
        return cls(own[:, 0], own[:, 1])

    def at(self, pressure_pa: float) -> float:
        """Enthalpy [J/kg] at a pressure of the line, whose pressures ascend; NaN outside of it."""
        known = np.isfinite(self.enthalpy_j_kg)
        if not known.any():
            return math.nan
        logs, enthalpies = np.log(self.pressure_pa[known]), self.enthalpy_j_kg[known]
        return float(np.interp(math.log(pressure_pa), logs, enthalpies, left=math.nan, right=math.nan))


class PressureEnthalpyLines:
    """The lines of one refrigerant between two pressures [Pa] and up to a temperature of superheated vapor [K].

    `state_at` gives states of one phase, such as `equation_of_state.SinglePhase.at`.
    """

    def __init__(
        self, refrigerant: Refrigerant, state_at: StateAt, pressures_pa: tuple[float, float], hottest_k: float
    ) -> None:
        self._own, self._at, self._hottest_k = refrigerant, state_at, hottest_k
        self.low_pa, self.high_pa = pressures_pa
        self._densest = _DENSEST * float(refrigerant.bubble(np.array([refrigerant.coldest_k])).density_kg_m3[0])
        self.critical_enthalpy_j_kg = self._critical_enthalpy()
        self._temperature_k = self._temperatures(max(refrigerant.coldest_k, float(self._dew_k(self.low_pa))))

    def bubble(self) -> DiagramLine:
        """Saturated liquid, from the lowest pressure to the critical point."""
        lowest = np.array([max(self.low_pa, self._lowest_bubble_pa())])
        kelvin = self._temperatures(float(self._own.bubble_temperature(lowest)[0]))
        found = self._own.bubble(kelvin)
        return self._closed(kelvin, found.pressure_pa, found.enthalpy_j_kg)

    def dew(self) -> DiagramLine:
        """Saturated vapor, from the lowest pressure to the critical point."""
        found = self._own.dew(self._temperature_k)
        return self._closed(self._temperature_k, found.pressure_pa, found.enthalpy_j_kg)

    def quality(self, share: float) -> DiagramLine:
        """A share of the way from saturated liquid to saturated vapor at a pressure, up to the top of the property table.

        That is the mass of vapor over that of both for one component; for a blend nearly so.
        """
        own = self._own
        top = float(own.bubble(np.array([own.warmest_k])).pressure_pa[0])
        top = min(top, float(own.dew(np.array([own.warmest_k])).pressure_pa[0]))
        pressure = np.geomspace(max(self.low_pa, self._lowest_bubble_pa()), top, _DOME)
        liquid = own.bubble(own.bubble_temperature(pressure)).enthalpy_j_kg
        vapor = own.dew(own.dew_temperature(pressure)).enthalpy_j_kg
        return DiagramLine(pressure, liquid + share * (vapor - liquid))

    def isotherm(self, temperature_k: float) -> tuple[DiagramLine, ...]:
        """Liquid and vapor of a temperature [K], one line above the critical one; nothing below the property table."""
        own = self._own
        if temperature_k > own.critical_temperature_k:
            return (self._by_density(temperature_k, self._densest, self._thinnest(temperature_k), _DENSE),)
        if temperature_k < own.coldest_k:
            return ()
        # Above the property table from its last densities, which are of one phase there too.
        kelvin = np.array([min(temperature_k, own.warmest_k)])
        bubble, dew = own.bubble(kelvin), own.dew(kelvin)
        first = float(bubble.density_kg_m3[0])
        parts = [self._by_density(temperature_k, self._liquid_end(temperature_k, first), first, _LIQUID)]
        if float(dew.pressure_pa[0]) > self.low_pa:
            last = self._thinnest(temperature_k)
            parts.append(self._by_density(temperature_k, float(dew.density_kg_m3[0]), last, _VAPOR))
        return tuple(parts)

    def isochore(self, density_kg_m3: float) -> DiagramLine:
        """Vapor of a density [kg/m3] from the dew line up in temperature."""
        rising = self._own.dew(self._temperature_k).density_kg_m3
        coldest = float(np.interp(math.log(density_kg_m3), np.log(rising), self._temperature_k))
        points = []
        if rising[0] <= density_kg_m3 <= rising[-1]:
            found = self._own.dew(np.array([coldest]))
            points = [(float(found.pressure_pa[0]), float(found.enthalpy_j_kg[0]))]
        points += [self._at(own, density_kg_m3)[:2] for own in np.linspace(coldest, self._hottest_k, _VAPOR)[1:]]
        return DiagramLine.through(points)

    def isentrope(self, entropy_j_kg_k: float, coldest_k: float = 0.0) -> DiagramLine:
        """Vapor of an entropy [J/(kg K)] up in temperature: from the dew line, or from the lowest pressure or a temperature.

        Ends where it meets the dew line from outside, as it does with long molecules.
        """
        start, end = self._superheated(entropy_j_kg_k, coldest_k)
        kelvin = np.linspace(max(float(self._temperature_k[0]), coldest_k), self._hottest_k, _ENTROPY)
        points: list[tuple[float, float]] = []
        log_density: float | None = None
        if start > kelvin[0]:
            log_density = self._add_dew(points, start)
        for temperature in map(float, kelvin[(kelvin >= start) & (kelvin < end)]):
            if log_density is None:
                at = np.array([min(temperature, self._own.warmest_k)])
                log_density = math.log(float(self._own.dew(at).density_kg_m3[0]))
            log_density = self._at_entropy(temperature, entropy_j_kg_k, log_density)
            points.append(self._at(temperature, math.exp(log_density))[:2])
            if points[-1][0] > 1.2 * self.high_pa:
                break
        if math.isfinite(end):
            self._add_dew(points, end)
        return DiagramLine.through(points)

    def compression(self, temperature_k: float, pressures_pa: tuple[float, float]) -> DiagramLine:
        """Isentropic from superheated vapor of a temperature [K] at the first pressure to the second [Pa]; NaN where it is wet."""
        first, last = pressures_pa
        state = self._own.vapor(np.array([temperature_k]), np.array([first]))
        density = float(state.density_kg_m3[0])
        line = self.isentrope(self._at(temperature_k, density)[2], temperature_k)
        pressure = np.geomspace(first, last, _VAPOR)
        known = np.interp(np.log(pressure), np.log(line.pressure_pa), line.enthalpy_j_kg, right=np.nan)
        return DiagramLine(pressure, known)

    def _temperatures(self, coldest_k: float) -> Floats:
        """From a temperature [K] to the top of the property table, close to each other where the dome bends."""
        critical_k = self._own.critical_temperature_k
        ends = math.sqrt(critical_k - coldest_k), math.sqrt(CRITICAL_MARGIN_K * (1.0 + 1e-9))
        return np.asarray(critical_k - np.linspace(*ends, _DOME) ** 2)

    def _dew_k(self, pressure_pa: float) -> float:
        lowest = float(self._own.dew(np.array([self._own.coldest_k])).pressure_pa[0])
        return float(self._own.dew_temperature(np.array([max(pressure_pa, lowest)]))[0])

    def _lowest_bubble_pa(self) -> float:
        return float(self._own.bubble(np.array([self._own.coldest_k])).pressure_pa[0])

    def _critical_enthalpy(self) -> float:
        """Enthalpy [J/kg] at the critical temperature and the density toward which those of both phases go in the mean."""
        own = self._own
        kelvin = own.warmest_k - np.array([0.0, CRITICAL_MARGIN_K])
        near, far = 0.5 * (own.bubble(kelvin).density_kg_m3 + own.dew(kelvin).density_kg_m3)
        return self._at(own.critical_temperature_k, 2.0 * float(near) - float(far))[1]

    def _closed(self, kelvin: Floats, pressure_pa: Floats, enthalpy_j_kg: Floats) -> DiagramLine:
        """A side of the dome, on to the critical point: ln p over T and h over sqrt(T_c - T) as parabolas."""
        own = self._own
        away = own.critical_temperature_k - kelvin
        # The last point of the table, and one about as far below it as it is from the critical point.
        last, other = away.size - 1, int(np.abs(away - 2.0 * away[-1]).argmin())
        rest = np.linspace(math.sqrt(float(away[-1])), 0.0, _TOP)[1:]
        roots = np.sqrt(np.array([0.0, away[last], away[other]]))
        logs = np.log(np.array([own.critical_pressure_pa, pressure_pa[last], pressure_pa[other]]))
        enthalpies = np.array([self.critical_enthalpy_j_kg, enthalpy_j_kg[last], enthalpy_j_kg[other]])
        return DiagramLine(
            np.concatenate([pressure_pa, np.exp(np.polyval(np.polyfit(roots**2, logs, 2), rest**2))]),
            np.concatenate([enthalpy_j_kg, np.polyval(np.polyfit(roots, enthalpies, 2), rest)]),
        )

    def _by_density(self, temperature_k: float, first: float, last: float, count: int) -> DiagramLine:
        """A temperature [K] from one density to another [kg/m3], as far as pressures are those of the diagram."""
        points = [self._at(temperature_k, own)[:2] for own in np.geomspace(first, last, count)]
        curve = DiagramLine.through(points)
        # One point beyond either end, so that the edge of the diagram cuts the line.
        inside = np.flatnonzero((curve.pressure_pa > self.low_pa) & (curve.pressure_pa < self.high_pa))
        if not inside.size:
            return DiagramLine.through([])
        part = slice(max(int(inside[0]) - 1, 0), int(inside[-1]) + 2)
        return DiagramLine(curve.pressure_pa[part], curve.enthalpy_j_kg[part])

    def _liquid_end(self, temperature_k: float, bubble: float) -> float:
        """A density of liquid [kg/m3] whose pressure is above the diagram's."""
        end, step = bubble, 0.002
        while self._at(temperature_k, end)[0] < self.high_pa and end < self._densest:
            end, step = bubble * (1.0 + step), 1.5 * step
        return end

    def _thinnest(self, temperature_k: float) -> float:
        """A density of gas [kg/m3] whose pressure is below the diagram's."""
        per_density = self._at(temperature_k, 1e-3)[0] / 1e-3
        return _THINNEST * self.low_pa / per_density

    def _superheated(self, entropy_j_kg_k: float, coldest_k: float) -> tuple[float, float]:
        """From which to which temperature [K] an entropy is that of superheated vapor, from the coldest on."""
        kelvin = self._temperature_k
        gap = self._own.dew_entropy(kelvin) - entropy_j_kg_k
        crossings = [
            (float(np.interp(0.0, *_ascending(gap[i : i + 2], kelvin[i : i + 2]))), bool(gap[i] > 0.0))
            for i in np.flatnonzero(gap[:-1] * gap[1:] < 0.0)
        ]
        later = [own for own in crossings if own[0] > coldest_k]
        leaving = [at for at, is_leaving in later if is_leaving]
        is_dry = float(np.interp(coldest_k, kelvin, gap)) <= 0.0
        # Dry from the beginning, or from where the line leaves the dome.
        start = max(coldest_k, float(kelvin[0])) if is_dry or not leaving else leaving[0]
        entering = [at for at, is_leaving in later if not is_leaving and at > start]
        if not is_dry and not leaving:
            # Inside the dome up to the critical point.
            return math.inf, math.inf
        return start, entering[0] if entering else math.inf

    def _add_dew(self, points: list[tuple[float, float]], temperature_k: float) -> float:
        """Add the dew point of a temperature [K]; the logarithm of its density."""
        found = self._own.dew(np.array([temperature_k]))
        points.append((float(found.pressure_pa[0]), float(found.enthalpy_j_kg[0])))
        return math.log(float(found.density_kg_m3[0]))

    def _at_entropy(self, temperature_k: float, entropy_j_kg_k: float, first: float) -> float:
        """ln of the density [kg/m3] at which a temperature [K] has an entropy."""

        def missed(log_density: float) -> float:
            return self._at(temperature_k, math.exp(log_density))[2] - entropy_j_kg_k

        a, b = first, first - _FIRST
        off_a, off_b = missed(a), missed(b)
        for _ in range(_STEPS):
            if abs(off_b) < _MET or off_a == off_b:
                break
            # Entropy falls as density grows; no step crosses more than one e-fold.
            following = b - max(-1.0, min(1.0, off_b * (b - a) / (off_b - off_a)))
            a, off_a = b, off_b
            b, off_b = following, missed(following)
        return b


def _ascending(first: Floats, second: Floats) -> tuple[Floats, Floats]:
    """Both in the order of the first."""
    order = np.argsort(first)
    return first[order], second[order]
