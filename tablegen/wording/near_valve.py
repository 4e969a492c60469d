"""What is near a picked valve: the pressure drops that its limits assume, distributor nozzle and solenoid valve."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HEADING = Message("Distributor nozzle and solenoid valve")
DROPS_HEADING = Message("Pressure drops assumed")
ASSUMED = Message("Pressure drops at rated flow that the limits assume")
REFRIGERANT = Message("Refrigerant")
LIQUID_LINE = Message("Liquid line")
LIFT = Message("Lift")
DISTRIBUTOR = Message("Distributor")
EVAPORATOR = Message("Evaporator")

PARTS = Message("Sizes for this load")
PART = Message("Part")
SIZE = Message("Size")
DROPS = Message("Pressure drop: low head / rating / high head")
ASSUMED_DROP = Message("Limits assume")
BECAUSE = Message("Because")
NONE_FITS = Message("{part}: no size fits")
KINDS: Mapping[str, Message] = {
    "distributor_nozzle": Message("Distributor nozzle"),
    "solenoid_valve": Message("Solenoid valve"),
}
OF_LIQUID_LINE = Message("{drop} liquid line")
OF_DISTRIBUTOR = Message("{drop} distributor")

OVER_PRESSURE = Message(
    "The highest head pressure, {head}, is above its working pressure of {working} ({refrigerant})."
)
OVER_DIFFERENTIAL = Message(
    "It must open against {drop}, more than its maximum opening pressure differential of {allowed} ({refrigerant})."
)
DROP_ABOVE_MAXIMUM = Message(
    "The pressure drop of the largest size, {size}, reaches {drop}, above the maximum of {maximum}."
)
DROP_BELOW_MINIMUM = Message(
    "The pressure drop of size {size} falls to {drop}, below the {minimum} that it needs to stay open."
)
FAR_FROM_ASSUMED = Message("The nearest size, {size}, has a pressure drop of {drop} at the rating point.")

OF_GROUP = Message(
    "Each size works for every refrigerant of the group; pressure drops are for the refrigerant that sets the size."
)
SOLENOID_WITHIN = Message(
    "The liquid line is assumed to lose {assumed}. {part} takes {drop}, leaving {left} for pipe, drier and fittings."
)
SOLENOID_BEYOND = Message(
    "The liquid line is assumed to lose {assumed}; {part} alone takes {drop}. Check the load with a larger losses.liquid_line."
)
NOZZLE_OFF = Message(
    "The distributor is assumed to lose {assumed}; with {part} it loses {drop} at this load. To check the load with that, set "
    "losses.distributor to {drop}."
)
