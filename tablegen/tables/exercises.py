"""The exercises of classroom handouts, drawn by a seed, with every figure of their calculation, for the data set.

Loads and suction temperatures are round in the handout's units and lie clear of every limit that they are compared with,
so that the printed, rounded figures lead to the same choice as the computed ones.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import pandas as pd

from tablegen.model.exercise_plan import ExerciseKind
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Handout
from tablegen.tables import exercise_valves as valves
from tablegen.tables import exercise_windows as windows
from tablegen.tables.exercise_rows import with_round_rows
from tablegen.tables.exercise_source import Drawn, ExerciseSource, Row, of_names, source_of

# What replaces a kind that a part cannot give: one member limits no group, no other head is printed.
SPARE: tuple[ExerciseKind, ...] = ("mass_flow", "pick", "rounding", "required_kv", "between")
WORKED_AT = ("rating", "low_head", "high_head")
TRIES = 400
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
    "vapor_enthalpy_j_kg",
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
    "gradient_pa",
    "port_closing_pa",
    "bulb_temperature_k",
    "static_superheat_k",
    "compared_application",
    "compared_head_pressure_pa",
    "compared_max_load_w",
    "load_ratio",
    "min_condition",
    "max_condition",
    "min_required_kv_m3h",
    "max_required_kv_m3h",
    "min_kv_share",
    "max_kv_share",
    "asked_load_w",
)
# With the family, as sizes are called otherwise in print.
_TABLE_COLUMNS = (
    "publication",
    "exercise",
    "family",
    "size",
    "refrigerant",
    "sst_k",
    "min_load_w",
    "max_load_w",
    "bulb_temperature_k",
    "bulb_pressure_pa",
)
_KINDS: Mapping[ExerciseKind, Callable[[ExerciseSource], Drawn | None]] = {
    "pick": windows.pick,
    "rounding": windows.rounding,
    "binding": windows.binding,
    "between": windows.between,
    "heads": windows.heads,
    "mass_flow": valves.mass_flow,
    "required_kv": valves.required_kv,
    "both_limits": valves.both_limits,
    "zone": valves.zone,
    "static": valves.static,
    "spring": valves.spring,
}
# What two exercises must differ in.
_KEYS = ("exercise_kind", "sst_k", "size", "first_size", "refrigerant", "evaporating_temperature_k")
# A kind that is read off one graph has only its loads to differ in.
_KEYS_OF_GRAPH = ("exercise_kind", "load_w", "condition")


class ExerciseFrames(NamedTuple):
    """A row for each exercise, and the rows of the small tables that their questions print."""

    exercises: pd.DataFrame
    tables: pd.DataFrame


def exercise_frames(catalogue: Catalogue, frames: Mapping[str, pd.DataFrame]) -> ExerciseFrames:
    """The exercises of every handout, and before them (number 0) the flow equation calculated at each head.

    Another kind replaces one that the part cannot give.  A handout whose part has no example, because its
    window is empty there, has no rows.
    """
    rows: list[Row] = []
    tables: list[Row] = []
    round_rows: dict[tuple[object, ...], tuple[Catalogue, Mapping[str, pd.DataFrame]]] = {}
    for handout in catalogue.handouts:
        drawn = _drawn_for(catalogue, handout, frames, round_rows)
        part: Row = {"publication": handout.printed.name, "family": handout.family, "group": handout.group}
        part |= {"application": handout.application}
        rows += [part | own.row for own in drawn]
        for own in drawn:
            named: Row = {
                "publication": handout.printed.name,
                "exercise": own.row["exercise"],
                "family": handout.family,
            }
            tables += [named | line for line in own.table]
    return ExerciseFrames(_framed(rows, _COLUMNS), _framed(tables, _TABLE_COLUMNS))


def _framed(rows: list[Row], columns: tuple[str, ...]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=list(columns)) if rows else pd.DataFrame()


def _drawn_for(
    catalogue: Catalogue,
    handout: Handout,
    frames: Mapping[str, pd.DataFrame],
    round_rows: dict[tuple[object, ...], tuple[Catalogue, Mapping[str, pd.DataFrame]]],
) -> list[Drawn]:
    """The exercises of a handout; frames with rows round in its units are made once for all that they serve."""
    examples = frames["example"]
    if len(examples):
        examples = of_names(examples, family=handout.family, group=handout.group, application=handout.application)
    if not len(examples):
        return []
    first = examples.iloc[0]
    of_page = source_of(catalogue, handout, frames)
    # The load of the balance graph itself, so that the same system has the same figures on every page.
    example = str(first["refrigerant"]), float(first["sst_k"]), float(first["load_w"]), str(first["size"])
    refrigerant, sst_k, load, size = example
    drawn = [
        Drawn(
            {"exercise": 0, "exercise_kind": "worked"} | valves.flow(of_page, refrigerant, sst_k, condition, load, size)
        )
        for condition in WORKED_AT
    ]
    printed, part = handout.printed, (handout.family, handout.group, handout.application)
    key = (*part, printed.temperature_scale, printed.temperature_offset)
    if key not in round_rows:
        round_rows[key] = with_round_rows(catalogue, handout, frames)
    round_catalogue, round_frames = round_rows[key]
    source = source_of(round_catalogue, handout, round_frames)
    if not len(source.grouped):
        # Of a window that is open between round rows alone.
        source = of_page
    for number, kind in enumerate(handout.exercises.in_order):
        # From another start each time, so that one kind does not replace all.
        start = number % len(SPARE)
        kinds = (kind, *SPARE[start:], *SPARE[:start])
        found = next((d for d in (_drawn(source, k, drawn) for k in kinds) if d is not None), None)
        # A part of one narrow row may have fewer exercises in it.
        if found is not None:
            drawn.append(Drawn({"exercise": len(drawn) - len(WORKED_AT) + 1} | found.row, found.table))
    return drawn


def _drawn(source: ExerciseSource, kind: ExerciseKind, earlier: list[Drawn]) -> Drawn | None:
    """An exercise of a kind that is clear and not yet set; None if the part gives none."""
    keys = _KEYS_OF_GRAPH if kind == "zone" else _KEYS
    given = [tuple(own.row.get(k) for k in keys) for own in earlier]
    for _ in range(TRIES):
        found = _KINDS[kind](source)
        if found is None:
            continue
        row: Row = found.row | {"exercise_kind": kind}
        if tuple(row.get(k) for k in keys) not in given:
            return Drawn(row, found.table)
    return None
