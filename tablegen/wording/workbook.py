"""The workbook: names of its sheets, headings of its columns, and the sheet about its figures."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

ABOUT = Message("About")
GROUP_WINDOWS = Message("Group windows")
WINDOWS = Message("Windows")
SIZES = Message("Sizes")
NEXT_SHEET = Message("{title} ({number})")

# The sheet about the figures: labels and texts.
TITLE = Message("Title")
COMPANY = Message("Company")
NOTICE = Message("Notice")
REVISION = Message("Revision")
DATE = Message("Date")
FINGERPRINT = Message("Data fingerprint")
UNITS = Message("Units")
UNITS_USED = Message(
    "{system}: loads in {load}, temperatures in {temperature}, Kv in m³/h, Cv in US gal/min. Loads are gross "
    "refrigerating capacities at the rating point, to three significant figures, minimum loads rounded up, maximum loads "
    "down."
)
READING = Message("How to read")
HOW_TO_READ = Message(
    "A size covers every load from its minimum to its maximum load at low head, rating point and high head. Between two "
    "suction temperatures the load must be in both windows. A group's window is the part that the windows of its members "
    "have in common. The tables are valid only for the conditions that the booklet states."
)
RATING_POINT = Message("Rating point: {application}")
RATING_POINT_OF = Message("{rating} ({group})")
CAUTION = Message("Caution")

# Headings of columns.
FAMILY = Message("Family")
FAMILY_TITLE = Message("Family in full")
SIZE = Message("Size")
REFRIGERANTS = Message("Refrigerants")
REFRIGERANT = Message("Refrigerant")
MEMBERS = Message("Members")
APPLICATION = Message("Application")
SST = Message("SST (dew)")
LOAD: Mapping[str, Message] = {"min": Message("Minimum load"), "max": Message("Maximum load")}
SET_AT: Mapping[str, Message] = {"min": Message("Minimum load set at"), "max": Message("Maximum load set at")}
SET_BECAUSE: Mapping[str, Message] = {
    "min": Message("Minimum load set because"),
    "max": Message("Maximum load set because"),
}
SET_BY: Mapping[str, Message] = {
    "min": Message("Refrigerant that sets the minimum load"),
    "max": Message("Refrigerant that sets the maximum load"),
}
NO_WINDOW = Message("No window because")
CHARGE = Message("Bulb charge or drive")
MIDDLE_LOAD = Message("Middle load")
SUPERHEATS: Mapping[str, Message] = {
    "superheat_low_head_k": Message("Superheat at the middle load, low head"),
    "superheat_high_head_k": Message("Superheat at the middle load, high head"),
    "superheat_swing_k": Message("High-head minus low-head superheat"),
    "unbalance_swing_k": Message("Part of that due to port unbalance"),
}
KV = Message("Kv")
CV = Message("Cv")
NOMINAL_CAPACITY = Message("Nominal capacity")
PART_NUMBER = Message("Part number")
