"""What scatters, by how much, and the quasi-random draws of it.

References
----------
I. M. Sobol', "On the distribution of points in a cube and the approximate evaluation of integrals", USSR Comput. Math.
Math. Phys. 7 (1967); A. B. Owen, "Scrambled Sobol and Niederreiter-Xing points", J. Complexity 14 (1998)
(not checked against the source).
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias

import numpy as np

from tablegen.confidence.sobol import scrambled_points
from tablegen.model.inputs import Family, PowerElement, Size
from tablegen.model.registry import PropertyUncertainty
from tablegen.model.scatter import InstallationScatter, Tolerance
from tablegen.physics.arrays import Bools, Floats

# A stated uncertainty is taken as a two-sided bound of two standard deviations (assumption).
COVERAGE = 2.0


class Source(StrEnum):
    """One thing that scatters, independently of the others."""

    KV = "kv"
    STATIC_SUPERHEAT = "static_superheat"
    OPENING_SUPERHEAT = "opening_superheat"
    UNBALANCE = "unbalance"
    CHARGE_PRESSURE = "charge_pressure"
    PRESSURE_RECOVERY = "pressure_recovery"

    LOW_HEAD = "low_head"
    HIGH_HEAD = "high_head"
    INLET_SUBCOOLING = "inlet_subcooling"
    LIQUID_LINE = "liquid_line"
    DISTRIBUTOR = "distributor"
    FLOW_CHANGE = "flow_change"
    CONDUCTANCE_RATIO = "conductance_ratio"
    DRYOUT_DELAY = "dryout_delay"

    PRESSURE = "pressure"
    DENSITY = "density"
    ENTHALPY = "enthalpy"
    SETTING_PRESSURE = "setting_pressure"
    KV_MEASURED = "kv_measured"
    STATIC_SUPERHEAT_MEASURED = "static_superheat_measured"
    OPENING_SUPERHEAT_MEASURED = "opening_superheat_measured"
    UNBALANCE_MEASURED = "unbalance_measured"
    CHARGE_PRESSURE_MEASURED = "charge_pressure_measured"
    PRESSURE_RECOVERY_MEASURED = "pressure_recovery_measured"

    @property
    def is_shared(self) -> bool:
        """Whether it is off by the same amount for all valves alike, not from one valve or installation to the next."""
        return self in SHARED


SHARED = (
    Source.PRESSURE,
    Source.DENSITY,
    Source.ENTHALPY,
    Source.SETTING_PRESSURE,
    Source.KV_MEASURED,
    Source.STATIC_SUPERHEAT_MEASURED,
    Source.OPENING_SUPERHEAT_MEASURED,
    Source.UNBALANCE_MEASURED,
    Source.CHARGE_PRESSURE_MEASURED,
    Source.PRESSURE_RECOVERY_MEASURED,
)
# From one valve, or one installation, to the next.
INSTALLED = tuple(source for source in Source if source not in SHARED)
# What changes the states of a system, whatever valve is in it.
OF_SYSTEM = (
    Source.PRESSURE,
    Source.DENSITY,
    Source.ENTHALPY,
    Source.LOW_HEAD,
    Source.HIGH_HEAD,
    Source.INLET_SUBCOOLING,
    Source.LIQUID_LINE,
    Source.DISTRIBUTOR,
    Source.FLOW_CHANGE,
    Source.CONDUCTANCE_RATIO,
    Source.DRYOUT_DELAY,
)

# Standard deviations of the sources that scatter, in the unit of each value: shares of the value for Kv, charge,
# properties and compressor flow; heads in Pa or K, as they are given.
Scatter: TypeAlias = Mapping[Source, float]


@dataclass(frozen=True, slots=True)
class Terms:
    """What the slopes and curvatures of sources are multiplied by: their draws, then the squares, (draws, 2 sources)."""

    values: Floats
    is_drawn: Bools
    _chosen: dict[bytes, Floats] = field(default_factory=dict)

    def of(self, some: Bools) -> Floats:
        """Some of the columns: many figures are moved by the same sources."""
        key = some.tobytes()
        if key not in self._chosen:
            self._chosen[key] = self.values[:, np.flatnonzero(some)]
        return self._chosen[key]


@dataclass(frozen=True, slots=True)
class Draws:
    """Standard normal draws by source, each an array (count,); a source without any stays at its nominal value.

    What differs along the suction grid is in `along`, arrays (1 or draws, suction temperatures).
    """

    count: int
    by_source: Mapping[Source, Floats]
    along: Mapping[Source, Floats] = field(default_factory=dict)
    _terms: dict[tuple[Source, ...], Terms] = field(default_factory=dict, repr=False)

    def of(self, source: Source) -> Floats:
        """The draws of one source, (count,)."""
        return self.by_source[source] if source in self.by_source else np.zeros(self.count)

    def terms(self, sources: tuple[Source, ...]) -> Terms:
        """The terms of some sources, those along the suction grid left out."""
        if sources not in self._terms:
            one = np.zeros((self.count, len(sources)))
            for i, source in enumerate(sources):
                one[:, i] = self.of(source)
            values = np.concatenate([one, one**2], axis=1)
            self._terms[sources] = Terms(values, np.any(values, axis=0))
        return self._terms[sources]

    def off(self, scatter: Scatter, *sources: Source) -> Floats:
        """How far some sources together move a value, (draws, suction temperatures) or 1 in place of either."""
        total = np.zeros((1, 1))
        for source in sources:
            if scatter.get(source):
                own = self.along[source] if source in self.along else self.of(source)[:, None]
                total = total + scatter[source] * own
        return total


def scatter_of(
    family: Family,
    element: PowerElement,
    own: PropertyUncertainty,
    setting: PropertyUncertainty | None,
    installation: InstallationScatter,
) -> Scatter:
    """What a family with one power element scatters by on a refrigerant; `setting` is of the setting refrigerant, if another.

    How well a size's Kv is measured belongs to the size and is left out.
    """
    made = family.scatter
    found = {
        Source.KV: made.kv,
        Source.STATIC_SUPERHEAT: made.setting_k,
        Source.OPENING_SUPERHEAT: made.opening_superheat_k,
        Source.UNBALANCE: made.unbalance,
        Source.CHARGE_PRESSURE: made.charge_pressure,
        Source.PRESSURE_RECOVERY: made.pressure_recovery,
        Source.SETTING_PRESSURE: setting.pressure / COVERAGE if setting is not None else 0.0,
        Source.STATIC_SUPERHEAT_MEASURED: _measured(element.static_superheat_tolerance),
        Source.OPENING_SUPERHEAT_MEASURED: _measured(element.opening_superheat_tolerance),
        Source.UNBALANCE_MEASURED: _measured(family.unbalance_tolerance),
        Source.CHARGE_PRESSURE_MEASURED: _measured(element.charge_pressure_tolerance),
        Source.PRESSURE_RECOVERY_MEASURED: _measured(family.pressure_recovery_tolerance),
    }
    found = {source: deviation for source, deviation in found.items() if deviation > 0.0}
    return found | system_scatter(own, installation)


def system_scatter(own: PropertyUncertainty, installation: InstallationScatter) -> dict[Source, float]:
    """What the states of a system scatter by, whatever valve is in it."""
    found = {
        Source.PRESSURE: own.pressure / COVERAGE,
        Source.DENSITY: own.density / COVERAGE,
        Source.ENTHALPY: own.enthalpy / COVERAGE,
        Source.LOW_HEAD: installation.low_head_pa or installation.low_head_k,
        Source.HIGH_HEAD: installation.high_head_pa or installation.high_head_k,
        Source.INLET_SUBCOOLING: installation.inlet_subcooling_k,
        Source.LIQUID_LINE: installation.liquid_line_pa,
        Source.DISTRIBUTOR: installation.distributor_pa,
        Source.FLOW_CHANGE: installation.flow_change,
        Source.CONDUCTANCE_RATIO: installation.conductance_ratio,
        Source.DRYOUT_DELAY: installation.dryout_delay,
    }
    return {source: deviation for source, deviation in found.items() if deviation > 0.0}


def kv_measured(size: Size) -> float:
    """How well a size's Kv is known: a standard deviation as a share of it, the same for all its valves."""
    return _measured(size.kv_tolerance) / size.kv_rated_m3h


