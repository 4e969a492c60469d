"""Config of the superheat at the bulb, and of the coil that its maximum may belong to."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from tablegen.config.fields import (
    BadKey,
    Choice,
    Load,
    Model,
    Number,
    PositiveStep,
    Share,
    Step,
    Text,
    must,
    quantity,
    within,
)
from tablegen.physics.coil import Coil
from tablegen.physics.loop import Circuit
from tablegen.physics.system import Stability, SuperheatLimits
from tablegen.wording import config_errors as wording

_PartOfAll = Annotated[Share, must(lambda share: 0.0 < share < 1.0, wording.BETWEEN_ZERO_AND_ALL)]
_Factor = Annotated[Number, must(lambda factor: 0.05 <= factor <= 20.0, lambda: within("0.05", "20"))]
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
        """Raise BadKey where a superheat is too large for the coil, or its maximum needs more of the coil than is stated."""
        if difference_k is not None and self.useful >= difference_k:
            # No coil warms its vapor above the box.
            rule = wording.NOT_BELOW_DIFFERENCE(fahrenheit=f"{difference_k * 1.8:.6g}", kelvin=f"{difference_k:.3g}")
            raise BadKey(rule, "superheat", "useful")
        key = next((k for k in ("maximum_share", "coil_capacity_loss") if getattr(self, k) is not None), None)
        if key is None:
            return
        if difference_k is None:
            raise BadKey(wording.COIL_DIFFERENCE_MISSING(), "superheat", key)
        if self.coil_capacity_loss is not None and coil is None:
            raise BadKey(wording.CONDUCTANCE_RATIO_MISSING(), "superheat", key)
        # Nor by more than a share of the difference.
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
        return SuperheatLimits(
            useful_k=self.useful,
            max_k=self.maximum,
            min_k=minimum,
            max_share=self.maximum_share,
            capacity_loss=self.coil_capacity_loss,
        )


# Keys that the loop of valve, coil and bulb needs beside the conductance ratio.
OF_CIRCUIT = (
    "circuit_load",
    "circuit_length",
    "tube_inner_diameter",
    "wall_heat_capacity",
    "air_side_share",
    "plug_share",
)


class CoilModel(Model):
    """The evaporator coil; what the loop with the valve needs of a circuit may be left out where no loop is computed."""

    conductance_ratio: _PartOfAll
    circuit_load: Load | None = None
    circuit_length: Annotated[float, quantity("length", "0.5 m", "100 m")] | None = None
    tube_inner_diameter: Annotated[float, quantity("length", "1 mm", "100 mm")] | None = None
    wall_heat_capacity: Annotated[float, quantity("wall heat", "0 J/(m K)", "10 kJ/(m K)")] | None = None
    air_side_share: _PartOfAll | None = None
    plug_share: Share | None = None
    liquid_holdup_factor: _Factor = 1.0
    calibration: _Factor = 1.0
    source: Text

    @property
    def missing_of_circuit(self) -> list[str]:
        """The keys of a circuit that are not there."""
        return [key for key in OF_CIRCUIT if getattr(self, key) is None]

    def circuit(self) -> Circuit | None:
        """One of the coil's circuits; None where too little of it is stated."""
        if self.missing_of_circuit:
            return None
        return self.into(
            Circuit,
            load_w=self.circuit_load,
            length_m=self.circuit_length,
            wall_heat_capacity_j_mk=self.wall_heat_capacity,
        )

    def inputs(self) -> Coil:
        """The coil of the physics."""
        return self.into(Coil)


class StabilityModel(Model):
    """What gives minimum openings of families that name no method of their own."""

    method: Annotated[Stability, Choice] = Stability.CONSTANT
    gain_margin: Annotated[Number, must(lambda margin: 1.0 <= margin <= 10.0, lambda: within("1", "10"))] = 1.5
