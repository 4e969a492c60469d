"""Rows of a table that a booklet prints where it does not print all of them.

Between two printed rows a reader takes what both windows have in common. That is true of a row that is left out only if
its window covers all of it: a row that covers less is printed too.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tablegen.physics.arrays import Bools, Floats

# Suction temperatures that are the same [K].
_SAME_K = 1e-6


def printed_rows(chosen_k: Sequence[float], sst_k: Floats, min_load_w: Floats, max_load_w: Floats) -> Bools:
    """Which rows are printed: those chosen, and those that cover less than their printed neighbors have in common.

    Parameters
    ----------
    chosen_k : sequence of float
        SSTs [K] to print; all rows without any.
    sst_k : array, shape (rows,)
        SSTs of the rows [K], ascending.
    min_load_w, max_load_w : array, shape (sizes, rows)
        Windows [W]; NaN where there is none.

    Returns
    -------
    array of bool, shape (rows,)
    """
    if not chosen_k:
        return np.ones(sst_k.shape, dtype=bool)
    shown: Bools = (np.abs(sst_k[:, None] - np.asarray(chosen_k)) < _SAME_K).any(axis=1)
    waiting = [int(row) for row in np.flatnonzero(shown)]
    # From one row to the next one shown; a row that is added is looked from in its turn.
    at = 0
    while at + 1 < len(waiting):
        first, last = waiting[at], waiting[at + 1]
        less = _covering_less(min_load_w, max_load_w, first, last)
        if less.size:
            waiting.insert(at + 1, first + 1 + int(less[0]))
        else:
            at += 1
    shown[waiting] = True
    return shown


def _covering_less(min_load_w: Floats, max_load_w: Floats, first: int, last: int) -> np.ndarray:
    """The rows between two, counted from the first after it, in which a size covers less than both have in common."""
    ends, between = [first, last], slice(first + 1, last)
    # No window has nothing in common with any.
    low, high = min_load_w[:, ends].max(axis=1), max_load_w[:, ends].min(axis=1)
    is_promised = (low < high)[:, None]
    is_covered = (min_load_w[:, between] <= low[:, None]) & (max_load_w[:, between] >= high[:, None])
    return np.flatnonzero((is_promised & ~is_covered).any(axis=0))


def is_empty(max_load_w: Floats, shown: Bools) -> bool:
    """Whether no size has a window in any of the printed rows."""
    return not bool(np.isfinite(max_load_w[:, shown]).any())
