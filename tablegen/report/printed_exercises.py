"""Exercises of the handout as printed: question, figures given, calculation and answer, in the handout's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.report.formatter import percent, ratio
from tablegen.report.handout_figures import HandoutFigures, at_condition, is_choked
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import exercises as wording
from tablegen.wording import terms

_NEAR_K = 1e-6


@dataclass(frozen=True, slots=True)
class Table:
    """A small table of a question: header and rows, the first column of each a label."""

    header: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    """An exercise as printed; `lines` is how many ruled lines there are to write on."""

    title: str
    question: str
    steps: Sequence[str]
    answer: str
    lines: int
    table: Table | None = None


def printed_exercise(figures: HandoutFigures, row: pd.Series) -> Exercise:
    """One row of the data set's frame `exercises` as printed."""
    return _KINDS[str(row["exercise_kind"])](figures, row)


def _worked(figures: HandoutFigures, row: pd.Series) -> Exercise:
    values = {
        "given": figures.given(row),
        "size": str(row["size"]),
        "at_condition": at_condition(row),
        "ratio": ratio(row["flow_ratio"], 3),
        "inlet": figures.absolute(row["inlet_pressure_pa"]),
        "outlet": figures.absolute(row["outlet_pressure_pa"]),
        "density": figures.figure("density", row["liquid_density_kg_m3"]),
    }
    drop = figures.drop(row["effective_pressure_drop_pa"])
    rows = figures.publication.data.exercises
    rows = rows[(rows["publication"] == row["publication"]) & (rows["exercise"] == 0)]
    return Exercise(
        title=wording.WORKED_TITLE(at_condition=at_condition(row)),
        question=wording.WORKED_CHOKED(**values, drop=drop) if is_choked(row) else wording.WORKED(**values),
        steps=figures.flow_steps(row),
        answer=wording.WORKED_ANSWER(
            kv=figures.kv(row["required_kv_m3h"]),
            share=percent(row["kv_share"]),
            size=row["size"],
            condition=terms.condition(str(rows.loc[rows["required_kv_m3h"].idxmax(), "condition"])),
        ),
        lines=7,
    )


