"""What a printed table shows by itself: loads that no size covers, limits that do not rise, empty and narrow windows."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from tablegen.audits.findings import Finding, FindingKind, LimitKind, Turn
from tablegen.audits.printed_table import SAME, PrintedTable, PrintUnits, in_watt, indices, promises_more
from tablegen.physics.arrays import Floats
from tablegen.physics.reasons import EMPTYING, Reason
from tablegen.sweep.groups import NARROW_SHARE

# Neighbors that share less of the load axis than this, maximum over minimum, are left with little when a valve or a
# property is off by a few percent.
THIN_SHARE = 0.05
# A window whose maximum load is less than this many times its minimum leaves no margin for the scatter of valves and
# the error of a stated load.
NARROW_RATIO = 1.2


@dataclass(frozen=True, slots=True)
class LoadRange:
    """A range of loads [W] between two neighboring sizes (indices in the table): a gap, or an overlap."""

    smaller: int
    larger: int
    from_w: float
    to_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RowCoverage:
    """How the size range covers the load axis at one suction temperature [K].

    `min_w` and `max_w` are the ends of the size range [W], NaN where it is empty; `min_sizes` and `max_sizes` how many
    sizes cover a load that any covers, over all such loads.
    """

    sst_k: float
    min_w: float = float("nan")
    max_w: float = float("nan")
    gaps: tuple[LoadRange, ...] = ()
    overlaps: tuple[LoadRange, ...] = ()
    min_sizes: int = 0
    max_sizes: int = 0


def coverage(table: PrintedTable) -> list[RowCoverage]:
    """How the size range covers the load axis at every suction temperature of a table."""
    return [_row_coverage(table, row) for row in range(table.sst_k.size)]


def _row_coverage(table: PrintedTable, row: int) -> RowCoverage:
    sst_k = float(table.sst_k[row])
    sizes = [i for i in range(len(table.sizes)) if table.is_open[i, row]]
    if not sizes:
        return RowCoverage(sst_k=sst_k)
    minimum, maximum = table.min_w[:, row], table.max_w[:, row]
    sizes.sort(key=lambda i: float(minimum[i]))
    gaps, overlaps = [], []
    reaching = sizes[0]
    for size in sizes[1:]:
        end, start = float(maximum[reaching]), float(minimum[size])
        if start > end:
            gaps.append(LoadRange(reaching, size, end, start))
        else:
            overlaps.append(LoadRange(reaching, size, start, end))
        if maximum[size] > end:
            reaching = size
    counts = _sizes_at_a_load(minimum[sizes], maximum[sizes])
    return RowCoverage(
        sst_k=sst_k,
        min_w=float(minimum[sizes].min()),
        max_w=float(maximum[sizes].max()),
        gaps=tuple(gaps),
        overlaps=tuple(overlaps),
        min_sizes=min(counts),
        max_sizes=max(counts),
    )


def _sizes_at_a_load(minimum: Floats, maximum: Floats) -> list[int]:
    """How many windows cover the loads between every two neighboring limits, where any does."""
    edges = np.unique(np.concatenate([minimum, maximum]))
    middles = np.sqrt(edges[:-1] * edges[1:])
    counts = ((minimum[:, None] <= middles) & (middles <= maximum[:, None])).sum(axis=0)
    return [int(count) for count in counts if count]


def coverage_findings(table: PrintedTable, rows: Sequence[RowCoverage], units: PrintUnits) -> Iterator[Finding]:
    """Gaps, gaps that rounding alone makes, thin overlaps."""
    for row, covered in enumerate(rows):
        for gap in covered.gaps:
            yield _range_finding(table, FindingKind.GAP, row, gap)
        for shared in covered.overlaps:
            if _is_gap_in_print(table, row, shared, units):
                yield _range_finding(table, FindingKind.ROUNDING_GAP, row, shared)
            if shared.to_w / shared.from_w - 1.0 < THIN_SHARE:
                yield _range_finding(table, FindingKind.THIN_OVERLAP, row, shared)


def _is_gap_in_print(table: PrintedTable, row: int, shared: LoadRange, units: PrintUnits) -> bool:
    """Whether in some print the maximum load of the smaller is below the minimum of the larger."""
    for formatter in units.formatters:
        smaller, larger = (formatter.readable_window(*table.window(i, row)) for i in (shared.smaller, shared.larger))
        if smaller is not None and larger is not None and float(smaller[1]) < float(larger[0]):
            return True
    return False


def _range_finding(table: PrintedTable, kind: FindingKind, row: int, loads: LoadRange) -> Finding:
    finding = table.finding(kind, loads.smaller, row)
    return replace(finding, other_size=table.sizes[loads.larger], from_load_w=loads.from_w, to_load_w=loads.to_w)


def rising_findings(table: PrintedTable) -> Iterator[Finding]:
    """Limits of a size that are not above those of the next smaller one with a window."""
    for row in range(table.sst_k.size):
        sizes = np.flatnonzero(table.is_open[:, row])
        for smaller, larger in itertools.pairwise(sizes):
            for limit in LimitKind:
                low, high = (float(table.limit(limit)[i, row]) for i in (smaller, larger))
                if not high > low:
                    finding = table.finding(FindingKind.NOT_RISING, int(smaller), row)
                    other = table.sizes[larger]
                    yield replace(finding, other_size=other, limit=limit, from_load_w=low, to_load_w=high)


def turn_findings(table: PrintedTable) -> Iterator[Finding]:
    """Suction temperatures at which a limit has a peak or a valley between open neighbors."""
    for size in range(len(table.sizes)):
        for limit in LimitKind:
            load = table.limit(limit)[size]
            for row, turn in turns(load):
                yield replace(
                    table.finding(FindingKind.TURN, size, row),
                    limit=limit,
                    turn=turn,
                    from_load_w=float(load[row - 1]),
                    to_load_w=float(load[row]),
                )


def turns(load: Floats) -> list[tuple[int, Turn]]:
    """Where a series stops rising (peak) or falling (valley); steps within the noise are level.

    Parameters
    ----------
    load : Floats, shape (rows,)
        In any one unit; NaN splits the series: nothing is found across it.

    Returns
    -------
    list of tuple of int, Turn
        Indices, ascending.

    Examples
    --------
    >>> turns(np.array([1.0, 2.0, 2.0, 1.0, np.nan, 3.0, 2.0, 4.0]))
    [(2, <Turn.PEAK: 'peak'>), (6, <Turn.VALLEY: 'valley'>)]
    """
    found, way = [], 0
    for index in range(1, load.size):
        step = load[index] / load[index - 1] - 1.0
        if np.isnan(step):
            way = 0
        elif abs(step) > SAME:
            now = 1 if step > 0.0 else -1
            if way and now != way:
                found.append((index - 1, Turn.PEAK if way > 0 else Turn.VALLEY))
            way = now
    return found


def window_findings(table: PrintedTable, units: PrintUnits) -> Iterator[Finding]:
    """Empty windows by their reasons, a table of nothing else, narrow windows, and those too narrow to print.

    A window that is open with nominal figures and empty at confidence is a fault, whichever of the two the table prints.
    """
    is_lost = table.confident_reason == Reason.CONFIDENCE
    for size, row in indices(is_lost):
        yield table.finding(FindingKind.EMPTY_AT_CONFIDENCE, size, row)
    for size, row in indices(~table.is_open & ~is_lost):
        reason = str(table.max_reason[size, row])
        kind = FindingKind.EMPTY if reason in EMPTYING else FindingKind.UNEXPLAINED
        # No one member makes windows cross.
        member = "" if reason == Reason.CROSSED else str(table.max_member[size, row])
        yield replace(table.finding(kind, size, row), reason=reason, refrigerant=member)
    if not table.is_open.any():
        yield table.finding(FindingKind.ALL_EMPTY)
    for size, row in indices(table.is_open):
        minimum, maximum = table.window(size, row)
        if maximum / minimum < NARROW_RATIO:
            narrow = table.finding(FindingKind.NARROW, size, row)
            yield replace(narrow, from_load_w=minimum, to_load_w=maximum)
        for formatter in units.formatters:
            if formatter.readable_window(minimum, maximum) is None:
                omitted = table.finding(FindingKind.NOT_PRINTED, size, row)
                unit = formatter.load_label
                yield replace(omitted, load_unit=unit, from_load_w=minimum, to_load_w=maximum)


def rounding_findings(table: PrintedTable, units: PrintUnits) -> Iterator[Finding]:
    """Printed figures that promise more than the limits that they are printed for."""
    for size, row in indices(table.is_open):
        window = table.window(size, row)
        for formatter, printed in units.windows(window):
            for limit, computed, text in zip(LimitKind, window, printed, strict=True):
                if promises_more(formatter, limit, printed, computed):
                    yield replace(
                        table.finding(FindingKind.OVERPROMISE, size, row),
                        limit=limit,
                        load_unit=formatter.load_label,
                        from_load_w=in_watt(formatter, text),
                        to_load_w=computed,
                    )


def group_findings(table: PrintedTable, windows: pd.DataFrame) -> Iterator[Finding]:
    """Windows of a group whose width, maximum over minimum load less one, is a small share of the members' median."""
    if len(table.members) < 2:
        return
    own = windows[(windows["family"] == table.family) & (windows["application"] == table.application)]
    own = own[own["refrigerant"].isin(table.members)]
    width = own["max_load_w"] / own["min_load_w"] - 1.0
    median = width.groupby([own["size"].astype(str), own["sst_k"]], sort=False).median().dropna()
    for key, of_members in zip(median.index, median.to_numpy(), strict=True):
        size, row = table.sizes.index(key[0]), int(np.argmin(np.abs(table.sst_k - key[1])))
        ratio = table.max_w[size, row] / table.min_w[size, row] - 1.0
        share = 0.0 if np.isnan(ratio) else float(ratio / of_members)
        if share < NARROW_SHARE:
            yield replace(
                table.finding(FindingKind.GROUP_LOSS, size, row),
                share=share,
                refrigerant=str(table.min_member[size, row]),
                max_refrigerant=str(table.max_member[size, row]),
            )
