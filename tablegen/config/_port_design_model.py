"""Config of what may differ between the sizes of a family: opening, port, travel, pressures, loss of connections."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from tablegen.config._scatter_model import ShareTolerance
from tablegen.config.fields import (
    BadKey,
    FlowCoefficient,
    GaugePressure,
    Model,
    Name,
    PressureDrop,
    Share,
    SignedShare,
    Travel,
    ascends,
    must,
)
from tablegen.config.written_forms import Written, quantity_form
from tablegen.wording import config_errors as wording

_STOP = Written(partial(quantity_form, ("share",), "100 percent", "300 percent"))
FullSteps = Annotated[int, Field(ge=10, le=100000)]
Steps = Annotated[int, Field(ge=1)]


class OpeningModel(Model):
    """Opening as a share of rated stroke: mechanical stop, minimum stable opening, characteristic by points.

    `reserve_in_limits` is the share of the reserve between rated stroke and the stop that maximum loads may use.
    """

    stop: Annotated[Travel, must(lambda stop: stop >= 1.0, wording.STOP_BELOW_RATED), _STOP]
    minimum_stable: Annotated[Share, must(lambda share: 0.0 < share < 1.0, wording.BETWEEN_ZERO_AND_ALL)]
    reserve_in_limits: Share = 0.0
    smallest_controlled: Annotated[Share, must(lambda share: 0.0 < share < 1.0, wording.BETWEEN_ZERO_AND_ALL)] = 0.05
    characteristic: Literal["linear", "points"] = "linear"
    points: list[list[Travel]] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if (self.characteristic == "points") != (self.points is not None):
            raise BadKey(wording.POINTS_OF_CHARACTERISTIC())
        if self.points is not None:
            check_points(self.points, self.stop, "points")
        return self


def check_points(points: list[list[float]], stop: float, *key: str | int) -> None:
    """Points of a characteristic: pairs that ascend from zero, include rated stroke and reach the stop."""
    if any(len(point) != 2 for point in points) or len(points) < 3:
        raise BadKey(wording.CHARACTERISTIC_PAIRS(), *key)
    opening, share = zip(*points, strict=True)
    if not (ascends(opening) and ascends(share)):
        raise BadKey(wording.CHARACTERISTIC_ASCENDS(), *key)
    if points[0] != [0.0, 0.0] or [1.0, 1.0] not in points:
        raise BadKey(wording.CHARACTERISTIC_ENDS(), *key)
    if opening[-1] < stop:
        raise BadKey(wording.CHARACTERISTIC_SHORT(stop=f"{100 * stop:g} percent"), *key)


def pairs(points: list[list[float]] | None) -> tuple[tuple[float, float], ...]:
    return tuple((point[0], point[1]) for point in points or ())


class PortModel(Model):
    """Net unbalanced port area over diaphragm area, positive where inlet pressure closes, 0 if ideally balanced."""

    unbalance: SignedShare
    unbalance_tolerance: ShareTolerance | None = None


class ConnectionLossModel(Model):
    """The loss of body and connections: their Kv without the port, and whether the Kv of sizes counts them."""

    kv: FlowCoefficient
    size_kv: Literal["with_connections", "without_connections"]


class PortDesignModel(Model):
    """What the sizes that name it have in place of the family's own; what it leaves out is the family's."""

    design: Name
    working_pressure: GaugePressure | None = None
    allowed_differential: PressureDrop | None = None
    connection_loss: ConnectionLossModel | None = None

    @property
    def stated(self) -> dict[str, object]:
        """What it states beside its name, by key."""
        return {key: value for key, value in self if value is not None and key != "design"}

    @model_validator(mode="after")
    def _states_something(self) -> Self:
        if not self.stated:
            raise BadKey(wording.DESIGN_STATES_NOTHING(), "design")
        return self


class ThermostaticDesignModel(PortDesignModel):
    """A port design of a thermostatic family."""

    opening: OpeningModel | None = None
    port: PortModel | None = None


class StepperDesignModel(PortDesignModel):
    """A port design of a stepper-driven family."""

    full_steps: FullSteps | None = None
    minimum_steps: Steps | None = None
    control_reserve: Share | None = None
    characteristic: list[list[Travel]] | None = None


class PulseDesignModel(PortDesignModel):
    """A port design of a pulse-modulated family."""

    minimum_duty: Share | None = None
    maximum_duty: Share | None = None
