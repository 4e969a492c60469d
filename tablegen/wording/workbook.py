"""The workbook: names of its sheets, headings of its columns, and the sheet about its figures."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

ABOUT = Message("About")
GROUP_WINDOWS = Message("Group windows")
WINDOWS = Message("Windows")
SIZES = Message("Sizes")
WORKBOOKS = Message("Workbooks")
# Where one workbook of all applications would be too large.
EACH_HAS_ITS_OWN = Message(
    "This catalogue is too large for one workbook. Each application has its own, in the same folder:"
)

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
    "have in common. The tables are valid only for the operating conditions of each application."
)
RATING_POINT = Message("Rating point: {application}")
RATING_POINT_OF = Message("{rating} ({group})")
CAUTION = Message("Caution")

# Headings of columns.
WITH_UNIT = Message("{heading}, {unit}")
FAMILY = Message("Family")
FAMILY_TITLE = Message("Family in full")
SIZE = Message("Size")
SIZE_PLACE = Message("Position in size range")
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

# The sheet that finds a size: its title, inputs and hints.
FIND = Message("Find a size")
FILL_IN = Message("Fill in the yellow cells: choose from the lists, and enter figures without units.")
GROUP_OR_REFRIGERANT = Message("Refrigerant or group")
ALL_FAMILIES = Message("All families")
BOX = Message("or box temperature")
TD = Message("Coil temperature difference (TD)")
LOAD_ASKED = Message("Load at the rating point")
STOCK_ONLY = Message("In stock only")
STOCK_OF = Message("Stock as of {date}")
YES = Message("Yes")
NO = Message("No")
LOWEST_HIGHEST = Message("Lowest, highest")
SST_OF_BOX = Message("SST = box \N{MINUS SIGN} TD")
TD_STATED = Message("TD used")
# Its answer.
ANSWER = Message("Answer")
FIRST_CHOICE = Message("First choice")
NEXT_NOT_IN_STOCK = Message("Not in stock, but it fits")
ROWS_USED = Message("SST rows used")
STRICTER = Message("Between two rows the stricter limit of both is used.")
VALVE = Message("Valve")
MARGIN = Message("Margin")
IN_STOCK = Message("In stock")
LOCATION = Message("Location")
UNCOUNTED = Message("in stock")
TOO_SMALL = Message("Too small")
TOO_LARGE = Message("Too large")
MARGIN_IS = Message("Margin is the ratio between the load and the nearer limit: at 1.00 the load is at the limit.")
LIMITS_PRINTED = Message(
    "Limits are those of the window tables, valid only for the operating conditions of the application."
)
# By their number: what is wrong with an input, then what is found.
ANSWERS = (
    Message("Choose an application from the list."),
    Message("Choose a refrigerant from the list; others are not offered in this application."),
    Message("Choose a family that is offered for this refrigerant in this application."),
    Message("Choose Yes or No for stock."),
    Message("Enter temperatures as figures, without units."),
    Message("Enter an SST or a box temperature."),
    Message("Enter an SST or a box temperature, not both."),
    Message("Enter a TD above zero; this application states none."),
    Message("The SST is outside the rows of this application; do not extrapolate."),
    Message("Enter the load as a figure above zero, without a unit."),
    Message("Call before you select: these limits are for the application's own TD. Clear the TD cell to see it."),
    Message("These sizes cover the load, largest margin first."),
    Message("No size covers this load. Ask the manufacturer; the nearest sizes are below."),
    Message("No size has a load window here. Ask the manufacturer."),
    Message("No size in stock covers this load."),
)
BETWEEN_ROWS = Message("This SST is not a row of the table; between two rows the stricter limit is used. Continue?")
# Sheets that are hidden, and their headings.
LISTS = Message("Lists")
LOOKUP = Message("Lookup")
CALCULATION = Message("Calculation")


def with_unit(heading: str, unit: str) -> str:
    """A heading with the unit of its column."""
    return WITH_UNIT(heading=heading, unit=unit) if unit else heading
