"""An exercise of the handout in words: its question, the figures given, the working and the answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from tablegen.report.formatter import NBSP, percent, ratio
from tablegen.report.handout_words import Desk
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import terms

ZONES = {
    "steady": "steady: every limit is kept",
    "hunts": "unsteady: the valve works below its minimum steady opening",
    "flooding": "flooding: the superheat is below the minimum stable one",
    "starved": "starved: the superheat is beyond the maximum one",
}
_VERDICTS = {"yes": "Yes, both rows hold it", "no": "No, one of the two rows does not hold it"}
Table = tuple[list[str], list[list[str]]]


@dataclass(frozen=True, slots=True)
class Exercise:
    """An exercise in printed words; `lines` is the room to write."""

    title: str
    question: str
    table: Table | None
    steps: Sequence[str]
    answer: str
    lines: int


def exercise(desk: Desk, row: pd.Series) -> Exercise:
    """One row of the data set's frame `exercises` in words."""
    return _KINDS[str(row["exercise_kind"])](desk, row)


def mass_steps(desk: Desk, row: pd.Series) -> list[str]:
    """Enthalpy difference and mass flow, each with its units."""
    enthalpy = [desk.figure("enthalpy", row[f"{n}_j_kg"]) for n in ("vapour_enthalpy", "liquid_enthalpy")]
    effect = desk.figure("enthalpy", row["rating_effect_j_kg"])
    rated = desk.figure("mass flow", row["rated_mass_flow_kg_s"])
    steps = [
        f"Δh_r = h_g − h_l = {enthalpy[0]} − {enthalpy[1]} = {effect}",
        f"ṁ at the rating point = Q ÷ Δh_r = {desk.load(row['load_w'])} ÷ {effect} = {rated} ({desk.energy()})",
    ]
    if row["condition"] != "rating":
        flow = desk.figure("mass flow", row["mass_flow_kg_s"])
        steps.append(
            f"ṁ {terms.at_condition(str(row['condition']))} = f × ṁ at the rating point = {ratio(row['flow_ratio'], 3)} × "
            f"{rated} = {flow}"
        )
    return steps


def kv_steps(desk: Desk, row: pd.Series) -> list[str]:
    """Required Kv from flow, density and drop, and its share of the rated one."""
    density, flow = desk.figure("density", row["liquid_density_kg_m3"]), desk.figure("mass flow", row["mass_flow_kg_s"])
    drop = desk.figure("pressure difference", row["effective_pressure_drop_pa"], 3)
    required, rated = (desk.figure("flow coefficient", row[c], 3) for c in ("required_kv_m3h", "kv_rated_m3h"))
    return [
        f"Kv = ṁ ÷ (N √(ρ Δp)) = {flow} ÷ ({desk.flow_constant()} × √({density} × {drop})) = {required}",
        f"share of the rated Kv = {required} ÷ {rated} = {percent(row['kv_share'])}",
    ]


def flow_steps(desk: Desk, row: pd.Series) -> list[str]:
    """From the load to the required Kv, with units at each step."""
    pressures = [desk.absolute(row[f"{n}_pressure_pa"]) for n in ("inlet", "outlet")]
    # Three figures: what is taken from two printed pressures must come out as printed.
    drop = desk.figure("pressure difference", row["pressure_drop_pa"], 3)
    steps = [*mass_steps(desk, row), f"Δp at the port = p₁ − p₂ = {pressures[0]} − {pressures[1]} = {drop}"]
    if abs(row["effective_pressure_drop_pa"] - row["pressure_drop_pa"]) > 1.0:
        effective = desk.figure("pressure difference", row["effective_pressure_drop_pa"], 3)
        steps.append(f"The flow chokes: only {effective} of the drop drives it")
    return steps + kv_steps(desk, row)


