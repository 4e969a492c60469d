"""Limits at every head pressure between the conditions, for all suction temperatures of one refrigerant at once.

Head pressures are scanned on a grid, and again on finer grids around the tightest limit inside: a dip within one step
of the grid beside a condition, and as narrow, is not found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tablegen.audits.findings import LimitKind
from tablegen.model.inputs import Family
from tablegen.model.solving import Law, Solved, law_of, unit_window
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.windows import Valve, Window
from tablegen.sweep.head_sweep import HeadLine, HeadStates, head_lines, states_along

# Steps between two neighboring conditions, and in each finer scan.
STEPS = 24
_CLOSER, _SCANS = 16, 3
# Smaller differences are those of another order of sums.
_SAME = 1e-9


@dataclass(slots=True, kw_only=True)
class TightestLimits:
    """The tightest limits over every head pressure, per m3/h of rated Kv; arrays along the suction grid.

    Attributes
    ----------
    load_w : dict of LimitKind to ndarray
        Largest minimum and smallest maximum load [W].
    at_pa : dict of LimitKind to ndarray
        The head pressures that set them [Pa, absolute].
    response : dict of LimitKind to ndarray
        The suction responses that set them.
    blocked, blocked_at_pa : ndarray
        Why the valve cannot operate at a head pressure (None where it always can), and the first such one [Pa].
    """

    load_w: dict[LimitKind, Floats]
    at_pa: dict[LimitKind, Floats]
    response: dict[LimitKind, Names]
    blocked: Names
    blocked_at_pa: Floats

    @classmethod
    def nothing(cls, rows: int) -> TightestLimits:
        """Before any head pressure was scanned."""
        return cls(
            load_w={limit: np.full(rows, limit.of(-np.inf, np.inf)) for limit in LimitKind},
            at_pa={limit: np.full(rows, np.nan) for limit in LimitKind},
            response={limit: np.full(rows, "", dtype=object) for limit in LimitKind},
            blocked=np.full(rows, None, dtype=object),
            blocked_at_pa=np.full(rows, np.nan),
        )

    def take(self, limit: LimitKind, load_w: Floats, at_pa: Floats, response: str) -> None:
        """Note limits that are stricter than those found so far; NaN is not."""
        so_far = self.load_w[limit]
        wins = limit.of(load_w > so_far, load_w < so_far)
        so_far[wins], self.at_pa[limit][wins], self.response[limit][wins] = load_w[wins], at_pa[wins], response


def tightest_limits(families: Sequence[Family], solved: Solved) -> dict[str, TightestLimits]:
    """The tightest limits over every head pressure between the conditions.

    Parameters
    ----------
    families : sequence of Family
    solved : Solved
        One refrigerant in one application.

    Returns
    -------
    dict of str to TightestLimits
        By family, or part of one, loads [W] per m3/h of rated Kv; what offers nothing for the refrigerant is left out.
    """
    parts = {part.part_name: part for family in families for part in family.by_design()}
    valves = {name: valve for name, part in parts.items() if (valve := unit_window(part, solved)[1]) is not None}
    found = {name: TightestLimits.nothing(solved.application.sst_k.size) for name in valves}
    laws = {name: law_of(part) for name, part in parts.items()}
    for line in head_lines(solved):
        grid = _grid(line)
        # With one head pressure, or one that cannot be computed, there is nothing between.
        if grid.size < 2 or not np.isfinite(grid).all():
            continue
        rows = np.arange(solved.application.sst_k.size)
        states = states_along(solved, [line], np.tile(grid, rows.size), np.repeat(rows, grid.size))
        for name, valve in valves.items():
            _scan(found[name], line, grid, states, (valve, laws[name]))
    return found


def _grid(line: HeadLine) -> Floats:
    """Head pressures to scan [Pa], ascending, those of the conditions among them; one where all are the same."""
    if line.heads_pa.size < 2:
        return line.heads_pa
    ends = zip(line.heads_pa[:-1], line.heads_pa[1:], strict=True)
    return np.unique(np.concatenate([np.linspace(low, high, STEPS + 1) for low, high in ends]))


def _scan(found: TightestLimits, line: HeadLine, grid: Floats, states: HeadStates, of: tuple[Valve, Law]) -> None:
    """Note the tightest limits on the grid and around it, and the first head pressure at which the valve cannot operate."""
    whole = states.limits(*of)
    shape = (-1, grid.size)
    blocked: Bools = np.isnan(whole.min_load_w).reshape(shape)
    first = blocked.argmax(axis=1)
    fresh = blocked.any(axis=1) & (found.blocked == None)  # noqa: E711 - elementwise over an object array
    why = whole.min_reason.reshape(shape)[np.arange(first.size), first]
    found.blocked[fresh], found.blocked_at_pa[fresh] = why[fresh], grid[first][fresh]
    # The minimum load is checked at every state.
    for limit in LimitKind if line.side.serves_max else (LimitKind.MINIMUM,):
        load = _load_w(whole, limit).reshape(shape)
        at = _tightest(load, limit)
        own = load[np.arange(at.size), at]
        found.take(limit, own, grid[at], line.response.value)
        # Rows in which a condition empties the window are empty whatever is between.
        conditions = load[:, np.isin(grid, line.heads_pa)]
        rows = np.flatnonzero((np.abs(own[:, None] / conditions - 1.0) > _SAME).all(axis=1))
        low, high = grid[np.maximum(at - 1, 0)][rows], grid[np.minimum(at + 1, grid.size - 1)][rows]
        for _ in range(_SCANS if rows.size else 0):
            heads = np.linspace(low, high, _CLOSER + 1, axis=1)
            closer = states_along(states.solved, [line], heads.ravel(), np.repeat(rows, _CLOSER + 1))
            near = _load_w(closer.limits(*of), limit).reshape(heads.shape)
            best = _tightest(near, limit)
            here = np.arange(rows.size)
            load_w, at_pa = (np.full(at.size, np.nan) for _ in range(2))
            load_w[rows], at_pa[rows] = near[here, best], heads[here, best]
            found.take(limit, load_w, at_pa, line.response.value)
            low, high = heads[here, np.maximum(best - 1, 0)], heads[here, np.minimum(best + 1, _CLOSER)]


def _load_w(window: Window, limit: LimitKind) -> Floats:
    return limit.of(window.min_load_w, window.max_load_w)


def _tightest(load: Floats, limit: LimitKind) -> NDArray[np.int64]:
    """Index of the tightest limit in each row; a head pressure at which the valve cannot operate sets none."""
    known = np.where(np.isnan(load), limit.of(-np.inf, np.inf), load)
    return np.asarray(limit.of(known.argmax(axis=1), known.argmin(axis=1)))
