"""What a counter chart says of loads that no single size in stock covers: two sizes between them, a part, or none."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from tablegen.report.formatter import DASH, Formatter
from tablegen.report.rounding import round_half_even, without_zeros
from tablegen.units import print_unit

# As the data set calls how much of a cell is covered.
WHOLE, BETWEEN, EITHER, NONE = "whole", "between", "either", "none"
OR = " or "
# A chart of few sizes may have a whole page of such rows.
_MOST = 8


@dataclass(frozen=True, slots=True)
class _Split:
    """A row's loads in some neighboring columns: what the lower and the upper size cover [W]; "" for no size.

    `is_either` tells that the two cover the row at every suction temperature.
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


def pair_of(cell: Any) -> tuple[str, str] | None:
    """The two sizes that cover a cell between them, if two do."""
    return (str(cell["lower_size"]), str(cell["upper_size"])) if cell["coverage"] in (BETWEEN, EITHER) else None


def stock_sentences(cells: pd.DataFrame, formatter: Formatter) -> str:
    """What the stock covers by two sizes, in part, or not at all, between the ends of each column of a chart.

    Loads are printed so that no size is promised too much: up to a load rounded down, from a load rounded up.
    """
    columns = {(float(a), float(b)): own for (a, b), own in cells.groupby(["sst_from_k", "sst_to_k"])}  # type: ignore[arg-type]
    edges = list(columns)
    shared: dict[tuple[float, float], list[_Split]] = {}
    asked: dict[tuple[float, float], list[_Split]] = {}
    gaps: dict[str, list[int]] = {}
    is_asked = False
    for place, column in enumerate(columns.values()):
        if (column["coverage"] == NONE).all():
            gaps.setdefault("any load", []).append(place)
            continue
        inner = _between_the_ends(column.sort_values("load_above_w"))
        for span in _gaps(inner):
            gaps.setdefault(load_range(*span, formatter), []).append(place)
        for row in inner:
            key = float(row["load_above_w"]), float(row["load_upto_w"])
            is_asked = is_asked or (row["coverage"] not in (WHOLE, NONE) and pair_of(row) is None)
            # Of a cell of which no size covers an end there is nothing to say: it is empty, so ask.
            if row["coverage"] not in (WHOLE, NONE) and (row["lower_size"] or row["upper_size"]):
                split = _Split(
                    (place,),
                    str(row["lower_size"]),
                    float(row["lower_upto_w"]),
                    str(row["upper_size"]),
                    float(row["upper_from_w"]),
                    pair_of(row) is not None,
                )
                (asked if pair_of(row) is None else shared).setdefault(key, []).append(split)
    start = f"Loads in {formatter.load_label} at the rating point."
    told = []
    if shared:
        told.append(f"Two sizes cover these rows between them: {_listed(shared, edges, formatter)}.")
    if asked:
        told.append(f"Covered only in part, so ask: {_listed(asked, edges, formatter, _MOST)}.")
    if gaps:
        parts = (span + _where(where, edges, formatter) for span, where in gaps.items())
        told.append(f"Not served from stock between the ends of the chart: {'; '.join(parts)}.")
    if not is_asked and not gaps:
        told.insert(
            0,
            "Every load between the ends of the chart is covered from stock; where two sizes are named, "
            "which of them covers it can depend on the SST.",
        )
    return " ".join([start, *told])


def _between_the_ends(column: pd.DataFrame) -> list[Any]:
    """The rows of a column from the first to the last that a size covers whole, or, without such, all that are met."""
    is_end = column["coverage"] == (WHOLE if (column["coverage"] == WHOLE).any() else BETWEEN)
    if not is_end.any():
        is_end = column["coverage"] != NONE
    places = [i for i, is_one in enumerate(is_end) if is_one]
    return [row for _, row in column.iloc[places[0] : places[-1] + 1].iterrows()]


def _gaps(rows: Iterable[Any]) -> Iterator[tuple[float, float]]:
    """Runs of loads that no size covers at all."""
    for is_gap, run in itertools.groupby(rows, lambda row: row["coverage"] == NONE):
        if is_gap:
            own = list(run)
            yield float(own[0]["load_above_w"]), float(own[-1]["load_upto_w"])


def _listed(
    rows: dict[tuple[float, float], list[_Split]],
    edges: Sequence[tuple[float, float]],
    formatter: Formatter,
    most: int | None = None,
) -> str:
    """Each row of loads with its sizes, columns that can be said in one taken together; no more than `most` of them."""
    parts = []
    for key in sorted(rows):
        for split in _joined(rows[key], formatter):
            sizes = _sizes(split, key, formatter)
            where = f"{load_range(*key, formatter)}{_where(split.columns, edges, formatter)}"
            parts.append(f"{where}: {sizes}" if sizes else where)
    more = ["and the other empty cells"] if most is not None and len(parts) > most else []
    return "; ".join([*parts[:most], *more])


def _joined(splits: Iterable[_Split], formatter: Formatter) -> list[_Split]:
    """Neighboring columns of the same sizes as one, where what is said of it is as much as was said of each."""
    joined: list[_Split] = []
    for own in splits:
        last = joined[-1] if joined else None
        if last is not None and (last.lower, last.upper) == (own.lower, own.upper):
            both = _Split(
                (*last.columns, *own.columns),
                own.lower,
                min(last.upto_w, own.upto_w),
                own.upper,
                max(last.from_w, own.from_w),
                own.is_either,
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


def _sizes(split: _Split, row: tuple[float, float], formatter: Formatter) -> str:
    """Which size covers which loads of a row; one that is left no printed load of it is not named."""
    unit = print_unit("load", formatter.system, formatter.load_unit)
    parts = []
    if split.lower:
        upto = formatter.window(split.upto_w, split.upto_w)[1]
        parts += [f"{split.lower} up to {upto}"] if float(upto) > unit.of(row[0]) else []
    if split.upper:
        start = formatter.window(split.from_w, split.from_w)[0]
        parts += [f"{split.upper} from {start}"] if float(start) < unit.of(row[1]) else []
    if split.is_either and not _meets(split, formatter):
        parts.append(f"in between {split.lower} or {split.upper} covers it, which one depends on the SST: ask")
    return ", ".join(parts)


def _where(columns: Sequence[int], edges: Sequence[tuple[float, float]], formatter: Formatter) -> str:
    """At which suction temperatures, neighboring columns as one; nothing where it is all of them."""
    if len(columns) == len(edges):
        return ""
    runs: list[tuple[float, float]] = []
    for place in columns:
        low, high = edges[place]
        if runs and runs[-1][1] == low:
            runs[-1] = runs[-1][0], high
        else:
            runs.append((low, high))
    return f" at {' and '.join(_span(*run, formatter) for run in runs)}"


def _span(low_k: float, high_k: float, formatter: Formatter) -> str:
    """Suction temperatures of neighboring columns, with their unit."""
    return (
        formatter.degrees(low_k)
        if low_k == high_k
        else f"{formatter.temperature(low_k)} to {formatter.degrees(high_k)}"
    )
