"""Figures of exercises, each calculated from those that are printed before it, in units that go together.

Whoever repeats a line with a calculator, from the figures that the line prints, comes to its last digit.
"""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from tablegen.physics.equations import FLOW_CONSTANT
from tablegen.report.asked import AskedFigure
from tablegen.report.formatter import NBSP, ratio
from tablegen.report.handout_figures import HandoutFigures, at_condition, is_corrected
from tablegen.report.rounding import decimals, round_half_even, without_zeros
from tablegen.unit_table import CV_PER_KV, Unit
from tablegen.units import print_unit, unit_named
from tablegen.wording import exercises as wording
from tablegen.wording.language import number

# Decimals of what is added and subtracted, in SI and IP units.
_PLACES = {"pressure": (1, 2), "pressure difference": (1, 2), "enthalpy": (1, 2)}
_DIGITS = 4
# What an answer may be off by for rounding on the way [share], and what reading a graph costs [printed degrees].
_ALLOWED, READ_OFF = 0.01, 0.5
# Of a temperature or a superheat that is calculated [printed degrees].
DEGREES_ALLOWED = 0.2


@dataclass(frozen=True, slots=True)
class StepFigure:
    """A figure of a calculation as printed; `unit` is empty for a ratio."""

    figure: str
    unit: str = ""

    @property
    def value(self) -> float:
        """What is printed, as a number: the next line goes on from it."""
        return number(self.figure)

    @property
    def text(self) -> str:
        """The figure with its unit."""
        return f"{self.figure}{NBSP}{self.unit}" if self.unit else self.figure

    @property
    def subtracted(self) -> str:
        """The text behind a minus sign, in brackets where it begins with one itself."""
        return f"({self.text})" if self.value < 0.0 else self.text

    def asked(self, what: str, tolerance: float | None = None) -> AskedFigure:
        """As an answer; without a tolerance within one per cent."""
        allowed = abs(self.value) * _ALLOWED if tolerance is None else tolerance
        return AskedFigure(what=what, value=self.value, unit=self.unit, text=self.figure, tolerance=allowed)


