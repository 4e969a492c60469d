"""Which lines a refrigerant's pressure-enthalpy chart has: round values in the reader's units, and the range of its axes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.physics.pressure_enthalpy_lines import DiagramLine, PressureEnthalpyLines, StateAt
from tablegen.physics.refrigerants import HeatZero, Refrigerant, heat_zero
from tablegen.report.rounding import decimals
from tablegen.unit_table import Unit
from tablegen.units import print_unit

TEMPERATURE, ENTROPY, DENSITY, QUALITY = "temperature", "entropy", "density", "quality"
# The chart begins at the dew pressure of this temperature [K] and ends at this multiple of the critical pressure.
_COLDEST_K, _TOP = 223.15, 1.6
# Superheated vapor goes on by this share of the dome's width, in steps [K].
_BESIDE, _STEP_K, _MOST_STEPS = 0.35, 5.0, 80
# Lines of a kind, at most; steps of temperature and entropy in printed units.
_MOST_TEMPERATURES, _MOST_ENTROPIES, _MOST_DENSITIES = 24, 11, 12
_TEMPERATURE_STEPS = {"SI": (10.0, 20.0, 50.0), "IP": (20.0, 40.0, 100.0)}
_ENTROPY_STEPS = {"SI": (0.05, 0.1, 0.2, 0.5, 1.0), "IP": (0.01, 0.02, 0.05, 0.1, 0.2)}
_DENSITY_STEPS = ((1.0, 2.0, 5.0), (1.0, 3.0))
_QUALITIES = tuple(round(0.1 * i, 1) for i in range(1, 10))


@dataclass(frozen=True, slots=True)
class ChartLine:
    """A line of constant temperature, entropy, density or quality: its value in SI and in print, and its parts."""

    kind: str
    value_si: float
    text: str
    parts: tuple[DiagramLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefrigerantChart:
    """A chart of one refrigerant: dome, lines, ranges of pressure [Pa] and of enthalpy [J/kg], and what prints as zero."""

    bubble: DiagramLine
    dew: DiagramLine
    lines: tuple[ChartLine, ...]
    pressures_pa: tuple[float, float]
    enthalpies_j_kg: tuple[float, float]
    zero: HeatZero
    critical_temperature_k: float
    is_blend: bool

    def of_kind(self, kind: str) -> list[ChartLine]:
        """The lines of a kind."""
        return [line for line in self.lines if line.kind == kind]


def chart_of(refrigerant: Refrigerant, state_at: StateAt, system: str, is_blank: bool = False) -> RefrigerantChart:
    """The chart of a refrigerant with round values in a unit system; a blank one has the dome alone.

    `state_at` gives states of one phase, such as `equation_of_state.SinglePhase.at`.
    """
    low, high = _pressures(refrigerant)
    liquid = float(
        refrigerant.bubble(refrigerant.bubble_temperature(np.array([max(low, _lowest(refrigerant))]))).enthalpy_j_kg[0]
    )
    dew = refrigerant.dew(
        np.linspace(float(refrigerant.dew_temperature(np.array([low]))[0]), refrigerant.warmest_k, 60)
    )
    right = float(dew.enthalpy_j_kg.max())
    right += _BESIDE * (right - liquid)
    hottest = _hottest(refrigerant, state_at, low, right)
    lines = PressureEnthalpyLines(refrigerant, state_at, (low, high), hottest)
    zero = heat_zero(refrigerant, is_us=system == "IP")
    return RefrigerantChart(
        bubble=lines.bubble(),
        dew=lines.dew(),
        lines=() if is_blank else tuple(_lines(refrigerant, lines, zero, system, hottest)),
        pressures_pa=(low, high),
        enthalpies_j_kg=(liquid - 0.06 * (right - liquid), right),
        zero=zero,
        critical_temperature_k=refrigerant.critical_temperature_k,
        is_blend=len(refrigerant.definition.components) > 1,
    )


def _pressures(refrigerant: Refrigerant) -> tuple[float, float]:
    coldest = max(refrigerant.coldest_k, _COLDEST_K)
    return float(refrigerant.dew(np.array([coldest])).pressure_pa[0]), _TOP * refrigerant.critical_pressure_pa


def _lowest(refrigerant: Refrigerant) -> float:
    return float(refrigerant.bubble(np.array([refrigerant.coldest_k])).pressure_pa[0])


def _hottest(refrigerant: Refrigerant, state_at: StateAt, low_pa: float, right_j_kg: float) -> float:
    """The temperature [K] of thin vapor at the right edge."""
    density = float(refrigerant.dew(refrigerant.dew_temperature(np.array([low_pa]))).density_kg_m3[0])
    kelvin = refrigerant.critical_temperature_k
    for _ in range(_MOST_STEPS):
        if state_at(kelvin, density)[1] >= right_j_kg:
            break
        kelvin += _STEP_K
    # Dense vapor at the right edge is hotter than thin vapor.
    return kelvin + 0.4 * (kelvin - refrigerant.coldest_k)


def _lines(
    refrigerant: Refrigerant, lines: PressureEnthalpyLines, zero: HeatZero, system: str, hottest_k: float
) -> Iterator[ChartLine]:
    for share in _QUALITIES:
        yield ChartLine(QUALITY, share, decimals(share, 1), (lines.quality(share),))
    temperature = print_unit("temperature", system)
    coldest = max(refrigerant.coldest_k, _COLDEST_K - 15.0)
    for value in _steps(temperature, (coldest, hottest_k), _TEMPERATURE_STEPS[system], _MOST_TEMPERATURES):
        parts = lines.isotherm(temperature.to_si(value))
        if parts:
            yield ChartLine(TEMPERATURE, temperature.to_si(value), decimals(value, 0), parts)
    entropy = print_unit("entropy", system)
    kelvin = np.linspace(max(refrigerant.coldest_k, _COLDEST_K), refrigerant.warmest_k, 60)
    dew = refrigerant.dew_entropy(kelvin) - zero.entropy_j_kg_k
    hot = float(dew.max()) + 0.35 * float(dew.max() - (refrigerant.bubble_entropy(kelvin)[0] - zero.entropy_j_kg_k))
    for value in _steps(entropy, (float(dew.min()), hot), _ENTROPY_STEPS[system], _MOST_ENTROPIES):
        line = lines.isentrope(entropy.to_si(value) + zero.entropy_j_kg_k)
        if line.pressure_pa.size > 1:
            yield ChartLine(ENTROPY, entropy.to_si(value), f"{value:.4g}", (line,))
    density = print_unit("density", system)
    ends = refrigerant.dew(np.array([kelvin[0], refrigerant.warmest_k])).density_kg_m3
    for value in _powers(density.of(0.3 * float(ends[0])), density.of(0.6 * float(ends[1]))):
        line = lines.isochore(density.to_si(value))
        yield ChartLine(DENSITY, density.to_si(value), f"{value:g}", (line,))


def _steps(unit: Unit, ends_si: tuple[float, float], steps: Sequence[float], most: int) -> list[float]:
    """Round values in a unit between two ends, no more than so many."""
    low, high = (unit.of(end) for end in ends_si)
    step = next((own for own in steps if (high - low) / own <= most), steps[-1])
    return [step * i for i in range(math.ceil(low / step), math.floor(high / step) + 1)]


def _powers(low: float, high: float) -> list[float]:
    """Round values on a scale of powers, no more than fit beside each other."""
    found: list[float] = []
    for steps in _DENSITY_STEPS:
        powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
        found = [own for power in powers for step in steps if low <= (own := float(f"{step:g}e{power}")) <= high]
        if len(found) <= _MOST_DENSITIES:
            break
    return found
