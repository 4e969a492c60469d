"""The example that a handout's lesson is about, and what its sentences may say of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from tablegen.physics.valve import OpeningCharacteristic
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.limit_calculation import LimitCalculation, limit_calculations
from tablegen.report.pages.two_limits_page import BothLimits
from tablegen.report.rows import CurveCase, ExampleRow, rows_of
from tablegen.wording.language import number

# The SST is constant where the evaporator's capacity differs by less than this [1].
_CONSTANT = 1e-6


@dataclass(frozen=True, slots=True)
class Lesson:
    """The example of a handout: its case, its system at each operating condition, and both limits if they are printed."""

    figures: HandoutFigures
    case: CurveCase
    heads: Mapping[str, ExampleRow]
    both: BothLimits | None

    @classmethod
    def of(cls, figures: HandoutFigures) -> Lesson:
        """From the data set."""
        publication, part = figures.publication, figures.part
        case, *_ = rows_of(publication.rows(publication.data.balance, part), CurveCase)
        rows = rows_of(publication.rows(publication.data.example, part), ExampleRow)
        return cls(figures, case, {row.condition: row for row in rows}, BothLimits.of(figures))

    @property
    def low(self) -> ExampleRow:
        """The system at low head."""
        return self.heads["low_head"]

    @property
    def high(self) -> ExampleRow:
        """The system at high head."""
        return self.heads["high_head"]

    @property
    def curve(self) -> pd.DataFrame:
        """The rows of the balance graph, from low to high head."""
        publication = self.figures.publication
        return publication.rows(publication.data.balance, self.figures.part).sort_values("head_pressure_pa")

    @property
    def is_constant(self) -> bool:
        """Whether the SST is the same at every head pressure, so that the evaporator does the same."""
        evaporator = self.curve["evaporator_capacity_w"]
        return float(evaporator.max() / evaporator.min()) < 1.0 + _CONSTANT

    @property
    def is_richer(self) -> bool:
        """Whether the system does more in winter with more flow and with more heat in each pound, as it is printed."""
        low, high, figures = self.low, self.high, self.figures
        loads = [number(figures.formatter.load(row.capacity_w)) for row in (low, high)]
        flows = [number(figures.number("mass flow", row.mass_flow_kg_s, 3)) for row in (low, high)]
        is_colder = low.liquid_temperature_k < high.liquid_temperature_k
        return is_colder and flows[0] > flows[1] and loads[0] / loads[1] > flows[0] / flows[1]

    @property
    def calculations(self) -> Mapping[str, LimitCalculation] | None:
        """Both limits from printed figures; None where they are not printed or do not follow from them."""
        if self.both is None:
            return None
        limits = {row.limit: row for row in (self.both.low, self.both.high)}
        return limit_calculations(limits, self.heads, self.characteristic, self.figures.formatter)

    @property
    def characteristic(self) -> OpeningCharacteristic:
        """Of the valve's port."""
        return self.figures.publication.family_of(self.figures.part, self.case.size).characteristic
