"""Files that cannot be read: configs, lists of sizes and articles, folders; what is wrong and what to do."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

FILE_MISSING = Message("the file does not exist")
NOT_A_FILE = Message("the file cannot be read: it is a folder or a device")
FILE_UNREADABLE = Message("the file cannot be read: {reason}")
FILE_TOO_LARGE = Message("the file is larger than {size}; {rule}")
UTF_16 = Message("the file cannot be read: it is UTF-16; save it as {kind} in UTF-8")
NOT_UTF_8 = Message("the file cannot be read: a character is not UTF-8; save it as {kind} in UTF-8")
NUL_BYTE = Message("the file cannot be read: it contains a NUL byte here, so it is not text")

CONFIGS_ARE_SMALL = Message("no config file needs that")
ARTICLE_LISTS_ARE_SMALL = Message("no list of articles needs that")
SIZE_LISTS_ARE_SMALL = Message("no list of sizes needs that")

# Folders of configs.
FILE_IS_JSON = Message("the file is not read; rename it to {name}.yaml, written as YAML")
FILE_MISNAMED = Message("the file is not read; rename it to {name}.yaml")
FILE_STRAY = Message(
    "the file is not read; config files end in .yaml; besides them only notes (.md, .txt) and .csv files belong here"
)
FOLDER_IN_FOLDER = Message("a folder in here is not read; move its .yaml files up, or the folder elsewhere")
FOLDER_NOT_READ = Message("the folder is not read (did you mean {meant}?)")
FOLDER_RENAMED = Message("the folder is not read; its name is now {new}")
DEAD_LINK = Message("the folder cannot be read: it is a link, and its target does not exist")
NOT_A_FOLDER = Message("a file is not allowed here; it must be a folder of config files")
FOLDER_UNREADABLE = Message("the folder cannot be read: {reason}")

# YAML.
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
DUPLICATE_KEY = Message("found duplicate key {name}; give each key once")

# Spreadsheets.
NOT_A_SHEET = Message("{suffix} is not allowed; must be .csv or .xlsx")
NO_SUFFIX = Message("no suffix")
TOO_MANY_ROWS = Message("more than {count} rows; {rule}")
NOT_CSV = Message("the line is not CSV: {reason}")
WORKBOOK_DAMAGED = Message("the file cannot be read: the workbook is damaged; save it again, or as CSV")
WORKBOOK_TOO_LARGE = Message("the file unpacks to more than {size}; {rule}")
COLUMN_TWICE = Message("the column appears twice")
COLUMN_MISSING = Message("the column is missing; it is required")
A_COLUMN = Message("a column")
HEADER = Message("header")

# Lists of articles.
SAME_ARTICLE = Message("the row is for the same valve as line {line}")
CAPILLARY_TWICE = Message("the column capillary gives the length already")
ARTICLE_NUMBER = Message("must be 1 to {most} printable characters")
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
GIVEN_TWICE = Message("line {line} gives it already")
MUST_BE_NUMBER = Message("must be a number")
NOT_EMPTY = Message("{folder}: not written, because it exists and is not empty; name a new folder")
NOT_WRITTEN = Message("{folder}: cannot be written: {reason}")
