"""Exercises of the handout in words: question, figures given, calculation and answer, all in the handout's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import pandas as pd

from tablegen.physics.equations import FLOW_CONSTANT
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.formatter import NBSP, Formatter, percent, ratio
from tablegen.report.publications.publication import Part, Publication
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import exercises as wording
from tablegen.wording import terms

# The effective drop is less than the whole one by more than this [Pa] where the flow chokes.
_CHOKED_PA = 1.0
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


@dataclass(frozen=True, slots=True)
class ExerciseSheet:
    """What prints the exercises of one handout: its publication and the part that it teaches."""

    publication: Publication
    part: Part

    @property
    def formatter(self) -> Formatter:
        """The handout's units."""
        return self.publication.formatter

    def figure(self, quantity: str, value: float, digits: int = 4) -> str:
        """A figure with its unit; four digits, so that what is calculated from it has three."""
        unit = print_unit(quantity, self.formatter.system)
        return f"{round_half_even(unit.of(value), digits)}{NBSP}{unit.label}"

    def kv(self, m3h: float) -> str:
        """A flow coefficient with its unit."""
        return self.figure("flow coefficient", m3h, 3)

    def drop(self, pascal: float) -> str:
        """A pressure difference with its unit, to three digits: it must match the difference of printed pressures."""
        return self.figure("pressure difference", pascal, 3)

    def load(self, watt: float) -> str:
        """A load with its unit."""
        return self.formatter.with_load_unit(self.formatter.load(watt))

    def window(self, min_w: float, max_w: float) -> str:
        """A window with its unit."""
        minimum, maximum = self.formatter.window(min_w, max_w)
        return wording.WINDOW(minimum=minimum, maximum=self.formatter.with_load_unit(maximum))

    def gauge(self, pascal: float) -> str:
        """A pressure as a gauge reading at the application's site."""
        site_pa = self.publication.catalogue.applications[self.part.application].site_pressure_pa
        return f"{self.formatter.gauge(pascal, site_pa)}{NBSP}{self.formatter.gauge_label}"

    def sst(self, kelvin: float) -> str:
        """A suction temperature as a clause."""
        return wording.SST(temperature=self.formatter.degrees(kelvin))

    def absolute(self, pascal: float, digits: int = 4) -> str:
        """An absolute pressure with its unit."""
        figure = self.figure("pressure", pascal, digits)
        return wording.ABSOLUTE(pressure=figure) if self.formatter.system == "SI" else figure

    def flow_constant(self) -> str:
        """N of m = N Kv sqrt(rho dp) in the printed units; in SI it is sqrt(1000 / 1e5) / 3600."""
        return round_half_even(CalculationUnits(self.formatter.system).of("N", FLOW_CONSTANT), 4)

    def energy(self) -> str:
        """What one load unit is in an hour, for dividing it by an enthalpy."""
        load = print_unit("load", self.formatter.system, self.formatter.load_unit)
        enthalpy, mass = (print_unit(quantity, self.formatter.system) for quantity in ("enthalpy", "mass flow"))
        figure = round_half_even(mass.of(enthalpy.of(1.0) / load.of(1.0)), 4)
        return wording.ENERGY(load=load.label, figure=figure, energy=enthalpy.label.split("/")[0])

    def unit(self, quantity: str) -> str:
        """The printed unit of a quantity."""
        return print_unit(quantity, self.formatter.system).label

    def exercise(self, row: pd.Series) -> Exercise:
        """One row of the data set's frame `exercises` as printed."""
        return _KINDS[str(row["exercise_kind"])](self, row)

    def flow_steps(self, row: pd.Series) -> list[str]:
        """From the load to the required Kv, with units at each step."""
        inlet, outlet = (self.absolute(row[f"{end}_pressure_pa"]) for end in ("inlet", "outlet"))
        steps = [
            *_mass_steps(self, row),
            wording.DROP(inlet=inlet, outlet=outlet, drop=self.drop(row["pressure_drop_pa"])),
        ]
        if _is_choked(row):
            steps.append(wording.CHOKES(drop=self.drop(row["effective_pressure_drop_pa"])))
        return steps + _kv_steps(self, row)


