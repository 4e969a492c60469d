"""How limits run along size and suction temperature."""

from __future__ import annotations

import itertools

import numpy as np

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import LIMITS, SAME, PartTable
from tablegen.physics.arrays import Floats


def size_cells(table: PartTable) -> list[Cell]:
    """Limits of a size that are not above those of the next smaller one with a window."""
    cells = []
    for row in range(table.sst_k.size):
        places = np.flatnonzero(table.is_open[:, row])
        for smaller, larger in itertools.pairwise(places):
            for limit in LIMITS:
                low, high = (float(table.limit(limit)[i, row]) for i in (smaller, larger))
                if not high > low:
                    cells.append(
                        table.cell(
                            Kind.NOT_RISING,
                            int(smaller),
                            row,
                            other_size=table.sizes[larger],
                            limit=limit,
                            from_load_w=low,
                            to_load_w=high,
                        )
                    )
    return cells


def turn_cells(table: PartTable) -> list[Cell]:
    """Suction temperatures at which a limit has a peak or a valley between open neighbors."""
    cells = []
    for size in range(len(table.sizes)):
        for limit in LIMITS:
            load = table.limit(limit)[size]
            for row, detail in turns(load):
                cells.append(
                    table.cell(
                        Kind.TURN,
                        size,
                        row,
                        limit=limit,
                        detail=detail,
                        from_load_w=float(load[row - 1]),
                        to_load_w=float(load[row]),
                    )
                )
    return cells


def turns(load: Floats) -> list[tuple[int, str]]:
    """Places where a series stops rising ("peak") or falling ("valley"); steps within the noise are level.

    NaN parts the series: nothing is said across it.
    """
    found, way = [], 0
    for place in range(1, load.size):
        step = load[place] / load[place - 1] - 1.0
        if np.isnan(step):
            way = 0
        elif abs(step) > SAME:
            now = 1 if step > 0.0 else -1
            if way and now != way:
                found.append((place - 1, "peak" if way > 0 else "valley"))
            way = now
    return found
