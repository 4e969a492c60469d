"""A printed window calculated again, each limit from the config's figures to the rounded number."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tablegen.answers.case import Case, solve_case
from tablegen.answers.in_print import in_print
from tablegen.answers.obstacles import Obstacle, obstacle_of
from tablegen.answers.pick import Candidate, Limit, pick_solved
from tablegen.calculation.steps import Calculation
from tablegen.calculation.valve_steps import (
    AtState,
    MemberCalculation,
    member_calculation,
    rated_kv_calculation,
    size_calculation,
)
from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue, Family, Size
from tablegen.model.names import size_of
from tablegen.model.offer import offered_families
from tablegen.physics.arrays import Floats
from tablegen.physics.reasons import Reason
from tablegen.wording import trace as wording

# A second way through the same equations may differ in the last digits.
AGREES = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedLimit:
    """One limit of a cell, worked out.

    `rating`, `head`, `valve` and `size` follow one another. `states` gives the load [W, for the size] that each state
    of the binding member allows, a state by its head, suction response and side; `binding` is the one that sets the
    limit. `members` gives the limit [W] of each member of the group.
    """

    is_max: bool
    limit: Limit
    binding: tuple[str, str, str]
    rated_kv: Calculation | None
    setting: Calculation
    rating: Calculation
    head: Calculation
    liquid: Calculation
    valve: Calculation
    size: Calculation
    states: tuple[tuple[tuple[str, str, str], float], ...]
    members: tuple[tuple[str, float], ...]

    @property
    def load_w(self) -> float:
        """The limit as the working gives it [W]."""
        return float(self.size.values["Q"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """A cell worked out: its case and valve, and both limits; without limits `obstacle` says why it is empty.

    A window that is empty because its limits cross has them both, and the obstacle too.  `not_printed` says why no
    booklet prints the window, as a clause; it is empty where one does.
    """

    case: Case
    family: str
    size: str
    candidate: Candidate
    minimum: TracedLimit | None
    maximum: TracedLimit | None
    obstacle: Obstacle | None
    not_printed: str = ""


def trace(catalogue: Catalogue, case: Case, family: str, size: str, is_overridden: bool = False) -> Trace:
    """Work out the window of one size for a case; the case's load counts for nothing.

    `is_overridden` says that keys of the application were given otherwise than in its file.

    Raises
    ------
    RequestError
        If a name is not in the catalogue, the family is not offered for the case, or the calculation does not come to
        the figure of the tables.
    """
    [own] = offered_families(catalogue, case.refrigerant, case.application, family)
    asked = size_of(own, size)
    not_printed = in_print(catalogue, case, own.name, catalogue.printing.units, is_overridden).why_not
    solved = solve_case(catalogue, case)
    own = own.alone(asked)
    candidate = next(c for c in pick_solved([own], solved).candidates if c.size == asked.name)
    calculations = {m.refrigerant.name: member_calculation(catalogue, m, own) for m in solved.members}
    is_empty = math.isnan(candidate.maximum.load_w)
    site_pa = solved.application.site_pressure_pa
    limit = candidate.maximum
    obstacle = obstacle_of(calculations.get(limit.member), limit, own, site_pa) if is_empty else None
    narrowings = {m.refrigerant.name: solved.narrowing(own, m, asked) for m in solved.members}
    are_limits = all(math.isfinite(k) and k > 0.0 for pair in narrowings.values() for k in pair)
    if is_empty and not (candidate.maximum.reason in (Reason.CROSSED, Reason.CONFIDENCE) and are_limits):
        return Trace(
            case=case,
            family=own.name,
            size=asked.name,
            candidate=candidate,
            minimum=None,
            maximum=None,
            obstacle=obstacle,
            not_printed=not_printed,
        )
    minimum, maximum = (
        _limit(calculations, {n: pair[g] for n, pair in narrowings.items()}, own, asked, candidate, bool(g))
        for g in (0, 1)
    )
    return Trace(
        case=case,
        family=own.name,
        size=asked.name,
        candidate=candidate,
        minimum=minimum,
        maximum=maximum,
        obstacle=obstacle,
        not_printed=not_printed,
    )


def _limit(
    calculations: dict[str, MemberCalculation | None],
    narrowings: dict[str, float],
    family: Family,
    size: Size,
    candidate: Candidate,
    is_max: bool,
) -> TracedLimit:
    """One limit, by the member and the state that bind it."""
    stricter = min if is_max else max
    bound: dict[str, tuple[AtState, Floats]] = {}
    for name, calculation in calculations.items():
        assert calculation is not None
        # Of states that allow the same the first binds, as in the tables.
        bound[name] = stricter(calculation.loads(is_max), key=lambda pair: float(pair[1][0]))
    name = stricter(bound, key=lambda n: float(bound[n][1][0]) * narrowings[n])
    state, unit = bound[name]
    calculation = calculations[name]
    assert calculation is not None
    valve = state.maximum if is_max else state.minimum
    scaled = size_calculation(size, unit, narrowings[name]).at(0)
    limit = candidate.maximum if is_max else candidate.minimum
    found = float(scaled.values["Q"])
    if not math.isnan(limit.load_w) and not abs(found / limit.load_w - 1.0) < AGREES:
        raise RequestError(wording.DISAGREES(calculated=f"{found:.6g}", tabulated=f"{limit.load_w:.6g}"))
    kv = size.kv_rated_m3h
    return TracedLimit(
        is_max=is_max,
        limit=limit,
        binding=_key(state),
        rated_kv=rated_kv_calculation(family.rating, family, size).at(0) if family.rating else None,
        setting=calculation.setting.at(0),
        rating=calculation.rating.at(0),
        head=state.head.at(0),
        liquid=state.liquid.at(0),
        valve=valve.at(0),
        size=scaled,
        states=tuple((_key(s), float(q[0]) * kv) for s, q in calculation.loads(is_max)),
        members=tuple((n, float(q[0]) * kv * narrowings[n]) for n, (_, q) in bound.items()),
    )


def _key(state: AtState) -> tuple[str, str, str]:
    return state.item.condition.value, state.item.response.value, state.item.side.value
