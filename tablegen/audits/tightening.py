"""Limits of a table that something else than its own conditions would set tighter.

Every refrigerant is solved again in every application: at head pressures between the conditions, with the other ends of
its subcooling ranges, with the other suction response, and at suction temperatures between the rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.audits.findings import Finding, FindingKind, LimitKind
from tablegen.audits.heads import TightestLimits, tightest_limits
from tablegen.audits.printed_table import CommonLimits, PrintedTable, PrintUnits, UnitLimits, is_tighter
from tablegen.model.inputs import Application, Family
from tablegen.model.solving import Solved, laws_of, solve, unit_window
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.system import HeadCondition, SuctionResponse, SystemInputs

# Steps into which the distance of two suction temperatures is divided.
_STEPS = 4
_Units = Mapping[str, UnitLimits]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variants:
    """One refrigerant in one application, by family: as the tables have it, and otherwise.

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

    `box_difference_k` [K] is used where the application gives no difference of box and evaporator.
    """
    refrigerant, application = solved.refrigerant, solved.application
    corners = _other_corners(application, refrigerant.name)
    response = _other_response(application, refrigerant.name, box_difference_k)
    return Variants(
        base=_limits(families, solved),
        heads=tightest_limits(families, solved),
        between=_solved(families, refrigerant, _between_rows(application)),
        corners=None if corners is None else _solved(families, refrigerant, corners),
        response=None if response is None else _solved(families, refrigerant, response),
        response_name="" if response is None else response.systems[refrigerant.name].response.value,
        is_response_missing=_is_response_missing(application, refrigerant.name, box_difference_k),
    )


def _solved(families: Sequence[Family], refrigerant: Refrigerant, application: Application) -> _Units:
    return _limits(families, solve(refrigerant, application, laws_of(families)))


def _limits(families: Sequence[Family], solved: Solved) -> _Units:
    windows = {family.name: unit_window(family, solved)[2] for family in families}
    return {name: UnitLimits(w.min_load_w, w.max_load_w, w.max_reason) for name, w in windows.items()}


def _other_corners(application: Application, refrigerant: str) -> Application | None:
    """The maximum load checked at the maximum subcooling, the minimum at the minimum; None where nothing is a range."""
    own = application.systems[refrigerant]
    if not any(condition.liquid.is_range for condition in own.conditions):
        return None
    low, rating, high = (_exchanged(condition) for condition in (own.low_head, own.rating, own.high_head))
    return _with_system(application, refrigerant, replace(own, low_head=low, rating=rating, high_head=high))


def _exchanged(condition: HeadCondition) -> HeadCondition:
    liquid = condition.liquid
    ends = {"min_subcooling_k": liquid.max_subcooling_k, "max_subcooling_k": liquid.min_subcooling_k}
    return replace(condition, liquid=replace(liquid, **ends)) if liquid.is_range else condition


def _is_response_missing(application: Application, refrigerant: str, box_difference_k: float | None) -> bool:
    """Whether SST is constant and a balanced one has no difference of box and evaporator to start from."""
    own = application.systems[refrigerant]
    return own.response is SuctionResponse.CONSTANT and own.box_difference_k is None and box_difference_k is None


def _other_response(application: Application, refrigerant: str, box_difference_k: float | None) -> Application | None:
    """Balanced SST in place of constant, or the reverse; None where both are computed anyhow, or it is missing."""
    own = application.systems[refrigerant]
    if own.response is SuctionResponse.STRICTER or _is_response_missing(application, refrigerant, box_difference_k):
        return None
    if own.response is SuctionResponse.BALANCED:
        return _with_system(application, refrigerant, replace(own, response=SuctionResponse.CONSTANT))
    box = own.box_difference_k if own.box_difference_k is not None else box_difference_k
    balanced = replace(own, response=SuctionResponse.BALANCED, box_difference_k=box)
    return _with_system(application, refrigerant, balanced)


def _between_rows(application: Application) -> Application:
    """The suction temperatures between the rows, without the rows themselves."""
    rows = application.sst_k
    shares = np.arange(1, _STEPS) / _STEPS
    between = rows[:-1, None] + shares * np.diff(rows)[:, None]
    return replace(application, sst_k=between.ravel())


def _with_system(application: Application, refrigerant: str, system: SystemInputs) -> Application:
    return replace(application, systems={**application.systems, refrigerant: system})


def tightening_findings(table: PrintedTable, variants: Sequence[Variants], units: PrintUnits) -> Iterator[Finding]:
    """What was found in a table whose members were solved otherwise, in the order of the group."""
    family = table.family
    base = CommonLimits.of([own.base[family] for own in variants])
    yield from _between_heads(table, base, variants, units)
    yield from _at_sst_between(table, base, [own.between[family] for own in variants], units)
    if any(own.corners for own in variants):
        corners = [(own.corners or own.base)[family] for own in variants]
        yield from _otherwise(table, base, corners, FindingKind.SUBCOOLING_CORNER, units, [""] * len(variants))
    if any(own.response for own in variants):
        responses = [(own.response or own.base)[family] for own in variants]
        names = [own.response_name for own in variants]
        yield from _otherwise(table, base, responses, FindingKind.OTHER_RESPONSE, units, names)


def _between_heads(
    table: PrintedTable, base: CommonLimits, variants: Sequence[Variants], units: PrintUnits
) -> Iterator[Finding]:
    """Limits set at a head pressure between the conditions, and head pressures there at which a valve cannot operate."""
    if not all(table.family in own.heads for own in variants):
        # A member that the family offers nothing for empties the whole table.
        return
    swept = [own.heads[table.family] for own in variants]
    none = np.full(table.sst_k.size, None, dtype=object)
    common = CommonLimits.of([UnitLimits(own.min_load_w, own.max_load_w, none) for own in swept])
    for limit in LimitKind:

        def at_head(finding: Finding, row: int, limit: LimitKind = limit) -> Finding:
            member = int(common.set_by(limit)[row])
            own = swept[member]
            is_min = limit is LimitKind.MINIMUM
            at_pa = own.min_at_pa if is_min else own.max_at_pa
            response = own.response["min" if is_min else "max"][row]
            named = replace(finding, refrigerant=table.members[member], response=str(response))
            return replace(named, head_pressure_pa=float(at_pa[row]))

        found = _tighter(table, limit, (base.limit(limit), common.limit(limit)), FindingKind.BETWEEN_HEADS, units)
        yield from (at_head(finding, row) for finding, row in found)
    for member, own in zip(table.members, swept, strict=True):
        for row, blocked in enumerate(own.blocked):
            if blocked is not None:
                for size in np.flatnonzero(table.is_open[:, row]):
                    finding = table.finding(FindingKind.SHUT_BETWEEN_HEADS, int(size), row)
                    named = replace(finding, refrigerant=member, reason=str(blocked))
                    yield replace(named, head_pressure_pa=float(own.blocked_at_pa[row]))


def _otherwise(
    table: PrintedTable,
    base: CommonLimits,
    limits: Sequence[UnitLimits],
    kind: FindingKind,
    units: PrintUnits,
    responses: Sequence[str],
) -> Iterator[Finding]:
    """Limits that the same conditions, solved otherwise, set tighter, and windows that they empty."""
    common = CommonLimits.of(limits)
    for limit in LimitKind:
        for finding, row in _tighter(table, limit, (base.limit(limit), common.limit(limit)), kind, units):
            member = int(common.set_by(limit)[row])
            yield replace(finding, refrigerant=table.members[member], response=responses[member])
    for row in map(int, np.flatnonzero(np.isnan(common.min_w))):
        member = int(common.min_by[row])
        reason = str(limits[member].why[row])
        for size in np.flatnonzero(table.is_open[:, row]):
            finding = table.finding(kind, int(size), row)
            yield replace(finding, refrigerant=table.members[member], response=responses[member], reason=reason)


def _tighter(
    table: PrintedTable, limit: LimitKind, limits: tuple[Floats, Floats], kind: FindingKind, units: PrintUnits
) -> Iterator[tuple[Finding, int]]:
    """A finding and its row for each open window whose limit is tighter than that of the table's own conditions.

    It is mild where the rounding of every print covers it.  Published limits move in the proportion in which those of
    a unit of Kv do, whatever else is between the two.
    """
    base, other = limits
    for row in map(int, np.flatnonzero(is_tighter(limit, base, other))):
        for size in map(int, np.flatnonzero(table.is_open[:, row])):
            published = float(table.limit(limit)[size, row])
            found = published * float(other[row] / base[row])
            finding = replace(table.finding(kind, size, row), limit=limit, from_load_w=published, to_load_w=found)
            yield replace(finding, is_mild=not units.promise_more(limit, table.window(size, row), found)), row


def _at_sst_between(
    table: PrintedTable, base: CommonLimits, limits: Sequence[UnitLimits], units: PrintUnits
) -> Iterator[Finding]:
    """Where the rule fails that between two rows a load must be in both windows."""
    common = CommonLimits.of(limits)
    inner = _STEPS - 1
    for row in range(table.sst_k.size - 1):
        between = np.arange(row * inner, (row + 1) * inner)
        both = table.is_open[:, row] & table.is_open[:, row + 1]
        if not both.any():
            continue
        for limit in LimitKind:
            rule, pick = (np.maximum, np.nanargmax) if limit is LimitKind.MINIMUM else (np.minimum, np.nanargmin)
            found = common.limit(limit)[between]
            promised = rule(base.limit(limit)[row], base.limit(limit)[row + 1])
            if np.isnan(found).all():
                continue
            at = int(pick(found))
            if is_tighter(limit, np.asarray(promised), found[at]):
                share = float(found[at] / promised)
                yield from _tighter_between(table, (row, at), limit, share, both, units)
        if np.isnan(common.min_w[between]).any():
            at = int(np.flatnonzero(np.isnan(common.min_w[between]))[0])
            member = int(common.min_by[between[at]])
            reason = str(limits[member].why[between[at]])
            for size in np.flatnonzero(both):
                finding = table.finding(FindingKind.BETWEEN_ROWS, int(size), row)
                named = replace(finding, reason=reason, refrigerant=table.members[member])
                yield replace(named, to_sst_k=_sst_between(table, row, at))


def _tighter_between(
    table: PrintedTable, at: tuple[int, int], limit: LimitKind, share: float, both: Bools, units: PrintUnits
) -> Iterator[Finding]:
    """Findings of the sizes with both windows; what is promised is the narrower of the two."""
    row, step = at
    for size in map(int, np.flatnonzero(both)):
        minimum = float(table.min_w[size, row : row + 2].max())
        maximum = float(table.max_w[size, row : row + 2].min())
        promised = minimum if limit is LimitKind.MINIMUM else maximum
        finding = replace(
            table.finding(FindingKind.BETWEEN_ROWS, size, row),
            to_sst_k=_sst_between(table, row, step),
            limit=limit,
            from_load_w=promised,
            to_load_w=promised * share,
        )
        yield replace(finding, is_mild=not units.promise_more(limit, (minimum, maximum), promised * share))


def _sst_between(table: PrintedTable, row: int, step: int) -> float:
    low, high = float(table.sst_k[row]), float(table.sst_k[row + 1])
    return low + (high - low) * (step + 1) / _STEPS
