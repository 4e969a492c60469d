"""How to read a window table, by one window of the catalogue."""

from __future__ import annotations

from tablegen.wording.message import Message

TITLE = Message("How to read a window table")
WHY = Message(
    "In cold weather the compressor pumps more and the valve has less pressure drop; in hot weather it is the other way "
    "around. A window is valid at all three head pressures: low head, rating point, high head."
)
EXAMPLE = Message("The example: {refrigerant}, SST {sst} (dew), load {load}; {table}.")

WHICH_TABLE = Message("Find your application")
WHICH_TABLE_TEXT = Message(
    "Box, head pressure control and liquid line must match yours. If your head pressure goes below the low head or above "
    "the high head, the table is not valid. Here: {application}."
)
APPLICATIONS_ALT = Message("Applications with their pictograms: {applications}; framed: {application}")
WHICH_ROW = Message("Find the row of your SST")
WHICH_ROW_TEXT = Message("SST is the dew point at the evaporator outlet. Here: {sst}.")
WHICH_ROW_BOX = Message(
    "SST is the dew point at the evaporator outlet; the box temperature is SST plus the difference (TD) in the "
    "caption. Here: {sst}."
)
WHICH_LOAD = Message("Find your load")
WHICH_LOAD_TEXT = Message(
    "The gross capacity of your system at the rating point of its table, here {rating}; other applications may have "
    "a different one. Add fan heat to a net capacity. Every size whose window contains it fits. Here {load}: {sizes}."
)
EXCERPT_ALT = Message(
    "Part of the table {table}: in the row of SST {sst}, size {size} reads {window}; sizes {sizes} cover {load}"
)
CHOOSE = Message("Take the size with the largest margin")
CHOOSE_TEXT = Message(
    "Margin: load divided by minimum, or maximum divided by load, whichever is smaller. On this ruler it is the distance "
    "from the load to the nearer end of the bar. Here: size {size}."
)
CHOOSE_AT_CONFIDENCE = Message(
    "These limits are nominal: choose a size whose limits at {level} confidence, in the last row of each table, contain your "
    "load too, if there is one{see}."
)
RULER_ALT = Message("Sizes on a scale of loads, with the load {load}. {lanes}")
LANE_ALT = Message("Size {size}, {window}: {verdict}.")
TOO_SMALL = Message("too small: starves {condition}")
TOO_LARGE_HUNTS = Message("too large: hunts {condition}")
TOO_LARGE_FLOODS = Message("too large: floods back {condition}")
TOO_LARGE = Message("too large {condition}")
FITS = Message("fits")
LARGEST_MARGIN = Message("fits, largest margin")

LIMITS = Message("What the limits mean")
NOMINAL_TEXT = Message("The nominal capacity under a size only names it: choose by the window.")
TON = Message("1 ton is {load}.")
LIMITS_TEXT = Message(
    "Minimum loads are rounded up and maximum loads down, so that no printed figure promises too much."
)
STARVES = Message("starves the evaporator")
HUNTS = Message("hunts")
FLOODS = Message("floods back")
TOO_FAR_OPEN = Message("cannot close far enough")
COVERS = Message("covers the load at every head")
MINIMUM_SET = Message("Minimum of size {size}, set {condition}: {reason}.")
MAXIMUM_SET = Message("Maximum of size {size}, set {condition}: {reason}.")
LIMITS_ALT = Message(
    "Below {minimum} the valve {below}; from {minimum} to {maximum} it {inside}; above {maximum} it {above}"
)

BETWEEN = Message("Between two rows")
BETWEEN_TEXT = Message(
    "A size fits only if the windows of both rows cover the load. Between {first} and {second}, size {size} covers {window}."
)
ROW_NAME = Message("SST {sst}")
BETWEEN_ALT = Message("Size {size} in two rows, and the loads that both cover: {window}")

ORDER = Message("Check the order")
ORDER_TEXT = Message(
    "Copy to the order what is printed under the table; check working pressure, allowed differential and connections."
)
ORDER_STATES = Message("For connections, capillary and revision see What an order must state.")
ORDER_VALVE = Message("Order")
ORDERED = Message("{family} {size}")

OTHER_LOSSES = Message(
    "Larger pressure losses, more lift or less subcooling than the table states lower the maximum load; smaller losses raise "
    "the minimum load: have the valve sized for your case."
)
