"""One load window calculated step by step."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

HEADING = Message("Load window of {valve} with {refrigerants} at SST {sst} (dew)")
NO_WINDOW_HEADING = Message("Why {valve} has no load window with {refrigerants} at SST {sst} (dew)")
PRINTED = Message("Printed: {window}.")
NOT_PRINTED = Message("Computed, not printed in a booklet ({reason}): {window}.")
NO_WINDOW = Message("no load window: {reason}")
NARROW = Message(
    "rounded to three significant figures, the minimum load is not below the maximum load, so no window is printed"
)
OBSTACLE = Message("{refrigerant} {condition}: {reason}.")
OBSTACLE_ALONE = Message("{refrigerant}: {reason}.")
NOT_ABOVE = Message("{first} is not above {second}.")

DISAGREES = Message(
    "trace: the calculation gives {calculated} W, the table {tabulated} W; one of the two is wrong, please report it "
    "with the catalogue"
)

GIVEN = Message("From the config files")
CONSTANTS = Message("Constants")
NONE = Message("none")
SYMBOL = Message("Symbol")
FIGURE = Message("Figure")
WRITTEN_AS = Message("Written as")
DEFAULT = Message("default")
ROW = Message("a row of the table")
BETWEEN_ROWS = Message("between the rows of the table, computed exactly")
STEP = Message("Step")
EQUATION = Message("Equation")
IN_FIGURES = Message("In figures")
RESULT = Message("Result")

SET_BY: Mapping[str, Message] = {
    "minimum": Message("Minimum load, set by {refrigerant} {condition}: {reason}"),
    "maximum": Message("Maximum load, set by {refrigerant} {condition}: {reason}"),
}
SET_BY_ALONE: Mapping[str, Message] = {
    "minimum": Message("Minimum load, set by {refrigerant} {condition}"),
    "maximum": Message("Maximum load, set by {refrigerant} {condition}"),
}
BY_CONDITION: Mapping[str, Message] = {
    "minimum": Message("Minimum load at each operating condition; the largest sets the minimum"),
    "maximum": Message("Maximum load at each operating condition; the smallest sets the maximum"),
}
BY_REFRIGERANT: Mapping[str, Message] = {
    "minimum": Message("Minimum load of each refrigerant; the largest sets the group's minimum"),
    "maximum": Message("Maximum load of each refrigerant; the smallest sets the group's maximum"),
}
CONDITION = Message("Operating condition")
REFRIGERANT = Message("Refrigerant")
LOAD = Message("Load, {unit}")
SETS_LIMIT = Message("Limit")
SETS_IT = Message("sets it")
ROUNDED: Mapping[str, Message] = {
    "minimum": Message(
        "Minimum load {exact}, rounded up to three significant figures so that it promises no more than was computed: "
        "{printed}."
    ),
    "maximum": Message(
        "Maximum load {exact}, rounded down to three significant figures so that it promises no more than was computed: "
        "{printed}."
    ),
}

# Symbols of curves, which no publication lists.
OF_CURVES: Mapping[str, Message] = {
    "z": Message("distance from a point of the curve, relative"),
    "y": Message("the same on the second axis"),
    "t": Message("bulb temperature, number in °C"),
}

OF_CHARGE = Message(
    "T_p, p_p starts this segment of the charge curve and b₁ to b₃ are its coefficients; the curve is a monotone cubic of ln p against "
    "1/T through all points"
)
CHARGE_OF = Message("p_charge is the bubble pressure of {fluid}")
OF_ANTOINE = Message("A_c, B_c and C_c are the charge's constants of Antoine's equation, in kPa and °C; p_a is 1 kPa")
OF_CHARACTERISTIC = Message("from the point φ_p, c_p of the opening; b₁ to b₃ are of the monotone cubic from there")
OF_TABLE = Message("between the points T_s1 and T_s2, T_d1 and T_d2 of the table, whose flows are m_11 to m_22")

# Parts of a calculation.
RATING_POINT = Message("Rating point")
LIQUID_UPSTREAM = Message("Liquid at the outlet of condenser or receiver")
FACTORY_SETTING = Message("Factory setting")
VALVE = Message("The valve at that condition")
RATED_KV = Message("Kv of the nominal capacity")
SIZE = Message("Size {size}")
OBSTACLE_PARTS: Mapping[str, Message] = {
    "rating": RATING_POINT,
    "setting": FACTORY_SETTING,
    "valve_at_min_superheat": Message("At the minimum stable superheat"),
    "valve_at_max_superheat": Message("At the maximum superheat"),
    "valve_ratings": Message("Ratings of the valve"),
    "charge_range": Message("Range of the bulb charge"),
}
AT_STATE = Message("{condition}, {state}")
STEPS_ABOVE = Message("Steps {first} to {last} above.")
STATES: Mapping[str, Message] = {
    "max": Message("full flow, minimum subcooling"),
    "min": Message("minimum capacity step, maximum subcooling"),
    "min_full_flow": Message("full flow, maximum subcooling"),
}
SUCTION: Mapping[str, Message] = {
    "constant": Message("constant suction"),
    "balanced": Message("balanced suction"),
}
STATE_OF = Message("{condition} ({details})")
OF_CONDITION = Message("{meaning}, {condition}")
NOMINAL_RATING = Message("nominal rating")
FROM_SOURCE = Message("{meaning} [{source}]")
FROM_SOURCE_NOTE = Message("{meaning} [{source}; {note}]")
WITH_NOTE = Message("{meaning} [{note}]")
SOURCES = Message(
    "Sources: equation of state: {library} through property tables, compositions after ASHRAE 34; flow equation, "
    "choked flow, F_F: IEC 60534-2-1; polynomial: AHRI 540; force balance: static equilibrium of the moving part; "
    "the others are definitions, balances and the assumptions named."
)
REPEAT = Message(
    'To check a step, enter its line of figures in a calculator; the units already match. Where a note says "solved together", '
    "the step and a later one depend on each other; both show the solved values. Take a property such as "
    "p_dew(…) from a refrigerant table. Enthalpies use a different zero from 'tablegen states' and most tables; "
    "differences are the same."
)

SUMS = Message("From several keys of the config files")

# The sheet of one page.
SHEET_HEADING = Message("{valve}: {window}, step by step")
NO_WINDOW_SHEET = Message("{valve}: why there is no load window")
SUBJECT = Message("A load window, step by step")
SHEET_CASE = Message("{refrigerants}; SST {sst} (dew), {row}; {application}.")
NOT_PRINTED_CASE = Message("Not a printed window: {reason}.")
KEY_AND_LINE = Message("Key, line in its file")
MEANING_SOURCE = Message("Meaning, source")
UNIT = Message("Unit")
COLUMN_RATING = Message("{refrigerant}, {condition}")
COLUMN_LIMIT: Mapping[str, Message] = {
    "minimum": Message("{refrigerant}, {condition}, minimum"),
    "maximum": Message("{refrigerant}, {condition}, maximum"),
}
OR = Message("{first} or {second}")
KV_STEPS = Message("{title}: {steps}.")
LOADS_BY_CONDITION: Mapping[str, Message] = {
    "minimum": Message("Minimum load by operating condition, {unit}: {loads}; set {condition}."),
    "maximum": Message("Maximum load by operating condition, {unit}: {loads}; set {condition}."),
}
LOADS_WITH_REASON: Mapping[str, Message] = {
    "minimum": Message("Minimum load by operating condition, {unit}: {loads}; set {condition} ({reason})."),
    "maximum": Message("Maximum load by operating condition, {unit}: {loads}; set {condition} ({reason})."),
}
LOADS_BY_REFRIGERANT = Message("By refrigerant: {loads}; set by {refrigerant}.")
IS_PRINTED_AS = Message("{exact} is printed as {printed}.")
ROUNDS_TO = Message("{exact} rounds to {printed}.")
SHEET_COEFFICIENTS = Message("Coefficients of the compressor: {coefficients}.")
SHEET_FILES = Message("Files: {files}.")
SHEET_SOURCES = Message("Sources: {sources}.")
SHEET_NOTE = Message(
    "States by {library}, compositions after ASHRAE 34; enthalpies use a different zero from tables; differences are the "
    "same. Constants: {constants}. Every step in figures: 'tablegen trace'."
)

HELP = Message("calculate a load window step by step")
DESCRIPTION = Message(
    "Recalculate one load window from the config files to the rounded number, and show each step with its equation, "
    "figures and source."
)
EPILOG = Message(
    "Exit codes: 0 the window is open, 1 it is empty, 2 bad input.  Example: tablegen trace alder 90 R448A-family --sst "
    "'24 degF' --application walk_in_medium --demo"
)
GROUP_HELP = Message("a group of the catalogue, or one refrigerant")
DETAIL_HELP = Message(
    "what is printed: the limits and what sets each (summary), the steps too (steps), and the figures that they start "
    "from with every source (full, the default)"
)
LIMIT_HELP = Message("one limit (default: both)")
CSV_ROWS = Message("a row for each step")
