"""Exercises on one valve as printed: mass flow, required Kv, both limits, superheat and what the valve does."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from tablegen.report.asked import Asked, AskedChoice, AskedFigure
from tablegen.report.exercise import Exercise, Table
from tablegen.report.exercise_figures import DEGREES_ALLOWED, READ_OFF, ExerciseFigures, StepFigure
from tablegen.report.formatter import percent, ratio
from tablegen.report.handout_figures import at_condition, is_corrected
from tablegen.report.rounding import MINUS, decimals, round_half_even, without_zeros
from tablegen.units import print_unit
from tablegen.wording import exercises as wording
from tablegen.wording import terms


def worked(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """The worked example at the condition that is left to the student."""
    inlet, outlet = figures.ends(row)
    rated, size = figures.coefficient(row["kv_rated_m3h"]), str(row["size"])
    values = {
        "given": figures.rated_system(row),
        "size": size,
        "name": figures.name,
        "rated": rated.text,
        "at_condition": at_condition(row),
        "ratio": ratio(row["flow_ratio"], 3),
        "inlet": inlet,
        "outlet": outlet,
        "density": figures.given("density", row["liquid_density_kg_m3"]).text,
    }
    rows = figures.handout.publication.data.exercises
    rows = rows[(rows["publication"] == row["publication"]) & (rows["exercise"] == 0)]
    largest = str(rows.loc[rows["required_kv_m3h"].idxmax(), "condition"])
    required = figures.own_required(row)
    share = figures.share(required.value / rated.value)
    drop = figures.driving_drop(row).text
    corrected = wording.WORKED_BY_COEFFICIENT if figures.handout.has_discharge else wording.WORKED_CHOKED
    return Exercise(
        kind="worked",
        title=wording.WORKED_TITLE(at_condition=at_condition(row)),
        question=corrected(**values, drop=drop) if is_corrected(row) else wording.WORKED(**values),
        steps=figures.flow_steps(row),
        answer=wording.WORKED_ANSWER(
            name=figures.name, kv=required.text, share=share.text, size=size, condition=terms.condition(largest)
        ),
        asked=_coefficient_asked(figures, required, share, size),
        lines=5,
    )


def mass_flow(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Mass flow of a load at the rating point and at one head."""
    vapor, liquid = figures.enthalpies(row)
    rated, flow, at = figures.rated_flow(row), figures.mass_flow(row), at_condition(row)
    return Exercise(
        kind="mass_flow",
        title=wording.MASS_FLOW_TITLE(at_condition=at),
        question=wording.MASS_FLOW(
            given=figures.rated_system(row),
            vapor=vapor.text,
            liquid=liquid.text,
            at_condition=at,
            ratio=ratio(row["flow_ratio"], 3),
            energy=figures.energy(),
        ),
        steps=figures.mass_steps(row),
        answer=wording.MASS_FLOW_ANSWER(rated=rated.text, flow=flow.text, at_condition=at),
        asked=(
            rated.asked(wording.MASS_FLOW_ASKED(at_condition=terms.at_condition("rating"))),
            flow.asked(wording.MASS_FLOW_ASKED(at_condition=at)),
        ),
        lines=4,
    )


