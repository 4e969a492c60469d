"""One window table as a draft."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

HEADING = Message("{table} (draft)")
SUBJECT = Message("Draft of one window table")
DRAFT = Message("Draft, computed from the catalogue as it is now; build the catalogue before you publish it.")
ALONE = Message("These windows are for {refrigerant} alone; the catalogue prints it in the table of {groups}.")
ORIGIN = Message("tablegen {version}, {library}, data {fingerprint}")

AT_CONFIDENCE = Message("Limits are at {level} confidence.")

# Since an earlier release.
CHANGED = Plural(
    "{changed} of {count} cell differs in print from revision {revision} of {date}, data {fingerprint}.",
    "{changed} of {count} cells differ in print from revision {revision} of {date}, data {fingerprint}.",
)
SAME = Message("No cell differs in print from revision {revision} of {date}, data {fingerprint}.")
NEW_TABLE = Message("Revision {revision} of {date}, data {fingerprint}, does not have this table.")
GONE = Plural(
    "{count} cell of that release is no longer in the table.",
    "{count} cells of that release are no longer in the table.",
)
MARKED = Message("{mark}: differs in print from revision {revision}, whose limits are in the second table.")
NOW = Message("Load windows now")
EARLIER = Message("Earlier limits of the changed cells, revision {revision} of {date}")
EARLIER_TEXTS = Message("{new}: no such cell in that revision; {none}: no window.")
SAME_REVISION = Message(
    "This catalogue also has revision {revision}. Give it a new one before you build, or the build is refused."
)

HELP = Message("compute one window table as a draft")
DESCRIPTION = Message(
    "Compute the window table of one family, one refrigerant or group, and one application as it would be printed, "
    "without the rest of the catalogue."
)
EPILOG = Message("Example: tablegen table alder R448A-family --application walk_in_medium --demo --output draft.pdf")
FAMILY_HELP = Message("a family of the catalogue")
APPLICATION_HELP = Message("an application of the catalogue")
CSV_ROWS = Message("a row for every size and suction temperature")
