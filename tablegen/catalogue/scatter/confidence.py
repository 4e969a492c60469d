"""Limits that hold at a stated one-sided confidence, what drives them, and how well the draws settle them.

The greatest load of a table is the one that the share P of valves and refrigerants, as they scatter, passes at every
head: the quantile 1 - P of the drawn greatest loads.  The least load is the quantile P of the drawn least ones.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tablegen.catalogue.inputs import Confidence, Family, Size, Trim
from tablegen.catalogue.registry import PropertyUncertainty
from tablegen.catalogue.scatter.draws import (
    Draws,
    Scatter,
    Source,
    deviation,
    normal_draws,
    scatter_of,
    single_draws,
)
from tablegen.catalogue.scatter.loads import DrawnLoads, drawn_element, drawn_loads
from tablegen.catalogue.scatter.system import Felt, Parabolas, parabolas
from tablegen.catalogue.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.windows import ElectronicActuator, ThermostaticActuator

# Sets of draws of which the spread of a limit says how well one set settles it.
REPLICATES = 5


@dataclass(frozen=True, slots=True)
class Uncertain:
    """What is known of refrigerants that scatter: uncertainties by name, and the setting refrigerants themselves."""

    uncertainty: Mapping[str, PropertyUncertainty]
    settings: Mapping[str, Refrigerant]


@dataclass(frozen=True, slots=True)
class ScatteredValve:
    """One family and trim on one refrigerant in one envelope, ready to be drawn."""

    family: Family
    trim: Trim
    solved: Solved
    scatter: Scatter
    states: tuple[Parabolas, ...]
    setting_refrigerant: Refrigerant | None

    def loads(self, draws: Draws, felt: Sequence[Felt] | None = None) -> DrawnLoads:
        """Loads for each m3/h of true Kv at every draw, the narrower of the suction responses that the envelope has.

        `felt` are the figures of the states at these draws, where they are known already.
        """
        actuator, element = self.trim.actuator, None
        assert isinstance(actuator, (ThermostaticActuator, ElectronicActuator))
        if isinstance(actuator, ThermostaticActuator):
            assert self.setting_refrigerant is not None
            is_own = self.trim.setting_refrigerant == self.solved.refrigerant.name
            element = drawn_element(self.trim, actuator, self.setting_refrigerant, is_own, self.scatter, draws)
        limits = self.solved.application.envelopes[self.solved.refrigerant.name].superheat
        # Both responses are states like any other: the narrower window is that over all of them.
        felt = [state.at(draws) for state in self.states] if felt is None else felt
        at = list(zip(self.states, felt, strict=True))
        return drawn_loads(self.family, actuator, element, at, limits, self.scatter, draws)


def system_of(known: Uncertain, solved: Solved) -> tuple[Parabolas, ...]:
    """What every family has in common: the states of a refrigerant in an envelope, and how its properties move them."""
    own = known.uncertainty[solved.refrigerant.name]
    return parabolas(solved.refrigerant, solved.application, solved.states, solved.rated, own)


def scattered_valve(
    known: Uncertain, family: Family, trim: Trim, solved: Solved, system: tuple[Parabolas, ...]
) -> ScatteredValve:
    """A valve with what it scatters by; `system` is that of `system_of`."""
    name, other = solved.refrigerant.name, trim.setting_refrigerant
    setting = known.uncertainty.get(other) if other and other != name else None
    scatter = scatter_of(family, trim, known.uncertainty[name], setting)
    return ScatteredValve(family, trim, solved, scatter, system, known.settings.get(other))


@dataclass(frozen=True, slots=True)
class Limits:
    """Loads [W for each m3/h of rated Kv] along the suction grid."""

    least: Floats
    greatest: Floats


def at_confidence(loads: DrawnLoads, draws: Draws, kv_deviation: float, level: float) -> Limits:
    """One-sided limits at a confidence [1]; `kv_deviation` is the standard deviation of Kv as a share of it.

    Quantiles are those of a draw, not between two: towards the narrower window.
    """
    kv = np.maximum(1.0 + kv_deviation * draws.of(Source.KV)[:, None], 0.0)
    return Limits(
        np.quantile(loads.least * kv, level, axis=0, method="higher"),
        np.quantile(loads.greatest * kv, 1.0 - level, axis=0, method="lower"),
    )


def confident_limits(
    valve: ScatteredValve, confidence: Confidence, felt: Sequence[Felt] | None = None
) -> dict[str, Limits]:
    """Limits of each size, by its name; what a size scatters by of its own is its Kv alone."""
    draws = normal_draws(confidence.samples, confidence.seed)
    loads = valve.loads(draws, felt)
    shares = {size.name: kv_share(valve.family, size) for size in valve.family.sizes}
    # Many sizes scatter by the same share, and then have the same limits for each Kv.
    by_share = {share: at_confidence(loads, draws, share, confidence.level) for share in dict.fromkeys(shares.values())}
    return {name: by_share[share] for name, share in shares.items()}


def kv_share(family: Family, size: Size) -> float:
    """Standard deviation of a size's Kv as a share of it."""
    return deviation(size.kv_tolerance, family.scatter.kv, per=size.kv_rated_m3h)


@dataclass(frozen=True, slots=True)
class Driver:
    """What one source alone does to a limit: the limit with the source at either end, over the nominal limit [1]."""

    source: Source
    is_greatest: bool
    at_low: float
    at_high: float


def drivers(valve: ScatteredValve, kv_deviation: float, level: float, row: int) -> list[Driver]:
    """Each source alone at the one-sided confidence, at one suction temperature; those without effect are left out."""
    from scipy.special import ndtri

    draws = single_draws(float(ndtri(level)))
    loads = valve.loads(draws)
    kv = 1.0 + kv_deviation * draws.of(Source.KV)
    found = []
    for is_greatest, side in ((False, loads.least), (True, loads.greatest)):
        relative = side[:, row] * kv / side[-1, row]
        for i, source in enumerate(Source):
            low, high = float(relative[2 * i]), float(relative[2 * i + 1])
            if abs(low - 1.0) > 1e-9 or abs(high - 1.0) > 1e-9:
                found.append(Driver(source, is_greatest, low, high))
    return found


def unsettled(valve: ScatteredValve, confidence: Confidence, kv_deviation: float, row: int) -> tuple[float, float]:
    """How far least and greatest limit spread from one set of draws to another: standard deviation as a share [1]."""
    found = []
    for offset in range(REPLICATES):
        draws = normal_draws(confidence.samples, confidence.seed + offset)
        limits = at_confidence(valve.loads(draws), draws, kv_deviation, confidence.level)
        found.append((limits.least[row], limits.greatest[row]))
    values = np.array(found)
    with np.errstate(invalid="ignore"):
        spread = values.std(axis=0, ddof=1) / values.mean(axis=0)
    return float(spread[0]), float(spread[1])
