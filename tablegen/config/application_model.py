"""Config of one application."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import (
    AtKey,
    Length,
    Loss,
    Model,
    Name,
    Number,
    PositiveStep,
    Pressure,
    Share,
    Step,
    SuctionTemperature,
    Temperature,
    Text,
    Title,
)
from tablegen.config.tolerance_model import InstallationScatterModel

MOST_ROWS = 400


class GridModel(Model):
    """Saturated suction temperatures from the coldest to the warmest, in steps."""

    coldest: SuctionTemperature
    warmest: SuctionTemperature
    step: PositiveStep

    @model_validator(mode="after")
    def _whole_steps(self) -> Self:
        span = self.warmest - self.coldest
        steps = round(span / self.step)
        if span <= 0.0 or abs(span - steps * self.step) > 1e-6:
            read = f"a span of {span * 1.8:.6g} delta_degF in steps of {self.step * 1.8:.6g} delta_degF"
            raise ValueError(f"{read} is not allowed; coldest must be below warmest, by a whole number of steps")
        if steps >= MOST_ROWS:
            raise ValueError(f"the grid has {steps + 1} rows; must have at most {MOST_ROWS}")
        return self


class SuctionModel(Model):
    """The suction side: where the SST is stated, the line's loss, and what it does when the head moves."""

    sst_at: Literal["evaporator", "compressor"]
    # The only one that superheat and compressor ratings know; the key is there so that the file says so.
    basis: Literal["dew"]
    line_loss: Step
    saturated_temperatures: GridModel
    printed_example: SuctionTemperature
    response: Literal["constant", "balanced", "stricter"]
    box_difference: PositiveStep | None = None

    @model_validator(mode="after")
    def _box(self) -> Self:
        if self.response != "constant" and self.box_difference is None:
            raise ValueError("box_difference is required unless the response is 'held'")
        grid = self.saturated_temperatures
        steps = (self.printed_example - grid.coldest) / grid.step
        if abs(steps - round(steps)) > 1e-6 or not grid.coldest - 1e-9 <= self.printed_example <= grid.warmest + 1e-9:
            raise AtKey("printed_example", "it must be one of the saturated_temperatures")
        return self


class HeadModel(Model):
    """Head pressure: a gauge or absolute setting, or a condensing temperature with its basis."""

    head_pressure: Pressure | None = None
    condensing_temperature: Temperature | None = None
    basis: Literal["dew", "bubble", "mid"] | None = None

    @model_validator(mode="after")
    def _one_head(self) -> Self:
        if (self.head_pressure is None) == (self.condensing_temperature is None):
            raise ValueError("exactly one of head_pressure and condensing_temperature is required")
        if (self.basis is None) != (self.condensing_temperature is None):
            raise ValueError("basis (dew, bubble or mid) is given with condensing_temperature, and only then")
        return self


class RatingModel(HeadModel):
    """The rating point: its liquid by temperature, or by subcooling from the stated saturated liquid temperature."""

    liquid_temperature: Temperature | None = None
    subcooling: PositiveStep | None = None
    source: Text

    @model_validator(mode="after")
    def _one_liquid(self) -> Self:
        if (self.liquid_temperature is None) == (self.subcooling is None):
            raise ValueError("exactly one of liquid_temperature and subcooling is required")
        if self.subcooling is not None and self.basis != "bubble":
            raise ValueError("subcooling counts from saturated liquid: it needs condensing_temperature on basis bubble")
        return self


class SubcoolingRange(Model):
    """A range of subcooling at the valve inlet."""

    minimum: PositiveStep
    maximum: PositiveStep

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.minimum > self.maximum:
            raise ValueError("minimum must not be above maximum")
        return self


class ConditionModel(HeadModel):
    """A head operating condition: its liquid by temperature or by subcooling counted at the valve inlet."""

    inlet_subcooling: PositiveStep | None = None
    inlet_subcooling_range: SubcoolingRange | None = None
    liquid_temperature: Temperature | None = None
    source: Text

    @model_validator(mode="after")
    def _one_liquid(self) -> Self:
        keys = ("inlet_subcooling", "inlet_subcooling_range", "liquid_temperature")
        if sum(getattr(self, key) is not None for key in keys) != 1:
            raise ValueError(f"exactly one of {', '.join(keys)} is required")
        return self


