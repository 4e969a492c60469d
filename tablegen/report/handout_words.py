"""Figures of the classroom handout with their units."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.physics.equations import FLOW_CONSTANT
from tablegen.report.calculation_units import CalculationUnits
from tablegen.report.formatter import NBSP
from tablegen.report.publications.publication import Part, Publication
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit


@dataclass(frozen=True, slots=True)
class Desk:
    """What printing an exercise needs: the data set in the handout's words, and its part."""

    publication: Publication
    part: Part

    def figure(self, quantity: str, value: float, digits: int = 4) -> str:
        """A figure with its unit, four figures so that what is worked out from it has three."""
        unit = print_unit(quantity, self.publication.formatter.system)
        return f"{round_half_even(unit.of(value), digits)}{NBSP}{unit.label}"

    def load(self, watt: float) -> str:
        """A load with its unit."""
        return self.publication.formatter.with_load_unit(self.publication.formatter.load(watt))

    def window(self, min_w: float, max_w: float) -> str:
        """A window with its unit."""
        formatter = self.publication.formatter
        return formatter.with_load_unit(" to ".join(formatter.window(min_w, max_w)))

    def gauge(self, pascal: float) -> str:
        """A pressure as a gauge reading at the application's site."""
        formatter, site = (
            self.publication.formatter,
            self.publication.application(self.part.application)["site_pressure_pa"],
        )
        return f"{formatter.gauge(pascal, site)}{NBSP}{formatter.gauge_label}"

    def sst(self, kelvin: float) -> str:
        """A suction temperature in words."""
        return f"SST {self.publication.formatter.degrees(kelvin)}"

    def absolute(self, pascal: float, digits: int = 4) -> str:
        """An absolute pressure with its unit."""
        label = " absolute" if self.publication.formatter.system == "SI" else ""
        return self.figure("pressure", pascal, digits) + label

    def flow_constant(self) -> str:
        """N of m = N Kv sqrt(rho dp) in the printed units; in SI it is sqrt(1000 / 1e5) / 3600."""
        return round_half_even(CalculationUnits(self.publication.formatter.system).of("N", FLOW_CONSTANT), 4)

    def energy(self) -> str:
        """What one load unit is an hour, for dividing it by an enthalpy."""
        formatter = self.publication.formatter
        load = print_unit("load", formatter.system, formatter.load_unit)
        enthalpy, mass = print_unit("enthalpy", formatter.system), print_unit("mass flow", formatter.system)
        value = round_half_even(mass.of(enthalpy.of(1.0) / load.of(1.0)), 4)
        return f"1{NBSP}{load.label} is {value}{NBSP}{enthalpy.label.split('/')[0]}/h"

    def unit(self, quantity: str) -> str:
        """The printed unit of a quantity."""
        return print_unit(quantity, self.publication.formatter.system).label
