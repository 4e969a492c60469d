"""Config of the superheat at the bulb, and of the coil that its maximum may belong to."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from tablegen.config.fields import BadKey, Model, PositiveStep, Share, Step, Text, must, quantity
from tablegen.physics.coil import Coil
from tablegen.physics.system import SuperheatLimits
from tablegen.wording import config_errors as wording

_PartOfAll = Annotated[Share, must(lambda share: 0.0 < share < 1.0, wording.BETWEEN_ZERO_AND_ALL)]
_CapacityLoss = Annotated[float, quantity("share", "0.1 percent", "50 percent")]


class LoadLine(Model):
    """Minimum stable superheat a + b q + c q2, q the evaporator load over the rated capacity."""

    constant: Step
    linear: Step
    quadratic: Step


class SuperheatModel(Model):
    """Superheat at the bulb."""

    one_of = (("maximum", "maximum_share", "coil_capacity_loss"), ("minimum_stable", "minimum_stable_line"))
    useful: PositiveStep
    maximum: PositiveStep | None = None
    maximum_share: _PartOfAll | None = None
    coil_capacity_loss: _CapacityLoss | None = None
    minimum_stable: Step | None = None
    minimum_stable_line: LoadLine | None = None
    source: Text

    @model_validator(mode="after")
    def _sound(self) -> Self:
        stated, most = self.minimum_stable, self.maximum
        if stated is not None and most is not None and stated >= most:
            raise BadKey(wording.NOT_BELOW_MAXIMUM(), "minimum_stable")
        return self

    def check_coil(self, difference_k: float | None, coil: CoilModel | None) -> None:
        """Raise BadKey where the maximum belongs to a coil of which too little is stated, or is too small there."""
        key = next((k for k in ("maximum_share", "coil_capacity_loss") if getattr(self, k) is not None), None)
        if key is None:
            return
        if difference_k is None:
            raise BadKey(wording.COIL_DIFFERENCE_MISSING(), "superheat", key)
        if self.coil_capacity_loss is not None and coil is None:
            raise BadKey(wording.CONDUCTANCE_RATIO_MISSING(), "superheat", key)
        # No coil warms its vapor above the box, nor by more than a share of the difference.
        most = difference_k * (self.maximum_share or 1.0)
        if self.minimum_stable is not None and self.minimum_stable >= most:
            raise BadKey(
                wording.NOT_BELOW_SHARE(fahrenheit=f"{most * 1.8:.3g}", kelvin=f"{most:.3g}"),
                "superheat",
                "minimum_stable",
            )

    def inputs(self) -> SuperheatLimits:
        """The limits in SI."""
        line = self.minimum_stable_line
        minimum = (line.constant, line.linear, line.quadratic) if line else (self.minimum_stable or 0.0, 0.0, 0.0)
        return SuperheatLimits(self.useful, self.maximum, minimum, self.maximum_share, self.coil_capacity_loss)


class CoilModel(Model):
    """The evaporator coil."""

    conductance_ratio: _PartOfAll
    source: Text

    def inputs(self) -> Coil:
        """The coil of the physics."""
        return self.into(Coil)