@dataclass(frozen=True, slots=True)
class ExerciseFigures:
    """Prints the figures of one handout's exercises; SI pressures are in kPa, a US flow coefficient is a Cv."""

    handout: HandoutFigures

    @property
    def system(self) -> str:
        """The unit system."""
        return self.handout.formatter.system

    @property
    def absolute_label(self) -> str:
        """The unit of absolute pressures that are calculated with."""
        return self._unit("pressure").label

    def given(self, quantity: str, value_si: float) -> StepFigure:
        """A figure that is given."""
        return self.of(quantity, self._unit(quantity).of(value_si))

    def of(self, quantity: str, printed: float) -> StepFigure:
        """A figure that was calculated in its printed unit."""
        places = _PLACES.get(quantity)
        text = round_half_even(printed, _DIGITS) if places is None else decimals(printed, places[self.system == "IP"])
        return StepFigure(text, self._unit(quantity).label)

    def coefficient(self, kv_m3h: float, digits: int = _DIGITS) -> StepFigure:
        """A flow coefficient that is given by its Kv."""
        return self.calculated_coefficient(kv_m3h * (CV_PER_KV if self.system == "IP" else 1.0), digits)

    def calculated_coefficient(self, printed: float, digits: int = _DIGITS) -> StepFigure:
        """A flow coefficient as it is calculated with the printed constant."""
        unit = "" if self.system == "IP" else print_unit("flow coefficient", "SI").label
        return StepFigure(round_half_even(printed, digits), unit)

    @property
    def name(self) -> str:
        """What the flow coefficient is called: in units of the inch and the pound a Cv."""
        return wording.CV() if self.system == "IP" else wording.KV_NAME()

    @property
    def constant(self) -> StepFigure:
        """N of m = N Kv √(ρ Δp) in the printed units; in SI it is √(1000 ÷ 100)."""
        mass, density, drop = (self._unit(q).of(1.0) for q in ("mass flow", "density", "pressure difference"))
        per_kv = FLOW_CONSTANT * mass / (density * drop) ** 0.5
        return StepFigure(round_half_even(per_kv / (CV_PER_KV if self.system == "IP" else 1.0), _DIGITS))

    @property
    def constant_text(self) -> str:
        """N with the units that it is for."""
        units = {q: self._unit(q).label for q in ("mass flow", "density", "pressure difference")}
        return wording.CONSTANT(
            constant=self.constant.figure,
            flow=units["mass flow"],
            density=units["density"],
            drop=units["pressure difference"],
        )

    def load(self, watt: float) -> StepFigure:
        """A load to three figures."""
        return StepFigure(self.handout.formatter.load(watt), self.handout.formatter.load_label)

    def window(self, min_w: float, max_w: float) -> tuple[StepFigure, StepFigure]:
        """Both limits as tables print them."""
        unit = self.handout.formatter.load_label
        minimum, maximum = self.handout.formatter.window(min_w, max_w)
        return StepFigure(minimum, unit), StepFigure(maximum, unit)

    def degrees(self, kelvin: float) -> StepFigure:
        """A temperature; whole degrees are printed whole."""
        formatter = self.handout.formatter
        return StepFigure(formatter.temperature(kelvin), formatter.temperature_label)

    def calculated_degrees(self, printed: float) -> StepFigure:
        """A temperature that was calculated in printed degrees, to a tenth."""
        return StepFigure(decimals(printed, 1), self.handout.formatter.temperature_label)

    def step(self, printed: float) -> StepFigure:
        """A temperature difference that was calculated in printed degrees, to a tenth."""
        return StepFigure(decimals(printed, 1), self._unit("temperature difference").label)

    def share(self, share: float) -> StepFigure:
        """A share in per cent, to a tenth."""
        return StepFigure(decimals(100.0 * share, 1), "%")

    def rated_system(self, row: pd.Series) -> str:
        """Refrigerant, suction temperature and rated load of an exercise."""
        return wording.GIVEN(
            refrigerant=row["refrigerant"], sst=self.handout.sst(row["sst_k"]), load=self.load(row["load_w"]).text
        )

    def flow_steps(self, row: pd.Series) -> list[str]:
        """From the load to the required flow coefficient, with units at each step."""
        drop = self._drop(row)
        inlet, outlet = self._ends(row)
        steps = [*self.mass_steps(row), wording.DROP(inlet=inlet.text, outlet=outlet.text, drop=drop.text)]
        if is_corrected(row):
            drop = self.driving_drop(row)
            driven = wording.BY_COEFFICIENT if self.handout.has_discharge else wording.CHOKES
            steps.append(driven(drop=drop.text))
        return [*steps, *self.coefficient_steps(row, self.mass_flow(row), drop)]

    def enthalpies(self, row: pd.Series) -> tuple[StepFigure, StepFigure]:
        """Enthalpies of vapor and liquid at the rating point."""
        return (
            self.given("enthalpy", row["vapor_enthalpy_j_kg"]),
            self.given("enthalpy", row["liquid_enthalpy_j_kg"]),
        )

    def heat(self, row: pd.Series) -> StepFigure:
        """The load in the unit of enthalpy and of mass flow, per hour."""
        label = self._unit("enthalpy").label.split("/")[0]
        value = self.load(row["load_w"]).value * self.heat_per_load.value
        return StepFigure(without_zeros(decimals(value, 2)), f"{label}/h")

    @property
    def heat_per_load(self) -> StepFigure:
        """What one load unit is in an hour."""
        load = print_unit("load", self.system, self.handout.formatter.load_unit)
        enthalpy = self._unit("enthalpy")
        figure = self._unit("mass flow").of(enthalpy.of(1.0) / load.of(1.0))
        return StepFigure(without_zeros(round_half_even(figure, 5)), f"{enthalpy.label.split('/')[0]}/h")

    def energy(self) -> str:
        """What one load unit is in an hour, as a clause."""
        return wording.ENERGY(load=self.handout.formatter.load_label, heat=self.heat_per_load.text)

    def rated_flow(self, row: pd.Series) -> StepFigure:
        """Mass flow at the rating point."""
        vapor, liquid = self.enthalpies(row)
        effect = self.of("enthalpy", vapor.value - liquid.value)
        return self.of("mass flow", self.heat(row).value / effect.value)

    def mass_flow(self, row: pd.Series) -> StepFigure:
        """Mass flow at the condition of an exercise."""
        rated = self.rated_flow(row)
        if row["condition"] == "rating":
            return rated
        return self.of("mass flow", number(ratio(row["flow_ratio"], 3)) * rated.value)

    def mass_steps(self, row: pd.Series) -> list[str]:
        """Enthalpy difference and mass flow, each with its units."""
        vapor, liquid = self.enthalpies(row)
        effect = self.of("enthalpy", vapor.value - liquid.value)
        heat, rated = self.heat(row), self.rated_flow(row)
        steps = [
            wording.EFFECT(vapor=vapor.text, liquid=liquid.text, effect=effect.text),
            wording.HEAT(load=self.load(row["load_w"]).text, heat=heat.text, energy=self.energy()),
            wording.RATED_FLOW(heat=heat.text, effect=effect.text, flow=rated.text),
        ]
        if row["condition"] != "rating":
            times, flow = ratio(row["flow_ratio"], 3), self.mass_flow(row)
            steps.append(wording.FLOW(at_condition=at_condition(row), ratio=times, rated=rated.text, flow=flow.text))
        return steps

    def driving_drop(self, row: pd.Series) -> StepFigure:
        """The pressure drop that drives the flow."""
        return self.given("pressure difference", row["effective_pressure_drop_pa"])

    def required(self, row: pd.Series, flow: StepFigure, drop: StepFigure) -> StepFigure:
        """The required flow coefficient of a printed mass flow and pressure drop."""
        density = self.given("density", row["liquid_density_kg_m3"])
        return self.calculated_coefficient(flow.value / (self.constant.value * (density.value * drop.value) ** 0.5))

    def coefficient_steps(self, row: pd.Series, flow: StepFigure, drop: StepFigure) -> list[str]:
        """Required flow coefficient from flow, density and pressure drop, and its share of the rated one."""
        required, rated = self.required(row, flow, drop), self.coefficient(row["kv_rated_m3h"])
        return [
            wording.KV(
                name=self.name,
                flow=flow.text,
                constant=self.constant.figure,
                density=self.given("density", row["liquid_density_kg_m3"]).text,
                drop=drop.text,
                kv=required.text,
            ),
            wording.KV_SHARE(
                name=self.name,
                kv=required.text,
                rated=rated.text,
                share=self.share(required.value / rated.value).text,
            ),
        ]

    def own_required(self, row: pd.Series) -> StepFigure:
        """The required flow coefficient of a row's whole calculation, from its load on."""
        drop = self.driving_drop(row) if is_corrected(row) else self._drop(row)
        return self.required(row, self.mass_flow(row), drop)

    def ends(self, row: pd.Series) -> tuple[str, str]:
        """Pressures upstream and downstream of the port."""
        inlet, outlet = self._ends(row)
        return inlet.text, outlet.text

    def _ends(self, row: pd.Series) -> tuple[StepFigure, StepFigure]:
        return self.given("pressure", row["inlet_pressure_pa"]), self.given("pressure", row["outlet_pressure_pa"])

    def _drop(self, row: pd.Series) -> StepFigure:
        inlet, outlet = self._ends(row)
        return self.of("pressure difference", inlet.value - outlet.value)

    def _unit(self, quantity: str) -> Unit:
        if quantity == "pressure" and self.system == "SI":
            # As pressure differences, so that both go into one sum.
            return unit_named("pressure", "kPa_absolute")
        return print_unit(quantity, self.system)
