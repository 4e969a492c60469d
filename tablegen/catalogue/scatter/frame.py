"""The drivers of each example's limits as a frame of the data set."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from tablegen.catalogue.example import Example
from tablegen.catalogue.scatter.confidence import drivers, kv_share, unsettled
from tablegen.catalogue.scatter.tables import Scattered
from tablegen.catalogue.solving import unit_window

COLUMNS = (
    "family", "group", "envelope", "size", "refrigerant", "sst_k", "limit", "driver", "nominal_load_w",
    "confident_load_w",
    "load_at_low_w", "load_at_high_w", "unsettled_share",
)  # fmt: skip


def driver_frame(examples: Sequence[Example], scattered: Scattered | None) -> pd.DataFrame:
    """For each example's size on its first member: what each source alone does to either limit, the strongest first.

    `load_at_low_w` and `load_at_high_w` are the limit with the source alone so far down or up that it is passed with
    the confidence on one side; `unsettled_share` is how far the confident limit spreads from one set of draws to
    another.
    """
    rows = [] if scattered is None else [row for example in examples for row in _rows(example, scattered)]
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _rows(example: Example, scattered: Scattered) -> list[dict[str, object]]:
    valve = scattered.valve(example.family, example.solved)
    if valve is None:
        return []
    row, kv, confidence = example.row, example.size.kv_rated_m3h, scattered.confidence
    _, _, unit = unit_window(example.family, example.solved)
    share = kv_share(example.family, example.size)
    limits = scattered.limits(example.family, example.solved)[example.size.name]
    spread = unsettled(valve, confidence, share, row)
    found = []
    for driver in sorted(drivers(valve, share, confidence.level, row), key=lambda d: -abs(d.at_high - d.at_low)):
        nominal = float((unit.max_load_w if driver.is_greatest else unit.min_load_w)[row]) * kv
        confident = float((limits.greatest if driver.is_greatest else limits.least)[row]) * kv
        found.append({
            "family": example.family.name, "group": example.combination.group, "envelope": example.combination.envelope,
            "size": example.size.name, "refrigerant": example.solved.refrigerant.name,
            "sst_k": float(example.solved.application.sst_k[row]),
            "limit": "max" if driver.is_greatest else "min", "driver": driver.source.value, "nominal_load_w": nominal,
            # A draw in the tail that holds no load at all leaves no limit.
            "confident_load_w": confident if np.isfinite(confident) and confident > 0.0 else np.nan,
            "load_at_low_w": nominal * driver.at_low, "load_at_high_w": nominal * driver.at_high,
            "unsettled_share": spread[driver.is_greatest],
        })  # fmt: skip
    return found
