"""Limits at every head pressure between the conditions, for all suction temperatures of one refrigerant at once.

Head pressures are scanned on a grid, and again on finer grids around the tightest limit inside: a dip within one step
of the grid beside a condition, and as narrow, is not found.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from tablegen.model.inputs import Family
from tablegen.model.solving import Law, Solved, law_of, unit_window
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.system import Side
from tablegen.physics.windows import Valve, Window
from tablegen.sweep.head_sweep import HeadLine, Rows, head_lines, states_along

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
    min_load_w, max_load_w : ndarray
        Largest minimum and smallest maximum load [W].
    min_at_pa, max_at_pa : ndarray
        The head pressures that set them [Pa, absolute].
    blocked, blocked_at_pa : ndarray
        Why the valve cannot operate at a head pressure (None where it always can), and the first such one [Pa].
    response : dict of str to ndarray
        The suction response that sets the limits "min" and "max".
    """

    min_load_w: Floats
    max_load_w: Floats
    min_at_pa: Floats
    max_at_pa: Floats
    blocked: Names
    blocked_at_pa: Floats
    response: dict[str, Names]

    @classmethod
    def nothing(cls, rows: int) -> TightestLimits:
        """Before any head pressure was scanned."""
        nan = np.full(rows, np.nan)
        names = {limit: np.full(rows, "", dtype=object) for limit in ("min", "max")}
        return cls(
            min_load_w=np.full(rows, -np.inf),
            max_load_w=np.full(rows, np.inf),
            min_at_pa=nan,
            max_at_pa=nan.copy(),
            blocked=np.full(rows, None, dtype=object),
            blocked_at_pa=nan.copy(),
            response=names,
        )

    def take(self, limit: str, load_w: Floats, at_pa: Floats, response: str) -> None:
        """Note limits that are tighter than those found so far; NaN is not."""
        so_far = self.min_load_w if limit == "min" else self.max_load_w
        wins = load_w > so_far if limit == "min" else load_w < so_far
        place = self.min_at_pa if limit == "min" else self.max_at_pa
        so_far[wins], place[wins] = load_w[wins], at_pa[wins]
        self.response[limit][wins] = response


def tightest_limits(families: Sequence[Family], solved: Solved) -> dict[str, TightestLimits]:
    """The tightest limits of some families with one refrigerant in one application, by family.

    Families that offer nothing for the refrigerant are left out.
    """
    valves = {f.name: valve for f in families if (valve := unit_window(f, solved)[1]) is not None}
    found = {name: TightestLimits.nothing(solved.application.sst_k.size) for name in valves}
    laws = {f.name: law_of(f) for f in families}
    for line in head_lines(solved):
        grid = _grid(line)
        # With one head pressure, or one that cannot be computed, there is nothing between.
        if grid.size < 2 or not np.isfinite(grid).all():
            continue
        rows = np.arange(solved.application.sst_k.size)
        row, head = np.repeat(rows, grid.size), np.tile(grid, rows.size)
        states = states_along(solved, [line], head, row)
        for name, valve in valves.items():
            whole = states.limits(valve, laws[name])
            _note(found[name], line, whole, grid)
            evaluate = partial(_limits_at, solved, valve, laws[name], line)
            for limit in _limits_of(line.side):
                _scan_finer(found[name], limit, line, whole, grid, evaluate)
    return found


def _grid(line: HeadLine) -> Floats:
    """Head pressures to scan [Pa], ascending, those of the conditions among them; one where all are the same."""
    if line.heads_pa.size < 2:
        return line.heads_pa
    ends = zip(line.heads_pa[:-1], line.heads_pa[1:], strict=True)
    return np.unique(np.concatenate([np.linspace(low, high, STEPS + 1) for low, high in ends]))


def _limits_at(solved: Solved, valve: Valve, law: Law, line: HeadLine, head_pa: Floats, row: Rows) -> Window:
    """Limits at head pressures and rows."""
    return states_along(solved, [line], head_pa, row).limits(valve, law)


def _note(found: TightestLimits, line: HeadLine, whole: Window, grid: Floats) -> None:
    """Note the tightest limits on the grid, and the first head pressure at which the valve cannot operate."""
    shape = (-1, grid.size)
    for limit in _limits_of(line.side):
        load = _of(whole, limit).reshape(shape)
        at = _tightest(load, limit)
        found.take(limit, np.take_along_axis(load, at[:, None], axis=1)[:, 0], grid[at], line.response.value)
    blocked: Bools = np.isnan(whole.min_load_w).reshape(shape)
    first = blocked.argmax(axis=1)
    fresh = blocked.any(axis=1) & (found.blocked == None)  # noqa: E711 - elementwise over an object array
    why = whole.min_reason.reshape(shape)[np.arange(first.size), first]
    found.blocked[fresh], found.blocked_at_pa[fresh] = why[fresh], grid[first][fresh]


def _scan_finer(
    found: TightestLimits, limit: str, line: HeadLine, whole: Window, grid: Floats, evaluate: Callable[..., Window]
) -> None:
    """Around the tightest limit inside, scan again on finer grids."""
    load = _of(whole, limit).reshape(-1, grid.size)
    at = _tightest(load, limit)
    # Rows in which a condition empties the window are empty whatever is between.
    own, conditions = load[np.arange(at.size), at], load[:, np.isin(grid, line.heads_pa)]
    rows = np.flatnonzero((np.abs(own[:, None] / conditions - 1.0) > _SAME).all(axis=1))
    low, high = grid[np.maximum(at - 1, 0)][rows], grid[np.minimum(at + 1, grid.size - 1)][rows]
    for _ in range(_SCANS if rows.size else 0):
        heads = np.linspace(low, high, _CLOSER + 1, axis=1)
        row = np.repeat(rows, _CLOSER + 1)
        near = _of(evaluate(heads.ravel(), row), limit).reshape(heads.shape)
        best = _tightest(near, limit)
        here = np.arange(rows.size)
        load_w, at_pa = (np.full(at.size, np.nan) for _ in range(2))
        load_w[rows], at_pa[rows] = near[here, best], heads[here, best]
        found.take(limit, load_w, at_pa, line.response.value)
        low, high = heads[here, np.maximum(best - 1, 0)], heads[here, np.minimum(best + 1, _CLOSER)]


def _limits_of(side: Side) -> tuple[str, ...]:
    """The limits for which a side counts; the minimum load is checked at every state."""
    return ("min", "max") if side.serves_max else ("min",)


def _of(window: Window, limit: str) -> Floats:
    return window.min_load_w if limit == "min" else window.max_load_w


def _tightest(load: Floats, limit: str) -> NDArray[np.int64]:
    """Index of the tightest limit in each row; a head pressure at which the valve cannot operate sets none."""
    if limit == "min":
        return np.asarray(np.where(np.isnan(load), -np.inf, load).argmax(axis=1))
    return np.asarray(np.where(np.isnan(load), np.inf, load).argmin(axis=1))
