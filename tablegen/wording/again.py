"""Whether the answers of records are still valid: verdicts, changes, what is wrong with a record."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message, Plural

NO_RECORD = Message("it is no record of a case; 'tablegen pick --record FOLDER' writes one")
OTHER_LAYOUT = Message("the record was written by another version of this program; this one reads layout {layout}")
INCOMPLETE = Message("the record is incomplete or was changed by hand")
NO_RECORDS = Message("the folder contains no records")
RECORDS_ARE_SMALL = Message("a record is smaller")

HEADING = Plural(
    "{count} record, with revision {revision} of {date}", "{count} records, with revision {revision} of {date}"
)
ALL_VALID = Plural("The answer is still valid.", "All {count} answers are still valid.")
SOME_VALID = Message("{valid} of {count} answers are still valid.")
NOT_READ = Plural("{count} record cannot be read; see the end.", "{count} records cannot be read; see the end.")
NOT_READ_HEADING = Message("Not read")

# What has become of an answer.
STATUS: Mapping[str, Message] = {
    "unchanged": Message("unchanged"),
    "inputs_changed": Message("unchanged; inputs have changed"),
    "figures_changed": Message("figures have changed"),
    "another_verdict": Message("another verdict"),
    "another_valve": Message("another valve"),
    "no_longer_offered": Message("no longer offered"),
}
RECORD = Message("Record")
CASE = Message("Case")
THEN = Message("Recorded with")
STILL = Message("The answer now")
RECORDED_WITH = Message("{name}, revision {revision} of {date}, data {data}")
CHANGES = Message("Changes")
SECTION = Message("{file}: {status}")

NOW_VALVE = Message("First choice now: {now}. In the record: {was}.")
NO_VALVE = Message("no valve covers the load")
NOW_VERDICT_YES = Message("The answer is yes now; in the record it is no.")
NOW_VERDICT_NO = Message("The answer is no now; in the record it is yes.")
REASON = Message("Not answered now: {reason}")
FIGURES = Message("What is printed otherwise")
ANSWER = Message("Answer")
NOTE = Message("Note")
WHAT = Message("What")
WAS = Message("In the record")
NOW = Message("Now")
LABELED = Message("{row}: {label}")
MORE = Plural("{count} more change; --json has them all.", "{count} more changes; --json has them all.")
INPUTS = Message("Inputs that have changed")
INPUT = Message("File or program")
NOT_USED = Message("not used")

HELP = Message("check whether recorded answers are still valid")
DESCRIPTION = Message(
    "Compute recorded cases again with the catalogue as it is now, and report what has changed: the valve, figures, or "
    "only the inputs."
)
EPILOG = Message(
    "Exit codes: 0 every answer is still valid, 1 one is not, 2 bad input (the other records are checked).  Example: "
    "tablegen again records --demo"
)
RECORD_HELP = Message("a record, or a folder of them")
CSV_ROWS = Message("a row for each record")
