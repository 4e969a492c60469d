"""Load limits at confidence: for a share of the valves installed, with a confidence in what all of them share.

Two kinds of uncertainty are treated apart.  Valves differ from one to the next, and so do installations; of many, a
share P meets a limit.  Shared sources are off by the same amount for all of them: the refrigerant's properties, and how
well a family's own figures are measured; no number of valves averages them out.  With a the draws of one valve and
installation and e those of the shared sources, the limit for the share P is a quantile over a that still depends on e,
and the limit at confidence G is a quantile of it over e:

    q(e) = quantile over a, at 1 - P, of Q_max(a, e)          Q_max,conf = quantile over e, at 1 - G, of q(e)

so that, with the confidence G, at least the share P of the valves installed covers the load.  The minimum load is
treated likewise, at P and G.  Each limit is one-sided and taken by itself.

q(0) is taken over all draws of a.  With fewer of them q is taken again at two standard deviations below and above each
shared source, which gives the direction in e that narrows the window most, and then once more at the distance along it
that is not exceeded with the confidence G.  That is the quantile over e where q falls along that direction, linearly or
not, and is constant across it (the design point of a first-order reliability method; an assumption).  A test compares
the limits with a brute-force Monte Carlo in two nested loops that uses none of this.

References
----------
ISO 16269-6, "Statistical interpretation of data - Part 6: Determination of statistical tolerance intervals": a share
of a population, covered with a confidence (not checked against the source).
S. Kaplan, B. J. Garrick, "On the quantitative definition of risk", Risk Analysis 1 (1981): a frequency among many
cases, itself known with a probability only (not checked against the source).
A. M. Hasofer, N. C. Lind, "Exact and invariant second-moment code format", J. Eng. Mech. Div. ASCE 100 (1974): the
design point (not checked against the source).
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from tablegen.confidence.drawn_loads import DrawnLoads, ScatteredValve, Uncertainties, scattered_valve, system_of
from tablegen.confidence.drawn_states import NODE, DrawnState, StateResponse
from tablegen.confidence.draws import (
    INSTALLED,
    Draws,
    Source,
    joined_draws,
    kv_measured,
    normal_draws,
    repeated_draws,
    single_draws,
)
from tablegen.model.inputs import Catalogue, Confidence, Family, PowerElement
from tablegen.model.solving import Solved
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.reasons import Reason
from tablegen.physics.windows import Window

# Sets of draws; the spread of a limit between them shows how well one set determines it.
REPLICATES = 5
# Draws of valves and installations that show how shared sources move their quantile: a share of all, and a minimum.
_FEW_SHARE, _FEW = 0.25, 256


@dataclass(frozen=True, slots=True)
class LoadLimits:
    """Minimum and maximum load [W for each m3/h of rated Kv] along the suction grid; infinity and zero for none."""

    min_load: Floats
    max_load: Floats


@dataclass(frozen=True, slots=True)
class LimitsAtConfidence:
    """Limits for a share of the valves installed.

    Attributes
    ----------
    confident : LoadLimits
        At the confidence.
    stated : LoadLimits
        With the shared figures as stated.
    better : LoadLimits or None
        With the shared figures as far off the other way; None where it was not asked for.
    """

    confident: LoadLimits
    stated: LoadLimits
    better: LoadLimits | None = None


# As many as valves of one catalogue alternate between.
@functools.lru_cache(maxsize=4)
def two_level_draws(samples: int, seed: int, shared: tuple[Source, ...]) -> Draws:
    """All draws of valves and installations, then a few again with each shared source at either end.

    The first points of a Sobol set are a Sobol set themselves.
    """
    few, parts = few_draws(samples, seed), [normal_draws(samples, seed, INSTALLED)]
    for source in shared:
        parts += [Draws(few.count, {**few.by_source, source: np.full(few.count, end)}) for end in (-NODE, NODE)]
    return joined_draws(parts)


@functools.cache
def few_draws(samples: int, seed: int) -> Draws:
    """The few draws of valves and installations that show how shared sources move their quantile."""
    few, own = _few(samples), normal_draws(samples, seed, INSTALLED).by_source
    return Draws(few, {source: values[:few] for source, values in own.items()})


def _few(samples: int) -> int:
    return max(min(samples, _FEW), int(_FEW_SHARE * samples))


def confident_limits(
    valve: ScatteredValve,
    confidence: Confidence,
    states: tuple[DrawnState, ...] | None = None,
    with_better: bool = False,
) -> dict[str, LimitsAtConfidence]:
    """Limits of each size for each m3/h of rated Kv.

    Parameters
    ----------
    valve : ScatteredValve
    confidence : Confidence
        Share of valves, confidence, and how many draws.
    states : tuple of DrawnState, optional
        The states at `two_level_draws`, where they are known already.
    with_better : bool
        Whether to compute `LimitsAtConfidence.better` too.

    Returns
    -------
    dict
        By the name of the size; [W for each m3/h].
    """
    loads = valve.loads(two_level_draws(confidence.samples, confidence.seed, valve.shared), states)
    values = _lower_is_narrower(loads)
    stated = _quantile(values[:, : confidence.samples], confidence.share, "lower")
    base, direction = _worst_direction(values, valve.shared, confidence)
    ends = np.stack([direction, -direction] if with_better else [direction])
    moved = _lower_is_narrower(valve.loads(_shifted_draws(confidence, valve.shared, ends)))
    # Of either limit what its own direction gives: arrays (signs, limits, suction temperatures).
    found = _quantile(moved.reshape(2, *ends.shape[:2], -1, moved.shape[-1]), confidence.share)
    ratios = _ratio(np.stack([found[0, :, 0], found[1, :, 1]], axis=1), base)
    shares = {size.name: kv_measured(size) for size in valve.family.sizes}
    # Many sizes are measured equally well, and then have the same limits for each m3/h of Kv.
    by_share = {share: _shifted_limits(stated, ratios, confidence, share) for share in set(shares.values())}
    return {name: by_share[share] for name, share in shares.items()}


def _lower_is_narrower(loads: DrawnLoads) -> Floats:
    """Both limits in a form in which a lower value is narrower and zero is none: minimum loads by their inverse.

    An array (limits, draws, suction temperatures).
    """
    with np.errstate(divide="ignore"):
        return np.stack([1.0 / loads.min_load, loads.max_load])


def _quantile(values: Floats, share: float, method: Literal["lower", "linear"] = "linear") -> Floats:
    """What a share of the draws reaches; `lower` takes the value of a draw, toward the narrower window."""
    with np.errstate(invalid="ignore"):
        return np.asarray(np.quantile(values, 1.0 - share, axis=-2, method=method))


def _ratio(value: Floats, base: Floats) -> Floats:
    """One quantile over another of the same few draws; zero where too many of them cover no load."""
    with np.errstate(invalid="ignore", divide="ignore"):
        found = np.where(base > 0.0, value / base, 0.0)
    # A minimum load of zero has an infinite inverse, which no source shifts.
    return np.where(np.isnan(found), 1.0, found)


def _worst_direction(values: Floats, shared: tuple[Source, ...], confidence: Confidence) -> tuple[Floats, Floats]:
    """The quantile of the few draws, and the direction in which shared sources narrow it most.

    The direction, (limits, sources, suction temperatures), has length 1, or 0 where no source moves the limit.
    """
    few, temperatures = _few(confidence.samples), values.shape[-1]
    base = _quantile(values[:, :few], confidence.share)
    ends = values[:, confidence.samples :].reshape(2, len(shared), 2, few, temperatures)
    ratios = _ratio(_quantile(ends, confidence.share), base[:, None, None])
    low, high = ratios[..., 0, :], ratios[..., 1, :]
    pulls = np.where(high <= low, np.maximum(1.0 - high, 0.0), -np.maximum(1.0 - low, 0.0))
    length = np.sqrt((pulls**2).sum(axis=-2, keepdims=True))
    return base, np.where(length > 0.0, pulls / np.where(length > 0.0, length, 1.0), 0.0)


def _shifted_draws(confidence: Confidence, shared: tuple[Source, ...], direction: Floats) -> Draws:
    """The few draws of valves and installations, with shared sources off along each direction, to the confidence."""
    from scipy.special import ndtri

    *cases, _, temperatures = direction.shape
    few = few_draws(confidence.samples, confidence.seed)
    far = float(ndtri(confidence.level)) * direction
    along = {
        source: np.repeat(far[..., i, :].reshape(-1, temperatures), few.count, axis=0)
        for i, source in enumerate(shared)
    }
    return repeated_draws(few, math.prod(cases), along)


def _shifted_limits(stated: Floats, shifts: Floats, confidence: Confidence, kv_share: float) -> LimitsAtConfidence:
    """Limits with the shifts, (signs, limits, suction temperatures); a measured Kv, `kv_share`, adds in squares."""
    from scipy.special import ndtri

    own = float(ndtri(confidence.level)) * kv_share
    found = [stated]
    for sign, ratios in zip((-1.0, 1.0), shifts, strict=False):
        moved = np.maximum(sign * (ratios - 1.0), 0.0)
        found.append(stated * np.maximum(1.0 + sign * np.hypot(moved, own), 0.0))
    with np.errstate(divide="ignore"):
        as_stated, confident, *better = (LoadLimits(1.0 / inverse, load) for inverse, load in found)
    return LimitsAtConfidence(confident, as_stated, *better)


@dataclass(slots=True)
class Scattered:
    """The scatter that a catalogue states; states are solved once for all families."""

    confidence: Confidence
    uncertainties: Uncertainties
    _systems: dict[int, tuple[Solved, tuple[StateResponse, ...]]] = field(default_factory=dict)
    # States at the draws, by the shared sources of a valve, only of the system last asked for: they take memory.
    _drawn: tuple[Solved, dict[tuple[tuple[Source, ...], float], tuple[DrawnState, ...]]] | None = None

    @property
    def is_printed(self) -> bool:
        """Whether the tables print limits at the confidence."""
        return self.confidence.is_printed

    def __reduce__(self) -> tuple[type[Scattered], tuple[Confidence, Uncertainties]]:
        # What is solved once for all families is large and quickly computed again: it is not sent to another process.
        return Scattered, (self.confidence, self.uncertainties)

    def about(self, refrigerant: str, families: Iterable[Family]) -> tuple[Confidence, Uncertainties]:
        """The part of it that changes the limits of some families on a refrigerant."""
        names = {refrigerant, *(element.setting_refrigerant for family in families for element in family.elements)}
        uncertainties = self.uncertainties
        return self.confidence, Uncertainties(
            {name: uncertainties.properties[name] for name in sorted(names) if name in uncertainties.properties},
            {name: uncertainties.settings[name] for name in sorted(names) if name in uncertainties.settings},
        )

    def valve(self, family: Family, solved: Solved, fitted: PowerElement | None = None) -> ScatteredValve | None:
        """A family on a refrigerant, ready to be drawn; None where it has no charge for it.

        `fitted` is the power element of an existing valve, as in `unit_window`.
        """
        element = fitted or family.element_for(solved.refrigerant.name, solved.application.temperature_range)
        if element is None:
            return None
        # By identity, and stored with it, so that no other object gets the same identity.
        if id(solved) not in self._systems:
            self._systems[id(solved)] = solved, system_of(self.uncertainties, solved)
        return scattered_valve(self.uncertainties, family, element, solved, self._systems[id(solved)][1])

    def limits(self, family: Family, solved: Solved, fitted: PowerElement | None = None) -> Mapping[str, LoadLimits]:
        """The limits at confidence by size, for each m3/h of rated Kv; empty where the family has no charge."""
        valve = self.valve(family, solved, fitted)
        if valve is None:
            return {}
        found = confident_limits(valve, self.confidence, self._states_at_draws(valve))
        return {name: limits.confident for name, limits in found.items()}

    def _states_at_draws(self, valve: ScatteredValve) -> tuple[DrawnState, ...]:
        """The states at the draws of the confidence."""
        # Read once: another thread may replace the system meanwhile.
        last = self._drawn
        if last is None or last[0] is not valve.solved:
            last = self._drawn = valve.solved, {}
        key = valve.shared, valve.element.actuator.open_share
        if key not in last[1]:
            draws = two_level_draws(self.confidence.samples, self.confidence.seed, valve.shared)
            last[1][key] = valve.states_at(draws)
        return last[1][key]


def scattered_in(catalogue: Catalogue) -> Scattered | None:
    """The scatter that a catalogue states; None where it states none."""
    if catalogue.confidence is None:
        return None
    return Scattered(catalogue.confidence, Uncertainties(catalogue.uncertainty, catalogue.settings))


def printed_window(unit: Window, limits: LoadLimits | None, is_confident: bool) -> Window:
    """The window for each m3/h of rated Kv that a table prints: nominal, or narrowed to its limits at confidence.

    Where these cross, or a draw in the tail covers no load at all, the window is empty by `Reason.CONFIDENCE`.
    """
    if limits is None or not is_confident:
        return unit
    is_open = unit.is_open & (limits.min_load < limits.max_load)
    lost = unit.is_open & ~is_open
    return replace(
        unit,
        min_load_w=np.where(is_open, limits.min_load, np.nan),
        max_load_w=np.where(is_open, limits.max_load, np.nan),
        min_reason=_where(lost, unit.min_reason),
        max_reason=_where(lost, unit.max_reason),
    )


def _where(lost: Bools, reasons: Names) -> Names:
    found = reasons.copy()
    found[lost] = Reason.CONFIDENCE
    return found


@dataclass(frozen=True, slots=True)
class Driver:
    """What one source alone does to a limit: the limit with the source at either end, over the nominal limit [1]."""

    source: Source
    is_max: bool
    at_low: float
    at_high: float


def drivers(valve: ScatteredValve, kv_share: float, confidence: Confidence) -> list[Driver]:
    """Each source alone, as far off as its own level, for a valve at one suction temperature (see `at_row`).

    The level is the share of valves for a source that differs between them, the confidence for a shared one.  Sources
    without effect are left out.

    Parameters
    ----------
    valve : ScatteredValve
    kv_share : float
        Standard deviation of the measured Kv, over Kv [1].
    confidence : Confidence
    """
    from scipy.special import ndtri

    valve = replace(valve, scatter={**valve.scatter, **({Source.KV_MEASURED: kv_share} if kv_share else {})})
    far = {s: float(ndtri(confidence.level if s.is_shared else confidence.share)) for s in Source if s in valve.scatter}
    draws = single_draws(far)
    own = valve.loads(draws)
    kv = 1.0 + draws.off(valve.scatter, Source.KV_MEASURED)
    found = []
    for is_max, side in ((False, own.min_load * kv), (True, own.max_load * kv)):
        relative = side[:, 0] / side[-1, 0]
        for i, source in enumerate(far):
            low, high = float(relative[2 * i]), float(relative[2 * i + 1])
            if abs(low - 1.0) > 1e-9 or abs(high - 1.0) > 1e-9:
                found.append(Driver(source, is_max, low, high))
    return found


def draw_spreads(
    valves: Sequence[tuple[ScatteredValve, str]], first: Sequence[LoadLimits], confidence: Confidence
) -> list[tuple[float, float]]:
    """How far limits at one suction temperature spread between sets of draws.

    Parameters
    ----------
    valves : sequence of (ScatteredValve, str)
        Valves at one suction temperature, with the name of a size.
    first : sequence of LoadLimits
        Their limits at the confidence, with its own set of draws.
    confidence : Confidence

    Returns
    -------
    list of (float, float)
        Relative standard deviation of the minimum and the maximum load [1]; NaN where a set leaves no limit.
    """
    found = [[own] for own in first]
    # Each set for all valves before the next, for a set with what is made of it is large.
    for replicate in range(1, REPLICATES):
        again = replace(confidence, seed=confidence.seed + replicate)
        for limits, (valve, size) in zip(found, valves, strict=True):
            limits.append(confident_limits(valve, again)[size].confident)
    # Nobody else asks for these sets.
    two_level_draws.cache_clear()
    values = np.array([[(own.min_load[0], own.max_load[0]) for own in limits] for limits in found]).reshape(
        -1, REPLICATES, 2
    )
    with np.errstate(invalid="ignore"):
        spread = values.std(axis=1, ddof=1) / values.mean(axis=1)
    return [(float(low), float(high)) for low, high in spread]