def _worked(desk: Desk, row: pd.Series) -> Exercise:
    head = terms.condition(str(row["condition"]))
    pressures = [desk.absolute(row[f"{n}_pressure_pa"]) for n in ("inlet", "outlet")]
    choked, rows = "", desk.publication.data.exercises
    rows = rows[(rows["publication"] == row["publication"]) & (rows["exercise"] == 0)]
    largest = terms.condition(str(rows.loc[rows["required_kv_m3h"].idxmax(), "condition"]))
    if abs(row["effective_pressure_drop_pa"] - row["pressure_drop_pa"]) > 1.0:
        choked = f"; it chokes, and {desk.figure('pressure difference', row['effective_pressure_drop_pa'], 3)} drive it"
    return Exercise(
        f"Now you: at the {head}",
        f"The same system, {_given(desk, row)}, size {row['size']}, at the {head}: f = {ratio(row['flow_ratio'], 3)}, "
        f"p₁{NBSP}={NBSP}{pressures[0]}, p₂{NBSP}={NBSP}{pressures[1]}, "
        f"ρ{NBSP}={NBSP}{desk.figure('density', row['liquid_density_kg_m3'])}{choked}. Work out ṁ, Δp and Kv as above. "
        "Which head asks for the largest port?",
        None,
        flow_steps(desk, row),
        f"Kv {desk.figure('flow coefficient', row['required_kv_m3h'], 3)}, {percent(row['kv_share'])} of size "
        f"{row['size']}; the {largest} asks for the largest port",
        7,
    )


def _pick(desk: Desk, row: pd.Series) -> Exercise:
    formatter = desk.publication.formatter
    rows = desk.publication.rows(desk.publication.data.group_windows, desk.part)
    rows = rows[((rows["sst_k"] - row["sst_k"]).abs() < 1e-6) & rows["max_load_w"].notna()]
    limits = [formatter.window(*map(float, r)) for r in rows[["min_load_w", "max_load_w"]].to_numpy()]
    table = (
        ["Size", *map(str, rows["size"])],
        [["Min", *(low for low, _ in limits)], ["Max", *(high for _, high in limits)]],
    )
    steps = []
    for name in ("first", "second"):
        if row[f"{name}_size"]:
            steps.append(
                f"Size {row[f'{name}_size']} holds: load ÷ minimum = {ratio(row[f'{name}_min_margin'])}, maximum ÷ "
                f"load = {ratio(row[f'{name}_max_margin'])}; the smaller of the two is its room"
            )
    most = "Of the sizes that hold the load, the first has the most room"
    steps.append(most if row["second_size"] else "No other size holds the load")
    return Exercise(
        "Pick a size",
        f"A system is rated {desk.load(row['load_w'])}; {desk.sst(row['sst_k'])}. The row of the table is below, in "
        f"{formatter.load_label}. Which sizes hold the load? Choose the one with the most room: where the smaller of "
        "load ÷ minimum and maximum ÷ load is the largest.",
        table,
        steps,
        f"Size {row['first_size']}, {desk.window(row['min_load_w'], row['max_load_w'])}",
        3,
    )


def _rounding(desk: Desk, row: pd.Series) -> Exercise:
    formatter = desk.publication.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    exact = [round_half_even(unit.of(row[c]), 5) for c in ("min_load_w", "max_load_w")]
    near = [formatter.load(row[c]) for c in ("min_load_w", "max_load_w")]
    printed = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        "Round a window",
        f"Size {row['size']} at {desk.sst(row['sst_k'])} was computed to hold loads from {exact[0]} to {exact[1]}"
        f"{NBSP}{formatter.load_label}. Print both limits to three figures so that the table never promises more than was "
        "computed. Which way is each rounded, and why not to the nearest figure?",
        None,
        [
            f"Minimum load, always up: {exact[0]} becomes {printed[0]}; the nearest figure, {near[0]}, lies outside",
            f"Maximum load, always down: {exact[1]} becomes {printed[1]}; the nearest figure, {near[1]}, lies outside",
        ],
        f"{desk.window(row['min_load_w'], row['max_load_w'])}",
        3,
    )


def _given(desk: Desk, row: pd.Series) -> str:
    return f"{row['refrigerant']}, {desk.sst(row['sst_k'])}, rated load Q = {desk.load(row['load_w'])}"


