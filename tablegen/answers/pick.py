"""Which valves fit a case: window, position in it, opening and superheat at each head, and why the others do not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from tablegen.answers.case import Case, SolvedCase, solve_case
from tablegen.answers.in_stock import StockRule, recommended_order
from tablegen.answers.near_valve import PartChoice, near_the_valve
from tablegen.model.compressor_flow import FlowRatio, flow_ratios
from tablegen.model.inputs import Catalogue, Family, PowerElement, Size
from tablegen.model.liquid_supply import LiquidNeed, liquid_needs
from tablegen.model.offer import Refusal, offer, offered_families, refuse_different_charges
from tablegen.model.solving import Solved, law_of, unit_window
from tablegen.model.valve_kinds import is_of_kind, valve_kind_named
from tablegen.physics.arrays import Floats
from tablegen.physics.operating import operating_point
from tablegen.physics.windows import Valve, Window

# Two margins that differ by less than this are equal for any purpose.
TIE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHead:
    """How a valve works at one head: opening [1], superheat [K] (NaN for a drive), the zone's name."""

    condition: str
    head_pressure_pa: float
    opening: float
    superheat_k: float
    zone: str


@dataclass(frozen=True, slots=True)
class Limit:
    """One end of a window [W] (NaN where the window is empty), and the member, head and reason that set it."""

    load_w: float
    member: str
    condition: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One size of one family for a case.

    Attributes
    ----------
    verdict : str
        "fits", "too_small", "too_large", or "no_window" (with the reason in `maximum`).
    position : float
        Where the load lies in the window, 0 at its minimum and 1 at its maximum load on a log scale; NaN if empty.
    margin : float
        The smaller of load over minimum load and maximum load over load; below 1 where it does not fit.
    heads : tuple of AtHead
        For the member of the case that comes nearest to a limit, if the window is open.
    heads_member : str
        That member; empty without a window.
    """

    family: str
    size: str
    kv_rated_m3h: float
    charge: str
    verdict: str
    minimum: Limit
    maximum: Limit
    position: float
    margin: float
    heads: tuple[AtHead, ...]
    heads_member: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """The answer to a case: candidates in catalogue order, those that fit, best first, and those that tie for best.

    `refused` are the families that are not offered for the case, with the reason. Valves in stock come before all
    others, and are alone recommended, as `stock_rule` says. `nearby` are the catalogue's parts beside the valve, sized where
    a valve fits. `liquid` is the subcooling that each condition needs at condenser or receiver, `flows` what the compressor
    pumps at low and high head. `valve_kind` is the kind of valve that alone was asked for, if any, `family` the family.
    """

    case: Case
    candidates: tuple[Candidate, ...]
    fitting: tuple[Candidate, ...]
    tied: tuple[Candidate, ...]
    refused: tuple[Refusal, ...] = ()
    stock_rule: StockRule = field(default_factory=StockRule)
    nearby: tuple[PartChoice, ...] = ()
    liquid: tuple[LiquidNeed, ...] = ()
    flows: tuple[FlowRatio, ...] = ()
    valve_kind: str = ""
    family: str = ""

    @property
    def first(self) -> Candidate | None:
        """The recommended valve; None where none fits, or none that does is in stock."""
        own = self.fitting[0] if self.fitting else None
        return own if own is not None and self.stock_rule.recommends(own.family, own.size, own.charge) else None

    @property
    def best_not_in_stock(self) -> Candidate | None:
        """Of the valves that fit and are not in stock the one with the largest margin; None without a stock sheet."""
        return next(
            (c for c in self.fitting if not self.stock_rule.is_there(c.family, c.size, c.charge)),
            None,
        )

    @property
    def too_few(self) -> int | None:
        """How many there are of the first choice, where more are wanted; else None."""
        first = self.first
        there = None if first is None else self.stock_rule.counted(first.family, first.size, first.charge)
        return there if there is not None and 0 < there < self.stock_rule.quantity else None

    @property
    def with_enough(self) -> tuple[Candidate, int] | None:
        """Where there are too few of the first choice, the next valve that fits of which there are enough, and how many."""
        if self.too_few is None:
            return None
        counted = ((c, self.stock_rule.counted(c.family, c.size, c.charge)) for c in self.fitting)
        return next(((c, n) for c, n in counted if n is not None and n >= self.stock_rule.quantity), None)

    def neighbors(self, family: str) -> tuple[Candidate | None, Candidate | None]:
        """Of one family the largest size that is too small for the load, and the smallest that is too large."""
        own = [c for c in self.candidates if c.family == family]
        small = [c for c in own if c.verdict == "too_small"]
        large = [c for c in own if c.verdict == "too_large"]
        return (
            max(small, key=lambda c: c.kv_rated_m3h, default=None),
            min(large, key=lambda c: c.kv_rated_m3h, default=None),
        )


def pick(
    catalogue: Catalogue,
    case: Case,
    family: str | None = None,
    stock_rule: StockRule | None = None,
    valve_kind: str | None = None,
) -> Picked:
    """Compare a load with the window of every size of every family offered, of a kind or of one, exactly at its SST.

    Raises
    ------
    RequestError
        As `solve_case`, if the catalogue offers no family for the case, or not the one asked for, and if a family fits
        the members of a group with different bulb charges.
    """
    [picked] = pick_loads(catalogue, case, [case.load_w], family, stock_rule, valve_kind)
    return picked


def pick_loads(
    catalogue: Catalogue,
    case: Case,
    loads_w: Sequence[float],
    family: str | None = None,
    stock_rule: StockRule | None = None,
    valve_kind: str | None = None,
) -> tuple[Picked, ...]:
    """As `pick`, for several loads [W] in place of the case's own; its states are solved once.

    Raises
    ------
    RequestError
        As `pick`.
    """
    families = offered_families(catalogue, case.refrigerant, case.application, family, valve_kind)
    refused = offer(catalogue, case.refrigerant, case.application).refused if family is None else ()
    refused = tuple(own for own in refused if is_of_kind(catalogue.families[own.family], valve_kind))
    asked_kind = "" if valve_kind is None else valve_kind_named(valve_kind)
    refuse_different_charges(catalogue, families, case.refrigerant, case.application)
    solved = solve_case(catalogue, case)
    cases = [replace(solved, case=replace(case, load_w=load)) for load in loads_w]
    found = ((one, pick_solved(families, one, stock_rule)) for one in cases)
    return tuple(
        replace(
            own,
            refused=refused,
            nearby=near_the_valve(catalogue, one) if own.fitting else (),
            valve_kind=asked_kind,
            family=families[0].name if family else "",
        )
        for one, own in found
    )


def pick_solved(families: Sequence[Family], solved: SolvedCase, stock_rule: StockRule | None = None) -> Picked:
    """As `pick`, among some families, for a case whose states are solved."""
    rule = stock_rule or StockRule()
    candidates = tuple(c for f in families for c in candidates_of(solved, f))
    fitting = best_first([c for c in candidates if c.verdict == "fits"], rule)
    alike = [rule.recommends(c.family, c.size, c.charge) for c in fitting]
    tied = tuple(
        c
        for c, own in zip(fitting, alike, strict=True)
        if own is alike[0] and c.margin > fitting[0].margin * (1.0 - TIE)
    )
    return Picked(
        case=solved.case,
        candidates=candidates,
        fitting=fitting,
        tied=tied,
        stock_rule=rule,
        liquid=liquid_needs(solved.members),
        flows=flow_ratios(solved.members),
    )


def best_first(fitting: Sequence[Candidate], rule: StockRule) -> tuple[Candidate, ...]:
    """Valves that fit in the order in which they are recommended: in stock first, then largest margin first."""
    ranks = np.array([not rule.recommends(c.family, c.size, c.charge) for c in fitting], dtype=np.intp)
    order = recommended_order(ranks, np.array([c.margin for c in fitting]))
    return tuple(fitting[i] for i in order)


def candidates_of(solved: SolvedCase, family: Family, fitted: PowerElement | None = None) -> list[Candidate]:
    """Every size of a family for a solved case, with the power element that it offers for it or with a given one."""
    found = {
        candidate.size: candidate
        for part in family.by_design()
        for candidate in _candidates_of_part(solved, part, fitted and part.fitted_like(fitted))
    }
    return [found[size.name] for size in family.sizes]


def _candidates_of_part(solved: SolvedCase, family: Family, fitted: PowerElement | None) -> list[Candidate]:
    """As `candidates_of`, for sizes that have one window for each m3/h of rated Kv."""
    units = [unit_window(family, member, fitted) for member in solved.members]
    charge, load = units[0][0], solved.case.load_w
    windows = [solved.windows(family, m, unit, fitted) for m, (_, _, unit) in zip(solved.members, units, strict=True)]
    bounds = [_limits(solved.members, [own[s.name] for own in windows], s.kv_rated_m3h) for s in family.sizes]
    names = [member.refrigerant.name for member in solved.members]
    # The member that comes nearest to a limit says how the valve works.
    nearest = [
        -1
        if math.isnan(high.load_w)
        else names.index(low.member if load / low.load_w < high.load_w / load else high.member)
        for low, high in bounds
    ]
    heads: dict[int, tuple[AtHead, ...]] = {}
    for which in sorted({index for index in nearest if index >= 0}):
        own = [i for i, index in enumerate(nearest) if index == which]
        per_kv = np.array([load / family.sizes[i].kv_rated_m3h for i in own])
        heads |= zip(own, at_heads(solved.members[which], family, units[which][1], per_kv), strict=True)
    shown = [names[index] if index >= 0 else "" for index in nearest]
    return [
        _candidate(family, size, charge, load, bounds[i], heads.get(i, ()), shown[i])
        for i, size in enumerate(family.sizes)
    ]


def _candidate(
    family: Family,
    size: Size,
    charge: str,
    load: float,
    bounds: tuple[Limit, Limit],
    heads: tuple[AtHead, ...],
    heads_member: str,
) -> Candidate:
    minimum, maximum = bounds
    if math.isnan(maximum.load_w):
        return Candidate(
            family=family.name,
            size=size.name,
            kv_rated_m3h=size.kv_rated_m3h,
            charge=charge,
            verdict="no_window",
            minimum=minimum,
            maximum=maximum,
            position=math.nan,
            margin=math.nan,
            heads=(),
        )
    under, over = load / minimum.load_w, maximum.load_w / load
    # A load on the limit to the last digit is covered.
    verdict = "too_large" if under < 1.0 - TIE else "too_small" if over < 1.0 - TIE else "fits"
    position = math.log(under) / math.log(maximum.load_w / minimum.load_w)
    return Candidate(
        family=family.name,
        size=size.name,
        kv_rated_m3h=size.kv_rated_m3h,
        charge=charge,
        verdict=verdict,
        minimum=minimum,
        maximum=maximum,
        position=position,
        margin=min(under, over),
        heads=heads,
        heads_member=heads_member,
    )


def _limits(members: Sequence[Solved], windows: Sequence[Window], kv: float) -> tuple[Limit, Limit]:
    """The common part of the members' windows; empty by the first empty member's reason, or where they do not meet."""
    names = [member.refrigerant.name for member in members]
    for name, window in zip(names, windows, strict=True):
        if math.isnan(window.max_load_w[0]):
            ends = zip(
                (window.min_condition[0], window.max_condition[0]),
                (window.min_reason[0], window.max_reason[0]),
                strict=True,
            )
            empty = [Limit(math.nan, name, _text(condition), _text(reason)) for condition, reason in ends]
            return empty[0], empty[1]
    low = int(np.argmax([window.min_load_w[0] for window in windows]))
    high = int(np.argmin([window.max_load_w[0] for window in windows]))
    first, last = windows[low], windows[high]
    minimum = Limit(
        float(first.min_load_w[0]) * kv, names[low], _text(first.min_condition[0]), _text(first.min_reason[0])
    )
    maximum = Limit(
        float(last.max_load_w[0]) * kv, names[high], _text(last.max_condition[0]), _text(last.max_reason[0])
    )
    if minimum.load_w >= maximum.load_w:
        return replace(minimum, load_w=math.nan, reason="crossed"), replace(maximum, load_w=math.nan, reason="crossed")
    return minimum, maximum


def at_heads(member: Solved, family: Family, valve: Valve | None, load_per_kv: Floats) -> list[tuple[AtHead, ...]]:
    """Opening, superheat and zone at each head, at full flow, of several loads per Kv."""
    count = len(load_per_kv)
    if valve is None:
        return [()] * count
    law, places = law_of(family), np.zeros(count, dtype=np.intp)
    required_kvs = member.required_kvs[law.key]
    limits = member.application.systems[member.refrigerant.name].superheat
    found: list[list[AtHead]] = [[] for _ in range(count)]
    for condition, index in member.at_full_flow().items():
        # The one state of the case, for each load.
        item, opened = member.states[index].at(places), member.opened_at(condition, valve, law)
        open_phase = None if opened is None else (opened[0].at(places), opened[1][places])
        point = operating_point(valve, item, required_kvs[index][places], load_per_kv, limits, open_phase)
        for i, heads in enumerate(found):
            heads.append(
                AtHead(
                    condition=condition.value,
                    head_pressure_pa=float(item.state.head_pressure_pa[i]),
                    opening=float(point.opening[i]),
                    superheat_k=float(point.superheat_k[i]),
                    zone=str(point.zone[i]),
                )
            )
    return [tuple(heads) for heads in found]


def _text(member: object) -> str:
    return "" if member is None else str(member)
