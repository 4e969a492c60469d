"""What differences go with: medians, spreads and shares of variance, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tablegen.legacy.counterparts import Compared
from tablegen.legacy.limit_model import RowLimits
from tablegen.legacy.table_rows import OldRow, OldTable
from tablegen.legacy.trends import Trend, trends_of

# Old minimum loads by size (down) and SST (across); ours are all 1000 W.
OLD_W = {"1": (1100.0, 1100.0, 900.0), "2": (1200.0, 1200.0, 1000.0)}
SST_K = (260.0, 265.0, 270.0)


@pytest.fixture
def compared() -> Compared:
    rows = tuple(
        OldRow(
            line=i,
            family="alder",
            size=size,
            group="R134a",
            application="walk_in_medium",
            sst_k=sst_k,
            min_load_w=old_w,
            max_load_w=math.nan,
        )
        for i, (size, sst_k, old_w) in enumerate(
            (size, sst_k, old_w) for size, own in OLD_W.items() for sst_k, old_w in zip(SST_K, own, strict=True)
        )
    )
    text = np.full(len(rows), "stability", dtype=object)
    ours = RowLimits(
        min_load_w=np.full(len(rows), 1000.0),
        max_load_w=np.full(len(rows), 2000.0),
        min_condition=text,
        max_condition=text,
        min_reason=text,
        max_reason=text,
    )
    table = OldTable(file="old.csv", rows=rows, taken=())
    return Compared(table=table, rows=rows, blocks=(), ours=ours, old_only=(), ours_only=())


def test_changes_are_ours_over_the_old_limit(compared):
    assert compared.change[:3, 0] == pytest.approx([1000 / 1100 - 1, 1000 / 1100 - 1, 1000 / 900 - 1])
    assert not compared.is_compared[:, 1].any()


def test_medians_of_a_level(compared):
    levels = {
        (own.trend, own.names, own.sst_k): own for own in trends_of(compared).levels if own.trend is not Trend.SST
    }
    assert all(own.limit == "min" for own in levels.values())
    by_size = {own.names: own for own in levels.values() if own.trend is Trend.FAMILY_SIZE}
    assert by_size["alder", "2"].median == pytest.approx(1000 / 1200 - 1)
    assert by_size["alder", "2"].count == 3
    at = {own.sst_k: own for own in trends_of(compared).levels if own.trend is Trend.SST}
    assert list(at) == list(SST_K)
    assert at[270.0].median == pytest.approx(0.5 * (1000 / 900 - 1 + 0.0))


def test_the_share_of_a_trend_is_that_of_the_variance(compared):
    """By hand: squares within levels over all, each by its degrees of freedom."""
    ratio = {size: [math.log(own / 1000.0) for own in values] for size, values in OLD_W.items()}
    every = [value for own in ratio.values() for value in own]
    mean = sum(every) / 6
    total = sum((value - mean) ** 2 for value in every) / 5
    within = sum(0.5 * (a - b) ** 2 for a, b in zip(*ratio.values(), strict=True)) / 3
    shares = trends_of(compared).shares
    assert shares[Trend.SST, "min"] == pytest.approx(1.0 - within / total)
    within = sum((v - sum(own) / 3) ** 2 for own in ratio.values() for v in own) / 4
    assert shares[Trend.FAMILY_SIZE, "min"] == pytest.approx(max(0.0, 1.0 - within / total))
    # One refrigerant and one application are no trend.
    assert {trend for trend, _ in shares} == {Trend.SST, Trend.FAMILY_SIZE}