def required_kv(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Required flow coefficient of a load at one head; the mass flow is given."""
    flow, drop = figures.given("mass flow", row["mass_flow_kg_s"]), figures.driving_drop(row)
    required, rated = figures.required(row, flow, drop), figures.coefficient(row["kv_rated_m3h"])
    share, size = figures.share(required.value / rated.value), str(row["size"])
    return Exercise(
        kind="required_kv",
        title=wording.REQUIRED_KV_TITLE(name=figures.name, at_condition=at_condition(row)),
        question=wording.REQUIRED_KV(
            given=figures.rated_system(row),
            at_condition=terms.at_condition_title(str(row["condition"])),
            name=figures.name,
            flow=flow.text,
            density=figures.given("density", row["liquid_density_kg_m3"]).text,
            drop=drop.text,
            rated=rated.text,
            size=size,
            constant=figures.constant_text,
        ),
        steps=figures.coefficient_steps(row, flow, drop),
        answer=wording.KV_ANSWER(name=figures.name, kv=required.text, share=share.text, size=size),
        asked=_coefficient_asked(figures, required, share, size),
        lines=4,
    )


def both_limits(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Both limits of a window from a load, its required flow coefficients, and the shares that a valve may use."""
    load, rated, asked = (
        figures.load(row["load_w"]),
        figures.coefficient(row["kv_rated_m3h"]),
        figures.load(row["asked_load_w"]),
    )
    required = {own: figures.coefficient(row[f"{own}_required_kv_m3h"]) for own in ("min", "max")}
    share = {own: StepFigure(ratio(row[f"{own}_kv_share"], 3)) for own in ("min", "max")}
    at = {own: terms.at_condition(str(row[f"{own}_condition"])) for own in ("min", "max")}
    limits = {
        own: StepFigure(
            round_half_even(load.value * share[own].value * rated.value / required[own].value, 4), load.unit
        )
        for own in ("min", "max")
    }
    names = {"min": wording.MINIMUM_ASKED(), "max": wording.MAXIMUM_ASKED()}
    verdict = str(row["verdict"])
    steps = [
        wording.BOTH_LIMITS_STEP(
            limit=names[own],
            at_condition=at[own],
            load=load.text,
            share=share[own].figure,
            rated=rated.text,
            required=required[own].text,
            result=limits[own].text,
        )
        for own in ("max", "min")
    ]
    return Exercise(
        kind="both_limits",
        title=wording.BOTH_LIMITS_TITLE(),
        question=wording.BOTH_LIMITS(
            size=row["size"],
            refrigerant=row["refrigerant"],
            sst=figures.handout.sst(row["sst_k"]),
            name=figures.name,
            rated=rated.text,
            load=load.text,
            max_required=required["max"].text,
            min_required=required["min"].text,
            max_at=at["max"],
            min_at=at["min"],
            max_at_title=terms.at_condition_title(str(row["max_condition"])),
            min_at_title=terms.at_condition_title(str(row["min_condition"])),
            max_share=share["max"].figure,
            min_share=share["min"].figure,
            asked=asked.text,
        ),
        steps=[*steps, wording.BOTH_LIMITS_VERDICT[verdict](load=asked.text)],
        answer=wording.BOTH_LIMITS_ANSWER[verdict](
            window=wording.WINDOW(minimum=limits["min"].figure, maximum=limits["max"].text)
        ),
        asked=(
            limits["max"].asked(names["max"]),
            limits["min"].asked(names["min"]),
            AskedChoice(
                what=wording.COVERS_ASKED(load=asked.text),
                right=wording.COVERS[verdict](),
                wrong=tuple(text() for own, text in wording.COVERS.items() if own != verdict),
            ),
        ),
        lines=4,
    )


def zone(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Superheat at a load, from the superheat graph, and its distance from the nearer limit; what a valve at its stop does."""
    step = print_unit("temperature difference", figures.system)
    load, allowed = figures.load(row["load_w"]), _Allowed.of(figures, row)
    explained = terms.ZONES_EXPLAINED[str(row["zone"])]()
    asked: tuple[Asked, ...]
    if pd.isna(row["superheat_k"]):
        steps, answer = [wording.ZONE_BEYOND(load=load.text)], explained
        asked = (_zone_choice(str(row["zone"])),)
    else:
        superheat, low, high = (
            figures.step(step.of(row[c])) for c in ("superheat_k", "min_superheat_k", "max_superheat_k")
        )
        is_minimum = abs(superheat.value - low.value) <= abs(high.value - superheat.value)
        smaller, larger = sorted((superheat, low if is_minimum else high), key=lambda own: own.value)
        distance = figures.step(larger.value - smaller.value)
        steps = [
            wording.ZONE_SUPERHEAT(
                superheat=superheat.text, minimum=allowed.min_superheat, maximum=allowed.max_superheat
            ),
            wording.ZONE_DISTANCE(larger=larger.text, smaller=smaller.text, distance=distance.text),
        ]
        is_within = low.value <= superheat.value <= high.value
        outside = {} if is_within else {"zone": explained}
        answer = wording.ZONE_DISTANCES[is_minimum, is_within](
            superheat=superheat.text, distance=distance.text, **outside
        )
        asked = (
            superheat.asked(wording.SUPERHEAT_ASKED(), READ_OFF),
            distance.asked(wording.DISTANCE_ASKED(), READ_OFF),
        )
    return Exercise(
        kind="zone",
        title=wording.ZONE_TITLE(),
        question=wording.ZONE(
            size=row["size"],
            refrigerant=row["refrigerant"],
            condition=terms.condition(str(row["condition"])),
            load=load.text,
            min_superheat=allowed.min_superheat,
            max_superheat=allowed.max_superheat,
        ),
        steps=steps,
        answer=answer,
        asked=asked,
        lines=3,
    )


def static(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """At which bulb temperature a valve just opens."""
    evaporating = figures.degrees(row["evaporating_temperature_k"])
    pressure = figures.given("pressure", row["evaporating_pressure_pa"])
    spring_adds = figures.given("pressure difference", row["spring_pressure_pa"])
    closing = figures.of("pressure", pressure.value + spring_adds.value)
    curve = _Curve.of(figures, tables)
    bulb = curve.temperature(closing)
    superheat = figures.step(bulb.value - evaporating.value)
    return Exercise(
        kind="static",
        title=wording.STATIC_TITLE(),
        question=wording.STATIC(
            refrigerant=row["refrigerant"],
            temperature=evaporating.text,
            pressure=pressure.text,
            spring=spring_adds.text,
        ),
        table=curve.table,
        steps=[
            wording.STATIC_OPENS(pressure=pressure.text, spring=spring_adds.text, closing=closing.text),
            curve.step(closing),
            wording.STATIC_STEP(bulb=bulb.text, temperature=evaporating.subtracted, superheat=superheat.text),
        ],
        answer=wording.STATIC_ANSWER(bulb=bulb.text, superheat=superheat.text),
        asked=(
            bulb.asked(wording.BULB_ASKED(), DEGREES_ALLOWED),
            superheat.asked(wording.STATIC_ASKED(), DEGREES_ALLOWED),
        ),
        lines=4,
    )


def spring(figures: ExerciseFigures, row: pd.Series, tables: pd.DataFrame) -> Exercise:
    """Operating superheat of a valve whose adjusting stem was turned, and what it then does."""
    evaporating, allowed = figures.degrees(row["evaporating_temperature_k"]), _Allowed.of(figures, row)
    pressure = figures.given("pressure", row["evaporating_pressure_pa"])
    spring_adds, gradient, port = (
        figures.given("pressure difference", row[c]) for c in ("spring_pressure_pa", "gradient_pa", "port_closing_pa")
    )
    closes = port.value >= 0.0
    port = figures.of("pressure difference", abs(port.value))
    opening = StepFigure(decimals(100.0 * row["opening"], 0), "%")
    total = pressure.value + spring_adds.value + opening.value / 100.0 * gradient.value
    closing = figures.of("pressure", total + port.value if closes else total - port.value)
    curve = _Curve.of(figures, tables)
    bulb = curve.temperature(closing)
    superheat = figures.step(bulb.value - evaporating.value)
    given = {"pressure": pressure.text, "spring": spring_adds.text, "gradient": gradient.text, "opening": opening.text}
    return Exercise(
        kind="spring",
        title=wording.SPRING_TITLE(),
        question=wording.SPRING(
            refrigerant=row["refrigerant"],
            temperature=evaporating.text,
            port=(wording.PORT_CLOSES if closes else wording.PORT_OPENS)(pressure=port.text) if port.value else "",
            **given,
            **allowed.named,
        ),
        table=curve.table,
        steps=[
            wording.SPRING_BALANCE(**given, sign="+" if closes else MINUS, port=port.text, closing=closing.text),
            curve.step(closing),
            wording.SPRING_SUPERHEAT(bulb=bulb.text, temperature=evaporating.subtracted, superheat=superheat.text),
            wording.SPRING_LIMITS(superheat=superheat.text, opening=opening.text, **allowed.named),
        ],
        answer=wording.ZONE_ANSWER(superheat=superheat.text, zone=terms.ZONES_EXPLAINED[str(row["zone"])]()),
        asked=(superheat.asked(wording.SUPERHEAT_ASKED(), DEGREES_ALLOWED), _zone_choice(str(row["zone"]))),
        lines=5,
    )


@dataclass(frozen=True, slots=True)
class _Allowed:
    """What a valve must keep within, as printed."""

    min_opening: str
    max_opening: str
    min_superheat: str
    max_superheat: str

    @classmethod
    def of(cls, figures: ExerciseFigures, row: pd.Series) -> _Allowed:
        """The limits of an exercise."""
        superheat = (figures.handout.formatter.step(row[f"{end}_superheat_k"], 1) for end in ("min", "max"))
        return cls(percent(row["min_opening"]), percent(row["max_opening"]), *superheat)

    @property
    def named(self) -> dict[str, str]:
        """The limits by their names in the wording."""
        return {name: getattr(self, name) for name in ("min_opening", "max_opening", "min_superheat", "max_superheat")}


@dataclass(frozen=True, slots=True)
class _Curve:
    """A bulb's pressure at round temperatures, to interpolate in as it is printed."""

    figures: ExerciseFigures
    temperatures: tuple[StepFigure, ...]
    pressures: tuple[StepFigure, ...]

    @classmethod
    def of(cls, figures: ExerciseFigures, tables: pd.DataFrame) -> _Curve:
        """The rows of an exercise's table."""
        return cls(
            figures,
            tuple(figures.degrees(float(own)) for own in tables["bulb_temperature_k"]),
            tuple(figures.given("pressure", float(own)) for own in tables["bulb_pressure_pa"]),
        )

    @property
    def table(self) -> Table:
        """Temperatures above pressures."""
        return Table(
            [wording.STATIC_HEADER(), *(own.text for own in self.temperatures)],
            [[wording.STATIC_PRESSURE(unit=self.pressures[0].unit), *(own.figure for own in self.pressures)]],
        )

    def _place(self, pressure: StepFigure) -> int:
        """The column to the left of a pressure."""
        return max(sum(own.value <= pressure.value for own in self.pressures[:-1]) - 1, 0)

    def temperature(self, pressure: StepFigure) -> StepFigure:
        """The bulb's temperature at a pressure."""
        i = self._place(pressure)
        (cold, warm), (low, high) = ((own[i].value, own[i + 1].value) for own in (self.temperatures, self.pressures))
        return self.figures.calculated_degrees(cold + (pressure.value - low) / (high - low) * (warm - cold))

    def step(self, pressure: StepFigure) -> str:
        """The interpolation as a line of the calculation."""
        i = self._place(pressure)
        cold, warm = self.temperatures[i : i + 2]
        unit = print_unit("temperature difference", self.figures.system).label
        return wording.BULB(
            colder=cold.text,
            closing=pressure.figure,
            lower=self.pressures[i].figure,
            upper=self.pressures[i + 1].figure,
            between=StepFigure(without_zeros(decimals(warm.value - cold.value, 1)), unit).text,
            bulb=self.temperature(pressure).text,
        )


def _coefficient_asked(
    figures: ExerciseFigures, required: StepFigure, share: StepFigure, size: str
) -> tuple[AskedFigure, ...]:
    """The required flow coefficient, and its share of the rated one."""
    return (
        required.asked(wording.REQUIRED_ASKED(name=figures.name)),
        share.asked(wording.SHARE_ASKED(name=figures.name, size=size)),
    )


def _zone_choice(zone_name: str) -> AskedChoice:
    """What the valve does, among all that it may do."""
    return AskedChoice(
        what=wording.VERDICT_ASKED(),
        right=wording.ZONE_WORDS[zone_name](),
        wrong=tuple(text() for name, text in wording.ZONE_WORDS.items() if name != zone_name),
    )
