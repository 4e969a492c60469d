"""The exercises of classroom handouts, drawn by a seed, with every figure of their calculation, for the data set.

Loads are round to three figures in the handout's unit and lie clear of every limit that they are compared with, so that
the printed, rounded figures lead to the same choice as the computed ones.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue
from tablegen.physics.flow import required_flow_coefficient
from tablegen.tables.exercise_source import NEAR_K, ExerciseSource, of_names, source_of

PLAN = (
    "pick",
    "rounding",
    "mass_flow",
    "required_kv",
    "zone",
    "binding",
    "between",
    "static",
    "heads",
    "pick",
    "required_kv",
    "between",
)
# What replaces a kind that a part cannot give: one member limits no group, no other head is printed.
SPARE = ("mass_flow", "pick", "rounding", "required_kv", "between")
WORKED_AT = ("rating", "low_head", "high_head")
TRIES = 200
CLEAR = 0.02
_COLUMNS = (
    "publication",
    "exercise",
    "exercise_kind",
    "family",
    "group",
    "application",
    "refrigerant",
    "size",
    "sst_k",
    "condition",
    "load_w",
    "min_load_w",
    "max_load_w",
    "first_size",
    "second_size",
    "first_min_margin",
    "first_max_margin",
    "second_min_margin",
    "second_max_margin",
    "liquid_enthalpy_j_kg",
    "vapour_enthalpy_j_kg",
    "rating_effect_j_kg",
    "rated_mass_flow_kg_s",
    "flow_ratio",
    "mass_flow_kg_s",
    "head_pressure_pa",
    "inlet_pressure_pa",
    "outlet_pressure_pa",
    "pressure_drop_pa",
    "effective_pressure_drop_pa",
    "liquid_density_kg_m3",
    "required_kv_m3h",
    "kv_rated_m3h",
    "kv_share",
    "opening",
    "min_opening",
    "max_opening",
    "superheat_k",
    "min_superheat_k",
    "max_superheat_k",
    "zone",
    "min_member",
    "max_member",
    "warmer_sst_k",
    "actual_sst_k",
    "warmer_min_load_w",
    "warmer_max_load_w",
    "common_min_load_w",
    "common_max_load_w",
    "verdict",
    "evaporating_temperature_k",
    "evaporating_pressure_pa",
    "spring_pressure_pa",
    "closing_pressure_pa",
    "bulb_temperature_k",
    "static_superheat_k",
    "compared_application",
    "compared_head_pressure_pa",
    "compared_max_load_w",
    "load_ratio",
)
_Row = dict[str, object]
# In the order that an exercise draws from.
_ZONES = ("flooding", "starved", "steady", "hunts")


def exercise_frame(catalogue: Catalogue, frames: Mapping[str, pd.DataFrame]) -> pd.DataFrame:
    """One row per exercise of every handout, and before them (number 0) the flow equation calculated at each head.

    Another kind replaces one that the part cannot give.  A handout whose part has no example, because its
    window is empty there, has no rows.
    """
    parts = [_exercises(source_of(catalogue, handout, frames), frames["example"]) for handout in catalogue.handouts]
    rows = [row for part in parts for row in part]
    return pd.DataFrame(rows, columns=list(_COLUMNS)) if rows else pd.DataFrame()


def _exercises(source: ExerciseSource, examples: pd.DataFrame) -> list[_Row]:
    handout = source.handout
    if len(examples):
        examples = of_names(examples, family=handout.family, group=handout.group, application=handout.application)
    if not len(examples):
        return []
    first = examples.iloc[0]
    # The load of the balance graph itself, so that the same system has the same figures on every page.
    load = float(first["load_w"])
    rows: list[_Row] = [
        {"exercise": 0, "exercise_kind": "worked"}
        | _flow(source, first["refrigerant"], float(first["sst_k"]), condition, load, str(first["size"]))
        for condition in WORKED_AT
    ]
    for kind in PLAN:
        # From another start each time, so that one kind does not replace all.
        start = len(rows) % len(SPARE)
        kinds = (kind, *SPARE[start:], *SPARE[:start])
        drawn = next((d for d in (_drawn(source, k, rows) for k in kinds) if d is not None), None)
        # A part of one narrow row may have fewer exercises in it.
        if drawn is not None:
            rows.append({"exercise": len(rows) - len(WORKED_AT) + 1} | drawn)
    part: _Row = {"publication": handout.printed.name, "family": handout.family, "group": handout.group}
    part |= {"application": handout.application}
    return [part | row for row in rows]


def _drawn(source: ExerciseSource, kind: str, rows: list[_Row]) -> _Row | None:
    """An exercise of a kind that is clear and not yet set; None if the part gives none."""
    keys = ("exercise_kind", "sst_k", "size", "first_size", "refrigerant", "evaporating_temperature_k")
    given = [tuple(row.get(k) for k in keys) for row in rows]
    for _ in range(TRIES):
        found = _KINDS[kind](source)
        if found is None:
            continue
        found["exercise_kind"] = kind
        if tuple(found.get(k) for k in keys) not in given:
            return found
    return None


def _pick(source: ExerciseSource) -> _Row | None:
    sst = float(source.any_of(source.grouped)["sst_k"])
    rows = source.grouped[source.grouped["sst_k"] == sst].set_index("size")
    low, high = math.log(rows["min_load_w"].min()), math.log(rows["max_load_w"].max())
    load = source.round_load(math.exp(source.rng.uniform(low, high)))
    under, over = load / rows["min_load_w"], rows["max_load_w"] / load
    narrow = pd.concat([under, over], axis=1).min(axis=1).sort_values(ascending=False, kind="stable")
    is_clear = (np.abs(np.concatenate([under, over]) - 1.0) > CLEAR).all()
    covering = [str(size) for size in narrow.index[narrow > 1.0]]
    if not is_clear or not covering or (len(covering) > 1 and narrow.iloc[0] < (1.0 + 2 * CLEAR) * narrow.iloc[1]):
        return None
    found: _Row = {
        "sst_k": sst,
        "load_w": load,
        "first_size": covering[0],
        "second_size": covering[1] if covering[1:] else "",
        "min_load_w": rows.loc[covering[0], "min_load_w"],
        "max_load_w": rows.loc[covering[0], "max_load_w"],
    }
    for name, size in zip(("first", "second"), covering, strict=False):
        found |= {f"{name}_min_margin": under[size], f"{name}_max_margin": over[size]}
    return found


def _rounding(source: ExerciseSource) -> _Row | None:
    row = source.any_of(source.grouped)
    minimum, maximum = (source.figures(row[c]) % 1.0 for c in ("min_load_w", "max_load_w"))
    # The nearest figure would be the unsafe one at both ends, and a fifth figure changes nothing.
    if not (0.05 < minimum < 0.45 and 0.55 < maximum < 0.95):
        return None
    return {c: row[c] for c in ("size", "sst_k", "min_load_w", "max_load_w")}


def _flow(source: ExerciseSource, refrigerant: str, sst_k: float, condition: str, load_w: float, size: str) -> _Row:
    """Mass flow and required Kv of a load at one head, step by step."""
    state, rating = source.state(refrigerant, sst_k, condition), source.state(refrigerant, sst_k, "rating")
    effect = float(rating["vapour_enthalpy_j_kg"] - rating["liquid_enthalpy_j_kg"])
    flow = load_w / effect * float(state["flow_share"])
    density, drop = float(state["liquid_density_kg_m3"]), float(state["effective_pressure_drop_pa"])
    required = float(required_flow_coefficient(np.asarray(flow), np.asarray(density), np.asarray(drop)))
    kv = next(s.kv_rated_m3h for s in source.family.sizes if s.name == size)
    same = (
        "head_pressure_pa",
        "inlet_pressure_pa",
        "outlet_pressure_pa",
        "pressure_drop_pa",
        "effective_pressure_drop_pa",
        "liquid_density_kg_m3",
        "flow_ratio",
    )
    return {c: float(state[c]) for c in same} | {
        "refrigerant": refrigerant,
        "size": size,
        "sst_k": sst_k,
        "condition": condition,
        "load_w": load_w,
        "liquid_enthalpy_j_kg": float(rating["liquid_enthalpy_j_kg"]),
        "vapour_enthalpy_j_kg": float(rating["vapour_enthalpy_j_kg"]),
        "rating_effect_j_kg": effect,
        "rated_mass_flow_kg_s": load_w / effect,
        "mass_flow_kg_s": flow,
        "required_kv_m3h": required,
        "kv_rated_m3h": kv,
        "kv_share": required / kv,
    }


def _drawn_flow(source: ExerciseSource, condition: str) -> _Row:
    row, position = source.any_of(source.grouped), source.rng.uniform(0.2, 0.8)
    load = source.round_load(float(row["min_load_w"]) ** (1.0 - position) * float(row["max_load_w"]) ** position)
    refrigerant = str(source.any_of(source.members)["refrigerant"])
    return _flow(source, refrigerant, float(row["sst_k"]), condition, load, str(row["size"]))


def _mass_flow(source: ExerciseSource) -> _Row | None:
    return _drawn_flow(source, "low_head")


def _required_kv(source: ExerciseSource) -> _Row | None:
    return _drawn_flow(source, str(source.rng.choice(["low_head", "high_head"])))


def _zone(source: ExerciseSource) -> _Row | None:
    curves = source.curves[source.curves["superheat_k"].notna()]
    constant, *growing = source.superheat.min_k
    if source.actuator is None or not len(curves) or any(growing):
        return None
    zone = str(source.rng.choice([z for z in _ZONES if (curves["zone"] == z).any()]))
    row = source.any_of(curves[curves["zone"] == zone])
    limits = {
        "min_opening": source.actuator.min_stable,
        "max_opening": source.actuator.stop,
        "min_superheat_k": constant,
        "max_superheat_k": source.superheat.max_k,
    }
    shares = [
        row["superheat_k"] / limits["min_superheat_k"],
        limits["max_superheat_k"] / row["superheat_k"],
        row["opening"] / limits["min_opening"],
    ]
    # One limit at most is broken, so that the zone has one name, and none is nearly met.
    if sum(s < 1.0 for s in shares) > 1 or any(abs(s - 1.0) < CLEAR for s in shares):
        return None
    same = ("refrigerant", "size", "sst_k", "condition", "load_w", "opening", "superheat_k", "zone")
    return {c: row[c] for c in same} | limits


def _binding(source: ExerciseSource) -> _Row | None:
    row = source.any_of(source.grouped)
    own = of_names(source.members, size=str(row["size"]))
    own = own[own["sst_k"] == row["sst_k"]]
    if len(own) < 2:
        return None
    minimum, maximum = own["min_load_w"].nlargest(2).to_numpy(), own["max_load_w"].nsmallest(2).to_numpy()
    # Printed to three figures, minimum up and maximum down, the members still differ.
    up, down = [math.ceil(source.figures(v)) for v in minimum], [math.floor(source.figures(v)) for v in maximum]
    if up[0] == up[1] or down[0] == down[1]:
        return None
    return {c: row[c] for c in ("size", "sst_k", "min_load_w", "max_load_w", "min_member", "max_member")}


def _between(source: ExerciseSource) -> _Row | None:
    row = source.any_of(source.grouped)
    same = of_names(source.grouped, size=str(row["size"]))
    warmer = same[same["sst_k"] > row["sst_k"] + NEAR_K].nsmallest(1, "sst_k")
    if not len(warmer):
        return None
    other = warmer.iloc[0]
    minimum = max(row["min_load_w"], other["min_load_w"])
    ends = sorted((float(row["max_load_w"]), float(other["max_load_w"])))
    is_covered = bool(source.rng.integers(2))
    # Covered by both rows, or by one of them alone.
    load = source.round_load(ends[0] * source.rng.uniform(0.85, 0.99) if is_covered else math.sqrt(ends[0] * ends[1]))
    if is_covered and not 1.005 * minimum < load < 0.995 * ends[0]:
        return None
    if not is_covered and not 1.0005 * ends[0] < load < 0.9995 * ends[1]:
        return None
    return {
        "size": row["size"],
        "sst_k": row["sst_k"],
        "warmer_sst_k": other["sst_k"],
        "actual_sst_k": 0.5 * (row["sst_k"] + other["sst_k"]),
        "load_w": load,
        "min_load_w": row["min_load_w"],
        "max_load_w": row["max_load_w"],
        "warmer_min_load_w": other["min_load_w"],
        "warmer_max_load_w": other["max_load_w"],
        "common_min_load_w": minimum,
        "common_max_load_w": ends[0],
        "verdict": "yes" if is_covered else "no",
    }


def _static(source: ExerciseSource) -> _Row | None:
    if not len(source.charges):
        return None
    row = source.any_of(source.charges)
    bulb = float(row["evaporating_temperature_k"] + row["static_superheat_k"])
    # The bulb's own curve must be tabulated past the answer.
    if bulb > source.charges["evaporating_temperature_k"].max():
        return None
    same = (
        "refrigerant",
        "evaporating_temperature_k",
        "evaporating_pressure_pa",
        "spring_pressure_pa",
        "static_superheat_k",
    )
    closing = float(row["evaporating_pressure_pa"] + row["spring_pressure_pa"])
    return {c: row[c] for c in same} | {"closing_pressure_pa": closing, "bulb_temperature_k": bulb}


def _heads(source: ExerciseSource) -> _Row | None:
    row = source.any_of(source.grouped)
    other = source.compared[(source.compared["size"] == row["size"]) & (source.compared["sst_k"] == row["sst_k"])]
    if not len(other) or not other["max_load_w"].notna().all():
        return None
    first, member = other.iloc[0], source.states["refrigerant"].iloc[0]
    return {
        "size": row["size"],
        "sst_k": row["sst_k"],
        "refrigerant": member,
        "max_load_w": row["max_load_w"],
        "head_pressure_pa": float(source.state(member, float(row["sst_k"]), "low_head")["head_pressure_pa"]),
        "compared_application": first["application"],
        "compared_head_pressure_pa": source.compared_head_pa,
        "compared_max_load_w": first["max_load_w"],
        "load_ratio": first["max_load_w"] / row["max_load_w"],
    }


_KINDS: dict[str, Callable[[ExerciseSource], _Row | None]] = {
    "pick": _pick,
    "rounding": _rounding,
    "mass_flow": _mass_flow,
    "required_kv": _required_kv,
    "zone": _zone,
    "binding": _binding,
    "between": _between,
    "static": _static,
    "heads": _heads,
}
