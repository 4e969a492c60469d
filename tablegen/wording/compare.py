"""Two releases beside each other, and what is wrong with a release on disk."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

# A release on disk.
NO_RELEASE = Message("{folder}: no release to compare with: {reason}")
NO_INPUTS = Message("its manifest.json contains no inputs")
NO_FOLDER = Message("there is no such folder")
NO_MANIFEST = Message("the folder has no manifest.json")
IN_SUBFOLDER = Plural(
    "the folder has no manifest.json; its subfolder {folders} is a release, give that",
    "the folder has no manifest.json; its subfolders {folders} are releases, give one of them",
)
MISSING_KEY = Message("its manifest.json has no {key}")
UNREADABLE_FILE = Message("{file} cannot be read: {reason}")
NO_COLUMN = Message("{file}: no release to compare with: it has no column {column}")
COLUMN_TWICE = Message("{file}: no release to compare with: it has more than one column {column}")
NOT_UTF_8 = Message("a character is not UTF-8, so a build did not write the file")
NOT_JSON = Message("the file is not JSON: {reason}")
KEY_TWICE = Message("the key {key} is there more than once")
TOO_DEEP = Message("lists and keys are nested deeper than a build writes them")
TOO_LARGE_A_NUMBER = Message("a number is larger than any that a build writes")
HALF_A_CHARACTER = Message("the text {value} contains an incomplete character")
NOT_CSV = Message("the line is not CSV: {reason}")
OTHER_COUNT = Plural(
    "the row has {count} value, the heading has {columns} columns",
    "the row has {count} values, the heading has {columns} columns",
)
MUST_BE_A_NAME = Message("must be a name")
MUST_BE_A_NUMBER = Message("must be a number above 0 [{unit}]")
MUST_BE_BELOW = Message("must be below the maximum load, {limit}")
ONE_LIMIT = Message("is missing, but the window has the other limit")
WINDOW_TWICE = Message("the window is the same as in line {line}")
NO_WINDOWS = Message("the file has no windows")
CANNOT_BE_READ = Message("{file}: cannot be read: {reason}")
ALTERED = Message("{file}: changed since it was written; build that release again")
OTHER_LAYOUT = Message("{folder}: its manifest.json has another layout: {key} is missing")
NO_CONFIGS = Message("{folder}: the release has no {file} with its config files; give them with {option}")
OTHER_CONFIGS = Message("{configs}: {file} is not the file that the release {folder} was built from")
CONFIGS_DAMAGED = Message("{file}: cannot be read as the config files of a release; build that release again")
CONFIGS_NOT_USED = Message(
    "{folder}: this version of the program cannot use the config files of that release: {reason}"
)
OTHER_CATALOGUE = Message("{folder}: a release of the catalogue {found}, not of {wanted}")
SAME_REVISION = Plural(
    "{folder}: that release also has revision {revision}, but {count} window differs; give this release a new "
    "'revision', with an entry under 'revisions' in catalogue.yaml",
    "{folder}: that release also has revision {revision}, but {count} windows differ; give this release a new "
    "'revision', with an entry under 'revisions' in catalogue.yaml",
)

# The answer.
HEADING = Message("Two releases compared")
SUBJECT = Message("Windows that differ between two releases")
COUNTED = Plural(
    "Of {count} window {changed} changed and {added} were added; {removed} of the earlier release were removed.",
    "Of {count} windows {changed} changed and {added} were added; {removed} of the earlier release were removed.",
)
EARLIER = Message("Earlier")
NEWER = Message("Newer")
RELEASE = Message("{catalogue}, revision {revision} of {date} (data {fingerprint})")

TABLE = Message("Table")
TABLE_NAME = Message("{family}, {group}, {application}")
WINDOWS = Message("Windows")
CHANGED = Message("Changed")
ADDED = Message("Added")
REMOVED = Message("Removed")
MIN_CHANGE = Message("Minimum load changed by")
MAX_CHANGE = Message("Maximum load changed by")

INPUTS = Message("Inputs that differ and affect what changed, in SI")
INPUT = Message("Input")
WAS = Message("Was")
IS = Message("Is")
MISSING = Message("(not given)")
NONE = Message("none")
YES = Message("yes")
NO = Message("no")
VALUES = Plural("{count} value", "{count} values")
ANOTHER = Message("another")

CHANGES = Message("Values of config files that differ and may affect limits, as written")
FILE = Message("File")
KEY = Message("Key")
FILE_KEY = Message("{file}: {key}")
WHOLE_FILE = Message("(the file)")
GIVEN = Message("(given)")
CAUSES = Message("Each change alone, made to the earlier release")
ALONE = Message("Change")
SUM = Message("Sum of the changes alone")
TOGETHER = Message("All together")
LEFT = Message("Left over")
PROGRAM = Message("Another version of the program or of its refrigerants")
SEVERAL = Plural("{first} and {count} change in all", "{first} and others, {count} changes together")
HOW_ALONE = Message(
    "Each change was made alone to the config files of the earlier release, and the tables that it affects were computed."
)
HOW_LEFT = Message(
    "Sum and rest are of windows that are open in every case. Left over: what all changes did together, less the sum of "
    "what each does alone; that is their effect on one another."
)
NO_CAUSE = Message("No value of the config files that may affect limits differs.")
NOT_ALONE = Message(
    "These changes alone give no catalogue that can be used, so their share is in what is left over: {changes}."
)

LARGEST = Message("Windows that changed most, in {load}, SST in {temperature}")
SST = Message("SST")
SIZE = Message("Size")
MIN = Message("Min")
MAX = Message("Max")
NEW_WINDOW = Message("new")
REMOVED_WINDOW = Message("removed")
MORE = Plural(
    "{count} more window is listed in the CSV and JSON output.",
    "{count} more windows are listed in the CSV and JSON output.",
)

OTHER_CATALOGUES = Message("The releases are of different catalogues; windows are matched by their names.")
OTHER_LAYOUTS = Message("The manifests are of layouts {earlier} and {newer}: some inputs may differ only in name.")
FILES = Message("Config files with another hash: {files}.")
FILE_CHANGES: Mapping[str, Message] = {
    "differs": Message("{file}"),
    "new": Message("{file} (new)"),
    "removed": Message("{file} (removed)"),
}
NO_INPUT_DIFFERS = Message("No recorded input differs.")
UNEXPLAINED = Plural(
    "{count} window differs although no recorded input that affects it differs: the program itself may have changed.",
    "{count} windows differ although no recorded input that affects them differs: the program itself may have changed.",
)
VERSIONS = Message("Library versions differ. Any window may be affected; most new versions change none.")

# The command.
HELP = Message("compare two releases window by window, or an old table of limits with a catalogue")
DESCRIPTION = Message(
    "Compare the windows of two output folders of 'tablegen build', also of older versions: what changed, by how "
    "much, what was added or removed, and which inputs differ and affect it. Or compare a table of limits from elsewhere "
    "(CSV or XLSX) with a catalogue: differences, what they go with, and which assumption would explain them."
)
EPILOG = Message(
    "Exit codes: 0 no window differs (of a table: no limit by more than 1 percent, and no row without a counterpart), 1 "
    "some do, 2 bad input.  Examples: tablegen compare releases/A output/demo --output changes.pdf --csv changes.csv; "
    "tablegen compare old.xlsx --mapping old.yaml --demo"
)
OLD_HELP = Message("output folder of the earlier release, or a table of limits (.csv, .xlsx) and no NEW")
NEW_HELP = Message("output folder of the newer release")
MAPPING_HELP = Message(
    "YAML file that says which columns of the table are what, and how its names map to the catalogue's"
)
UNITS_OF_NEW = Message("those of NEW, or of the catalogue")
CSV_ROWS = Message("a row for every window that differs, or for every row of the table that is compared")
CAUSES_HELP = Message("also compute each change of the config files alone, and print its share by table")
OLD_CONFIGS_HELP = Message("catalogue file of OLD or its folder, where OLD has no configs.zip; for --causes")
NEW_CONFIGS_HELP = Message("catalogue file of NEW or its folder, where NEW has no configs.zip; for --causes")
CONFIGS_WITHOUT_CAUSES = Message("{option}: only {--causes} takes config files")
ONLY_WITH_RELEASES = Message("{option}: only a comparison of two releases takes it; name the newer one, too")
NO_DATE = Message("{folder}: its manifest.json has no date of the release: {date}")
