"""What is assumed of a coil, its bulb and its temperature difference where the catalogue states nothing of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tablegen.physics.loop import Circuit


class CoilInput(StrEnum):
    """What a coil's loop is calculated from, by its key in a config file."""

    DIFFERENCE = "coil_temperature_difference"
    CONDUCTANCE_RATIO = "conductance_ratio"
    LOAD = "circuit_load"
    LENGTH = "circuit_length"
    DIAMETER = "tube_inner_diameter"
    WALL = "wall_heat_capacity"
    AIR_SIDE = "air_side_share"
    PLUG = "plug_share"
    HOLDUP = "liquid_holdup_factor"
    CALIBRATION = "calibration"
    BULB = "bulb_time_constant"


@dataclass(frozen=True, slots=True)
class StatedInput:
    """A value in SI, and whether it is assumed."""

    value: float
    is_assumed: bool


@dataclass(frozen=True, slots=True)
class UsualInput:
    """A default and the range that is usual, in SI."""

    value: float
    low: float
    high: float


_FAHRENHEIT = 1.0 / 1.8
# Of a walk-in with copper tubes and aluminum fins.  Sources: `wording.hunt.ASSUMED_SOURCES`.
ASSUMED_INPUTS: Mapping[CoilInput, UsualInput] = {
    CoilInput.DIFFERENCE: UsualInput(10.0 * _FAHRENHEIT, 8.0 * _FAHRENHEIT, 15.0 * _FAHRENHEIT),
    CoilInput.CONDUCTANCE_RATIO: UsualInput(0.35, 0.20, 0.45),
    CoilInput.LOAD: UsualInput(1000.0, 600.0, 2000.0),
    CoilInput.LENGTH: UsualInput(12.0, 6.0, 18.0),
    CoilInput.DIAMETER: UsualInput(11.7e-3, 8.0e-3, 12.5e-3),
    CoilInput.WALL: UsualInput(120.0, 80.0, 160.0),
    CoilInput.AIR_SIDE: UsualInput(0.75, 0.60, 0.85),
    CoilInput.PLUG: UsualInput(0.5, 0.4, 0.6),
    CoilInput.HOLDUP: UsualInput(1.0, 0.7, 1.5),
    CoilInput.BULB: UsualInput(30.0, 15.0, 60.0),
}
# The inputs of one circuit, and the field of each.
CIRCUIT_FIELDS: Mapping[CoilInput, str] = {
    CoilInput.LOAD: "load_w",
    CoilInput.LENGTH: "length_m",
    CoilInput.DIAMETER: "tube_inner_diameter_m",
    CoilInput.WALL: "wall_heat_capacity_j_mk",
    CoilInput.AIR_SIDE: "air_side_share",
    CoilInput.PLUG: "plug_share",
    CoilInput.HOLDUP: "liquid_holdup_factor",
}
DEFAULT_CIRCUIT = Circuit(**{field: ASSUMED_INPUTS[name].value for name, field in CIRCUIT_FIELDS.items()})
