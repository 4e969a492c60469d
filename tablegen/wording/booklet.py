"""Pages of the booklet that lead to its tables: cover, how to read, which table, conversion, order guide, back."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

SUBJECT = Message("Load windows of expansion valves")
SUBJECT_FLOATING = Message("Load windows of expansion valves under floating head pressure")
KEYWORD_REVISION = Message("revision {revision}")
KEYWORD_DATA = Message("data {fingerprint}")
STAMP = Message("{notice} Data {fingerprint}.")

TABLE = Message("{family}: {group}")
TABLE_IN_APPLICATION = Message("{table}, {application}")
APPLICATION_TABLE = Message("{application}: {table}")

FAMILIES = Message("Families")
REFRIGERANTS = Message("Refrigerants")
REVISION = Message("Revision")
CONTENTS = Message("Contents")

# A page that is left for the reader to write on.
NOTES = Message("Notes")

# Which confidence the limits of a table have.
NOMINAL_ONLY = Message("Limits are nominal: scatter of valves is not included.")
AT_CONFIDENCE = Message("Limits are at {level} confidence{see}.")
NOMINAL = Message("Limits are nominal; for those at {level} confidence see {chapter}.")
# In parentheses at the end of a sentence, and of a chapter that is in another document.
SEE = Message("(see {chapter})")
IN_DOCUMENT = Message("{chapter} in {document}")
# Under the contents.
SEPARATE = Message("In a document of its own, {document}: {chapters}.")
EMPTY_TABLES = Message("Not printed, because no size covers a load there: {tables}.")

# Worked examples.
EXAMPLES = Message("Worked examples")
EXAMPLE_TERMS = Message(
    "Flow ratio: compressor mass flow divided by that at the rating point. Required Kv: the flow coefficient that "
    "passes the flow at the pressure drop available. Opening: share of rated stroke, travel or duty cycle. "
    "Superheat: at the evaporator outlet, where a thermostatic valve has its bulb."
)
EXAMPLE_CASE = Message("Given: {refrigerant}, SST {sst} (dew), load {load} (gross capacity at the rating point).")
EXAMPLE_ROW = Message("Find the row. In the window table this is the row of SST {sst}:")
EXAMPLE_CELLS = Message("Row of {sst}, {unit}")
EXAMPLE_LOAD = Message("Load {load}")
COVERS = Message("covers")
LARGEST_MARGIN = Message("largest margin")
EXAMPLE_SIZES = Message(
    "Choose the size. Sizes {sizes} cover the load. Size {size}, {window}, has the largest margin: choose it."
)
EXAMPLE_ONE_SIZE = Message("Choose the size. Only size {size}, {window}, covers the load.")
EXAMPLE_SMALLER = Message(
    "Size {size}, the largest that is too small, covers up to {maximum}: it would starve the evaporator {condition}."
)
# Where the load is not inside the limits at confidence: they leave none, or others.
EXAMPLE_NOMINAL_ONLY = Message(
    "The load is inside the nominal limits of size {size} only: at {level} confidence the size covers no load here. Have "
    "the valve sized for your case{see}."
)
EXAMPLE_OUTSIDE = Message(
    "The load is inside the nominal limits of size {size} only: at {level} confidence the size covers {window}. Have the "
    "valve sized for your case{see}."
)
EXAMPLE_HEADS = Message(
    "Check the three heads. The Kv of size {size} is {kv} m³/h. At low head the port has a pressure drop of {low_drop}, and "
    "the valve opens to {low_opening}; at high head the drop is {high_drop}, and the valve opens to {high_opening}."
)
HEAD_COLUMN = Message("Head, {unit}")
LIQUID_COLUMN = Message("Liquid, {unit}")
FLOW_RATIO = Message("Flow ratio")
MASS_FLOW = Message("Mass flow")
SYSTEM_COLUMN = Message("System, {unit}")
PORT_DROP = Message("Drop at the port")
REQUIRED_KV = Message("Required Kv, m³/h")
OPENING = Message("Opening")
SUPERHEAT = Message("Superheat")

# Do these tables apply?
DO_THEY_APPLY = Message("Do these tables apply?")
_WALK_IN = Message("Is it a walk-in?")
_NEW_UNIT = Message("Is the condensing unit new or replaced?")
RISER = Message("Is there a liquid riser or a long liquid line?")
RISER_TABLES = Message("Tables with a riser are each for one lift: {lifts}.")
LIFT_OF = Message("{application}, {lift}")
_SAME_EVERYWHERE = (
    (
        Message("Is the head pressure floating?"),
        Message(
            "Find out the lowest setting of the head pressure control, and whether the condenser fans follow it. "
            "Floating: use an application whose low head is at or below that setting. Fixed all year: use an "
            "application with fixed head pressure, if there is one."
        ),
    ),
    (
        RISER,
        Message(
            "A liquid riser or a long line costs pressure upstream of the valve: use an application that includes "
            "it, and make sure that the liquid is subcooled enough to reach the valve without flash gas."
        ),
    ),
    (
        Message("Anything else?"),
        Message(
            "Other refrigerants, other head pressures, unlisted losses, several evaporators on one line: have the "
            "valve sized for your case. Local codes, the equipment manufacturer's instructions and a licensed "
            "technician's judgment come first."
        ),
    ),
)
# By region, as the cautions.
QUESTIONS: Mapping[str, tuple[tuple[Message, Message], ...]] = {
    "us": (
        (
            _WALK_IN,
            Message(
                "Refrigerated storage that can be walked into, under 3,000 ft² (279 m²): a cooler above 32 °F (0 °C), a "
                "freezer at or below it (United States, 10 CFR 431.302 as it read before the 2024 amendment; elsewhere "
                "the local code). Choose by SST, even if the box is below 32 °F (0 °C). The tables also apply "
                "to other cold rooms that meet their conditions, but the efficiency rule that leads to floating head pressure covers walk-ins only."
            ),
        ),
        (
            _NEW_UNIT,
            Message(
                "New dedicated condensing units are built to float head pressure in cold weather to meet the efficiency "
                "rule (10 CFR 431.306). The valve from the old unit was probably sized for fixed head pressure: check it "
                "in the table for the new unit."
            ),
        ),
        *_SAME_EVERYWHERE,
    ),
    "other": (
        (
            _WALK_IN,
            Message(
                "Refrigerated storage that can be walked into: a cooler above 32 °F (0 °C), a freezer at or below it. Choose "
                "by SST, even if the box is below 32 °F (0 °C). The tables also apply to other cold rooms that meet their conditions."
            ),
        ),
        (
            _NEW_UNIT,
            Message(
                "New condensing units are built to float head pressure in cold weather, to save energy. The valve from "
                "the old unit was probably sized for fixed head pressure: check it in the table for the new unit."
            ),
        ),
        *_SAME_EVERYWHERE,
    ),
}
WHICH_TABLE = Message("Which table for which system")
WHICH_TABLE_NOTE = Message(
    "Families with a table for each application. Empty cell: not in this booklet; for the reason see What this booklet "
    "leaves out."
)
NOMINAL_WINDOWS_ONLY = Message(
    "{mark} Nominal limits only: with scatter, at {level} confidence, half or more of this table's windows are empty. "
    "Have the valve sized for your case{see}."
)
# Where there is no such part.
WHICH_TABLE_NOTE_ONLY = Message("Families with a table for each application. Empty cell: not in this booklet.")
APPLICATION = Message("Application")
WHICH_BOOKLET = Message("Which booklet for which family")
WHICH_BOOKLET_NOTE = Message("Each family has a booklet of its own, which contains its data as attached files.")
BOOKLET = Message("Booklet")
NUMBERED_FILE = Message("{number} ({file})")

# Conversion of capacities.
CONVERSION = Message("A capacity stated at other temperatures")
CONVERSION_NOTE = Message(
    "The tables use the capacity at the rating point. If your capacity is stated at another condensing temperature "
    "or subcooling, but at the same SST, multiply it by the factor below. The factors are computed with the "
    "application's compressor; another compressor changes them by a few percent. For a group, the smallest and "
    "largest factors of its members are given: multiply by both, and choose a size that covers both loads. "
    "Interpolate between rows. At another SST, or for another application in the same temperature range, the factors "
    "are approximate; have the valve sized for your case. The condensing temperature must be on the basis stated. If "
    "yours is on another basis, convert it through its pressure first{see}."
)
CONDENSING = Message("Condensing, {unit}")
SUBCOOLED = Message("{name}, subcooled {subcooling}")
FACTORS_AT = Message("{application} at SST {sst} (dew)")
FACTORS = Message("{groups}: {applications}; condensing at {basis}")

# Order guide.
ORDER_GUIDE = Message("What an order must state")
ORDER_NOTE = Message(
    "State on the order: manufacturer, family and size; the bulb charge with its static superheat, or the driver; "
    "equalizer, connections and capillary where there is a choice; quantity, job, and revision and data fingerprint "
    "of this booklet."
)
CONNECTIONS = Message("Connections")
CONNECTIONS_OF = Plural("size {sizes}: {choices}", "sizes {sizes}: {choices}")
EQUALIZER = Message("Equalizer")
EQUALIZERS: Mapping[str, Message] = {"internal": Message("internal"), "external": Message("external")}
CAPILLARY = Message("Capillary")
CAPILLARY_TO_STATE = Message("{lengths}: state the length, which the part number does not")
DRIVER = Message("Driver")
PART_NUMBERS = Message("Part numbers")
PART_NUMBERS_WITH = Message("{charge} – {part_numbers}")
SIZE_PART_NUMBERS = Message("{size}: {numbers}")
PART_NUMBER_WITH = Message("{number} ({details})")
WITH_CAPILLARY = Message("capillary {length}")

# What is left out.
LEFT_OUT = Message("What this booklet leaves out")
NOT_PRINTED = Message("Computed but not printed; included in the data set attached to this booklet")
NOT_IN_SERIES = Message("Computed but not printed in any booklet")
NOT_COMPUTED = Message("Not computed")
COUNTED_ONCE = Message("If several lines leave out the same table, it is counted only in the first.")
ALL = Message("all")
FAMILY = Message("Family")
TABLES = Message("Tables")
WHY = Message("Why")

# Revision record.
REVISION_RECORD = Message("Revision record")
DATE = Message("Date")
CHANGE = Message("Change")
WHY_CHANGED = Message("Why: {reasons}")
CHANGED_WINDOW = Message("{window}, changed since revision {revision}")
CHANGED_CELLS = Message("Changed cells")
CHANGED_SINCE = Message(
    "Compared with revision {revision} of {date} (data {fingerprint}), {changed} of the {total} windows printed here "
    "have changed and {new} are new; {gone} windows of that release are no longer in the data set. All differences, "
    "printed or not, are in changes.csv."
)
TABLE_COLUMN = Message("Table")
CELLS = Message("Cells")
MINIMUM_MOVED = Message("Minimum load changed by")
MAXIMUM_MOVED = Message("Maximum load changed by")
SST_COLUMN = Message("SST, {unit}")
SIZE = Message("Size")
WAS = Message("Was")
NOW = Message("Now")
NEW = Message("new")
NO_WINDOW = Message("none")
CELLS_NOTE = Message("Windows in {unit}, before and now; none: no window, for a reason given in the table.")
LARGEST_CHANGES = Message(
    "Windows in {unit}, before and now; none: no window, for a reason given in the table. Shown are the {count} that "
    "changed most; {others} more are in changes.csv."
)