def _measured(tolerance: Tolerance | None) -> float:
    return 0.0 if tolerance is None else tolerance.standard_deviation


@functools.cache
def normal_draws(count: int, seed: int, sources: tuple[Source, ...]) -> Draws:
    """Scrambled Sobol points as standard normal draws; `count` is a power of two, the seed gives the scrambling."""
    # Here, for loading it takes longer than a single answer may.
    from scipy.special import ndtri

    points = scrambled_points(count, seed, len(sources))
    # A point on the edge would be infinite.
    normal = ndtri(np.clip(points, 1e-12, 1.0 - 1e-12))
    return Draws(count, {source: np.ascontiguousarray(normal[:, i]) for i, source in enumerate(sources)})


def repeated_draws(draws: Draws, times: int, along: Mapping[Source, Floats]) -> Draws:
    """The same draws several times, one below the other, with what differs along the suction grid."""
    again = {source: np.tile(values, times) for source, values in draws.by_source.items()}
    return Draws(times * draws.count, again, along)


def single_draws(deviations: Mapping[Source, float]) -> Draws:
    """Each source alone, first so many standard deviations down, then up; the last draw is the nominal one."""
    count = 2 * len(deviations) + 1
    values = {source: np.zeros(count) for source in deviations}
    for i, (source, far) in enumerate(deviations.items()):
        values[source][2 * i : 2 * i + 2] = -far, far
    return Draws(count, values)


def joined_draws(parts: Iterable[Draws]) -> Draws:
    """Several draws, one below the other."""
    parts = list(parts)
    sources = dict.fromkeys(source for part in parts for source in part.by_source)
    values = {source: np.concatenate([part.of(source) for part in parts]) for source in sources}
    return Draws(sum(part.count for part in parts), values)
