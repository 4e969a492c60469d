"""Config of one bulb charge and its factory setting."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import (
    AtKey,
    BadText,
    Model,
    Name,
    Number,
    PositiveStep,
    Pressure,
    PressureDrop,
    RefrigerantName,
    Step,
    Temperature,
    Title,
)
from tablegen.config.tolerance_model import ShareTolerance, StepTolerance


class RangeModel(Model):
    """From a temperature to a higher one."""

    minimum: Temperature
    maximum: Temperature

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.minimum >= self.maximum:
            raise ValueError("minimum must be below maximum")
        return self


class AntoineModel(Model):
    """log10(p / 1 kPa) = a - b / (c + T), T in degC, over a range of bulb temperatures."""

    a: Number
    b: Number
    c: Number
    range: RangeModel


class SettingModel(Model):
    """The factory setting."""

    refrigerant: RefrigerantName
    bulb_temperature: Temperature
    static_superheat: PositiveStep
    static_superheat_tolerance: StepTolerance | None = None
    opening_superheat: PositiveStep
    opening_superheat_tolerance: StepTolerance | None = None
    pressure_drop: PressureDrop


# Which curve each kind of charge takes: a fluid's saturation, points, or Antoine constants.
_CURVES = {
    "liquid": ("fluid",),
    "gas": ("fluid", "points", "antoine"),
    "cross": ("points", "antoine"),
    "adsorption": ("points",),
}
# YAML has lists only, so a pair is read from one.
ChargePoint = Annotated[tuple[Temperature, Pressure], Field(strict=False)]


class ChargeModel(Model):
    """One bulb charge: what it is for, its curve (one of fluid, points, antoine), and how it is set."""

    charge: Name
    title: Title
    kind: Literal["liquid", "gas", "cross", "adsorption"]
    temperature_ranges: Annotated[list[Name], Field(min_length=1)]
    refrigerants: Annotated[list[RefrigerantName], Field(min_length=1)]
    evaporating_range: RangeModel
    minimum_static_superheat: Step
    fluid: Name | None = None
    points: list[ChargePoint] | None = None
    antoine: AntoineModel | None = None
    maximum_operating_pressure: Pressure | None = None
    pressure_tolerance: ShareTolerance | None = None
    setting: SettingModel

    @model_validator(mode="after")
    def _one_curve(self) -> Self:
        wanted = _CURVES[self.kind]
        given = [k for k in ("fluid", "points", "antoine") if getattr(self, k) is not None]
        if len(given) != 1 or given[0] not in wanted:
            raise ValueError(f"a {self.kind} charge takes exactly one of {', '.join(wanted)}")
        for i, point in enumerate(self.points or ()):
            if point[1].is_gauge:
                raise BadText(("points", i), "charge points must be absolute pressures: the bulb is sealed")
        if self.points is not None:
            rule = "points must be at least two, ascending in temperature and in pressure"
            if len(self.points) < 2:
                raise AtKey("points", rule)
            for i, (a, b) in enumerate(itertools.pairwise(self.points), start=1):
                if b[0] <= a[0] or b[1].value_pa <= a[1].value_pa:
                    raise BadText(("points", i), rule, ("points", i - 1))
        if self.kind == "gas" and self.maximum_operating_pressure is None:
            raise ValueError("a gas charge is one whose liquid runs out: maximum_operating_pressure is required")
        if self.kind == "adsorption" and self.maximum_operating_pressure is not None:
            raise AtKey("maximum_operating_pressure", "an adsorption charge has no liquid that could run out")
        if self.maximum_operating_pressure is not None and self.maximum_operating_pressure.is_gauge:
            raise AtKey("maximum_operating_pressure", "it must be absolute: the bulb is sealed")
        return self
