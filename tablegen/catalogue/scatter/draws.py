"""What scatters, by how much, and the quasi-random draws of it.

References
----------
I. M. Sobol', "On the distribution of points in a cube and the approximate evaluation of integrals", USSR Comput. Math.
Math. Phys. 7 (1967); A. B. Owen, "Scrambled Sobol and Niederreiter-Xing points", J. Complexity 14 (1998)
(not checked against the source).
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tablegen.catalogue.inputs import Family, Tolerance, Trim
from tablegen.catalogue.registry import PropertyUncertainty
from tablegen.physics.arrays import Floats

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
    PRESSURE = "pressure"
    DENSITY = "density"
    ENTHALPY = "enthalpy"
    SETTING_PRESSURE = "setting_pressure"


SOURCES_EXPLAINED: dict[Source, str] = {
    Source.KV: "flow coefficient",
    Source.STATIC_SUPERHEAT: "static superheat of the setting",
    Source.OPENING_SUPERHEAT: "spring gradient",
    Source.UNBALANCE: "unbalance of the port",
    Source.CHARGE_PRESSURE: "pressure of the bulb charge",
    Source.PRESSURE_RECOVERY: "pressure recovery (choking)",
    Source.PRESSURE: "saturation pressure of the refrigerant",
    Source.DENSITY: "liquid density of the refrigerant",
    Source.ENTHALPY: "enthalpies of the refrigerant",
    Source.SETTING_PRESSURE: "saturation pressure of the setting refrigerant",
}


@dataclass(frozen=True, slots=True)
class Scatter:
    """Standard deviations, in the unit of each value (shares of the value for charge, refrigerant and setting).

    That of Kv belongs to a size and is a share of it, so it is not here.
    """

    static_superheat_k: float
    opening_superheat_k: float
    unbalance: float
    charge_pressure: float
    pressure_recovery: float
    pressure: float
    density: float
    enthalpy: float
    setting_pressure: float


@dataclass(frozen=True, slots=True)
class Draws:
    """Standard normal draws by source, each an array (n,)."""

    by_source: dict[Source, Floats]

    def of(self, source: Source) -> Floats:
        """The draws of one source, (n,)."""
        return self.by_source[source]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.by_source[Source.KV])


def scatter_of(
    family: Family, trim: Trim, own: PropertyUncertainty, setting: PropertyUncertainty | None
) -> Scatter:
    """What a family with one trim scatters by on a refrigerant; `setting` is of the setting refrigerant, if another."""
    made = family.scatter
    return Scatter(
        static_superheat_k=deviation(trim.static_superheat_tolerance, made.static_superheat_k),
        opening_superheat_k=deviation(trim.opening_superheat_tolerance, made.opening_superheat_k),
        unbalance=deviation(family.unbalance_tolerance, made.unbalance),
        charge_pressure=deviation(trim.charge_pressure_tolerance, made.charge_pressure),
        pressure_recovery=deviation(family.pressure_recovery_tolerance, made.pressure_recovery),
        pressure=own.pressure / COVERAGE,
        density=own.density / COVERAGE,
        enthalpy=own.enthalpy / COVERAGE,
        setting_pressure=setting.pressure / COVERAGE if setting is not None else 0.0,
    )


@functools.cache
def normal_draws(count: int, seed: int) -> Draws:
    """Scrambled Sobol points as standard normal draws; `count` is a power of two, the seed gives the scrambling."""
    # Here, for loading it takes longer than a single answer may.
    from scipy.special import ndtri
    from scipy.stats import qmc

    points = qmc.Sobol(len(Source), scramble=True, rng=seed).random(count)
    # A point on the edge would be infinite.
    normal = ndtri(np.clip(points, 1e-12, 1.0 - 1e-12))
    return Draws({source: normal[:, i] for i, source in enumerate(Source)})


def single_draws(deviations: float) -> Draws:
    """Each source alone, first so many standard deviations down, then up; the last draw is the nominal one."""
    sources = list(Source)
    matrix = np.zeros((2 * len(sources) + 1, len(sources)))
    for i in range(len(sources)):
        matrix[2 * i, i], matrix[2 * i + 1, i] = -deviations, deviations
    return Draws({source: matrix[:, i] for i, source in enumerate(sources)})


def deviation(measured: Tolerance | None, made: float, per: float = 1.0) -> float:
    """Standard deviation of a value: how well it is measured, and how one valve differs from the next, in squares.

    `per` is what the measured one is a share of.
    """
    return math.hypot(0.0 if measured is None else measured.standard_deviation / per, made)
