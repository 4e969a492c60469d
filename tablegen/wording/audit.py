"""An audit: what was found in tables and in a release, the picture of coverage, and the command."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

HEADING = Message("Audit of {title}")
SUBJECT = Message("Coverage of loads by size ranges")
FAULTS = Plural("{count} fault.", "{count} faults, listed in {lines}.")
NO_FAULTS = Message("No faults.")
REMARKS = Plural("{count} remark.", "{count} remarks, listed in {lines}.")
NO_REMARKS = Message("No remarks.")
LINES = Plural("{count} line", "{count} lines")
CATALOGUE = Message("Catalogue")
REVISION = Message("{catalogue}, revision {revision} of {date}")
TABLES = Message("Tables")
COUNTED = Message("{tables} with {windows} ({open} open)")
TABLE_COUNT = Plural("{count} table", "{count} tables")
WINDOW_COUNT = Plural("{count} window", "{count} windows")
COMPRESSOR_OF = Message("Compressor of {application}")
READ_BACK = Message("Windows read back")
READ_FROM = Message("{windows} in {file}")
NOTHING_READ = Message("no windows")

# Coverage by table.
TABLE = Message("Table")
TABLE_NAME = Message("{family}, {group}, {application}")
SIZE_RANGE = Message("Size range, {unit}")
ROWS_WITH_WINDOWS = Message("Rows with windows")
WITH_GAPS = Message("Rows with gaps")
SIZES_AT_A_LOAD = Message("Sizes per load")
MIN_OVERLAP = Message("Smallest overlap")
NO_RANGE = Message("none")
ROWS_OF = Message("{rows} of {total}")

# A finding: where, and what.
SEVERITIES: Mapping[str, Message] = {"fault": Message("Faults"), "remark": Message("Remarks")}
WHERE = Message("Where")
FOUND = Message("Finding")
COUNT = Message("Count")
SIZE = Message("size {size}")
SIZES = Message("sizes {first} to {last}")
SST = Message("SST {sst}")

LIMITS: Mapping[str, Message] = {"minimum": Message("minimum load"), "maximum": Message("maximum load")}
GAPS = Message("at SST {sst} no size covers {ranges}, in {unit}")
RANGE = Message("{range} (between {smaller} and {larger})")
MORE_RANGES = Plural("{count} more range", "{count} more ranges")
THIN_OVERLAP = Message("{smaller} and {larger} overlap by only {share} at SST {sst}")
ROUNDING_GAP = Message("{smaller} and {larger} at SST {sst}, near {load}")
GROUP_LOSS = Message(
    "at SST {sst} the group's window is {share} as wide as the median window of its members; the minimum load is set "
    "by {min_members}, the maximum load by {max_members}"
)
OF_REFRIGERANT = Message("{refrigerant}: {reason}")
TURNS: Mapping[str, Message] = {
    "peak": Message("the {limit} rises up to SST {sst} and falls above it"),
    "valley": Message("the {limit} falls up to SST {sst} and rises above it"),
}
NARROW = Message("at SST {sst} the maximum load is only {ratio} times the minimum load")
NARROW_IN = Message("in {unit}: at SST {sst} the maximum load is only {ratio} times the minimum load")
NOT_RISING = Message("the {limit} of size {larger} is not above that of size {smaller}: {high} against {low}")
BETWEEN_ROWS = Message("at SST {sst}, between two rows, the {limit} is stricter than in either row, by {shift}")
EMPTY_BETWEEN_ROWS = Message("at SST {sst}, between two rows, {refrigerant} has no window: {reason}")
SUBCOOLING = Message(
    "{at_condition} {refrigerant} must leave the condenser {subcooling} subcooled for the stated subcooling at the valve; "
    "more than {usual} takes a subcooler (common practice): state condenser_subcooling"
)
BLOCKED = Message("at {head}, between the operating conditions, {refrigerant}: {reason}")
STRICTER: Mapping[str, Message] = {
    "between_heads": Message(
        "at {head}, between the operating conditions, the {limit} with {refrigerant} is stricter by up to {shift}: "
        "for size {size} at SST {sst} the table has {table}, and {found} is computed there"
    ),
    "subcooling_corner": Message(
        "at the other end of the subcooling range, the {limit} with {refrigerant} is stricter by up to {shift}: for "
        "size {size} at SST {sst} the table has {table}, and {found} is computed there"
    ),
    "other_response": Message(
        "with {response} suction, the {limit} with {refrigerant} is stricter by up to {shift}: for size {size} at "
        "SST {sst} the table has {table}, and {found} is computed there"
    ),
}
RESPONSES: Mapping[str, Message] = {"constant": Message("constant"), "balanced": Message("balanced")}
EMPTY_OTHERWISE = Message("at the other end of the subcooling range, {refrigerant} has no window: {reason}")
EMPTY_WITH_RESPONSE = Message("with {response} suction, {refrigerant} has no window: {reason}")
WITHIN_ROUNDING = Message("{finding} (within rounding)")
PRINTED = Message("{file}: the {limit} of size {size} at SST {sst} is printed as {read}, but {found} was computed")
PRINTED_IN = Message(
    "in {unit}: the {limit} of size {size} at SST {sst} is printed as {read}, but {found} was computed"
)
NONE_COMPUTED = Message("none")

# What is wrong with a file of a release, an input or a version.
FILE_PROBLEMS: Mapping[str, Message] = {
    "missing": Message("{file} is missing"),
    "altered": Message("{file} was changed since it was written"),
    "record_missing": Message("{file} is missing: changed or deleted documents cannot be found; build again"),
    "record_altered": Message(
        "{file} was changed since it was written, or another version wrote it: changed or deleted documents cannot be "
        "found; build again"
    ),
    "new": Message("{file} is new"),
    "removed": Message("{file} was removed"),
    "differs": Message("{file} differs"),
    "other_windows": Message(
        "{file}: windows that differ from those computed now: {note}; printed windows were not compared. To check the "
        "release by itself, give the config files in its configs.zip with {--catalogue}"
    ),
    "other_version": Message("{file}: {note} (release / this installation)"),
    "not_written": Message("{file} was not printed: {note}"),
    "library_missing": Message("reading {file} needs pypdfium2 (pip install 'tablegen[audit]')"),
    "other_table": Message("{file}: its rows and sizes are not those of the computed tables"),
    "no_page": Message("{file}: no page has this table with these sizes"),
    "no_cell": Message("{file}: the window is missing"),
    "no_window": Message("{file}: no window is printed"),
    "window": Message("{file}: {note} is printed where no window was computed"),
    "no_number": Message("{file}: {note} is printed as a limit"),
}
NO_TABLES = Message("it contains no tables")

# The picture.
ALT = Plural(
    "{count} strip chart of size ranges; {gaps} gaps in all.",
    "{count} strip charts of size ranges; {gaps} gaps in all.",
)
CAPTION = Message(
    "Each strip is one table: load across on a logarithmic scale, suction temperature upward over the range in the "
    "strip's second line. Thin lines: minimum load (dashed) and maximum load of each size; heavy lines: ends of the "
    "size range. Shading darkens from one size to two, and to three or more, that cover the load; the first line "
    "counts them. Hatched: no size covers the load. Crossed out: no window. Triangle: a row with another fault."
)
NOT_DRAWN = Plural("{count} more table is not drawn.", "{count} more tables are not drawn.")
LOAD_AXIS = Message("load, {unit}")

# The command.
HELP = Message("check a catalogue's tables, or a release of it, for faults")
DESCRIPTION = Message(
    "Audit every table that a catalogue computes, printed or not: loads that no size covers; limits that would be "
    "stricter at a head pressure between the operating conditions, at the other end of the subcooling range, with "
    "the other suction response (constant or balanced) or at an SST between two rows; limits that do not rise with size; "
    "empty and narrow windows; windows that a group narrows; deviations from published values; printed figures that differ "
    "from computed ones."
)
EPILOG = Message(
    "Exit codes: 0 no faults, 1 faults (with --strict also remarks), 2 bad input.  Example: tablegen audit --demo --output "
    "audit.pdf"
)
RELEASE_HELP = Message(
    "also check the output folder of a build against the catalogue: hashes, data set, workbook, phone page and the pages "
    "of its booklets"
)
STRICT_HELP = Message("remarks count as faults for the exit code")
BOX_HELP = Message(
    "TD of the evaporator (box minus evaporating temperature), such as '10 delta_degF', for applications that do not "
    "give it, so that balanced suction can be checked too"
)
CSV_ROWS = Message("every finding, window by window")
