"""The config files of an older catalogue updated to the current format."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

HELP = Message("update a catalogue's config files to the current format")
EPILOG = Message(
    "Renames keys, values, folders and columns that have new names, and writes the format number into catalogue.yaml; comments and "
    "line order stay. Keep a copy of your files first. Exit codes: 0 the catalogue can be used, 1 it still has problems, which are listed, 2 bad "
    "input. Example: tablegen upgrade --catalogue my-valves --dry-run"
)

NOT_THE_DEMO = Message("upgrade changes a catalogue of your own; name it with {--catalogue}")
AGAIN = Message("upgrade again")
OTHER_RUN = Message(
    "{file}: another upgrade is changing the files of this catalogue; run upgrade again when it has ended"
)
KEY = Message("{file}:{line}: {key} -> {now}")
VALUE = Message("{file}:{line}: {key}: {was} -> {now}")
COLUMN = Message("{file}:{line}: column {was} -> {now}")
FOLDER = Message("{file} -> {now}")
FORMAT_ADDED = Message("{file}: format {number} added")
FORMAT_CHANGED = Message("{file}: format {was} -> {number}")
CURRENT = Message("{file}: the catalogue has format {number}, the format of this version; nothing to change")
CHANGED = Plural("{count} change in {files} was made", "{count} changes in {files} were made")
WOULD_CHANGE = Plural("{count} change in {files} would be made", "{count} changes in {files} would be made")
FILES = Plural("{count} file", "{count} files")
STILL_WRONG = Plural(
    "{count} problem remains that renaming does not fix:", "{count} problems remain that renaming does not fix:"
)
SOUND = Message("no problem found")