def _is_choked(row: pd.Series) -> bool:
    return bool(abs(row["effective_pressure_drop_pa"] - row["pressure_drop_pa"]) > _CHOKED_PA)


def _at(row: pd.Series) -> str:
    return terms.at_condition(str(row["condition"]))


def _given(sheet: ExerciseSheet, row: pd.Series) -> str:
    return wording.GIVEN(refrigerant=row["refrigerant"], sst=sheet.sst(row["sst_k"]), load=sheet.load(row["load_w"]))


def _enthalpies(sheet: ExerciseSheet, row: pd.Series) -> tuple[str, str]:
    """Enthalpies of vapor and liquid at the rating point."""
    return (
        sheet.figure("enthalpy", row["vapour_enthalpy_j_kg"]),
        sheet.figure("enthalpy", row["liquid_enthalpy_j_kg"]),
    )


def _mass_steps(sheet: ExerciseSheet, row: pd.Series) -> list[str]:
    """Enthalpy difference and mass flow, each with its units."""
    vapor, liquid = _enthalpies(sheet, row)
    effect = sheet.figure("enthalpy", row["rating_effect_j_kg"])
    rated = sheet.figure("mass flow", row["rated_mass_flow_kg_s"])
    steps = [
        wording.EFFECT(vapor=vapor, liquid=liquid, effect=effect),
        wording.RATED_FLOW(load=sheet.load(row["load_w"]), effect=effect, flow=rated, energy=sheet.energy()),
    ]
    if row["condition"] != "rating":
        flow = sheet.figure("mass flow", row["mass_flow_kg_s"])
        steps.append(wording.FLOW(at_condition=_at(row), ratio=ratio(row["flow_ratio"], 3), rated=rated, flow=flow))
    return steps


def _kv_steps(sheet: ExerciseSheet, row: pd.Series) -> list[str]:
    """Required Kv from flow, density and pressure drop, and its share of the rated one."""
    required, rated = sheet.kv(row["required_kv_m3h"]), sheet.kv(row["kv_rated_m3h"])
    return [
        wording.KV(
            flow=sheet.figure("mass flow", row["mass_flow_kg_s"]),
            constant=sheet.flow_constant(),
            density=sheet.figure("density", row["liquid_density_kg_m3"]),
            drop=sheet.drop(row["effective_pressure_drop_pa"]),
            kv=required,
        ),
        wording.KV_SHARE(kv=required, rated=rated, share=percent(row["kv_share"])),
    ]


