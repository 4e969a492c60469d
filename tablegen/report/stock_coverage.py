"""What the cells of a counter chart say: sizes in stock that cover a cell, or what to ask about.

A cell names a size alone only if it covers every load of the row at every suction temperature of the column.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from tablegen.report.formatter import Formatter
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.report.rows import ChartCell, rows_of
from tablegen.units import print_unit
from tablegen.wording import counter_chart as wording
from tablegen.wording.language import number

# As the data set calls how much of a cell is covered.
_WHOLE, _NONE = "whole", "none"
_OF_TWO = ("between", "either")
# How much of a row, in powers, its covered part must have to be a row by itself: where a size covers a whole cell of
# the row more is lost by leaving out the rest.
_WORTH, _WORTH_BESIDE_WHOLE = 0.25, 0.5


@dataclass(frozen=True, slots=True)
class StockCell:
    """A cell: sizes that cover it, the first choice first; or, with `limits` or to be asked about, sizes of a part."""

    sizes: tuple[str, ...]
    is_covered: bool
    limits: str = ""

    @property
    def is_to_order(self) -> bool:
        """Whether no size in stock covers any of its loads."""
        return not self.is_covered and not self.sizes and not self.limits


@dataclass(frozen=True, slots=True)
class StockRow:
    """A row: its loads, above the one and up to the other, and a cell for each column, coldest first."""

    above: str
    upto: str
    cells: tuple[StockCell, ...]


@dataclass(frozen=True, slots=True)
class StockChart:
    """The chart of one group: rows from the maximum load down, and the ends of each column's suction temperatures [K]."""

    rows: tuple[StockRow, ...]
    columns: tuple[tuple[float, float], ...]


def stock_chart(cells: pd.DataFrame, formatter: Formatter) -> StockChart:
    """The chart of one group.

    It begins and ends with rows that are covered: the first and the last are cut where the sizes of all their columns
    begin and end to cover the load, if enough of the row is left.

    Parameters
    ----------
    cells : DataFrame
        The rows of `charts.csv` for one group of a chart.
    formatter : Formatter
        Loads are printed so that no size is promised too much: minimum up, maximum down.
    """
    by_load: dict[tuple[float, float], list[ChartCell]] = {}
    for cell in sorted(rows_of(cells, ChartCell), key=lambda cell: (cell.load_above_w, cell.sst_from_k)):
        by_load.setdefault((cell.load_above_w, cell.load_upto_w), []).append(cell)
    rows = _between_the_ends([_LoadRow.of(*loads, found) for loads, found in by_load.items()])
    columns = sorted({(cell.sst_from_k, cell.sst_to_k) for found in by_load.values() for cell in found})
    return StockChart(tuple(row.printed(formatter) for row in reversed(rows)), tuple(columns))


@dataclass(frozen=True, slots=True, kw_only=True)
class _LoadRow:
    """A row of the data set; `starts` and `ends` say whether its edges are limits of sizes rather than round loads."""

    above_w: float
    upto_w: float
    cells: tuple[ChartCell, ...]
    starts: bool = False
    ends: bool = False

    @classmethod
    def of(cls, above_w: float, upto_w: float, cells: Iterable[ChartCell]) -> _LoadRow:
        return cls(above_w=above_w, upto_w=upto_w, cells=tuple(cells))

    @property
    def is_named(self) -> bool:
        """Whether a size, or two between them, cover a cell."""
        return any(cell.coverage in (_WHOLE, *_OF_TWO) for cell in self.cells)

    def cut(self, from_below: bool) -> _LoadRow | None:
        """The part of the row that a size covers in every column, up to its other edge; None where it is not worth it."""
        edges, cells = [], []
        for cell in self.cells:
            size, edge = (cell.upper_size, cell.upper_from_w) if from_below else (cell.lower_size, cell.lower_upto_w)
            if cell.coverage == _WHOLE:
                cells.append(cell)
            elif size and cell.coverage not in _OF_TWO:
                edges.append(edge)
                cells.append(cell._replace(coverage=_WHOLE, first_size=size, second_size=""))
            else:
                return None
        if not edges:
            return self
        own = replace(self, cells=tuple(cells))
        own = (
            replace(own, above_w=max(edges), starts=True) if from_below else replace(own, upto_w=min(edges), ends=True)
        )
        left = math.log(own.upto_w / own.above_w) / math.log(self.upto_w / self.above_w)
        has_whole = any(cell.coverage == _WHOLE for cell in self.cells)
        return own if left >= (_WORTH_BESIDE_WHOLE if has_whole else _WORTH) else None

    def printed(self, formatter: Formatter) -> StockRow:
        """The row as text."""
        unit = print_unit("load", formatter.system, formatter.load_unit)
        start, end = formatter.window(self.above_w, self.upto_w)
        above = start if self.starts else without_zeros(round_half_even(unit.of(self.above_w)))
        upto = end if self.ends else without_zeros(round_half_even(unit.of(self.upto_w)))
        return StockRow(above, upto, tuple(_cell(cell, above, upto, formatter) for cell in self.cells))


def _between_the_ends(rows: Sequence[_LoadRow]) -> list[_LoadRow]:
    """The rows from the first to the last that a size covers, in ascending order, those at the ends cut."""
    named = [i for i, row in enumerate(rows) if row.is_named]
    if not named:
        return []
    first, last = named[0], named[-1]
    found = list(rows[first : last + 1])
    # The row beyond an end, of which all columns are covered in part, or else the row at the end itself.
    below = rows[first - 1].cut(from_below=True) if first else None
    above = rows[last + 1].cut(from_below=False) if last + 1 < len(rows) else None
    if below is None:
        found[0] = found[0].cut(from_below=True) or found[0]
    if above is None:
        found[-1] = found[-1].cut(from_below=False) or found[-1]
    return [*([below] if below else []), *found, *([above] if above else [])]


def _cell(cell: ChartCell, above: str, upto: str, formatter: Formatter) -> StockCell:
    """What a cell says; a size without a printed load of the row is not named."""
    if cell.coverage == _WHOLE:
        return StockCell(tuple(filter(None, (cell.first_size, cell.second_size))), is_covered=True)
    if cell.coverage == _NONE:
        return StockCell((), is_covered=False)
    to = formatter.window(cell.lower_upto_w, cell.lower_upto_w)[1] if cell.lower_size else ""
    over = formatter.window(cell.upper_from_w, cell.upper_from_w)[0] if cell.upper_size else ""
    to = to if to and number(to) > number(above) else ""
    over = over if over and number(over) < number(upto) else ""
    if to and over:
        limits = wording.TO_AND_OVER(lower=cell.lower_size, upto=to, upper=cell.upper_size, above=over)
        if number(to) < number(over):
            limits = wording.LOOK_UP_BETWEEN(upto=to, above=over)
        return StockCell((cell.lower_size, cell.upper_size), is_covered=False, limits=limits)
    if to:
        return StockCell((cell.lower_size,), is_covered=False, limits=wording.ONLY_TO(load=to))
    if over:
        return StockCell((cell.upper_size,), is_covered=False, limits=wording.ONLY_OVER(load=over))
    return StockCell((), is_covered=False, limits=wording.ASK())
