"""Config of what controls the superheat of an electronic valve, for the loop with the coil."""

from __future__ import annotations

from typing import Annotated, Literal

from tablegen.config.fields import Model, PositiveStep, Text, TimeConstant, quantity
from tablegen.physics.loop import Controller


class ControllerModel(Model):
    """A proportional and integral controller of superheat."""

    gain: Annotated[float, quantity("controller gain", "0.001 percent/K", "1000 percent/K")]
    integral_time: Annotated[float, quantity("time", "0.1 s", "10000 s")]
    sensor_lag: TimeConstant
    delay: Annotated[float, quantity("time", "0 s", "1000 s")]
    superheat: PositiveStep
    schedule: Literal["none", "proportional"] = "none"
    source: Text

    def inputs(self) -> Controller:
        """The controller of the physics."""
        return Controller(
            gain_per_k=self.gain,
            integral_time_s=self.integral_time,
            sensor_lag_s=self.sensor_lag,
            delay_s=self.delay,
            superheat_k=self.superheat,
            is_scheduled=self.schedule == "proportional",
        )
