"""Valves for a list of jobs: as `pick` for each, with the states of all jobs on one refrigerant solved at once."""

from __future__ import annotations

import functools
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace

import numpy as np

from tablegen.answers.case import members_of, refuse_heads
from tablegen.answers.in_stock import StockRule, recommended_order
from tablegen.answers.pick import TIE
from tablegen.confidence.confident_limits import Scattered, printed_window, scattered_in
from tablegen.errors import RequestError, as_asked
from tablegen.model.box_temperature import AskedSst, CaseSst, case_sst
from tablegen.model.coil_difference import at_difference
from tablegen.model.inputs import Catalogue, Family
from tablegen.model.offer import check_covered, offer, offered_families, refuse_different_charges
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.model.valve_kinds import asked_alone
from tablegen.physics.arrays import Floats
from tablegen.wording import jobs as wording
from tablegen.wording import offers
from tablegen.wording import valve_kinds as kind_wording
from tablegen.wording.pick import NO_VALVE
from tablegen.wording.stock import NO_VALVE_IN_STOCK

# States of so many suction temperatures at once: more take memory, fewer take calls.
_AT_ONCE = 512
# Each takes the states of its own.
_MOST_DIFFERENCES = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What is asked: refrigerant or group, SST or box, load [W], and the application, the family and the kind of valve.

    Without an application it is the only one that covers the suction temperature, without a family any that is offered,
    of the kind if one is asked for.
    """

    refrigerant: str
    asked_sst: AskedSst
    load_w: float
    application: str | None = None
    family: str | None = None
    valve_kind: str | None = None

    @property
    def names(self) -> tuple[str, str | None, str | None, str | None]:
        """Refrigerant, application, family and kind of valve as they are asked for."""
        return self.refrigerant, self.application, self.family, self.valve_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherSize:
    """A size that is not the answer, its window [W] and its margin [1], which is below 1 where it does not fit."""

    family: str
    size: str
    charge: str
    min_load_w: float
    max_load_w: float
    margin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAnswer:
    """The size with the largest margin for a job.

    Attributes
    ----------
    application : str
        The one that the job was answered in; empty if there is none.
    sst_k, box_k, coil_difference_k : float
        Its suction temperature, that of the box and the difference [K]; NaN where there is none.
    has_own_limits : bool
        Whether limits were computed for the job's own coil temperature difference, not the application's.
    family, size, charge : str
        Empty where no valve covers the load.
    min_load_w, max_load_w : float
        Its window [W]; NaN without a valve.
    margin : float
        The smaller of load over minimum and maximum over load [1]; NaN without a valve.
    reason : str
        Why there is no valve, in one sentence; empty if there is one.
    wrong : str
        The field of the job that `pick` would refuse, for the reason; empty where it would answer.
    nearest : OtherSize or None
        Where no valve covers the load, the size that comes nearest to it, if one has a window.
    not_in_stock : OtherSize or None
        Where no valve that covers the load is in stock, the one of them with the largest margin.
    """

    application: str = ""
    sst_k: float = np.nan
    box_k: float = np.nan
    coil_difference_k: float = np.nan
    has_own_limits: bool = False
    family: str = ""
    size: str = ""
    charge: str = ""
    min_load_w: float = np.nan
    max_load_w: float = np.nan
    margin: float = np.nan
    reason: str = ""
    wrong: str = ""
    nearest: OtherSize | None = None
    not_in_stock: OtherSize | None = None


def pick_jobs(catalogue: Catalogue, jobs: Sequence[Job], all_sizes: bool = False) -> list[JobAnswer]:
    """The first choice of `pick` for each job, or the reason why there is none.

    Each job is answered as if it were alone; what all of them take from the stock together is not seen here.

    A job that cannot be answered says why and stops no other.

    Raises RequestError if limits would have to be computed for too many coil temperature differences.
    """
    answers = [JobAnswer()] * len(jobs)
    places: dict[int, CaseSst] = {}
    alike: dict[tuple[str, str, str | None, str | None, float | None], list[int]] = {}
    placed = functools.cache(functools.partial(_placed, catalogue))
    for i, job in enumerate(jobs):
        # Two spellings of a refrigerant are one name; a message repeats the job's own.
        place = placed(as_asked(job.refrigerant), job.asked_sst, *job.names)
        if isinstance(place, JobAnswer):
            answers[i] = place
        elif not (np.isfinite(job.load_w) and job.load_w > 0.0):
            reason = offers.LOAD_NOT_ABOVE_ZERO(load=f"{job.load_w:g}")
            answers[i] = JobAnswer(application=place.application, reason=reason, wrong="load")
        else:
            places[i] = place
            key = (job.refrigerant, place.application, job.family, job.valve_kind, _own_difference(place))
            alike.setdefault(key, []).append(i)
    _check_differences({difference_k for *_, difference_k in alike})
    rule = StockRule.of(catalogue, all_sizes=all_sizes)
    scattered = scattered_in(catalogue)
    printed = scattered if scattered is not None and scattered.is_printed else None
    for (refrigerant, application, family, valve_kind, difference_k), of_jobs in alike.items():
        sst_k = np.array([places[i].sst_k for i in of_jobs])
        load_w = np.array([jobs[i].load_w for i in of_jobs])
        wrong = "coil_difference"
        try:
            own = at_difference(catalogue, refrigerant, application, difference_k)
            wrong = "refrigerant"
            families = offered_families(own, refrigerant, application, family, valve_kind)
            found = _alike(own, refrigerant, application, families, sst_k, load_w, rule, printed)
            if alone := asked_alone(catalogue, families[0].name if family else None, valve_kind):
                found = [_of_these(answer, alone) for answer in found]
        except RequestError as error:
            found = [JobAnswer(application=application, reason=str(error), wrong=wrong)] * len(of_jobs)
        for i, answer in zip(of_jobs, found, strict=True):
            answers[i] = _at(places[i], answer)
    return answers


def _of_these(answer: JobAnswer, alone: str) -> JobAnswer:
    """An answer whose reason says that valves of one family or kind alone were compared."""
    reasons = {
        NO_VALVE(): kind_wording.NONE_COVERS(kind=alone),
        NO_VALVE_IN_STOCK(): kind_wording.NONE_IN_STOCK(kind=alone),
    }
    return replace(answer, reason=reasons.get(answer.reason, answer.reason))


def _placed(
    catalogue: Catalogue,
    asked: str,
    sst: AskedSst,
    refrigerant: str,
    application: str | None,
    family: str | None,
    valve_kind: str | None,
) -> CaseSst | JobAnswer:
    """The application and the suction temperature that a job is answered at, or why it cannot be."""
    # What the next step may refuse.
    wrong = "refrigerant" if refrigerant not in {*catalogue.refrigerants, *catalogue.groups} else "application"
    try:
        place = case_sst(catalogue, refrigerant, sst, application)
        offer(catalogue, refrigerant, place.application)
        wrong = "valve_kind" if family is None else "family"
        offered_families(catalogue, refrigerant, place.application, family, valve_kind)
        wrong = "sst" if sst.box_k is None else "box"
        check_covered(catalogue, refrigerant, place.application, place.sst_k)
    except RequestError as error:
        return JobAnswer(application=application or "", reason=str(error), wrong=wrong)
    return place


def _own_difference(place: CaseSst) -> float | None:
    """The job's own TD [K] where its limits are for that; None where they are the application's."""
    return place.box.coil_difference_k if place.box is not None and place.box.is_replacing else None


def _check_differences(found: Set[float | None]) -> None:
    count = len(found - {None})
    if count > _MOST_DIFFERENCES:
        raise RequestError(wording.TOO_MANY_DIFFERENCES(count=f"{count:,}", most=_MOST_DIFFERENCES))


def _at(place: CaseSst, answer: JobAnswer) -> JobAnswer:
    if place.box is None:
        return replace(answer, sst_k=place.sst_k)
    box = place.box
    return replace(
        answer,
        sst_k=place.sst_k,
        box_k=box.box_k,
        coil_difference_k=box.coil_difference_k,
        has_own_limits=box.is_replacing,
    )


def _alike(
    catalogue: Catalogue,
    refrigerant: str,
    application: str,
    families: Sequence[Family],
    sst_k: Floats,
    load_w: Floats,
    rule: StockRule,
    scattered: Scattered | None,
) -> list[JobAnswer]:
    """Jobs on one refrigerant or group in one application."""
    refuse_different_charges(catalogue, families, refrigerant, application)
    names, base = members_of(catalogue, refrigerant), catalogue.applications[application]
    refuse_heads(base, [catalogue.refrigerants[name] for name in names])
    temperatures, which = np.unique(sst_k, return_inverse=True)
    answers = [JobAnswer()] * len(load_w)
    for first in range(0, len(temperatures), _AT_ONCE):
        chunk = temperatures[first : first + _AT_ONCE]
        of_chunk = np.flatnonzero((which >= first) & (which < first + _AT_ONCE))
        own = replace(base, sst_k=chunk, example_sst_k=float(chunk[0]))
        laws = laws_of(families)
        members = [solve(catalogue.refrigerants[name], own, laws) for name in names]
        windows = _windows(families, members, which[of_chunk] - first, scattered)
        found = _first_choices(application, windows, load_w[of_chunk], rule)
        for i, answer in zip(of_chunk, found, strict=True):
            answers[i] = answer
    return answers


@dataclass(frozen=True, slots=True)
class _Windows:
    """The windows [W] of sizes (the first axis) for some jobs: families, sizes and charges by their keys."""

    valves: tuple[tuple[str, str, str], ...]
    min_load_w: Floats
    max_load_w: Floats


def _windows(
    families: Sequence[Family],
    members: Sequence[Solved],
    which: np.ndarray[tuple[int], np.dtype[np.intp]],
    scattered: Scattered | None,
) -> _Windows:
    """The windows of every size for jobs at some of the suction temperatures."""
    valves: list[tuple[str, str, str]] = []
    limits: list[tuple[Floats, Floats]] = []
    for family in families:
        charge, of_family = _limits(family, members, scattered)
        valves += [(family.name, size.name, charge) for size in family.sizes]
        limits += of_family
    low, high = (np.array([bounds[end] for bounds in limits])[:, which] for end in (0, 1))
    return _Windows(tuple(valves), low, high)


def _first_choices(application: str, windows: _Windows, load_w: Floats, rule: StockRule) -> list[JobAnswer]:
    """For each load the size that is recommended by what is in stock."""
    with np.errstate(invalid="ignore"):
        under, over = load_w / windows.min_load_w, windows.max_load_w / load_w
        # What does not cover the load is nearer to it the larger its margin, which is then below 1.
        margin = np.nan_to_num(np.minimum(under, over), nan=-np.inf)
        fits = (under >= 1.0 - TIE) & (over >= 1.0 - TIE)
    is_there = np.array([rule.recommends(*valve) for valve in windows.valves])
    # What does not fit comes after all that does, the nearest first.
    best = recommended_order(np.where(fits, ~is_there[:, np.newaxis], 2), margin)[0]
    return [
        _answer(application, windows, row, i, margin[row, i], bool(fits[row, i]), bool(is_there[row]))
        for i, row in enumerate(best.tolist())
    ]


def _answer(
    application: str, windows: _Windows, row: int, i: int, margin: float, is_fitting: bool, is_there: bool
) -> JobAnswer:
    """What one job is answered where a size comes first of all."""
    family, size, charge = windows.valves[row]
    own = OtherSize(
        family=family,
        size=size,
        charge=charge,
        min_load_w=float(windows.min_load_w[row, i]),
        max_load_w=float(windows.max_load_w[row, i]),
        margin=float(margin),
    )
    if not is_fitting:
        nearest = own if np.isfinite(margin) else None
        return JobAnswer(application=application, reason=NO_VALVE(), nearest=nearest)
    if not is_there:
        return JobAnswer(application=application, reason=NO_VALVE_IN_STOCK(), not_in_stock=own)
    return JobAnswer(
        application=application,
        family=family,
        size=size,
        charge=charge,
        min_load_w=own.min_load_w,
        max_load_w=own.max_load_w,
        margin=own.margin,
    )


def _limits(
    family: Family, members: Sequence[Solved], scattered: Scattered | None
) -> tuple[str, list[tuple[Floats, Floats]]]:
    """The charge, and minimum and maximum load [W] of each size at each suction temperature.

    They are NaN where members share no window.
    """
    charge = ""
    found: dict[str, tuple[Floats, Floats]] = {}
    for part in family.by_design():
        charge, limits = _limits_of_part(part, members, scattered)
        found |= {size.name: own for size, own in zip(part.sizes, limits, strict=True)}
    return charge, [found[size.name] for size in family.sizes]


def _limits_of_part(
    family: Family, members: Sequence[Solved], scattered: Scattered | None
) -> tuple[str, list[tuple[Floats, Floats]]]:
    """As `_limits`, for sizes that have one window for each m3/h of rated Kv."""
    charges, _, units = zip(*(unit_window(family, member) for member in members), strict=True)
    at_confidence = [scattered.limits(family, member) if scattered else {} for member in members]
    found = []
    for size in family.sizes:
        own = [
            printed_window(unit, limits.get(size.name), scattered is not None)
            for unit, limits in zip(units, at_confidence, strict=True)
        ]
        # NaN of any member is passed on.
        low = np.maximum.reduce([window.min_load_w for window in own]) * size.kv_rated_m3h
        high = np.minimum.reduce([window.max_load_w for window in own]) * size.kv_rated_m3h
        is_empty = ~(low < high)
        found.append((np.where(is_empty, np.nan, low), np.where(is_empty, np.nan, high)))
    return charges[0], found
