"""The conditions that a table is valid for."""

from __future__ import annotations

from tablegen.wording.message import Message

LOW_HEAD = Message("Low head")
RATING_POINT = Message("Rating point")
HIGH_HEAD = Message("High head")
SUCTION = Message("Suction")
LOSSES_LABEL = Message("Losses at rated flow")
SUPERHEAT = Message("Superheat")
BULB_CHARGE = Message("Bulb charge")
DRIVE = Message("Drive")
VALVE = Message("Valve")

HEAD_SET = Message("setting {pressure}: saturated at {temperature}; {liquid}")
HEAD_SET_WITH_GLIDE = Message("setting {pressure}: bubble point {bubble}, dew point {dew}; {liquid}")
HEAD_STATED = Message("{temperature} {basis}: {pressure}; {liquid}")
HEAD_AT_BUBBLE = Message("{temperature} {basis}: {pressure} (dew pressure there {dew}); {liquid}")
HEAD_AT_DEW = Message("{temperature} {basis}: {pressure} (bubble pressure there {bubble}); {liquid}")
HEAD_AT_MID = Message(
    "{temperature} {basis}: {pressure} (bubble pressure there {bubble}, dew pressure {dew}); {liquid}"
)

LIQUID_AT = Message("liquid at the valve {temperature}")
LIQUID_SUBCOOLED = Message("liquid at the valve subcooled {subcooling} after the line loss, about {temperature}")
LIQUID_UNKNOWN = Message(
    "liquid at the valve subcooled {subcooling} after the line loss, at a temperature that cannot be computed"
)

LOSSES = Message("liquid line {liquid_line}, evaporator {evaporator}, distributor {distributor}, no lift")
LOSSES_WITH_LIFT = Message(
    "liquid line {liquid_line}, evaporator {evaporator}, distributor {distributor}, liquid lift {lift}"
)

SUPERHEAT_AT_BULB = Message(
    "capacity counted with {useful} useful superheat; in operation {minimum} to {maximum} at the bulb"
)
SUPERHEAT_RISING = Message(
    "capacity counted with {useful} useful superheat; in operation from {minimum}, more with load, to {maximum} at the "
    "bulb"
)
SUPERHEAT_BY_CONTROLLER = Message(
    "capacity counted with {useful} useful superheat at the evaporator outlet; in operation set by controller"
)

SST_AT_BULB = Message(
    "SST is the dew point at the evaporator outlet (the bulb); at the compressor it is {loss} lower; {response}"
)
SST_AT_OUTLET = Message(
    "SST is the dew point at the evaporator outlet; at the compressor it is {loss} lower; {response}"
)
SST_AT_COMPRESSOR_BULB = Message(
    "SST is the dew point at the compressor; at the evaporator outlet (the bulb) it is {loss} higher; {response}"
)
SST_AT_COMPRESSOR = Message(
    "SST is the dew point at the compressor; at the evaporator outlet it is {loss} higher; {response}"
)
UNLOADING = Message("{suction}; compressor unloading to {share}")

NO_CHARGE = Message("none offered")
CHARGE_SET = Message(
    "{charge}, set for {refrigerant}: {static} static superheat at a bulb temperature of {bulb}, {opening} more to rated "
    "stroke"
)
WITH_MOP = Message("{charge}, MOP {absolute} ({gauge})")

INTERNAL_EQUALIZER = Message("internal equalizer; {pressures}")
EXTERNAL_EQUALIZER = Message("external equalizer; {pressures}")
PRESSURES = Message("working pressure {working}, allowed differential {differential}")

CLEARANCE_COMPRESSOR = Message("clearance {clearance}, re-expansion exponent {exponent}")
TABLE_COMPRESSOR = Message("table of relative mass flows")
POLYNOMIAL_COMPRESSOR = Message("ten-coefficient mass-flow polynomial (AHRI 540)")
