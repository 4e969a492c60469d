"""A table of limits from elsewhere beside the catalogue's own: what is wrong with its file, and the answer."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# Reading the file.
OLD_TABLES_ARE_SMALL = Message("no table of limits needs that")
NO_ROWS = Message("the file has no rows below its header")
SAME_CELL = Message("line {line} already gives the limits of this family, size, refrigerant, application and SST")
EMPTY_NAME = Message("the cell is empty")
EMPTY_SST = Message("the cell is empty; every row needs its SST")
NAME_OF_TABLE = Message(
    "{problem}; give its name in the catalogue under names.{part} in the mapping file, or null if it has no counterpart"
)
FIGURE_RANGE = Message("must be at least {minimum} and at most {maximum} (read in {unit})")
COLUMN_MISSING = Message("no column for {name}; the headings are {header}; name it under 'columns' in a mapping file")
PRESSURE_DROP_TABLE = Message(
    "{heading}: compare cannot use a table by pressure drop. Give the maximum load of each size at each SST, without this column. "
    "A capacity at one condition goes in a size's 'capacity', its condition in the family's 'rating'."
)
SEVERAL_COLUMNS = Message("{name} may be any of the columns {headings}; name one under 'columns' in a mapping file")
TAKEN_TWICE = Message("the column {heading} is taken for {first} and for {second}; give each its own")
UNIT_MISSING = Message(
    "{quantity} needs its unit, in the heading, such as '{example}', or under columns.{name}.unit in a mapping file"
)
HEADINGS = Message("the headings of {file} are {headings}")
TOO_MANY_SSTS = Message("{file}: {count} different SSTs in one application; at most {most} can be computed")
NOTHING_COMPARED = Message("{file}:{line}: no limit can be compared: {reason}")

# What is given together.
TABLE_OR_RELEASE = Message(
    "{old}: give {new} to compare it with a newer release; a table of limits is a .csv or .xlsx file"
)
ONLY_WITH_TABLE = Message("{option}: only a table of limits is compared with a catalogue, not a release")

# Why a cell has no counterpart.
IN_NO_GROUP = Message("no group of the catalogue contains it")
NOT_OFFERED = Message("{family} is not offered for {group} in {application}: {reason}")
MIXED_CHARGES = Message("{family} has different bulb charges for the members of {group}: {charges}")
NO_LIMITS = Message("the row has neither limit")
LIMITS_CROSS = Message("the minimum load is not below the maximum load")
SST_OUTSIDE = Message("the SST is outside those of {application}")
EMPTY_WINDOW = Message("the window is empty, because {reason}")
MAPPED_TO_NONE = Message("the mapping file has no counterpart for {name}")
NO_SUCH_TABLE = Message("the old table has no such family, refrigerant and application")
NO_SUCH_SIZE = Message("the old table has no size {size} of {family} there")
SST_BEYOND_ROWS = Message("the SST is outside the rows of the old table")
SST_BETWEEN_ROWS = Message("the SST is between the rows of the old table")

# The answer.
HEADING = Message("{file} compared with {catalogue}")
SUBJECT = Message("An old table of limits compared with the catalogue")
COUNTED = Plural(
    "{count} limit is compared, and {near} of them agrees within 1 percent. {changes}",
    "{count} limits are compared, and {near} of them agree within 1 percent. {changes}",
)
CHANGES = Message("Our minimum loads are {minimum} from the old ones and our maximum loads {maximum} (medians).")
CHANGES_OF_ONE = Message("Our {limit}s are {change} from the old ones (median).")
WITHOUT = Plural(
    "{count} row of the old table has no counterpart.", "{count} rows of the old table have no counterpart."
)
CROSSED = Plural(
    "{count} of them is not compared because its minimum load is not below its maximum load (line {line}).",
    "{count} of them are not compared because their minimum load is not below their maximum load; the first is in line "
    "{line}.",
)
OLD = Message("Old table")
OURS = Message("Ours")
CATALOGUE = Message("{title}, revision {revision} of {date}")
TAKEN: Mapping[str, Message] = {
    "family": Message("Family"),
    "size": Message("Size"),
    "refrigerant": Message("Refrigerant"),
    "application": Message("Application"),
    "sst": Message("SST"),
    "minimum": Message("Minimum load"),
    "maximum": Message("Maximum load"),
}
FROM_COLUMN = Message("from column '{heading}'")
FROM_COLUMN_IN = Message("from column '{heading}' in {unit}")
SAME_IN_EVERY_ROW = Message("{value} in every row")
NOT_GIVEN = Message("not in the old table")
NOT_READ = Message("Columns not read")

# Assumptions.
ASSUMPTIONS: Mapping[str, Message] = {
    "stop": Message("maximum opening (rated stroke, or up to the stop)"),
    "control_reserve": Message("control reserve"),
    "maximum_duty": Message("maximum duty cycle"),
    "minimum_opening": Message("minimum stable opening"),
    "maximum_superheat": Message("maximum superheat"),
    "minimum_stable_superheat": Message("minimum stable superheat"),
    "distributor_loss": Message("distributor loss"),
    "liquid_line_loss": Message("liquid line loss"),
    "low_head": Message("low head"),
    "high_head": Message("high head"),
    "low_head_subcooling": Message("subcooling at low head"),
    "kv_scale": Message("Kv of all sizes (factor)"),
    "minimum_factor": Message("one factor on minimum loads"),
    "maximum_factor": Message("one factor on maximum loads"),
}
ASSUMPTION_TABLE = Message("What each assumption would explain by itself")
ASSUMPTION = Message("Assumption")
EXPLAINS = Message("Explains")
EXPLAINS_OF_MOVED = Message("Of the limits it moves")
LEFT = Message("Left (rms)")
VALUES_TABLE = Message("Values that explain most, each by itself")
OWNER = Message("For")
ALL_ROWS = Message("all rows")
OWNER_SIZES = Plural("{family}, size {sizes}", "{family}, sizes {sizes}")
OWNER_GROUPS = Message("{application}, {groups}")
VALUE = Message("Would be")
WITH_BOUND = Message("{value} ± {bound}")
AT_END = Message("{value} (at the end of what is allowed)")
TODAY = Message("Is today")
LIMITS_MOVED = Message("Limits it moves")
BEST_IS = Message("{assumption} ({value} instead of {today})")
ONE_EXPLAINS = Message(
    "By itself, {best} explains most: {explained} of the squared difference of {rms} rms; {left} rms is left."
)
EQUAL_EXPLAIN = Message(
    "{names} explain the difference equally well: {explained} of the squared difference of {rms} rms; this table "
    "cannot separate them."
)
NONE_EXPLAINS = Message(
    "No assumption by itself explains more than half of the squared difference of {rms} rms; the best is {best} with "
    "{explained}."
)
NOTHING_MOVES = Message("No assumption moves any limit that is compared.")
ALL_AGREE = Message("All limits agree within 1 percent, so no assumption is looked for.")

# Trends.
TREND = Message("Goes with")
TRENDS: Mapping[str, Message] = {
    "sst": Message("SST"),
    "group": Message("refrigerant"),
    "size": Message("size"),
    "application": Message("application"),
    "set_by": Message("what sets our limit"),
}
SHARES_TABLE = Message("Share of the scatter that goes with")
LEVELS_TABLE = Message("Change from the old limits to ours: median, and the middle 80 percent")
LEVEL = Message("At")
SET_BY = Message("{condition}, {reason}")
COUNT_MIN = Message("Minimum loads")
COUNT_MAX = Message("Maximum loads")
MIN_MEDIAN = Message("Minimum changes by")
MAX_MEDIAN = Message("Maximum changes by")
MEDIAN_AND_SPREAD = Message("{median} ({spread})")

# Cells.
CELLS_TABLE = Message("Limits that differ most, in {load}, SST in {temperature}")
ROW = Message("Family, refrigerant, application")
CHANGE_MIN = Message("Min")
CHANGE_MAX = Message("Max")
MORE = Plural(
    "{count} more row is listed in the CSV and JSON output.", "{count} more rows are listed in the CSV and JSON output."
)
MORE_IN_JSON = Plural(
    "{count} more row is listed in the JSON output.", "{count} more rows are listed in the JSON output."
)
WITHOUT_TABLE = Message("Rows of the old table, and windows of ours, without a counterpart")
SIDE = Message("Of")
SIDES: Mapping[str, Message] = {"old": Message("the old table"), "ours": Message("ours")}
CELLS = Message("Number")
WHY = Message("Why")
FIRST_LINE = Message("First line")

# The graph.
GRAPH = Message(
    "Change from the old limits to ours against SST, for each family; left minimum loads, right maximum loads"
)
GRAPH_CAPTION = Message("Change from the old limits to ours: medians, and bars over the middle 80 percent. {families}.")
GRAPH_FAMILY = Message("{family}: {mark}")
MARKS: Mapping[str, Message] = {
    "o": Message("circles"),
    "s": Message("squares"),
    "D": Message("diamonds"),
    "^": Message("triangles"),
}
CHANGE_AXIS = Message("Change of {limit} [%]")
SST_AXIS = Message("SST [{unit}]")

# Notes.
NOMINAL = Message(
    "Nominal limits are compared, computed at the SSTs of the old table; printed limits are at confidence."
)
COMPUTED = Message("Our limits are computed at the SSTs of the old table, before they are rounded.")
READING = Message(
    "Each value is a least-squares fit of one assumption alone, with every limit computed again. Its bound takes what is "
    "left as random, and allows for limits that are all rounded down or up to three figures."
)
MEMBERS = Message(
    "A row for one refrigerant is compared with the limits of that refrigerant alone, not with those of its group."
)
