"""Figures of the classroom handout with their units, and the steps of a flow calculation."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from tablegen.model.publications import Combination
from tablegen.physics.equations import FLOW_CONSTANT
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.formatter import NBSP, Formatter, percent, ratio
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import exercises as wording
from tablegen.wording import terms

# The effective drop is less than the whole one by more than this [Pa] where the flow chokes.
_CHOKED_PA = 1.0


@dataclass(frozen=True, slots=True)
class HandoutFigures:
    """Prints figures in the units of one handout: its publication, and the part that it teaches."""

    publication: Publication
    part: Combination

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

    def flow_steps(self, row: pd.Series) -> list[str]:
        """From the load to the required Kv, with units at each step."""
        inlet, outlet = (self.absolute(row[f"{end}_pressure_pa"]) for end in ("inlet", "outlet"))
        steps = [
            *self.mass_steps(row),
            wording.DROP(inlet=inlet, outlet=outlet, drop=self.drop(row["pressure_drop_pa"])),
        ]
        if is_choked(row):
            steps.append(wording.CHOKES(drop=self.drop(row["effective_pressure_drop_pa"])))
        return steps + self.kv_steps(row)

    def given(self, row: pd.Series) -> str:
        """Refrigerant, suction temperature and rated load of an exercise."""
        return wording.GIVEN(refrigerant=row["refrigerant"], sst=self.sst(row["sst_k"]), load=self.load(row["load_w"]))

    def enthalpies(self, row: pd.Series) -> tuple[str, str]:
        """Enthalpies of vapor and liquid at the rating point."""
        return (
            self.figure("enthalpy", row["vapour_enthalpy_j_kg"]),
            self.figure("enthalpy", row["liquid_enthalpy_j_kg"]),
        )

    def mass_steps(self, row: pd.Series) -> list[str]:
        """Enthalpy difference and mass flow, each with its units."""
        vapor, liquid = self.enthalpies(row)
        effect = self.figure("enthalpy", row["rating_effect_j_kg"])
        rated = self.figure("mass flow", row["rated_mass_flow_kg_s"])
        steps = [
            wording.EFFECT(vapor=vapor, liquid=liquid, effect=effect),
            wording.RATED_FLOW(load=self.load(row["load_w"]), effect=effect, flow=rated, energy=self.energy()),
        ]
        if row["condition"] != "rating":
            flow = self.figure("mass flow", row["mass_flow_kg_s"])
            steps.append(
                wording.FLOW(at_condition=at_condition(row), ratio=ratio(row["flow_ratio"], 3), rated=rated, flow=flow)
            )
        return steps

    def kv_steps(self, row: pd.Series) -> list[str]:
        """Required Kv from flow, density and pressure drop, and its share of the rated one."""
        required, rated = self.kv(row["required_kv_m3h"]), self.kv(row["kv_rated_m3h"])
        return [
            wording.KV(
                flow=self.figure("mass flow", row["mass_flow_kg_s"]),
                constant=self.flow_constant(),
                density=self.figure("density", row["liquid_density_kg_m3"]),
                drop=self.drop(row["effective_pressure_drop_pa"]),
                kv=required,
            ),
            wording.KV_SHARE(kv=required, rated=rated, share=percent(row["kv_share"])),
        ]


def is_choked(row: pd.Series) -> bool:
    """Whether the flow of an exercise chokes."""
    return bool(abs(row["effective_pressure_drop_pa"] - row["pressure_drop_pa"]) > _CHOKED_PA)


def at_condition(row: pd.Series) -> str:
    """The operating condition of an exercise, within a sentence."""
    return terms.at_condition(str(row["condition"]))
