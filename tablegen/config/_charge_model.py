"""Config of one bulb charge and its factory setting, the power element that it gives, and what it must be."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Literal, Self

import numpy as np
from pydantic import Field, model_validator

from tablegen.config._reader import Problems
from tablegen.config._scatter_model import ShareTolerance, StepTolerance, tolerance_of
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.fields import (
    BadKey,
    Model,
    Name,
    Number,
    PositiveStep,
    Pressure,
    PressureDrop,
    RefrigerantName,
    SealedPressure,
    Step,
    Temperature,
    TimeConstant,
    Title,
)
from tablegen.errors import PropertyError, both_scales, unknown
from tablegen.model.inputs import PowerElement
from tablegen.physics.actuators import ThermostaticActuator
from tablegen.physics.bulb import AntoineCurve, ChargeCurve, PointsCurve, SaturationCurve
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import FactorySetting, ForceBalance, Stem, set_at_factory, spring_per_turn, static_superheat
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

# Which curve each kind of charge takes: a fluid's saturation, points, or Antoine constants.
_CURVES = {
    "liquid": ("fluid",),
    "gas": ("fluid", "points", "antoine"),
    "cross": ("points", "antoine"),
    "adsorption": ("points",),
}
# Evaporating temperatures at which a charge is looked at.
_STEPS = 41
Turns = Annotated[Number, Field(ge=-100.0, le=100.0)]
# YAML has lists only, so a pair is read from one.
ChargePoint = Annotated[tuple[Temperature, Pressure], Field(strict=False)]


class RangeModel(Model):
    """From a temperature to a higher one."""

    minimum: Temperature
    maximum: Temperature

    @model_validator(mode="after")
    def _ascending(self) -> Self:
        if self.minimum >= self.maximum:
            raise BadKey(wording.MINIMUM_NOT_BELOW_MAXIMUM())
        return self


class AntoineModel(Model):
    """log10(p / 1 kPa) = a - b / (c + T), T in degC, over a range of bulb temperatures."""

    a: Number
    b: Number
    c: Number
    range: RangeModel


class TurnsModel(Model):
    """How far a stem turns from the factory setting, clockwise above zero."""

    minimum: Turns
    maximum: Turns

    @model_validator(mode="after")
    def _around_the_setting(self) -> Self:
        if not self.minimum <= 0.0 <= self.maximum or self.minimum == self.maximum:
            raise BadKey(wording.TURNS_AROUND_ZERO())
        return self


class StemModel(Model):
    """The adjusting stem: what one turn clockwise adds to the static superheat at the setting, and its travel."""

    superheat_per_turn: PositiveStep
    turns: TurnsModel


class SettingModel(Model):
    """The factory setting."""

    refrigerant: RefrigerantName
    bulb_temperature: Temperature
    static_superheat: PositiveStep
    static_superheat_tolerance: StepTolerance | None = None
    opening_superheat: PositiveStep
    opening_superheat_tolerance: StepTolerance | None = None
    pressure_drop: PressureDrop
    stem: StemModel | None = None

    def stem_inputs(self) -> Stem | None:
        """The stem; None where nothing is said of it."""
        own = self.stem
        return None if own is None else Stem(own.superheat_per_turn, own.turns.minimum, own.turns.maximum)


class ChargeModel(Model):
    """One bulb charge: what it is for, its curve (one of fluid, points, antoine), and how it is set.

    In place of a curve of its own it may name another charge of the family, whose curve it has with its own setting.
    """

    charge: Name
    title: Title
    kind: Literal["liquid", "gas", "cross", "adsorption"]
    temperature_ranges: Annotated[list[Name], Field(min_length=1)]
    refrigerants: Annotated[list[RefrigerantName], Field(min_length=1)]
    evaporating_range: RangeModel
    minimum_static_superheat: Step
    fluid: RefrigerantName | None = None
    points: list[ChargePoint] | None = None
    antoine: AntoineModel | None = None
    curve_of: Name | None = None
    maximum_operating_pressure: SealedPressure | None = None
    pressure_tolerance: ShareTolerance | None = None
    bulb_time_constant: TimeConstant | None = None
    setting: SettingModel

    @model_validator(mode="after")
    def _sound(self) -> Self:
        wanted = _CURVES[self.kind]
        given = [*self.own_curve, *(["curve_of"] if self.curve_of is not None else [])]
        if len(given) != 1 or given[0] not in (*wanted, "curve_of"):
            raise BadKey(wording.CHARGE_CURVE(kind=self.kind, keys=", ".join((*wanted, "curve_of"))))
        self._check_points()
        mop = self.maximum_operating_pressure
        if self.kind == "gas" and mop is None:
            raise BadKey(wording.GAS_CHARGE_NEEDS_MOP())
        if self.kind == "adsorption" and mop is not None:
            raise BadKey(wording.ADSORPTION_HAS_NO_MOP(), "maximum_operating_pressure")
        return self

    def _check_points(self) -> None:
        if self.points is None:
            return
        for i, point in enumerate(self.points):
            if point[1].is_gauge:
                raise BadKey(wording.BULB_IS_SEALED(), "points", i)
        if len(self.points) < 2:
            raise BadKey(wording.CHARGE_POINTS(), "points")
        for i, (a, b) in enumerate(itertools.pairwise(self.points), start=1):
            if b[0] <= a[0] or b[1].value_pa <= a[1].value_pa:
                raise BadKey(wording.CHARGE_POINTS(), "points", i, earlier=("points", i - 1))

    @property
    def own_curve(self) -> dict[str, object]:
        """The curve that the charge itself gives, by its key; nothing where it has that of another charge."""
        curves = {"fluid": self.fluid, "points": self.points, "antoine": self.antoine}
        return {key: curve for key, curve in curves.items() if curve is not None}

    def with_curve(self, charges: Sequence[ChargeModel]) -> Self:
        """The charge with the curve of the one that it names, if it names one.

        Raises BadKey if that is none of `charges`, has no curve of its own, or one that this kind of charge cannot have.
        """
        if self.curve_of is None:
            return self
        named = {charge.charge: charge for charge in charges if charge.own_curve}
        if self.curve_of not in named:
            text = unknown(wording.A_CHARGE_WITH_CURVE(), self.curve_of, named)
            raise BadKey(text, "curve_of", is_complete=True)
        curve, wanted = named[self.curve_of].own_curve, _CURVES[self.kind]
        if not set(curve) <= set(wanted):
            raise BadKey(wording.CHARGE_CURVE(kind=self.kind, keys=", ".join(wanted)), "curve_of")
        return self.model_copy(update=curve)

    @property
    def limit_pa(self) -> float | None:
        """The maximum operating pressure [Pa]; None where the charge has none."""
        return self.maximum_operating_pressure.value_pa if self.maximum_operating_pressure else None

    def curve(self, refrigerants: Mapping[str, Refrigerant]) -> ChargeCurve:
        """The pressure of the charge over bulb temperature."""
        if self.points is not None:
            return PointsCurve(tuple(p[0] for p in self.points), tuple(p[1].value_pa for p in self.points))
        if self.antoine is not None:
            a = self.antoine
            return AntoineCurve(a.a, a.b, a.c, (a.range.minimum, a.range.maximum))
        return SaturationCurve(refrigerants[self.fluid or ""])

    def element(self, actuator: ThermostaticActuator, refrigerants: Mapping[str, Refrigerant]) -> PowerElement:
        """The power element with this charge."""
        on, limit = refrigerants[self.setting.refrigerant], self.limit_pa
        return self.into(
            PowerElement,
            name=self.charge,
            actuator=actuator,
            setting=self.setting.into(FactorySetting),
            setting_refrigerant=self.setting.refrigerant,
            maximum_operating_pressure_pa=limit,
            mop_evaporating_k=None if limit is None else float(on.dew_temperature(np.asarray(limit))),
            min_static_superheat_k=self.minimum_static_superheat,
            static_superheat_tolerance=tolerance_of(self.setting.static_superheat_tolerance),
            opening_superheat_tolerance=tolerance_of(self.setting.opening_superheat_tolerance),
            charge_pressure_tolerance=tolerance_of(self.pressure_tolerance),
            stem=self.setting.stem_inputs(),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeCheck:
    """What is wrong with a charge of a document, for some of its refrigerants with their index."""

    found: Problems
    document: ConfigDocument
    index: int
    charge: ChargeModel
    wanted: Sequence[tuple[int, str]]
    refrigerants: Mapping[str, Refrigerant]

    def balance(self, unbalance: float) -> ForceBalance | None:
        """The charge as set at the factory in a valve with an unbalanced port area [1]; None if it cannot be.

        The refrigerants must be known, the pressure must rise, and the static superheat never be below the minimum.
        """
        charge, refrigerants = self.charge, self.refrigerants
        named: list[tuple[KeyPath, str]] = [(("refrigerants", index), name) for index, name in self.wanted]
        named.append((("setting", "refrigerant"), charge.setting.refrigerant))
        if charge.fluid is not None:
            named.append((("fluid",), charge.fluid))
        strange = [(below, name) for below, name in named if name not in refrigerants]
        for below, name in strange:
            path = ("charges", self.index, *below)
            self.found.refuse_unknown(self.document, path, input_errors.A_REFRIGERANT(), name, refrigerants)
        if strange:
            return None
        setting, on = charge.setting.into(FactorySetting), refrigerants[charge.setting.refrigerant]
        try:
            balance = set_at_factory(charge.curve(refrigerants), setting, on, unbalance, charge.limit_pa)
        except (ValueError, PropertyError) as error:
            self._refuse(str(error), "setting")
            return None
        self._check_superheat(balance)
        stem = charge.setting.stem_inputs()
        # NaN is no less.
        if stem is not None and not balance.spring_pa + stem.min_turns * spring_per_turn(setting, stem, on) > 0.0:
            self._refuse(wording.TURNED_TOO_FAR(), "setting", "stem", "turns")
            return None
        return balance

    def _check_superheat(self, balance: ForceBalance) -> None:
        evaporating, curve = self.charge.evaporating_range, balance.charge.curve
        te = np.linspace(evaporating.minimum, evaporating.maximum, _STEPS)
        inside = np.linspace(max(te[0], curve.range_k[0]), min(te[-1] + 15.0, curve.range_k[1]), 4 * _STEPS)
        falling = np.flatnonzero(~(np.diff(curve.pressure(inside)) > 0.0))
        if falling.size:
            self._refuse(wording.CHARGE_FALLS(temperature=both_scales(inside[falling[0]])))
            return
        minimum = self.charge.minimum_static_superheat
        for _, name in self.wanted:
            # Below the MOP only: above it the valve closes on purpose.
            superheat = static_superheat(balance, self.refrigerants[name], te)
            known = np.isfinite(superheat) & ~balance.charge.is_above_limit(te + superheat)
            low = np.flatnonzero(known & (superheat < minimum))
            if low.size:
                worst = low[np.argmin(superheat[low])]
                text = wording.STATIC_SUPERHEAT_TOO_LOW(
                    refrigerant=name,
                    fahrenheit=f"{superheat[worst] * 1.8:.2f}",
                    kelvin=f"{superheat[worst]:.2f}",
                    temperature=both_scales(te[worst]),
                    minimum=f"{minimum * 1.8:.2f}",
                )
                self._refuse(text, "minimum_static_superheat")

    def _refuse(self, text: str, *below: str | int) -> None:
        self.found.refuse(self.document, ("charges", self.index, *below), text)
