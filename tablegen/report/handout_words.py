"""Figures of the classroom handout with their units."""

from __future__ import annotations

from dataclasses import dataclass

from tablegen.calculation.equations import FLOW_CONSTANT
from tablegen.report.calculation_units import WorkingUnits
from tablegen.report.formatter import NBSP
from tablegen.report.publications.publication import Edition, Part
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit


@dataclass(frozen=True, slots=True)
class Desk:
    """What printing an exercise needs: the data set in the handout's words, and its part."""

    edition: Edition
    part: Part

    def figure(self, quantity: str, value: float, digits: int = 4) -> str:
        """A figure with its unit, four figures so that what is worked out from it has three."""
        unit = print_unit(quantity, self.edition.words.system)
        return f"{round_half_even(unit.of(value), digits)}{NBSP}{unit.label}"

    def load(self, watt: float) -> str:
        """A load with its unit."""
        return self.edition.words.with_load_unit(self.edition.words.load(watt))

    def window(self, least_w: float, greatest_w: float) -> str:
        """A window with its unit."""
        words = self.edition.words
        return words.with_load_unit(" to ".join(words.window(least_w, greatest_w)))

    def gauge(self, pascal: float) -> str:
        """A pressure as a gauge reading at the envelope's site."""
        words, site = self.edition.words, self.edition.envelope(self.part.envelope)["site_pressure_pa"]
        return f"{words.gauge(pascal, site)}{NBSP}{words.gauge_label}"

    def sst(self, kelvin: float) -> str:
        """A suction temperature in words."""
        return f"SST {self.edition.words.degrees(kelvin)}"

    def absolute(self, pascal: float, digits: int = 4) -> str:
        """An absolute pressure with its unit."""
        label = " absolute" if self.edition.words.system == "SI" else ""
        return self.figure("pressure", pascal, digits) + label

    def flow_constant(self) -> str:
        """N of m = N Kv sqrt(rho dp) in the printed units; in SI it is sqrt(1000 / 1e5) / 3600."""
        return round_half_even(WorkingUnits(self.edition.words.system).of("N", FLOW_CONSTANT), 4)

    def energy(self) -> str:
        """What one load unit is an hour, for dividing it by an enthalpy."""
        words = self.edition.words
        load = print_unit("load", words.system, words.load_unit)
        enthalpy, mass = print_unit("enthalpy", words.system), print_unit("mass flow", words.system)
        value = round_half_even(mass.of(enthalpy.of(1.0) / load.of(1.0)), 4)
        return f"1{NBSP}{load.label} is {value}{NBSP}{enthalpy.label.split('/')[0]}/h"

    def unit(self, quantity: str) -> str:
        """The printed unit of a quantity."""
        return print_unit(quantity, self.edition.words.system).label
