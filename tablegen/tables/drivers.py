"""The drivers of each example's limits as a frame of the data set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.confidence.confident_limits import (
    Driver,
    LoadLimits,
    Scattered,
    confident_limits,
    draw_spreads,
    drivers,
)
from tablegen.confidence.drawn_loads import ScatteredValve
from tablegen.confidence.draws import kv_measured
from tablegen.model.inputs import Group
from tablegen.model.solving import Solved, unit_window
from tablegen.sweep.frames import Columns, joined
from tablegen.sweep.parts import SystemPart, WindowCache
from tablegen.tables.examples import Example

_COLUMNS = (
    "family",
    "group",
    "application",
    "size",
    "refrigerant",
    "sst_k",
    "limit",
    "driver",
    "is_shared",
    "nominal_load_w",
    "member_load_w",
    "installed_load_w",
    "confident_load_w",
    "data_low_load_w",
    "data_high_load_w",
    "load_at_low_w",
    "load_at_high_w",
    "spread_between_draws",
)


def driver_frame(
    examples: Sequence[Example],
    scattered: Scattered | None,
    groups: Mapping[str, Group],
    solved_by: Mapping[tuple[str, str], Solved],
    cache: WindowCache | None = None,
) -> pd.DataFrame:
    """What each source alone does to either limit of each example's size in its group, the strongest first.

    Limits are the group's: each member's at confidence by itself, then what all have in common. What is in the `cache`
    is not computed again.

    Returns
    -------
    DataFrame
        One row per example, limit and source.  `refrigerant` is the member that sets the limit at confidence;
        `member_load_w` is its own nominal limit, which the source alone moves to `load_at_low_w` and `load_at_high_w`
        at its level.  `installed_load_w` is the group's limit with shared sources as stated, `data_low_load_w` and
        `data_high_load_w` are where these may move it; `spread_between_draws` is how far the member's limit spreads
        from one set of draws to another.  NaN where the members have no load in common.
    """
    if scattered is None:
        return pd.DataFrame(columns=list(_COLUMNS))
    members = [
        [solved_by[member, own.combination.application] for member in groups[own.combination.group].members]
        for own in examples
    ]
    keys = [] if cache is None else [_key(cache, *own, scattered) for own in zip(examples, members, strict=True)]
    parts: list[Columns | None] = [None] * len(examples)
    if cache is not None:
        parts = [cache.read(key) for key in keys]
    missing = [i for i, part in enumerate(parts) if part is None]
    computed = _computed([(examples[i], members[i]) for i in missing], scattered)
    for i, columns in zip(missing, computed, strict=True):
        parts[i] = columns
        if cache is not None:
            cache.write(keys[i], columns)
    # A column without any row has no type.
    filled = [part for part in parts if part is not None and len(part["family"])]
    return pd.DataFrame(joined(filled) if filled else None, columns=list(_COLUMNS))


def _key(cache: WindowCache, example: Example, members: Sequence[Solved], scattered: Scattered) -> str:
    """The identity of an example's rows."""
    systems = [SystemPart.of(own.refrigerant, own.application, ()) for own in members]
    scatter = [scattered.about(own.refrigerant.name, (example.family,)) for own in members]
    return cache.key_of("drivers", example.combination, example.family, example.size, example.row, systems, scatter)


def _computed(examples: Sequence[tuple[Example, Sequence[Solved]]], scattered: Scattered) -> list[Columns]:
    """The columns of each example, with the members of its group."""
    found = [list(_limits(example, scattered, members)) for example, members in examples]
    # Most valves that set one limit set the other too.
    valves = {id(own.valve): own for limits in found for own in limits}
    several = draw_spreads(
        [(own.valve, own.size) for own in valves.values()],
        [own.first for own in valves.values()],
        scattered.confidence,
    )
    spreads = dict(zip(valves, several, strict=True))
    columns: list[Columns] = []
    for limits in found:
        rows = [
            row | {"spread_between_draws": spreads[id(own.valve)][own.is_max]} for own in limits for row in own.rows
        ]
        frame = pd.DataFrame(rows, columns=list(_COLUMNS))
        columns.append({name: frame[name].to_numpy() for name in _COLUMNS})
    return columns


@dataclass(frozen=True, slots=True, kw_only=True)
class _LimitRows:
    """A limit of an example: the valve and size that set it, its limits at confidence, and a row for each source."""

    valve: ScatteredValve
    size: str
    first: LoadLimits
    is_max: bool
    rows: list[dict[str, object]]


def _limits(example: Example, scattered: Scattered, members: Sequence[Solved]) -> Iterator[_LimitRows]:
    """Minimum and maximum of an example's size in its group."""
    family, size, row, confidence = example.family, example.size, example.row, scattered.confidence
    kv = size.kv_rated_m3h
    valves = [valve.at_row(row) for member in members if (valve := scattered.valve(family, member)) is not None]
    found_limits = [confident_limits(valve, confidence, with_better=True)[size.name] for valve in valves]
    units = [unit_window(family, member)[2] for member in members]
    alone = [LoadLimits(unit.min_load_w[[row]], unit.max_load_w[[row]]) for unit in units]
    nominal, installed = _common(alone), _common([spread.stated for spread in found_limits])
    confident = _common([spread.confident for spread in found_limits])
    bars: dict[int, list[Driver]] = {}
    for is_max in (False, True):
        own = [_of(spread.confident, is_max) for spread in found_limits]
        binding = int(np.argmin(own) if is_max else np.argmax(own))
        valve = valves[binding]
        # From the lower to the higher end of the shared sources; limits of the group, as `installed`.
        better = [_of(spread.better or spread.stated, is_max) for spread in found_limits]
        data = sorted(kv * (min(ends) if is_max else max(ends)) for ends in (own, better))
        load = kv * _of(alone[binding], is_max)
        if binding not in bars:
            bars[binding] = drivers(valve, kv_measured(size), confidence)
        rows: list[dict[str, object]] = [
            {
                "family": family.name,
                "group": example.combination.group,
                "application": example.combination.application,
                "size": size.name,
                "refrigerant": members[binding].refrigerant.name,
                "sst_k": float(example.solved.application.sst_k[row]),
                "limit": "max" if is_max else "min",
                "driver": driver.source.value,
                "is_shared": driver.source.is_shared,
                "nominal_load_w": kv * nominal[is_max],
                "member_load_w": load,
                "installed_load_w": kv * installed[is_max],
                "confident_load_w": kv * confident[is_max],
                "data_low_load_w": _finite(data[0]),
                "data_high_load_w": _finite(data[1]),
                "load_at_low_w": load * driver.at_low,
                "load_at_high_w": load * driver.at_high,
            }
            for driver in sorted((d for d in bars[binding] if d.is_max is is_max), key=_effect)
        ]
        yield _LimitRows(valve=valve, size=size.name, first=found_limits[binding].confident, is_max=is_max, rows=rows)


def _common(limits: Sequence[LoadLimits]) -> tuple[float, float]:
    """The window that the members have in common at the one suction temperature; NaN for none."""
    low, high = max(_of(own, False) for own in limits), min(_of(own, True) for own in limits)
    return (low, high) if low < high else (np.nan, np.nan)


def _of(limits: LoadLimits, is_max: bool) -> float:
    return float((limits.max_load if is_max else limits.min_load)[0])


def _effect(driver: Driver) -> float:
    return -abs(driver.at_high - driver.at_low)


def _finite(load_w: float) -> float:
    """NaN where a draw in the tail covers no load at all, which leaves no limit."""
    return load_w if np.isfinite(load_w) and load_w > 0.0 else np.nan
