"""The page that opens an application: its head pressures, its assumptions, its balance graph."""

from __future__ import annotations

from tablegen.wording.message import Message

HEADS_CAPTION = Message("Head pressures and liquid of each refrigerant, at SST {sst} (dew)")
SOURCES_CAPTION = Message("Sources of the conditions")

COLUMN_TAKES = Message("For {refrigerant} the {lift} column of liquid takes {pressures}.")
COLUMN_ADDS = Message("For {refrigerant} the {lift} column of liquid adds {pressures}.")
COLUMN_PRESSURE = Message("{pressure} {condition} ({share} of the absolute head pressure)")
COLUMN_UNKNOWN = Message("The pressure of the column of liquid cannot be computed for {refrigerant}.")

BALANCE = Message("Balance of {refrigerant} at SST {sst} (dew): a system rated {load}, and the limits of the valve")
LINES_EXPLAINED = Message(
    "The evaporator's line is its capacity at the SST. If the compressor pumps more, the SST falls until "
    "the two match; if it pumps less, the SST rises. Size {size} fits where the system's line is between "
    "that size's two curves."
)
HEAD_FALLS = Message("As the head pressure falls, the valve passes less.")
HEAD_FALLS_MORE = Message("As the head pressure falls, the system needs more and the valve passes less.")
BELOW_HEAD = Message("As the head pressure falls below about {head}, the valve passes less.")
BELOW_HEAD_MORE = Message(
    "As the head pressure falls below about {head}, the system needs more and the valve passes less."
)
CROSSING = Message(
    "At the ring, size {size} passes exactly what the system needs; below that head pressure it starves the evaporator."
)
AS_FAR_OPEN_THERMOSTATIC = Message(
    "For {refrigerant} alone, with each valve open as far as its stop and the maximum superheat allow; a "
    "group's window may be narrower. Between the operating conditions, subcooling is assumed to change "
    "linearly with head pressure."
)
AS_FAR_OPEN_ELECTRONIC = Message(
    "For {refrigerant} alone, with each valve open as far as its control may open it; a group's window "
    "may be narrower. Between the operating conditions, subcooling is assumed to change linearly with "
    "head pressure."
)

REFRIGERANT = Message("Refrigerant")
PRESSURES_COLUMN = Message("bubble/dew, {unit}")
HEAD_COLUMN = Message("head, {unit}")
TEMPERATURES_COLUMN = Message("bubble/dew, {unit}")
LIQUID_COLUMN = Message("liquid, {unit}")

LOSSES = Message("Losses")
COMPRESSOR = Message("Compressor")
COMPRESSOR_SOURCE = Message("{source}: {compressor}")
