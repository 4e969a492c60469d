"""How the size range covers the load axis at every suction temperature: gaps, overlaps, sizes at a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import PartTable
from tablegen.audit.prints import Prints

# Neighbours that share less of the load axis than this, maximum over minimum, are left with little when a valve or a
# property is off by a few percent.
THIN_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Stretch:
    """Two neighboring sizes (places in the table) of which the windows leave a gap or share a range of loads [W]."""

    smaller: int
    larger: int
    from_w: float
    to_w: float


@dataclass(frozen=True, slots=True)
class Coverage:
    """One suction temperature [K] of a table: the ends of the size range [W] (NaN where it is empty), gaps and overlaps.

    `fewest` and `most` are the sizes that hold a load which is served, over all such loads.
    """

    sst_k: float
    min_w: float
    max_w: float
    gaps: tuple[Stretch, ...]
    overlaps: tuple[Stretch, ...]
    fewest: int
    most: int


def coverage(table: PartTable) -> list[Coverage]:
    """Every suction temperature of a table."""
    return [_row(table, row) for row in range(table.sst_k.size)]


def _row(table: PartTable, row: int) -> Coverage:
    places = [i for i in range(len(table.sizes)) if table.is_open[i, row]]
    minimum, maximum = table.min_w[:, row], table.max_w[:, row]
    sst_k = float(table.sst_k[row])
    if not places:
        return Coverage(sst_k, np.nan, np.nan, (), (), 0, 0)
    places.sort(key=lambda i: float(minimum[i]))
    gaps, overlaps = [], []
    reaching = places[0]
    for place in places[1:]:
        end, start = float(maximum[reaching]), float(minimum[place])
        if start > end:
            gaps.append(Stretch(reaching, place, end, start))
        else:
            overlaps.append(Stretch(reaching, place, start, end))
        if maximum[place] > end:
            reaching = place
    counts = list(_sizes_at_a_load(minimum[places], maximum[places]))
    return Coverage(
        sst_k,
        float(minimum[places].min()),
        float(maximum[places].max()),
        tuple(gaps),
        tuple(overlaps),
        min(counts),
        max(counts),
    )


def _sizes_at_a_load(minimum: np.ndarray, maximum: np.ndarray) -> Iterator[int]:
    """How many windows hold the loads between every two neighboring limits, where any does."""
    edges = np.unique(np.concatenate([minimum, maximum]))
    middles = np.sqrt(edges[:-1] * edges[1:])
    counts = ((minimum[:, None] <= middles) & (middles <= maximum[:, None])).sum(axis=0)
    yield from (int(count) for count in counts if count)


def size_range_cells(table: PartTable, rows: list[Coverage], prints: Prints) -> list[Cell]:
    """Gaps, gaps that rounding alone makes, thin overlaps."""
    cells = []
    for row, covered in enumerate(rows):
        for gap in covered.gaps:
            cells.append(_cell(table, Kind.GAP, row, gap))
        for shared in covered.overlaps:
            if _meet_not_in_print(table, row, shared, prints):
                cells.append(_cell(table, Kind.ROUNDING_GAP, row, shared))
            if shared.to_w / shared.from_w - 1.0 < THIN_SHARE:
                cells.append(_cell(table, Kind.THIN_OVERLAP, row, shared))
    return cells


def _meet_not_in_print(table: PartTable, row: int, shared: Stretch, prints: Prints) -> bool:
    """Whether in some print the maximum load of the smaller lies below the minimum of the larger."""
    for formatter in prints.formatter:
        smaller, larger = (
            formatter.readable_window(float(table.min_w[i, row]), float(table.max_w[i, row]))
            for i in (shared.smaller, shared.larger)
        )
        if smaller is not None and larger is not None and float(smaller[1]) < float(larger[0]):
            return True
    return False


def _cell(table: PartTable, kind: Kind, row: int, stretch: Stretch) -> Cell:
    return table.cell(
        kind,
        stretch.smaller,
        row,
        other_size=table.sizes[stretch.larger],
        from_load_w=stretch.from_w,
        to_load_w=stretch.to_w,
    )