class LossesModel(Model):
    """Losses at rated flow."""

    liquid_line: Loss
    lift: Length
    evaporator: Loss
    distributor: Loss
    distributor_scaling: Literal["flashed_mixture", "flow_squared"] = "flashed_mixture"
    source: Text


class LoadLine(Model):
    """Minimum stable superheat a + b q + c q2, q the evaporator load over the rated capacity."""

    constant: Step
    linear: Step
    quadratic: Step


class SuperheatModel(Model):
    """Superheat at the bulb."""

    useful: PositiveStep
    maximum: PositiveStep
    minimum_stable: Step | None = None
    minimum_stable_line: LoadLine | None = None
    source: Text

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.minimum_stable is None) == (self.minimum_stable_line is None):
            raise ValueError("exactly one of minimum_stable and minimum_stable_line is required")
        if self.minimum_stable is not None and self.minimum_stable >= self.maximum:
            raise AtKey("minimum_stable", "it must be below maximum")
        return self


class ClearanceModel(Model):
    """A compressor by its clearance volumetric efficiency."""

    kind: Literal["clearance"]
    clearance: Share
    exponent: Number
    minimum_capacity: Share = 1.0
    return_superheat: Step
    discharge_loss: Loss = 0.0
    source: Text

    @model_validator(mode="after")
    def _exponent(self) -> Self:
        if not 1.0 <= self.exponent <= 2.0:
            raise AtKey("exponent", f"{self.exponent:g} is not allowed; must be at least 1 and at most 2")
        return self


class MapModel(Model):
    """The dew temperatures that a polynomial was fitted over."""

    suction: list[Temperature]
    discharge: list[Temperature]

    @model_validator(mode="after")
    def _pairs(self) -> Self:
        for pair in (self.suction, self.discharge):
            if len(pair) != 2 or pair[0] >= pair[1]:
                raise ValueError("suction and discharge are each a pair [minimum, maximum]")
        return self


class PolynomialModel(Model):
    """The ten mass-flow coefficients of AHRI 540, in the published order."""

    kind: Literal["polynomial"]
    coefficients: Annotated[list[Number], Field(min_length=10, max_length=10)]
    temperatures_in: Literal["degF", "degC"]
    map: MapModel
    extrapolate: Literal["refused", "allowed"] = "refused"
    minimum_capacity: Share = 1.0
    return_superheat: Step
    discharge_loss: Loss = 0.0
    source: Text


class TableModel(Model):
    """Relative mass flows over suction and discharge dew temperatures."""

    kind: Literal["table"]
    suction: Annotated[list[Temperature], Field(min_length=2)]
    discharge: Annotated[list[Temperature], Field(min_length=2)]
    flows: list[list[Number]]
    minimum_capacity: Share = 1.0
    return_superheat: Step
    discharge_loss: Loss = 0.0
    source: Text

    @model_validator(mode="after")
    def _grid(self) -> Self:
        for column in (self.suction, self.discharge):
            if any(b <= a for a, b in itertools.pairwise(column)):
                raise ValueError("suction and discharge must ascend")
        if len(self.flows) != len(self.suction) or any(len(row) != len(self.discharge) for row in self.flows):
            raise ValueError("flows holds one row per suction temperature, one figure per discharge temperature")
        if any(flow <= 0.0 for row in self.flows for flow in row):
            raise ValueError("flows must be positive")
        return self


CompressorModel = Annotated[ClearanceModel | PolynomialModel | TableModel, Field(discriminator="kind")]


class ApplicationModel(Model):
    """One application."""

    application: Name
    title: Title
    temperature_range: Name
    note: Text
    site_pressure: Pressure
    suction: SuctionModel
    rating: RatingModel
    low_head: ConditionModel
    high_head: ConditionModel
    losses: LossesModel
    superheat: SuperheatModel
    compressor: CompressorModel
    scatter: InstallationScatterModel | None = None

    @model_validator(mode="after")
    def _site(self) -> Self:
        if self.site_pressure.is_gauge or not 50e3 <= self.site_pressure.value_pa <= 110e3:
            text = "it must be absolute, at least 50 kPa_absolute and at most 110 kPa_absolute"
            raise AtKey("site_pressure", text)
        if self.compressor.minimum_capacity <= 0.0:
            raise AtKey("compressor", "minimum_capacity", "it must be above 0 percent")
        return self
