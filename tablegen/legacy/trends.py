"""How the differences from an old table go with SST, refrigerant, size and what sets a limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tablegen.legacy.counterparts import LIMITS, Compared
from tablegen.physics.arrays import Floats, Names

# From the lowest to the highest of this part of the differences, the middle four in five.
SPREAD = (0.1, 0.9)
_KINDS = 2


class Trend(StrEnum):
    """What differences may go with."""

    GROUP = "group"
    FAMILY_SIZE = "size"
    APPLICATION = "application"
    SET_BY = "set_by"
    SST = "sst"


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """The changes of one limit at one level of a trend, such as one SST: how many, median and spread [1]."""

    trend: Trend
    limit: str
    names: tuple[str, ...]
    sst_k: float
    count: int
    median: float
    spread: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trends:
    """All levels, and by trend and limit the share of the scatter that it explains [1], NaN with a single level."""

    levels: tuple[Level, ...]
    shares: Mapping[tuple[Trend, str], float]


def trends_of(compared: Compared) -> Trends:
    """The trends of an old table's differences, each limit by itself.

    The share of a trend is that of the variance: one less the variance within its levels over that of all, both by
    their degrees of freedom.
    """
    levels: list[Level] = []
    shares: dict[tuple[Trend, str], float] = {}
    for side, limit in enumerate(LIMITS):
        is_compared = compared.is_compared[:, side]
        change, ratio = compared.change[is_compared, side], compared.log_ratio[is_compared, side]
        if not change.size:
            continue
        for trend, labels in _labels(compared, limit).items():
            own = labels[is_compared]
            kinds = sorted(set(own)) if trend is Trend.SST else list(dict.fromkeys(own))
            if len(kinds) < _KINDS:
                continue
            shares[trend, limit] = _share(ratio, own)
            for kind in kinds:
                chosen = change[own == kind]
                low, high = (float(np.quantile(chosen, q)) for q in SPREAD)
                is_sst = trend is Trend.SST
                levels.append(
                    Level(
                        trend=trend,
                        limit=limit,
                        names=() if is_sst else tuple(kind.split("\n")),
                        sst_k=float(kind) if is_sst else np.nan,
                        count=int(chosen.size),
                        median=float(np.median(chosen)),
                        spread=(low, high),
                    )
                )
    return Trends(levels=tuple(levels), shares=shares)


def _labels(compared: Compared, limit: str) -> dict[Trend, Names]:
    """The level of each row under each trend, as a text that sorts; names are joined by line breaks."""
    rows, ours = compared.rows, compared.ours
    conditions, reasons = getattr(ours, f"{limit}_condition"), getattr(ours, f"{limit}_reason")
    return {
        Trend.SST: np.array([f"{row.sst_k:014.9f}" for row in rows], dtype=object),
        Trend.GROUP: np.array([row.group for row in rows], dtype=object),
        Trend.FAMILY_SIZE: np.array([f"{row.family}\n{row.size}" for row in rows], dtype=object),
        Trend.APPLICATION: np.array([row.application for row in rows], dtype=object),
        Trend.SET_BY: np.array([f"{c}\n{r}" for c, r in zip(conditions, reasons, strict=True)], dtype=object),
    }


def _share(ratio: Floats, labels: Names) -> float:
    """The share of the variance between levels [1]."""
    kinds = sorted(set(labels))
    if ratio.size <= len(kinds):
        return float("nan")
    total = float(np.var(ratio, ddof=1))
    within = sum(float(np.sum((own - own.mean()) ** 2)) for own in (ratio[labels == kind] for kind in kinds))
    if not total:
        return float("nan")
    return max(0.0, 1.0 - within / (ratio.size - len(kinds)) / total)
