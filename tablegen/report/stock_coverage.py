"""Loads of a counter chart that no single size in stock covers: two sizes between them, a part, or none."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from tablegen.report.formatter import DASH, Formatter
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.units import print_unit
from tablegen.wording import counter_chart as wording

# As the data set calls how much of a cell is covered.
WHOLE, BETWEEN, EITHER, NONE = "whole", "between", "either", "none"
OR = " or "
# Two ends of a range, of loads [W] or suction temperatures [K].
Span = tuple[float, float]
# A chart of few sizes may have a whole page of such rows.
_MOST = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class _Split:
    """A row's loads in some neighboring columns: what the lower and the upper size cover [W]; "" for no size.

    `is_either`: the two cover the row at every suction temperature.
    """

    columns: tuple[int, ...]
    lower: str
    upto_w: float
    upper: str
    from_w: float
    is_either: bool = False


def load_range(above_w: float, upto_w: float, formatter: Formatter) -> str:
    """A row's loads, above the one and up to the other, in the printed unit."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    return DASH.join(without_zeros(round_half_even(unit.of(watt))) for watt in (above_w, upto_w))


def pair_of(cell: pd.Series) -> tuple[str, str] | None:
    """The two sizes that cover a cell between them, if two do."""
    return (str(cell["lower_size"]), str(cell["upper_size"])) if cell["coverage"] in (BETWEEN, EITHER) else None


def stock_sentences(cells: pd.DataFrame, formatter: Formatter) -> str:
    """What the stock covers by two sizes, in part, or not at all, between the ends of each column of a chart.

    Loads are printed so that no size is promised too much: up to a load rounded down, from a load rounded up.
    """
    columns: dict[Span, pd.DataFrame] = {}
    for _, own in cells.groupby(["sst_from_k", "sst_to_k"]):
        columns[float(own["sst_from_k"].iloc[0]), float(own["sst_to_k"].iloc[0])] = own
    edges = list(columns)
    shared: dict[Span, list[_Split]] = {}
    asked: dict[Span, list[_Split]] = {}
    gaps: dict[str, list[int]] = {}
    is_asked = False
    for index, column in enumerate(columns.values()):
        if (column["coverage"] == NONE).all():
            gaps.setdefault(wording.ANY_LOAD(), []).append(index)
            continue
        inner = _between_the_ends(column.sort_values("load_above_w"))
        for span in _gaps(inner):
            gaps.setdefault(load_range(*span, formatter), []).append(index)
        for row in inner:
            key = float(row["load_above_w"]), float(row["load_upto_w"])
            is_asked = is_asked or (row["coverage"] not in (WHOLE, NONE) and pair_of(row) is None)
            # Of a cell of which no size covers an end there is nothing to say: it is empty, so ask.
            if row["coverage"] not in (WHOLE, NONE) and (row["lower_size"] or row["upper_size"]):
                split = _Split(
                    columns=(index,),
                    lower=str(row["lower_size"]),
                    upto_w=float(row["lower_upto_w"]),
                    upper=str(row["upper_size"]),
                    from_w=float(row["upper_from_w"]),
                    is_either=pair_of(row) is not None,
                )
                (asked if pair_of(row) is None else shared).setdefault(key, []).append(split)
    sentences = [wording.LOADS(unit=formatter.load_label)]
    if not is_asked and not gaps:
        sentences.append(wording.ALL_COVERED())
    if shared:
        sentences.append(wording.BETWEEN_THEM(rows=_listed(shared, edges, formatter)))
    if asked:
        sentences.append(wording.IN_PART(rows=_listed(asked, edges, formatter, _MOST)))
    if gaps:
        parts = (wording.at_temperatures(loads, _spans(where, edges, formatter)) for loads, where in gaps.items())
        sentences.append(wording.NOT_COVERED(loads="; ".join(parts)))
    return " ".join(sentences)


