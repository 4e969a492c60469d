"""Config of one valve family."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config.fields import (
    AtKey,
    FlowCoefficient,
    Model,
    Name,
    Number,
    PositiveStep,
    Pressure,
    PressureDrop,
    Share,
    SignedShare,
    Step,
    Temperature,
    Text,
    Title,
    Travel,
)


class SizeModel(Model):
    """One size: its name and its flow coefficient at rated stroke."""

    size: Name
    kv: FlowCoefficient


class OpeningModel(Model):
    """Opening as a share of rated stroke: the stop, the least steady opening, the characteristic by points."""

    stop: Travel
    least_stable: Share
    characteristic: Literal["linear", "points"] = "linear"
    points: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.stop < 1.0:
            text = "is not allowed; stop must be at least 100 percent: rated stroke lies within the travel"
            raise AtKey("stop", f"{100 * self.stop:g} percent {text}")
        if not 0.0 < self.least_stable < 1.0:
            text = f"{100 * self.least_stable:g} percent is not allowed; must lie between 0 and 100 percent"
            raise AtKey("least_stable", text)
        if (self.characteristic == "points") != (self.points is not None):
            raise ValueError("points are given with 'characteristic: points', and only then")
        if self.points is not None:
            _check_points(self.points, self.stop)
        return self


def _check_points(points: list[list[float]], stop: float) -> None:
    if any(len(point) != 2 for point in points) or len(points) < 3:
        raise ValueError("points are at least three pairs [opening, share of Kv]")
    opening, share = ([point[i] for point in points] for i in (0, 1))
    for column in (opening, share):
        if any(b <= a for a, b in itertools.pairwise(column)):
            raise ValueError("points must ascend in opening and in share")
    if points[0] != [0.0, 0.0] or [1.0, 1.0] not in points:
        raise ValueError("points must begin at [0 percent, 0 percent] and hold [100 percent, 100 percent]")
    if opening[-1] < stop:
        raise ValueError(f"points must reach the stop at {100 * stop:g} percent; they are not extrapolated")


class RangeModel(Model):
    """From a temperature to a higher one."""

    least: Temperature
    greatest: Temperature

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.least >= self.greatest:
            raise ValueError("least must be below greatest")
        return self


class AntoineModel(Model):
    """log10(p / 1 kPa) = a - b / (c + T), T in degC, over a range of bulb temperatures."""

    a: Number
    b: Number
    c: Number
    range: RangeModel


class SettingModel(Model):
    """The factory setting."""

    refrigerant: Name
    bulb_temperature: Temperature
    static_superheat: PositiveStep
    opening_superheat: PositiveStep
    pressure_drop: PressureDrop


# YAML has lists only, so a pair is read from one.
ChargePoint = Annotated[tuple[Temperature, Pressure], Field(strict=False)]


class ChargeModel(Model):
    """One bulb charge: what it is for, its curve (one of fluid, points, antoine), and how it is set."""

    charge: Name
    title: Title
    kind: Literal["liquid", "cross", "adsorption"]
    applications: Annotated[list[Name], Field(min_length=1)]
    refrigerants: Annotated[list[Name], Field(min_length=1)]
    evaporating_range: RangeModel
    least_static_superheat: Step
    fluid: Name | None = None
    points: list[ChargePoint] | None = None
    antoine: AntoineModel | None = None
    maximum_operating_pressure: Pressure | None = None
    setting: SettingModel

    @model_validator(mode="after")
    def _one_curve(self) -> Self:
        wanted = {"liquid": ("fluid",), "cross": ("points", "antoine"), "adsorption": ("points",)}[self.kind]
        given = [k for k in ("fluid", "points", "antoine") if getattr(self, k) is not None]
        if len(given) != 1 or given[0] not in wanted:
            raise ValueError(f"a {self.kind} charge takes exactly one of {', '.join(wanted)}")
        for i, point in enumerate(self.points or ()):
            if point[1].is_gauge:
                raise AtKey("points", i, "charge points must be absolute pressures: the bulb is sealed")
        if self.points is not None:
            rule = "points must be at least two, ascending in temperature and in pressure"
            if len(self.points) < 2:
                raise AtKey("points", rule)
            for i, (a, b) in enumerate(itertools.pairwise(self.points), start=1):
                if b[0] <= a[0] or b[1].value_pa <= a[1].value_pa:
                    raise AtKey("points", i, f"it is not above the point before it; {rule}")
        if self.maximum_operating_pressure is not None and self.maximum_operating_pressure.is_gauge:
            raise AtKey("maximum_operating_pressure", "it must be absolute: the bulb is sealed")
        return self


class FamilyBase(Model):
    """What every family states."""

    family: Name
    title: Title
    note: Text
    flow_law: Literal["orifice", "choked"]
    flow_law_reason: Text
    pressure_recovery: Share | None = None
    working_pressure: Pressure
    allowed_differential: PressureDrop
    sizes: Annotated[list[SizeModel], Field(min_length=1, max_length=60)]

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.flow_law == "choked") != (self.pressure_recovery is not None):
            raise AtKey("flow_law", "pressure_recovery (F_L) is given with 'flow_law: choked', and only then")
        if not self.working_pressure.is_gauge:
            text = "it must be a gauge pressure, as the pressure equipment codes state it"
            raise AtKey("working_pressure", text)
        names = [s.size for s in self.sizes]
        for i, name in enumerate(names):
            if name in names[:i]:
                raise AtKey("sizes", i, "size", f"size {name!r} stands twice in sizes")
        for i, (before, size) in enumerate(itertools.pairwise(self.sizes), start=1):
            if size.kv <= before.kv:
                text = f"{size.kv:.6g} m3/h is not above the {before.kv:.6g} m3/h of size {before.size}"
                raise AtKey("sizes", i, "kv", f"{text}; sizes must ascend in kv")
        return self


class PortModel(Model):
    """Port area over diaphragm area, positive where inlet pressure closes, 0 for an ideally balanced port."""

    unbalance: SignedShare


class ThermostaticModel(FamilyBase):
    """A thermostatic family."""

    kind: Literal["thermostatic"]
    opening: OpeningModel
    port: PortModel
    equalizer: Literal["external", "internal"]
    charges: Annotated[list[ChargeModel], Field(min_length=1)]


class ElectronicModel(FamilyBase):
    """An electronic family: the greatest and the least share of full travel that control may use."""

    kind: Literal["electronic"]
    greatest_opening: Share
    least_opening: Share
    characteristic: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _opens(self) -> Self:
        if not 0.0 < self.least_opening < self.greatest_opening:
            raise ValueError("least_opening must be above 0 and below greatest_opening")
        if self.characteristic is not None:
            _check_points(self.characteristic, 1.0)
        return self
