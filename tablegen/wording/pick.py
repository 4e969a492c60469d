"""The valves that fit one case: headings, labels, why other sizes do not fit."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

HEADING = Message("{refrigerant} at SST {sst} (dew), {load}")
SPLIT_HEADING = Plural(
    "{refrigerant} at SST {sst} (dew), {load} on one evaporator",
    "{refrigerant} at SST {sst} (dew), {load} split over {count} evaporators",
)
EVAPORATOR = Message("Evaporator {number}: {load}, {share} of the unit")

FIRST_CHOICE = Message(
    "First choice: {valve}, with the largest margin. Your load is {over_minimum} times this valve's "
    "minimum load, and its maximum load is {under_maximum} times your load."
)
EQUAL_MARGIN = Message("Same margin: {valves}.")
NO_VALVE = Message("No valve in the catalogue covers this load.")

FITTING = Message("Valves that cover the load, largest margin first")
OTHERS = Message("Nearest sizes that do not cover it")
FAMILY = Message("Family")
SIZE = Message("Size")
VALVE = Message("Valve")
LOAD_WINDOW = Message("Load window, {unit}")
POSITION = Message("Position in window")
MARGIN = Message("Margin")
OPENING = Message("Opening, low / high head")
SUPERHEAT = Message("Superheat, low / high head")
REFRIGERANT = Message("Refrigerant")
VERDICT = Message("Verdict")
COVERS = Message("Covers, {unit}")
BECAUSE = Message("Because")
SET_BY_CONTROLLER = Message("set by controller")
NEAREST_MEMBER = Message(
    "Opening and superheat are shown for the group's refrigerant with the smallest margin at that size."
)

TOO_SMALL = Message("too small")
TOO_LARGE = Message("too large")
NO_WINDOW = Message("no load window")
NOT_OFFERED = Message("not offered")
UP_TO = Message("up to {load}")
FROM = Message("from {load}")
REASON = Message("{condition}, {reason} ({refrigerant})")
REASON_ALONE = Message("{reason} ({refrigerant})")
NO_SIZE = Message("{family}, all sizes")
SIZES = Message("{family} {sizes}")
ALL_AT_ONCE = Message(
    "All evaporators are assumed to run at the same time; if one shuts off, the load on the others changes."
)

TO_ORDER = Message("To order")

HELP = Message("find the valves that cover one load")
DESCRIPTION = Message(
    "Compare the capacity of a system at its rating point with the load window of every size, computed exactly at the "
    "given suction temperature."
)
EPILOG = Message(
    "Exit codes: 0 a valve covers the load, 1 none does, 2 bad input.  Example: tablegen pick R448A --sst '24 degF' "
    "--load '20 kBtu/h' --application walk_in_medium --set low_head.head_pressure='120 psi_gauge' --demo"
)
LOAD_HELP = Message("gross capacity at the rating point, such as '20 kBtu/h' or '5.9 kW'")
SPLIT_HELP = Message("several evaporators: '30 percent, 70 percent' or '6 kBtu/h, 14 kBtu/h'")
FAMILY_HELP = Message("one family (default: all)")
CONNECTIONS_HELP = Message("connections on the order, as offered for the size")
CAPILLARY_HELP = Message("length of the bulb's capillary on the order, such as '10 ft'")
QUANTITY_HELP = Message("number of valves on the order")
JOB_HELP = Message("job reference on the order")
PART_NUMBERS_HELP = Message(
    "your own part numbers (CSV or XLSX): column 'part_number', and any of family, size, charge, equalizer, connections, "
    "capillary"
)
CSV_ROWS = Message("a row for every size of every family offered")
QUANTITY_RULE = Message("{--quantity}: {quantity} is not allowed; it must be at least 1 and at most {maximum}")
JOB_RULE = Message("{--job}: {job} is not allowed; it must be at most {maximum} printable characters")

# On a sheet that a buyer is given.
WHOLESALER = Message("{name}, {telephone}")
