"""Sheets that are read into a family's file: what was taken for what, what is missing, what is written."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# At the command line.
HELP = Message("read sizes, bulb charges, part numbers and bench readings from CSV or XLSX into a catalogue")
EPILOG = Message(
    "A sheet is recognized by its headings; units are in the headings, such as 'Kv [L/h]'. Nothing is written unless the "
    "catalogue can be used with it. Example: tablegen import sizes.csv charges.csv own-keys.csv --catalogue my-valves"
)
FILES_HELP = Message("CSV or XLSX; a workbook may have a sheet of each kind")
FAMILY_HELP = Message("key of the family (default: the one in the sheet of keys)")
KEY_HELP = Message("a key of the family's file, such as 'title=Own valves'; may be repeated")
DELETE_HELP = Message("allow a sheet of sizes, or of bench readings, to delete the sizes it does not list")
DRY_RUN_HELP = Message("say what would be written, and write nothing")

# Reading the sheets.
SHEETS_ARE_SMALL = Message("no import needs that")
SHEET_KINDS = Message(
    "a sheet needs the headings key and value, or size with kv, cv or capacity, or charge, or opening and share_of_kv, or "
    "part_number, or those of bench readings"
)
NO_ROWS = Message("the sheet has no rows below its header")
CELL_IS_DATE = Message("the cell is a date; format the column as text in the spreadsheet and enter the value again")
WHOLE_NUMBER = Message("it must be a whole number")
UNIT_MISSING = Message("{quantity} needs its unit, in the heading, such as '{example}', or in the cell")
COLUMN_TAKEN = Message("the column {heading} already gives {key}")
KEY_GIVEN = Message("line {line} of {file} already gives it")
NOT_A_KEY = Message("'{key}' has keys below it, such as {key}.{below}")
DIFFERS = Message(
    "{key} of {name} is {other} in line {line}; the rows of one {name_of} agree, or all but one are empty"
)
A_PORT_DESIGN = Message("port design")
A_CHARGE = Message("charge")
CELL_EMPTY = Message("the cell is empty; every row needs it")
LIKE_A_DATE = Message(
    "it looks like a date that a spreadsheet made of a size such as 5/8; format the column as text and enter the value again"
)
TAKES_NO_UNIT = Message("a column {name} takes no unit; give a column that is not to be read another name")
NO_COLUMN = Message("no column is called {names}")
NEAREST_UNREAD = Message("{text}; {heading} is not read, did you mean {name}?")
SIZE_TWICE = Message("{size} is the same size as {first} in line {line} of {file}; give each size once")
NUMBER_TAKEN = Message("part number {number} is that of another valve in line {line} of {file}")
SAME_VALVE = Message("the row is for the same valve as line {line} of {file}")
IN_LINES = Message("{text} (lines {lines})")
TO = Message("{first} to {last}")
OUT_OF_ORDER = Message(
    "{file}:{line}: size {size} with {flow} is out of order; sizes are put in order of flow, so check this value"
)
PAIR_NEEDED = Message("a point needs both temperature and pressure")

# What is missing.
NO_FAMILY = Message(
    "name the family with {--family}, or give the key 'family' in a sheet with the columns key and value"
)
TWO_FAMILIES = Message("the sheets are of the family {first}, not {second}")
STILL_NEEDED = Message(
    "it is still needed: {meaning} Give {key} in a sheet of keys and values, or with {--keys} KEY=VALUE"
)
STILL_NEEDED_BARE = Message("it is still needed; give {key} in a sheet of keys and values, or with {--keys} KEY=VALUE")
STILL_NEEDED_SHEET = Message("it is still needed: {meaning} Give it in a sheet of bulb charges")
KEY_AND_KEY = Message("{first} and {second}")
STILL_NEEDED_ROW = Message("it is still needed; give it in a column of the sheet, headed {headings}")
SET_OPTION = Message("{--keys}")
AGAIN = Message("import again")
NO_SIZES = Message("a new family needs a sheet of sizes")
NOT_THE_DEMO = Message("import writes into a catalogue of your own; start one with 'tablegen init'")
SIZES_DELETED = Plural(
    "the sheet does not list size {sizes}, so it would be deleted: a sheet must list the whole size range; add the row, or "
    "import with {--delete_sizes}",
    "the sheet does not list sizes {sizes}, so they would be deleted: a sheet must list the whole size range; add the rows, or "
    "import with {--delete_sizes}",
)
READINGS_DELETED = Plural(
    "the sheet replaces {file}, and has no rows of {sizes}, of which {count} reading would be deleted: add the new "
    "rows to {file}, or import with {--delete_sizes}",
    "the sheet replaces {file}, and has no rows of {sizes}, of which {count} readings would be deleted: add the new "
    "rows to {file}, or import with {--delete_sizes}",
)
MEASURED_REPLACED = Plural(
    "{file}: the sheets replace a measured value and its tolerance: {keys}; if the measurement is still valid, run "
    "'tablegen fit' with {--apply} again",
    "{file}: the sheets replace {count} measured values and their tolerances: {keys}; if the measurements are still valid, "
    "run 'tablegen fit' with {--apply} again",
)
NOT_A_CSV_LIST = Message("part numbers are added to a list in CSV only; enter them in {file}, or save it as CSV")
SET_RULE = Message("{--keys}: {value} is not allowed; it must be KEY=VALUE")

# What was taken for what.
KINDS: Mapping[str, Plural] = {
    "keys": Plural("{count} key", "{count} keys"),
    "sizes": Plural("{count} size", "{count} sizes"),
    "charges": Plural("{count} row of bulb charges", "{count} rows of bulb charges"),
    "characteristic": Plural("{count} point of the characteristic", "{count} points of the characteristic"),
    "part_numbers": Plural("{count} part number", "{count} part numbers"),
    "bench": Plural("{count} bench reading", "{count} bench readings"),
}
SHEET_TAKEN = Message("{file}: {what}")
SHEET_OF = Message("{file} ({sheet})")
POINT = Message("points: {key}")
COLUMN_READ = Message("  {heading} -> {key}, for example {example}")
COLUMN_EMPTY = Message("  {heading} -> {key}, no values in this column")
DECIMAL_COMMA = Message("  a comma in a number is its decimal sign")
NOT_READ = Message("  not read: {headings}")
DESIGN_MADE = Message("  the sizes {sizes} differ in {keys}: port design {design}")
NOTHING_CHANGES = Message("The files already say all that; nothing changes.")
WRITTEN = Plural("{count} file written: {files}", "{count} files written: {files}")
NOT_WRITTEN = Plural("{count} file would change: {files}", "{count} files would change: {files}")
OTHER_PROBLEMS = Message("the catalogue had other errors before; run 'tablegen check'")
FROM_SHEETS = Message("# From {files}.")
