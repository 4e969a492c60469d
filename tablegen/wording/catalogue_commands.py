"""The commands of a catalogue: init, check and build."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

INIT_HELP = Message("copy the commented demo configs, to start a catalogue from")
INIT_FOLDER_HELP = Message("a new or empty folder")
INIT_SIZES_HELP = Message("CSV or XLSX with the columns 'size' and 'kv_m3h' (or 'cv_us_gal_min')")
INIT_DONE = Message("{folder}: edit the files, then run 'tablegen build --catalogue {file}'")

CHECK_HELP = Message("read the configs and report every error in them")
CHECK_DONE = Message(
    "{file}: no errors; {families} families with {sizes} sizes, {refrigerants} refrigerants in {groups} groups, "
    "{applications} applications, {tables} tables"
)
NO_CHARGE = Message(
    "{family}, {group}, {application}: the family has no bulb charge for it, so every window is empty; leave it out "
    "with a rule under leave_out"
)

BUILD_HELP = Message("compute a catalogue's data set and print its publications")
BUILD_OUTPUT_HELP = Message("folder that contains one folder for each catalogue (default: output)")
BUILD_SINCE_HELP = Message("output folder of an earlier release, to print what changed since")
BUILD_WORKERS_HELP = Message("processes that share the work, with the same result (default: one for each processor)")
BUILT = Plural(
    "{folder}: {count} window ({open_windows} open), data {fingerprint}",
    "{folder}: {count} windows ({open_windows} open), data {fingerprint}",
)
PAGES = Plural("{file}: {count} page", "{file}: {count} pages")
LOOKUP = Message("{file}: for a phone, without a network")
NOT_PRINTED = Message("{name}: not printed, but the data set and the other publications were written: {reason}")
