"""Figures of the classroom handout with their units."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from tablegen.model.publications import Combination
from tablegen.report.formatter import NBSP, Formatter
from tablegen.report.publications.publication import Publication
from tablegen.report.rounding import round_half_even
from tablegen.units import print_unit
from tablegen.wording import exercises as wording
from tablegen.wording import terms

# The effective drop differs from the whole one by more than this [Pa] where something but the drop counts.
_CORRECTED_PA = 1.0


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
        return f"{self.number(quantity, value, digits)}{NBSP}{self.unit(quantity)}"

    def number(self, quantity: str, value: float, digits: int = 4) -> str:
        """As `figure`, without its unit."""
        return round_half_even(print_unit(quantity, self.formatter.system).of(value), digits)

    @property
    def mass(self) -> str:
        """The unit of mass in mass flows."""
        return self.unit("mass flow").split("/")[0]

    def kv(self, m3h: float) -> str:
        """A flow coefficient with its unit."""
        return self.figure("flow coefficient", m3h, 3)

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

    @property
    def has_discharge(self) -> bool:
        """Whether the flow law of the family is a discharge coefficient."""
        return self.publication.catalogue.families[self.part.family].discharge is not None

    def unit(self, quantity: str) -> str:
        """The printed unit of a quantity."""
        return print_unit(quantity, self.formatter.system).label


def is_corrected(row: pd.Series) -> bool:
    """Whether another drop than the whole one drives the flow of an exercise: it chokes, or the coefficient changes."""
    return bool(abs(row["effective_pressure_drop_pa"] - row["pressure_drop_pa"]) > _CORRECTED_PA)


def at_condition(row: pd.Series) -> str:
    """The operating condition of an exercise, within a sentence."""
    return terms.at_condition(str(row["condition"]))
