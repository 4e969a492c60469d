"""Limits of a table that something else than its own conditions would set tighter."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import LIMITS, Common, PartTable, Unit, tighter
from tablegen.audit.prints import Prints
from tablegen.audit.scans import Scans
from tablegen.audit.variants import BETWEEN
from tablegen.physics.arrays import Floats


def tightening_cells(table: PartTable, scans: Sequence[Scans], prints: Prints) -> list[Cell]:
    """What was found in a table whose members were looked at, in the order of the group."""
    base = Common.of([own.base[table.family] for own in scans])
    cells = [*_between_heads(table, base, scans, prints), *_between_rows(table, base, scans, prints)]
    corners = [own.corners[table.family] if own.corners else own.base[table.family] for own in scans]
    if any(own.corners for own in scans):
        cells += _otherwise(table, base, corners, Kind.SUBCOOLING_CORNER, prints, lambda member: "")
    responses = [own.response[table.family] if own.response else own.base[table.family] for own in scans]
    if any(own.response for own in scans):
        cells += _otherwise(
            table, base, responses, Kind.OTHER_RESPONSE, prints, lambda member: scans[member].response_name
        )
    return cells


def _between_heads(table: PartTable, base: Common, scans: Sequence[Scans], prints: Prints) -> list[Cell]:
    """Limits set at a head between the conditions, and heads there that forbid the valve."""
    family = table.family
    if not all(family in own.heads for own in scans):
        # A member that the family offers nothing for empties the whole table.
        return []
    swept = [own.heads[family] for own in scans]
    none = np.full(table.sst_k.size, None, dtype=object)
    common = Common.of([Unit(s.min_load_w, s.max_load_w, none) for s in swept])
    cells = []
    for limit, key in (("minimum", "min"), ("maximum", "max")):

        def where(row: int, limit: str = limit, key: str = key) -> dict[str, Any]:
            member = int(common.by(limit)[row])
            at_pa = swept[member].min_at_pa if key == "min" else swept[member].max_at_pa
            return {
                "refrigerant": table.members[member],
                "head_pressure_pa": float(at_pa[row]),
                "detail": str(swept[member].response[key][row]),
            }

        cells += _tighter(table, limit, base.limit(limit), common.limit(limit), Kind.BETWEEN_HEADS, prints, where)
    for member, own in zip(table.members, swept, strict=True):
        for row in np.flatnonzero(own.blocked != None):  # noqa: E711 - elementwise over an object array
            for size in np.flatnonzero(table.is_open[:, row]):
                cells.append(
                    table.cell(
                        Kind.SHUT_BETWEEN_HEADS,
                        int(size),
                        int(row),
                        refrigerant=member,
                        detail=str(own.blocked[row]),
                        head_pressure_pa=float(own.blocked_at_pa[row]),
                    )
                )
    return cells


def _otherwise(
    table: PartTable, base: Common, units: Sequence[Unit], kind: Kind, prints: Prints, detail: Callable[[int], str]
) -> list[Cell]:
    """Limits that the same conditions, solved otherwise, set tighter, and windows that they empty."""
    common = Common.of(units)
    cells = []
    for limit in LIMITS:

        def where(row: int, limit: str = limit) -> dict[str, Any]:
            member = int(common.by(limit)[row])
            return {"refrigerant": table.members[member], "detail": detail(member)}

        cells += _tighter(table, limit, base.limit(limit), common.limit(limit), kind, prints, where)
    for row in np.flatnonzero(np.isnan(common.min_w)):
        member = int(common.min_by[row])
        why = str(units[member].why[row])
        more = {"refrigerant": table.members[member], "detail": " ".join(filter(None, (detail(member), why)))}
        cells += [table.cell(kind, int(i), int(row), **more) for i in np.flatnonzero(table.is_open[:, row])]
    return cells


def _tighter(
    table: PartTable,
    limit: str,
    base: Floats,
    other: Floats,
    kind: Kind,
    prints: Prints,
    where: Callable[[int], Mapping[str, Any]],
) -> list[Cell]:
    """A cell for each open window whose limit is tighter; mild where the rounding of every print covers it.

    Published limits move in the proportion in which the unit's do, whatever else stands between the two.
    """
    cells = []
    for row in np.flatnonzero(tighter(limit, base, other)):
        for size in np.flatnonzero(table.is_open[:, row]):
            published = float(table.limit(limit)[size, row])
            found = published * float(other[row] / base[row])
            window = float(table.min_w[size, row]), float(table.max_w[size, row])
            is_mild = not prints.promises_more(limit, *window, found)
            cells.append(
                table.cell(
                    kind,
                    int(size),
                    int(row),
                    limit=limit,
                    from_load_w=published,
                    to_load_w=found,
                    is_mild=is_mild,
                    **where(int(row)),
                )
            )
    return cells


def _between_rows(table: PartTable, base: Common, scans: Sequence[Scans], prints: Prints) -> list[Cell]:
    """Where the rule of reading fails that between two rows a load must lie in both windows."""
    units = [own.between[table.family] for own in scans]
    common = Common.of(units)
    inner = BETWEEN - 1
    cells = []
    for row in range(table.sst_k.size - 1):
        places = np.arange(row * inner, (row + 1) * inner)
        both = table.is_open[:, row] & table.is_open[:, row + 1]
        for limit in LIMITS if both.any() else ():
            rule, pick = (np.maximum, np.nanargmax) if limit == "minimum" else (np.minimum, np.nanargmin)
            found = common.limit(limit)[places]
            promised = rule(base.limit(limit)[row], base.limit(limit)[row + 1])
            if np.isnan(found).all():
                continue
            at = int(pick(found))
            if tighter(limit, np.asarray(promised), found[at]):
                cells += _between_two(table, row, at, limit, float(found[at] / promised), both, prints)
        if both.any() and np.isnan(common.min_w[places]).any():
            cells += _shut_between(table, row, places, common, units, both)
    return cells


def _between_two(
    table: PartTable, row: int, at: int, limit: str, share: float, both: Any, prints: Prints
) -> list[Cell]:
    """Cells of the sizes with both windows; what is promised is the narrower of the two."""
    temperature = _between_k(table, row, at)
    cells = []
    for size in np.flatnonzero(both):
        minimum = float(table.min_w[size, row : row + 2].max())
        maximum = float(table.max_w[size, row : row + 2].min())
        promised = minimum if limit == "minimum" else maximum
        is_mild = not prints.promises_more(limit, minimum, maximum, promised * share)
        cells.append(
            table.cell(
                Kind.BETWEEN_ROWS,
                int(size),
                row,
                to_sst_k=temperature,
                limit=limit,
                from_load_w=promised,
                to_load_w=promised * share,
                is_mild=is_mild,
            )
        )
    return cells


def _shut_between(
    table: PartTable, row: int, places: Any, common: Common, units: Sequence[Unit], both: Any
) -> list[Cell]:
    at = int(np.flatnonzero(np.isnan(common.min_w[places]))[0])
    member = int(common.min_by[places[at]])
    why = str(units[member].why[places[at]])
    return [
        table.cell(
            Kind.BETWEEN_ROWS,
            int(size),
            row,
            to_sst_k=_between_k(table, row, at),
            detail=why,
            refrigerant=table.members[member],
        )
        for size in np.flatnonzero(both)
    ]


def _between_k(table: PartTable, row: int, at: int) -> float:
    low, high = float(table.sst_k[row]), float(table.sst_k[row + 1])
    return low + (high - low) * (at + 1) / BETWEEN