def _mass_flow(desk: Desk, row: pd.Series) -> Exercise:
    enthalpy = [desk.figure("enthalpy", row[f"{n}_j_kg"]) for n in ("vapour_enthalpy", "liquid_enthalpy")]
    head = terms.condition(str(row["condition"]))
    return Exercise(
        f"Mass flow at the {head}",
        f"{_given(desk, row)}. At the rating point h_g = {enthalpy[0]} and h_l = {enthalpy[1]}; at the {head} the "
        f"compressor pumps f = {ratio(row['flow_ratio'], 3)} times as much. What mass flow passes the valve at the "
        f"rating point, and at the {head}? {desk.energy()}.",
        None,
        mass_steps(desk, row),
        f"{desk.figure('mass flow', row['rated_mass_flow_kg_s'], 3)} at the rating point, "
        f"{desk.figure('mass flow', row['mass_flow_kg_s'], 3)} at the {head}",
        4,
    )


def _required_kv(desk: Desk, row: pd.Series) -> Exercise:
    head = terms.condition(str(row["condition"]))
    rated = desk.figure("flow coefficient", row["kv_rated_m3h"], 3)
    return Exercise(
        f"Required Kv at the {head}",
        f"{_given(desk, row)}. At the {head} the mass flow is {desk.figure('mass flow', row['mass_flow_kg_s'])}, the "
        f"liquid's density {desk.figure('density', row['liquid_density_kg_m3'])}, and the drop that drives the flow "
        f"{desk.figure('pressure difference', row['effective_pressure_drop_pa'], 3)}. What Kv does the port need, and "
        f"what share of the {rated} of size {row['size']} is that? N = {desk.flow_constant()}.",
        None,
        kv_steps(desk, row),
        f"Kv {desk.figure('flow coefficient', row['required_kv_m3h'], 3)}, {percent(row['kv_share'])} of size "
        f"{row['size']}",
        4,
    )


def _zone(desk: Desk, row: pd.Series) -> Exercise:
    formatter = desk.publication.formatter
    superheat, minimum, maximum = (formatter.step(row[f"{n}superheat_k"], 1) for n in ("", "min_", "max_"))
    opening, low, stop = (percent(row[f"{n}opening"]) for n in ("", "min_", "max_"))
    return Exercise(
        "Superheat and zone of a load",
        f"Size {row['size']} on {row['refrigerant']}, {desk.sst(row['sst_k'])}, {terms.condition(str(row['condition']))}; the "
        f"system is rated {desk.load(row['load_w'])}. Read the superheat off the superheat graph. The valve then "
        f"stands at {opening} of rated stroke; it is steady from {low}, its stop is at {stop}, and superheat must stay "
        f"between {minimum} and {maximum}. Is the valve steady, unsteady, flooding or starved?",
        None,
        [
            f"Superheat from the curve: {superheat}; it must be at least {minimum} and at most {maximum}",
            f"Opening: {opening}; it must be at least {low} and at most {stop}",
        ],
        f"{superheat}; {ZONES[str(row['zone'])]}",
        3,
    )


def _binding(desk: Desk, row: pd.Series) -> Exercise:
    formatter, names = desk.publication.formatter, desk.publication.members(desk.part.group)
    windows = desk.publication.data.windows
    own = (
        windows[
            (windows["family"] == desk.part.family)
            & (windows["application"] == desk.part.application)
            & (windows["size"] == row["size"])
            & ((windows["sst_k"] - row["sst_k"]).abs() < 1e-6)
        ]
        .set_index("refrigerant")
        .loc[names]
    )
    limits = [formatter.window(*map(float, r)) for r in own[["min_load_w", "max_load_w"]].to_numpy()]
    table = (["Refrigerant", "Min", "Max"], [[n, *pair] for n, pair in zip(names, limits, strict=True)])
    minimum, maximum = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        "Which member binds the group",
        f"Size {row['size']}, {desk.sst(row['sst_k'])}: the windows of the group's members are below, in "
        f"{formatter.load_label}. Which window holds for all of them, and which member sets each limit?",
        table,
        [
            f"The largest of the minimum loads is {minimum}, that of {row['min_member']}",
            f"The smallest of the maximum loads is {maximum}, that of {row['max_member']}",
        ],
        f"{desk.window(row['min_load_w'], row['max_load_w'])}; minimum set by {row['min_member']}, maximum by "
        f"{row['max_member']}",
        2,
    )


