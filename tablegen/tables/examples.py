"""The example of each printed combination: one load, one size, and the valve's opening and superheat at each head."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.confidence.confident_limits import Scattered, printed_window
from tablegen.model.inputs import Catalogue, Combination, Family, Size
from tablegen.model.solving import Solved, law_of, unit_window
from tablegen.physics.operating import operating_superheat
from tablegen.physics.windows import Valve
from tablegen.sweep.frames import W_PER_KW

# Position of the example in its size's window, on a log scale: the middle, as recommended to the reader.
_POSITION = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A combination's first member at the application's example row: middle size and a load [W] inside its window.

    `row` counts in the application's suction grid; `smaller` is the largest size that is too small for the load, None
    if there is none.
    """

    combination: Combination
    family: Family
    valve: Valve
    solved: Solved
    row: int
    size: Size
    smaller: Size | None
    load_w: float


def example_of(
    catalogue: Catalogue,
    combination: Combination,
    solved_by: Mapping[tuple[str, str], Solved],
    scattered: Scattered | None = None,
) -> Example | None:
    """The example of a combination; None where the window of a member is empty in that row."""
    family = catalogue.families[combination.family]
    solved = [solved_by[m, combination.application] for m in catalogue.groups[combination.group].members]
    row = int(np.flatnonzero(solved[0].application.sst_k == solved[0].application.example_sst_k)[0])
    units = [unit_window(family, s) for s in solved]
    valve, middle = units[0][1], len(family.sizes) // 2
    windows = [u[2] for u in units]
    if scattered is not None and scattered.is_printed:
        size = family.sizes[middle].name
        windows = [
            printed_window(window, scattered.limits(family, s).get(size), True)
            for window, s in zip(windows, solved, strict=True)
        ]
    # The group's window, so that the example is valid in the printed row.
    minimum = np.max([window.min_load_w[row] for window in windows])
    maximum = np.min([window.max_load_w[row] for window in windows])
    if valve is None or not minimum < maximum:
        return None
    load = float(minimum ** (1.0 - _POSITION) * maximum**_POSITION) * family.sizes[middle].kv_rated_m3h
    too_small = [s for s in family.sizes if maximum * s.kv_rated_m3h < load]
    smaller = too_small[-1] if too_small else None
    return Example(
        combination=combination,
        family=family,
        valve=valve,
        solved=solved[0],
        row=row,
        size=family.sizes[middle],
        smaller=smaller,
        load_w=load,
    )


def examples_of(
    catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved], scattered: Scattered | None = None
) -> list[Example]:
    """The examples of every printed combination that has one."""
    found = (example_of(catalogue, combination, solved_by, scattered) for combination in catalogue.combinations)
    return [example for example in found if example is not None]


def example_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """One row per combination and condition: the flow that the example's valve must pass, its opening and superheat."""
    parts = [_conditions(example) for example in examples]
    return pd.concat(parts, ignore_index=True) if parts else pd.DataFrame()


def _conditions(example: Example) -> pd.DataFrame:
    solved, kv = example.solved, example.size.kv_rated_m3h
    required_kvs = solved.required_kvs[law_of(example.family).key]
    rows = []
    for index in solved.at_full_flow().values():
        item, required_kv = solved.states[index], required_kvs[index]
        required = example.load_w * required_kv
        superheat = operating_superheat(
            example.valve, item, required_kv, np.full_like(required_kv, example.load_w / kv)
        )
        state, row = item.state, example.row
        rated_flow = example.load_w / float(solved.rated.rating_effect_j_kg[row])
        rows.append(
            {
                "family": example.family.name,
                "group": example.combination.group,
                "application": example.combination.application,
                "refrigerant": solved.refrigerant.name,
                "sst_k": float(solved.application.sst_k[row]),
                "size": example.size.name,
                "kv_rated_m3h": kv,
                "load_w": example.load_w,
                "condition": item.condition.value,
                "head_pressure_pa": float(state.head_pressure_pa[row]),
                "liquid_temperature_k": float(state.liquid_temperature_k[row]),
                "flow_ratio": float(state.flow_ratio[row]),
                "mass_flow_kg_s": rated_flow * float(state.flow_share[row]),
                "capacity_w": example.load_w * float(state.capacity_ratio[row]),
                "pressure_drop_pa": float(state.pressure_drop_pa[row]),
                "required_kv_m3h_per_kw": float(required_kv[row]) * W_PER_KW,
                "required_kv_m3h": float(required[row]),
                "opening": float(example.valve.characteristic.opening(required / kv)[row]),
                "superheat_k": float(superheat[row]),
            }
        )
    return pd.DataFrame(rows)