def _pick(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter = figures.formatter
    rows = figures.publication.rows(figures.publication.data.group_windows, figures.part)
    rows = rows[((rows["sst_k"] - row["sst_k"]).abs() < _NEAR_K) & rows["max_load_w"].notna()]
    limits = [formatter.window(*map(float, r)) for r in rows[["min_load_w", "max_load_w"]].to_numpy()]
    steps = [
        wording.PICK_STEP(
            size=row[f"{name}_size"],
            over_minimum=ratio(row[f"{name}_min_margin"]),
            under_maximum=ratio(row[f"{name}_max_margin"]),
        )
        for name in ("first", "second")
        if row[f"{name}_size"]
    ]
    return Exercise(
        title=wording.PICK_TITLE(),
        question=wording.PICK(
            load=figures.load(row["load_w"]), sst=figures.sst(row["sst_k"]), unit=formatter.load_label
        ),
        table=Table(
            [wording.SIZE(), *map(str, rows["size"])],
            [
                [wording.MINIMUM(), *(minimum for minimum, _ in limits)],
                [wording.MAXIMUM(), *(maximum for _, maximum in limits)],
            ],
        ),
        steps=[*steps, wording.PICK_FIRST() if row["second_size"] else wording.PICK_ONLY()],
        answer=wording.PICK_ANSWER(size=row["first_size"], window=figures.window(row["min_load_w"], row["max_load_w"])),
        lines=3,
    )


def _rounding(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter = figures.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    exact = [round_half_even(unit.of(row[c]), 5) for c in ("min_load_w", "max_load_w")]
    near = [formatter.load(row[c]) for c in ("min_load_w", "max_load_w")]
    printed = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        title=wording.ROUNDING_TITLE(),
        question=wording.ROUNDING(
            size=row["size"],
            sst=figures.sst(row["sst_k"]),
            minimum=exact[0],
            maximum=exact[1],
            unit=formatter.load_label,
        ),
        steps=[
            wording.ROUNDING_MINIMUM(exact=exact[0], printed=printed[0], near=near[0]),
            wording.ROUNDING_MAXIMUM(exact=exact[1], printed=printed[1], near=near[1]),
        ],
        answer=figures.window(row["min_load_w"], row["max_load_w"]),
        lines=3,
    )


def _mass_flow(figures: HandoutFigures, row: pd.Series) -> Exercise:
    vapor, liquid = figures.enthalpies(row)
    return Exercise(
        title=wording.MASS_FLOW_TITLE(at_condition=at_condition(row)),
        question=wording.MASS_FLOW(
            given=figures.given(row),
            vapor=vapor,
            liquid=liquid,
            at_condition=at_condition(row),
            ratio=ratio(row["flow_ratio"], 3),
            energy=figures.energy(),
        ),
        steps=figures.mass_steps(row),
        answer=wording.MASS_FLOW_ANSWER(
            rated=figures.figure("mass flow", row["rated_mass_flow_kg_s"], 3),
            flow=figures.figure("mass flow", row["mass_flow_kg_s"], 3),
            at_condition=at_condition(row),
        ),
        lines=4,
    )


def _required_kv(figures: HandoutFigures, row: pd.Series) -> Exercise:
    return Exercise(
        title=wording.REQUIRED_KV_TITLE(at_condition=at_condition(row)),
        question=wording.REQUIRED_KV(
            given=figures.given(row),
            at_condition=terms.at_condition_title(str(row["condition"])),
            flow=figures.figure("mass flow", row["mass_flow_kg_s"]),
            density=figures.figure("density", row["liquid_density_kg_m3"]),
            drop=figures.drop(row["effective_pressure_drop_pa"]),
            rated=figures.kv(row["kv_rated_m3h"]),
            size=row["size"],
            constant=figures.flow_constant(),
        ),
        steps=figures.kv_steps(row),
        answer=wording.KV_ANSWER(
            kv=figures.kv(row["required_kv_m3h"]), share=percent(row["kv_share"]), size=row["size"]
        ),
        lines=4,
    )


def _zone(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter = figures.formatter
    superheat, minimum, maximum = (formatter.step(row[f"{n}superheat_k"], 1) for n in ("", "min_", "max_"))
    opening, low, stop = (percent(row[f"{n}opening"]) for n in ("", "min_", "max_"))
    return Exercise(
        title=wording.ZONE_TITLE(),
        question=wording.ZONE(
            size=row["size"],
            refrigerant=row["refrigerant"],
            sst=figures.sst(row["sst_k"]),
            condition=terms.condition(str(row["condition"])),
            load=figures.load(row["load_w"]),
            opening=opening,
            min_opening=low,
            stop=stop,
            min_superheat=minimum,
            max_superheat=maximum,
        ),
        steps=[
            wording.ZONE_SUPERHEAT(superheat=superheat, minimum=minimum, maximum=maximum),
            wording.ZONE_OPENING(opening=opening, minimum=low, maximum=stop),
        ],
        answer=wording.ZONE_ANSWER(superheat=superheat, zone=terms.ZONES_EXPLAINED[str(row["zone"])]()),
        lines=3,
    )


def _binding(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter, names = figures.formatter, figures.publication.members(figures.part.group)
    windows = figures.publication.data.windows
    is_own = (windows["family"] == figures.part.family) & (windows["application"] == figures.part.application)
    is_own &= (windows["size"] == row["size"]) & ((windows["sst_k"] - row["sst_k"]).abs() < _NEAR_K)
    own = windows[is_own].set_index("refrigerant").loc[names]
    limits = [formatter.window(*map(float, r)) for r in own[["min_load_w", "max_load_w"]].to_numpy()]
    minimum, maximum = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        title=wording.BINDING_TITLE(),
        question=wording.BINDING(size=row["size"], sst=figures.sst(row["sst_k"]), unit=formatter.load_label),
        table=Table(
            [wording.BINDING_HEADER(), wording.MINIMUM(), wording.MAXIMUM()],
            [[name, *pair] for name, pair in zip(names, limits, strict=True)],
        ),
        steps=[
            wording.BINDING_MINIMUM(load=minimum, refrigerant=row["min_member"]),
            wording.BINDING_MAXIMUM(load=maximum, refrigerant=row["max_member"]),
        ],
        answer=wording.BINDING_ANSWER(
            window=figures.window(row["min_load_w"], row["max_load_w"]),
            min_refrigerant=row["min_member"],
            max_refrigerant=row["max_member"],
        ),
        lines=2,
    )


def _between(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter = figures.formatter
    cold, warm, common = (
        formatter.window(row[f"{kind}min_load_w"], row[f"{kind}max_load_w"]) for kind in ("", "warmer_", "common_")
    )
    verdict = str(row["verdict"])
    return Exercise(
        title=wording.BETWEEN_TITLE(),
        question=wording.BETWEEN(
            load=figures.load(row["load_w"]),
            sst=figures.sst(row["actual_sst_k"]),
            size=row["size"],
            unit=formatter.load_label,
        ),
        table=Table(
            [wording.BETWEEN_HEADER(), wording.MINIMUM(), wording.MAXIMUM()],
            [[formatter.degrees(row["sst_k"]), *cold], [formatter.degrees(row["warmer_sst_k"]), *warm]],
        ),
        steps=[
            wording.BETWEEN_COMMON(minimum=common[0], maximum=common[1]),
            wording.BETWEEN_STEP[verdict](load=formatter.load(row["load_w"])),
        ],
        answer=wording.BETWEEN_ANSWER[verdict](),
        lines=2,
    )


def _static(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter, element = figures.formatter, figures.publication.power_element(figures.part)
    curve = figures.publication.data.charges
    curve = curve[(curve["family"] == figures.part.family) & (curve["charge"] == (element.name if element else ""))]
    at = curve["evaporating_temperature_k"]
    start = int((at <= row["bulb_temperature_k"] + _NEAR_K).sum())
    curve = curve.iloc[max(0, start - 3) : start + 2]
    evaporator, closing = (
        figures.absolute(row["evaporating_pressure_pa"]),
        figures.absolute(row["closing_pressure_pa"], 3),
    )
    spring = figures.figure("pressure difference", row["spring_pressure_pa"])
    bulb, evaporating_k = formatter.degrees(row["bulb_temperature_k"], 1), row["evaporating_temperature_k"]
    bulb_temperatures = (formatter.degrees(float(k), 2) for k in curve["evaporating_temperature_k"])
    return Exercise(
        title=wording.STATIC_TITLE(),
        question=wording.STATIC(
            refrigerant=row["refrigerant"],
            temperature=formatter.degrees(evaporating_k, 2),
            pressure=evaporator,
            spring=spring,
        ),
        table=Table(
            [wording.STATIC_HEADER(), *bulb_temperatures],
            [[wording.STATIC_PRESSURE(), *(figures.absolute(float(p)) for p in curve["bulb_pressure_pa"])]],
        ),
        steps=[
            wording.STATIC_OPENS(pressure=evaporator, spring=spring, closing=closing),
            wording.STATIC_BULB(bulb=bulb),
            wording.STATIC_STEP(bulb=bulb, temperature=formatter.degrees(evaporating_k, 1)),
        ],
        answer=formatter.step(row["static_superheat_k"], 1),
        lines=3,
    )


def _heads(figures: HandoutFigures, row: pd.Series) -> Exercise:
    formatter, applications = figures.formatter, figures.publication.catalogue.applications
    own, other = (formatter.window(row[c], row[c])[1] for c in ("max_load_w", "compared_max_load_w"))
    times = ratio(row["load_ratio"])
    return Exercise(
        title=wording.HEADS_TITLE(),
        question=wording.HEADS(
            size=row["size"],
            sst=figures.sst(row["sst_k"]),
            own=applications[figures.part.application].title,
            own_head=figures.gauge(row["head_pressure_pa"]),
            refrigerant=row["refrigerant"],
            own_load=formatter.with_load_unit(own),
            other=applications[str(row["compared_application"])].title,
            other_head=figures.gauge(row["compared_head_pressure_pa"]),
            other_load=formatter.with_load_unit(other),
        ),
        steps=[wording.HEADS_RATIO(other=other, own=own, times=times), wording.HEADS_WHY()],
        answer=wording.HEADS_ANSWER(times=times),
        lines=3,
    )


_KINDS: Mapping[str, Callable[[HandoutFigures, pd.Series], Exercise]] = {
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