def _worked(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    values = {
        "given": _given(sheet, row),
        "size": str(row["size"]),
        "at_condition": _at(row),
        "ratio": ratio(row["flow_ratio"], 3),
        "inlet": sheet.absolute(row["inlet_pressure_pa"]),
        "outlet": sheet.absolute(row["outlet_pressure_pa"]),
        "density": sheet.figure("density", row["liquid_density_kg_m3"]),
    }
    drop = sheet.drop(row["effective_pressure_drop_pa"])
    rows = sheet.publication.data.exercises
    rows = rows[(rows["publication"] == row["publication"]) & (rows["exercise"] == 0)]
    return Exercise(
        title=wording.WORKED_TITLE(at_condition=_at(row)),
        question=wording.WORKED_CHOKED(**values, drop=drop) if _is_choked(row) else wording.WORKED(**values),
        steps=sheet.flow_steps(row),
        answer=wording.WORKED_ANSWER(
            kv=sheet.kv(row["required_kv_m3h"]),
            share=percent(row["kv_share"]),
            size=row["size"],
            condition=terms.condition(str(rows.loc[rows["required_kv_m3h"].idxmax(), "condition"])),
        ),
        lines=7,
    )


def _pick(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter = sheet.formatter
    rows = sheet.publication.rows(sheet.publication.data.group_windows, sheet.part)
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
        question=wording.PICK(load=sheet.load(row["load_w"]), sst=sheet.sst(row["sst_k"]), unit=formatter.load_label),
        table=Table(
            [wording.SIZE(), *map(str, rows["size"])],
            [
                [wording.MINIMUM(), *(minimum for minimum, _ in limits)],
                [wording.MAXIMUM(), *(maximum for _, maximum in limits)],
            ],
        ),
        steps=[*steps, wording.PICK_FIRST() if row["second_size"] else wording.PICK_ONLY()],
        answer=wording.PICK_ANSWER(size=row["first_size"], window=sheet.window(row["min_load_w"], row["max_load_w"])),
        lines=3,
    )


def _rounding(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter = sheet.formatter
    unit = print_unit("load", formatter.system, formatter.load_unit)
    exact = [round_half_even(unit.of(row[c]), 5) for c in ("min_load_w", "max_load_w")]
    near = [formatter.load(row[c]) for c in ("min_load_w", "max_load_w")]
    printed = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        title=wording.ROUNDING_TITLE(),
        question=wording.ROUNDING(
            size=row["size"],
            sst=sheet.sst(row["sst_k"]),
            minimum=exact[0],
            maximum=exact[1],
            unit=formatter.load_label,
        ),
        steps=[
            wording.ROUNDING_MINIMUM(exact=exact[0], printed=printed[0], near=near[0]),
            wording.ROUNDING_MAXIMUM(exact=exact[1], printed=printed[1], near=near[1]),
        ],
        answer=sheet.window(row["min_load_w"], row["max_load_w"]),
        lines=3,
    )


def _mass_flow(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    vapor, liquid = _enthalpies(sheet, row)
    return Exercise(
        title=wording.MASS_FLOW_TITLE(at_condition=_at(row)),
        question=wording.MASS_FLOW(
            given=_given(sheet, row),
            vapor=vapor,
            liquid=liquid,
            at_condition=_at(row),
            ratio=ratio(row["flow_ratio"], 3),
            energy=sheet.energy(),
        ),
        steps=_mass_steps(sheet, row),
        answer=wording.MASS_FLOW_ANSWER(
            rated=sheet.figure("mass flow", row["rated_mass_flow_kg_s"], 3),
            flow=sheet.figure("mass flow", row["mass_flow_kg_s"], 3),
            at_condition=_at(row),
        ),
        lines=4,
    )


def _required_kv(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    return Exercise(
        title=wording.REQUIRED_KV_TITLE(at_condition=_at(row)),
        question=wording.REQUIRED_KV(
            given=_given(sheet, row),
            at_condition=terms.at_condition_title(str(row["condition"])),
            flow=sheet.figure("mass flow", row["mass_flow_kg_s"]),
            density=sheet.figure("density", row["liquid_density_kg_m3"]),
            drop=sheet.drop(row["effective_pressure_drop_pa"]),
            rated=sheet.kv(row["kv_rated_m3h"]),
            size=row["size"],
            constant=sheet.flow_constant(),
        ),
        steps=_kv_steps(sheet, row),
        answer=wording.KV_ANSWER(kv=sheet.kv(row["required_kv_m3h"]), share=percent(row["kv_share"]), size=row["size"]),
        lines=4,
    )


def _zone(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter = sheet.formatter
    superheat, minimum, maximum = (formatter.step(row[f"{n}superheat_k"], 1) for n in ("", "min_", "max_"))
    opening, low, stop = (percent(row[f"{n}opening"]) for n in ("", "min_", "max_"))
    return Exercise(
        title=wording.ZONE_TITLE(),
        question=wording.ZONE(
            size=row["size"],
            refrigerant=row["refrigerant"],
            sst=sheet.sst(row["sst_k"]),
            condition=terms.condition(str(row["condition"])),
            load=sheet.load(row["load_w"]),
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


def _binding(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter, names = sheet.formatter, sheet.publication.members(sheet.part.group)
    windows = sheet.publication.data.windows
    is_own = (windows["family"] == sheet.part.family) & (windows["application"] == sheet.part.application)
    is_own &= (windows["size"] == row["size"]) & ((windows["sst_k"] - row["sst_k"]).abs() < _NEAR_K)
    own = windows[is_own].set_index("refrigerant").loc[names]
    limits = [formatter.window(*map(float, r)) for r in own[["min_load_w", "max_load_w"]].to_numpy()]
    minimum, maximum = formatter.window(row["min_load_w"], row["max_load_w"])
    return Exercise(
        title=wording.BINDING_TITLE(),
        question=wording.BINDING(size=row["size"], sst=sheet.sst(row["sst_k"]), unit=formatter.load_label),
        table=Table(
            [wording.BINDING_HEADER(), wording.MINIMUM(), wording.MAXIMUM()],
            [[name, *pair] for name, pair in zip(names, limits, strict=True)],
        ),
        steps=[
            wording.BINDING_MINIMUM(load=minimum, refrigerant=row["min_member"]),
            wording.BINDING_MAXIMUM(load=maximum, refrigerant=row["max_member"]),
        ],
        answer=wording.BINDING_ANSWER(
            window=sheet.window(row["min_load_w"], row["max_load_w"]),
            min_refrigerant=row["min_member"],
            max_refrigerant=row["max_member"],
        ),
        lines=2,
    )


def _between(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter = sheet.formatter
    cold, warm, common = (
        formatter.window(row[f"{kind}min_load_w"], row[f"{kind}max_load_w"]) for kind in ("", "warmer_", "common_")
    )
    verdict = str(row["verdict"])
    return Exercise(
        title=wording.BETWEEN_TITLE(),
        question=wording.BETWEEN(
            load=sheet.load(row["load_w"]),
            sst=sheet.sst(row["actual_sst_k"]),
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


def _static(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter, element = sheet.formatter, sheet.publication.power_element(sheet.part)
    curve = sheet.publication.data.charges
    curve = curve[(curve["family"] == sheet.part.family) & (curve["charge"] == (element.name if element else ""))]
    at = curve["evaporating_temperature_k"]
    start = int((at <= row["bulb_temperature_k"] + _NEAR_K).sum())
    curve = curve.iloc[max(0, start - 3) : start + 2]
    evaporator, closing = sheet.absolute(row["evaporating_pressure_pa"]), sheet.absolute(row["closing_pressure_pa"], 3)
    spring = sheet.figure("pressure difference", row["spring_pressure_pa"])
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
            [[wording.STATIC_PRESSURE(), *(sheet.absolute(float(p)) for p in curve["bulb_pressure_pa"])]],
        ),
        steps=[
            wording.STATIC_OPENS(pressure=evaporator, spring=spring, closing=closing),
            wording.STATIC_BULB(bulb=bulb),
            wording.STATIC_STEP(bulb=bulb, temperature=formatter.degrees(evaporating_k, 1)),
        ],
        answer=formatter.step(row["static_superheat_k"], 1),
        lines=3,
    )


def _heads(sheet: ExerciseSheet, row: pd.Series) -> Exercise:
    formatter, applications = sheet.formatter, sheet.publication.catalogue.applications
    own, other = (formatter.window(row[c], row[c])[1] for c in ("max_load_w", "compared_max_load_w"))
    times = ratio(row["load_ratio"])
    return Exercise(
        title=wording.HEADS_TITLE(),
        question=wording.HEADS(
            size=row["size"],
            sst=sheet.sst(row["sst_k"]),
            own=applications[sheet.part.application].title,
            own_head=sheet.gauge(row["head_pressure_pa"]),
            refrigerant=row["refrigerant"],
            own_load=formatter.with_load_unit(own),
            other=applications[str(row["compared_application"])].title,
            other_head=sheet.gauge(row["compared_head_pressure_pa"]),
            other_load=formatter.with_load_unit(other),
        ),
        steps=[wording.HEADS_RATIO(other=other, own=own, times=times), wording.HEADS_WHY()],
        answer=wording.HEADS_ANSWER(times=times),
        lines=3,
    )


_KINDS: Mapping[str, Callable[[ExerciseSheet, pd.Series], Exercise]] = {
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
