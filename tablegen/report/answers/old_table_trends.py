"""How the differences from an old table go with SST, refrigerant, size and what sets a limit, as tables."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tablegen.legacy.counterparts import LIMITS
from tablegen.legacy.trends import Trend
from tablegen.report.answer import AnswerColumn, AnswerTable, ColumnStyle, Value
from tablegen.report.formatter import DASH, percent, percent_range
from tablegen.wording import old_table as wording
from tablegen.wording import terms

if TYPE_CHECKING:
    from tablegen.legacy.trends import Level, Trends
    from tablegen.model.inputs import Catalogue
    from tablegen.report.formatter import Formatter

# Levels that are printed; a file has all of them.
_MAX_LEVELS = 80
_NO_FIGURES = (None, math.nan, math.nan, math.nan)


def shares_table(trends: Trends) -> AnswerTable:
    """The share of the scatter that goes with each trend."""
    figures = ColumnStyle.FIGURES
    columns = (
        AnswerColumn(("trend",), wording.TREND()),
        AnswerColumn(("min_share",), wording.COUNT_MIN(), figures),
        AnswerColumn(("max_share",), wording.COUNT_MAX(), figures),
    )
    rows = [
        (
            Value(wording.TRENDS[trend.value](), (trend.value,)),
            *(
                Value(percent(share), (share,))
                for share in (trends.shares.get((trend, own), math.nan) for own in LIMITS)
            ),
        )
        for trend in Trend
        if any((trend, limit) in trends.shares for limit in LIMITS)
    ]
    return AnswerTable(key="trend_shares", columns=columns, rows=tuple(rows), title=wording.SHARES_TABLE())


def levels_table(catalogue: Catalogue, trends: Trends, formatter: Formatter) -> AnswerTable:
    """The changes of either limit at every level of every trend, a block for each trend."""
    found: dict[tuple[Trend, tuple[str, ...], float], dict[str, Level]] = {}
    for own in trends.levels:
        sst_k = 0.0 if math.isnan(own.sst_k) else own.sst_k
        found.setdefault((own.trend, own.names, sst_k), {})[own.limit] = own
    keys = sorted(found, key=lambda key: list(Trend).index(key[0]))
    columns = (
        AnswerColumn(("trend",), wording.TREND()),
        AnswerColumn(("level", "sst_k"), wording.LEVEL()),
        *(
            AnswerColumn(
                (f"{limit}_count", f"{limit}_median", f"{limit}_low", f"{limit}_high"), label(), ColumnStyle.FIGURES
            )
            for limit, label in zip(LIMITS, (wording.MIN_MEDIAN, wording.MAX_MEDIAN), strict=True)
        ),
    )
    rows = tuple(
        (
            Value(wording.TRENDS[key[0].value](), (key[0].value,)),
            Value(_level_text(catalogue, *key, formatter), (" ".join(key[1]), key[2] or math.nan)),
            *(_changes(found[key].get(limit)) for limit in LIMITS),
        )
        for key in keys
    )
    breaks = tuple(i for i in range(1, len(keys)) if keys[i][0] is not keys[i - 1][0])
    rest = len(rows) - _MAX_LEVELS
    return AnswerTable(
        key="trend_levels",
        columns=columns,
        rows=rows,
        title=wording.LEVELS_TABLE(),
        breaks=breaks,
        printed_rows=_MAX_LEVELS,
        more=wording.MORE_IN_JSON(rest) if rest > 0 else "",
    )


def _level_text(catalogue: Catalogue, trend: Trend, names: tuple[str, ...], sst_k: float, formatter: Formatter) -> str:
    if trend is Trend.SST:
        return formatter.degrees(sst_k)
    if trend is Trend.SET_BY:
        condition, reason = names
        return wording.SET_BY(condition=terms.CONDITIONS[condition](), reason=terms.LIMIT_REASONS[reason]())
    if trend is Trend.FAMILY_SIZE:
        return catalogue.valve_name(*names)
    return " ".join(names)


def _changes(level: Level | None) -> Value:
    if level is None:
        return Value(DASH, _NO_FIGURES)
    median, spread = percent_range((level.median,)), percent_range(level.spread)
    text = wording.MEDIAN_AND_SPREAD(median=median, spread=spread)
    return Value(text, (level.count, level.median, *level.spread))
