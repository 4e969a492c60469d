"""What the cover of a booklet says."""

from __future__ import annotations

from tablegen.wording.message import Message

SUBTITLE = Message("The load window of every size: minimum and maximum load, valid from low to high head pressure.")
ENGINEERING = Message("Engineering sections of the booklet {booklet}: {chapters}.")
CAPTION = Message(
    "Each line is the load window of one {family} size at one suction temperature, coldest at the bottom, for "
    "{refrigerants}. Where windows overlap, several sizes cover the load; where it is white, none does."
)
BAND_ALT = Message("{application}, {sst}: {loads}.")
SUCTION = Message("SST {sst}")
FAMILIES = Message("Families")
REFRIGERANTS = Message("Refrigerants")
APPLICATIONS = Message("Applications")
UNITS = Message("Units")
