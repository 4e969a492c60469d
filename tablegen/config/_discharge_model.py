"""Config of a discharge coefficient that follows subcooling and drop."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from tablegen.config.fields import BadKey, Model, Number, Share, Text
from tablegen.physics.discharge import DischargeCoefficient
from tablegen.wording import config_errors as wording

# Down to -0.5 the flow grows with the drop; below, it would fall.
_SubcoolingExponent = Annotated[Number, Field(ge=-1.0, le=1.0)]
_DropExponent = Annotated[Number, Field(ge=-0.5, le=0.0)]
_Bounds = Annotated[list[Share], Field(min_length=2, max_length=2)]


class ReferencePointModel(Model):
    """The subcooling and the drop at which the Kv of sizes is rated, in the terms of the law."""

    subcooling: Share
    drop: Share


class ValidRangeModel(Model):
    """The least and the greatest subcooling and drop for which the exponents may be used."""

    subcooling: _Bounds
    drop: _Bounds


class DischargeCoefficientModel(Model):
    """Exponents of subcooling and drop, the point that Kv is rated at, where they are valid, and whose they are."""

    subcooling_exponent: _SubcoolingExponent
    drop_exponent: _DropExponent
    reference: ReferencePointModel
    valid: ValidRangeModel
    source: Text

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key, reference, (low, high) in (
            ("subcooling", self.reference.subcooling, self.valid.subcooling),
            ("drop", self.reference.drop, self.valid.drop),
        ):
            if not 0.0 < low < high:
                raise BadKey(wording.VALID_RANGE_ASCENDS(), "valid", key)
            if not low <= reference <= high:
                raise BadKey(wording.REFERENCE_IN_VALID_RANGE(key=key), "reference", key)
        if self.valid.drop[1] >= 1.0:
            raise BadKey(wording.VALID_DROP_BELOW_ALL(), "valid", "drop", 1)
        return self

    def discharge(self) -> DischargeCoefficient:
        """The frozen coefficient."""
        return DischargeCoefficient(
            subcooling_exponent=self.subcooling_exponent,
            drop_exponent=self.drop_exponent,
            reference_subcooling=self.reference.subcooling,
            reference_drop=self.reference.drop,
            subcooling=(self.valid.subcooling[0], self.valid.subcooling[1]),
            drop=(self.valid.drop[0], self.valid.drop[1]),
        )
