"""A printed window worked out again, each limit from the config's figures to the rounded number."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tablegen.answers.case import Case, solve_case
from tablegen.answers.obstacles import Obstacle, obstacle_of
from tablegen.answers.pick import Candidate, Limit, pick_solved
from tablegen.calculation.members import AtState, MemberWorking, member_working
from tablegen.calculation.steps import Working
from tablegen.calculation.valves import rated_kv_working, size_working
from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue, Combination, Family, Size
from tablegen.model.names import size_of
from tablegen.model.offer import Rules, offered_families
from tablegen.physics.arrays import Floats
from tablegen.physics.reasons import Reason

# A second way through the same equations may differ in the last digits.
AGREES = 1e-8
# A row of a table, whose temperature may have been written in another unit.
_SAME_K = 1e-6


@dataclass(frozen=True, slots=True)
class TracedLimit:
    """One limit of a cell, worked out.

    `rating`, `head`, `valve` and `size` follow one another. `states` gives the load [W, for the size] that each state
    of the binding member allows, a state by its head, suction response and side; `binding` is the one that sets the
    limit. `members` gives the limit [W] of each member of the group.
    """

    is_greatest: bool
    limit: Limit
    binding: tuple[str, str, str]
    rated_kv: Working | None
    setting: Working
    rating: Working
    head: Working
    valve: Working
    size: Working
    states: tuple[tuple[tuple[str, str, str], float], ...]
    members: tuple[tuple[str, float], ...]

    @property
    def load_w(self) -> float:
        """The limit as the working gives it [W]."""
        return float(self.size.values["Q"])


@dataclass(frozen=True, slots=True)
class Trace:
    """A cell worked out: its case and valve, and both limits; without limits `obstacle` says why it is empty.

    A window that is empty because its limits cross has them both, and the obstacle too.  `not_printed` says why no
    booklet prints the window, as a clause; it is empty where one does.
    """

    case: Case
    family: str
    size: str
    candidate: Candidate
    least: TracedLimit | None
    greatest: TracedLimit | None
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
    [own] = offered_families(catalogue, case.refrigerant, case.envelope, family)
    asked = size_of(own, size)
    not_printed = _not_printed(catalogue, case, own.name, is_overridden)
    solved = solve_case(catalogue, case)
    candidate = next(c for c in pick_solved([own], solved).candidates if c.size == asked.name)
    workings = {m.refrigerant.name: member_working(catalogue, m, own) for m in solved.members}
    is_empty = math.isnan(candidate.greatest.load_w)
    site_pa = solved.application.site_pressure_pa
    limit = candidate.greatest
    obstacle = obstacle_of(workings.get(limit.member), limit, own, site_pa) if is_empty else None
    narrowings = {m.refrigerant.name: solved.narrowing(own, m, asked) for m in solved.members}
    are_limits = all(math.isfinite(k) and k > 0.0 for pair in narrowings.values() for k in pair)
    if is_empty and not (candidate.greatest.reason in (Reason.CROSSED, Reason.CONFIDENCE) and are_limits):
        return Trace(case, own.name, asked.name, candidate, None, None, obstacle, not_printed)
    least, greatest = (
        _limit(workings, {n: pair[g] for n, pair in narrowings.items()}, own, asked, candidate, bool(g)) for g in (0, 1)
    )
    return Trace(case, own.name, asked.name, candidate, least, greatest, obstacle, not_printed)


def _not_printed(catalogue: Catalogue, case: Case, family: str, is_overridden: bool) -> str:
    """Why no booklet prints a window, as a clause; empty where one does."""
    if is_overridden:
        return "the case sets other values than the application's file"
    if not (np.abs(catalogue.applications[case.envelope].sst_k - case.sst_k) < _SAME_K).any():
        return "the tables have no row at this suction temperature"
    if case.refrigerant not in catalogue.groups:
        groups = ", ".join(Rules.of(catalogue).groups_of(case.refrigerant))
        return f"tables are printed for groups, this refrigerant's for {groups}"
    wanted = Combination(family, case.refrigerant, case.envelope)
    if not any(wanted in booklet.combinations for booklet in catalogue.booklets):
        return "no booklet of the catalogue prints this table"
    return ""


def _limit(
    workings: dict[str, MemberWorking | None],
    narrowings: dict[str, float],
    family: Family,
    size: Size,
    candidate: Candidate,
    is_greatest: bool,
) -> TracedLimit:
    """One limit, by the member and the state that bind it."""
    tighter = min if is_greatest else max
    bound: dict[str, tuple[AtState, Floats]] = {}
    for name, working in workings.items():
        assert working is not None
        # Of states that allow the same the first binds, as in the tables.
        bound[name] = tighter(working.loads(is_greatest), key=lambda pair: float(pair[1][0]))
    name = tighter(bound, key=lambda n: float(bound[n][1][0]) * narrowings[n])
    state, unit = bound[name]
    working = workings[name]
    assert working is not None
    valve = state.greatest if is_greatest else state.least
    scaled = size_working(size, unit, narrowings[name]).at(0)
    limit = candidate.greatest if is_greatest else candidate.least
    found = float(scaled.values["Q"])
    if not math.isnan(limit.load_w) and not abs(found / limit.load_w - 1.0) < AGREES:
        raise RequestError(
            f"trace: the working comes to {found:.6g} W, the table to {limit.load_w:.6g} W; one of the two is wrong, "
            "please report it with the catalogue"
        )
    kv = size.kv_rated_m3h
    return TracedLimit(
        is_greatest,
        limit,
        _key(state),
        rated_kv_working(family.rating, family, size).at(0) if family.rating else None,
        working.setting.at(0),
        working.rating.at(0),
        state.head.at(0),
        valve.at(0),
        scaled,
        tuple((_key(s), float(q[0]) * kv) for s, q in working.loads(is_greatest)),
        tuple((n, float(q[0]) * kv * narrowings[n]) for n, (_, q) in bound.items()),
    )


def _key(state: AtState) -> tuple[str, str, str]:
    return state.item.extreme.value, state.item.response.value, state.item.side.value
