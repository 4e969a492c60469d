"""Labels on graphs."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

LOAD = Message("load, {unit}")
RATED_LOAD = Message("load at the rating point, {unit}")
SST = Message("saturated suction temperature, {unit}")
HEAD_PRESSURE = Message("head pressure, {unit}")
CAPACITY = Message("refrigerating capacity, {unit}")
SUPERHEAT = Message("superheat, {unit}")
TEMPERATURE = Message("temperature (dew point, bulb), {unit}")
PRESSURE = Message("pressure, {unit}")
OPENINGS: Mapping[str, Message] = {
    "thermostatic": Message("opening, share of rated stroke, %"),
    "stepper": Message("share of travel, %"),
    "pulse_modulated": Message("duty, %"),
}

# What a valve is for a load, over the zones of a superheat graph.
TOO_LARGE = Message("too large")
FITS = Message("fits")
TOO_SMALL = Message("too small")
TO_STOP = Message("{condition}, to the stop")
MAXIMUM = Message("maximum")
MINIMUM = Message("minimum")
MINIMUM_STABLE = Message("minimum stable")
FOR_LOAD = Message("for the load")

STATIC_SUPERHEAT = Message("static superheat")
EVAPORATOR = Message("evaporator")
EVAPORATOR_AND_SPRING = Message("evaporator and spring")
BULB = Message("bulb")

SYSTEM = Message("system")
FULLY_OPEN = Message("fully open")
MINIMUM_OPENING = Message("minimum stable opening")
SIZE_AT = Message("size {size}, {opening}")
BOTH_OPENINGS = Message("{maximum} = {minimum}")
HEAD_AT = Message("{condition} {pressure}")
STARVES = Message("size {size} starves")

# Selection map.
MAP_SST = Message("SST, {unit}")
MAP_FROM = Message("{low} to")
