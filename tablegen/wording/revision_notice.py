"""The revision notice: what a revision changed, what to do, which loads a size no longer covers."""

from __future__ import annotations

from tablegen.wording.message import Message, Plural

TITLE = Message("Revision notice")
SUBJECT = Message("Revision notice of expansion valve selection tables")
REPLACED = Message("{document} {old} ({old_date}) is replaced by {new} ({new_date})")
OF_COMPANY = Message("{title} \N{MIDDLE DOT} {company}")
REVISION = Message("revision {revision}")
NUMBERED = Message("{number} \N{MIDDLE DOT}")

WHAT_CHANGED = Message("What changed")
HOW_FAR = Message("How far")
COUNTED = Plural(
    "{count} of the {total} printed windows that are also in revision {revision} has changed.",
    "{count} of the {total} printed windows that are also in revision {revision} have changed.",
)
NEW = Plural("{count} window is new.", "{count} windows are new.")
MOVED = Message("Minimum loads changed by {minimum}, maximum loads by {maximum}.")
REMOVED = Plural("{count} window is no longer printed.", "{count} windows are no longer printed.")
QUESTIONS = Message("Questions")
WHAT_TO_DO = Message("What to do")
VALVES_CHOSEN = Message(
    "Valves selected with revision {old}: find the table, the size and the SST of the system. If its load is in a hatched "
    "range, the valve no longer covers it at all three head pressures: take the size beside “Take instead”, or ask."
)
NEW_SYSTEMS = Message(
    "New systems: use revision {new}. Systems in operation: measure the superheat at low and at high head pressure."
)
NOTHING_LOST = Message(
    "Every load that revision {old} covered with a size is still covered by that size. Use revision {new}."
)
NO_LONGER_PRINTED = Message("Tables no longer printed")
GONE = Message("Ask about valves that were selected from these tables:")
CHARTS = Message("Replace counter charts made with revision {old}: {charts}.")

TABLES = Message("Tables with ranges that are no longer covered")
CHANGED_TABLES = Message("Tables that changed")
NEW_TABLE = Message("new")
TABLE = Message("Table")
CELLS = Message("Changed windows")
PART_OF = Message("{count} of {total}")
MINIMUM = Message("Minimum load, %")
MAXIMUM = Message("Maximum load, %")
LOST_AT = Message("SST {sst}: no longer covered, by size")
GRAPH_NOTE = Message(
    "Hatched: covered with revision {old}, not with revision {new}. Figures: limits of revision {new}."
)
GRAPH_ALT = Message("Load windows at SST {sst}, with the ranges that are no longer covered: {ranges}")
RANGE_ALT = Message("size {size} {ranges}")
LOAD_AXIS = Message("load at the rating point, {unit}")
UPPER = Message("Upper ranges: over the new maximum, up to the old maximum, {unit}")
LOWER = Message("Lower ranges: from the old minimum, below the new minimum, {unit}")
SST = Message("SST, {unit}")
SIZE = Message("Size {size}")
TAKE_INSTEAD = Message("Take instead")
ASK = Message("ask")
INSTEAD_NOTE = Message(
    "“Take instead” names a size that covers every range listed for a size with revision {new}; ask where none does."
)
# Beside a range that the size named under it does not cover, and beside that size.
MARK = "*"
INSTEAD_NOTE_MARKED = Message(
    "“Take instead” names a size that covers every range listed for a size with revision {new}, except ranges with {mark}. "
    "Ask about those, and where no size is named."
)
EXAMPLE = Message(
    "Example: SST {sst}, load {load}. With revision {old} size {size} covered it (up to {old_max}). With revision {new} it "
    "covers up to {new_max}: take {instead} (from {from_load})."
)
EXAMPLE_ASK = Message(
    "Example: SST {sst}, load {load}. With revision {old} size {size} covered it (up to {old_max}). With revision {new} it "
    "covers up to {new_max}: ask."
)
LABELED = Message("{label} {value}")
HAVE_READY = Message(
    "Have this ready: table, size, SST, load at the rating point. Data {old_data} (old), {new_data} (new)."
)
