"""The page that opens an application: names on its picture, and what it shows in sentences."""

from __future__ import annotations

from tablegen.wording.message import Message

HEAD = Message("Head")
RECEIVER = Message("Receiver")
LIQUID = Message("Liquid")
AT_THE_VALVE = Message("at the valve, {unit}")
PRESSURE = Message("Pressure")
LEFT_FOR_THE_VALVE = Message("left for the valve, {unit}")
BALANCE = Message("Balance")
CAPACITY = Message("capacity, {unit}")

HOW_TO_READ = Message("How to read the picture")
TABLES = Message("Tables of this application")

SIZE = Message("Size {size}")
LOW_HEAD_LEAVES = Message(
    "leaves {drop} for the valve, {share} of the {rating} at the rating point, while the system's capacity is "
    "{capacity} of that at the rating point."
)
SMALLER_NEVER = Message("is too small at every head pressure shown.")
SMALLER_ALWAYS = Message("fully open, passes what the system needs at every head pressure shown.")
SMALLER_BELOW = Message(
    "the largest size that is too small: enough at higher head pressures, but below {head} (circle) it starves the "
    "evaporator (hatched)."
)
SMALLER_ABOVE = Message(
    "the largest size that is too small: enough at lower head pressures, but above {head} (circle) it starves the "
    "evaporator (hatched)."
)
COVERS = Message(
    "covers {minimum} to {maximum} at SST {sst}: the system's {load} is inside from low to high head. Choose by the load "
    "window, not by the rating point alone."
)
BUDGET = Message(
    "Where the head pressure goes, {refrigerant} at SST {sst}: from the right, liquid line (hatched), valve (gray), "
    "distributor and evaporator (white), in {unit}"
)
BUDGET_LIFT = Message(
    "Where the head pressure goes, {refrigerant} at SST {sst}: from the right, liquid line and lift (hatched), valve "
    "(gray), distributor and evaporator (white), in {unit}"
)
BUDGET_BAR = Message("{condition}: {line}, {valve}, {coil}")
STRAIGHT = Message("Pressure left for the valve is computed at the three heads and drawn straight between them.")
