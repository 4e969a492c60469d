"""The answer to `assumptions`, and its command."""

from __future__ import annotations

from tablegen.wording.message import Message

HELP = Message("list what a table assumes, with the weight of each assumption on its limits")
DESCRIPTION = Message(
    "Change one input of a table at a time by a stated step, compute both limits again, and list the inputs by what they do "
    "to the limits. Without a table: the strongest of all tables of the catalogue."
)
EPILOG = Message("Example: tablegen assumptions alder R448A-family --application walk_in_medium --demo")
FAMILY_HELP = Message("a family of the catalogue; without one, all tables")
SST_HELP = Message(
    "saturated suction temperature (dew), such as '24 degF' (default: that of the application's example)"
)
CSV_ROWS = Message("a row for every assumption of every table asked for")
ALL_OR_NONE = Message(
    "a table is a family, a refrigerant or group, and {application}; give all three, or none for all tables"
)

SUBJECT = Message("Assumptions of a table and their weights")
HEADING = Message("What this table assumes: {table}")
HEADING_ALL = Message("What the tables of {catalogue} assume")
AT = Message("Limits of {size} at {sst} SST. Each line changes one input by its step, down and up; all others stay.")
AT_EACH = Message(
    "For each assumption the table in which its step moves a limit most, at the SST of the application's example."
)
STRONGEST = Message("The strongest is {name} ({step}): it moves a limit by {change}.")
STRONGEST_EMPTIES = Message("The strongest is {name} ({step}): it leaves no window.")
NO_LIMITS = Message("The table has no window at this SST, so no assumption can be weighed.")
NOTE_CROSSED = Message("Each limit is weighed by itself, also where the two then leave no window between them.")
NOTE_SCALE = Message("All sizes of one port design move by the same percent, because limits scale with Kv.")
NOTE_NONE = Message("{none}: with this step an operating condition rules the valve out, so there is no limit.")

TITLE = Message("Assumptions, the strongest first")
TABLE = Message("Table")
