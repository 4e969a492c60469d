"""The example of each printed combination: one load, one size, and the valve's opening and superheat at each head."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.confidence.confident_limits import Scattered, printed_window
from tablegen.model.inputs import Catalogue, Family, Size
from tablegen.model.publications import Combination
from tablegen.model.solving import Solved, law_of, unit_window
from tablegen.physics.arrays import Names
from tablegen.physics.operating import operating_superheat
from tablegen.physics.windows import Valve
from tablegen.sweep.compact import compact, framed
from tablegen.sweep.frames import W_PER_KW, Columns, laid

# Position of the example in its size's window, on a log scale: the middle, as recommended to the reader.
_POSITION = 0.5
# A smaller size is drawn beside it that passes at most so much of the system's load: less is seen in a graph.
_CLEARLY_SHORT = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A combination's first member at the application's example row: middle size and a load [W] inside its window.

    `row` counts in the application's suction grid; `smaller` is the largest size that is clearly too small for the load, or
    else too small at all, None if there is none. `family` is the part with the size's port design, `smaller_valve` that of the smaller size.
    """

    combination: Combination
    family: Family
    valve: Valve
    solved: Solved
    row: int
    size: Size
    smaller: Size | None
    smaller_valve: Valve | None
    load_w: float

    @classmethod
    def alone(cls, family: Family, size: Size, solved: Solved, valve: Valve, load_w: float) -> Example:
        """One size for one refrigerant at the only suction temperature of a case, with its load [W]."""
        return cls(
            combination=Combination(family.name, solved.refrigerant.name, solved.application.name),
            family=family,
            valve=valve,
            solved=solved,
            row=0,
            size=size,
            smaller=None,
            smaller_valve=None,
            load_w=load_w,
        )


def example_of(
    catalogue: Catalogue,
    combination: Combination,
    solved_by: Mapping[tuple[str, str], Solved],
    scattered: Scattered | None = None,
) -> Example | None:
    """The example of a combination; None where the window of a member is empty in that row."""
    whole = catalogue.families[combination.family]
    size = whole.sizes[len(whole.sizes) // 2]
    family = whole.with_design_of(size.name)
    solved = [solved_by[m, combination.application] for m in catalogue.groups[combination.group].members]
    row = int(np.flatnonzero(solved[0].application.sst_k == solved[0].application.example_sst_k)[0])
    valve, minimum, maximum = _common(family, size, solved, row, scattered)
    if valve is None or not minimum < maximum:
        return None
    load = float(minimum ** (1.0 - _POSITION) * maximum**_POSITION) * size.kv_rated_m3h
    too_small: dict[str, Valve | None] = {}
    clearly: set[str] = set()
    for part in whole.by_design():
        its_valve, _, most = (
            (valve, minimum, maximum) if size in part.sizes else _common(part, part.sizes[0], solved, row, scattered)
        )
        # As the graph has it: of the first member alone, without scatter.
        drawn = float(unit_window(part, solved[0])[2].max_load_w[row])
        too_small |= {own.name: its_valve for own in part.sizes if most * own.kv_rated_m3h < load}
        clearly |= {own.name for own in part.sizes if drawn * own.kv_rated_m3h < _CLEARLY_SHORT * load}
    found = [own for own in reversed(whole.sizes) if own.name in too_small]
    smaller = next((own for own in found if own.name in clearly), next(iter(found), None))
    return Example(
        combination=combination,
        family=family,
        valve=valve,
        solved=solved[0],
        row=row,
        size=size,
        smaller=smaller,
        smaller_valve=too_small[smaller.name] if smaller else None,
        load_w=load,
    )


def _common(
    family: Family, size: Size, solved: Sequence[Solved], row: int, scattered: Scattered | None
) -> tuple[Valve | None, float, float]:
    """A size's valve, and the window in a row that all members share, for each m3/h of rated Kv [W]."""
    units = [unit_window(family, s) for s in solved]
    windows = [u[2] for u in units]
    if scattered is not None and scattered.is_printed:
        windows = [
            printed_window(window, scattered.limits(family, s).get(size.name), True)
            for window, s in zip(windows, solved, strict=True)
        ]
    # The group's window, so that the example is valid in the printed row.
    minimum = np.max([window.min_load_w[row] for window in windows])
    maximum = np.min([window.max_load_w[row] for window in windows])
    return units[0][1], float(minimum), float(maximum)


def examples_of(
    catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved], scattered: Scattered | None = None
) -> list[Example]:
    """The examples of every printed combination that has one."""
    found = (example_of(catalogue, combination, solved_by, scattered) for combination in catalogue.combinations)
    return [example for example in found if example is not None]


