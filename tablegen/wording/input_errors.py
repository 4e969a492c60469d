"""What is wrong with a value, an argument or a file that somebody gave."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

# Keep the order: what was read, what is allowed, the next action.
NOT_ALLOWED = Message("{value} is not allowed; {rule}")
NOT_ALLOWED_WITH_HINT = Message("{value} is not allowed; {rule} ({hint})")
UNKNOWN_NAME = Message("{name} is not allowed; {what} must be one of {known}")
NO_OPEN_FLOW = Message("a pulse-modulated valve needs the states at its open flow")
OTHER_OPEN_FLOW = Message("a state is at the open flow of another valve")
DID_YOU_MEAN = Message("did you mean {name}?")
NO_NAMES = Message("(none)")
AND_MORE = Message("{names}, ...")

# What a name may name, for UNKNOWN_NAME.
A_REFRIGERANT = Message("a refrigerant")
JOB_COLUMN_MISSING = Message("jobs: the column {column} is missing; each job needs refrigerant, sst and load")
A_REFRIGERANT_OR_GROUP = Message("a refrigerant or group")
IN_NO_GROUP = Message("{refrigerant} is in no group of this catalogue; a refrigerant or group must be one of {known}")
AN_APPLICATION = Message("an application")
A_UNIT_SYSTEM = Message("a unit system")
A_FAMILY = Message("a family")
A_SIZE = Message("a size of {family}")

# A number or a temperature in both systems, where no unit system has been chosen yet.
TEMPERATURE = Message("{fahrenheit} degF ({celsius} degC)")
TEMPERATURE_RANGE = Message("{from_fahrenheit} to {to_fahrenheit} degF ({from_celsius} to {to_celsius} degC)")
PAPER_LENGTH = Message("{inches} in ({millimeters} mm)")
TEMPERATURE_DIFFERENCE = Message("{fahrenheit} °F ({kelvin} K)")
GAUGE_PRESSURE = Message("{psi} psi_gauge ({kilopascal} kPa_gauge)")

# The property library and what it is given.
OF_REFRIGERANT = Message("{refrigerant}: {text}")
MISSING_PAIRS = Plural(
    "the property library has no parameters for the pair {pairs}",
    "the property library has no parameters for the pairs {pairs}",
)
INCOMPLETE_PAIR = Message(
    "the property library has no parameters for the pair {pair}, so beta_t and gamma_t must both be given (beta_v and "
    "gamma_v may be left to the linear rule)"
)
CRITICAL_TEMPERATURE = Message("{refrigerant}: critical temperature: {text}")
CRITICAL_PRESSURE = Message("{refrigerant}: critical pressure: {text}")
NO_CRITICAL_POINT = Message("no stable critical point found")
TABLES_BEGIN = Message("tables begin at {temperature}; the critical temperature must be well above it")
NOT_THE_LIBRARYS_TEMPERATURE = Message("it must be within {kelvin} K of the property library's {temperature}")
NOT_THE_LIBRARYS_PRESSURE = Message("it must be within 1 percent of the property library's {kilopascal} kPa absolute")
CRITICAL_TOO_LOW = Message(
    "at {kelvin} K below it, liquid would be {ratio} times as dense as vapor; 2.1 to 2.4 times is normal, so the "
    "value seems too low"
)
CRITICAL_TOO_HIGH = Message(
    "at {kelvin} K below it, liquid would be {ratio} times as dense as vapor; 2.1 to 2.4 times is normal, so the "
    "value seems too high"
)
EXTRAPOLATED_PRESSURE = Message(
    "the saturation curve reaches about {kilopascal} kPa absolute at the critical temperature of {temperature}, so "
    "the value seems wrong"
)
NO_STATE = Message("the property library gives no state at {temperature} and {kilopascal} kPa absolute")
NO_FINITE_STATE = Message("the property library gives no finite state at {temperature}")
NO_BUBBLE_STATE = Message("the property library gives no bubble state at {temperature}")
NO_DEW_STATE = Message("the property library gives no dew state at {temperature}")
SEEMS_TOO_HIGH = Message("{text}, so the value seems too high")
LIBRARY_REFUSES = Message("the property library refuses it: {error}")

# Curves and settings of a valve.
CHARGE_POINTS = Message("at least two points, ascending in temperature and in pressure")
CURVE_POINTS = Message("at least two points, ascending in x, and in y ascending or descending throughout")
SETTING_OFF_CURVE = Message("the charge curve does not reach the bulb temperature of the setting")
SETTING_FORCES = Message(
    "the setting gives a spring pressure of {spring} kPa and a spring gradient of {gradient} kPa; both must be positive"
)
MOP_OFF_CURVE = Message("the maximum operating pressure is outside the charge curve")
BALANCE_NEEDS_DIFFERENCE = Message(
    "the balanced suction response needs the difference between box and evaporating temperature at the rating point"
)


# What was asked for.
OF_ARGUMENT = Message("{argument}: {problem}")
ABOVE_ZERO = Message("{argument}: {value} is not allowed; it must be above zero")
OUT_OF_BOUNDS = Message("{argument}: {value} is not allowed; it must be at least {minimum} and at most {maximum}")
IT = Message("it")
IS_MISSING = Message("it is missing")
ONE_OF_TWO = Message("give either {first} or {second}")


FILE_MISSING = Message("the file does not exist")
NOT_A_FILE = Message("it is a folder, a pipe or a device")
FILE_UNREADABLE = Message("the file cannot be read: {reason}")
FILE_TOO_LARGE = Message("the file is larger than {size}; {rule}")
UTF_16 = Message("the file cannot be read: it is UTF-16; save it as {kind} in UTF-8")
NOT_UTF_8 = Message("the file cannot be read: a character is not UTF-8; save it as {kind} in UTF-8")
CSV_NOT_UTF_8 = Message(
    "the file cannot be read: a character is not UTF-8; in your spreadsheet program, save it as 'CSV UTF-8'"
)
CSV_DAMAGED = Message(
    "the file cannot be read: it is damaged UTF-16; in your spreadsheet program, save it as 'CSV UTF-8'"
)
NUL_BYTE = Message("the file cannot be read: it contains a NUL byte here, so it is not text")

CONFIGS_ARE_SMALL = Message("no config file needs that")
PART_NUMBER_LISTS_ARE_SMALL = Message("no list of part numbers needs that")
LOGOS_ARE_SMALL = Message("no logo needs that")
SIZE_LISTS_ARE_SMALL = Message("no list of sizes needs that")

# Folders of configs.
FILE_IS_JSON = Message("the file is not read; rename it to {name}.yaml, written as YAML")
FILE_MISNAMED = Message("the file is not read; rename it to {name}.yaml")
FILE_STRAY = Message(
    "the file is not read; config files end in .yaml; besides them only notes (.md, .txt) and .csv files belong here"
)
FOLDER_IN_FOLDER = Message("a folder in here is not read; move its .yaml files up, or the folder elsewhere")
FOLDER_NOT_READ = Message("the folder is not read (did you mean {meant}?)")
FOLDER_OLD_AND_NEW = Message("the folder is not read; move its files into {new} and delete it")
FOLDER_RENAMED = Message("the folder is not read; its name is now {new}; 'tablegen upgrade' renames it")
DEAD_LINK = Message("the folder cannot be read: it is a link, and its target does not exist")
NOT_A_FOLDER = Message("a file is not allowed here; it must be a folder of config files")
FOLDER_UNREADABLE = Message("the folder cannot be read: {reason}")

# YAML.
CONTROL_CHARACTER = Message("the character {character} in column {column} is not allowed in YAML; delete it")
NO_ANCHORS = Message("anchors (&), aliases (*) and tags (!) are not used here")
TOO_MANY_PARTS = Message("more than {count} keys and values; no config file needs that")
NESTED_TOO_DEEP = Message("lists and mappings are nested more than {count} deep")
NO_KEYS = Message("the file must contain keys and values, such as 'title: ...'")
INVALID_YAML = Message("it is not valid YAML")
MUST_BE_YAML = Message("{problem}; the file must be YAML 1.2")
NOT_YAML = Message("the file is not YAML 1.2: {reason}")
NUMBER_TOO_LONG = Message("a number of {count} characters; no config file needs that")
NO_NUMBER = Message("it is not a number; write it in quotes")
KEY_IS_NO_NAME = Message("a key must be a name, not a list or a mapping")
DUPLICATE_KEY = Message("the key {name} is given twice, first in line {line}; give each key once")

# Spreadsheets.
NOT_A_SHEET = Message("{suffix} is not allowed; must be .csv or .xlsx")
NO_SUFFIX = Message("no suffix")
TOO_MANY_ROWS = Message("more than {count} rows; {rule}")
NOT_CSV = Message("the line is not CSV: {reason}")
WINDOWS_TEXT = Message(
    "{file}: the file is not UTF-8, so it was read as Windows-1252; check accents and special characters"
)
NO_SHEET_WITH_HEADINGS = Message("no sheet has the required headings; sheets read: {sheets}")
WORKBOOK_DAMAGED = Message("the file cannot be read: the workbook is damaged; save it again, or as CSV")
WORKBOOK_TOO_LARGE = Message("the workbook has too many cells, styles or other parts; {rule}")
WORKBOOK_PACKED = Message(
    "the workbook unpacks to more than {most} times its size, which no list does; save it again in your spreadsheet program, "
    "or as CSV"
)
FORMULA_WITHOUT_VALUE = Plural(
    "cell {cell} of sheet {sheet} has a formula without a stored value; open the workbook in your spreadsheet program "
    "and save it",
    "cell {cell} of sheet {sheet} and others ({count} in all) have a formula without a stored value; open the workbook "
    "in your spreadsheet program and save it",
)
COLUMN_TAKEN = Message("the column {heading} already gives {key}; keep one of the two, or name the other differently")
COLUMN_MISSING = Message("the column is missing; it is required")
COLUMN_RENAMED = Message("the column is now called {new}; 'tablegen upgrade' renames it in a CSV list")
A_COLUMN = Message("a column")
A_COLUMN_UNKNOWN = Message("{heading} is the heading of no column that is read")
HEADER = Message("header")

# Lists of part numbers.
NUMBER_TAKEN = Message("part number {number} is that of another valve in line {line}")
SAME_VALVE = Message("the row is for the same valve as line {line}")
CAPILLARY_TWICE = Message("the column capillary already gives the length")
PART_NUMBER_RULE = Message("must be 1 to {most} printable characters")
THE_CATALOGUE = Message("the catalogue")
A_CHARGE = Message("a charge of {family}")
AN_EQUALIZER = Message("equalizer")
CONNECTIONS_OF = Message("the connections of {family}")
OFFERED_LENGTHS = Message("must be a length that is offered: {lengths}")

# Lists of sizes, and the folder that they go to.
SIZE_COLUMNS = Message("the first row must name 'size' and one of 'kv_m3h' and 'cv_us_gal_min'; it has {header}")
NOTHING = Message("nothing")
SIZE = Message("size {size}")
FLOW = Message("flow coefficient {value}")
SIZES = Plural("{count} size", "{count} sizes")
GIVEN_TWICE = Message("line {line} already gives it")
MUST_BE_NUMBER = Message("must be a number")
NUMBER_WITH_POINT = Message("must be a number with a decimal point, or with a comma in a file with semicolons")
NOT_EMPTY = Message("{folder}: not written, because it exists and is not empty; name a new folder")
NOT_WRITTEN = Message("{folder}: cannot be written: {reason}")


NOT_FINITE = Message("{value} cannot be printed; a printed number must be finite")
FIGURES = Message("{count} significant figures are not allowed; must be 1 to {most}")
DECIMALS = Message("{count} decimals are not allowed; must be 0 or more")
NO_BOUND = Message("{value} is not a bound; it must be positive")

NO_GLYPH = Message("{text} cannot be printed: face {face} has no glyph for {characters}")
TOO_LONG = Message("{text} is too long for {lines} lines of {width} pt at {size} pt")
NOT_EMBEDDED = Message("font {font} is not embedded; set every text in {faces}")
NO_HEADING = Message("{title}: the story has contents but no heading")
NO_CHAPTER = Message("heading {heading} of level 2 comes before any of level 1")
NO_PAGE = Message("{title}: a part does not fit on any page: {reason}")
NO_ALT = Message("a figure on a tagged page needs a description (alt)")

TABLE_TYPE = Message("a table needs type of {size} pt or more")
TABLE_CELLS = Plural("a table needs {count} cell in every row", "a table needs {count} cells in every row")
TABLE_WIDTH = Message("a table of {columns} columns needs {need} pt of {width} pt")
INCHES = Message("{inches} in ({centimeters} cm)")
COLUMNS_WIDTH = Message(
    "the columns chosen are {need} wide, and the paper has space for {width}: choose fewer, or write CSV"
)
WINDOW_TABLE_EMPTY = Message("table {label} needs at least one size and one row")
WINDOW_TABLE_NOTES = Message("a table has {sizes} sizes but {notes} notes to them")
WINDOW_TABLE_CELLS = Message("row {row} of a table has {cells} cells, not {sizes}")
WINDOW_TABLE_WIDTH = Message(
    "a table of {sizes} sizes does not fit {width} pt at {size} pt type; the widest cell is {cell} (row {row}, size "
    "{name})"
)
MAP_EMPTY = Message("a selection map needs a row whose load a size covers")
MAP_SIZE = Message("size {size} is too long for a selection map of {columns} columns")

FIGURE_TYPE = Message("text {text} is {size} pt; must be {least} pt or more")
FIGURE_HATCH = Message("hatch {hatch} is not allowed; use the letters {letters}")
