"""Which cells of an old table have a counterpart in the catalogue, and which of either have none, and why."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np

from tablegen.errors import RequestError
from tablegen.legacy.limit_model import LimitModel, RowBlock, RowLimits, blocks_of
from tablegen.legacy.table_rows import OldRow, OldTable
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import Rules, covers, different_charges, without_charge
from tablegen.model.publications import Combination
from tablegen.physics.arrays import Bools, Floats
from tablegen.wording import old_table as wording
from tablegen.wording import terms

LIMITS = ("min", "max")
# SSTs of an application that are computed for one table; as many as an application file may list.
_MAX_SST = 400
# The same SST through two units of temperature.
_SAME_SST_K = 0.01


@dataclass(frozen=True, slots=True)
class WithoutCounterpart:
    """Some cells of one side (rows of the old table, or windows of ours), and why the other has none."""

    why: str
    cells: int
    first_line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """An old table beside ours.

    Attributes
    ----------
    table : OldTable
    rows : tuple of OldRow
        Those with a counterpart.
    blocks : tuple of RowBlock
        The rows by group and application.
    ours : RowLimits
        Nominal limits of the catalogue [W], along `rows`.
    old_only, ours_only : tuple of WithoutCounterpart
    """

    table: OldTable
    rows: tuple[OldRow, ...]
    blocks: tuple[RowBlock, ...]
    ours: RowLimits
    old_only: tuple[WithoutCounterpart, ...]
    ours_only: tuple[WithoutCounterpart, ...]

    @property
    def old_w(self) -> Floats:
        """The old limits [W], array (rows, 2), NaN where one is missing."""
        return np.array([(row.min_load_w, row.max_load_w) for row in self.rows]).reshape(-1, 2)

    @property
    def log_ratio(self) -> Floats:
        """Logarithm of old over ours [1], array (rows, 2), NaN where the old table has no limit."""
        found: Floats = np.log(self.old_w / self.ours.loads())
        return found

    @property
    def change(self) -> Floats:
        """What replaces the old limit over it, less one [1], array (rows, 2)."""
        return np.expm1(-self.log_ratio)

    @property
    def is_compared(self) -> Bools:
        """Which limits are compared, array (rows, 2)."""
        return np.isfinite(self.log_ratio)


def compare_table(catalogue: Catalogue, model: LimitModel, table: OldTable) -> Compared:
    """Put an old table beside the catalogue's nominal limits, computed at the old table's own SSTs.

    Parameters
    ----------
    catalogue : Catalogue
    model : LimitModel
    table : OldTable

    Returns
    -------
    Compared

    Raises
    ------
    RequestError
        If no row has a counterpart, or the table has more SSTs in an application than can be computed.
    """
    why = _reasons(catalogue, table.rows)
    offered = [row for row, reason in zip(table.rows, why, strict=True) if not reason]
    lines: dict[str, list[int]] = {}
    for row, reason in zip(table.rows, why, strict=True):
        if reason:
            lines.setdefault(reason, []).append(row.line)
    blocks = blocks_of(catalogue, offered)
    for block in blocks:
        if block.sst_k.size > _MAX_SST:
            text = wording.TOO_MANY_SSTS(file=table.file, count=block.sst_k.size, most=_MAX_SST)
            raise RequestError(text)
    ours = _along([model.limits(block) for block in blocks], blocks, len(offered))
    is_open = np.isfinite(ours.min_load_w)
    for i in np.flatnonzero(~is_open):
        lines.setdefault(_why_empty(str(ours.max_reason[i])), []).append(offered[i].line)
    kept = np.flatnonzero(is_open)
    rows = tuple(offered[i] for i in kept)
    if not rows:
        reason, first = next(iter(lines.items()), ("", [0]))
        raise RequestError(wording.NOTHING_COMPARED(file=table.file, line=first[0], reason=reason))
    old_only = [WithoutCounterpart(reason, len(own), own[0]) for reason, own in lines.items()]
    old_only += [WithoutCounterpart(wording.MAPPED_TO_NONE(name=own.name), own.rows) for own in table.left_out]
    return Compared(
        table=table,
        rows=rows,
        blocks=tuple(blocks_of(catalogue, rows)),
        ours=_taken(ours, kept.tolist()),
        old_only=tuple(old_only),
        ours_only=tuple(_ours_only(catalogue, table.rows)),
    )


def _reasons(catalogue: Catalogue, rows: Sequence[OldRow]) -> list[str]:
    """Why each row cannot have a counterpart before anything is computed; "" where it can."""
    rules, known, found = Rules.of(catalogue), dict[tuple[str, str, str], str](), []
    for row in rows:
        key = row.family, row.group, row.application
        if key not in known:
            offer = rules.offer(row.group, row.application)
            mixed = "" if row.family not in offer.families else different_charges(catalogue, *key)
            known[key], family = "", catalogue.families[row.family].display_name
            if row.family not in offer.families:
                rule = offer.why_not(row.family) or wording.IN_NO_GROUP()
                text = wording.NOT_OFFERED(
                    family=family, group=row.group, application=row.application, reason=rule.rstrip(".")
                )
                known[key] = text
            elif mixed:
                known[key] = wording.MIXED_CHARGES(family=family, group=row.group, charges=mixed)
        reason = known[key]
        if not reason and math.isnan(row.min_load_w) and math.isnan(row.max_load_w):
            reason = wording.NO_LIMITS()
        if not reason and row.min_load_w >= row.max_load_w:
            reason = wording.LIMITS_CROSS()
        if not reason and not covers(catalogue.applications[row.application], row.sst_k):
            reason = wording.SST_OUTSIDE(application=row.application)
        found.append(reason)
    return found


def _why_empty(reason: str) -> str:
    return wording.EMPTY_WINDOW(reason=terms.REASONS[reason]())


def _along(parts: Sequence[RowLimits], blocks: Sequence[RowBlock], count: int) -> RowLimits:
    """The limits of all blocks in the order of the rows."""
    order = np.argsort(np.concatenate([block.rows for block in blocks])) if blocks else np.arange(count)
    columns = {
        own.name: (np.concatenate([getattr(part, own.name) for part in parts]) if parts else np.array([]))[order]
        for own in fields(RowLimits)
    }
    return RowLimits(**columns)


def _taken(limits: RowLimits, rows: list[int]) -> RowLimits:
    return RowLimits(**{own.name: getattr(limits, own.name)[rows] for own in fields(RowLimits)})


def _ours_only(catalogue: Catalogue, rows: Sequence[OldRow]) -> Iterator[WithoutCounterpart]:
    """Windows of ours in the tables that the old one has, by what it lacks; then tables that it lacks altogether.

    A refrigerant by itself stands for the tables of its groups.
    """
    rules, empty = Rules.of(catalogue), set(without_charge(catalogue))
    has: dict[Combination, dict[str, set[float]]] = {}
    for row in rows:
        for group in rules.groups_of(row.group):
            table = has.setdefault(Combination(row.family, group, row.application), {})
            table.setdefault(row.size, set()).add(row.sst_k)
    counts: Counter[str] = Counter()
    for c in catalogue.combinations:
        grid, family = catalogue.applications[c.application].sst_k, catalogue.families[c.family]
        if c in empty:
            continue
        for size in family.sizes:
            ssts = np.array(sorted(has.get(c, {}).get(size.name, ())))
            if c not in has:
                counts[wording.NO_SUCH_TABLE()] += grid.size
            elif not ssts.size:
                counts[wording.NO_SUCH_SIZE(family=family.display_name, size=size.display_name)] += grid.size
            else:
                near = np.abs(grid[:, None] - ssts[None, :]).min(axis=1) < _SAME_SST_K
                beyond = (grid < ssts[0] - _SAME_SST_K) | (grid > ssts[-1] + _SAME_SST_K)
                counts[wording.SST_BEYOND_ROWS()] += int(beyond.sum())
                counts[wording.SST_BETWEEN_ROWS()] += int((~near & ~beyond).sum())
    yield from (WithoutCounterpart(why, cells) for why, cells in counts.items() if cells)