def _between(desk: Desk, row: pd.Series) -> Exercise:
    formatter = desk.publication.formatter
    cold = formatter.window(row["min_load_w"], row["max_load_w"])
    warm = formatter.window(row["warmer_min_load_w"], row["warmer_max_load_w"])
    degrees = [formatter.degrees(row[c]) for c in ("sst_k", "warmer_sst_k")]
    table = (["SST", "Min", "Max"], [[degrees[0], *cold], [degrees[1], *warm]])
    common = formatter.window(row["common_min_load_w"], row["common_max_load_w"])
    return Exercise(
        "Between two rows",
        f"A system rated {desk.load(row['load_w'])} works at {desk.sst(row['actual_sst_k'])}, between two rows of the "
        f"table of size {row['size']}, in {formatter.load_label}. Does the valve hold the load? Both rows must hold it.",
        table,
        [
            f"Both rows hold loads from {common[0]} (the larger minimum) to {common[1]} (the smaller maximum)",
            f"{formatter.load(row['load_w'])} lies {'within' if row['verdict'] == 'yes' else 'above'} that",
        ],
        _VERDICTS[str(row["verdict"])],
        2,
    )


def _static(desk: Desk, row: pd.Series) -> Exercise:
    formatter = desk.publication.formatter
    element = desk.publication.element(desk.part)["name"]
    curve = desk.publication.data.charges
    curve = curve[(curve["family"] == desk.part.family) & (curve["charge"] == element)]
    at = curve["evaporating_temperature_k"]
    start = int((at <= row["bulb_temperature_k"] + 1e-6).sum())
    curve = curve.iloc[max(0, start - 3) : start + 2]
    table = (
        ["Bulb temperature", *(formatter.degrees(float(k), 2) for k in curve["evaporating_temperature_k"])],
        [["Bulb pressure", *(desk.absolute(float(p)) for p in curve["bulb_pressure_pa"])]],
    )
    evaporator, closing = desk.absolute(row["evaporating_pressure_pa"]), desk.absolute(row["closing_pressure_pa"], 3)
    spring = desk.figure("pressure difference", row["spring_pressure_pa"])
    te, bulb = formatter.degrees(row["evaporating_temperature_k"], 2), formatter.degrees(row["bulb_temperature_k"], 1)
    return Exercise(
        "Static superheat",
        f"{row['refrigerant']} evaporates at {te} (dew), where its pressure is {evaporator}; the spring stands for "
        f"{spring}. At which bulb temperature does the valve just open, and what is the static superheat? Read between "
        "the columns.",
        table,
        [
            f"It just opens where p_bulb = p_e + p_spring = {evaporator} + {spring} = {closing}",
            f"The bulb has that pressure at {bulb}",
            f"static superheat = {bulb} − {formatter.degrees(row['evaporating_temperature_k'], 1)}",
        ],
        formatter.step(row["static_superheat_k"], 1),
        3,
    )


def _heads(desk: Desk, row: pd.Series) -> Exercise:
    other = desk.publication.application(str(row["compared_application"]))["title"]
    own, formatter = desk.publication.application(desk.part.application)["title"], desk.publication.formatter
    loads = [formatter.window(row[c], row[c])[1] for c in ("max_load_w", "compared_max_load_w")]
    times = ratio(row["load_ratio"])
    return Exercise(
        "What a low head costs",
        f"Size {row['size']}, {desk.sst(row['sst_k'])}. {own}: lowest head {desk.gauge(row['head_pressure_pa'])} "
        f"({row['refrigerant']}), maximum load {formatter.with_load_unit(loads[0])}. {other}: lowest head "
        f"{desk.gauge(row['compared_head_pressure_pa'])}, maximum load {formatter.with_load_unit(loads[1])}. How many "
        "times as much does the same valve hold where the head is kept up, and why?",
        None,
        [
            f"{loads[1]} ÷ {loads[0]} = {times}",
            "A lower head leaves less drop for the port, so the same port passes less in winter: the system with the "
            "lower head needs the larger valve",
        ],
        f"{times} times as much",
        3,
    )


_KINDS: dict[str, Callable[[Desk, Any], Exercise]] = {
    "worked": _worked,
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
