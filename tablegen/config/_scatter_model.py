"""Config of how far a measured value may be off, and of how valves and installations differ from each other."""

from __future__ import annotations

import statistics
from functools import partial
from typing import Annotated, Generic, NamedTuple, Self, TypeAlias, TypeVar

from pydantic import model_validator

from tablegen.config.fields import BadKey, Model, Share, Step, Text, must, quantity, within
from tablegen.config.written_forms import Written, WrittenAs, quantity_form
from tablegen.errors import BadValue
from tablegen.model.scatter import InstallationScatter, ProductionScatter, Tolerance
from tablegen.unit_table import KINDS
from tablegen.units import to_si
from tablegen.wording import config_errors as wording

Q = TypeVar("Q", bound=float)
_Confidence = Annotated[
    Share,
    must(lambda share: 0.5 <= share < 1.0, wording.CONFIDENCE_RANGE),
    Written(partial(quantity_form, ("share",), "50 percent", "99.99 percent")),
]
_NotZero = must(lambda value: value != 0.0, wording.TOLERANCE_OF_ZERO)


class ToleranceModel(Model, Generic[Q]):
    """A two-sided bound with its confidence, or a standard deviation; and where it comes from."""

    one_of = (("plus_minus", "standard_deviation"),)
    plus_minus: Annotated[Q, _NotZero] | None = None
    standard_deviation: Annotated[Q, _NotZero] | None = None
    confidence: _Confidence | None = None
    source: Text

    @model_validator(mode="after")
    def _bound(self) -> Self:
        if (self.plus_minus is None) != (self.confidence is None):
            raise BadKey(wording.CONFIDENCE_OF_BOUND(), "confidence")
        return self

    def tolerance(self) -> Tolerance:
        """The standard deviation in SI.

        Assumption: a two-sided bound is one of a normal distribution; of a bound from few rows this makes too much.
        """
        if self.plus_minus is None or self.confidence is None:
            return Tolerance(self.standard_deviation or 0.0, self.source)
        return Tolerance(self.plus_minus / statistics.NormalDist().inv_cdf(0.5 + 0.5 * self.confidence), self.source)


CoefficientTolerance: TypeAlias = ToleranceModel[Annotated[float, quantity("flow coefficient", "0 m3/h", "1000 m3/h")]]
ShareTolerance: TypeAlias = ToleranceModel[Share]
StepTolerance: TypeAlias = ToleranceModel[Step]
_Deviation = Annotated[float, quantity("share", "0 percent", "30 percent")]
_StepDeviation = Annotated[float, quantity("temperature difference", "0 K", "10 K")]


class ScatterModel(Model):
    """How one valve of a family differs from the next, as standard deviations; of Kv as a share of it."""

    kv: _Deviation | None = None
    pressure_recovery: _Deviation | None = None
    source: Text

    def scatter(self) -> ProductionScatter:
        """The frozen scatter, zero where a key is left out."""
        return self.into(ProductionScatter)


class ThermostaticScatterModel(ScatterModel):
    """Of a family with bulb charges; the charge's pressure as a share of it."""

    static_superheat: _StepDeviation | None = None
    hysteresis: _StepDeviation | None = None
    opening_superheat: _StepDeviation | None = None
    unbalance: _Deviation | None = None
    charge_pressure: _Deviation | None = None


class HeadDeviation(NamedTuple):
    """Of a head, as a pressure difference [Pa] or a temperature difference [K]; the other is zero."""

    pressure_pa: float
    temperature_k: float


_HEAD_KINDS = ("pressure difference", "temperature difference")


def _head_deviation(text: object) -> HeadDeviation:
    values, hints = [], []
    for kind in _HEAD_KINDS:
        try:
            values.append(to_si(text, kind))
        except BadValue as error:
            values.append(0.0)
            hints.append(error.hint)
    if len(hints) == len(_HEAD_KINDS):
        allowed = ", ".join(KINDS[kind].allowed() for kind in _HEAD_KINDS)
        raise BadValue(repr(text), wording.HEAD_DEVIATION_UNITS(units=allowed), " / ".join(filter(None, hints)))
    value = HeadDeviation(*values)
    if not (0.0 <= value.pressure_pa <= _MAX_HEAD_PA and 0.0 <= value.temperature_k <= _MAX_HEAD_K):
        raise BadValue(repr(text), within("0", "3 bar, 10 K"))
    return value


_MAX_HEAD_PA, _MAX_HEAD_K = 3e5, 10.0
_HeadDeviation = Annotated[HeadDeviation, WrittenAs(partial(quantity_form, _HEAD_KINDS), _head_deviation)]
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
    conductance_ratio: _ChangeDeviation | None = None
    dryout_delay: _ChangeDeviation | None = None
    source: Text

    def scatter(self) -> InstallationScatter:
        """The frozen scatter, zero where a key is left out."""
        low, high = (head or HeadDeviation(0.0, 0.0) for head in (self.low_head, self.high_head))
        return self.into(
            InstallationScatter,
            low_head_pa=low.pressure_pa,
            low_head_k=low.temperature_k,
            high_head_pa=high.pressure_pa,
            high_head_k=high.temperature_k,
            flow_change=self.compressor_flow or 0.0,
        )


def tolerance_of(model: ToleranceModel[float] | None) -> Tolerance | None:
    """The frozen tolerance; None where none is given."""
    return None if model is None else model.tolerance()
