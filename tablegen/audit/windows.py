"""Empty and narrow windows, and what a group costs its members."""

from __future__ import annotations

import numpy as np
import pandas as pd

from tablegen.audit.findings import Cell, Kind
from tablegen.audit.parts import PartTable, each
from tablegen.audit.prints import Prints, promises_more
from tablegen.physics.reasons import EMPTYING, Reason
from tablegen.sweep.groups import NARROW_SHARE
from tablegen.units import print_unit

# A window whose maximum load is less than this many times its minimum has no room for the scatter of valves and the
# error of a stated load.
NARROW_RATIO = 1.2


def window_cells(table: PartTable, prints: Prints) -> list[Cell]:
    """Empty windows by their reasons, a table of nothing else, narrow windows, and those too narrow to print.

    A window that is open nominally and empty at confidence is a fault, whichever of the two the table prints.
    """
    is_lost = table.confident_reason == Reason.CONFIDENCE
    cells = [table.cell(Kind.EMPTY_AT_CONFIDENCE, size, row) for size, row in each(is_lost)]
    for size, row in each(~table.is_open & ~is_lost):
        reason = str(table.max_reason[size, row])
        kind = Kind.EMPTY if reason in EMPTYING else Kind.UNEXPLAINED
        # No one member makes windows cross.
        member = "" if reason == Reason.CROSSED else str(table.max_member[size, row])
        cells.append(table.cell(kind, size, row, detail=reason, refrigerant=member))
    if not table.is_open.any():
        cells.append(table.cell(Kind.ALL_EMPTY))
    for size, row in each(table.is_open):
        minimum, maximum = float(table.min_w[size, row]), float(table.max_w[size, row])
        more = {"from_load_w": minimum, "to_load_w": maximum}
        if maximum / minimum < NARROW_RATIO:
            cells.append(table.cell(Kind.NARROW, size, row, **more))
        for formatter in prints.formatter:
            if formatter.readable_window(minimum, maximum) is None:
                cells.append(table.cell(Kind.NOT_PRINTED, size, row, detail=formatter.load_label, **more))
    return cells


def rounding_cells(table: PartTable, prints: Prints) -> list[Cell]:
    """Printed figures that promise more than the limits that they are printed for."""
    cells = []
    for size, row in each(table.is_open):
        window = {"minimum": float(table.min_w[size, row]), "maximum": float(table.max_w[size, row])}
        for formatter, printed in prints.of_window(*window.values()):
            for (limit, computed), text in zip(window.items(), printed, strict=True):
                if promises_more(formatter, limit, printed, computed):
                    cells.append(
                        table.cell(
                            Kind.OVERPROMISE,
                            size,
                            row,
                            limit=limit,
                            detail=formatter.load_label,
                            from_load_w=float(text) / print_unit("load", formatter.system, formatter.load_unit).of(1.0),
                            to_load_w=computed,
                        )
                    )
    return cells


def group_cells(table: PartTable, windows: pd.DataFrame) -> list[Cell]:
    """Cells in which the group's window, maximum over minimum load less one, is a small share of the members' median."""
    if len(table.members) < 2:
        return []
    own = windows[(windows["family"] == table.family) & (windows["application"] == table.application)]
    own = own[own["refrigerant"].isin(table.members)]
    width = own["max_load_w"] / own["min_load_w"] - 1.0
    median = width.groupby([own["size"].astype(str), own["sst_k"]], sort=False).median().dropna()
    cells = []
    for key, of_members in zip(median.index, median.to_numpy(), strict=True):
        size, row = table.sizes.index(key[0]), int(np.argmin(np.abs(table.sst_k - key[1])))
        ratio = table.max_w[size, row] / table.min_w[size, row] - 1.0
        share = 0.0 if np.isnan(ratio) else float(ratio / of_members)
        if share < NARROW_SHARE:
            members = str(table.min_member[size, row]), str(table.max_member[size, row])
            cells.append(table.cell(Kind.GROUP_LOSS, size, row, share=share, refrigerant=members[0], detail=members[1]))
    return cells
