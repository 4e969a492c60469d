"""Load limits at confidence: for a share of the valves installed, with a confidence in what all of them share.

Two kinds of uncertainty are kept apart.  Valves differ from one to the next, and so do installations; of many, a
share P keeps a limit.  What is shared is off by the same amount for all of them: the refrigerant's properties, and how
well a family's own figures are measured; no number of valves averages it out.  With a the draws of one valve and
installation and e those of what is shared, the limit for the share P is a quantile over a that still depends on e, and
the limit at confidence G is a quantile of it over e:

    q(e) = quantile over a, at 1 - P, of Q_max(a, e)          Q_max,conf = quantile over e, at 1 - G, of q(e)

so that, with the confidence G, at least the share P of the valves installed covers the load.  The minimum load is
treated likewise, at P and G.  Either limit is one-sided and taken by itself.

q(0) is counted over all draws of a.  With fewer of them q is counted again at two standard deviations either way of
each shared source, which gives the direction in e that narrows the window most, and then once more at the distance
along it that is passed with the confidence G.  That is the quantile over e where q falls along that direction,
straight or not, and stays level across it (the design point of a first-order reliability method; an assumption).  A
test compares the limits with a brute-force Monte Carlo in two nested loops that uses none of this.

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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from tablegen.confidence.draws import (
    INSTALLED,
    SHARED,
    Draws,
    Scatter,
    Source,
    joined_draws,
    kv_measured,
    normal_draws,
    scatter_of,
    single_draws,
    system_scatter,
)
from tablegen.confidence.loads import DrawnLoads, drawn_element, drawn_loads
from tablegen.confidence.system import NO_SCATTER, NODE, Felt, Parabolas, parabolas, terms_of
from tablegen.model.inputs import Confidence, Family, PowerElement
from tablegen.model.registry import PropertyUncertainty
from tablegen.model.solving import Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.windows import ThermostaticActuator

# Sets of draws of which the spread of a limit says how well one set settles it.
REPLICATES = 5
# Draws of valves and installations that show how what is shared moves their quantile: a share of all, and at least.
_FEW_SHARE, _FEW = 0.25, 256


@dataclass(frozen=True, slots=True)
class Uncertain:
    """What is known of refrigerants: uncertainties by name, and the refrigerants that valves are set with."""

    uncertainty: Mapping[str, PropertyUncertainty]
    settings: Mapping[str, Refrigerant]


@dataclass(frozen=True, slots=True)
class ScatteredValve:
    """One family and power element on one refrigerant in one application, ready to be drawn."""

    family: Family
    element: PowerElement
    solved: Solved
    scatter: Scatter
    states: tuple[Parabolas, ...]
    setting_refrigerant: Refrigerant | None

    @property
    def shared(self) -> tuple[Source, ...]:
        """What scatters of what all valves share, but how well the Kv of a size is measured."""
        return tuple(source for source in SHARED if source in self.scatter)

    def felt(self, draws: Draws) -> tuple[Felt, ...]:
        """The figures of every state at each draw."""
        terms = terms_of(draws, self.states[0].sources)
        return tuple(state.at(draws, terms) for state in self.states)

    def loads(self, draws: Draws, felt: tuple[Felt, ...] | None = None) -> DrawnLoads:
        """Loads for each m3/h of rated Kv at every draw, the narrower of the suction responses that there are.

        `felt` are the figures of the states at these draws, where they are known already.
        """
        application, name = self.solved.application, self.solved.refrigerant.name
        valve, element = self.family.valve(self.element, application.site_pressure_pa), None
        if isinstance(valve.actuator, ThermostaticActuator):
            assert self.setting_refrigerant is not None
            is_own = self.element.setting_refrigerant == name
            element = drawn_element(self.element, valve.actuator, self.setting_refrigerant, is_own, self.scatter, draws)
        # Both responses are states like any other: the narrower window is that over all of them.
        at = list(zip(self.states, self.felt(draws) if felt is None else felt, strict=True))
        found = drawn_loads(self.family, valve, element, at, application.systems[name].superheat, self.scatter, draws)
        kv = np.maximum(1.0 + draws.off(self.scatter, Source.KV), 0.0)
        with np.errstate(invalid="ignore"):
            return DrawnLoads(found.min_load * kv, found.max_load * kv)

    def at_row(self, row: int) -> ScatteredValve:
        """The same at one suction temperature."""
        return replace(self, states=tuple(state.at_row(row) for state in self.states))


def system_of(known: Uncertain, solved: Solved) -> tuple[Parabolas, ...]:
    """What every family has in common: the states of a refrigerant in an application, and what moves them."""
    name, application = solved.refrigerant.name, solved.application
    scatter = system_scatter(known.uncertainty[name], application.scatter.get(name, NO_SCATTER))
    return parabolas(solved.refrigerant, application, solved.states, solved.rated, scatter)


def scattered_valve(
    known: Uncertain, family: Family, element: PowerElement, solved: Solved, system: tuple[Parabolas, ...]
) -> ScatteredValve:
    """A valve with what it scatters by; `system` is that of `system_of`."""
    name, other = solved.refrigerant.name, element.setting_refrigerant
    setting = known.uncertainty.get(other) if other and other != name else None
    installation = solved.application.scatter.get(name, NO_SCATTER)
    scatter = scatter_of(family, element, known.uncertainty[name], setting, installation)
    return ScatteredValve(family, element, solved, scatter, system, known.settings.get(other))


@dataclass(frozen=True, slots=True)
class Limits:
    """Minimum and maximum load [W for each m3/h of rated Kv] along the suction grid; infinity and zero for none."""

    min_load: Floats
    max_load: Floats


@dataclass(frozen=True, slots=True)
class Spread:
    """Limits of a share of the valves installed: at confidence, with shared figures as stated, and with these better.

    `better` has the shared figures as far off the other way as `confident` has them; None where nobody asked.
    """

    confident: Limits
    stated: Limits
    better: Limits | None = None


@functools.cache
def two_level_draws(samples: int, seed: int, shared: tuple[Source, ...]) -> Draws:
    """All draws of valves and installations, then a few of them again with each shared source at its low and high end.

    The first of a set of Sobol points are such a set themselves.
    """
    installed = normal_draws(samples, seed, INSTALLED)
    few = _few(samples)
    again = {source: values[:few] for source, values in installed.by_source.items()}
    parts = [installed]
    for source in shared:
        parts += [Draws(few, {**again, source: np.full(few, end)}) for end in (-NODE, NODE)]
    return joined_draws(parts)


def _few(samples: int) -> int:
    return max(min(samples, _FEW), int(_FEW_SHARE * samples))


def confident_limits(
    valve: ScatteredValve, confidence: Confidence, felt: tuple[Felt, ...] | None = None, with_better: bool = False
) -> dict[str, Spread]:
    """Limits of each size, by its name, for each m3/h of rated Kv.

    `felt` are the figures of the states at `two_level_draws`, where they are known already.
    """
    draws = two_level_draws(confidence.samples, confidence.seed, valve.shared)
    loads = valve.loads(draws, felt)
    stated, signs = [], (1.0, -1.0) if with_better else (1.0,)
    shifts: list[list[Floats]] = [[] for _ in signs]
    for i, values in enumerate(_covered(loads)):
        stated.append(_kept(values[: confidence.samples], confidence.share, "lower"))
        base, direction = _narrowing_direction(values, valve.shared, confidence)
        for sign, own in zip(signs, shifts, strict=True):
            at = _shifted_draws(confidence, valve.shared, sign * direction)
            own.append(_ratio(_kept(_covered(valve.loads(at))[i], confidence.share), base))
    shares = {size.name: kv_measured(size) for size in valve.family.sizes}
    # Many sizes are measured equally well, and then have the same limits for each m3/h of Kv.
    by_share = {share: _spread(stated, shifts, confidence, share) for share in dict.fromkeys(shares.values())}
    return {name: by_share[share] for name, share in shares.items()}


def _covered(loads: DrawnLoads) -> tuple[Floats, Floats]:
    """Either limit so that the lower is the narrower and zero is none: minimum loads by their inverse."""
    with np.errstate(divide="ignore"):
        return 1.0 / loads.min_load, loads.max_load


def _kept(values: Floats, share: float, method: Literal["lower", "linear"] = "linear") -> Floats:
    """What a share of the draws reaches; `lower` takes that of a draw, towards the narrower window."""
    with np.errstate(invalid="ignore"):
        return np.asarray(np.quantile(values, 1.0 - share, axis=0, method=method))


def _ratio(value: Floats, base: Floats) -> Floats:
    """One quantile over another of the same few draws; zero where too many of them cover no load."""
    with np.errstate(invalid="ignore", divide="ignore"):
        found = np.where(base > 0.0, value / base, 0.0)
    # A minimum load of zero has an infinite inverse, which nothing shifts.
    return np.where(np.isnan(found), 1.0, found)


def _narrowing_direction(values: Floats, shared: tuple[Source, ...], confidence: Confidence) -> tuple[Floats, Floats]:
    """The quantile of the few draws, and where what is shared narrows it most, (sources, suction temperatures).

    The direction has length 1, or 0 where nothing moves the limit.
    """
    few = _few(confidence.samples)
    base = _kept(values[:few], confidence.share)
    pulls = np.zeros((len(shared), values.shape[1]))
    for i in range(len(shared)):
        start = confidence.samples + 2 * i * few
        low, high = (_ratio(_kept(values[at : at + few], confidence.share), base) for at in (start, start + few))
        pulls[i] = np.where(high <= low, np.maximum(1.0 - high, 0.0), -np.maximum(1.0 - low, 0.0))
    length = np.sqrt((pulls**2).sum(axis=0))
    return base, np.where(length > 0.0, pulls / np.where(length > 0.0, length, 1.0), 0.0)


def _shifted_draws(confidence: Confidence, shared: tuple[Source, ...], direction: Floats) -> Draws:
    """The few draws of valves and installations, with what they share off along a direction, to the confidence."""
    from scipy.special import ndtri

    few, far = _few(confidence.samples), float(ndtri(confidence.level))
    installed = normal_draws(confidence.samples, confidence.seed, INSTALLED)
    again = {source: values[:few] for source, values in installed.by_source.items()}
    return Draws(few, again, {source: far * direction[i] for i, source in enumerate(shared)})


def _spread(
    stated: Sequence[Floats], shifts: Sequence[Sequence[Floats]], confidence: Confidence, kv_share: float
) -> Spread:
    """Limits with each shift; how well Kv is measured, `kv_share`, adds to it in squares."""
    from scipy.special import ndtri

    own = float(ndtri(confidence.level)) * kv_share
    found = [stated]
    for sign, shift in zip((-1.0, 1.0), shifts, strict=False):
        moved = [np.maximum(sign * (ratio - 1.0), 0.0) for ratio in shift]
        found.append([q * np.maximum(1.0 + sign * np.hypot(by, own), 0.0) for q, by in zip(stated, moved, strict=True)])
    with np.errstate(divide="ignore"):
        as_stated, confident, *better = (Limits(1.0 / inverse, load) for inverse, load in found)
    return Spread(confident, as_stated, *better)


@dataclass(frozen=True, slots=True)
class Driver:
    """What one source alone does to a limit: the limit with the source at either end, over the nominal limit [1]."""

    source: Source
    is_max: bool
    at_low: float
    at_high: float


def drivers(valve: ScatteredValve, kv_share: float, confidence: Confidence) -> list[Driver]:
    """Each source alone, as far off as its own level, for a valve at one suction temperature (see `at_row`).

    Those without effect are left out.  The level is the share of valves for what scatters between them, the confidence
    for what they share; `kv_share` is how well Kv is measured.
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


def unsettled(valve: ScatteredValve, confidence: Confidence, size: str) -> tuple[float, float]:
    """How far a size's limits at one suction temperature spread between sets of draws: standard deviation as a share.

    NaN where a set leaves no limit.
    """
    found = []
    for offset in range(REPLICATES):
        limits = confident_limits(valve, replace(confidence, seed=confidence.seed + offset))[size].confident
        found.append((limits.min_load[0], limits.max_load[0]))
    values = np.array(found)
    with np.errstate(invalid="ignore"):
        spread = values.std(axis=0, ddof=1) / values.mean(axis=0)
    return float(spread[0]), float(spread[1])