def in_their_order(examples: Sequence[Example], make: Callable[[Sequence[Example]], Columns]) -> pd.DataFrame:
    """Rows made of examples, those of equal valves in one system at once; in the order of the examples."""
    alike: dict[Hashable, list[int]] = {}
    for i, example in enumerate(examples):
        of_valve = id(example.solved), example.row, example.valve, law_of(example.family).key
        alike.setdefault(of_valve, []).append(i)
    parts, places = [], []
    for own in alike.values():
        part = make([examples[i] for i in own])
        parts.append(compact(part))
        places.append(np.repeat(own, len(part["family"]) // len(own)))
    if not parts:
        return pd.DataFrame()
    return framed(parts, np.argsort(np.concatenate(places), kind="stable"))


def names(found: Iterable[str]) -> Names:
    """Text for the examples of a part, one below the other."""
    return np.array(list(found), dtype=object)[:, None]


def example_frame(examples: Sequence[Example]) -> pd.DataFrame:
    """One row per combination and condition: the flow that the example's valve must pass, its opening and superheat."""
    return in_their_order(examples, _conditions)


def _conditions(examples: Sequence[Example]) -> Columns:
    """The rows of some examples of equal valves in one system, one example below the other."""
    first = examples[0]
    solved, valve, row = first.solved, first.valve, np.full(len(examples), first.row)
    law = law_of(first.family)
    required_kvs = solved.required_kvs[law.key]
    load = np.array([example.load_w for example in examples])
    kv = np.array([example.size.kv_rated_m3h for example in examples])
    rated_flow = load / float(solved.rated.rating_effect_j_kg[first.row])
    parts = []
    for condition, index in solved.at_full_flow().items():
        item, required_kv = solved.states[index].at(row), required_kvs[index][row]
        required, state = load * required_kv, item.state
        opened = solved.opened_at(condition, valve, law)
        # What a pulse-modulated valve passes in its duty has the losses of the open flow.
        mean = required if opened is None else load * opened[1][row] * opened[0].open_share
        parts.append(
            {
                "family": names(example.family.name for example in examples).ravel(),
                "group": names(example.combination.group for example in examples).ravel(),
                "application": laid(first.combination.application, row.shape),
                "refrigerant": laid(solved.refrigerant.name, row.shape),
                "sst_k": solved.application.sst_k[row],
                "size": names(example.size.name for example in examples).ravel(),
                "kv_rated_m3h": kv,
                "load_w": load,
                "condition": laid(item.condition.value, row.shape),
                "head_pressure_pa": state.head_pressure_pa,
                "liquid_temperature_k": state.liquid_temperature_k,
                "flow_ratio": state.flow_ratio,
                "mass_flow_kg_s": rated_flow * state.flow_share,
                "capacity_w": load * state.capacity_ratio,
                "pressure_drop_pa": state.pressure_drop_pa,
                "required_kv_m3h_per_kw": required_kv * W_PER_KW,
                "required_kv_m3h": required,
                "opening": valve.characteristic.opening(mean / kv),
                "superheat_k": operating_superheat(valve, item, required_kv, load / kv),
            }
        )
    # Examples, conditions.
    return {name: np.stack([part[name] for part in parts], axis=1).ravel() for name in parts[0]}