def _between_the_ends(column: pd.DataFrame) -> list[pd.Series]:
    """The rows of a column from the first to the last that a size covers whole, or, without such, all that are met."""
    is_end = column["coverage"] == (WHOLE if (column["coverage"] == WHOLE).any() else BETWEEN)
    if not is_end.any():
        is_end = column["coverage"] != NONE
    indices = [i for i, is_one in enumerate(is_end) if is_one]
    return [row for _, row in column.iloc[indices[0] : indices[-1] + 1].iterrows()]


def _gaps(rows: Iterable[pd.Series]) -> Iterator[Span]:
    """Runs of loads that no size covers at all."""
    for is_gap, run in itertools.groupby(rows, lambda row: row["coverage"] == NONE):
        if is_gap:
            own = list(run)
            yield float(own[0]["load_above_w"]), float(own[-1]["load_upto_w"])


def _listed(
    rows: dict[Span, list[_Split]], edges: Sequence[Span], formatter: Formatter, most: int | None = None
) -> str:
    """Each row of loads with its sizes, columns that can be stated in one taken together; at most `most` of them."""
    parts = []
    for key in sorted(rows):
        for split in _joined(rows[key], formatter):
            sizes = _sizes(split, key, formatter)
            loads = wording.at_temperatures(load_range(*key, formatter), _spans(split.columns, edges, formatter))
            parts.append(wording.ROW(loads=loads, sizes=sizes) if sizes else loads)
    more = [wording.OTHER_CELLS()] if most is not None and len(parts) > most else []
    return "; ".join([*parts[:most], *more])


def _joined(splits: Iterable[_Split], formatter: Formatter) -> list[_Split]:
    """Neighboring columns of the same sizes as one, where it states as much as each of them."""
    joined: list[_Split] = []
    for own in splits:
        last = joined[-1] if joined else None
        if last is not None and (last.lower, last.upper) == (own.lower, own.upper):
            both = replace(
                own,
                columns=(*last.columns, *own.columns),
                upto_w=min(last.upto_w, own.upto_w),
                from_w=max(last.from_w, own.from_w),
            )
            is_next = own.columns[0] == last.columns[-1] + 1
            if is_next and _meets(last, formatter) == _meets(own, formatter) == _meets(both, formatter):
                joined[-1] = both
                continue
        joined.append(own)
    return joined


def _meets(split: _Split, formatter: Formatter) -> bool:
    """Whether the printed loads of its two sizes leave none out between them."""
    if not (split.lower and split.upper):
        return False
    start, end = formatter.window(split.from_w, split.upto_w)
    return float(start) <= float(end)


def _sizes(split: _Split, row: Span, formatter: Formatter) -> str:
    """Which size covers which loads of a row; one without a printed load of it is not named."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    parts = []
    if split.lower:
        upto = formatter.window(split.upto_w, split.upto_w)[1]
        parts += [wording.UP_TO(size=split.lower, load=upto)] if float(upto) > unit.of(row[0]) else []
    if split.upper:
        start = formatter.window(split.from_w, split.from_w)[0]
        parts += [wording.FROM(size=split.upper, load=start)] if float(start) < unit.of(row[1]) else []
    if split.is_either and not _meets(split, formatter):
        parts.append(wording.EITHER(lower=split.lower, upper=split.upper))
    return ", ".join(parts)


def _spans(columns: Sequence[int], edges: Sequence[Span], formatter: Formatter) -> list[str]:
    """Suction temperatures of some columns with their unit, neighbors as one; none where they are all columns."""
    if len(columns) == len(edges):
        return []
    runs: list[Span] = []
    for index in columns:
        low, high = edges[index]
        if runs and runs[-1][1] == low:
            runs[-1] = runs[-1][0], high
        else:
            runs.append((low, high))
    return [
        formatter.degrees(low)
        if low == high
        else wording.SPAN(low=formatter.temperature(low), high=formatter.degrees(high))
        for low, high in runs
    ]
