"""Which assumption would explain the differences from an old table: a least-squares value of each one alone.

With r the logarithm of old over ours, summed over all limits that are compared, an assumption with the value v leaves
S(v) = sum r(v)^2 and explains the share 1 - S(v) / S(today).  Limits are computed anew for every v, as a sweep does it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from tablegen.legacy.assumptions import (
    OF_FAMILY,
    OF_LIMITS,
    OF_SYSTEM,
    Assumption,
    GivenValue,
    Measure,
    OfLimits,
    with_systems,
)
from tablegen.legacy.counterparts import LIMITS, Compared
from tablegen.legacy.limit_model import LimitModel, RowBlock, RowLimits
from tablegen.model.inputs import Catalogue, Family
from tablegen.physics.arrays import Bools, Floats
from tablegen.wording import old_table as wording

# Trial values between the bounds, before the best of them is refined; more of them near the lower bound.
_TRIALS, _POWER = 7, 2.0
_TOLERANCE = 5e-4
# How far from today's value it is tried too, as a share of the distance of the bounds.
_NEAR = 0.02
# What a limit differs by at least, as a logarithm, whose window a value closes although the old table has one.
_CLOSED = 1.0
# A limit that moves by less does not depend on an assumption.
_MOVED = 1e-7
# What is not worth another value: the share of the sum of squares.
_NOTHING = 1e-6
# Step of a derivative as a share of the bounds' distance.
_STEP = 1e-3
# Two-sided 95 percent; mean error of limits that are all rounded down (or up) to three significant figures.
_SIGMAS, _ROUNDING = 1.96, 0.002
# Two assumptions can be separated if the odds are above this, and if the worse one leaves more by this factor.
_ODDS, _LEFT_FACTOR = 100.0, 1.1
HALF = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueRead:
    """A value of an assumption for one family or port design, for some groups of an application, or all rows, in SI.

    `owner` is the family or application, empty for all rows; `groups` are empty but for an application, and
    `of_design` but for a port design, whose sizes it has. `today` are the lowest and the highest value
    of today's inputs; `bound` is that of `value` (NaN where the limits do not depend on it), which `is_at_end` of what
    is allowed or computed; `limits` depend on it.
    """

    owner: str
    groups: tuple[str, ...]
    of_design: tuple[str, ...]
    measure: Measure
    today: tuple[float, float]
    value: float
    bound: float
    is_at_end: bool
    limits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumptionReading:
    """An assumption with its values.

    `explained` is the share of the squared difference that they explain [1], `explained_of_moved` that of the limits
    that depend on it alone; `left` is the root mean square of what is left of the logarithms [1], `squares` their sum.
    """

    assumption: Assumption
    values: tuple[ValueRead, ...]
    explained: float
    explained_of_moved: float
    left: float
    squares: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribution:
    """The readings, the best first, how many limits they are of, and how many of them explain about as much as the best.

    `rms` is the root mean square of the logarithms with today's inputs [1].
    """

    readings: tuple[AssumptionReading, ...]
    limits: int
    rms: float
    equal: int

    @property
    def is_explained(self) -> bool:
        """Whether one assumption explains more than half of the squared difference."""
        return bool(self.readings) and self.readings[0].explained > HALF


@dataclass(frozen=True, slots=True, kw_only=True)
class _Subject:
    """What one value is for: blocks whose limits it bears on, and their limits at a value."""

    owner: str
    groups: tuple[str, ...]
    of_design: tuple[str, ...]
    given: GivenValue
    blocks: tuple[RowBlock, ...]
    limits: Callable[[RowBlock, float], RowLimits]
    tried: dict[float, Floats] = field(default_factory=dict)


def attribute(
    catalogue: Catalogue, model: LimitModel, compared: Compared, advance: Callable[[str], None] = lambda _: None
) -> Attribution:
    """Read every assumption alone.

    Parameters
    ----------
    catalogue : Catalogue
    model : LimitModel
    compared : Compared
    advance : callable, optional
        Called with the name of each assumption when it is done.

    Returns
    -------
    Attribution
        Shares and root mean squares [1], values in SI.
    """
    old = np.log(compared.old_w)
    today = compared.log_ratio
    count = int(np.isfinite(today).sum())
    total = float(np.nansum(today**2))
    readings = []
    for assumption in Assumption:
        if assumption in OF_LIMITS:
            found = list(_factors(compared, OF_LIMITS[assumption]))
        else:
            found = [_read(subject, old, today) for subject in _subjects(catalogue, model, compared, assumption)]
        moved = [one for one in found if one.value.limits]
        advance(wording.ASSUMPTIONS[assumption.value]())
        if moved:
            gained = sum(one.gained for one in moved)
            of_moved = sum(one.of_moved for one in moved)
            readings.append(
                AssumptionReading(
                    assumption=assumption,
                    values=tuple(one.value for one in moved),
                    explained=gained / total if total else 0.0,
                    explained_of_moved=gained / of_moved if of_moved else 0.0,
                    left=math.sqrt(max(total - gained, 0.0) / count),
                    squares=max(total - gained, 0.0),
                )
            )
    readings.sort(key=lambda reading: reading.squares)
    equal = sum(not _is_worse(reading, readings[0], count) for reading in readings)
    return Attribution(
        readings=tuple(readings), limits=count, rms=math.sqrt(total / count) if count else math.nan, equal=equal
    )


def _is_worse(reading: AssumptionReading, best: AssumptionReading, count: int) -> bool:
    """Whether the table says that a reading is worse than the best, by odds and by what is left."""
    smallest = np.finfo(float).tiny
    evidence = 0.5 * count * math.log(max(reading.squares, smallest) / max(best.squares, smallest))
    return evidence > math.log(_ODDS) and reading.left > _LEFT_FACTOR * best.left


def _subjects(
    catalogue: Catalogue, model: LimitModel, compared: Compared, assumption: Assumption
) -> Iterator[_Subject]:
    """A port design of a family each, or the groups of an application that have the same value today."""
    if assumption in OF_FAMILY:
        by_family = OF_FAMILY[assumption]
        # Sizes of one design may be in several parts, as connections differ.
        designs: dict[tuple[str, str], dict[str, Family]] = {}
        for block in compared.blocks:
            for part in model.parts(block):
                designs.setdefault((part.name, part.port_design), {})[part.part_name] = part
        for (name, design), parts in designs.items():
            if (given := by_family.given(next(iter(parts.values())))) is None:
                continue
            of_design = tuple(s.name for s in catalogue.families[name].sizes if s.port_design == design)
            yield _Subject(
                owner=name,
                groups=(),
                of_design=of_design if catalogue.families[name].port_designs else (),
                given=given,
                blocks=tuple(b for b in compared.blocks if any(part.part_name in parts for part in model.parts(b))),
                limits=lambda block, v, key=(name, design): model.limits(  # type: ignore[misc]
                    block,
                    lambda own: by_family.changed(own, v) if (own.name, own.port_design) == key else own,
                ),
            )
        return
    by_system = OF_SYSTEM[assumption]
    alike: dict[tuple[str, Measure, tuple[float, float]], list[tuple[RowBlock, tuple[float, float]]]] = {}
    for block in compared.blocks:
        application = catalogue.applications[block.application]
        own = [by_system.given(application.systems[m], catalogue.refrigerants[m], block.sst_k) for m in block.members]
        stated = [given for given in own if given is not None]
        if len(stated) == len(own) and len({given.measure for given in stated}) == 1:
            values = [value for given in stated for value in given.today]
            # Figures that went through another unit differ in their last digits.
            today = float(f"{min(values):.9g}"), float(f"{max(values):.9g}")
            bounds = max(given.bounds[0] for given in stated), min(given.bounds[1] for given in stated)
            alike.setdefault((block.application, stated[0].measure, today), []).append((block, bounds))
    for (owner, measure, today), found in alike.items():
        application = catalogue.applications[owner]
        low, high = max(bounds[0] for _, bounds in found), min(bounds[1] for _, bounds in found)
        if low < high:
            yield _Subject(
                owner=owner,
                groups=tuple(block.group for block, _ in found),
                of_design=(),
                given=GivenValue(measure, today, (low, high)),
                blocks=tuple(block for block, _ in found),
                limits=lambda block, v, application=application: model.limits(  # type: ignore[misc]
                    block, application=with_systems(application, block.members, by_system, v)
                ),
            )


@dataclass(frozen=True, slots=True)
class _FoundValue:
    """A value with how much of the sum of squares it takes away, and that sum over the limits that it moves."""

    value: ValueRead
    gained: float
    of_moved: float


def _factors(compared: Compared, own: OfLimits) -> Iterator[_FoundValue]:
    """The least-squares factor on some limits of each family, or of all rows: the mean of the logarithms."""
    families = np.array([row.family if own.is_of_family else "" for row in compared.rows], dtype=object)
    is_side = np.array([limit in own.limits for limit in LIMITS])
    for family in dict.fromkeys(families):
        ratio = compared.log_ratio[compared.is_compared & is_side & (families == family)[:, None]]
        if not ratio.size:
            continue
        mean = float(ratio.mean())
        random = _SIGMAS * float(np.std(ratio, ddof=1)) / math.sqrt(ratio.size) if ratio.size > 1 else math.nan
        yield _FoundValue(
            ValueRead(
                owner=family,
                groups=(),
                of_design=(),
                measure=Measure.FACTOR,
                today=(1.0, 1.0),
                value=math.exp(mean),
                bound=math.exp(mean) * (random + _ROUNDING),
                is_at_end=False,
                limits=ratio.size,
            ),
            ratio.size * mean**2,
            float(np.sum(ratio**2)),
        )


def _read(subject: _Subject, old: Floats, today: Floats) -> _FoundValue:
    """The least-squares value of one subject."""
    from scipy.optimize import minimize_scalar

    rows = np.concatenate([block.rows for block in subject.blocks])
    is_compared = np.isfinite(today[rows])
    at_today = np.where(is_compared, today[rows], 0.0)
    # To close a window is never nearer to the old table than today's limit is.
    closed = np.maximum(_CLOSED, np.abs(at_today))

    def left(value: float) -> Floats:
        """What is left of each limit at a value, 0 where none is compared."""
        if value not in subject.tried:
            loads = np.concatenate([subject.limits(block, value).loads() for block in subject.blocks])
            ratio = np.where(np.isfinite(loads), old[rows] - np.log(loads), closed)
            subject.tried[value] = np.where(is_compared, ratio, 0.0)
        return subject.tried[value]

    def squares(value: float) -> float:
        return float(np.sum(left(float(value)) ** 2))

    low, high = subject.given.bounds
    own = [value for value in subject.given.today if low <= value <= high]
    ends = sorted({*_spread(low, high), *own, *_around(own, low, high)})
    best = min(range(len(ends)), key=lambda i: squares(ends[i]))
    between = ends[max(best - 1, 0)], ends[min(best + 1, len(ends) - 1)]
    found = minimize_scalar(
        squares,
        bounds=between,
        method="bounded",
        options={"xatol": _TOLERANCE * (between[1] - between[0]), "maxiter": 60},
    )
    refined = float(found.x)
    value = min((ends[best], refined), key=squares)
    if own and squares(own[0]) - squares(value) <= _NOTHING * squares(own[0]):
        # Where the limits do not depend on it, today's is as good as any.
        value = own[0]
    moved = _moved(subject.tried.values(), at_today, closed) & is_compared
    gained = max(float(np.sum(at_today**2)) - squares(value), 0.0)
    reach = _TOLERANCE * (high - low)
    step = _STEP * (high - low)
    return _FoundValue(
        ValueRead(
            owner=subject.owner,
            groups=subject.groups,
            of_design=subject.of_design,
            measure=subject.given.measure,
            today=subject.given.today,
            value=value,
            bound=_bound(left, value, (low, high), step, moved, closed),
            is_at_end=value - low <= reach or high - value <= reach,
            limits=int(moved.sum()),
        ),
        gained,
        float(np.sum(at_today[moved] ** 2)),
    )


def _spread(low: float, high: float) -> list[float]:
    return [float(low + (high - low) * share**_POWER) for share in np.linspace(0.0, 1.0, _TRIALS)]


def _around(own: Sequence[float], low: float, high: float) -> list[float]:
    """Values near today's, in case that the bounds are far apart."""
    near = [value + share * (high - low) for value in own for share in (-_NEAR, _NEAR)]
    return [value for value in near if low < value < high]


def _moved(tried: object, at_today: Floats, closed: Floats) -> Bools:
    """Which limits depend on the value: any trial moves them otherwise than by closing their windows."""
    found = np.zeros(at_today.shape, dtype=bool)
    for ratio in tried:  # type: ignore[attr-defined]
        found |= (np.abs(ratio - at_today) > _MOVED) & (ratio != closed)
    return found


def _bound(
    left: Callable[[float], Floats],
    value: float,
    bounds: tuple[float, float],
    step: float,
    moved: Bools,
    closed: Floats,
) -> float:
    """What the value may be off by, if what is left is random, and limits may all be rounded to one side."""
    below, above = max(value - step, bounds[0]), min(value + step, bounds[1])
    # A window that closes between the two says nothing of the slope.
    open_at = moved & (left(below) != closed) & (left(value) != closed) & (left(above) != closed)
    slope = (left(above) - left(below))[open_at] / (above - below)
    rest = left(value)[open_at]
    power = float(np.sum(slope**2))
    if not power or rest.size < 2:
        return math.nan
    random = _SIGMAS * math.sqrt(float(np.sum(rest**2)) / (rest.size - 1) / power)
    return random + _ROUNDING * abs(float(np.sum(slope))) / power
