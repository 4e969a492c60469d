"""Limits of a table that something else than its own conditions would make stricter.

Every refrigerant is solved again in every application: at head pressures between the conditions, with the other ends of
its subcooling ranges, with the other suction response, and at suction temperatures between the rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.audits.findings import Finding, FindingKind, LimitKind
from tablegen.audits.heads import TightestLimits, tightest_limits
from tablegen.audits.printed_table import CommonLimits, Limits, PrintedTable, PrintUnits, is_stricter
from tablegen.model.inputs import Application, Family
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import HeadCondition, SuctionResponse, SystemInputs

# Steps into which the distance of two suction temperatures is divided.
_STEPS = 4


@dataclass(frozen=True, slots=True)
class UnitLimits:
    """Limits along the suction grid per m3/h of rated Kv, with the reason where there is no window."""

    load_w: Limits
    why: Names


_Units = Mapping[str, UnitLimits]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variants:
    """One refrigerant in one application, by family or part of one: as the tables have it, and otherwise.

    Attributes
    ----------
    base : mapping of str to UnitLimits
    heads : mapping of str to TightestLimits
        Over every head pressure between the conditions.
    between : mapping of str to UnitLimits
        At the suction temperatures between the rows.
    corners, response : mapping of str to UnitLimits, or None
        With the other ends of ranges of subcooling, and with the other suction response; None where there is none.
    response_name : str
    is_response_missing : bool
        Whether the other response could not be solved.
    """

    base: _Units
    heads: Mapping[str, TightestLimits]
    between: _Units
    corners: _Units | None
    response: _Units | None
    response_name: str
    is_response_missing: bool


def solve_variants(families: Sequence[Family], solved: Solved, box_difference_k: float | None = None) -> Variants:
    """Solve one refrigerant in one application otherwise, for some families.

    Parameters
    ----------
    families : sequence of Family
    solved : Solved
        The refrigerant in the application, as the tables have it.
    box_difference_k : float, optional
        Box less evaporating temperature at the rating point, where the application gives none [K].

    Returns
    -------
    Variants
        By family, limits per m3/h of rated Kv [W].

    Raises
    ------
    PropertyError
        If the property library fails where it should not.
    """
    refrigerant, application = solved.refrigerant, solved.application
    corners = _other_corners(application, refrigerant.name)
    response = _other_response(application, refrigerant.name, box_difference_k)
    return Variants(
        base=_limits(families, solved),
        heads=tightest_limits(families, solved),
        between=_solved(families, refrigerant, replace(application, sst_k=_sst_between(application.sst_k).ravel())),
        corners=None if corners is None else _solved(families, refrigerant, corners),
        response=None if response is None else _solved(families, refrigerant, response),
        response_name="" if response is None else response.systems[refrigerant.name].response.value,
        is_response_missing=_is_response_missing(application, refrigerant.name, box_difference_k),
    )


def _solved(families: Sequence[Family], refrigerant: Refrigerant, application: Application) -> _Units:
    return _limits(families, solve(refrigerant, application, laws_of(families)))


def _limits(families: Sequence[Family], solved: Solved) -> _Units:
    windows = {part.part_name: unit_window(part, solved)[2] for family in families for part in family.by_design()}
    return {
        name: UnitLimits({limit: limit.of(w.min_load_w, w.max_load_w) for limit in LimitKind}, w.max_reason)
        for name, w in windows.items()
    }


def _other_corners(application: Application, refrigerant: str) -> Application | None:
    """The maximum load checked at the maximum subcooling, the minimum at the minimum; None where nothing is a range."""
    own = application.systems[refrigerant]
    if not any(condition.liquid.is_range for condition in own.conditions):
        return None
    low, rating, high = (_exchanged(condition) for condition in (own.low_head, own.rating, own.high_head))
    return _with_system(application, refrigerant, replace(own, low_head=low, rating=rating, high_head=high))


def _exchanged(condition: HeadCondition) -> HeadCondition:
    liquid = condition.liquid
    if not liquid.is_range:
        return condition
    ends = replace(liquid, min_subcooling_k=liquid.max_subcooling_k, max_subcooling_k=liquid.min_subcooling_k)
    return replace(condition, liquid=ends)


def _is_response_missing(application: Application, refrigerant: str, box_difference_k: float | None) -> bool:
    """Whether SST is constant and a balanced one has no difference of box and evaporator to start from."""
    own = application.systems[refrigerant]
    if own.keeps_capacity:
        # A rack holds the SST: there is no other response.
        return False
    return own.response is SuctionResponse.CONSTANT and own.box_difference_k is None and box_difference_k is None


def _other_response(application: Application, refrigerant: str, box_difference_k: float | None) -> Application | None:
    """Balanced SST in place of constant, or the reverse; None where both are computed anyhow, or it is missing."""
    own = application.systems[refrigerant]
    if (
        own.keeps_capacity
        or own.response is SuctionResponse.STRICTER
        or _is_response_missing(application, refrigerant, box_difference_k)
    ):
        return None
    if own.response is SuctionResponse.BALANCED:
        return _with_system(application, refrigerant, replace(own, response=SuctionResponse.CONSTANT))
    box = own.box_difference_k if own.box_difference_k is not None else box_difference_k
    return _with_system(application, refrigerant, replace(own, response=SuctionResponse.BALANCED, box_difference_k=box))


def _sst_between(rows_k: Floats) -> Floats:
    """Suction temperatures between each two rows [K], without the rows themselves, shape (rows - 1, steps - 1)."""
    return rows_k[:-1, None] + np.arange(1, _STEPS) / _STEPS * np.diff(rows_k)[:, None]


def _with_system(application: Application, refrigerant: str, system: SystemInputs) -> Application:
    return replace(application, systems={**application.systems, refrigerant: system})


def tightening_findings(
    table: PrintedTable, family: Family, variants: Sequence[Variants], units: PrintUnits
) -> Iterator[Finding]:
    """What was found in a table whose members were solved otherwise, in the order of the group."""
    for part in family.by_design():
        yield from _of_part(table.of_sizes([size.name for size in part.sizes]), part.part_name, variants, units)


def _of_part(table: PrintedTable, family: str, variants: Sequence[Variants], units: PrintUnits) -> Iterator[Finding]:
    """As `tightening_findings`, for the sizes of one port design."""
    base = CommonLimits.of([own.base[family].load_w for own in variants])
    yield from _between_heads(table, family, base, variants, units)
    yield from _at_sst_between(table, base, [own.between[family] for own in variants], units)
    if any(own.corners for own in variants):
        corners = [(own.corners or own.base)[family] for own in variants]
        yield from _otherwise(table, base, corners, FindingKind.SUBCOOLING_CORNER, units, [""] * len(variants))
    if any(own.response for own in variants):
        responses = [(own.response or own.base)[family] for own in variants]
        names = [own.response_name for own in variants]
        yield from _otherwise(table, base, responses, FindingKind.OTHER_RESPONSE, units, names)


def _between_heads(
    table: PrintedTable, family: str, base: CommonLimits, variants: Sequence[Variants], units: PrintUnits
) -> Iterator[Finding]:
    """Limits set at a head pressure between the conditions, and head pressures there at which a valve cannot operate."""
    if not all(family in own.heads for own in variants):
        # A member that the family offers nothing for empties the whole table.
        return
    swept = [own.heads[family] for own in variants]
    common = CommonLimits.of([own.load_w for own in swept])
    for finding, limit, row, member in _stricter(table, base, common, FindingKind.BETWEEN_HEADS, units):
        response, at_pa = swept[member].response[limit][row], float(swept[member].at_pa[limit][row])
        yield replace(finding, response=str(response), head_pressure_pa=at_pa)
    for refrigerant, own in zip(table.members, swept, strict=True):
        for row, blocked in enumerate(own.blocked):
            if blocked is not None:
                for _, finding in table.findings(FindingKind.SHUT_BETWEEN_HEADS, row):
                    at_pa = float(own.blocked_at_pa[row])
                    yield replace(finding, refrigerant=refrigerant, reason=str(blocked), head_pressure_pa=at_pa)


def _otherwise(
    table: PrintedTable,
    base: CommonLimits,
    limits: Sequence[UnitLimits],
    kind: FindingKind,
    units: PrintUnits,
    responses: Sequence[str],
) -> Iterator[Finding]:
    """Limits that the same conditions, solved otherwise, make stricter, and windows that they empty."""
    common = CommonLimits.of([own.load_w for own in limits])
    for finding, _, _, member in _stricter(table, base, common, kind, units):
        yield replace(finding, response=responses[member])
    for row in map(int, np.flatnonzero(np.isnan(common.load_w[LimitKind.MINIMUM]))):
        member = int(common.set_by[LimitKind.MINIMUM][row])
        named = table.members[member], responses[member], str(limits[member].why[row])
        for _, finding in table.findings(kind, row):
            yield replace(finding, refrigerant=named[0], response=named[1], reason=named[2])


def _stricter(
    table: PrintedTable, base: CommonLimits, other: CommonLimits, kind: FindingKind, units: PrintUnits
) -> Iterator[tuple[Finding, LimitKind, int, int]]:
    """A finding for each open window whose limit is stricter than that of the table's own conditions.

    With it the limit, the row, and the member that sets it.  It is mild where the rounding of every print covers it.
    Published limits move in the proportion in which those of a unit of Kv do, whatever else is between the two.
    """
    for limit in LimitKind:
        own, moved = base.load_w[limit], other.load_w[limit]
        for row in map(int, np.flatnonzero(is_stricter(limit, own, moved))):
            member = int(other.set_by[limit][row])
            for size, finding in table.findings(kind, row):
                published = float(table.limit(limit)[size, row])
                found = published * float(moved[row] / own[row])
                is_mild = not units.promise_more(limit, table.window(size, row), found)
                named = replace(finding, limit=limit, refrigerant=table.members[member], is_mild=is_mild)
                yield replace(named, from_load_w=published, to_load_w=found), limit, row, member


def _at_sst_between(
    table: PrintedTable, base: CommonLimits, limits: Sequence[UnitLimits], units: PrintUnits
) -> Iterator[Finding]:
    """Where the rule fails that between two rows a load must be in both windows."""
    common = CommonLimits.of([own.load_w for own in limits])
    minimum = common.load_w[LimitKind.MINIMUM]
    for row, sst_k in enumerate(_sst_between(table.sst_k)):
        between = np.arange(row * sst_k.size, (row + 1) * sst_k.size)
        both = table.is_open[:, row] & table.is_open[:, row + 1]
        if not both.any():
            continue
        for limit in LimitKind:
            rule, pick = limit.of(np.maximum, np.minimum), limit.of(np.nanargmax, np.nanargmin)
            found = common.load_w[limit][between]
            promised = rule(*base.load_w[limit][row : row + 2])
            if np.isnan(found).all():
                continue
            at = int(pick(found))
            if is_stricter(limit, promised, found[at]):
                share = float(found[at] / promised)
                yield from _stricter_between(table, row, float(sst_k[at]), limit, share, both, units)
        if np.isnan(minimum[between]).any():
            at = int(np.flatnonzero(np.isnan(minimum[between]))[0])
            member = int(common.set_by[LimitKind.MINIMUM][between[at]])
            for _, finding in table.findings(FindingKind.BETWEEN_ROWS, row, both):
                reason = str(limits[member].why[between[at]])
                named = replace(finding, reason=reason, refrigerant=table.members[member])
                yield replace(named, to_sst_k=float(sst_k[at]))


def _stricter_between(
    table: PrintedTable, row: int, sst_k: float, limit: LimitKind, share: float, both: Bools, units: PrintUnits
) -> Iterator[Finding]:
    """Findings of the sizes with both windows; what is promised is the narrower of the two."""
    for size, finding in table.findings(FindingKind.BETWEEN_ROWS, row, both):
        window = float(table.min_w[size, row : row + 2].max()), float(table.max_w[size, row : row + 2].min())
        promised = limit.of(*window)
        is_mild = not units.promise_more(limit, window, promised * share)
        named = replace(finding, to_sst_k=sst_k, limit=limit, is_mild=is_mild)
        yield replace(named, from_load_w=promised, to_load_w=promised * share)
