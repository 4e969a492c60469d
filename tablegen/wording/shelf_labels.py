"""Labels for the shelf: load windows, what is ordered, what to check, and what does not fit a label."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

TITLE = Message("Shelf labels of {family}, {application}")
SUBJECT = Message("Shelf labels of expansion valve sizes")

# A load window: figures are set large, the words between them small.
LOAD_AT_SST = Message("{load} at SST {sst}")
LOAD_AT_BOX = Message("{load} at box {box}, SST {sst}")
# An empty one.
EMPTY_AT_SST = Message("no load at SST {sst}: {reason}")
EMPTY_AT_BOX = Message("no load at box {box}, SST {sst}: {reason}")
EMPTY_REASONS: Mapping[str, Message] = {
    "stop": Message("mechanical stop"),
    "rated_stroke": Message("rated stroke"),
    "superheat": Message("maximum superheat"),
    "mop": Message("bulb charge above its MOP"),
    "control_reserve": Message("control reserve"),
    "stability": Message("minimum stable opening"),
    "floodback": Message("minimum stable superheat"),
    "hunts": Message("hunting"),
    "min_step": Message("minimum opening of the drive"),
    "max_duty": Message("maximum duty cycle"),
    "min_duty": Message("minimum duty cycle"),
    "flashing": Message("flash gas upstream of the port"),
    "no_pressure_drop": Message("no pressure drop left"),
    "over_differential": Message("differential too high"),
    "over_pressure": Message("head pressure too high"),
    "above_mop": Message("bulb charge above its MOP"),
    "stays_closed": Message("the valve stays closed"),
    "always_hunts": Message("hunts at every opening"),
    "charge_range": Message("outside the range of the bulb charge"),
    "no_charge": Message("no bulb charge is offered"),
    "compressor_map": Message("outside the compressor data"),
    "property_range": Message("outside the property data"),
    "no_balance": Message("evaporator and compressor do not balance"),
    "flow_law_range": Message("outside the flow data"),
    "confidence": Message("none at the stated confidence"),
    "crossed": Message("none at all three head pressures"),
}

PART_NUMBER = Message("Part number {numbers}")
CHARGE_FOR = Message("charge for {refrigerants}")
# By the temperature range of the application.
CHARGE_FOR_RANGE: Mapping[str, Message] = {
    "medium_temperature": Message("charge for {refrigerants}, medium temp."),
    "low_temperature": Message("charge for {refrigerants}, low temp."),
}
LOCATION = Message("location {locations}")
HEADS = Message("Head pressure {low} to {high} {unit}.")
RATED = Message("{rated}.")
CHECK = Message("Check the superheat once the system is running.")
DATA_LINE = Message("Data {data}, revision {revision}, {date}.")

# What does not fit, in the smallest type.
OF_LABEL = Message("the label of size {size} for {group}: {reason}")
TOO_WIDE = Message(
    "{text} is {needed} wide in the smallest type, but there is {room}; use wider labels or a shorter text"
)
TOO_HIGH = Message(
    "its texts are {needed} high in the smallest type, but there is {room}; use higher labels or shorter texts (the "
    "longest is {text})"
)
