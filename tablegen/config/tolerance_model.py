"""Config of how far a measured value may be off."""

from __future__ import annotations

import statistics
from typing import Annotated, Self

from pydantic import model_validator

from tablegen.catalogue.inputs import ProductionScatter, Tolerance
from tablegen.config.fields import AtKey, Model, Share, Text, quantity

_LEAST_CONFIDENCE = 0.5


class ToleranceModel(Model):
    """A two-sided bound with its confidence, or a standard deviation; and where it comes from."""

    plus_minus: float | None = None
    standard_deviation: float | None = None
    confidence: Share | None = None
    source: Text

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.plus_minus is None) == (self.standard_deviation is None):
            raise ValueError("exactly one of plus_minus and standard_deviation is required")
        if (self.plus_minus is None) != (self.confidence is None):
            raise AtKey("confidence", "confidence is given with plus_minus, and only then")
        if self.confidence is not None and not _LEAST_CONFIDENCE <= self.confidence < 1.0:
            text = f"{100 * self.confidence:g} percent is not allowed; must be at least 50 and below 100 percent"
            raise AtKey("confidence", text)
        for key in ("plus_minus", "standard_deviation"):
            if getattr(self, key) == 0.0:
                raise AtKey(key, "0 is not allowed; no measured value is exact (leave the tolerance away)")
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
    """What one valve of a family differs from the next by, as standard deviations; of Kv as a share of it."""

    kv: _Deviation | None = None
    pressure_recovery: _Deviation | None = None
    source: Text

    def scatter(self) -> ProductionScatter:
        """The frozen scatter, zero where a key is left away."""
        return ProductionScatter(self.kv or 0.0, self.pressure_recovery or 0.0, source=self.source)


class ThermostaticScatterModel(ScatterModel):
    """Of a family with bulb charges; the charge's pressure as a share of it."""

    static_superheat: _StepDeviation | None = None
    opening_superheat: _StepDeviation | None = None
    unbalance: _Deviation | None = None
    charge_pressure: _Deviation | None = None

    def scatter(self) -> ProductionScatter:
        """The frozen scatter, zero where a key is left away."""
        return ProductionScatter(
            self.kv or 0.0, self.pressure_recovery or 0.0, self.static_superheat or 0.0, self.opening_superheat or 0.0,
            self.unbalance or 0.0, self.charge_pressure or 0.0, self.source,
        )  # fmt: skip


def tolerance_of(model: ToleranceModel | None) -> Tolerance | None:
    """The frozen tolerance, none where none is given."""
    return None if model is None else model.tolerance()
