"""What the command line says beside its answers: options, catalogues, output files, processes and the cache."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

DESCRIPTION = Message("Load windows of refrigerant expansion valves with floating head pressure.")
EPILOG = Message(
    "Exit codes: 0 done; 1 the answer is no, or something was found (see each command); 2 bad input (one line for each "
    "error) or output that cannot be written; 70 unexpected error (a report is written, please send it); 130 "
    "interrupted; 143 terminated by the system."
)
NOTE = Message("note: {text}")
INTERRUPTED = Message("interrupted; the last complete output is untouched")
REWRITE_INTERRUPTED = Message(
    "interrupted; some of the catalogue's files may be changed and others not: run {command} again to finish"
)
NO_WORKING_FOLDER = Message("the folder in which the command runs does not exist any more; change to another")
STANDARD_OUTPUT = Message("standard output: cannot be written: {reason}")


SST = Message("saturated suction temperature (dew), such as '24 degF'")
APPLICATION = Message("an application of the catalogue (default: the only one that covers the suction temperature)")
SET = Message("change a key of the application for this case, such as losses.lift='20 ft'; repeatable")
REFRIGERANT_OR_GROUP = Message("one refrigerant, or a group of the catalogue")
SITE_PRESSURE = Message("atmospheric pressure at the gauges, such as '14.7 psia' (default: {default})")
OF_THE_FILE = Message("the one in the file")
CATALOGUE_UNITS = Message("the catalogue's")

CATALOGUE = Message("catalogue file, or the folder that contains catalogue.yaml (default: {default})")
DEMO = Message("use the demo catalogue that comes with the package")
CONFIGS = Message("folder that contains your own 'refrigerants' folder (default: configs, if it exists)")
CATALOGUE_IS_YAML = Message(
    "a catalogue is a YAML file; a stock sheet goes with {--stock}, a list of jobs with {--jobs}"
)
NOT_TEXT = Message(
    "argument {argument}: a byte is no character in the encoding of this system; rename the file or folder"
)
NEEDS_A_VALUE = Message("argument {option}: expected one argument")
UNRECOGNIZED = Message("unrecognized arguments: {arguments}")
USE_QUOTES = Message("unrecognized arguments: {arguments}; use quotes: '{text}'")
NO_CATALOGUE = Message(
    "the file does not exist; start a catalogue with 'tablegen init DIR', or try 'tablegen build --demo'"
)
NO_REFRIGERANTS = Message("{--configs}: {folder} contains no folder 'refrigerants'")


INIT_HELP = Message("start a catalogue: copy the demo's config files with comments")
INIT_EPILOG = Message("Example: tablegen init my-counter --for wholesaler")
INIT_FOLDER_HELP = Message("a new or empty folder")
INIT_SIZES_HELP = Message("CSV or XLSX with the columns 'size' and 'kv_m3h' (or 'cv_us_gal_min')")
INIT_WITHOUT_HELP = Message("without the demo's valve families, to import your own")
INIT_FOR_HELP = Message("start with what a wholesaler, a manufacturer of valves or a school needs, and nothing else")
INIT_FOR_ALONE = Message(
    "--for: not with --sizes or --without-valves; edit the files that it writes, or import families"
)
INIT_SIZES_NEED_VALVES = Message("--sizes: not with --without-valves; give sizes to 'tablegen import' instead")
INIT_DONE_WITHOUT = Message("{folder}: read your families with 'tablegen import FILES --catalogue {file}'")
INIT_DONE_FOR = Message(
    "{folder}: edit {first} first, then what catalogue.yaml lists, then run 'tablegen build --catalogue {file}'"
)
INIT_SIZES_ARE_IN = Message(
    "{folder}: the sizes are in families/{family}.yaml, which has the demo's other values; the families {others} are the demo's "
    "too: edit them, or delete their files and their names in catalogue.yaml"
)
INIT_DONE = Message("{folder}: edit the files, then run 'tablegen build --catalogue {file}'")

CHECK_HELP = Message("check the config files and report every error")
CHECK_EPILOG = Message(
    "Exit codes: 0 no errors, 2 errors (one line for each). Example: tablegen check --catalogue my-valves/catalogue.yaml"
)
CHECK_DONE = Message("{file}: no errors; {families} with {sizes}, {refrigerants} in {groups}, {applications}, {tables}")
# What a sound catalogue has, in the order of that line.
COUNTS: Mapping[str, Plural] = {
    "families": Plural("{count} family", "{count} families"),
    "sizes": Plural("{count} size", "{count} sizes"),
    "refrigerants": Plural("{count} refrigerant", "{count} refrigerants"),
    "groups": Plural("{count} group", "{count} groups"),
    "applications": Plural("{count} application", "{count} applications"),
    "tables": Plural("{count} table", "{count} tables"),
}
NO_CHARGE = Message(
    "{family}, {group}, {application}: the family has no bulb charge for it, so every window is empty; leave it out "
    "with a rule under leave_out"
)

BUILD_HELP = Message("compute a catalogue's data set and print its publications")
BUILD_EPILOG = Message(
    "Exit codes: 0 everything written, 2 bad input, or a publication that could not be printed. Example: tablegen build "
    "--catalogue my-valves/catalogue.yaml --since releases/A"
)
BUILD_OUTPUT_HELP = Message("output folder; each catalogue gets a folder of its own in it (default: output)")
BUILD_SINCE_HELP = Message("output folder of an earlier release, to print what changed since")
BUILD_ONLY_HELP = Message(
    "documents to make, separated by commas: files without their endings (booklet, booklet-letter-si, counter, ...), "
    "windows, lookup, or database for tables.sqlite; any other document stays if what it shows has not changed, and is "
    "removed if it has"
)
BUILD_REBUILD_HELP = Message("make everything again, changed or not")
BUILD_WORKERS_HELP = Message("processes that share the work, with the same result (default: one for each processor)")
BUILT = Plural(
    "{folder}: {count} window of a single refrigerant ({open_windows} open), data {fingerprint}",
    "{folder}: {count} windows of single refrigerants ({open_windows} open), data {fingerprint}",
)
UNCHANGED_PAGES = Plural("{file}: {count} page, unchanged", "{file}: {count} pages, unchanged")
OUT_OF_DATE = Message("removed, because what they show has changed: {names}; build without --only makes them again")
STAYED = Message("not named in --only and showing the same figures, so left as before: {names}")
NOT_MADE = Message("not named in --only, so not made: {names}")
A_DOCUMENT = Message("a document")
PRINTING = Message("printing {documents}")
LOOKUP = Message("{file}: page for a phone, works offline")
WORKBOOK = Message("{file}: workbook, its first sheet finds a size")
WORKBOOKS = Message("{file}: links to a workbook for each application, whose first sheet finds a size")
WORKBOOK_TOO_LARGE = Message(
    "the workbook for {application} would have {rows} rows in one table, more than the {most} that a spreadsheet program opens "
    "quickly enough; split the catalogue into several, each with fewer families. windows.csv and tables.sqlite have all rows"
)
NOT_PRINTED = Message("{name}: not printed, but the data set and the other publications were written: {reason}")


NOT_ALLOWED = Message("{option}: {name} is not allowed; {reason}")
NO_NAME = Message("it names no file")
IS_FOLDER = Message("it is a folder; name a file that ends in {endings}")
WRONG_ENDING = Message("the file must end in {endings}")
NO_FOLDER = Message("the folder {folder} does not exist")
CANNOT_WRITE = Message("{option}: {error}")
PAGES = Plural("{file}: {count} page", "{file}: {count} pages")
ROWS = Plural("{file}: {count} row", "{file}: {count} rows")
WRITTEN = Message("{file}: written")
PNG_LIBRARY_MISSING = Message("writing a PNG needs pypdfium2 (pip install 'tablegen[png]'); .svg and .pdf do not")

UNITS_HELP = Message("units of the answer (default: {default})")
JSON_HELP = Message("the whole answer as JSON, in SI")
CSV_HELP = Message("also write FILE.csv, in SI: {rows}")
OUTPUT_HELP = Message("also write the answer to FILE: .pdf, .html, .txt or .json")
PAPER_HELP = Message("paper of a PDF (default: A4 with SI units, else letter)")


WORKERS = Message("{option}: {text} is not allowed; it must be a whole number from 1 to {maximum}")
PART_ENDED = Message(
    "a process that computed a part ended early (was it killed, or did memory run out?); build again, with fewer "
    "workers if needed: finished parts are cached"
)
PRINT_ENDED = Message(
    "a process that printed a publication ended early (was it killed, or did memory run out?); build again, with "
    "fewer workers if needed"
)
PART = Message("part")

CRASH_WITH_REPORT = Message(
    "unexpected error in tablegen: {error}: {message}; please send the report {file} to the maintainers of tablegen"
)
CRASH = Message("unexpected error in tablegen: {error}: {message}; no report of it could be written")


IS_AN_INPUT = Message("{place}: cannot be written: this command reads it; name another file")
IS_A_FOLDER = Message("{place}: cannot be written: it is a folder; name a file")
NO_FOLDER_TO_WRITE_TO = Message("{place}: cannot be written: the folder {folder} does not exist")
IS_READ_ONLY = Message("it is read-only")
NOT_WRITTEN = Message("{place}: cannot be written: {reason}; nothing was replaced")
PARTLY_WRITTEN = Message(
    "{place}: cannot be written: {reason}; already written: {files}; run the command again to finish"
)
IS_A_LINK = Message("{place}: not replaced, because it is a link; name the folder it points to")
NOT_OURS = Message("{place}: not replaced, because it contains no {mark}, so it is not an output of this program")
BEING_WRITTEN = Message("{place}: another build is writing there; wait for it to end")

TABLES_NOT_CACHED = Message(
    "property tables cannot be cached in {folder}: {reason}; they are computed again in every run"
)
WINDOWS_NOT_CACHED = Message(
    "load windows cannot be cached in {folder}: {reason}; they are computed again in every run"
)
CACHE_OF_ANOTHER_USER = Message(
    "the cache is not used: {folder} belongs to another user (ID {owner}), who could change your figures; delete what is "
    "cached there and run 'chown {user} {folder}', or set TABLEGEN_CACHE to a folder of your own"
)
CACHE_OPEN_TO_OTHERS = Message(
    "the cache is not used: other users may write to {folder} and could change your figures; delete what is cached there "
    "and run 'chmod go-w {folder}', or set TABLEGEN_CACHE to a folder of your own"
)
CACHE_IN_NO_FOLDER = Message(
    "the cache is not used: {path} is not a folder; set TABLEGEN_CACHE to a folder of your own"
)
CATALOGUE_NOT_CACHED = Message("catalogues cannot be cached in {folder}: {reason}; they are read again in every run")
CONFIGS_NOT_CACHED = Message(
    "parsed config files cannot be cached in {folder}: {reason}; they are parsed again in every run"
)


WARNING = Message("{place}: {warning}")
HIGH_HEAD_NOT_ABOVE = Message(
    "the high head ({high} kPa absolute) is not above the head pressure of the rating point ({rating} kPa absolute)"
)
NARROW_GROUP = Message("at its narrowest, the group's window is {share} as wide as the median window of its members")
GROUP_COSTS_MAXIMUM = Message(
    "sharing one table costs {refrigerant} up to {share} percent of the maximum load that it has by itself ({application})"
)
GROUP_RAISES_MINIMUM = Message(
    "sharing one table raises the minimum load of {refrigerant} by up to {share} percent ({application})"
)
PORT_SWING = Message(
    "superheat at mid-window changes by {swing} from low to high head, and the unbalanced port alone changes it by {port}: "
    "more than {share} percent of the {span} between minimum stable and maximum superheat, which narrows the load windows"
)
NEAR_BOX = Message(
    "maximum superheat {superheat} is {share} percent of the temperature difference between box and SST, {difference}: "
    "no usual coil warms vapor so near to the box temperature (65 percent is common practice, 80 percent the most), so "
    "the maximum loads are too large"
)
COLD_LIQUID = Message(
    "{at_condition} the liquid enters the valve at {liquid}, but the evaporator is at up to {evaporator}: only a subcooler on "
    "a colder system makes liquid colder than the evaporator; check liquid_temperature and sst_range"
)
NOT_IN_STOCK = Message("left out of {publication}: no size is in stock with the right charge")
NOTHING_IN_STOCK = Message("{publication} is left out: no size is in stock with the right charge")
EMPTY_WINDOWS = Plural("{count} empty window, because {reason}", "{count} empty windows, because {reason}")

NO_SATURATION = Message(
    "{refrigerant}: no saturation state can be computed between these temperatures, only from {coldest} to {warmest} "
    "(critical point {critical})"
)
NO_PREFERRED_NUMBERS = Message("there are no preferred numbers from {minimum} to {maximum}")
