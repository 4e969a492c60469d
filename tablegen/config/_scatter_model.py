"""Config of how far a measured value may be off, and of how valves and installations differ from each other."""

from __future__ import annotations

import statistics
from typing import Annotated, NamedTuple, Self

from pydantic import BeforeValidator, model_validator

from tablegen.config.fields import BadKey, Model, Share, Text, quantity, within
from tablegen.errors import BadValue
from tablegen.model.inputs import InstallationScatter, ProductionScatter, Tolerance
from tablegen.unit_table import KINDS
from tablegen.units import to_si
from tablegen.wording import config_errors as wording

_MIN_CONFIDENCE = 0.5


class ToleranceModel(Model):
    """A two-sided bound with its confidence, or a standard deviation; and where it comes from."""

    plus_minus: float | None = None
    standard_deviation: float | None = None
    confidence: Share | None = None
    source: Text

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.plus_minus is None) == (self.standard_deviation is None):
            raise BadKey(wording.EXACTLY_ONE_OF(keys="plus_minus, standard_deviation"))
        if (self.plus_minus is None) != (self.confidence is None):
            raise BadKey(wording.CONFIDENCE_OF_BOUND(), "confidence")
        if self.confidence is not None and not _MIN_CONFIDENCE <= self.confidence < 1.0:
            raise BadKey(wording.CONFIDENCE_RANGE(), "confidence")
        for key, value in (("plus_minus", self.plus_minus), ("standard_deviation", self.standard_deviation)):
            if value == 0.0:
                raise BadKey(wording.TOLERANCE_OF_ZERO(), key)
        return self

    def tolerance(self) -> Tolerance:
        """The standard deviation in SI.

        Assumption: a two-sided bound is one of a normal distribution; of a bound from few rows this makes too much.
        """
        if self.plus_minus is None or self.confidence is None:
            return Tolerance(self.standard_deviation or 0.0, self.source)
        return Tolerance(self.plus_minus / statistics.NormalDist().inv_cdf(0.5 + 0.5 * self.confidence), self.source)


_OfCoefficient = Annotated[float, quantity("flow coefficient", "0 m3/h", "1000 m3/h")]
_OfShare = Annotated[float, quantity("share", "0 percent", "100 percent")]
_OfStep = Annotated[float, quantity("temperature difference", "0 K", "60 K")]


class CoefficientTolerance(ToleranceModel):
    """Of a flow coefficient."""

    plus_minus: _OfCoefficient | None = None
    standard_deviation: _OfCoefficient | None = None


class ShareTolerance(ToleranceModel):
    """Of a share, in percent of the whole as the share itself."""

    plus_minus: _OfShare | None = None
    standard_deviation: _OfShare | None = None


class StepTolerance(ToleranceModel):
    """Of a temperature difference."""

    plus_minus: _OfStep | None = None
    standard_deviation: _OfStep | None = None


_Deviation = Annotated[float, quantity("share", "0 percent", "30 percent")]
_StepDeviation = Annotated[float, quantity("temperature difference", "0 K", "10 K")]


class ScatterModel(Model):
    """How one valve of a family differs from the next, as standard deviations; of Kv as a share of it."""

    kv: _Deviation | None = None
    pressure_recovery: _Deviation | None = None
    source: Text

    def scatter(self) -> ProductionScatter:
        """The frozen scatter, zero where a key is left out."""
        return ProductionScatter(kv=self.kv or 0.0, pressure_recovery=self.pressure_recovery or 0.0, source=self.source)


class ThermostaticScatterModel(ScatterModel):
    """Of a family with bulb charges; the charge's pressure as a share of it."""

    static_superheat: _StepDeviation | None = None
    opening_superheat: _StepDeviation | None = None
    unbalance: _Deviation | None = None
    charge_pressure: _Deviation | None = None

    def scatter(self) -> ProductionScatter:
        """The frozen scatter, zero where a key is left out."""
        return ProductionScatter(
            kv=self.kv or 0.0,
            pressure_recovery=self.pressure_recovery or 0.0,
            static_superheat_k=self.static_superheat or 0.0,
            opening_superheat_k=self.opening_superheat or 0.0,
            unbalance=self.unbalance or 0.0,
            charge_pressure=self.charge_pressure or 0.0,
            source=self.source,
        )


class HeadDeviation(NamedTuple):
    """Of a head, as a pressure difference [Pa] or a temperature difference [K]; the other is zero."""

    pressure_pa: float
    temperature_k: float


def _head_deviation(text: object) -> HeadDeviation:
    kinds = ("pressure difference", "temperature difference")
    values, hints = [], []
    for kind in kinds:
        try:
            values.append(to_si(text, kind))
        except BadValue as error:
            values.append(0.0)
            hints.append(error.hint)
    if len(hints) == len(kinds):
        allowed = ", ".join(KINDS[kind].allowed() for kind in kinds)
        raise BadValue(repr(text), wording.HEAD_DEVIATION_UNITS(units=allowed), " / ".join(filter(None, hints)))
    value = HeadDeviation(*values)
    if not (0.0 <= value.pressure_pa <= _MAX_HEAD_PA and 0.0 <= value.temperature_k <= _MAX_HEAD_K):
        raise BadValue(repr(text), within("0", "3 bar, 10 K"))
    return value


_MAX_HEAD_PA, _MAX_HEAD_K = 3e5, 10.0
_HeadDeviation = Annotated[HeadDeviation, BeforeValidator(_head_deviation)]
_DropDeviation = Annotated[float, quantity("pressure difference", "0 Pa", "3 bar")]
_ChangeDeviation = Annotated[float, quantity("share", "0 percent", "50 percent")]


class InstallationScatterModel(Model):
    """How one installation of an application differs from the next, as standard deviations.

    `compressor_flow` is a share of the change of flow from the rating point to a head.
    """

    low_head: _HeadDeviation | None = None
    high_head: _HeadDeviation | None = None
    inlet_subcooling: _StepDeviation | None = None
    liquid_line: _DropDeviation | None = None
    distributor: _DropDeviation | None = None
    compressor_flow: _ChangeDeviation | None = None
    source: Text

    def scatter(self) -> InstallationScatter:
        """The frozen scatter, zero where a key is left out."""
        low, high = (head or HeadDeviation(0.0, 0.0) for head in (self.low_head, self.high_head))
        return InstallationScatter(
            low_head_pa=low.pressure_pa,
            low_head_k=low.temperature_k,
            high_head_pa=high.pressure_pa,
            high_head_k=high.temperature_k,
            inlet_subcooling_k=self.inlet_subcooling or 0.0,
            liquid_line_pa=self.liquid_line or 0.0,
            distributor_pa=self.distributor or 0.0,
            flow_change=self.compressor_flow or 0.0,
            source=self.source,
        )


def tolerance_of(model: ToleranceModel | None) -> Tolerance | None:
    """The frozen tolerance; None where none is given."""
    return None if model is None else model.tolerance()
